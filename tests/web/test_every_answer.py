"""What holds for every answer of every route: who may send a form, which headers stand on it, and that no word of a
person becomes markup.
"""

import asyncio
import json
import re
import sqlite3
from collections import Counter
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass, field
from html.parser import HTMLParser
from itertools import product
from typing import Any

import pytest
from fastapi import APIRouter, FastAPI
from fastapi.responses import HTMLResponse
from httpx2 import Response
from playwright.sync_api import BrowserContext, Page
from sqlmodel import select

from portal.exchange.example import example_rig
from portal.settings import Settings
from portal.store import links, looks
from portal.store.accounts.bands import User
from portal.store.database.session import Store
from portal.store.gigs import Gig
from portal.web.frame import middleware
from tests.builders import ABand
from tests.planning import waited_for
from tests.web.conftest import ORIGIN, Browser
from tests.web.crawl import Reach, Visited, crawl, worth_a_look
from tests.web.test_gates import contexts, every_page, visitors  # noqa: F401 - pytest finds fixtures by their name
from tests.web.test_guard import ORIGINS, SITES, routes_of
from tests.web.world import World, make_world

# --- who may send a form


METHODS = ("GET", "HEAD", "OPTIONS", "POST", "PUT", "PATCH", "DELETE", "MADE-UP")
SAFE = ("GET", "HEAD", "OPTIONS")
ENDS_EMAILS = "/emails/stop/{stop_token}"
ASKED = ("/static/portal.css", "/static/no", "/nothing-here", "/alive", "/metrics")
"""Addresses besides the routes: files, and what is not there."""


async def answer_of(
    app: FastAPI, method: str, path: str, headers: dict[str, str]
) -> tuple[int, dict[str, list[str]], bytes]:
    """Status, headers and body of one request, asked of the app itself."""
    said: list[dict[str, Any]] = []
    scope = {
        "type": "http",
        "http_version": "1.1",
        "method": method,
        "scheme": "https",
        "path": path,
        "raw_path": path.encode(),
        "root_path": "",
        "query_string": b"",
        "headers": [(b"host", b"portal.test"), *((name.encode(), value.encode()) for name, value in headers.items())],
        "client": ("192.0.2.1", 1),
        "server": ("portal.test", 443),
        "state": {},
    }

    waiting = [{"type": "http.request", "body": b"", "more_body": False}]

    async def receive() -> dict[str, Any]:
        # Nobody goes away: whoever waits for that waits until the answer is complete.
        return waiting.pop() if waiting else await asyncio.Future()

    async def send(message: dict[str, Any]) -> None:
        said.append(message)

    await app(scope, receive, send)
    found: dict[str, list[str]] = {}
    for name, value in said[0]["headers"]:
        found.setdefault(name.decode().lower(), []).append(value.decode())
    return said[0]["status"], found, b"".join(message.get("body", b"") for message in said[1:])


def lacks(path: str, headers: dict[str, list[str]], *, kept: bool = False) -> list[str]:
    """What is wrong with an answer's headers. ``kept``: a file that browsers keep for ever."""
    wanted = {**middleware.HEADERS, "Strict-Transport-Security": "max-age=31536000"}
    if path.startswith(middleware.SECRET_PLACES):
        wanted["Referrer-Policy"] = "strict-origin"
    wrong = [name for name, value in wanted.items() if headers.get(name.lower()) != [value]]
    if not kept and not {"no-store", "no-cache"} & set(headers.get("cache-control", [])):
        wrong.append("Cache-Control")
    for cookie in headers.get("set-cookie", []):
        name, *flags = (part.strip().lower() for part in cookie.split(";"))
        if not name.startswith("__host-") or not {"secure", "httponly", "path=/", "samesite=lax"} <= set(flags):
            wrong.append(f"Set-Cookie {name.partition('=')[0]}")
    return wrong + [name for name in ("server", "x-powered-by") if name in headers]


@dataclass
class CrossSite:
    """What came of every way in which a browser can say where a form stood."""

    combinations: int = 0
    let_through: int = 0
    answers: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)


COMBINATIONS = tuple(product(SITES, ORIGINS))


async def ask_all(app: FastAPI, only: str = "", *, every: bool = False) -> CrossSite:
    """``every``: each method on each route with each combination; otherwise each method that a route has, with some of
    them in turn.
    """
    found = CrossSite()
    routes = {path for path, _ in routes_of(app) if not path.startswith("/static")} | set(ASKED)
    declared = {(method, path) for path, method in routes_of(app) if path in routes}
    declared |= {
        (method, path) for method in METHODS for path in (routes if every else {*ASKED, "/house/{gig_id}/questions"})
    }
    for turn, (method, route) in enumerate(sorted(declared)):
        if only not in route:
            continue
        path = re.sub(r"\{\w+\}", "1", route)
        few = COMBINATIONS[turn % 10 :: 10] if method in SAFE else COMBINATIONS[turn % 4 :: 4]
        for site, origin in COMBINATIONS if every or only else few:
            sent = {"sec-fetch-site": site, "origin": origin}
            status, headers, body = await answer_of(
                app, method, path, {name: value for name, value in sent.items() if value}
            )
            found.combinations += 1
            found.answers[f"{status:d}"] += 1
            refused = status == 403 and b"The form came from somewhere else" in (
                body or b"The form came from somewhere else"
            )
            ours = method in SAFE or site == "same-origin" or (site is None and origin == ORIGIN)
            # A mail program ends emails by itself, and comes from nowhere.
            ours = ours or route == ENDS_EMAILS
            found.let_through += not refused
            case = f"{method} {route} sec-fetch-site={site} origin={origin} -> {status}"
            if refused == ours:
                found.wrong.append(case)
            found.missing += [
                f"{case}: {one}" for one in lacks(path, headers, kept=path == "/static/portal.css" and status == 200)
            ]
    return found


def forms_of_other_sites(app: FastAPI, *, every: bool) -> None:
    found = waited_for(ask_all(app, every=every))
    print(  # noqa: T201 - shown with -s
        f"\ncross_site combinations={found.combinations} let_through={found.let_through} wrong={len(found.wrong)} "
        f"missing_header={len(found.missing)} statuses={dict(sorted(found.answers.items()))}"
    )
    assert found.combinations > 500
    assert (found.wrong, found.missing) == ([], [])


def test_every_form_of_another_site_is_refused(app: FastAPI) -> None:
    """Each method and route with what a browser can say of where the form stood: only our own pages get through, and
    every answer, refusals and faults too, carries every header.
    """
    forms_of_other_sites(app, every=False)


@pytest.mark.soak
def test_every_form_of_another_site_is_refused_in_every_combination(app: FastAPI) -> None:
    """The same for every method on every route."""
    forms_of_other_sites(app, every=True)


def test_a_hole_in_the_guard_is_found(app: FastAPI, monkeypatch: pytest.MonkeyPatch) -> None:
    """A guard that trusts "same-site", one that takes forms without any word, and a header that an answer lacks are
    each found.
    """
    router = APIRouter()

    @router.post("/planted")
    def planted() -> HTMLResponse:
        made = HTMLResponse("")
        made.set_cookie("account", "x")
        return made

    app.include_router(router)
    assert any("Set-Cookie account" in one for one in waited_for(ask_all(app, "/planted")).missing)
    holes: tuple[Callable[..., bool], ...] = (
        lambda _method, headers, _origin: headers.get("sec-fetch-site") == "same-site",
        lambda _method, headers, _origin: "origin" not in headers,
        lambda _method, _headers, _origin: False,
    )
    for hole in holes:
        monkeypatch.setattr(middleware, "comes_from_us", hole)
        assert waited_for(ask_all(app, "/sign-out")).wrong


# --- no word of a person becomes markup


MARKUP = (
    "\"'><img planted src=/planted onerror=alert(1)><b planted hx-get=/planted hx-trigger=load onmouseover=alert(1)>"
)


def words_of_people() -> list[str]:
    """Every word in the crawled world that a person chose, longest first."""
    rig = example_rig()
    words = (
        {source.label for source in rig.source}
        | {source.player for source in rig.source}
        | {source.note for source in rig.source}
    )
    words |= {part.name for part in (*rig.splitter, *rig.loom)} | {rig.name}
    words |= {
        "Ada Example",
        "Jamie Example",
        "The Paper Lanterns",
        "Club rig",
        "The Old Net Loft",
        "House engineer",
        "Mind the step.",
    }
    words |= {
        "Harbour night",
        "Played",
        "Asking",
        "Planned",
        "Agreed",
        "Outdated",
        "Only looked at",
        "Crackles",
        "Somebody",
    }
    return sorted((word for word in words if word and len(word) > 3), key=len, reverse=True)


def plant(database: sqlite3.Connection) -> int:
    """Follow each word of a person, wherever it is stored, with markup. How many values changed."""
    database.create_function("plant", 1, planted)
    for (trigger,) in database.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
        database.execute(f'DROP TRIGGER "{trigger}"')
    changed = 0
    for (table,) in database.execute(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND name <> 'alembic_version'"
    ).fetchall():
        for _, column, kind, *_ in database.execute(f'PRAGMA table_info("{table}")').fetchall():
            if kind.upper().startswith(("VARCHAR", "TEXT", "JSON")):
                statement = f'UPDATE "{table}" SET "{column}" = plant("{column}") WHERE "{column}" <> plant("{column}")'  # noqa: S608 - our names
                changed += database.execute(statement).rowcount
    return changed


WORDS = re.compile(r"\b(?:" + "|".join(re.escape(word) for word in words_of_people()) + r")(?!\w)")


def planted(value: object) -> object:
    if not isinstance(value, str):
        return value
    markup = json.dumps(MARKUP)[1:-1] if value[:1] in "{[" else MARKUP
    return WORDS.sub(lambda word: word[0] + markup, value)


class _Parsed(HTMLParser):
    """How a browser reads a page: the markup that became elements or attributes, and the markup that stands there as
    text.
    """

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.executed: list[str] = []
        self.shown = 0
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.executed += [tag for name, _ in attrs if name == "planted" or name.startswith("on")]
        self.shown += sum("<img planted" in (value or "") for _, value in attrs)

    def handle_data(self, data: str) -> None:
        self.shown += data.count("<img planted")


@pytest.fixture
def world(store: Store, band: ABand, settings: Settings) -> World:
    """The crawled world, in which every word of a person is followed by markup."""
    made = make_world(store, band)
    store.close()
    with closing(sqlite3.connect(settings.database)) as raw, raw:
        assert plant(raw) > 50
    return made


def everybody_has_looked(store: Store) -> None:
    """Each account and link has seen each gig to its newest event: what somebody looks at first is kept, and is told in
    ``test_changed_since.py``.
    """
    with store.writing() as db:
        users = [f"user:{one.id}" for one in db.exec(select(User))]
        for gig in db.exec(select(Gig)).all():
            for who in (*users, *(f"link:{one.id}" for one in links.of_gig(db, gig.id))):
                looks.look(db, looks.Look(who=who, gig_id=gig.id, position=looks.newest(db, gig.id)))


def everything(settings: Settings) -> list[str]:
    with closing(sqlite3.connect(settings.database)) as raw:
        # What was worked out of a plan may be worked out again: to look at what-if keeps it.
        return [row for row in raw.iterdump() if not row.startswith('INSERT INTO "worked_out"')]


@pytest.fixture
def answers(visitors: dict[str, tuple[Browser, list[str]]]) -> list[Response]:  # noqa: F811 - the fixture
    """Every answer that the visitors get."""
    got: list[Response] = []
    for browser, _ in visitors.values():
        browser.client.event_hooks["response"].append(got.append)
    return got


def test_markup_that_became_markup_is_found() -> None:
    """A word that a page does not escape is seen, in text and in an attribute; an escaped one is not."""
    assert _Parsed(f"<p>Kick{MARKUP}</p>").executed
    assert _Parsed(f'<input value="Kick{MARKUP}">').executed
    escaped = MARKUP.replace("<", "&lt;").replace(">", "&gt;").replace('"', "&#34;")
    assert (_Parsed(f'<input value="{escaped}"><p>{escaped}</p>').executed, _Parsed(f"<p>{escaped}</p>").shown) == (
        [],
        1,
    )


# --- the same in a real browser


@dataclass
class Seen:
    """What a browser had to say."""

    pages: int = 0
    shown: int = 0
    violations: list[str] = field(default_factory=list)
    executed: list[str] = field(default_factory=list)
    elsewhere: list[str] = field(default_factory=list)


def watch(page: Page, address: str, seen: Seen) -> None:
    page.on(
        "console",
        lambda said: (
            seen.violations.append(f"{page.url}: {said.text}") if "Content Security Policy" in said.text else None
        ),
    )
    page.on("pageerror", lambda error: seen.violations.append(f"{page.url}: {error}"))

    def dialog(opened: Any) -> None:
        seen.executed.append(f"{page.url}: dialog")
        opened.dismiss()

    def request(sent: Any) -> None:
        if "/planted" in sent.url:
            seen.executed.append(f"{page.url}: asked for {sent.url}")
        if not sent.url.startswith((address, "data:", "blob:")):
            seen.elsewhere.append(sent.url)

    page.on("dialog", dialog)
    page.on("request", request)


def look(page: Page, one: Visited, seen: Seen) -> None:
    page.goto(one.path)
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    seen.pages += 1
    seen.executed += [f"{one.path}: element"] * page.locator("[planted]").count()
    seen.shown += "<img planted" in page.evaluate(
        "document.body.innerText + [...document.querySelectorAll('input')].map((one) => one.value)"
    )


def in_a_browser(pages: list[Visited], tabs: dict[str, BrowserContext], address: str) -> None:
    seen = Seen()
    opened = {viewer: context.new_page() for viewer, context in tabs.items()}
    for page in opened.values():
        watch(page, address, seen)
    for one in pages:
        look(opened[one.viewer], one, seen)
    print(  # noqa: T201 - shown with -s
        f"browser_pages={seen.pages} with_planted_words={seen.shown} csp_violations={len(seen.violations)} "
        f"planted_markup_executed={len(seen.executed)} requests_elsewhere={len(seen.elsewhere)}"
    )
    assert seen.shown > seen.pages * 0.5
    assert (seen.violations, seen.executed, seen.elsewhere) == ([], [], [])


@pytest.mark.browser
@pytest.mark.slow
def test_every_page_keeps_words_as_words(
    visitors: dict[str, tuple[Browser, list[str]]],  # noqa: F811 - the fixture
    answers: list[Response],
    contexts: dict[str, BrowserContext],  # noqa: F811 - the fixture
    address: str,
    settings: Settings,
    store: Store,
) -> None:
    """Over every page for everybody: markup in any stored word is shown and never becomes an element, every answer has
    its headers, and nothing that was only looked at changed a row. On the richest pages a real browser says nothing of
    the policy, runs no stored word, and asks nobody but the portal.
    """
    everybody_has_looked(store)
    before = everything(settings)
    pages = [
        page
        for viewer, (browser, starts) in visitors.items()
        for page in crawl(viewer, browser, starts, Reach(of_one=1, of_all=1))[0]
    ]
    executed: list[str] = []
    missing: list[str] = []
    shown = 0
    for answer in answers:
        headers = {name.lower(): answer.headers.get_list(name) for name in answer.headers}
        missing += [f"{answer.url.path}: {one}" for one in lacks(answer.url.path, headers)]
        if answer.headers.get("content-type", "").startswith("text/html"):
            read = _Parsed(answer.text)
            executed += [f"{answer.url.path}: {tag}" for tag in read.executed]
            shown += bool(read.shown)
    changed = len(set(everything(settings)) ^ set(before))
    print(  # noqa: T201 - shown with -s
        f"\npages={len(pages)} answers={len(answers)} with_planted_words={shown} executed={len(executed)} "
        f"missing_header={len(missing)} rows_changed_by_looking={changed}"
    )
    assert (executed, missing, changed) == ([], [], 0)
    assert shown > len(pages) * 0.5
    in_a_browser(worth_a_look(pages, most=8, of_a_kind=False), contexts, address)


@pytest.mark.browser
@pytest.mark.soak
def test_a_browser_runs_no_word_on_any_page(
    visitors: dict[str, tuple[Browser, list[str]]],  # noqa: F811 - the fixture
    contexts: dict[str, BrowserContext],  # noqa: F811 - the fixture
    address: str,
) -> None:
    """The same for every state of every page."""
    in_a_browser(worth_a_look(every_page(visitors, Reach()), most=10), contexts, address)
