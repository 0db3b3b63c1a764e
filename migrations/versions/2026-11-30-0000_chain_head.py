"""Where the chain of events ends, beside the chain."""

from alembic import op

revision = "2026_11_30_0000"
down_revision = "2026_11_29_2345"


def upgrade() -> None:
    op.execute(
        """
CREATE TABLE chain_head (
    one INTEGER NOT NULL, position INTEGER NOT NULL, hash VARCHAR NOT NULL,
    CONSTRAINT pk_chain_head PRIMARY KEY (one),
    CONSTRAINT ck_chain_head_one CHECK (one = 1)
)"""
    )
    op.execute(
        """
INSERT INTO chain_head (one, position, hash)
SELECT 1, coalesce(max(position), 0),
    coalesce((SELECT hash FROM event ORDER BY position DESC LIMIT 1), printf('%064d', 0))
FROM event"""
    )
