"""Copies, migrations that fail, and what every connection is set to."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import text

from portal.store.database import session as stored
from portal.store.database import sqlite_backup
from portal.store.database.session import PRAGMAS, CannotWrite, Store, migrate, open_store
from tests.builders import a_band
from tests.store.another_step import ADDS_A_COLUMN, another_step

FIRST_WAL_FIX = (3, 51, 3)


def test_a_copy_of_a_database_in_use_is_whole(file_store: Store, tmp_path: Path) -> None:
    """A copy holds what was committed, nothing of what is just being written, and can be read by its owner only."""
    database = Path(file_store.engine.url.database)
    with file_store.writing() as db:
        a_band(db)
    copy = tmp_path / "copy.sqlite3"
    with file_store.writing() as db:
        a_band(db)
        with file_store.reading() as other:
            other.connection()
            sqlite_backup.copy_to(database, copy)
    assert sqlite_backup.damage(copy) == ()
    with closing(sqlite3.connect(copy)) as opened:
        assert opened.execute("SELECT count(*) FROM band").fetchone() == (1,)
    assert copy.stat().st_mode & 0o777 == 0o600
    assert list(tmp_path.glob("*.half")) == []


def test_a_copy_overwrites_nothing(file_store: Store, tmp_path: Path) -> None:
    """A file that is there stays, and nothing half-made is left beside it."""
    copy = tmp_path / "copy.sqlite3"
    copy.write_text("dear")
    with pytest.raises(FileExistsError):
        sqlite_backup.copy_to(Path(file_store.engine.url.database), copy)
    assert copy.read_text() == "dear"
    assert list(tmp_path.glob("*.half")) == []


@pytest.mark.parametrize("place", [30, 4096, 20_480])
def test_damage_is_seen(empty_database: Path, tmp_path: Path, place: int) -> None:
    """A file with a hole in it, or one that is no database, is not called whole."""
    broken = tmp_path / "broken.sqlite3"
    content = bytearray(empty_database.read_bytes())
    content[place : place + 900] = b"\xff" * 900
    broken.write_bytes(content)
    assert sqlite_backup.damage(broken) != ()
    assert sqlite_backup.damage(empty_database) == ()
    broken.write_text("no database at all, but long enough to be read as one" * 40)
    assert sqlite_backup.damage(broken) != ()


def test_an_orphan_is_seen(empty_database: Path, tmp_path: Path) -> None:
    """A row without its parent is damage, even where every page is well."""
    orphaned = tmp_path / "orphaned.sqlite3"
    orphaned.write_bytes(empty_database.read_bytes())
    with closing(sqlite3.connect(orphaned)) as opened, opened:
        opened.execute("INSERT INTO rig VALUES ('r', 'no such band', 'Rig', 1, '2026-11-25')")
    assert sqlite_backup.damage(orphaned) == ("A row of rig lost its parent in band.",)


FAILS = {
    "raises half-way": "    op.execute('DELETE FROM member')\n    raise RuntimeError('broken')\n",
    "loses rows' parents": "    op.execute('DELETE FROM band')\n",
    "ends its own transaction": (
        "    op.execute('DELETE FROM member')\n    op.execute('COMMIT')\n    op.execute('BEGIN')\n"
        "    raise RuntimeError('broken')\n"
    ),
}


@pytest.mark.parametrize("body", FAILS.values(), ids=FAILS.keys())
def test_a_migration_that_fails_leaves_the_file_as_it_was(
    empty_database: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, body: str
) -> None:
    """However a migration fails, every row is there afterwards, the old form as well, and no copy lies about."""
    database = tmp_path / "portal.sqlite3"
    database.write_bytes(empty_database.read_bytes())
    opened = open_store(database)
    with opened.writing() as db:
        a_band(db)
    opened.close()
    before = sqlite_backup.revision_of(database)
    monkeypatch.setattr(stored, "MIGRATIONS", another_step(tmp_path, body))
    with pytest.raises(Exception, match=r"broken|lost their parent"):
        migrate(database)
    assert sqlite_backup.revision_of(database) == before
    assert sqlite_backup.damage(database) == ()
    with closing(sqlite3.connect(database)) as raw:
        assert raw.execute("SELECT (SELECT count(*) FROM band), (SELECT count(*) FROM member)").fetchone() == (1, 1)
    assert [path.name for path in tmp_path.glob("portal.sqlite3*")] == ["portal.sqlite3"]


def test_a_migration_that_works_keeps_rows_and_no_copy(
    empty_database: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A table that is made anew keeps its rows and those of its children, and the copy made before is gone."""
    database = tmp_path / "portal.sqlite3"
    database.write_bytes(empty_database.read_bytes())
    opened = open_store(database)
    with opened.writing() as db:
        a_band(db)
    opened.close()
    monkeypatch.setattr(stored, "MIGRATIONS", another_step(tmp_path, ADDS_A_COLUMN))
    migrate(database)
    assert sqlite_backup.revision_of(database) == "9999_more"
    with closing(sqlite3.connect(database)) as raw:
        assert raw.execute("SELECT (SELECT count(*) FROM band), (SELECT count(*) FROM member)").fetchone() == (1, 1)
    assert [path.name for path in tmp_path.glob("portal.sqlite3*")] == ["portal.sqlite3"]


def test_every_connection_says_what_it_is_set_to(empty_database: Path) -> None:
    """Each of several connections at once, readers and writers, is read back; the write-ahead log, which some versions
    damage, is off.
    """
    opened = open_store(empty_database)
    sessions = [opened.open(to_write=False) for _ in range(8)]
    names = [pragma.split()[1].partition("=")[0] for pragma in PRAGMAS]
    found = {tuple(one.connection().exec_driver_sql(f"PRAGMA {name}").scalar() for name in names) for one in sessions}
    for one in sessions:
        one.close()
    opened.close()
    affected = (3, 7, 0) <= sqlite3.sqlite_version_info < FIRST_WAL_FIX
    said = " ".join(f"{name}={value}" for values in found for name, value in zip(names, values, strict=True))
    print(f"\nsqlite={sqlite3.sqlite_version} wal_reset_affected={affected} connections={len(sessions)} {said}")  # noqa: T201 - shown with -s
    assert found == {("delete", 2, 1, 1, 10000)}


def fill_up(db: stored.Session) -> None:
    """No page may be added to the file: what a full disk says."""
    pages = db.connection().exec_driver_sql("PRAGMA page_count").scalar()
    db.connection().exec_driver_sql(f"PRAGMA max_page_count={pages}")
    for _ in range(200):
        a_band(db, name="x" * 500)


def lock_up(db: stored.Session) -> None:
    """Nothing may be written: what a read-only folder says."""
    db.connection().exec_driver_sql("PRAGMA query_only=ON")
    a_band(db)


@pytest.mark.parametrize(("trouble", "why"), [(fill_up, "full"), (lock_up, "read-only")])
def test_a_disk_that_takes_nothing_is_named(
    file_store: Store, trouble: Callable[[stored.Session], None], why: str
) -> None:
    """A full disk and a read-only one come out as what they are, and nothing of the attempt is kept."""
    with pytest.raises(CannotWrite) as caught, file_store.writing() as db:
        trouble(db)
    assert caught.value.why == why
    with closing(sqlite3.connect(file_store.engine.url.database)) as raw:
        assert raw.execute("SELECT count(*) FROM band").fetchone() == (0,)


def test_a_writer_who_waits_too_long_is_told(file_store: Store) -> None:
    """Somebody else holds the database for longer than anybody waits."""
    with closing(sqlite3.connect(file_store.engine.url.database, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with file_store.reading() as db:
            db.connection().exec_driver_sql("PRAGMA busy_timeout=1")
        with pytest.raises(CannotWrite) as caught, file_store.writing() as db:
            db.connection().execute(text("SELECT 1"))
    assert caught.value.why == "busy"
