"""The forms of a database on a server: what stands there, how it comes to the newest form, and what the portal's own
role may do with it.
"""

import json
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Connection, inspect, text
from sqlalchemy.exc import ProgrammingError

from portal.settings import Server
from portal.store.database.postgresql import patient_engine_of
from portal.store.database.refusals import CannotWrite, Unreadable
from portal.store.database.session import alembic_config, known_forms

OLDEST = 150_000
"""The first version of the server that has all that is used here, as it gives its number."""

OURS = "chain_head"
"""A table that no other program has."""

MOVED = "moved"
"""What stands in place of a form once everything was moved away."""

LEFT = "Nothing was changed"
MIGRATE = "run python -m portal migrate"


@contextmanager
def connected(server: Server) -> Iterator[Connection]:
    """A connection, committed at its end. Raises ``Unreadable`` where there is none, no server that will do, or no
    right to what is asked; ``CannotWrite`` where a disk is at its end, or nobody knows whether this was saved.
    """
    engine = patient_engine_of(server)
    try:
        with engine.begin() as connection:
            _look_at_server(server, connection)
            yield connection
    except ProgrammingError as error:
        raise _refused(server, error) from error
    except CannotWrite as error:
        if error.why in {"unsure", "full", "failing"}:
            raise
        said = str(error.__cause__).partition("\n")[0].removeprefix("connection failed: ")
        raise Unreadable(
            f"The database {server} cannot be used: {said}. {LEFT}: look whether the server runs, and whether the"
            " address, the role and its password are right."
        ) from error
    finally:
        engine.dispose()


def _refused(server: Server, error: ProgrammingError) -> Unreadable:
    """What a server says to a role that may not do something, or to one that it does not know."""
    return Unreadable(
        f"The database {server} cannot be used: {error.orig}. {LEFT}: {MIGRATE}, with the owner of the database in"
        " PORTAL_DATABASE_OWNER_URL and the role that serves in PORTAL_DATABASE_URL."
    )


def _look_at_server(server: Server, connection: Connection) -> None:
    version, encoding = connection.execute(
        text("SELECT current_setting('server_version_num')::int, current_setting('server_encoding')")
    ).one()
    if version < OLDEST:
        raise Unreadable(f"The server of {server} is older than PostgreSQL {OLDEST // 10_000}. {LEFT}.")
    if encoding != "UTF8":
        raise Unreadable(f"The database {server} keeps text as {encoding} instead of UTF8. {LEFT}: name another one.")


def form_of(server: Server, connection: Connection) -> str:
    """The form that a database is at; empty for one without a table. Raises ``Unreadable`` for somebody else's, and for
    a form that this portal does not know.
    """
    tables = sorted(inspect(connection).get_table_names())
    if not tables:
        return ""
    if OURS not in tables or "alembic_version" not in tables:
        raise Unreadable(
            f"The database {server} holds tables that are not the portal's, for example {tables[0]}. {LEFT}: name an"
            " empty database in PORTAL_DATABASE_URL."
        )
    found: str = connection.execute(text("SELECT version_num FROM alembic_version")).scalar_one()
    if found == MOVED:
        raise Unreadable(
            f"The database {server} was moved to a file. {LEFT}: serve that file, or name another database in"
            " PORTAL_DATABASE_URL."
        )
    if found not in known_forms():
        raise Unreadable(
            f"The database {server} is of another version of the portal ({found}). {LEFT}: start the version that made"
            " it."
        )
    return found


def migrate_server(owner: Server, program: Server) -> str:
    """Bring a database to the newest form as its tables' owner, and let the program's role do what it needs; the form.
    When that fails, the database is what it was. Raises ``Unreadable``.
    """
    from alembic import command  # most starts have nothing to migrate

    with connected(owner) as connection:
        form_of(owner, connection)
        if not connection.execute(_KNOWN_ROLE, {"role": program.user}).scalar_one():
            raise Unreadable(
                f"The server of {owner} has no role {program.user}. {LEFT}: create it, or name another one in"
                " PORTAL_DATABASE_URL."
            )
    engine = patient_engine_of(owner)
    try:
        command.upgrade(alembic_config(engine), "head")
    except ProgrammingError as error:
        raise _refused(owner, error) from error
    finally:
        engine.dispose()
    with connected(owner) as connection:
        connection.execute(_IN_TURN)
        if program.user != owner.user:
            _grant(connection, program.user)
        return form_of(owner, connection)


def look(server: Server, *, one_role: bool) -> None:
    """Raise ``Unreadable`` unless a database is at the newest form, and used by a role that cannot end what protects
    it; by ``one_role`` the tables' owner may use it.
    """
    with connected(server) as connection:
        form = form_of(server, connection)
        if form != known_forms()[0]:
            what = "is empty" if not form else f"is at an older form ({form})"
            raise Unreadable(f"The database {server} {what}. {LEFT}: {MIGRATE}.")
        if not one_role and connection.execute(_OWNS).scalar_one():
            raise Unreadable(
                f"The role {server.user} owns the tables of {server.name}, so that it could switch off what keeps"
                f" signed rows as they are. {LEFT}: give PORTAL_DATABASE_URL a role of its own and the owner's in"
                f" PORTAL_DATABASE_OWNER_URL, then {MIGRATE}; or set PORTAL_DATABASE_ONE_ROLE=yes."
            )


@contextmanager
def moving_away(owner: Server) -> Iterator[None]:
    """Have nobody serve a database any more once its rows are moved away within; where that fails, it is served as
    before.
    """
    with connected(owner) as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = :moved"), {"moved": MOVED})
        yield


_IN_TURN = text("SELECT pg_advisory_xact_lock(hashtextextended('portal:migration', 0))")
"""The lock that ``migrations/env.py`` takes too."""

_KNOWN_ROLE = text("SELECT EXISTS (SELECT 1 FROM pg_roles WHERE rolname = :role)")

_OWNS = text(
    "SELECT pg_has_role(relowner, 'MEMBER') FROM pg_class"
    " WHERE relname = 'chain_head' AND relnamespace = current_schema()::regnamespace"
)

_PROTECTED = text(
    "SELECT relname, tgname, tgargs FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid"
    " WHERE relnamespace = current_schema()::regnamespace AND tgfoid = 'grows_only'::regproc"
)


def _grant(connection: Connection, role: str) -> None:
    """Let a role read and add, change what changes, and take words off what does not, column by column."""
    quoted = connection.dialect.identifier_preparer.quote_identifier
    refused: dict[str, dict[str, tuple[str, ...]]] = {}
    for table, trigger, arguments in connection.execute(_PROTECTED):
        given = bytes(arguments).partition(b"\0")[0]
        deed = trigger.split("_")[1]
        refused.setdefault(table, {})[deed] = tuple(json.loads(given)) if given else ()
    schema = quoted(connection.execute(text("SELECT current_schema()")).scalar_one())
    who = quoted(role)
    connection.exec_driver_sql(f"GRANT USAGE ON SCHEMA {schema} TO {who}")
    for table in inspect(connection).get_table_names():
        deeds = ["SELECT"]
        if table != "alembic_version":
            kept = refused.get(table, {})
            words = ", ".join(map(quoted, kept.get("update", ())))
            deeds += ["INSERT"] + [f"UPDATE ({words})"] * bool(words) + ["UPDATE"] * ("update" not in kept)
            deeds += ["DELETE"] * ("delete" not in kept)
        connection.exec_driver_sql(f"REVOKE ALL ON {quoted(table)} FROM {who}")
        connection.exec_driver_sql(f"GRANT {', '.join(deeds)} ON {quoted(table)} TO {who}")
