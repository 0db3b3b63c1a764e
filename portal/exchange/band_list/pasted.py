"""Rows out of what people paste: columns of a spreadsheet, a numbered list, or the text of an old rider.

Nothing is lost: whatever is not taken for a row is handed back as a heading, where it surely is one, or as set aside.
"""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import groupby

from portal.exchange.band_list.columns import field_of, is_head
from portal.exchange.band_list.pasted_cells import sort_table, tidy
from portal.exchange.band_list.pasted_lines import FEWEST, aligned, at_columns, one_cell_a_line, sort_lines
from portal.exchange.band_list.pasted_rows import LONGEST_LINE, MOST_LINES, Pasted
from portal.exchange.band_list.sorting import Sorter
from portal.exchange.faults import Fault, NotReadable
from portal.exchange.files import MOST_BYTES

Fields = Sequence[str] | None


def decoded(content: bytes) -> str:
    """The text of a file: UTF-8, or UTF-16 with a byte order mark. Raises ``NotReadable``."""
    if len(content) > MOST_BYTES:
        raise NotReadable([Fault("", "a file of at most 2 MB", "a larger one")])
    wide = content.startswith((b"\xff\xfe", b"\xfe\xff"))
    try:
        text = content.decode("utf-16" if wide else "utf-8-sig")
    except UnicodeDecodeError:
        raise NotReadable([Fault("", "text in UTF-8, or a workbook (XLSX)", "other bytes")]) from None
    if "\0" in text:
        raise NotReadable([Fault("", "text", "bytes that are no text")])
    return text


def read_text(text: str, fields: Fields = None) -> Pasted:
    """The rows in a pasted text. ``fields``: what its columns hold, where that is known. Raises ``NotReadable`` where
    there are too many, or one is too long.
    """
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    lines = text.split("\n")
    if len(lines) > MOST_LINES:
        raise NotReadable([Fault("", f"at most {MOST_LINES} lines", f"{len(lines)} lines")])
    longest = max(map(len, lines))
    if longest > LONGEST_LINE:
        raise NotReadable([Fault("", f"lines of at most {LONGEST_LINE} characters", f"one of {longest}")])
    delimiter = _delimiter(lines)
    if delimiter:
        return read_cells(_records(text, delimiter), fields)
    found = Sorter()
    _sort(lines, found, fields)
    if not found.rows:
        # Better a sentence that names a source among the rows to settle than no row.
        found = Sorter(lenient=True)
        _sort(lines, found, fields)
    return found.done()


def read_cells(records: Iterable[Sequence[str]], fields: Fields = None) -> Pasted:
    """The rows in the cells of a table, with ``fields`` as in ``read_text``. Raises ``NotReadable`` where there are too
    many rows or columns.
    """
    found = Sorter()
    sort_table(tidy(list(enumerate(records, start=1))), found, fields)
    return found.done()


def _delimiter(lines: Sequence[str]) -> str:
    """What parts the columns, empty where the text has none: most lines with a sign have it, a comma as often in
    each.
    """
    full = [line for line in lines if line.strip()]
    for delimiter in ("\t", ";", "|"):
        having = sum(delimiter in line.strip() for line in full)
        if having and having * 2 >= len(full):
            return delimiter
    counts = Counter(line.count(",") for line in full)
    most, times = counts.most_common(1)[0] if counts else (0, 0)
    return "," if most and times > 1 and times * 3 >= len(full) * 2 and _columned(full) else ""


def _columned(lines: Sequence[str]) -> bool:
    """True where commas part columns and not the items of a sentence: the first line names columns, or every line
    begins with a number or a comma.
    """
    fields = [field_of(cell) for cell in lines[0].split(",")[:FEW_HEADS]]
    if "label" in fields and sum(field is not None for field in fields) > 1:
        return True
    return all(re.match(r'\s*"?\d*"?\s*,', line) for line in lines)


FEW_HEADS = 100


def _records(text: str, delimiter: str) -> list[list[str]]:
    if delimiter == "|":
        return [
            [] if re.fullmatch(r"[\s|:+-]*", line) else line.strip().strip("|").split("|") for line in text.split("\n")
        ]
    try:
        return list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True))
    except csv.Error:
        # An inch sign or a single quotation mark is no quoting: then every line is a record as it stands.
        return [line.split(delimiter) for line in text.split("\n")]


def _sort(lines: Sequence[str], found: Sorter, fields: Fields) -> None:
    """Sort a text: a table that was pasted one cell a line, or lines with tables among them."""
    gathered = one_cell_a_line(lines)
    if gathered:
        first, after, records = gathered
        sort_lines(list(enumerate(lines[: first - 1], start=1)), found)
        sort_table(tidy(records), found, fields)
        sort_lines(list(enumerate(lines[after - 1 :], start=after)), found)
        return
    full = [(at, line) for at, line in enumerate(lines, start=1) if line.strip()]
    sign, least = _minor_delimiter(lines)
    columns = [] if sign else aligned(full)
    # Beside a table, a line of text is no row.
    found.numbered = bool(sign or columns)
    split = [(at, line, _cells(line, sign, least, columns)) for at, line in full]
    for tabular, block in groupby(split, key=lambda line: line[2] is not None):
        if tabular:
            sort_table(tidy([(at, cells or []) for at, _, cells in block]), found, fields)
        else:
            sort_lines([(at, line) for at, line, _ in block], found)


def _minor_delimiter(lines: Sequence[str]) -> tuple[str, int]:
    """What parts the columns of a table that stands in a longer text, and how often at least in each line of it; empty
    where there is no table.
    """
    for sign in ("\t", "|", ";"):
        if sum(sign in line.strip() for line in lines) >= FEWEST:
            return sign, 1
    # A comma parts columns only below a line of headings.
    head = next((line for line in lines if line.count(",") > 1 and is_head(line.split(","))), "")
    return (
        (",", head.count(","))
        if head and sum(line.count(",") >= head.count(",") for line in lines) >= FEWEST
        else ("", 0)
    )


def _cells(text: str, sign: str, least: int, columns: Sequence[int]) -> list[str] | None:
    """The cells of a line of a table, ``None`` for a line of text."""
    if sign == ",":
        return next(csv.reader([text]), []) if text.count(",") >= least else None
    if sign:
        return text.strip().strip("|").split(sign) if sign in text.strip() else None
    cells = at_columns(text, columns) if columns else []
    return cells if sum(map(bool, cells)) > 1 else None
