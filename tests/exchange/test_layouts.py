"""One list, written in every layout that people paste, is read as the same rows."""

import csv
import io
from collections.abc import Callable, Iterator
from itertools import permutations

import pytest

from portal.exchange.band_list.pasted import read_text
from tests.exchange.own_lists import as_row, made_of

HEAD = ("Ch", "Instrument", "Mic / DI", "Stand", "Note")
ROWS = (
    ("1", "Kick in", "condenser", "short", "on a cushion"),
    ("2", "Kick out", "dynamic", "short", "over the hole"),
    ("3", "Snare", "dynamic", "clip", "two in the case"),
    ("4", "OH L", "condenser", "tall", "high up"),
    ("5", "OH R", "condenser", "tall", "high up"),
    ("6-7", "Keys L/R", "DI", "none", "lines from the rack"),
    ("8", "Bass DI", "active DI", "none", "after the amp"),
    ("9", "Lead vocal", "wireless", "straight", "with a spare"),
    ("10", "Vocal Rhian", "dynamic", "tall", "stage left"),
)
WIDTHS = tuple(max(len(row[at]) for row in (HEAD, *ROWS)) + 2 for at in range(len(HEAD)))

Rows = tuple[tuple[str, ...], ...]
Row = dict[str, str]


def separated(delimiter: str) -> Callable[[Rows], str]:
    """Cells that a sign parts, quoted where they need to be."""

    def write(rows: Rows) -> str:
        out = io.StringIO()
        csv.writer(out, delimiter=delimiter, lineterminator="\n").writerows(rows)
        return out.getvalue()

    return write


def aligned(rows: Rows) -> str:
    """Cells in columns of blanks."""
    return "\n".join(
        "".join(cell.ljust(width) for cell, width in zip(row, WIDTHS, strict=False)).rstrip() for row in rows
    )


def one_a_line(rows: Rows) -> str:
    """One cell a line, as a copy out of a printed page has it."""
    return "\n".join(cell for row in rows for cell in row)


LAYOUTS: dict[str, Callable[[Rows], str]] = {
    "tabs": separated("\t"),
    "semicolons": separated(";"),
    "commas": separated(","),
    "strokes": lambda rows: "\n".join(f"| {' | '.join(row)} |" for row in rows),
    "ruled strokes": lambda rows: "\n".join(
        [f"| {' | '.join(rows[0])} |", "|---" * 5 + "|", *(f"| {' | '.join(row)} |" for row in rows[1:])]
    ),
    "aligned": aligned,
    "one cell a line": one_a_line,
    "one cell a line, blank lines between": lambda rows: "\n\n".join(one_a_line((row,)) for row in rows),
}
AROUND = {
    "alone": ("", ""),
    "in a rider": (
        "The Copper Wren\nTechnical rider\n\nPlease read this to the end, it is not long.\n\n",
        (
            "\n\nMonitors\n1 Rhian: vocals\n2 drums\n\nCatering\n4 warm meals and a lot of water\n\nThank you and see"
            " you soon!\n"
        ),
    ),
}


def read(text: str) -> list[Row]:
    """The rows that a text becomes, in the words of the lists."""
    made = made_of(read_text(text))
    by_key = {source.key: source for _, source in made}
    assert all(proposal.settled for proposal, _ in made)
    return [as_row(source, by_key) for _, source in made]


EXPECTED = read(LAYOUTS["tabs"]((HEAD, *ROWS)))


def test_what_is_compared_is_the_whole_list() -> None:
    """The layout against which all others are held has every row with every field."""
    assert [row["label"] for row in EXPECTED] == [
        "Kick in", "Kick out", "Snare", "OH L", "OH R", "Keys L/R", "Keys L/R", "Bass DI", "Lead vocal", "Vocal Rhian"
    ]  # fmt: skip
    assert EXPECTED[0] == {
        "label": "Kick in",
        "what": "drum.kick-drum",
        "position": "in",
        "capture": "mic",
        "phantom": "yes",
        "stand": "short",
        "note": "on a cushion",
    }
    assert EXPECTED[5] | EXPECTED[6] == EXPECTED[6] == EXPECTED[5] | {"position": "right"}
    assert (EXPECTED[7]["capture"], EXPECTED[9]["player"], EXPECTED[9]["note"]) == ("di-active", "Rhian", "stage left")


@pytest.mark.parametrize("around", AROUND)
@pytest.mark.parametrize("layout", LAYOUTS)
def test_every_layout_gives_the_same_rows(layout: str, around: str) -> None:
    """Tabs, signs, blanks or line ends between the cells, alone or in a rider: the rows are the same, and nothing else
    becomes one.
    """
    before, after = AROUND[around]
    assert read(before + LAYOUTS[layout]((HEAD, *ROWS)) + after) == EXPECTED


@pytest.mark.parametrize("layout", ["tabs", "semicolons", "strokes", "aligned"])
def test_columns_may_come_in_any_order(layout: str) -> None:
    """With headings, the order of the columns means nothing."""
    orders = [order for order in permutations(range(len(HEAD))) if order[0] != 4 or layout != "aligned"][::7]
    for order in orders:
        rows = tuple(tuple(row[at] for at in order) for row in (HEAD, *ROWS))
        widths = [WIDTHS[at] for at in order]
        text = (
            "\n".join("".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) for row in rows)
            if layout == "aligned"
            else LAYOUTS[layout](rows)
        )
        assert read(text) == EXPECTED, order


def numbered(rows: Rows) -> Iterator[str]:
    yield "\n".join(f"{row[0]}. {row[1]}" for row in rows)
    yield "\n".join(f"{row[0]} {row[1]}" for row in rows)
    yield "\n".join(f"Ch {row[0]}: {row[1]}" for row in rows)
    yield "\n".join(f"{row[0]}) {row[1]}" for row in rows)
    yield "\n".join(f"{row[0]} - {row[1]}" for row in rows)
    yield "\n".join(f"* {row[0]}. {row[1]}" for row in rows)
    yield "\n".join(f"{row[0]}\n{row[1]}" for row in rows)
    yield "\n".join(f"{row[1]} ... {row[0]}" for row in rows if "-" not in row[0])


def test_every_way_of_numbering_gives_the_same_labels() -> None:
    """Numbers with a stop, a blank, a colon, a bracket, a dash, behind a bullet, above or behind the label."""
    labels = [row["label"] for row in EXPECTED]
    few = [label for label in labels if label != "Keys L/R"]
    found = [[row["label"] for row in read(text)] for text in numbered(ROWS)]
    assert found == [labels] * 7 + [few]
