"""A database as the migrations make it."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from portal.store.database.scopes import EVERYTHING
from portal.store.database.session import Session, Store, migrate, open_store
from tests import postgresql


@pytest.fixture(scope="session")
def empty_database(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("database") / "portal.sqlite3"
    migrate(path)
    return path


@pytest.fixture
def file_store(empty_database: Path, tmp_path: Path) -> Iterator[Store]:
    """A store in a file."""
    # A rollback journal leaves everything in the one file, so a copy is a whole database.
    opened = open_store(Path(shutil.copy(empty_database, tmp_path / "portal.sqlite3")))
    yield opened
    opened.close()


@pytest.fixture
def server_store() -> Iterator[Store]:
    """A store on a server, used by the portal's own role."""
    postgresql.must_be_here()
    with postgresql.empty_database() as name:
        opened = open_store(postgresql.program(name))
        yield opened
        opened.close()


@pytest.fixture(params=["file_store", "server_store"], ids=["sqlite", "postgresql"])
def store(request: pytest.FixtureRequest) -> Store:
    """A store on each database in turn."""
    return request.getfixturevalue(request.param)


@pytest.fixture
def db(store: Store) -> Iterator[Session]:
    with store.open(EVERYTHING, to_write=True) as session:
        yield session
