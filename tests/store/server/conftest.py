"""A database on a server, and the way to it as the program goes."""

import pytest

from portal.settings import Server
from portal.store.database.session import Store
from tests import postgresql


@pytest.fixture
def store(server_store: Store) -> Store:
    return server_store


@pytest.fixture
def server(store: Store) -> Server:
    return postgresql.program(str(store.engine.url.database))
