"""The language in which emails to a link or a house are written."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_30_1500"
down_revision = "2026_11_30_0830"


def upgrade() -> None:
    recreate = "always" if op.get_context().dialect.name == "sqlite" else "never"
    with op.batch_alter_table("email_address", recreate=recreate) as address:
        address.add_column(sa.Column("language", sa.String(), nullable=False, server_default=""))
