"""How high the rows of the stage box's table stand, and where their notes go for it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil

from portal.documents.patch.patch_columns import BoxTable
from portal.documents.patch.patch_rows import PatchRow
from portal.wording.catalogue import look_up, mark

ROOM_MM = 188.0
"""Height for the rows on the first page, on the shorter of the two sizes of paper."""

BELOW = mark("see notes")
"""Stands in a row whose notes stand after the table."""

ROW_MM, UNDER_MM = 6.2, 4.4
"""Height of a row, and of each line of what hangs under it."""

UNDER_SIGNS = 110
"""Signs on a line under a row, at least."""


@dataclass(frozen=True)
class Below:
    """A note of a row, printed after the table."""

    channel: str
    text: str


def placed(box: BoxTable) -> tuple[BoxTable, tuple[Below, ...]]:
    """The table with its notes under their rows; where the first page has no room for that, the notes by themselves."""
    if height(box.rows) <= ROOM_MM:
        return box, ()
    below = tuple(Below(row.channel, " · ".join(row.under)) for row in box.rows if row.under)
    rows = tuple(
        replace(row, note=" · ".join(filter(None, (row.note, look_up(BELOW)))), under=()) if row.under else row
        for row in box.rows
    )
    return replace(box, rows=rows), below


def height(rows: tuple[PatchRow, ...]) -> float:
    """How high the rows stand, in mm."""
    under = (ceil(len(" · ".join(row.under)) / UNDER_SIGNS) for row in rows)
    return len(rows) * ROW_MM + sum(under) * UNDER_MM
