"""Three people with real browsers for a while: one plans 128 sources over and over, two work on gigs of their own.
Figures, never gates, but that nobody is refused. ``BROWSERS_S`` says for how many seconds.
"""

import os
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from random import Random

import pytest
from playwright.sync_api import Page, Response, sync_playwright

from tests.bench.test_bench_beside import LARGE, SMALL, say, served
from tests.web.chromium import launch
from tests.web.test_many_at_once import Heard, Person

pytestmark = pytest.mark.bench

SECONDS = float(os.environ.get("BROWSERS_S", "60"))
ALONE_S = min(60.0, SECONDS / 4)
"""How long the two work before the third one begins, to compare with."""

TRIED = "what if"


@dataclass
class Visitor:
    """Somebody at a browser, on one gig."""

    name: str
    page: Page
    base: str
    heard: Heard
    chance: Random

    def go(self, deed: str, path: str = "", press: str = "") -> str:
        """Open a page, or press a button and arrive at the next one; what it says."""
        begun = time.perf_counter()
        if press:
            with self.page.expect_navigation(timeout=60_000) as arrived:
                self.page.get_by_role("button", name=press).first.click()
            answer = arrived.value
        else:
            answer = self.page.goto(self.base + path, timeout=60_000)
        # A form that a script sends arrives without an answer of its own; what failed is heard by ``judge``.
        self.heard.note(f"{self.name} {deed}", answer.status if answer else 200, time.perf_counter() - begun)
        return self.page.content()

    def save(self, least: int, most: int) -> None:
        """Another number of inputs, and the plan of it."""
        self.go("form's page", "/questions/inputs")
        self.page.locator('[name="inputs-free"]').first.fill(str(self.chance.randint(least, most)))
        self.go("form", press="Save")
        begun = time.perf_counter()
        while "is being worked out" in self.go("plan page", "/plan").split("What is still open")[0]:
            time.sleep(0.3)
        self.heard.note(f"{self.name} plan there after", 200, time.perf_counter() - begun)

    def read(self) -> None:
        for path in ("", "/plan", "/talk", "/papers", "/day"):
            self.go("page", path)

    def try_out(self) -> None:
        self.go("what if page", "/what-if")
        self.go(TRIED, press="See what changes")


@dataclass(frozen=True)
class Part:
    """Who sits at one browser and what they do there."""

    name: str
    person: Person
    deeds: Callable[[Visitor], None]


def visit(address: str, part: Part, heard: Heard, ready: threading.Barrier, seconds: float) -> None:
    """One browser of its own, for a while from when all are open; a fault of its page is heard as an error."""
    name, person = part.name, part.person
    cookie, _, value = person.cookie.partition("=")
    with sync_playwright() as driver:
        browser = launch(driver)
        context = browser.new_context(base_url=address)
        # Secure cookies are taken from https alone; to this machine they are sent without it too.
        context.add_cookies([{"name": cookie, "value": value, "url": address.replace("http:", "https:")}])
        page = context.new_page()

        def judge(answer: Response) -> None:
            if answer.status >= 500:
                heard.errors.append(f"{name} {answer.status} {answer.url}")

        page.on("response", judge)
        page.on("pageerror", lambda error: heard.errors.append(f"{name} {error}"))
        visitor = Visitor(name, page, person.base, heard, Random(name))  # noqa: S311 - numbers, not secrets
        ready.wait(timeout=300)
        until = time.monotonic() + seconds
        while time.monotonic() < until:
            try:
                part.deeds(visitor)
            except Exception as error:  # noqa: BLE001 - whatever it is, it is counted and shown
                heard.errors.append(f"{name} {error!r}"[:300])
            time.sleep(0.5)
        browser.close()


def large(one: Visitor) -> None:
    one.save(13, 24)


def works(one: Visitor) -> None:
    one.save(5, 10)
    one.read()


def tries(one: Visitor) -> None:
    one.read()
    one.try_out()
    one.save(5, 10)
    # A holder opens what-if thirty times in five minutes, and this one opens it twice each time.
    time.sleep(24)


def test_three_browsers(tmp_path: Path, migrated: Path) -> None:
    """Nobody is refused and nothing fails, while one plans 128 sources and two fill in forms, read and try things."""
    with served(tmp_path, migrated, (LARGE, SMALL, SMALL), datetime.now(UTC)) as (address, people):
        whole = []
        parts = [Part(*one) for one in zip(("A", "B", "C"), people, (large, works, tries), strict=True)]
        for phase, seconds, who in (("B and C alone", ALONE_S, parts[1:]), ("A is planned", SECONDS, parts)):
            heard, ready = Heard(), threading.Barrier(len(who))
            threads = [threading.Thread(target=visit, args=(address, part, heard, ready, seconds)) for part in who]
            for thread in threads:
                thread.start()
            for thread in threads:
                thread.join()
            say(phase, heard)
            whole.append(heard)
    assert [one.errors for one in whole] == [[], []]
