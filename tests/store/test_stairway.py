"""Every migration, one at a time and over rows that are there: nothing of what people kept is lost on the way up."""

# ruff: noqa: S608 - the names of tables and columns are the file's own

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from alembic import command
from alembic.script import ScriptDirectory

from portal.store.database import session, sqlite_backup
from portal.store.database.session import alembic_config, migrate
from tests.store.another_step import ADDS_A_COLUMN, another_step
from tests.store.test_migrations import GROWS_ONLY, table_texts

STEPS = [
    step.revision
    for step in reversed(list(ScriptDirectory.from_config(alembic_config(Path("unused"))).walk_revisions()))
]

THE_ONE = "the-one"
"""Id of the one row of every table, so that every row has its parent."""
VALUES: dict[str, object] = {
    "party": "house",
    "fault": "crashed",
    "role": "owner",
    "state": "checked",
    "powers": "view",
    "answers": '{"inputs-free":{"state":"answered"}}',
    "given": '{"state":"answered","value":"0171 5550"}',
    "created": "2026-11-25 12:00:00.000000",
    "on": "2026-12-05",
    "set_minutes": 75,
    "number": 1,
    "size": "A4",
    "content": b"%PDF",
    "proposed_by": "house",
    "given_by": "house",
}
OF_TABLE: dict[tuple[str, str], object] = {
    ("web_session", "kind"): "user",
    ("web_session", "link_id"): None,
    ("signature", "kind"): "signed",
    ("signature", "turn"): 0,
    ("lock", "settled_by"): None,
    ("lock", "settled_at"): None,
    ("lock", "outcome"): None,
    ("invitation", "role"): "",
    ("email", "state"): "queued",
}


def up_to(path: Path, step: str) -> None:
    command.upgrade(alembic_config(path), step)


def fill(path: Path) -> None:
    """One row in every table that there is; in place of the one with which a table begins."""
    with closing(sqlite3.connect(path)) as raw, raw:
        names = [
            name
            for (name,) in raw.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
            if name != "alembic_version"
        ]
        for table in names:
            row: dict[str, object] = {}
            for _, name, kind, needed, _, _ in raw.execute(f'PRAGMA table_info("{table}")'):
                usual = (
                    1 if kind.startswith(("INTEGER", "BOOLEAN")) else VALUES["created"] if "DATE" in kind else THE_ONE
                )
                value = OF_TABLE.get((table, name), VALUES.get(name, usual if needed or name.endswith("_id") else None))
                row[name] = value
            raw.execute(
                f'INSERT OR REPLACE INTO "{table}" ({", ".join(map(quoted, row))})'
                f" VALUES ({', '.join('?' * len(row))})",
                list(row.values()),
            )


def quoted(name: str) -> str:
    return f'"{name}"'


def rows_of(path: Path) -> dict[str, list[dict[str, object]]]:
    with closing(sqlite3.connect(path)) as raw:
        raw.row_factory = sqlite3.Row
        names = [
            row["name"]
            for row in raw.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
            if row["name"] != "alembic_version"
        ]
        return {name: [dict(row) for row in raw.execute(f'SELECT * FROM "{name}"')] for name in names}


def lost(before: dict[str, list[dict[str, object]]], after: dict[str, list[dict[str, object]]]) -> set[tuple[str, str]]:
    """Tables and columns of which a row or a value is gone or different."""
    found = set()
    for table, old in before.items():
        new = after.get(table, [])
        if len(new) != len(old):
            found.add((table, "rows"))
        for was, now in zip(old, new, strict=False):
            found |= {(table, name) for name, value in was.items() if now.get(name) != value}
    return found


def test_every_step_goes_up_by_itself(tmp_path: Path, empty_database: Path) -> None:
    """One step after the other, each from what the one before left, ends with the very same tables as all at once;
    there is no way down.
    """
    path = tmp_path / "portal.sqlite3"
    for step in STEPS:
        up_to(path, step)
        assert sqlite_backup.revision_of(path) == step
        assert sqlite_backup.damage(path) == ()
    assert table_texts(path) == table_texts(empty_database)
    down = 0
    for step in STEPS:
        script = ScriptDirectory.from_config(alembic_config(path)).get_revision(step)
        down += hasattr(script.module, "downgrade")
    print(f"\nstairway steps={len(STEPS)} up={len(STEPS)} down={down}")  # noqa: T201 - shown with -s
    assert down == 0


@pytest.mark.parametrize("begin", STEPS)
def test_rows_go_up_with_it(tmp_path: Path, begin: str) -> None:
    """From every form that a database can have, one row of each table comes through to the newest: none is lost, none
    loses its parent.
    """
    path = tmp_path / "portal.sqlite3"
    up_to(path, begin)
    fill(path)
    assert sqlite_backup.damage(path) == ()
    before = rows_of(path)
    migrate(path)
    after = rows_of(path)
    kept = sum(len(rows) for table, rows in after.items() if table in before)
    print(  # noqa: T201 - shown with -s
        f"\nwith_data from={begin} rows={kept}/{sum(map(len, before.values()))}"
        f" orphans={len(sqlite_backup.damage(path))}"
    )
    assert lost(before, after) == set()
    assert sqlite_backup.damage(path) == ()
    with closing(sqlite3.connect(path)) as raw:
        for table in GROWS_ONLY:
            with pytest.raises(sqlite3.IntegrityError, match="never changed"):
                raw.execute(f'UPDATE "{table}" SET created = created')
            with pytest.raises(sqlite3.IntegrityError, match="never changed"):
                raw.execute(f'DELETE FROM "{table}"')


def test_a_step_that_takes_something_away_is_seen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A further step that empties a column and adds another one is walked like all others, and its loss is named."""
    path = tmp_path / "portal.sqlite3"
    up_to(path, STEPS[0])
    fill(path)
    before = rows_of(path)
    takes = "    op.execute(\"UPDATE gig SET place = ''\")\n"
    monkeypatch.setattr(session, "MIGRATIONS", another_step(tmp_path, ADDS_A_COLUMN + takes))
    migrate(path)
    assert sqlite_backup.revision_of(path) == "9999_more"
    assert lost(before, rows_of(path)) == {("gig", "place")}


def test_a_loss_is_seen() -> None:
    """A row that is gone, and a value that is another one, are named."""
    before = {"band": [{"id": "a", "name": "One"}], "gig": [{"id": "g"}]}
    assert lost(before, {"band": [{"id": "a", "name": "Two", "town": "x"}]}) == {("band", "name"), ("gig", "rows")}
    assert lost(before, {**before, "more": []}) == set()
