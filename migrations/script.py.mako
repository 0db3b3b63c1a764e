"""${message}

Law of safe change: plain sqlalchemy types, nothing imported from the program, every constraint named, tables changed by
op.batch_alter_table(..., recreate="always"), which drops a table's triggers: make them again. No
stored answer, plan, signature or document is ever rewritten. There is no way back but the backup made before migrating.
"""

import sqlalchemy as sa
from alembic import op
${imports if imports else ""}
revision = ${repr(up_revision)}
down_revision = ${repr(down_revision)}


def upgrade() -> None:
    ${upgrades if upgrades else "pass"}

