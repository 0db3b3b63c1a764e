"""Killed between two steps of a sign-off, a backup, a restore or a migration, nothing is half there afterwards and
nothing lies about.
"""

import json
import shutil
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from portal import admin_commands
from portal.jobs.planning import PLANNING
from portal.settings import Settings
from portal.store import planning
from portal.store.database import sqlite_backup
from portal.store.database.session import migrate, open_store
from portal.store.record.verify import verify
from portal.web.frame import deps
from portal.web.frame.running import Portal
from tests.builders import ABand
from tests.planning import AtOnce
from tests.store.another_step import ADDS_A_COLUMN, another_step
from tests.web import killed_at
from tests.web.conftest import Browser
from tests.web.planned import Planned, prepare
from tests.web.test_keeping import rows_of
from tests.web.world import finished


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    """A gig that the house signed."""
    gig = prepare(portal, band, signed_in, enter)
    portal.papers.close()
    gig.sign("house")
    return gig


def kill(what: str, source: Path, target: Path, *more: str) -> dict[str, Path]:
    """The data folder of each step at which the work was killed."""
    target.mkdir()
    program = [sys.executable, "-m", "tests.web.killed_at", what, str(source), str(target), *more]
    ran = subprocess.run(program, check=True, capture_output=True, text=True, timeout=300)
    ends = json.loads(ran.stdout)
    assert ends == dict.fromkeys(killed_at.STEPS[what], -signal.SIGKILL)
    return {step: target / str(number) for number, step in enumerate(ends)}


def faults_of(database: Path) -> tuple[str, ...]:
    """What is wrong in a file, and what in it does not hold."""
    store = open_store(database)
    with store.reading() as db:
        found = verify(db).faults
    store.close()
    return (*sqlite_backup.damage(database), *found)


def left_over(*folders: Path) -> list[Path]:
    """Whatever lies in some folders and is no file that belongs there."""
    marks = (".backup-", ".restore-", ".half", ".before-migration", "-journal")
    return [path for folder in folders for path in folder.rglob("*") if any(mark in path.name for mark in marks)]


def told(what: str, steps: int, orphans: int, rest: str) -> None:
    print(f"\nkilled in={what} kill_points={steps} orphans_after_recovery={orphans} {rest}")  # noqa: T201 - shown with -s


@pytest.mark.soak
def test_a_sign_off(planned: Planned, settings: Settings, tmp_path: Path) -> None:
    """The signature is there with its event or not at all; the same form sent again makes one signature, and one paper
    is kept.
    """
    name = deps.cookie_name(settings)
    cookie = (name, planned.band.client.cookies[name], planned.gig.id)
    killed = kill("sign-off", settings.data, tmp_path / "killed", *cookie)
    orphans: list[object] = []
    kept = 0
    for step, data in killed.items():
        again = killed_at.settings_of(data)
        orphans += [(step, fault) for fault in faults_of(again.database)]
        kept += signatures_of_band(again.database)
        # As the portal does at its start.
        assert admin_commands.run_forget(again) == 0
        killed_at.sign(data, *cookie, form=(data / "form.json").read_text())
        orphans += [(step, "again", fault) for fault in (*faults_of(again.database), *left_over(data))]
        assert signatures_of_band(again.database) == 1
    told(
        "sign-off", len(killed), len(orphans), f"signed_before_the_kill={kept} signed_after_sending_again={len(killed)}"
    )
    assert orphans == []
    assert kept == 3


@pytest.mark.slow
def test_a_plan(planned: Planned, settings: Settings, tmp_path: Path) -> None:
    """The answer is kept with what it asks for or not at all; the next start plans what was asked for, and the same
    form sent again makes one answer and one plan.
    """
    name = deps.cookie_name(settings, planned.gig.id)
    cookie = (name, planned.house.client.cookies[name], planned.gig.id)
    before = counted(settings.database)
    killed = kill("planning", settings.data, tmp_path / "killed", *cookie)
    orphans: list[object] = []
    waiting = 0
    for step, data in killed.items():
        database = killed_at.settings_of(data).database
        orphans += [(step, fault) for fault in faults_of(database)]
        app = killed_at.an_app(data)
        portal: Portal = app.state.portal
        with portal.store.reading() as db:
            waiting += len(planning.due(db))
        jobs = portal.jobs
        assert isinstance(jobs, AtOnce)
        finished(jobs.work_off(portal, PLANNING))
        portal.store.close()
        killed_at.answer(data, *cookie, form=(data / "form.json").read_text())
        orphans += [(step, "again", fault) for fault in (*faults_of(database), *left_over(data))]
        after = counted(database)
        assert [now - was for now, was in zip(after, before, strict=True)] == [1, 1, 1, 0], step
    told("planning", len(killed), len(orphans), f"asked_for_before_the_kill={waiting}")
    assert orphans == []
    assert waiting == 6


def counted(database: Path) -> list[int]:
    """Answers, plans, events of plans, and gigs whose plan is not there."""
    with closing(sqlite3.connect(database)) as raw:
        return [
            raw.execute(f"SELECT count(*) FROM {what}").fetchone()[0]  # noqa: S608 - words of this file
            for what in ("answer", "plan", "event WHERE kind = 'planned'", "planning WHERE wanted <> done")
        ]


def signatures_of_band(database: Path) -> int:
    with closing(sqlite3.connect(database)) as raw:
        return raw.execute("SELECT count(*) FROM signature WHERE party = 'band'").fetchone()[0]


@pytest.mark.soak
def test_a_backup(planned: Planned, settings: Settings, tmp_path: Path) -> None:
    """The file is there whole or not at all; the next backup clears up what the killed one left, a copy of everybody's
    names above all.
    """
    killed = kill("backup", settings.data, tmp_path / "killed")
    orphans = whole = left = 0
    for data in killed.values():
        again, file = killed_at.settings_of(data), data / "out" / "backup.zip.kept"
        left += bool(left_over(data))
        if file.exists():
            whole += admin_commands.run_restore(killed_at.settings_of(data / "whole"), file) == 0
        next_one = data / "out" / "next.zip"
        assert admin_commands.run_backup(again, next_one) == 0
        orphans += len(left_over(data)) + len(faults_of(again.database))
    assert admin_commands.run_restore(killed_at.settings_of(data / "again"), next_one) == 0
    assert rows_of(data / "again" / admin_commands.DATABASE) == rows_of(settings.database)
    told("backup", len(killed), orphans, f"left_by_the_kill={left} whole_files={whole}")
    assert (orphans, whole) == (0, 2)
    assert left > 0
    assert planned.newest()


@pytest.mark.slow
def test_a_restore(planned: Planned, settings: Settings, tmp_path: Path) -> None:
    """The folder is there whole or not at all, and the same restore can be done again."""
    file = tmp_path / "backup.zip"
    assert admin_commands.run_backup(settings, file) == 0
    killed = kill("restore", settings.data, tmp_path / "killed", str(file))
    orphans = whole = left = 0
    for data in killed.values():
        target = killed_at.settings_of(data / "restored")
        left += bool(left_over(data))
        if target.data.exists():
            whole += 1
        else:
            assert admin_commands.run_restore(target, file) == 0
        admin_commands.run_restore(killed_at.settings_of(data / "another"), file)
        orphans += len(left_over(data)) + len(faults_of(target.database))
        assert rows_of(target.database) == rows_of(settings.database)
    told("restore", len(killed), orphans, f"left_by_the_kill={left} whole_folders={whole}")
    assert (orphans, whole) == (0, 1)
    assert left > 0
    assert planned.newest()


def with_one_band(database: Path) -> None:
    """A database at the newest form that holds one band."""
    migrate(database)
    with closing(sqlite3.connect(database)) as raw, raw:
        raw.execute("INSERT INTO band VALUES ('b', 'The Paper Lanterns', '2026-11-25')")


@pytest.mark.slow
def test_a_migration(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The old form or the new one, with every row, and no copy of what people may have erased later."""
    data = tmp_path / "old"
    with_one_band(data / admin_commands.DATABASE)
    migrations = another_step(tmp_path, ADDS_A_COLUMN)
    killed = kill("migration", data, tmp_path / "killed", str(migrations))
    monkeypatch.setattr(killed_at.session, "MIGRATIONS", migrations)
    orphans = left = 0
    for folder in killed.values():
        left += bool(left_over(folder))
        migrate(folder / admin_commands.DATABASE)
        orphans += len(left_over(folder)) + len(faults_of(folder / admin_commands.DATABASE))
        with closing(sqlite3.connect(folder / admin_commands.DATABASE)) as raw:
            assert raw.execute("SELECT name, town FROM band").fetchall() == [("The Paper Lanterns", None)]
    told("migration", len(killed), orphans, f"left_by_the_kill={left}")
    assert orphans == 0
    assert left > 0


def test_a_migration_killed_half_way_is_undone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that is neither the old form nor the new one gives way to the copy, and is migrated again."""
    database = tmp_path / "data" / admin_commands.DATABASE
    with_one_band(database)
    shutil.copy(database, f"{database}.before-migration")
    database.write_bytes(database.read_bytes()[:4096] + b"\xff" * 9000)
    monkeypatch.setattr(killed_at.session, "MIGRATIONS", another_step(tmp_path, ADDS_A_COLUMN))
    migrate(database)
    assert sqlite_backup.damage(database) == ()
    with closing(sqlite3.connect(database)) as raw:
        assert raw.execute("SELECT name, town FROM band").fetchall() == [("The Paper Lanterns", None)]
    assert left_over(database.parent) == []
