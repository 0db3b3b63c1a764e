"""Which key the database was made with, so that another one is refused; and no names in the addresses that repeats of
forms lead to.
"""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_29_1640"
down_revision = "2026_11_27_2100"


def upgrade() -> None:
    op.create_table(
        "server_key",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(), nullable=False),
        sa.CheckConstraint("id = 1", name=op.f("ck_server_key_only_one")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_server_key")),
    )
    # The page of the day kept who ticks lines in its address.
    op.execute(
        "UPDATE form_key SET location = substr(location, 1, instr(location, '?') - 1) WHERE location LIKE '%?%who=%'"
    )
