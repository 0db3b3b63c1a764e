"""What is open in a gig, what a count of inputs would mean, and what one more would give: worked out once its plan is
there and none waits.
"""

import asyncio
from collections.abc import Callable, Sequence
from datetime import datetime
from functools import partial
from typing import TypeVar

from portal.advance import sensitivity
from portal.advance.solver.process import PLAN_S, Crashed, NotSolved, TooLong
from portal.jobs.loop import Hands, Job
from portal.plan.model import ENGINE
from portal.plan.solving.open_questions import Openness
from portal.store import planning, worked_out
from portal.store.database.scopes import result
from portal.store.database.session import Session, news

T = TypeVar("T")

AFTER_FAULT_S, AFTER_BUSY_S = 3600.0, 5.0


def _due(db: Session, kind: str) -> Sequence[str]:
    """The gigs of whose newest plan nobody has worked this out."""
    return () if planning.due(db) else worked_out.missing(db, kind, ENGINE)


async def _asked(ask: Callable[[], T]) -> tuple[T | None, float]:
    """What a solver answers; ``None``, and how long to leave it alone, where it comes to nothing."""
    try:
        return await asyncio.to_thread(ask), 0.0
    except (TooLong, Crashed):
        return None, AFTER_FAULT_S
    except NotSolved:
        return None, AFTER_BUSY_S


async def _read(hands: Hands, read: Callable[[Session], T]) -> T:
    def within() -> T:
        with hands.store.reading() as db:
            return read(db)

    return await asyncio.to_thread(within)


def due_looks(db: Session, _now: datetime) -> Sequence[str]:
    """The gigs whose newest plan nobody has looked at."""
    return _due(db, sensitivity.KIND)


async def look(hands: Hands, gig_id: str) -> float:
    """Work out and keep what is open in a gig."""
    further = await _read(hands, lambda db: sensitivity.first_look(db, gig_id))
    if further is None:
        return AFTER_FAULT_S
    found, wait_s = await _asked(lambda: hands.solvers.ask(further.wish, PLAN_S, gives_way=True))
    if found is not None:
        await hands.store.write(partial(_keep, hands, gig_id, further, found), result(further.key))
        hands.notifier.notify(gig_id)
    return wait_s


def _keep(hands: Hands, gig_id: str, further: sensitivity.Look, found: Openness, db: Session) -> None:
    news(db, gig_id)
    sensitivity.keep(db, further, found, hands.clock())


def due_scales(db: Session, _now: datetime) -> Sequence[str]:
    """The gigs of which nobody has worked out what a count of inputs means."""
    return _due(db, sensitivity.SCALE)


async def scale(hands: Hands, gig_id: str) -> float:
    """Work out and keep what the count of inputs would mean for a gig."""
    wanted = await _read(hands, lambda db: sensitivity.scale_wish(db, gig_id))
    if wanted is None:
        return AFTER_FAULT_S
    wish, key = wanted
    found, wait_s = await _asked(lambda: hands.solvers.ask(wish, PLAN_S, gives_way=True))
    if found is not None:
        await hands.store.write(lambda db: sensitivity.keep_scale(db, key, found, hands.clock()), result(key))
    return wait_s


def due_one_more(db: Session, _now: datetime) -> Sequence[str]:
    """The gigs of which nobody has worked out what another working input would give."""
    return _due(db, sensitivity.ONE_MORE)


async def one_more(hands: Hands, gig_id: str) -> float:
    """Work out and keep what another working input would give a gig."""
    wanted = await _read(hands, lambda db: sensitivity.one_more_wish(db, gig_id))
    if wanted is None:
        return AFTER_FAULT_S
    wish, key = wanted
    found, wait_s = await _asked(lambda: hands.solvers.ask(wish, PLAN_S, gives_way=True)) if wish else (None, 0.0)
    if found is not None or wish is None:
        await hands.store.write(lambda db: sensitivity.keep_one_more(db, key, found, hands.clock()), result(key))
    return wait_s


OPENNESS: Job[Hands] = Job("open", due_looks, look)
SCALES: Job[Hands] = Job("scale", due_scales, scale)
ONE_MORE: Job[Hands] = Job("one more", due_one_more, one_more)
