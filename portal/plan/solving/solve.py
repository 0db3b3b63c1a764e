"""The solver: strict priorities in as few solves as their weights allow, then one canonical solution. The only file
that imports highspy.

Weights are mixed-radix from what can occur in this programme. Where their product passes ``WEIGHT_BOUND`` the
priorities are split over several solves, each fixed as a row for the next. The last solve minimises weights hashed from
each pick's own name (blake2b, 20 bits): by the isolation lemma (Mulmuley, Vazirani and Vazirani, Combinatorica 7, 1987;
from memory, not verified) the optimum is then unique with high probability, so it depends neither on the order of rows
and picks nor on unrelated edits.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from hashlib import blake2b

import highspy
import numpy as np
from highspy._core import _Highs

from portal.plan.options.program import Pick, Program, Row
from portal.plan.options.routing_policy import FINER, LAST, STEP_ORDER

WEIGHT_BOUND = 10**7
"""Above this the solver's tolerance of 1e-6 on whole numbers could hide one unit of the cheapest priority."""

NODE_LIMIT = 20_000
"""Deterministic effort limit of one solve, in branch-and-bound nodes."""

SECONDS_LIMIT = 20.0
"""A safety net only; the node limit is what normally stops a hard case."""

RARE = len(STEP_ORDER) - STEP_ORDER.index("music-mix")
"""So many of the dearest steps are touched at few gigs: the band's mix, and what is left out."""

INFINITY = highspy.kHighsInf

OPTIONS: dict[str, bool | float | str] = {
    "output_flag": False,
    # With its presolve, HiGHS 1.16.0 calls a small programme infeasible that is not; see test_regressions.py.
    "presolve": "off",
    # It costs more than the rest of a small solve, and finds the same.
    "mip_heuristic_run_feasibility_jump": False,
    "threads": 1,
    "mip_rel_gap": 0.0,
    "mip_abs_gap": 0.5,
    "mip_max_nodes": NODE_LIMIT,
    "time_limit": SECONDS_LIMIT,
}

QuietHighs = _Highs
"""The library's own class; its Python subclass prints a banner to standard output, which belongs to ``--json``."""


@dataclass(frozen=True)
class Solution:
    """``chosen`` maps pick index to its count (zero left out); ``cost`` is counts by step from dearest to cheapest,
    then by ``FINER``, then carry, plugs and ``LAST``.
    """

    chosen: dict[int, int]
    cost: tuple[int, ...]
    proven: bool

    @property
    def given_up(self) -> tuple[int, ...]:
        """Counts by step alone."""
        return self.cost[: len(STEP_ORDER)]


@dataclass(frozen=True)
class Failure:
    """No solution. ``proven`` is false where the effort ran out first."""

    proven: bool


Terms = dict[int, int]
"""Coefficient by pick."""

Stage = list[tuple[Terms, int]]
"""Priorities that one solve decides together, each with its largest possible total."""


def priorities(program: Program) -> list[Terms]:
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


def solve(program: Program, *, canonical: bool = True, untouched: int = RARE) -> Solution | Failure:
    """The best solution by strict priority; with ``canonical`` the one that unrelated edits do not move.

    So many of the dearest priorities (``untouched``) are first taken to give up nothing, which leaves the solver little
    to decide; where that cannot be, they are solved like the others. Every solution is rounded and checked against the
    rows in whole numbers before it is believed.
    """
    ordered = priorities(program)
    found = _by_stages(program, ordered, untouched, canonical=canonical)
    if isinstance(found, Failure) and any(ordered[:untouched]):
        found = _by_stages(program, ordered, 0, canonical=canonical)
    if isinstance(found, Failure):
        return found
    chosen, proven = found
    return Solution(chosen, tuple(_total(terms, chosen) for terms in ordered), proven)


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
    ordered = priorities(program)[: len(STEP_ORDER)]
    found = _by_stages(program, ordered, RARE, canonical=False)
    if isinstance(found, Failure):
        found = _by_stages(program, ordered, 0, canonical=False)
    return None if isinstance(found, Failure) else tuple(_total(terms, found[0]) for terms in ordered)


def _by_stages(
    program: Program, ordered: Sequence[Terms], untouched: int, *, canonical: bool
) -> tuple[Terms, bool] | Failure:
    """The best choice and whether it is proven."""
    model = _Model(program)
    model.settle([(terms, 0) for terms in ordered[:untouched] if terms], {})
    proven, chosen = True, None
    for stage in model.stages(ordered[untouched:], canonical=canonical):
        if chosen is None or any(_total(terms, chosen) for terms, _ in stage):  # no count is below nothing
            found, stage_proven = model.minimise(_weighted(stage))
            if found is None:
                return Failure(stage_proven) if chosen is None else (chosen, False)
            chosen, proven = found, proven and stage_proven
        model.settle(stage, chosen)
    if chosen is None:
        chosen, proven = model.minimise({})
    return Failure(proven) if chosen is None else (chosen, proven)


def gives_up_less(program: Program, than: Solution) -> bool:
    """Whether this programme has a solution that gives up less than ``than``, itself a solution of it; carry and plugs
    are no give-up.
    """
    ordered = priorities(program)[: len(STEP_ORDER)]
    nothing = untouched_by(than)
    model = _Model(program)
    model.settle([(terms, 0) for terms in ordered[:nothing] if terms], {})
    for stage in model.stages(ordered[nothing:], canonical=False):
        weights = _weighted(stage)
        known = _total(weights, than.chosen)
        if known:
            found, _ = model.minimise(weights)
            if found is not None and _total(weights, found) < known:
                return True
        model.settle(stage, than.chosen)
    return False


def untouched_by(solution: Solution) -> int:
    """How many of the dearest steps a solution gives up nothing at."""
    return next((place for place, count in enumerate(solution.given_up) if count), len(STEP_ORDER))


def feasible(program: Program) -> bool | None:
    """Whether anything satisfies the rows; ``None`` where the effort ran out first."""
    found, proven = _Model(program).minimise({})
    if found is not None:
        return True
    return False if proven else None


def _total(weights: Terms, chosen: Terms) -> int:
    return sum(weight * chosen.get(index, 0) for index, weight in weights.items())


def _weighted(stage: Stage) -> Terms:
    total: Terms = {}
    weight = 1
    for terms, most in reversed(stage):
        for index, value in terms.items():
            total[index] = total.get(index, 0) + value * weight
        weight *= most + 1
    return total


class _Model:
    """A programme in the solver, without the picks that others better, and what is settled so far."""

    def __init__(self, program: Program) -> None:
        self._program = program
        self._picks = [index for index in range(len(program.picks)) if index not in program.bettered]
        self._place = {index: place for place, index in enumerate(self._picks)}
        self._open = set(self._picks)
        places: list[int] = []
        values: list[int] = []
        starts: list[int] = []
        for row in program.rows:
            starts.append(len(places))
            for index, value in row.terms:
                place = self._place.get(index)
                if place is not None:
                    places.append(place)
                    values.append(value)
        self._places = np.array(places, dtype=np.int32)
        self._values = np.array(values, dtype=np.float64)
        self._row_of = np.repeat(np.arange(len(starts)), np.diff([*starts, len(places)]))
        self._lows = np.array([-INFINITY if row.lo is None else float(row.lo) for row in program.rows])
        self._highs = np.array([INFINITY if row.hi is None else float(row.hi) for row in program.rows])
        self._solver = self._load(np.array(starts, dtype=np.int32))

    def _load(self, starts: np.ndarray[tuple[int], np.dtype[np.int32]]) -> _Highs:
        solver = QuietHighs()
        for option, value in OPTIONS.items():
            solver.setOptionValue(option, value)
        count = len(self._picks)
        none = np.array([], dtype=np.int32)
        empty = np.array([], dtype=np.float64)
        uppers = np.array([float(self._program.picks[index].most) for index in self._picks])
        solver.addCols(count, np.zeros(count), np.zeros(count), uppers, 0, none, none, empty)
        indices = np.arange(count, dtype=np.int32)
        solver.changeColsIntegrality(count, indices, np.full(count, highspy.HighsVarType.kInteger, dtype=np.uint8))
        solver.addRows(len(self._lows), self._lows, self._highs, len(self._places), starts, self._places, self._values)
        return solver

    def stages(self, ordered: Iterable[Terms], *, canonical: bool) -> Iterator[Stage]:
        """The priorities that can still occur, as many to one solve as their weights allow, counted anew after what
        was settled; with ``canonical`` the hashed weights last.
        """
        stage: Stage = []
        radix = 1
        for terms in ordered:
            most = self._most(terms)
            if stage and radix * (most + 1) > WEIGHT_BOUND:
                yield stage
                stage, radix = [], 1
                most = self._most(terms)
            if most:
                stage.append((terms, most))
                radix *= most + 1
        if stage:
            yield stage
        if canonical:
            yield [({index: hash_weight(self._program.picks[index].name) for index in self._picks}, 0)]

    def _most(self, terms: Terms) -> int:
        """The largest total: of the picks of one unit only one counts."""
        picks = self._program.picks
        of_unit: dict[str, int] = {}
        most = 0
        for index, value in terms.items():
            if value <= 0 or index not in self._open:
                continue
            units = picks[index].units
            if units:
                of_unit[units[0]] = max(of_unit.get(units[0], 0), value)
            else:
                most += value * picks[index].most
        return most + sum(of_unit.values())

    def minimise(self, weights: Terms) -> tuple[Terms | None, bool]:
        """The best choice, ``None`` where there is none, and whether that is proven."""
        count = len(self._picks)
        costs = np.zeros(count)
        for index, weight in weights.items():
            if index in self._place:
                costs[self._place[index]] = float(weight)
        self._solver.changeColsCost(count, np.arange(count, dtype=np.int32), costs)
        self._solver.run()
        status = self._solver.getModelStatus()
        if status == highspy.HighsModelStatus.kInfeasible:
            return None, True
        values = np.rint(np.array(self._solver.getSolution().col_value))
        if len(values) != count or not self._holds(values):
            return None, False
        chosen = {self._picks[place]: int(values[place]) for place in np.flatnonzero(values)}
        return chosen, status == highspy.HighsModelStatus.kOptimal

    def _holds(self, values: np.ndarray[tuple[int], np.dtype[np.float64]]) -> bool:
        """Whether whole numbers, exact as floats, satisfy every row as it was written."""
        totals = np.bincount(self._row_of, self._values * values[self._places], len(self._lows))
        return bool(np.all(totals >= self._lows) and np.all(totals <= self._highs))

    def settle(self, stage: Stage, chosen: Terms) -> None:
        """Keep what a stage reached: a row for each of its priorities, and where nothing is given up, those picks are
        out for good.
        """
        for terms, _ in stage:
            reached = _total(terms, chosen)
            inside = {self._place[index]: value for index, value in sorted(terms.items()) if index in self._place}
            places = np.array(list(inside), dtype=np.int32)
            if reached == 0 and min(terms.values()) > 0:
                nothing = np.zeros(len(places))
                self._solver.changeColsBounds(len(places), places, nothing, nothing)
                self._open -= terms.keys()
            else:
                values = np.array([float(value) for value in inside.values()])
                self._solver.addRow(-INFINITY, float(reached), len(places), places, values)
