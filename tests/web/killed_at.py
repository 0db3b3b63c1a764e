"""A program that is killed at a named step. It forks once for each step: the child does the work on a copy of the data
folder and kills itself there, the parent waits. Prints the exit of each child; a child that came to its end was not
killed, and says so with another number.
"""

import contextlib
import json
import os
import shutil
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from fastapi import FastAPI
from fastapi.testclient import TestClient
from sqlalchemy import text

from portal import admin_commands
from portal.advance import planning as advance
from portal.app import JOBS, create_app
from portal.settings import Settings
from portal.store import planning
from portal.store.database import session, sqlite_backup
from portal.store.record import events
from portal.web.documents import downloads
from portal.web.frame import forms
from portal.web.frame.notifier import Notifier
from tests import postgresql
from tests.builders import NOW
from tests.planning import AtOnce, InThisProcess
from tests.web.conftest import ORIGIN, Browser
from tests.web.planned import filled

Patch = Callable[[], None]


def die(*_args: object, **_named: object) -> Any:
    """What the power switch does."""
    os.kill(os.getpid(), signal.SIGKILL)


def at(owner: object, name: str, when: Callable[..., bool] = lambda *_args, **_named: True) -> Patch:
    """Die where a function is called, as soon as the call is the meant one."""

    def patch() -> None:
        real = getattr(owner, name)

        def stand_in(*args: object, **named: object) -> object:
            return die() if when(*args, **named) else real(*args, **named)

        setattr(owner, name, stand_in)

    return patch


def named(end: str) -> Callable[..., bool]:
    """A call about a path that ends so."""
    return lambda path, *_rest: str(path).endswith(end)


def noting(kind: str) -> Callable[..., bool]:
    """A note of one kind."""
    return lambda *_args, **given: given["kind"] == kind


def of_kind(kind: str) -> Callable[..., bool]:
    """An event of one kind."""
    return lambda event: event.kind == kind


BACKUP = {
    "before the copy": at(sqlite_backup, "copy_to"),
    "the copy half written": at(sqlite_backup, "settle", named(".half")),
    "the copy made": at(shutil, "copyfile"),
    "packed, not on the disk": at(sqlite_backup, "settle", named("backup.zip")),
    "before its name": at(Path, "rename", named("backup.zip")),
    "after its name": at(admin_commands, "_unpack"),
    "while it is read back": at(admin_commands, "_judge"),
}
RESTORE = {
    "the database unpacked": at(sqlite_backup, "settle", named(admin_commands.DATABASE)),
    "the key unpacked": at(sqlite_backup, "settle", named(admin_commands.KEY)),
    "before its name": at(Path, "rename", lambda path, *_rest: ".restore-" in str(path)),
    "after its name": at(admin_commands, "_judge"),
}
MIGRATION = {
    "before the copy": at(sqlite_backup, "copy_to"),
    "the copy half written": at(sqlite_backup, "settle", named(".half")),
    "the copy made": at(session, "_upgrade"),
    "migrated, the copy there": at(
        Path, "unlink", lambda path, *_rest, **_named: str(path).endswith(".before-migration")
    ),
}
SIGN_OFF = {
    "the signature written": at(events, "append", noting("signed")),
    "the event noted": at(forms.Once, "done"),
    "before it is kept": at(session.Session, "commit"),
    "while the events are written": at(events.Event, "expected_hash", of_kind("signed")),
    "kept, no answer yet": at(Notifier, "notify"),
    "the paper made": at(downloads, "_keep"),
    "the paper written": at(events, "append", noting("paper-kept")),
}
PLANNING = {
    "the answer written": at(planning, "want"),
    "asked for": at(forms.Once, "done"),
    "kept, no bell rung": at(Notifier, "notify"),
    "read, not solved": at(InThisProcess, "ask"),
    "solved": at(advance, "keep"),
    "the plan written": at(events, "append", noting("planned")),
    "noted, not kept": at(planning, "settle"),
    "while the events are written": at(events.Event, "expected_hash", of_kind("planned")),
}
STEPS = {"planning": PLANNING, "backup": BACKUP, "restore": RESTORE, "migration": MIGRATION, "sign-off": SIGN_OFF}


SERVER = "database-name"
"""The file of a data folder whose database is on the tests' server: its name."""


def settings_of(data: Path) -> Settings:
    named = data / SERVER
    server = postgresql.program(named.read_text()) if named.exists() else None
    return Settings(data, "127.0.0.1", 0, ORIGIN, server=server)


def copied(source: Path, data: Path) -> None:
    """Copy a data folder, and the database that it names."""
    shutil.copytree(source, data)
    if (named := data / SERVER).exists():
        name = named.read_text()
        with postgresql.as_superuser(statements=True) as connection:
            connection.execute(text(f"CREATE DATABASE {name}_{data.name} TEMPLATE {name}"))
        named.write_text(f"{name}_{data.name}")


def an_app(data: Path) -> FastAPI:
    """The portal on a folder; what is due is done before a form is answered."""
    return create_app(settings_of(data), lambda: NOW, AtOnce(JOBS), InThisProcess())


def answer(data: Path, cookie: str, value: str, gig_id: str, form: str = "") -> str:
    """Save another number of inputs for the house, with a form drawn before or a new one; the form."""
    with TestClient(an_app(data), base_url=ORIGIN, follow_redirects=False) as client:
        client.cookies.set(cookie, value, domain="portal.test")
        page = f"/house/{gig_id}/questions/inputs"
        drawn = json.loads(form) if form else {**Browser(client).hidden(page), "inputs-free": "3"}
        Path(data, "form.json").write_text(json.dumps(drawn))
        assert client.post(page, data=drawn, headers={"Origin": ORIGIN}).status_code == 303
    return json.dumps(drawn)


def sign(data: Path, cookie: str, value: str, gig_id: str, form: str = "") -> str:
    """Sign for the band as a browser does, with a form drawn before or a new one; the form."""
    app = an_app(data)
    app.state.portal.papers.render = lambda *_args: b"%PDF-1.7 made"
    with TestClient(app, base_url=ORIGIN, follow_redirects=False) as client:
        client.cookies.set(cookie, value, domain="portal.test")
        browser = Browser(client)
        drawn = (
            json.loads(form)
            if form
            else filled(browser.get(f"/gigs/{gig_id}/sign-off").text, name="Ada Example", role="band leader")
        )
        if not form:
            Path(data, "form.json").write_text(json.dumps(drawn))
        assert browser.send(f"/gigs/{gig_id}/sign-off", drawn).status_code == 303
    return json.dumps(drawn)


def work(what: str, data: Path, more: list[str]) -> int:
    """The work itself, as its command does it."""
    if what == "backup":
        return admin_commands.run_backup(settings_of(data), data / "out" / "backup.zip.kept")
    if what == "restore":
        return admin_commands.run_restore(settings_of(data / "restored"), Path(more[0]))
    if what == "migration":
        session.MIGRATIONS = Path(more[0])
        return admin_commands.run_migrate(settings_of(data))
    return bool(not (answer if what == "planning" else sign)(data, *more))


def main(what: str, source: str, target: str, *more: str) -> None:
    ends = {}
    for number, (step, patch) in enumerate(STEPS[what].items()):
        data = Path(target, str(number))
        copied(Path(source), data)
        (data / "out").mkdir()
        if (child := os.fork()) == 0:
            with Path(os.devnull).open("w") as nothing, contextlib.redirect_stdout(nothing):
                patch()
                work(what, data, list(more))
            os._exit(7)
        ends[step] = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    sys.stdout.write(json.dumps(ends))


if __name__ == "__main__":
    main(*sys.argv[1:])
