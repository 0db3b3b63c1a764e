"""What cannot be done with the answers to some questions, and what would help: said where they are given."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from portal.plan.model import Conflict, Fact, NoPlan, Plan, Statement
from portal.store.plans import StoredPlan
from portal.wording.plan.saying import say

RESTS_ON: Mapping[str, frozenset[str]] = {"looms": frozenset({"box-distance", "second-box-distance"})}
"""Limits of the plan that are no question's own, by the questions that they rest on."""


@dataclass(frozen=True)
class Impossible:
    """Why there is no plan, or none to sign, and what helps, in sentences that name who does it."""

    sentences: tuple[str, ...]
    remedies: tuple[str, ...]


def impossible(stored: StoredPlan | None, questions: Collection[str]) -> Impossible | None:
    """What of a stored plan cannot be done because of the answers to some questions; ``None`` where nothing is wrong
    with them.
    """
    return impossible_in(stored.read(), questions) if stored is not None and stored.document else None


def impossible_in(outcome: Plan | NoPlan, questions: Collection[str]) -> Impossible | None:
    """The same of a plan that may not be stored yet."""
    if isinstance(outcome, NoPlan):
        faults: list[Conflict | Statement] = list(outcome.conflicts)
        helps = outcome.remedies
    else:
        faults, helps = list(outcome.blocks), ()
    mine = [one for one in faults if any(_rests_on(fact, questions) for fact in one.facts)]
    if not mine:
        return None
    more = tuple(remedy for one in mine if isinstance(one, Statement) for remedy in one.remedies)
    said = dict.fromkeys(remedy.said for remedy in (*more, *helps))
    return Impossible(tuple(say(one.said) for one in mine), tuple(map(say, said)))


def _rests_on(fact: Fact, questions: Collection[str]) -> bool:
    keys = RESTS_ON.get(fact.key, frozenset({fact.key}))
    return fact.origin != "rig" and not keys.isdisjoint(questions)
