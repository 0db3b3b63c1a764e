"""A programme in the solver, without the picks that others better. The only file that imports highspy.

Most of what is asked here is small and asked again with other weights or one row less, and the solver's own search for
whole numbers spends several times what the programme without whole numbers takes (its relaxation). So the search is
ours: the relaxation is solved from where the one before it ended, every choice that rounding makes of it is held
against the rows in whole numbers, and what the relaxation's price already rules out is left. A programme that asks for
more than a few branches goes to the solver's search.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import chain

import highspy
import numpy as np
from highspy._core import HighsBasis, _Highs

from portal.plan.options.program import Program, Row

NODE_LIMIT = 20_000
"""Deterministic effort limit of one search by the solver, in branch-and-bound nodes."""

MOST_BRANCHES = 60
"""Relaxations that are solved before a search is left to the solver."""

SURELY = 1e-3
"""Beyond what the solver's tolerance of 1e-7 a pick can add to the price of a relaxation; prices are whole numbers."""

NO_SHARE = 1e-9
"""Below this a row has no share in the price of a relaxation."""

WHOLE = 1e-6
"""So close to a whole number a value is one."""

INFINITY = highspy.kHighsInf

OPTIONS: dict[str, bool | float | str] = {
    "output_flag": False,
    # With its presolve, HiGHS 1.16.0 calls a small programme infeasible that is not; see test_regressions.py.
    "presolve": "off",
    # It costs more than the rest of a small solve, and finds the same.
    "mip_heuristic_run_feasibility_jump": False,
    # The same programme is solved again and again from where it ended: exact edge weights cost more than they save, and
    # other weights alone ask for no dual simplex.
    "simplex_dual_edge_weight_strategy": 1,
    "simplex_strategy": 0,
    "threads": 1,
    "mip_rel_gap": 0.0,
    "mip_abs_gap": 0.5,
    "mip_max_nodes": NODE_LIMIT,
    # A safety net only; the node limit is what normally stops a hard case.
    "time_limit": 20.0,
}

QuietHighs = _Highs
"""The library's own class; its Python subclass prints a banner to standard output, which belongs to ``--json``."""

Terms = dict[int, int]
"""Coefficient by pick."""

Values = np.ndarray[tuple[int], np.dtype[np.float64]]
"""One number a pick, or a row."""

Bounds = dict[int, tuple[float, float]]
"""Least and most by place of a pick, where a branch has others than the programme."""


def total(weights: Terms, chosen: Terms) -> int:
    """What a choice comes to."""
    few, many = sorted((weights, chosen), key=len)
    return sum(value * many.get(index, 0) for index, value in few.items())


def load(program: Program) -> LoadedProgram:
    """The programme in the solver with nothing settled. Programmes made from one another share a solver, so that the
    one that was loaded before is not to be used any more.
    """
    first = program.origin or program
    if first.bettered != program.bettered:
        return LoadedProgram(program)
    if not isinstance(first.loaded, LoadedProgram):
        first.loaded = LoadedProgram(first)
    first.loaded.turn_to(program.rows)
    return first.loaded


class LoadedProgram:
    """The programme as the solver holds it, and what is settled so far. ``open``: picks that can still be chosen;
    ``rests_on``: tags of the rows that proofs have had a use for while ``noting``.
    """

    def __init__(self, program: Program) -> None:
        self.every = program.picks
        self.picks = [index for index in range(len(program.picks)) if index not in program.bettered]
        self.open = set(self.picks)
        self.noting = False
        self.rests_on: set[str] = set()
        self._rows = tuple(program.rows)
        self._place_of = np.full(len(program.picks), -1, dtype=np.int32)
        self._place_of[self.picks] = np.arange(len(self.picks), dtype=np.int32)
        self._mosts = np.array([float(program.picks[index].most) for index in self.picks])
        self._uppers = self._mosts.copy()
        terms = chain.from_iterable(chain.from_iterable(row.terms for row in self._rows))
        indexes, values = np.fromiter(terms, dtype=np.int32).reshape(-1, 2).T
        there = self._place_of[indexes] >= 0
        self._places = self._place_of[indexes][there]
        self._values = values[there].astype(np.float64)
        lengths = np.array([len(row.terms) for row in self._rows], dtype=np.int64)
        self._row_of = np.repeat(np.arange(len(lengths)), lengths)[there]
        self._written = _bounds_of(self._rows)
        self._lows, self._highs = self._written
        self._routes = np.array([bool(program.picks[index].units) for index in self.picks], dtype=np.bool_)
        hanging = np.bincount(self._places, minlength=len(self.picks))
        self._hanging = np.where(self._routes, 0, hanging)
        self._tags = [row.tag for row in self._rows]
        self._more: list[tuple[Values, float, float]] = []
        self._start: HighsBasis | None = None
        self._solver = self._load()

    def _load(self) -> _Highs:
        solver = QuietHighs()
        for option, value in OPTIONS.items():
            solver.setOptionValue(option, value)
        count = len(self.picks)
        none = np.array([], dtype=np.int32)
        empty = np.array([], dtype=np.float64)
        solver.addCols(count, np.zeros(count), np.zeros(count), self._uppers, 0, none, none, empty)
        self._every_place = np.arange(count, dtype=np.int32)
        integer = np.full(count, highspy.HighsVarType.kInteger, dtype=np.uint8)
        solver.changeColsIntegrality(count, self._every_place, integer)
        starts = np.searchsorted(self._row_of, np.arange(len(self._lows))).astype(np.int32)
        solver.addRows(len(self._lows), self._lows, self._highs, len(self._places), starts, self._places, self._values)
        return solver

    def turn_to(self, rows: Sequence[Row]) -> None:
        """Make it a programme of the same picks with other rows, and nothing settled."""
        if self._more:
            beyond = np.arange(len(self._rows), len(self._tags), dtype=np.int32)
            self._solver.deleteRows(len(beyond), beyond)
            self._more.clear()
            del self._tags[len(self._rows) :]
        if len(self.open) < len(self.picks):
            self._uppers = self._mosts.copy()
            self._solver.changeColsBounds(len(self.picks), self._every_place, np.zeros(len(self.picks)), self._uppers)
            self.open = set(self.picks)
        self.noting, self.rests_on = False, set()
        wanted = {id(row) for row in rows}
        there = np.array([id(row) in wanted for row in self._rows], dtype=np.bool_)
        lows, highs = (np.where(there, self._written[0], -INFINITY), np.where(there, self._written[1], INFINITY))
        known = set(map(id, self._rows))
        gone = {self._rows[place].terms: int(place) for place in np.flatnonzero(~there)}
        others = [row for row in rows if id(row) not in known]
        for row, (low, high) in zip(others, zip(*_bounds_of(others), strict=True), strict=True):
            place = gone.pop(row.terms, None)
            if place is None:
                self._add(self._by_place(dict(row.terms)), low, high, row.tag)
            else:
                lows[place], highs[place] = low, high
        for changed in map(int, np.flatnonzero((lows != self._lows) | (highs != self._highs))):
            self._solver.changeRowBounds(changed, float(lows[changed]), float(highs[changed]))
        self._lows, self._highs = lows, highs
        if self._start is not None and not self._more:
            self._solver.setBasis(self._start)

    def minimise(self, weights: Terms, known: Terms | None = None) -> tuple[Terms | None, bool]:
        """The best choice, ``None`` where there is none, and whether that is proven. ``known``: a choice that keeps
        every row and all that is settled, returned where none is better.
        """
        found, proven = self._minimise(self._by_place(weights), None if known is None else self._by_place(known))
        if found is None:
            return None, proven
        return {self.picks[place]: int(found[place]) for place in np.flatnonzero(found)}, proven

    def has_better(self, weights: Terms, known: Terms) -> bool:
        """Whether there is a choice of a lower price than a known one."""
        costs, best = self._by_place(weights), self._by_place(known)
        found, _ = self._minimise(costs, best, any_better=True)
        return found is not None and bool(costs @ found < costs @ best)

    def _minimise(self, costs: Values, best: Values | None, *, any_better: bool = False) -> tuple[Values | None, bool]:
        self._solver.changeColsCost(len(costs), self._every_place, costs)
        self._solver.setOptionValue("solve_relaxation", True)
        found, proven = self._branches(costs, best, any_better=any_better)
        self._solver.setOptionValue("solve_relaxation", False)
        if proven:
            return found, True
        self.rests_on.update(self._tags)
        return self._search()

    def _by_place(self, terms: Terms) -> Values:
        found = np.zeros(len(self.picks) + 1)  # the last is the place of what is not there
        found[self._place_of[np.fromiter(terms, np.int32, len(terms))]] = np.fromiter(
            terms.values(), np.float64, len(terms)
        )
        return found[:-1]

    def _branches(self, costs: Values, best: Values | None, *, any_better: bool) -> tuple[Values | None, bool]:
        """The best choice by branch and bound, depth first, and whether the search came to its end; with ``any_better``
        that is the first choice that is better than the known one.
        """
        wanted = (-INFINITY if best is None else float(costs @ best) - 1) if any_better else -INFINITY
        price = INFINITY if best is None else float(costs @ best)
        branches: list[Bounds] = [{}]
        bounds: Bounds = {}
        for _ in range(MOST_BRANCHES):
            if not branches or price <= wanted:
                break
            bounds = self._bound(bounds, branches.pop())
            least = self._relaxed()
            if least is None:
                branches.append(bounds)
                break
            if least > price or least == INFINITY:
                self._note(found=least < INFINITY)
                continue
            values = np.array(self._solver.getSolution().col_value)
            for rounded in self._rounded(values):
                if costs @ rounded < price and self._holds(rounded):
                    best, price = rounded, float(costs @ rounded)
            if least > price:
                self._note(found=True)
            else:
                branches += self._parts(values, bounds)
        self._bound(bounds, {})
        return best, not branches or price <= wanted

    def _relaxed(self) -> float | None:
        """A price that nothing new in this branch is below: the relaxation's and one, for prices are whole numbers;
        infinite where there is nothing, ``None`` where the solver does not say.
        """
        self._solver.run()
        status = self._solver.getModelStatus()
        if status == highspy.HighsModelStatus.kInfeasible:
            return INFINITY
        if status != highspy.HighsModelStatus.kOptimal:
            return None
        if self._start is None and not self._more:
            self._start = self._solver.getBasis()
        return self._solver.getObjectiveValue() + 1 - SURELY

    def _note(self, *, found: bool) -> None:
        """Enter the rows that have a share in the price of a relaxation, or in there being none."""
        if not self.noting:
            return
        shares = self._solver.getSolution().row_dual if found else self._solver.getDualRay()[2]  # type: ignore[attr-defined]
        self.rests_on.update(
            self._tags if shares is None else [self._tags[row] for row in np.flatnonzero(np.abs(shares) > NO_SHARE)]
        )

    def _rounded(self, values: Values) -> Iterator[Values]:
        """Whole numbers to try: the nearest, and with everything there that a part of is."""
        nearest = np.rint(values)
        yield nearest
        yield np.where(self._routes, nearest, np.ceil(values - WHOLE))

    def _parts(self, values: Values, bounds: Bounds) -> Iterable[Bounds]:
        """The two halves of what is left, the likelier one last: what most rows hang on (a mix, a group) is decided
        first.
        """
        apart = np.abs(values - np.rint(values))
        place = int(np.argmax(np.where(apart > WHOLE, apart + self._hanging, 0.0)))
        low, high = bounds.get(place, (0.0, float(self._uppers[place])))
        floor = float(np.floor(values[place] + WHOLE))
        return {**bounds, place: (low, floor)}, {**bounds, place: (floor + 1, high)}

    def _bound(self, before: Bounds, after: Bounds) -> Bounds:
        """The bounds of one branch in place of those of another."""
        for place in before.keys() - after.keys():
            self._solver.changeColBounds(place, 0.0, float(self._uppers[place]))
        for place, (low, high) in after.items():
            if before.get(place) != (low, high):
                self._solver.changeColBounds(place, low, high)
        return after

    def _search(self) -> tuple[Values | None, bool]:
        """The best choice by the solver's own search."""
        self._solver.run()
        status = self._solver.getModelStatus()
        if status == highspy.HighsModelStatus.kInfeasible:
            return None, True
        values = np.rint(np.array(self._solver.getSolution().col_value))
        if len(values) != len(self.picks) or not self._holds(values):
            return None, False
        return values, status == highspy.HighsModelStatus.kOptimal

    def _holds(self, values: Values) -> bool:
        """Whether whole numbers, exact as floats, satisfy every row as it was written and all that is settled."""
        totals = np.bincount(self._row_of, self._values * values[self._places], len(self._lows))
        return bool((totals >= self._lows).all() and (totals <= self._highs).all()) and all(
            low <= terms @ values <= high for terms, low, high in self._more
        )

    def keep(self, terms: Terms, reached: int) -> None:
        """Settle a priority at what it reached, its least: a row that forbids less too, which leaves a relaxation fewer
        halves; where nothing is given up, its picks are out for good.
        """
        if reached == 0 and min(terms.values()) > 0:
            self.leave_out(terms)
        else:
            self._add(self._by_place(terms), reached, reached, "")

    def leave_out(self, indexes: Iterable[int]) -> None:
        """Take picks out for good."""
        closed = self.open.intersection(indexes)
        places = self._place_of[list(closed)]
        nothing = np.zeros(len(places))
        self._solver.changeColsBounds(len(places), places, nothing, nothing)
        self._uppers[places] = 0.0
        self.open -= closed

    def _add(self, values: Values, low: float, high: float, tag: str) -> None:
        places = np.flatnonzero(values).astype(np.int32)
        self._solver.addRow(low, high, len(places), places, values[places])
        self._more.append((values, low, high))
        self._tags.append(tag)


def _bounds_of(rows: Sequence[Row]) -> tuple[Values, Values]:
    lows = np.array([-INFINITY if row.lo is None else float(row.lo) for row in rows])
    highs = np.array([INFINITY if row.hi is None else float(row.hi) for row in rows])
    return lows, highs
