"""What is found in a pasted or uploaded list: rows with their cells, headings, and what was set aside. And the limits
of all of it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import NamedTuple

MOST_LINES = 2000
"""Lines or records that are looked at, empty ones counted: sheets often carry a tail of empty rows."""

MOST_COLUMNS = 40
"""Columns of a list of inputs that are looked at; more make no such list."""

LONGEST_LINE = 10_000
"""Signs of a line; a row that fills every column is a fifth of that."""

LONGEST_LABEL = 200
"""Signs of one row that are taken for a label; longer text is prose."""

LONGEST_CELL = 500
"""Signs of a cell beside a label that are kept; the rest of it is shown as cut off."""


class Cell(NamedTuple):
    """A cell beside a label: the field that its column fills (see ``columns.FIELDS``; empty where only its words tell),
    and its text.
    """

    field: str
    text: str


@dataclass(frozen=True)
class PastedRow:
    """One row: its number as written (``9 + 10``), its label as written, what stands in other columns, and the line
    that it came from, from 1.
    """

    number: str
    label: str
    rest: tuple[Cell, ...] = ()
    line: int = 0

    @property
    def channels(self) -> tuple[int, ...]:
        """The first and the last channel number of the row, or each of them; nothing where it has none."""
        return tuple(map(int, re.findall(r"\d{1,3}", self.number)))

    @property
    def numbers(self) -> int | None:
        """How many channel numbers the row has, ``None`` where it has none."""
        return len(numbers_in(self.number)) or None

    @property
    def ways(self) -> int | None:
        """How many splitter ways or mixer inputs the list gives the row, ``None`` where it names none."""
        return len(numbers_in(self.of("way")) or numbers_in(self.of("mixer_input"))) or None

    def of(self, field: str) -> str:
        """What the first cell of this field says, empty where there is none."""
        return next((cell.text for cell in self.rest if cell.field == field), "")


class Column(NamedTuple):
    """A column of a table as it was read: its heading, empty where it has none, the first cell below, and its field."""

    heading: str
    example: str
    field: str


@dataclass(frozen=True)
class Pasted:
    """What was pasted: rows, headings that were passed over, and lines that are no inputs. Every line with a sign is in
    one of the three.

    ``columns``: every column of the first table, in order, as it was read.
    """

    rows: tuple[PastedRow, ...] = ()
    headings: tuple[str, ...] = ()
    aside: tuple[str, ...] = ()
    columns: tuple[Column, ...] = ()


def numbers_in(text: str) -> tuple[int, ...]:
    """The numbers that a text names: one, each of a list (``9 + 10``), all of a range (``9-12``)."""
    found = [int(number) for number in re.findall(r"\d{1,3}", text)]
    ranged = len(found) == 2 and re.search(r"[-–—]|to|bis|à|a|tot|t/m", text)  # noqa: PLR2004 - from and to
    return tuple(range(found[0], found[1] + 1)) or tuple(found[:1]) if ranged else tuple(found)


def cut(cell: str) -> str:
    """The cell as far as it is kept."""
    return cell if len(cell) <= LONGEST_CELL else f"{cell[:LONGEST_CELL]}…"
