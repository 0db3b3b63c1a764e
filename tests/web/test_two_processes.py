"""Two portals as they are served, on one database: what one saves the other tells, what one was killed over the other
does, and a form that both get has one effect.
"""

import os
import signal
import subprocess
import threading
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from http.client import HTTPConnection
from pathlib import Path
from urllib.parse import urlencode

import pytest
from sqlalchemy import text
from sqlmodel import select

from portal.advance.planning import want
from portal.settings import Settings
from portal.store import discussions, planning, plans
from portal.store.accounts import sessions
from portal.store.database import scopes
from portal.store.database.brakes import Brake
from portal.store.database.server_key import open_key
from portal.store.database.session import Store, news, open_store
from portal.store.gigs import Gig
from portal.store.record.events import Event
from portal.store.record.verify import verify
from portal.web.frame import deps
from portal.web.frame.access import USER_LONGEST, new_token, token_hash
from tests import postgresql
from tests.builders import a_band, a_gig, a_link
from tests.store.server.test_server_locks import end_connections
from tests.web.test_many_at_once import hidden
from tests.web.test_start import start

pytestmark = pytest.mark.slow

GUESSED = "somebody@band.example"
"""Whose account somebody guesses at."""


@dataclass
class Process:
    """A portal that runs, and where it listens."""

    running: subprocess.Popen[str]
    address: str

    def ask(
        self, path: str, cookie: str, form: dict[str, object] | None = None, *, patience_s: float = 120
    ) -> tuple[int, str]:
        """Status and text of what it answers."""
        body = None if form is None else urlencode(form, doseq=True)
        headers = {"Cookie": cookie, "Origin": f"http://{self.address}"}
        if body is not None:
            headers["Content-Type"] = "application/x-www-form-urlencoded"
        with closing(HTTPConnection(self.address, timeout=patience_s)) as line:
            line.request("GET" if body is None else "POST", path, body, headers)
            answer = line.getresponse()
            return answer.status, answer.read().decode()

    @contextmanager
    def hears(self, path: str, cookie: str) -> Iterator[Callable[[bytes], None]]:
        """A stream, and a way to wait for words on it."""
        line = HTTPConnection(self.address, timeout=120)
        line.request("GET", path, headers={"Cookie": cookie})
        stream = line.getresponse()

        def wait_for(words: bytes) -> None:
            while words not in (heard := stream.readline()):
                assert heard, words

        yield wait_for
        line.close()


@dataclass
class Night:
    """One gig on a database that several serve, and who comes to it."""

    store: Store
    settings: Settings
    environment: dict[str, str]
    gig: Gig
    band: str
    house: str
    email: str

    @contextmanager
    def serve(self, name: str) -> Iterator[Process]:
        """One more process, in a folder of its own with the same key."""
        data = self.settings.data.parent / name
        data.mkdir()
        (data / "server.key").write_bytes(self.settings.key_file.read_bytes())
        running = start(data, **self.environment)
        assert running.stdout is not None
        address = ""
        for said in running.stdout:
            if "The portal is at http://" in said:
                address = said.partition("http://")[2].split()[0]
                break
        reader = threading.Thread(target=running.stdout.read)
        reader.start()
        try:
            assert address, f"{name} did not start"
            yield Process(running, address)
        finally:
            running.kill()
            running.wait(timeout=60)
            reader.join()
            running.stdout.close()


@contextmanager
def a_night(folder: Path) -> Iterator[Night]:
    """A gig on a database of its own; what belongs to it lies in a folder."""
    postgresql.must_be_here()
    with postgresql.empty_database() as name:
        server = postgresql.program(name)
        (folder / "first").mkdir()
        settings = Settings(folder / "first", "127.0.0.1", 0, "http://127.0.0.1:0", server=server)
        password = folder / "password"
        password.write_text(postgresql.PASSWORD)
        environment = {
            "PORTAL_PORT": "0",
            "PORTAL_DATABASE_URL": f"postgresql://{server.user}@/{name}?host={server.host}",
            "PORTAL_DATABASE_PASSWORD_FILE": str(password),
        }
        store = open_store(server)
        open_key(store, settings.key_file)
        now = datetime.now(UTC)
        band_token, house_token = new_token(), new_token()
        with store.writing() as db:
            band = a_band(db)
            gig = a_gig(db, band, on=(now + timedelta(days=10)).date())
            link = a_link(db, gig, band, expires=now + timedelta(days=20))
            sessions.start_for_user(db, token_hash(band_token), band.user_id, now=now, expires=now + USER_LONGEST)
            sessions.start_for_link(
                db, token_hash(house_token), link.id, only_view=False, now=now, expires=link.expires
            )
        yield Night(
            store,
            settings,
            environment,
            gig,
            f"{deps.cookie_name(settings)}={band_token}",
            f"{deps.cookie_name(settings, gig.id)}={house_token}",
            band.email,
        )
        store.close()


@pytest.fixture
def night(tmp_path: Path) -> Iterator[Night]:
    """For who kills a process, or stops it."""
    with a_night(tmp_path) as made:
        yield made


@dataclass
class Two:
    """Two processes that every test leaves alive, and what they serve."""

    night: Night
    one: Process
    other: Process


@pytest.fixture(scope="module")
def two(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Two]:
    with a_night(tmp_path_factory.mktemp("two")) as night, night.serve("one") as one, night.serve("other") as other:
        yield Two(night, one, other)


CLAIMED_BY = text(
    "SELECT application_name FROM pg_locks JOIN pg_stat_activity USING (pid) WHERE locktype = 'advisory' AND granted"
    " AND objsubid = 1 AND datname = :name AND (classid::bigint << 32 | objid::bigint) = hashtextextended(:work, 0)"
)
WAITS = text("SELECT count(*) FROM pg_stat_activity WHERE datname = :name AND wait_event_type = 'Lock'")


def test_what_one_is_killed_over_the_other_does(night: Night) -> None:
    """A process is killed while it keeps a plan: nothing of it is there, the other makes it, and nothing is there
    twice.
    """
    name, gig = str(night.store.engine.url.database), night.gig
    with night.serve("one") as one, night.serve("other") as other, postgresql.as_superuser(name) as held:
        # Whoever works the plan out has to wait before it can be kept.
        held.execute(text("LOCK TABLE plan IN SHARE MODE"))
        with night.store.writing(scopes.gig(gig.id)) as db:
            want(db, gig, datetime.now(UTC))
            news(db, gig.id)
        with postgresql.as_superuser(statements=True) as looks:
            while not looks.execute(WAITS, {"name": name}).scalar_one():
                looks.execute(text("SELECT pg_sleep(0.05)"))
            work = f"portal:work:planning {gig.id}"
            whose = looks.execute(CLAIMED_BY, {"name": name, "work": work}).scalars().all()
            killed, lives = (one, other) if whose == [f"portal {one.running.pid}"] else (other, one)
            assert whose == [f"portal {killed.running.pid}"]
            killed.running.kill()
            killed.running.wait(timeout=60)
            held.rollback()
            while behind(night):
                looks.execute(text("SELECT pg_sleep(0.1)"))
        assert lives.ask(f"/gigs/{gig.id}/plan", night.band)[0] == 200
    with night.store.reading() as db:
        assert [row.number for row in plans.revisions(db, gig.id)] == [1]
        assert Counter(event.kind for event in db.exec(select(Event)))["planned"] == 1
        assert verify(db).faults == ()


def behind(night: Night) -> bool:
    with night.store.reading() as db:
        return planning.behind(db, night.gig.id)


def test_what_one_saves_the_other_tells(two: Two) -> None:
    """A page that listens at one process hears what came in by the other, after the server was away too."""
    night = two.night
    talk = f"/house/{night.gig.id}/talk"
    with two.one.hears(f"/gigs/{night.gig.id}/events", night.band) as wait_for:
        wait_for(b'"words":')
        for _ in range(2):
            form = {**hidden(two.other.ask(talk, night.house)[1]), "words": "Mind the step."}
            assert two.other.ask(talk, night.house, form)[0] == 303
            wait_for(b'"words":')
            end_connections(night.store)
            night.store.engine.dispose()


def comments(night: Night) -> int:
    with night.store.reading() as db:
        return len(discussions.comments(db, night.gig.id))


def test_a_double_click_on_two_processes_has_one_effect(two: Two) -> None:
    """The same form at both at once is carried out by one, and both are led to its result."""
    talk, clicks, before = f"/house/{two.night.gig.id}/talk", 4, comments(two.night)
    for _ in range(clicks):
        form = {**hidden(two.one.ask(talk, two.night.house)[1]), "words": "Mind the step."}
        at_once = threading.Barrier(2)

        def click(process: Process, form: dict[str, object] = form, at: threading.Barrier = at_once) -> int:
            at.wait()
            return process.ask(talk, two.night.house, form)[0]

        with ThreadPoolExecutor(2) as both:
            assert list(both.map(click, (two.one, two.other))) == [303, 303]
    assert comments(two.night) - before == clicks


def braked(night: Night) -> set[str]:
    with night.store.reading() as db:
        return {str(row) for row in db.exec(select(Brake)).all()}


def test_guesses_at_both_are_counted_together(two: Two) -> None:
    """Ten guesses at a password are heard from one line, whichever process they come to; no address is kept."""
    before = braked(two.night)
    statuses = [
        process.ask("/sign-in", "", {"email": GUESSED, "password": "wrong"})[0]
        for _ in range(6)
        for process in (two.one, two.other)
    ]
    assert statuses == [422] * 10 + [429] * 2
    kept = braked(two.night) - before
    assert len(kept) == 30
    assert not any("127.0.0.1" in row or GUESSED in row for row in kept)


def test_another_key_is_refused_and_a_stop_gives_back(night: Night) -> None:
    """A process whose folder holds another key ends with a sentence; one that is stopped ends by itself, and leaves the
    database to the next.
    """
    data = night.settings.data.parent / "stranger"
    data.mkdir()
    (data / "server.key").write_bytes(b"k" * 32)
    stranger = start(data, **night.environment)
    said, _ = stranger.communicate(timeout=120)
    assert stranger.returncode == 1
    assert "is not the one that this database was made with" in said
    assert "Traceback" not in said
    with night.serve("one") as one, night.serve("other") as other:
        os.kill(one.running.pid, signal.SIGTERM)
        assert one.running.wait(timeout=60) in {0, -signal.SIGTERM}
        assert other.ask(f"/gigs/{night.gig.id}", night.band)[0] == 200
