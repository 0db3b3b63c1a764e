"""What the crew found at line check, the stage of a gig, and a paper found by its bytes."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_25_1125"
down_revision = "2026_11_25_1110"


def upgrade() -> None:
    op.create_table(
        "line_check",
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("gig_id", sa.String(), nullable=False),
        sa.Column("plan_id", sa.String(), nullable=False),
        sa.Column("sources", sa.Text(), nullable=False),
        sa.Column("channel", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("gain", sa.String(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("party", sa.String(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("link_id", sa.String(), nullable=True),
        sa.Column("user_id", sa.String(), nullable=True),
        sa.Column("said_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("state IN ('checked', 'problem')", name=op.f("ck_line_check_state")),
        sa.CheckConstraint("party IN ('house', 'band')", name=op.f("ck_line_check_party")),
        sa.CheckConstraint("link_id IS NOT NULL OR user_id IS NOT NULL", name=op.f("ck_line_check_author")),
        sa.ForeignKeyConstraint(["gig_id"], ["gig.id"], name=op.f("fk_line_check_gig_id")),
        sa.ForeignKeyConstraint(["link_id"], ["link.id"], name=op.f("fk_line_check_link_id")),
        sa.ForeignKeyConstraint(["plan_id"], ["plan.id"], name=op.f("fk_line_check_plan_id")),
        sa.ForeignKeyConstraint(["user_id"], ["user.id"], name=op.f("fk_line_check_user_id")),
        sa.PrimaryKeyConstraint("position", name=op.f("pk_line_check")),
        sa.UniqueConstraint("id", name=op.f("uq_line_check_id")),
    )
    op.create_index("ix_line_check_gig_id", "line_check", ["gig_id"])
    for deed in ("UPDATE", "DELETE"):
        op.execute(
            f"CREATE TRIGGER no_{deed.lower()}_line_check BEFORE {deed} ON line_check "
            "BEGIN SELECT RAISE(ABORT, 'line_check rows are never changed or deleted'); END"
        )

    op.create_table(
        "gig_stage",
        sa.Column("gig_id", sa.String(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("changed", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["gig_id"], ["gig.id"], name=op.f("fk_gig_stage_gig_id")),
        sa.PrimaryKeyConstraint("gig_id", name=op.f("pk_gig_stage")),
    )

    # A paper's content lies before its hash in each row: without an index, looking for a hash reads through every
    # paper.
    op.create_index("ix_paper_sha256", "paper", ["sha256"])
