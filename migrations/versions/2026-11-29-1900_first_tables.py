"""The first tables, and the triggers that keep what was said and signed as it was."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_29_1900"
down_revision = None

GROWS_ONLY = ("answer", "comment", "event", "house_sent", "line_check", "paper", "plan", "rig_revision", "signature")
"""What was said, signed or printed is never rewritten and never deleted."""

ERASED = {
    "answer": {"given": """('{"state":"erased"}')"""},
    "comment": {"author": "('name erased')", "words": "('erased')"},
    "line_check": {"who": "('name erased')", "gain": "('')", "note": "('', 'erased')"},
    "paper": {"content": "(x'')"},
    "plan": {"heading": "('')", "document": "('')"},
    "rig_revision": {"document": "('')"},
    "signature": {"signer_name": "('name erased')", "signer_role": "('role erased')"},
}
"""The one change that is allowed: what each table's columns read once their words are erased."""

TABLES = """
CREATE TABLE user (
    id VARCHAR NOT NULL, email VARCHAR NOT NULL, name VARCHAR NOT NULL, password_hash VARCHAR NOT NULL,
    created DATETIME NOT NULL,
    CONSTRAINT pk_user PRIMARY KEY (id),
    CONSTRAINT uq_user_email UNIQUE (email)
);

CREATE TABLE band (
    id VARCHAR NOT NULL, name VARCHAR NOT NULL, created DATETIME NOT NULL,
    CONSTRAINT pk_band PRIMARY KEY (id)
);

CREATE TABLE member (
    user_id VARCHAR NOT NULL, band_id VARCHAR NOT NULL, role VARCHAR NOT NULL, created DATETIME NOT NULL,
    CONSTRAINT pk_member PRIMARY KEY (user_id, band_id),
    CONSTRAINT ck_member_role CHECK (role IN ('owner', 'editor', 'member')),
    CONSTRAINT fk_member_band_id FOREIGN KEY(band_id) REFERENCES band (id),
    CONSTRAINT fk_member_user_id FOREIGN KEY(user_id) REFERENCES user (id)
);
CREATE INDEX ix_member_band_id ON member (band_id);
CREATE UNIQUE INDEX ix_member_one_owner ON member (band_id) WHERE role = 'owner';

CREATE TABLE invitation (
    id VARCHAR NOT NULL, band_id VARCHAR NOT NULL, role VARCHAR NOT NULL, user_id VARCHAR,
    token_hash VARCHAR NOT NULL, expires DATETIME NOT NULL, ended_at DATETIME, created_by VARCHAR NOT NULL,
    created DATETIME NOT NULL,
    CONSTRAINT pk_invitation PRIMARY KEY (id),
    CONSTRAINT ck_invitation_role CHECK (role IN ('editor', 'member', '')),
    CONSTRAINT ck_invitation_purpose CHECK ((role = '') = (user_id IS NOT NULL)),
    CONSTRAINT fk_invitation_band_id FOREIGN KEY(band_id) REFERENCES band (id),
    CONSTRAINT fk_invitation_created_by FOREIGN KEY(created_by) REFERENCES user (id),
    CONSTRAINT fk_invitation_user_id FOREIGN KEY(user_id) REFERENCES user (id),
    CONSTRAINT uq_invitation_token_hash UNIQUE (token_hash)
);
CREATE INDEX ix_invitation_band_id ON invitation (band_id);

CREATE TABLE recovery_code (
    user_id VARCHAR NOT NULL, code_hash VARCHAR NOT NULL, created DATETIME NOT NULL,
    CONSTRAINT pk_recovery_code PRIMARY KEY (user_id, code_hash),
    CONSTRAINT fk_recovery_code_user_id FOREIGN KEY(user_id) REFERENCES user (id)
);

CREATE TABLE web_session (
    id VARCHAR NOT NULL, kind VARCHAR NOT NULL, user_id VARCHAR, link_id VARCHAR, only_view BOOLEAN NOT NULL,
    created DATETIME NOT NULL, last_seen DATETIME NOT NULL, proven_at DATETIME, expires DATETIME NOT NULL,
    CONSTRAINT pk_web_session PRIMARY KEY (id),
    CONSTRAINT ck_web_session_kind CHECK ((kind = 'user' AND user_id IS NOT NULL AND link_id IS NULL)
        OR (kind = 'link' AND link_id IS NOT NULL AND user_id IS NULL)),
    CONSTRAINT fk_web_session_link_id FOREIGN KEY(link_id) REFERENCES link (id),
    CONSTRAINT fk_web_session_user_id FOREIGN KEY(user_id) REFERENCES user (id)
);
CREATE INDEX ix_web_session_link_id ON web_session (link_id);
CREATE INDEX ix_web_session_user_id ON web_session (user_id);

CREATE TABLE band_paper (
    band_id VARCHAR NOT NULL, size VARCHAR NOT NULL,
    CONSTRAINT pk_band_paper PRIMARY KEY (band_id),
    CONSTRAINT ck_band_paper_size CHECK (size IN ('A4', 'Letter')),
    CONSTRAINT fk_band_paper_band_id FOREIGN KEY(band_id) REFERENCES band (id)
);

CREATE TABLE rig (
    id VARCHAR NOT NULL, band_id VARCHAR NOT NULL, name VARCHAR NOT NULL, version INTEGER NOT NULL,
    created DATETIME NOT NULL,
    CONSTRAINT pk_rig PRIMARY KEY (id),
    CONSTRAINT fk_rig_band_id FOREIGN KEY(band_id) REFERENCES band (id)
);
CREATE INDEX ix_rig_band_id ON rig (band_id);

CREATE TABLE rig_revision (
    id VARCHAR NOT NULL, rig_id VARCHAR NOT NULL, number INTEGER NOT NULL, document TEXT NOT NULL,
    author_id VARCHAR NOT NULL, created DATETIME NOT NULL,
    CONSTRAINT pk_rig_revision PRIMARY KEY (id),
    CONSTRAINT ck_rig_revision_number CHECK (number >= 1),
    CONSTRAINT fk_rig_revision_author_id FOREIGN KEY(author_id) REFERENCES user (id),
    CONSTRAINT fk_rig_revision_rig_id FOREIGN KEY(rig_id) REFERENCES rig (id),
    CONSTRAINT uq_rig_revision_rig_id_number UNIQUE (rig_id, number)
);

CREATE TABLE gig (
    id VARCHAR NOT NULL, band_id VARCHAR NOT NULL, name VARCHAR NOT NULL, place VARCHAR NOT NULL, "on" DATE NOT NULL,
    time_zone VARCHAR NOT NULL, times TEXT NOT NULL, set_minutes INTEGER, configuration VARCHAR NOT NULL,
    rig_id VARCHAR NOT NULL, rig_revision_id VARCHAR NOT NULL, cancelled_at DATETIME, version INTEGER NOT NULL,
    created DATETIME NOT NULL,
    CONSTRAINT pk_gig PRIMARY KEY (id),
    CONSTRAINT ck_gig_set_minutes CHECK (set_minutes IS NULL OR set_minutes > 0),
    CONSTRAINT fk_gig_band_id FOREIGN KEY(band_id) REFERENCES band (id),
    CONSTRAINT fk_gig_rig_id FOREIGN KEY(rig_id) REFERENCES rig (id),
    CONSTRAINT fk_gig_rig_revision_id FOREIGN KEY(rig_revision_id) REFERENCES rig_revision (id)
);
CREATE INDEX ix_gig_band_id ON gig (band_id);
CREATE INDEX ix_gig_rig_id ON gig (rig_id);

CREATE TABLE gig_stage (
    gig_id VARCHAR NOT NULL, document TEXT NOT NULL, version INTEGER NOT NULL, changed DATETIME NOT NULL,
    CONSTRAINT pk_gig_stage PRIMARY KEY (gig_id),
    CONSTRAINT fk_gig_stage_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id)
);

CREATE TABLE calendar_entry (
    gig_id VARCHAR NOT NULL, "key" VARCHAR NOT NULL, uid VARCHAR NOT NULL, sequence INTEGER NOT NULL,
    words VARCHAR NOT NULL, place VARCHAR NOT NULL, begins DATETIME NOT NULL, ends DATETIME,
    time_zone VARCHAR NOT NULL, cancelled BOOLEAN NOT NULL, changed DATETIME NOT NULL,
    CONSTRAINT pk_calendar_entry PRIMARY KEY (gig_id, "key"),
    CONSTRAINT fk_calendar_entry_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT uq_calendar_entry_uid UNIQUE (uid)
);

CREATE TABLE link (
    id VARCHAR NOT NULL, gig_id VARCHAR NOT NULL, party VARCHAR NOT NULL, label VARCHAR NOT NULL,
    powers VARCHAR NOT NULL, token_hash VARCHAR NOT NULL, expires DATETIME NOT NULL, revoked_at DATETIME,
    last_used DATETIME, created_by VARCHAR NOT NULL, created DATETIME NOT NULL,
    CONSTRAINT pk_link PRIMARY KEY (id),
    CONSTRAINT ck_link_party CHECK (party IN ('house', 'band')),
    CONSTRAINT ck_link_powers CHECK (powers <> ''),
    CONSTRAINT fk_link_created_by FOREIGN KEY(created_by) REFERENCES user (id),
    CONSTRAINT fk_link_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT uq_link_token_hash UNIQUE (token_hash)
);
CREATE INDEX ix_link_gig_id ON link (gig_id);

CREATE TABLE "plan" (
    id VARCHAR NOT NULL, gig_id VARCHAR NOT NULL, number INTEGER NOT NULL, rig_revision_id VARCHAR NOT NULL,
    answers TEXT NOT NULL, locks TEXT NOT NULL, engine VARCHAR NOT NULL, heading TEXT NOT NULL,
    document TEXT NOT NULL, content_hash VARCHAR NOT NULL, created DATETIME NOT NULL,
    CONSTRAINT pk_plan PRIMARY KEY (id),
    CONSTRAINT ck_plan_number CHECK (number >= 1),
    CONSTRAINT fk_plan_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT fk_plan_rig_revision_id FOREIGN KEY(rig_revision_id) REFERENCES rig_revision (id),
    CONSTRAINT uq_plan_gig_id_number UNIQUE (gig_id, number)
);
CREATE INDEX ix_plan_content_hash ON "plan" (content_hash);

CREATE TABLE paper (
    id VARCHAR NOT NULL, plan_id VARCHAR NOT NULL, document VARCHAR NOT NULL, paper_size VARCHAR NOT NULL,
    content BLOB NOT NULL, sha256 VARCHAR NOT NULL, created DATETIME NOT NULL,
    CONSTRAINT pk_paper PRIMARY KEY (id),
    CONSTRAINT fk_paper_plan_id FOREIGN KEY(plan_id) REFERENCES "plan" (id),
    CONSTRAINT uq_paper_plan_id_document_paper_size UNIQUE (plan_id, document, paper_size)
);
CREATE INDEX ix_paper_sha256 ON paper (sha256);

CREATE TABLE signature (
    position INTEGER NOT NULL, id VARCHAR NOT NULL, gig_id VARCHAR NOT NULL, plan_id VARCHAR NOT NULL,
    content_hash VARCHAR NOT NULL, party VARCHAR NOT NULL, kind VARCHAR NOT NULL, turn INTEGER NOT NULL,
    signer_name VARCHAR NOT NULL, signer_role VARCHAR NOT NULL, statement_version VARCHAR NOT NULL,
    ticked TEXT NOT NULL, link_id VARCHAR, user_id VARCHAR, created DATETIME NOT NULL,
    CONSTRAINT pk_signature PRIMARY KEY (position),
    CONSTRAINT ck_signature_kind CHECK (kind IN ('signed', 'withdrawn')),
    CONSTRAINT ck_signature_party CHECK (party IN ('house', 'band')),
    CONSTRAINT ck_signature_author CHECK (link_id IS NOT NULL OR user_id IS NOT NULL),
    CONSTRAINT ck_signature_turn CHECK (turn >= 0),
    CONSTRAINT fk_signature_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT fk_signature_link_id FOREIGN KEY(link_id) REFERENCES link (id),
    CONSTRAINT fk_signature_plan_id FOREIGN KEY(plan_id) REFERENCES "plan" (id),
    CONSTRAINT fk_signature_user_id FOREIGN KEY(user_id) REFERENCES user (id),
    CONSTRAINT uq_signature_gig_id_party_content_hash_kind_turn UNIQUE (gig_id, party, content_hash, kind, turn),
    CONSTRAINT uq_signature_id UNIQUE (id)
);
CREATE INDEX ix_signature_gig_id ON signature (gig_id);

CREATE TABLE line_check (
    position INTEGER NOT NULL, id VARCHAR NOT NULL, gig_id VARCHAR NOT NULL, plan_id VARCHAR NOT NULL,
    sources TEXT NOT NULL, channel INTEGER NOT NULL, state VARCHAR NOT NULL, gain VARCHAR NOT NULL,
    note TEXT NOT NULL, party VARCHAR NOT NULL, who VARCHAR NOT NULL, link_id VARCHAR, user_id VARCHAR,
    said_at DATETIME NOT NULL, created DATETIME NOT NULL,
    CONSTRAINT pk_line_check PRIMARY KEY (position),
    CONSTRAINT ck_line_check_state CHECK (state IN ('checked', 'problem')),
    CONSTRAINT ck_line_check_party CHECK (party IN ('house', 'band')),
    CONSTRAINT ck_line_check_author CHECK (link_id IS NOT NULL OR user_id IS NOT NULL),
    CONSTRAINT fk_line_check_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT fk_line_check_link_id FOREIGN KEY(link_id) REFERENCES link (id),
    CONSTRAINT fk_line_check_plan_id FOREIGN KEY(plan_id) REFERENCES "plan" (id),
    CONSTRAINT fk_line_check_user_id FOREIGN KEY(user_id) REFERENCES user (id),
    CONSTRAINT uq_line_check_id UNIQUE (id)
);
CREATE INDEX ix_line_check_gig_id ON line_check (gig_id);

CREATE TABLE answer (
    position INTEGER NOT NULL, id VARCHAR NOT NULL, gig_id VARCHAR NOT NULL, question VARCHAR NOT NULL,
    given TEXT NOT NULL, party VARCHAR NOT NULL, link_id VARCHAR, user_id VARCHAR, created DATETIME NOT NULL,
    CONSTRAINT pk_answer PRIMARY KEY (position),
    CONSTRAINT ck_answer_party CHECK (party IN ('house', 'band', 'assumed')),
    CONSTRAINT ck_answer_author CHECK (link_id IS NOT NULL OR user_id IS NOT NULL),
    CONSTRAINT fk_answer_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT fk_answer_link_id FOREIGN KEY(link_id) REFERENCES link (id),
    CONSTRAINT fk_answer_user_id FOREIGN KEY(user_id) REFERENCES user (id),
    CONSTRAINT uq_answer_id UNIQUE (id)
);
CREATE INDEX ix_answer_gig_id_question ON answer (gig_id, question);

CREATE TABLE house_sent (
    id VARCHAR NOT NULL, gig_id VARCHAR NOT NULL, link_id VARCHAR NOT NULL, created DATETIME NOT NULL,
    CONSTRAINT pk_house_sent PRIMARY KEY (id),
    CONSTRAINT fk_house_sent_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT fk_house_sent_link_id FOREIGN KEY(link_id) REFERENCES link (id)
);
CREATE INDEX ix_house_sent_gig_id ON house_sent (gig_id);

CREATE TABLE comment (
    position INTEGER NOT NULL, id VARCHAR NOT NULL, gig_id VARCHAR NOT NULL, party VARCHAR NOT NULL,
    author VARCHAR NOT NULL, source VARCHAR, words TEXT NOT NULL, link_id VARCHAR, user_id VARCHAR,
    created DATETIME NOT NULL,
    CONSTRAINT pk_comment PRIMARY KEY (position),
    CONSTRAINT ck_comment_party CHECK (party IN ('house', 'band')),
    CONSTRAINT fk_comment_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT fk_comment_link_id FOREIGN KEY(link_id) REFERENCES link (id),
    CONSTRAINT fk_comment_user_id FOREIGN KEY(user_id) REFERENCES user (id),
    CONSTRAINT uq_comment_id UNIQUE (id)
);
CREATE INDEX ix_comment_gig_id ON comment (gig_id);

CREATE TABLE lock (
    id VARCHAR NOT NULL, gig_id VARCHAR NOT NULL, source VARCHAR NOT NULL, resource VARCHAR NOT NULL,
    value VARCHAR NOT NULL, proposed_by VARCHAR NOT NULL, proposer VARCHAR NOT NULL, proposed_at DATETIME NOT NULL,
    settled_by VARCHAR, settler VARCHAR NOT NULL, settled_at DATETIME, outcome VARCHAR, released_at DATETIME,
    CONSTRAINT pk_lock PRIMARY KEY (id),
    CONSTRAINT ck_lock_outcome CHECK (outcome IN ('accepted', 'declined', 'taken-back')),
    CONSTRAINT ck_lock_proposed_by CHECK (proposed_by IN ('house', 'band')),
    CONSTRAINT ck_lock_settled_by CHECK (settled_by IN ('house', 'band')),
    CONSTRAINT ck_lock_settled_at CHECK ((outcome IS NULL) = (settled_at IS NULL)),
    CONSTRAINT fk_lock_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id)
);
CREATE INDEX ix_lock_gig_id ON lock (gig_id);

CREATE TABLE event (
    position INTEGER NOT NULL, gig_id VARCHAR NOT NULL, kind VARCHAR NOT NULL, party VARCHAR NOT NULL,
    actor VARCHAR NOT NULL, detail TEXT NOT NULL, words_digest VARCHAR NOT NULL, created DATETIME NOT NULL,
    "before" VARCHAR NOT NULL, hash VARCHAR NOT NULL,
    CONSTRAINT pk_event PRIMARY KEY (position),
    CONSTRAINT ck_event_party CHECK (party IN ('house', 'band', '')),
    CONSTRAINT fk_event_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id)
);
CREATE INDEX ix_event_gig_id ON event (gig_id);

CREATE TABLE event_words (
    position INTEGER NOT NULL, salt VARCHAR NOT NULL, changes TEXT NOT NULL,
    CONSTRAINT pk_event_words PRIMARY KEY (position),
    CONSTRAINT fk_event_words_position FOREIGN KEY(position) REFERENCES event (position)
);

CREATE TABLE form_key (
    "key" VARCHAR NOT NULL, actor VARCHAR NOT NULL, route VARCHAR NOT NULL, fingerprint VARCHAR NOT NULL,
    location VARCHAR NOT NULL, created DATETIME NOT NULL,
    CONSTRAINT pk_form_key PRIMARY KEY ("key", actor, route)
);
CREATE INDEX ix_form_key_created ON form_key (created);

CREATE TABLE server_key (
    id INTEGER NOT NULL, digest VARCHAR NOT NULL,
    CONSTRAINT pk_server_key PRIMARY KEY (id),
    CONSTRAINT ck_server_key_only_one CHECK (id = 1)
);
"""


def upgrade() -> None:
    for statement in TABLES.strip().removesuffix(";").split(";\n"):
        op.execute(statement)
    _triggers()


def _triggers() -> None:
    columns = sa.inspect(op.get_bind()).get_columns
    # Words of an event may be deleted, and are never rewritten.
    for table in (*GROWS_ONLY, "event_words"):
        refused = f"BEGIN SELECT RAISE(ABORT, '{table} rows are never changed or deleted'); END"
        when = ""
        if erased := ERASED.get(table):
            gone = [f"NEW.{column} IN {values}" for column, values in erased.items()]
            stays = [one["name"] for one in columns(table) if one["name"] not in erased]
            same = [f'NEW."{column}" IS OLD."{column}"' for column in stays]
            when = f"WHEN NOT ({' AND '.join(gone + same)}) "
        op.execute(f"CREATE TRIGGER no_update_{table} BEFORE UPDATE ON {table} {when}{refused}")
        if table in GROWS_ONLY:
            op.execute(f"CREATE TRIGGER no_delete_{table} BEFORE DELETE ON {table} {refused}")
