"""What was ticked when signing, in a table from which it can be erased. What older signatures hold stays in them: it is
signed.
"""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_30_1600"
down_revision = "2026_11_30_1500"


def upgrade() -> None:
    op.create_table(
        "ticked_words",
        sa.Column("signature_id", sa.String(), nullable=False),
        sa.Column("salt", sa.String(), nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("signature_id", name="pk_ticked_words"),
        sa.ForeignKeyConstraint(["signature_id"], ["signature.id"], name="fk_ticked_words_signature_id"),
    )
