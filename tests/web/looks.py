"""What is measured on a page in the real browser, page by page."""

from dataclasses import dataclass, field
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

NARROW = {"width": 320, "height": 640}
LOW = {"width": 320, "height": 256}
WIDER = (768, 1280)
MOST_STOPS = 40
"""Stops of the Tab key that are looked at on one page."""

MEASURE = """() => {
  const shown = (one) => {
    const box = one.getBoundingClientRect();
    const folded = one.closest("details:not([open]) > :not(summary)");
    return box.width > 1 && box.height > 1 && one.checkVisibility({ checkVisibilityCSS: true }) && !folded;
  };
  const pressed = "a[href], button, input:not([type=hidden]), select, textarea, summary, label.choice";
  const targets = [...document.querySelectorAll(pressed)]
    .filter((one) => shown(one) && !one.classList.contains("skip") && !one.closest(".unseen"));
  const boxes = targets.map((one) => {
    const box = one.getBoundingClientRect();
    return { one, box, x: box.x + box.width / 2, y: box.y + box.height / 2, small: box.width < 24 || box.height < 24 };
  });
  // A link within a sentence is as high as its line (WCAG 2.2, 2.5.8, inline).
  const alone = (one) => one.parentElement.textContent.trim() === one.textContent.trim();
  const inText = (one) => getComputedStyle(one).display === "inline" && !alone(one);
  // A small target is large enough where a circle of 24 pixels around it meets no other target,
  // nor the circle of another small one (spacing).
  const crowded = ({ one, x, y }) => boxes.some((other) => {
    if (other.one === one || other.one.contains(one) || one.contains(other.one)) return false;
    if (other.small) return Math.hypot(other.x - x, other.y - y) < 24;
    const dx = Math.max(other.box.left - x, 0, x - other.box.right), dy = Math.max(other.box.top - y, 0,
    y - other.box.bottom);
    return Math.hypot(dx, dy) < 12;
  });
  const under = boxes.filter((each) => each.small && !inText(each.one) && crowded(each))
    .map(({ one }) => one.outerHTML.slice(0, 120));
  const buttons = boxes.filter(({ one }) => one.matches("button:not(.quiet), .button, label.choice, select"));
  return {
    wide: document.documentElement.scrollWidth,
    targets: boxes.length,
    under,
    under44: buttons.filter(({ box }) => box.height < 44).length,
    live: [...document.querySelectorAll("[role=status], [aria-live]")].filter((one) => !one.closest("main")).length,
    headings: document.querySelectorAll("h1").length,
    language: document.documentElement.lang,
    title: document.title,
  };
}"""

VIOLATIONS = {"resultTypes": ["violations"]}

OF_COLOUR = ("color-contrast", "link-in-text-block")
"""Rules of axe that another colour scheme can break. They look behind each word: half of what a page takes."""

COVERED = """() => {
  const one = document.activeElement;
  if (!one || one === document.body) return "";
  const box = one.getBoundingClientRect();
  const left = Math.max(box.left, 0), right = Math.min(box.right, innerWidth), top = Math.max(box.top, 0),
  bottom = Math.min(box.bottom, innerHeight);
  const at = [[.5, .5], [.1, .1], [.9, .9], [.1, .9], [.9, .1]].map(([x, y]) =>
    document.elementFromPoint(left + (right - left) * x, top + (bottom - top) * y));
  const seen = at.some((hit) => hit && (hit === one || one.contains(hit) || hit.contains(one)));
  return seen || one.matches(".skip") ? one.tagName : "COVERED " + one.outerHTML.slice(0, 120);
}"""


@dataclass
class Figures:
    """What was counted over many pages, and everything that is wrong."""

    pages: int = 0
    targets: int = 0
    under_24: int = 0
    under_44: int = 0
    overflowing: int = 0
    violations: int = 0
    focused_fully_hidden: int = 0
    stops: int = 0
    wrong: list[str] = field(default_factory=list)

    def said(self) -> str:
        numbers = (f"{name}={value}" for name, value in vars(self).items() if name != "wrong")
        return "\n".join((" ".join(numbers), *self.wrong))


def measure(page: Page, name: str, figures: Figures, *, ours: bool = True) -> None:
    """Width, targets, live region and heading of the page as wide as it is. ``ours``: a screen, not a paper to
    print.
    """
    found, width = page.evaluate(MEASURE), page.evaluate("innerWidth")
    figures.pages += 1
    figures.targets += found["targets"]
    figures.under_44 += found["under44"]
    figures.under_24 += len(found["under"])
    figures.overflowing += found["wide"] > width
    wrong = [f"small target {one}" for one in found["under"]]
    if found["wide"] > width:
        wrong.append(f"{found['wide']} pixels wide on {width}")
    if not found["language"] or not found["title"]:
        wrong.append("no language or no title")
    if ours and (found["live"], found["headings"]) != (1, 1):
        wrong.append(f"{found['live']} live regions, {found['headings']} first headings")
    figures.wrong += [f"{name}: {one}" for one in wrong]


def examine(page: Page, name: str, figures: Figures, *, colours: bool = True) -> None:
    """Run axe: all of it, or without what it says of colours."""
    left_out = {} if colours else {"rules": {rule: {"enabled": False} for rule in OF_COLOUR}}
    _count(name, figures, Axe().run(page, options={**VIOLATIONS, **left_out}).response)


def examine_colours(page: Page, name: str, figures: Figures) -> None:
    """Run the rules of colours again, on a page that was examined."""
    only = {"type": "rule", "values": OF_COLOUR}
    _count(name, figures, page.evaluate("(options) => axe.run(options)", {**VIOLATIONS, "runOnly": only}))


def _count(name: str, figures: Figures, response: dict[str, list[dict[str, Any]]]) -> None:
    violations = response["violations"]
    figures.violations += len(violations)
    figures.wrong += [
        f"{name}: {one['id']} {one['nodes'][0]['html'][:160]} {one['nodes'][0]['failureSummary'][:200]}"
        for one in violations
    ]


def tab_through(page: Page, name: str, figures: Figures) -> None:
    """Each stop of the Tab key can be seen, at least in part (WCAG 2.2, 2.4.11)."""
    # Pages glide to what has the focus; what is looked at must have arrived.
    page.emulate_media(reduced_motion="reduce")
    for _ in range(MOST_STOPS):
        page.keyboard.press("Tab")
        where = page.evaluate(COVERED)
        if not where:
            return
        figures.stops += 1
        if where.startswith("COVERED"):
            figures.focused_fully_hidden += 1
            figures.wrong.append(f"{name}: {where}")
