"""Reasons are causes: whoever takes a cited fact away gets another plan for that very source."""

from __future__ import annotations

from dataclasses import replace

import pytest

from portal.plan import Plan
from portal.plan.input.answer_kinds import Choice, Value
from portal.plan.input.facts import Answer, Answers, Facts
from portal.plan.input.questions import QUESTIONS
from portal.plan.input.rig import Rig
from portal.plan.model import Fact, Reason
from portal.plan.options.gig_program import write_program
from portal.plan.options.program import relaxed
from portal.plan.reconcile import outline, reconcile
from portal.plan.solving.binding_limits import LIMITS
from portal.plan.solving.solve import Solution, solve
from tests.plan.case_files import Case, planned_cases

SPLITS = [case for case in planned_cases() if case.name != "own-pa"]


def treatment(rig: Rig, answers: Answers, source: str) -> tuple[object, ...]:
    """How a source reaches the house: on which route, with whom, by what, on which way and output; and what the reason
    is called.
    """
    outcome = outline(rig, answers)
    if not isinstance(outcome, Plan):
        return ("no plan",)
    line = next((line for line in outcome.lines if source in line.sources), None)
    if line is not None:
        return (outcome.route, line.sources, line.path, line.phantom, tuple(one.key for one in line.because))
    kept = next((one for one in outcome.not_sent if one.source == source), None)
    return ("kept", kept.where, tuple(one.key for one in kept.because)) if kept else (outcome.route,)


def values_of(question: str) -> tuple[Value, ...]:
    kind = QUESTIONS[question].kind
    if isinstance(kind, Choice):
        return tuple(option.key for option in kind.options)
    return {"inputs-free": (0, 1, 2, 4, 128), "room-capacity": (100, 500), "box-distance": (100, 100_00)}.get(
        question, ()
    )


def without(rig: Rig, fact: str, source: str) -> Rig | None:
    """The rig without what a fact of the rig states; ``None`` for a fact of another kind."""
    if fact in ("splitter", "splitters"):
        bare = tuple(replace(one, splitter="", way=None) for one in rig.source)
        other = () if rig.splitter else tuple(replace(one) for one in rig.splitter)
        return replace(rig, splitter=other, source=bare)
    if fact in ("output", "links"):
        return replace(rig, mixer=replace(rig.mixer, outs=(), links=()))
    sources = {
        "second-of": {"second_of": ""},
        "goes": {"goes": "both"},
        "kind": {"what": "voice.vocals", "goes": "both"},
    }
    if fact in sources:
        return replace(
            rig, source=tuple(replace(one, **sources[fact]) if one.key == source else one for one in rig.source)
        )
    return None


def matters(case: Case, source: str, fact: Fact) -> bool:
    """Whether taking the fact away changes what becomes of the source, or lets more be sent where it is a limit."""
    kind = fact.key.partition(":")[0]
    now = treatment(case.rig, case.answers, source)
    if kind in LIMITS or kind == "splitter-ways":
        columns = write_program(Facts(case.rig, case.answers))
        best, freer = solve(columns.program), solve(relaxed(columns.program, frozenset({fact.key})))
        return isinstance(best, Solution) and isinstance(freer, Solution) and freer.given_up < best.given_up
    if kind in QUESTIONS:
        others = (value for value in values_of(kind) if value != Facts(case.rig, case.answers).value(kind))
        return any(
            treatment(case.rig, {**case.answers, kind: Answer("answered", value, "house")}, source) != now
            for value in others
        )
    changed = without(case.rig, kind, source)
    return changed is not None and (treatment(changed, case.answers, source) != now or not case.rig.splitter)


def cited(case: Case) -> list[tuple[str, Reason]]:
    outcome = reconcile(case.rig, case.answers)
    assert isinstance(outcome, Plan)
    lines = [(line.sources[0], reason) for line in outcome.lines for reason in line.because]
    return lines + [(one.source, reason) for one in outcome.not_sent for reason in one.because]


@pytest.mark.parametrize("case", SPLITS, ids=[case.name for case in SPLITS])
def test_taking_a_cited_fact_away_changes_the_line(case: Case) -> None:
    """Every fact under every reason of every line and of every source that stays out is a cause of it; otherwise it
    would be no reason.
    """
    idle = {
        f"{source}: {reason.key} cites {fact.key} ({fact.value})"
        for source, reason in cited(case)
        for fact in reason.facts
        if not matters(case, source, fact)
    }
    assert idle == set()
