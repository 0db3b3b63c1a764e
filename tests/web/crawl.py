"""Every page that the portal's own links lead to, for everybody who may see something; and which of them are worth a
closer look.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Iterable
from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import urldefrag, urljoin, urlsplit

from fastapi.routing import APIRoute
from httpx2 import Response

from portal.app import ROUTERS
from tests.web.conftest import Browser

ROUTES = [
    route for router in ROUTERS for route in router.routes if isinstance(route, APIRoute) and "GET" in route.methods
]


@dataclass(frozen=True)
class Reach:
    """How many addresses of one route are opened: of one gig or rig, and of all of them together (a gig's own page
    always).
    """

    of_one: int = 2
    of_all: int = 1000


@dataclass(frozen=True)
class Visited:
    """One page as one viewer sees it. ``marks``: its tags with their classes and states, by which pages of one route
    differ. ``folds``: how many there are, open or not.
    """

    viewer: str
    path: str
    route: str
    marks: frozenset[str]
    folds: int = 0


@dataclass
class Reader(Browser):
    """Somebody who keeps every page, by the address that it was asked for."""

    pages: dict[str, str] = field(default_factory=dict)

    def get(self, path: str, **headers: str) -> Response:
        answer = super().get(path, **headers)
        if answer.headers.get("content-type", "").startswith("text/html"):
            self.pages[path] = answer.text
        return answer


class _Marks(HTMLParser):
    def __init__(self, html: str) -> None:
        super().__init__()
        self.hrefs: list[str] = []
        self.marks: set[str] = set()
        self.folds = 0
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "a" and "href" in given:
            self.hrefs.append(given["href"])
        # A fold that is fetched on demand is a button.
        self.folds += tag == "details" or (tag == "button" and "fold" in given.get("class", "").split())
        self.marks |= {f"{tag}.{one}" for one in given.get("class", "").split()} or {tag}
        self.marks |= {
            f"{tag}[{name}]" for name in given if name in ("type", "checked", "open", "disabled", "aria-invalid")
        }


def route_of(path: str) -> str:
    """The route that answers an address, as written in the program; empty where none does."""
    plain = urlsplit(path).path
    return next((route.path for route in ROUTES if route.path_regex.match(plain)), "")


def kind_of(route: str) -> str:
    """The route with both mounts of a gig's page as one."""
    return route.replace("/gigs/{gig_id}", "both").replace("/house/{gig_id}", "both")


def crawl(viewer: str, browser: Browser, starts: Iterable[str], reach: Reach) -> tuple[list[Visited], set[str]]:
    """The HTML pages that are reached from some addresses, and every route that was asked, files and redirects too."""
    waiting, known = deque(starts), set(starts)
    seen: Counter[str] = Counter()
    pages: list[Visited] = []
    routes: set[str] = set()
    while waiting:
        path = waiting.popleft()
        route = route_of(path)
        routes.add(route)
        # Papers take seconds to draw, and a stream is no page.
        if urlsplit(path).path.endswith((".pdf", ".xlsx", ".csv", ".json", ".ics", "/events")):
            continue
        answer = browser.get(path)
        found = [answer.headers["location"]] if answer.is_redirect else []
        is_file = "content-disposition" in answer.headers
        if answer.headers.get("content-type", "").startswith("text/html") and not is_file:
            read = _Marks(answer.text)
            pages.append(Visited(viewer, path, route, frozenset(read.marks), read.folds))
            found += read.hrefs
        assert answer.status_code < 500, path
        for href in found:
            address = urldefrag(urljoin(path, href)).url
            route = route_of(address)
            whose = route + "".join(urlsplit(address).path.split("/")[1:3])
            enough = seen[whose] >= reach.of_one or (kind_of(route) != "both" and seen[route] >= reach.of_all)
            if (
                not address.startswith("/")
                or address.startswith("/static")
                or "language=" in address
                or "lengths=" in address
            ):
                # A page in another language or unit is the same page.
                continue
            if address not in known and not enough:
                seen.update((route, whose))
                known.add(address)
                waiting.append(address)
    return pages, routes


def worth_a_look(pages: Iterable[Visited], most: int, *, of_a_kind: bool = True) -> list[Visited]:
    """Pages that show something that those before do not, the richest first: at most some of each kind, or of all kinds
    taken as one.
    """
    kept: list[Visited] = []
    shown: dict[str, set[str]] = {}
    counted: Counter[str] = Counter()
    for page in sorted(pages, key=lambda one: (-len(one.marks), one.path)):
        kind = kind_of(page.route) if of_a_kind else ""
        new = page.marks - shown.setdefault(kind, set())
        if new and counted[kind] < most:
            counted[kind] += 1
            shown[kind] |= page.marks
            kept.append(page)
    return kept
