"""What a refused write leaves behind: nothing, for nobody."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from portal.store.accounts import bands
from portal.store.database import session
from portal.store.database.session import CannotWrite, Store, open_store

NOW = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)


@pytest.fixture
def impatient(empty_database: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Store]:
    """A store whose connections wait 50 ms for each other."""
    monkeypatch.setattr(session, "PRAGMAS", (*session.PRAGMAS[:-1], "PRAGMA busy_timeout=50"))
    path = tmp_path / "portal.sqlite3"
    path.write_bytes(empty_database.read_bytes())
    opened = open_store(path)
    yield opened
    opened.close()


def test_a_refused_commit_lets_go_of_the_file(impatient: Store) -> None:
    """A commit that a reader keeps from ending is undone at once: no connection keeps a lock, every later read and
    write is well.
    """
    with impatient.reading() as reader:
        reader.connection().exec_driver_sql("SELECT count(*) FROM user").scalar_one()
        with pytest.raises(CannotWrite, match="busy"), impatient.writing() as db:
            bands.add_user(db, email="a@band.example", name="Ada", password_hash="", now=NOW)
    with closing(sqlite3.connect(impatient.engine.url.database or "", timeout=60, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        other.execute("ROLLBACK")
    for _ in range(20):
        with impatient.reading() as db:
            assert bands.user_by_email(db, "a@band.example") is None
    with impatient.writing() as db:
        bands.add_user(db, email="a@band.example", name="Ada", password_hash="", now=NOW)
