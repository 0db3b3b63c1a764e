"""A whole plan as a file for other software, and back: JSON, or CSV with one row a fact. Both hold the same, and
nothing is lost.

JSON: ``{"schema": 1, "heading": {"gig", "date", "place"}, "revision": 7, "content_hash": "…", "plan": {…}}``; ``plan``
is what ``python -m portal plan --json`` prints. Reading computes the hash anew: a file whose material content was
altered is refused.

CSV: the columns Place, Kind, Number and Text. The place is the way to the fact in the JSON, with the items of a list
counted from 1: ``plan.lines.3.label``. Kind is text, number, yes, no, nothing or list; a list's Number is how many
items it has.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import cast

from portal.exchange.faults import Fault, NotReadable, came
from portal.exchange.files import read_document
from portal.exchange.spreadsheets.tables import Cell, csv_bytes, csv_rows
from portal.plan.model import Plan
from portal.plan.signed.serialization import Heading, Json, NotCanonical, content_hash, from_json, to_json

SCHEMA = 1

HEADS = ("Place", "Kind", "Number", "Text")
NUMBERS = frozenset({"Number"})

DEEPEST = 12
"""Parts of a place; the deepest fact of a plan has seven."""


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


def read_plan_json(content: bytes) -> PlanFile:
    """What ``plan_json`` wrote. Raises ``NotReadable``, also where the content and its hash do not belong together."""
    return _from_document(read_document(content, ".json"))


def plan_csv(file: PlanFile) -> bytes:
    """The file as CSV, one row a fact."""
    return csv_bytes(HEADS, NUMBERS, tuple(_facts("", _document(file))))


def read_plan_csv(content: bytes) -> PlanFile:
    """What ``plan_csv`` wrote. Raises ``NotReadable``, also where the content and its hash do not belong together."""
    heads, rows = csv_rows(content, NUMBERS)
    if heads != HEADS:
        raise NotReadable([Fault("row 1", "the columns " + ", ".join(HEADS), came(", ".join(heads)))])
    return _from_document(_gathered(rows))


def _document(file: PlanFile) -> dict[str, Json]:
    heading = file.heading
    return {
        "schema": SCHEMA,
        "heading": {"gig": heading.gig, "date": heading.date, "place": heading.place},
        "revision": file.revision,
        "content_hash": file.content_hash,
        "plan": to_json(file.plan),
    }


def _from_document(document: object) -> PlanFile:
    if not isinstance(document, Mapping) or set(document) != {"schema", "heading", "revision", "content_hash", "plan"}:
        raise NotReadable([Fault("", "a table with schema, heading, revision, content_hash and plan", came(document))])
    if document["schema"] != SCHEMA or type(document["schema"]) is not int:
        raise NotReadable([Fault("schema", f"the number {SCHEMA}", came(document["schema"]))])
    heading, revision, plan = document["heading"], document["revision"], document["plan"]
    if (
        not isinstance(heading, Mapping)
        or set(heading) != {"gig", "date", "place"}
        or not all(isinstance(one, str) for one in heading.values())
    ):
        raise NotReadable([Fault("heading", "texts for gig, date and place", came(heading))])
    if type(revision) is not int:
        raise NotReadable([Fault("revision", "a whole number", came(revision))])
    if not isinstance(plan, Mapping):
        raise NotReadable([Fault("plan", "a table", came(plan))])
    try:
        read = from_json(cast("Mapping[str, Json]", plan))
    except NotCanonical as error:
        raise NotReadable([Fault("plan", "every fact of a plan", str(error))]) from None
    if not isinstance(read, Plan):
        raise NotReadable([Fault("plan.status", "the word plan", came(plan["status"]))])
    found = PlanFile(
        Heading(heading["gig"], heading["date"], heading["place"]), revision, str(document["content_hash"]), read
    )
    if content_hash(read, found.heading) != found.content_hash:
        raise NotReadable([Fault("content_hash", "the hash of this content", "another one: the file was altered")])
    return found


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


@dataclass
class _Node:
    """A place and what lies below it; ``value`` is set where nothing lies below."""

    below: dict[str, _Node]
    length: int | None = None
    value: Json = None


def _gathered(rows: tuple[tuple[Cell, ...], ...]) -> Json:
    """The document that the rows describe. Raises ``NotReadable``."""
    top = _Node({})
    seen = set()
    for row, (place, kind, number, text) in enumerate(rows, start=2):
        parts = str(place).split(".")
        if place in seen or len(parts) > DEEPEST or not all(parts):
            raise NotReadable([Fault(f"row {row}, Place", "a place that no other row has", came(place))])
        seen.add(place)
        node = top
        for part in parts:
            node = node.below.setdefault(part, _Node({}))
        if kind in ("list", "number") and not isinstance(number, int):
            raise NotReadable([Fault(f"row {row}, Number", "a whole number", came(number))])
        if kind == "list":
            node.length = cast("int", number)
        elif kind == "text":
            node.value = str(text or "")
        elif kind == "number":
            node.value = number
        elif kind in ("yes", "no", "nothing"):
            node.value = None if kind == "nothing" else kind == "yes"
        else:
            raise NotReadable([Fault(f"row {row}, Kind", "text, number, yes, no, nothing or list", came(kind))])
    return _json(top, "")


def _json(node: _Node, place: str) -> Json:
    if node.length is not None:
        if len(node.below) != node.length or any(str(number) not in node.below for number in range(1, node.length + 1)):
            raise NotReadable([Fault(place, f"{node.length} items, counted from 1", f"{len(node.below)}")])
        return [_json(node.below[str(number)], f"{place}.{number}") for number in range(1, node.length + 1)]
    if node.below:
        return {name: _json(one, f"{place}.{name}".lstrip(".")) for name, one in node.below.items()}
    return node.value
