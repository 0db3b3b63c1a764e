"""What a row of the cut list says of plugs: which move on the band's side, and which lines of their own come back."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from portal.plan.input.rig import Rig
from portal.plan.options.routing_policy import needs_phantom
from portal.plan.phrase import COMMAS, Listed, MixerOutput, Numbers, Phrase, Value
from portal.plan.result.routing import Routing, Sent, harmed_at_the_desk, phantom_of
from portal.plan.result.unchecked_plan import at_the_mixer, labels_of
from portal.plan.solving.cut_clauses import with_how
from portal.plan.solving.cut_places import Places
from portal.plan.solving.cut_plugs import held_outputs
from portal.plan.solving.cut_sockets import Replugged

MANY = 5
"""So many plugs nobody moves in a changeover (common practice, no source)."""


def plugs_that_move(moves: Sequence[Replugged], after: Routing, places: Places) -> Iterator[Phrase]:
    """Each plug that moves on the band's side, those that go straight into the mixer in one clause; of many first that
    they are.
    """
    if len(moves) >= MANY:
        yield Phrase("many-plugs-move", {"plugs": len(moves)})
    alike = [move for move in moves if _is_plain(move)]
    together = alike if len(alike) > 1 else []
    yield from (_plugged_into(move, after, places) for move in moves if move not in together)
    if together:
        ordered = sorted(together, key=lambda move: move.input or 0)
        there = at_the_mixer(move.input for move in ordered)
        yield Phrase("now-straight-into.each", {"labels": labels_of(move.source for move in ordered), "there": there})


def _is_plain(move: Replugged) -> bool:
    """Whether a plug goes straight into an input of the mixer, and 48 V stays off there."""
    return move.splitter is None and move.input is not None and not _feeds(move)


def _plugged_into(move: Replugged, after: Routing, places: Places) -> Phrase:
    """A plug that moves to a way of a splitter, or straight into the band's mixer; who feeds its 48 V there, and where
    the way ends at the house if that is new.
    """
    source, splitter = move.source, move.splitter
    if splitter is None:
        straight = Phrase("now-straight-into", {"label": source.label, "there": at_the_mixer([move.input])})
        return with_how(straight, *_feeds(move))
    there: dict[str, Value] = {"label": source.label, "splitter": splitter.name or splitter.key, "way": move.way}
    into = Phrase("now-through-way.to-input", {**there, "input": move.input}) if move.input else None
    line = next((one for one in after.lines if one.splitter == splitter and one.way == move.way), None)
    further: tuple[Phrase, ...] = ()
    if line is not None and places.is_new(line):
        further = (Phrase("from-there-to", {"place": places.said_of(line)}), *_at_the_desk(line))
    return with_how(into or Phrase("now-through-way", there), *further, *_feeds(move))


def _feeds(move: Replugged) -> tuple[Phrase, ...]:
    by_the_mixer = move.splitter is None or (move.splitter.kind == "passive" and move.splitter.to_mixer == "direct")
    number = Numbers((move.input,)) if move.input else None
    if needs_phantom(move.source) == "yes":
        return (fed_at(number),) if by_the_mixer else ()
    return (Phrase("the-band-feeds.no-more", {"inputs": number}),) if move.was_fed and number else ()


def fed_at(numbers: Numbers | None) -> Phrase:
    """The band switches 48 V on at inputs of its mixer."""
    return Phrase("the-band-feeds", {"inputs": numbers}) if numbers else Phrase("the-band-feeds.at-its-mixer")


def outputs_that_move(before: Routing, after: Routing) -> Iterator[Phrase]:
    """Sums that have to leave their output for another."""
    held = held_outputs(before)
    for line in after.lines:
        if line.out is not None and len(line.sources) > 1 and held.get((line.sources, line.side), line.out) != line.out:
            yield Phrase("now-from-output", {"labels": labels_of(line.sources), "output": MixerOutput(line.out.key)})


def on_their_own_again(
    before: Routing, after: Routing, moved: frozenset[str], places: Places, rig: Rig
) -> Iterator[Phrase]:
    """Who is on a line of its own, had none before, and has not ``moved`` to it: by which way, and to which place."""
    held = {line.sources for line in before.lines}
    again = [
        line
        for line in after.lines
        if len(line.sources) == 1
        and line.sources not in held
        and line.out is None
        and line.kind != "digital-link"
        and line.plug.key not in moved
    ]
    plain = [line for line in again if not _at_the_desk(line)]
    several = len(rig.splitter) > 1
    if plain:
        lines = Listed(tuple(_by_its_way(line, places, several=several) for line in plain), COMMAS)
        yield Phrase("on-its-own-line-again.placed", {"lines": lines})
    for line in (one for one in again if one not in plain):
        alone = Listed((_by_its_way(line, places, several=several),), COMMAS)
        yield with_how(Phrase("on-its-own-line-again.placed", {"lines": alone}), *_at_the_desk(line))


def _at_the_desk(line: Sent) -> tuple[Phrase, ...]:
    """What the house does with its 48 V where a line comes in."""
    if harmed_at_the_desk(line):
        return (Phrase("48-v-off-never-on"),)
    return (Phrase("the-house-feeds-there"),) if phantom_of(line) == "house" else ()


def _by_its_way(line: Sent, places: Places, *, several: bool) -> Phrase:
    there: dict[str, Value] = {"label": line.label, "place": places.said_of(line)}
    if line.splitter is None:
        return Phrase("line-to-place.house-split" if line.kind == "house-split" else "line-to-place.straight", there)
    there |= {"way": line.way or 0}
    if several:
        return Phrase("line-to-place.of-a-splitter", {**there, "splitter": line.splitter.name or line.splitter.key})
    return Phrase("line-to-place", there)


def moved_by(moves: Iterable[Replugged]) -> frozenset[str]:
    """Keys of the sources whose plug a row moves into a way, and so says where their line is."""
    return frozenset(move.source.key for move in moves if move.splitter is not None)
