"""People at a browser: with a mouse, with the keyboard alone, or on a bad line with patience. Each does ``journey.py``
in its own way.
"""

import re
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from random import Random

from playwright.sync_api import Error, Locator, Page, Route

TYPED = """() => Object.fromEntries([...document.querySelectorAll(`main :is(input:not([type=hidden]), textarea,
        select)`)]
  .map((one, at) => [at + one.name, ["radio", "checkbox"].includes(one.type) ? one.checked : one.value]))"""

SWAPPED = "() => 'same' in document.documentElement.dataset"
LOST_FOCUS = (
    "() => document.activeElement === null || document.activeElement === document.body ||"
    " !document.activeElement.isConnected"
)


@dataclass
class Person:
    """Somebody with a mouse. ``steps``: pages sent and links followed."""

    page: Page
    steps: int = 0

    def go(self, path: str) -> None:
        self.steps += 1
        self.page.goto(path)

    def follow(self, words: str, *, exact: bool = False) -> None:
        """Follow a link."""
        self.steps += 1
        self.page.get_by_role("link", name=words, exact=exact).first.click()

    def fill(self, selector: str, text: str) -> None:
        self.page.fill(selector, text)

    def check(self, box: Locator) -> None:
        box.check()

    def select(self, selector: str, option: str) -> None:
        self.page.select_option(selector, option)

    def press(self, button: str | re.Pattern[str]) -> None:
        """Press a button and wait for what comes of it."""
        self.steps += 1
        self.expect_new_main()
        self.page.get_by_role("button", name=button).first.click()
        self.page.locator("main:not([data-old])").wait_for()

    def expect_new_main(self) -> None:
        """A new main part comes either way: with a whole page, or alone."""
        self.page.evaluate("document.querySelector('main').dataset.old = document.documentElement.dataset.same = ''")


@dataclass
class AtTheKeyboard(Person):
    """Somebody without a mouse. ``keys`` counts what was pressed, a typed character as one; ``swaps`` how often a part
    of a page was replaced, and ``lost`` after which button the focus was nowhere then.
    """

    keys: int = 0
    swaps: int = 0
    lost: list[str] = field(default_factory=list)

    def key(self, name: str) -> None:
        self.keys += 1
        self.page.keyboard.press(name)

    def write(self, text: str) -> None:
        self.keys += len(text)
        self.page.keyboard.type(text)

    def reach(self, target: Locator, most: int = 250) -> None:
        """Press Tab until the target has the focus."""
        for _ in range(most):
            if target.evaluate("(one) => one === document.activeElement"):
                return
            self.key("Tab")
        raise AssertionError(f"the Tab key does not reach {target}")

    def follow(self, words: str, *, exact: bool = False) -> None:
        self.steps += 1
        self.reach(self.page.get_by_role("link", name=words, exact=exact).first)
        before = self.page.url
        self.key("Enter")
        self.page.wait_for_url(lambda url: url != before)

    def fill(self, selector: str, text: str) -> None:
        field = self.page.locator(selector)
        self.reach(field)
        if field.input_value():
            self.key("Control+a")
        if field.get_attribute("type") == "date":
            # A date is typed in the order of the browser's language.
            year, month, day = text.split("-")
            text = f"{month}{day}{year}"
        self.write(text)

    def check(self, box: Locator) -> None:
        if box.is_checked():
            return
        if box.get_attribute("type") == "checkbox":
            self.reach(box)
            self.key("Space")
            return
        name, group = (
            box.get_attribute("name"),
            "(name) => document.activeElement.type === 'radio' && document.activeElement.name === name",
        )
        for _ in range(250):
            if self.page.evaluate(group, name):
                break
            self.key("Tab")
        self.key("Space")
        for _ in range(20):
            if box.is_checked():
                return
            self.key("ArrowDown")
        raise AssertionError(f"the arrows do not reach {box}")

    def select(self, selector: str, option: str) -> None:
        field = self.page.locator(selector)
        self.reach(field)
        self.write(field.locator(f'option[value="{option}"]').first.inner_text())

    def press(self, button: str | re.Pattern[str]) -> None:
        self.steps += 1
        self.expect_new_main()
        self.reach(self.page.get_by_role("button", name=button).first)
        self.key("Enter")
        self.page.locator("main:not([data-old])").wait_for()
        # A page of its own begins at its top; a part that was replaced must not leave the focus nowhere.
        self.swaps += self.page.evaluate(SWAPPED)
        if self.page.evaluate(f"() => ({SWAPPED})() && ({LOST_FOCUS})()"):
            self.lost.append(str(button))


@dataclass
class BadLine:
    """A line of 400 kbit/s with 400 ms each way, on which one request in ten is lost: half of them on the way, half
    with the answer, after the portal did what was asked.
    """

    random: Random = field(default_factory=lambda: Random(11))  # noqa: S311 - no secret, but the same faults each time
    counts: Counter[str] = field(default_factory=Counter)

    def lay(self, page: Page) -> None:
        """Let a page's requests go over this line."""
        cdp = page.context.new_cdp_session(page)
        cdp.send("Network.enable")
        speed = 400_000 / 8
        cdp.send(
            "Network.emulateNetworkConditions",
            {"offline": False, "latency": 400, "downloadThroughput": speed, "uploadThroughput": speed},
        )
        page.route("**/*", self._carry)

    def _carry(self, route: Route) -> None:
        self.counts["requests"] += 1
        if self.random.random() >= 0.1:
            route.continue_()
            return
        lost_answer = route.request.method == "POST" and self.random.random() < 0.5
        self.counts["lost answers" if lost_answer else "lost requests"] += 1
        if lost_answer:
            route.fetch(max_redirects=0)
        route.abort("connectionreset")


@dataclass
class Patient(Person):
    """Somebody on a bad line, who tries again. ``told``: how often the page said so; ``typed_lost``: entries that were
    gone then.
    """

    told: int = 0
    reloads: int = 0
    typed_lost: list[str] = field(default_factory=list)

    def go(self, path: str) -> None:
        self.steps += 1
        self._until_it_comes(lambda: self.page.goto(path))

    def _until_it_comes(self, load: Callable[[], object]) -> None:
        for _ in range(12):
            try:
                load()
            except Error as error:
                if not re.search("ERR_CONNECTION_RESET|interrupted by another navigation", str(error)):
                    raise
                self.reloads += 1
                self.page.wait_for_timeout(500)
            else:
                return
        raise AssertionError("the page never came")

    def follow(self, words: str, *, exact: bool = False) -> None:
        self.go(self.page.get_by_role("link", name=words, exact=exact).first.get_attribute("href") or "")

    def press(self, button: str | re.Pattern[str]) -> None:
        self.steps += 1
        for _ in range(12):
            if self._pressed(button):
                return
        raise AssertionError(f"{button} never came through")

    def _pressed(self, button: str | re.Pattern[str]) -> bool:
        typed = self.page.evaluate(TYPED)
        self.expect_new_main()
        self.page.get_by_role("button", name=button).first.click()
        self.page.wait_for_function(
            "() => location.protocol === 'chrome-error:' || document.querySelector('main:not([data-old])')"
            " || document.getElementById('live')?.textContent.startsWith('Not ')",
            timeout=60_000,
        )
        if self.page.url.startswith("chrome-error:"):
            # The whole page was sent, since its script had not come: the browser itself sends the form again.
            self.reloads += 1
            self._until_it_comes(self.page.reload)
            return True
        if self.page.locator("main:not([data-old])").count():
            return True
        self.told += 1
        if self.page.evaluate(TYPED) != typed:
            self.typed_lost.append(str(button))
        return False
