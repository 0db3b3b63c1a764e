"""How Alembic reaches the database: a file by its name, with foreign keys off while tables are re-made; a server by the
engine that the program hands in.
"""

from alembic import context
from sqlalchemy import create_engine, event
from sqlalchemy.exc import IntegrityError

BEFORE_SERVERS = "2026_11_30_0230"
"""The last form that no server had: the next one makes everything there."""


def run() -> None:
    """Apply what is missing in one transaction."""
    if engine := context.config.attributes.get("engine"):
        _run_on_server(engine)
    else:
        _run_on_file(context.config.attributes["database"])


def _run_on_file(database: str) -> None:
    """Look for rows that lost their parent at the end."""
    # SQLite re-makes a table to change it; with foreign keys on that would delete the children's rows.
    engine = create_engine(f"sqlite:///{database}")

    @event.listens_for(engine, "connect")
    def prepare(connection, _entry):  # noqa: ANN001, ANN202 - the driver's own types
        connection.isolation_level = None
        for pragma in ("journal_mode=DELETE", "synchronous=FULL", "foreign_keys=OFF", "secure_delete=ON"):
            connection.execute(f"PRAGMA {pragma}")

    @event.listens_for(engine, "begin")
    def begin(connection):  # noqa: ANN001, ANN202
        # With a BEGIN of our own a failed migration leaves nothing behind, tables included.
        connection.exec_driver_sql("BEGIN IMMEDIATE")

    with engine.begin() as connection:
        _migrate(connection)
        orphans = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
        if orphans:
            raise IntegrityError("PRAGMA foreign_key_check", None, ValueError(f"{len(orphans)} rows lost their parent"))
    engine.dispose()


def _run_on_server(engine) -> None:  # noqa: ANN001 - the program's own
    """One at a time: whoever comes second finds it done."""
    with engine.begin() as connection:
        connection.exec_driver_sql("SELECT pg_advisory_xact_lock(hashtextextended('portal:migration', 0))")
        _migrate(connection)
        # The order of text is that of its bytes, as in a file, whatever the server's language is.
        for table, column, kind in connection.exec_driver_sql(OTHER_ORDER).all():
            connection.exec_driver_sql(f'ALTER TABLE "{table}" ALTER COLUMN "{column}" TYPE {kind} COLLATE "C"')


OTHER_ORDER = """
SELECT relname, attname, format_type(atttypid, atttypmod)
FROM pg_attribute JOIN pg_class ON pg_class.oid = attrelid
WHERE relnamespace = current_schema()::regnamespace AND relkind = 'r' AND attnum > 0 AND NOT attisdropped
    AND attcollation NOT IN (0, 'pg_catalog."C"'::regcollation)
"""


def _migrate(connection) -> None:  # noqa: ANN001 - the driver's own types
    context.configure(
        connection=connection,
        target_metadata=context.config.attributes.get("metadata"),
        render_as_batch=True,
        compare_type=True,
        transactional_ddl=True,
    )
    step = context.get_context()
    if connection.dialect.name != "sqlite" and step.get_current_revision() is None:
        step.stamp(context.script, BEFORE_SERVERS)
    with context.begin_transaction():
        context.run_migrations()


run()
