"""What each gig is to be planned from, and what was worked out of a plan: neither is signed, both may be made anew."""

from alembic import op

revision = "2026_11_29_2045"
down_revision = "2026_11_29_1900"

TABLES = """
CREATE TABLE planning (
    gig_id VARCHAR NOT NULL, wanted VARCHAR NOT NULL, done VARCHAR NOT NULL, engine VARCHAR NOT NULL,
    asked_at DATETIME NOT NULL, tries INTEGER NOT NULL, times INTEGER NOT NULL, fault VARCHAR NOT NULL,
    CONSTRAINT pk_planning PRIMARY KEY (gig_id),
    CONSTRAINT fk_planning_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT ck_planning_fault CHECK (fault IN ('', 'too-long', 'crashed'))
);

CREATE TABLE worked_out (
    kind VARCHAR NOT NULL, "key" VARCHAR NOT NULL, engine VARCHAR NOT NULL, document TEXT NOT NULL,
    created DATETIME NOT NULL,
    CONSTRAINT pk_worked_out PRIMARY KEY (kind, "key", engine)
);
"""


def upgrade() -> None:
    for statement in TABLES.split(";\n"):
        if statement.strip():
            op.execute(statement)
