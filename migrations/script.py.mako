"""${message}

Law of safe change: plain sqlalchemy types, nothing imported from the program, every constraint named, tables changed in batches,
and no stored answer, plan, signature or paper ever rewritten. There is no way back but the backup made before migrating.
"""

import sqlalchemy as sa
from alembic import op
${imports if imports else ""}
revision = ${repr(up_revision)}
down_revision = ${repr(down_revision)}


def upgrade() -> None:
    ${upgrades if upgrades else "pass"}

