"""A portal on a fresh data folder, and browsers that visit it."""

import re
import shutil
import socket
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

import pytest
import uvicorn
from argon2 import PasswordHasher
from fastapi import FastAPI
from fastapi.testclient import TestClient
from httpx2 import Response
from playwright.sync_api import Browser as Chromium
from playwright.sync_api import Page, sync_playwright

from portal.app import JOBS, create_app
from portal.plan.input.rig import Rig
from portal.settings import Settings
from portal.store import progress, rigs
from portal.store.accounts import sessions
from portal.store.database import session
from portal.store.database.server_key import open_key
from portal.store.database.session import Store, migrate, open_store
from portal.store.gigs import Gig
from portal.store.links import Link
from portal.web.frame import access, deps
from portal.web.frame.access import USER_LONGEST, hash_password, new_token, token_hash
from portal.web.frame.running import Portal
from tests.builders import NOW, PASSWORD, ABand, a_band, a_gig, a_link, a_stored_rig
from tests.planning import AtOnce, InThisProcess, look_now
from tests.web.chromium import launch
from tests.web.shared_renderer import PassedOn
from tests.web.whole_answers import ask_for_whole_answers

ask_for_whole_answers()

ORIGIN = "https://portal.test"

Open = Callable[..., Page]

STRONG = access._HASHER
"""What a portal hashes passwords with. In tests another does it: each hash of this one takes as long as ten pages."""

access._HASHER = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
access._NOBODY = access._hash_of_nothing()

SHOWS_WHAT_IS_OPEN = re.compile(r"/(?:gigs|house)/([0-9a-f-]{36})(/plan|/what-if)?/?(?:\?.*)?")
"""A gig's own page, its plan's, and what is tried with it."""


@dataclass
class Clock:
    """A clock that a test sets."""

    now: datetime = NOW

    def __call__(self) -> datetime:
        return self.now


@dataclass
class Browser:
    """A client that sends forms as browsers do: from a page of the portal, with the form's hidden fields."""

    client: TestClient

    def get(self, path: str, **headers: str) -> Response:
        self.look(path)
        return self.client.get(path, headers=headers)

    def look(self, path: str) -> None:
        """Let what a page says of open questions be worked out before it is asked for."""
        shown = SHOWS_WHAT_IS_OPEN.fullmatch(path)
        portal = self.client.app.state.portal
        if shown and isinstance(portal.jobs, AtOnce):
            with portal.store.writing() as db:
                gig = db.get(Gig, shown[1])
                if gig is not None and (shown[2] or progress.of_gigs(db, [gig], NOW)[gig.id].house_answered):
                    look_now(db, gig.id, portal.clock())

    def hidden(self, path: str) -> dict[str, str]:
        """The hidden fields of the page's first form that has them."""
        found = re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', self.client.get(path).text)
        return dict(reversed(found))

    def send(
        self, path: str, data: dict[str, object] | None = None, *, page: str = "", origin: str = ORIGIN
    ) -> Response:
        """Post a form. ``page`` is the page that it stands on, whose hidden fields are sent along."""
        hidden = self.hidden(page) if page else {}
        answer = self.client.post(path, data={**hidden, **(data or {})}, headers={"Origin": origin})
        onward = answer.headers.get("location", "")
        return self.client.get(onward) if "/questions/next?after=" in onward else answer


@pytest.fixture(autouse=True)
def _no_waiting_for_the_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody cuts the power between the portals that run in this process; those that are killed run in one of their
    own, with all flushing.
    """
    monkeypatch.setattr(
        session, "PRAGMAS", tuple(one.replace("synchronous=FULL", "synchronous=OFF") for one in session.PRAGMAS)
    )


@pytest.fixture(scope="session")
def migrated(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("migrated") / "portal.sqlite3"
    migrate(path)
    return path


@pytest.fixture(scope="session")
def begun(migrated: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The data folder of a portal that has started once: its database knows its key."""
    made = Settings(tmp_path_factory.mktemp("begun"), "127.0.0.1", 0, ORIGIN)
    shutil.copy(migrated, made.database)
    store = open_store(made.where)
    open_key(store, made.key_file)
    store.close()
    return made.data


@pytest.fixture(scope="session")
def password_hash() -> str:
    return hash_password(PASSWORD)


@pytest.fixture(scope="session", autouse=True)
def _renderers_end() -> Iterator[None]:
    yield
    PassedOn.stop_all()


def a_portal(settings: Settings, clock: Clock, jobs: AtOnce) -> FastAPI:
    """A portal that works in this process; its renderer's child is handed on."""
    made = create_app(settings, clock, jobs, InThisProcess())
    object.__setattr__(made.state.portal, "papers", PassedOn())
    return made


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def settings(begun: Path, tmp_path: Path) -> Settings:
    return Settings(Path(shutil.copytree(begun, tmp_path / "data")), "127.0.0.1", 0, ORIGIN)


@pytest.fixture
def app(settings: Settings, clock: Clock) -> Iterator[FastAPI]:
    made = a_portal(settings, clock, AtOnce(JOBS))
    # The test client waits for the end of an answer: a stream tells the state of now and ends.
    made.state.portal.notifier.close()
    yield made
    made.state.portal.papers.close()
    made.state.portal.store.close()


@pytest.fixture
def portal(app: FastAPI) -> Portal:
    return app.state.portal


@pytest.fixture
def store(portal: Portal) -> Store:
    return portal.store


@pytest.fixture
def browser(app: FastAPI) -> Iterator[Browser]:
    """Somebody who is not signed in."""
    with TestClient(app, base_url=ORIGIN, follow_redirects=False) as client:
        yield Browser(client)


@pytest.fixture
def another(app: FastAPI) -> Iterator[Callable[[], Browser]]:
    """Further browsers, each with its own cookies."""
    opened = []

    def make() -> Browser:
        client = TestClient(app, base_url=ORIGIN, follow_redirects=False)
        opened.append(client)
        return Browser(client)

    yield make
    for client in opened:
        client.close()


@pytest.fixture
def band(store: Store, password_hash: str) -> ABand:
    """A band whose owner signs in with ``PASSWORD``."""
    with store.writing() as db:
        return a_band(db, password_hash=password_hash)


@pytest.fixture
def signed_in(browser: Browser, portal: Portal, band: ABand) -> Browser:
    """The owner of ``band``, signed in without the slow password check."""
    token = new_token()
    with portal.store.writing() as db:
        sessions.start_for_user(db, token_hash(token), band.user_id, now=NOW, expires=NOW + USER_LONGEST)
    browser.client.cookies.set(deps.cookie_name(portal.settings), token, domain="portal.test")
    return browser


@pytest.fixture
def enter(app: FastAPI, portal: Portal) -> Iterator[Callable[..., Browser]]:
    """A way to get a browser whose holder has come in by a link."""
    with TestClient(app, base_url=ORIGIN, follow_redirects=False) as client:

        def come_in(link: Link, *, only_view: bool = False) -> Browser:
            token = new_token()
            with portal.store.writing() as db:
                sessions.start_for_link(
                    db, token_hash(token), link.id, only_view=only_view, now=NOW, expires=link.expires
                )
            client.cookies.set(deps.cookie_name(portal.settings, link.gig_id), token, domain="portal.test")
            return Browser(client)

        yield come_in


@pytest.fixture
def gig(store: Store, band: ABand) -> Gig:
    """A gig of ``band``, with the small rig of the builders."""
    with store.writing() as db:
        return a_gig(db, band)


@pytest.fixture
def link(store: Store, band: ABand, gig: Gig) -> Link:
    """The house's link to ``gig``."""
    with store.writing() as db:
        return a_link(db, gig, band)


@pytest.fixture
def house(enter: Callable[..., Browser], link: Link) -> Browser:
    """Somebody of the house, come in by ``link``."""
    return enter(link)


@pytest.fixture
def address(settings: Settings, clock: Clock) -> Iterator[str]:
    """Where a portal really listens, for a real browser; its data folder is the one of ``settings``."""
    with socket.create_server(("127.0.0.1", 0)) as listener:
        base_url = f"http://127.0.0.1:{listener.getsockname()[1]}"
        jobs = AtOnce(JOBS)
        jobs.looks = True
        app = a_portal(replace(settings, base_url=base_url), clock, jobs)
        server = uvicorn.Server(uvicorn.Config(app, log_config=None, access_log=False))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]})
        thread.start()
        yield base_url
        server.should_exit = True
        thread.join()


def sign_in(page: Page, band: ABand) -> None:
    """Fill in and send the form of the sign-in page that is open, as the owner of a band."""
    page.fill("#email", band.email)
    page.fill("#password", PASSWORD)
    page.click("main button")


@pytest.fixture(scope="session")
def chromium() -> Iterator[Chromium]:
    """The system's browser, which talks to nobody but the portal."""
    quiet = ["--disable-background-networking", "--disable-component-update", "--disable-sync", "--no-first-run"]
    with sync_playwright() as driver:
        opened = launch(driver, quiet)
        yield opened
        opened.close()


@pytest.fixture
def open_page(chromium: Chromium, address: str) -> Iterator[Open]:
    """A way to a page with a fresh profile. Whatever the console says of the policy, or a fault in a script, fails the
    test.
    """
    faults: list[str] = []
    contexts = []

    def note(text: str) -> None:
        if "Content Security Policy" in text or "Content-Security-Policy" in text:
            faults.append(text)

    def open_it(path: str, **options: object) -> Page:
        context = chromium.new_context(base_url=address, **options)
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda message: note(message.text))
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.goto(path)
        return page

    yield open_it
    for context in contexts:
        context.close()
    assert faults == []


@pytest.fixture
def club_rig(store: Store, band: ABand) -> rigs.BandRig:
    """The band's one rig: kick, bass, keys, lead."""
    with store.writing() as db:
        return a_stored_rig(db, band)


@pytest.fixture
def newest_rig(store: Store, club_rig: rigs.BandRig) -> Callable[[], Rig]:
    """The rig as it stands in the database."""

    def read() -> Rig:
        with store.reading() as db:
            return rigs.newest(db, club_rig.id).read()

    return read


@pytest.fixture
def newest_number(store: Store, club_rig: rigs.BandRig) -> Callable[[], int]:
    """The number of the newest revision."""

    def read() -> int:
        with store.reading() as db:
            return rigs.newest(db, club_rig.id).number

    return read
