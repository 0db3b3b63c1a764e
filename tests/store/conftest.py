"""A database as the migrations make it."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from portal.store.database.scopes import EVERYTHING
from portal.store.database.session import Session, Store, migrate, open_store


@pytest.fixture(scope="session")
def empty_database(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("database") / "portal.sqlite3"
    migrate(path)
    return path


@pytest.fixture
def store(empty_database: Path, tmp_path: Path) -> Iterator[Store]:
    # A rollback journal leaves everything in the one file, so a copy is a whole database.
    opened = open_store(Path(shutil.copy(empty_database, tmp_path / "portal.sqlite3")))
    yield opened
    opened.close()


@pytest.fixture
def db(store: Store) -> Iterator[Session]:
    with store.open(EVERYTHING, to_write=True) as session:
        yield session
