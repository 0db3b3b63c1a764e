"""The first sheet of a workbook (XLSX) as rows of texts, read so that no file can hurt.

A workbook is a ZIP archive of XML parts. It is looked at before any library reads it: how many parts, how much they
declare, how much they really inflate to; names and paths mean nothing here. Only the parts that a sheet needs go on,
none with a document type, so no entity is ever expanded.
"""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from collections.abc import Iterator
from datetime import date, datetime, time
from itertools import islice, zip_longest

from portal.exchange.band_list.pasted_rows import MOST_LINES
from portal.exchange.faults import Fault, NotReadable
from portal.exchange.files import MOST_BYTES

# OWASP ASVS 5.0, 5.2.3: uncompressed size and number of files are checked before a compressed file is opened; the
# numbers are this project's own.
MOST_PARTS = 200
MOST_DECLARED = 40_000_000
MOST_INFLATED = 8_000_000
MOST_CELLS = 100_000
"""A list of inputs has some thousand cells; a sheet with more is none."""
WIDEST = 1024
"""Columns that are looked at; the reader of the rows says how many of them may hold something."""

CHUNK = 65_536
SYMLINK, KIND_OF_FILE = 0o120000, 0o170000
"""Unix kinds of file in the upper half of an entry's attributes (zip format, appendix; from memory, not verified)."""
ENCRYPTED = 0x1

NEEDED = re.compile(
    r"\[Content_Types\]\.xml|_rels/\.rels|xl/(_rels/)?workbook\.xml(\.rels)?|xl/sharedStrings\.xml|xl/styles\.xml|xl/worksheets/[^/]+\.xml"
)
DOCUMENT_TYPE = re.compile(rb"<!\s*(DOCTYPE|ENTITY)", re.IGNORECASE)
CELL = re.compile(rb"<(?:\w+:)?c[\s/>]")
FAR = re.compile(rb'\sr="([A-Za-z]{3,})[0-9]+"')
FORMULA = re.compile(rb"<(?:\w+:)?f[\s/>]")


def is_workbook(content: bytes) -> bool:
    """True for what begins as a ZIP archive does, whatever its name says."""
    return content.startswith((b"PK\x03\x04", b"PK\x05\x06"))


def read_workbook(content: bytes) -> tuple[tuple[str, ...], ...]:
    """The rows of the first sheet, values only. Raises ``NotReadable`` with one sentence."""
    if len(content) > MOST_BYTES:
        raise _refused("a file of at most 2 MB", "a larger one")
    parts = _parts(content)
    sheets = [part for name, part in parts.items() if name.startswith("xl/worksheets/")]
    if "xl/workbook.xml" not in parts or not sheets:
        raise _refused("a workbook (XLSX) with a sheet", "a ZIP archive without one")
    for part in sheets:
        if sum(1 for _ in CELL.finditer(part)) > MOST_CELLS:
            raise _refused(f"a sheet of at most {MOST_CELLS:,} cells", "a larger one")
        if any(_column(found[1]) > WIDEST for found in FAR.finditer(part)):
            raise _refused(f"at most {WIDEST} columns", "a cell far to the right of them")
    clean = _packed(parts)
    rows = tuple(_rows(clean, values=True))
    if any(FORMULA.search(part) for part in sheets):
        _check_formulas(rows, clean)
    return rows


def _parts(content: bytes) -> dict[str, bytes]:
    """The parts that a sheet needs, by name. Raises ``NotReadable``."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            parts: dict[str, bytes] = {}
            for entry in _needed(archive.infolist()):
                parts[entry.filename] = _inflated(archive, entry, MOST_INFLATED - sum(map(len, parts.values())))
            return parts
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError, OSError) as error:
        raise _refused("a workbook (XLSX) that is whole", "a damaged one") from error


def _needed(entries: list[zipfile.ZipInfo]) -> list[zipfile.ZipInfo]:
    """The entries that a sheet needs. Raises ``NotReadable`` for an archive that is made to hurt, by what it says of
    itself.
    """
    needed = [entry for entry in entries if NEEDED.fullmatch(entry.filename)]
    if len(entries) > MOST_PARTS:
        raise _refused(f"a workbook of at most {MOST_PARTS} parts", f"{len(entries):,} parts")
    if sum(entry.file_size for entry in entries) > MOST_DECLARED:
        raise _refused(f"a workbook of at most {MOST_DECLARED // 1_000_000} MB when unpacked", "a larger one")
    if any(entry.flag_bits & ENCRYPTED for entry in entries):
        raise _refused("a workbook without a password", "one that is locked")
    if any((entry.external_attr >> 16) & KIND_OF_FILE == SYMLINK for entry in entries):
        raise _refused("a workbook", "an archive with links to other files")
    if len({entry.filename for entry in needed}) < len(needed):
        raise _refused("each part of the workbook once", "a part that comes twice")
    return needed


def _inflated(archive: zipfile.ZipFile, entry: zipfile.ZipInfo, most: int) -> bytes:
    """One part, never more than ``most`` bytes, whatever its header says. Raises ``NotReadable``."""
    held = bytearray()
    with archive.open(entry) as stream:
        while chunk := stream.read(CHUNK):
            held += chunk
            if len(held) > most:
                raise _refused(f"a workbook of at most {MOST_INFLATED // 1_000_000} MB when unpacked", "a larger one")
    part = bytes(held)
    # A part in another encoding could hide a document type from the search.
    if b"\0" in part or DOCUMENT_TYPE.search(part):
        raise _refused("a workbook without document types", "one with a document type")
    return part


def _packed(parts: dict[str, bytes]) -> bytes:
    """The parts as an archive of our own making, for the library to read."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        for name, part in parts.items():
            archive.writestr(name, part)
    return file.getvalue()


def _rows(clean: bytes, *, values: bool) -> Iterator[tuple[str, ...]]:
    from openpyxl import load_workbook

    try:
        book = load_workbook(io.BytesIO(clean), read_only=True, data_only=values, keep_links=False)
        sheet = book.worksheets[0]
        sheet.reset_dimensions()
        records = list(islice(sheet.iter_rows(max_col=WIDEST, values_only=True), MOST_LINES + 1))
    except Exception as error:
        raise _refused("a workbook (XLSX) that is whole", "a damaged one") from error
    if len(records) > MOST_LINES:
        raise _refused(f"at most {MOST_LINES} rows, empty ones counted", "more")
    return (_without_tail(tuple(_text(value) for value in row)) for row in records)


def _check_formulas(rows: tuple[tuple[str, ...], ...], clean: bytes) -> None:
    """Raises ``NotReadable`` where a formula has no result in the file: what it would say cannot be known."""
    for number, (row, formulas) in enumerate(zip(rows, _rows(clean, values=False), strict=False), start=1):
        for cell, formula in zip_longest(row, formulas, fillvalue=""):
            if formula.startswith("=") and not cell:
                raise _refused(
                    "values, or formulas with their results (save the file in the spreadsheet once)",
                    f"a formula without one in row {number}",
                )


def _text(value: object) -> str:
    """A cell as its text; whole numbers without a fraction."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    return str(value)


def _without_tail(row: tuple[str, ...]) -> tuple[str, ...]:
    length = max((at for at, cell in enumerate(row, start=1) if cell.strip()), default=0)
    return row[:length]


def _column(letters: bytes) -> int:
    """The number of a column, from 1."""
    number = 0
    for letter in letters.upper()[:8]:
        number = number * 26 + letter - ord("A") + 1
    return number


def _refused(expected: str, found: str) -> NotReadable:
    return NotReadable([Fault("", expected, found)])
