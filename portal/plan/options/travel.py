"""How legs travel to the house desk: through a splitter, on direct outs, over a digital link, straight to the box."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from portal.plan.input.kinds import Role
from portal.plan.input.rig import Source, Splitter
from portal.plan.options.program import Pick
from portal.plan.options.routing_options import RoutingOptions, Use
from portal.plan.options.routing_policy import LAST, capture_of, never_phantom, role_of
from portal.plan.options.units import KIT_ROLES, is_cut_off, output_for, own_way

KIT_TWO_WAYS = 100
"""Kept below every give-up and every kilo, above any number of plugs."""


HIGHEST_INPUT = 256
"""Of the band's mixer; what has no number there counts as behind it."""


def partners_one_way(options: RoutingOptions) -> None:
    """Two microphones of one sound, or microphone and DI, arrive at one time: both past the band's mixer, or both
    through it. A copy that is 1 ms late cancels at 500 Hz.
    """
    program = options.program
    there = {unit.key for unit in options.units}

    def sent(key: str, *, past: bool) -> dict[int, int]:
        return {
            index: 1
            for index in options.of_unit.get(key, ())
            if not program.picks[index].mode.startswith("out|") and options.passes_the_mixer(index) is past
        }

    for unit in options.units:
        if unit.first in there:
            for past in (True, False):
                program.at_most(sent(unit.key, past=past) | sent(unit.first, past=not past), 1)


def kit_one_way(options: RoutingOptions) -> None:
    """Microphones on one kit hear each other: where some come over a digital link and some do not, their delays differ
    and they comb.
    """
    program = options.program
    linked = [index for index, use in options.uses.items() if use.links]
    if not linked:
        return
    kit = {unit.key for unit in options.units if unit.role in KIT_ROLES}
    two_ways = program.add(Pick("kit-two-ways", "kit-two-ways", plugs=KIT_TWO_WAYS))
    late, early = program.add(Pick("kit-late", "kit-late")), program.add(Pick("kit-early", "kit-early"))
    for index, use in options.uses.items():
        if use.inputs + use.links and kit & set(program.picks[index].units):
            program.implies(index, late if use.links else early)
    program.at_most({late: 1, early: 1, two_ways: -1}, 1)


@dataclass(frozen=True)
class Travel:
    """One way in which legs travel: what it uses, gives up and asks to plug; ``finer`` as in ``Pick``."""

    mode: str
    use: Use
    gives: tuple[tuple[str, int], ...] = ()
    plugs: int = 0
    finer: tuple[tuple[str, int], ...] = ()


def travels(options: RoutingOptions, legs: tuple[Source, ...], *, house_only: bool) -> Iterable[Travel]:
    """Every way in which these legs can travel side by side: through a splitter, on direct outs, or straight to the
    box.
    """
    count = len(legs)
    if house_only:
        yield Travel("straight", Use(inputs=count))
        return
    if options.facts.value("house-split") == "yes":
        yield Travel("house-split", Use(inputs=count), plugs=sum(1 for leg in legs if leg.splitter))
        yield from _outs(options, legs)
        return
    splitters = {splitter.key: splitter for splitter in options.facts.rig.splitter}
    if any(not leg.splitter for leg in legs):
        for splitter in options.facts.rig.splitter:
            travel = _through(options, legs, splitters, splitter)
            if travel is not None:
                yield travel
    else:
        travel = _through(options, legs, splitters, None)
        if travel is not None:
            yield travel
    yield from _outs(options, legs)


def low_inputs(legs: Iterable[Source]) -> tuple[tuple[str, int], ...]:
    """What it counts when these lose their own dry line: least for the highest inputs of the band's mixer."""
    return ((LAST, sum(HIGHEST_INPUT + 1 - (leg.mixer_input or HIGHEST_INPUT) for leg in legs)),)


def _on_outs(legs: Sequence[Source]) -> tuple[tuple[str, int], ...]:
    """Who should not come over an output of the band's mixer: voices least of all, then microphones, then single
    DIs.
    """
    capture, role = capture_of(legs[0]), role_of(legs[0])
    if role in (Role.BACKING, Role.LEAD):
        return (("voices-on-outs", len(legs)), *low_inputs(legs))
    if capture == "mic":
        return (("microphones-on-outs", len(legs)), *low_inputs(legs))
    return (("singles-on-outs", 1), *low_inputs(legs)) if len(legs) == 1 else low_inputs(legs)


def _outs(options: RoutingOptions, legs: tuple[Source, ...]) -> Iterable[Travel]:
    count, finer = len(legs), _on_outs(legs)
    if options.facts.value("digital-link") == "yes" and not options.isolation_required:
        yield Travel("digital-link", Use(links=count), (("digital-link", count),), count, low_inputs(legs))
    if options.facts.rig.mixer.outs:
        isolating = count if options.isolation_required else 0
        for mode, use in (
            ("direct-out", Use(count, count, unprocessed=count, transformers=isolating)),
            ("processed-direct-out", Use(count, count, processed=count, transformers=isolating)),
        ):
            yield Travel(mode, use, ((mode, count),), count, finer)


def _through(
    options: RoutingOptions, legs: tuple[Source, ...], splitters: dict[str, Splitter], spare: Splitter | None
) -> Travel | None:
    used: list[str] = []
    new_ways: Counter[str] = Counter()
    never_ways: Counter[str] = Counter()
    transformers = cut_off = 0
    for leg in legs:
        splitter = splitters.get(leg.splitter) if leg.splitter else spare
        if splitter is None:
            return None
        if own_way(leg, splitters) is None:
            new_ways[splitter.key] += 1
            never_ways[splitter.key] += never_phantom(leg)
        output = output_for(leg, splitter, options.facts)
        if output is None:
            return None
        transformers += output.kind == "direct" and options.isolation_required
        cut_off += is_cut_off(leg, splitter, options.facts)
        used.append(splitter.key)
    use = Use(
        len(legs),
        len(legs),
        splitters=tuple(sorted(set(used))),
        new_ways=tuple(sorted(new_ways.items())),
        never_ways=tuple(sorted(never_ways.items())),
        transformers=transformers,
        cut_off=cut_off,
    )
    return Travel("split:" + (spare.key if spare else "own-way"), use, plugs=sum(new_ways.values()))
