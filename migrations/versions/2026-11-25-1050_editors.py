"""A member may be given the right to edit."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_25_1050"
down_revision = "2026_11_25_1035"


def upgrade() -> None:
    # SQLite cannot change a CHECK in place.
    op.execute("DROP INDEX ix_member_band_id")
    op.execute("DROP INDEX ix_member_one_owner")
    op.execute("ALTER TABLE member RENAME TO member_before")
    op.create_table(
        "member",
        sa.Column("user_id", sa.String(), nullable=False),
        sa.Column("band_id", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("role IN ('owner', 'editor', 'member')", name=op.f("ck_member_role")),
        sa.ForeignKeyConstraint(["band_id"], ["band.id"], name=op.f("fk_member_band_id")),
        sa.ForeignKeyConstraint(["user_id"], ["user.id"], name=op.f("fk_member_user_id")),
        sa.PrimaryKeyConstraint("user_id", "band_id", name=op.f("pk_member")),
    )
    op.execute(
        "INSERT INTO member (user_id, band_id, role, created) SELECT user_id, band_id, role, created FROM member_before"
    )
    op.execute("DROP TABLE member_before")
    op.create_index("ix_member_band_id", "member", ["band_id"])
    op.create_index("ix_member_one_owner", "member", ["band_id"], unique=True, sqlite_where=sa.text("role = 'owner'"))
