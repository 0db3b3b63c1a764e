"""One test per defect that was found; the docstring says what went wrong."""

from __future__ import annotations

from portal.plan.columns import write_program
from portal.plan.facts import Facts
from portal.plan.reconcile import price
from portal.plan.solve import Solution, feasible, solve
from tests.plan.gigs import gig
from tests.plan.oracle import best


def test_a_small_gig_is_not_called_impossible_by_the_solvers_presolve() -> None:
    """With its presolve on, HiGHS 1.16.0 called this gig infeasible, although the kick fits on a direct out and the rest in a mono mix."""
    rig, answers = gig(6002)
    program = write_program(Facts(rig, answers)).program
    outcome = best(rig, answers)

    assert feasible(program) is True
    assert isinstance(solve(program), Solution)
    assert outcome is not None
    assert price(rig, answers) == outcome.vector()
