"""A PostgreSQL server of the tests' own, started by the first test that asks for one: in a folder of its own, on a
socket, as somebody without rights, and ended with the tests.
"""

from __future__ import annotations

import fcntl
import importlib.util
import os
import pwd
import secrets
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path

import pytest
from sqlalchemy import Connection, delete, text
from sqlalchemy.exc import DatabaseError

from portal.settings import Server
from portal.store.database import postgresql
from portal.store.database.server_forms import migrate_server
from portal.store.database.tables import METADATA

FOLDER = "PORTAL_TESTS_SERVER"
"""The environment's name for the server's folder, which the test runner's workers inherit."""

NOT_HERE = "PostgreSQL is not here"
PORT = 5432
"""Only the name of the socket: nothing listens on the network."""

TEMPLATE = "template_portal"
OWNER, PROGRAM = "portal_owner", "portal"
PASSWORD = "only for tests"
NOBODY = "nobody"

SETUP = """
listen_addresses = ''
fsync = off
full_page_writes = off
synchronous_commit = off
autovacuum = off
shared_buffers = 32MB
max_connections = 200
"""
RULES = "local all postgres trust\nlocal all all scram-sha-256\n"


def missing() -> str:
    """What keeps a server from being started here; empty where nothing does."""
    if programs() is None:
        return f"{NOT_HERE}: apt-get install postgresql"
    if importlib.util.find_spec("psycopg") is None:
        return f"{NOT_HERE}: psycopg is not installed; make setup"
    return ""


def programs() -> Path | None:
    """The folder of the newest server's programs."""
    found = [path.parent for path in Path("/usr/lib/postgresql").glob("*/bin/initdb")]
    newest = max(found, key=lambda path: int(path.parent.name), default=None)
    on_path = shutil.which("initdb")
    return newest or (Path(on_path).resolve().parent if on_path else None)


def must_be_here() -> None:
    """Skip a test where there is no server; fail it on a machine that is there to run all of them."""
    if why := missing():
        if os.environ.get("CI"):
            pytest.fail(why)
        pytest.skip(why)


def superuser(name: str = "postgres") -> Server:
    return Server(os.environ[FOLDER], PORT, name, "postgres")


def owner(name: str) -> Server:
    return Server(os.environ[FOLDER], PORT, name, OWNER, PASSWORD)


def program(name: str) -> Server:
    return Server(os.environ[FOLDER], PORT, name, PROGRAM, PASSWORD)


@contextmanager
def as_superuser(name: str = "postgres", *, statements: bool = False) -> Iterator[Connection]:
    """A connection past all rights; ``statements``: each is a transaction of its own."""
    engine = postgresql.patient_engine_of(superuser(name))
    try:
        with engine.connect() as connection:
            if statements:
                connection.execution_options(isolation_level="AUTOCOMMIT")
            yield connection
            connection.commit()
    finally:
        engine.dispose()


@contextmanager
def empty_database(template: str = TEMPLATE) -> Iterator[str]:
    """The name of a database as the migrations make it, or of one without a table."""
    start()
    if template == TEMPLATE and _FREE:
        name = _FREE.pop()
    else:
        name = f"test_{secrets.token_hex(6)}"
        with as_superuser(statements=True) as connection:
            connection.execute(text(f"CREATE DATABASE {name} TEMPLATE {template} OWNER {OWNER}"))
    yield name
    if template == TEMPLATE and _emptied(name):
        _FREE.append(name)
        return
    with as_superuser(statements=True) as connection:
        connection.execute(text(f"DROP DATABASE {name} WITH (FORCE)"))


_FREE: list[str] = []
"""Databases that a test is done with and that are empty again: to make one anew takes ten times as long."""

_SHAPE = text(
    "SELECT (SELECT version_num FROM alembic_version), (SELECT count(*) FROM pg_class WHERE relkind = 'r'),"
    " (SELECT string_agg(tgname || tgenabled, ' ' ORDER BY tgname) FROM pg_trigger WHERE NOT tgisinternal)"
)
_REFUSES = text("SELECT pg_get_functiondef('grows_only'::regproc)")
_PLACES = text("SELECT setval(oid, 1, false) FROM pg_class WHERE relkind = 'S'")


@cache
def _shape() -> tuple[object, ...]:
    with as_superuser(TEMPLATE) as connection:
        return tuple(connection.execute(_SHAPE).one())


def _emptied(name: str) -> bool:
    """Take every row out, past the triggers, where a test has left the tables and triggers as they were."""
    with as_superuser(name) as connection:
        try:
            if tuple(connection.execute(_SHAPE).one()) != _shape():
                return False
        except DatabaseError:
            return False
        refuses = connection.execute(_REFUSES).scalar_one()
        connection.exec_driver_sql("SET session_replication_role = replica")
        connection.exec_driver_sql(
            "CREATE OR REPLACE FUNCTION grows_only() RETURNS trigger LANGUAGE plpgsql AS 'BEGIN RETURN OLD; END'"
        )
        for table in METADATA.sorted_tables:
            connection.execute(delete(table))
        connection.exec_driver_sql(refuses.replace("%", "%%"))
        connection.execute(_PLACES)
        connection.exec_driver_sql("INSERT INTO chain_head (one, position, hash) VALUES (1, 0, repeat('0', 64))")
    return True


def start() -> None:
    """Start the server, unless another worker has."""
    folder = Path(os.environ[FOLDER])
    with (folder / "lock").open("w") as opened:
        fcntl.flock(opened, fcntl.LOCK_EX)
        if (folder / "ready").exists():
            return
        _start(folder)
        with as_superuser(statements=True) as connection:
            for role in (OWNER, PROGRAM):
                connection.execute(text(f"CREATE ROLE {role} LOGIN PASSWORD '{PASSWORD}'"))
            connection.execute(text(f"CREATE DATABASE {TEMPLATE} OWNER {OWNER}"))
        migrate_server(owner(TEMPLATE), program(TEMPLATE))
        (folder / "ready").touch()


def _start(folder: Path) -> None:
    data, found = folder / "data", programs()
    assert found is not None, NOT_HERE
    if os.getuid() == 0:
        shutil.chown(folder, NOBODY)
    # Text in an order of its own, so that whoever forgets to name one is found.
    order = ("--encoding=UTF8", "--locale=C.UTF-8", "--locale-provider=icu", "--icu-locale=en")
    _run(found / "initdb", "--pgdata", data, "--username=postgres", "--auth=trust", "--no-sync", *order)
    with (data / "postgresql.conf").open("a") as settings:
        settings.write(f"{SETUP}unix_socket_directories = '{folder}'\nport = {PORT}\n")
    (data / "pg_hba.conf").write_text(RULES)
    _run(found / "pg_ctl", "--pgdata", data, "--log", folder / "log", "--wait", "--timeout=120", "start")


def _run(*command: object) -> None:
    # The server refuses to be started by the machine's master.
    group = pwd.getpwnam(NOBODY).pw_gid
    whom = {"user": NOBODY, "group": group, "extra_groups": ()} if os.getuid() == 0 else {}
    words, spoken = [str(one) for one in command], {**os.environ, "LC_ALL": "C.UTF-8"}
    done = subprocess.run(words, capture_output=True, text=True, check=False, cwd="/", env=spoken, **whom)
    assert done.returncode == 0, done.stdout + done.stderr


def open_folder() -> None:
    """Name a folder for the server that a test may start; clear up after a run that was killed."""
    for left in Path(tempfile.gettempdir()).glob(f"{PREFIX}*-*"):
        number = left.name.removeprefix(PREFIX).partition("-")[0]
        if number.isdecimal() and not Path("/proc", number).exists():
            clear(left)
    os.environ[FOLDER] = tempfile.mkdtemp(prefix=f"{PREFIX}{os.getpid()}-")
    Path(os.environ[FOLDER]).chmod(0o711)


def end() -> None:
    """End the server, if one was started, and remove its folder."""
    if FOLDER in os.environ:
        clear(Path(os.environ.pop(FOLDER)))


def clear(folder: Path) -> None:
    """End the server in a folder, if it runs, and remove the folder."""
    found, data = programs(), folder / "data"
    if found and _runs(data):
        _run(found / "pg_ctl", "--pgdata", data, "--mode=immediate", "--wait", "stop")
    shutil.rmtree(folder, ignore_errors=True)


def _runs(data: Path) -> bool:
    """Whether the process named in the data folder is its server; after a crash the number may be another's."""
    try:
        number = (data / "postmaster.pid").read_text().split()[0]
        return Path("/proc", number, "cwd").resolve(strict=True) == data.resolve()
    except (OSError, IndexError):
        return False


PREFIX = "portal-tests-"
"""How the servers' folders are called; the number of the process that runs the tests follows."""
