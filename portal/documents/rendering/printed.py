"""What people typed, made fit to print: no control characters, one line, a known longest length."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

from portal.plan.phrase import Said
from portal.wording.plan.saying import say

ELLIPSIS = "…"

_JOINERS = "\u200c\u200d"
"""Needed inside Persian words and compound emoji; every other format character (direction overrides above all) goes."""

_UNPRINTABLE = frozenset({"Cc", "Cf", "Cs", "Co", "Cn"})
_STACKED_MARKS = re.compile(
    r"([\u0300-\u036f\u0483-\u0489\u1ab0-\u1aff\u1dc0-\u1dff\u20d0-\u20ff]{2})[\u0300-\u036f\u0483-\u0489\u1ab0-\u1aff\u1dc0-\u1dff\u20d0-\u20ff]+"
)


def clean(text: str) -> str:
    """One printable line: white space runs become one space, unprintable characters go, at most two marks stack on a
    letter.
    """
    kept = (
        " " if char.isspace() else char
        for char in unicodedata.normalize("NFC", text)
        if char.isspace() or char in _JOINERS or unicodedata.category(char) not in _UNPRINTABLE
    )
    return _STACKED_MARKS.sub(r"\1", " ".join("".join(kept).split()))


class Printed:
    """Cleans texts and remembers which of them were shortened, so that the sheet can say so."""

    def __init__(self) -> None:
        self.shortened: list[str] = []

    def __call__(self, said: Said, longest: int, what: str) -> str:
        """What is said, as it is printed, at most ``longest`` characters. ``what`` names it for the list of shortened
        texts.
        """
        text = said if isinstance(said, str) else say(said)
        # Cleaning is linear but slow; a text far beyond the limit is cut before it is read through.
        printed = clean(text[: longest * 8])
        if len(printed) <= longest and len(text) <= longest * 8:
            return printed
        if what not in self.shortened:
            self.shortened.append(what)
        return printed[: longest - 1].rstrip() + ELLIPSIS


_BEFORE_A_NUMBER = re.compile(r"(?<=\bway) (?=\d)")
_BEFORE_A_UNIT = re.compile(r"(?<=\d) (?=(?:m|dB|V)\b)")


_RUNS = re.compile(r"\b(?:inputs|channels|outputs|ways|lines) (?:[A-Z] )?\d[\d, -]*")


def typeset(text: str) -> str:
    """The text with runs of numbers as ``ranges`` joins them, no line of it ending between a way and its number or
    between a number and its unit.
    """
    text = _RUNS.sub(lambda run: re.sub(r"(?<=\d)-(?=\d)", "–", run[0]), text)
    return _BEFORE_A_UNIT.sub("\u00a0", _BEFORE_A_NUMBER.sub("\u00a0", text))


def ranges(numbers: Iterable[int]) -> str:
    """Numbers in ascending order with runs joined: 1, 2, 3, 7 -> "1–3, 7"."""
    runs: list[list[int]] = []
    for number in sorted(set(numbers)):
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(str(first) if first == last else f"{first}–{last}" for first, last in runs)
