"""Open questions: a plan says whether it holds whatever they answer, and what it hangs on where it does not."""

from __future__ import annotations

import pytest

from portal.plan.input.facts import Answer, Answers
from portal.plan.reconcile import outline
from portal.plan.solving.open_questions import FIRST_SOLVES, open_questions
from portal.wording.plan.saying import say
from tests.plan.case_files import Case, cases
from tests.plan.gigs import gig

CASES = {case.name: case for case in cases()}


def known(**values: object) -> Answers:
    return {key.replace("_", "-"): Answer("answered", value, "house", "2026-11-20") for key, value in values.items()}


def test_with_nothing_known_the_first_thing_to_ask_is_who_mixes() -> None:
    """The question whose answers change most is named first: who mixes decides the route."""
    found = open_questions(CASES["everything-unknown"].rig, {})

    assert found.questions[0].question == "who-mixes"
    assert say(found.sentence).endswith("Most depends on: Who mixes for the audience?")


def test_a_plan_that_hangs_on_one_question_says_so() -> None:
    """With one decisive question left, the whole sentence is that question."""
    case = CASES["own-pa"]
    found = open_questions(case.rig, {**case.answers, **known(power_limiter="no")})

    assert (
        say(found.sentence)
        == "It all depends on one question: Is there space and a mains outlet for the rack on stage?"
    )


def test_a_plan_that_holds_whatever_they_answer_says_so() -> None:
    """With every deciding question answered, what is left cannot change the plan, and the sentence says it."""
    case = CASES["own-pa"]
    found = open_questions(case.rig, {**case.answers, **known(rack_power="yes", power_limiter="no")})

    assert say(found.sentence) == "No open answer would change this plan."
    assert not any(one.decisive for one in found.questions)


@pytest.mark.parametrize("case", CASES.values(), ids=CASES.keys())
def test_the_first_look_costs_at_most_so_many_solves(case: Case) -> None:
    """Whatever the gig, the first look stays within its number of solves and names what it left out."""
    found = open_questions(case.rig, case.answers)
    tried = {one.question for one in found.questions}

    assert found.solves <= FIRST_SOLVES
    assert not tried & set(found.untried)
    assert open_questions(case.rig, case.answers, most_solves=1000).untried == ()


@pytest.mark.parametrize("seed", range(0, 60, 3))
def test_every_answer_that_is_said_to_change_the_plan_does(seed: int) -> None:
    """An outcome is shown only where solving with that answer gives another routing, ask, block or packing list."""
    rig, answers = gig(seed)
    base = outline(rig, answers)
    for one in open_questions(rig, answers, most_solves=1000).questions:
        for outcome in one.outcomes:
            other = outline(rig, {**answers, one.question: Answer("answered", outcome.value, "assumed")})

            assert other != base, f"{one.question} = {outcome.value} is said to change the plan"
