"""What would help where the audience loses something: at most two changes, each solved again, with what it wins and
what it takes from others.

A change loosens one limit that binds, by as little as will do: a fact of the rig that nobody said, one input, the ways
that are missing, a loose splitter for the microphones on outputs of the band's mixer, a transformer for every line that
needs one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from portal.plan.input.facts import Facts, Lock
from portal.plan.input.rig import Out, Rig, Splitter, SplitterOutput
from portal.plan.model import Remedy
from portal.plan.options.boxes import usable_looms, working_inputs
from portal.plan.options.capacities import with_inputs
from portal.plan.options.gig_program import write_program
from portal.plan.options.program import relaxed
from portal.plan.options.routing_options import RoutingOptions
from portal.plan.options.routing_policy import FINER, STEP_ORDER
from portal.plan.options.units import exchanges_sockets
from portal.plan.packing.item_names import PAD
from portal.plan.phrase import SEMICOLONS, Listed, Phrase, Value, listed
from portal.plan.result.lines import pad_db
from portal.plan.result.read_back import read_back
from portal.plan.result.routing import Routing, Sent
from portal.plan.solving.solve import Failure, Solution, Solved, solve_once, untouched_by

MOST_HELPS = 2

AUDIBLE = len(STEP_ORDER) + len(FINER)
"""So many priorities say how sources reach the house; those below are carry and plugs."""

SMALL_LOSSES = frozenset({"share-a-line", "out-of-the-ears", "digital-link", "optional-source", "second-microphone"})
"""Steps that nobody in the audience misses; a direct out of a pair at line level is none either."""

OUT, SHARED, MONO, AS_A_GUEST, ON_AN_OUTPUT, DRY = range(6)
"""How well a source reaches the house."""


@dataclass(frozen=True)
class Chance:
    """One change: its key, who acts, what they do, and the programme as it would be."""

    key: str
    actor: str
    said: Phrase
    options: RoutingOptions


def would_help(
    options: RoutingOptions, solution: Solution, binding: Sequence[str], locks: Sequence[Lock]
) -> tuple[Remedy, ...]:
    """Verified changes, least trouble first; none where nothing audible is given up. ``binding``: tags of the limits
    that bind.
    """
    routing = read_back(options, solution)
    if not _loses(solution, routing):
        return ()
    found: list[Remedy] = []
    here = _reach(routing)
    solved: Solved = {}
    for chance in _chances(options, routing, binding, locks, solved):
        outcome = solve_once(chance.options.program, solved, untouched=untouched_by(solution))
        if isinstance(outcome, Failure) or outcome.cost[:AUDIBLE] >= solution.cost[:AUDIBLE]:
            continue
        there = read_back(chance.options, outcome)
        wins, takes = _wins(here, there, options), _takes(routing, there, options)
        if wins.listed:
            price: dict[str, Value] = {"takes": takes} if takes.listed else {}
            said = Phrase("wins.at-a-price" if price else "wins", {"change": chance.said, "wins": wins, **price})
            found.append(Remedy(chance.key, chance.actor, said))
        if len(found) == MOST_HELPS:
            break
    return tuple(found)


def _loses(solution: Solution, routing: Routing) -> bool:
    steps = dict(zip(reversed(STEP_ORDER), solution.given_up, strict=True))
    if any(count for step, count in steps.items() if step not in SMALL_LOSSES and step != "direct-out"):
        return True
    return bool(_microphones_on_outputs(routing))


def _microphones_on_outputs(routing: Routing) -> list[Sent]:
    return [line for line in routing.lines if line.kind.endswith("direct-out") and not line.pair]


def _chances(
    options: RoutingOptions, routing: Routing, binding: Sequence[str], locks: Sequence[Lock], solved: Solved
) -> Iterator[Chance]:
    """The changes that may help, least trouble first."""
    facts = options.facts
    unsaid = [out.key for out in facts.rig.mixer.outs if out.use == "free" and not out.tap_known]
    if unsaid and set(binding) & {"unprocessed-outs", "free-outs", "dry-only"} | _ways_bind(binding):
        outs = tuple(replace(out, tap="after-preamp") if out.key in unsaid else out for out in facts.rig.mixer.outs)
        outputs = listed(Phrase("output", {"output": key}) for key in unsaid)
        yield Chance(
            "say-where-outputs-are-tapped",
            "band",
            Phrase("told-where-outputs-are-tapped", {"outputs": outputs}),
            _rewritten(options, replace(facts.rig, mixer=replace(facts.rig.mixer, outs=outs)), locks),
        )
    yield from _plugged_at_the_front(options, binding, locks)
    inputs = working_inputs(facts)
    if "inputs-free" in binding and inputs is not None:
        yield Chance("one-more-input", "house", Phrase("one-more-input"), with_inputs(options, inputs + 1))
    if "looms" in binding and facts.rig.loom:
        yield from _more_loom_ways(options, solved)
    if _ways_bind(binding) or not facts.rig.splitter:
        ways = sum(1 for _ in _microphones_on_outputs(routing)) or 1
        loose = Splitter("loose", "loose splitter", ways, outputs=(SplitterOutput("B", "isolated"),))
        yield Chance(
            "loose-splitter",
            "band",
            Phrase("with-a-loose-splitter", {"ways": ways}),
            _rewritten(options, replace(facts.rig, splitter=(*facts.rig.splitter, loose)), locks),
        )
    if "isolation" in binding:
        yield from _more_transformers(options, solved)
    if set(binding) & {"free-outs", "busses"}:
        mixer = replace(facts.rig.mixer, outs=(*facts.rig.mixer.outs, Out(key="freed", use="free")))
        yield Chance(
            "free-an-output",
            "band",
            Phrase("free-an-output"),
            _rewritten(options, replace(facts.rig, mixer=mixer), locks),
        )


def _ways_bind(binding: Sequence[str]) -> set[str]:
    return {tag for tag in binding if tag.startswith("splitter-ways:")}


def _plugged_at_the_front(options: RoutingOptions, binding: Sequence[str], locks: Sequence[Lock]) -> Iterator[Chance]:
    """A splitter whose ways bind, and of which nobody said where sources plug in: at its front they may exchange."""
    facts = options.facts
    for splitter in facts.rig.splitter:
        front = replace(splitter, plugs="front")
        if splitter.plugs or f"splitter-ways:{splitter.key}" not in binding or not exchanges_sockets(facts, front):
            continue
        splitters = tuple(front if one == splitter else one for one in facts.rig.splitter)
        yield Chance(
            "say-where-sources-plug-in",
            "band",
            Phrase("told-where-sources-plug-in", {"splitter": splitter.name or splitter.key}),
            _rewritten(options, replace(facts.rig, splitter=splitters), locks),
        )


def _more_loom_ways(options: RoutingOptions, solved: Solved) -> Iterator[Chance]:
    """A sub-loom for the lines that find no way."""
    without = replace(options, program=relaxed(options.program, frozenset({"looms"})))
    outcome = solve_once(without.program, solved)
    if isinstance(outcome, Solution):
        lines = sum(
            options.uses[index].lines * count for index, count in outcome.chosen.items() if index in options.uses
        )
        short = lines - sum(loom.ways for loom in usable_looms(options.facts))
        if short > 0:
            yield Chance("lend-a-sub-loom", "both", Phrase("lend-a-sub-loom", {"ways": short}), without)


def _more_transformers(options: RoutingOptions, solved: Solved) -> Iterator[Chance]:
    """A transformer for every line that needs one."""
    without = replace(options, program=relaxed(options.program, frozenset({"isolation"})))
    outcome = solve_once(without.program, solved)
    if isinstance(outcome, Solution):
        needed = sum(
            options.uses[index].transformers * count for index, count in outcome.chosen.items() if index in options.uses
        )
        said = Phrase("with-isolating-transformers", {"transformers": needed})
        yield Chance("bring-isolating-transformers", "band", said, without)


def _rewritten(options: RoutingOptions, rig: Rig, locks: Sequence[Lock]) -> RoutingOptions:
    return write_program(Facts(rig, options.facts.answers), locks)


def _reach(routing: Routing) -> dict[str, int]:
    """How well each source reaches the house."""
    found: dict[str, int] = {}
    for line in routing.lines:
        for source in line.sources:
            if line.made_mono:
                found[source.key] = MONO
            elif line.guest == source:
                found[source.key] = AS_A_GUEST
            elif len(line.heard) > 1 or line.kind in ("group", "left-right-mix", "processed-direct-out"):
                found[source.key] = SHARED
            else:
                found[source.key] = ON_AN_OUTPUT if line.out is not None else DRY
    return found


def _wins(before: dict[str, int], routing: Routing, options: RoutingOptions) -> Listed:
    """What a change wins: sources that are sent again, in stereo again, dry again."""
    after = _reach(routing)
    better = {
        leg.key: leg
        for unit in options.units
        for leg in unit.legs
        if after.get(leg.key, OUT) > before.get(leg.key, OUT)
    }
    sent = [leg.label for key, leg in better.items() if before.get(key, OUT) == OUT]
    stereo = [leg.label for key, leg in better.items() if before.get(key) == MONO]
    dry = [
        leg.label
        for key, leg in better.items()
        if before.get(key) in (SHARED, ON_AN_OUTPUT) and after[key] in (DRY, ON_AN_OUTPUT)
    ]
    own = [leg.label for key, leg in better.items() if before.get(key) == AS_A_GUEST]
    parts = ((dry, "wins-dry-lines"), (own, "wins-a-microphone"), (stereo, "wins-stereo"), (sent, "wins-being-sent"))
    wins = tuple(Phrase(key, {"labels": listed(labels)}) for labels, key in parts if labels)
    return Listed(wins, SEMICOLONS)


def _takes(before: Routing, after: Routing, options: RoutingOptions) -> Listed:
    """What a change costs others: lines, stereo, plugs that move, pads that the band does not own."""
    here, there, facts = _reach(before), _reach(after), options.facts
    legs = [leg for unit in options.units for leg in unit.legs]
    worse = {leg.label: there.get(leg.key, OUT) for leg in legs if there.get(leg.key, OUT) < here.get(leg.key, OUT)}
    reached = (
        (OUT, "takes-lines"),
        (SHARED, "takes-own-lines"),
        (MONO, "takes-stereo"),
        (AS_A_GUEST, "takes-a-microphone"),
        (ON_AN_OUTPUT, "takes-dry"),
    )
    takes = [
        Phrase(key, {"labels": listed(labels)})
        for reach, key in reached
        if (labels := [label for label, now in worse.items() if now == reach])
    ]
    plugs = sum(before.mixer_input(leg) != after.mixer_input(leg) for leg in legs)
    if plugs:
        takes.append(Phrase("takes-plugs", {"plugs": plugs}))
    pads, owned = _pads(after, facts), facts.rig.bits.get(PAD, 0)
    if pads > max(owned, _pads(before, facts)):
        takes.append(Phrase("takes-pads", {"pads": pads, "owned": owned}))
    return Listed(tuple(takes), SEMICOLONS)


def _pads(routing: Routing, facts: Facts) -> int:
    """How many pads a routing needs."""
    return sum(pad_db(line, facts) > 0 for line in routing.lines)
