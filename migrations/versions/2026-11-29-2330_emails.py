"""Emails: what is to be told and to whom, where people are reached, and who wants none."""

from alembic import op

revision = "2026_11_29_2330"
down_revision = "2026_11_29_2315"

TABLES = """
CREATE TABLE email (
    id VARCHAR NOT NULL, who VARCHAR NOT NULL, state VARCHAR NOT NULL, tries INTEGER NOT NULL, due DATETIME NOT NULL,
    why VARCHAR NOT NULL, created DATETIME NOT NULL, sent_at DATETIME,
    CONSTRAINT pk_email PRIMARY KEY (id),
    CONSTRAINT ck_email_state CHECK (state IN ('queued', 'sent', 'failed', 'dropped'))
);
CREATE INDEX ix_email_who ON email (who);

CREATE TABLE outbox (
    id VARCHAR NOT NULL, once VARCHAR NOT NULL, who VARCHAR NOT NULL, kind VARCHAR NOT NULL, gig_id VARCHAR NOT NULL,
    about VARCHAR NOT NULL, email_id VARCHAR, created DATETIME NOT NULL,
    CONSTRAINT pk_outbox PRIMARY KEY (id),
    CONSTRAINT uq_outbox_once_who UNIQUE (once, who),
    CONSTRAINT fk_outbox_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT fk_outbox_email_id FOREIGN KEY(email_id) REFERENCES email (id)
);
CREATE INDEX ix_outbox_gig_id ON outbox (gig_id);
CREATE INDEX ix_outbox_email_id ON outbox (email_id);

CREATE TABLE own_words (
    outbox_id VARCHAR NOT NULL, words TEXT NOT NULL,
    CONSTRAINT pk_own_words PRIMARY KEY (outbox_id),
    CONSTRAINT fk_own_words_outbox_id FOREIGN KEY(outbox_id) REFERENCES outbox (id)
);

CREATE TABLE email_address (
    who VARCHAR NOT NULL, address VARCHAR NOT NULL, given_by VARCHAR NOT NULL, refused_at DATETIME,
    created DATETIME NOT NULL,
    CONSTRAINT pk_email_address PRIMARY KEY (who),
    CONSTRAINT ck_email_address_given_by CHECK (given_by IN ('house', 'band'))
);

CREATE TABLE email_stop (
    digest VARCHAR NOT NULL, created DATETIME NOT NULL,
    CONSTRAINT pk_email_stop PRIMARY KEY (digest)
);

CREATE TABLE email_choice (
    band_id VARCHAR NOT NULL, reminder_days INTEGER NOT NULL,
    CONSTRAINT pk_email_choice PRIMARY KEY (band_id),
    CONSTRAINT fk_email_choice_band_id FOREIGN KEY(band_id) REFERENCES band (id)
);
"""


def upgrade() -> None:
    for statement in TABLES.strip().removesuffix(";").split(";\n"):
        op.execute(statement)
