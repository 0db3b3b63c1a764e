"""How Alembic reaches the database: by the file that the program names, with foreign keys off while tables are
re-made.
"""

from alembic import context
from sqlalchemy import create_engine, event
from sqlalchemy.exc import IntegrityError


def run() -> None:
    """Apply what is missing in one transaction, then look for rows that lost their parent."""
    # SQLite re-makes a table to change it; with foreign keys on that would delete the children's rows.
    engine = create_engine(f"sqlite:///{context.config.attributes['database']}")

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
        context.configure(
            connection=connection,
            target_metadata=context.config.attributes.get("metadata"),
            render_as_batch=True,
            compare_type=True,
            transactional_ddl=True,
        )
        with context.begin_transaction():
            context.run_migrations()
        orphans = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
        if orphans:
            raise IntegrityError("PRAGMA foreign_key_check", None, ValueError(f"{len(orphans)} rows lost their parent"))
    engine.dispose()


run()
