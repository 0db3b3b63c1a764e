"""A plan as text for a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from portal.plan.model import Fact, Item, Line, LoomWay, Move, NoPlan, Path, Plan, Remedy, Statement
from portal.plan.result.spelling import WHERE, leg_said
from portal.wording.plan.assumed import say_assumed
from portal.wording.plan.saying import say

ACTORS = {"band": "the band", "house": "the house"}


def plan_text(outcome: Plan | NoPlan) -> str:
    """The outcome, readable from top to bottom; parts with nothing in them are left out."""
    parts = _plan(outcome) if isinstance(outcome, Plan) else _no_plan(outcome)
    return "\n\n".join(part for part in parts if part)


def _plan(plan: Plan) -> Iterable[str]:
    said = say(plan.sentence)
    yield said if plan.proven else f"{said}\nThe search was cut short: there may be a better plan."
    yield _part("Lines to the house", _table(LINE_HEADINGS, [_line(line) for line in plan.lines]))
    yield _part("Not sent", [f"{row.label}: {WHERE[row.where]}" for row in plan.not_sent])
    yield _part(
        "Lines back to the band", [_joined(say(row.label), _loom(row.loom), say(row.note)) for row in plan.returns]
    )
    yield _part("Blocks the sign-off", _statements(plan.blocks))
    yield _part("To be ticked when signing", _statements(plan.asks))
    yield _part("Notes", _statements(plan.notes))
    yield _part("What would help", [_remedy(row) for row in plan.would_help])
    yield _part("Plugs that move tonight", [_move(row) for row in plan.moves])
    yield _part("Bring", _items(plan.bring))
    yield _part("Leave at home", _items(plan.leave))
    yield _part(
        "If you find fewer working inputs, each on top of those above it",
        [f"With {cut.inputs}: {say(cut.said)}" for cut in plan.cut_list],
    )
    yield _part("If the rack loses power", [say(plan.rack_dies.said)] if plan.rack_dies.said else [])
    yield _part("Assumed until told", [say_assumed(row) for row in plan.assumed])


def _move(row: Move) -> str:
    return f"{row.label}: from mixer input {row.rig_input} to {row.tonight}; {say(row.note)}"


def _no_plan(outcome: NoPlan) -> Iterable[str]:
    yield say(outcome.sentence)
    yield _part("What cannot all hold", [f"{say(row.said)}{_facts(row.facts)}" for row in outcome.conflicts])
    yield _part("What would help", [_remedy(row) for row in outcome.remedies])
    yield _part("Assumed until told", [say_assumed(row) for row in outcome.assumed])


LINE_HEADINGS = (
    "Line",
    "Label",
    "Box socket",
    "Desk channel",
    "Mic or DI",
    "Path",
    "Loom",
    "Level",
    "48 V",
    "Pad",
    "Gain",
    "Note",
)


def _line(line: Line) -> tuple[str, ...]:
    return (
        str(line.line),
        line.label,
        line.socket,
        str(line.desk_channel),
        _joined(say(line.mic_or_di), line.owner),
        _path(line.path),
        _loom(line.loom),
        line.level,
        line.phantom,
        f"{line.pad_db} dB" if line.pad_db else "",
        line.gain_owner,
        say(line.note),
    )


def _path(path: Path) -> str:
    return _joined(
        _words(path.kind),
        say(path.unit_name),
        f"way {path.way}" if path.way else "",
        say(leg_said(path) or path.output),
    )


def _loom(loom: LoomWay | None) -> str:
    return f"{loom.name} {loom.way}" if loom else ""


def _statements(statements: Sequence[Statement]) -> list[str]:
    return [
        "\n    ".join([say(one.said), *(f"Would help: {_remedy(remedy)}" for remedy in one.remedies)])
        for one in statements
    ]


def _items(items: Sequence[Item]) -> list[str]:
    return [f"{item.count} × {say(item.what)}" + (f": {say(item.why)}" if item.why else "") for item in items]


def _remedy(remedy: Remedy) -> str:
    return f"{say(remedy.said)} ({ACTORS.get(remedy.actor, remedy.actor)})"


def _facts(facts: Sequence[Fact]) -> str:
    return "".join(f"\n    {fact.origin}: {say(fact.value)}" for fact in facts)


def _part(title: str, rows: Sequence[str]) -> str:
    return "\n".join([title, *(f"  {row}" for row in rows)]) if rows else ""


def _table(headings: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    """Rows under their headings, aligned; columns with nothing in them are left out."""
    if not rows:
        return []
    filled = [column for column in zip(headings, *rows, strict=True) if any(column[1:])]
    widths = [max(map(len, column)) for column in filled]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in zip(*filled, strict=True)
    ]


def _joined(*words: str) -> str:
    return ", ".join(word for word in words if word)


def _words(key: str) -> str:
    return key.replace("-", " ")
