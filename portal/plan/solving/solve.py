"""Strict priorities in as few solves as their weights allow, then one canonical solution.

Weights are mixed-radix from what can occur in this programme. Where their product passes ``WEIGHT_BOUND`` the
priorities are split over several solves, each fixed as a row for the next. The last solve minimises weights hashed from
each pick's own name (blake2b, 20 bits): by the isolation lemma (Mulmuley, Vazirani and Vazirani, Combinatorica 7, 1987;
from memory, not verified) the optimum is then unique with high probability, so it depends neither on the order of rows
and picks nor on unrelated edits.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from hashlib import blake2b

from portal.plan.options.program import Pick, Program, Row
from portal.plan.options.routing_policy import FINER, LAST, STEP_ORDER
from portal.plan.solving.loaded_program import LoadedProgram, Terms, load, total

WEIGHT_BOUND = 10**7
"""Above this the solver's tolerance of 1e-6 on whole numbers could hide one unit of the cheapest priority."""

RARE = len(STEP_ORDER) - STEP_ORDER.index("music-mix")
"""So many of the dearest steps are touched at few gigs: the band's mix, and what is left out."""


@dataclass(frozen=True)
class Solution:
    """``chosen`` maps pick index to its count (zero left out); ``cost`` is counts by step from dearest to cheapest,
    then by ``FINER``, then carry, plugs and ``LAST``. ``rests_on``: tags of the rows without which
    less may be given up; ``None`` where nobody noted them.
    """

    chosen: dict[int, int]
    cost: tuple[int, ...]
    proven: bool
    rests_on: frozenset[str] | None = field(default=None, compare=False)

    @property
    def given_up(self) -> tuple[int, ...]:
        """Counts by step alone."""
        return self.cost[: len(STEP_ORDER)]


@dataclass(frozen=True)
class Failure:
    """No solution. ``proven`` is false where the effort ran out first."""

    proven: bool


Stage = list[tuple[Terms, int]]
"""Priorities that one solve decides together, each with its largest possible total."""


@dataclass(frozen=True)
class Prices:
    """What solutions are compared by: ``ordered`` holds every priority from dearest to cheapest, ``hashed`` the weights
    that decide between those that are alike in all of them.
    """

    ordered: tuple[Terms, ...]
    hashed: Terms


def prices_of(program: Program) -> Prices:
    """The prices of its picks, worked out once for all programmes that have them."""
    first = program.origin or program
    if not isinstance(first.prices, Prices):
        first.prices = Prices(
            tuple(_priorities(program)), {index: hash_weight(pick.name) for index, pick in enumerate(program.picks)}
        )
    return first.prices


def _priorities(program: Program) -> list[Terms]:
    """Every priority from dearest to cheapest."""
    by_step: dict[str, Terms] = {step: {} for step in (*STEP_ORDER, *FINER, LAST)}
    carry: Terms = {}
    plugs: Terms = {}
    for index, pick in enumerate(program.picks):
        for step, count in (*pick.gives, *pick.finer):
            by_step[step][index] = by_step[step].get(index, 0) + count
        if pick.carry:
            carry[index] = pick.carry
        if pick.plugs:
            plugs[index] = pick.plugs
    return [by_step[step] for step in (*reversed(STEP_ORDER), *FINER)] + [carry, plugs, by_step[LAST]]


def hash_weight(name: str) -> int:
    """20 bits of blake2b of a pick's name."""
    return int.from_bytes(blake2b(name.encode(), digest_size=4).digest(), "big") & 0xFFFFF


def solve(
    program: Program, *, canonical: bool = True, untouched: int = RARE, noting: bool = False
) -> Solution | Failure:
    """The best solution by strict priority; with ``canonical`` the one that unrelated edits do not move, with
    ``noting`` with the rows that it rests on.

    So many of the dearest priorities (``untouched``) are first taken to give up nothing, which leaves the solver little
    to decide; where that cannot be, they are solved like the others. Every solution is rounded and checked against the
    rows in whole numbers before it is believed.
    """
    ordered, hashed = prices_of(program).ordered, prices_of(program).hashed if canonical else {}
    loaded = load(program)
    found = _by_stages(loaded, ordered, untouched, hashed, noting=noting)
    if isinstance(found, Failure) and any(ordered[:untouched]):
        loaded = load(program)
        found = _by_stages(loaded, ordered, 0, hashed, noting=noting)
    if isinstance(found, Failure):
        return found
    chosen, proven = found
    cost = tuple(total(terms, chosen) for terms in ordered)
    return Solution(chosen, cost, proven, frozenset(loaded.rests_on) if noting else None)


Solved = dict[tuple[tuple[Pick, ...], tuple[Row, ...]], Solution | Failure]
"""What programmes of one pass came to."""


def solve_once(program: Program, solved: Solved, *, untouched: int = RARE) -> Solution | Failure:
    """As ``solve``, but a programme that was met before is not solved again; what is new is entered in ``solved``."""
    text = tuple(program.picks), tuple(program.rows)
    if text not in solved:
        solved[text] = solve(program, untouched=untouched)
    return solved[text]


def give_ups(program: Program) -> tuple[int, ...] | None:
    """Counts by step alone of the best solution; ``None`` where there is none."""
    ordered = prices_of(program).ordered[: len(STEP_ORDER)]
    found = _by_stages(load(program), ordered, RARE, {})
    if isinstance(found, Failure):
        found = _by_stages(load(program), ordered, 0, {})
    return None if isinstance(found, Failure) else tuple(total(terms, found[0]) for terms in ordered)


def _by_stages(
    loaded: LoadedProgram, ordered: Sequence[Terms], untouched: int, hashed: Terms, *, noting: bool = False
) -> tuple[Terms, bool] | Failure:
    """The best choice and whether it is proven, of those alike the one of least ``hashed`` weights. ``noting``:
    what the proof of its give-ups rests on is noted.
    """
    steps = set(map(id, ordered[: len(STEP_ORDER)]))
    _settle(loaded, [(terms, 0) for terms in ordered[:untouched] if terms], {})
    proven, chosen = True, None
    for stage in _stages(loaded, ordered[untouched:]):
        if chosen is None or any(total(terms, chosen) for terms, _ in stage):  # no count is below nothing
            loaded.noting = noting and any(id(terms) in steps for terms, _ in stage)
            found, stage_proven = loaded.minimise(_weighted(stage), chosen)
            if found is None:
                return Failure(stage_proven) if chosen is None else (chosen, False)
            chosen, proven = found, proven and stage_proven
        _settle(loaded, stage, chosen)
    if hashed or chosen is None:
        loaded.noting = False
        found, stage_proven = loaded.minimise(hashed, chosen)
        if found is None:
            return Failure(stage_proven) if chosen is None else (chosen, False)
        chosen, proven = found, proven and stage_proven
    return chosen, proven


def gives_up_less(program: Program, than: Solution) -> bool:
    """Whether this programme has a solution that gives up less than ``than``, itself a solution of it; carry and plugs
    are no give-up.
    """
    ordered = prices_of(program).ordered[: len(STEP_ORDER)]
    nothing = untouched_by(than)
    loaded = load(program)
    _settle(loaded, [(terms, 0) for terms in ordered[:nothing] if terms], {})
    for stage in _stages(loaded, ordered[nothing:]):
        weights = _weighted(stage)
        if total(weights, than.chosen) and loaded.has_better(weights, than.chosen):
            return True
        _settle(loaded, stage, than.chosen)
    return False


def untouched_by(solution: Solution) -> int:
    """How many of the dearest steps a solution gives up nothing at."""
    return next((place for place, count in enumerate(solution.given_up) if count), len(STEP_ORDER))


def feasible(program: Program) -> bool | None:
    """Whether anything satisfies the rows; ``None`` where the effort ran out first."""
    found, proven = load(program).minimise({})
    if found is not None:
        return True
    return False if proven else None


def _weighted(stage: Stage) -> Terms:
    total: Terms = {}
    weight = 1
    for terms, most in reversed(stage):
        for index, value in terms.items():
            total[index] = total.get(index, 0) + value * weight
        weight *= most + 1
    return total


def _stages(loaded: LoadedProgram, ordered: Iterable[Terms]) -> Iterator[Stage]:
    """The priorities that can still occur, as many to one solve as their weights allow, counted anew after what
    was settled.
    """
    stage: Stage = []
    radix = 1
    for terms in ordered:
        most = _most(loaded, terms)
        if stage and radix * (most + 1) > WEIGHT_BOUND:
            yield stage
            stage, radix = [], 1
            most = _most(loaded, terms)
        if most:
            stage.append((terms, most))
            radix *= most + 1
    if stage:
        yield stage


def _most(loaded: LoadedProgram, terms: Terms) -> int:
    """The largest total: of the picks of one unit only one counts."""
    picks = loaded.every
    of_unit: dict[str, int] = {}
    most = 0
    for index in loaded.open.intersection(terms):
        value, units = terms[index], picks[index].units
        if value <= 0:
            continue
        if units:
            of_unit[units[0]] = max(of_unit.get(units[0], 0), value)
        else:
            most += value * picks[index].most
    return most + sum(of_unit.values())


def _settle(loaded: LoadedProgram, stage: Stage, chosen: Terms) -> None:
    """Keep what a stage reached."""
    nothing: set[int] = set()
    for terms, _ in stage:
        reached = total(terms, chosen)
        if reached == 0 and min(terms.values()) > 0:
            nothing.update(terms)
        else:
            loaded.keep(terms, reached)
    if nothing:
        loaded.leave_out(nothing)
