"""How much of one page is left to the drawing, once the tables below it have theirs."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil

from portal.documents.labels.label_text import width_em
from portal.documents.stage.stage_rows import DropRow, LoomRow, PersonRow

PAGE_MM = 260.0
"""Height between the margins of Letter, the shorter of the two sizes."""

WIDTH_MM = 198.0
"""Width of the drawing at most: upright A4 between its margins."""

MOST_MM = 168.0
"""Height of the drawing at most: a deeper stage is drawn smaller."""

LEAST_MM = 84.0
"""Height of the drawing at least: with more people than that leaves room for, their table goes on on a second page."""

LINE_MM, RULE_MM, HEADING_MM = 3.3, 0.6, 4.7
"""Height of a line, of what parts two rows, and of a heading."""

HEADER_MM = 30.0
"""Height of the title block with times and rack, and of the white around the drawing."""

TYPE_MM = 9 * 25.4 / 72

PERSON_MM = (48.0, 52.0, 22.0, 40.0)
"""What the columns behind the player's name have: place, sources, what is heard by, cable."""


def room_mm(
    looms: tuple[LoomRow, ...], people: tuple[PersonRow, ...], drops: tuple[DropRow, ...], texts: Iterable[str]
) -> float:
    """Height that is left to the drawing, in mm."""
    below = sum(_lines(text, WIDTH_MM) * LINE_MM for text in texts)
    if looms:
        below += HEADING_MM + 2 * LINE_MM + len(looms) * (LINE_MM + 2 * RULE_MM)
    if people:
        below += HEADING_MM + LINE_MM + sum(map(_person_mm, people))
    if drops:
        below += HEADING_MM + 2 * LINE_MM + ceil(len(drops) / 2) * (LINE_MM + 2 * RULE_MM)
    return min(MOST_MM, max(LEAST_MM, PAGE_MM - HEADER_MM - below))


def _person_mm(row: PersonRow) -> float:
    cells = (row.place, row.sources, row.hears, row.to_rack)
    lines = max(_lines(text, room) for text, room in zip(cells, PERSON_MM, strict=True))
    return lines * LINE_MM + RULE_MM


def _lines(text: str, wide_mm: float) -> int:
    return ceil(width_em(text) * TYPE_MM / wide_mm)
