"""A comparison as text for a terminal, as JSON, and as rows for a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict

from portal.compare.cell import LOSS_WORDS, LOSSES
from portal.compare.grid import Grid, Row
from portal.compare.helps import Help
from portal.compare.solving import Range
from portal.compare.words import (
    MARKS,
    TWO_PEOPLE,
    WHAT_COUNTS,
    beaten,
    binding,
    given_words,
    help_costs,
    help_words,
    loss_words,
    nothing_of,
    one_gig,
    range_words,
    ranges_words,
    sentence,
    turn_words,
    worst,
)
from portal.exchange.spreadsheets.tables import Cell, csv_bytes
from portal.plan.signed.serialization import Json
from portal.wording.plan.saying import say

TABLE = (
    "Rig",
    "Lose nothing",
    "Splitter carried",
    "Looms carried",
    "Loom m",
    "Plugs a year",
    "Most minutes",
    "Worst",
)

CSV_HEADS = (
    "Rig",
    "Gig",
    "Date",
    "Gigs",
    "Loss",
    "Given up",
    "What binds",
    "Blocks signing",
    "Splitter carried",
    "Looms carried",
    "Loom m",
    "Lines",
    "Plugs",
    "Minutes",
    "Open answers",
)
CSV_NUMBERS = frozenset({"Gigs", "Lines", "Plugs", "Minutes"})


def compare_text(grid: Grid, helps: Sequence[Help]) -> str:
    """The answer from top to bottom: sentence, table, picture, what is beaten, what would help."""
    parts = [
        "\n".join(filter(None, (sentence(grid), one_gig(grid)))),
        "\n".join(_aligned([TABLE, *(_row(row, grid.gigs) for row in grid.rows)])),
        "\n".join(["Gig by gig", *_picture(grid)]),
        "\n".join(f"{row.candidate.name}: {beaten(row)}" for row in grid.rows if row.beaten_by),
        binding(grid),
        "\n".join(
            [
                "What would help most",
                *(f"{'*' if one.best else ' '} {help_words(one)} ({help_costs(one)})" for one in helps),
            ]
        )
        if helps
        else "",
        "\n".join(_open(grid)),
        f"{WHAT_COUNTS}\n{TWO_PEOPLE}",
    ]
    return "\n\n".join(part for part in parts if part)


def _row(row: Row, gigs: int) -> tuple[str, ...]:
    return (
        row.candidate.name,
        f"{nothing_of(row)} of {gigs}",
        str(row.carried),
        str(row.looms),
        f"{row.metres:g}",
        str(row.plugs),
        str(row.minutes),
        worst(row),
    )


def _picture(grid: Grid) -> Iterator[str]:
    rooms = grid.comparison.year.rooms
    width = max(len(room.name) for room in rooms)
    names = [row.candidate.name for row in grid.rows]
    yield "   ".join(f"{number} {name}" for number, name in enumerate(names, start=1))
    yield ", ".join(f"{MARKS[loss]} {LOSS_WORDS[loss]}" for loss in LOSSES)
    yield " ".join([" " * (width + 4), *(f"{number:>4}" for number in range(1, len(names) + 1))])
    for at, room in enumerate(rooms):
        cells = (f"{MARKS[row.cells[at].loss]:>4}" for row in grid.rows)
        yield " ".join([f"{room.count:>3} {room.name:<{width}}", *cells])


def _open(grid: Grid) -> Iterator[str]:
    lines = [
        f"{room.name}: {words}"
        for at, room in enumerate(grid.comparison.year.rooms)
        for words in ranges_words(grid, at)
    ]
    if lines:
        yield "Where houses have not answered"
        yield from lines


def _aligned(rows: Sequence[Sequence[str]]) -> Iterator[str]:
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    for row in rows:
        yield "  ".join(text.ljust(width) for text, width in zip(row, widths, strict=True)).rstrip()


def compare_csv(grid: Grid) -> bytes:
    """One row a rig and gig."""
    rows: list[tuple[Cell, ...]] = []
    for row in grid.rows:
        for room, cell, found in zip(grid.comparison.year.rooms, row.cells, row.ranges, strict=True):
            rows.append(
                (
                    row.candidate.name,
                    room.name,
                    room.on,
                    room.count,
                    loss_words(cell),
                    "; ".join(given_words(cell)),
                    "; ".join(map(say, cell.binds)),
                    "; ".join(map(say, cell.blocks)),
                    ", ".join((*cell.splitters, *cell.built_in)),
                    ", ".join(cell.looms),
                    f"{cell.loom_m:g}",
                    cell.lines,
                    cell.plugs,
                    cell.minutes,
                    range_words(found),
                )
            )
    return csv_bytes(CSV_HEADS, CSV_NUMBERS, rows)


def compare_json(grid: Grid, helps: Sequence[Help]) -> dict[str, Json]:
    """Everything of it, for other software."""
    rooms: list[Json] = [
        {"name": room.name, "count": room.count, "on": room.on, "configuration": room.configuration}
        for room in grid.comparison.year.rooms
    ]
    return {
        "schema": 1,
        "sentence": sentence(grid),
        "gigs": grid.gigs,
        "rooms": rooms,
        "rigs": [_row_json(row) for row in grid.rows],
        "helps": [
            {
                "key": one.single.key,
                "text": help_words(one),
                "lose_nothing_more": one.nothing,
                "lose_less": one.less,
                "pieces_more": one.pieces,
                "minutes_more_a_gig": one.minutes,
                "price": one.figures.price,
                "kg": one.figures.kg,
                "best": one.best,
            }
            for one in helps
        ],
    }


def _range_json(found: Range) -> Json:
    turns: list[Json] = [{"question": one.question, "words": turn_words(one), "loss": one.loss} for one in found.turns]
    return {"best": found.best, "worst": found.worst, "turns": turns}


def _row_json(row: Row) -> Json:
    cells: list[Json] = []
    for cell, found in zip(row.cells, row.ranges, strict=True):
        said = {
            "sentence": say(cell.sentence),
            "binds": [*map(say, cell.binds)],
            "blocks": [*map(say, cell.blocks)],
            "minutes": cell.minutes,
            "range": _range_json(found) if found else None,
        }
        cells.append(_plain(asdict(cell) | said))
    return {
        "name": row.candidate.name,
        "lose_nothing": row.nothing,
        "lose_nothing_least": row.least,
        "lose_nothing_most": row.most,
        "splitter_carried": row.carried,
        "looms_carried": row.looms,
        "loom_m": row.metres,
        "plugs": row.plugs,
        "most_minutes": row.minutes,
        "blocked": row.blocked,
        "beaten_by": row.beaten_by,
        "cells": cells,
    }


def _plain(value: object) -> Json:
    if isinstance(value, dict):
        return {str(name): _plain(one) for name, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    assert value is None or isinstance(value, str | int | float)  # noqa: S101 - what a cell holds
    return value
