"""The one door to a database: its sessions, a SQLite file's engine and migration. SQLite with a rollback journal,
everything flushed to disk, erased rows overwritten.
"""

import asyncio
import sqlite3
from collections.abc import AsyncIterator, Callable, Iterable, Iterator, Mapping
from contextlib import asynccontextmanager, contextmanager
from dataclasses import dataclass
from math import inf
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from sqlalchemy import Connection, create_engine, event
from sqlalchemy.engine import Engine
from sqlalchemy.engine.interfaces import DBAPIConnection, ExceptionContext
from sqlalchemy.exc import DatabaseError
from sqlalchemy.orm import SessionTransaction
from sqlalchemy.pool import ConnectionPoolEntry
from sqlmodel import Session

from portal.places import MIGRATIONS
from portal.settings import Server
from portal.store.database import postgresql, sqlite_backup
from portal.store.database.readings import READINGS
from portal.store.database.refusals import CannotWrite, Unreadable
from portal.store.database.scopes import Scope

if TYPE_CHECKING:
    from alembic.config import Config

__all__ = [
    "CannotWrite",
    "Session",
    "Store",
    "Unreadable",
    "end_reading",
    "migrate",
    "news",
    "open_store",
    "readable",
    "unknown_form",
    "wake",
    "woken",
]

T = TypeVar("T")

# Order counts: secure_delete and foreign_keys hold per connection, the journal per file.
# DELETE rather than WAL: bundled SQLite versions before 3.51.3 can corrupt a WAL file when two connections
# write and checkpoint at the same moment; a copied file is then also complete.
PRAGMAS = (
    "PRAGMA journal_mode=DELETE",
    "PRAGMA synchronous=FULL",
    "PRAGMA foreign_keys=ON",
    "PRAGMA secure_delete=ON",
    "PRAGMA busy_timeout=10000",
)


@contextmanager
def readable(path: Path) -> Iterator[None]:
    """Raise ``Unreadable`` where the file turns out to be damaged, or no database at all."""
    try:
        yield
    except (sqlite3.DatabaseError, DatabaseError) as error:
        words = getattr(error, "orig", None) or error
        raise Unreadable(
            f"The database {path} cannot be used: {words}. Where it is damaged, restore a backup into an empty folder."
        ) from error


@dataclass(frozen=True)
class Ways:
    """What differs between databases: how a transaction that reads and one that writes begin, as execution options;
    what waits for scopes; what tells other processes; what makes the places of erased rows unreadable.
    """

    reading: Mapping[str, object]
    writing: Mapping[str, object]
    compact: Callable[[Engine], None]
    lock: Callable[[Connection, Iterable[Scope]], None] | None = None
    tell: Callable[[Connection, Iterable[str]], None] | None = None


class Store:
    """An open database. ``reading`` sees one moment of it; ``writing`` commits at the end. ``emails``: what somebody
    may be told of by email is noted.

    That a SQLite file has one writer is known here and nowhere else: whoever writes names its scopes, and waits for its
    turn. On a server scopes are locks, which hold against other processes too.
    """

    def __init__(self, engine: Engine, ways: Ways) -> None:
        self.engine = engine
        self.emails = False
        self._ways = ways
        self._readers = engine.execution_options(**ways.reading)
        self._writers = engine.execution_options(**ways.writing)
        self._turn = asyncio.Lock()

    def open(self, *scopes: Scope, to_write: bool) -> Session:
        """A session; the caller commits or rolls back, and closes."""
        info = {"writes": to_write, "scopes": set(scopes), "emails": self.emails}
        info |= {"lock": self._ways.lock, "tell": self._ways.tell}
        return Session(self._writers if to_write else self._readers, expire_on_commit=False, info=info)

    @asynccontextmanager
    async def turn(self) -> AsyncIterator[None]:
        """A turn to write in this process. Whoever waits holds no thread: threads that wait for the database would
        keep the one that has it from going on.
        """
        async with self._turn:
            yield

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session that keeps nothing."""
        with self.open(to_write=False) as session:
            yield session

    @contextmanager
    def writing(self, scope: Scope, *more: Scope) -> Iterator[Session]:
        """A session that commits when its block ends well."""
        with self.open(scope, *more, to_write=True) as session:
            yield session
            session.commit()

    async def write(self, do: Callable[[Session], T], scope: Scope, *more: Scope) -> T:
        """What something comes to that is done in a transaction of its own, in a thread, in its turn."""

        def written() -> T:
            with self.writing(scope, *more) as session:
                return do(session)

        async with self._turn:
            return await asyncio.to_thread(written)

    def revision(self) -> str:
        """Which form the tables have; an error where they cannot be read."""
        with self.reading() as session:
            return str(session.connection().exec_driver_sql("SELECT version_num FROM alembic_version").scalar_one())

    def compact(self) -> None:
        """Write anew, so that nothing of what was erased is left between the rows. Waits until nobody reads. Raises
        ``CannotWrite``.
        """
        READINGS.forget()
        self._ways.compact(self.engine)

    def close(self) -> None:
        """Close every connection."""
        self.engine.dispose()


def end_reading(session: Session) -> None:
    """End the transaction of a session that only reads, before work that takes long: a reader keeps every writer from
    its end.

    What was read stays as it is; the next statement sees a later moment. A session that writes keeps its transaction.
    """
    if not session.info["writes"]:
        session.commit()


def wake(session: Session, job: str, one: str, takes_s: float = inf) -> None:
    """Note that a job is due once a session that writes has committed, and about how many seconds it takes where
    somebody may wait for it.
    """
    session.info.setdefault("due", {}).setdefault(job, {})[one] = takes_s


def woken(session: Session) -> dict[str, dict[str, float]]:
    """The jobs that are due by what a session wrote: seconds by id by the job's name."""
    due: dict[str, dict[str, float]] = session.info.get("due", {})
    return due


def news(session: Session, gig_id: str) -> None:
    """Note that something that a session writes may concern a gig; empty where it concerns none in particular. Other
    processes hear of it with its commit.
    """
    session.info.setdefault("news", set()).add(gig_id)


@event.listens_for(Session, "before_commit")
def _tell(session: Session) -> None:
    """Tell other processes what was noted, and that a job may be due."""
    told: set[str] = session.info.pop("news", set()) | ({""} if woken(session) else set())
    if told and session.info.get("writes") and session.info["tell"]:
        session.info["tell"](session.connection(), told)


@event.listens_for(Session, "after_begin")
def _lock_scopes(session: Session, _transaction: SessionTransaction, connection: Connection) -> None:
    """Wait for what the transaction has named, before its first statement."""
    if session.info.get("writes") and session.info["lock"]:
        session.info["lock"](connection, session.info["scopes"])


def open_store(where: Path | Server) -> Store:
    """Open the database in a file or on a server, which ``migrate`` has made."""
    if isinstance(where, Server):
        ways = Ways(postgresql.READING, postgresql.WRITING, postgresql.compact, postgresql.lock, postgresql.tell)
        return Store(postgresql.engine_of(where), ways)
    # Errors of SQLAlchemy reach the log, and parameters hold names and phone numbers.
    engine = create_engine(f"sqlite:///{where}", pool_size=20, max_overflow=20, hide_parameters=True)
    event.listen(engine, "connect", _prepare)
    event.listen(engine, "begin", _begin)
    event.listen(engine, "handle_error", _name_error)
    # A plain BEGIN that reads first and writes later loses against another writer at once, whatever the
    # time-out; BEGIN IMMEDIATE waits for its turn.
    return Store(engine, Ways({"begin": "BEGIN"}, {"begin": "BEGIN IMMEDIATE"}, _compact))


def _compact(engine: Engine) -> None:
    # Overwriting alone is not enough: rows that were moved from page to page leave their old places behind.
    connection = engine.raw_connection()
    try:
        connection.cursor().execute("VACUUM")
    except sqlite3.OperationalError as error:
        if why := _why(error):
            raise CannotWrite(why) from error
        raise
    finally:
        connection.close()


def _prepare(connection: DBAPIConnection, _entry: ConnectionPoolEntry) -> None:
    # The driver's own transactions begin too late (after the first SELECT); ours begin in _begin.
    connection.isolation_level = None
    cursor = connection.cursor()
    for pragma in PRAGMAS:
        cursor.execute(pragma)
    cursor.close()


def _begin(connection: Connection) -> None:
    connection.exec_driver_sql(connection.get_execution_options().get("begin", "BEGIN"))


def _name_error(context: ExceptionContext) -> None:
    if why := _why(context.original_exception):
        raw = context.connection.connection.dbapi_connection if context.connection is not None else None
        if raw is not None and raw.in_transaction:
            # SQLite keeps a transaction whose COMMIT was refused; the pool would hand the connection on with its lock.
            raw.rollback()
        raise CannotWrite(why) from context.original_exception


def _why(error: BaseException | None) -> str:
    """Why a file could not be written; empty for any other error."""
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF  # the low byte is the kind of error
    why = {
        sqlite3.SQLITE_FULL: "full",
        sqlite3.SQLITE_READONLY: "read-only",
        sqlite3.SQLITE_CANTOPEN: "read-only",
        sqlite3.SQLITE_IOERR: "failing",  # a quota says so too
        sqlite3.SQLITE_BUSY: "busy",
    }
    return why.get(code, "")


def unknown_form(path: Path) -> str:
    """What is strange about the form of a database file that this portal cannot read, as the end of "it is"; empty for
    a form that it knows, for damage and for a file that is not there. Only looks.
    """
    known = known_forms()
    try:
        found = sqlite_backup.revision_of(path, only_look=True) if path.exists() else ""
    except sqlite3.DatabaseError:
        return ""
    if not found or found in known:
        return ""
    # A form is named after its day; the first one is the last of the list.
    return "older than the first release" if found < known[-1] else f"of another version of the portal ({found})"


def known_forms() -> list[str]:
    """The forms that a database can have, newest first: each migration's file bears the name of its form."""
    files = (MIGRATIONS / "versions").glob("[0-9]*.py")
    return sorted((file.name.partition("_")[0].replace("-", "_") for file in files), reverse=True)


def migrate(path: Path) -> None:
    """Bring the database file to the newest form; makes it when there is none. When that fails, the file is what it was
    before.

    Raises ``Unreadable``.
    """
    if moved_to(path).exists() and not path.exists():
        raise Unreadable(
            f"The database {path} was moved to a server. Set PORTAL_DATABASE_URL, or name another folder in"
            " PORTAL_DATA."
        )
    for file in (path, _copy_before(path)):
        if strange := unknown_form(file):
            raise Unreadable(
                f"The database {file} is {strange} and was left as it was: start the version that made it, or name"
                " another folder in PORTAL_DATA."
            )
    with readable(path):
        _migrate(path)


def moved_to(path: Path) -> Path:
    """What a file is called once everything was moved to a server."""
    return path.with_name(f"{path.name}.moved")


def _copy_before(path: Path) -> Path:
    """Where the copy lies to which a migration that fails goes back."""
    return path.with_name(f"{path.name}.before-migration")


def _migrate(path: Path) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    head = known_forms()[0]
    copy = _copy_before(path)
    _recover(path, copy, head)
    before = sqlite_backup.revision_of(path) if path.exists() else ""
    if not before:
        _to_newest(path)
        return
    if before == head:
        return
    sqlite_backup.copy_to(path, copy)
    try:
        _upgrade(path)
    except BaseException:
        copy.replace(path)
        sqlite_backup.settle(path.parent)
        raise
    # It holds what people may later have erased; whoever wants to keep a copy makes a backup.
    copy.unlink()


def _recover(path: Path, copy: Path, head: str) -> None:
    """Clear up after a migration that was killed: what it left counts only where it came to its end."""
    copy.with_name(f"{copy.name}.half").unlink(missing_ok=True)
    if not copy.exists():
        return
    try:
        # The first to open it rolls the broken transaction back, before anything else is looked at.
        ended = sqlite_backup.revision_of(path) == head and not sqlite_backup.damage(path)
    except sqlite3.DatabaseError:
        ended = False
    if not ended:
        path.with_name(f"{path.name}-journal").unlink(missing_ok=True)
        copy.replace(path)
    copy.unlink(missing_ok=True)
    sqlite_backup.settle(path.parent)


def _upgrade(path: Path) -> None:
    # env.py opens its own connection: with foreign keys on, re-making a parent table would delete its children.
    _to_newest(path)
    if damaged := sqlite_backup.damage(path):
        raise RuntimeError(f"The migration left a damaged database: {damaged[0]}")


def _to_newest(path: Path) -> None:
    from alembic import command  # most starts have nothing to migrate

    command.upgrade(alembic_config(path), "head")


def alembic_config(where: Path | Engine) -> "Config":
    """Alembic's settings for a file or a server, which live here instead of in a file of their own."""
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    config.set_main_option("file_template", "%%(year)d-%%(month).2d-%%(day).2d-%%(hour).2d%%(minute).2d_%%(slug)s")
    config.set_main_option("path_separator", "os")
    config.attributes.update({"engine": where} if isinstance(where, Engine) else {"database": str(where)})
    return config
