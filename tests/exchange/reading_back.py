"""The portal's files read back by a reader of the tests' own: rows of CSV, and a whole plan from JSON or CSV."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Collection

from portal.exchange.plan_file import HEADS, NUMBERS, PlanFile
from portal.exchange.spreadsheets.source_columns import unguarded
from portal.plan import NoPlan, Plan
from portal.plan.signed.serialization import Heading
from portal.store.plans import read_outcome

Rows = tuple[tuple[str | int | None, ...], ...]


def from_json(document: object) -> Plan | NoPlan:
    """The outcome that ``to_json`` wrote, read as the store reads it."""
    return read_outcome(json.dumps(document))


def csv_rows(content: bytes, numbers: Collection[str]) -> tuple[tuple[str, ...], Rows]:
    """Heads and rows of what ``csv_bytes`` wrote."""
    heads, *body = csv.reader(io.StringIO(content.decode("utf-8-sig"), newline=""), strict=True)

    def cell(head: str, text: str) -> str | int | None:
        return unguarded(text) if head not in numbers else int(text) if text else None

    return tuple(heads), tuple(tuple(cell(*one) for one in zip(heads, record, strict=True)) for record in body)


def read_plan_json(content: bytes) -> PlanFile:
    """What ``plan_json`` wrote."""
    return plan_file(json.loads(content))


def read_plan_csv(content: bytes) -> PlanFile:
    """What ``plan_csv`` wrote."""
    heads, rows = csv_rows(content, NUMBERS)
    assert heads == HEADS
    top: dict[str, object] = {}
    empty: dict[str, object] = {"list": [], "yes": True, "no": False, "nothing": None}
    for place, kind, number, text in rows:
        *way, name = str(place).split(".")
        node: object = top
        for part in way:
            node = node[int(part) - 1] if isinstance(node, list) else node.setdefault(part, {})
        value = {"number": number, "text": text or ""}.get(str(kind), empty.get(str(kind)))
        if kind == "list":
            value = [{} for _ in range(number)]
        if isinstance(node, list):
            node[int(name) - 1] = value
        else:
            node[name] = value
    return plan_file(top)


def plan_file(document: dict[str, object]) -> PlanFile:
    """The file of its document."""
    assert document["schema"] == 2
    plan = from_json(document["plan"])
    assert isinstance(plan, Plan)
    return PlanFile(Heading(**document["heading"]), document["revision"], document["content_hash"], plan)
