"""What whoever runs the portal gets wrong, and a server that goes away meanwhile: a sentence, and nothing half-done."""

import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import Result
from sqlalchemy import Connection, inspect, text
from typer.testing import CliRunner

from portal import admin_commands
from portal.__main__ import app
from portal.settings import Server, Settings
from portal.store.database import copying, server_forms
from portal.store.database import postgresql as database
from portal.store.database.refusals import CannotWrite, Unreadable
from portal.store.database.server_forms import look, migrate_server
from portal.store.database.server_key import KeyFault, open_key
from portal.store.database.session import Store, open_store
from tests import postgresql
from tests.store.server.test_commands import dump, file, name, on_server, told
from tests.store.server.test_server_locks import end_connections

__all__ = ["file", "name"]

COMMANDS = ("migrate", "verify", "backup FILE", "restore FILE", "move server", "move file", "forget", "demo --new-link")


def called(command: str, **environment: str) -> Result:
    """What a command says and how it ends, as somebody types it."""
    return CliRunner().invoke(app, command.split(), env={"PORTAL_DATABASE_URL": "", **environment})


@pytest.mark.parametrize("command", COMMANDS)
def test_a_setting_that_makes_no_sense_ends_every_command_in_a_sentence(
    command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A wrong address is said by whatever command meets it, without a trace, and no file is made."""
    monkeypatch.chdir(tmp_path)
    ended = called(command, PORTAL_DATABASE_URL="canary", PORTAL_DATA=str(tmp_path / "data"))
    assert isinstance(ended.exception, SystemExit)
    assert "PORTAL_DATABASE_URL makes no sense; give an address" in str(ended.exception)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("command", [one for one in COMMANDS if "restore" not in one])
def test_a_server_that_is_not_there_ends_every_command_in_a_sentence(command: str, tmp_path: Path) -> None:
    """A server that does not answer, or a folder without a database, is said by whatever command meets it."""
    postgresql.must_be_here()
    url = f"postgresql://portal@/portal?host={tmp_path}"
    ended = called(command, PORTAL_DATABASE_URL=url, PORTAL_DATA=str(tmp_path / "data"))
    assert isinstance(ended.exception, SystemExit)
    assert ended.exit_code == 1
    said = f"{ended.output}{ended.exception}"
    assert any(words in said for words in ("No such file or directory", "There is no database in", "went away"))
    assert list(tmp_path.iterdir()) == []


def test_the_demo_is_not_let_into_where_there_is_none(tmp_path: Path) -> None:
    """A folder without a database is said, and none is made."""
    ended = called("demo --new-password", PORTAL_DATA=str(tmp_path))
    assert "There is no demo in this data folder" in str(ended.exception)
    assert list(tmp_path.iterdir()) == []


@pytest.fixture
def cut(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """Have the server end every line to a database as soon as rows were copied once."""

    def on_copy(name: str) -> None:
        copy = copying._copy

        def copied(source: Connection, target: Connection) -> None:
            copy(source, target)
            end_connections(at(name))

        monkeypatch.setattr(copying, "_copy", copied)

    return on_copy


def at(name: str) -> Store:
    return open_store(postgresql.program(name))


def test_a_server_that_goes_away_in_a_move_leaves_both_as_they_were(
    file: Settings, name: str, cut: Callable[[str], None], capsys: pytest.CaptureFixture[str], monkeypatch
) -> None:
    """Cut while everything was on its way there, the file is served on and the server is empty; on the way back the
    server is served on and there is no file. Later the same move works.
    """
    before, there = dump(file.database), on_server(file, name)
    cut(name)
    assert admin_commands.run_move(there, "server") == 1
    monkeypatch.undo()
    assert dump(file.database) == before
    assert admin_commands.run_move(there, "server") == 0
    verdict = told(there)
    cut(name)
    assert admin_commands.run_move(there, "file") == 1
    monkeypatch.undo()
    assert sorted(path.name for path in there.data.iterdir() if "portal.sqlite3" in path.name) == [
        "portal.sqlite3.moved"
    ]
    look(postgresql.program(name), one_role=False)
    assert told(there) == verdict
    assert admin_commands.run_move(there, "file") == 0
    assert dump(file.database) == before
    assert "The database" in capsys.readouterr().out


def test_a_move_that_the_owner_may_not_end_is_not_begun(
    file: Settings, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """With the owner's password wrong, nothing is in the folder and the server is served on."""
    there = on_server(file, name)
    assert admin_commands.run_move(there, "server") == 0
    assert there.owner is not None
    wrong = replace(there, owner=replace(there.owner, password="wrong one"))
    assert admin_commands.run_move(wrong, "file") == 1
    assert "password authentication failed" in capsys.readouterr().out
    assert not file.database.exists()
    look(postgresql.program(name), one_role=False)


def test_a_server_that_goes_away_in_a_backup_leaves_no_file(
    file: Settings, name: str, cut: Callable[[str], None], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """No backup, nothing half-written beside it, and a sentence."""
    there = on_server(file, name)
    assert admin_commands.run_move(there, "server") == 0
    out = tmp_path / "out"
    out.mkdir()
    cut(name)
    assert admin_commands.run_backup(there, out / "backup.zip") == 1
    assert "The database went away" in capsys.readouterr().out
    assert list(out.iterdir()) == []


def test_a_server_that_goes_away_at_the_end_of_a_move_is_told(
    file: Settings, name: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where nobody knows whether the server noted the move, the file stays, and the sentence says how to find out."""
    there = on_server(file, name)
    assert admin_commands.run_move(there, "server") == 0
    to_file = copying.to_file

    def copied(server: Server, target: Path) -> None:
        to_file(server, target)
        end_connections(at(name))

    monkeypatch.setattr(copying, "to_file", copied)
    assert admin_commands.run_move(there, "file") == 1
    assert f"Everything is in {file.database}, and nobody knows whether" in capsys.readouterr().out
    assert file.database.exists()


def test_a_folder_that_takes_nothing_is_said(
    file: Settings, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where a file cannot be written the sentence names its place and the reason, and nothing of it is left."""
    for folder in (tmp_path / "nowhere", tmp_path / "data" / "portal.sqlite3"):
        assert admin_commands.run_backup(file, folder / "backup.zip") == 1
        assert str(folder) in capsys.readouterr().out
    assert admin_commands.run_backup(file, tmp_path / "backup.zip") == 0
    capsys.readouterr()

    def refuse(prefix: str, **_more: object) -> str:
        raise PermissionError(13, "Permission denied", prefix)

    monkeypatch.setattr("tempfile.mkdtemp", refuse)
    assert admin_commands.run_restore(replace(file, data=tmp_path / "again"), tmp_path / "backup.zip") == 1
    assert "Permission denied. Nothing half-done is left." in capsys.readouterr().out
    assert not (tmp_path / "again").exists()


def test_a_role_that_is_not_there_is_said() -> None:
    """Whoever names a role for the portal that the server does not have is told, before tables are made."""
    postgresql.must_be_here()
    with postgresql.empty_database("template0") as bare:
        with pytest.raises(Unreadable, match=r"has no role portl\. Nothing was changed"):
            migrate_server(postgresql.owner(bare), replace(postgresql.program(bare), user="portl"))
        assert tables(bare) == []


def test_a_role_that_may_not_make_tables_is_said() -> None:
    """Migrating as somebody who does not own the database ends in a sentence, and nothing is there."""
    postgresql.must_be_here()
    with postgresql.empty_database("template0") as bare:
        role = postgresql.program(bare)
        with pytest.raises(Unreadable, match=r"permission denied for schema public.* Nothing was changed"):
            migrate_server(role, role)
        assert tables(bare) == []


def tables(name: str) -> list[str]:
    with postgresql.as_superuser(name) as connection:
        return inspect(connection).get_table_names()


def test_a_role_without_rights_is_said(name: str) -> None:
    """A role to which migrating gave nothing is told what gives it its rights."""
    with postgresql.as_superuser(name) as connection:
        connection.execute(text("REVOKE ALL ON ALL TABLES IN SCHEMA public FROM portal"))
    with pytest.raises(Unreadable, match=r"permission denied for table .*run python -m portal migrate, with the owner"):
        look(postgresql.program(name), one_role=False)


@pytest.mark.parametrize("full", ["full", "failing"])
def test_a_disk_of_a_server_at_its_end_is_said(name: str, full: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """What has its own sentence is not told as a server that cannot be reached."""

    def refuse(*_anything: object) -> None:
        raise CannotWrite(full)

    monkeypatch.setattr(server_forms, "form_of", refuse)
    with pytest.raises(CannotWrite, match=full):
        look(postgresql.program(name), one_role=False)


def test_a_key_that_cannot_be_read_is_said(file: Settings) -> None:
    """A key that the portal's user may not read, as one that was carried by hand, is a sentence."""
    store = open_store(file.database)
    file.key_file.unlink()
    file.key_file.mkdir()
    with pytest.raises(KeyFault, match=r"cannot be read: .* Give it to the user who runs the portal"):
        open_key(store, file.key_file)
    store.close()


@pytest.mark.parametrize("error", [ModuleNotFoundError("No module named 'psycopg'"), ImportError("no pq wrapper")])
def test_a_machine_without_the_package_is_told_what_to_install(
    error: ImportError, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without the driver, or without the library that it calls, the sentence is a command that can be typed."""

    def missing(*_anything: object, **_more: object) -> None:
        raise error

    monkeypatch.setattr(database, "create_engine", missing)
    with pytest.raises(Unreadable) as caught:
        look(Server("/nowhere", 5432, "portal", "portal"), one_role=False)
    assert f"{sys.executable} -m pip install 'psycopg[binary]'" in str(caught.value)
