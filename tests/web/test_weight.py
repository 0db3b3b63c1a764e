"""What a page weighs on the wire, measured in the browser on a first visit."""

import pytest
from fastapi import FastAPI
from playwright.sync_api import Browser as Chromium
from playwright.sync_api import BrowserContext, Page

from portal.web.frame import deps
from portal.web.frame.running import Portal
from tests.web.conftest import Browser
from tests.web.crawl import Reach, kind_of, worth_a_look
from tests.web.looks import NARROW
from tests.web.test_gates import every_page, visitors, world
from tests.web.world import World

__all__ = ["visitors", "world"]

pytestmark = [pytest.mark.browser, pytest.mark.slow]

MOST_BYTES = 60_000
MOST_REQUESTS = 5


def weigh(page: Page, path: str) -> tuple[int, int]:
    """Requests and bytes of one address with nothing kept from before; the sign of the tab, which comes last, counts by
    its bytes alone.
    """
    sizes: list[int] = []
    signs: list[str] = []
    cdp = page.context.new_cdp_session(page)
    cdp.send("Network.enable")
    cdp.send("Network.setCacheDisabled", {"cacheDisabled": True})
    cdp.on("Network.loadingFinished", lambda told: sizes.append(int(told["encodedDataLength"])))
    cdp.on(
        "Network.requestWillBeSent",
        lambda told: signs.append(told["requestId"]) if "/static/icon" in told["request"]["url"] else None,
    )
    page.goto(path, wait_until="networkidle")
    cdp.detach()
    return len(sizes) - len(signs), sum(sizes)


SLOW = {"offline": False, "latency": 400, "downloadThroughput": 400_000 / 8, "uploadThroughput": 400_000 / 8}
"""A phone at the edge of its net: 400 kbit/s, 400 ms there and back."""

WHEN = """() => {
  const [shown] = performance.getEntriesByName("first-contentful-paint");
  const [page] = performance.getEntriesByType("navigation");
  return `shown=${Math.round(shown.startTime)}ms usable=${Math.round(page.domContentLoadedEventEnd)}ms`;
}"""
"""When words are there to read, and when the page's script has run as well."""


def on_a_slow_line(page: Page, path: str) -> str:
    """When a first visit can read and use a page over a slow line; a figure, no verdict."""
    cdp = page.context.new_cdp_session(page)
    cdp.send("Network.enable")
    cdp.send("Network.setCacheDisabled", {"cacheDisabled": True})
    cdp.send("Network.emulateNetworkConditions", SLOW)
    answer = page.goto(path, wait_until="load")
    assert answer is not None
    assert answer.ok, path
    cdp.detach()
    return page.evaluate(WHEN)


@pytest.fixture
def house(chromium: Chromium, address: str, portal: Portal, world: World) -> BrowserContext:
    """A browser with a session for every gig."""
    context = chromium.new_context(base_url=address, viewport=NARROW)
    home = address.replace("http:", "https:")
    held = [*world.house_tokens.items(), ("", world.user_token)]
    context.add_cookies(
        [{"name": deps.cookie_name(portal.settings, gig), "value": token, "url": home} for gig, token in held]
    )
    return context


def test_the_first_pages_of_a_house_are_light(house: BrowserContext, world: World) -> None:
    """What the link opens, the gig and the first questions, on a phone that has never been here: at most five requests
    and 60 kB, the typeface among them.
    """
    gig = next(iter(world.house_tokens))
    with house:
        for path in (f"/in/{world.secret}", f"/house/{gig}", f"/house/{gig}/questions/mixing"):
            page = house.new_page()
            requests, size = weigh(page, path)
            when = on_a_slow_line(page, path)
            print(f"\n{path[:7]}: requests={requests} bytes={size} {when} at 400 kbit/s, 400 ms")  # noqa: T201 - with -s
            assert requests <= MOST_REQUESTS
            assert size <= MOST_BYTES


@pytest.mark.soak
def test_every_page_is_light(
    app: FastAPI, house: BrowserContext, visitors: dict[str, tuple[Browser, list[str]]]
) -> None:
    """Each kind of page at its richest: at most two requests more, and 120 kB."""
    assert app
    with house:
        page = house.new_page()
        found = {
            kind_of(one.route): weigh(page, one.path)
            for one in worth_a_look(every_page(visitors, Reach(of_one=1, of_all=4)), most=1)
        }
    for kind, (requests, size) in sorted(found.items(), key=lambda item: -item[1][1]):
        print(f"{size:7} bytes {requests:2} requests {kind}")  # noqa: T201 - shown with -s
    assert max(requests for requests, _ in found.values()) <= MOST_REQUESTS + 2
    assert max(size for _, size in found.values()) <= 2 * MOST_BYTES
