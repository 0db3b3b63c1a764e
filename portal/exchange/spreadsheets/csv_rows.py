"""Sources as rows of a spreadsheet: CSV or TSV in and out.

In: UTF-8, or UTF-16 with a byte order mark; quoting as in RFC 4180; fields parted by comma, semicolon or tab; a header
row whose names are taken tolerantly. Other rows are named by label or key. Outer blanks of a cell do not count. Nothing
is taken over while any cell has a fault.

Out: the same columns, every cell quoted. A cell that a spreadsheet could take for a formula begins with an apostrophe,
which reading takes away again; numbers stay bare numbers.
"""

from __future__ import annotations

import csv
import io
import re
import secrets
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import islice, zip_longest

from portal.exchange.checking import from_document
from portal.exchange.faults import NotReadable, came, nearest
from portal.exchange.files import MOST_BYTES
from portal.exchange.spreadsheets.source_columns import (
    COLUMNS,
    HEADINGS,
    LEAD_VOCAL,
    Column,
    UnreadableCell,
    guarded,
    plain_heading,
    read_cell,
    read_names,
    unguarded,
    write_cell,
    write_names,
)
from portal.plan.input.rig import MAX_SOURCES, Source
from portal.plan.signed.serialization import Json

DELIMITERS = (",", ";", "\t")

HEADING_OF = {column.name: column.heading for column in COLUMNS}

MOST_COLUMNS = 100
"""More than twice the columns there are; a file with more is no list of sources."""

MOST_RECORDS = 2000
"""Rows that are looked at, empty ones counted: sheets often carry a tail of empty rows."""

Row = Mapping[Column, str]
"""The cells of one row that are not empty."""


@dataclass(frozen=True)
class RowFault:
    """One fault: the row as a spreadsheet counts it (the header is row 1; ``None``: the whole file), the heading, what
    was expected, what came.
    """

    row: int | None
    column: str
    expected: str
    came: str

    def say(self) -> str:
        """The fault as one sentence."""
        place = ", ".join(part for part in (f"row {self.row}" if self.row else "", self.column) if part)
        return (
            f"{place}: expected {self.expected}; found {self.came}."
            if place
            else f"Expected {self.expected}; found {self.came}."
        )


class RowsNotReadable(Exception):  # noqa: N818 - named for what it says, and caught by that name
    """Rows that cannot be taken over. ``faults`` holds every fault, from top to bottom."""

    def __init__(self, faults: Sequence[RowFault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(fault.say() for fault in self.faults))


def new_source_key() -> str:
    """A random key for a new row."""
    return f"s-{secrets.token_hex(6)}"


def read_sources(content: bytes, new_key: Callable[[], str] = new_source_key) -> tuple[Source, ...]:
    """The sources in a CSV or TSV file. Raises ``RowsNotReadable`` with every fault; then nothing was taken over."""
    records = _records(_text(content))
    header, *body = records or [[]]
    faults: list[RowFault] = []
    columns = _columns(header, faults)
    rows = [
        (number, _cells(number, record, header, columns, faults))
        for number, record in enumerate(body, start=2)
        if any(map(str.strip, record))
    ]
    if len(rows) > MAX_SOURCES:
        raise RowsNotReadable([RowFault(None, "", f"at most {MAX_SOURCES} rows", f"{len(rows)} rows")])
    book = _Book.of([row for _, row in rows], new_key)
    sources = [_source(number, place, row, book, faults) for place, (number, row) in enumerate(rows)]
    if faults:
        raise RowsNotReadable(sorted(faults, key=lambda fault: fault.row or 0))
    return tuple(source for source in sources if source is not None)


def has_own_columns(content: bytes) -> bool:
    """True for a table that ``names_own_columns`` in its first row; only such rows are sources as they stand."""
    try:
        text = _text(content)
    except RowsNotReadable:
        return False
    first = re.split(r"[\r\n]", text, maxsplit=1)[0]
    return any(names_own_columns(_split(first, delimiter)) for delimiter in DELIMITERS)


def names_own_columns(headings: Sequence[str]) -> bool:
    """True where every heading is known, and the label and the kind of source are among them."""
    plain = [plain_heading(unguarded(heading.strip())) for heading in headings if heading.strip()]
    return all(name in HEADINGS for name in plain) and {"label", "what"} <= {HEADINGS[name].name for name in plain}


def write_sources(sources: Sequence[Source]) -> bytes:
    """The sources as a CSV file, with a byte order mark by which spreadsheets know UTF-8."""
    book = _Book(tuple(source.key for source in sources), tuple(source.label for source in sources))
    file = io.StringIO()
    writer = csv.writer(file, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    writer.writerow(column.heading for column in COLUMNS)
    for place, source in enumerate(sources):
        writer.writerow(_written(column, source, place, book) for column in COLUMNS)
    return file.getvalue().encode("utf-8-sig")


@dataclass(frozen=True)
class _Book:
    """Keys and labels of all rows: by these one row names another."""

    keys: tuple[str, ...]
    labels: tuple[str, ...]

    @classmethod
    def of(cls, rows: Sequence[Row], new_key: Callable[[], str]) -> _Book:
        """The book of rows that were read; a row without a key gets a new one."""
        label, key = HEADINGS["label"], HEADINGS["key"]
        return cls(tuple(row.get(key) or new_key() for row in rows), tuple(row.get(label, "") for row in rows))

    def key_of(self, name: str, place: int) -> str:
        """The key of the row that the row at ``place`` calls by this name. Raises ``UnreadableCell``."""
        if name in self.keys:
            return name
        others = [label if other != place else "" for other, label in enumerate(self.labels)]
        meant = [
            self.keys[other] for other, label in enumerate(others) if label and label.casefold() == name.casefold()
        ]
        if len(meant) == 1:
            return meant[0]
        if meant:
            raise UnreadableCell("a label that only one other row has, or a key")
        close = nearest(name, filter(None, others))
        raise UnreadableCell("the label of another row" + (f', perhaps "{close}"' if close else ""))

    def name_of(self, key: str, place: int) -> str:
        """What the row at ``place`` calls the row of this key: its label where that is enough, else the key itself."""
        label = self.labels[self.keys.index(key)] if key in self.keys else ""
        try:
            return label if label and label == label.strip() and self.key_of(label, place) == key else key
        except UnreadableCell:
            return key


def _text(content: bytes) -> str:
    if len(content) > MOST_BYTES:
        raise RowsNotReadable([RowFault(None, "", "a file of at most 2 MB", "a larger one")])
    wide = content.startswith((b"\xff\xfe", b"\xfe\xff"))
    try:
        return content.decode("utf-16" if wide else "utf-8-sig")
    except UnicodeDecodeError:
        raise RowsNotReadable([RowFault(None, "", "text in UTF-8", "other bytes")]) from None


def _records(text: str) -> list[list[str]]:
    """The fields of every record, parted by the delimiter under which the header has the most known names."""
    first = re.split(r"[\r\n]", text, maxsplit=1)[0]
    delimiter = max(DELIMITERS, key=lambda one: sum(plain_heading(name) in HEADINGS for name in _split(first, one)))
    try:
        records = list(
            islice(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True), MOST_RECORDS + 1)
        )
    except csv.Error as error:
        raise RowsNotReadable([RowFault(None, "", "quoted cells as in RFC 4180", str(error))]) from None
    if len(records) > MOST_RECORDS:
        raise RowsNotReadable([RowFault(None, "", f"at most {MOST_RECORDS} rows, empty ones counted", "more")])
    return records


def _split(line: str, delimiter: str) -> list[str]:
    return [name.strip(' "\r') for name in line.split(delimiter, MOST_COLUMNS)]


def _columns(header: list[str], faults: list[RowFault]) -> list[Column | None]:
    """The column behind each heading. Faults: headings that are unknown, that come twice, or that are missing."""
    if len(header) > MOST_COLUMNS:
        raise RowsNotReadable([RowFault(1, "", f"at most {MOST_COLUMNS} columns", f"{len(header)} columns")])
    columns: list[Column | None] = []
    for heading in header:
        column = HEADINGS.get(plain_heading(unguarded(heading.strip())))
        if column is None and heading.strip():
            close = nearest(heading.strip(), (known.heading for known in COLUMNS))
            expected = "a known heading" + (
                f', perhaps "{close}"' if close else ", such as " + ", ".join(one.heading for one in COLUMNS[:4])
            )
            faults.append(RowFault(1, "", expected, came(heading.strip())))
        elif column is not None and column in columns:
            faults.append(RowFault(1, column.heading, "one column of this heading", "two"))
        columns.append(column)
    if HEADINGS["label"] not in columns:
        faults.append(RowFault(1, "", 'a header row with the heading "Label"', "none"))
    return columns


def _cells(
    number: int, record: list[str], header: list[str], columns: list[Column | None], faults: list[RowFault]
) -> Row:
    """The cells of one record under their columns, guards taken away. What stands under no heading is a fault, told
    once per row.
    """
    row: dict[Column, str] = {}
    stray = ""
    for cell, heading, column in zip_longest(record, header, columns, fillvalue=""):
        text = unguarded(str(cell).strip())
        if text and isinstance(column, Column):
            row[column] = text
        elif text and not str(heading).strip():
            stray = stray or text
    if stray:
        faults.append(RowFault(number, "", "a heading above every cell", f"{came(stray)} without one"))
    return row


def _source(number: int, place: int, row: Row, book: _Book, faults: list[RowFault]) -> Source | None:
    """The source of one row; or nothing, and its faults are added."""
    document: dict[str, Json] = {"key": book.keys[place]}
    found: list[RowFault] = []
    for column, cell in row.items():
        try:
            _put(document, column, _value(column, cell, place, book))
            if column.name == "what" and cell.casefold() == LEAD_VOCAL.casefold():
                document.setdefault("lead", True)
        except UnreadableCell as error:
            found.append(RowFault(number, column.heading, str(error), came(cell)))
    if HEADINGS["label"] not in row:
        found.append(RowFault(number, "Label", "what the band calls it", "an empty cell"))
    if book.keys.count(book.keys[place]) > 1:
        found.append(RowFault(number, "Key", "a key that no other row has", came(book.keys[place])))
    faults += found
    try:
        return from_document(Source, document)
    except NotReadable as error:
        for fault in error.faults:
            heading = _heading(fault.path)
            if all(heading != one.column for one in found):
                faults.append(RowFault(number, heading, fault.expected, fault.came))
        return None


def _heading(path: str) -> str:
    """The heading of the column that a path within a source speaks of."""
    name = re.sub(r"\[(\d+)\]", r".\1", path)
    return HEADING_OF.get(name) or HEADING_OF[name.partition(".")[0]]


def _value(column: Column, cell: str, place: int, book: _Book) -> Json:
    """What a cell says, other rows by their keys. Raises ``UnreadableCell``."""
    if column.name == "never_with":
        return [book.key_of(name, place) for name in read_names(cell)]
    return book.key_of(cell, place) if column.refers else read_cell(column, cell)


def _put(document: dict[str, Json], column: Column, value: Json) -> None:
    """Put a value where the document has it; ``owner.mic`` and ``at_m.0`` lie one level down."""
    outer, _, inner = column.name.partition(".")
    if not inner:
        document[outer] = value
    elif inner.isdecimal():
        pair = document.setdefault(outer, [None, None])
        if isinstance(pair, list):
            pair[int(inner)] = value
    else:
        table = document.setdefault(outer, {})
        if isinstance(table, dict):
            table[inner] = value


def _written(column: Column, source: Source, place: int, book: _Book) -> str:
    outer, _, inner = column.name.partition(".")
    value = getattr(source, outer)
    if inner:
        value = (value[int(inner)] if value else None) if inner.isdecimal() else getattr(value, inner)
    if column.name == "never_with":
        return guarded(write_names(book.name_of(key, place) for key in value))
    return write_cell(column, book.name_of(value, place) if column.refers and value else value)
