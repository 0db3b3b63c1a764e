"""The loop that does what is due: woken by a bell, held up by no job that fails, and nothing is done twice."""

import asyncio
import threading
from collections.abc import Callable, Sequence
from datetime import datetime

import pytest

from portal.jobs.loop import Job, Jobs
from portal.store import plans
from portal.store.database.session import CannotWrite, Session
from portal.web.documents.signed_papers import SIGNED_PAPERS
from portal.web.frame.notifier import ANY, Notifier, bells
from portal.web.frame.running import Portal
from tests.builders import ABand
from tests.web.conftest import Browser
from tests.web.planned import Planned, prepare
from tests.web.world import finished


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    return prepare(portal, band, signed_in, enter)


class Work:
    """Things to do, and what came of them."""

    def __init__(self, *due: str, fails: Exception | None = None) -> None:
        self.due, self.fails = list(due), fails
        self.done: list[str] = []
        self.looked = threading.Event()

    def look(self, _db: Session, _now: datetime) -> Sequence[str]:
        self.looked.set()
        return tuple(self.due)

    async def do(self, _hands: object, one: str) -> float:
        self.done.append(one)
        await asyncio.sleep(0)
        if self.fails:
            raise self.fails
        self.due.remove(one)
        return 0.0


def run_until(portal: Portal, jobs: Jobs[Portal], over: Callable[[], bool]) -> None:
    """Let the loop work until something is so."""

    async def go() -> None:
        at_work = asyncio.create_task(jobs.run(portal))
        for _ in range(3000):
            await asyncio.sleep(0.01)
            if over():
                break
        at_work.cancel()
        await asyncio.gather(at_work, return_exceptions=True)

    finished(go())
    assert over()


@pytest.mark.parametrize("fault", [RuntimeError("a fault"), CannotWrite("busy")])
def test_a_job_that_fails_holds_up_no_other(portal: Portal, fault: Exception) -> None:
    """It is left alone for a while, and what else is due is done."""
    bad, good = Work("a", fails=fault), Work("b", "c")
    jobs: Jobs[Portal] = Jobs((Job("bad", bad.look, bad.do), Job("good", good.look, good.do)))
    run_until(portal, jobs, lambda: not good.due and bool(bad.done))
    assert (bad.done, sorted(good.done)) == (["a"], ["b", "c"])


def test_a_bell_wakes_the_loop(portal: Portal) -> None:
    """What becomes due is done when the bell rings, not half a minute later."""
    work = Work()
    jobs: Jobs[Portal] = Jobs((Job("work", work.look, work.do),))

    async def go() -> None:
        at_work = asyncio.create_task(jobs.run(portal))
        await asyncio.to_thread(work.looked.wait, 60)
        work.due.append("a")
        jobs.ring()
        for _ in range(1000):
            await asyncio.sleep(0.01)
            if work.done:
                break
        at_work.cancel()
        await asyncio.gather(at_work, return_exceptions=True)

    finished(go())
    assert work.done == ["a"]


def test_what_another_process_saved_looks_jobs_up_only_where_one_is_due() -> None:
    """News of a gig wake whoever waits for it and no job; where a job is due with it, or something was missed, jobs are
    looked up too.
    """
    notifier, looked = Notifier(), []

    async def go() -> None:
        heard, everything = bells(asyncio.get_running_loop(), notifier, lambda: looked.append("up"))
        with notifier.listening("a") as told:
            heard("a")
            await asyncio.wait_for(told.wait(), 60)
            assert looked == []
            told.clear()
            heard(ANY)
            await asyncio.sleep(0)
            everything()
            await asyncio.wait_for(told.wait(), 60)
            await asyncio.sleep(0)
        assert looked == ["up", "up"]

    finished(go())


def test_each_signature_gets_its_paper(planned: Planned) -> None:
    """The sheet with one signature is kept, then the one with both, and nothing is due afterwards; what cannot be made
    is tried again later.
    """
    portal = planned.portal
    made: list[str] = []

    def render(html: str, _attached: object = None) -> bytes:
        made.append(html)
        return b"%PDF-1.7 " + str(len(made)).encode()

    portal.papers.render = render
    portal.jobs.jobs = ()
    loop: Jobs[Portal] = Jobs((SIGNED_PAPERS,))

    def kept() -> list[str]:
        with portal.store.reading() as db:
            return [one.document for one in plans.papers_of(db, planned.newest().id)]

    async def go() -> None:
        at_work = asyncio.create_task(loop.run(portal))
        for count, side in enumerate(("band", "house"), start=1):
            await asyncio.to_thread(planned.sign, side)
            loop.ring()
            for _ in range(1000):
                await asyncio.sleep(0.01)
                if len(kept()) == count:
                    break
        at_work.cancel()
        await asyncio.gather(at_work, return_exceptions=True)

    finished(go())
    assert kept() == ["patch-sheet 1", "patch-sheet 1 2"]
    with portal.store.reading() as db:
        assert SIGNED_PAPERS.due(db, portal.clock()) == []
