"""The same as ``test_killed_between`` with the database on a server: killed at any step of an answer or a sign-off,
nothing is half there, and the same form sent again has one effect.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from sqlalchemy import text

from portal import admin_commands
from portal.jobs.planning import PLANNING
from portal.settings import Settings
from portal.store import planning
from portal.store.database.session import open_store
from portal.store.record.verify import verify
from portal.web.documents.signed_papers import SIGNED_PAPERS
from portal.web.frame import deps
from portal.web.frame.running import Portal
from tests import postgresql
from tests.builders import NOW
from tests.planning import AtOnce
from tests.store import history
from tests.web import killed_at
from tests.web.planned import Planned
from tests.web.test_killed_between import kill, planned, told
from tests.web.world import finished

__all__ = ["planned"]

pytestmark = pytest.mark.soak


@pytest.fixture
def settings(tmp_path: Path) -> Iterator[Settings]:
    """A folder whose database is on a server."""
    postgresql.must_be_here()
    with postgresql.empty_database() as name:
        data = tmp_path / "data"
        data.mkdir()
        (data / killed_at.SERVER).write_text(name)
        yield killed_at.settings_of(data)


@pytest.fixture
def killed(planned: Planned, settings: Settings, tmp_path: Path) -> Callable[[str, str, str], dict[str, Path]]:
    """A way to have something killed at each of its steps: a folder with a database of its own for each."""

    def at_each(what: str, cookie: str, value: str) -> dict[str, Path]:
        # A database that somebody uses is not copied.
        assert planned.portal.listener is not None
        planned.portal.listener.close()
        planned.portal.store.close()
        planned.portal.leave()
        with postgresql.as_superuser(statements=True) as connection:
            while connection.execute(USED, {"name": (settings.data / killed_at.SERVER).read_text()}).scalar_one():
                connection.execute(text("SELECT pg_sleep(0.1)"))
        return kill(what, settings.data, tmp_path / "killed", cookie, value, planned.gig.id)

    return at_each


USED = text("SELECT count(*) FROM pg_stat_activity WHERE datname = :name")
COUNTS = ("answer", "plan", "event WHERE kind = 'planned'", "planning WHERE wanted <> done")
SIGNED = ("signature WHERE party = 'band'", "event WHERE kind = 'signed'", "paper")


def counted(settings: Settings, counts: tuple[str, ...]) -> list[int]:
    """How many rows there are of each."""
    store = open_store(settings.where)
    with store.reading() as db:
        found = [
            db.connection().execute(text(f"SELECT count(*) FROM {what}")).scalar_one()  # noqa: S608 - words of this file
            for what in counts
        ]
    store.close()
    return found


def papers_due(settings: Settings) -> int:
    """How many papers a process would make."""
    store = open_store(settings.where)
    with store.reading() as db:
        found = len(SIGNED_PAPERS.due(db, NOW))
    store.close()
    return found


def faults_of(settings: Settings) -> list[str]:
    """What in a database does not hold, or could not have come about."""
    store = open_store(settings.where)
    with store.reading() as db:
        found = [*verify(db).faults, *history.faults(db)]
    store.close()
    return found


def test_a_plan(planned: Planned, settings: Settings, killed: Callable[[str, str, str], dict[str, Path]]) -> None:
    """The answer is there with what it asks for or not at all; another process plans what was asked for, and the same
    form sent again makes one answer and one plan.
    """
    name = deps.cookie_name(settings, planned.gig.id)
    value = planned.house.client.cookies[name]
    before, waiting, orphans = counted(settings, COUNTS), 0, []
    folders = killed("planning", name, value)
    for step, data in folders.items():
        again = killed_at.settings_of(data)
        orphans += [(step, fault) for fault in faults_of(again)]
        portal: Portal = killed_at.an_app(data).state.portal
        with portal.store.reading() as db:
            waiting += len(planning.due(db))
        jobs = portal.jobs
        assert isinstance(jobs, AtOnce)
        finished(jobs.work_off(portal, PLANNING))
        portal.store.close()
        killed_at.answer(data, name, value, planned.gig.id, form=(data / "form.json").read_text())
        orphans += [(step, "again", fault) for fault in faults_of(again)]
        after = counted(again, COUNTS)
        assert [now - was for now, was in zip(after, before, strict=True)] == [1, 1, 1, 0], step
    told("planning on a server", len(folders), len(orphans), f"asked_for_before_the_kill={waiting}")
    assert orphans == []
    assert waiting == 6


def test_a_sign_off(planned: Planned, settings: Settings, killed: Callable[[str, str, str], dict[str, Path]]) -> None:
    """The signature is there with its event or not at all; the same form sent again makes one, with one paper."""
    name = deps.cookie_name(settings)
    value = planned.band.client.cookies[name]
    signed, orphans = 0, []
    folders = killed("sign-off", name, value)
    for step, data in folders.items():
        again = killed_at.settings_of(data)
        orphans += [(step, fault) for fault in faults_of(again)]
        signed += counted(again, SIGNED)[0]
        assert admin_commands.run_forget(again) == 0
        killed_at.sign(data, name, value, planned.gig.id, form=(data / "form.json").read_text())
        orphans += [(step, "again", fault) for fault in faults_of(again)]
        signatures, events, papers = counted(again, SIGNED)
        assert (signatures, events) == (1, 2), step
        # Where the form was confirmed before the kill, the next look of any process makes the paper.
        assert (papers, papers_due(again)) in {(1, 0), (0, 1)}, step
    told("sign-off on a server", len(folders), len(orphans), f"signed_before_the_kill={signed}")
    assert orphans == []
    assert signed == 3
