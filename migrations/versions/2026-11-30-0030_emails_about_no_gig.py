"""An email may be about no gig: an invitation to a band, a way to a new password."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_30_0030"
down_revision = "2026_11_30_0020"


def upgrade() -> None:
    with op.batch_alter_table("outbox", recreate="always") as outbox:
        outbox.alter_column("gig_id", existing_type=sa.String(), nullable=True)
