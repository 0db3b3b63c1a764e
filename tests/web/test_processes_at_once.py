"""Fifty people at two processes that serve one database, and backups of a database that people write to."""

from __future__ import annotations

import random
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
from sqlmodel import select

from portal import admin_commands
from portal.settings import Settings
from portal.store.database.server_key import open_key
from portal.store.database.session import Store, open_store
from portal.store.discussions import Comment
from portal.store.plans import StoredPlan
from portal.store.record.verify import verify
from tests.store import history
from tests.web.test_many_at_once import PEOPLE, SECONDS, Heard, Person, Visit, people, percentile
from tests.web.test_start import printed_address, start
from tests.web.test_two_processes import Night, night

__all__ = ["night"]

BACKUPS = 10


def at_once(visits: list[Visit], until: Callable[[], float]) -> None:
    """Everybody comes at once, and goes when the time is over."""
    threads = [threading.Thread(target=visit.go_on, args=(until(),)) for visit in visits]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()


@pytest.mark.soak
def test_fifty_people_on_two_processes_for_a_minute(night: Night) -> None:
    """Both sides of 25 gigs, one at each process, read, answer, talk and sign for a minute: no error, nothing there
    twice, and the history could have been one after the other.
    """
    everybody = people(night.store, night.settings)
    heard = Heard()
    with night.serve("one") as one, night.serve("other") as other:
        visits = [
            Visit(f"http://{(one, other)[at % 2].address}", person, heard, random.Random(at))  # noqa: S311 - deeds, not secrets
            for at, person in enumerate(everybody)
        ]
        at_once(visits, lambda: time.monotonic() + SECONDS)
    night.store.engine.dispose()
    with night.store.reading() as db:
        faults = [*verify(db).faults, *history.faults(db)]
        revisions = Counter((row.gig_id, row.number) for row in db.exec(select(StoredPlan)))
        comments = len(db.exec(select(Comment.id)).all())
    times_s = [took_s for one in heard.times_s.values() for took_s in one]
    print(  # noqa: T201 - shown with -s
        f"\nprocesses=2 clients={PEOPLE} seconds={SECONDS} requests={len(times_s)} errors={len(heard.errors)}"
        f" p50_ms={percentile(times_s, 0.5):.0f} p95_ms={percentile(times_s, 0.95):.0f} revisions={len(revisions)}"
        f" comments={comments} faults={len(faults)} statuses={dict(sorted(heard.statuses.items()))}"
    )
    assert heard.errors == []
    assert faults == []
    assert max(revisions.values()) == 1
    assert comments == heard.statuses["say 303"]
    assert min(heard.statuses[f"{deed} 303"] for deed in ("answer", "say", "sign")) > 10


@dataclass
class Busy:
    """A database that people write to."""

    settings: Settings
    store: Store
    everybody: list[Person]
    address: str


@pytest.fixture
def busy_file(tmp_path: Path, migrated: Path) -> Iterator[Busy]:
    settings = Settings(tmp_path / "data", "127.0.0.1", 0, "http://127.0.0.1:0")
    settings.data.mkdir()
    settings.database.write_bytes(migrated.read_bytes())
    store = open_store(settings.database)
    open_key(store, settings.key_file)
    everybody = people(store, settings)
    running = start(settings.data, PORTAL_PORT="0")
    address = printed_address(running)
    assert running.stdout is not None
    reader = threading.Thread(target=running.stdout.read)
    reader.start()
    yield Busy(settings, store, everybody, address)
    running.kill()
    running.wait(timeout=60)
    reader.join()
    running.stdout.close()
    store.close()


@pytest.fixture
def busy_server(night: Night) -> Iterator[Busy]:
    with night.serve("one") as one:
        yield Busy(night.settings, night.store, people(night.store, night.settings), f"http://{one.address}")


@pytest.fixture(params=["busy_file", "busy_server"], ids=["sqlite", "postgresql"])
def busy(request: pytest.FixtureRequest) -> Busy:
    return request.getfixturevalue(request.param)


@pytest.mark.soak
def test_ten_backups_while_people_write(busy: Busy, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Each is whole, holds a moment, and is restored; nobody who writes meanwhile meets an error."""
    heard = Heard()
    over = threading.Event()

    def go_on(visit: Visit) -> None:
        while not over.is_set():
            visit.chance.choice([visit.read, visit.answer, visit.say])()

    visits = [
        Visit(busy.address, person, heard, random.Random(at))  # noqa: S311 - deeds, not secrets
        for at, person in enumerate(busy.everybody[:10])
    ]
    threads = [threading.Thread(target=go_on, args=(visit,)) for visit in visits]
    for thread in threads:
        thread.start()
    try:
        made = [admin_commands.run_backup(busy.settings, tmp_path / f"{number}.zip") for number in range(BACKUPS)]
        restored = [
            admin_commands.run_restore(
                replace(busy.settings, data=tmp_path / f"again {number}", server=None), tmp_path / f"{number}.zip"
            )
            for number in range(BACKUPS)
        ]
    finally:
        over.set()
        for thread in threads:
            thread.join()
    heads = [line for line in capsys.readouterr().out.splitlines() if line.startswith("events=")]
    print(  # noqa: T201 - shown with -s
        f"\nbackups={len(made)} faults={sum(made) + sum(restored)} moments={len(set(heads[:BACKUPS]))}"
        f" requests={sum(heard.statuses.values())} errors={len(heard.errors)}"
    )
    assert (made, restored, heard.errors) == ([0] * BACKUPS, [0] * BACKUPS, [])
    # What was restored is what was backed up, and people went on in between.
    assert heads[:BACKUPS] == heads[BACKUPS:]
    assert len(set(heads)) > 1
