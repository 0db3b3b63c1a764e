"""Tries that several processes count together. A crash of the server may forget them, so they are in no log."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_30_0830"
down_revision = "2026_11_30_0330"


def upgrade() -> None:
    op.create_table(
        "brake",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_brake"),
    )
    op.create_index("ix_brake_kind_name_at", "brake", ["kind", "name", "at"])
    if op.get_context().dialect.name == "postgresql":
        op.execute("ALTER TABLE brake SET UNLOGGED")
