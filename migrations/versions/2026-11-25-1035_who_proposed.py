"""A proposal keeps the names of who made it and who settled it."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_25_1035"
down_revision = "2026_11_25_0916"


def upgrade() -> None:
    # SQLite adds a column to a table only at the end of its text; the table is made anew so that it reads like every
    # other.
    op.execute("DROP INDEX ix_lock_gig_id")
    op.execute('ALTER TABLE "lock" RENAME TO lock_before')
    op.create_table(
        "lock",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("gig_id", sa.String(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("resource", sa.String(), nullable=False),
        sa.Column("value", sa.String(), nullable=False),
        sa.Column("proposed_by", sa.String(), nullable=False),
        sa.Column("proposer", sa.String(), nullable=False),
        sa.Column("proposed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("settled_by", sa.String(), nullable=True),
        sa.Column("settler", sa.String(), nullable=False),
        sa.Column("settled_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("outcome", sa.String(), nullable=True),
        sa.Column("released_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("outcome IN ('accepted', 'declined', 'taken-back')", name=op.f("ck_lock_outcome")),
        sa.CheckConstraint("proposed_by IN ('house', 'band')", name=op.f("ck_lock_proposed_by")),
        sa.CheckConstraint("settled_by IN ('house', 'band')", name=op.f("ck_lock_settled_by")),
        sa.CheckConstraint("(outcome IS NULL) = (settled_at IS NULL)", name=op.f("ck_lock_settled_at")),
        sa.ForeignKeyConstraint(["gig_id"], ["gig.id"], name=op.f("fk_lock_gig_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lock")),
    )
    op.execute(
        'INSERT INTO "lock" (id, gig_id, source, resource, value, proposed_by, proposer, proposed_at, settled_by,'
        " settler, settled_at, outcome, released_at) SELECT id, gig_id, source, resource, value, proposed_by, '',"
        " proposed_at, settled_by, '', settled_at, outcome, released_at FROM lock_before"
    )
    op.execute("DROP TABLE lock_before")
    op.create_index("ix_lock_gig_id", "lock", ["gig_id"])
