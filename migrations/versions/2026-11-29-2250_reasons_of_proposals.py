"""Proposals carry a reason, their answer carries one too, and one may be overtaken by another that was accepted."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_29_2250"
down_revision = "2026_11_29_2100"


def upgrade() -> None:
    with op.batch_alter_table("lock", recreate="always") as lock:
        lock.add_column(sa.Column("reason", sa.String(), nullable=False, server_default=""))
        lock.add_column(sa.Column("settled_reason", sa.String(), nullable=False, server_default=""))
        lock.drop_constraint("ck_lock_outcome", type_="check")
        lock.create_check_constraint(
            "ck_lock_outcome", "outcome IN ('accepted', 'declined', 'taken-back', 'overtaken')"
        )
