"""The plan of a gig: read, solved with no transaction, kept where the gig still is what it was solved for."""

import asyncio
import logging
from functools import partial

from portal.advance import planning
from portal.advance.metrics import PLAN_SECONDS, PLANS
from portal.advance.planning import Work
from portal.advance.solver.process import PLAN_S, Crashed, NotSolved, Stopped, TooLong
from portal.advance.solver.wishes import PlanMade
from portal.jobs.loop import Hands, Job
from portal.store import planning as rows
from portal.store.database.scopes import gig
from portal.store.database.session import Session, news

log = logging.getLogger("portal")

ROUNDS = 3
"""So many times in a row a gig that changes meanwhile is planned; then others have their turn."""

AFTER_ROUNDS_S, AFTER_BUSY_S, AFTER_CRASH_S = 5.0, 2.0, 1.0


async def plan(hands: Hands, gig_id: str) -> float:
    """Work out and keep what a gig wants; the seconds until it may come again."""
    for _ in range(ROUNDS):
        work = await asyncio.to_thread(_read, hands, gig_id)
        if work is None:
            return 0.0
        try:
            with PLAN_SECONDS.time():
                made = await asyncio.to_thread(hands.solvers.ask, work.wish, PLAN_S)
        except (TooLong, Crashed) as error:
            log.warning("plan not made gig=%s: %s %s", gig_id, type(error).__name__, error)
            await _failed(hands, gig_id, work, error)
            return AFTER_CRASH_S
        except Stopped:
            return AFTER_ROUNDS_S
        except NotSolved:
            return AFTER_BUSY_S
        PLANS.labels(made.ended).inc()
        kept = await hands.store.write(partial(_keep, hands, gig_id, work, made), gig(gig_id))
        if kept:
            hands.notifier.notify(gig_id)
            return 0.0
    return AFTER_ROUNDS_S


def _read(hands: Hands, gig_id: str) -> Work | None:
    with hands.store.reading() as db:
        return planning.work_of(db, gig_id)


def _keep(hands: Hands, gig_id: str, work: Work, made: PlanMade, db: Session) -> bool:
    news(db, gig_id)
    return planning.keep(db, gig_id, work, made, hands.clock())


async def _failed(hands: Hands, gig_id: str, work: Work, error: NotSolved) -> None:
    why, most = (rows.TOO_LONG, 1) if isinstance(error, TooLong) else (rows.CRASHED, planning.MOST_TRIES)

    def note(db: Session) -> bool:
        news(db, gig_id)
        return rows.failed(db, gig_id, work.digest, why, most_tries=most)

    if await hands.store.write(note, gig(gig_id)):
        hands.notifier.notify(gig_id)


PLANNING: Job[Hands] = Job("planning", planning.due, plan, most=2)
