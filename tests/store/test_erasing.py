"""What is erased is gone from every file; what was signed still verifies."""

# ruff: noqa: S608 - the names of tables and columns are this file's own

import json
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

from portal.plan.input.line_up import LineUp
from portal.plan.input.rig import Source
from portal.store import answers, discussions, gigs, links, plans, signoffs
from portal.store.accounts import bands
from portal.store.database.session import Session, Store, open_store
from portal.store.day import line_checks
from portal.store.gigs import Gig
from portal.store.links import Link
from portal.store.record import data_export, erasing
from portal.store.record.verify import Verdict, verify
from tests.builders import NOW, ABand, a_gig, a_link, a_plan, a_rig

MANY = 25
"""Enough of each kind that rows are moved from page to page while they are written."""


@dataclass
class Planted:
    """One gig with everything that people can give; each canary stands for one thing that somebody typed."""

    band: ABand
    gig: Gig
    later: Gig
    link: Link
    other_link: Link
    member_id: str


def canaries(start: str, names: tuple[str, ...]) -> dict[str, str]:
    return {name: f"canary-{start}-{name}" for name in names}


HOUSE = canaries(
    "house",
    ("label", "name", "phone", "sheet", "limit", "radio", "comment", "finder", "note", "signer", "role", "ticked"),
)
OTHER = canaries("other", ("label", "sheet", "comment", "finder", "note", "signer", "role", "ticked"))
MEMBER = canaries("member", ("name", "email", "comment", "finder", "note", "signer", "role", "sheet", "ticked"))
OWNER = canaries("owner", ("name", "email", "comment", "signer", "role", "ticked"))
BAND = canaries("band", ("name", "gig", "place", "rig", "player", "gig-before"))


def plant(db: Session) -> Planted:
    """A band with two gigs at one place, two links to the first, and words of everybody."""
    owner = bands.add_user(db, email=OWNER["email"], name=OWNER["name"], password_hash="x", now=NOW)
    stored = bands.add_band(db, name=BAND["name"], owner_id=owner.id, now=NOW)
    band = ABand(stored.id, owner.id, owner.email)
    member = bands.add_user(db, email=MEMBER["email"], name=MEMBER["name"], password_hash="x", now=NOW)
    bands.add_member(db, band.band_id, member.id, "editor", NOW)
    rig = a_rig(name=BAND["rig"], ears=())
    gig = a_gig(db, band, rig=rig, name=BAND["gig-before"], place=BAND["place"])
    words = gigs.GigWords(
        BAND["gig"], gig.place, gig.on, gig.time_zone, gig.minutes, 60, "", gig.rig_id, gig.rig_revision_id
    )
    assert gigs.save(db, gig, 1, words, NOW, actor=f"user:{owner.id}")
    later = a_gig(db, band, place=BAND["place"], on=gig.on + timedelta(days=60))
    one, other = a_link(db, gig, band), a_link(db, gig, band)
    for link, label in ((one, HOUSE["label"]), (other, OTHER["label"])):
        db.connection().execute(text("UPDATE link SET label = :label WHERE id = :id"), {"label": label, "id": link.id})
    for number in range(MANY):
        _house(db, gig, one, HOUSE, number)
        _house(db, gig, other, OTHER, number)
        _house(db, gig, None, MEMBER, number, user_id=member.id)
        discussions.say(
            db, gig_id=gig.id, party="band", author=OWNER["name"], words=OWNER["comment"], user_id=owner.id, now=NOW
        )
    for question, value in (("contact-name", HOUSE["name"]), ("contact-phone", HOUSE["phone"])):
        before = answers.Before("house", "2026-12-05")
        rest = {"state": "answered", "value": value, "now": NOW}
        answers.give(db, gig_id=later.id, question=question, party="assumed", user_id=owner.id, before=before, **rest)
    plan = a_plan(db, gig)
    second = a_plan(db, gig, content_hash="b" * 64)
    for signed, party, words, who in (
        (plan, "house", HOUSE, {"link_id": one.id}),
        (plan, "band", MEMBER, {"user_id": member.id}),
        (second, "house", OTHER, {"link_id": other.id}),
        (second, "band", OWNER, {"user_id": owner.id}),
    ):
        signer = signoffs.Signer(party, words["signer"], words["role"], **who)
        ticked = (f"Stage box input 3: {words['ticked']} sets the gain.", "48 V by the house")
        signoffs.sign(db, signed, signer, statement_version="1", ticked=ticked, now=NOW)
    content = " ".join(
        [HOUSE["name"], HOUSE["phone"], HOUSE["signer"], MEMBER["signer"], OTHER["signer"], OWNER["signer"]]
    ).encode()
    for size in ("A4", "Letter"):
        plans.keep_paper(
            db, plan_id=plan.id, document="patch-sheet 1 2", paper_size=size, content=content * 3000, now=NOW
        )
    return Planted(band, gig, later, one, other, member.id)


def _house(
    db: Session, gig: Gig, link: Link | None, words: dict[str, str], number: int, user_id: str | None = None
) -> None:
    """What one person gives: answers, a comment, a finding, a proposal and its end."""
    party, link_id = ("house", link.id) if link else ("band", None)
    name = words.get("label") or words["name"]
    actor = f"link:{link_id}" if link_id else f"user:{user_id}"
    who = {"party": party, "link_id": link_id, "user_id": user_id}
    questions = (
        ("contact-name", "name"),
        ("contact-phone", "phone"),
        ("house-sheet", "sheet"),
        ("sound-limit", "limit"),
        ("radio", "radio"),
    )
    for question, key in questions:
        if key in words and (link or key == "sheet"):
            value = words[key] + f" {number}" * (number % 7)
            answers.give(db, gig_id=gig.id, question=question, state="answered", value=value[:120], now=NOW, **who)
    discussions.say(db, gig_id=gig.id, author=name, words=words["comment"] * (1 + number % 9), now=NOW, **who)
    finding = line_checks.Finding(("kick",), 1, "checked", "", words["note"] * (1 + number % 5), NOW)
    finder = line_checks.Finder(party, words["finder"], link_id=link_id, user_id=user_id)
    plan_id = (plans.newest(db, gig.id) or a_plan(db, gig, content_hash="c" * 64)).id
    line_checks.add(db, gig_id=gig.id, plan_id=plan_id, finding=finding, finder=finder, now=NOW)
    made = discussions.propose(
        db,
        gig_id=gig.id,
        source="kick",
        resource="desk-channel",
        value="9",
        party=party,
        author=name,
        actor=actor,
        reason=words["comment"],
        now=NOW,
    )
    discussions.settle(db, made.id, "taken-back", party, NOW, author=name, actor=actor, reason=words["comment"])


def folder_of(store: Store) -> Path:
    return Path(store.engine.url.database).parent


def hits(folder: Path, words: dict[str, str]) -> dict[str, int]:
    """How often each canary stands in any file of a folder, byte for byte."""
    contents = [path.read_bytes() for path in folder.rglob("*") if path.is_file()]
    found = {name: sum(content.count(word.encode()) for content in contents) for name, word in words.items()}
    return {name: count for name, count in found.items() if count}


def verdict(store: Store) -> Verdict:
    with store.reading() as db:
        return verify(db)


@pytest.fixture(scope="module")
def planted_once(empty_database: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Planted]:
    path = tmp_path_factory.mktemp("planted") / "portal.sqlite3"
    shutil.copy(empty_database, path)
    opened = open_store(path)
    with opened.writing() as db:
        planted = plant(db)
    opened.close()
    return path, planted


@pytest.fixture
def planted(planted_once: tuple[Path, Planted]) -> Planted:
    return planted_once[1]


@pytest.fixture
def store(planted_once: tuple[Path, Planted], tmp_path: Path) -> Iterator[Store]:
    opened = open_store(Path(shutil.copy(planted_once[0], tmp_path / "portal.sqlite3")))
    yield opened
    opened.close()


def test_every_canary_stands_in_the_file_before(store: Store, planted: Planted) -> None:
    """What the other tests look for is there to be found."""
    assert planted.link.id
    for words in (HOUSE, OTHER, MEMBER, OWNER, BAND.copy()):
        wanted = words.keys() - {"player"}
        assert hits(folder_of(store), words).keys() == wanted


def test_a_person_of_the_house_is_gone(store: Store, planted: Planted) -> None:
    """Nothing of what came by a link is left in any file, its copies at later gigs included; what others said stays,
    and all verifies.
    """
    before = verdict(store)
    with store.writing() as db:
        count = erasing.of_link(db, planted.link, NOW, actor=f"link:{planted.link.id}")
    left_before = sum(hits(folder_of(store), HOUSE).values())
    store.compact()
    left = hits(folder_of(store), HOUSE)
    after = verdict(store)
    said = (
        f"erased={count} hits_before_compacting={left_before} canary_hits={sum(left.values())}"
        f" chain_faults={len(after.faults)}"
    )
    print(f"\nperson=house canaries={len(HOUSE)} {said} papers_erased={after.erased}")  # noqa: T201 - shown with -s
    assert left == {}
    assert hits(folder_of(store), OTHER).keys() == OTHER.keys()
    assert (after.faults, after.signatures, after.plans, after.erased) == ((), before.signatures, before.plans, 2)
    with store.reading() as db:
        assert answers.current(db, planted.gig.id).keys().isdisjoint({"contact-name", "contact-phone"})
        kept = data_export.of_house(db, planted.gig, planted.other_link.id)
        assert sum(map(len, (kept.answers, kept.comments, kept.proposals, kept.findings, kept.signatures))) > 0


def test_the_whole_house_is_gone(store: Store, planted: Planted) -> None:
    """Erased for the house as a whole, no link's words are left; the band's own comments stay."""
    with store.writing() as db:
        erasing.of_house(db, planted.gig, NOW, actor=f"user:{planted.band.user_id}")
    store.compact()
    left = hits(folder_of(store), HOUSE | {f"other {name}": word for name, word in OTHER.items()})
    print(f"\nperson=whole house canary_hits={sum(left.values())} chain_faults={len(verdict(store).faults)}")  # noqa: T201 - shown with -s
    assert left == {}
    assert "comment" in hits(folder_of(store), OWNER)
    assert verdict(store).faults == ()


def test_an_account_is_gone(store: Store, planted: Planted) -> None:
    """Nothing of a member is left in any file; the band, its owner and the house stay, and all verifies."""
    with store.writing() as db:
        count = erasing.of_user(db, planted.member_id, NOW)
    store.compact()
    left = hits(folder_of(store), MEMBER)
    print(  # noqa: T201 - shown with -s
        f"\nperson=member canaries={len(MEMBER)} erased={count} canary_hits={sum(left.values())}"
        f" chain_faults={len(verdict(store).faults)}"
    )
    assert left == {}
    assert verdict(store).faults == ()
    with store.reading() as db:
        assert bands.user_by_email(db, MEMBER["email"]) is None
        assert [one.user_id for one in bands.members(db, planted.band.band_id)] == [planted.band.user_id]
        assert {row.signer_name for row in signoffs.history(db, planted.gig.id)} == {
            HOUSE["signer"],
            OTHER["signer"],
            OWNER["signer"],
            erasing.NAME,
        }


def test_the_owner_of_others_cannot_go(store: Store, planted: Planted) -> None:
    """While others belong to the band its owner's account is not erased, and nothing is."""
    with pytest.raises(erasing.StillNeeded), store.writing() as db:
        erasing.of_user(db, planted.band.user_id, NOW)
    assert hits(folder_of(store), OWNER).keys() == OWNER.keys()


def test_a_band_is_gone_with_its_last_member(store: Store, planted: Planted) -> None:
    """With the last account goes everything that the band kept here, of every side; the hashes of what was signed stay
    and verify.
    """
    before = verdict(store)
    with store.writing() as db:
        erasing.of_user(db, planted.member_id, NOW)
        erasing.of_user(db, planted.band.user_id, NOW)
    store.compact()
    everything = {word: word for words in (HOUSE, OTHER, MEMBER, OWNER, BAND) for word in words.values()}
    left = hits(folder_of(store), everything)
    after = verdict(store)
    print(  # noqa: T201 - shown with -s
        f"\nperson=last of the band canaries={len(everything)} canary_hits={sum(left.values())} plans={after.plans}"
        f" signatures={after.signatures} chain_faults={len(after.faults)}"
    )
    assert left == {}
    assert (after.faults, after.plans, after.signatures) == ((), before.plans, before.signatures)
    with store.reading() as db:
        assert not any(link.live(NOW) for link in links.of_gig(db, planted.gig.id))
        assert plans.with_hash(db, "a" * 64) == []


def test_time_erases_free_words(store: Store, planted: Planted) -> None:
    """Once a gig's time is over its contacts, comments and notes go, on both sides; a later gig keeps its own, and so
    do signatures.
    """
    with store.writing() as db:
        assert erasing.past(db, planted.gig.on - timedelta(days=1)) == []
        assert erasing.past(db, planted.gig.on) == [planted.gig.id]
        count = erasing.by_time(db, planted.gig.id, NOW)
    store.compact()
    kept = {"signer", "role", "email", "name", "phone"}
    for words in (HOUSE, OTHER, MEMBER, OWNER):
        assert hits(folder_of(store), words).keys() <= kept
    with store.writing() as db:
        # What was taken over to the later gig goes with that one.
        assert erasing.past(db, planted.later.on) == [planted.later.id]
        assert erasing.by_time(db, planted.later.id, NOW) > 0
        assert erasing.past(db, planted.later.on) == []
        assert erasing.by_time(db, planted.later.id, NOW) == 0
    store.compact()
    assert hits(folder_of(store), HOUSE).keys() == {"signer", "role"}
    print(f"\nby_time erased={count} contact_hits=0 chain_faults={len(verdict(store).faults)}")  # noqa: T201 - shown with -s
    assert verdict(store).faults == ()


def test_time_takes_names_off_the_line_up(store: Store, planted: Planted) -> None:
    """Who played for whom and who was a guest goes with the time of a gig, from its events and papers too; what
    differs from the rig stays.
    """
    names = canaries("night", ("dep", "guest", "note"))
    with store.writing() as db:
        gig = a_gig(db, planted.band, on=planted.gig.on)
        guest = Source(key="ab", label="Trumpet", player=names["guest"], note=names["note"])
        night = LineUp(deps=(("Ada", names["dep"]),), guests=(guest,))
        words = ("", f"{names['dep']} plays for Ada")
        assert gigs.set_line_up(db, gig, gig.version, night, "", words, NOW, actor="")
    with store.writing() as db:
        assert gig.id in erasing.past(db, gig.on)
        assert erasing.by_time(db, gig.id, NOW) > 0
        assert gig.id not in erasing.past(db, gig.on)
        assert erasing.by_time(db, gig.id, NOW) == 0
    store.compact()
    assert hits(folder_of(store), names) == {}
    assert verdict(store).faults == ()


def test_time_erases_what_was_ticked(store: Store, planted: Planted) -> None:
    """Where nothing but what both sides ticked is left of a gig, time takes it; the signatures stand and verify, and
    say that their words are erased.
    """
    names = canaries("ticked", ("player",))
    ticked = (f"{names['player']} sets the gain",)
    with store.writing() as db:
        gig = a_gig(db, planted.band, on=planted.gig.on)
        plan = a_plan(db, gig)
        for party in ("house", "band"):
            signer = signoffs.Signer(party, "Ada", "leader", user_id=planted.band.user_id)
            signoffs.sign(db, plan, signer, statement_version="1", ticked=ticked, now=NOW)
    with store.writing() as db:
        rows = signoffs.history(db, gig.id)
        assert [signoffs.read_ticked(db, row) for row in rows] == [ticked, ticked]
        assert gig.id in erasing.past(db, gig.on)
        assert erasing.by_time(db, gig.id, NOW) == 2
        assert gig.id not in erasing.past(db, gig.on)
    store.compact()
    assert hits(folder_of(store), names) == {}
    assert verdict(store).faults == ()
    with store.reading() as db:
        assert [signoffs.read_ticked(db, row) for row in signoffs.history(db, gig.id)] == [None, None]
        taken = json.loads(data_export.write(data_export.of_account(db, planted.band.user_id)))
        (told,) = [one for one in taken["gigs"] if one["signatures"] and one["signatures"][0]["name"] == "Ada"]
        assert [one["ticked"] for one in told["signatures"]] == [["words erased"], ["words erased"]]


ERASED_ONLY = {
    "answer": ('given = \'{"state":"erased"}\'', "given = '{\"state\":\"erased\"}', party = 'band'"),
    "comment": (
        "author = 'name erased', words = 'erased'",
        "author = 'name erased', words = 'erased', party = 'house'",
    ),
    "line_check": (
        "who = 'name erased', gain = '', note = 'erased'",
        "who = 'name erased', gain = '', note = 'erased', state = 'problem'",
    ),
    "paper": ("content = x''", "content = x'', sha256 = 'other'"),
    "plan": ("heading = '', document = ''", "heading = '', document = '', content_hash = 'other'"),
    "rig_revision": ("document = ''", "document = '', number = 9"),
    "signature": (
        "signer_name = 'name erased', signer_role = 'role erased'",
        "signer_name = 'name erased', signer_role = 'role erased', ticked = ''",
    ),
}


@pytest.mark.parametrize("table", ERASED_ONLY)
def test_a_row_may_be_erased_and_nothing_else(store: Store, planted: Planted, table: str) -> None:
    """The database itself lets a row lose its words, for good; other words, and any other column along with it, are
    refused.
    """
    erase, more = ERASED_ONLY[table]
    other = erase.replace("erased", "other").replace("x''", "x'00'").replace("''", "'other'")
    for changed in (more, other):
        with pytest.raises(IntegrityError, match="never changed"), store.writing() as db:
            db.connection().execute(text(f"UPDATE {table} SET {changed.replace(':', chr(92) + ':')}"))
    with store.writing() as db:
        assert db.connection().execute(text(f"UPDATE {table} SET {erase.replace(':', chr(92) + ':')}")).rowcount > 0
    with pytest.raises(IntegrityError, match="never changed"), store.writing() as db:
        db.connection().execute(text(f"UPDATE {table} SET {other.replace(':', chr(92) + ':')}"))
    assert planted.gig.id


@pytest.mark.parametrize(("table", "emptied"), [("paper", "content = x''"), ("plan", "heading = '', document = ''")])
def test_what_is_emptied_without_a_word_is_found(store: Store, planted: Planted, table: str, emptied: str) -> None:
    """A paper or a plan that is empty without the chain saying so is not what was kept."""
    with store.writing() as db:
        db.connection().execute(text(f"UPDATE {table} SET {emptied}"))
    assert any(fault.lower().startswith(table) for fault in verdict(store).faults)
    assert planted.gig.id


def test_what_was_given_is_there_to_take(store: Store, planted: Planted) -> None:
    """A person's download holds every one of their words, and nobody else's."""
    with store.reading() as db:
        house = data_export.write(data_export.of_house(db, planted.gig, planted.link.id)).decode()
        account = data_export.write(data_export.of_account(db, planted.member_id)).decode()
    for name, words, mine, others in (
        ("house", house, HOUSE, (OTHER, MEMBER, OWNER)),
        ("account", account, MEMBER, (HOUSE, OTHER, OWNER)),
    ):
        found = [word for word in mine.values() if word in words]
        strangers = [word for other in others for word in other.values() if word in words]
        print(f"\nexport={name} fields={len(found)}/{len(mine)} of_others={len(strangers)} bytes={len(words)}")  # noqa: T201 - shown with -s
        assert found == list(mine.values())
        assert strangers == []
        assert json.loads(words)


def test_a_plan_records_no_free_words(store: Store, planted: Planted) -> None:
    """What is signed knows nothing of contacts and other free words: they stand in rows of their own."""
    with closing(sqlite3.connect(store.engine.url.database)) as raw:
        for table in ("plan", "event", "form_key"):
            rows = repr(raw.execute(f'SELECT * FROM "{table}"').fetchall())
            assert [word for word in (*HOUSE.values(), *OTHER.values(), *MEMBER.values()) if word in rows] == []
    assert planted.gig.id


def test_nothing_is_left_between_the_rows(store: Store) -> None:
    """What was overwritten carelessly stands in free pages and gaps; once the file is written anew it does not."""
    words = {"words": "canary-between"}
    with closing(sqlite3.connect(store.engine.url.database, isolation_level=None)) as raw:
        raw.execute("PRAGMA secure_delete=OFF")
        for number in range(200):
            raw.execute(
                "INSERT INTO form_key VALUES (?, '', '', ?, '', '2026-11-25')",
                (f"{number * 7919 % 200}", words["words"] * (number % 40)),
            )
        raw.execute("UPDATE form_key SET fingerprint = ''")
        raw.execute("DELETE FROM form_key")
    careless = hits(folder_of(store), words)
    store.compact()
    left = hits(folder_of(store), words)
    print(f"\ncareless_hits={careless.get('words', 0)} after_compacting={sum(left.values())}")  # noqa: T201 - shown with -s
    assert careless != {}
    assert left == {}
