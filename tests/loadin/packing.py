"""The pack list as it is downloaded: what goes into the van, what stands at whose place, what stays at home."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass

from tests.loadin.paper import Paper, squashed
from tests.loadin.wording import NOTHING

LISTED_ABOVE = " (listed above)"

BRING, PLACE, HOUSE, LEAVE = "bring", "at the place of", "the house provides", "leave"

TITLES = {
    "bring": BRING,
    "cables": BRING,
    "theband'sown,byplayer": PLACE,
    "thehouseprovides": HOUSE,
    "leaveathome": LEAVE,
}
"""Heading on the printed list, squashed -> the word of the downloaded one."""


@dataclass(frozen=True)
class Thing:
    """One row. ``ends``, ``length`` and ``ways`` are empty where the list says nothing; ``again`` marks what was
    counted before.
    """

    what: str
    count: int
    spare: int = 0
    ends: str = ""
    length: str = ""
    ways: str = ""
    why: str = ""
    again: bool = False


@dataclass(frozen=True)
class AtPlace:
    """What stands at a player's place for one source, as written: "microphone; stand, short; cable"."""

    player: str
    source: str
    things: str


@dataclass(frozen=True)
class Packing:
    """The whole list. ``said`` is running text beside the tables, on the printed list only."""

    bring: tuple[Thing, ...]
    places: tuple[AtPlace, ...]
    house: tuple[AtPlace, ...]
    leave: tuple[Thing, ...]
    said: str = ""


def read_csv(content: bytes) -> Packing:
    """The downloaded list."""
    rows = list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"), newline="")))
    plain = [{head: _bare(cell) for head, cell in row.items()} for row in rows]
    return _packing([(row["What to do"], row) for row in plain], "")


def read_paper(paper: Paper) -> Packing:
    """The printed list."""
    renamed = {"Cable": "What", "Ways used": "Ways", "Length m": "Length m"}
    rows = []
    for table in paper.tables:
        todo = TITLES.get(squashed(table.title), "")
        for cells in table.rows:
            row = {
                renamed.get(head, head): "" if cell == "–" else cell
                for head, cell in zip(table.heads, cells, strict=True)
            }
            if todo in (PLACE, HOUSE):
                row["What"] = f"{row['Source']}: {row['What']}"
            rows.append((todo, row))
    return _packing(rows, paper.text)


def _bare(cell: str | None) -> str:
    """A cell without the guard before what a spreadsheet would take for a formula."""
    return (cell or "").removeprefix("'")


def _packing(rows: list[tuple[str, dict[str, str]]], said: str) -> Packing:
    things = {todo: tuple(_thing(row) for word, row in rows if word == todo) for todo in (BRING, LEAVE)}
    places = {todo: tuple(_place(row) for word, row in rows if word == todo) for todo in (PLACE, HOUSE)}
    return Packing(things[BRING], places[PLACE], places[HOUSE], things[LEAVE], said)


def _thing(row: dict[str, str]) -> Thing:
    what = row["What"]
    return Thing(
        what.removesuffix(LISTED_ABOVE),
        _count(row.get("Count", "")),
        _count(row.get("Spares", "")),
        row.get("Connectors", ""),
        row.get("Length m", ""),
        row.get("Ways", ""),
        row.get("Why", ""),
        again=what.endswith(LISTED_ABOVE),
    )


def _count(cell: str) -> int:
    return 0 if cell in NOTHING else int(cell)


def _place(row: dict[str, str]) -> AtPlace:
    source, _, things = row["What"].rpartition(": ")
    return AtPlace(row.get("Player", ""), source, things)
