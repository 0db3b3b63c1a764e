"""The band's rigs: read, written row by row and part by part, kept as revisions."""

import json
import re
from collections.abc import Callable
from dataclasses import replace

import pytest

from portal.exchange.example import example_rig
from portal.exchange.files import document_to_rig
from portal.exchange.keys import keys_of
from portal.plan.coherence import faults
from portal.plan.kinds import KINDS
from portal.plan.rig import Rig, Source, Splitter
from portal.store import bands, rigs, sessions
from portal.store.bands import Member
from portal.store.session import Store
from portal.web import deps
from portal.web.access import USER_LONGEST, new_token, token_hash
from portal.web.rig_fields import LABELS
from portal.web.rig_row import NAMES
from portal.web.rig_rows import BLANKS, FIRST_BLANKS, INLINE
from tests.builders import NOW, ABand, a_band, a_rig, a_source, a_stored_rig
from tests.web.conftest import Browser
from tests.web.rig_forms import Fields, fill, form_of, send


@pytest.fixture
def stored(store: Store, band: ABand) -> rigs.BandRig:
    """The band's one rig: kick, bass, keys, lead."""
    with store.writing() as db:
        return a_stored_rig(db, band)


@pytest.fixture
def newest(store: Store, stored: rigs.BandRig) -> Callable[[], Rig]:
    """The rig as it stands in the database."""

    def read() -> Rig:
        with store.reading() as db:
            return rigs.newest(db, stored.id).read()

    return read


@pytest.fixture
def number(store: Store, stored: rigs.BandRig) -> Callable[[], int]:
    """The number of the newest revision."""

    def read() -> int:
        with store.reading() as db:
            return rigs.newest(db, stored.id).number

    return read


def summary(text: str) -> list[tuple[str, str]]:
    """The error summary: where each sentence leads, and the sentence."""
    box = re.search(r'<div class="summary".*?</div>', text, re.DOTALL)
    return re.findall(r'<a href="#([^"]*)">(.*?)</a>', box.group(0)) if box else []


# Reading


def test_the_list_names_every_rig(signed_in: Browser, stored: rigs.BandRig) -> None:
    """The list leads to each rig and says its rows, its revision, who saved it and when."""
    text = signed_in.get("/rigs").text
    assert f'href="/rigs/{stored.id}">Club rig' in text
    assert "Wed 25 Nov 2026, 12:00 UTC, by Ada Example" in text


def test_a_rig_shows_all_its_parts(signed_in: Browser, stored: rigs.BandRig) -> None:
    """Sources with way and input, mixer, splitters, looms, ears, bits, mix and configurations stand on one page."""
    text = signed_in.get(f"/rigs/{stored.id}").text
    for heading in ("Splitters", "In-ear mixer", "In-ear mixes", "Looms", "Small things", "Mix and own PA", "Configurations"):
        assert re.search(rf"<h2[^>]*>{heading}</h2>", text)
    assert 'data-head="Way" class="number">Splitter 2<' in text
    assert 'data-head="Picked up by">DI<' in text
    assert "Revision 1, saved" in text


def test_an_empty_rig_teaches(signed_in: Browser, store: Store, band: ABand) -> None:
    """A rig without rows shows three rows of an invented example in grey, and the box to paste one's own."""
    with store.writing() as db:
        empty = a_stored_rig(db, band, Rig(name="x"))
    text = signed_in.get(f"/rigs/{empty.id}").text
    assert text.count('<tr class="under">') == 3
    assert "An example, not yours" in text
    assert '<textarea id="pasted"' in text
    assert f'action="/rigs/{empty.id}/import"' in text


ADDRESSES = ("", "/rows", "/rows/new", "/row?key=kick", "/import", "/revisions", "/revisions/1", "/revisions/1/rows.csv", "/revisions/1/rig.json")
TOPICS = ("/name", "/mixer", "/splitters", "/looms", "/ears", "/bits", "/mix", "/configurations")


def test_a_foreign_rig_is_not_there(signed_in: Browser, store: Store) -> None:
    """Another band's rig answers exactly as one that does not exist, at every address."""
    with store.writing() as db:
        foreign = a_stored_rig(db, a_band(db, name="The Others"))
    for address in ADDRESSES + TOPICS:
        there, nowhere = signed_in.get(f"/rigs/{foreign.id}{address}"), signed_in.get(f"/rigs/none{address}")
        assert there.status_code == nowhere.status_code == 404, address
        assert there.text == nowhere.text


POSTS = ("/rows", "/rows/new", "/row?key=kick", "/import", "/import/confirm", "/import/whole", *TOPICS)


def test_a_foreign_rig_cannot_be_changed(signed_in: Browser, store: Store) -> None:
    """No form reaches another band's rig."""
    with store.writing() as db:
        foreign = a_stored_rig(db, a_band(db, name="The Others"))
    for address in POSTS:
        assert signed_in.send(f"/rigs/{foreign.id}{address}", {"form_key": "k" * 20, "form_version": "1"}).status_code == 404, address


@pytest.fixture
def reader(browser: Browser, portal: deps.Portal, band: ABand) -> Browser:
    """A member of the band who does not own it."""
    token = new_token()
    with portal.store.writing() as db:
        user = bands.add_user(db, email="cleo@band.example", name="Cleo Example", password_hash="none", now=NOW)
        db.add(Member(user_id=user.id, band_id=band.band_id, role="member", created=NOW))
        db.flush()
        sessions.start_for_user(db, token_hash(token), user.id, now=NOW, expires=NOW + USER_LONGEST)
    browser.client.cookies.set(deps.cookie_name(portal.settings), token, domain="portal.test")
    return browser


def test_a_reader_reads(reader: Browser, stored: rigs.BandRig) -> None:
    """A member without the right to edit sees the rig and its files, and no way to change them."""
    text = reader.get(f"/rigs/{stored.id}").text
    assert "Kick" in text
    for word in ("Edit rows", "Change", "Rename", "Import rows"):
        assert word not in text
    assert "New rig" not in reader.get("/rigs").text
    assert reader.get(f"/rigs/{stored.id}/revisions/1/rig.json").status_code == 200


def test_a_reader_cannot_edit(reader: Browser, stored: rigs.BandRig, number: Callable[[], int]) -> None:
    """No editing page opens for a reader, and nothing that a reader sends is saved."""
    for address in ("/rows", "/rows/new", "/row?key=kick", "/import", *TOPICS):
        assert reader.get(f"/rigs/{stored.id}{address}").status_code == 403, address
    for address in POSTS:
        sent = reader.send(f"/rigs/{stored.id}{address}", {"form_key": "k" * 20, "form_version": "1", "name": "x"})
        assert sent.status_code == 403, address
    assert number() == 1


def test_a_reader_begins_no_rig(reader: Browser) -> None:
    """A new rig is the owner's to begin."""
    assert reader.get("/rigs/new").status_code == 403
    for start in ("nothing", "example", "file"):
        assert reader.send(f"/rigs/new/{start}", {"form_key": "k" * 20, "name": "x", "example_name": "x"}).status_code == 403


# Beginning


def made(browser: Browser, address: str) -> Rig:
    """The rig at an address, by its file."""
    return document_to_rig(browser.get(f"{address}/revisions/1/rig.json").json())


def test_a_rig_begins_from_nothing(signed_in: Browser) -> None:
    """A name is enough; without one the form says so and nothing is made."""
    assert fill(signed_in, "/rigs/new", "/rigs/new/nothing").status_code == 422
    answer = fill(signed_in, "/rigs/new", "/rigs/new/nothing", name="Club rig")
    assert answer.status_code == 303
    assert made(signed_in, answer.headers["location"]) == Rig(name="The Paper Lanterns")


def test_a_rig_begins_from_the_example(signed_in: Browser) -> None:
    """The example comes under fresh random keys, names its own rows by them, and contradicts itself nowhere."""
    one, other = (made(signed_in, fill(signed_in, "/rigs/new", "/rigs/new/example", example_name="Club").headers["location"]) for _ in "ab")
    assert [source.label for source in one.source] == [source.label for source in example_rig().source]
    assert not {source.key for source in one.source} & {source.key for source in other.source}
    assert faults(one) == ()
    assert any(source.pair_with for source in one.source)


def upload(browser: Browser, page: str, action: str, field: str, content: bytes, name: str, **changes: str) -> object:
    fields = form_of(browser.get(page), action) | {key: [value] for key, value in changes.items()}
    return browser.client.post(action, data=fields, files={field: (name, content)}, headers={"Origin": "https://portal.test"})


def test_a_rig_begins_from_a_file(signed_in: Browser, stored: rigs.BandRig, newest: Callable[[], Rig]) -> None:
    """What was saved as a file begins the very same rig, keys included."""
    content = signed_in.get(f"/rigs/{stored.id}/revisions/1/rig.json").content
    answer = upload(signed_in, "/rigs/new", "/rigs/new/file", "file", content, "rig.json")
    assert answer.status_code == 303
    assert made(signed_in, answer.headers["location"]) == newest()


TOML = """schema = 1
[mixer]
inputs = 900
[[source]]
key = "a"
label = "Kick"
phantom = "perhaps"
"""

CLASH = """schema = 1
[[source]]
key = "a"
label = "Kick"
mixer_input = 1
[[source]]
key = "a"
label = "Snare"
mixer_input = 1
"""


@pytest.mark.parametrize(
    ("content", "name", "said"),
    [
        (TOML.encode(), "rig.toml", ["mixer.inputs: expected a whole number from 0 to 256", "source[0].phantom: expected one of: yes, no"]),
        (CLASH.encode(), "rig.toml", ["use mixer input 1", "have the key"]),
        (b"\xff\xfe\x00\x80", "rig.json", ["Expected text in UTF-8"]),
        (b"{", "rig.json", ["expected JSON"]),
        (b" " * 2_000_001, "rig.json", ["Expected a file of at most 2 MB"]),
        (b"", "", ["Choose a file"]),
    ],
    ids=["faulty", "contradicting", "bytes", "broken", "large", "none"],
)
def test_a_faulty_rig_file_makes_nothing(signed_in: Browser, stored: rigs.BandRig, content: bytes, name: str, said: list[str]) -> None:
    """Every fault of the file is listed, no rig is made, and none is replaced."""
    before = signed_in.get("/rigs").text
    for page, action, field in (
        ("/rigs/new", "/rigs/new/file", "file"),
        (f"/rigs/{stored.id}/import", f"/rigs/{stored.id}/import/whole", "file_whole"),
    ):
        answer = upload(signed_in, page, action, field, content, name) if name else fill(signed_in, page, action)
        assert answer.status_code == 422
        listed = [sentence for _, sentence in summary(answer.text)]
        assert len(listed) == len(said)
        for words in said:
            assert any(words in sentence for sentence in listed), words
    assert signed_in.get("/rigs").text == before


def test_a_whole_file_replaces_a_rig(signed_in: Browser, stored: rigs.BandRig, newest: Callable[[], Rig]) -> None:
    """A rig's file takes the place of the rig as a new revision; the one before stays readable."""
    content = json.dumps({"schema": 1, "source": [{"key": "a", "label": "Only one"}]}).encode()
    answer = upload(signed_in, f"/rigs/{stored.id}/import", f"/rigs/{stored.id}/import/whole", "file_whole", content, "rig.json")
    assert answer.status_code == 303
    assert [source.label for source in newest().source] == ["Only one"]
    old = signed_in.get(f"/rigs/{stored.id}/revisions/1").text
    assert "This is revision 1, to read." in old
    assert "Kick" in old
    assert "Edit rows" not in old


# Rows


def rows_of(stored: rigs.BandRig) -> str:
    return f"/rigs/{stored.id}/rows"


def test_rows_are_saved_as_a_new_revision(
    signed_in: Browser, stored: rigs.BandRig, newest: Callable[[], Rig], number: Callable[[], int]
) -> None:
    """One save makes one revision with what was typed; the revision before is unchanged, and keys survive the new name."""
    answer = fill(signed_in, rows_of(stored), row1__label="Bass drum", row1__position="in", row1__note="Two legs")
    assert answer.status_code == 303
    assert number() == 2
    assert newest().source[0] == replace(a_rig().source[0], label="Bass drum", position="in", note="Two legs")
    assert newest().source[1:] == a_rig().source[1:]
    assert "Kick" in signed_in.get(f"/rigs/{stored.id}/revisions/1").text
    assert "Saved as revision 2." in signed_in.get(answer.headers["location"]).text
    listed = signed_in.get(f"/rigs/{stored.id}/revisions").text
    assert "Revision 2" in listed
    assert "Revision 1" in listed


def test_an_unchanged_form_makes_no_revision(signed_in: Browser, stored: rigs.BandRig, number: Callable[[], int]) -> None:
    """Every form, sent as it was drawn, leaves the rig at its revision."""
    for address in ("/rows", "/row?key=lead", *TOPICS):
        assert fill(signed_in, f"/rigs/{stored.id}{address}").status_code == 303, address
    assert number() == 1


def test_every_form_keeps_the_whole_example(signed_in: Browser, store: Store, band: ABand) -> None:
    """No form loses anything of a full rig by being saved as it was drawn."""
    with store.writing() as db:
        full = a_stored_rig(db, band, example_rig())
    for address in ("/rows", *(f"/row?key={source.key}" for source in example_rig().source), *TOPICS):
        assert fill(signed_in, f"/rigs/{full.id}{address}").status_code == 303, address
    with store.reading() as db:
        assert rigs.newest(db, full.id).number == 1
        assert rigs.newest(db, full.id).read() == example_rig()


def test_the_same_form_twice_saves_once(signed_in: Browser, stored: rigs.BandRig, number: Callable[[], int]) -> None:
    """Sending a form again leads to the first result and makes nothing new."""
    fields = form_of(signed_in.get(rows_of(stored)), rows_of(stored)) | {"row1-label": ["Bass drum"]}
    first, second = (send(signed_in, rows_of(stored), fields) for _ in "ab")
    assert (first.status_code, second.status_code) == (303, 303)
    assert first.headers["location"] == second.headers["location"]
    assert number() == 2


def test_a_new_row_follows_its_kind(signed_in: Browser, store: Store, band: ABand) -> None:
    """A row that only says what it is takes its name and everything else from its kind, and is plugged into what is free next."""
    with store.writing() as db:
        empty = a_stored_rig(db, band, Rig(splitter=(Splitter(key="s", name="Big", ways=128),)))
    changes: dict[str, str | list[str]] = {}
    for place, kind in enumerate(KINDS.values(), start=1):
        changes |= {f"row{place}-was": "", f"row{place}-what": kind.words, f"row{place}-position": "", f"row{place}-phantom": "", f"row{place}-stand": ""}
    assert fill(signed_in, f"/rigs/{empty.id}/rows", **changes).status_code == 303
    with store.reading() as db:
        sources = rigs.newest(db, empty.id).read().source
    ways = 0
    for place, (source, kind) in enumerate(zip(sources, KINDS.values(), strict=True), start=1):
        ways += kind.goes == "both"
        assert re.fullmatch("[0-9a-f]{12}", source.key)
        assert (source.what, source.label) == (kind.what, kind.words)
        assert (source.capture, source.level, source.phantom, source.stand) == (kind.capture, kind.level, kind.phantom, kind.stand)
        assert (source.goes, source.loud_on_stage) == (kind.goes, kind.loud)
        assert source.mixer_input == place
        assert (source.splitter, source.way) == (("s", ways) if kind.goes == "both" else ("", None))


def test_new_rows_share_nothing(signed_in: Browser, stored: rigs.BandRig, newest: Callable[[], Rig]) -> None:
    """Several new rows get different inputs and ways; what somebody typed is kept and left free by the others."""
    answer = fill(signed_in, rows_of(stored), row5__what="Vocal", row5__label="Ben", row6__label="Cowbell", row6__way="5", row6__splitter="s", row7__label="Egg")
    assert answer.status_code == 303
    ben, cowbell, egg = newest().source[4:]
    assert [one.way for one in (ben, cowbell, egg)] == [6, 5, 7]
    assert [one.mixer_input for one in (ben, cowbell, egg)] == [5, 6, 7]
    assert cowbell.what == "x-other"


def test_a_full_splitter_leaves_a_new_row_unplugged(signed_in: Browser, store: Store, band: ABand) -> None:
    """Where nothing is free, nothing is invented."""
    small = a_rig(splitter=(Splitter(key="s", name="Small", ways=4),), mixer=replace(a_rig().mixer, inputs=4))
    with store.writing() as db:
        full = a_stored_rig(db, band, small)
    assert fill(signed_in, f"/rigs/{full.id}/rows", row5__label="Egg").status_code == 303
    with store.reading() as db:
        egg = rigs.newest(db, full.id).read().source[4]
    assert (egg.splitter, egg.way, egg.mixer_input) == ("", None, None)


def test_a_changed_kind_brings_its_defaults(signed_in: Browser, stored: rigs.BandRig, newest: Callable[[], Rig]) -> None:
    """A row whose kind changes follows the new kind where it followed the old one; what was chosen stays."""
    fill(signed_in, rows_of(stored), row5__what="Trumpet", row5__phantom="yes")
    assert newest().source[4].loud_on_stage is True
    fill(signed_in, rows_of(stored), row5__what="Violin or fiddle")
    source = newest().source[4]
    assert (source.capture, source.stand, source.loud_on_stage, source.phantom) == ("di", "none", False, "yes")


def test_adding_a_row_asks_what_it_is(signed_in: Browser, stored: rigs.BandRig, newest: Callable[[], Rig]) -> None:
    """Without an answer nothing is added; with one the row is there, and its page opens."""
    page = f"/rigs/{stored.id}/rows/new"
    refused = fill(signed_in, page)
    assert refused.status_code == 422
    assert summary(refused.text) == [("what", "Choose what it is. Something else is on the list as well.")]
    answer = fill(signed_in, page, what="metal.hi-hat", player="Ben")
    source = newest().source[4]
    assert (source.label, source.player, source.phantom, source.way, source.mixer_input) == ("Hi-hat", "Ben", "yes", 5, 5)
    assert answer.headers["location"] == f"/rigs/{stored.id}/row?key={source.key}"
    assert signed_in.get(answer.headers["location"]).status_code == 200
    again = fill(signed_in, page, what="metal.hi-hat", player="Ben")
    assert again.status_code == 422
    assert "are called &#34;Hi-hat&#34;" in summary(again.text)[0][1]


def labels(fields: Fields) -> list[str]:
    return [values[0] for name, values in fields.items() if re.fullmatch(r"row\d+-label", name) and values[0]]


def test_moving_copying_and_removing_only_draw_again(
    signed_in: Browser, stored: rigs.BandRig, newest: Callable[[], Rig], number: Callable[[], int]
) -> None:
    """The buttons of a row change the form and keep what was typed; only saving saves, keys stay, and a copy gets a key of its own."""
    page = rows_of(stored)
    answer = fill(signed_in, page, do="up:3", row1__note="typed before")
    assert answer.status_code == 200
    fields = form_of(answer, page)
    assert labels(fields) == ["Kick", "Keys", "Bass", "Lead"]
    assert fields["row1-note"] == ["typed before"]
    assert "Not saved yet." in answer.text
    fields = form_of(send(signed_in, page, fields, do="down:1"), page)
    assert labels(fields) == ["Keys", "Kick", "Bass", "Lead"]
    fields = form_of(send(signed_in, page, fields, do="copy:4"), page)
    fields = form_of(send(signed_in, page, fields, do="remove:3"), page)
    assert labels(fields) == ["Keys", "Kick", "Lead", "Lead 2"]
    assert number() == 1
    assert send(signed_in, page, fields).status_code == 303
    rig = newest()
    assert [source.key for source in rig.source[:3]] == ["keys", "kick", "lead"]
    assert rig.source[1].note == "typed before"
    copy = rig.source[3]
    assert copy.key not in {"kick", "bass", "keys", "lead"}
    assert replace(copy, key="lead", label="Lead", way=4, mixer_input=4) == rig.source[2]
    assert (copy.way, copy.mixer_input) == (2, 2)


def test_the_ends_of_the_list_hold(signed_in: Browser, stored: rigs.BandRig) -> None:
    """The first row cannot go further up, the last not further down, and a row that is not there moves nothing."""
    page = rows_of(stored)
    for deed in ("up:1", "down:4"):
        assert labels(form_of(fill(signed_in, page, do=deed), page)) == ["Kick", "Bass", "Keys", "Lead"]
    assert fill(signed_in, page, do="up:77").status_code == 303


def test_a_removed_row_leaves_nothing_that_names_it(signed_in: Browser, store: Store, band: ABand) -> None:
    """Pairs, second microphones, rows never played together and configurations forget a row that is taken away."""
    rig = example_rig()
    with store.writing() as db:
        full = a_stored_rig(db, band, rig)
    page = f"/rigs/{full.id}/rows"
    named = next(place for place, source in enumerate(rig.source) if source.pair_with)
    off = next(place for place, source in enumerate(rig.source) if any(source.key in one.off for one in rig.configurations.values()))
    first = next(place for place, source in enumerate(rig.source) if any(one.second_of == source.key for one in rig.source))
    fields = form_of(signed_in.get(page), page)
    for place in sorted({named, off, first}, reverse=True):
        fields = form_of(send(signed_in, page, fields, do=f"remove:{place + 1}"), page)
    assert send(signed_in, page, fields).status_code == 303
    with store.reading() as db:
        after = rigs.newest(db, full.id).read()
    assert faults(after) == ()
    assert len(after.source) == len(rig.source) - len({named, off, first})


def test_blank_rows_stand_below(signed_in: Browser, stored: rigs.BandRig, store: Store, band: ABand) -> None:
    """There are blank rows at the end, more of them in an empty rig, and they are not saved."""
    with store.writing() as db:
        empty = a_stored_rig(db, band, Rig(name="x"))
    for rig, count in ((stored, 4 + BLANKS), (empty, FIRST_BLANKS)):
        fields = form_of(signed_in.get(rows_of(rig)), rows_of(rig))
        assert sum(name.endswith("-was") for name in fields) == count


def test_all_faults_are_told_at_once_by_row(signed_in: Browser, stored: rigs.BandRig, number: Callable[[], int]) -> None:
    """Faults of single fields and contradictions between rows stand in one summary that leads to the rows; everything typed is kept."""
    typed = {
        "row1__what": "Kik drum",
        "row2__way": "0",
        "row3__mixer_input": "4",
        "row4__label": "x" * 41,
        "row5__note": "a\u2028b",
        "row5__label": "Egg",
        "row2__player": "Ben",
    }
    answer = fill(signed_in, rows_of(stored), **typed)
    assert answer.status_code == 422
    assert "<title>Error: " in answer.text
    assert summary(answer.text) == [
        ("row1-what", "Row 1, what it is: &#34;Kik drum&#34; is not in the list. Choose a kind of source, perhaps &#34;Kick drum&#34;."),
        ("row2-way", "Row 2, splitter way: enter a whole number from 1 to 128."),
        ("row4-label", "Row 4, label: this has 41 characters; 40 fit. Shorten it."),
        ("row5-note", "Row 5, note for the engineer: this holds characters that cannot be shown. Type it instead of pasting it."),
        ("row3-mixer_input", "Rows 3 and 4 both use mixer input 4. Give one of them another input."),
    ]
    fields = form_of(answer, rows_of(stored))
    for name, value in typed.items():
        assert fields[name.replace("__", "-")] == [value]
    for field, sentence in summary(answer.text):
        assert f'id="{field}"' in answer.text
        assert f'id="{field}-fault"><b>Error:</b> {sentence}' in answer.text
        assert re.search(rf'name="{field}"[^>]*aria-invalid="true" aria-describedby="{field}-fault"', answer.text)
    assert number() == 1


def test_numbers_may_carry_a_unit(signed_in: Browser, stored: rigs.BandRig, newest: Callable[[], Rig]) -> None:
    """Blanks and a unit after a number do no harm."""
    for number, entry in enumerate(["5", " 6 ", "7 ch", "+8", "9,0"], start=5):
        assert fill(signed_in, rows_of(stored), row1__mixer_input=entry).status_code == 303
        assert newest().source[0].mixer_input == number


def test_a_stale_form_is_not_saved(signed_in: Browser, stored: rigs.BandRig, newest: Callable[[], Rig], number: Callable[[], int]) -> None:
    """Who comes second gets 409 with what differs and keeps every entry; saving once more then counts."""
    page = rows_of(stored)
    mine = form_of(signed_in.get(page), page) | {"row1-note": ["mine"], "row2-label": ["My bass"], "row5-label": ["My egg"]}
    fill(signed_in, page, row1__note="theirs", row5__label="Their egg")
    answer = send(signed_in, page, mine)
    assert answer.status_code == 409
    assert "Somebody else saved this meanwhile" in answer.text
    told = re.findall(r'<th scope="row">(.*?)</th><td data-head="Theirs">(.*?)</td><td data-head="Yours">(.*?)</td>', answer.text)
    assert told == [
        ("Kick, note for the engineer", "theirs", "mine"),
        ("Bass, label", "Bass", "My bass"),
        ("The row Their egg", "is there", "is not there"),
        ("The row &#34;My egg&#34;", "is not there", "is there"),
    ]
    assert number() == 2
    again = form_of(answer, page)
    assert (again["row1-note"], again["row2-label"], again["row5-label"]) == (["mine"], ["My bass"], ["My egg"])
    assert send(signed_in, page, again).status_code == 303
    assert [source.label for source in newest().source] == ["Kick", "My bass", "Keys", "Lead", "My egg"]


def test_every_other_form_notices_that_it_is_stale(signed_in: Browser, stored: rigs.BandRig, number: Callable[[], int]) -> None:
    """A form that was drawn from an older revision is shown again with what differs, and nothing is saved."""
    pages = [f"/rigs/{stored.id}{address}" for address in ("/row?key=kick", *TOPICS)]
    mine = {page: form_of(signed_in.get(page), page) for page in pages}
    fill(signed_in, rows_of(stored), row1__note="theirs")
    for page, fields in mine.items():
        answer = send(signed_in, page, fields)
        assert answer.status_code == 409, page
        assert 'data-head="Theirs"' in answer.text
    assert number() == 2


def test_a_form_without_its_version_is_refused(signed_in: Browser, stored: rigs.BandRig, number: Callable[[], int]) -> None:
    """A form that does not say what it was drawn from changes nothing."""
    fields = form_of(signed_in.get(rows_of(stored)), rows_of(stored))
    del fields["form_version"]
    assert send(signed_in, rows_of(stored), fields, row1__label="x").status_code == 428
    assert number() == 1


def big_rig() -> Rig:
    sources = tuple(a_source(f"s-{place}", label=f"Source {place}", splitter="s", way=place, mixer_input=place) for place in range(1, 129))
    return a_rig(source=sources, splitter=(Splitter(key="s", name="Big", ways=128),), mixer=replace(a_rig().mixer, inputs=128))


def test_the_largest_rig_can_be_saved(signed_in: Browser, store: Store, band: ABand) -> None:
    """A rig of 128 sources is drawn, changed in every row and saved in one go; one source more is refused in words."""
    with store.writing() as db:
        big = a_stored_rig(db, band, big_rig())
    page = rows_of(big)
    fields = form_of(signed_in.get(page), page)
    assert sum(name.endswith("-was") for name in fields) == 128
    assert len(fields) >= 128 * len(INLINE)
    changes = {f"row{place}__note": f"Note {place}" for place in range(1, 129)}
    assert send(signed_in, page, fields, **changes).status_code == 303
    with store.reading() as db:
        assert [source.note for source in rigs.newest(db, big.id).read().source] == [f"Note {place}" for place in range(1, 129)]
    fields = form_of(signed_in.get(page), page)
    answer = send(signed_in, page, fields | {"row129-was": [""], "row129-label": ["One more"]})
    assert answer.status_code == 422
    assert any("the portal takes 128" in sentence for _, sentence in summary(answer.text))


# One row


def test_the_page_of_a_row_has_every_field() -> None:
    """Whatever a source can hold is on its page, its key excepted; each field has words of its own."""
    names = {name.partition(".")[0] for name in NAMES}
    assert names == set(keys_of(Source)) - {"key"}
    assert set(LABELS[Source]) == set(NAMES)
    assert len(set(LABELS[Source].values())) == len(NAMES)


FULL = {
    "label": "Fiddle",
    "strip": "Fid",
    "player": "Eve",
    "what": "strings.violin",
    "position": "left",
    "capture": "di-active",
    "level": "line",
    "family": "strings",
    "submix": "Eve's box",
    "phantom": "yes",
    "phantom_ma": "4,5",
    "harmed_by_phantom": "yes",
    "impedance_ohm": "600",
    "max_dbu": "-10",
    "priority": "high",
    "must": "no",
    "goes": "house-only",
    "loud_on_stage": "yes",
    "fail_over": "yes",
    "optional": "yes",
    "lead": "yes",
    "owner.mic": "house",
    "owner.stand": "house",
    "owner.cable": "house",
    "stand": "clip",
    "mixer_input": "9",
    "splitter": "s",
    "way": "7",
    "at_m.0": "-1.5",
    "at_m.1": "2",
    "note": "Bring spare strings",
    "never_with": ["kick", "bass"],
}


def test_a_row_is_saved_with_all_its_fields(signed_in: Browser, stored: rigs.BandRig, newest: Callable[[], Rig]) -> None:
    """Every entry reaches the rig as the value that it says, under the same key."""
    page = f"/rigs/{stored.id}/row?key=keys"
    fields = form_of(signed_in.get(page), page) | {name: value if isinstance(value, list) else [value] for name, value in FULL.items()}
    assert send(signed_in, page, fields).status_code == 303
    source = newest().source[2]
    assert source.key == "keys"
    assert (source.phantom_ma, source.impedance_ohm, source.max_dbu, source.at_m) == (4.5, 600, -10.0, (-1.5, 2.0))
    assert (source.harmed_by_phantom, source.must, source.loud_on_stage, source.lead) == (True, False, True, True)
    assert (source.owner.mic, source.owner.stand, source.owner.cable) == ("house", "house", "house")
    assert source.never_with == ("kick", "bass")
    text = signed_in.get(page)
    assert {name: values for name, values in form_of(text, page).items() if name in FULL} == {
        name: (value if isinstance(value, list) else [value.replace(",", ".")]) for name, value in FULL.items()
    }


def test_a_pair_is_said_once(signed_in: Browser, stored: rigs.BandRig, newest: Callable[[], Rig]) -> None:
    """Choosing the other half makes both a pair of one kind; choosing another half frees the first."""
    fill(signed_in, rows_of(stored), row3__label="Keys left", row3__position="left", row5__what="Keyboard or synthesizer", row5__label="Keys right")
    right = newest().source[4].key
    page = f"/rigs/{stored.id}/row?key=keys"
    assert fill(signed_in, page, pair_with=right, pair_kind="left-right", inseparable="yes").status_code == 303
    one, other = newest().source[2], newest().source[4]
    assert (one.pair_with, other.pair_with) == (right, "keys")
    assert other.pair_kind == "left-right"
    assert other.inseparable
    fields = form_of(signed_in.get(page), page)
    del fields["inseparable"]
    assert send(signed_in, page, fields, pair_with="", pair_kind="").status_code == 303
    assert newest().source[4].pair_with == ""
    assert not newest().source[4].inseparable


def test_a_row_tells_its_faults(signed_in: Browser, stored: rigs.BandRig, number: Callable[[], int]) -> None:
    """Field faults and contradictions with other rows lead to the row's own fields, and nothing is saved."""
    page = f"/rigs/{stored.id}/row?key=lead"
    answer = fill(signed_in, page, **{"at_m.0": "3", "phantom_ma": "99", "mixer_input": "1", "pair_with": "kick"})
    assert answer.status_code == 422
    assert {field for field, _ in summary(answer.text)} == {"phantom_ma", "at_m.1", "mixer_input", "what"}
    for field, _ in summary(answer.text):
        assert f'id="{field}"' in answer.text
    assert number() == 1


def test_a_row_leads_to_the_next(signed_in: Browser, stored: rigs.BandRig) -> None:
    """A save may lead straight to the next row."""
    answer = fill(signed_in, f"/rigs/{stored.id}/row?key=kick", do="next")
    assert answer.headers["location"] == f"/rigs/{stored.id}/row?key=bass"
    opened = fill(signed_in, rows_of(stored), do="all:2", row1__note="kept")
    assert opened.headers["location"] == f"/rigs/{stored.id}/row?key=bass"


def test_a_row_that_somebody_removed_is_not_lost(signed_in: Browser, stored: rigs.BandRig, newest: Callable[[], Rig]) -> None:
    """A row that was taken away meanwhile is told of; saving once more brings it back under its key."""
    page = f"/rigs/{stored.id}/row?key=keys"
    mine = form_of(signed_in.get(page), page) | {"note": ["mine"]}
    fields = form_of(fill(signed_in, rows_of(stored), do="remove:3"), rows_of(stored))
    send(signed_in, rows_of(stored), fields)
    assert signed_in.get(page).status_code == 404
    answer = send(signed_in, page, mine)
    assert answer.status_code == 409
    assert send(signed_in, page, form_of(answer, page)).status_code == 303
    assert (newest().source[3].key, newest().source[3].note) == ("keys", "mine")


def test_a_key_with_signs_has_its_page(signed_in: Browser, store: Store, band: ABand) -> None:
    """Keys from a file may hold any sign; their rows open and are saved all the same."""
    odd = 'a/b?c=d&e#f "g" +'
    with store.writing() as db:
        rig = a_stored_rig(db, band, a_rig(source=(a_source(odd, label="Odd"),)))
    opened = fill(signed_in, rows_of(rig), do="all:1", row1__note="x")
    page = opened.headers["location"]
    answer = signed_in.get(page)
    assert answer.status_code == 200
    assert send(signed_in, page, form_of(answer, page), note="kept").status_code == 303
    with store.reading() as db:
        assert rigs.newest(db, rig.id).read().source[0].note == "kept"


def test_a_saved_revision_never_changes(signed_in: Browser, stored: rigs.BandRig) -> None:
    """What was saved once reads the same after every later save, whoever made it."""
    before = signed_in.get(f"/rigs/{stored.id}/revisions/1/rig.json").content
    fill(signed_in, rows_of(stored), row1__label="Other")
    assert signed_in.get(f"/rigs/{stored.id}/revisions/1/rig.json").content == before


def test_a_revision_that_is_not_there(signed_in: Browser, stored: rigs.BandRig) -> None:
    """A number that no revision has is a page that is not there."""
    for number in ("0", "2", "-1", "99999999999999999999", "x"):
        for file in ("", "/rows.csv", "/rig.json"):
            assert signed_in.get(f"/rigs/{stored.id}/revisions/{number}{file}").status_code == 404
