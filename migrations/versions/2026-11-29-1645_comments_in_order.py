"""Comments stand in the order in which they were said, whatever the clock did meanwhile."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_29_1645"
down_revision = "2026_11_29_1640"

STAYS = ("position", "id", "gig_id", "party", "source", "link_id", "user_id", "created")


def upgrade() -> None:
    # SQLite adds no primary key to a table; it is made anew, with what lets it grow only, or lose its words.
    op.execute("DROP INDEX ix_comment_gig_id")
    op.execute("ALTER TABLE comment RENAME TO comment_before")
    op.create_table(
        "comment",
        sa.Column("position", sa.Integer(), nullable=False),
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
        sa.PrimaryKeyConstraint("position", name=op.f("pk_comment")),
        sa.UniqueConstraint("id", name=op.f("uq_comment_id")),
    )
    op.execute(
        "INSERT INTO comment (id, gig_id, party, author, source, words, link_id, user_id, created) SELECT id, gig_id,"
        " party, author, source, words, link_id, user_id, created FROM comment_before ORDER BY created, id"
    )
    op.execute("DROP TRIGGER no_delete_comment")
    op.execute("DROP TABLE comment_before")
    op.create_index("ix_comment_gig_id", "comment", ["gig_id"])
    same = [f'NEW."{column}" IS OLD."{column}"' for column in STAYS]
    gone = ["NEW.author IN ('name erased')", "NEW.words IN ('erased')"]
    refused = "BEGIN SELECT RAISE(ABORT, 'comment rows are never changed or deleted'); END"
    op.execute(
        f"CREATE TRIGGER no_update_comment BEFORE UPDATE ON comment WHEN NOT ({' AND '.join(gone + same)}) {refused}"
    )
    op.execute(f"CREATE TRIGGER no_delete_comment BEFORE DELETE ON comment {refused}")
