"""What changed between two plans.

Rows are matched by what they carry (sources, players, things), never by their numbers, so that a line which moved is
said to have moved. The fields compared are those of ``signed_fields.py``: two plans differ here exactly where one
signature cannot stand for both.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import zip_longest
from typing import NamedTuple, TypeAlias

from portal.plan.model import (
    EarInput,
    EarMix,
    Item,
    Line,
    LoomWay,
    Move,
    NotSent,
    Output,
    Path,
    Plan,
    Return,
    Statement,
)
from portal.plan.phrase import COMMAS, SEMICOLONS, Choice, Listed, Phrase, Value
from portal.plan.result.spelling import desk_switch, leg_said
from portal.plan.signed.signed_fields import material_fields

Record: TypeAlias = Line | NotSent | EarInput | EarMix | Move | Output | Return | Item | Statement

NONE = Choice("cell", "none")

NEW, GONE, OTHER = "new", "gone", "other"

NESTED: Mapping[str, type] = {"path": Path, "loom": LoomWay}
"""Fields that are records themselves; their fields are compared one by one."""

SAID_BY = {"path.unit": "path.unit_name", "loom.key": "loom.name"}
"""Fields that need not be said where another one says it."""

KEYED_BY: Mapping[type, str] = {
    NotSent: "source",
    EarInput: "source",
    Move: "source",
    EarMix: "player",
    Output: "out",
    Return: "label",
    Item: "what",
    Statement: "key",
}
"""The field by which a row is known again; lines are by what they carry."""

CODES = frozenset(
    {
        "path.kind",
        "where",
        "desk_phantom",
        "owner",
        "stand",
        "level",
        "gain_owner",
        "phantom",
        "polarity",
        "width",
        "carried_by",
    }
)
"""Fields whose values are keys of the engine's."""


@dataclass(frozen=True)
class _Cell:
    """One field of a row: what is compared, and how it is said."""

    compared: object
    said: Value


@dataclass(frozen=True)
class _Row:
    """One row of a plan: what it is matched by, what people call it, and its cells by field."""

    key: tuple[object, ...]
    name: Value
    cells: Mapping[str, _Cell]


class Change(NamedTuple):
    """One material change: the table, whether its row is new, gone or another now (``deed``), what is said, and what
    the row carries, by which it is matched.
    """

    table: str
    deed: str
    said: Phrase
    row: tuple[object, ...] = ()


def difference(old: Plan, new: Plan) -> tuple[Phrase, ...]:
    """Every material change; nothing when one signature can stand for both plans."""
    return tuple(change.said for change in changes(old, new))


Read = Callable[[Value], str]
"""Puts a value into English. Plans of different engines write one thing down in different ways, and say it alike."""


def heaviest_first(old: Plan, new: Plan, read: Read | None = None) -> tuple[Change, ...]:
    """The changes in the order in which they are read: the route, lines and blockers that come or go; the others
    follow. One fact is said once, and so is what happens alike to many rows. Plans of different engines are compared as
    ``read`` says them.
    """
    found = _folded(_once(changes(old, new, read if old.engine != new.engine else None)))
    return tuple(sorted(found, key=lambda one: not _is_heavy(one)))


def _is_heavy(one: Change) -> bool:
    return one.table == "route" or (one.table in ("lines", "blocks") and one.deed != OTHER)


UNSENT = "lines-unsent"
"""A line that is gone because its only source stays with the band."""


def _once(found: tuple[Change, ...]) -> Iterator[Change]:
    """The changes, each fact in one of them: a source that goes to the house no longer, or again, is said by its line,
    and a cell that reads as in an earlier table is left out.
    """
    there = {
        (table, deed): {one.row[-1]: one for one in found if (one.table, one.deed) == (table, deed)}
        for table, deed in (("not_sent", NEW), ("not_sent", GONE))
    }
    lines = {deed: [one for one in found if (one.table, one.deed) == ("lines", deed)] for deed in (NEW, GONE)}
    alone = {one.row[-1] for one in lines[GONE] if len(one.row) == _ALONE}
    sent = {source for one in lines[NEW] for source in one.row[1:]}
    names = {deed: [one.said.parameters["row"] for one in several] for deed, several in lines.items()}
    told: set[object] = set()
    for one in found:
        source = one.row[-1] if one.row else None
        if one.table == "lines" and one.deed == GONE and source in alone and source in there["not_sent", NEW]:
            yield one._replace(said=Phrase(UNSENT, there["not_sent", NEW][source].said.parameters))
        elif one.table == "not_sent" and source in (alone if one.deed == NEW else sent if one.deed == GONE else ()):
            continue
        elif one.deed == OTHER and one.table != "route":
            row = one.said.parameters["row"]
            cells = [cell for cell in _cells_of(one) if (row, cell) not in told and not _follows(row, cell, names)]
            told.update((row, cell) for cell in cells)
            if cells:
                yield one._replace(said=Phrase(one.said.key, {"row": row, "cells": Listed(tuple(cells), SEMICOLONS)}))
        else:
            yield one


_ALONE = 2
"""Length of the key of a line of one source: its direction and the source."""


def _follows(row: Value, cell: Phrase, lines: Mapping[str, list[Value]]) -> bool:
    """True where an input's line to the house is said by a line that is gone, or by its own new one."""
    said = cell.parameters
    if said["field"] != Choice("field", "line"):
        return False
    if said["now"] == NONE:
        return said.get("was") in lines[GONE]
    return said["now"] == row and any(row == (one.listed[0] if isinstance(one, Listed) else one) for one in lines[NEW])


MANY = 3
"""From so many rows on, what happens alike to them is said once."""


def _folded(found: Iterable[Change]) -> Iterator[Change]:
    """The changes, those that happen alike to many rows of a table as one, at the place of the first."""
    groups: dict[object, list[Change]] = {}
    for one in found:
        groups.setdefault(_alike(one), []).append(one)
    for group in groups.values():
        if len(group) < MANY:
            yield from group
        else:
            first = group[0]
            rows = tuple(one.said.parameters["row"] for one in group)
            told_more = first.deed == NEW or first.said.key == UNSENT
            parameters = {**first.said.parameters, "row": Listed(rows, SEMICOLONS if told_more else COMMAS)}
            if first.deed == OTHER:
                parameters["cells"] = Listed(tuple(map(_now, _cells_of(first))), SEMICOLONS)
            yield first._replace(said=Phrase(f"{first.said.key}-many", parameters))


def _alike(one: Change) -> object:
    """What changes have in common that are said as one; a change by itself where it is said for itself alone."""
    if one.table in ("route", "blocks", "asks"):
        return one
    became = tuple((cell.parameters["field"], cell.parameters["now"]) for cell in _cells_of(one))
    return one.table, one.deed, one.said.key, became


def _cells_of(one: Change) -> tuple[Phrase, ...]:
    cells = one.said.parameters.get("cells")
    return tuple(cell for cell in cells.listed if isinstance(cell, Phrase)) if isinstance(cells, Listed) else ()


def _now(cell: Phrase) -> Phrase:
    return Phrase("cell-new", {name: cell.parameters[name] for name in ("field", "now")})


TABLES = (
    "lines",
    "not_sent",
    "returns",
    "ear_inputs",
    "moves",
    "ears",
    "outputs",
    "bring",
    "leave",
    "blocks",
    "asks",
)
"""The tables of a plan in the order in which their changes are said."""


def changes(old: Plan, new: Plan, read: Read | None = None) -> tuple[Change, ...]:
    """Every material change, table by table; with ``read`` what reads otherwise, without it what is otherwise."""
    found = []
    if old.route != new.route:
        parameters = {"was": Choice("route-title", old.route), "now": Choice("route-title", new.route)}
        found.append(Change("route", OTHER, Phrase("route-changed", parameters)))
    for table in TABLES:
        pairs = _changes(_rows(old, table, read), _rows(new, table, read), table)
        found.extend(Change(table, deed, said, key) for deed, said, key in pairs)
    return tuple(found)


def _changes(old: Iterable[_Row], new: Iterable[_Row], table: str) -> Iterator[tuple[str, Phrase, tuple[object, ...]]]:
    """What became of each row, what is said of it, and its key."""
    before, after = _grouped(old), _grouped(new)
    for key in {**before, **after}:
        for was, now in zip_longest(before.get(key, ()), after.get(key, ())):
            if now is None:
                yield GONE, Phrase(f"{table}-gone", {"row": was.name}), key
            elif was is None:
                yield NEW, Phrase(f"{table}-new", {"row": _introduced(now)}), key
            elif changed := [name for name in now.cells if was.cells[name].compared != now.cells[name].compared]:
                if "said" in changed:
                    yield NEW, Phrase(f"{table}-reworded", {"row": now.name, "was": was.name}), key
                else:
                    yield OTHER, _moved(was, now, changed), key


def _moved(was: _Row, now: _Row, changed: list[str]) -> Phrase:
    # A key says nothing to people that a changed name does not say.
    told = [
        name for name in changed if SAID_BY.get(name) not in changed and was.cells[name].said != now.cells[name].said
    ] or changed
    cells = tuple(_changed(name, was.cells[name].said, now.cells[name].said) for name in told)
    return Phrase("row-changed", {"row": now.name, "cells": Listed(cells, SEMICOLONS)})


def _grouped(rows: Iterable[_Row]) -> dict[tuple[object, ...], list[_Row]]:
    """Rows by their key. Rows that share one stand in an order of their content, so that equal lists meet equal
    partners.
    """
    groups: dict[tuple[object, ...], list[_Row]] = {}
    for row in rows:
        groups.setdefault(row.key, []).append(row)
    return {key: sorted(group, key=lambda row: repr(row.cells)) for key, group in groups.items()}


def _introduced(row: _Row) -> Value:
    """A new row with the numbers that people look for first."""
    shown: list[Value] = [
        Phrase("field-is", {"field": Choice("field", name), "value": row.cells[name].said})
        for name in ("box_socket", "desk_channel", "count")
        if name in row.cells
    ]
    shown += [row.cells["where"].said] if "where" in row.cells else []
    return Listed((row.name, *shown), COMMAS) if shown else row.name


def _rows(plan: Plan, table: str, read: Read | None) -> list[_Row]:
    records: tuple[Record, ...] = getattr(plan, table)
    by_number = _carried_by_number(plan.lines)
    rows = [_Row(_key(record), _name(record), _cells(record, by_number)) for record in records]
    return rows if read is None else [_as_read(row, read) for row in rows]


def _as_read(row: _Row, read: Read) -> _Row:
    """The row, matched and compared by how it reads."""
    key = tuple(read(one) if isinstance(one, Phrase) else one for one in row.key)
    return _Row(key, row.name, {name: _Cell(read(one.said), one.said) for name, one in row.cells.items()})


def _key(record: Record) -> tuple[object, ...]:
    if isinstance(record, Line):
        return (record.direction, *record.sources)
    return (getattr(record, KEYED_BY[type(record)]),)


def _name(record: Record) -> Value:
    match record:
        case EarMix():
            return record.player
        case Output():
            return Listed((record.out, record.feeds), COMMAS)
        case Item():
            return record.what
        case Statement():
            return record.said
        case _:
            return record.label


def _carried_by_number(lines: tuple[Line, ...]) -> dict[int, _Cell]:
    """Each line by its number, as what it carries: a partner that only got another number is still the same partner."""
    found: dict[int, _Cell] = {}
    seen: dict[tuple[object, ...], int] = {}
    for line in sorted(lines, key=lambda line: line.line):
        key = _key(line)
        seen[key] = seen.get(key, 0) + 1
        found[line.line] = _Cell((key, seen[key]), line.label)
    return found


def _cells(record: Record, by_number: Mapping[int, _Cell]) -> dict[str, _Cell]:
    cells: dict[str, _Cell] = {}
    for name in material_fields(type(record)):
        value = getattr(record, name)
        if name in NESTED:
            for inner in material_fields(NESTED[name]):
                part = getattr(value, inner, None)
                said = (leg_said(value) or part) if inner == "output" else part
                cells[f"{name}.{inner}"] = _Cell(part, _said(f"{name}.{inner}", said))
        elif _is_line_number(record, name) and value in by_number:
            cells[name] = by_number[value]
        else:
            # A plan of engine 8 holds the words of then in place of the key.
            switch = isinstance(record, Line) and name == "desk_phantom" and desk_switch(record)
            cells[name] = _Cell(value, _said(name, switch or value))
    return cells


def _is_line_number(record: Record, name: str) -> bool:
    """True where a field points at another line by its number."""
    return (isinstance(record, Line) and name == "stereo_partner") or (isinstance(record, EarInput) and name == "line")


def _changed(name: str, was: Value, now: Value) -> Phrase:
    parameters: dict[str, Value] = {"field": Choice("field", name), "now": now}
    return Phrase("cell-new", parameters) if was == NONE else Phrase("cell-changed", {**parameters, "was": was})


def _said(name: str, value: object) -> Value:
    if value is None or value in ("", ()):
        return NONE
    if isinstance(value, bool):
        return Choice("cell", "yes" if value else "no")
    if isinstance(value, tuple):
        return Listed(tuple(map(str, value)), COMMAS)
    if name in CODES:
        return Choice(name, str(value))
    return value if isinstance(value, int | Phrase) else str(value)
