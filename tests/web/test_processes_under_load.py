"""Twenty people on two processes and one database, while a process is exchanged, one is frozen and the server is
restarted: what was confirmed is there once, and nobody meets anything but "try again".
"""

from __future__ import annotations

import os
import random
import secrets
import signal
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing, suppress
from dataclasses import dataclass, field
from http import HTTPStatus
from http.client import HTTPConnection, HTTPException
from pathlib import Path

import pytest
from sqlmodel import select

from portal.store.discussions import Comment
from portal.store.plans import StoredPlan
from portal.store.record.verify import verify
from tests import postgresql
from tests.web.test_many_at_once import Heard, Person, Visit, hidden, people
from tests.web.test_two_processes import Night, Process, night

__all__ = ["night"]

PEOPLE = 20
TRIES = 24
PATIENCE_S = 5
"""How long the proxy waits for a page before it asks another process."""


@dataclass
class Proxy:
    """Whom it may ask, in turn; what is only read it asks another for, as the operator's page says."""

    processes: list[Process]
    turn: int = 0
    lock: threading.Lock = field(default_factory=threading.Lock)

    def order(self) -> list[Process]:
        """The processes, beginning with whose turn it is."""
        with self.lock:
            self.turn += 1
            at = self.turn % len(self.processes)
            return [*self.processes[at:], *self.processes[:at]]

    def exchange(self, old: Process, new: Process) -> None:
        """Ask another process from now on."""
        with self.lock:
            self.processes = [new if one is old else one for one in self.processes]


@dataclass
class Through(Visit):
    """One person's way through the proxy, who sends a form again that got no answer."""

    proxy: Proxy = field(kw_only=True)
    confirmed: list[str] = field(default_factory=list)

    def ask(self, deed: str, path: str, form: dict[str, object] | None = None) -> str:
        """What the first process says that says anything but that it cannot now."""
        started, status, text = time.perf_counter(), 0, ""
        for _ in range(TRIES):
            for process in self.proxy.order():
                try:
                    status, text = process.ask(
                        self.person.base + path, self.person.cookie, form, patience_s=PATIENCE_S if form is None else 60
                    )
                except (OSError, HTTPException):
                    status, text = 0, ""
                if status not in {0, 502, 503, 504}:
                    self.heard.note(deed, status, time.perf_counter() - started)
                    return text
            self.heard.note_again(deed, status)
            time.sleep(0.5)
        self.heard.note(deed, status, time.perf_counter() - started)
        return text

    def say(self) -> None:
        """Say something, and note it where the portal confirms it."""
        words = f"Mind the step {secrets.token_hex(8)}."
        form = {**hidden(self.ask("read", "/talk")), "words": words}
        before = self.heard.statuses["say 303"]
        self.ask("say", "/talk", form)
        if self.heard.statuses["say 303"] > before:
            self.confirmed.append(words)

    def go_on(self, until: float) -> None:
        """Read, and say something now and then."""
        while time.monotonic() < until:
            self.chance.choice([self.read, self.read, self.read, self.answer, self.say, self.say])()
            time.sleep(self.chance.uniform(0.2, 1.2))


@dataclass
class HeardAgain(Heard):
    """Every answer, and how often everybody was away."""

    again: Counter[str] = field(default_factory=Counter)

    def note_again(self, deed: str, status: int) -> None:
        """Note that no process had an answer, and what the last one said."""
        with self.lock:
            self.again[f"{deed} {status}"] += 1


@dataclass
class Stream:
    """A page that stands open. Whenever its line ends it listens again, at whoever answers."""

    person: Person
    proxy: Proxy
    back_s: list[float] = field(default_factory=list)
    """How long it heard nothing after each end."""

    def listen(self) -> None:
        """Listen until the tests end."""
        ended = time.monotonic()
        while True:
            for process in self.proxy.order():
                with suppress(OSError, HTTPException), closing(HTTPConnection(process.address, timeout=60)) as line:
                    line.request("GET", f"{self.person.base}/events", headers={"Cookie": self.person.cookie})
                    answer = line.getresponse()
                    if answer.status == HTTPStatus.OK and answer.readline():
                        self.back_s.append(time.monotonic() - ended)
                        while answer.readline():
                            pass
                        ended = time.monotonic()
            time.sleep(0.1)


@pytest.fixture
def restart() -> Callable[[], float]:
    """A fast restart of the server; the seconds that it took."""

    def now() -> float:
        found, folder = postgresql.programs(), Path(os.environ[postgresql.FOLDER])
        started = time.perf_counter()
        postgresql._run(
            found / "pg_ctl", "--pgdata", folder / "data", "--log", folder / "log", "--mode=fast", "--wait", "restart"
        )
        return time.perf_counter() - started

    return now


@pytest.fixture
def served(night: Night) -> Iterator[tuple[Proxy, Callable[[str], Process]]]:
    """Two processes behind a proxy, and a way to start one more."""
    with ExitStack() as stack:

        def more(name: str) -> Process:
            return stack.enter_context(night.serve(name))

        yield Proxy([more("one"), more("other")]), more


@pytest.mark.soak
def test_what_was_confirmed_is_there_once_whatever_happens(
    night: Night, served: tuple[Proxy, Callable[[str], Process]], restart: Callable[[], float]
) -> None:
    """Exchange a process, freeze one for eight seconds, restart the server; then count."""
    proxy, more = served
    everybody = people(night.store, night.settings)[:PEOPLE]
    heard = HeardAgain()
    visits = [
        Through("", person, heard, random.Random(seed), proxy=proxy)  # noqa: S311 - deeds, not secrets
        for seed, person in enumerate(everybody)
    ]
    streams = [Stream(person, proxy) for person in everybody[:8:2]]
    for stream in streams:
        threading.Thread(target=stream.listen, daemon=True).start()
    until = time.monotonic() + 50
    threads = [threading.Thread(target=visit.go_on, args=(until,)) for visit in visits]
    for thread in threads:
        thread.start()
    told: dict[str, str] = {}

    def after(what: str, seconds: float, deed: Callable[[], object]) -> None:
        errors, again = len(heard.errors), heard.again.total()
        done = deed()
        time.sleep(seconds)
        told[what] = f"errors={len(heard.errors) - errors} all_away={heard.again.total() - again} {done or ''}".strip()

    def exchange() -> str:
        old, new = proxy.processes[0], more("third")
        os.kill(old.running.pid, signal.SIGTERM)
        started = time.perf_counter()
        old.running.wait(timeout=60)
        proxy.exchange(old, new)
        return f"ended_after_s={time.perf_counter() - started:.1f}"

    def freeze() -> None:
        frozen = proxy.processes[0]
        os.kill(frozen.running.pid, signal.SIGSTOP)
        time.sleep(8)
        os.kill(frozen.running.pid, signal.SIGCONT)

    after("quiet", 8, lambda: None)
    after("exchanged", 6, exchange)
    after("frozen", 6, freeze)
    after("restarted", 10, lambda: f"away_s={restart():.1f}")
    for thread in threads:
        thread.join()
    confirmed = [words for visit in visits for words in visit.confirmed]
    night.store.engine.dispose()
    with night.store.reading() as db:
        said = Counter(row.words for row in db.exec(select(Comment)))
        revisions = Counter((row.gig_id, row.number) for row in db.exec(select(StoredPlan)))
        faults = verify(db).faults
    back_s = sorted(one for stream in streams for one in stream.back_s[1:])
    print(  # noqa: T201 - shown with -s
        f"\npeople={PEOPLE} answers={sum(heard.statuses.values())} confirmed={len(confirmed)} {told}"
        f" streams_back_s={[round(one, 1) for one in back_s]}"
    )
    assert back_s != []
    assert heard.errors == []
    assert {words: said[words] for words in confirmed} == dict.fromkeys(confirmed, 1)
    assert max(said.values()) == max(revisions.values()) == 1
    assert faults == ()
    assert len(confirmed) > 50
