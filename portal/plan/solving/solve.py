"""The solver: strict priorities in as few solves as their weights allow, then one canonical solution. The only file
that imports highspy.

Weights are mixed-radix from what can occur in this programme. Where their product passes ``WEIGHT_BOUND`` the
priorities are split over several solves, each fixed as a row for the next. The last solve minimises weights hashed from
each pick's own name (blake2b, 20 bits): by the isolation lemma (Mulmuley, Vazirani and Vazirani, Combinatorica 7, 1987;
from memory, not verified) the optimum is then unique with high probability, so it depends neither on the order of rows
and picks nor on unrelated edits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import blake2b

import highspy
import numpy as np
from highspy._core import _Highs

from portal.plan.options.program import Program
from portal.plan.options.routing_policy import FINER, LAST, STEP_ORDER

WEIGHT_BOUND = 10**7
"""Above this the solver's tolerance of 1e-6 on whole numbers could hide one unit of the cheapest priority."""

NODE_LIMIT = 20_000
"""Deterministic effort limit of one solve, in branch-and-bound nodes."""

SECONDS_LIMIT = 20.0
"""A safety net only; the node limit is what normally stops a hard case."""

INFINITY = highspy.kHighsInf

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


Priority = tuple[dict[int, int], int]
"""Coefficient by pick, and the largest possible total."""

Stage = list[Priority]
"""Priorities that one solve decides together."""


def priorities(program: Program) -> list[Priority]:
    """Every priority from dearest to cheapest."""
    by_step: dict[str, dict[int, int]] = {step: {} for step in (*STEP_ORDER, *FINER, LAST)}
    carry: dict[int, int] = {}
    plugs: dict[int, int] = {}
    for index, pick in enumerate(program.picks):
        for step, count in (*pick.gives, *pick.finer):
            by_step[step][index] = by_step[step].get(index, 0) + count
        if pick.carry:
            carry[index] = pick.carry
        if pick.plugs:
            plugs[index] = pick.plugs
    ordered = [by_step[step] for step in (*reversed(STEP_ORDER), *FINER)] + [carry, plugs, by_step[LAST]]
    return [
        (terms, sum(max(0, value) * program.picks[index].most for index, value in terms.items())) for terms in ordered
    ]


def cost_of(program: Program, chosen: dict[int, int]) -> tuple[int, ...]:
    """The exact whole-number cost of a choice, dearest priority first."""
    return tuple(
        sum(value * chosen.get(index, 0) for index, value in terms.items()) for terms, _ in priorities(program)
    )


def hash_weight(name: str) -> int:
    """20 bits of blake2b of a pick's name."""
    return int.from_bytes(blake2b(name.encode(), digest_size=4).digest(), "big") & 0xFFFFF


def solve(program: Program, *, canonical: bool = True) -> Solution | Failure:
    """The best solution by strict priority; with ``canonical`` the one that unrelated edits do not move.

    Every solution is rounded and checked against the rows in whole numbers before it is believed.
    """
    model = _load(program)
    stages = _stages(priorities(program))
    proven = True
    chosen: dict[int, int] = {}
    if canonical or not stages:
        stages.append([({index: hash_weight(pick.name) for index, pick in enumerate(program.picks)}, 0)])
    for stage in stages:
        if not chosen or any(_total(terms, chosen) for terms, _ in stage):  # no count is below nothing
            found, stage_proven = _minimise(model, _weighted(stage), program)
            if found is None:
                return Solution(chosen, cost_of(program, chosen), proven=False) if chosen else Failure(stage_proven)
            chosen, proven = found, proven and stage_proven
        if stage is not stages[-1]:
            _settle(model, stage, chosen)
    return Solution(chosen, cost_of(program, chosen), proven)


def gives_up_less(program: Program, than: Solution) -> bool:
    """Whether this programme has a solution that gives up less than ``than``, itself a solution of it; carry and plugs
    are no give-up.
    """
    model = _load(program)
    for stage in _stages(priorities(program)[: len(STEP_ORDER)]):
        weights = _weighted(stage)
        known = _total(weights, than.chosen)
        if known:
            row = _at_most(model, weights, known - 1)
            found, _ = _minimise(model, weights, program)
            if found is not None and _total(weights, found) < known:
                return True
            model.changeRowBounds(row, -INFINITY, INFINITY)
        _settle(model, stage, than.chosen)
    return False


def feasible(program: Program) -> bool | None:
    """Whether anything satisfies the rows; ``None`` where the effort ran out first."""
    found, proven = _minimise(_load(program), {}, program)
    if found is not None:
        return True
    return False if proven else None


def _total(weights: dict[int, int], chosen: dict[int, int]) -> int:
    return sum(weight * chosen.get(index, 0) for index, weight in weights.items())


def _stages(ordered: Sequence[Priority]) -> list[Stage]:
    """The priorities that can occur, as many to one solve as their weights allow."""
    stages: list[Stage] = []
    radix = WEIGHT_BOUND
    for terms, most in ordered:
        if not terms or most == 0:
            continue
        if radix * (most + 1) > WEIGHT_BOUND:
            stages.append([])
            radix = 1
        stages[-1].append((terms, most))
        radix *= most + 1
    return stages


def _weighted(stage: Stage) -> dict[int, int]:
    total: dict[int, int] = {}
    weight = 1
    for terms, most in reversed(stage):
        for index, value in terms.items():
            total[index] = total.get(index, 0) + value * weight
        weight *= most + 1
    return total


def _load(program: Program) -> _Highs:
    model = QuietHighs()
    model.setOptionValue("output_flag", False)
    model.setOptionValue(
        "presolve", "off"
    )  # with it, HiGHS 1.16.0 calls a small programme infeasible that is not; see test_regressions.py
    model.setOptionValue(
        "mip_heuristic_run_feasibility_jump", False
    )  # costs more than the rest of a small solve, and finds the same
    model.setOptionValue("threads", 1)
    model.setOptionValue("mip_rel_gap", 0.0)
    model.setOptionValue("mip_abs_gap", 0.5)
    model.setOptionValue("mip_max_nodes", NODE_LIMIT)
    model.setOptionValue("time_limit", SECONDS_LIMIT)
    count = len(program.picks)
    none = np.array([], dtype=np.int32)
    empty = np.array([], dtype=np.float64)
    uppers = np.array([float(pick.most) for pick in program.picks])
    model.addCols(count, np.zeros(count), np.zeros(count), uppers, 0, none, none, empty)
    indices = np.arange(count, dtype=np.int32)
    model.changeColsIntegrality(count, indices, np.full(count, highspy.HighsVarType.kInteger, dtype=np.uint8))
    starts: list[int] = []
    options: list[int] = []
    values: list[float] = []
    lows: list[float] = []
    highs: list[float] = []
    for row in program.rows:
        starts.append(len(options))
        options.extend(index for index, _ in row.terms)
        values.extend(float(value) for _, value in row.terms)
        lows.append(-INFINITY if row.lo is None else float(row.lo))
        highs.append(INFINITY if row.hi is None else float(row.hi))
    model.addRows(
        len(lows),
        np.array(lows),
        np.array(highs),
        len(options),
        np.array(starts, dtype=np.int32),
        np.array(options, dtype=np.int32),
        np.array(values),
    )
    return model


def _minimise(model: _Highs, weights: dict[int, int], program: Program) -> tuple[dict[int, int] | None, bool]:
    count = len(program.picks)
    costs = np.zeros(count)
    for index, weight in weights.items():
        costs[index] = float(weight)
    model.changeColsCost(count, np.arange(count, dtype=np.int32), costs)
    model.run()
    status = model.getModelStatus()
    if status == highspy.HighsModelStatus.kInfeasible:
        return None, True
    values = model.getSolution().col_value
    rounded = {index: round(values[index]) for index in range(min(count, len(values))) if round(values[index])}
    if len(values) != count or not _holds(program, rounded):
        return None, False
    return rounded, status == highspy.HighsModelStatus.kOptimal


def _holds(program: Program, chosen: dict[int, int]) -> bool:
    for row in program.rows:
        total = sum(value * chosen.get(index, 0) for index, value in row.terms)
        if (row.lo is not None and total < row.lo) or (row.hi is not None and total > row.hi):
            return False
    return True


def _settle(model: _Highs, stage: Stage, chosen: dict[int, int]) -> None:
    """Keep what a stage reached: a row for each of its priorities, and where nothing is given up, those picks are out
    for good.
    """
    for terms, _ in stage:
        reached = _total(terms, chosen)
        if reached == 0 and min(terms.values()) > 0:
            nothing = np.zeros(len(terms))
            model.changeColsBounds(len(terms), np.array(sorted(terms), dtype=np.int32), nothing, nothing)
        else:
            _at_most(model, terms, reached)


def _at_most(model: _Highs, terms: dict[int, int], most: int) -> int:
    """Enter a row; returns its number."""
    indices = np.array(sorted(terms), dtype=np.int32)
    model.addRow(
        -INFINITY, float(most), len(indices), indices, np.array([float(terms[index]) for index in sorted(terms)])
    )
    return int(model.getNumRow()) - 1
