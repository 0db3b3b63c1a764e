"""What answers lead to: questions that they open, and what cannot be done with them."""

from collections.abc import Iterable

from portal.advance.planning import ground
from portal.advance.solver.process import NotSolved, Solvers
from portal.advance.solver.wishes import PlanWish
from portal.advance.status.impossible import Impossible, impossible, impossible_in
from portal.plan.input.questions import Topic
from portal.store import planning, plans
from portal.store.database.session import Session, end_reading
from portal.web.frame.deps import AllowedGig
from portal.web.questions.answering import Sheet, optional


def impossible_of(db: Session, gig: AllowedGig, sheet: Sheet, keys: set[str]) -> Impossible | None:
    """What cannot be done because of what this side, the house, answered to some questions."""
    return impossible(plans.newest(db, gig.gig.id), keys & sheet.own.keys()) if gig.party == "house" else None


def impossible_now(
    db: Session, gig: AllowedGig, sheet: Sheet, topic: Topic, solvers: Solvers, *, waits: bool = True
) -> Impossible | None:
    """The same of a topic's answers, just saved. Where their plan is still being worked out, reading ends and it is
    asked for, unless nobody ``waits``; ``None`` where that takes too long.
    """
    keys = {question.key for question in sheet.asked(topic)}
    if not waits or gig.party != "house" or not planning.behind(db, gig.gig.id):
        return impossible_of(db, gig, sheet, keys)
    stands = ground(db, gig.gig)
    wish = PlanWish(stands.texts, stands.heading)
    end_reading(db)
    try:
        return impossible_in(plans.read_outcome(solvers.ask(wish).document), keys & sheet.own.keys())
    except NotSolved:
        return None


def opened_by(before: Sheet, after: Sheet, among: Iterable[Topic]) -> tuple[Topic, str] | None:
    """The first question that answers have opened, and its topic: it was not asked before and waits for this side."""
    for topic in among:
        for question in after.asked(topic):
            if question not in before.asked(topic) and question.key not in after.own and not optional(question):
                return topic, question.key
    return None
