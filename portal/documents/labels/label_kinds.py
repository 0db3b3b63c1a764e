"""What labels say: tonight's tails, the numbers of ways for good, strips for rack, stage box and desk."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import groupby
from types import MappingProxyType
from typing import Literal

from portal.documents.labels.label_colours import Colour, bands
from portal.documents.rendering.printed import Printed
from portal.plan.input.rig import MAX_LABEL
from portal.plan.model import BESIDE_THE_LOOM, PA, Line, Plan

Kind = Literal["tails", "ways", "rack-strip", "box-strip", "desk-strip"]

KINDS: Mapping[Kind, str] = MappingProxyType(
    {
        "tails": "Tonight's tails whose box input is not the way",
        "ways": "Way numbers for good, both ends of each way",
        "rack-strip": "Strip for the rack: splitter ways and outputs",
        "box-strip": "Strip for the stage box: sockets",
        "desk-strip": "Strip for the house desk: channels",
    }
)
"""What can be printed, in words."""

STRIP_NAMES: Mapping[Kind, str] = MappingProxyType(
    {"rack-strip": "Rack", "box-strip": "Stage box", "desk-strip": "House desk"}
)
"""What the first cell of a strip says."""


@dataclass(frozen=True)
class Label:
    """What one label says. ``number`` is large; ``name`` the signal, ``short`` its strip name; ``rest`` the lines under
    it, most needed first; ``stamp`` the last of them, small, whatever finds no room.

    A cell of a ``strip`` has its number and the first of ``rest`` in one row, and the name under them over the whole
    width.
    """

    number: str
    name: str
    short: str
    rest: tuple[str, ...]
    colours: tuple[Colour, ...] = ()
    strip: bool = False
    stamp: str = ""


def labels_of(kind: Kind, plan: Plan, stamp: str, printed: Printed) -> Iterator[Label]:
    """The labels of one kind, in the order in which they are plugged. ``stamp`` names gig, date and revision: it
    stands on each label of tonight, on the first cell of a strip, and on nothing that stays.
    """
    if kind == "ways":
        yield from _ways(plan, printed)
    elif kind == "tails":
        yield from (replace(one, stamp=stamp) for one in _tails(plan, printed))
    else:
        yield from (one if one.number else replace(one, rest=(), stamp=stamp) for one in _strips(kind, plan, printed))


def _strips(kind: Kind, plan: Plan, printed: Printed) -> Iterator[Label]:
    if kind == "rack-strip":
        yield from _rack_strips(plan, printed)
        return
    if kind == "box-strip":
        lines = sorted(
            (line for line in plan.lines if line.box_socket is not None and line.box != PA),
            key=lambda line: (line.box, line.box_socket or 0),
        )
    else:
        lines = sorted((line for line in plan.lines if line.box != PA), key=lambda line: line.desk_channel)
    if lines:
        yield Label("", STRIP_NAMES[kind], "", ("strip",), strip=True)
    for line in lines:
        name, short = _name(line, printed), printed(line.strip, MAX_LABEL, "")
        if kind == "box-strip":
            yield Label(line.socket, name, short, (f"desk {line.desk_channel}",), strip=True)
        else:
            yield Label(str(line.desk_channel), short or name, short, (_socket_words(line),), strip=True)


def _rack_strips(plan: Plan, printed: Printed) -> Iterator[Label]:
    """One strip for each splitter or mixer that lines leave the rack by."""
    lines = sorted((line for line in plan.lines if line.path.kind not in BESIDE_THE_LOOM), key=_rack_order)
    for unit, leaving in groupby(lines, lambda line: _unit_words(line, printed)):
        yield Label("", unit, STRIP_NAMES["rack-strip"], (STRIP_NAMES["rack-strip"],), strip=True)
        for line in leaving:
            yield Label(
                _rack_number(line),
                _name(line, printed),
                printed(line.strip, MAX_LABEL, ""),
                (_socket_words(line),),
                strip=True,
            )


def _socket_words(line: Line) -> str:
    return "link" if line.box_socket is None else f"{'PA' if line.box == PA else 'box'} {line.socket}"


def _tails(plan: Plan, printed: Printed) -> Iterator[Label]:
    """One label for each box end that its way's own number would mislead, and for each return: both carry signals in
    places that nobody expects.
    """
    # What comes over a digital link has no cable of its own.
    for line in sorted((line for line in plan.lines if line.box_socket is not None), key=_loom_order):
        if line.loom and line.socket == str(line.loom.way):
            continue
        where = f"{printed(line.loom.name, MAX_LABEL, '')}, way {line.loom.way}" if line.loom else "own cable"
        name, short = _name(line, printed), printed(line.strip, MAX_LABEL, "")
        yield Label(
            line.socket,
            short or name,
            short,
            (where, f"into {'PA' if line.box == PA else 'box'} input {line.socket}"),
            bands(line.box_socket or 0) or (),
        )
    for one in plan.returns:
        if one.loom is not None:
            to = f"mixer input {one.mixer_input}" if one.mixer_input is not None else "mixer input not known"
            way = f"{printed(one.loom.name, MAX_LABEL, '')}, way {one.loom.way}"
            yield Label("R", printed(one.label, MAX_LABEL, ""), "", (way, f"return, to {to}"))


def _ways(plan: Plan, printed: Printed) -> Iterator[Label]:
    """The number that both ends of a way share, whatever it carries tonight."""
    looms = [*(line.loom for line in plan.lines), *(one.loom for one in plan.returns)]
    ways = {(loom.name, loom.way) for loom in looms if loom} | {(one.name, one.way) for one in plan.spare}
    for name, way in sorted(ways):
        for end in ("rack end", "box end"):
            yield Label(str(way), printed(name, MAX_LABEL, ""), "", (f"way {way}, {end}",), bands(way) or ())


def _loom_order(line: Line) -> tuple[bool, str, int]:
    return (False, line.loom.name, line.loom.way) if line.loom else (True, "", line.line)


def _name(line: Line, printed: Printed) -> str:
    return printed(line.label, MAX_LABEL, "") or f"line {line.line}"


def _rack_order(line: Line) -> tuple[str, int, str]:
    return line.path.unit_name, line.path.way or 0, line.path.output


def _rack_number(line: Line) -> str:
    return (
        str(line.path.way) if line.path.way is not None else line.path.output.removeprefix("out-")[:6] or str(line.line)
    )


def _unit_words(line: Line, printed: Printed) -> str:
    return printed(line.path.unit_name, MAX_LABEL, "") or line.path.kind
