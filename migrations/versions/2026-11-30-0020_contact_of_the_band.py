"""Who of the band is called on the day."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_30_0020"
down_revision = "2026_11_30_0015"


def upgrade() -> None:
    with op.batch_alter_table("gig", recreate="always") as gig:
        # A default that is read back from the table is written anew with brackets; this one stays as it was.
        gig.alter_column("line_up", existing_type=sa.Text(), existing_nullable=False, server_default="")
        gig.add_column(sa.Column("contact", sa.String(), nullable=False, server_default=""))
