"""How legs travel to the house desk: through a splitter, on direct outs, over a digital link, straight to the box."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from portal.plan.input.rig import Source, Splitter
from portal.plan.options.program import Pick
from portal.plan.options.routing_options import RoutingOptions, Use
from portal.plan.options.units import KIT_ROLES, output_for, own_way

KIT_TWO_WAYS = 100
"""Kept below every give-up and every kilo, above any number of plugs."""


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
    """One way in which legs travel: what it uses, gives up and asks to plug."""

    mode: str
    use: Use
    gives: tuple[tuple[str, int], ...] = ()
    plugs: int = 0


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
        yield from _outs(options, count)
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
    yield from _outs(options, count)


def _outs(options: RoutingOptions, count: int) -> Iterable[Travel]:
    if options.facts.value("digital-link") == "yes" and not options.isolation_required:
        yield Travel("digital-link", Use(links=count), (("digital-link", count),), count)
    if options.facts.rig.mixer.outs:
        isolating = count if options.isolation_required else 0
        yield Travel(
            "direct-out", Use(count, count, unprocessed=count, transformers=isolating), (("direct-out", count),), count
        )
        yield Travel(
            "processed-direct-out",
            Use(count, count, processed=count, transformers=isolating),
            (("processed-direct-out", count),),
            count,
        )


def _through(
    options: RoutingOptions, legs: tuple[Source, ...], splitters: dict[str, Splitter], spare: Splitter | None
) -> Travel | None:
    used: list[str] = []
    new_ways: Counter[str] = Counter()
    transformers = 0
    for leg in legs:
        splitter = splitters.get(leg.splitter) if leg.splitter else spare
        if splitter is None:
            return None
        if own_way(leg, splitters) is None:
            new_ways[splitter.key] += 1
        output = output_for(leg, splitter, options.facts)
        if output is None:
            return None
        transformers += output.kind == "direct" and options.isolation_required
        used.append(splitter.key)
    ways = tuple(sorted(new_ways.items()))
    use = Use(len(legs), len(legs), splitters=tuple(sorted(set(used))), new_ways=ways, transformers=transformers)
    return Travel("split:" + (spare.key if spare else "own-way"), use, plugs=sum(new_ways.values()))
