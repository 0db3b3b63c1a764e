"""Backup and restore: the same rows, the same hashes, the same key, into an empty folder only."""

import hashlib
import json
import shutil
import sqlite3
import time
import zipfile
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from portal import admin_commands
from portal.app import create_app
from portal.settings import Settings
from portal.store import plans
from portal.store.database import scopes, session
from portal.web.frame import deps
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand
from tests.store.test_copies import fill_up, lock_up
from tests.web.conftest import ORIGIN, Browser, Clock
from tests.web.planned import Planned, prepare


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    """A gig that both sides signed, with its paper."""
    gig = prepare(portal, band, signed_in, enter)
    portal.papers.close()
    gig.sign("house")
    gig.sign("band")
    with portal.store.writing() as db:
        positions = " ".join(str(row.position) for row in gig.signatures())
        plans.keep_paper(
            db,
            plan_id=gig.newest().id,
            document=f"patch-sheet {positions}",
            paper_size="A4",
            content=b"%PDF-1.7 signed",
            now=NOW,
        )
    return gig


def rows_of(database: Path) -> dict[str, list[tuple[object, ...]]]:
    with closing(sqlite3.connect(database)) as raw:
        names = [name for (name,) in raw.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return {name: sorted(raw.execute(f'SELECT * FROM "{name}"').fetchall(), key=repr) for name in names}  # noqa: S608 - the file's own names


def test_what_is_backed_up_comes_back(
    planned: Planned, settings: Settings, tmp_path: Path, clock: Clock, capsys: pytest.CaptureFixture[str]
) -> None:
    """A backup made while the portal runs, restored elsewhere, has every row, every hash and the key, and its papers
    and sessions work.
    """
    file = tmp_path / "backup.zip"
    elsewhere = replace(settings, data=tmp_path / "elsewhere")
    assert admin_commands.run_backup(settings, file) == 0
    started = time.perf_counter()
    assert admin_commands.run_restore(elsewhere, file) == 0
    took_s = time.perf_counter() - started
    ours, theirs = rows_of(settings.database), rows_of(elsewhere.database)
    assert ours == theirs
    assert settings.key_file.read_bytes() == elsewhere.key_file.read_bytes()
    for path in (file, elsewhere.database, elsewhere.key_file):
        assert path.stat().st_mode & 0o077 == 0
    assert elsewhere.data.stat().st_mode & 0o077 == 0
    papers = [(row[4], row[5]) for row in ours["paper"]]
    signed = len(ours["plan"]) + len(ours["signature"]) + len(papers)
    assert all(hashlib.sha256(content).hexdigest() == sha for content, sha in papers)
    assert "faults=0" in capsys.readouterr().out
    restored = create_app(elsewhere, clock)
    with TestClient(restored, base_url=ORIGIN, follow_redirects=False) as client:
        client.cookies = planned.band.client.cookies
        assert client.get(f"{planned.gigs_base}/plan").status_code == 200
        paper = client.get(f"{planned.gigs_base}/papers/patch-sheet.pdf")
    restored.state.portal.store.close()
    assert paper.content == b"%PDF-1.7 signed"
    rows = sum(map(len, ours.values()))
    print(  # noqa: T201 - shown with -s
        f"\nrows_equal=1 rows={rows} hashes_equal={signed}/{signed} restore_s={took_s:.2f} bytes={file.stat().st_size}"
    )


def test_nothing_is_written_over(
    planned: Planned, settings: Settings, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A backup does not replace a file, and a restore does not touch a folder in which something is."""
    file = tmp_path / "backup.zip"
    file.write_text("dear")
    assert admin_commands.run_backup(settings, file) == 1
    assert file.read_text() == "dear"
    file.unlink()
    assert admin_commands.run_backup(settings, file) == 0
    before = rows_of(settings.database)
    assert admin_commands.run_restore(settings, file) == 1
    assert "is not empty" in capsys.readouterr().out
    assert rows_of(settings.database) == before
    assert planned.newest().number == 1


def test_a_damaged_backup_is_refused(
    planned: Planned, settings: Settings, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whichever byte of a backup is changed, the restore notices or the content is the same; a refused one leaves
    nothing behind.
    """
    file, broken = tmp_path / "backup.zip", tmp_path / "broken.zip"
    assert admin_commands.run_backup(settings, file) == 0
    whole = file.read_bytes()
    ours = rows_of(settings.database)
    places = range(0, len(whole), max(1, len(whole) // 60))
    refused = harmless = 0
    for number, place in enumerate(places):
        broken.write_bytes(whole[:place] + bytes([whole[place] ^ 0x55]) + whole[place + 1 :])
        target = replace(settings, data=tmp_path / f"restored-{number}")
        if admin_commands.run_restore(target, broken):
            refused += 1
            assert not target.data.exists()
        else:
            harmless += 1
            assert rows_of(target.database) == ours
            shutil.rmtree(target.data)
    assert list(tmp_path.glob(".restore-*")) == []
    broken.write_bytes(whole[: len(whole) // 2])
    assert admin_commands.run_restore(replace(settings, data=tmp_path / "half"), broken) == 1
    capsys.readouterr()
    print(f"\ndamaged_backups={len(places)} refused={refused} harmless={harmless} restored_wrong=0")  # noqa: T201 - shown with -s
    assert refused > 40
    assert planned.newest().number == 1


def test_a_backup_that_names_strange_places_writes_nowhere_else(settings: Settings, tmp_path: Path) -> None:
    """Only the two names that a backup has are read: a file that would climb out of its folder is left aside."""
    file = tmp_path / "backup.zip"
    with zipfile.ZipFile(file, "w") as opened:
        opened.writestr("contents.json", '{"sha256": {"portal.sqlite3": "x", "server.key": "x", "../climbed": "x"}}')
        opened.writestr("../climbed", "out")
        opened.writestr("portal.sqlite3", "nothing")
    assert admin_commands.run_restore(replace(settings, data=tmp_path / "new" / "data"), file) == 1
    assert list(tmp_path.rglob("climbed")) == []


def test_a_database_from_before_the_first_release_is_left_as_it_was(
    settings: Settings, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every command refuses such a data folder, and a backup of one, with a sentence, and changes no byte."""
    old = replace(settings, data=tmp_path / "old")
    session.migrate(old.database)
    old.key_file.write_bytes(b"k" * 32)
    file = tmp_path / "backup.zip"
    assert admin_commands.run_backup(old, file) == 0
    with closing(sqlite3.connect(old.database)) as raw, raw:
        raw.execute("UPDATE alembic_version SET version_num = '2026_11_29_1645'")
    before = {path: path.read_bytes() for path in old.data.iterdir()}
    commands = (
        lambda: admin_commands.run_migrate(old),
        lambda: admin_commands.run_verify(old),
        lambda: admin_commands.run_backup(old, tmp_path / "another.zip"),
        lambda: admin_commands.run_forget(old),
    )
    capsys.readouterr()
    for command in commands:
        assert command() == 1
        assert f"The database {old.database} is older than the first release" in capsys.readouterr().out
    assert {path: path.read_bytes() for path in old.data.iterdir()} == before
    assert not (tmp_path / "another.zip").exists()
    packed = tmp_path / "old.zip"
    sums = {
        name: hashlib.sha256(Path(old.data, name).read_bytes()).hexdigest() for name in ("portal.sqlite3", "server.key")
    }
    with zipfile.ZipFile(packed, "w") as opened:
        opened.writestr("contents.json", json.dumps({"sha256": sums}))
        for name in sums:
            opened.write(old.data / name, name)
    empty = replace(settings, data=tmp_path / "empty")
    assert admin_commands.run_restore(empty, packed) == 1
    assert "cannot be restored: Its database is older than the first release." in capsys.readouterr().out
    assert not empty.data.exists()


def test_a_database_that_does_not_hold_is_told(
    planned: Planned, settings: Settings, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A backup of a database in which a signed row was changed says so and fails, but keeps the file."""
    with planned.portal.store.writing() as db:
        raw = db.connection()
        raw.exec_driver_sql("DROP TRIGGER no_update_paper")
        raw.exec_driver_sql("UPDATE paper SET content = x'00'")
    file = tmp_path / "backup.zip"
    assert admin_commands.run_backup(settings, file) == 1
    assert "has other bytes than were kept" in capsys.readouterr().out
    assert file.exists()


@pytest.mark.parametrize(("trouble", "words"), [(fill_up, "disk is full"), (lock_up, "read-only")])
def test_a_disk_that_takes_nothing_is_a_plain_page(
    app: FastAPI,
    signed_in: Browser,
    monkeypatch: pytest.MonkeyPatch,
    trouble: Callable[[session.Session], None],
    words: str,
) -> None:
    """Whoever saves while the disk is full or read-only reads that nothing was saved and what to do; nothing is kept,
    and reading works on.
    """

    @app.post("/saves")
    def saves(db: deps.Db) -> str:
        scopes.take(db, scopes.EVERYTHING)
        trouble(db)
        return "saved"

    answer = signed_in.send("/saves")
    assert answer.status_code == 503
    assert words in answer.text
    assert "Nothing was saved" in answer.text
    assert answer.headers["Retry-After"] == "60"
    assert signed_in.get("/").status_code == 200
    with app.state.portal.store.reading() as db:
        assert db.connection().exec_driver_sql("SELECT count(*) FROM band").scalar() == 1
    monkeypatch.undo()


def test_a_disk_that_fills_up_at_the_very_end_is_a_plain_page(
    app: FastAPI, browser: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When only the last step of keeping fails, the page says that nothing was saved, not that all is well."""

    @app.post("/keeps")
    def keeps(db: deps.Db) -> str:
        def fail() -> None:
            raise session.CannotWrite("full")

        monkeypatch.setattr(db, "commit", fail)
        return "saved"

    answer = browser.send("/keeps")
    assert (answer.status_code, "disk is full" in answer.text) == (503, True)


@pytest.mark.usefixtures("planned")
@pytest.mark.parametrize(
    ("key", "words"),
    [(None, "is missing"), (b"", "has 0 bytes instead of 32"), (b"k" * 32, "not the one that this database")],
)
def test_a_key_that_is_not_the_databases_is_told(
    settings: Settings, tmp_path: Path, capsys: pytest.CaptureFixture[str], key: bytes | None, words: str
) -> None:
    """Verifying, backing up and restoring name a missing, empty or wrong key in a sentence and fail."""
    whole = tmp_path / "whole.zip"
    assert admin_commands.run_backup(settings, whole) == 0
    if key is None:
        settings.key_file.unlink()
    else:
        settings.key_file.write_bytes(key)
    capsys.readouterr()
    file = tmp_path / "backup.zip"
    assert admin_commands.run_verify(settings) == 1
    assert admin_commands.run_backup(settings, file) == 1
    said = capsys.readouterr().out
    assert said.count(words) == 2
    if file.exists():
        assert admin_commands.run_restore(replace(settings, data=tmp_path / "elsewhere"), file) == 1
        assert words in capsys.readouterr().out
    assert admin_commands.run_restore(replace(settings, data=tmp_path / "again"), whole) == 0
