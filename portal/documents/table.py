"""A document as rows for a spreadsheet."""

from __future__ import annotations

from dataclasses import dataclass

Cell = str | int | None
"""A text, a whole number, or nothing."""


@dataclass(frozen=True)
class Table:
    """Heads and rows. A column whose head is in ``numbers`` holds whole numbers and empty cells only; every other
    column holds texts.
    """

    title: str
    heads: tuple[str, ...]
    numbers: frozenset[str]
    rows: tuple[tuple[Cell, ...], ...]
