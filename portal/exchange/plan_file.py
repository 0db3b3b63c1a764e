"""A whole plan as a file for other software: JSON, or CSV with one row a fact. Both hold the same, and nothing is lost.

JSON: ``{"schema": 2, "heading": {"gig", "date", "place"}, "revision": 7, "content_hash": "…", "plan": {…}}``; ``plan``
is what ``python -m portal plan --json`` prints.

CSV: the columns Place, Kind, Number and Text. The place is the way to the fact in the JSON, with the items of a list
counted from 1: ``plan.lines.3.label``. Kind is text, number, yes, no, nothing or list; a list's Number is how many
items it has.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass

from portal.exchange.spreadsheets.tables import Cell, csv_bytes
from portal.plan.model import Plan
from portal.plan.signed.serialization import Heading, Json, with_texts
from portal.wording.plan.saying import say

SCHEMA = 2

HEADS = ("Place", "Kind", "Number", "Text")
NUMBERS = frozenset({"Number"})


@dataclass(frozen=True)
class PlanFile:
    """One revision of a gig's plan, with what stands above it and the hash that both sides sign."""

    heading: Heading
    revision: int
    content_hash: str
    plan: Plan


def plan_json(file: PlanFile) -> bytes:
    """The file as JSON in UTF-8, made for people to read as well."""
    return (json.dumps(_document(file), ensure_ascii=False, indent=1) + "\n").encode()


def plan_csv(file: PlanFile) -> bytes:
    """The file as CSV, one row a fact."""
    return csv_bytes(HEADS, NUMBERS, tuple(_facts("", _document(file))))


def _document(file: PlanFile) -> dict[str, Json]:
    heading = file.heading
    return {
        "schema": SCHEMA,
        "heading": {"gig": heading.gig, "date": heading.date, "place": heading.place},
        "revision": file.revision,
        "content_hash": file.content_hash,
        "plan": with_texts(file.plan, say),
    }


def _facts(place: str, value: Json) -> Iterator[tuple[Cell, ...]]:
    if isinstance(value, dict):
        for name, one in value.items():
            yield from _facts(f"{place}.{name}" if place else name, one)
    elif isinstance(value, list):
        yield place, "list", len(value), None
        for number, one in enumerate(value, start=1):
            yield from _facts(f"{place}.{number}", one)
    elif isinstance(value, bool):
        yield place, "yes" if value else "no", None, None
    elif isinstance(value, int):
        yield place, "number", value, None
    elif value is None:
        yield place, "nothing", None, None
    else:
        yield place, "text", None, str(value)
