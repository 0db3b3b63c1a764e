"""Published input lists and one reader's interpretation of their labels, as an outside check of the readings.

The lists of ``SET_ASIDE`` were chosen by their ids before the reader was written; it is only measured with them.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from portal.exchange.pasted import Pasted, PastedRow, read_text
from portal.exchange.proposing import Proposal, propose
from portal.exchange.reading import Certainty, Reading

DATA = Path(__file__).parent / "data"
SET_ASIDE = ("r05", "r11", "r22", "r34")

AGREES, MARKED, WRONG = "agree", "marked", "confidently wrong"

Facets = dict[str, list[str]]


@dataclass(frozen=True)
class Row:
    """One published row: its number as published (empty where the list has none), its label, what else stands in it, the reading that is held."""

    number: str
    label: str
    rest: tuple[str, ...]
    expected: Facets


@dataclass(frozen=True)
class PublishedList:
    """One published list."""

    name: str
    rows: tuple[Row, ...]


@cache
def published() -> tuple[PublishedList, ...]:
    """Every list, each label with what its reading means in the keys of this project."""
    facts = json.loads((DATA / "published_lists.json").read_text(encoding="utf-8"))
    keys = json.loads((DATA / "reading_keys.json").read_text(encoding="utf-8"))
    expected = {}
    for reading in facts["readings"]:
        said = keys["as_written"][reading["label"]] if reading["key"] == "as written" else keys["keys"][reading["key"]]
        side = reading["side_or_position"]
        expected[reading["label"]] = said | (keys["sides"][side] if side else {})
    return tuple(
        PublishedList(
            one["id"],
            tuple(
                Row(
                    str(row["n"]) if one["numbering"].startswith("as published") and re.search(r"\d", str(row["n"])) else "",
                    row["label"],
                    tuple(cell for cell in (row["transducer"], row["stand"]) if cell and cell != "None"),
                    expected[row["label"]],
                )
                for row in one["rows"]
            ),
        )
        for one in facts["lists"]
    )


def part(*, set_aside: bool) -> tuple[PublishedList, ...]:
    """The lists that were set aside, or the others."""
    return tuple(one for one in published() if (one.name in SET_ASIDE) == set_aside)


def as_columns(one: PublishedList, *, rest: bool) -> str:
    """The list as rows of a spreadsheet would be pasted."""
    return "\n".join("\t".join([row.number, row.label, *(row.rest if rest else ())]) for row in one.rows)


def as_text(one: PublishedList) -> str:
    """The list as lines of a text: numbered where it is published so, else with a dash before each."""
    return "\n".join(f"{row.number}. {row.label}" if row.number else f"- {row.label}" for row in one.rows)


def lost(one: PublishedList, read: Pasted) -> list[str]:
    """Labels that are not among the rows that were read, counted as often as they were written; a row without a label is kept as a dash."""
    missing = Counter(" ".join(row.label.split()) or "-" for row in one.rows)
    missing.subtract(Counter(" ".join(row.label.split()) for row in read.rows))
    return [label for label, count in missing.items() if count > 0 for _ in range(count)]


def judged(one: PublishedList, *, rest: bool) -> Iterator[tuple[Row, Proposal, str]]:
    """Every row with its proposal and the verdict."""
    rows = [PastedRow(row.number, row.label, row.rest if rest else ()) for row in one.rows]
    for row, proposal in zip(one.rows, propose(rows), strict=True):
        yield row, proposal, verdict(proposal.reading, row.expected)


def verdict(reading: Reading, expected: Facets) -> str:
    """Marked where the reading asks; else whether every facet that the outside reading names is among those that agree."""
    if reading.certainty is not Certainty.SURE:
        return MARKED
    return AGREES if all(getattr(reading, facet) in agreeing for facet, agreeing in expected.items()) else WRONG


def counts(lists: tuple[PublishedList, ...], *, rest: bool) -> Counter[str]:
    """How many rows agree, are marked, are confidently wrong."""
    return Counter(verdict for one in lists for _, _, verdict in judged(one, rest=rest))


def rows_lost(lists: tuple[PublishedList, ...]) -> list[str]:
    """Labels that are lost when the lists are pasted as columns, with and without other columns, or as text."""
    return [
        label
        for one in lists
        for text in (as_columns(one, rest=True), as_columns(one, rest=False), as_text(one))
        for label in lost(one, read_text(text))
    ]
