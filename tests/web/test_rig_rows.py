"""The rows of a rig, all in one form."""

import re
from collections.abc import Callable
from dataclasses import replace

from portal.exchange.example import example_rig
from portal.plan.coherence import faults
from portal.plan.input.kinds import KINDS
from portal.plan.input.rig import Rig, Splitter
from portal.store import rigs
from portal.store.database.session import Store
from portal.web.rig.editing.rig_sheet import BLANKS, FIRST_BLANKS
from portal.web.rig.editing.sheet_rows import INLINE
from tests.builders import ABand, a_rig, a_source, a_stored_rig
from tests.web.conftest import Browser
from tests.web.rig_forms import TOPICS, Fields, fill, form_of, rows_of, send, summary


def test_rows_are_saved_as_a_new_revision(
    signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig], newest_number: Callable[[], int]
) -> None:
    """One save makes one revision with what was typed; the revision before is unchanged, and keys survive the new
    name.
    """
    answer = fill(signed_in, rows_of(club_rig), row1__label="Bass drum", row1__position="in", row1__note="Two legs")
    assert answer.status_code == 303
    assert newest_number() == 2
    assert newest_rig().source[0] == replace(a_rig().source[0], label="Bass drum", position="in", note="Two legs")
    assert newest_rig().source[1:] == a_rig().source[1:]
    assert "Kick" in signed_in.get(f"/rigs/{club_rig.id}/revisions/1").text
    assert "Saved as revision 2." in signed_in.get(answer.headers["location"]).text
    listed = signed_in.get(f"/rigs/{club_rig.id}/revisions").text
    assert "Revision 2" in listed
    assert "Revision 1" in listed


def test_an_unchanged_form_makes_no_revision(
    signed_in: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int]
) -> None:
    """Every form, sent as it was drawn, leaves the rig at its revision."""
    for address in ("", "/row?key=lead", *TOPICS):
        assert fill(signed_in, f"/rigs/{club_rig.id}{address}").status_code == 303, address
    assert newest_number() == 1


def test_every_form_keeps_the_whole_example(signed_in: Browser, store: Store, band: ABand) -> None:
    """No form loses anything of a full rig by being saved as it was drawn."""
    with store.writing() as db:
        full = a_stored_rig(db, band, example_rig())
    for address in ("", *(f"/row?key={source.key}" for source in example_rig().source), *TOPICS):
        assert fill(signed_in, f"/rigs/{full.id}{address}").status_code == 303, address
    with store.reading() as db:
        assert rigs.newest(db, full.id).number == 1
        assert rigs.newest(db, full.id).read() == example_rig()


def test_the_same_form_twice_saves_once(
    signed_in: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int]
) -> None:
    """Sending a form again leads to the first result and makes nothing new."""
    fields = form_of(signed_in.get(rows_of(club_rig)), rows_of(club_rig)) | {"row1-label": ["Bass drum"]}
    first, second = (send(signed_in, rows_of(club_rig), fields) for _ in "ab")
    assert (first.status_code, second.status_code) == (303, 303)
    assert first.headers["location"] == second.headers["location"]
    assert newest_number() == 2


def test_a_new_row_follows_its_kind(signed_in: Browser, store: Store, band: ABand) -> None:
    """A row that only says what it is takes its name and everything else from its kind, and is plugged into what is
    free next.
    """
    with store.writing() as db:
        empty = a_stored_rig(db, band, Rig(splitter=(Splitter(key="s", name="Big", ways=128),)))
    changes: dict[str, str | list[str]] = {}
    for place, kind in enumerate(KINDS.values(), start=1):
        changes |= {
            f"row{place}-was": "",
            f"row{place}-what": kind.words,
            f"row{place}-position": "",
            f"row{place}-phantom": "",
            f"row{place}-stand": "",
        }
    assert fill(signed_in, f"/rigs/{empty.id}", **changes).status_code == 303
    with store.reading() as db:
        sources = rigs.newest(db, empty.id).read().source
    ways = 0
    for place, (source, kind) in enumerate(zip(sources, KINDS.values(), strict=True), start=1):
        ways += kind.goes == "both"
        assert re.fullmatch("[0-9a-f]{12}", source.key)
        assert (source.what, source.label) == (kind.what, kind.words)
        assert (source.capture, source.level, source.stand) == (kind.capture, kind.level, kind.stand)
        assert source.phantom == ("" if kind.capture == "di" else kind.phantom)  # active or passive is not known yet
        assert (source.goes, source.loud_on_stage) == (kind.goes, kind.loud)
        assert source.mixer_input == place
        assert (source.splitter, source.way) == (("s", ways) if kind.goes == "both" else ("", None))


def test_new_rows_share_nothing(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig]) -> None:
    """Several new rows get different inputs and ways; what somebody typed is kept and left free by the others."""
    answer = fill(
        signed_in,
        rows_of(club_rig),
        row5__what="Vocal",
        row5__label="Ben",
        row6__label="Cowbell",
        row6__way="5",
        row6__splitter="s",
        row7__label="Egg",
    )
    assert answer.status_code == 303
    ben, cowbell, egg = newest_rig().source[4:]
    assert [one.way for one in (ben, cowbell, egg)] == [6, 5, 7]
    assert [one.mixer_input for one in (ben, cowbell, egg)] == [5, 6, 7]
    assert (cowbell.what, egg.what) == ("x-percussion", "x-other")


def test_a_full_splitter_leaves_a_new_row_unplugged(signed_in: Browser, store: Store, band: ABand) -> None:
    """Where nothing is free, nothing is invented."""
    small = a_rig(splitter=(Splitter(key="s", name="Small", ways=4),), mixer=replace(a_rig().mixer, inputs=4))
    with store.writing() as db:
        full = a_stored_rig(db, band, small)
    assert fill(signed_in, f"/rigs/{full.id}", row5__label="Egg").status_code == 303
    with store.reading() as db:
        egg = rigs.newest(db, full.id).read().source[4]
    assert (egg.splitter, egg.way, egg.mixer_input) == ("", None, None)


def test_a_changed_kind_brings_its_defaults(
    signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig]
) -> None:
    """A row whose kind changes follows the new kind where it followed the old one; what was chosen stays."""
    fill(signed_in, rows_of(club_rig), row5__what="Trumpet", row5__phantom="yes")
    assert newest_rig().source[4].loud_on_stage is True
    fill(signed_in, rows_of(club_rig), row5__what="Violin or fiddle")
    source = newest_rig().source[4]
    assert (source.capture, source.stand, source.loud_on_stage, source.phantom) == ("di", "none", False, "yes")


def labels(fields: Fields) -> list[str]:
    return [values[0] for name, values in fields.items() if re.fullmatch(r"row\d+-label", name) and values[0]]


def test_moving_copying_and_removing_only_draw_again(
    signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig], newest_number: Callable[[], int]
) -> None:
    """The buttons of a row change the form and keep what was typed; only saving saves, keys stay, and a copy gets a key
    of its own.
    """
    page = rows_of(club_rig)
    answer = fill(signed_in, page, do="up", at="3", row1__note="typed before")
    assert answer.status_code == 200
    fields = form_of(answer, page)
    assert labels(fields) == ["Kick", "Keys", "Bass", "Lead"]
    assert fields["row1-note"] == ["typed before"]
    assert "Not saved yet." in answer.text
    fields = form_of(send(signed_in, page, fields, do="down", at="1"), page)
    assert labels(fields) == ["Keys", "Kick", "Bass", "Lead"]
    fields = form_of(send(signed_in, page, fields, do="copy", at="4"), page)
    fields = form_of(send(signed_in, page, fields, do="remove", at="3"), page)
    assert labels(fields) == ["Keys", "Kick", "Lead", "Lead 2"]
    assert newest_number() == 1
    assert send(signed_in, page, fields).status_code == 303
    rig = newest_rig()
    assert [source.key for source in rig.source[:3]] == ["keys", "kick", "lead"]
    assert rig.source[1].note == "typed before"
    copy = rig.source[3]
    assert copy.key not in {"kick", "bass", "keys", "lead"}
    assert replace(copy, key="lead", label="Lead", way=4, mixer_input=4) == rig.source[2]
    assert (copy.way, copy.mixer_input) == (2, 2)


def test_the_ends_of_the_list_hold(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """The first row cannot go further up, the last not further down, and a row that is not there moves nothing."""
    page = rows_of(club_rig)
    for deed, at in (("up", "1"), ("down", "4")):
        assert labels(form_of(fill(signed_in, page, do=deed, at=at), page)) == ["Kick", "Bass", "Keys", "Lead"]
    for at in ("77", "", "x"):
        answer = fill(signed_in, page, do="up", at=at)
        assert "Enter the number of the row that is meant. Nothing was done." in answer.text
        assert labels(form_of(answer, page)) == ["Kick", "Bass", "Keys", "Lead"]


def test_a_deed_finds_its_row_below_an_empty_one(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """The number of a row is the one that stands before it, also where rows above it were left empty."""
    page = rows_of(club_rig)
    answer = fill(signed_in, page, do="copy", at="7", row7__label="Egg")
    assert labels(form_of(answer, page)) == ["Kick", "Bass", "Keys", "Lead", "Egg", "Egg 2"]


def test_a_removed_row_leaves_nothing_that_names_it(signed_in: Browser, store: Store, band: ABand) -> None:
    """Pairs, second microphones, rows never played together and configurations forget a row that is taken away."""
    rig = example_rig()
    with store.writing() as db:
        full = a_stored_rig(db, band, rig)
    page = f"/rigs/{full.id}"
    named = next(place for place, source in enumerate(rig.source) if source.pair_with)
    off = next(
        place
        for place, source in enumerate(rig.source)
        if any(source.key in one.off for one in rig.configurations.values())
    )
    first = next(
        place for place, source in enumerate(rig.source) if any(one.second_of == source.key for one in rig.source)
    )
    fields = form_of(signed_in.get(page), page)
    for place in sorted({named, off, first}, reverse=True):
        fields = form_of(send(signed_in, page, fields, do="remove", at=str(place + 1)), page)
    assert send(signed_in, page, fields).status_code == 303
    with store.reading() as db:
        after = rigs.newest(db, full.id).read()
    assert faults(after) == ()
    assert len(after.source) == len(rig.source) - len({named, off, first})


def test_blank_rows_stand_below(signed_in: Browser, club_rig: rigs.BandRig, store: Store, band: ABand) -> None:
    """There are blank rows at the end, more of them in an empty rig, and they are not saved."""
    with store.writing() as db:
        empty = a_stored_rig(db, band, Rig(name="x"))
    for rig, count in ((club_rig, 4 + BLANKS), (empty, FIRST_BLANKS)):
        fields = form_of(signed_in.get(rows_of(rig)), rows_of(rig))
        assert sum(bool(re.fullmatch(r"row\d+-was", name)) for name in fields) == count


def test_all_faults_are_told_at_once_by_row(
    signed_in: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int]
) -> None:
    """Faults of single fields and contradictions between rows stand in one summary that leads to the rows; everything
    typed is kept.
    """
    typed = {
        "row1__what": "Kik drum",
        "row2__way": "0",
        "row3__mixer_input": "4",
        "row4__label": "x" * 41,
        "row5__note": "a\u2028b",
        "row5__label": "Egg",
        "row2__player": "Ben",
    }
    answer = fill(signed_in, rows_of(club_rig), **typed)
    assert answer.status_code == 422
    assert "<title>Error: " in answer.text
    assert summary(answer.text) == [
        (
            "row1-what",
            (
                "Row 1, what it is: &#34;Kik drum&#34; is not in the list. Choose a kind of source, perhaps &#34;Kick"
                " drum&#34;."
            ),
        ),
        ("row2-way", "Row 2, splitter way: enter a whole number from 1 to 128."),
        ("row4-label", "Row 4, label: this has 41 characters; 40 fit. Shorten it."),
        (
            "row5-note",
            "Row 5, note for the engineer: this holds characters that cannot be shown. Type it instead of pasting it.",
        ),
        ("row3-mixer_input", "Input 4 is taken by Lead in row 4. Enter a free input, for example 5."),
    ]
    fields = form_of(answer, rows_of(club_rig))
    for name, value in typed.items():
        assert fields[name.replace("__", "-")] == [value]
    for field, sentence in summary(answer.text):
        assert f'id="{field}"' in answer.text
        assert f'id="{field}-fault"><span class="unseen">Mistake: </span>{sentence}' in answer.text
        assert re.search(rf'name="{field}"[^>]*aria-invalid="true" aria-describedby="{field}-fault"', answer.text)
    assert newest_number() == 1


def test_numbers_may_carry_a_unit(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig]) -> None:
    """Blanks and a unit after a number do no harm."""
    for number, entry in enumerate(["5", " 6 ", "7 ch", "+8", "9,0"], start=5):
        assert fill(signed_in, rows_of(club_rig), row1__mixer_input=entry).status_code == 303
        assert newest_rig().source[0].mixer_input == number


def test_a_stale_form_is_not_saved(
    signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig], newest_number: Callable[[], int]
) -> None:
    """Who comes second gets 409 with what differs and keeps every entry; saving once more then counts."""
    page = rows_of(club_rig)
    mine = form_of(signed_in.get(page), page) | {
        "row1-note": ["mine"],
        "row2-label": ["My bass"],
        "row5-label": ["My egg"],
    }
    fill(signed_in, page, row1__note="theirs", row5__label="Their egg")
    answer = send(signed_in, page, mine)
    assert answer.status_code == 409
    assert "Somebody else saved this meanwhile" in answer.text
    told = re.findall(
        r'<th scope="row">(.*?)</th><td data-head="Theirs">(.*?)</td><td data-head="Yours">(.*?)</td>', answer.text
    )
    assert told == [
        ("Kick, note for the engineer", "theirs", "mine"),
        ("Bass, label", "Bass", "My bass"),
        ("The row Their egg", "is there", "is not there"),
        ("The row &#34;My egg&#34;", "is not there", "is there"),
    ]
    assert newest_number() == 2
    again = form_of(answer, page)
    assert (again["row1-note"], again["row2-label"], again["row5-label"]) == (["mine"], ["My bass"], ["My egg"])
    assert send(signed_in, page, again).status_code == 303
    assert [source.label for source in newest_rig().source] == ["Kick", "My bass", "Keys", "Lead", "My egg"]


def test_every_other_form_notices_that_it_is_stale(
    signed_in: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int]
) -> None:
    """A form that was drawn from an older revision is shown again with what differs, and nothing is saved."""
    pages = [f"/rigs/{club_rig.id}{address}" for address in ("/row?key=kick", *TOPICS)]
    mine = {page: form_of(signed_in.get(page), page) for page in pages}
    fill(signed_in, rows_of(club_rig), row1__note="theirs")
    for page, fields in mine.items():
        answer = send(signed_in, page, fields)
        assert answer.status_code == 409, page
        assert 'data-head="Theirs"' in answer.text
    assert newest_number() == 2


def test_a_form_without_its_version_is_refused(
    signed_in: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int]
) -> None:
    """A form that does not say what it was drawn from changes nothing."""
    fields = form_of(signed_in.get(rows_of(club_rig)), rows_of(club_rig))
    del fields["form_version"]
    assert send(signed_in, rows_of(club_rig), fields, row1__label="x").status_code == 428
    assert newest_number() == 1


def big_rig() -> Rig:
    sources = tuple(
        a_source(f"s-{place}", label=f"Source {place}", splitter="s", way=place, mixer_input=place)
        for place in range(1, 129)
    )
    return a_rig(
        source=sources, splitter=(Splitter(key="s", name="Big", ways=128),), mixer=replace(a_rig().mixer, inputs=128)
    )


def test_the_largest_rig_can_be_saved(signed_in: Browser, store: Store, band: ABand) -> None:
    """A rig of 128 sources is drawn, changed in every row and saved in one go; one source more is refused in words."""
    with store.writing() as db:
        big = a_stored_rig(db, band, big_rig())
    page = rows_of(big)
    fields = form_of(signed_in.get(page), page)
    assert sum(bool(re.fullmatch(r"row\d+-was", name)) for name in fields) == 128
    assert len(fields) >= 128 * len(INLINE)
    changes = {f"row{place}__note": f"Note {place}" for place in range(1, 129)}
    assert send(signed_in, page, fields, **changes).status_code == 303
    with store.reading() as db:
        assert [source.note for source in rigs.newest(db, big.id).read().source] == [
            f"Note {place}" for place in range(1, 129)
        ]
    fields = form_of(signed_in.get(page), page)
    answer = send(signed_in, page, fields | {"row129-was": [""], "row129-label": ["One more"]})
    assert answer.status_code == 422
    assert any("the portal takes 128" in sentence for _, sentence in summary(answer.text))
