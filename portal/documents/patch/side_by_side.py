"""What stands side by side on the patch sheet's second page: each two as wide as makes them about equally high."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil

from portal.documents.patch.patch_columns import WIDTH_MM, width_mm

SHARES = range(50, 72, 3)
"""What the steps may take of the width, in per cent."""

BULLET_MM = 7.8
"""What stands before each item, and the white beside it."""

NUMBER_MM = 20.0
"""The column of numbers in the cut list."""


def steps_share(steps: Iterable[str], cautions: Iterable[str]) -> int:
    """The steps' share of the width beside the cautions, in per cent, that makes the higher of the two lowest."""
    mm = [[width_mm(text) for text in texts] for texts in (steps, cautions)]

    def height(share: int) -> int:
        widths = (WIDTH_MM * share / 100, WIDTH_MM * (100 - share) / 100)
        return max(sum(_lines(one, room - BULLET_MM) for one in texts) for texts, room in zip(mm, widths, strict=True))

    return min(SHARES, key=height)


def cuts_beside(cuts: Iterable[str], others: Iterable[str]) -> bool:
    """Whether the cut list is better beside the other texts, each under its heading, than above them."""
    mm, half = [width_mm(text) for text in cuts], WIDTH_MM / 2 - BULLET_MM
    texts = [_lines(width_mm(text), half) + 1 for text in others if text]
    if not texts:
        return False
    above = sum(_lines(one, WIDTH_MM - NUMBER_MM) for one in mm) + max(texts) + 1
    return max(sum(_lines(one, half - NUMBER_MM) for one in mm) + 1, sum(texts)) < above


def _lines(mm: float, room_mm: float) -> int:
    return max(1, ceil(mm / room_mm))
