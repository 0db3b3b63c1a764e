"""What changes with fewer working inputs than the plan uses, row on row, each as an instruction to carry out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from portal.plan.input.facts import Facts
from portal.plan.input.rig import Out, Source
from portal.plan.model import Cut, Line
from portal.plan.options.boxes import working_inputs
from portal.plan.options.capacities import with_inputs
from portal.plan.options.routing_options import RoutingOptions
from portal.plan.options.routing_policy import STEPS
from portal.plan.options.units import Unit
from portal.plan.result.line_reasons import how_mono
from portal.plan.result.not_sent import stays_in_its_case
from portal.plan.result.read_back import read_back
from portal.plan.result.routing import Routing, Sent
from portal.plan.result.unchecked_plan import mixer_inputs, named
from portal.plan.solving.cut_outputs import CutOutputs, cut_outputs, more_than
from portal.plan.solving.cut_plugs import NOT_SAID, Plugged, as_plugged, held_outputs
from portal.plan.solving.solve import RARE, Failure, Solution, solve, untouched_by

CUTS = 4
LINKED = "over the digital link"
STAYS = {"ears-only": "in-ears only", "not-plugged": "not plugged"}

TYPICAL_INPUTS = (16, 12, 8)
"""Shown while nobody knows how many inputs there are."""


@dataclass(frozen=True)
class Phrase:
    """One thing that is given up, how it is done, and the keys of its sources. Two with the same ``what`` are one.
    ``leaves`` is the label of a source that goes to the house no more, and ``stays`` where it stays: ears-only or
    not-plugged. ``is_mix``: it says where every source is beside the band's own mix.
    """

    what: str
    how: str = ""
    sources: frozenset[str] = frozenset()
    leaves: str = ""
    stays: str = ""
    is_mix: bool = False

    @property
    def text(self) -> str:
        """Both as one clause."""
        return f"{self.what}{self.how}"

    def again(self, leaving: Sequence[Phrase]) -> str:
        """The clause of sources that were out and come back, on the line of the first of those that leave."""
        return f"{self.what}, on the line that {leaving[0].leaves} leaves{self.how}"


@dataclass(frozen=True)
class CutList:
    """The rows, whether one of them needs the digital link, and the small things that they need beyond the plan's."""

    cuts: tuple[Cut, ...]
    linked: bool
    more: Counter[str]


def cut_list(options: RoutingOptions, solution: Solution, lines: Sequence[Line]) -> CutList:
    """What else is given up with the next few inputs gone; the usual sizes as long as nobody knows. ``lines``: the
    plan's.
    """
    sent = sum(line.box_socket is not None for line in lines)
    counts = [sent - step for step in range(1, CUTS + 1)]
    if working_inputs(options.facts) is None:
        counts = [count for count in TYPICAL_INPUTS if count < sent] or counts
    routing = read_back(options, solution)
    before = given_up(options, routing, cut_outputs(options.facts, routing, lines))
    by_the_house = {key for line in lines if line.phantom == "house" for key in line.sources}
    plugged = Plugged(fed_with_others=frozenset(by_the_house)).after(routing)
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
                cuts.append(Cut(count, "no plan: something that must be heard cannot be sent"))
            break
        after = as_plugged(routing, read_back(fewer, outcome))
        rows.append(cut_outputs(fewer.facts, after, lines, routing, rows[-1] if rows else None))
        given = given_up(fewer, after, rows[-1], plugged)
        changes = _changes(before, given, _into_the_mix(routing, after, plugged))
        more = (changes, _moved(routing, after), _beside_the_mix(routing, after))
        if text := "; ".join(filter(None, more)) or _plugged_elsewhere(routing, after):
            cuts.append(Cut(count, text))
        linked = linked or any(line.kind == "digital-link" for line in after.lines)
        solution = outcome
        before, routing, plugged = given, after, plugged.after(after)
    return CutList(tuple(cuts), linked, more_than(lines, rows))


def _moved(before: Routing, after: Routing) -> str:
    """Sums that have to leave their output for another."""
    held = held_outputs(before)
    moved = [
        f"{named(source.label for source in line.sources)} now from output {_bare(line.out.key)}"
        for line in after.lines
        if line.out is not None and len(line.sources) > 1 and held.get((line.sources, line.side), line.out) != line.out
    ]
    return "; ".join(moved)


def _mix_of(routing: Routing) -> dict[tuple[str, Out | None], tuple[Source, ...]]:
    """Each side and output of the band's own mix -> its sources."""
    return {(line.side, line.out): line.sources for line in routing.lines if line.kind == "left-right-mix"}


def _into_the_mix(before: Routing, after: Routing, plugged: Plugged) -> str | None:
    """Who goes into a mix that stands on its outputs already, in one clause; ``None`` where no such mix is there."""
    there, now = _mix_of(before), _mix_of(after)
    if not now or there.keys() != now.keys():
        return None
    held = {source.key for sources in there.values() for source in sources} | plugged.in_their_cases
    joining: dict[str, list[str]] = {}
    for source in next(iter(now.values())):
        if source.key not in held:
            joining.setdefault(_taken_over([source], after, plugged), []).append(source.label)
    clauses = [
        f"{named(labels)} {'goes' if len(labels) == 1 else 'go'} into the band's own mix{how}"
        for how, labels in joining.items()
    ]
    return "; ".join(clauses)


def _beside_the_mix(before: Routing, after: Routing) -> str:
    """Who stays apart from the band's own mix on a line of its own, and had none before."""
    held = {line.sources for line in before.lines}
    again = [
        line.label
        for line in after.lines
        if len(line.sources) == 1 and line.sources not in held and line.out is None and line.kind != "digital-link"
    ]
    if not again or not _mix_of(after):
        return ""
    return f"{named(again)} {'on its own line' if len(again) == 1 else 'on lines of their own'} again"


def _changes(before: list[Phrase], given: list[Phrase], joining: str | None) -> str:
    """What is given up as well, and what comes back, in clauses. ``joining``: what is said of the band's own mix
    where it is plugged already.
    """
    more, back = changed(before, given)
    out = {key for one in before if one.leaves for key in one.sources}
    leaving = [one for one in more if one.leaves]
    clauses = [
        one.again(leaving)
        if leaving and not one.leaves and one.sources <= out
        else joining
        if joining is not None and one.is_mix
        else one.text
        for one in more
    ]
    text = "; ".join(filter(None, clauses))
    return text + (f"{' ' * bool(text)}(and no longer: {'; '.join(back)})" if back else "")


def changed(before: list[Phrase], given: list[Phrase]) -> tuple[list[Phrase], list[str]]:
    """What is given up as well, and what comes back; what a new phrase says of the same sources is not said twice."""
    known, now = {one.what for one in before}, {one.what for one in given}
    out = {key for one in before if one.leaves for key in one.sources}
    new = [one for one in given if one.what not in known]
    told = frozenset[str]().union(*(one.sources for one in new))
    # What was out already stays where it is.
    more = [one for one in new if not (one.leaves and one.sources <= out)]
    return more, sorted({one.what for one in before if one.what not in now and not one.sources <= told})


def given_up(
    options: RoutingOptions, routing: Routing, outputs: CutOutputs, plugged: Plugged = NOT_SAID
) -> list[Phrase]:
    """What a routing gives up, cheapest step first."""
    freed = _freed(options.facts, routing)
    phrases: list[tuple[int, Phrase]] = []
    rank = {step: position for position, step in enumerate(STEPS)}
    for line in routing.lines:
        if line.kind == "left-right-mix" or (line.side == "R" and len(line.sources) > 1):
            continue
        fed = _taken_over(line.sources, routing, plugged)
        both = [one for one in routing.lines if one.sources == line.sources and one.out is not None]
        if phrase := _shared(line, both, outputs, freed, fed):
            over = f", {LINKED}" if line.kind == "digital-link" else ""
            phrases.append((rank.get(line.step, 0), replace(phrase, what=f"{phrase.what}{over}")))
        elif line.kind == "digital-link":
            phrases.append((rank[line.kind], _of_line(line, LINKED, fed)))
        elif line.kind.endswith("direct-out") and line.out:
            how = fed + outputs.between(line)
            phrases.append((rank[line.kind], _of_line(line, f"on direct out {_output(line.out, freed)}", how)))
    steps = {line.without.key: line.step for line in routing.lines if line.without}
    carried = {source.key for line in routing.lines for source in line.sources}
    for unit in options.units:
        for leg in unit.legs:
            if leg.key not in carried:
                step = steps.get(leg.key) or routing.modes[unit.key].removeprefix("out|")
                silent = leg.key in plugged.in_their_cases or _is_silent(unit, step)
                stays = "not-plugged" if silent else "ears-only"
                what = f"{leg.label} {STAYS[stays]}"
                how = "" if silent else _back(leg, routing, plugged)
                phrases.append((rank[step], Phrase(what, how, frozenset({leg.key}), leg.label, stays)))
    mix = [_mix(routing, options, freed, outputs, plugged)] if _mix_of(routing) else []
    return [phrase for _, phrase in sorted(phrases, key=lambda pair: pair[0])] + mix


def _of_line(line: Sent, what: str, how: str = "") -> Phrase:
    return Phrase(f"{line.label} {what}", how, frozenset(source.key for source in line.sources))


def _is_silent(unit: Unit, step: str) -> bool:
    """Whether what leaves the house's desk is plugged nowhere else."""
    return unit.fail_over or unit.house_only or stays_in_its_case(unit, step)


def _back(source: Source, routing: Routing, plugged: Plugged) -> str:
    """Where a source is plugged that went past the in-ears before, or that had its 48 V from the house."""
    if source.key in plugged.fed_with_others:
        return _band_feeds([source], routing)
    number, fed = routing.mixer_input(source), source.key in plugged.fed_by_the_house
    way = "back" if source.key in plugged.past_the_ears else "straight" if fed else ""
    if not way or (number is None and not fed):
        return ""
    there = "the band's mixer" if number is None else f"mixer input {number}"
    return f", {way} into {there}{', where the band switches 48 V on' if fed else ''}"


def _taken_over(sources: Sequence[Source], routing: Routing, plugged: Plugged) -> str:
    """The inputs of the band's mixer that sources are plugged into from here on, and those that feed 48 V, since the
    house's no longer gets there.
    """
    theirs = [source for source in sources if source.key in plugged.fed_with_others]
    fed = [source for source in sources if source.key in plugged.fed_by_the_house]
    past = [source for source in sources if source.key in plugged.past_the_ears - plugged.fed_by_the_house]
    where, back = (mixer_inputs(map(routing.mixer_input, some), "") for some in (fed, past))
    straight = f", plugged straight into {where}, where the band switches 48 V on" if where else ""
    return straight + (f", plugged back into {back}" if back else "") + _band_feeds(theirs, routing)


def _band_feeds(sources: Sequence[Source], routing: Routing) -> str:
    """The inputs of the band's mixer at which the band switches 48 V on once a line leaves the house's switch."""
    if not sources:
        return ""
    return f", the band switches 48 V on at {mixer_inputs(map(routing.mixer_input, sources), 'its mixer')}"


def _shared(line: Sent, both: Sequence[Sent], outputs: CutOutputs, freed: Mapping[str, str], fed: str) -> Phrase | None:
    """Several sources on one line or pair, and what makes them one; ``None`` for one source. ``both``: the line, and
    its partner in a pair, where they leave the mixer.
    """
    if len(line.sources) == 1:
        return None
    labels = named(source.label for source in line.sources)
    keys = frozenset(source.key for source in line.sources)
    if line.made_mono in ("jack", "switch"):
        return Phrase(f"{labels} to mono", f": {how_mono(line)}", keys)
    if line.made_mono == "bus":
        return Phrase(
            f"{labels} to mono", f" on a bus,{_from(both, outputs, freed)}{fed}{outputs.between(*both)}", keys
        )
    where = f"{labels} on one {'pair' if line.side else 'line'}"
    if line.step == "share-a-line":
        return Phrase(where, ", by an A/B switch", keys)
    if line.step == "own-submix":
        return Phrase(where, ", from the player's own submixer", keys)
    return Phrase(where, f",{_from(both, outputs, freed)}{fed}{outputs.between(*both)}", keys)


def _from(both: Sequence[Sent], outputs: CutOutputs, freed: Mapping[str, str]) -> str:
    """Out of the mixer, and where to: the ways that the first of the sources leave free."""
    if not both:
        return ""
    named_outputs = " and ".join(f"output {_output(line.out, freed)}" for line in both if line.out)
    if all(map(outputs.is_plugged, both)):
        return f" from {named_outputs}, where {'they are' if len(both) > 1 else 'it is'} plugged"
    left = named(source.label for source, _ in zip(both[0].sources, both, strict=False))
    way = f"by a cable into the loom way that {left} leaves"
    if len(both) > 1:
        way = f"by cables into the loom ways that {left} leave"
    return f" from {named_outputs}{f', {way}' if outputs.facts.rig.loom else ''}"


def _freed(facts: Facts, routing: Routing) -> dict[str, str]:
    """Outputs that an in-ear mix gives up, and whose."""
    return {ears.outs[-1]: ears.player for ears in facts.rig.ears if ears.fold in routing.folded}


def _output(out: Out, freed: Mapping[str, str]) -> str:
    """An output by its name; where it is one of an in-ear mix's, with what frees it."""
    player = freed.get(out.key)
    return _bare(out.key) + (f" (the in-ears of {player} turn mono and free it)" if player else "")


def _bare(key: str) -> str:
    return key.removeprefix("out-")


def _mix(
    routing: Routing, options: RoutingOptions, freed: Mapping[str, str], outs: CutOutputs, plugged: Plugged
) -> Phrase:
    mix = [line for line in routing.lines if line.kind == "left-right-mix"]
    apart = named(line.label for line in routing.lines if line.kind != "left-right-mix")
    outputs = " and ".join(f"output {_output(line.out, freed)}{outs.place(line)}" for line in mix if line.out)
    width = "left/right" if len(mix) > 1 else "mono"
    what = f"the band's own {width} mix from {outputs}, {f'with {apart}' if apart else 'nothing'} apart"
    sources = list(dict.fromkeys(source for line in mix for source in line.sources))
    # It says of every source where it is.
    everything = frozenset(leg.key for unit in options.units for leg in unit.legs)
    ways = "loom ways that its sources leave" if len(mix) > 1 else "a loom way that one of its sources leaves"
    how = f", by cable into {ways}" if options.facts.rig.loom and not all(map(outs.is_plugged, mix)) else ""
    return Phrase(what, how + _taken_over(sources, routing, plugged) + outs.between(*mix), everything, is_mix=True)


def _plugged_elsewhere(before: Routing, after: Routing) -> str:
    """The same sources, and which of them are plugged in another way; empty where none is: the row above does it."""
    there = {(line.sources, line.side): _plug(line) for line in before.lines}
    moved = [
        f"{line.label} {_plug(line)}" for line in after.lines if there.get((line.sources, line.side)) != _plug(line)
    ]
    return f"the same lines, plugged in another way: {', '.join(moved)}" if moved else ""


def _plug(line: Sent) -> str:
    if line.out is not None:
        return f"from output {_bare(line.out.key)}"
    if line.splitter is not None:
        return f"through way {line.way}"
    return "straight into the box" if line.kind == "straight" else "over the digital link"
