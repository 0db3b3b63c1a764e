"""Ways into a band and back into an account, and when a session last gave its password. Everybody is signed out
once.
"""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_25_1300"
down_revision = "2026_11_25_1130"


def upgrade() -> None:
    op.create_table(
        "invitation",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("band_id", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("user_id", sa.String(), nullable=True),
        sa.Column("token_hash", sa.String(), nullable=False),
        sa.Column("expires", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("created_by", sa.String(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("role IN ('editor', 'member', '')", name=op.f("ck_invitation_role")),
        sa.CheckConstraint("(role = '') = (user_id IS NOT NULL)", name=op.f("ck_invitation_purpose")),
        sa.ForeignKeyConstraint(["band_id"], ["band.id"], name=op.f("fk_invitation_band_id")),
        sa.ForeignKeyConstraint(["created_by"], ["user.id"], name=op.f("fk_invitation_created_by")),
        sa.ForeignKeyConstraint(["user_id"], ["user.id"], name=op.f("fk_invitation_user_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_invitation")),
        sa.UniqueConstraint("token_hash", name=op.f("uq_invitation_token_hash")),
    )
    op.create_index("ix_invitation_band_id", "invitation", ["band_id"])
    op.create_table(
        "recovery_code",
        sa.Column("user_id", sa.String(), nullable=False),
        sa.Column("code_hash", sa.String(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["user_id"], ["user.id"], name=op.f("fk_recovery_code_user_id")),
        sa.PrimaryKeyConstraint("user_id", "code_hash", name=op.f("pk_recovery_code")),
    )
    op.drop_table("web_session")
    op.create_table(
        "web_session",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("user_id", sa.String(), nullable=True),
        sa.Column("link_id", sa.String(), nullable=True),
        sa.Column("only_view", sa.Boolean(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.Column("last_seen", sa.DateTime(timezone=True), nullable=False),
        sa.Column("proven_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("expires", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint(
            "(kind = 'user' AND user_id IS NOT NULL AND link_id IS NULL) OR (kind = 'link' AND link_id IS NOT NULL AND"
            " user_id IS NULL)",
            name=op.f("ck_web_session_kind"),
        ),
        sa.ForeignKeyConstraint(["link_id"], ["link.id"], name=op.f("fk_web_session_link_id")),
        sa.ForeignKeyConstraint(["user_id"], ["user.id"], name=op.f("fk_web_session_user_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_web_session")),
    )
    op.create_index("ix_web_session_link_id", "web_session", ["link_id"])
    op.create_index("ix_web_session_user_id", "web_session", ["user_id"])
