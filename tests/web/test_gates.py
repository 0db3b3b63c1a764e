"""Every page for everybody: read by a machine, by keyboard, on a narrow phone, over a bad line. New pages are found by
the portal's own links.
"""

from collections.abc import Iterator

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from playwright.sync_api import Browser as Chromium
from playwright.sync_api import BrowserContext, Page

from portal.settings import Settings
from portal.store import plans
from portal.store.database.session import Store
from portal.store.house import houses
from portal.web.frame import deps
from portal.web.frame.access import ViewToken, write_id_token, write_view_token
from portal.web.frame.links import path_to
from portal.web.frame.running import Portal
from portal.web.house import house_access
from portal.web.house.inquiry_links import INQUIRY
from portal.web.mail.letters import stop_token
from tests.builders import NOW, ABand
from tests.web.conftest import ORIGIN, Browser
from tests.web.crawl import ROUTES, Reach, Visited, crawl, kind_of, worth_a_look
from tests.web.looks import LOW, NARROW, WIDER, Figures, examine, examine_colours, measure, tab_through
from tests.web.mail.mail_server import sending_to
from tests.web.world import World, make_world

NOT_PAGES = {
    "/events",
    "both/events",
    "both/news",
    "/day-worker.js",
    "/alive",
    "/ready",
    # A file of the newest revision; pages lead to those of a numbered one.
    "both/papers/{document}.pdf",
    # A secret address that is typed into a calendar, and is no page.
    "/calendar/{calendar_token}.ics",
    # What a script asks for.
    "both/day/found",
}
"""Routes that no link leads to because they are not there to be read."""

TWINS = {"both/plan/{number}", "/rigs/{rig_id}/revisions/{number}", "both/papers/{number}/{document}"}
"""Kinds that show by number what another kind shows as the newest: looked at as long as the soak runs, else measured
alone.
"""

MOST_FOLDS = 5
"""More than that hides the page from whoever reads it."""

OF_PAPER = ("/papers/", "/day/")
"""Pages that are sheets, to be printed or kept, without head and live region."""


@pytest.fixture
def world(store: Store, band: ABand) -> World:
    return make_world(store, band)


def house_cookie(portal: Portal, world: World) -> dict[str, str]:
    """What a browser holds that remembers the world's house."""
    with portal.store.reading() as db:
        house = houses.by_id(db, world.house_id)
    value = house_access.cookie_value(portal, house, NOW.replace(year=NOW.year + 1))
    return {house_access.cookie_name(portal, house.id): value}


@pytest.fixture
def settings(settings: Settings) -> Settings:
    """A portal that may send emails, so that every page is there."""
    return sending_to(1, settings)


@pytest.fixture
def visitors(app: FastAPI, portal: Portal, world: World, band: ABand) -> Iterator[dict[str, tuple[Browser, list[str]]]]:
    """A client for everybody, with the addresses at which the crawl begins. Whoever looks at everything is braked by
    nothing.
    """
    portal.what_if_limiter.most = 10**9

    def client(tokens: dict[str, str], **cookies: str) -> Browser:
        made = TestClient(app, base_url=ORIGIN, follow_redirects=False)
        made.cookies.update(cookies)
        for gig_id, token in tokens.items():
            made.cookies.set(deps.cookie_name(portal.settings, gig_id), token, domain="portal.test")
        return Browser(made)

    with portal.store.reading() as db:
        gig_id, link_id = next(iter(world.links.items()))
        sheet = next(
            plan.content_hash
            for gig in world.house_tokens
            if (plan := plans.newest(db, gig)) and "no-plan" not in plan.document
        )
    code = write_view_token(portal.key, ViewToken(gig_id, link_id, NOW.replace(year=NOW.year + 1)))
    of_house = [
        f"/house/{gig}{rest}"
        for gig in world.house_tokens
        for rest in ("", "/questions/sent", "/questions/more", f"/day/{sheet}")
    ]
    tried = f"/talk/try?about={world.row_key}&kind=leave-out"
    yield {
        "nobody": (
            client({}),
            [
                "/",
                "/nothing-here",
                f"/in/{world.secret}",
                f"/day/{code}",
                "/check",
                f"/house-key/{world.house_key}",
                path_to("show_ask", ask_token=write_id_token(portal.key, INQUIRY, world.inquiry_id)),
                path_to("show_stop_emails", stop_token=stop_token(portal.key, world.email_id, band.email)),
                *world.ways_in,
            ],
        ),
        "band": (
            client({"": world.user_token}),
            [
                "/",
                f"/rigs/{world.rig_id}/row?key={world.row_key}",
                path_to("show_confirm", then="/members"),
                f"/gigs/{gig_id}{tried}",
            ],
        ),
        "house": (client(world.house_tokens, **house_cookie(portal, world)), [*of_house, f"/house/{gig_id}{tried}"]),
    }
    portal.papers.close()


@pytest.fixture
def contexts(chromium: Chromium, address: str, portal: Portal, world: World) -> Iterator[dict[str, BrowserContext]]:
    """A browser for everybody, already let in."""
    tokens = {"nobody": {}, "band": {"": world.user_token}, "house": world.house_tokens}
    made = {}
    for viewer, held in tokens.items():
        context = chromium.new_context(base_url=address, viewport=NARROW)
        # Secure cookies are taken from https alone; to this machine they are sent without it too.
        home = address.replace("http:", "https:")
        context.add_cookies(
            [
                {"name": deps.cookie_name(portal.settings, gig), "value": token, "url": home}
                for gig, token in held.items()
            ]
            + [
                {"name": name, "value": value, "url": home}
                for name, value in house_cookie(portal, world).items()
                if viewer == "house"
            ]
        )
        made[viewer] = context
    yield made
    for context in made.values():
        context.close()


@pytest.fixture
def tabs(contexts: dict[str, BrowserContext]) -> dict[str, Page]:
    return {viewer: context.new_page() for viewer, context in contexts.items()}


def every_page(visitors: dict[str, tuple[Browser, list[str]]], reach: Reach) -> list[Visited]:
    """What the crawl finds, and two laws: it finds every page there is, and none has many folds."""
    pages: list[Visited] = []
    routes: set[str] = set()
    for viewer, (browser, starts) in visitors.items():
        found, asked = crawl(viewer, browser, starts, reach)
        pages += found
        routes |= asked
    left_out = {kind_of(route.path) for route in ROUTES} - {kind_of(route) for route in routes} - NOT_PAGES
    assert not left_out, "no link leads there"
    assert [f"{one.viewer} {one.path}: {one.folds} folds" for one in pages if one.folds > MOST_FOLDS] == []
    print(f"\ncrawled={len(pages)} kinds={len({kind_of(one.route) for one in pages})}")  # noqa: T201 - shown with -s
    return pages


def look_at(page: Page, one: Visited, figures: Figures, *, colours: bool = True, twin: bool = False) -> None:
    """The page at 320 pixels by machine; its colours in the light and in the dark."""
    name = f"{one.viewer} {one.path}"
    page.set_viewport_size(NARROW)
    page.emulate_media(color_scheme="light")
    page.goto(one.path)
    page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    measure(page, name, figures, ours=not any(part in one.path for part in OF_PAPER))
    if twin:
        return
    examine(page, name, figures, colours=colours)
    if colours:
        page.emulate_media(color_scheme="dark")
        examine_colours(page, f"dark {name}", figures)


def judge(figures: Figures) -> None:
    print(figures.said())  # noqa: T201 - shown with -s
    assert figures.wrong == []


@pytest.mark.browser
@pytest.mark.slow
def test_every_page_reads_well(visitors: dict[str, tuple[Browser, list[str]]], tabs: dict[str, Page]) -> None:
    """The richest page of each kind, unfolded: axe finds nothing, nothing is too wide or too small, one live region;
    the colours of each style, in the light and in the dark.
    """
    chosen = worth_a_look(every_page(visitors, Reach(of_one=1, of_all=3)), most=1)
    styles = worth_a_look([one for one in chosen if kind_of(one.route) not in TWINS], most=len(chosen), of_a_kind=False)
    figures = Figures()
    for one in chosen:
        look_at(tabs[one.viewer], one, figures, colours=one in styles, twin=kind_of(one.route) in TWINS)
    assert figures.pages > 50
    judge(figures)


@pytest.mark.browser
@pytest.mark.soak
def test_every_page_reads_well_in_every_state(
    visitors: dict[str, tuple[Browser, list[str]]], tabs: dict[str, Page]
) -> None:
    """Every state of every page: as above, at three widths, in both schemes, and whatever the Tab key reaches can be
    seen.
    """
    figures = Figures()
    pages = every_page(visitors, Reach())
    for one in worth_a_look(pages, most=10):
        page, name = tabs[one.viewer], f"{one.viewer} {one.path}"
        look_at(page, one, figures)
        page.reload()
        page.set_viewport_size(LOW)
        tab_through(page, name, figures)
        for width in WIDER:
            page.set_viewport_size({"width": width, "height": 800})
            measure(page, name, figures, ours=not any(part in one.path for part in OF_PAPER))
            examine(page, f"{width} {name}", figures)
    told = sum(look_at_faults(tabs[one.viewer], one, figures) for one in worth_a_look(pages, most=1))
    assert figures.pages > 200
    assert told > 10
    judge(figures)


def look_at_faults(page: Page, one: Visited, figures: Figures) -> int:
    """Every form of the page sent with nothing in it; how many were refused with a page of their own, which is looked
    at too.
    """
    page.set_viewport_size(NARROW)
    page.goto(one.path)
    told = 0
    # The forms of a line check are sent by their own script, which leaves the page as it is.
    forms = page.locator("main form[method=post]:not([data-line])")
    for number in range(forms.count()):
        page.goto(one.path)
        form = forms.nth(number)
        emptied = form.evaluate(EMPTY) if form.count() else 0
        if not emptied:
            continue
        form.evaluate("(form) => form.requestSubmit(form.querySelector('button'))")
        page.locator("main:not([data-old])").wait_for()
        if page.locator("#faults").count():
            told += 1
            name = f"refused {one.viewer} {one.path}"
            measure(page, name, figures)
            examine(page, name, figures)
    return told


EMPTY = """(form) => {
  const typed = "input:is([type=text], [type=email], [type=password], [type=date], :not([type])), textarea";
  const fields = [...form.querySelectorAll(typed)];
  fields.forEach((one) => { one.value = ""; });
  // A new main part comes either way: with a whole page, or alone.
  document.querySelector("main").dataset.old = "";
  return fields.length;
}"""


FAULTS = {
    "an image without words": "<img src=/static/icon.svg>",
    "buttons of 20 pixels": (
        "<button type=button"
        " data-style='min-block-size:0;block-size:20px;inline-size:20px;margin:0;padding:0'>On</button>" * 3
    ),
    "a box of 400 pixels": "<div data-style='inline-size:400px'>wide</div>",
    "faint words": "<p data-style='color:#999;background:#fff'>faint</p>",
}

PLANT = """(html) => {
  document.querySelector("main").insertAdjacentHTML("beforeend", html);
  // The policy forbids styles that stand in the page's text.
  document.querySelectorAll("[data-style]").forEach((one) => { one.style.cssText = one.dataset.style; });
}"""


@pytest.mark.browser
@pytest.mark.parametrize("fault", FAULTS)
def test_what_is_planted_is_found(fault: str, chromium: Chromium, address: str) -> None:
    """A page that is faultless has one fault more for each that is put into it."""
    with chromium.new_context(base_url=address, viewport=NARROW) as context:
        page, figures = context.new_page(), Figures()
        look_at(page, Visited("nobody", "/sign-in", "/sign-in", frozenset()), figures)
        assert figures.wrong == []
        page.emulate_media(color_scheme="light")
        page.evaluate(PLANT, FAULTS[fault])
        measure(page, fault, figures)
        examine(page, fault, figures)
    assert figures.wrong
