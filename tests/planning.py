"""Planning without waiting: what a test needs of a plan before it looks at anything else."""

# ruff: noqa: ARG002 - stand-ins take what the real ones take

import asyncio
import hashlib
from collections.abc import Callable, Coroutine, Sequence
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from typing import Any, TypeVar

from portal.advance import sensitivity
from portal.advance.planning import keep, want, work_of
from portal.advance.solver import wishes
from portal.advance.solver.process import Solvers
from portal.advance.solver.wishes import answer_line, read_answer, write_wish
from portal.jobs.loop import Job, Jobs
from portal.plan.model import ENGINE
from portal.store import planning as rows
from portal.store import plans, worked_out
from portal.store.database.session import Session
from portal.store.gigs import Gig
from portal.store.plans import StoredPlan
from tests.plan.outcomes import kept_for_all

T = TypeVar("T")


def waited_for(asking: Coroutine[Any, Any, T]) -> T:
    """What a coroutine gives. On a thread of its own: where a browser was driven before, this one has a loop that
    runs.
    """
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(asyncio.run, asking).result()


def remembered(work: Callable[..., T]) -> Callable[..., T]:
    """The same engine, which works the same rig, answers and agreements out once: most tests stand on one plan. Its
    results are shared, so nobody may change them.
    """
    known: dict[str, T] = {}

    def found(*given: object) -> T:
        key = repr(given)
        if key not in known:
            known[key] = work(*given)
        return known[key]

    return found


wishes.reconcile = remembered(wishes.reconcile)


OURS = (wishes.reconcile, wishes.open_questions)
"""The engine, where no test has put in another."""


@cache
def answered(engine: object, line: bytes) -> bytes:
    """The answer to the wish of one line, worked out once by each engine that tests put in; by ours once a run."""
    if engine != OURS:
        return answer_line(line)
    return kept_for_all(f"answer-{hashlib.sha256(line).hexdigest()}", lambda: answer_line(line))


class InThisProcess(Solvers):
    """Answers wishes here, by way of the same texts: to start a process for each test would cost more than the test."""

    def ask(self, wish: Any, limit_s: float = 0.0, *, gives_way: bool = False) -> Any:
        return read_answer(wish, answered((wishes.reconcile, wishes.open_questions), write_wish(wish)))

    def warm(self) -> None:
        pass


SOLVER = InThisProcess()


class AtOnce(Jobs[Any]):
    """Does what is due before a form is answered; what is open too, where no page asks for it to be looked at."""

    looks = False

    async def run(self, hands: Any) -> None:
        await asyncio.Event().wait()

    async def soon(self, hands: Any, gig_ids: Sequence[str], wait_s: float) -> None:
        for job in self.jobs:
            if job.name in {"planning", "papers", *(["open"] if self.looks else [])}:
                await self.work_off(hands, job)

    async def work_off(self, hands: Any, job: Job[Any]) -> None:
        left = set()
        while True:
            with hands.store.reading() as db:
                due = [one for one in job.due(db, hands.clock()) if one not in left]
            if not due:
                return
            for one in due:
                if await job.do(hands, one):
                    left.add(one)


def plan_now(db: Session, gig: Gig, now: Any, *, again: bool = False) -> StoredPlan:
    """The plan of a gig as things stand, worked out in the test's own transaction."""
    want(db, gig, now, again=again)
    work = work_of(db, gig.id)
    if work is not None:
        assert keep(db, gig.id, work, SOLVER.ask(work.wish), now)
    stored = plans.newest(db, gig.id)
    assert stored is not None
    assert not rows.behind(db, gig.id)
    return stored


def look_now(db: Session, gig_id: str, now: Any) -> None:
    """What is open in a gig, worked out in the test's own transaction."""
    look = sensitivity.first_look(db, gig_id)
    if look is not None:
        sensitivity.keep(db, look, SOLVER.ask(look.wish), now)
    wanted = sensitivity.one_more_wish(db, gig_id)
    if wanted is not None and worked_out.get(db, sensitivity.ONE_MORE, wanted[1], ENGINE) is None:
        wish, key = wanted
        sensitivity.keep_one_more(db, key, SOLVER.ask(wish) if wish else None, now)
