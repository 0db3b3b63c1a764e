"""The house's journey in another language: whatever is read on it is among the texts that each language of the house's
says.
"""

from __future__ import annotations

from collections.abc import Iterable
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser as Chromium

from portal.documents.registry import DOCUMENTS
from portal.web.frame import deps
from portal.web.frame.reader import OF_BOTH
from portal.web.frame.reader import OF_THE_HOUSE as BELOW_THE_HOUSE
from portal.web.frame.running import Portal
from portal.wording.catalogue import languages
from tests.web.conftest import ORIGIN, Browser
from tests.web.crawl import Reach, Reader, Visited, crawl, route_of
from tests.web.test_gates import settings, visitors, world  # noqa: F401 - fixtures
from tests.web.test_nonsense import OF_THE_HOUSE, PHONE
from tests.web.world import World
from tests.wording.looked_up import beyond, lacking, looked_up

NAME = "nl"

SAID_ALREADY = {"Kick In: Choose Checked or Problem. Go back, change it, and save it again."}
"""An error's sentence is looked up when it is shown; this one was put together in the reader's language by then."""


class _Forms(HTMLParser):
    """The addresses that the forms of a page post to."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.found: set[str] = set()
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "form" and given.get("method") == "post":
            self.found |= {given.get("action") or ""} - {""}


def open_documents(browser: Browser, gig_ids: Iterable[str]) -> int:
    """Open every document of some gigs, to read and as rows; how many there were."""
    asked = [
        f"/house/{gig_id}/papers/{one.key}" if ending == "html" else f"/house/{gig_id}/papers/1/{one.key}.{ending}"
        for gig_id in gig_ids
        for one in DOCUMENTS.values()
        for ending in ("html", "csv")
        if (one.build if ending == "html" else one.table)
    ]
    return sum(browser.get(address).status_code == 200 for address in asked)


def send_nothing(reader: Reader, pages: Iterable[Visited]) -> int:
    """Send a form of each kind with nothing in it, and without what each form carries; how many were refused."""
    sent: set[str] = set()
    refused = 0
    for page in pages:
        for action in _Forms(reader.pages[page.path]).found:
            kind = route_of(action) or "/".join(urlsplit(action).path.split("/")[3:])
            if kind not in sent:
                sent.add(kind)
                answers = [
                    reader.client.post(action, data=reader.hidden(page.path), headers={"Origin": ORIGIN}),
                    reader.client.post(action, headers={"Origin": ORIGIN}),
                ]
                refused += sum(one.status_code >= 400 for one in answers)
    return refused


@pytest.mark.slow
def test_what_the_house_reads_is_the_house_s(
    visitors: dict[str, tuple[Browser, list[str]]],  # noqa: F811 - the fixture
    world: World,  # noqa: F811 - the same
    tmp_path: Path,
) -> None:
    """Every text of every page, refusal and document that the house or the holder of a document comes to is marked as
    one, is the house's, and stands in every catalogue.
    """
    opened, refused, seen = 0, 0, []
    with looked_up(tmp_path, NAME) as asked:
        for viewer in ("nobody", "house"):
            browser, starts = visitors[viewer]
            browser.client.headers["Accept-Language"] = NAME
            reader = Reader(browser.client)
            pages, _ = crawl(viewer, reader, starts, Reach(2, 20))
            pages = [one for one in pages if one.path.startswith((*BELOW_THE_HOUSE, *OF_BOTH))]
            seen += pages
            if viewer == "house":
                opened = open_documents(browser, world.house_tokens)
            # Last: a form may end what let somebody in.
            refused += send_nothing(reader, pages)
    print(f"\npages={len(seen)} documents={opened} refused={refused} texts={len(asked)}")  # noqa: T201 - shown with -s
    assert min(len(seen) / 100, opened / 20, refused / 20, len(asked) / 800) > 1
    assert set(beyond(asked)) - SAID_ALREADY == set()
    assert lacking({key for key in asked if key[0] not in SAID_ALREADY}) == {}


@pytest.mark.browser
@pytest.mark.slow
def test_no_page_of_the_house_is_wider_than_a_phone(
    chromium: Chromium,
    address: str,
    portal: Portal,
    world: World,  # noqa: F811 - the fixture
) -> None:
    """Whatever the language: its longest words fit 360 pixels, folds open."""
    context = chromium.new_context(base_url=address, viewport=PHONE)
    home = address.replace("http:", "https:")
    _, agreed, _, planned = list(world.house_tokens)[:4]
    for gig_id in (agreed, planned):
        name = deps.cookie_name(portal.settings, gig_id)
        context.add_cookies([{"name": name, "value": world.house_tokens[gig_id], "url": home}])
    page = context.new_page()
    pages = [f"/house/{agreed}{rest}" for rest in OF_THE_HOUSE] + [f"/house/{planned}", f"/house/{planned}/plan"]
    wide = []
    for language in languages()[1:]:
        for path in (f"/in/{world.secret}", "/check", *pages):
            page.goto(f"{path}?language={language}")
            page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
            told, width = page.evaluate("[document.documentElement.lang, document.documentElement.scrollWidth]")
            assert told == language
            wide += [f"{language} {path}: {width}"] if width > PHONE["width"] else []
    context.close()
    assert wide == []
