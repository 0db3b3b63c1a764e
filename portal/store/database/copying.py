"""Copies between a database in a file and one on a server: every row, as it is, or nothing."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import Connection, Table, delete, func, insert, select, text
from sqlmodel import Session

from portal.settings import Server
from portal.store.database import postgresql, server_forms, sqlite_backup
from portal.store.database.brakes import Brake
from portal.store.database.refusals import Unreadable
from portal.store.database.scopes import EVERYTHING
from portal.store.database.session import known_forms, migrate, open_store
from portal.store.database.tables import METADATA
from portal.store.record.events import ChainHead
from portal.store.record.verify import verify

BATCH = 50
"""Rows at a time: documents are a hundred kilobytes each (common practice, no source)."""


def to_file(server: Server, file: Path) -> None:
    """Write what a server holds at this moment to a file that is not there yet; whoever writes meanwhile goes on.
    Raises ``Unreadable``.
    """
    half = file.with_name(f"{file.name}.half")
    half.unlink(missing_ok=True)
    try:
        migrate(half)
        half.chmod(0o600)
        store = open_store(half)
        try:
            with _one_moment(server) as source, store.writing(EVERYTHING) as db:
                _copy(source, db.connection())
                _compare(source, db.connection())
        finally:
            store.close()
        sqlite_backup.settle(half)
        half.rename(file)
        sqlite_backup.settle(file.parent)
    finally:
        half.unlink(missing_ok=True)


def to_server(file: Path, owner: Server) -> None:
    """Copy a file into an empty database on a server, as its tables' owner; nobody writes to the file meanwhile. Raises
    ``Unreadable``, and nothing is there then.
    """
    store = open_store(file)
    try:
        with store.open(EVERYTHING, to_write=True) as db, server_forms.connected(owner) as target:
            _demand_empty(owner, target)
            _copy(db.connection(), target)
            # The next row of each that counts by itself comes after those that were copied.
            for table in METADATA.tables.values():
                for column in table.columns:
                    if column.identity is not None:
                        place = func.pg_get_serial_sequence(f'"{table.name}"', column.name)
                        last = select(func.coalesce(func.max(column), 0) + 1).scalar_subquery()
                        target.execute(select(func.setval(place, last, text("false"))))
            _compare(db.connection(), target)
    finally:
        store.close()


@contextmanager
def _one_moment(server: Server) -> Iterator[Connection]:
    engine = postgresql.patient_engine_of(server).execution_options(**postgresql.READING)
    try:
        with engine.connect() as connection:
            yield connection
    finally:
        engine.dispose()


def _demand_empty(server: Server, target: Connection) -> None:
    """Tables without a row: a database that somebody has used is no target, whatever its form."""
    if server_forms.form_of(server, target) != known_forms()[0]:
        raise Unreadable(f"The database {server} has no tables yet. {server_forms.LEFT}: {server_forms.MIGRATE} first.")
    for table in METADATA.sorted_tables:
        rows = select(func.count()).select_from(table)
        if table.name == ChainHead.__tablename__:
            rows = rows.where(table.c.position > 0)
        if target.execute(rows).scalar_one():
            raise Unreadable(f"The database {server} is not empty: {table.name} has rows. {server_forms.LEFT}.")


def _copy(source: Connection, target: Connection) -> None:
    target.execute(delete(METADATA.tables[str(ChainHead.__tablename__)]))
    for table in METADATA.sorted_tables:
        # Tries are those of who comes to this server.
        if table.name == Brake.__tablename__:
            continue
        rows = select(table).order_by(*table.primary_key)
        found = source.execute(rows, execution_options={"yield_per": BATCH})
        for batch in found.mappings().partitions(BATCH):
            copied = [dict(row) for row in batch]
            _refuse_nul(table, copied)
            target.execute(insert(table), copied)


def _refuse_nul(table: Table, rows: list[dict[str, object]]) -> None:
    """A server takes no text with a byte of nothing in it; the row is named."""
    for row in rows:
        for name, value in row.items():
            if isinstance(value, str) and "\0" in value:
                one = ", ".join(str(row[column.name]) for column in table.primary_key)
                raise Unreadable(
                    f"{table.name} {one} cannot be copied: its {name} holds a byte of nothing (NUL)."
                    f" {server_forms.LEFT}."
                )


def _compare(source: Connection, target: Connection) -> None:
    """Raise ``Unreadable`` where what was copied does not hold, or is not the same."""
    with Session(source) as here, Session(target) as there:
        was, became = verify(here), verify(there)
    if became.faults or was != became:
        told = became.faults[0] if became.faults else "it tells another history"
        raise Unreadable(f"The copy does not hold: {told}. {server_forms.LEFT}.")
