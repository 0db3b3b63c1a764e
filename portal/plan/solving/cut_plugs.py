"""What is plugged when it comes to a row of the cut list, and what stays as it is plugged."""

from __future__ import annotations

from dataclasses import dataclass, replace

from portal.plan.input.rig import Out, Source
from portal.plan.options.routing_policy import needs_phantom
from portal.plan.result.lines import right_leg_is_free
from portal.plan.result.routing import Routing, Sent, phantom_of

PLUGS = frozenset({"split", "straight"})
"""Ways to the house that pass no output of the mixer."""


@dataclass(frozen=True)
class Plugged:
    """What is plugged when it comes to a row: keys of the sources that go past the in-ears, of those in cases, of those
    to which only the house can feed 48 V, and of those that it feeds by a switch which is on for others.
    """

    past_the_ears: frozenset[str] = frozenset()
    in_their_cases: frozenset[str] = frozenset()
    fed_by_the_house: frozenset[str] = frozenset()
    fed_with_others: frozenset[str] = frozenset()

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
        )


NOT_SAID = Plugged()


def as_plugged(before: Routing, after: Routing) -> Routing:
    """A routing whose lines keep the way to the house that they have already, where nothing else takes it now, and the
    outputs, where they can: any output takes a sum, and others of one sort are alike.
    """
    held = held_outputs(before)
    lines = _on_their_ways(before, after)
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


def _on_their_ways(before: Routing, after: Routing) -> list[Sent]:
    """The lines of a routing, those that pass no output of the mixer as they were plugged before: nobody moves a plug
    that still has its place.
    """
    plugged = {_carried(line): line for line in before.lines if line.kind in PLUGS}
    was = [plugged.get(_carried(line)) if line.kind in PLUGS else None for line in after.lines]
    stand = {_place(line) for line in was if line}
    taken = {_place(line) for line, old in zip(after.lines, was, strict=True) if not old}
    if stand & taken - {None}:
        return list(after.lines)
    return [_as_it_was(line, old) if old else line for line, old in zip(after.lines, was, strict=True)]


def _carried(line: Sent) -> tuple[tuple[Source, ...], str]:
    """What a line carries; half of a pair may go on by itself."""
    return line.sources, line.side if len(line.sources) > 1 else ""


def _as_it_was(line: Sent, old: Sent) -> Sent:
    past = "out-of-the-ears"
    step = old.step if past in (old.step, line.step) else line.step
    way = replace(line, kind=old.kind, splitter=old.splitter, way=old.way, output=old.output)
    return replace(way, by_loom=old.by_loom, step=step)


def _place(line: Sent) -> tuple[str, int | None] | None:
    return (line.splitter.key, line.way) if line.splitter else None


def held_outputs(routing: Routing) -> dict[tuple[tuple[Source, ...], str], Out]:
    """Sources and side of each line that comes out of the band's mixer -> its output."""
    return {(line.sources, line.side): line.out for line in routing.lines if line.out is not None}
