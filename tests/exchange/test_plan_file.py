"""A plan as a file: out and in again it is the same plan, and an altered one is noticed."""

import pytest

from portal.exchange.plan_file import PlanFile, plan_csv, plan_json
from portal.plan import Plan
from portal.plan.signed.serialization import Heading, content_hash
from tests.documents.plans import a_hostile_plan, a_left_right_plan, an_own_pa_plan, plan_of
from tests.exchange.reading_back import read_plan_csv, read_plan_json
from tests.plan.case_files import planned_cases
from tests.plan.outcomes import plan_of_case

HEADING = Heading("=Harbour; night", "2026-12-05", 'The Old Rope Hall,\n"stage" 1')


def a_file(plan: Plan, heading: Heading = HEADING) -> PlanFile:
    return PlanFile(heading, 7, content_hash(plan, heading), plan)


MADE = {
    "128 lines": lambda: plan_of(128),
    "own PA": an_own_pa_plan,
    "pair": a_left_right_plan,
    "hostile": lambda: a_hostile_plan("=cmd|' /C calc'!A0\r\n+48V;-1\t\"x\" שלום 🎸" + "long " * 100),
}


@pytest.mark.parametrize("name", [*(case.name for case in planned_cases()), *MADE])
def test_out_and_in_again_loses_nothing(name: str) -> None:
    """JSON and CSV both give back the very same revision, every fact of it."""
    file = a_file(MADE[name]() if name in MADE else plan_of_case(name))
    assert read_plan_json(plan_json(file)) == file, name
    assert read_plan_csv(plan_csv(file)) == file, name


def test_an_altered_fact_is_noticed() -> None:
    """Whoever reads the file can work the hash out: with a channel that somebody changed it is another one."""
    file = a_file(plan_of(3))
    assert b'"desk_channel": 2,' in plan_json(file)
    altered = read_plan_json(plan_json(file).replace(b'"desk_channel": 2,', b'"desk_channel": 99,'))
    assert content_hash(file.plan, file.heading) == file.content_hash
    assert content_hash(altered.plan, altered.heading) != altered.content_hash
