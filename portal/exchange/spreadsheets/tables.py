"""Rows of texts and numbers as CSV or as a workbook.

CSV: RFC 4180 with every cell quoted and a byte order mark, by which spreadsheets know UTF-8. A text that a spreadsheet
could take for a formula begins with an apostrophe. A column of numbers holds bare numbers and empty cells only, so it
needs no guard.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Collection, Sequence

from portal.exchange.spreadsheets.source_columns import guarded

Cell = str | int | None

LONGEST_CELL = 32_767
"""Characters that one cell of a workbook holds (ISO/IEC 29500; from memory, not verified)."""

LONGEST_TITLE = 31
"""Characters of a workbook's tab (common practice, no source)."""


def csv_bytes(heads: Sequence[str], numbers: Collection[str], rows: Sequence[Sequence[Cell]]) -> bytes:
    """The rows as CSV. Raises ``TypeError`` where a column of ``numbers`` holds a text, or another column a number."""
    file = io.StringIO()
    writer = csv.writer(file, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    writer.writerow(heads)
    for row in rows:
        writer.writerow(_written(head, cell, numbers) for head, cell in zip(heads, row, strict=True))
    return file.getvalue().encode("utf-8-sig")


def xlsx_bytes(title: str, heads: Sequence[str], numbers: Collection[str], rows: Sequence[Sequence[Cell]]) -> bytes:
    """The rows as a workbook of one sheet: texts are text cells, never formulas; the head stays in sight. Raises
    ``TypeError`` as ``csv_bytes``.
    """
    from openpyxl import Workbook
    from openpyxl.cell import Cell as BookCell
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter

    book = Workbook()
    sheet = book.create_sheet(title[:LONGEST_TITLE], 0)
    del book[book.sheetnames[1]]
    for row, record in enumerate([heads, *rows], start=1):
        for column, (head, cell) in enumerate(zip(heads, record, strict=True), start=1):
            if row > 1:
                _written(head, cell, numbers)
            if cell in (None, ""):
                continue
            place = sheet.cell(row, column)
            assert isinstance(place, BookCell)  # noqa: S101 - no cells are merged
            place.value = cell[:LONGEST_CELL] if isinstance(cell, str) else cell
            if isinstance(cell, str):
                # The library takes a text that begins with an equals sign for a formula.
                place.data_type = "s"
            if row == 1:
                place.font = Font(bold=True)
    sheet.freeze_panes = "A2"
    for column, head in enumerate(heads, start=1):
        widest = max([len(head), *(len(str(record[column - 1] or "")) for record in rows)])
        sheet.column_dimensions[get_column_letter(column)].width = min(max(widest + 2, 8), 50)
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def _written(head: str, cell: Cell, numbers: Collection[str]) -> str:
    if cell is None:
        return ""
    if (head in numbers) != isinstance(cell, int):
        raise TypeError(f"{head}: {cell!r} is not of its column's kind")
    return str(cell) if isinstance(cell, int) else guarded(cell)
