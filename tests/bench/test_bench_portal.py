"""Pages, papers, memory and start, each as a ratio against the bare library doing the same in the same run. Figures,
never gates.
"""

import asyncio
import os
import re
import statistics
import subprocess
import sys
import time
import urllib.request
from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.responses import HTMLResponse
from fastapi.testclient import TestClient
from jinja2 import Environment

from portal.demo import GIGS, LEADER, ensure_demo
from portal.documents.rendering.page import page
from portal.documents.rendering.pdf import STYLESHEET
from portal.documents.rendering.worker import Worker
from portal.store import gigs, links, plans
from portal.store.accounts import bands
from portal.web.documents.qr_access import cover_of
from tests.bench.test_bench_papers import bare
from tests.web.conftest import Browser

pytestmark = pytest.mark.bench

TURNS = 40
App = Callable[..., Awaitable[None]]


def median_ms(deed: Callable[[], object], turns: int = TURNS) -> float:
    """Median of several turns after one that does not count, in milliseconds."""
    deed()
    taken = []
    for _ in range(turns):
        begun = time.perf_counter()
        deed()
        taken.append((time.perf_counter() - begun) * 1000)
    return statistics.median(taken)


def say(text: str) -> None:
    print(text)  # noqa: T201 - a benchmark prints its figures


@pytest.fixture
def demo(portal: object) -> dict[str, object]:
    """The invented demo, its gigs by name."""
    ensure_demo(portal.settings)
    with portal.store.reading() as db:
        user = bands.user_by_email(db, LEADER)
        band = bands.memberships(db, user.id)[0].band_id
        return {gig.name: gig for gig in gigs.of_band(db, band)}


def bare_table(size: int) -> Callable[[], str]:
    """A bare Jinja table of so many bytes."""
    template = Environment(autoescape=True).from_string(
        "<table>{% for row in rows %}<tr><td>{{ row.a }}</td><td>{{ row.b }}</td></tr>{% endfor %}</table>"
    )
    rows = [{"a": "Kick In", "b": "Stage splitter, way 1"}] * max(1, size // 52)
    return lambda: template.render(rows=rows)


def bare_page(size: int) -> Callable[[], object]:
    """A page of the same size from a bare FastAPI."""
    table, bare = bare_table(size), FastAPI()

    @bare.get("/", response_class=HTMLResponse)
    def show() -> str:
        return table()

    client = TestClient(bare)
    return lambda: client.get("/")


def cookies_of(browser: Browser) -> str:
    return "; ".join(f"{one.name}={one.value}" for one in browser.client.cookies.jar)


async def answered(app: App, path: str, cookies: str) -> bytes:
    """The body of one answer, with no client around it: the test client alone takes several milliseconds."""
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


def answering_ms(app: App, path: str, cookies: str, clock: Callable[[], float], turns: int) -> float:
    """Median of several answers of the app alone by a clock, in milliseconds."""

    async def timed() -> list[float]:
        taken = []
        for _ in range(turns):
            begun = clock()
            await answered(app, path, cookies)
            taken.append((clock() - begun) * 1000)
        return taken

    return statistics.median(asyncio.run(timed()))


def test_pages_against_a_bare_page(portal: object, demo: dict[str, object], enter: Callable[..., Browser]) -> None:
    """Plan page and question page, through everything, against a bare Jinja page of the same size."""
    for name, path in ((GIGS[2].name, "plan"), (GIGS[0].name, "questions/inputs")):
        gig = demo[name]
        with portal.store.reading() as db:
            link = links.of_gig(db, gig.id)[0]
        house = enter(link)
        address = f"/house/{gig.id}/{path}"
        answer = house.get(address)
        assert answer.status_code == 200
        ours = median_ms(lambda house=house, address=address: house.get(address))
        bare = median_ms(bare_page(len(answer.content)))
        say(f"page={path} bytes={len(answer.content)} ours_ms={ours:.1f} bare_ms={bare:.1f} ratio={ours / bare:.2f}")


def test_pdf_against_bare_weasyprint(
    app: FastAPI, portal: object, demo: dict[str, object], enter: Callable[..., Browser]
) -> None:
    """The patch sheet through the worker against WeasyPrint alone on the same HTML; the second download is read from
    the store, that of a paper without signatures from memory.
    """
    gig = demo[GIGS[2].name]
    with portal.store.reading() as db:
        link = links.of_gig(db, gig.id)[0]
        number = plans.newest(db, gig.id).number
    house = enter(link)
    address = f"/house/{gig.id}/papers/{number}/patch-sheet.pdf"
    begun = time.perf_counter()
    first = house.get(address)
    first_ms = (time.perf_counter() - begun) * 1000
    kept_ms = median_ms(lambda: house.get(address))
    assert house.get(address).content == first.content
    cookies = cookies_of(house)
    app_ms = answering_ms(app, address, cookies, time.perf_counter, TURNS * 5)
    say(
        f"signed download: first_ms={first_ms:.0f} kept_ms={app_ms:.1f} with_test_client_ms={kept_ms:.1f}"
        f" bytes={len(first.content)}"
    )
    draft = f"/house/{gig.id}/papers/{number}/input-list.pdf"
    begun = time.perf_counter()
    assert house.get(draft).status_code == 200
    first_ms = (time.perf_counter() - begun) * 1000
    held_ms = answering_ms(app, draft, cookies, time.perf_counter, TURNS * 5)
    say(f"unsigned download: first_ms={first_ms:.0f} held_ms={held_ms:.1f}")
    with portal.store.reading() as db:
        stored = plans.newest(db, gig.id)
        html = page("patch-sheet", stored.read(), cover_of(db, portal, gig, stored), STYLESHEET)
    alone = median_ms(lambda: bare(html), 5)
    with Worker() as worker:
        worker.warm()
        ours = median_ms(lambda: worker.render(html), 5)
    say(f"pdf lines=20 worker_ms={ours:.0f} bare_ms={alone:.0f} ratio={ours / alone:.2f}")


def test_start_and_memory(tmp_path: Path) -> None:
    """From the command to the first page: with an empty folder (database and demo are made) and the second time; memory
    of the server after it.
    """
    for turn in ("first", "second"):
        environment = {**os.environ, "PORTAL_DATA": str(tmp_path / "data"), "PORTAL_PORT": "0"}
        begun = time.perf_counter()
        process = subprocess.Popen(
            [sys.executable, "-m", "portal", "serve"],
            env=environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
        )
        try:
            address = next(found[1] for line in process.stdout if (found := re.search(r"The portal is at (\S+)", line)))
            urllib.request.urlopen(address, timeout=20).read()  # noqa: S310 - the address that the portal has just printed
            taken = time.perf_counter() - begun
            status = Path(f"/proc/{process.pid}/status").read_text(encoding="utf-8")
            rss_mb = int(re.search(r"VmRSS:\s+(\d+)", status)[1]) // 1024
            spent = Path(f"/proc/{process.pid}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()
            cpu_s = (int(spent[11]) + int(spent[12])) / os.sysconf("SC_CLK_TCK")
            say(f"start={turn} seconds={taken:.2f} cpu_s={cpu_s:.2f} rss_mb={rss_mb}")
        finally:
            process.terminate()
            process.wait(10)
            process.stdout.close()
