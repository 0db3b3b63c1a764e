"""The tables on a PostgreSQL server as they are by now, and its triggers; a file has all of it already."""

import json

from alembic import op

revision = "2026_11_30_0330"
down_revision = "2026_11_30_0230"

GROWS_ONLY = ("answer", "comment", "event", "house_sent", "line_check", "paper", "plan", "rig_revision", "signature")
"""What was said, signed or printed is never rewritten and never deleted."""

ERASED = {
    "answer": {"given": ['{"state":"erased"}']},
    "comment": {"author": ["name erased"], "words": ["erased"]},
    "line_check": {"who": ["name erased"], "gain": [""], "note": ["", "erased"]},
    "paper": {"content": ["\\x"]},
    "plan": {"heading": [""], "document": [""], "line_up": [""]},
    "rig_revision": {"document": [""]},
    "signature": {"signer_name": ["name erased"], "signer_role": ["role erased"]},
}
"""The one change that is allowed: what each table's columns read once their words are erased."""

NAMES_OFF = """
to_jsonb(NEW) - ARRAY['document', 'line_up'] = to_jsonb(OLD) - ARRAY['document', 'line_up']
AND to_jsonb(NEW) ->> 'document' <> '' AND to_jsonb(NEW) ->> 'line_up' <> to_jsonb(OLD) ->> 'line_up'
AND to_jsonb(NEW) ->> 'line_up' NOT LIKE '%"deps"%'
"""
"""Once a gig is past its time, a line-up names nobody, and its plan without those names is another text."""

REFUSE = """
CREATE FUNCTION grows_only() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
    erased jsonb := coalesce(TG_ARGV[0], '{}');
    words text[] := ARRAY(SELECT jsonb_object_keys(erased));
BEGIN
    -- A row may lose its words and keeps all else, columns included that are added later.
    IF TG_OP = 'UPDATE' AND words <> '{}' THEN
        IF to_jsonb(NEW) - words = to_jsonb(OLD) - words AND NOT EXISTS (
            SELECT FROM jsonb_each(erased) WHERE NOT value ? (to_jsonb(NEW) ->> key)
        ) THEN
            RETURN NEW;
        END IF;
    END IF;
    RAISE EXCEPTION '% rows are never changed or deleted', TG_TABLE_NAME USING ERRCODE = 'restrict_violation';
END $$
"""

TABLES = """
CREATE TABLE band (
    id VARCHAR NOT NULL, name VARCHAR NOT NULL, created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_band PRIMARY KEY (id));
CREATE TABLE chain_head (
    one INTEGER NOT NULL, position BIGINT NOT NULL, hash VARCHAR NOT NULL,
    CONSTRAINT pk_chain_head PRIMARY KEY (one), CONSTRAINT ck_chain_head_one CHECK (one = 1));
CREATE TABLE email (
    id VARCHAR NOT NULL, who VARCHAR NOT NULL, state VARCHAR NOT NULL, tries INTEGER NOT NULL,
    due TIMESTAMPTZ NOT NULL, why VARCHAR NOT NULL, created TIMESTAMPTZ NOT NULL, sent_at TIMESTAMPTZ,
    CONSTRAINT pk_email PRIMARY KEY (id),
    CONSTRAINT ck_email_state CHECK (state IN ('queued', 'sent', 'failed', 'dropped')));
CREATE INDEX ix_email_who ON email (who);
CREATE TABLE email_address (
    who VARCHAR NOT NULL, address VARCHAR NOT NULL, given_by VARCHAR NOT NULL, refused_at TIMESTAMPTZ,
    created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_email_address PRIMARY KEY (who),
    CONSTRAINT ck_email_address_given_by CHECK (given_by IN ('house', 'band')));
CREATE TABLE email_stop (
    digest VARCHAR NOT NULL, created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_email_stop PRIMARY KEY (digest));
CREATE TABLE form_key (
    key VARCHAR NOT NULL, actor VARCHAR NOT NULL, route VARCHAR NOT NULL, fingerprint VARCHAR NOT NULL,
    location VARCHAR NOT NULL, created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_form_key PRIMARY KEY (key, actor, route));
CREATE INDEX ix_form_key_created ON form_key (created);
CREATE TABLE house (
    id VARCHAR NOT NULL, name VARCHAR NOT NULL, key_hash VARCHAR NOT NULL, key_made TIMESTAMPTZ NOT NULL,
    created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_house PRIMARY KEY (id), CONSTRAINT uq_house_key_hash UNIQUE (key_hash));
CREATE TABLE server_key (
    id INTEGER NOT NULL, digest VARCHAR NOT NULL,
    CONSTRAINT pk_server_key PRIMARY KEY (id), CONSTRAINT ck_server_key_only_one CHECK (id = 1));
CREATE TABLE "user" (
    id VARCHAR NOT NULL, email VARCHAR NOT NULL, name VARCHAR NOT NULL, password_hash VARCHAR NOT NULL,
    created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_user PRIMARY KEY (id), CONSTRAINT uq_user_email UNIQUE (email));
CREATE TABLE worked_out (
    kind VARCHAR NOT NULL, key VARCHAR NOT NULL, engine VARCHAR NOT NULL, document TEXT NOT NULL,
    created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_worked_out PRIMARY KEY (kind, key, engine));
CREATE TABLE band_paper (
    band_id VARCHAR NOT NULL, size VARCHAR NOT NULL,
    CONSTRAINT pk_band_paper PRIMARY KEY (band_id), CONSTRAINT ck_band_paper_size CHECK (size IN ('A4', 'Letter')),
    CONSTRAINT fk_band_paper_band_id FOREIGN KEY(band_id) REFERENCES band (id));
CREATE TABLE calendar_feed (
    user_id VARCHAR NOT NULL, band_id VARCHAR NOT NULL, token_hash VARCHAR NOT NULL, created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_calendar_feed PRIMARY KEY (user_id),
    CONSTRAINT fk_calendar_feed_user_id FOREIGN KEY(user_id) REFERENCES "user" (id),
    CONSTRAINT fk_calendar_feed_band_id FOREIGN KEY(band_id) REFERENCES band (id),
    CONSTRAINT uq_calendar_feed_token_hash UNIQUE (token_hash));
CREATE TABLE email_choice (
    band_id VARCHAR NOT NULL, reminder_days INTEGER NOT NULL,
    CONSTRAINT pk_email_choice PRIMARY KEY (band_id),
    CONSTRAINT fk_email_choice_band_id FOREIGN KEY(band_id) REFERENCES band (id));
CREATE TABLE house_stage (
    id VARCHAR NOT NULL, house_id VARCHAR NOT NULL, name VARCHAR NOT NULL, spec TEXT NOT NULL,
    confirmed TIMESTAMPTZ NOT NULL, used TIMESTAMPTZ NOT NULL, version INTEGER NOT NULL,
    created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_house_stage PRIMARY KEY (id),
    CONSTRAINT fk_house_stage_house_id FOREIGN KEY(house_id) REFERENCES house (id));
CREATE INDEX ix_house_stage_house_id ON house_stage (house_id);
CREATE TABLE invitation (
    id VARCHAR NOT NULL, band_id VARCHAR NOT NULL, role VARCHAR NOT NULL, user_id VARCHAR,
    token_hash VARCHAR NOT NULL, expires TIMESTAMPTZ NOT NULL, ended_at TIMESTAMPTZ, created_by VARCHAR NOT NULL,
    created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_invitation PRIMARY KEY (id),
    CONSTRAINT ck_invitation_role CHECK (role IN ('editor', 'member', '')),
    CONSTRAINT ck_invitation_purpose CHECK ((role = '') = (user_id IS NOT NULL)),
    CONSTRAINT fk_invitation_band_id FOREIGN KEY(band_id) REFERENCES band (id),
    CONSTRAINT fk_invitation_user_id FOREIGN KEY(user_id) REFERENCES "user" (id),
    CONSTRAINT uq_invitation_token_hash UNIQUE (token_hash),
    CONSTRAINT fk_invitation_created_by FOREIGN KEY(created_by) REFERENCES "user" (id));
CREATE INDEX ix_invitation_band_id ON invitation (band_id);
CREATE TABLE member (
    user_id VARCHAR NOT NULL, band_id VARCHAR NOT NULL, role VARCHAR NOT NULL, created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_member PRIMARY KEY (user_id, band_id),
    CONSTRAINT ck_member_role CHECK (role IN ('owner', 'editor', 'member')),
    CONSTRAINT fk_member_user_id FOREIGN KEY(user_id) REFERENCES "user" (id),
    CONSTRAINT fk_member_band_id FOREIGN KEY(band_id) REFERENCES band (id));
CREATE INDEX ix_member_band_id ON member (band_id);
CREATE UNIQUE INDEX ix_member_one_owner ON member (band_id) WHERE role = 'owner';
CREATE TABLE recovery_code (
    user_id VARCHAR NOT NULL, code_hash VARCHAR NOT NULL, created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_recovery_code PRIMARY KEY (user_id, code_hash),
    CONSTRAINT fk_recovery_code_user_id FOREIGN KEY(user_id) REFERENCES "user" (id));
CREATE TABLE rig (
    id VARCHAR NOT NULL, band_id VARCHAR NOT NULL, name VARCHAR NOT NULL, version INTEGER NOT NULL,
    created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_rig PRIMARY KEY (id), CONSTRAINT fk_rig_band_id FOREIGN KEY(band_id) REFERENCES band (id));
CREATE INDEX ix_rig_band_id ON rig (band_id);
CREATE TABLE inquiry_link (
    id VARCHAR NOT NULL, stage_id VARCHAR NOT NULL, created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_inquiry_link PRIMARY KEY (id),
    CONSTRAINT fk_inquiry_link_stage_id FOREIGN KEY(stage_id) REFERENCES house_stage (id));
CREATE INDEX ix_inquiry_link_stage_id ON inquiry_link (stage_id);
CREATE TABLE rig_revision (
    id VARCHAR NOT NULL, rig_id VARCHAR NOT NULL, number INTEGER NOT NULL, document TEXT NOT NULL,
    author_id VARCHAR NOT NULL, created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_rig_revision PRIMARY KEY (id), CONSTRAINT uq_rig_revision_rig_id_number UNIQUE (rig_id, number),
    CONSTRAINT ck_rig_revision_number CHECK (number >= 1),
    CONSTRAINT fk_rig_revision_rig_id FOREIGN KEY(rig_id) REFERENCES rig (id),
    CONSTRAINT fk_rig_revision_author_id FOREIGN KEY(author_id) REFERENCES "user" (id));
CREATE TABLE comparison (
    id VARCHAR NOT NULL, band_id VARCHAR NOT NULL, rig_id VARCHAR NOT NULL, rig_revision_id VARCHAR NOT NULL,
    author_id VARCHAR NOT NULL, basis TEXT NOT NULL, candidates TEXT NOT NULL, version INTEGER NOT NULL,
    worked INTEGER NOT NULL, engine VARCHAR NOT NULL, needed INTEGER NOT NULL, created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_comparison PRIMARY KEY (id), CONSTRAINT ck_comparison_version CHECK (version >= 1),
    CONSTRAINT fk_comparison_band_id FOREIGN KEY(band_id) REFERENCES band (id),
    CONSTRAINT fk_comparison_rig_id FOREIGN KEY(rig_id) REFERENCES rig (id),
    CONSTRAINT fk_comparison_rig_revision_id FOREIGN KEY(rig_revision_id) REFERENCES rig_revision (id),
    CONSTRAINT fk_comparison_author_id FOREIGN KEY(author_id) REFERENCES "user" (id));
CREATE INDEX ix_comparison_band_id ON comparison (band_id);
CREATE TABLE gig (
    id VARCHAR NOT NULL, band_id VARCHAR NOT NULL, name VARCHAR NOT NULL, place VARCHAR NOT NULL,
    "on" DATE NOT NULL, time_zone VARCHAR NOT NULL, times TEXT NOT NULL, set_minutes INTEGER,
    configuration VARCHAR NOT NULL, line_up TEXT DEFAULT '' NOT NULL, rig_id VARCHAR NOT NULL,
    rig_revision_id VARCHAR NOT NULL, cancelled_at TIMESTAMPTZ, contact VARCHAR DEFAULT '' NOT NULL,
    place_key VARCHAR DEFAULT '' NOT NULL, version INTEGER NOT NULL, created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_gig PRIMARY KEY (id),
    CONSTRAINT ck_gig_set_minutes CHECK (set_minutes IS NULL OR set_minutes > 0),
    CONSTRAINT fk_gig_band_id FOREIGN KEY(band_id) REFERENCES band (id),
    CONSTRAINT fk_gig_rig_id FOREIGN KEY(rig_id) REFERENCES rig (id),
    CONSTRAINT fk_gig_rig_revision_id FOREIGN KEY(rig_revision_id) REFERENCES rig_revision (id));
CREATE INDEX ix_gig_band_id_on ON gig (band_id, "on");
CREATE INDEX ix_gig_band_id_place_key_on ON gig (band_id, place_key, "on");
CREATE INDEX ix_gig_rig_id_on ON gig (rig_id, "on");
CREATE TABLE calendar_entry (
    gig_id VARCHAR NOT NULL, key VARCHAR NOT NULL, uid VARCHAR NOT NULL, sequence INTEGER NOT NULL,
    words VARCHAR NOT NULL, place VARCHAR NOT NULL, begins TIMESTAMPTZ NOT NULL, ends TIMESTAMPTZ,
    time_zone VARCHAR NOT NULL, cancelled BOOLEAN NOT NULL, changed TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_calendar_entry PRIMARY KEY (gig_id, key),
    CONSTRAINT fk_calendar_entry_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT uq_calendar_entry_uid UNIQUE (uid));
CREATE TABLE comparison_cell (
    comparison_id VARCHAR NOT NULL, kind VARCHAR NOT NULL, key VARCHAR NOT NULL, engine VARCHAR NOT NULL,
    document TEXT NOT NULL,
    CONSTRAINT pk_comparison_cell PRIMARY KEY (comparison_id, kind, key, engine),
    CONSTRAINT fk_comparison_cell_comparison_id FOREIGN KEY(comparison_id) REFERENCES comparison (id));
CREATE TABLE event (
    position BIGINT NOT NULL, gig_id VARCHAR NOT NULL, kind VARCHAR NOT NULL, party VARCHAR NOT NULL,
    actor VARCHAR NOT NULL, detail TEXT NOT NULL, words_digest VARCHAR NOT NULL, created TIMESTAMPTZ NOT NULL,
    before VARCHAR NOT NULL, hash VARCHAR NOT NULL,
    CONSTRAINT pk_event PRIMARY KEY (position), CONSTRAINT ck_event_party CHECK (party IN ('house', 'band', '')),
    CONSTRAINT fk_event_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id));
CREATE INDEX ix_event_gig_id ON event (gig_id);
CREATE TABLE gig_stage (
    gig_id VARCHAR NOT NULL, document TEXT NOT NULL, version INTEGER NOT NULL, changed TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_gig_stage PRIMARY KEY (gig_id),
    CONSTRAINT fk_gig_stage_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id));
CREATE TABLE link (
    id VARCHAR NOT NULL, gig_id VARCHAR NOT NULL, party VARCHAR NOT NULL, label VARCHAR NOT NULL,
    powers VARCHAR NOT NULL, token_hash VARCHAR NOT NULL, expires TIMESTAMPTZ NOT NULL, revoked_at TIMESTAMPTZ,
    last_used TIMESTAMPTZ, created_by VARCHAR NOT NULL, created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_link PRIMARY KEY (id), CONSTRAINT ck_link_party CHECK (party IN ('house', 'band')),
    CONSTRAINT ck_link_powers CHECK (powers <> ''),
    CONSTRAINT fk_link_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT uq_link_token_hash UNIQUE (token_hash),
    CONSTRAINT fk_link_created_by FOREIGN KEY(created_by) REFERENCES "user" (id));
CREATE INDEX ix_link_gig_id ON link (gig_id);
CREATE TABLE lock (
    id VARCHAR NOT NULL, gig_id VARCHAR NOT NULL, source VARCHAR NOT NULL, resource VARCHAR NOT NULL,
    value VARCHAR NOT NULL, proposed_by VARCHAR NOT NULL, proposer VARCHAR NOT NULL,
    proposed_at TIMESTAMPTZ NOT NULL, settled_by VARCHAR, settler VARCHAR NOT NULL, settled_at TIMESTAMPTZ,
    outcome VARCHAR, released_at TIMESTAMPTZ, reason VARCHAR DEFAULT '' NOT NULL,
    settled_reason VARCHAR DEFAULT '' NOT NULL,
    CONSTRAINT pk_lock PRIMARY KEY (id), CONSTRAINT ck_lock_proposed_by CHECK (proposed_by IN ('house', 'band')),
    CONSTRAINT ck_lock_settled_by CHECK (settled_by IN ('house', 'band')),
    CONSTRAINT ck_lock_outcome CHECK (outcome IN ('accepted', 'declined', 'taken-back', 'overtaken')),
    CONSTRAINT ck_lock_settled_at CHECK ((outcome IS NULL) = (settled_at IS NULL)),
    CONSTRAINT fk_lock_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id));
CREATE INDEX ix_lock_gig_id ON lock (gig_id);
CREATE TABLE look (
    who VARCHAR NOT NULL, gig_id VARCHAR NOT NULL, position BIGINT NOT NULL,
    CONSTRAINT pk_look PRIMARY KEY (who, gig_id), CONSTRAINT fk_look_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id));
CREATE INDEX ix_look_gig_id ON look (gig_id);
CREATE TABLE outbox (
    id VARCHAR NOT NULL, once VARCHAR NOT NULL, who VARCHAR NOT NULL, kind VARCHAR NOT NULL, gig_id VARCHAR,
    about VARCHAR NOT NULL, email_id VARCHAR, created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_outbox PRIMARY KEY (id), CONSTRAINT uq_outbox_once_who UNIQUE (once, who),
    CONSTRAINT fk_outbox_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT fk_outbox_email_id FOREIGN KEY(email_id) REFERENCES email (id));
CREATE INDEX ix_outbox_email_id ON outbox (email_id);
CREATE INDEX ix_outbox_gig_id ON outbox (gig_id);
CREATE TABLE plan (
    id VARCHAR NOT NULL, gig_id VARCHAR NOT NULL, number INTEGER NOT NULL, rig_revision_id VARCHAR NOT NULL,
    answers TEXT NOT NULL, locks TEXT NOT NULL, line_up TEXT DEFAULT '' NOT NULL, engine VARCHAR NOT NULL,
    heading TEXT NOT NULL, document TEXT NOT NULL, content_hash VARCHAR NOT NULL, created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_plan PRIMARY KEY (id), CONSTRAINT uq_plan_gig_id_number UNIQUE (gig_id, number),
    CONSTRAINT ck_plan_number CHECK (number >= 1),
    CONSTRAINT fk_plan_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT fk_plan_rig_revision_id FOREIGN KEY(rig_revision_id) REFERENCES rig_revision (id));
CREATE INDEX ix_plan_content_hash ON plan (content_hash);
CREATE TABLE planning (
    gig_id VARCHAR NOT NULL, wanted VARCHAR NOT NULL, done VARCHAR NOT NULL, engine VARCHAR NOT NULL,
    asked_at TIMESTAMPTZ NOT NULL, tries INTEGER NOT NULL, times INTEGER NOT NULL, fault VARCHAR NOT NULL,
    CONSTRAINT pk_planning PRIMARY KEY (gig_id),
    CONSTRAINT ck_planning_fault CHECK (fault IN ('', 'too-long', 'crashed')),
    CONSTRAINT fk_planning_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id));
CREATE TABLE answer (
    position BIGINT GENERATED BY DEFAULT AS IDENTITY, id VARCHAR NOT NULL, gig_id VARCHAR NOT NULL,
    question VARCHAR NOT NULL, given TEXT NOT NULL, party VARCHAR NOT NULL, link_id VARCHAR, user_id VARCHAR,
    created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_answer PRIMARY KEY (position),
    CONSTRAINT ck_answer_party CHECK (party IN ('house', 'band', 'assumed')),
    CONSTRAINT ck_answer_author CHECK (link_id IS NOT NULL OR user_id IS NOT NULL),
    CONSTRAINT uq_answer_id UNIQUE (id), CONSTRAINT fk_answer_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT fk_answer_link_id FOREIGN KEY(link_id) REFERENCES link (id),
    CONSTRAINT fk_answer_user_id FOREIGN KEY(user_id) REFERENCES "user" (id));
CREATE INDEX ix_answer_gig_id_question ON answer (gig_id, question);
CREATE TABLE comment (
    position BIGINT GENERATED BY DEFAULT AS IDENTITY, id VARCHAR NOT NULL, gig_id VARCHAR NOT NULL,
    party VARCHAR NOT NULL, author VARCHAR NOT NULL, source VARCHAR, words TEXT NOT NULL, link_id VARCHAR,
    user_id VARCHAR, created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_comment PRIMARY KEY (position), CONSTRAINT ck_comment_party CHECK (party IN ('house', 'band')),
    CONSTRAINT uq_comment_id UNIQUE (id), CONSTRAINT fk_comment_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT fk_comment_link_id FOREIGN KEY(link_id) REFERENCES link (id),
    CONSTRAINT fk_comment_user_id FOREIGN KEY(user_id) REFERENCES "user" (id));
CREATE INDEX ix_comment_gig_id ON comment (gig_id);
CREATE TABLE event_words (
    position BIGINT NOT NULL, salt VARCHAR NOT NULL, changes TEXT NOT NULL,
    CONSTRAINT pk_event_words PRIMARY KEY (position),
    CONSTRAINT fk_event_words_position FOREIGN KEY(position) REFERENCES event (position));
CREATE TABLE gig_spec (
    gig_id VARCHAR NOT NULL, text TEXT NOT NULL, read TEXT NOT NULL, left_over INTEGER NOT NULL,
    confirmed TEXT NOT NULL, link_id VARCHAR NOT NULL, version INTEGER NOT NULL, created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_gig_spec PRIMARY KEY (gig_id),
    CONSTRAINT fk_gig_spec_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT fk_gig_spec_link_id FOREIGN KEY(link_id) REFERENCES link (id));
CREATE TABLE house_sent (
    id VARCHAR NOT NULL, gig_id VARCHAR NOT NULL, link_id VARCHAR NOT NULL, created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_house_sent PRIMARY KEY (id),
    CONSTRAINT fk_house_sent_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT fk_house_sent_link_id FOREIGN KEY(link_id) REFERENCES link (id));
CREATE INDEX ix_house_sent_gig_id ON house_sent (gig_id);
CREATE TABLE inquiry (
    gig_id VARCHAR NOT NULL, stage_id VARCHAR NOT NULL, link_id VARCHAR NOT NULL, outcome VARCHAR,
    settled_at TIMESTAMPTZ, created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_inquiry PRIMARY KEY (gig_id),
    CONSTRAINT ck_inquiry_outcome CHECK (outcome IN ('accepted', 'declined')),
    CONSTRAINT ck_inquiry_settled_at CHECK ((outcome IS NULL) = (settled_at IS NULL)),
    CONSTRAINT fk_inquiry_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT fk_inquiry_stage_id FOREIGN KEY(stage_id) REFERENCES house_stage (id),
    CONSTRAINT fk_inquiry_link_id FOREIGN KEY(link_id) REFERENCES link (id));
CREATE INDEX ix_inquiry_stage_id ON inquiry (stage_id);
CREATE TABLE line_check (
    position BIGINT GENERATED BY DEFAULT AS IDENTITY, id VARCHAR NOT NULL, gig_id VARCHAR NOT NULL,
    plan_id VARCHAR NOT NULL, sources TEXT NOT NULL, channel INTEGER NOT NULL, state VARCHAR NOT NULL,
    gain VARCHAR NOT NULL, note TEXT NOT NULL, party VARCHAR NOT NULL, who VARCHAR NOT NULL, link_id VARCHAR,
    user_id VARCHAR, said_at TIMESTAMPTZ NOT NULL, created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_line_check PRIMARY KEY (position),
    CONSTRAINT ck_line_check_state CHECK (state IN ('checked', 'problem')),
    CONSTRAINT ck_line_check_party CHECK (party IN ('house', 'band')),
    CONSTRAINT ck_line_check_author CHECK (link_id IS NOT NULL OR user_id IS NOT NULL),
    CONSTRAINT uq_line_check_id UNIQUE (id),
    CONSTRAINT fk_line_check_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT fk_line_check_plan_id FOREIGN KEY(plan_id) REFERENCES plan (id),
    CONSTRAINT fk_line_check_link_id FOREIGN KEY(link_id) REFERENCES link (id),
    CONSTRAINT fk_line_check_user_id FOREIGN KEY(user_id) REFERENCES "user" (id));
CREATE INDEX ix_line_check_gig_id ON line_check (gig_id);
CREATE TABLE own_words (
    outbox_id VARCHAR NOT NULL, words TEXT NOT NULL,
    CONSTRAINT pk_own_words PRIMARY KEY (outbox_id),
    CONSTRAINT fk_own_words_outbox_id FOREIGN KEY(outbox_id) REFERENCES outbox (id));
CREATE TABLE paper (
    id VARCHAR NOT NULL, plan_id VARCHAR NOT NULL, document VARCHAR NOT NULL, paper_size VARCHAR NOT NULL,
    content BYTEA NOT NULL, sha256 VARCHAR NOT NULL, created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_paper PRIMARY KEY (id),
    CONSTRAINT uq_paper_plan_id_document_paper_size UNIQUE (plan_id, document, paper_size),
    CONSTRAINT fk_paper_plan_id FOREIGN KEY(plan_id) REFERENCES plan (id));
CREATE INDEX ix_paper_sha256 ON paper (sha256);
CREATE TABLE signature (
    position BIGINT GENERATED BY DEFAULT AS IDENTITY, id VARCHAR NOT NULL, gig_id VARCHAR NOT NULL,
    plan_id VARCHAR NOT NULL, content_hash VARCHAR NOT NULL, party VARCHAR NOT NULL, kind VARCHAR NOT NULL,
    turn INTEGER NOT NULL, signer_name VARCHAR NOT NULL, signer_role VARCHAR NOT NULL,
    statement_version VARCHAR NOT NULL, ticked TEXT NOT NULL, link_id VARCHAR, user_id VARCHAR,
    created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_signature PRIMARY KEY (position), CONSTRAINT uq_signature_gig_id_party_content_hash_kind_turn
    UNIQUE (gig_id, party, content_hash, kind, turn),
    CONSTRAINT ck_signature_party CHECK (party IN ('house', 'band')),
    CONSTRAINT ck_signature_kind CHECK (kind IN ('signed', 'withdrawn')),
    CONSTRAINT ck_signature_author CHECK (link_id IS NOT NULL OR user_id IS NOT NULL),
    CONSTRAINT ck_signature_turn CHECK (turn >= 0), CONSTRAINT uq_signature_id UNIQUE (id),
    CONSTRAINT fk_signature_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT fk_signature_plan_id FOREIGN KEY(plan_id) REFERENCES plan (id),
    CONSTRAINT fk_signature_link_id FOREIGN KEY(link_id) REFERENCES link (id),
    CONSTRAINT fk_signature_user_id FOREIGN KEY(user_id) REFERENCES "user" (id));
CREATE INDEX ix_signature_gig_id ON signature (gig_id);
CREATE TABLE stage_fact (
    stage_id VARCHAR NOT NULL, topic VARCHAR NOT NULL, place INTEGER NOT NULL, given TEXT NOT NULL, link_id VARCHAR,
    said TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_stage_fact PRIMARY KEY (stage_id, topic, place),
    CONSTRAINT fk_stage_fact_stage_id FOREIGN KEY(stage_id) REFERENCES house_stage (id),
    CONSTRAINT fk_stage_fact_link_id FOREIGN KEY(link_id) REFERENCES link (id));
CREATE TABLE stage_gig (
    gig_id VARCHAR NOT NULL, stage_id VARCHAR NOT NULL, link_id VARCHAR NOT NULL, created TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_stage_gig PRIMARY KEY (gig_id, stage_id),
    CONSTRAINT fk_stage_gig_gig_id FOREIGN KEY(gig_id) REFERENCES gig (id),
    CONSTRAINT fk_stage_gig_stage_id FOREIGN KEY(stage_id) REFERENCES house_stage (id),
    CONSTRAINT fk_stage_gig_link_id FOREIGN KEY(link_id) REFERENCES link (id));
CREATE INDEX ix_stage_gig_stage_id ON stage_gig (stage_id);
CREATE TABLE web_session (
    id VARCHAR NOT NULL, kind VARCHAR NOT NULL, user_id VARCHAR, link_id VARCHAR, only_view BOOLEAN NOT NULL,
    created TIMESTAMPTZ NOT NULL, last_seen TIMESTAMPTZ NOT NULL, proven_at TIMESTAMPTZ,
    expires TIMESTAMPTZ NOT NULL,
    CONSTRAINT pk_web_session PRIMARY KEY (id), CONSTRAINT ck_web_session_kind CHECK ((kind = 'user' AND user_id IS
    NOT NULL AND link_id IS NULL) OR (kind = 'link' AND link_id IS NOT NULL AND user_id IS NULL)),
    CONSTRAINT fk_web_session_user_id FOREIGN KEY(user_id) REFERENCES "user" (id),
    CONSTRAINT fk_web_session_link_id FOREIGN KEY(link_id) REFERENCES link (id));
CREATE INDEX ix_web_session_link_id ON web_session (link_id);
CREATE INDEX ix_web_session_user_id ON web_session (user_id);
"""


def upgrade() -> None:
    if op.get_context().dialect.name == "sqlite":
        return
    for statement in TABLES.strip().removesuffix(";").split(";\n"):
        op.execute(statement)
    op.execute("INSERT INTO chain_head (one, position, hash) VALUES (1, 0, repeat('0', 64))")
    op.execute(REFUSE)
    for table in GROWS_ONLY:
        _refuse(table, "UPDATE", ERASED.get(table), but=NAMES_OFF if table == "plan" else "")
        _refuse(table, "DELETE")
        _refuse(table, "TRUNCATE", each="STATEMENT")
    # Words of an event may be deleted, and are never rewritten.
    _refuse("event_words", "UPDATE")


def _refuse(
    table: str, deed: str, erased: dict[str, list[str]] | None = None, *, each: str = "ROW", but: str = ""
) -> None:
    """Refuse a deed, whoever does it: only a table's owner can end that."""
    name, said = f"no_{deed.lower()}_{table}", json.dumps(erased).replace("'", "''")
    argument, when = f"'{said}'" if erased else "", f"WHEN (NOT ({but})) " if but else ""
    op.execute(
        f'CREATE TRIGGER {name} BEFORE {deed} ON "{table}" FOR EACH {each} {when}'
        f"EXECUTE FUNCTION grows_only({argument})"
    )
    op.execute(f'ALTER TABLE "{table}" ENABLE ALWAYS TRIGGER {name}')
