"""The registry of jobs and the loop that does them: woken by a bell, else every half minute."""

import asyncio
import logging
import time
from collections.abc import Awaitable, Callable, Sequence
from contextlib import AbstractContextManager, suppress
from dataclasses import dataclass, field
from datetime import datetime
from typing import Generic, Protocol, TypeVar

from portal.advance.solver.process import Solvers
from portal.store.database.session import CannotWrite, Session, Store
from portal.store.database.together import Claims

log = logging.getLogger("portal")

LOOK_S = 30.0
"""How often what is due is looked up without a bell."""

OTHERS_S = 10.0
"""How long what another process does is left to it: so long a process that was killed holds it up at most."""

PAUSE_S = 30.0
"""How long a job that failed is left alone."""


class _Notifier(Protocol):
    def listening(self, gig_id: str) -> AbstractContextManager[asyncio.Event]: ...
    def notify(self, gig_id: str) -> None: ...


class Hands(Protocol):
    """What a job works with. The running portal has it all."""

    @property
    def store(self) -> Store: ...
    @property
    def clock(self) -> Callable[[], datetime]: ...
    @property
    def solvers(self) -> Solvers: ...
    @property
    def notifier(self) -> _Notifier: ...
    @property
    def claims(self) -> Claims | None: ...


H_contra = TypeVar("H_contra", bound=Hands, contravariant=True)
"""What works with all that ``Hands`` has takes the jobs that ask for less."""


@dataclass(frozen=True)
class Job(Generic[H_contra]):
    """``due`` names what is to be done, by id; ``do`` does one of them and returns the seconds until it may come again
    where it is still due. ``most``: so many at a time; ``every_s``: how often to look without a bell.
    """

    name: str
    due: Callable[[Session, datetime], Sequence[str]]
    do: Callable[[H_contra, str], Awaitable[float]]
    most: int = 1
    every_s: float = LOOK_S
    at_start: bool = True


@dataclass
class _Lane(Generic[H_contra]):
    """One job in the loop: what of it runs, and what is left alone until when."""

    job: Job[H_contra]
    bell: asyncio.Event = field(default_factory=asyncio.Event)
    running: dict[str, asyncio.Task[None]] = field(default_factory=dict)
    paused: dict[str, float] = field(default_factory=dict)

    def free(self, due: Sequence[str]) -> list[str]:
        """What may be started now."""
        now = time.monotonic()
        self.paused = {one: until for one, until in self.paused.items() if until > now}
        ready = [one for one in due if one not in self.running and one not in self.paused]
        return ready[: self.job.most - len(self.running)]

    def look_s(self) -> float:
        """Seconds until the next look."""
        now = time.monotonic()
        return min([self.job.every_s, *(until - now for until in self.paused.values())])


class Jobs(Generic[H_contra]):
    """The jobs of one process; used on its event loop only. Where others work on its database
    too, each piece is claimed first.
    """

    def __init__(self, jobs: Sequence[Job[H_contra]] = ()) -> None:
        self.jobs = tuple(jobs)
        self._lanes: list[_Lane[H_contra]] = []

    def ring(self) -> None:
        """Something may be due."""
        for lane in self._lanes:
            lane.bell.set()

    async def run(self, hands: H_contra) -> None:
        """Do what is due, until cancelled."""
        self._lanes = [_Lane(job) for job in self.jobs]
        try:
            async with asyncio.TaskGroup() as group:
                for lane in self._lanes:
                    group.create_task(self._go(hands, lane))
        finally:
            for task in [task for lane in self._lanes for task in lane.running.values()]:
                task.cancel()

    async def soon(self, hands: H_contra, gig_ids: Sequence[str], wait_s: float) -> None:
        """Ring, and wait a moment for something to happen to these gigs: what is small is done before the next page."""
        self.ring()
        with suppress(TimeoutError):
            async with asyncio.timeout(wait_s):
                for gig_id in gig_ids:
                    with hands.notifier.listening(gig_id) as heard:
                        await heard.wait()

    async def _go(self, hands: H_contra, lane: _Lane[H_contra]) -> None:
        if not lane.job.at_start:
            await asyncio.sleep(lane.job.every_s)
        while True:
            lane.bell.clear()
            # What ran while it was looked up may be done by now: its end rings for another look.
            ran = set(lane.running)
            due = [one for one in await _due(hands, lane.job) if one not in ran]
            for one in lane.free(due):
                lane.running[one] = asyncio.create_task(self._do(hands, lane, one))
            with suppress(TimeoutError):
                async with asyncio.timeout(lane.look_s()):
                    await lane.bell.wait()

    async def _do(self, hands: H_contra, lane: _Lane[H_contra], one: str) -> None:
        pause_s = PAUSE_S
        try:
            pause_s = await _claimed(hands, lane.job, one)
        except CannotWrite as error:
            log.warning("job left job=%s: the database is %s", lane.job.name, error.why)
        except Exception:
            log.exception("job failed job=%s id=%s", lane.job.name, one)
        finally:
            del lane.running[one]
            if pause_s:
                lane.paused[one] = time.monotonic() + pause_s
            # What one job did may be what another waits for.
            self.ring()


async def _claimed(hands: H_contra, job: Job[H_contra], one: str) -> float:
    """Do one piece of work where no other process does, and where it still is due by then."""
    claims, what = hands.claims, f"{job.name} {one}"
    if claims is None:
        return await job.do(hands, one)
    if not await asyncio.to_thread(claims.take, what):
        return OTHERS_S
    try:
        return await job.do(hands, one) if one in await _due(hands, job) else 0.0
    finally:
        await asyncio.to_thread(claims.give_back, what)


async def _due(hands: Hands, job: Job[H_contra]) -> Sequence[str]:
    def look() -> Sequence[str]:
        with hands.store.reading() as db:
            return job.due(db, hands.clock())

    try:
        return await asyncio.to_thread(look)
    except Exception:
        log.exception("job not looked up job=%s", job.name)
        return ()
