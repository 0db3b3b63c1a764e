"""What another rig, other answers or other agreements would make of a plan, in words. Nothing of it is stored."""

from collections.abc import Sequence
from dataclasses import dataclass

from portal.plan import reconcile
from portal.plan.input.facts import Answers
from portal.plan.input.rig import Rig
from portal.plan.model import Lock, Plan
from portal.plan.reconcile import outline
from portal.plan.signed.difference import difference
from portal.store.database.session import Session, end_reading

FIRST = ("The route", "Line gone", "New line:", "Now blocks", "No longer blocks")


@dataclass(frozen=True)
class Ifs:
    """What a plan would be computed from."""

    rig: Rig
    answers: Answers
    locks: Sequence[Lock]


@dataclass(frozen=True)
class Change:
    """The other plan in one sentence, and every material change on the way to it. ``stuck``: nothing would fit."""

    sentence: str
    stuck: bool
    changes: tuple[str, ...]


def compare(db: Session, now: Ifs, then: Ifs) -> Change:
    """What changes from the one to the other. Nothing is read for it: the transaction that ``now`` was read in may
    end.
    """
    end_reading(db)
    before, after = (outline(one.rig, one.answers, one.locks) for one in (now, then))
    if not isinstance(after, Plan):
        # Why nothing fits takes further solves, which a comparison of plans does not need.
        return Change(reconcile(then.rig, then.answers, then.locks).sentence, stuck=True, changes=())
    if not isinstance(before, Plan):
        return Change(
            after.sentence, stuck=False, changes=("Nothing fits as things stand; with this there is a plan.",)
        )
    # What comes and goes is read first; numbers that merely moved follow.
    return Change(
        after.sentence,
        stuck=False,
        changes=tuple(sorted(difference(before, after), key=lambda one: not one.startswith(FIRST))),
    )
