"""Inquiry links of stages with what was asked by them, and up to which event somebody last looked at a gig."""

from alembic import op

revision = "2026_11_29_2345"
down_revision = "2026_11_29_2330"

TABLES = """
CREATE TABLE inquiry_link (
    id VARCHAR NOT NULL, stage_id VARCHAR NOT NULL, created DATETIME NOT NULL,
    CONSTRAINT pk_inquiry_link PRIMARY KEY (id),
    CONSTRAINT fk_inquiry_link_stage_id FOREIGN KEY(stage_id) REFERENCES house_stage (id)
);
CREATE INDEX ix_inquiry_link_stage_id ON inquiry_link (stage_id);

CREATE TABLE inquiry (
    gig_id VARCHAR NOT NULL, stage_id VARCHAR NOT NULL, link_id VARCHAR NOT NULL, outcome VARCHAR,
    settled_at DATETIME, created DATETIME NOT NULL,
    CONSTRAINT pk_inquiry PRIMARY KEY (gig_id),
    CONSTRAINT ck_inquiry_outcome CHECK (outcome IN ('accepted', 'declined')),
    CONSTRAINT ck_inquiry_settled_at CHECK ((outcome IS NULL) = (settled_at IS NULL)),
    CONSTRAINT fk_inquiry_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT fk_inquiry_stage_id FOREIGN KEY(stage_id) REFERENCES house_stage (id),
    CONSTRAINT fk_inquiry_link_id FOREIGN KEY(link_id) REFERENCES link (id)
);
CREATE INDEX ix_inquiry_stage_id ON inquiry (stage_id);

CREATE TABLE look (
    who VARCHAR NOT NULL, gig_id VARCHAR NOT NULL, position INTEGER NOT NULL,
    CONSTRAINT pk_look PRIMARY KEY (who, gig_id),
    CONSTRAINT fk_look_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id)
);
CREATE INDEX ix_look_gig_id ON look (gig_id);
"""


def upgrade() -> None:
    for statement in TABLES.strip().removesuffix(";").split(";\n"):
        op.execute(statement)
