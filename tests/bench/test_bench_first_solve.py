"""The whole result against the bare first solve: one run of the solver on the first stage of the gig's programme as it
is written. Processor time in one process; figures, never gates.

The bare solve is kept here, with a loader of its own, so that nothing which makes the engine's solves cheaper makes the
yardstick shorter.
"""

import os
import time
from collections.abc import Callable
from itertools import accumulate

import highspy
import numpy as np
import pytest
from highspy._core import _Highs

from portal.plan import NoPlan, reconcile
from portal.plan.input.facts import Facts
from portal.plan.options.gig_program import write_program
from portal.plan.options.program import Program
from portal.plan.options.routing_policy import STEP_ORDER
from portal.plan.solving import loaded_program
from portal.plan.solving.open_questions import open_questions
from tests.bench.line_ups import SHAPES, Shape, line_up

pytestmark = pytest.mark.bench

GIGS = 200
SHORT = {"128/64": 40, "128/2": 40, "64/32": 100}
"""Fewer of what takes long."""
MOST = int(os.environ.get("BENCH_GIGS", str(GIGS)))
"""At most so many of each: ``BENCH_GIGS=20 make bench`` is a short look."""

LOOKS = (("32/16", 10), ("128/64", 5))

INFINITY = highspy.kHighsInf


def first_stage(program: Program) -> list[float]:
    """The weights of the dearest steps, as many as fit below 10^7 with the largest totals that picks allow."""
    weights, radix = [0.0] * len(program.picks), 1
    stages: list[dict[int, int]] = []
    totals: list[int] = []
    for step in reversed(STEP_ORDER):
        terms: dict[int, int] = {}
        for index, pick in enumerate(program.picks):
            for given, count in pick.gives:
                if given == step:
                    terms[index] = terms.get(index, 0) + count
        most = sum(max(0, value) * program.picks[index].most for index, value in terms.items())
        if not most:
            continue
        if radix * (most + 1) > 10**7:
            break
        radix *= most + 1
        stages.append(terms)
        totals.append(most)
    below = list(accumulate(reversed(totals), lambda product, most: product * (most + 1), initial=1))
    for terms, weight in zip(stages, reversed(below[:-1]), strict=True):
        for index, value in terms.items():
            weights[index] += value * weight
    return weights


def bare_first_solve(program: Program) -> None:
    """Load the programme and run its first stage once."""
    model = _Highs()
    for option, value in (
        ("output_flag", False),
        ("presolve", "off"),
        ("mip_heuristic_run_feasibility_jump", False),
        ("threads", 1),
        ("mip_rel_gap", 0.0),
        ("mip_abs_gap", 0.5),
    ):
        model.setOptionValue(option, value)
    picks = len(program.picks)
    none = np.array([], dtype=np.int32)
    uppers = np.array([float(pick.most) for pick in program.picks])
    model.addCols(picks, np.array(first_stage(program)), np.zeros(picks), uppers, 0, none, none, np.array([]))
    every = np.arange(picks, dtype=np.int32)
    model.changeColsIntegrality(picks, every, np.full(picks, highspy.HighsVarType.kInteger, dtype=np.uint8))
    indices = [index for row in program.rows for index, _ in row.terms]
    starts = list(accumulate((len(row.terms) for row in program.rows), initial=0))[:-1]
    model.addRows(
        len(program.rows),
        np.array([-INFINITY if row.lo is None else float(row.lo) for row in program.rows]),
        np.array([INFINITY if row.hi is None else float(row.hi) for row in program.rows]),
        len(indices),
        np.array(starts, dtype=np.int32),
        np.array(indices, dtype=np.int32),
        np.array([float(value) for row in program.rows for _, value in row.terms]),
    )
    model.run()


def cpu_ms(deed: Callable[[], object], turns: int = 1) -> float:
    """The fewest milliseconds of processor time that it takes."""
    taken = []
    for _ in range(turns):
        begun = time.process_time()
        deed()
        taken.append((time.process_time() - begun) * 1000)
    return min(taken)


def spread(figures: list[float], places: int = 0) -> str:
    """Median, 99th percentile and largest."""
    ordered = sorted(figures)
    picked = (ordered[len(ordered) // 2], ordered[min(len(ordered) - 1, int(len(ordered) * 0.99))], ordered[-1])
    return " / ".join(f"{figure:.{places}f}" for figure in picked)


@pytest.fixture
def runs(monkeypatch: pytest.MonkeyPatch) -> list[bool]:
    """One more for each run of the solver: whether it searched for whole numbers, or solved a relaxation."""
    counted: list[bool] = []

    class Counted(loaded_program.QuietHighs):
        def run(self) -> object:
            counted.append(not self.getOptionValue("solve_relaxation")[1])
            return super().run()

    monkeypatch.setattr(loaded_program, "QuietHighs", Counted)
    return counted


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.name)
def test_whole_result_against_the_bare_first_solve(shape: Shape, runs: list[bool]) -> None:
    """Plan, limits, cut list, what would help, checks and words; gigs without a plan apart."""
    bare, whole, ratios, solved, searches, fruitless = [], [], [], [], [], []
    for number in range(min(MOST, SHORT.get(shape.name, GIGS))):
        rig, answers = line_up(shape, number)
        program = write_program(Facts(rig, answers)).program
        runs.clear()
        begun = time.process_time()
        outcome = reconcile(rig, answers)
        taken = (time.process_time() - begun) * 1000
        if isinstance(outcome, NoPlan):
            fruitless.append(taken)
            continue
        solved.append(float(len(runs)))
        searches.append(float(sum(runs)))
        bare.append(cpu_ms(lambda program=program: bare_first_solve(program), 2))
        whole.append(taken)
        ratios.append(taken / bare[-1])
    told = (
        f"size={shape.name} plans={len(whole)} no_plan={len(fruitless)} (p50 / p99 / max of)"
        f" bare_ms={spread(bare, 1)} whole_ms={spread(whole)} whole÷bare={spread(ratios)} runs={spread(solved)}"
        f" searches={spread(searches)}"
    )
    print(told + (f" no_plan_ms={spread(fruitless)}" if fruitless else ""))  # noqa: T201 - a benchmark prints


@pytest.mark.parametrize(("name", "gigs"), LOOKS)
def test_what_could_change(name: str, gigs: int, runs: list[bool]) -> None:
    """The first look at what every open question could change."""
    shape = next(shape for shape in SHAPES if shape.name == name)
    taken, solved = [], []
    for number in range(min(MOST, gigs)):
        rig, answers = line_up(shape, number)
        runs.clear()
        taken.append(cpu_ms(lambda rig=rig, answers=answers: open_questions(rig, answers)))
        solved.append(float(len(runs)))
    print(f"size={name} gigs={gigs} look_ms={spread(taken)} runs={spread(solved)}")  # noqa: T201 - a benchmark prints
