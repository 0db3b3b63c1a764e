"""What was signed under schema 1 and its rules stays readable, printable, verifiable and erasable, and is never hashed
again.

``signed_under_schema_1.sql`` was written by the portal of that time: it is never made anew. A new schema gets a file of
its own beside it.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import pytest
from alembic import command
from fastapi.testclient import TestClient

from portal.advance import planning
from portal.app import JOBS, create_app
from portal.plan.signed.difference import difference
from portal.settings import Settings
from portal.store import gigs, links, plans, signoffs
from portal.store.accounts import sessions
from portal.store.database.server_key import open_key
from portal.store.database.session import alembic_config, migrate, open_store
from portal.store.record import erasing
from portal.store.record.verify import verify
from portal.web.frame import deps
from portal.web.frame.access import USER_LONGEST, new_token, token_hash
from portal.web.frame.running import Portal
from portal.web.plan import plan_page
from tests.builders import NOW
from tests.planning import AtOnce, InThisProcess
from tests.web.conftest import ORIGIN, Browser
from tests.web.planned import filled, words_of

SIGNED = Path(__file__).parents[1] / "store" / "data" / "signed_under_schema_1.sql"
FIRST_FORM = "2026_11_29_1900"
SHEET = b"%PDF-1.7 the sheet that both sides signed"


@dataclass
class Old:
    """A gig of that time, three revisions of which the last one is signed by both sides."""

    portal: Portal
    gig: gigs.Gig
    owner: str
    band: Browser
    house: Browser

    def plan(self, number: int) -> plans.StoredPlan:
        with self.portal.store.reading() as db:
            found = plans.by_number(db, self.gig.id, number)
            assert found is not None
            return found


@pytest.fixture
def old(tmp_path: Path) -> Iterator[Old]:
    settings = Settings(tmp_path, "127.0.0.1", 0, ORIGIN)
    command.upgrade(alembic_config(settings.database), FIRST_FORM)
    empty = open_store(settings.database)
    open_key(empty, settings.key_file)
    empty.close()
    with closing(sqlite3.connect(settings.database)) as raw:
        raw.executescript(SIGNED.read_text())
    migrate(settings.database)
    app = create_app(settings, lambda: NOW, AtOnce(JOBS), InThisProcess())
    portal: Portal = app.state.portal
    portal.notifier.close()
    with portal.store.writing() as db:
        gig = db.exec(gigs.select(gigs.Gig)).one()
        link = links.of_gig(db, gig.id)[0]
        ours, theirs = new_token(), new_token()
        owner = link.created_by
        sessions.start_for_user(db, token_hash(ours), owner, now=NOW, expires=NOW + USER_LONGEST)
        sessions.start_for_link(db, token_hash(theirs), link.id, only_view=False, now=NOW, expires=link.expires)
    made = []
    for name, token in ((deps.cookie_name(settings), ours), (deps.cookie_name(settings, gig.id), theirs)):
        client = TestClient(app, base_url=ORIGIN, follow_redirects=False)
        client.cookies.set(name, token, domain="portal.test")
        made.append(Browser(client))
    yield Old(portal, gig, owner, *made)
    portal.papers.close()
    portal.store.close()


@pytest.fixture
def newer_rules(monkeypatch: pytest.MonkeyPatch) -> None:
    """The portal plans by rules that came after that plan, whatever rules it has by now."""
    for module in (planning, plan_page):
        monkeypatch.setattr(module, "ENGINE", "of tomorrow")


def test_every_page_of_it_is_there(old: Old) -> None:
    """Both sides read the plan, its earlier revisions, their receipts, the history and the papers."""
    for browser, base in ((old.band, f"/gigs/{old.gig.id}"), (old.house, f"/house/{old.gig.id}")):
        pages = ["", "/plan", "/plan/1", "/plan/2", "/papers", "/papers/3/patch-sheet", "/what-if"]
        pages += ["/day", "/talk", "/questions", "/sign-off/3"]
        answers = {page: browser.client.get(base + page) for page in pages}
        assert {page: one.status_code for page, one in answers.items() if one.status_code != 200} == {}
    words = words_of(old.band.get(f"/gigs/{old.gig.id}").text)
    assert "Both sides signed. Take the sheet along" in words


def test_its_hashes_are_what_was_signed(old: Old) -> None:
    """The record holds, the stored hashes are those under the signatures, and nothing of them is worked out anew."""
    with old.portal.store.reading() as db:
        verdict = verify(db)
        assert verdict.faults == ()
        assert (verdict.plans, verdict.signatures, verdict.papers) == (3, 2, 1)
        rows = signoffs.history(db, old.gig.id)
    assert {row.content_hash for row in rows} == {old.plan(3).content_hash}
    assert old.plan(3).content_hash.startswith("d6d656b6")


def test_its_differences_are_said(old: Old) -> None:
    """Two stored revisions of then are compared in today's words."""
    one, two = old.plan(1).read(), old.plan(2).read()
    assert difference(one, old.plan(3).read()) == ()
    assert len(difference(one, two)) > 0
    words = words_of(old.band.get(f"/gigs/{old.gig.id}/plan/2").text)
    assert "What has changed since:" in words


def test_its_sheet_has_the_bytes_that_were_kept(old: Old) -> None:
    """The signed sheet is handed out as it was kept, and none is made anew."""
    assert old.house.get(f"/house/{old.gig.id}/papers/3/patch-sheet.pdf").content == SHEET
    with old.portal.store.reading() as db:
        (paper,) = plans.papers_of(db, old.plan(3).id)
    assert old.band.get(f"/gigs/{old.gig.id}/papers/kept/{paper.id}.pdf").content == SHEET


def test_it_says_that_its_rules_are_older(old: Old, newer_rules: None) -> None:
    """The band is told that the plan was signed under earlier rules, what a new one would do to the signatures, and may
    plan again; the house reads it as it is. Nothing is planned anew by itself, and the agreement stays.
    """
    del newer_rules
    words = words_of(old.band.get(f"/gigs/{old.gig.id}/plan").text)
    assert "This plan was made with earlier rules and was signed for the band and the house under them." in words
    assert "Signatures then stand under the earlier revision only, where the new plan differs." in words
    assert "Plan again" in words
    assert "Plan again" not in words_of(old.house.get(f"/house/{old.gig.id}/plan").text)
    assert "Both sides signed" in words_of(old.band.get(f"/gigs/{old.gig.id}").text)
    assert old.plan(3).number == 3
    page = f"/gigs/{old.gig.id}/plan"
    before = old.plan(3)
    assert old.band.send(f"{page}/again", page=page).status_code == 303
    with old.portal.store.reading() as db:
        newest = plans.newest(db, old.gig.id)
        assert newest is not None
        assert (newest.number, newest.engine) == (4, "of tomorrow")
        assert verify(db).faults == ()
    assert old.plan(3).model_dump() == before.model_dump()


def test_it_is_not_signed_again_under_other_rules(old: Old, newer_rules: None) -> None:
    """A signature that was withdrawn is given again only under a plan by the rules of now."""
    del newer_rules
    house = f"/house/{old.gig.id}"
    form = old.house.hidden(f"{house}/sign-off/3")
    withdrawn = old.house.send(f"{house}/sign-off/3/withdraw", {**form, "name": "Jamie Example"})
    assert withdrawn.status_code == 303
    answer = old.house.send(
        f"{house}/sign-off", filled(old.house.get(f"{house}/sign-off").text, name="Jamie Example", role="engineer")
    )
    assert answer.status_code == 409
    assert "The rules by which the portal plans." in words_of(answer.text)


def test_it_is_erased_like_any_other(old: Old) -> None:
    """Free words, the kept sheet and at last the band go; the chain, the hashes and the signatures hold."""
    with old.portal.store.writing() as db:
        assert erasing.past(db, old.gig.on) == [old.gig.id]
        assert erasing.by_time(db, old.gig.id, NOW) > 0
    assert old.band.get(f"/gigs/{old.gig.id}/papers/3/patch-sheet").status_code == 200
    with old.portal.store.writing() as db:
        erasing.of_user(db, old.owner, NOW)
    old.portal.store.compact()
    with old.portal.store.reading() as db:
        verdict = verify(db)
        assert verdict.faults == ()
        assert (verdict.plans, verdict.signatures) == (3, 2)
        assert plans.newest(db, old.gig.id).erased
    left = old.portal.settings.database.read_bytes()
    assert [
        word for word in (b"Jamie Example", b"0000 111", b"Mind the step", b"Harbour night", SHEET) if word in left
    ] == []
