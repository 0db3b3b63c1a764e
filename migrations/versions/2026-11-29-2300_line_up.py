"""In what a gig differs from its rig, and in what the gig of a plan did."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_29_2300"
down_revision = "2026_11_29_2250"

REFUSED = "BEGIN SELECT RAISE(ABORT, 'plan rows are never changed or deleted'); END"


def upgrade() -> None:
    for table in ("gig", "plan"):
        with op.batch_alter_table(table, recreate="always") as batch:
            batch.add_column(sa.Column("line_up", sa.Text(), nullable=False, server_default=""))
    columns = [one["name"] for one in sa.inspect(op.get_bind()).get_columns("plan")]
    # Once a band is erased, heading, document and line-up read empty, and nothing else may change.
    erased = ("heading", "document", "line_up")
    gone = [f"NEW.{column} IN ('')" for column in erased]
    same = [f'NEW."{column}" IS OLD."{column}"' for column in columns if column not in erased]
    op.execute(f"CREATE TRIGGER no_update_plan BEFORE UPDATE ON plan WHEN NOT ({' AND '.join(gone + same)}) {REFUSED}")
    op.execute(f"CREATE TRIGGER no_delete_plan BEFORE DELETE ON plan {REFUSED}")
