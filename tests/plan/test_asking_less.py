"""Asking less: no question is put whose answer could change nothing, as things stand when it is put."""

from __future__ import annotations

import pytest

from portal.plan.input.facts import Answer, Answers, Facts
from portal.plan.input.questions import QUESTIONS
from portal.plan.input.rig import Rig
from portal.plan.model import NoPlan
from portal.plan.reconcile import outline
from portal.plan.solving.open_questions import _said, _values, worth_asking
from tests.plan.case_files import cases
from tests.plan.gigs import gig, medium


def corpus(part: int) -> list[tuple[Rig, Answers]]:
    """Generated gigs and the worked cases; one of ``part`` of them."""
    gigs = [gig(seed) for seed in range(45)] + [medium(seed) for seed in range(5)]
    return (gigs + [(case.rig, case.answers) for case in cases()])[::part]


def could_change(key: str, rig: Rig, answers: Answers) -> bool:
    """Judged by itself: whether any value tried gives another plan, people read the answer, or nothing fits yet."""
    base = outline(rig, answers)
    values = _values(key, Facts(rig, answers), base)
    other = [outline(rig, {**answers, key: Answer("answered", value, "house")}) for value in values]
    return (
        QUESTIONS[key].stands_on_the_sheet
        or isinstance(base, NoPlan)
        or any(_said(one) != _said(base) for one in other)
    )


@pytest.mark.slow
@pytest.mark.parametrize("part", [pytest.param(6, id="some"), pytest.param(1, id="all", marks=pytest.mark.soak)])
def test_no_question_is_pointless(part: int) -> None:
    """Of all questions that rules read in a gig, only those are put whose answer can change something; the others are
    left out.
    """
    read = asked = changing = pointless = 0
    for rig, answers in corpus(part):
        facts = Facts(rig, answers)
        for key in QUESTIONS:
            if facts.known(key) or not facts.asked(key):
                continue
            read += 1
            if worth_asking(key, rig, answers):
                asked += 1
                changes = could_change(key, rig, answers)
                changing += changes
                pointless += not changes
    print(f"read={read} asked={asked} could_change={changing} pointless={pointless}")  # noqa: T201 - the figure
    assert pointless == 0
    assert 0 < asked < read, "the corpus has questions worth asking and questions that are not"


def test_with_inputs_to_spare_the_size_of_the_room_is_not_asked() -> None:
    """The room decides what goes first when inputs are short; with enough of them it decides nothing, and is not
    asked.
    """
    case = next(case for case in cases() if case.name == "each-source-dry-inputs-to-spare")
    answers = {key: answer for key, answer in case.answers.items() if key != "room-capacity"}

    assert not worth_asking("room-capacity", case.rig, answers)
    assert worth_asking("room-capacity", case.rig, {**answers, "inputs-free": Answer("answered", 8, "house")})
