"""Any list of inputs becomes rows of the rig over one table that a person confirms, and not before."""

import io
from collections.abc import Callable

import pytest
from httpx2 import Response
from openpyxl import Workbook
from playwright.sync_api import Page, expect

from portal.plan.coherence import faults
from portal.plan.input.rig import Rig
from portal.store import rigs
from portal.store.database.session import Store
from tests.builders import PASSWORD, ABand, a_rig, a_source, a_stored_rig
from tests.web.conftest import ORIGIN, Browser, Open
from tests.web.looks import NARROW, Figures, examine, examine_colours, measure
from tests.web.rig_forms import Fields, fill, form_of, rows_of, send, summary

RIDER = """INPUT LIST

1. Kick In
2. Kick Out
3. Snare
4. Aux
5 + 6 Keys
7. Gtr L
8. Gtr R
9. OH
10. -
11. Lead vocal

Thank you for having us, we look forward to this evening with you all very much indeed.
"""


@pytest.fixture
def empty_rig(store: Store, band: ABand) -> rigs.BandRig:
    """A rig without a row."""
    with store.writing() as db:
        return a_stored_rig(db, band, a_rig(source=()))


@pytest.fixture
def newest(store: Store, empty_rig: rigs.BandRig) -> Callable[[], Rig]:
    """The newest revision of the empty rig."""

    def read() -> Rig:
        with store.reading() as db:
            return rigs.newest(db, empty_rig.id).read()

    return read


def page_of(rig: rigs.BandRig) -> str:
    return f"/rigs/{rig.id}/import"


def confirm(
    browser: Browser, rig: rigs.BandRig, shown: Response, do: str = "replace", **changes: str | list[str]
) -> Response:
    action = f"{page_of(rig)}/reading"
    return send(browser, action, form_of(shown, action), do=do, **changes)


SETTLED = {
    "row4__what": "Hi-hat",
    "row6__what": "Electric guitar",
    "row6__rows": "1",
    "row7__what": "Guitar rig without a cabinet",
    "row7__rows": "1",
    "row8__rows": "pair",
}


def test_ways_without_a_splitter_are_not_lost(signed_in: Browser, band: ABand, store: Store) -> None:
    """A list that names splitter ways of which the rig has no splitter offers one of so many ways, and says afterwards
    what was made; without it the ways stand in the notes.
    """
    with store.writing() as db:
        bare = a_stored_rig(db, band, a_rig(source=(), splitter=()))
    listed = "Channel\tName\tSplitter way\n1\tKick\t1\n2\tSnare\t2\n3\tBass DI\t5"
    shown = fill(signed_in, page_of(bare), pasted=listed)
    assert "Add a splitter, 5 ways: 3 ways written, the highest 5" in shown.text
    kept = confirm(signed_in, bare, shown)
    assert kept.status_code == 303
    with store.reading() as db:
        rig = rigs.newest(db, bare.id).read()
    (splitter,) = rig.splitter
    assert (splitter.name, splitter.ways, len(splitter.outputs)) == ("Splitter", 5, 1)
    assert [(source.splitter, source.way) for source in rig.source] == [(splitter.key, way) for way in (1, 2, 5)]
    assert "Made: Splitter, 5 ways, output to the house A direct." in signed_in.get(kept.headers["location"]).text
    shown = fill(
        signed_in, page_of(bare), pasted=listed.replace("Splitter way", "Splitter\tWay").replace("\t1\n", "\tMoon\t1\n")
    )
    assert "Add Moon, 1 way: 1 way written, the highest 1" in shown.text


def test_a_rider_becomes_rows(signed_in: Browser, empty_rig: rigs.BandRig, newest: Callable[[], Rig]) -> None:
    """The text of an old rider is read, its questions are settled, and one new revision holds the rows in the order of
    the text.
    """
    shown = fill(signed_in, page_of(empty_rig), pasted=RIDER)
    assert shown.status_code == 200
    assert "10 rows read: take them over?" in shown.text
    assert newest().source == ()
    assert confirm(signed_in, empty_rig, shown, **SETTLED).status_code == 303
    rig = newest()
    assert [(source.label, source.what, source.position) for source in rig.source] == [
        ("Kick In", "drum.kick-drum", "in"),
        ("Kick Out", "drum.kick-drum", "out"),
        ("Snare", "drum.snare-drum", ""),
        ("Aux", "metal.hi-hat", ""),
        ("Keys", "synth.generic", "left"),
        ("Keys", "synth.generic", "right"),
        ("Gtr L", "pluck.guitar.electric", "left"),
        ("Gtr R", "x-guitar-modelled", "right"),
        ("OH", "drum.group.set", "left"),
        ("OH", "drum.group.set", "right"),
        ("Lead vocal", "voice.vocals", ""),
    ]
    assert rig.source[1].second_of == rig.source[0].key
    assert rig.source[10].lead
    assert [source.mixer_input for source in rig.source] == list(range(1, 12))
    assert not faults(rig)


def test_questions_come_first_and_are_not_answered_by_themselves(
    signed_in: Browser, empty_rig: rigs.BandRig, newest: Callable[[], Rig]
) -> None:
    """Ambiguous rows stand first with a mark and an empty choice; confirming without settling them tells each and keeps
    everything typed.
    """
    shown = fill(signed_in, page_of(empty_rig), pasted=RIDER)
    body = shown.text
    order = ["To decide: 4", 'name="row4-what"', 'name="row8-what"', "Read: 6", 'name="row1-what"']
    assert sorted(order, key=body.index) == order
    assert body.count('<span class="mark asks">decide</span>') == 4
    assert "It can be hi-hat, other percussion, playback or something else." in body
    fields = form_of(shown, f"{page_of(empty_rig)}/reading")
    assert (fields["row4-what"], fields["row8-rows"]) == ([""], [""])
    assert (fields["row5-rows"], fields["row9-out"]) == (["pair"], ["yes"])
    answer = confirm(
        signed_in, empty_rig, shown, row1__label="Big kick", row3__what="Zorbl", row4__what="Hi-hat", row11__label=""
    )
    assert answer.status_code == 422
    assert [field for field, _ in summary(answer.text)] == [
        "row3-what",
        "row6-what",
        "row6-rows",
        "row7-what",
        "row7-rows",
        "row8-rows",
    ]
    assert "Choose what &#34;Snare&#34; is, or leave the row out." in answer.text
    again = form_of(answer, f"{page_of(empty_rig)}/reading")
    assert (again["row1-label"], again["row3-what"], again["row4-what"]) == (["Big kick"], ["Zorbl"], ["Hi-hat"])
    assert "Thank you for having us" in answer.text
    assert newest().source == ()
    assert confirm(signed_in, empty_rig, answer, **SETTLED, row3__what="Snare drum").status_code == 303
    assert newest().source[0].label == "Big kick"


def test_nothing_that_was_pasted_is_hidden(signed_in: Browser, empty_rig: rigs.BandRig) -> None:
    """Headings and lines that are no inputs stand in one fold with their number, and the text can be changed as it was
    pasted.
    """
    shown = fill(signed_in, page_of(empty_rig), pasted=RIDER)
    assert shown.text.count("<details>") == 1
    assert "<summary>Set aside as no inputs: 1; headings: 1</summary>" in shown.text
    assert "<li>Thank you for having us" in shown.text
    back = send(signed_in, f"{page_of(empty_rig)}/text", form_of(shown, f"{page_of(empty_rig)}/reading"))
    assert back.status_code == 200
    assert RIDER.strip() in back.text


def test_rows_can_be_left_out(signed_in: Browser, empty_rig: rigs.BandRig, newest: Callable[[], Rig]) -> None:
    """A row that is left out asks nothing and is not taken; leaving out every row takes nothing over and says so."""
    shown = fill(signed_in, page_of(empty_rig), pasted="Kick\nAux\nSnare\n")
    every = confirm(signed_in, empty_rig, shown, row1__out="yes", row2__out="yes", row3__out="yes")
    assert (every.status_code, newest().source) == (422, ())
    assert "Every row is left out" in every.text
    assert confirm(signed_in, empty_rig, shown, row2__out="yes").status_code == 303
    assert [source.label for source in newest().source] == ["Kick", "Snare"]


def test_rows_are_added_or_replaced(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig]) -> None:
    """Added rows stand below the old ones, plugged into what is free; replacing keeps a known row with its key and
    wiring.
    """
    before = newest_rig()
    shown = fill(signed_in, page_of(club_rig), pasted="1. Tambourine\n2. Shaker")
    assert confirm(signed_in, club_rig, shown, "add").status_code == 303
    added = newest_rig()
    assert added.source[: len(before.source)] == before.source
    assert [source.label for source in added.source[len(before.source) :]] == ["Tambourine", "Shaker"]
    assert not faults(added)
    shown = fill(signed_in, page_of(club_rig), pasted="Shaker\nKick")
    assert confirm(signed_in, club_rig, shown, "replace").status_code == 303
    shaker, kick = newest_rig().source
    assert shaker == added.source[-1]
    assert kick == next(source for source in before.source if source.label == "Kick")


def test_rows_beyond_a_full_mixer_are_told(
    signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig]
) -> None:
    """What is saved without an input because the mixer has no more is counted beside what was saved."""
    rig = newest_rig()
    many = max(rig.mixer.inputs or 0, *(splitter.ways for splitter in rig.splitter)) + 2
    pasted = "\n".join(f"Tambourine {number}" for number in range(1, many + 1))
    answer = confirm(signed_in, club_rig, fill(signed_in, page_of(club_rig), pasted=pasted), "add")
    left = sum(source.mixer_input is None and source.way is None for source in newest_rig().source)
    assert left > 1
    said = f"{left} rows have no input of the mixer: it has {rig.mixer.inputs}."
    assert said in signed_in.get(answer.headers["location"]).text
    assert said not in signed_in.get(answer.headers["location"].partition("?")[0]).text


def test_what_contradicts_itself_is_told_at_its_row(
    signed_in: Browser, empty_rig: rigs.BandRig, newest: Callable[[], Rig]
) -> None:
    """Half a pair without its other half is told at the rows, a way that the splitter has not at the label; nothing is
    saved.
    """
    half = confirm(
        signed_in,
        empty_rig,
        fill(signed_in, page_of(empty_rig), pasted="Keys L\nKick"),
        row1__what="Piano",
        row1__rows="half",
    )
    assert [field for field, _ in summary(half.text)] == ["row1-rows"]
    assert newest().source == ()
    pair = fill(signed_in, page_of(empty_rig), pasted="Keys L\nKeys R\nKick")
    assert confirm(signed_in, empty_rig, pair).status_code == 303
    left, right, _ = newest().source
    assert (left.pair_with, right.pair_with) == (right.key, left.key)


def test_a_pasted_di_is_not_marked_as_needing_no_48_v(
    signed_in: Browser, empty_rig: rigs.BandRig, newest: Callable[[], Rig]
) -> None:
    """A DI of unknown kind leaves 48 V open, an active one needs it, a passive one does not; made active later, it
    needs it too.
    """
    confirm(
        signed_in,
        empty_rig,
        fill(signed_in, page_of(empty_rig), pasted="Bass DI\nAcoustic active DI\nBanjo passive DI\nLead vocal\nOH"),
    )
    bass, acoustic, banjo, *_, overhead = newest().source
    assert [(source.capture, source.phantom) for source in (bass, acoustic, banjo)] == [
        ("di", ""),
        ("di-active", "yes"),
        ("di-passive", "no"),
    ]
    assert (overhead.capture, overhead.phantom) == ("mic", "yes")
    for source in (bass, banjo):
        fill(signed_in, f"/rigs/{empty_rig.id}/row?key={source.key}", capture="di-active")
    assert [(source.capture, source.phantom) for source in newest().source[:3]] == [("di-active", "yes")] * 3


def test_equal_labels_are_numbered(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig]) -> None:
    """Equal labels never refuse a list: they are numbered, beside the rig's own rows too, and once more the same list
    changes nothing.
    """
    shown = fill(signed_in, page_of(club_rig), pasted="Tambourine\nKick\nTambourine")
    assert confirm(signed_in, club_rig, shown, "add").status_code == 303
    added = newest_rig()
    assert [source.label for source in added.source[-3:]] == ["Tambourine 1", "Kick 2", "Tambourine 2"]
    assert not faults(added)
    shown = fill(signed_in, page_of(club_rig), pasted="Tambourine\nTambourine")
    assert confirm(signed_in, club_rig, shown, "replace").status_code == 303
    assert newest_rig().source == (added.source[-3], added.source[-1])


def test_both_microphones_of_a_sound_are_two_rows(
    signed_in: Browser, empty_rig: rigs.BandRig, newest: Callable[[], Rig]
) -> None:
    """*In/out* and *DI + mic* are proposed as two rows that belong together; two instruments on one line are one row
    until a person parts them.
    """
    shown = fill(signed_in, page_of(empty_rig), pasted="Kick in/out\nBass DI + mic\nAccordion and bagpipes\nHat")
    fields = form_of(shown, f"{page_of(empty_rig)}/reading")
    assert [fields[f"row{number}-rows"] for number in (1, 2, 3)] == [["parts"], ["parts"], ["1"]]
    assert "To decide: 1" in shown.text
    assert "2 rows: Accordion, bagpipes" in shown.text
    assert confirm(signed_in, empty_rig, shown, row3__rows="apart").status_code == 303
    kick_in, kick_out, direct, microphone, *others = newest().source
    assert (kick_in.label, kick_out.label, kick_out.second_of) == ("Kick in", "Kick out", kick_in.key)
    assert (direct.capture, microphone.capture, microphone.second_of) == ("di", "mic", direct.key)
    assert [(source.label, source.what) for source in others] == [
        ("Accordion", "keyboard.accordion"),
        ("bagpipes", "x-other"),
        ("Hat", "metal.hi-hat"),
    ]
    assert not faults(newest())


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("Kick\nAcoustic DI\nAcoustic mic", "second of Acoustic DI: beside a kit or amplifiers the DI is first"),
        ("Kick\nAcoustic mic\nAcoustic DI", "first, before Acoustic mic: beside a kit or amplifiers the DI is first"),
        ("Organ\nAcoustic mic\nAcoustic DI", "second of Acoustic mic: on a quiet stage the microphone is first"),
        ("Upright bass mic\nUpright bass DI", "first, before Upright bass mic: of an upright bass the DI is first"),
        ("Snare top\nSnare bottom", "second microphone of Snare top"),
    ],
)
def test_why_one_of_two_pick_ups_is_first(signed_in: Browser, empty_rig: rigs.BandRig, rows: str, said: str) -> None:
    """The page says which of DI and microphone will be the first, and why."""
    assert said in fill(signed_in, page_of(empty_rig), pasted=rows).text


VOICES = "1. Vocal Mia\n2. Worship leader vox\n3. Drummer vox\n4-5. Vocals"


def test_who_sings_lead_is_asked_once(signed_in: Browser, empty_rig: rigs.BandRig, newest: Callable[[], Rig]) -> None:
    """Several voices without a lead are one question, in which a leader is ticked beforehand; without an answer nothing
    is saved.
    """
    shown = fill(signed_in, page_of(empty_rig), pasted=VOICES)
    assert shown.text.count("Who sings lead?") == 1
    assert "To settle" not in shown.text
    fields = form_of(shown, f"{page_of(empty_rig)}/reading")
    assert fields["lead"] == ["2.1"]
    assert "4-5 Vocal 2" in shown.text
    for lead in ([], ["nobody", "1.1"]):
        answer = send(signed_in, f"{page_of(empty_rig)}/reading", fields | {"lead": lead}, do="replace")
        assert summary(answer.text) == [("lead", "Say who sings lead, or that nobody does.")]
        assert newest().source == ()
    assert (
        send(signed_in, f"{page_of(empty_rig)}/reading", fields | {"lead": ["1.1", "4.2"]}, do="replace").status_code
        == 303
    )
    assert [source.label for source in newest().source if source.lead] == ["Vocal Mia", "Vocal 2"]


def test_who_sings_lead_is_not_asked_of_rows_below_a_rig_that_has_a_lead(
    signed_in: Browser, empty_rig: rigs.BandRig, newest: Callable[[], Rig]
) -> None:
    """Adding is the main button of a rig with rows, and takes the rig's lead; in place of all rows, it is asked."""
    shown = fill(signed_in, page_of(empty_rig), pasted="Lead vocal Mia")
    assert confirm(signed_in, empty_rig, shown).status_code == 303
    shown = fill(signed_in, page_of(empty_rig), pasted="Vocal Jo\nVocal Kim")
    assert "Who sings lead?" not in shown.text
    assert shown.text.index("Add these below") < shown.text.index("Replace all rows")
    replaced = confirm(signed_in, empty_rig, shown, "replace")
    assert replaced.status_code == 422
    assert "Who sings lead?" in replaced.text
    assert confirm(signed_in, empty_rig, shown, "add").status_code == 303
    assert [source.lead for source in newest().source] == [True, False, False]


def test_nobody_may_sing_lead(signed_in: Browser, empty_rig: rigs.BandRig, newest: Callable[[], Rig]) -> None:
    """That no voice leads is an answer; voices that are left out are not asked about."""
    shown = fill(signed_in, page_of(empty_rig), pasted="Vocal Mia\nVocal Jo\nKick")
    assert confirm(signed_in, empty_rig, shown, lead="nobody").status_code == 303
    assert [source.lead for source in newest().source] == [False, False, False]
    shown = fill(signed_in, page_of(empty_rig), pasted="Vocal Mia\nVocal Jo\nKick")
    assert confirm(signed_in, empty_rig, shown, row1__out="yes", row2__out="yes").status_code == 303
    assert [source.label for source in newest().source] == ["Kick"]


@pytest.mark.parametrize("text", ["Lead vox\nVocal 2", "Vocal\nKick", "Kick\nSnare"], ids=["told", "one", "none"])
def test_who_sings_lead_is_not_asked_where_it_is_told(signed_in: Browser, empty_rig: rigs.BandRig, text: str) -> None:
    """A lead that is called so, a single voice, or no voice at all: no question."""
    shown = fill(signed_in, page_of(empty_rig), pasted=text)
    assert "Who sings lead?" not in shown.text
    assert confirm(signed_in, empty_rig, shown).status_code == 303


def test_a_row_that_is_called_the_lead_answers_the_question(
    signed_in: Browser, empty_rig: rigs.BandRig, newest: Callable[[], Rig]
) -> None:
    """Whoever chooses *Lead vocal* for a row has said who sings lead."""
    shown = fill(signed_in, page_of(empty_rig), pasted="Vocal Mia\nVocal Jo")
    assert confirm(signed_in, empty_rig, shown, row2__what="Lead vocal").status_code == 303
    assert [source.lead for source in newest().source] == [False, True]


def test_the_text_of_a_file_can_be_changed(signed_in: Browser, empty_rig: rigs.BandRig) -> None:
    """What was read out of a workbook can be changed as text, so that a line that was set aside is not lost."""
    book = Workbook()
    for row in (("Item", "Qty"), ("Kick mic", 1), ("Mic stand", 2)):
        book.worksheets[0].append(row)
    file = io.BytesIO()
    book.save(file)
    shown = upload(signed_in, empty_rig, file.getvalue())
    assert "<li>Mic stand | 2</li>" in shown.text
    back = send(signed_in, f"{page_of(empty_rig)}/text", form_of(shown, f"{page_of(empty_rig)}/reading"))
    assert form_of(back, page_of(empty_rig))["pasted"] == ["Item\tQty\nKick mic\t1\nMic stand\t2"]


def test_stale_rows_are_shown_again(
    signed_in: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int]
) -> None:
    """Rows that were read before somebody else saved are shown again with everything that was chosen."""
    shown = fill(signed_in, page_of(club_rig), pasted="Aux\nKick")
    fill(signed_in, rows_of(club_rig), row1__note="theirs")
    answer = confirm(signed_in, club_rig, shown, row1__what="Hi-hat")
    assert (answer.status_code, newest_number()) == (409, 2)
    assert form_of(answer, f"{page_of(club_rig)}/reading")["row1-what"] == ["Hi-hat"]
    assert confirm(signed_in, club_rig, answer).status_code == 303


def test_a_workbook_is_read(signed_in: Browser, empty_rig: rigs.BandRig, newest: Callable[[], Rig]) -> None:
    """A workbook goes the same way, its other columns with it; a damaged one is refused in one sentence at its
    field.
    """
    book = Workbook()
    head, kick_row = ("Ch", "Instrument", "Mic", "48V", "Notes"), (1, "Kick", "dynamic", "no", "hole in front")
    for row in (head, kick_row, (2, "OH L", "condenser", "yes", None), (3, "OH R", "condenser", "yes", None)):
        book.worksheets[0].append(row)
    file = io.BytesIO()
    book.save(file)
    shown = upload(signed_in, empty_rig, file.getvalue())
    assert confirm(signed_in, empty_rig, shown).status_code == 303
    kick, left, right = newest().source
    assert (kick.capture, kick.phantom, kick.note) == ("mic", "no", "hole in front")
    assert (left.phantom, left.pair_with) == ("yes", right.key)
    broken = upload(signed_in, empty_rig, file.getvalue()[:900])
    assert broken.status_code == 422
    assert summary(broken.text) == [("file", "Expected a workbook (XLSX) that is whole; found a damaged one.")]


def test_a_workbook_of_our_own_headings_is_taken_as_it_stands(
    signed_in: Browser, empty_rig: rigs.BandRig, newest: Callable[[], Rig]
) -> None:
    """A sheet with the headings Label and Source needs no reading."""
    book = Workbook()
    for row in (("Label", "Source", "Mixer input"), ("Guitar", "Acoustic guitar", 7)):
        book.worksheets[0].append(row)
    file = io.BytesIO()
    book.save(file)
    shown = upload(signed_in, empty_rig, file.getvalue())
    action = f"{page_of(empty_rig)}/confirm"
    assert send(signed_in, action, form_of(shown, action), do="replace").status_code == 303
    assert [(source.what, source.mixer_input) for source in newest().source] == [("pluck.guitar.acoustic", 7)]


def upload(browser: Browser, rig: rigs.BandRig, content: bytes) -> Response:
    page = page_of(rig)
    return browser.client.post(
        page, data=form_of(browser.get(page), page), files={"file": ("list.xlsx", content)}, headers={"Origin": ORIGIN}
    )


@pytest.mark.parametrize(
    "changes",
    [
        {"row1-rows": "99"},
        {"row1-rows": "-1"},
        {"row1-what": "drum.nothing"},
        {"row1-label": "x" * 41},
        {"row1-label": "a\u202eb\u0000"},
        {"row1-written": "(" * 5000, "row1-what": ""},
        {"row1-rest": "\n" * 500 + "x" * 5000, "row1-rows": ""},
    ],
    ids=["rows", "minus", "kind", "long", "control", "brackets", "rest"],
)
def test_what_arrives_is_checked_again(
    signed_in: Browser, empty_rig: rigs.BandRig, newest: Callable[[], Rig], changes: dict[str, str]
) -> None:
    """Whatever the page of confirmation is made to send, it is a fault of its row and never a row of the rig."""
    shown = fill(signed_in, page_of(empty_rig), pasted="Kick\nSnare")
    action = f"{page_of(empty_rig)}/reading"
    fields: Fields = form_of(shown, action) | {name: [value] for name, value in changes.items()}
    assert send(signed_in, action, fields, do="replace").status_code == 422
    assert newest().source == ()


def test_many_rows_fit_a_form(signed_in: Browser, store: Store, band: ABand) -> None:
    """As many rows as a rig holds are read, shown and taken over; one more is told by the rig's limit."""
    with store.writing() as db:
        rig = a_stored_rig(db, band, a_rig(source=(a_source("one"),)))
    shown = fill(signed_in, page_of(rig), pasted="\n".join(f"{number}. Vocal {number}" for number in range(1, 129)))
    assert shown.status_code == 200
    answer = confirm(signed_in, rig, shown, "add", lead="nobody")
    assert answer.status_code == 422
    assert "at most 128 rows" in answer.text


def begin_rig(page: Page) -> None:
    """Sign up and begin an empty rig."""
    page.fill("#name", "Ada")
    page.fill("#band", "The Paper Lanterns")
    page.fill("#email", "ada@band.example")
    page.fill("#password", PASSWORD)
    page.click("main button")
    page.get_by_role("heading", name="Gigs").wait_for()
    page.goto("/rigs/new")
    page.fill("#name", "Club rig")
    page.get_by_role("button", name="Begin an empty rig").click()
    page.get_by_role("heading", name="Club rig").wait_for()


@pytest.mark.browser
def test_the_keyboard_alone_settles_and_confirms(open_page: Open) -> None:
    """Without a mouse and without script on a narrow phone: pasted, settled by the first keys of each answer, taken
    over.
    """
    page = open_page("/sign-up", java_script_enabled=False, viewport={"width": 360, "height": 740})
    begin_rig(page)
    page.focus("#pasted")
    page.keyboard.insert_text("1. Kick\n2. Aux\n3. Gtr L\n4. Lead vox\n")
    for key in ("Tab", "Tab", "Enter"):
        page.keyboard.press(key)
    page.get_by_role("heading", name="4 rows read: take them over?").wait_for()
    page.focus("#row2-what")
    page.keyboard.type("Hi")
    for _ in range(4):
        page.keyboard.press("Tab")
    page.keyboard.type("Elec")
    page.keyboard.press("Tab")
    page.keyboard.type("one")
    page.get_by_role("button", name="Take over these rows").focus()
    page.keyboard.press("Enter")
    page.get_by_text("Saved as revision 2.").wait_for()
    expect(page.locator("#row3-what")).to_have_value("Electric guitar")


@pytest.mark.browser
def test_the_table_reads_well(open_page: Open) -> None:
    """No link leads to the rows that were read: the gates of every page hold there too, before and after faults."""
    page, figures = open_page("/sign-up", viewport=NARROW), Figures()
    begin_rig(page)
    page.fill("#pasted", RIDER)
    page.get_by_role("button", name="Read the rows").click()
    for state in ("read", "refused"):
        if state == "refused":
            page.get_by_role("button", name="Take over these rows").click()
            expect(page.locator("#faults")).to_be_visible()
        measure(page, state, figures)
        examine(page, state, figures)
        page.emulate_media(color_scheme="dark")
        examine_colours(page, state, figures)
        page.emulate_media(color_scheme="light")
    assert (figures.wrong, figures.under_44) == ([], 0)
