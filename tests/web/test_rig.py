"""The band's rigs: read, begun, kept as revisions."""

import json
import re
from collections.abc import Callable

import pytest

from portal.exchange.example import example_rig
from portal.exchange.files import document_to_rig
from portal.plan.coherence import faults
from portal.plan.input.rig import Rig
from portal.store import rigs
from portal.store.accounts import bands, sessions
from portal.store.accounts.bands import Member
from portal.store.database.session import Store
from portal.web.frame import deps
from portal.web.frame.access import USER_LONGEST, new_token, token_hash
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand, a_band, a_stored_rig
from tests.web.conftest import Browser
from tests.web.rig_forms import TOPICS, fill, form_of, rows_of, summary

# Reading


def test_the_list_names_every_rig(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """The list leads to each rig and says its rows, its revision, who saved it and when."""
    text = signed_in.get("/rigs").text
    assert f'href="/rigs/{club_rig.id}">Club rig' in text
    assert "Wed 25 Nov 2026, 12:00 UTC, by Ada Example" in text


def test_a_rig_shows_all_its_parts(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """Sources with way and input, mixer, splitters, looms, ears, bits, mix and configurations stand on one page, to
    type and to read.
    """
    typed = signed_in.get(f"/rigs/{club_rig.id}?unfold=all").text
    assert 'name="row2-way" value="2"' in typed
    text = signed_in.get(f"/rigs/{club_rig.id}/revisions/1").text
    for heading in (
        "Splitters",
        "In-ear mixer",
        "In-ear mixes",
        "Looms",
        "Small things",
        "Mix and own PA",
        "Configurations",
    ):
        assert re.search(rf"<h2[^>]*>{heading}</h2>", text)
        assert re.search(rf"<h2[^>]*>{heading}</h2>", typed)
    assert re.search(r'class="stop way">.*?<b>2</b>', text, re.DOTALL)
    assert 'class="from">DI<' in text
    assert "Revision 1, saved" in text


def test_an_empty_rig_teaches(signed_in: Browser, store: Store, band: ABand) -> None:
    """A rig without rows shows three rows of an invented example in grey, and the box to paste one's own."""
    with store.writing() as db:
        empty = a_stored_rig(db, band, Rig(name="x"))
    text = signed_in.get(f"/rigs/{empty.id}").text
    assert text.count('<tr role="row" class="cut">') == 3
    assert "An example, not yours" in text
    assert '<textarea id="pasted"' in text
    assert f'action="/rigs/{empty.id}/import"' in text


ADDRESSES = (
    "",
    "/rows/together",
    "/row?key=kick",
    "/import",
    "/revisions",
    "/revisions/1",
    "/revisions/1/rows.csv",
    "/revisions/1/rig.json",
)


def test_a_foreign_rig_is_not_there(signed_in: Browser, store: Store) -> None:
    """Another band's rig answers exactly as one that does not exist, at every address."""
    with store.writing() as db:
        foreign = a_stored_rig(db, a_band(db, name="The Others"))
    for address in ADDRESSES + TOPICS:
        there, nowhere = signed_in.get(f"/rigs/{foreign.id}{address}"), signed_in.get(f"/rigs/none{address}")
        assert there.status_code == nowhere.status_code == 404, address
        assert there.text == nowhere.text


POSTS = ("", "/wiring", "/rows/together", "/row?key=kick", "/import", "/import/confirm", "/import/whole", *TOPICS)


def test_a_foreign_rig_cannot_be_changed(signed_in: Browser, store: Store) -> None:
    """No form reaches another band's rig."""
    with store.writing() as db:
        foreign = a_stored_rig(db, a_band(db, name="The Others"))
    for address in POSTS:
        assert (
            signed_in.send(f"/rigs/{foreign.id}{address}", {"form_key": "k" * 20, "form_version": "1"}).status_code
            == 404
        ), address


@pytest.fixture
def reader(browser: Browser, portal: Portal, band: ABand) -> Browser:
    """A member of the band who does not own it."""
    token = new_token()
    with portal.store.writing() as db:
        user = bands.add_user(db, email="cleo@band.example", name="Cleo Example", password_hash="none", now=NOW)
        db.add(Member(user_id=user.id, band_id=band.band_id, role="member", created=NOW))
        db.flush()
        sessions.start_for_user(db, token_hash(token), user.id, now=NOW, expires=NOW + USER_LONGEST)
    browser.client.cookies.set(deps.cookie_name(portal.settings), token, domain="portal.test")
    return browser


def test_a_reader_reads(reader: Browser, club_rig: rigs.BandRig) -> None:
    """A member without the right to edit sees the rig and its files, and no way to change them."""
    text = reader.get(f"/rigs/{club_rig.id}").text
    assert "Kick" in text
    for word in ("Save rig", "Change the rig", "Rename", "import rows"):
        assert word not in text
    assert "New rig" not in reader.get("/rigs").text
    assert reader.get(f"/rigs/{club_rig.id}/revisions/1/rig.json").status_code == 200


def test_a_reader_cannot_edit(reader: Browser, club_rig: rigs.BandRig, newest_number: Callable[[], int]) -> None:
    """No editing page opens for a reader, and nothing that a reader sends is saved."""
    for address in ("/rows/together", "/row?key=kick", "/import", *TOPICS):
        assert reader.get(f"/rigs/{club_rig.id}{address}").status_code == 403, address
    for address in POSTS:
        sent = reader.send(f"/rigs/{club_rig.id}{address}", {"form_key": "k" * 20, "form_version": "1", "name": "x"})
        assert sent.status_code == 403, address
    assert newest_number() == 1


def test_a_reader_begins_no_rig(reader: Browser) -> None:
    """A new rig is the owner's to begin."""
    assert reader.get("/rigs/new").status_code == 403
    for start in ("nothing", "example", "file"):
        assert (
            reader.send(f"/rigs/new/{start}", {"form_key": "k" * 20, "name": "x", "example_name": "x"}).status_code
            == 403
        )


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
    one, other = (
        made(signed_in, fill(signed_in, "/rigs/new", "/rigs/new/example", example_name="Club").headers["location"])
        for _ in "ab"
    )
    assert [source.label for source in one.source] == [source.label for source in example_rig().source]
    assert not {source.key for source in one.source} & {source.key for source in other.source}
    assert faults(one) == ()
    assert any(source.pair_with for source in one.source)


def upload(browser: Browser, page: str, action: str, field: str, content: bytes, name: str, **changes: str) -> object:
    fields = form_of(browser.get(page), action) | {key: [value] for key, value in changes.items()}
    return browser.client.post(
        action, data=fields, files={field: (name, content)}, headers={"Origin": "https://portal.test"}
    )


def test_a_rig_begins_from_a_file(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig]) -> None:
    """What was saved as a file begins the very same rig, keys included."""
    content = signed_in.get(f"/rigs/{club_rig.id}/revisions/1/rig.json").content
    answer = upload(signed_in, "/rigs/new", "/rigs/new/file", "file", content, "rig.json")
    assert answer.status_code == 303
    assert made(signed_in, answer.headers["location"]) == newest_rig()


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
        (
            TOML.encode(),
            "rig.toml",
            ["mixer.inputs: expected a whole number from 0 to 256", "source[0].phantom: expected one of: yes, no"],
        ),
        (CLASH.encode(), "rig.toml", ["use mixer input 1", "have the key"]),
        (b"\xff\xfe\x00\x80", "rig.json", ["Expected text in UTF-8"]),
        (b"{", "rig.json", ["expected JSON"]),
        (b" " * 2_000_001, "rig.json", ["Expected a file of at most 2 MB"]),
        (b"", "", ["Choose a file"]),
    ],
    ids=["faulty", "contradicting", "bytes", "broken", "large", "none"],
)
def test_a_faulty_rig_file_makes_nothing(
    signed_in: Browser, club_rig: rigs.BandRig, content: bytes, name: str, said: list[str]
) -> None:
    """Every fault of the file is listed, no rig is made, and none is replaced."""
    before = signed_in.get("/rigs").text
    for page, action, field in (
        ("/rigs/new", "/rigs/new/file", "file"),
        (f"/rigs/{club_rig.id}/import", f"/rigs/{club_rig.id}/import/whole", "file_whole"),
    ):
        answer = upload(signed_in, page, action, field, content, name) if name else fill(signed_in, page, action)
        assert answer.status_code == 422
        listed = [sentence for _, sentence in summary(answer.text)]
        assert len(listed) == len(said)
        for words in said:
            assert any(words in sentence for sentence in listed), words
    assert signed_in.get("/rigs").text == before


def test_a_whole_file_replaces_a_rig(signed_in: Browser, club_rig: rigs.BandRig, newest_rig: Callable[[], Rig]) -> None:
    """A rig's file takes the place of the rig as a new revision; the one before stays readable."""
    content = json.dumps({"schema": 1, "source": [{"key": "a", "label": "Only one"}]}).encode()
    answer = upload(
        signed_in, f"/rigs/{club_rig.id}/import", f"/rigs/{club_rig.id}/import/whole", "file_whole", content, "rig.json"
    )
    assert answer.status_code == 303
    assert [source.label for source in newest_rig().source] == ["Only one"]
    old = signed_in.get(f"/rigs/{club_rig.id}/revisions/1").text
    assert "This is revision 1, to read." in old
    assert "Kick" in old
    assert "Change the rig" not in old


def test_a_saved_revision_never_changes(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """What was saved once reads the same after every later save, whoever made it."""
    before = signed_in.get(f"/rigs/{club_rig.id}/revisions/1/rig.json").content
    fill(signed_in, rows_of(club_rig), row1__label="Other")
    assert signed_in.get(f"/rigs/{club_rig.id}/revisions/1/rig.json").content == before


def test_a_revision_that_is_not_there(signed_in: Browser, club_rig: rigs.BandRig) -> None:
    """A number that no revision has is a page that is not there."""
    for number in ("0", "2", "-1", "99999999999999999999", "x"):
        for file in ("", "/rows.csv", "/rig.json"):
            assert signed_in.get(f"/rigs/{club_rig.id}/revisions/{number}{file}").status_code == 404
