"""The pages that are used most: processor time of the app alone against bare Starlette and Jinja with the page's own
statements, and with ten thousand gigs against ten. Figures, never gates.
"""

import asyncio
import sqlite3
import time
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.responses import HTMLResponse
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.routing import Route

from portal.settings import Settings
from portal.store.database import scopes
from portal.store.database.session import Store
from tests.bench.test_bench_portal import App, answered, answering_ms, bare_table, cookies_of, say
from tests.builders import ABand
from tests.web.asked import Asked, Growing, statements
from tests.web.conftest import Browser, band, password_hash, store  # noqa: F401 - pytest finds fixtures by their name
from tests.web.test_gates import visitors  # noqa: F401 - pytest finds fixtures by their name
from tests.web.world import World, make_world

pytestmark = pytest.mark.bench

TURNS = 15
FEW, MANY = 10, 10_000

BAND = (
    "/",
    "/gigs/{gig}",
    "/gigs/{gig}/plan",
    "/gigs/{gig}/talk",
    "/gigs/{gig}/papers",
    "/gigs/{gig}/day",
    "/gigs/new",
)
RIG = ("/rigs", "/rigs/{rig}")
HOUSE = ("/house/{gig}", "/house/{gig}/questions/inputs", "/house/{gig}/plan")
GROWING = ("/", "/gigs/{gig}", "/gigs/new", "/rigs/{rig}")


@pytest.fixture
def world(store: Store, band: ABand) -> World:  # noqa: F811 - the fixtures
    return make_world(store, band)


def cpu_ms(app: App, path: str, cookies: str) -> float:
    """Median processor time of one answer after one that does not count."""
    asyncio.run(answered(app, path, cookies))
    return answering_ms(app, path, cookies, time.process_time, TURNS)


def bare_app(size: int, asked: Asked, database: Path) -> Starlette:
    """A page of the same size from a bare framework, after the same statements were asked of a bare connection."""
    table = bare_table(size)
    connection = sqlite3.connect(database, check_same_thread=False)

    def show(_request: Request) -> HTMLResponse:
        for statement, values in asked:
            connection.execute(statement, values or ()).fetchall()
        return HTMLResponse(table())

    return Starlette(routes=[Route("/", show)])


class Subject:
    """The portal that is measured: who asks and the paths of what the world holds."""

    def __init__(self, app: FastAPI, world: World, browsers: dict[str, Browser]) -> None:
        self.app, self.world = app, world
        self.gig = next(iter(world.house_tokens))
        self.cookies = {viewer: cookies_of(browser) for viewer, browser in browsers.items()}

    def path(self, pattern: str) -> str:
        return pattern.format(gig=self.gig, rig=self.world.rig_id)


@pytest.fixture
def subject(
    app: FastAPI,
    world: World,
    visitors: dict[str, tuple[Browser, list[str]]],  # noqa: F811 - the fixture
) -> Subject:
    return Subject(app, world, {viewer: browser for viewer, (browser, _) in visitors.items()})


def test_pages_against_bare_pages_with_their_statements(
    subject: Subject,
    settings: Settings,
    store: Store,  # noqa: F811 - the fixture
) -> None:
    """Each page by itself."""
    for viewer, paths in (("band", BAND + RIG), ("house", HOUSE)):
        cookies = subject.cookies[viewer]
        for pattern in paths:
            path = subject.path(pattern)
            ours = cpu_ms(subject.app, path, cookies)
            with statements(store) as asked:
                size = len(asyncio.run(answered(subject.app, path, cookies)))
            bare = cpu_ms(bare_app(size, asked, settings.database), "/", "")
            say(
                f"page={pattern} statements={len(asked)} bytes={size} ours_ms={ours:.1f} bare_and_sql_ms={bare:.1f}"
                f" ratio={bare / ours:.2f}"
            )


def test_ten_thousand_gigs_against_ten(
    subject: Subject,
    store: Store,  # noqa: F811 - the fixture
) -> None:
    """The pages that list gigs or look among them."""
    taken: dict[str, list[float]] = {pattern: [] for pattern in GROWING}
    for many in (FEW, MANY):
        with store.writing(scopes.EVERYTHING) as db:
            Growing(db, subject.world.links).gigs(many)
        for pattern in GROWING:
            taken[pattern].append(cpu_ms(subject.app, subject.path(pattern), subject.cookies["band"]))
    for pattern, (few, many_ms) in taken.items():
        say(f"page={pattern} gigs={FEW} ms={few:.1f} gigs={MANY} ms={many_ms:.1f} ratio={many_ms / few:.2f}")
