"""What the migrations make on a server: the tables that the code means, protected from everybody but their owner."""

# ruff: noqa: S608 - the names of tables and columns are the database's own

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import Connection, inspect, text
from sqlalchemy.exc import IntegrityError, ProgrammingError

from portal.settings import Server
from portal.store.database import server_forms, session
from portal.store.database.postgresql import patient_engine_of
from portal.store.database.refusals import Unreadable
from portal.store.database.server_forms import look, migrate_server
from portal.store.database.session import known_forms, open_store
from portal.store.database.tables import METADATA
from tests import postgresql
from tests.store.another_step import another_step
from tests.store.test_migrations import GROWS_ONLY, fill

NONE = "template0"
"""The server's own template: a database without a table."""


@pytest.fixture(autouse=True)
def _server() -> None:
    postgresql.must_be_here()


@contextmanager
def opened(server: Server) -> Iterator[Connection]:
    engine = patient_engine_of(server)
    with engine.connect() as connection:
        yield connection
    engine.dispose()


SHAPES = (
    """
    SELECT relname, attname, format_type(atttypid, atttypmod), attnotnull, attidentity,
        pg_get_expr(adbin, adrelid)
    FROM pg_attribute JOIN pg_class ON pg_class.oid = attrelid
        LEFT JOIN pg_attrdef ON adrelid = attrelid AND adnum = attnum
    WHERE relnamespace = 'public'::regnamespace AND relkind = 'r' AND attnum > 0 AND relname <> 'alembic_version'
    """,
    """
    SELECT conrelid::regclass::text, conname, pg_get_constraintdef(oid) FROM pg_constraint
    WHERE connamespace = 'public'::regnamespace AND conrelid <> 'alembic_version'::regclass
    """,
    "SELECT indexname, indexdef FROM pg_indexes WHERE schemaname = 'public' AND tablename <> 'alembic_version'",
)
"""Columns, constraints and indexes, as the server itself tells them."""


def shape(connection: Connection) -> list[set[tuple[object, ...]]]:
    return [{tuple(row) for row in connection.execute(text(one))} for one in SHAPES]


def test_tables_and_migrations_agree_to_the_letter() -> None:
    """Columns, checks, keys, defaults and partial indexes are those that the code's tables would make."""
    with postgresql.empty_database() as made, postgresql.empty_database(NONE) as meant:
        with opened(postgresql.owner(meant)) as connection:
            METADATA.create_all(connection)
            for table in METADATA.tables.values():
                for column in table.columns:
                    kind = column.type.compile(connection.dialect)
                    if kind in {"VARCHAR", "TEXT"}:
                        change = f'ALTER TABLE "{table.name}" ALTER COLUMN "{column.name}" TYPE {kind} COLLATE "C"'
                        connection.execute(text(change))
            connection.execute(text("CREATE TABLE alembic_version (version_num varchar)"))
            wanted = shape(connection)
        with opened(postgresql.owner(made)) as connection:
            context = MigrationContext.configure(connection, opts={"compare_type": True, "target_metadata": METADATA})
            assert compare_metadata(context, METADATA) == []
            assert shape(connection) == wanted
    assert len(wanted[0]) > 250


def test_both_databases_have_the_same_tables(empty_database: Path) -> None:
    """Tables, columns, constraints and indexes bear the same names in a file and on a server."""

    def names(connection: Connection) -> dict[str, object]:
        seen = inspect(connection)
        return {
            table: (
                [(one["name"], one["nullable"]) for one in seen.get_columns(table)],
                seen.get_pk_constraint(table)["constrained_columns"],
                *(
                    sorted((str(one["name"]) for one in told(table)), key=str)
                    for told in (seen.get_foreign_keys, seen.get_unique_constraints, seen.get_check_constraints)
                ),
                sorted(str(one["name"]) for one in seen.get_indexes(table) if "duplicates_constraint" not in one),
            )
            for table in METADATA.tables
        }

    file = open_store(empty_database)
    with file.reading() as db, postgresql.empty_database() as name, opened(postgresql.owner(name)) as connection:
        here, there = names(db.connection()), names(connection)
    file.close()
    assert {table: (set(columns), *rest) for table, (columns, *rest) in here.items()} == {
        table: (set(columns), *rest) for table, (columns, *rest) in there.items()
    }


def test_text_is_in_the_order_of_its_bytes() -> None:
    """Every column that holds text is in the order that a file has, whatever the server's own is."""
    with postgresql.empty_database() as name, opened(postgresql.owner(name)) as connection:
        asked = (
            "SELECT collname, count(*) FROM pg_attribute JOIN pg_class ON pg_class.oid = attrelid"
            " JOIN pg_collation ON pg_collation.oid = attcollation"
            " WHERE relnamespace = 'public'::regnamespace AND relkind = 'r' AND attnum > 0 GROUP BY collname"
        )
        found = dict(connection.execute(text(asked)).all())
        assert connection.execute(text("SELECT 'a' < 'B'")).scalar_one() is True, (
            "the server's own order is that of bytes"
        )
    assert found.keys() == {"C"}
    assert found["C"] > 150


@pytest.fixture
def filled() -> Iterator[str]:
    """The name of a database with a row in each table that only grows."""
    with postgresql.empty_database() as name:
        store = open_store(postgresql.program(name))
        with store.writing() as db:
            fill(db)
        store.close()
        yield name


def other(kind: str) -> str:
    """An expression that is not what stands in a column of this kind."""
    if kind.startswith("timestamp"):
        return "{} + interval '1 day'"
    if kind in {"integer", "bigint"}:
        return "{} + 1"
    return "{} || '\\x00'::bytea" if kind == "bytea" else """coalesce({}, '') || 'x"deps"'"""


@pytest.mark.parametrize("role", ["owner", "superuser"])
def test_no_column_of_what_only_grows_can_be_changed(filled: str, role: str) -> None:
    """Whoever tries to change one column, to delete or to empty is refused, also the tables' owner, and also in the
    role that walks past ordinary triggers.
    """
    tried = 0
    with opened(getattr(postgresql, role)(filled)) as connection:
        columns = [row[:3] for row in connection.execute(text(SHAPES[0])) if row[0] in GROWS_ONLY]
        deeds = [
            f'UPDATE "{table}" SET "{column}" = {other(kind).format(chr(34) + column + chr(34))}'
            for table, column, kind in columns
        ]
        deeds += [f'{deed} "{table}"' for table in GROWS_ONLY for deed in ("DELETE FROM", "TRUNCATE")]
        connection.rollback()
        for deed in deeds:
            if role == "superuser":
                connection.execute(text("SET LOCAL session_replication_role = replica"))
            with pytest.raises(IntegrityError, match="rows are never changed or deleted"):
                connection.execute(text(deed + (" CASCADE" if "TRUNCATE" in deed else "")))
            connection.rollback()
            tried += 1
    print(f"\nrole={role} tried={tried} refused={tried}")  # noqa: T201 - shown with -s
    assert tried > 90


def test_the_portals_role_may_do_what_it_needs_and_no_more(filled: str) -> None:
    """The role that serves takes words off what only grows, and can neither change, delete or empty it nor end what
    protects it.
    """
    refused = [
        deed.format(table)
        for table in GROWS_ONLY
        for deed in (
            "DELETE FROM {}",
            "TRUNCATE {}",
            "ALTER TABLE {} DISABLE TRIGGER ALL",
            "DROP TRIGGER no_update_{0} ON {0}",
            "DROP TABLE {}",
            "UPDATE {} SET created = created",
        )
    ]
    refused += [
        "SET session_replication_role = replica",
        "UPDATE alembic_version SET version_num = ''",
        "CREATE OR REPLACE FUNCTION grows_only() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN RETURN NEW; END'",
        "CREATE TABLE mine (id text)",
    ]
    with opened(postgresql.program(filled)) as connection:
        for deed in refused:
            with pytest.raises(ProgrammingError, match=r"permission denied|must be owner"):
                connection.execute(text(deed))
            connection.rollback()
        changed = connection.execute(text("UPDATE comment SET author = 'name erased', words = 'erased'")).rowcount
        assert changed == 1
        with pytest.raises(IntegrityError, match="never changed"):
            connection.execute(text("UPDATE comment SET author = 'Somebody'"))


def test_who_migrates_at_once_migrates_once() -> None:
    """Several that begin together leave one database at the newest form, and each is told that it is."""
    with postgresql.empty_database(NONE) as name:
        made = [subprocess.Popen([sys.executable, "-c", MIGRATES, name], stdout=subprocess.PIPE) for _ in range(2)]
        told = [one.communicate()[0].decode().strip() for one in made]
        assert told == [known_forms()[0]] * 2
        look(postgresql.program(name), one_role=False)


MIGRATES = """
import sys
from portal.store.database.server_forms import migrate_server
from tests import postgresql
print(migrate_server(postgresql.owner(sys.argv[1]), postgresql.program(sys.argv[1])))
"""


def test_a_migration_that_fails_leaves_the_database_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, filled: str
) -> None:
    """A step that breaks half-way leaves rows, form and tables."""
    body = (
        "    op.execute('CREATE TABLE half (id text)')\n    op.execute('DELETE FROM member')\n"
        "    raise RuntimeError('broken')\n"
    )
    server = postgresql.owner(filled)
    with opened(server) as connection:
        before = shape(connection)
    with monkeypatch.context() as patched:
        patched.setattr(session, "MIGRATIONS", another_step(tmp_path, body))
        with pytest.raises(RuntimeError, match="broken"):
            migrate_server(server, postgresql.program(filled))
    with opened(server) as connection:
        assert shape(connection) == before
        assert connection.execute(text("SELECT count(*) FROM member")).scalar_one() == 1
        assert server_forms.form_of(server, connection) == known_forms()[0]


def test_what_cannot_be_used_is_said_in_a_sentence(store_of_another: tuple[Server, str]) -> None:
    """A database that is empty, older, newer or somebody else's, a wrong password, a server that is not there and a
    role that owns the tables: each is said, before anything is done.
    """
    server, sentence = store_of_another
    with pytest.raises(Unreadable) as caught:
        look(server, one_role=False)
    said = str(caught.value)
    print(f"\n{said}")  # noqa: T201 - shown with -s
    assert sentence in said
    assert "Nothing was changed" in said
    assert "wrong one" not in said
    assert postgresql.PASSWORD not in said


@pytest.fixture(
    params=["empty", "older", "newer", "foreign", "another program's forms", "password", "gone", "no such", "owner"]
)
def store_of_another(request: pytest.FixtureRequest) -> Iterator[tuple[Server, str]]:
    kind = request.param
    bare = kind in {"empty", "foreign", "another program's forms"}
    with postgresql.empty_database(NONE if bare else postgresql.TEMPLATE) as name:
        program, owner = postgresql.program(name), postgresql.owner(name)
        with opened(owner) as connection:
            if kind in {"older", "newer"}:
                form = known_forms()[1] if kind == "older" else "2999_01_01_0000"
                connection.execute(text(f"UPDATE alembic_version SET version_num = '{form}'"))
            if kind in {"foreign", "another program's forms"}:
                connection.execute(text("CREATE TABLE orders (id text)"))
            if kind == "another program's forms":
                connection.execute(text("CREATE TABLE alembic_version (version_num text)"))
            connection.commit()
        given = {"password": ("wrong one", program.port, name), "gone": (program.password, 1, name)}
        password, port, called = given.get(kind, (program.password, program.port, name + "x" * (kind == "no such")))
        yield (
            owner if kind == "owner" else Server(program.host, port, called, program.user, password),
            {
                "empty": "is empty. Nothing was changed: run python -m portal migrate.",
                "older": f"is at an older form ({known_forms()[1]})",
                "newer": "is of another version of the portal (2999_01_01_0000)",
                "foreign": "holds tables that are not the portal's, for example orders",
                "another program's forms": "holds tables that are not the portal's, for example alembic_version",
                "password": 'password authentication failed for user "portal"',
                "gone": "No such file or directory",
                "no such": "does not exist",
                "owner": f"The role portal_owner owns the tables of {name}",
            }[kind],
        )


def test_somebody_elses_tables_are_left_alone() -> None:
    """A database with another program's tables is not migrated."""
    with postgresql.empty_database(NONE) as name:
        with opened(postgresql.owner(name)) as connection:
            connection.execute(text("CREATE TABLE orders (id text)"))
            connection.commit()
        with pytest.raises(Unreadable, match="for example orders"):
            migrate_server(postgresql.owner(name), postgresql.program(name))
        with opened(postgresql.owner(name)) as connection:
            assert inspect(connection).get_table_names() == ["orders"]
