"""What changes with fewer working inputs than the plan uses, row on row, each as an instruction to carry out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from portal.plan.input.facts import Facts
from portal.plan.input.rig import Out, Source
from portal.plan.model import Cut, Line
from portal.plan.options.boxes import working_inputs
from portal.plan.options.capacities import with_inputs
from portal.plan.options.routing_options import RoutingOptions
from portal.plan.options.routing_policy import STEPS
from portal.plan.options.units import Unit
from portal.plan.phrase import COMMAS, SEMICOLONS, Listed, MixerOutput, Numbers, Phrase, Value, listed
from portal.plan.result.line_reasons import made_mono
from portal.plan.result.read_back import read_back
from portal.plan.result.routing import Routing, Sent
from portal.plan.result.unchecked_plan import at_the_mixer, labels_of
from portal.plan.solving.cut_clauses import OVER_THE_LINK, Clause, clauses, with_how
from portal.plan.solving.cut_moves import fed_at, moved_by, on_their_own_again, outputs_that_move, plugs_that_move
from portal.plan.solving.cut_outputs import CutOutputs, cut_outputs, more_than
from portal.plan.solving.cut_places import places_of
from portal.plan.solving.cut_plugs import NOT_SAID, Plugged, as_plugged
from portal.plan.solving.cut_sockets import exchanged, replugged, sockets_of
from portal.plan.solving.solve import RARE, Failure, Solution, solve, untouched_by

CUTS = 4

TYPICAL_INPUTS = (16, 12, 8)
"""Shown while nobody knows how many inputs there are."""


@dataclass(frozen=True)
class CutList:
    """The rows, whether one of them needs the digital link, and the small things that they need beyond the plan's."""

    cuts: tuple[Cut, ...]
    linked: bool
    more: Counter[Phrase]


def cut_list(options: RoutingOptions, solution: Solution, lines: Sequence[Line]) -> CutList:
    """What else is given up with the next few inputs gone; the usual sizes as long as nobody knows. ``lines``: the
    plan's.
    """
    sent = sum(line.box_socket is not None for line in lines)
    counts = [sent - step for step in range(1, CUTS + 1)]
    if working_inputs(options.facts) is None:
        counts = [count for count in TYPICAL_INPUTS if count < sent] or counts
    routing = read_back(options, solution)
    places = places_of(options.facts, routing, lines)
    before = given_up(options, routing, cut_outputs(options.facts, routing, lines, places))
    by_the_house = {key for line in lines if line.phantom == "house" for key in line.sources}
    plugged = Plugged(fed_with_others=frozenset(by_the_house)).after(routing)
    rig = options.facts.rig
    sockets = sockets_of(rig, routing)
    cuts: list[Cut] = []
    rows: list[CutOutputs] = []
    linked = False
    for count in counts:
        if count < 1:
            break
        fewer = with_inputs(options, count)
        outcome = solve(fewer.program, untouched=min(RARE, untouched_by(solution)))
        if isinstance(outcome, Failure):
            if outcome.proven:
                cuts.append(Cut(count, Phrase("no-plan-for-it")))
            break
        after = as_plugged(routing, read_back(fewer, outcome), sockets)
        cased = plugged.after(after).in_their_cases
        places = places.after(after, fewer.facts)
        told = plugged.past_the_ears | plugged.fed_by_the_house
        sockets, moves = replugged(sockets, rig, after, cased, told, places.driven_out)
        after = replace(after, exchanges=exchanged(sockets, rig))
        rows.append(cut_outputs(fewer.facts, after, lines, places, routing, rows[-1] if rows else None))
        given = given_up(fewer, after, replace(rows[-1], told=moved_by(moves)), plugged)
        joining, moved = _into_the_mix(routing, after, plugged), frozenset(one.source.key for one in moves)
        changes = _changes(before, given, joining, plugged.in_their_cases, moved)
        again = (
            *_back_in_the_mix(routing, after, plugged),
            *outputs_that_move(routing, after),
            *on_their_own_again(routing, after, moved_by(moves), places, rig),
        )
        plugs = plugs_that_move(moves, after, places)
        if said := clauses((*plugs, *changes, *again)) or _plugged_elsewhere(routing, after):
            cuts.append(Cut(count, said))
        linked = linked or any(line.kind == "digital-link" for line in after.lines)
        solution = outcome
        before, routing, plugged = given, after, plugged.after(after)
    return CutList(tuple(cuts), linked, more_than(lines, rows))


def _mix_of(routing: Routing) -> dict[tuple[str, Out | None], tuple[Source, ...]]:
    """Each side and output of the band's own mix -> its sources."""
    return {(line.side, line.out): line.sources for line in routing.lines if line.kind == "left-right-mix"}


def _into_the_mix(before: Routing, after: Routing, plugged: Plugged) -> list[Phrase] | None:
    """Who goes into a mix that stands on its outputs already; ``None`` where no such mix is there."""
    there, now = _mix_of(before), _mix_of(after)
    if not now or there.keys() != now.keys():
        return None
    held = {source.key for sources in there.values() for source in sources} | plugged.in_their_cases
    joining: dict[tuple[Phrase, ...], list[Source]] = {}
    for source in next(iter(now.values())):
        if source.key not in held:
            joining.setdefault(_taken_over([source], after, plugged), []).append(source)
    return [
        with_how(Phrase("into-the-bands-mix", {"labels": labels_of(sources)}), *how) for how, sources in joining.items()
    ]


def _back_in_the_mix(before: Routing, after: Routing, plugged: Plugged) -> Iterator[Phrase]:
    """Who was on no line and is heard again once the band's own mix goes to the house."""
    there, now = _mix_of(before), _mix_of(after)
    if not now or there.keys() == now.keys():
        return
    held = {key for line in before.lines for key in _keys_of(line)} | plugged.in_their_cases
    again = [source for source in next(iter(now.values())) if source.key not in held]
    if again:
        yield Phrase("into-the-bands-mix", {"labels": labels_of(again)})


def _changes(
    before: list[Clause],
    given: list[Clause],
    joining: list[Phrase] | None,
    in_their_cases: frozenset[str],
    moved: frozenset[str],
) -> list[Phrase]:
    """What is given up as well, and what comes back. ``joining``: what is said of the band's own mix where it is
    plugged already. ``in_their_cases``: what a mix did not carry either. ``moved``: whose plug the row moves, and says
    where.
    """
    more, back = changed(before, given, moved)
    if any(one.is_mix for one in before):
        more = [one for one in more if one.stays != "not-plugged" or not one.sources <= in_their_cases]
    said: list[Phrase] = []
    for one in more:
        said += joining if joining is not None and one.is_mix else [one.said]
    if not back:
        return said
    undone: dict[str, Value] = {"back": Listed(tuple(back), SEMICOLONS)}
    done = clauses(said)
    return [Phrase("and-no-longer", {"changes": done, **undone}) if done else Phrase("no-longer", undone)]


def changed(
    before: list[Clause], given: list[Clause], moved: frozenset[str] = frozenset()
) -> tuple[list[Clause], list[Phrase]]:
    """What is given up as well, and what comes back; what a new clause says of the same sources is not said twice, nor
    what is said of those that have ``moved``.
    """
    known, now = {one.what for one in before}, {one.what for one in given}
    out = {key for one in before if one.leaves for key in one.sources}
    new = [one for one in given if one.what not in known]
    told = moved.union(*(one.sources for one in new))
    # What was out already stays where it is.
    more = [one for one in new if not (one.leaves and one.sources <= out)]
    back = (one.what for one in before if one.what not in now and not one.sources <= told)
    return more, list(dict.fromkeys(back))


def given_up(
    options: RoutingOptions, routing: Routing, outputs: CutOutputs, plugged: Plugged = NOT_SAID
) -> list[Clause]:
    """What a routing gives up, cheapest step first."""
    freed = _freed(options.facts, routing)
    found: list[tuple[int, Clause]] = []
    rank = {step: position for position, step in enumerate(STEPS)}
    for line in routing.lines:
        if line.kind == "left-right-mix" or (line.side == "R" and len(line.sources) > 1):
            continue
        fed = _taken_over(line.sources, routing, plugged)
        # Whole sources are dear to compare, and one alone shares nothing.
        both = [one for one in routing.lines if len(line.sources) > 1 and one.sources == line.sources]
        if shared := _shared(line, both, outputs, freed, fed):
            linked = with_how(shared.what, OVER_THE_LINK) if line.kind == "digital-link" else shared.what
            found.append((rank.get(line.step, 0), replace(shared, what=linked)))
        elif line.kind == "digital-link":
            over = Phrase("comes-over-the-link", {"label": line.label})
            found.append((rank[line.kind], Clause(over, fed, _keys_of(line))))
        elif line.kind.endswith("direct-out") and line.out:
            out = _freed_by(line.out, Phrase("direct-out-named", {"output": MixerOutput(line.out.key)}), freed)
            direct = Phrase("on-a-direct-out", {"label": line.label, "output": out})
            how = (*outputs.to_its_place(line), *fed)
            found.append((rank[line.kind], Clause(direct, how, _keys_of(line), outputs.between(line))))
    steps = {line.without.key: line.step for line in routing.lines if line.without}
    carried = {source.key for line in routing.lines for source in line.sources}
    for unit in options.units:
        for leg in unit.legs:
            if leg.key not in carried:
                step = steps.get(leg.key) or routing.modes[unit.key].removeprefix("out|")
                silent = leg.key in plugged.in_their_cases or _is_silent(unit, step)
                stays = "not-plugged" if silent else "ears-only"
                what = Phrase(f"stays-{stays}", {"label": leg.label})
                how = () if silent else _back(leg, routing, plugged)
                found.append((rank[step], Clause(what, how, frozenset({leg.key}), leaves=leg.label, stays=stays)))
    mix = [_mix(routing, options, freed, outputs, plugged)] if _mix_of(routing) else []
    return [clause for _, clause in sorted(found, key=lambda pair: pair[0])] + mix


def _keys_of(line: Sent) -> frozenset[str]:
    return frozenset(source.key for source in line.sources)


def _is_silent(unit: Unit, step: str) -> bool:
    """Whether what leaves the house's desk is plugged nowhere else."""
    return unit.fail_over or unit.house_only or unit.stays_in_its_case(step)


def _back(source: Source, routing: Routing, plugged: Plugged) -> tuple[Phrase, ...]:
    """Where a source is plugged that went past the in-ears before, or that had its 48 V from the house."""
    if source.key in plugged.fed_with_others:
        return _band_feeds([source], routing)
    number, fed = routing.mixer_input(source), source.key in plugged.fed_by_the_house
    past = source.key in plugged.past_the_ears
    if not (fed or (past and number is not None)):
        return ()
    key = ("back-into.and-fed" if fed else "back-into") if past else "straight-into.and-fed"
    return (Phrase(key, {"there": at_the_mixer([number])}),)


def _taken_over(sources: Sequence[Source], routing: Routing, plugged: Plugged) -> tuple[Phrase, ...]:
    """The inputs of the band's mixer that sources are plugged into from here on, and those that feed 48 V, since the
    house's no longer gets there.
    """
    theirs = [source for source in sources if source.key in plugged.fed_with_others]
    fed = [source for source in sources if source.key in plugged.fed_by_the_house]
    past = [source for source in sources if source.key in plugged.past_the_ears - plugged.fed_by_the_house]
    plugs = (("plugged-straight-into", fed), ("plugged-back-into", past))
    found = [
        Phrase(key, {"inputs": numbers}) for key, some in plugs if (numbers := _inputs_of(some, routing)) is not None
    ]
    return (*found, *_band_feeds(theirs, routing))


def _band_feeds(sources: Sequence[Source], routing: Routing) -> tuple[Phrase, ...]:
    """The inputs of the band's mixer at which the band switches 48 V on once a line leaves the house's switch."""
    if not sources:
        return ()
    return (fed_at(_inputs_of(sources, routing)),)


def _inputs_of(sources: Sequence[Source], routing: Routing) -> Numbers | None:
    found = {number for source in sources if (number := routing.mixer_input(source))}
    return Numbers(tuple(sorted(found))) if found else None


def _shared(
    line: Sent, both: Sequence[Sent], outputs: CutOutputs, freed: Mapping[str, str], fed: tuple[Phrase, ...]
) -> Clause | None:
    """Several sources on one line or pair, and what makes them one; ``None`` for one source. ``both``: the line, and
    its partner in a pair.
    """
    if len(line.sources) == 1:
        return None
    labels, keys = {"labels": labels_of(line.sources)}, _keys_of(line)
    by_an_output = [one for one in both if one.out is not None]
    there = _from(by_an_output, outputs, freed) or outputs.to_its_place(*both)
    if line.made_mono in ("jack", "switch"):
        left = outputs.box_inputs.get(line.sources[1].key) if line.kind != "digital-link" else None
        free = (Phrase("box-input-is-free", {"input": left}),) if left else ()
        return Clause(Phrase("to-mono", labels), (*there, *free), keys, made_mono(line))
    where = Phrase("on-one-pair" if line.side else "on-one-line", labels)
    if line.guest:
        own = Phrase("at-one-microphone", {"label": line.plug.label, "guest": line.guest.label})
        direct = [Phrase("direct-out-named", {"output": MixerOutput(out.key)})] if (out := line.out) else []
        closing = outputs.between(line) if line.out else None
        return Clause(with_how(where, own), (*direct, *outputs.to_its_place(line), *fed), keys, closing)
    if line.made_mono != "bus" and line.step in ("share-a-line", "own-submix"):
        return Clause(where, (_by_whose_plug(line), *there), keys, outputs.between(*by_an_output))
    summed = (*there, *fed)
    if line.made_mono == "bus":
        bus = Phrase("to-mono.on-a-bus", labels)
        return Clause(Phrase("to-mono", labels), summed, keys, outputs.between(*by_an_output), bus)
    return Clause(where, summed, keys, outputs.between(*by_an_output))


def _by_whose_plug(line: Sent) -> Phrase:
    """How sources that take turns, or meet before the mixer, come by one plug, or by a pair of them."""
    if line.step == "own-submix":
        return Phrase("by-own-submix.on-plugs", {"labels": labels_of(line.sources[: 2 if line.side else 1])})
    return Phrase("by-share-a-line.on-a-plug", {"label": line.plug.label})


def _from(both: Sequence[Sent], outputs: CutOutputs, freed: Mapping[str, str]) -> tuple[Phrase, ...]:
    """Out of which outputs of the mixer, and where to."""
    named = [(line, _output(line.out, freed)) for line in both if line.out]
    if both and all(map(outputs.is_plugged, both)):
        return (Phrase("from-outputs.as-plugged", {"outputs": listed(out for _, out in named)}),)
    return (Phrase("from-outputs", {"outputs": listed(outputs.with_its_place(*one) for one in named)}),) if both else ()


def _freed(facts: Facts, routing: Routing) -> dict[str, str]:
    """Outputs that an in-ear mix gives up, and whose."""
    return {ears.outs[-1]: ears.player for ears in facts.rig.ears if ears.fold in routing.folded}


def _output(out: Out, freed: Mapping[str, str]) -> Phrase:
    """An output by its name; where it is one of an in-ear mix's, with what frees it."""
    return _freed_by(out, Phrase("output", {"output": MixerOutput(out.key)}), freed)


def _freed_by(out: Out, named: Phrase, freed: Mapping[str, str]) -> Phrase:
    player = freed.get(out.key)
    return Phrase("output-freed", {"output": named, "player": player}) if player else named


def _mix(
    routing: Routing, options: RoutingOptions, freed: Mapping[str, str], outs: CutOutputs, plugged: Plugged
) -> Clause:
    mix = [line for line in routing.lines if line.kind == "left-right-mix"]
    apart = labels_of(line for line in routing.lines if line.kind != "left-right-mix")
    key = "bands-mix-from" if len(mix) > 1 else "bands-mix-from.in-mono"
    named = [(line, _output(line.out, freed)) for line in mix if line.out]
    what, done = (
        Phrase(key, {"outputs": listed(place(line, out) for line, out in named), "labels": apart})
        for place in (outs.placed, outs.with_its_place)
    )
    sources = list(dict.fromkeys(source for line in mix for source in line.sources))
    # It says of every source where it is.
    everything = frozenset(leg.key for unit in options.units for leg in unit.legs)
    how = _taken_over(sources, routing, plugged)
    return Clause(what, how, everything, outs.between(*mix), done, is_mix=True)


def _plugged_elsewhere(before: Routing, after: Routing) -> Phrase | None:
    """The same sources, and which of them are plugged in another way; ``None`` where none is: the row above does it."""
    there = {(line.sources, line.side): _plug(line) for line in before.lines}
    moved = tuple(
        Phrase("plugged-so", {"label": line.label, "how": _plug(line)})
        for line in after.lines
        if there.get((line.sources, line.side)) != _plug(line)
    )
    return Phrase("plugged-in-another-way", {"plugs": Listed(moved, COMMAS)}) if moved else None


def _plug(line: Sent) -> Phrase:
    if line.out is not None:
        return Phrase("from-outputs", {"outputs": listed([_output(line.out, {})])})
    if line.splitter is not None:
        return Phrase("through-way", {"way": line.way or 0})
    return Phrase("straight-into-the-box") if line.kind == "straight" else OVER_THE_LINK
