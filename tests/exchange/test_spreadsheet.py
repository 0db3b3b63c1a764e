"""Workbooks: the first sheet is read as it stands; whatever could hurt is refused with one sentence, fast and in little
memory.
"""

import io
import json
import re
import struct
import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from openpyxl import Workbook

from portal.exchange.band_list.pasted import read_cells
from portal.exchange.faults import NotReadable
from portal.exchange.spreadsheets.workbook import CHUNK, MOST_CELLS, MOST_INFLATED, is_workbook, read_workbook

MAIN = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
RELS = 'xmlns="http://schemas.openxmlformats.org/package/2006/relationships"'
DOC = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
TYPES = "application/vnd.openxmlformats-officedocument.spreadsheetml"


def a_workbook(*rows: tuple[object, ...], change: Callable[[Workbook], None] | None = None) -> bytes:
    """A workbook of one sheet."""
    book = Workbook()
    for row in rows:
        book.worksheets[0].append(row)
    if change:
        change(book)
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def parts_of(sheet: bytes) -> dict[str, bytes]:
    """The parts of the smallest workbook with this sheet."""
    return {
        "[Content_Types].xml": (
            '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
            '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
            f'<Override PartName="/xl/workbook.xml" ContentType="{TYPES}.sheet.main+xml"/>'
            f'<Override PartName="/xl/worksheets/sheet1.xml" ContentType="{TYPES}.worksheet+xml"/></Types>'.encode()
        ),
        "_rels/.rels": (
            f'<Relationships {RELS}><Relationship Id="r1" Type="{DOC}/officeDocument"'
            ' Target="xl/workbook.xml"/></Relationships>'.encode()
        ),
        "xl/workbook.xml": (
            f'<workbook {MAIN} xmlns:r="{DOC}"><sheets>'
            '<sheet name="1" sheetId="1" r:id="r1"/></sheets></workbook>'.encode()
        ),
        "xl/_rels/workbook.xml.rels": (
            f'<Relationships {RELS}><Relationship Id="r1" Type="{DOC}/worksheet" '
            'Target="worksheets/sheet1.xml"/></Relationships>'.encode()
        ),
        "xl/worksheets/sheet1.xml": sheet,
    }


def zipped(parts: dict[str, bytes]) -> bytes:
    """The parts as an archive."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for name, part in parts.items():
            archive.writestr(name, part)
    return file.getvalue()


def a_sheet(inside: str) -> bytes:
    """A sheet's part with this inside its data."""
    return f"<worksheet {MAIN}><sheetData>{inside}</sheetData></worksheet>".encode()


def text_cell(place: str, text: str) -> str:
    """A cell with its text."""
    return f'<c r="{place}" t="inlineStr"><is><t>{text}</t></is></c>'


def ratio() -> bytes:
    """Fifty megabytes of blanks in a small file."""
    return zipped(parts_of(a_sheet(" " * 50_000_000)))


def just_below_declared() -> bytes:
    """Less than may be declared, more than may be inflated."""
    return zipped(parts_of(a_sheet(" " * 30_000_000)))


def lying_header() -> bytes:
    """The same with headers that declare a kilobyte."""
    content = just_below_declared()
    size = len(a_sheet(" " * 30_000_000))
    return content.replace(struct.pack("<I", size), struct.pack("<I", 1000))


def many_parts() -> bytes:
    """Ten thousand parts."""
    return zipped(parts_of(a_sheet("")) | {f"xl/media/{number}": b"" for number in range(10_000)})


def nested() -> bytes:
    """A workbook inside an archive inside an archive."""
    return zipped({"deeper.xlsx": zipped({"deeper.xlsx": a_workbook(("Kick",))})})


def with_a_link() -> bytes:
    """An archive with a symbolic link in the sheet's place."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        for name, part in parts_of(a_sheet("")).items():
            entry = zipfile.ZipInfo(name)
            entry.external_attr = (0o120777 if "sheet1" in name else 0o100644) << 16
            archive.writestr(entry, b"/etc/passwd" if "sheet1" in name else part)
    return file.getvalue()


def a_million_columns() -> bytes:
    """One row of a million cells."""
    return zipped(parts_of(a_sheet('<row r="1">' + "<c/>" * 1_000_000 + "</row>")))


def a_far_cell() -> bytes:
    """One cell in the column with the number 12,356,630."""
    return zipped(parts_of(a_sheet(f'<row r="1">{text_cell("ZZZZZ1", "Kick")}</row>')))


def a_far_row() -> bytes:
    """Thousands of rows with a cell each."""
    return zipped(
        parts_of(a_sheet("".join(f'<row r="{row}">{text_cell(f"A{row}", "Kick")}</row>' for row in range(1, 9_000))))
    )


def entities() -> bytes:
    """Entities that multiply."""
    bomb = '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">' + "".join(
        f'<!ENTITY {after} "{f"&{before};" * 10}">' for before, after in zip("abcdefgh", "bcdefghi", strict=True)
    )
    return zipped(parts_of(f"{bomb}]>".encode() + a_sheet(f'<row r="1">{text_cell("A1", "&i;")}</row>')))


def an_outside_entity() -> bytes:
    """An entity that names a file."""
    return zipped(
        parts_of(
            b'<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]>'
            + a_sheet(f'<row r="1">{text_cell("A1", "&a;")}</row>')
        )
    )


def hidden_entities() -> bytes:
    """The same in an encoding in which the words are not to be seen."""
    sheet = '<?xml version="1.0" encoding="utf-16"?><!DOCTYPE x [<!ENTITY a "b">]>' + a_sheet("").decode()
    return zipped(parts_of(sheet.encode("utf-16")))


def twice() -> bytes:
    """An archive with the sheet in it twice."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        for name, part in parts_of(a_sheet("")).items():
            archive.writestr(name, part)
        with pytest.warns(UserWarning, match="Duplicate name"):
            archive.writestr("xl/worksheets/sheet1.xml", a_sheet(" "))
    return file.getvalue()


def locked() -> bytes:
    """An archive whose parts say that they are encrypted."""
    content = bytearray(a_workbook(("Kick",)))
    for mark, at in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        place = content.find(mark)
        while place >= 0:
            content[place + at] |= 1
            place = content.find(mark, place + 4)
    return bytes(content)


def cut_off() -> bytes:
    """The first half of a workbook."""
    content = a_workbook(*[("Kick", number) for number in range(100)])
    return content[: len(content) // 2]


def no_workbook() -> bytes:
    """Another kind of archive."""
    return zipped({"word/document.xml": b"<document/>"})


def broken_sheet() -> bytes:
    """A sheet that is no XML."""
    return zipped(parts_of(b"<worksheet><<<"))


def too_large() -> bytes:
    """More bytes than an upload may have."""
    return a_workbook(("Kick",)) + b"\0" * 2_000_000


BOMBS = (
    ratio,
    just_below_declared,
    lying_header,
    many_parts,
    nested,
    with_a_link,
    a_million_columns,
    a_far_cell,
    a_far_row,
    entities,
    an_outside_entity,
    hidden_entities,
    twice,
    locked,
    cut_off,
    no_workbook,
    broken_sheet,
    too_large,
)

STEPS_A_CELL = 20

READER = """
import json, pathlib, re, sys, zipfile
from portal.exchange.faults import NotReadable
from portal.exchange.spreadsheets.workbook import read_workbook
from tests.steps import Steps

def peak_kb():
    return int(re.search(r"VmHWM:\\s+([0-9]+) kB", pathlib.Path("/proc/self/status").read_text())[1])

inflated = []
read = zipfile.ZipExtFile.read

def noted(self, n=-1):
    chunk = read(self, n)
    inflated.append(len(chunk))
    return chunk

zipfile.ZipExtFile.read = noted
read_workbook(pathlib.Path(sys.argv[1]).read_bytes())
before = peak_kb()
said, steps, eaten = [], [], []
for path in sys.argv[2:]:
    content = pathlib.Path(path).read_bytes()
    inflated.clear()
    with Steps() as taken:
        try:
            read_workbook(content)
            said.append("")
        except NotReadable as error:
            said.append(str(error))
    steps.append(taken.count)
    eaten.append(sum(inflated))
print(json.dumps([said, steps, eaten, peak_kb() - before]))
"""
"""Reads a good workbook, then every other one, in a process of its own, so that the peak is its own; a child's rusage
would begin at its parent's.
"""


def test_bombs_are_refused(tmp_path: Path) -> None:
    """Every archive that is made to hurt is refused with one sentence, after few steps, with no more unpacked than a
    workbook may inflate to and one chunk, and in little more memory than that.
    """
    paths = []
    for name, content in [("good", a_workbook(("Kick",))), *((one.__name__, one()) for one in BOMBS)]:
        paths.append(tmp_path / name)
        paths[-1].write_bytes(content)
    ran = subprocess.run([sys.executable, "-c", READER, *paths], check=True, capture_output=True, text=True)
    said, steps, inflated, more_kb = json.loads(ran.stdout)
    refused = sum(bool(sentence) for sentence in said)
    print(  # noqa: T201 - shown with -s
        f"refused={refused}/{len(said)} max_steps={max(steps)} max_inflated={max(inflated)}"
        f" rss_more_mb={more_kb / 1024:.0f}"
    )
    assert {
        one.__name__: sentence
        for one, sentence in zip(BOMBS, said, strict=True)
        if not re.fullmatch("expected .+; found .+[.]", sentence)
    } == {}
    assert max(steps) < STEPS_A_CELL * MOST_CELLS
    assert max(inflated) <= MOST_INFLATED + CHUNK
    assert more_kb * 1024 < 6 * MOST_INFLATED


def test_a_sheet_is_read_as_it_stands() -> None:
    """Texts, numbers, dates and merged cells of the first sheet become texts; other sheets, styles and links do not
    matter.
    """

    def change(book: Workbook) -> None:
        sheet = book.worksheets[0]
        sheet.merge_cells("A1:C1")
        sheet["B3"].hyperlink = "https://example.org"
        book.create_sheet("Other").append(["Not this one"])

    content = a_workbook(
        ("Our list", None, None),
        ("Ch", "Source", "48V"),
        (1.0, "Kick", "no"),
        (2, "Snäre", True),
        (2.5, None, None),
        change=change,
    )
    assert is_workbook(content)
    assert read_workbook(content) == (
        ("Our list",),
        ("Ch", "Source", "48V"),
        ("1", "Kick", "no"),
        ("2", "Snäre", "yes"),
        ("2.5",),
    )


def test_a_sheet_becomes_rows() -> None:
    """The rows of a workbook go the same way as pasted ones."""
    read = read_cells(read_workbook(a_workbook(("Our list", None), ("Ch", "Instrument"), (1, "Kick"), (2, "Snare"))))
    assert [(row.number, row.label) for row in read.rows] == [("1", "Kick"), ("2", "Snare")]
    assert read.headings == ("Our list", "Ch | Instrument")


def test_a_formula_shows_its_result_or_is_told() -> None:
    """A formula counts by the result that the file holds; without one the file is refused, so that no row is lost."""
    with pytest.raises(NotReadable, match="a formula without one in row 2"):
        read_workbook(a_workbook(("Source",), ('="Ki"&"ck"',)))
    formula = '<row r="1"><c r="A1" t="str"><f>"Ki"&amp;"ck"</f><v>Kick</v></c></row>'
    assert read_workbook(zipped(parts_of(a_sheet(formula)))) == (("Kick",),)


def test_a_lying_dimension_does_not_matter() -> None:
    """What a sheet says about its own size is not believed."""
    sheet = (
        f'<worksheet {MAIN}><dimension ref="A1:XFD1048576"/><sheetData><row'
        f' r="2">{text_cell("B2", "Kick")}</row></sheetData></worksheet>'
    )
    assert read_workbook(zipped(parts_of(sheet.encode()))) == ((), ("", "Kick"))


def test_another_file_is_no_workbook() -> None:
    """What a file is called does not make it a workbook."""
    assert not is_workbook(b"Label\nKick\n")
    assert not is_workbook(b"\x89PNG\r\n")
