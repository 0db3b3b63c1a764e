"""The solvers: the same answers as here, stopped when they overrun, started again when they end, no secret in them."""

import asyncio
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest

from portal.advance.solver import process
from portal.advance.solver.process import Busy, Crashed, Solvers, Stopped, TooLong
from portal.advance.solver.wishes import (
    KINDS,
    CellWish,
    CompareWish,
    OpenWish,
    PlanWish,
    RangeWish,
    ScaleWish,
    Texts,
    WorthWish,
    seconds,
)
from portal.app import JOBS
from portal.exchange.example import example_rig
from portal.jobs.loop import Jobs
from portal.plan.input.facts import Answer
from portal.plan.signed.serialization import Heading
from portal.store import planning as rows
from portal.store import plans
from portal.store.record import events
from portal.store.record.verify import verify
from portal.web.frame.running import Portal
from tests.builders import ABand, a_rig
from tests.web.conftest import Browser
from tests.web.planned import Planned, prepare
from tests.web.test_planning import change, row_of
from tests.web.world import finished

HEADING = Heading("Harbour night", "2026-12-05", "The Old Net Loft")
SMALL = Texts.of(a_rig(), {"inputs-free": Answer("answered", 8, "house")}, ())
FEWER = Texts.of(a_rig(), {"inputs-free": Answer("answered", 2, "house")}, ())
WISHES = (
    PlanWish(SMALL, HEADING),
    OpenWish(SMALL),
    CompareWish(SMALL, FEWER),
    WorthWish(SMALL, (("inputs-free",), ("pa", "who-mixes"))),
    CellWish(SMALL),
    RangeWish(SMALL, "nothing"),
    ScaleWish(SMALL),
)


@pytest.fixture
def solvers() -> Iterator[Solvers]:
    made = Solvers()
    yield made
    made.close()


def pids(solvers: Solvers) -> list[int]:
    """The processes that run."""
    return [one._process.pid for one in solvers._all if one._process is not None and one._process.poll() is None]


def test_a_solver_answers_as_this_process_does(solvers: Solvers) -> None:
    """Every kind of wish, by way of a process of its own, has the same answer."""
    for wish in WISHES:
        assert solvers.ask(wish, 120) == KINDS[type(wish).__name__].work(wish)
    assert {type(wish).__name__ for wish in WISHES} == set(KINDS)


def test_a_stored_rig_and_a_variant_are_read_alike(solvers: Solvers) -> None:
    """The texts of a stored gig and those of the same rig in memory make one plan."""
    texts = Texts.of(example_rig(), {}, ())
    again = Texts.of(*texts.read())
    assert texts == again
    assert solvers.ask(PlanWish(texts, HEADING), 120) == solvers.ask(PlanWish(again, HEADING), 120)


def test_what_is_killed_is_told_and_started_again(solvers: Solvers) -> None:
    """Whoever waits for a solver that dies is told so; the next one who asks has a new one."""
    solvers.ask(WISHES[0], 120)
    first = pids(solvers)
    with ThreadPoolExecutor(1) as other:
        waiting = other.submit(solvers.ask, OpenWish(Texts.of(example_rig(), {}, ())), 120)
        for pid in first:
            os.kill(pid, signal.SIGSTOP)
        for pid in first:
            os.kill(pid, signal.SIGKILL)
        with pytest.raises(Crashed):
            waiting.result(timeout=60)
    assert solvers.ask(WISHES[0], 120).ended == "fits"
    assert not set(pids(solvers)) & set(first)


def test_what_overruns_is_stopped(solvers: Solvers) -> None:
    """At its deadline a solver is killed, and whoever waits is told."""
    solvers.ask(WISHES[0], 120)
    (pid,) = pids(solvers)
    os.kill(pid, signal.SIGSTOP)
    with pytest.raises(TooLong):
        solvers.ask(WISHES[0], 0.3)
    assert pids(solvers) == []


def test_what_wants_too_much_memory_ends() -> None:
    """A solver has no more memory than its limit."""
    narrow = Solvers(memory_bytes=100 << 20)
    try:
        with pytest.raises(Crashed):
            narrow.ask(WISHES[0], 60)
    finally:
        narrow.close()


def test_a_fault_of_the_engine_is_named_and_the_process_is_new(solvers: Solvers) -> None:
    """A wish that cannot be read ends in the kind of its fault, without a word of what it held."""
    with pytest.raises(Crashed, match="ValidationError") as error:
        solvers.ask(PlanWish(replace(SMALL, answers='{"a secret": 1}'), HEADING), 60)
    assert "secret" not in str(error.value)
    assert pids(solvers) == []


def test_no_clock_within_ends_a_solve() -> None:
    """The parent's deadline does, so that the load of a machine decides nothing."""
    said = (
        "import sys; from portal.advance.solver.process import child; from portal.plan.solving.loaded_program import"
        " OPTIONS; child(4 * 2**30); print(OPTIONS['time_limit'], file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", said], stdin=subprocess.DEVNULL, capture_output=True, check=True)
    assert done.stderr.split()[-1] == b"inf"


def test_closing_stops_whoever_waits() -> None:
    """When the portal stops, solves end, their processes with them, and nothing can be asked any more."""
    solvers = Solvers()
    solvers.ask(WISHES[0], 120)
    running = pids(solvers)
    for pid in running:
        os.kill(pid, signal.SIGSTOP)
    with ThreadPoolExecutor(1) as other:
        waiting = other.submit(solvers.ask, WISHES[0], 120)
        while solvers._free and len(solvers._free) == len(solvers._all):
            time.sleep(0.01)
        solvers.close()
        with pytest.raises((Stopped, Crashed)):
            waiting.result(timeout=60)
    assert not any(Path(f"/proc/{pid}").exists() for pid in running)
    with pytest.raises(Stopped):
        solvers.ask(WISHES[0])


def test_a_solver_knows_no_secret(solvers: Solvers, monkeypatch: pytest.MonkeyPatch) -> None:
    """Settings of the portal are not in a solver's environment."""
    monkeypatch.setenv("PORTAL_CANARY", "a-secret-of-the-portal")
    solvers.ask(WISHES[0], 120)
    (pid,) = pids(solvers)
    assert b"a-secret-of-the-portal" not in Path(f"/proc/{pid}/environ").read_bytes()


class Held:
    """Children that answer when they are let go."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.go, self.asked, self.begun = threading.Event(), [], threading.Semaphore(0)

        def ask(_child: object, line: bytes, _ends: float) -> bytes:
            self.asked.append(line)
            self.begun.release()
            if b'"long"' in line:
                assert self.go.wait(60)
            return b'{"group":null}'

        monkeypatch.setattr(process._Child, "ask", ask)
        monkeypatch.setattr(process._Child, "running", lambda *_anything: None)
        monkeypatch.setattr(process, "seconds", lambda wish: 9.0 if wish.groups == (("long",),) else 0.1)


def test_what_takes_long_holds_one_solver_only(solvers: Solvers, monkeypatch: pytest.MonkeyPatch) -> None:
    """While two gigs are solved that take long, one after the other, a small one is solved beside them."""
    held = Held(monkeypatch)
    long, small = WorthWish(SMALL, (("long",),)), WorthWish(SMALL, (("short",),))
    with ThreadPoolExecutor(2) as others:
        waiting = [others.submit(solvers.ask, long, 60) for _ in range(2)]
        assert held.begun.acquire(timeout=60)
        for _ in range(3):
            assert solvers.ask(small, 60).group is None
        assert len(held.asked) == 4
        with pytest.raises(Busy):
            solvers.ask(long, 0.1)
        held.go.set()
        for one in waiting:
            one.result(timeout=60)
    assert len(held.asked) == 5


def test_a_look_gives_way_to_a_plan(solvers: Solvers, monkeypatch: pytest.MonkeyPatch) -> None:
    """What works out what is open is stopped for a plan that would wait for it, and is told that there was no time."""
    monkeypatch.setattr(process, "seconds", lambda _wish: 9.0)
    solvers.ask(WISHES[0], 120)
    for pid in pids(solvers):
        os.kill(pid, signal.SIGSTOP)
    with ThreadPoolExecutor(1) as other:
        look = other.submit(solvers.ask, WISHES[1], 120, gives_way=True)
        while not solvers._giving_way:
            time.sleep(0.01)
        assert solvers.ask(WISHES[0], 120).ended == "fits"
        with pytest.raises(Busy):
            look.result(timeout=60)


def test_only_a_large_gig_is_estimated_as_long() -> None:
    """The example of twenty sources is small whatever is asked of it; 128 sources are not."""
    source = a_rig().source[0]
    large = Texts.of(replace(a_rig(), source=tuple(replace(source, key=f"s{n}") for n in range(128))), {}, ())
    example = Texts.of(example_rig(), {}, ())
    assert all(seconds(replace(wish, texts=example)) < process.LONG_S for wish in WISHES)
    assert seconds(PlanWish(large, HEADING)) > process.LONG_S


# --- killed while the loop works


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    return prepare(portal, band, signed_in, enter)


def kills(times: int, when: str, solvers: Solvers, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Kill the solver that is asked, so often, at a step: before it hears, while it works, once it has answered."""
    left, killed = [times], []
    ask = process._Child.ask

    def stand_in(child: process._Child, line: bytes, ends: float) -> bytes:
        hit = left[0] > 0 and line.startswith(b"PlanWish")
        left[0] -= hit
        pid = child._process.pid if child._process else 0
        if hit:
            killed.append(when)
        if hit and when == "before":
            os.kill(pid, signal.SIGKILL)
        if hit and when == "while":
            os.kill(pid, signal.SIGSTOP)
            threading.Timer(0.1, os.kill, (pid, signal.SIGKILL)).start()
        answer = ask(child, line, ends)
        if hit and when == "after":
            os.kill(pid, signal.SIGKILL)
        return answer

    monkeypatch.setattr(process._Child, "ask", stand_in)
    del solvers
    return killed


@pytest.mark.parametrize("when", ["before", "while", "after"])
def test_a_killed_solver_costs_no_plan(
    planned: Planned, solvers: Solvers, monkeypatch: pytest.MonkeyPatch, when: str
) -> None:
    """Whenever its solver is killed, the plan is there afterwards, once, with one event, and the record holds."""
    killed = kills(2, when, solvers, monkeypatch)
    portal = replace(planned.portal, solvers=solvers, jobs=Jobs(JOBS[:1]))
    change(planned)

    async def go() -> None:
        at_work = asyncio.create_task(portal.jobs.run(portal))
        for _ in range(600):
            await asyncio.sleep(0.1)
            if not row_of(planned).behind:
                break
        at_work.cancel()
        await asyncio.gather(at_work, return_exceptions=True)

    finished(go())
    assert killed == [when] * (1 if when == "after" else 2)
    assert (row_of(planned).behind, row_of(planned).fault) == (False, "")
    with planned.portal.store.reading() as db:
        assert [one.number for one in plans.revisions(db, planned.gig.id)] == [2, 1]
        assert len(events.of_gig(db, planned.gig.id, "planned")) == 2
        assert rows.due(db) == []
        assert verify(db).faults == ()
