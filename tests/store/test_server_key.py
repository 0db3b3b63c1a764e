"""The server's key is the one that the database was made with, or nothing starts."""

import stat
from pathlib import Path

import pytest

from portal.store.database import server_key
from portal.store.database.server_key import KeyFault, fault_of, open_key
from portal.store.database.session import Store
from tests.builders import a_band


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "server.key"


def test_it_is_made_once_and_kept_private(store: Store, path: Path) -> None:
    """The key has 256 bits, its owner alone reads it, and the next start finds the same one."""
    key = open_key(store, path)
    assert open_key(store, path) == key
    assert len(key) == 32
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert [one.name for one in path.parent.iterdir() if "key" in one.name] == ["server.key"]


def test_who_was_killed_while_making_it_begins_anew(store: Store, path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Half a key is none: the next start makes one."""

    def killed(_path: Path) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(server_key.sqlite_backup, "settle", killed)
        with pytest.raises(KeyboardInterrupt):
            open_key(store, path)
    assert not path.exists()
    assert len(open_key(store, path)) == 32


@pytest.mark.parametrize("content", [b"", b"short", b"k" * 33])
def test_a_broken_key_is_refused(store: Store, path: Path, content: bytes) -> None:
    """A file of another length is no key, whether the database knows its own or not."""
    path.write_bytes(content)
    with pytest.raises(KeyFault, match=f"has {len(content)} bytes instead of 32"):
        open_key(store, path)
    path.unlink()
    open_key(store, path)
    path.write_bytes(content)
    with pytest.raises(KeyFault, match=f"has {len(content)} bytes instead of 32"):
        open_key(store, path)


def test_a_key_of_another_database_is_refused(store: Store, path: Path) -> None:
    """The database knows by a digest which key is its own."""
    open_key(store, path)
    path.write_bytes(b"k" * 32)
    with pytest.raises(KeyFault, match="not the one that this database was made with"):
        open_key(store, path)
    with store.reading() as db:
        assert "not the one" in fault_of(db, path)


def test_a_missing_key_is_not_replaced(store: Store, path: Path) -> None:
    """Once a key was made, or anybody has an account, a missing file is a loss and no first start."""
    with store.writing() as db:
        a_band(db)
    with pytest.raises(KeyFault, match="is missing"):
        open_key(store, path)
    assert not path.exists()
    path.write_bytes(b"k" * 32)
    assert open_key(store, path) == b"k" * 32
    path.unlink()
    with pytest.raises(KeyFault, match="is missing"):
        open_key(store, path)
    with store.reading() as db:
        assert "is missing" in fault_of(db, path)
