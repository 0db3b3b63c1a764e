"""The chain of events, and the words of events, which alone of the two may be erased."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_25_1130"
down_revision = "2026_11_25_1125"


def upgrade() -> None:
    op.create_table(
        "event",
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("gig_id", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("party", sa.String(), nullable=False),
        sa.Column("actor", sa.String(), nullable=False),
        sa.Column("detail", sa.Text(), nullable=False),
        sa.Column("words_digest", sa.String(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.Column("before", sa.String(), nullable=False),
        sa.Column("hash", sa.String(), nullable=False),
        sa.CheckConstraint("party IN ('house', 'band', '')", name=op.f("ck_event_party")),
        sa.ForeignKeyConstraint(["gig_id"], ["gig.id"], name=op.f("fk_event_gig_id")),
        sa.PrimaryKeyConstraint("position", name=op.f("pk_event")),
    )
    op.create_index("ix_event_gig_id", "event", ["gig_id"])
    op.create_table(
        "event_words",
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("salt", sa.String(), nullable=False),
        sa.Column("changes", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["position"], ["event.position"], name=op.f("fk_event_words_position")),
        sa.PrimaryKeyConstraint("position", name=op.f("pk_event_words")),
    )
    for table, deed in (("event", "UPDATE"), ("event", "DELETE"), ("event_words", "UPDATE")):
        op.execute(
            f"CREATE TRIGGER no_{deed.lower()}_{table} BEFORE {deed} ON {table} "
            f"BEGIN SELECT RAISE(ABORT, '{table} rows are never changed or deleted'); END"
        )
