"""The pages that are used most: processor time of the app alone against bare Starlette and Jinja with the page's own
statements, and with ten thousand gigs against ten. Figures, never gates.
"""

import asyncio
import sqlite3
import statistics
import time
from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.responses import HTMLResponse
from jinja2 import Environment
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.routing import Route

from portal.settings import Settings
from portal.store.database import scopes
from portal.store.database.session import Store
from tests.bench.test_bench_portal import say
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


async def _answered(app: Callable[..., Awaitable[None]], path: str, cookies: str) -> bytes:
    """The body of one answer, with no client around it."""
    scope = {
        "type": "http",
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "method": "GET",
        "scheme": "https",
        "query_string": b"",
        "root_path": "",
        "path": path,
        "raw_path": path.encode(),
        "client": ("127.0.0.1", 1),
        "server": ("portal.test", 443),
        "headers": [(b"host", b"portal.test"), (b"cookie", cookies.encode())],
    }
    told: list[dict[str, object]] = []

    async def receive() -> dict[str, object]:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: dict[str, object]) -> None:
        told.append(message)

    await app(scope, receive, send)
    assert told[0]["status"] == 200, path
    return b"".join(one.get("body", b"") for one in told[1:])


def cpu_ms(app: Callable[..., Awaitable[None]], path: str, cookies: str) -> tuple[float, int]:
    """Median processor time of one answer, and its bytes."""

    async def turns() -> tuple[list[float], int]:
        body = await _answered(app, path, cookies)
        taken = []
        for _ in range(TURNS):
            begun = time.process_time()
            await _answered(app, path, cookies)
            taken.append((time.process_time() - begun) * 1000)
        return taken, len(body)

    taken, size = asyncio.run(turns())
    return statistics.median(taken), size


def bare_app(size: int, asked: Asked, database: Path) -> Starlette:
    """A page of the same size from a bare framework, after the same statements were asked of a bare connection."""
    template = Environment(autoescape=True).from_string(
        "<table>{% for row in rows %}<tr><td>{{ row.a }}</td><td>{{ row.b }}</td></tr>{% endfor %}</table>"
    )
    rows = [{"a": "Kick In", "b": "Stage splitter, way 1"}] * max(1, size // 52)
    connection = sqlite3.connect(database, check_same_thread=False)

    def show(_request: Request) -> HTMLResponse:
        for statement, values in asked:
            connection.execute(statement, values or ()).fetchall()
        return HTMLResponse(template.render(rows=rows))

    return Starlette(routes=[Route("/", show)])


def cookies_of(browser: Browser) -> str:
    return "; ".join(f"{one.name}={one.value}" for one in browser.client.cookies.jar)


def test_pages_against_bare_pages_with_their_statements(
    app: FastAPI,
    settings: Settings,
    store: Store,  # noqa: F811 - the fixture
    world: World,
    visitors: dict[str, tuple[Browser, list[str]]],  # noqa: F811 - the fixture
) -> None:
    """Each page by itself."""
    gig = next(iter(world.house_tokens))
    for viewer, paths in (("band", BAND + RIG), ("house", HOUSE)):
        cookies = cookies_of(visitors[viewer][0])
        for pattern in paths:
            path = pattern.format(gig=gig, rig=world.rig_id)
            ours, size = cpu_ms(app, path, cookies)
            with statements(store) as asked:
                asyncio.run(_answered(app, path, cookies))
            bare, _ = cpu_ms(bare_app(size, asked, settings.database), "/", "")
            say(
                f"page={pattern} statements={len(asked)} bytes={size} ours_ms={ours:.1f} bare_and_sql_ms={bare:.1f}"
                f" ratio={bare / ours:.2f}"
            )


def test_ten_thousand_gigs_against_ten(
    app: FastAPI,
    store: Store,  # noqa: F811 - the fixture
    world: World,
    visitors: dict[str, tuple[Browser, list[str]]],  # noqa: F811 - the fixture
) -> None:
    """The pages that list gigs or look among them."""
    gig = next(iter(world.house_tokens))
    cookies = cookies_of(visitors["band"][0])
    taken: dict[str, list[float]] = {pattern: [] for pattern in GROWING}
    for many in (FEW, MANY):
        with store.writing(scopes.EVERYTHING) as db:
            Growing(db, world.links).gigs(many)
        for pattern in GROWING:
            taken[pattern].append(cpu_ms(app, pattern.format(gig=gig, rig=world.rig_id), cookies)[0])
    for pattern, (few, many_ms) in taken.items():
        say(f"page={pattern} gigs={FEW} ms={few:.1f} gigs={MANY} ms={many_ms:.1f} ratio={many_ms / few:.2f}")
