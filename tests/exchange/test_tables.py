"""Rows as CSV and workbook: nothing lost, nothing that a spreadsheet would run."""

import csv
import io

import openpyxl
import pytest

from portal.exchange.spreadsheets import tables
from portal.exchange.spreadsheets.tables import csv_bytes, xlsx_bytes
from tests.exchange.reading_back import csv_rows

HEADS = ("Text", "Number")
NUMBERS = frozenset({"Number"})

# What the trade writes, and what a spreadsheet would take for a formula.
HOSTILE = (
    "=1+1", "+48V", "-10 dBV", "+4 dBu", "-", "@FOH", "'quoted", "''", "\tTAB", "a;=1+1", "a\r\nb", 'say "hi"', "a,b", '=HYPERLINK("http://x")',
    "שלום", "🎸", " ", "48 V", "x" * 40_000,
)  # fmt: skip


def test_csv_comes_back_as_it_was() -> None:
    """Whatever the texts are, writing and reading changes no cell and no kind of cell."""
    rows = tuple((text, number) for text, number in zip(HOSTILE, [0, -3, 2**53 - 1, None] * 5, strict=False))
    content = csv_bytes(HEADS, NUMBERS, rows)
    assert content.startswith(b"\xef\xbb\xbf")
    assert b" \r\n" not in content
    assert csv_rows(content, NUMBERS) == (HEADS, rows)


def live_cells(delimiter: str) -> list[str]:
    """The text cells that a spreadsheet would take for a formula."""
    content = csv_bytes(HEADS, NUMBERS, [(text, -3) for text in HOSTILE]).decode("utf-8-sig")
    cells = [cell for record in csv.reader(io.StringIO(content, newline=""), delimiter=delimiter) for cell in record]
    return [cell for cell in cells if cell.lstrip(" ")[:1] in {*"=+-@\t\r"} and cell != "-3"]


@pytest.mark.parametrize("delimiter", [",", ";"])
def test_no_cell_of_text_begins_a_formula(delimiter: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Read by a comma or a semicolon, no text cell begins with what a spreadsheet runs; without the guard many do."""
    assert live_cells(delimiter) == []
    monkeypatch.setattr(tables, "guarded", lambda text: text)
    assert len(live_cells(delimiter)) >= 8


@pytest.mark.parametrize("row", [("=1+1", "=1+1"), (3, 3)])
def test_a_cell_of_another_kind_is_a_defect(row: tuple[object, object]) -> None:
    """A text never gets into a column of numbers, where nothing guards it, nor a number among texts."""
    for make in (lambda: csv_bytes(HEADS, NUMBERS, [row]), lambda: xlsx_bytes("x", HEADS, NUMBERS, [row])):
        with pytest.raises(TypeError):
            make()


def test_a_workbook_holds_texts_and_numbers_and_no_formula() -> None:
    """Another library reads the same cells back; a text that begins like a formula is text."""
    texts = [text for text in HOSTILE if text.isprintable() and len(text) < 32_000]
    book = openpyxl.load_workbook(io.BytesIO(xlsx_bytes("Input list", HEADS, NUMBERS, [(text, 5) for text in texts])))
    assert book.sheetnames == ["Input list"]
    cells = list(book.active.iter_rows(min_row=2))
    assert [row[0].value for row in cells] == texts
    assert {row[0].data_type for row in cells} == {"s"}
    assert {(row[1].value, row[1].data_type) for row in cells} == {(5, "n")}
    assert book.active.freeze_panes == "A2"
