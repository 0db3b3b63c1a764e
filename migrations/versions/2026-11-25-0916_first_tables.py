"""The first tables, and the triggers that keep what was said and signed as it was."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_25_0916"
down_revision = None


# What was answered, planned, signed or printed is never rewritten and never deleted.
GROWS_ONLY = ("answer", "comment", "house_sent", "paper", "plan", "rig_revision", "signature")


def upgrade() -> None:
    op.create_table(
        "band",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_band")),
    )
    op.create_table(
        "form_key",
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("actor", sa.String(), nullable=False),
        sa.Column("route", sa.String(), nullable=False),
        sa.Column("fingerprint", sa.String(), nullable=False),
        sa.Column("location", sa.String(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("key", "actor", "route", name=op.f("pk_form_key")),
    )
    op.create_index("ix_form_key_created", "form_key", ["created"])

    op.create_table(
        "user",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("email", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("password_hash", sa.String(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_user")),
        sa.UniqueConstraint("email", name=op.f("uq_user_email")),
    )
    op.create_table(
        "member",
        sa.Column("user_id", sa.String(), nullable=False),
        sa.Column("band_id", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("role IN ('owner', 'member')", name=op.f("ck_member_role")),
        sa.ForeignKeyConstraint(["band_id"], ["band.id"], name=op.f("fk_member_band_id")),
        sa.ForeignKeyConstraint(["user_id"], ["user.id"], name=op.f("fk_member_user_id")),
        sa.PrimaryKeyConstraint("user_id", "band_id", name=op.f("pk_member")),
    )
    op.create_index("ix_member_band_id", "member", ["band_id"])
    op.create_index("ix_member_one_owner", "member", ["band_id"], unique=True, sqlite_where=sa.text("role = 'owner'"))

    op.create_table(
        "rig",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("band_id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["band_id"], ["band.id"], name=op.f("fk_rig_band_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_rig")),
    )
    op.create_index("ix_rig_band_id", "rig", ["band_id"])

    op.create_table(
        "rig_revision",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("rig_id", sa.String(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("author_id", sa.String(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("number >= 1", name=op.f("ck_rig_revision_number")),
        sa.ForeignKeyConstraint(["author_id"], ["user.id"], name=op.f("fk_rig_revision_author_id")),
        sa.ForeignKeyConstraint(["rig_id"], ["rig.id"], name=op.f("fk_rig_revision_rig_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_rig_revision")),
        sa.UniqueConstraint("rig_id", "number", name=op.f("uq_rig_revision_rig_id_number")),
    )
    op.create_table(
        "gig",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("band_id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("place", sa.String(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("time_zone", sa.String(), nullable=False),
        sa.Column("times", sa.Text(), nullable=False),
        sa.Column("set_minutes", sa.Integer(), nullable=True),
        sa.Column("configuration", sa.String(), nullable=False),
        sa.Column("rig_id", sa.String(), nullable=False),
        sa.Column("rig_revision_id", sa.String(), nullable=False),
        sa.Column("cancelled_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("set_minutes IS NULL OR set_minutes > 0", name=op.f("ck_gig_set_minutes")),
        sa.ForeignKeyConstraint(["band_id"], ["band.id"], name=op.f("fk_gig_band_id")),
        sa.ForeignKeyConstraint(["rig_id"], ["rig.id"], name=op.f("fk_gig_rig_id")),
        sa.ForeignKeyConstraint(["rig_revision_id"], ["rig_revision.id"], name=op.f("fk_gig_rig_revision_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_gig")),
    )
    op.create_index("ix_gig_band_id", "gig", ["band_id"])
    op.create_index("ix_gig_rig_id", "gig", ["rig_id"])

    op.create_table(
        "link",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("gig_id", sa.String(), nullable=False),
        sa.Column("party", sa.String(), nullable=False),
        sa.Column("label", sa.String(), nullable=False),
        sa.Column("powers", sa.String(), nullable=False),
        sa.Column("token_hash", sa.String(), nullable=False),
        sa.Column("expires", sa.DateTime(timezone=True), nullable=False),
        sa.Column("revoked_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("last_used", sa.DateTime(timezone=True), nullable=True),
        sa.Column("created_by", sa.String(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("party IN ('house', 'band')", name=op.f("ck_link_party")),
        sa.CheckConstraint("powers <> ''", name=op.f("ck_link_powers")),
        sa.ForeignKeyConstraint(["created_by"], ["user.id"], name=op.f("fk_link_created_by")),
        sa.ForeignKeyConstraint(["gig_id"], ["gig.id"], name=op.f("fk_link_gig_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_link")),
        sa.UniqueConstraint("token_hash", name=op.f("uq_link_token_hash")),
    )
    op.create_index("ix_link_gig_id", "link", ["gig_id"])

    op.create_table(
        "lock",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("gig_id", sa.String(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("resource", sa.String(), nullable=False),
        sa.Column("value", sa.String(), nullable=False),
        sa.Column("proposed_by", sa.String(), nullable=False),
        sa.Column("proposed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("settled_by", sa.String(), nullable=True),
        sa.Column("settled_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("outcome", sa.String(), nullable=True),
        sa.Column("released_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("outcome IN ('accepted', 'declined', 'taken-back')", name=op.f("ck_lock_outcome")),
        sa.CheckConstraint("proposed_by IN ('house', 'band')", name=op.f("ck_lock_proposed_by")),
        sa.CheckConstraint("settled_by IN ('house', 'band')", name=op.f("ck_lock_settled_by")),
        sa.CheckConstraint("(outcome IS NULL) = (settled_at IS NULL)", name=op.f("ck_lock_settled_at")),
        sa.ForeignKeyConstraint(["gig_id"], ["gig.id"], name=op.f("fk_lock_gig_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lock")),
    )
    op.create_index("ix_lock_gig_id", "lock", ["gig_id"])

    op.create_table(
        "plan",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("gig_id", sa.String(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("rig_revision_id", sa.String(), nullable=False),
        sa.Column("answers", sa.Text(), nullable=False),
        sa.Column("locks", sa.Text(), nullable=False),
        sa.Column("engine", sa.String(), nullable=False),
        sa.Column("heading", sa.Text(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("content_hash", sa.String(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("number >= 1", name=op.f("ck_plan_number")),
        sa.ForeignKeyConstraint(["gig_id"], ["gig.id"], name=op.f("fk_plan_gig_id")),
        sa.ForeignKeyConstraint(["rig_revision_id"], ["rig_revision.id"], name=op.f("fk_plan_rig_revision_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_plan")),
        sa.UniqueConstraint("gig_id", "number", name=op.f("uq_plan_gig_id_number")),
    )
    op.create_index("ix_plan_content_hash", "plan", ["content_hash"])

    op.create_table(
        "answer",
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("gig_id", sa.String(), nullable=False),
        sa.Column("question", sa.String(), nullable=False),
        sa.Column("given", sa.Text(), nullable=False),
        sa.Column("party", sa.String(), nullable=False),
        sa.Column("link_id", sa.String(), nullable=True),
        sa.Column("user_id", sa.String(), nullable=True),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("party IN ('house', 'band', 'assumed')", name=op.f("ck_answer_party")),
        sa.CheckConstraint("link_id IS NOT NULL OR user_id IS NOT NULL", name=op.f("ck_answer_author")),
        sa.ForeignKeyConstraint(["gig_id"], ["gig.id"], name=op.f("fk_answer_gig_id")),
        sa.ForeignKeyConstraint(["link_id"], ["link.id"], name=op.f("fk_answer_link_id")),
        sa.ForeignKeyConstraint(["user_id"], ["user.id"], name=op.f("fk_answer_user_id")),
        sa.PrimaryKeyConstraint("position", name=op.f("pk_answer")),
        sa.UniqueConstraint("id", name=op.f("uq_answer_id")),
    )
    op.create_index("ix_answer_gig_id_question", "answer", ["gig_id", "question"])

    op.create_table(
        "comment",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("gig_id", sa.String(), nullable=False),
        sa.Column("party", sa.String(), nullable=False),
        sa.Column("author", sa.String(), nullable=False),
        sa.Column("source", sa.String(), nullable=True),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("link_id", sa.String(), nullable=True),
        sa.Column("user_id", sa.String(), nullable=True),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("party IN ('house', 'band')", name=op.f("ck_comment_party")),
        sa.ForeignKeyConstraint(["gig_id"], ["gig.id"], name=op.f("fk_comment_gig_id")),
        sa.ForeignKeyConstraint(["link_id"], ["link.id"], name=op.f("fk_comment_link_id")),
        sa.ForeignKeyConstraint(["user_id"], ["user.id"], name=op.f("fk_comment_user_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_comment")),
    )
    op.create_index("ix_comment_gig_id", "comment", ["gig_id"])

    op.create_table(
        "house_sent",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("gig_id", sa.String(), nullable=False),
        sa.Column("link_id", sa.String(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["gig_id"], ["gig.id"], name=op.f("fk_house_sent_gig_id")),
        sa.ForeignKeyConstraint(["link_id"], ["link.id"], name=op.f("fk_house_sent_link_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_house_sent")),
    )
    op.create_index("ix_house_sent_gig_id", "house_sent", ["gig_id"])

    op.create_table(
        "paper",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("plan_id", sa.String(), nullable=False),
        sa.Column("document", sa.String(), nullable=False),
        sa.Column("paper_size", sa.String(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("sha256", sa.String(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["plan_id"], ["plan.id"], name=op.f("fk_paper_plan_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_paper")),
        sa.UniqueConstraint("plan_id", "document", "paper_size", name=op.f("uq_paper_plan_id_document_paper_size")),
    )
    op.create_table(
        "signature",
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("gig_id", sa.String(), nullable=False),
        sa.Column("plan_id", sa.String(), nullable=False),
        sa.Column("content_hash", sa.String(), nullable=False),
        sa.Column("party", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("turn", sa.Integer(), nullable=False),
        sa.Column("signer_name", sa.String(), nullable=False),
        sa.Column("signer_role", sa.String(), nullable=False),
        sa.Column("statement_version", sa.String(), nullable=False),
        sa.Column("ticked", sa.Text(), nullable=False),
        sa.Column("link_id", sa.String(), nullable=True),
        sa.Column("user_id", sa.String(), nullable=True),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("kind IN ('signed', 'withdrawn')", name=op.f("ck_signature_kind")),
        sa.CheckConstraint("party IN ('house', 'band')", name=op.f("ck_signature_party")),
        sa.CheckConstraint("link_id IS NOT NULL OR user_id IS NOT NULL", name=op.f("ck_signature_author")),
        sa.CheckConstraint("turn >= 0", name=op.f("ck_signature_turn")),
        sa.ForeignKeyConstraint(["gig_id"], ["gig.id"], name=op.f("fk_signature_gig_id")),
        sa.ForeignKeyConstraint(["link_id"], ["link.id"], name=op.f("fk_signature_link_id")),
        sa.ForeignKeyConstraint(["plan_id"], ["plan.id"], name=op.f("fk_signature_plan_id")),
        sa.ForeignKeyConstraint(["user_id"], ["user.id"], name=op.f("fk_signature_user_id")),
        sa.PrimaryKeyConstraint("position", name=op.f("pk_signature")),
        sa.UniqueConstraint(
            "gig_id",
            "party",
            "content_hash",
            "kind",
            "turn",
            name=op.f("uq_signature_gig_id_party_content_hash_kind_turn"),
        ),
        sa.UniqueConstraint("id", name=op.f("uq_signature_id")),
    )
    op.create_index("ix_signature_gig_id", "signature", ["gig_id"])

    op.create_table(
        "web_session",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("user_id", sa.String(), nullable=True),
        sa.Column("link_id", sa.String(), nullable=True),
        sa.Column("only_view", sa.Boolean(), nullable=False),
        sa.Column("created", sa.DateTime(timezone=True), nullable=False),
        sa.Column("last_seen", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint(
            "(kind = 'user' AND user_id IS NOT NULL AND link_id IS NULL) OR (kind = 'link' AND link_id IS NOT NULL AND"
            " user_id IS NULL)",
            name=op.f("ck_web_session_kind"),
        ),
        sa.ForeignKeyConstraint(["link_id"], ["link.id"], name=op.f("fk_web_session_link_id")),
        sa.ForeignKeyConstraint(["user_id"], ["user.id"], name=op.f("fk_web_session_user_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_web_session")),
    )
    op.create_index("ix_web_session_link_id", "web_session", ["link_id"])
    op.create_index("ix_web_session_user_id", "web_session", ["user_id"])

    for table in GROWS_ONLY:
        for deed in ("UPDATE", "DELETE"):
            op.execute(
                f"CREATE TRIGGER no_{deed.lower()}_{table} BEFORE {deed} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, '{table} rows are never changed or deleted'); END"
            )
