"""A database on a PostgreSQL server: the way to it, the locks that scopes stand for, and what its refusals mean.

Nothing here imports the driver: a portal on a SQLite file needs none of it.
"""

import os
import sys
from collections.abc import Iterable

from sqlalchemy import URL, Connection, Engine, bindparam, create_engine, event, func, literal, select
from sqlalchemy.engine.interfaces import ExceptionContext
from sqlalchemy.pool import NullPool

from portal.settings import Server
from portal.store.database.refusals import CannotWrite, Unreadable
from portal.store.database.scopes import EVERYTHING, Scope

LIMITS = "-c TimeZone=UTC -c lock_timeout=10s -c statement_timeout=30s -c idle_in_transaction_session_timeout=60s"
"""What each connection keeps to: a process that hangs loses its locks, whoever waits is told that it is busy (common
practice, no source).
"""

NEWS = "portal_news"
"""Where each process hears which gigs the others saved something of."""

CONNECT_S = 10
"""How long a server may take to answer at first (common practice, no source)."""

READING = {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True}
"""Whoever reads sees one moment."""

# At a higher level the moment that is seen would be older than the locks.
WRITING = {"isolation_level": "READ COMMITTED"}
"""Whoever writes sees what others saved before it got its locks."""

_REFUSED = {
    "25006": "read-only",
    "40P01": "busy",  # two that wait for each other
    "53100": "full",
    "53200": "failing",
    "53300": "busy",  # no connection is free
    "55P03": "busy",
    "57014": "busy",
    "58030": "failing",
}
"""What the server says (its appendix of error codes), and what that is here."""


def engine_of(server: Server, most: int = 20) -> Engine:
    """The way to a server, for a portal at work, by so many connections at most. Raises ``Unreadable`` where the driver
    is missing.
    """
    half = most // 2
    engine = _engine(
        server, pool_size=half, max_overflow=most - half, pool_pre_ping=True, connect_args=_connect(LIMITS)
    )
    event.listen(engine, "handle_error", name_error)
    return engine


def patient_engine_of(server: Server) -> Engine:
    """The way to a server for what may take long: a migration, a copy. Raises ``Unreadable`` where the driver is
    missing.
    """
    engine = _engine(server, poolclass=NullPool, connect_args=_connect("-c TimeZone=UTC"))
    event.listen(engine, "handle_error", name_error)
    return engine


def _connect(options: str) -> dict[str, object]:
    return {
        "options": options,
        "connect_timeout": CONNECT_S,
        "application_name": f"portal {os.getpid()}",
        # A machine that is gone says nothing: the line to it ends after a minute, not after hours.
        "keepalives_idle": 30,
        "keepalives_interval": 10,
        "keepalives_count": 3,
        "tcp_user_timeout": 60_000,
    }


def _engine(server: Server, **options: object) -> Engine:
    more = {"sslmode": server.tls, "sslrootcert": server.certificates}
    url = URL.create(
        "postgresql+psycopg",
        server.user or None,
        server.password or None,
        None if server.host.startswith("/") else server.host,
        server.port,
        server.name,
        {name: value for name, value in more.items() if value}
        | ({"host": server.host} if server.host.startswith("/") else {}),
    )
    try:
        return create_engine(url, hide_parameters=True, **options)
    except ImportError as error:
        raise Unreadable(
            "A database on a PostgreSQL server needs the package psycopg and the library that it calls, which are"
            f" missing here. Install them: {sys.executable} -m pip install 'psycopg[binary]'"
        ) from error


def lock(connection: Connection, scopes: Iterable[Scope]) -> None:
    """Wait for scopes, and hold them until the transaction ends. Whoever takes all of them waits for everybody."""
    named = sorted({f"{scope.kind}:{scope.one}" for scope in scopes if scope != EVERYTHING})
    everything = func.hashtextextended(literal("everything"), 0)
    taken = func.pg_advisory_xact_lock if EVERYTHING in scopes else func.pg_advisory_xact_lock_shared
    connection.execute(select(taken(everything)))
    for name in named:
        connection.execute(_LOCK, {"name": name})


_LOCK = select(func.pg_advisory_xact_lock(func.hashtextextended(bindparam("name"), 0)))


def tell(connection: Connection, gig_ids: Iterable[str]) -> None:
    """Tell the other processes which gigs something is saved of: they hear of it when the transaction commits, and of
    none that is undone.
    """
    for gig_id in sorted(gig_ids):
        connection.execute(_TELL, {"gig_id": gig_id})


_TELL = select(func.pg_notify(literal(NEWS), bindparam("gig_id")))


def name_error(context: ExceptionContext) -> None:
    """Raise ``CannotWrite`` for what the server refuses for the time being; take the values out of every other
    error.
    """
    if context.is_pre_ping:
        # A line that lay ready and has ended is replaced before anybody asks on it.
        return
    error = context.original_exception
    state = str(getattr(error, "sqlstate", None) or "")
    reads = context.connection is not None and context.connection.get_execution_options().get("postgresql_readonly")
    if state in _REFUSED and not (reads and _REFUSED[state] == "read-only"):
        raise CannotWrite(_REFUSED[state]) from error
    if context.is_disconnect or (context.connection is None and state[:2] in ("", "57", "08")):
        # An end has no statement: whether it still came to be, nobody knows.
        ends = context.connection is not None and context.statement is None and not reads
        raise CannotWrite("unsure" if ends else "away") from error
    _hide_values(context, error)


def _hide_values(context: ExceptionContext, error: BaseException) -> None:
    """Leave of an error what names no value: "Key (email)=(...) already exists" is somebody's address."""
    primary = getattr(getattr(error, "diag", None), "message_primary", None)
    if primary is None:
        return
    error.args = (primary,)
    if context.sqlalchemy_exception is not None:
        context.sqlalchemy_exception.args = (f"({type(error).__name__}) {primary}",)


def compact(engine: Engine) -> None:
    """Have the server give back the places of rows that were erased. Tables of another role are left to the server's
    own round, which comes for them at once.
    """
    with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.exec_driver_sql("SET statement_timeout = 0")
        connection.exec_driver_sql("VACUUM")
        connection.invalidate()


def write_anew(owner: Server) -> None:
    """Write every table anew, as the tables' owner, so that no file of them holds what was erased: cleaning up alone
    leaves it in the gaps between rows. Each table is held meanwhile. Raises ``CannotWrite``.
    """
    engine = patient_engine_of(owner)
    with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.exec_driver_sql("VACUUM FULL")
    engine.dispose()
