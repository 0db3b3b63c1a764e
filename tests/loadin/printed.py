"""From words and rules to tables and running text, as the eye does it: rules make the cells, headings stand in larger
type.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from tests.loadin.paper import Paper, Table
from tests.loadin.words import Page, Rule, Word, read_pages

CLOSE = 0.7
"""Rules this close are one line."""

HEADING, TITLE = 12.4, 20.0
"""Type as tall as this, and not taller, is a heading."""

HEAD_PITCH = 14.0
"""Lines of one head stand no farther apart."""

SIGNATURES = " Signatures For the "
"""Begins the end of the sheet, whose headings stand in their lines."""

COLUMN_GAP = 8.0
"""A wider gap in a line of running text parts two columns."""


@dataclass
class Grid:
    """A ruled table on one page: the edges of its columns, and the heights of its lying rules from the top."""

    edges: tuple[float, ...]
    heights: list[float]
    standing: tuple[Rule, ...] = ()
    words: list[Word] = field(default_factory=list)

    @property
    def left(self) -> float:
        return self.edges[0]

    @property
    def right(self) -> float:
        return self.edges[-1]


@dataclass(frozen=True)
class _Placed:
    """A table with where it begins on its page."""

    table: Table
    page: int
    top: float
    left: float


def read_pdf(content: bytes) -> Paper:
    """Everything that the paper shows."""
    return paper_of(read_pages(content))


def paper_of(pages: Sequence[Page]) -> Paper:
    """The pages as one paper; a table that goes on on the next page is one table."""
    placed: list[_Placed] = []
    sections: dict[str, str] = {}
    text: list[str] = []
    for number, page in enumerate(pages):
        tables, rest = _tables(page, number)
        lines = _without_foot(_lines(rest))
        headings = [line for line in lines if HEADING < line[0].height < TITLE]
        placed += [replace(one, table=replace(one.table, title=_title(one, headings))) for one in tables]
        for heading in headings:
            name = _said(heading)
            sections[name] = " ".join(filter(None, (sections.get(name, ""), _below(heading, headings, lines))))
        text += [_said(line) for line in lines]
    return Paper(tuple(_joined(placed)), sections, "\n".join(text))


def _joined(placed: Iterable[_Placed]) -> list[Table]:
    """Tables that have no heading of their own and the heads of the one before go on where that one ended."""
    joined: list[Table] = []
    for one in placed:
        before = joined[-1] if joined else None
        if before and not one.table.title and before.heads == one.table.heads:
            joined[-1] = replace(before, rows=before.rows + one.table.rows, under=before.under + one.table.under)
        else:
            joined.append(one.table)
    return joined


# --- tables


def _tables(page: Page, number: int) -> tuple[list[_Placed], list[Word]]:
    """The tables of a page from the top, and the words that stand in none."""
    grids = grids_of(page)
    rest = list(page.words)
    found = []
    for grid in grids:
        bands = _bands(grid)
        head_top, heads, used = _heads(grid, rest)
        inside = [
            word
            for word in rest
            if grid.left < word.middle < grid.right and bands[-1][1] < _level(word) < grid.heights[0]
        ]
        rows: list[tuple[str, ...]] = []
        under: list[str] = []
        for band in bands:
            _read_band(grid, band, inside, rows, under)
        taken = {id(word) for word in (*used, *inside)}
        rest = [word for word in rest if id(word) not in taken]
        found.append(_Placed(Table("", heads, tuple(rows), tuple(under)), number, head_top, grid.left))
    return found, rest


def cells_of(grid: Grid, page: Page) -> tuple[tuple[str, ...], list[list[list[Word]]]]:
    """Heads of a table, and the words in each cell of each row."""
    _, heads, _ = _heads(grid, page.words)
    bands = [_split(grid, band, page.words)[0] for band in _bands(grid)]
    return heads, [
        [[word for word in band if left < word.middle <= right] for left, right in pairwise(grid.edges)]
        for band in bands
    ]


def _level(word: Word) -> float:
    return (word.bottom + word.top) / 2


def grids_of(page: Page) -> list[Grid]:
    """Lying rules with the same edges, one below the other, are one table; a heading or a gap without a standing rule
    ends it.
    """
    grids: list[Grid] = []
    for height, edges in _ruled_lines(page.lying):
        grid = next((one for one in reversed(grids) if _same(one.edges, edges)), None)
        if grid and not _parted(grid, height, page):
            grid.heights.append(height)
        else:
            grids.append(Grid(edges, [height]))
    for grid in grids:
        grid.standing = tuple(rule for rule in page.standing if grid.left + 2 < rule.at < grid.right - 2)
    return [grid for grid in grids if len(grid.heights) > 1 and len(grid.edges) > 2]


def _ruled_lines(rules: Iterable[Rule]) -> list[tuple[float, tuple[float, ...]]]:
    """Rules at one height whose ends meet, as the edges that they mark: from the top of the page."""
    lines: list[list[Rule]] = []
    for rule in sorted(rules, key=lambda one: (-round(one.at, 1), one.start)):
        last = lines[-1][-1] if lines else None
        if last and abs(last.at - rule.at) < CLOSE and rule.start - last.end < CLOSE:
            if rule.end > last.end + CLOSE:
                lines[-1].append(rule)
        else:
            lines.append([rule])
    return [
        (
            line[0].at,
            (line[0].start, *(one.start + (left.end - one.start) / 2 for left, one in pairwise(line)), line[-1].end),
        )
        for line in lines
    ]


def _same(edges: Sequence[float], others: Sequence[float]) -> bool:
    return len(edges) == len(others) and all(abs(one - other) < 2.5 for one, other in zip(edges, others, strict=True))


def _parted(grid: Grid, height: float, page: Page) -> bool:
    """Whether a heading stands between the last rule of a table and this one."""
    return any(
        HEADING < word.height < TITLE
        and height < _level(word) < grid.heights[-1]
        and abs(word.left - grid.left) < 4
        and _alone(word, page)
        for word in page.words
    )


def _alone(word: Word, page: Page) -> bool:
    """Whether no smaller type stands on the word's line right beside it: a large number in a row is no heading."""
    return not any(
        one.height < HEADING and abs(one.bottom - word.bottom) < 3 and abs(one.left - word.right) < 200
        for one in page.words
    )


def _heads(grid: Grid, words: Sequence[Word]) -> tuple[float, tuple[str, ...], list[Word]]:
    """The head above the first rule: how high it reaches, the lowest of its rows by column, and all its words."""
    base = grid.heights[0]
    edges = [rule for rule in grid.standing if rule.start < base + 2 < rule.end]
    ceiling = _chain_top([rule for rule in grid.standing if rule.end > base], base)
    within = sorted(
        (
            word
            for word in words
            if grid.left < word.middle < grid.right and _level(word) > base and word.height < HEADING
        ),
        key=lambda word: word.bottom,
    )
    used: list[Word] = []
    reach = base
    for word in within:
        if (edges and _level(word) > ceiling) or word.bottom - reach > HEAD_PITCH:
            break
        used.append(word)
        reach = max(reach, word.bottom)
    splits = [rule.end for rule in edges]
    floor = max(splits) if splits else reach + HEAD_PITCH
    lowest = [word for word in used if _level(word) < floor]
    return reach + HEAD_PITCH, _cells(grid, lowest), used


def _chain_top(rules: Sequence[Rule], base: float) -> float:
    """How high standing rules reach without a break above a height."""
    top = base
    for rule in sorted(rules, key=lambda one: one.start):
        if rule.start < top + 2:
            top = max(top, rule.end)
    return top


def _bands(grid: Grid) -> list[tuple[float, float]]:
    return list(pairwise(grid.heights))


def _read_band(
    grid: Grid, band: tuple[float, float], words: Sequence[Word], rows: list[tuple[str, ...]], under: list[str]
) -> None:
    """What stands between two rules: one row, and what hangs under it."""
    inside, below = _split(grid, band, words)
    rows.append(_cells(grid, inside))
    under.append(" ".join(word.text for word in _in_order(below)))


def _split(grid: Grid, band: tuple[float, float], words: Sequence[Word]) -> tuple[list[Word], list[Word]]:
    """The words of a band that stand in its row, and those under it: where the standing rules end before the band
    does.
    """
    top, bottom = band
    inside = [word for word in words if bottom < _level(word) < top]
    pieces = [rule for rule in grid.standing if rule.start < top - 2 and rule.end > bottom + 2]
    whole = max((rule.at for rule in pieces), default=0.0)
    ends = [rule.start for rule in pieces if rule.at < whole and rule.start > bottom + 3]
    split = max(ends, default=bottom)
    return [word for word in inside if _level(word) > split], [word for word in inside if _level(word) <= split]


def _cells(grid: Grid, words: Sequence[Word]) -> tuple[str, ...]:
    columns = [[word for word in words if left < word.middle <= right] for left, right in pairwise(grid.edges)]
    return tuple(_cell(column) for column in columns)


def _cell(words: Sequence[Word]) -> str:
    """The text of a cell. A line that ends at a hyphen goes on without a blank, as it does where it is not broken."""
    said = ""
    for line in _rows_of_words(words):
        between = "" if not said or (said.endswith("-") and not said.endswith(" -")) else " "
        said += between + _said(line)
    return said


def _in_order(words: Iterable[Word]) -> list[Word]:
    """Words as they are read: line by line from the top, each from the left."""
    return [word for line in _rows_of_words(words) for word in line]


def _rows_of_words(words: Iterable[Word]) -> list[list[Word]]:
    lines: list[list[Word]] = []
    for word in sorted(words, key=lambda one: -one.bottom):
        if lines and abs(lines[-1][0].bottom - word.bottom) < 4:
            lines[-1].append(word)
        else:
            lines.append([word])
    return [sorted(line, key=lambda one: one.left) for line in lines]


# --- running text


def _lines(words: Iterable[Word]) -> list[list[Word]]:
    """Lines of running text from the top, parted where columns part."""
    lines: list[list[Word]] = []
    for row in _rows_of_words(words):
        start = 0
        for index in range(1, len(row) + 1):
            if index == len(row) or row[index].left - row[index - 1].right > COLUMN_GAP:
                lines.append(row[start:index])
                start = index
    return lines


def _said(line: Sequence[Word]) -> str:
    return " ".join(word.text for word in line)


def _without_foot(lines: list[list[Word]]) -> list[list[Word]]:
    """Without the foot that every page bears: what stands beside the page's number or lower."""
    foot = max(
        (line[-1].top for line in lines if len(line) >= 4 and [word.text for word in line[-4::2]] == ["page", "of"]),
        default=0.0,
    )
    return [line for line in lines if line[0].bottom >= foot - CLOSE or line[0].bottom > 100]


def _title(placed: _Placed, headings: Sequence[Sequence[Word]]) -> str:
    """The nearest heading above a table; sentences may stand between."""
    above = [
        line for line in headings if abs(line[0].left - placed.left) < 8 and line[0].bottom > placed.top - HEAD_PITCH
    ]
    return _said(min(above, key=lambda line: line[0].bottom)) if above else ""


def _below(heading: Sequence[Word], headings: Sequence[Sequence[Word]], lines: Sequence[Sequence[Word]]) -> str:
    """The running text under a heading: down to the next heading, and no farther right than one beside it."""
    at = heading[0]
    beside = [
        one
        for one in headings
        if abs(one[0].bottom - at.bottom) < HEAD_PITCH and abs(one[0].left - at.left) > HEAD_PITCH
    ]
    limit = min((one[0].left for one in beside if one[0].left > at.left), default=float("inf"))
    floor = max((one[0].bottom for one in headings if one[0].bottom < at.bottom and one not in beside), default=0.0)
    mine = [
        line
        for line in lines
        if floor < line[0].bottom < at.bottom - CLOSE
        and at.left - 2 <= line[0].left < limit - 2
        and line is not heading
    ]
    return " ".join(_said(line) for line in mine).partition(SIGNATURES)[0]
