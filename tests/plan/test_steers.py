"""What the table beside the questions says of the engine is so: its readers read, and the answer changes what the plan
says.
"""

from __future__ import annotations

import re
import sys
from collections import defaultdict
from collections.abc import Iterator

import pytest

from portal.plan import reconcile
from portal.plan.input.answer_kinds import Choice, Value
from portal.plan.input.answer_places import PLACES
from portal.plan.input.facts import Answer, Answers, Facts
from portal.plan.input.questions import QUESTIONS, Question
from portal.plan.input.rig import Rig
from portal.plan.reconcile import outline
from portal.plan.registry import CHECKS
from portal.plan.solving.open_questions import _said, _values
from tests.plan.case_files import cases
from tests.plan.gigs import gig
from tests.plan.rule_pairs import PAIRS

RULE_OF = {function.__code__: key for key, function in CHECKS.items()}
ENGINE = "portal.plan."


def corpus() -> Iterator[tuple[Rig, Answers]]:
    """The worked cases, both sides of every rule, and some generated gigs."""
    yield from ((case.rig, case.answers) for case in cases())
    yield from ((side.rig, side.answers) for pair in PAIRS for side in (pair.speaks, pair.silent))
    yield from (gig(seed) for seed in range(20))


def reader() -> str:
    """The rule that is being checked, else the module of the engine that asked; empty where the list of assumptions or
    of questions did.
    """
    frame = sys._getframe(2)
    asked = ""
    while frame is not None:
        if frame.f_code in RULE_OF:
            return RULE_OF[frame.f_code]
        if frame.f_code in (Facts.assumptions.__code__, Facts.asked.__code__):
            return ""
        module = frame.f_globals.get("__name__", "")
        if not asked and module.startswith(ENGINE) and module != Facts.__module__:
            asked = module.rpartition(".")[2]
        frame = frame.f_back
    return asked


@pytest.fixture(scope="module")
def readers() -> dict[str, set[str]]:
    """Who asks for the answer to each question while all of the corpus is planned."""
    found: dict[str, set[str]] = defaultdict(set)
    with pytest.MonkeyPatch.context() as patch:
        for name in ("value", "fact", "known"):

            def noted(facts: Facts, question: str, asks: object = getattr(Facts, name)) -> object:
                if by := reader():
                    found[question].add(by)
                return asks(facts, question)

            patch.setattr(Facts, name, noted)
        for rig, answers in corpus():
            reconcile(rig, answers)
    return found


@pytest.mark.parametrize("question", QUESTIONS.values(), ids=QUESTIONS)
def test_what_the_table_names_reads_the_answer(question: Question, readers: dict[str, set[str]]) -> None:
    """Each reader that a question names asks for its answer when plans are made; where none is named, nothing in the
    engine does.
    """
    assert set(question.seen.steers) <= readers[question.key]
    assert bool(question.seen.steers) == bool(readers[question.key])


def others(question: Question, facts: Facts, rig: Rig, answers: Answers) -> tuple[Value, ...]:
    if isinstance(question.kind, Choice):
        return tuple(option.key for option in question.kind.options)
    return _values(question.key, facts, outline(rig, answers)) or (0, 8)


@pytest.mark.parametrize("question", QUESTIONS.values(), ids=QUESTIONS)
def test_an_answer_that_steers_changes_what_some_plan_says(question: Question) -> None:
    """In some gig two answers to it make two plans, the list of assumptions left aside; an answer that steers nothing
    changes none.
    """
    if not question.seen.steers:
        case = next(iter(cases()))
        said = {"answered": Answer("answered", "house" if isinstance(question.kind, Choice) else "Words", "house")}
        assert _said(outline(case.rig, {**case.answers, question.key: said["answered"]})) == _said(
            outline(case.rig, case.answers)
        )
        return
    for rig, answers in corpus():
        if not Facts(rig, answers).asked(question.key):
            continue
        base = _said(outline(rig, answers))
        for value in others(question, Facts(rig, answers), rig, answers):
            if _said(outline(rig, {**answers, question.key: Answer("answered", value, "house")})) != base:
                return
    pytest.fail(f"no gig changes with {question.key}")


@pytest.mark.parametrize("question", QUESTIONS.values(), ids=QUESTIONS)
def test_every_answer_is_on_the_plan_and_what_people_need_is_with_them(question: Question) -> None:
    """The plan's page shows every answer; what is asked for people is on the sheet and on the day as well. A label
    names the sides.
    """
    seen = question.seen
    assert len(set(seen.places)) == len(seen.places)
    assert {"answers", "plan"} <= set(seen.places) <= set(PLACES)
    assert not seen.needed or {"patch-sheet", "day"} <= set(seen.places)
    assert ("what-if" in seen.places) == (bool(seen.steers) and not seen.needed)
    assert not re.search(r"\b(we|us|our|you|your|they)\b", seen.label, re.IGNORECASE)
    assert [one.key for one in QUESTIONS.values() if one.seen.label == seen.label] == [question.key]
