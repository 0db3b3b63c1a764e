"""What is plugged when it comes to a row of the cut list, and what stays as it is plugged."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from portal.plan.input.rig import Out, Source
from portal.plan.options.routing_policy import needs_phantom, never_phantom
from portal.plan.result.lines import right_leg_is_free
from portal.plan.result.routing import Routing, Sent, phantom_of
from portal.plan.solving.cut_sockets import Sockets

PLUGS = frozenset({"split", "straight"})
"""Ways to the house that pass no output of the mixer."""

SUMS = frozenset({"group", "left-right-mix"})
"""Ways to the house on which the band's mixer sums what is plugged into it."""


@dataclass(frozen=True)
class Plugged:
    """What is plugged when it comes to a row: keys of the sources that go past the in-ears, of those in cases, of those
    to which only the house can feed 48 V, of those that it feeds by a switch which is on for others, and of singers
    at another's microphone.
    """

    past_the_ears: frozenset[str] = frozenset()
    in_their_cases: frozenset[str] = frozenset()
    fed_by_the_house: frozenset[str] = frozenset()
    fed_with_others: frozenset[str] = frozenset()
    guests: frozenset[str] = frozenset()

    def after(self, routing: Routing) -> Plugged:
        """The same once a routing is plugged; what lies in its case stays there until it has a line again."""
        away = {line.sources[0].key for line in routing.lines if line.step == "out-of-the-ears"}
        cased = {
            leg.key
            for unit in routing.units
            if unit.stays_in_its_case(routing.modes[unit.key].removeprefix("out|"))
            for leg in unit.legs
        }
        free = {line.sources[1].key for line in routing.lines if right_leg_is_free(line)}
        guests = {line.guest.key for line in routing.lines if line.guest}
        # On a sum a guest stays at the same microphone.
        free |= guests | (self.guests - {line.plug.key for line in routing.lines if line.kind not in SUMS})
        sent = [line for line in routing.lines if line.kind != "left-right-mix"]
        back = {source.key for line in sent for source in line.sources} - free
        fed = {
            source.key
            for line in routing.lines
            if phantom_of(line) == "house"
            for source in line.sources
            if needs_phantom(source) == "yes"
        }
        split = {source.key for line in routing.lines if line.kind == "split" for source in line.sources}
        return Plugged(
            frozenset(away),
            (self.in_their_cases - back) | cased | free,
            frozenset(fed),
            frozenset(self.fed_with_others & split - fed),
            frozenset(guests | self.guests & free),
        )


NOT_SAID = Plugged()


def as_plugged(before: Routing, after: Routing, sockets: Sockets) -> Routing:
    """A routing whose lines keep the way to the house that they have already, where nothing else takes it now, and the
    outputs, where they can: any output takes a sum, and others of one sort are alike. ``sockets``: who is plugged where
    before it.
    """
    held = held_outputs(before)
    lines = _on_their_ways(before, after, sockets)
    for number, line in enumerate(lines):
        out = held.get((line.sources, line.side))
        if out is None or line.out is None or out == line.out:
            continue
        other = next((at for at, one in enumerate(lines) if one.out == out), None)
        sums = len(line.sources) > 1 and (other is None or len(lines[other].sources) > 1)
        if not sums and (out.use, out.unprocessed) != (line.out.use, line.out.unprocessed):
            continue
        if other is not None:
            lines[other] = replace(lines[other], out=line.out)
        lines[number] = replace(line, out=out)
    return replace(after, lines=tuple(lines))


def _on_their_ways(before: Routing, after: Routing, sockets: Sockets) -> list[Sent]:
    """The lines of a routing, those that pass no output of the mixer as they were plugged before: nobody moves a plug
    that still has its place.
    """
    plugged = {line.plug.key: line for line in before.lines if line.kind in PLUGS}
    lines = [_by_a_plug_that_is_there(line, before, plugged) for line in after.lines]
    standing = {(key, source.key): way for (key, way), source in sockets.ways.items()}
    kept = [_as_it_stands(line, plugged, standing) for line in lines]
    there = [
        one if one and one.splitter == line.splitter else None for line, one in zip(after.lines, kept, strict=True)
    ]
    return _placed(lines, kept) or _placed(lines, there) or list(after.lines)


def _by_a_plug_that_is_there(line: Sent, before: Routing, plugged: Mapping[str, Sent]) -> Sent:
    """What takes turns on one plug, sings at one microphone, or comes out of a submixer, on the plugs that carry it
    already, or that carried one of its sources.
    """
    if line.step not in ("share-a-line", "two-at-one-microphone", "own-submix"):
        return line
    keys = {source.key for source in line.sources}
    for old in before.lines:
        if old.step == line.step and {source.key for source in old.sources} == keys:
            return replace(line, sources=old.sources)
    return replace(line, sources=tuple(sorted(line.sources, key=lambda source: source.key not in plugged)))


def _as_it_stands(line: Sent, plugged: Mapping[str, Sent], standing: Mapping[tuple[str, str], int]) -> Sent | None:
    """A line as it was plugged, or through the way in which its plug is still; ``None`` for neither."""
    if line.kind not in PLUGS:
        return None
    if old := plugged.get(line.plug.key):
        return _as_it_was(line, old)
    way = standing.get((line.splitter.key, line.plug.key)) if line.splitter else None
    return replace(line, way=way) if way else None


def _placed(lines: Sequence[Sent], kept: Sequence[Sent | None]) -> list[Sent] | None:
    """Lines as they stand, if they do, and the others in ways that are left; ``None`` where too few are."""
    firm = {_place(line) for line, old in zip(lines, kept, strict=True) if not old and _is_firm(line)}
    kept = [None if old and _place(old) in firm else old for old in kept]
    taken = firm | {_place(old) for old in kept if old}
    left = [place for line in lines if (place := _place(line)) and place not in taken]
    found: list[Sent] = []
    for line, old in zip(lines, kept, strict=True):
        wanted = _place(line)
        if old or wanted is None or _is_firm(line):
            found.append(old or line)
            continue
        place = wanted if wanted in left else next((one for one in left if one[0] == wanted[0]), None)
        if place is None:
            return None
        left.remove(place)
        found.append(replace(line, way=place[1]))
    return found


def _is_firm(line: Sent) -> bool:
    """Whether a line can go through no other way of its splitter: its source is wired to it, or 48 V can harm it."""
    if line.splitter is None:
        return False
    wired = line.plug.splitter == line.splitter.key and line.plug.way == line.way
    return wired or any(map(never_phantom, line.sources))


def _as_it_was(line: Sent, old: Sent) -> Sent:
    past = "out-of-the-ears"
    step = old.step if past in (old.step, line.step) else line.step
    output = line.output if line.splitter == old.splitter else old.output
    return replace(
        line, kind=old.kind, splitter=old.splitter, way=old.way, output=output, by_loom=old.by_loom, step=step
    )


def _place(line: Sent) -> tuple[str, int] | None:
    return (line.splitter.key, line.way) if line.splitter and line.way is not None else None


def held_outputs(routing: Routing) -> dict[tuple[tuple[Source, ...], str], Out]:
    """Sources and side of each line that comes out of the band's mixer -> its output."""
    return {(line.sources, line.side): line.out for line in routing.lines if line.out is not None}
