"""Rows out of a table: records of cells, each with the line that it came from."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from portal.exchange.band_list.columns import fields_of, is_head, is_output_head
from portal.exchange.band_list.pasted_lines import numbered_row
from portal.exchange.band_list.pasted_rows import LONGEST_LABEL, MOST_COLUMNS, MOST_LINES, Cell, Column, PastedRow, cut
from portal.exchange.band_list.sorting import Sorter
from portal.exchange.faults import Fault, NotReadable
from portal.exchange.spreadsheets.source_columns import unguarded

Table = list[tuple[int, list[str]]]


def tidy(records: Sequence[tuple[int, Sequence[str]]]) -> Table:
    """The records with every cell without guards and outer blanks, all of one width. Raises ``NotReadable`` where there
    are too many.
    """
    table = [(line, [" ".join(unguarded(cell.strip()).split()) for cell in record]) for line, record in records]
    while table and not any(table[-1][1]):
        table.pop()
    if len(table) > MOST_LINES:
        raise NotReadable([Fault("", f"at most {MOST_LINES} rows, empty ones counted", f"{len(table)} rows")])
    widest = max((at for _, record in table for at, cell in enumerate(record, start=1) if cell), default=0)
    if widest > MOST_COLUMNS:
        raise NotReadable([Fault("", f"at most {MOST_COLUMNS} columns", f"{widest} columns")])
    return [(line, (record + [""] * widest)[:widest]) for line, record in table]


def sort_table(table: Table, found: Sorter, fields: Sequence[str] | None = None) -> None:
    """Sort the records of a table, part by part from one line of headings to the next. ``fields``: what the columns
    hold, where that is known.
    """
    parts = [(head, body, _held(head, body, fields)) for head, body in _parts(table)]
    if not found.columns:
        found.columns += _columns(*next((part for part in parts if part[0] is not None), parts[0]))
    found.numbered = found.numbered or any("number" in held for _, _, held in parts)
    for head, body, held in parts:
        if head is not None:
            found.head(" | ".join(filter(None, head)), outputs=is_output_head(head))
        titles = (
            head is None
            and "number" not in held
            and any(later is not None and not is_output_head(later) for later, _, _ in parts)
        )
        for line, record in body:
            if titles and sum(map(bool, record)) > 1:
                # What stands in cells above the headings is about the list, not in it.
                found.aside.append(" | ".join(filter(None, record)))
            elif any(record):
                _sort(record, held, line, found)


def _columns(head: list[str] | None, body: Table, held: Sequence[str]) -> Iterator[Column]:
    """The columns of one part as they were read; a list of one column has none to tell."""
    for at, field in enumerate(held if len(held) > 1 else ()):
        example = next((record[at] for _, record in body if record[at]), "")
        yield Column(head[at] if head else "", example, field)


def _held(head: list[str] | None, body: Table, fields: Sequence[str] | None) -> tuple[str, ...]:
    """The fields that the columns of one part hold."""
    widest = max((len(record) for _, record in body), default=0)
    full = [record for _, record in body if sum(map(bool, record)) > 1] or [record for _, record in body]
    return (tuple(fields) + ("",) * widest)[:widest] if fields is not None else fields_of(head, full, widest)


def _parts(table: Table) -> Iterator[tuple[list[str] | None, Table]]:
    """The table in parts, each with its line of headings where it has one."""
    head: list[str] | None = None
    body: Table = []
    for line, record in table:
        if is_head(record) or is_output_head(record):
            if head is not None or body:
                yield head, body
            head, body = record, []
        else:
            body.append((line, record))
    yield head, body


def _sort(record: Sequence[str], fields: Sequence[str], line: int, found: Sorter) -> None:
    told = [cell for cell in record if cell]
    text = " | ".join(told)
    cells = {field: cell for field, cell in zip(reversed(fields), reversed(record), strict=True) if cell}
    number, label = cells.get("number", ""), cells.get("label", "")
    if number and not label:
        # A word without a digit is a label; of "1. Kick" the number goes before it, and a number alone stays one.
        number, label = numbered_row(number) if re.search(r"\d", number) else ("", number)
        number, label = (number, label) if number or re.search(r"[^\W\d_]{2}", label) else (label, "")
    if len(told) == 1 and not number:
        found.text(told[0], line)
        return
    if not label and not number:
        found.aside.append(text)
        return
    rest = tuple(
        Cell(field, cut(cell))
        for field, cell in zip(fields, record, strict=True)
        if cell and field not in ("number", "label")
    )
    if label and not number and "number" not in fields and "quantity" not in fields:
        number, label = numbered_row(label)
    # A number alone is a row that is kept free.
    found.row(PastedRow(number, label[:LONGEST_LABEL] or "-", rest, line), text)
