"""Houses with their stages and keys, the gigs tied to a stage, and the spec that a house gave at a gig."""

from alembic import op

revision = "2026_11_29_2100"
down_revision = "2026_11_29_2045"

TABLES = """
CREATE TABLE house (
    id VARCHAR NOT NULL, name VARCHAR NOT NULL, key_hash VARCHAR NOT NULL, key_made DATETIME NOT NULL,
    created DATETIME NOT NULL,
    CONSTRAINT pk_house PRIMARY KEY (id),
    CONSTRAINT uq_house_key_hash UNIQUE (key_hash)
);

CREATE TABLE house_stage (
    id VARCHAR NOT NULL, house_id VARCHAR NOT NULL, name VARCHAR NOT NULL, spec TEXT NOT NULL,
    confirmed DATETIME NOT NULL, used DATETIME NOT NULL, version INTEGER NOT NULL, created DATETIME NOT NULL,
    CONSTRAINT pk_house_stage PRIMARY KEY (id),
    CONSTRAINT fk_house_stage_house_id FOREIGN KEY(house_id) REFERENCES house (id)
);
CREATE INDEX ix_house_stage_house_id ON house_stage (house_id);

CREATE TABLE stage_fact (
    stage_id VARCHAR NOT NULL, topic VARCHAR NOT NULL, place INTEGER NOT NULL, given TEXT NOT NULL, link_id VARCHAR,
    said DATETIME NOT NULL,
    CONSTRAINT pk_stage_fact PRIMARY KEY (stage_id, topic, place),
    CONSTRAINT fk_stage_fact_stage_id FOREIGN KEY(stage_id) REFERENCES house_stage (id),
    CONSTRAINT fk_stage_fact_link_id FOREIGN KEY(link_id) REFERENCES link (id)
);

CREATE TABLE stage_gig (
    gig_id VARCHAR NOT NULL, stage_id VARCHAR NOT NULL, link_id VARCHAR NOT NULL, created DATETIME NOT NULL,
    CONSTRAINT pk_stage_gig PRIMARY KEY (gig_id, stage_id),
    CONSTRAINT fk_stage_gig_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT fk_stage_gig_link_id FOREIGN KEY(link_id) REFERENCES link (id),
    CONSTRAINT fk_stage_gig_stage_id FOREIGN KEY(stage_id) REFERENCES house_stage (id)
);
CREATE INDEX ix_stage_gig_stage_id ON stage_gig (stage_id);

CREATE TABLE gig_spec (
    gig_id VARCHAR NOT NULL, text TEXT NOT NULL, read TEXT NOT NULL, left_over INTEGER NOT NULL,
    confirmed TEXT NOT NULL, link_id VARCHAR NOT NULL, version INTEGER NOT NULL, created DATETIME NOT NULL,
    CONSTRAINT pk_gig_spec PRIMARY KEY (gig_id),
    CONSTRAINT fk_gig_spec_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT fk_gig_spec_link_id FOREIGN KEY(link_id) REFERENCES link (id)
);
"""


def upgrade() -> None:
    for statement in TABLES.strip().removesuffix(";").split(";\n"):
        op.execute(statement)
