"""What was given out as calendar events, and the paper that a band prints on."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_25_1110"
down_revision = "2026_11_25_1050"


def upgrade() -> None:
    op.create_table(
        "band_paper",
        sa.Column("band_id", sa.String(), nullable=False),
        sa.Column("size", sa.String(), nullable=False),
        sa.CheckConstraint("size IN ('A4', 'Letter')", name=op.f("ck_band_paper_size")),
        sa.ForeignKeyConstraint(["band_id"], ["band.id"], name=op.f("fk_band_paper_band_id")),
        sa.PrimaryKeyConstraint("band_id", name=op.f("pk_band_paper")),
    )
    op.create_table(
        "calendar_entry",
        sa.Column("gig_id", sa.String(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("uid", sa.String(), nullable=False),
        sa.Column("sequence", sa.Integer(), nullable=False),
        sa.Column("words", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("begins", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ends", sa.DateTime(timezone=True), nullable=True),
        sa.Column("time_zone", sa.String(), nullable=False),
        sa.Column("cancelled", sa.Boolean(), nullable=False),
        sa.Column("changed", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["gig_id"], ["gig.id"], name=op.f("fk_calendar_entry_gig_id")),
        sa.PrimaryKeyConstraint("gig_id", "key", name=op.f("pk_calendar_entry")),
        sa.UniqueConstraint("uid", name=op.f("uq_calendar_entry_uid")),
    )
