"""Comparisons of rigs over a year, and what was worked out of them: neither is signed, cells may be made anew."""

from alembic import op

revision = "2026_11_30_0015"
down_revision = "2026_11_30_0000"

TABLES = """
CREATE TABLE comparison (
    id VARCHAR NOT NULL, band_id VARCHAR NOT NULL, rig_id VARCHAR NOT NULL, rig_revision_id VARCHAR NOT NULL,
    author_id VARCHAR NOT NULL, basis TEXT NOT NULL, candidates TEXT NOT NULL, version INTEGER NOT NULL,
    worked INTEGER NOT NULL, engine VARCHAR NOT NULL, needed INTEGER NOT NULL, created DATETIME NOT NULL,
    CONSTRAINT pk_comparison PRIMARY KEY (id),
    CONSTRAINT ck_comparison_version CHECK (version >= 1),
    CONSTRAINT fk_comparison_band_id FOREIGN KEY(band_id) REFERENCES band (id),
    CONSTRAINT fk_comparison_rig_id FOREIGN KEY(rig_id) REFERENCES rig (id),
    CONSTRAINT fk_comparison_rig_revision_id FOREIGN KEY(rig_revision_id) REFERENCES rig_revision (id),
    CONSTRAINT fk_comparison_author_id FOREIGN KEY(author_id) REFERENCES user (id)
);

CREATE INDEX ix_comparison_band_id ON comparison (band_id);

CREATE TABLE comparison_cell (
    comparison_id VARCHAR NOT NULL, kind VARCHAR NOT NULL, "key" VARCHAR NOT NULL, engine VARCHAR NOT NULL,
    document TEXT NOT NULL,
    CONSTRAINT pk_comparison_cell PRIMARY KEY (comparison_id, kind, "key", engine),
    CONSTRAINT fk_comparison_cell_comparison_id FOREIGN KEY(comparison_id) REFERENCES comparison (id)
);
"""


def upgrade() -> None:
    for statement in TABLES.split(";\n"):
        if statement.strip():
            op.execute(statement)
