"""Gigs are found by their place, and listed by their day, without reading all of them."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_30_0230"
down_revision = "2026_11_30_0035"


def upgrade() -> None:
    with op.batch_alter_table("gig", recreate="always") as gig:
        # A default that is read back from the table is written anew with brackets; these stay as they were.
        gig.alter_column("line_up", existing_type=sa.Text(), existing_nullable=False, server_default="")
        gig.alter_column("contact", existing_type=sa.String(), existing_nullable=False, server_default="")
        gig.add_column(sa.Column("place_key", sa.String(), nullable=False, server_default=""))
        gig.drop_index("ix_gig_band_id")
        gig.drop_index("ix_gig_rig_id")
        gig.create_index("ix_gig_band_id_on", ["band_id", "on"])
        gig.create_index("ix_gig_band_id_place_key_on", ["band_id", "place_key", "on"])
        gig.create_index("ix_gig_rig_id_on", ["rig_id", "on"])
    connection = op.get_bind()
    for gig_id, place in connection.execute(sa.text("SELECT id, place FROM gig")).all():
        key = "".join(filter(str.isalnum, place.casefold()))
        connection.execute(sa.text("UPDATE gig SET place_key = :key WHERE id = :id"), {"key": key, "id": gig_id})
