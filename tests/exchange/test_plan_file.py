"""A plan as a file: out and in again it is the same plan, and an altered one is noticed."""

import json
from dataclasses import replace

import pytest

from portal.exchange.faults import NotReadable
from portal.exchange.plan_file import PlanFile, plan_csv, plan_json, read_plan_csv, read_plan_json
from portal.plan import Plan, reconcile
from portal.plan.signed.serialization import Heading, content_hash
from tests.documents.plans import a_hostile_plan, a_left_right_plan, an_own_pa_plan, plan_of
from tests.plan.case_files import cases

HEADING = Heading("=Harbour; night", "2026-12-05", 'The Old Rope Hall,\n"stage" 1')


def a_file(plan: Plan, heading: Heading = HEADING) -> PlanFile:
    return PlanFile(heading, 7, content_hash(plan, heading), plan)


CASES = [(case.name, outcome) for case in cases() if isinstance(outcome := reconcile(case.rig, case.answers), Plan)]
PLANS = [
    *CASES,
    ("128 lines", plan_of(128)),
    ("own PA", an_own_pa_plan()),
    ("pair", a_left_right_plan()),
    ("hostile", a_hostile_plan("=cmd|' /C calc'!A0\r\n+48V;-1\t\"x\" שלום 🎸" + "long " * 100)),
]


@pytest.mark.parametrize(("name", "plan"), PLANS, ids=[name for name, _ in PLANS])
def test_out_and_in_again_loses_nothing(name: str, plan: Plan) -> None:
    """JSON and CSV both give back the very same revision, every fact of it."""
    file = a_file(plan)
    assert read_plan_json(plan_json(file)) == file, name
    assert read_plan_csv(plan_csv(file)) == file, name


@pytest.mark.parametrize("read", [read_plan_json, read_plan_csv])
def test_an_altered_fact_is_noticed(read: object) -> None:
    """A channel that somebody changed in the file no longer belongs to the hash that was signed."""
    write = plan_json if read is read_plan_json else plan_csv
    file = a_file(plan_of(3))
    altered = replace(
        file, plan=replace(file.plan, lines=(replace(file.plan.lines[0], desk_channel=99), *file.plan.lines[1:]))
    )
    with pytest.raises(NotReadable, match="altered"):
        read(write(altered))


@pytest.mark.parametrize(
    "change",
    [
        {"schema": 2}, {"schema": True}, {"heading": {"gig": 1, "date": "", "place": ""}}, {"revision": "7"},
        {"plan": []}, {"plan": {}},
        {"plan": {"status": "no-plan"}}, {"more": 1},
    ],
)  # fmt: skip
def test_what_is_no_plan_is_refused(change: dict[str, object]) -> None:
    """A file that lacks something, or holds what nothing reads, is refused with a sentence."""
    document = {**json.loads(plan_json(a_file(plan_of(2)))), **change}
    with pytest.raises(NotReadable):
        read_plan_json(json.dumps(document).encode())


@pytest.mark.parametrize(
    "row",
    [
        '"plan.lines.9.label","text","","x"', '"schema","number","1",""', '"a..b","no","",""', '"new","odd","",""',
        '"new","list","",""',
        '"new","list","99999999",""',
    ],
)  # fmt: skip
def test_rows_that_fit_nowhere_are_refused(row: str) -> None:
    """An item beyond its list, a place twice, an unknown kind: nothing is guessed."""
    with pytest.raises(NotReadable):
        read_plan_csv(plan_csv(a_file(plan_of(2))) + row.encode() + b"\r\n")
