"""Where every source is plugged on the band's side while the cut list is carried out, and which plugs a row moves."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from portal.plan.input.rig import Rig, Source, Splitter
from portal.plan.options.routing_policy import goes_of, needs_phantom
from portal.plan.options.units import own_way
from portal.plan.result.lines import right_leg_is_free
from portal.plan.result.not_sent import not_plugged
from portal.plan.result.routing import Exchange, Routing, starves

Place = tuple[str, int]
"""A splitter by its key, and a way of it."""


@dataclass(frozen=True)
class Sockets:
    """``ways``: which source is plugged into a way. ``inputs``: key of a source -> input of the band's mixer at which
    it arrives; nobody is there whose input has no number. ``there``: keys of all whose own plug is at the mixer.
    ``by``: key of a source that comes by another's plug -> that one's.
    """

    ways: Mapping[Place, Source]
    inputs: Mapping[str, int]
    there: frozenset[str]
    by: Mapping[str, str]


@dataclass(frozen=True)
class Replugged:
    """One plug that a row moves: into a way of a splitter, or straight into the band's mixer where ``splitter`` is
    ``None``. ``input`` is the mixer's at which it arrives then, if it has a number; ``was_fed``: what arrived there
    before needs 48 V.
    """

    source: Source
    splitter: Splitter | None
    way: int
    input: int | None
    was_fed: bool


def sockets_of(rig: Rig, routing: Routing) -> Sockets:
    """Where everything stands by a routing alone."""
    there = tuple(_in_the_mixer(rig, routing, frozenset()))
    moved = {one.source.key for one in routing.exchanges}
    splitters = {splitter.key: splitter for splitter in routing.splitters}
    wired = {
        (source.splitter, way): source
        for source in there
        if source.key not in moved and (way := own_way(source, splitters))
    }
    inputs = {source.key: number for source in there if (number := routing.mixer_input(source))}
    lines = _lines_in_ways(rig, routing)
    ways = _through_their_ways(wired, lines, rig) | lines
    return Sockets(ways, inputs, frozenset(one.key for one in there), _by_whose_plug(routing))


def replugged(
    sockets: Sockets,
    rig: Rig,
    routing: Routing,
    in_their_cases: frozenset[str],
    told: frozenset[str] = frozenset(),
    driven_out: frozenset[str] = frozenset(),
) -> tuple[Sockets, tuple[Replugged, ...]]:
    """Where everything stands once a routing is plugged on top of that, and the plugs that move for it: into ways, out
    of ways that another source takes, and of those that had no plug of their own. A plug that can stay stays.
    ``told``: of whom the row says it by other words; ``driven_out``: who was in the house's splitter where something
    else goes.
    """
    there = {source.key: source for source in _in_the_mixer(rig, routing, in_their_cases)}
    by = _still_together(sockets, there.keys(), routing) | _by_whose_plug(routing)
    there = {key: source for key, source in there.items() if key not in by}
    splitters = {splitter.key: splitter for splitter in rig.splitter}
    lines = _lines_in_ways(rig, routing)
    coming = {place: source for place, source in lines.items() if sockets.ways.get(place) != source}
    moving = {source.key for source in coming.values()}
    still = {place: one for place, one in sockets.ways.items() if one.key in there and one.key not in moving}
    leaving = [still.pop(place) for place in coming if place in still]
    left = {source.key for source in leaving}
    inputs = {key: number for key, number in sockets.inputs.items() if key in there and key not in left}
    for (key, way), source in coming.items():
        tails = (one.mixer_input for one in rig.source if own_way(one, {key: splitters[key]}) == way)
        number = next(tails, inputs.get(source.key, source.mixer_input))
        if number is not None:
            leaving += [one for one in there.values() if one.key not in moving and inputs.get(one.key) == number]
            inputs = {one: held for one, held in inputs.items() if held != number} | {source.key: number}
    for source in there.values():
        if source.key not in inputs and source.mixer_input is not None:
            inputs[source.key] = _free_input(source.mixer_input, inputs, there)
    away = told | {line.plug.key for line in routing.lines if line.kind == "house-split"}
    coming_in = {key for key in there if key not in sockets.there or key in driven_out} - moving - away
    leaving += [one for one in there.values() if one.key in coming_in and one not in leaving]
    fed = {sockets.inputs.get(one.key) for one in rig.source if needs_phantom(one) == "yes"} - {None}
    to_ways = [(one, splitters[key], way) for (key, way), one in coming.items()]
    moves = [
        Replugged(one, splitter, way, number := inputs.get(one.key), number in fed)
        for one, splitter, way in (*to_ways, *((one, None, 0) for one in leaving))
    ]
    ways = _through_their_ways(still, lines, rig) | lines
    return Sockets(ways, inputs, frozenset(there), by), tuple(moves)


def _by_whose_plug(routing: Routing) -> dict[str, str]:
    """Sources that take turns on another's plug, come out of a submixer by it, or are in its mono."""
    plugs = {line.plug.key for line in routing.lines}
    return {
        source.key: line.plug.key
        for line in routing.lines
        if line.step in ("share-a-line", "own-submix") or right_leg_is_free(line)
        for source in line.sources
        if source.key not in plugs
    }


def _still_together(sockets: Sockets, there: Collection[str], routing: Routing) -> dict[str, str]:
    """Who stays on another's plug: both go to the same lines, or both to none."""

    def lines_of(key: str) -> list[int]:
        return [at for at, line in enumerate(routing.lines) if any(one.key == key for one in line.sources)]

    return {key: holder for key, holder in sockets.by.items() if holder in there and lines_of(key) == lines_of(holder)}


def exchanged(sockets: Sockets, rig: Rig) -> tuple[Exchange, ...]:
    """The sources that arrive at another input of the band's mixer than the rig says."""
    place_of = {source.key: place for place, source in sockets.ways.items()}
    splitters = {splitter.key: splitter for splitter in rig.splitter}
    found = []
    for source in rig.source:
        tonight = sockets.inputs.get(source.key)
        if tonight is not None and source.mixer_input is not None and tonight != source.mixer_input:
            key, way = place_of.get(source.key, ("", None))
            found.append(Exchange(source, source.mixer_input, tonight, splitters.get(key), way))
    return tuple(found)


def _free_input(wanted: int, inputs: Mapping[str, int], sources: Mapping[str, Source]) -> int:
    """The input that a source takes: its own, else the one that whoever holds it left, and so on."""
    holder = {number: key for key, number in inputs.items()}
    seen: set[int] = set()
    while wanted in holder and wanted not in seen:
        seen.add(wanted)
        wanted = sources[holder[wanted]].mixer_input or wanted
    return wanted


def _in_the_mixer(rig: Rig, routing: Routing, in_their_cases: frozenset[str]) -> Iterator[Source]:
    """The sources whose own plug is at the band's mixer."""
    away = {line.sources[0].key for line in routing.lines if line.step == "out-of-the-ears"}
    away |= {leg.key for unit in routing.units if unit.house_only for leg in unit.legs}
    away |= not_plugged(routing).keys() | in_their_cases
    together = [line for line in routing.lines if line.step in ("share-a-line", "own-submix")]
    away |= {source.key for line in together for source in line.sources}
    away -= {line.plug.key for line in routing.lines if line in together or line.splitter is not None}
    for source in rig.source:
        if goes_of(source) in ("both", "ears-only") and source.key not in away:
            yield source


def _lines_in_ways(rig: Rig, routing: Routing) -> dict[Place, Source]:
    """The ways that carry lines, and whose plug is in each."""
    by_key = {source.key: source for source in rig.source}
    return {
        (line.splitter.key, line.way): by_key[line.plug.key]
        for line in routing.lines
        if line.splitter is not None and line.way is not None
    }


def _through_their_ways(ways: Mapping[Place, Source], lines: Mapping[Place, Source], rig: Rig) -> dict[Place, Source]:
    """Who stays in a way: whoever would get no 48 V there is past it, unless a line of the house's feeds it."""
    splitters = {splitter.key: splitter for splitter in rig.splitter}
    return {
        place: source for place, source in ways.items() if place in lines or not starves(source, splitters[place[0]])
    }
