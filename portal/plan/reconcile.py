"""tmp"""

from portal.plan.columns import write_program
from portal.plan.facts import Answers, Facts
from portal.plan.rig import Rig
from portal.plan.solve import Failure, solve


def price(rig: Rig, answers: Answers) -> tuple[int, ...] | None:
    """What the best plan gives up: counts by step from the dearest to the cheapest, then carry, then plugs; ``None`` where there is no plan."""
    outcome = solve(write_program(Facts(rig, answers)).program, canonical=False)
    return None if isinstance(outcome, Failure) else outcome.cost
