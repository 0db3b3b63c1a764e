"""What people gave may be erased, and only erased: a row that is never changed may lose its words. Plans no longer copy
free words.
"""

import json

import sqlalchemy as sa
from alembic import op

revision = "2026_11_27_2100"
down_revision = "2026_11_25_1300"

# What each table's columns read once erased; every other column stays what it was.
ERASED = {
    "answer": {"given": """('{"state":"erased"}')"""},
    "comment": {"author": "('name erased')", "words": "('erased')"},
    "line_check": {"who": "('name erased')", "gain": "('')", "note": "('', 'erased')"},
    "paper": {"content": "(x'')"},
    "plan": {"heading": "('')", "document": "('')"},
    "rig_revision": {"document": "('')"},
    "signature": {"signer_name": "('name erased')", "signer_role": "('role erased')"},
}
STAYS = {
    "answer": ("position", "id", "gig_id", "question", "party", "link_id", "user_id", "created"),
    "comment": ("id", "gig_id", "party", "source", "link_id", "user_id", "created"),
    "line_check": (
        "position",
        "id",
        "gig_id",
        "plan_id",
        "sources",
        "channel",
        "state",
        "party",
        "link_id",
        "user_id",
        "said_at",
        "created",
    ),
    "paper": ("id", "plan_id", "document", "paper_size", "sha256", "created"),
    "plan": ("id", "gig_id", "number", "rig_revision_id", "answers", "locks", "engine", "content_hash", "created"),
    "rig_revision": ("id", "rig_id", "number", "author_id", "created"),
    "signature": (
        "position",
        "id",
        "gig_id",
        "plan_id",
        "content_hash",
        "party",
        "kind",
        "turn",
        "statement_version",
        "ticked",
        "link_id",
        "user_id",
        "created",
    ),
}
# Questions that are answered in free words, as they were when this was written.
FREE_WORDS = ("contact-name", "contact-phone", "sound-limit", "radio", "house-sheet")


def upgrade() -> None:
    for table in ERASED:
        op.execute(f"DROP TRIGGER no_update_{table}")
    plan = sa.table("plan", sa.column("id", sa.String), sa.column("answers", sa.Text))
    connection = op.get_bind()
    for plan_id, answers in connection.execute(sa.select(plan.c.id, plan.c.answers)).fetchall():
        known = json.loads(answers)
        kept = {key: answer for key, answer in known.items() if key not in FREE_WORDS}
        if len(kept) < len(known):
            written = json.dumps(kept, ensure_ascii=False, separators=(",", ":"))
            connection.execute(plan.update().where(plan.c.id == plan_id).values(answers=written))
    for table, erased in ERASED.items():
        gone = [f"NEW.{column} IN {values}" for column, values in erased.items()]
        same = [f'NEW."{column}" IS OLD."{column}"' for column in STAYS[table]]
        op.execute(
            f"CREATE TRIGGER no_update_{table} BEFORE UPDATE ON {table} WHEN NOT ({' AND '.join(gone + same)}) "
            f"BEGIN SELECT RAISE(ABORT, '{table} rows are never changed or deleted'); END"
        )
