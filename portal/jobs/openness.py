"""What is still open in a gig, worked out once its plan is there and no plan is waiting."""

import asyncio
from collections.abc import Sequence
from datetime import datetime

from portal.advance import sensitivity
from portal.advance.sensitivity import KIND, Look
from portal.advance.solver.process import PLAN_S, Crashed, NotSolved, TooLong
from portal.jobs.loop import Hands, Job
from portal.plan.model import ENGINE
from portal.store import planning, worked_out
from portal.store.database.scopes import result
from portal.store.database.session import Session

AFTER_FAULT_S, AFTER_BUSY_S = 3600.0, 5.0


def due(db: Session, _now: datetime) -> Sequence[str]:
    """The gigs whose newest plan nobody has looked at."""
    return () if planning.due(db) else worked_out.missing(db, KIND, ENGINE)


async def look(hands: Hands, gig_id: str) -> float:
    """Work out and keep what is open in a gig."""
    further = await asyncio.to_thread(_read, hands, gig_id)
    if further is None:
        return AFTER_FAULT_S
    try:
        found = await asyncio.to_thread(hands.solvers.ask, further.wish, PLAN_S, gives_way=True)
    except (TooLong, Crashed):
        return AFTER_FAULT_S
    except NotSolved:
        return AFTER_BUSY_S
    await hands.store.write(lambda db: sensitivity.keep(db, further, found, hands.clock()), result(further.key))
    hands.notifier.notify(gig_id)
    return 0.0


def _read(hands: Hands, gig_id: str) -> Look | None:
    with hands.store.reading() as db:
        return sensitivity.first_look(db, gig_id)


OPENNESS: Job[Hands] = Job("open", due, look)
