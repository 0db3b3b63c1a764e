"""What is wrong with a file, said so that the person who wrote it can mend it."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches


@dataclass(frozen=True)
class Fault:
    """One fault: where, what was expected, what came; or, of a contradiction, what is ``said`` of it.

    A place in a list counts from 0 in the file's own order: ``source[3].phantom_ma`` is in the fourth source.
    """

    path: str
    expected: str = ""
    came: str = ""
    said: str = ""

    def say(self) -> str:
        """The fault with its place in front."""
        place = f"{self.path}: " if self.path else ""
        return place + (self.said or f"expected {self.expected}; found {self.came}.")


class NotReadable(Exception):  # noqa: N818 - named for what it says, and caught by that name
    """A file or document that cannot be read. ``faults`` holds every fault, in the file's order."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(fault.say() for fault in self.faults))


BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")


def path_of(steps: Iterable[str | int]) -> str:
    """The steps from the top of a document: names joined by dots, places in a list in brackets."""
    path = ""
    for step in steps:
        if isinstance(step, int):
            path += f"[{step}]"
            continue
        name = step if BARE_KEY.fullmatch(step) else f'"{_short(step)}"'
        path += f".{name}" if path else name
    return path


def came(value: object) -> str:  # noqa: PLR0911 - one line per kind of value
    """What stands in the file, in words; long texts are cut."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return f"the number {_short(_digits(value))}"
    if isinstance(value, str):
        return f'the text "{_short(value)}"' if value else "an empty text"
    if isinstance(value, Mapping):
        return "a table"
    if isinstance(value, list | tuple):
        return f"a list of {len(value)}"
    if isinstance(value, dt.date | dt.time):
        return f"the date or time {value}"
    return "something else"


def nearest(name: str, known: Iterable[str]) -> str:
    """The known name that looks most like this one, or an empty text."""
    by_lower = {one.casefold(): one for one in known}
    close = get_close_matches(name.casefold(), by_lower, n=1, cutoff=0.6)
    return by_lower[close[0]] if close else ""


def _digits(value: float) -> str:
    # Python refuses to print whole numbers of more than 4,300 digits; nobody needs to read one.
    return "of more than 40 digits" if abs(value) >= 10**40 and isinstance(value, int) else str(value)


def _short(text: str, longest: int = 40) -> str:
    shown = "".join(letter if letter.isprintable() else "\N{REPLACEMENT CHARACTER}" for letter in text[: longest + 1])
    return shown if len(shown) <= longest else shown[: longest - 1] + "…"
