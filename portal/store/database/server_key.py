"""The server's own key: a file beside the database, and in the database a digest by which a wrong file is known."""

import hashlib
import hmac
import os
import secrets
from pathlib import Path

from sqlalchemy import CheckConstraint
from sqlmodel import Field, Session, col, select

from portal.store.accounts.bands import User
from portal.store.database import sqlite_backup
from portal.store.database.rows import Row
from portal.store.database.scopes import EVERYTHING
from portal.store.database.session import Store

LENGTH = 32
"""Bytes of the key: 256 bits."""


class KeyFault(Exception):  # noqa: N818 - reads as what it says
    """The key is missing, broken, or that of another database; the sentence says which."""


class ServerKey(Row, table=True):
    """The one row: what the key makes of a fixed text."""

    __tablename__ = "server_key"
    __table_args__ = (CheckConstraint("id = 1", name="only_one"),)
    id: int = Field(default=1, primary_key=True)
    digest: str


def keyed_hash(key: bytes, purpose: str, content: bytes) -> str:
    """HMAC-SHA-256 in hex; ``purpose`` keeps the key's uses apart."""
    return hmac.new(key, purpose.encode() + b"\0" + content, hashlib.sha256).hexdigest()


def _digest(key: bytes) -> str:
    return keyed_hash(key, "check", b"portal")


def open_key(store: Store, path: Path) -> bytes:
    """The key of a database, made on the first start and readable by its owner only. Raises ``KeyFault``."""
    with store.reading() as db:
        known = db.get(ServerKey, 1)
    if known is None:
        with store.writing(EVERYTHING) as db:
            known = _settled(db, path)
    if sentence := _fault(path, known):
        raise KeyFault(sentence)
    return path.read_bytes()


def _settled(db: Session, path: Path) -> ServerKey | None:
    """What a database knows of its key, from now on at the latest: of processes that start at once, the first one's
    counts. ``None`` where there is no key that will do.
    """
    # Whoever came first may have made it since it was looked for.
    known = db.get(ServerKey, 1)
    if known is None and not path.exists() and not _used(db):
        _make(path)
    if known is None and not _fault(path, None):
        known = ServerKey(digest=_digest(path.read_bytes()))
        db.add(known)
    return known


def fault_of(db: Session, path: Path) -> str:
    """What is wrong with the key beside a database, in a sentence; empty where all is well."""
    return _fault(path, db.get(ServerKey, 1))


def _fault(path: Path, known: ServerKey | None) -> str:
    back = "Put the right one back; a backup holds it."
    if not path.exists():
        return f"The server's key {path} is missing. {back}"
    try:
        key = path.read_bytes()
    except OSError as error:
        return f"The server's key {path} cannot be read: {error.strerror}. Give it to the user who runs the portal."
    if len(key) != LENGTH:
        return f"The server's key {path} has {len(key)} bytes instead of {LENGTH}. {back}"
    if known is not None and not hmac.compare_digest(known.digest, _digest(key)):
        return f"The server's key {path} is not the one that this database was made with. {back}"
    return ""


def _used(db: Session) -> bool:
    return db.exec(select(col(User.id)).limit(1)).first() is not None


def _make(path: Path) -> None:
    """Write a new key; whoever is killed meanwhile leaves either none or a whole one."""
    half = path.with_name(path.name + ".half")
    half.unlink(missing_ok=True)
    with os.fdopen(os.open(half, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as opened:
        opened.write(secrets.token_bytes(LENGTH))
    sqlite_backup.settle(half)
    half.rename(path)
    sqlite_backup.settle(path.parent)
