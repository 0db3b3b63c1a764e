"""A plan may lose the names of whoever played that night only."""

import sqlalchemy as sa
from alembic import op

revision = "2026_11_30_0035"
down_revision = "2026_11_30_0030"

REFUSED = "BEGIN SELECT RAISE(ABORT, 'plan rows are never changed or deleted'); END"


def upgrade() -> None:
    columns = [one["name"] for one in sa.inspect(op.get_bind()).get_columns("plan")]
    # Once a band is erased, heading, document and line-up read empty, and nothing else may change.
    erased = ("heading", "document", "line_up")
    gone = [f"NEW.{column} IN ('')" for column in erased]
    same = [f'NEW."{column}" IS OLD."{column}"' for column in columns if column not in erased]
    # Once a gig is past its time, the line-up names nobody, and the plan without those names is another text.
    named = ["NEW.heading IS OLD.heading", "NEW.document <> ''", "NEW.line_up <> OLD.line_up"]
    named.append("NEW.line_up NOT LIKE '%\"deps\"%'")
    rule = f"({' AND '.join(gone)} OR {' AND '.join(named)}) AND {' AND '.join(same)}"
    op.execute("DROP TRIGGER no_update_plan")
    op.execute(f"CREATE TRIGGER no_update_plan BEFORE UPDATE ON plan WHEN NOT ({rule}) {REFUSED}")
