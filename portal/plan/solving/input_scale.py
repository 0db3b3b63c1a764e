"""What a count of inputs comes to: usual boxes as a scale, each with what is given up beyond the one above."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from portal.plan.options.capacities import with_inputs
from portal.plan.options.routing_options import RoutingOptions
from portal.plan.phrase import Phrase, listed
from portal.plan.result.read_back import read_back
from portal.plan.solving.cut_clauses import Clause, clauses
from portal.plan.solving.cut_list import changed, given_up
from portal.plan.solving.cut_outputs import cut_outputs
from portal.plan.solving.solve import Failure, solve

BOXES = (32, 24, 20, 16, 12, 8)
"""Inputs of usual boxes, or what is left of them for a band (common practice, no source)."""

MOST = 4
"""Things that one rung says; what is beyond them is counted."""


@dataclass(frozen=True)
class Rung:
    """So many working inputs, and what is given up with them beyond the rung above."""

    inputs: int
    said: Phrase


def input_scale(options: RoutingOptions) -> tuple[Rung, ...]:
    """The rungs from the count that loses nothing to the smallest box; ``options`` as long as nobody knows how many
    inputs there are. Empty where nothing fits.
    """
    outcome = solve(options.program)
    if isinstance(outcome, Failure):
        return ()
    routing = read_back(options, outcome)
    before = given_up(options, routing, cut_outputs(options.facts, routing, ()))
    sent = sum(line.kind != "digital-link" for line in routing.lines)
    rungs = [Rung(sent, _said(before, []) or Phrase("each-on-its-own-line"))]
    for count in (size for size in BOXES if size < sent):
        fewer = with_inputs(options, count)
        outcome = solve(fewer.program)
        if isinstance(outcome, Failure):
            rungs.append(Rung(count, Phrase("nothing-fits-so-few")))
            break
        routing = read_back(fewer, outcome)
        given = given_up(fewer, routing, cut_outputs(fewer.facts, routing, ()))
        if said := _said(*changed(before, given)):
            rungs.append(Rung(count, said))
        before = given
    return tuple(rungs)


def _said(more: list[Clause], back: list[Phrase]) -> Phrase | None:
    """What is given up as well and what comes back, in short: sources that stay in one place are said together."""
    things = [*_together(more), *(Phrase("no-longer-so", {"what": one}) for one in back)]
    rest = len(things) - MOST
    return clauses([*things[:MOST], Phrase("and-more-things", {"things": rest})] if rest > 1 else things)


def _together(given: Iterable[Clause]) -> Iterator[Phrase]:
    staying: dict[str, list[str]] = {}
    for one in given:
        if one.stays:
            staying.setdefault(one.stays, []).append(one.leaves)
        else:
            yield one.what
    for stays, several in staying.items():
        yield Phrase(f"all-{stays}", {"labels": listed(several)})
