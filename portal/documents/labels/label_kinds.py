"""What labels say: tonight's tails, the numbers of ways for good, strips for rack, stage box and desk."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import groupby
from types import MappingProxyType
from typing import Literal

from portal.documents.labels.label_colours import Colour, bands
from portal.documents.patch.patch_rows import socket_words
from portal.documents.rendering.printed import Printed
from portal.plan.input.rig import MAX_LABEL
from portal.plan.model import BESIDE_THE_LOOM, PA, Line, LoomWay, Plan
from portal.wording.catalogue import Words, gettext, mark, pgettext
from portal.wording.plan.saying import say

Kind = Literal["tails", "ways", "rack-strip", "box-strip", "desk-strip"]

KINDS: Mapping[Kind, str] = MappingProxyType(
    {
        "tails": mark("Tonight's tails whose box input is not the way"),
        "ways": mark("Way numbers for good, both ends of each way"),
        "rack-strip": mark("Strip for the rack: splitter ways and outputs"),
        "box-strip": mark("Strip for the stage box: sockets"),
        "desk-strip": mark("Strip for the house desk: channels"),
    }
)
"""What can be printed, in words that are looked up when they are shown."""

STRIP_NAMES = Words({"rack-strip": mark("Rack"), "box-strip": mark("Stage box"), "desk-strip": mark("House desk")})
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
        yield Label("", STRIP_NAMES[kind], "", (gettext("strip"),), strip=True)
    for line in lines:
        name, short = _name(line, printed), printed(line.strip, MAX_LABEL, "")
        if kind == "box-strip":
            yield Label(line.socket, name, short, (gettext("desk %(channel)s", channel=line.desk_channel),), strip=True)
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
    if line.box_socket is None:
        return gettext("link")
    if line.box == PA:
        return gettext("PA %(side)s", side=socket_words(line))
    return gettext("box %(box_input)s", box_input=line.socket)


def into_words(line: Line) -> str:
    if line.box == PA:
        return gettext("into PA input %(side)s", side=socket_words(line))
    return gettext("into box input %(box_input)s", box_input=line.socket)


def _of_a_loom(loom: LoomWay, printed: Printed) -> str:
    return gettext("%(loom)s, way %(way)s", loom=printed(loom.name, MAX_LABEL, ""), way=loom.way)


def _tails(plan: Plan, printed: Printed) -> Iterator[Label]:
    """One label for each box end that its way's own number would mislead, and for each return: both carry signals in
    places that nobody expects.
    """
    # What comes over a digital link has no cable of its own.
    for line in sorted((line for line in plan.lines if line.box_socket is not None), key=_loom_order):
        if line.loom and line.socket == str(line.loom.way):
            continue
        where = _of_a_loom(line.loom, printed) if line.loom else gettext("own cable")
        name, short = _name(line, printed), printed(line.strip, MAX_LABEL, "")
        yield Label(
            line.socket,
            short or name,
            short,
            (where, into_words(line)),
            bands(line.box_socket or 0) or (),
        )
    for one in plan.returns:
        if one.loom is not None:
            to = (
                gettext("return, to mixer input %(mixer_input)s", mixer_input=one.mixer_input)
                if one.mixer_input is not None
                else gettext("return, to mixer input not known")
            )
            name = printed(one.label, MAX_LABEL, "")
            at_the_box = (
                (gettext("into box output %(output)s", output=one.box_output),) if one.box_output is not None else ()
            )
            yield Label(pgettext("number of a return", "R"), name, "", (_of_a_loom(one.loom, printed), *at_the_box, to))


def _ways(plan: Plan, printed: Printed) -> Iterator[Label]:
    """The number that both ends of a way share, whatever it carries tonight."""
    looms = [*(line.loom for line in plan.lines), *(one.loom for one in plan.returns)]
    ways = {(loom.name, loom.way) for loom in looms if loom} | {(one.name, one.way) for one in plan.spare}
    for name, way in sorted(ways):
        for end in (gettext("way %(way)s, rack end", way=way), gettext("way %(way)s, box end", way=way)):
            yield Label(str(way), printed(name, MAX_LABEL, ""), "", (end,), bands(way) or ())


def _loom_order(line: Line) -> tuple[bool, str, int]:
    return (False, line.loom.name, line.loom.way) if line.loom else (True, "", line.line)


def _name(line: Line, printed: Printed) -> str:
    return printed(line.label, MAX_LABEL, "") or gettext("line %(line)s", line=line.line)


def _rack_order(line: Line) -> tuple[str, int, str]:
    return say(line.path.unit_name), line.path.way or 0, line.path.output


def _rack_number(line: Line) -> str:
    return (
        str(line.path.way) if line.path.way is not None else line.path.output.removeprefix("out-")[:6] or str(line.line)
    )


def _unit_words(line: Line, printed: Printed) -> str:
    return printed(line.path.unit_name, MAX_LABEL, "") or line.path.kind
