"""The number of a tail in two bands of colour, tens then units: always beside the printed number, never in its
place.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Colour:
    """One digit's colour: its letter code (IEC 60757), and how it is painted.

    The standards name colours and fix no shade; the paint is the project's own choice.
    """

    code: str
    paint: str


DIGITS = (
    Colour("BK", "#000000"),
    Colour("BN", "#7a4a1e"),
    Colour("RD", "#c8102e"),
    Colour("OG", "#f08020"),
    Colour("YE", "#ffd900"),
    Colour("GN", "#12873b"),
    Colour("BU", "#1c57a5"),
    Colour("VT", "#6f3a96"),
    Colour("GY", "#8c8c8c"),
    Colour("WH", "#ffffff"),
)
"""Digit -> colour: IEC 60062, clause 3."""

RESERVED = frozenset({45, 54})
"""Green beside yellow is kept for protective earth (IEC 60757, clause 5.1; IEC 60445): these numbers stand without
colours.
"""

MOST = 99
"""Two bands reach so far; a higher number stands without colours."""


def bands(number: int) -> tuple[Colour, Colour] | None:
    """The colours of tens and units; ``None`` where the number stands alone."""
    if not 0 <= number <= MOST or number in RESERVED:
        return None
    return DIGITS[number // 10], DIGITS[number % 10]
