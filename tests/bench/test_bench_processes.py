"""One process against two on one database, at fifty people: what a request costs in processor time, and how many come
through. Figures, never gates, but that nobody is refused.
"""

from __future__ import annotations

import os
import random
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from tests import postgresql
from tests.web.test_many_at_once import PEOPLE, Heard, Person, Visit, people, percentile
from tests.web.test_two_processes import Night, Process, night

__all__ = ["night"]

pytestmark = pytest.mark.bench

SECONDS = float(os.environ.get("PROCESSES_S", "15"))
"""How long each of the eight phases goes on."""


@dataclass(frozen=True)
class Spent:
    """Processor time in seconds: of the portal's processes with their solvers and renderers, and of the server."""

    portal_s: float
    server_s: float

    def since(self, before: Spent) -> Spent:
        return Spent(self.portal_s - before.portal_s, self.server_s - before.server_s)


@dataclass
class Figures:
    """What came of some phases together."""

    requests: int = 0
    portal_s: float = 0.0
    server_s: float = 0.0
    lasted_s: float = 0.0
    times_s: list[float] = field(default_factory=list)

    def add(self, heard: Heard, cost: Spent, lasted_s: float) -> None:
        """Count one more phase."""
        self.requests += sum(heard.statuses.values())
        self.portal_s += cost.portal_s
        self.server_s += cost.server_s
        self.lasted_s += lasted_s
        self.times_s += [took_s for one in heard.times_s.values() for took_s in one]

    @property
    def per_s(self) -> float:
        """Requests a second."""
        return self.requests / self.lasted_s

    @property
    def portal_ms(self) -> float:
        """Processor time of the portal for a request."""
        return self.portal_s / self.requests * 1000

    def __str__(self) -> str:
        """The figures in one line."""
        return (
            f"requests={self.requests} per_s={self.per_s:.1f} portal_cpu_ms={self.portal_ms:.1f}"
            f" server_cpu_ms={self.server_s / self.requests * 1000:.1f} p95_ms={percentile(self.times_s, 0.95):.0f}"
        )


def spent(processes: list[Process]) -> Spent:
    """What has been spent until now."""
    (postmaster, *_rest) = Path(os.environ[postgresql.FOLDER], "data", "postmaster.pid").read_text().split()
    children = children_of_all()
    return Spent(
        sum(with_children_s(one.running.pid, children) for one in processes),
        with_children_s(int(postmaster), children),
    )


def children_of_all() -> dict[int, list[int]]:
    """Every process of the machine by its parent."""
    found: dict[int, list[int]] = {}
    for path in Path("/proc").glob("[0-9]*"):
        if fields := stat_of(int(path.name)):
            found.setdefault(int(fields[1]), []).append(int(path.name))
    return found


def stat_of(process: int) -> list[str]:
    """The fields of ``/proc/PID/stat`` behind the name: state, parent, ...; empty for one that has ended."""
    try:
        return Path(f"/proc/{process}/stat").read_text("utf-8").rpartition(")")[2].split()
    except OSError:
        return []


def with_children_s(process: int, children: dict[int, list[int]]) -> float:
    """The processor time of a process, of what it started, and of what of that has ended."""
    fields = stat_of(process)
    own = sum(map(int, fields[11:15])) / os.sysconf("SC_CLK_TCK") if fields else 0.0
    return own + sum(with_children_s(child, children) for child in children.get(process, []))


class Steady(Visit):
    """Somebody who does one kind of thing over and over, without a rest."""

    def over_and_over(self, deed: str, until: float) -> None:
        while time.monotonic() < until:
            try:
                self.read() if deed == "read" else self.say()
            except OSError as error:
                self.heard.errors.append(repr(error))


def phase(processes: list[Process], everybody: list[Person], deed: str) -> tuple[Heard, Spent, float]:
    """Everybody at once for a while, shared out over the processes."""
    heard = Heard()
    visits = [
        Steady(f"http://{processes[at % len(processes)].address}", person, heard, random.Random(at))  # noqa: S311 - deeds, not secrets
        for at, person in enumerate(everybody)
    ]
    before, began = spent(processes), time.monotonic()
    threads = [threading.Thread(target=one.over_and_over, args=(deed, began + SECONDS)) for one in visits]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return heard, spent(processes).since(before), time.monotonic() - began


@pytest.fixture
def serving(night: Night) -> Iterator[Callable[[str], Process]]:
    """A way to start one more process."""
    with ExitStack() as stack:
        yield lambda name: stack.enter_context(night.serve(name))


def test_one_process_and_two(night: Night, serving: Callable[[str], Process]) -> None:
    """Pages that are read, and comments that are sent, by fifty people at one process and at two."""
    everybody = people(night.store, night.settings)
    processes = [serving("one"), serving("other")]
    for at, person in enumerate(everybody):  # what is loaded once is loaded before it is measured
        visit = Visit(f"http://{processes[at % 2].address}", person, Heard(), random.Random(at))  # noqa: S311 - the same
        visit.read()
        visit.say()
    errors: list[str] = []
    for deed in ("read", "say"):
        told = {1: Figures(), 2: Figures()}
        # Pages grow with what is said: each has its turn early and late.
        for used in (1, 2, 2, 1):
            heard, cost, lasted_s = phase(processes[:used], everybody, deed)
            told[used].add(heard, cost, lasted_s)
            errors += heard.errors
        for used, one in told.items():
            print(  # noqa: T201 - a benchmark prints its figures
                f"{deed}: processes={used} people={PEOPLE} {one} load={os.getloadavg()[0]:.1f} cores={os.cpu_count()}"
            )
        print(  # noqa: T201 - the same
            f"{deed}: two against one: throughput={told[2].per_s / told[1].per_s:.2f}"
            f" cpu_a_request={told[2].portal_ms / told[1].portal_ms:.2f}"
        )
    assert errors == []
