"""${message}

Law of safe change: plain sqlalchemy types, nothing imported from the program, every constraint named; a file and a
server come to the same. Tables are made by op.create_table and changed by op.batch_alter_table(..., recreate=recreate),
which in a file drops a table's triggers: make them again there; on a server they stay. No stored answer, plan,
signature or document is ever rewritten. There is no way back but the backup made before migrating.
"""

import sqlalchemy as sa
from alembic import op
${imports if imports else ""}
revision = ${repr(up_revision)}
down_revision = ${repr(down_revision)}


def upgrade() -> None:
    recreate = "always" if op.get_context().dialect.name == "sqlite" else "never"
    ${upgrades if upgrades else "pass"}

