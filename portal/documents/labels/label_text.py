"""Texts made to fit a label: measured in the typeface that prints them, made smaller to a floor, then abbreviated with
a key.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache
from itertools import chain

from portal.documents.rendering.printed import ELLIPSIS
from portal.places import STATIC

FONTS = STATIC / "fonts"

FLOOR_MM = 9 * 25.4 / 72
"""No type is smaller than 9 points, as on every other paper."""

LINE = 1.2
"""Height of a line as a multiple of its type."""

STRANGE_EM = 1.4
"""Width allowed for a letter that the typeface lacks: the widest of the fall-back typeface, with room to spare."""

SAFE = 1.02
"""Measured widths are taken a little wider: kerning is not looked at."""

WORD_CUTS = (6, 5, 4, 3, 2)
"""Letters that are kept of each word, tried in this order."""


@cache
def _widths() -> dict[int, float]:
    """Code point -> width in em, in the bold cut, for every letter that the packaged typeface has."""
    from fontTools.ttLib import TTFont

    found: dict[int, float] = {}
    for name in ("latin-ext", "latin"):
        with TTFont(FONTS / f"atkinson-hyperlegible-next-{name}-700-normal.woff2", lazy=True) as font:
            advances, em = font["hmtx"].metrics, font["head"].unitsPerEm
            found |= {code: advances[glyph][0] / em for code, glyph in font.getBestCmap().items()}
    return found


def width_em(text: str) -> float:
    """Width of the text in bold type, in em, never less than it is printed."""
    return sum(_letter(char) for char in text) * SAFE


def _letter(char: str) -> float:
    width = _widths().get(ord(char))
    if width is None:
        return 0.0 if unicodedata.combining(char) else STRANGE_EM
    return width


@dataclass(frozen=True)
class Fitted:
    """A text and the size of its type in millimetres."""

    text: str
    size_mm: float


@dataclass
class Fitting:
    """Fits texts into widths and remembers every abbreviation: within one print run a short form means one text
    only.
    """

    shortened: dict[str, str] = field(default_factory=dict)

    def __call__(
        self, text: str, width_mm: float, largest_mm: float, short: str = "", *, from_the_end: bool = False
    ) -> Fitted:
        """The text as large as it fits; below the floor of the type its short form, ``short`` first if that fits.
        ``from_the_end``: it loses its last words whole, as what matters most stands first.
        """
        size = min(largest_mm, width_mm / max(width_em(text), 0.01))
        if size >= FLOOR_MM:
            return Fitted(text, size)

        def fits(form: str) -> bool:
            return width_em(form) * FLOOR_MM <= width_mm and self.shortened.get(form, text) == text

        forms = chain(_fewer_words(text) if from_the_end else (), _short_forms(text, short))
        form = next(filter(fits, forms), "") or self._numbered(text, width_mm, fits)
        self.shortened[form] = text
        return Fitted(form, min(largest_mm, width_mm / max(width_em(form), 0.01)))

    def _numbered(self, text: str, width_mm: float, fits: Callable[[str], bool]) -> str:
        """The beginning of the text and a number, where every plain short form already means another text."""
        for number in range(2, 1000):
            for kept in range(min(len(text), int(width_mm)), -1, -1):
                form = f"{text[:kept].rstrip()}{ELLIPSIS}{number}"
                if fits(form):
                    return form
        return ELLIPSIS


def _fewer_words(text: str) -> Iterator[str]:
    words = text.split()
    for kept in range(len(words) - 1, 0, -1):
        yield " ".join(words[:kept]).rstrip("· ") + ELLIPSIS


def _short_forms(text: str, short: str) -> Iterator[str]:
    if short and short != text:
        yield short
    words = text.split()
    for cut in WORD_CUTS:
        yield " ".join(word[:cut] for word in words)
    for kept in range(len(text) - 1, 1, -1):
        yield text[:kept].rstrip() + ELLIPSIS
