"""Tries that are counted over every process on one server. Who tried stands here as a keyed hash: neither an address
nor an account.
"""

from datetime import datetime, timedelta

from sqlalchemy import Connection, Delete, Index, bindparam, delete, func, insert, select
from sqlmodel import Field, Session, col

from portal.settings import Server
from portal.store.database import scopes
from portal.store.database.postgresql import engine_of
from portal.store.database.rows import Row, new_id
from portal.store.database.server_key import keyed_hash

LONGEST = timedelta(days=1)
"""No window is longer."""

CONNECTIONS = 2
"""So many tries are counted at a time; whoever counts waits for nobody who writes."""


class Brake(Row, table=True):
    """One try of one name. A portal on a file counts in memory and keeps none."""

    __table_args__ = (Index("ix_brake_kind_name_at", "kind", "name", "at"),)
    id: str = Field(default_factory=new_id, primary_key=True)
    kind: str
    name: str
    at: datetime


_LOCK = select(func.pg_advisory_xact_lock(func.hashtextextended(bindparam("locked"), 0)))


class Brakes:
    """Counts tries in transactions of their own: the one of a request that is refused is undone, and the try counts."""

    def __init__(self, server: Server, key: bytes) -> None:
        self._engine, self._key = engine_of(server, most=CONNECTIONS), key

    def take(self, kind: str, name: str, most: int, window_s: float) -> int:
        """Take a place for one try: 0 where it is heard, else the seconds until one is free."""
        one = self._hidden(kind, name)
        with self._engine.begin() as connection:
            # Many at once are no more than many in a row, whichever process they come to.
            connection.execute(_LOCK, {"locked": f"brake:{kind}:{one}"})
            connection.execute(
                _of(kind, one).where(col(Brake.at) <= func.clock_timestamp() - timedelta(seconds=window_s))
            )
            wait_s = _wait_s(connection, kind, one, most, window_s)
            if not wait_s:
                row = {"id": new_id(), "kind": kind, "name": one, "at": func.clock_timestamp()}
                connection.execute(insert(Brake).values(row))
        return wait_s

    def wait_s(self, kind: str, name: str, most: int, window_s: float) -> int:
        """The seconds until a place is free, 0 where one is; takes none."""
        with self._engine.begin() as connection:
            return _wait_s(connection, kind, self._hidden(kind, name), most, window_s)

    def give_back(self, kind: str, name: str) -> None:
        """Give the last place back."""
        one = self._hidden(kind, name)
        newest = (
            select(col(Brake.id)).where(col(Brake.kind) == kind, col(Brake.name) == one).order_by(col(Brake.at).desc())
        )
        with self._engine.begin() as connection:
            connection.execute(delete(Brake).where(col(Brake.id) == newest.limit(1).scalar_subquery()))

    def forget(self, kind: str, name: str) -> None:
        """Give back every place of a name."""
        with self._engine.begin() as connection:
            connection.execute(_of(kind, self._hidden(kind, name)))

    def close(self) -> None:
        """Close every connection."""
        self._engine.dispose()

    def _hidden(self, kind: str, name: str) -> str:
        return keyed_hash(self._key, f"brake {kind}", name.encode(errors="replace"))


def _of(kind: str, name: str) -> Delete:
    return delete(Brake).where(col(Brake.kind) == kind, col(Brake.name) == name)


def _wait_s(connection: Connection, kind: str, name: str, most: int, window_s: float) -> int:
    now = func.clock_timestamp()
    counted = select(func.count(), func.extract("epoch", func.min(col(Brake.at)) - now)).where(
        col(Brake.kind) == kind, col(Brake.name) == name, col(Brake.at) > now - timedelta(seconds=window_s)
    )
    tries, since_s = connection.execute(counted).one()
    return max(0, int(float(since_s or 0) + window_s)) + 1 if tries >= most else 0


def forget_past(db: Session, now: datetime) -> None:
    """Forget the tries that no window reaches any more."""
    scopes.need(db, scopes.EVERYTHING)
    past = select(col(Brake.id)).where(col(Brake.at) <= now - LONGEST)
    # What somebody takes off just now is waited for by nobody.
    db.connection().execute(delete(Brake).where(col(Brake.id).in_(past.with_for_update(skip_locked=True))))
