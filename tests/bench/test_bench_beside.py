"""Who waits for whom: one gig of 128 sources is planned all the time, and another gig is answered, read and planned
beside it. Figures, never gates, but that nobody is refused.
"""

import os
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager
from datetime import UTC, datetime, timedelta
from http.client import HTTPConnection
from pathlib import Path
from random import Random

import pytest

from portal.exchange.example import example_rig
from portal.plan.input.rig import Rig
from portal.settings import Settings
from portal.store.accounts import sessions
from portal.store.database.server_key import open_key
from portal.store.database.session import Session, open_store
from portal.web.frame import deps
from portal.web.frame.access import new_token, token_hash
from tests.bench.test_bench_engine import big
from tests.builders import a_band, a_gig, a_link, an_answer
from tests.planning import plan_now
from tests.web.test_many_at_once import ANSWERED, Heard, Person, Visit, hidden, percentile
from tests.web.test_start import start

pytestmark = pytest.mark.bench

IDLE_S, BESIDE_S = float(os.environ.get("IDLE_S", "20")), float(os.environ.get("BESIDE_S", "60"))


def a_house(db: Session, settings: Settings, rig: Rig, given: dict[str, object], now: datetime) -> Person:
    """The house of a planned gig, let in."""
    band = a_band(db)
    gig = a_gig(db, band, rig=rig, on=now.date() + timedelta(days=10))
    link = a_link(db, gig, band, expires=now + timedelta(days=20))
    for question, value in given.items():
        an_answer(db, gig.id, question, value, link_id=link.id, now=now)
    plan_now(db, gig, now)
    token = new_token()
    sessions.start_for_link(db, token_hash(token), link.id, only_view=False, now=now, expires=link.expires)
    return Person(f"/house/{gig.id}", f"{deps.cookie_name(settings, gig.id)}={token}")


class House(Visit):
    """One house, which saves another number of inputs or reads its plan."""

    def save(self, inputs: int, deed: str) -> None:
        page = "/questions/inputs"
        self.ask(deed, page, {**hidden(self.ask(f"{deed}: its page", page)), "inputs-free": str(inputs)})

    def planned(self, deed: str) -> None:
        """Wait until the plan of what was saved is there."""
        begun = time.perf_counter()
        while "is being worked out" in self.ask(f"{deed}: a look", "/plan").split("What is still open")[0]:
            time.sleep(0.1)
        self.heard.note(deed, 200, time.perf_counter() - begun)


def alive(address: str, heard: Heard) -> None:
    begun = time.perf_counter()
    with closing(HTTPConnection(address.removeprefix("http://"), timeout=60)) as connection:
        connection.request("GET", "/alive")
        heard.note("alive", connection.getresponse().status, time.perf_counter() - begun)


def beside(seconds: float, *deeds: Callable[[], None]) -> None:
    """Do each of several things over and over, side by side, for a while."""
    until = time.monotonic() + seconds

    def over_and_over(deed: Callable[[], None]) -> None:
        while time.monotonic() < until:
            deed()
            time.sleep(0.2)

    threads = [threading.Thread(target=over_and_over, args=(deed,)) for deed in deeds]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


def say(phase: str, heard: Heard) -> None:
    print(f"\n{phase}: load={os.getloadavg()[0]:.1f} errors={heard.errors}")  # noqa: T201 - a benchmark prints its figures
    for deed, times_s in sorted(heard.times_s.items()):
        shown = " ".join(f"{name}={percentile(times_s, share):.0f}" for name, share in (("p50", 0.5), ("p95", 0.95)))
        print(f"  {deed}: n={len(times_s)} {shown} max={max(times_s) * 1000:.0f} ms")  # noqa: T201


@contextmanager
def served(
    folder: Path, migrated: Path, gigs: Sequence[tuple[Rig, dict[str, object]]], now: datetime
) -> Iterator[tuple[str, list[Person]]]:
    """A portal as it is served, on planned gigs (rig and answers): its address, and the house of each gig."""
    data = folder / "data"
    data.mkdir()
    settings = Settings(data, "127.0.0.1", 0, "http://127.0.0.1:0")
    settings.database.write_bytes(migrated.read_bytes())
    store = open_store(settings.database)
    open_key(store, settings.key_file)
    with store.writing() as db:
        people = [a_house(db, settings, rig, given, now) for rig, given in gigs]
    store.close()
    running = start(data, PORTAL_PORT="0")
    assert running.stdout is not None
    # Its log is read, so that it never waits for a full pipe.
    reader = threading.Thread(target=running.stdout.read)
    try:
        address = next(word for line in running.stdout for word in line.split() if word.startswith("http://127.0.0.1:"))
        reader.start()
        yield address, people
    finally:
        running.kill()
        running.wait(timeout=60)
        if reader.ident is not None:
            reader.join()
        running.stdout.close()


LARGE = (big(128, 20)[0], {"inputs-free": 20, "pa": "stereo", "who-mixes": "house-engineer"})
SMALL = (example_rig(), dict(ANSWERED))


def test_a_gig_beside_128_sources(tmp_path: Path, migrated: Path) -> None:
    """Forms that change gig B's plan, B's plan page, A's plan page and a sign of life, while A is planned and while it
    is not.
    """
    chance = Random(1)  # noqa: S311 - numbers, not secrets
    with served(tmp_path, migrated, (LARGE, SMALL), datetime.now(UTC)) as (address, (large, small)):
        whole = []
        for phase, seconds in (("idle", IDLE_S), ("A is planned", BESIDE_S)):
            heard = Heard()
            a, b, b_reads, a_reads = (House(address, person, heard, chance) for person in (large, small, small, large))
            turn = iter(range(1_000_000))

            def change_b(b: House = b, turn: object = turn) -> None:
                b.save(5 + next(turn) % 6, "form of B")
                b.planned("plan of B there after")

            deeds = [
                change_b,
                lambda b_reads=b_reads: b_reads.ask("plan page of B", "/plan"),
                lambda a_reads=a_reads: a_reads.ask("plan page of A", "/plan"),
                lambda heard=heard: alive(address, heard),
            ]
            if phase != "idle":

                def change_a(a: House = a) -> None:
                    a.save(chance.randint(13, 24), "form of A")
                    a.planned("plan of A there after")

                deeds.append(change_a)
            beside(seconds, *deeds)
            say(phase, heard)
            whole.append(heard)
    assert [one.errors for one in whole] == [[], []]
