"""A text's lines to rows: cells of tables, columns read one after the other, headings, and which line goes on in the
next.

Columns set by blanks and the labels of a table look alike. In a table the left cells name what the right ones say, so
they hold few numbers and no colons; in columns both sides speak for themselves.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median

LINE = re.compile(r"[^\n\r\f\v\x1c-\x1e\x85\u2028\u2029]*")
RULE = re.compile(r"[\s\-=_*~+.#|]*")
GAP = re.compile(r"\t| {3,}|\||\.{4,}|_{4,}|…{2,}")
SEMICOLON = re.compile(r";")
ITEM = re.compile(r"\s{0,40}(?:\d{1,3}|[a-zA-Z])[.)]\s")
BULLET = re.compile(r"\s{0,60}(?:[-*•·●○◦▪■□–—>]|o(?= ))\s{0,8}")
PAGE = re.compile(r"\b(?:page|seite|pag|pagina|p[aá]gina|blad|p\.|pag\.|s\.)\s{0,3}\d{1,4}\b", re.IGNORECASE)
LABEL = re.compile(r"[^:\d]{2,40}:")
ENDED = (".", "!", "?", ":", ";")

LONGEST_LABEL, MOST_LABELS = 80, 3
"""Signs of a cell that can name the rows below it, and how many such cells a row has."""

MOST_CELLS = 12
"""Cells of a row that are told apart; the rest stays in the last one."""

COLUMNS_FROM = 0.34
"""Share of left cells with a number or a colon from which blanks part columns, not labels from values (found by
trying).
"""

SEPARATED_FROM = 0.6
"""Share of a block's lines with a semicolon from which semicolons part cells."""

NARROWEST_TEXT, NARROWEST_COLUMN = 60, 30
"""Signs of the longest line from which lines are taken for broken text; narrower ones are lists."""

PROSE_FILL = 0.7
"""Share of the widest line, and of the lines, from which a block is running text (found by trying)."""

Span = tuple[int, int]


@dataclass(frozen=True)
class Row:
    """What stands on one line, or in one column's line. ``labels``: cells of rows above that also name this one.

    ``first``: an empty line, or the head of a column, stands before it. ``torn``: the text between this row and the
    next is not only its own.
    """

    cells: tuple[Span, ...]
    labels: tuple[Span, ...] = ()
    first: bool = False
    torn: bool = False
    goes_on: bool = False
    bullet: bool = False


@dataclass(frozen=True)
class _Line:
    start: int
    cells: tuple[Span, ...]

    @property
    def columns(self) -> tuple[int, ...]:
        return tuple(cell[0] - self.start for cell in self.cells)

    @property
    def end(self) -> int:
        return self.cells[-1][1]


def rows(text: str) -> Iterator[Row]:
    """The rows of a text, in the order in which a person reads them."""
    seen: set[str] = set()
    block: list[Span] = []
    for start, end in [*_lines(text), (len(text), len(text))]:
        line = text[start:end]
        if RULE.fullmatch(line):
            if not line.strip() or start == len(text):
                yield from _block(text, block)
                block = []
            continue
        if _is_furniture(line, seen):
            continue
        block.append((start, end))


def _lines(text: str) -> Iterator[Span]:
    at = 0
    while at < len(text):
        match = LINE.match(text, at)
        end = match.end() if match else at
        yield at, end
        at = end + (2 if text.startswith("\r\n", end) else 1)


def _is_furniture(line: str, seen: set[str]) -> bool:
    """True for the head or foot of a page that has been read once already, and for a page number alone."""
    if not PAGE.search(line):
        return False
    masked = re.sub(r"[\d\s]+", " ", line).strip()
    known = masked in seen or len(re.sub(PAGE, "", line).strip(" /-|0123456789")) < 3  # noqa: PLR2004 - "of" at most
    seen.add(masked)
    return known


def _block(text: str, spans: Sequence[Span]) -> Iterator[Row]:
    if not spans:
        return
    semicolons = sum(";" in text[start:end] for start, end in spans) >= SEPARATED_FROM * len(spans) and len(spans) > 2  # noqa: PLR2004
    lines = [_Line(start, _cells(text, start, end, semicolons=semicolons)) for start, end in spans]
    lines = [line for line in lines if line.cells]
    gutters = _gutters(text, lines)
    if gutters:
        yield from _columns(text, lines, gutters)
    else:
        yield from _plain(text, lines, torn=False)


def _cells(text: str, start: int, end: int, *, semicolons: bool) -> tuple[Span, ...]:
    gap = SEMICOLON if semicolons else GAP
    cells: list[Span] = []
    at = start
    for match in gap.finditer(text, start, end):
        if len(cells) == MOST_CELLS - 1:
            break
        if match.start() > at:
            cells.append((at, match.start()))
        at = match.end()
    cells.append((at, end))
    trimmed = (
        (
            begin + len(text[begin:past]) - len(text[begin:past].lstrip(' \t"')),
            begin + len(text[begin:past].rstrip(' \t"')),
        )
        for begin, past in cells
    )
    return tuple((begin, past) for begin, past in trimmed if begin < past)


def _gutters(text: str, lines: Sequence[_Line]) -> tuple[int, ...]:
    """Where the columns begin, when the block is set in columns; nothing for a table, a list or prose."""
    gapped = [
        line
        for line in lines
        if len(line.cells) > 1 and "|" not in text[line.start : line.end] and "\t" not in text[line.start : line.end]
    ]
    if len(gapped) < 2 or len(gapped) < 0.3 * len(lines):  # noqa: PLR2004
        return ()
    starts = Counter(column // 2 for line in gapped for column in line.columns[1:])
    common = sorted(place * 2 for place, times in starts.items() if times >= 0.5 * len(gapped) and times > 1)
    if not common:
        return ()
    left = [text[slice(*line.cells[0])] for line in gapped if line.columns[0] < common[0]]
    speaking = sum(bool(re.search(r"\d|:", cell)) for cell in left) / max(len(left), 1)
    titles = all(text[slice(*cell)].isupper() for cell in gapped[0].cells)
    if speaking >= COLUMNS_FROM or (titles and speaking > COLUMNS_FROM / 3):
        return (0, *common)
    return ()


def _columns(text: str, lines: Sequence[_Line], gutters: tuple[int, ...]) -> Iterator[Row]:
    """Each column's lines in turn."""
    columns: list[list[_Line]] = [[] for _ in gutters]
    for line in lines:
        for cell, column in zip(line.cells, line.columns, strict=True):
            place = max(number for number, gutter in enumerate(gutters) if column >= gutter - 1 or number == 0)
            columns[place].append(_Line(cell[0], (cell,)))
    for own in columns:
        yield from _plain(text, own, torn=True)


def _plain(text: str, lines: Sequence[_Line], *, torn: bool) -> Iterator[Row]:
    """Rows from top to bottom: those whose first cell stands further in are named by the cells above and to the left of
    it.
    """
    widest = max((line.end - line.start for line in lines), default=0)
    prose = _is_prose(text, lines, widest, torn=torn)
    small = sum(text[line.cells[0][0] : line.cells[0][0] + 1].islower() for line in lines)
    full = sum(line.end - line.start >= 0.8 * widest for line in lines[:-1])
    stopped = any(text[line.start : line.end].rstrip().endswith(".") for line in lines)
    sentences = small >= 0.3 * len(lines) or (stopped and full >= 0.8 * (len(lines) - 1))
    above: list[tuple[int, Span]] = []
    table = median([len(line.cells) for line in lines]) > 1 if lines else False
    piped = [line.cells[0][0] for line in lines if "|" in text[line.start : line.end]]
    for number, line in enumerate(lines):
        after = lines[number + 1] if number + 1 < len(lines) else None
        begin, past = line.cells[0]
        bullet = BULLET.match(text, begin, past)
        cells = line.cells
        if bullet and bullet.end() < past:
            cells = ((bullet.end(), past), *line.cells[1:])
        labels: tuple[Span, ...] = ()
        if table and not piped:
            above = [(column, span) for column, span in above if column < line.columns[0] - 1]
            labels = tuple(span for _, span in above[-MOST_LABELS:])
            short = zip(line.columns[:-1], line.cells[:-1], strict=True)
            above.extend((column, span) for column, span in short if span[1] - span[0] <= LONGEST_LABEL)
        yield Row(
            cells,
            labels,
            first=number == 0,
            torn=torn,
            bullet=bool(bullet),
            goes_on=after is not None
            and _goes_on(text, line, after, widest, torn=torn, prose=prose, prose_column=sentences),
        )


def _is_prose(text: str, lines: Sequence[_Line], widest: int, *, torn: bool) -> bool:
    """True for a block of running text: all its lines but the last are long, and hardly one begins with a label or ends
    a sentence.
    """
    long = [line for line in lines[:-1] if len(line.cells) == 1 and line.end - line.start >= PROSE_FILL * widest]
    if torn or len(lines) < 2 or widest < NARROWEST_TEXT or len(long) < PROSE_FILL * (len(lines) - 1):  # noqa: PLR2004 - one line is no block
        return False
    broken = sum(
        LABEL.match(text, line.start) is not None or text[line.start : line.end].rstrip().endswith(ENDED)
        for line in lines[:-1]
    )
    return broken <= 0.4 * (len(lines) - 1)


def _goes_on(text: str, line: _Line, after: _Line, widest: int, *, torn: bool, prose: bool, prose_column: bool) -> bool:
    """True where the next line is the rest of this one: it begins small, or its first word had no room here."""
    if len(line.cells) > 1 or len(after.cells) > 1:
        return False
    this, following = text[slice(*line.cells[0])], text[slice(*after.cells[0])]
    if BULLET.match(following) or ITEM.match(following):
        return False
    if this.rstrip().endswith(ENDED) or LABEL.match(following):
        return prose or (this.rstrip().endswith(",") and following[:1].islower())
    if prose or following[:1].islower():
        return True
    if torn and not prose_column:
        return False
    room = widest - (line.end - line.start)
    return (
        len(following.split(None, 1)[0]) >= room
        and widest >= (NARROWEST_COLUMN if torn else NARROWEST_TEXT)
        and not this.isupper()
    )
