"""The browser that tests drive: the system's Chromium, without its windows where that is installed."""

import os
import shutil
from collections.abc import Sequence

from playwright.sync_api import Browser, Playwright

PROGRAMS = ("chromium-headless-shell", "chromium")
"""The first one that is there is taken. Both are one build; a page in a fresh profile takes the first a third of the
processor's time.
"""


def launch(driver: Playwright, args: Sequence[str] = ()) -> Browser:
    """A browser that is running. Raises ``RuntimeError`` where none is installed."""
    program = next(filter(None, map(shutil.which, PROGRAMS)), None)
    if program is None:
        raise RuntimeError(f"{PROGRAMS[0]} is missing; make setup installs it or says how")
    # Chromium refuses its own sandbox to root.
    return driver.chromium.launch(executable_path=program, args=[*args], chromium_sandbox=os.geteuid() != 0)
