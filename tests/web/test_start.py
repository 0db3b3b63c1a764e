"""Settings, and what happens when the portal is started."""

import asyncio
import os
import signal
import socket
import sqlite3
import subprocess
import sys
import threading
import urllib.request
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from http.client import HTTPConnection
from pathlib import Path

import pytest
import uvicorn
from fastapi import FastAPI

from portal import admin_commands
from portal.app import _on_its_folder, _Server
from portal.settings import Settings, from_environment
from portal.store.database.claim import claim
from portal.store.database.session import migrate
from portal.web.frame.running import Portal
from tests.builders import ABand
from tests.documents.test_worker import HUGE
from tests.web.conftest import Browser
from tests.web.planned import prepare


def test_without_settings_it_runs_here() -> None:
    """Every setting has a default that works on one's own machine, with cookies that only this host gets."""
    settings = from_environment({})
    assert (settings.data, settings.port, settings.base_url) == (Path("data"), 8100, "http://127.0.0.1:8100")
    assert settings.keep_days == 90
    assert settings.secure_cookies
    assert not settings.https


@pytest.mark.parametrize(
    ("base_url", "secure"),
    [
        ("https://advance.example", True),
        ("http://localhost:9000", True),
        ("http://[::1]:9000", True),
        ("http://192.0.2.7:8100", False),
        ("http://advance.example", False),
    ],
)
def test_when_cookies_can_be_secure(base_url: str, *, secure: bool) -> None:
    """Browsers take a Secure cookie over https and on the machine itself, nowhere else."""
    assert from_environment({"PORTAL_BASE_URL": base_url}).secure_cookies is secure


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("PORTAL_PORT", "http"),
        ("PORTAL_PORT", "65536"),
        ("PORTAL_BASE_URL", "advance.example"),
        ("PORTAL_BASE_URL", "https://advance.example/below"),
        ("PORTAL_KEEP_DAYS", "0"),
        ("PORTAL_KEEP_DAYS", "for ever"),
    ],
)
def test_a_setting_that_makes_no_sense_is_named(name: str, value: str) -> None:
    """The sentence names the setting and its value."""
    with pytest.raises(ValueError, match=name):
        from_environment({name: value})


def start(data: Path, **environment: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "portal", "serve"],
        env={**os.environ, "PORTAL_DATA": str(data), **environment},
        cwd=Path(__file__).parents[2],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )


def test_a_taken_port_is_said(tmp_path: Path) -> None:
    """The message names the port and the setting, and nothing was made in the data folder."""
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        started = start(tmp_path / "data", PORTAL_PORT=str(port))
        said, _ = started.communicate(timeout=60)
    assert started.returncode == 1
    assert f"Port {port} is taken." in said
    assert "PORTAL_PORT=" in said
    assert not (tmp_path / "data").exists()


def test_what_cannot_be_served_is_said(tmp_path: Path) -> None:
    """A folder that another portal serves, no database, one of a newer portal or from before the first release, and an
    empty key each end the start with a sentence; a database that cannot be read is left as it was.
    """

    def said(data: Path) -> str:
        with pytest.raises(SystemExit) as ended:
            _on_its_folder(Settings(data, "127.0.0.1", 0, "http://127.0.0.1:0"))
        # What is no number is printed, and ends the process with 1.
        assert isinstance(ended.value.code, str)
        return ended.value.code

    taken, broken, newer, older, keyless = (
        tmp_path / name for name in ("taken", "broken", "newer", "older", "keyless")
    )
    for folder in (taken, broken, newer, older, keyless):
        folder.mkdir()
    held = claim(taken)
    started = start(taken, PORTAL_PORT="0")
    printed, _ = started.communicate(timeout=60)
    assert (started.returncode, printed) == (1, f"{said(taken)}\n")
    assert f"Another portal already serves {taken}." in printed
    os.close(held)
    (broken / "portal.sqlite3").write_bytes(b"No database. " * 1000)
    assert "cannot be used: file is not a database. Where it is damaged, restore a backup" in said(broken)
    for folder in (newer, older, keyless):
        migrate(folder / "portal.sqlite3")
    for folder, form, words in (
        (newer, "2999_01_01_0000", "of another version of the portal (2999_01_01_0000)"),
        (older, "2026_11_29_1645", "older than the first release"),
    ):
        database = folder / "portal.sqlite3"
        with closing(sqlite3.connect(database)) as raw, raw:
            raw.execute("UPDATE alembic_version SET version_num = ?", (form,))
        (folder / "portal.sqlite3.before-migration.half").write_bytes(b"left by a migration that was killed")
        before = {path.name: path.read_bytes() for path in folder.iterdir()}
        assert said(folder) == (
            f"The database {database} is {words} and was left as it was:"
            " start the version that made it, or name another folder in PORTAL_DATA."
        )
        assert {path.name: path.read_bytes() for path in folder.iterdir() if path.name != "serving.lock"} == before
    (keyless / "server.key").write_bytes(b"")
    assert "has 0 bytes instead of 32" in said(keyless)


def test_a_page_that_is_damaged_is_said_by_every_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Migrating a broken file prints a sentence, and leaves the file as it was."""
    settings = Settings(tmp_path, "127.0.0.1", 0, "http://127.0.0.1:1")
    settings.database.write_bytes(b"No database. " * 1000)
    assert admin_commands.run_migrate(settings) == 1
    assert "cannot be used: file is not a database." in capsys.readouterr().out
    assert settings.database.read_bytes() == b"No database. " * 1000


@pytest.mark.slow
def test_it_starts_says_where_it_is_and_stops(tmp_path: Path) -> None:
    """On an empty folder it makes its database and its key, answers at the printed address, and ends when told to."""
    data = tmp_path / "data"
    started = start(data, PORTAL_PORT="0")
    try:
        address = printed_address(started)
        with urllib.request.urlopen(address, timeout=60) as answer:  # noqa: S310 - the address that it printed
            assert answer.status == 200
            assert "server" not in {name.lower() for name in answer.headers}
    finally:
        started.send_signal(signal.SIGTERM)
        started.communicate(timeout=60)
    assert (data / "portal.sqlite3").exists()
    assert (data / "server.key").stat().st_mode & 0o777 == 0o600
    assert data.stat().st_mode & 0o777 == 0o700


def printed_address(started: subprocess.Popen[str]) -> str:
    """The address on the first line that holds one; the end of the output ends the search."""
    assert started.stdout is not None
    found = (word for line in started.stdout for word in line.split() if word.startswith("http://127.0.0.1:"))
    return next(found, "")


@pytest.mark.slow
def test_a_stop_waits_for_no_paper(
    app: FastAPI,
    portal: Portal,
    band: ABand,
    signed_in: Browser,
    enter: Callable[..., Browser],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Whoever waits for a paper while the portal is stopped is told to come again, by a page and not by a fault."""
    planned = prepare(portal, band, signed_in, enter)
    portal.papers.warm()
    asked = threading.Event()
    exchange = portal.papers._exchange

    def noted(*given: object) -> object:
        asked.set()
        return exchange(*given)

    render = portal.papers.render
    monkeypatch.setattr(portal.papers, "_exchange", noted)
    monkeypatch.setattr(portal.papers, "render", lambda _html, _attached=None: render(HUGE))
    with socket.create_server(("127.0.0.1", 0)) as listener, ThreadPoolExecutor(2) as threads:
        server = _Server(uvicorn.Config(app, log_config=None, access_log=False, timeout_graceful_shutdown=3))
        running = threads.submit(server.run, sockets=[listener])
        cookies = "; ".join(f"{name}={value}" for name, value in planned.house.client.cookies.items())
        with closing(HTTPConnection("127.0.0.1", listener.getsockname()[1], timeout=60)) as connection:
            connection.request("GET", f"{planned.house_base}/papers/patch-sheet.pdf", headers={"Cookie": cookies})
            assert asked.wait(60)
            server.should_exit = True
            answer = connection.getresponse()
            said = answer.read().decode()
        running.result(timeout=60)
    assert answer.status == 503
    assert answer.headers["retry-after"] == "60"
    assert "The portal is being stopped, and this paper with it." in said


def test_a_stop_tells_who_waits_longer_than_it_does(app: FastAPI) -> None:
    """What is still being answered when a stop waits no longer is told to come again; a proxy asks another."""
    asked = threading.Event()

    @app.get("/slow")
    async def slow() -> None:
        asked.set()
        await asyncio.sleep(60)

    with socket.create_server(("127.0.0.1", 0)) as listener, ThreadPoolExecutor(1) as threads:
        server = _Server(uvicorn.Config(app, log_config=None, access_log=False, timeout_graceful_shutdown=1))
        running = threads.submit(server.run, sockets=[listener])
        with closing(HTTPConnection("127.0.0.1", listener.getsockname()[1], timeout=60)) as connection:
            connection.request("GET", "/slow")
            assert asked.wait(60)
            server.should_exit = True
            answer = connection.getresponse()
            said = answer.read().decode()
        running.result(timeout=60)
    assert (answer.status, answer.headers["retry-after"]) == (503, "5")
    assert "The portal is being stopped" in said
