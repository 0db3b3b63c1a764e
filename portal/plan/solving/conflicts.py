"""Why there is no plan: a smallest set of requirements that cannot all hold, one for each root cause."""

from __future__ import annotations

from portal.plan.input.facts import Facts
from portal.plan.model import Conflict
from portal.plan.options.program import relaxed
from portal.plan.options.routing_options import RoutingOptions
from portal.plan.phrase import SEMICOLONS, Listed, Phrase, listed
from portal.plan.solving.binding_limits import fact_of, label_of, limits_of
from portal.plan.solving.solve import feasible

MOST_CARDS = 4


def conflicts_of(options: RoutingOptions) -> tuple[Conflict, ...]:
    """One conflict a root cause. Each is minimal: without any one of its facts the rest can hold (found by taking each
    away and solving again).
    """
    cards: list[Conflict] = []
    settled: frozenset[str] = frozenset()
    while len(cards) < MOST_CARDS and feasible(relaxed(options.program, settled)) is False:
        core = minimal_core(options, settled)
        if not core:
            break
        cards.append(_card(options.facts, core))
        limits = frozenset(tag for tag in core if not tag.startswith("must:"))
        settled |= limits or frozenset(core)
    return tuple(cards)


def minimal_core(options: RoutingOptions, settled: frozenset[str] = frozenset()) -> tuple[str, ...]:
    """Tags of a minimal infeasible set. Musts that matter least are tried first, so that a lead stays in the sentence
    rather than a tom.

    Musts are tried by key, so that the same set comes out whatever the order of rows.
    """
    present = [tag for tag in dict.fromkeys(row.tag for row in options.program.rows) if tag and tag not in settled]
    leads = {f"must:{unit.key}" for unit in options.units if unit.lead}
    musts = sorted(tag for tag in present if tag.startswith("must:"))
    limits = [tag for tag in present if not tag.startswith("must:")]
    order = [*(tag for tag in musts if tag not in leads), *limits, *(tag for tag in musts if tag in leads)]
    dropped = settled
    for tag in order:
        if feasible(relaxed(options.program, dropped | {tag})) is False:
            dropped |= {tag}
    return tuple(tag for tag in present if tag not in dropped)


def _card(facts: Facts, core: tuple[str, ...]) -> Conflict:
    limits = [tag for tag in core if not tag.startswith("must:")]
    musts = [tag for tag in core if tag.startswith("must:")]
    labels = listed(label_of(facts, tag.partition(":")[2]) for tag in musts)
    need = (Phrase("must-reach-the-house", {"labels": labels}),) if musts else ()
    clash = Listed((*need, *((limits_of(facts, limits),) if limits else ())), SEMICOLONS)
    return Conflict(
        limits[0].partition(":")[0] if limits else "must",
        Phrase("cannot-all-hold", {"clash": clash}),
        tuple(fact_of(facts, tag) for tag in core),
    )
