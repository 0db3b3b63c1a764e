"""Picks that no best plan takes, since another pick of the same units gives up less and uses no more of anything."""

from __future__ import annotations

from collections.abc import Iterator

from portal.plan.options.program import Pick
from portal.plan.options.routing_options import RoutingOptions
from portal.plan.options.routing_policy import FINER, LAST, STEP_ORDER

GIVEN_UP = (*reversed(STEP_ORDER), *FINER)
RANK = {step: -place for place, step in enumerate((*GIVEN_UP, "carry", "plugs", LAST))}
CARRY = RANK["carry"]

ANY_INPUTS = -1
"""Stands for the row of inputs, which is not written while nobody knows how many there are."""

Cost = tuple[tuple[int, int], ...]
"""Rank and count, dearest first; what is cheaper compares less."""

Need = dict[int, int]
"""What a pick takes of each side of each row: twice the row's place, one more for its lower side."""


def bettered(options: RoutingOptions) -> frozenset[int]:
    """Indexes of those picks. Any plan with one is bettered by the plan with the other in its place, also where rows
    are left out or inputs are fewer.
    """
    program = options.program
    carried = set(options.splitter_picks.values())
    needs: list[Need] = [{} for _ in program.picks]
    splitters: list[Need] = [{} for _ in program.picks]
    for place, row in enumerate(program.rows):
        # A splitter can always be carried; that costs less than any give-up.
        into = splitters if row.hi == 0 and any(index in carried for index, _ in row.terms) else needs
        for index, value in row.terms:
            if row.hi is not None:
                into[index][2 * place] = value
            if row.lo is not None:
                into[index][2 * place + 1] = -value
    for index, use in options.uses.items():
        needs[index][ANY_INPUTS] = use.inputs
    alike: dict[frozenset[str], list[int]] = {}
    for index, pick in enumerate(program.picks):
        if pick.units:
            alike.setdefault(frozenset(pick.units), []).append(index)
    return frozenset(
        worse
        for together in alike.values()
        for worse in _worse([(_cost(program.picks[index]), index) for index in together], needs, splitters)
    )


def _worse(priced: list[tuple[Cost, int]], needs: list[Need], splitters: list[Need]) -> Iterator[int]:
    kept: list[tuple[Cost, int]] = []
    for cost, index in sorted(priced):
        for less, other in kept:
            if less == cost or not _no_more(needs[other], needs[index]):
                continue
            if _given_up(less) < _given_up(cost) or _no_more(splitters[other], splitters[index]):
                yield index
                break
        else:
            kept.append((cost, index))


def _cost(pick: Pick) -> Cost:
    counts: dict[int, int] = {}
    for step, count in (*pick.gives, *pick.finer, ("carry", pick.carry), ("plugs", pick.plugs)):
        counts[RANK[step]] = counts.get(RANK[step], 0) + count
    return tuple(sorted(((rank, count) for rank, count in counts.items() if count), reverse=True))


def _given_up(cost: Cost) -> Cost:
    return tuple(part for part in cost if part[0] > CARRY)


def _no_more(one: Need, other: Need) -> bool:
    for key, value in one.items():
        if value > other.get(key, 0):
            return False
    return not any(value < 0 and key not in one for key, value in other.items())
