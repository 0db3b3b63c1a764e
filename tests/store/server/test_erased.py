"""Erasing on a server: the portal's own role may do it, nothing that was given is left, what was signed holds."""

import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import text

from portal import admin_commands
from portal.plan.input.line_up import LineUp
from portal.settings import Settings
from portal.store.database.scopes import EVERYTHING
from portal.store.database.session import Session, Store
from portal.store.database.tables import METADATA
from portal.store.day import line_ups
from portal.store.plans import StoredPlan
from portal.store.record import erasing
from portal.store.record.verify import verify
from tests import postgresql
from tests.builders import NOW, a_band, a_gig, a_plan
from tests.store.test_erasing import HOUSE, MEMBER, OTHER, Planted, plant


@pytest.fixture
def planted(server_store: Store) -> Planted:
    with server_store.writing() as db:
        return plant(db)


def left(store: Store, words: dict[str, str]) -> dict[str, int]:
    """How often each canary stands in any row of any table, also in what is kept as bytes."""
    with postgresql.as_superuser(store.engine.url.database) as connection:
        rows = [
            str(row)
            for table in METADATA.tables
            for row in connection.execute(text(f'SELECT one::text FROM "{table}" one')).scalars()  # noqa: S608
        ]
    found = {
        name: sum(row.count(word) + row.count(word.encode().hex()) for row in rows) for name, word in words.items()
    }
    return {name: count for name, count in found.items() if count}


Deed = Callable[[Session, Planted], object]

DEEDS: dict[str, tuple[Deed, dict[str, str]]] = {
    "a link's": (lambda db, all_: erasing.of_link(db, all_.link, NOW, actor=f"link:{all_.link.id}"), HOUSE),
    "a house's": (lambda db, all_: erasing.of_house(db, all_.gig, NOW, actor="user:x"), {**HOUSE, **OTHER}),
    "an account's": (lambda db, all_: erasing.of_user(db, all_.member_id, NOW), MEMBER),
}


@pytest.mark.parametrize("whose", DEEDS)
def test_nothing_is_left_of_what_somebody_gave(server_store: Store, planted: Planted, whose: str) -> None:
    """After erasing no row of any table holds a word of theirs, and every hash, signature and event still verifies."""
    deed, words = DEEDS[whose]
    # The label of a link that stands is the band's word for it.
    words = {name: word for name, word in words.items() if name != "label"}
    before = left(server_store, words)
    assert len(before) >= len(words) - 1
    with server_store.writing(EVERYTHING) as db:
        deed(db, planted)
    server_store.compact()
    after = left(server_store, words)
    with server_store.reading() as db:
        verdict = verify(db)
    print(f"\nwhose={whose} before={sum(before.values())} after={sum(after.values())} erased={verdict.erased}")  # noqa: T201 - shown with -s
    assert after == {}
    assert verdict.faults == ()
    assert verdict.erased > 0


def test_a_past_plan_loses_the_names_of_that_night(server_store: Store) -> None:
    """A plan may lose who played for somebody, and nothing else goes by that way."""
    line_up = line_ups.write(LineUp(deps=(("Eli", "Mika"),)))
    with server_store.writing() as db:
        gig = a_gig(db, a_band(db))
        plan = a_plan(db, gig)
        db.connection().execute(
            StoredPlan.__table__.insert().values(
                **{**plan.model_dump(), "id": "named", "number": 2, "line_up": line_up, "content_hash": "n" * 64}
            )
        )
    bare = {"line_up": "", "document": plan.document + " "}
    refused = (
        {**bare, "document": ""},
        {**bare, "content_hash": "x" * 64},
        {"document": bare["document"]},
        {**bare, "line_up": line_up.replace("Mika", "Noa")},
    )
    with postgresql.as_superuser(server_store.engine.url.database) as connection:
        here = StoredPlan.__table__.update().where(StoredPlan.__table__.c.id == "named")
        for values in refused:
            with pytest.raises(Exception, match="never changed"), connection.begin_nested():
                connection.execute(here.values(**values))
        assert connection.execute(here.values(**bare)).rowcount == 1


def in_files(name: str, words: dict[str, str]) -> dict[str, int]:
    """How often each canary stands in the files of a database's tables and indexes, whatever its rows say."""
    with postgresql.as_superuser(name) as connection:
        number = connection.execute(text("SELECT oid FROM pg_database WHERE datname = :name"), {"name": name}).scalar()
    folder = Path(os.environ[postgresql.FOLDER], "data", "base", str(number))
    content = b"".join(path.read_bytes() for path in sorted(folder.iterdir()) if path.is_file())
    found = {which: content.count(word.encode()) for which, word in words.items()}
    return {which: count for which, count in found.items() if count}


def test_nothing_is_left_in_the_servers_files(
    server_store: Store, planted: Planted, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Erasing leaves words in gaps of the server's files, which its own round does not fill; ``forget`` with the
    owner's settings writes the tables anew, and says so. Without them it says what is left.
    """
    name, words = str(server_store.engine.url.database), {**HOUSE, **OTHER}
    words = {which: word for which, word in words.items() if which != "label"}

    def written_out(statement: str) -> int:
        with postgresql.as_superuser(name, statements=True) as connection:
            for one in (statement, "CHECKPOINT"):
                connection.execute(text(one))
        return sum(in_files(name, words).values())

    with server_store.writing(EVERYTHING) as db:
        erasing.of_house(db, planted.gig, NOW, actor="user:x")
    gaps = written_out("VACUUM")
    there = Settings(tmp_path, "127.0.0.1", 0, "https://portal.test", server=postgresql.program(name))
    assert admin_commands.run_forget(there) == 0
    assert "Gaps of the server's files hold it until" in capsys.readouterr().out
    assert admin_commands.run_forget(replace(there, owner=postgresql.owner(name))) == 0
    assert "The tables are written anew." in capsys.readouterr().out
    left_over = written_out("SELECT 1")
    print(f"\nin_files cleaned_up={gaps} written_anew={left_over}")  # noqa: T201 - shown with -s
    assert gaps > 0
    assert left_over == 0
