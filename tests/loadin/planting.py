"""Changes what a printed paper shows, word by word, as a slip of the pen or of the portal would."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace

from tests.loadin.printed import Grid, cells_of, grids_of
from tests.loadin.sheet import fields_of, kind_of
from tests.loadin.words import Page, Word

Pages = tuple[Page, ...]


class NotFound(Exception):  # noqa: N818 - named for what happened
    """What was to be changed stands nowhere: the plant itself is at fault."""


def cell(pages: Pages, table: str, row: str, field: str, text: str) -> Pages:
    """The pages with another text in one cell: of the first row of that kind of table that has ``row`` in one of its
    cells.
    """
    number, grid, words, places = _row(pages, table, row)
    place = next((at for at, name in places.items() if name == field), None)
    if place is None:
        raise NotFound(f"{table} have no column for {field}")
    return _with_page(pages, number, _written(pages[number], words[place], grid.edges[place], words, text))


def row_gone(pages: Pages, table: str, row: str) -> Pages:
    """The pages without what a row says; of two that stand side by side the one goes."""
    number, _, words, places = _row(pages, table, row)
    gone = {word for at in places for word in words[at]}
    return _with_page(
        pages, number, replace(pages[number], words=tuple(word for word in pages[number].words if word not in gone))
    )


def _row(pages: Pages, table: str, row: str) -> tuple[int, Grid, list[list[Word]], dict[int, str]]:
    """The page, the table, the words by cell and the fields of a row."""
    for number, page in enumerate(pages):
        for grid in grids_of(page):
            heads, rows = cells_of(grid, page)
            if kind_of(heads) != table:
                continue
            for words, places in itertools.product(rows, fields_of(heads, table)):
                if row in {" ".join(word.text for word in words[at]) for at in places}:
                    return number, grid, words, places
    raise NotFound(f"{row} in {table}")


def text(pages: Pages, old: str, new: str) -> Pages:
    """The pages with other words in their running text."""
    wanted = old.split()
    for number, page in enumerate(pages):
        for start in range(len(page.words) - len(wanted) + 1):
            found = page.words[start : start + len(wanted)]
            if [word.text for word in found] == wanted:
                written = replace(
                    found[0], text=new, right=found[-1].right if found[-1].right > found[0].left else found[0].right
                )
                return _with_page(
                    pages,
                    number,
                    replace(page, words=(*page.words[:start], written, *page.words[start + len(wanted) :])),
                )
    raise NotFound(old)


def _with_page(pages: Pages, number: int, page: Page) -> Pages:
    return (*pages[:number], page, *pages[number + 1 :])


def _written(page: Page, old: Sequence[Word], left: float, row: Sequence[Sequence[Word]], text: str) -> Page:
    """The page with a cell's words replaced: where the cell was empty, the new ones stand on the row's line."""
    model = old[0] if old else next(word for part in row for word in part)
    start = old[0].left if old else left + 1
    new = (replace(model, text=text, left=start, right=start + 1),) if text else ()
    return replace(page, words=(*(word for word in page.words if word not in old), *new))
