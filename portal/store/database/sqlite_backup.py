"""Copies of a database that is in use, and whether a file is a whole one."""

import os
import sqlite3
from contextlib import closing
from pathlib import Path


def copy_to(database: Path, copy: Path) -> None:
    """Write a copy of a database, as it stands at this moment, to a file that is not there yet; it is on the disk when
    this returns.

    Whoever writes meanwhile waits; copying the file itself could catch it in the middle of a change.
    """
    half = copy.with_name(copy.name + ".half")
    half.unlink(missing_ok=True)
    # Made first, so that it is never readable by others.
    os.close(os.open(half, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
    try:
        with closing(sqlite3.connect(database, timeout=30, isolation_level=None)) as source:
            source.execute("VACUUM INTO ?", (str(half),))
        settle(half)
        if copy.exists():
            raise FileExistsError(f"{copy} is there already.")
        half.rename(copy)
    finally:
        half.unlink(missing_ok=True)
    settle(copy.parent)


def settle(path: Path) -> None:
    """Wait until a file, or the names in a folder, are on the disk."""
    opened = os.open(path, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)


def damage(database: Path) -> tuple[str, ...]:
    """What SQLite itself finds wrong in a database file: damaged pages, rows without their parent; empty where all is
    well.
    """
    try:
        # Not read-only: what a writer left that was killed is rolled back by whoever opens the file next.
        with closing(sqlite3.connect(f"{database.absolute().as_uri()}?mode=rw", uri=True, timeout=30)) as opened:
            pages = [row[0] for row in opened.execute("PRAGMA integrity_check(20)") if row[0] != "ok"]
            orphans = opened.execute("PRAGMA foreign_key_check").fetchall()
    except sqlite3.DatabaseError as error:
        return (f"It is no database that can be read: {error}.",)
    return (*pages, *(f"A row of {table} lost its parent in {parent}." for table, _row, parent, _key in orphans[:20]))


def revision_of(database: Path, *, only_look: bool = False) -> str:
    """The migration that a database file is at; empty for one without any table. With ``only_look`` the file stays as
    it is, whatever a writer left that was killed; without, that is rolled back.
    """
    address = f"{database.absolute().as_uri()}?{'immutable=1' if only_look else 'mode=rwc'}"
    with closing(sqlite3.connect(address, uri=True, timeout=30)) as opened:
        if not opened.execute("SELECT 1 FROM sqlite_master WHERE name = 'alembic_version'").fetchone():
            return ""
        found = opened.execute("SELECT version_num FROM alembic_version").fetchone()
    return str(found[0]) if found else ""
