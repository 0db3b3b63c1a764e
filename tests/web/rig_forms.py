"""Forms as a browser would send them: every field of a page's form, with what it holds."""

import re
from html.parser import HTMLParser

from httpx2 import Response
from playwright.sync_api import Page

from portal.store import rigs
from tests.builders import ABand
from tests.web.conftest import ORIGIN, Browser, Open, sign_in

Fields = dict[str, list[str]]

TOPICS = ("/name",)
"""The forms of a rig besides its rows."""


class Forms(HTMLParser):
    """The forms of a page by their address: names of the fields and what they hold."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.found: dict[str, Fields] = {}
        self._form: Fields = {}
        self._select = ""
        self._first = ""
        self._textarea = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "form":
            self._form = self.found.setdefault(given["action"], {})
        elif tag == "input" and "name" in given and given.get("type") != "file":
            if given.get("type") not in ("checkbox", "radio") or "checked" in given:
                self._form.setdefault(given["name"], []).append(given.get("value", ""))
        elif tag == "select":
            self._select, self._first = given["name"], ""
        elif tag == "option" and self._select:
            if "selected" in given:
                self._form[self._select] = [given["value"]]
            else:
                self._form.setdefault(self._select, [given["value"]])
        elif tag == "textarea":
            self._textarea = given["name"]
            self._form[self._textarea] = [""]

    def handle_data(self, data: str) -> None:
        if self._textarea:
            self._form[self._textarea][0] += data.removeprefix("\n")

    def handle_endtag(self, tag: str) -> None:
        if tag == "select":
            self._select = ""
        elif tag == "textarea":
            self._textarea = ""


def form_of(response: Response, action: str) -> Fields:
    """The fields of the form that goes to the address."""
    return Forms(response.text).found[action]


def send(browser: Browser, action: str, fields: Fields, **changes: str | list[str]) -> Response:
    """Send the fields with changes; two underscores stand for the hyphen of a row's field."""
    changed = {name.replace("__", "-"): [value] if isinstance(value, str) else value for name, value in changes.items()}
    return browser.client.post(action, data=fields | changed, headers={"Origin": ORIGIN})


def fill(browser: Browser, page: str, action: str = "", **changes: str | list[str]) -> Response:
    """Open the page, a sheet with everything unfolded, and send its form with changes."""
    address = action or page
    shown = browser.get(f"{page}?unfold=all" if re.fullmatch(r"/rigs/[^/?]+", page) else page)
    return send(browser, address, form_of(shown, address), **changes)


def summary(text: str) -> list[tuple[str, str]]:
    """The error summary: where each sentence leads, and the sentence."""
    box = re.search(r'<div class="summary".*?</div>', text, re.DOTALL)
    return re.findall(r'<a href="#([^"]*)">(.*?)</a>', box.group(0)) if box else []


def rows_of(club_rig: rigs.BandRig) -> str:
    return f"/rigs/{club_rig.id}"


def in_a_browser(open_page: Open, band: ABand, rig: rigs.BandRig, **options: object) -> Page:
    """The rows of a rig as its owner sees them in a real browser."""
    page = open_page(f"/sign-in?then={rows_of(rig)}", **options)
    sign_in(page, band)
    page.locator("#row1-label").wait_for()
    return page
