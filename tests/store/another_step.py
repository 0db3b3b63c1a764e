"""One more migration after the newest, for tests of how a database goes up."""

from pathlib import Path

from alembic.script import ScriptDirectory

from portal.store.database.session import MIGRATIONS, alembic_config

ADDS_A_COLUMN = (
    "    with op.batch_alter_table('band') as batch:\n        batch.add_column(sa.Column('town', sa.String()))\n"
)


def another_step(folder: Path, body: str) -> Path:
    """A new folder of migrations below ``folder``: all that there are, and "9999_more" with this body."""
    head = ScriptDirectory.from_config(alembic_config(folder)).get_current_head()
    migrations = folder / "migrations"
    for file in MIGRATIONS.rglob("*.*"):
        if "__pycache__" not in file.parts:
            target = migrations / file.relative_to(MIGRATIONS)
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(file.read_bytes())
    (migrations / "versions" / "9999-more_step.py").write_text(
        f"from alembic import op\nimport sqlalchemy as sa\nrevision = '9999_more'\ndown_revision = '{head}'\ndef"
        f" upgrade():\n{body}",
        "utf-8",
    )
    return migrations
