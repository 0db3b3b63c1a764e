"""A programme in the solver, without the picks that others better. The only file that imports highspy.

Most of what is asked here is small and asked again with other weights or one row less, and the solver's own search for
whole numbers spends several times what the programme without whole numbers takes (its relaxation). So the search is
ours: the relaxation is solved from where the one before it ended, every choice that rounding makes of it is held
against the rows in whole numbers, and what the relaxation's price already rules out is left. A programme that asks for
more than a few branches goes to the solver's search.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import chain

import highspy
import numpy as np
from highspy._core import _Highs

from portal.plan.options.program import Program

NODE_LIMIT = 20_000
"""Deterministic effort limit of one search by the solver, in branch-and-bound nodes."""

MOST_BRANCHES = 60
"""Relaxations that are solved before a search is left to the solver."""

SURELY = 1e-3
"""Beyond what the solver's tolerance of 1e-7 a pick can add to the price of a relaxation; prices are whole numbers."""

WHOLE = 1e-6
"""So close to a whole number a value is one."""

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


class LoadedProgram:
    """The programme as the solver holds it, and what is settled so far. ``open``: picks that can still be chosen."""

    def __init__(self, program: Program) -> None:
        self.program = program
        self.picks = [index for index in range(len(program.picks)) if index not in program.bettered]
        self.open = set(self.picks)
        self._place = {index: place for place, index in enumerate(self.picks)}
        self._uppers = np.array([float(program.picks[index].most) for index in self.picks])
        terms = chain.from_iterable(chain.from_iterable(row.terms for row in program.rows))
        indexes, values = np.fromiter(terms, dtype=np.int32).reshape(-1, 2).T
        place_of = np.full(len(program.picks), -1, dtype=np.int32)
        place_of[self.picks] = np.arange(len(self.picks), dtype=np.int32)
        there = place_of[indexes] >= 0
        self._places = place_of[indexes][there]
        self._values = values[there].astype(np.float64)
        lengths = np.array([len(row.terms) for row in program.rows], dtype=np.int64)
        self._row_of = np.repeat(np.arange(len(lengths)), lengths)[there]
        self._lows = np.array([-INFINITY if row.lo is None else float(row.lo) for row in program.rows])
        self._highs = np.array([INFINITY if row.hi is None else float(row.hi) for row in program.rows])
        self._routes = np.array([bool(program.picks[index].units) for index in self.picks], dtype=np.bool_)
        hanging = np.bincount(self._places, minlength=len(self.picks))
        self._hanging = np.where(self._routes, 0, hanging)
        self._kept: list[tuple[Values, int]] = []
        self._solver = self._load()

    def _load(self) -> _Highs:
        solver = QuietHighs()
        for option, value in OPTIONS.items():
            solver.setOptionValue(option, value)
        count = len(self.picks)
        none = np.array([], dtype=np.int32)
        empty = np.array([], dtype=np.float64)
        solver.addCols(count, np.zeros(count), np.zeros(count), self._uppers, 0, none, none, empty)
        indices = np.arange(count, dtype=np.int32)
        solver.changeColsIntegrality(count, indices, np.full(count, highspy.HighsVarType.kInteger, dtype=np.uint8))
        starts = np.searchsorted(self._row_of, np.arange(len(self._lows))).astype(np.int32)
        solver.addRows(len(self._lows), self._lows, self._highs, len(self._places), starts, self._places, self._values)
        return solver

    def minimise(self, weights: Terms, known: Terms | None = None) -> tuple[Terms | None, bool]:
        """The best choice, ``None`` where there is none, and whether that is proven. ``known``: a choice that keeps
        every row and all that is settled, returned where none is better.
        """
        costs = self._by_place(weights)
        self._solver.changeColsCost(len(costs), np.arange(len(costs), dtype=np.int32), costs)
        best = None if known is None else self._by_place(known)
        self._solver.setOptionValue("solve_relaxation", True)
        found, proven = self._branches(costs, best)
        self._solver.setOptionValue("solve_relaxation", False)
        if not proven:
            found, proven = self._search()
        if found is None:
            return None, proven
        return {self.picks[place]: int(found[place]) for place in np.flatnonzero(found)}, proven

    def _by_place(self, terms: Terms) -> Values:
        found = np.zeros(len(self.picks))
        for index, value in terms.items():
            place = self._place.get(index)
            if place is not None:
                found[place] = float(value)
        return found

    def _branches(self, costs: Values, best: Values | None) -> tuple[Values | None, bool]:
        """The best choice by branch and bound, depth first, and whether the search came to its end."""
        price = INFINITY if best is None else float(costs @ best)
        branches: list[Bounds] = [{}]
        bounds: Bounds = {}
        for _ in range(MOST_BRANCHES):
            if not branches:
                break
            bounds = self._bound(bounds, branches.pop())
            self._solver.run()
            status = self._solver.getModelStatus()
            if status == highspy.HighsModelStatus.kInfeasible:
                continue
            if status != highspy.HighsModelStatus.kOptimal:
                branches.append(bounds)
                break
            least = self._solver.getInfo().objective_function_value + 1 - SURELY
            if least > price:
                continue
            values = np.array(self._solver.getSolution().col_value)
            for rounded in self._rounded(values):
                if costs @ rounded < price and self._holds(rounded):
                    best, price = rounded, float(costs @ rounded)
            if least <= price:
                branches += self._parts(values, bounds)
        self._bound(bounds, {})
        return best, not branches

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
        rank = np.where(apart > WHOLE, apart + self._hanging, 0.0)
        place = int(np.argmax(rank))
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
        return bool(np.all(totals >= self._lows) and np.all(totals <= self._highs)) and all(
            terms @ values <= most for terms, most in self._kept
        )

    def keep(self, terms: Terms, reached: int) -> None:
        """Settle a priority at what it reached: a row, and where nothing is given up, its picks are out for good."""
        values = self._by_place(terms)
        places = np.flatnonzero(values).astype(np.int32)
        if reached == 0 and min(terms.values()) > 0:
            nothing = np.zeros(len(places))
            self._solver.changeColsBounds(len(places), places, nothing, nothing)
            self._uppers[places] = 0.0
            self.open -= terms.keys()
        else:
            self._solver.addRow(-INFINITY, float(reached), len(places), places, values[places])
            self._kept.append((values, reached))
