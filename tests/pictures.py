"""The README's pictures: ``make pictures`` starts the portal on an empty folder and photographs the demo in it."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pypdfium2
from playwright.sync_api import BrowserContext, sync_playwright

from tests.web.chromium import launch

ROOT = Path(__file__).parent.parent
FOLDER = ROOT / ".pictures"
DESK = {"width": 1120, "height": 900}
PHONE = {"width": 390, "height": 720}
SHEET = 1.4
"""Dots for each point of the paper: enough to read the largest figures, and small."""


@dataclass(frozen=True)
class Demo:
    """A portal with its demo: its address, the leader's sign-in, and the house's link."""

    base: str
    email: str
    password: str
    link: str


@contextmanager
def running(data: Path) -> Iterator[Demo]:
    """The demo, served from an empty folder until the block ends. Raises ``RuntimeError`` where it does not start."""
    own = {name: value for name, value in os.environ.items() if not name.startswith("PORTAL_")}
    with subprocess.Popen(
        [sys.executable, "-m", "portal", "serve"],
        cwd=ROOT,
        env=own | {"PORTAL_DATA": str(data), "PORTAL_PORT": "0"},
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    ) as serving:
        try:
            said = ""
            for line in serving.stdout or ():
                said += line
                if "(stop with" in line:
                    break
            found = re.search(r"(http://\S+)/sign-in +(\S+) +(\S+)\n +the house +(\S+)", said)
            if found is None:
                raise RuntimeError(f"the demo did not start:\n{said}")
            yield Demo(*found.groups())
        finally:
            serving.terminate()


def take(demo: Demo, band: BrowserContext, house: BrowserContext, folder: Path) -> None:
    """A plan as the band sees it at a desk, a patch sheet that both signed, and the page that the house's link opens on
    a phone.
    """
    page = band.new_page()
    page.goto(demo.base + "/sign-in")
    page.fill("#email", demo.email)
    page.fill("#password", demo.password)
    page.click("main button")
    page.get_by_role("link", name="Club night", exact=True).click()
    page.wait_for_load_state()
    page.goto(page.url.rstrip("/") + "/plan")
    page.screenshot(path=folder / "plan.png")
    page.goto(demo.base + "/")
    page.get_by_role("link", name="Town hall dance", exact=True).click()
    page.wait_for_load_state()
    sheet = page.request.get(page.url.rstrip("/") + "/papers/patch-sheet.pdf").body()
    with pypdfium2.PdfDocument(sheet) as opened:
        opened[0].render(scale=SHEET, grayscale=True).to_pil().quantize(16).save(folder / "sheet.png", optimize=True)

    phone = house.new_page()
    phone.goto(demo.link)
    phone.screenshot(path=folder / "house.png")


def photograph(folder: Path) -> list[Path]:
    """Write the pictures into a folder that is there; returns them. Raises ``RuntimeError`` as ``running`` and where
    no browser is found.
    """
    with tempfile.TemporaryDirectory() as data, running(Path(data)) as demo, sync_playwright() as driver:
        chromium = launch(driver)
        take(demo, chromium.new_context(viewport=DESK), chromium.new_context(viewport=PHONE), folder)
        chromium.close()
    return sorted(folder.glob("*.png"))


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for picture in photograph(FOLDER):
        sys.stdout.write(f"{picture.relative_to(ROOT)}: {picture.stat().st_size} bytes\n")
