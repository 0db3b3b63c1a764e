"""Several processes on one database: each hears what the others saved, what one does no other does meanwhile, and what
one has to leave another takes.
"""

import asyncio
import os
import queue
import signal
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime

import pytest
from sqlalchemy import Connection, text
from sqlalchemy.exc import IntegrityError

from portal.jobs import loop
from portal.settings import Server
from portal.store.accounts.bands import User
from portal.store.database import postgresql as database
from portal.store.database import scopes, together
from portal.store.database.session import Session, Store, news, open_store, wake
from portal.store.database.together import Claims, Listener
from tests import postgresql
from tests.builders import NOW
from tests.store.server.test_server_locks import end_connections

EVERYTHING = "everything"
GIG = scopes.gig("a")


@pytest.fixture
def process(server: Server) -> Iterator[Callable[[], Claims]]:
    """A way to get what stands for one more process."""
    made: list[Claims] = []

    def make() -> Claims:
        made.append(Claims(server))
        made[-1].open()
        return made[-1]

    yield make
    for one in made:
        one.close()


def until(so: Callable[[], bool]) -> None:
    """Wait until something is so; whoever waits for ever is ended by the runner."""
    with postgresql.as_superuser(statements=True) as connection:
        while not so():
            connection.execute(text("SELECT pg_sleep(0.02)"))


def test_what_one_does_no_other_does_meanwhile(process: Callable[[], Claims]) -> None:
    """A claim holds until it is given back; other work is free."""
    one, other = process(), process()
    assert one.take("planning a")
    assert not other.take("planning a")
    assert other.take("planning b")
    one.give_back("planning a")
    assert other.take("planning a")
    assert not one.take("planning a")


def test_whoever_ends_holds_nothing(process: Callable[[], Claims]) -> None:
    """A process that stops gives all of it back, and takes nothing more."""
    one, other = process(), process()
    assert one.take("a")
    one.close()
    until(lambda: other.take("a"))
    assert not one.take("b")
    one.give_back("a")
    assert not process().take("a")


def test_whoever_loses_the_server_begins_anew(store: Store, process: Callable[[], Claims]) -> None:
    """A line that broke holds nothing, on this side either; the next claim has a line of its own, on which the database
    still counts as served.
    """
    one, other = process(), process()
    assert one.take("a")
    end_connections(store)
    for each in (one, other):
        with pytest.raises(database.CannotWrite, match="away"):
            each.take("b")
    assert other.take("a")
    assert not one.take("a")
    one.give_back("a")
    assert not one.take("a")
    with pytest.raises(together.AlreadyServed):
        together.claim_alone(postgresql.program(str(store.engine.url.database)))


def test_whoever_hangs_loses_its_claims(process: Callable[[], Claims], monkeypatch: pytest.MonkeyPatch) -> None:
    """A process that gives no sign of life any more holds up no other for ever."""
    monkeypatch.setattr(together, "SILENT_S", 1)
    monkeypatch.setattr(together, "SIGN_S", 86_400)
    hangs = process()
    monkeypatch.setattr(together, "SILENT_S", 0)  # the server waits for this one for ever
    other = process()
    assert hangs.take("a")
    until(lambda: other.take("a"))


def test_whoever_lives_gives_signs(
    store: Store, process: Callable[[], Claims], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A claim is held however long the work takes: its line is used now and then."""
    monkeypatch.setattr(together, "SIGN_S", 0.01)
    assert process().take("a")
    asked = text("SELECT count(*) FROM pg_stat_activity WHERE datname = :name AND query LIKE 'SELECT $1%AS anon_1'")

    def signs() -> bool:
        with postgresql.as_superuser() as connection:
            return bool(connection.execute(asked, {"name": store.engine.url.database}).scalar_one())

    until(signs)


@pytest.fixture
def heard(server: Server) -> Iterator["queue.SimpleQueue[str]"]:
    """What another process hears, once it listens."""
    said: queue.SimpleQueue[str] = queue.SimpleQueue()
    listener = Listener(server)
    listener.start(said.put, lambda: said.put(EVERYTHING))
    assert said.get(timeout=60) == EVERYTHING
    yield said
    listener.close()


def save(store: Store, gig_id: str) -> None:
    with store.writing(GIG) as db:
        news(db, gig_id)


def refused(store: Store) -> None:
    """A change that the database refuses when it is to be saved."""
    with store.open(scopes.EVERYTHING, to_write=True) as db:
        for _ in range(2):
            db.add(User(email="ada@band.example", name="Ada", password_hash="", created=NOW))
        news(db, "refused")
        with pytest.raises(IntegrityError):
            db.commit()


def test_others_hear_what_is_saved(store: Store, heard: "queue.SimpleQueue[str]") -> None:
    """A gig is told with the commit, that a job is due as well; what is not saved is told to nobody."""
    save(store, "a")
    with store.open(GIG, to_write=True) as db:
        news(db, "undone")
        db.rollback()
    with store.writing(GIG) as db:
        wake(db, "planning", "a")
    save(store, "b")
    assert [heard.get(timeout=60) for _ in range(3)] == ["a", "", "b"]


def right(_planted: pytest.MonkeyPatch, _server: Server) -> None:
    """As it is."""


def told_outside(planted: pytest.MonkeyPatch, server: Server) -> None:
    """The others are told in a transaction of its own, before this one has come to its end."""
    engine = database.patient_engine_of(server)

    def tell(_connection: Connection, gig_ids: Iterable[str]) -> None:
        with engine.begin() as other:
            TELL(other, gig_ids)

    planted.setattr(database, "tell", tell)


TELL = database.tell


@pytest.mark.parametrize("mistake", [right, told_outside])
def test_what_is_told_outside_its_transaction_is_found(
    server: Server,
    heard: "queue.SimpleQueue[str]",
    monkeypatch: pytest.MonkeyPatch,
    mistake: Callable[[pytest.MonkeyPatch, Server], None],
) -> None:
    """A change that was refused is told to nobody; where it were told outside its transaction this would show it."""
    mistake(monkeypatch, server)
    store = open_store(server)
    refused(store)
    save(store, "a")
    assert heard.get(timeout=60) == ("a" if mistake is right else "refused")
    store.close()


def test_a_file_tells_nobody(file_store: Store) -> None:
    """On a file nothing is asked for it."""
    with file_store.writing(GIG) as db:
        news(db, "a")
        assert isinstance(db, Session)
        assert db.info["tell"] is None


def test_whoever_was_deaf_looks_at_everything(store: Store, heard: "queue.SimpleQueue[str]") -> None:
    """When the server comes back, so does the listener; what was said meanwhile may be lost, so all is looked at."""
    end_connections(store)
    assert heard.get(timeout=60) == EVERYTHING
    save(store, "a")
    assert heard.get(timeout=60) == "a"


LISTENS = text("SELECT pid FROM pg_stat_activity WHERE datname = :name AND query ~ '^(LISTEN|NOTIFY) portal_sign'")


@contextmanager
def silent(name: str) -> Iterator[None]:
    """A database's server says nothing more to whoever listens, and ends no line either."""
    with postgresql.as_superuser() as connection:
        frozen: list[int] = []
        while not frozen:
            frozen = list(connection.execute(LISTENS, {"name": name}).scalars())
            connection.rollback()
    for one in frozen:
        os.kill(one, signal.SIGSTOP)
    try:
        yield
    finally:
        for one in frozen:
            os.kill(one, signal.SIGCONT)


def test_a_line_on_which_nothing_is_heard_is_found(
    store: Store, server: Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A line that was not cut, and on which the server is silent, is not taken for one that hears; what was said
    meanwhile comes once the server goes on.
    """
    monkeypatch.setattr(together, "SURE_S", 0.1)
    monkeypatch.setattr(together, "LOOK_S", 0.05)
    said: queue.SimpleQueue[str] = queue.SimpleQueue()
    listener = Listener(server)
    listener.start(said.put, lambda: said.put(EVERYTHING))
    assert said.get(timeout=60) == EVERYTHING
    until(lambda: listener.unsure_s() < 1)
    with silent(str(store.engine.url.database)):
        until(lambda: listener.unsure_s() > 2)
        save(store, "a")
    until(lambda: listener.unsure_s() < 1)
    assert said.get(timeout=60) == "a"
    listener.close()


def test_nothing_is_lost_while_it_is_made_sure(store: Store, server: Server, monkeypatch: pytest.MonkeyPatch) -> None:
    """What comes in while a process listens to itself is heard too, in its order."""
    monkeypatch.setattr(together, "SURE_S", 0.0)
    monkeypatch.setattr(together, "LOOK_S", 0.001)
    said: queue.SimpleQueue[str] = queue.SimpleQueue()
    listener = Listener(server)
    listener.start(said.put, lambda: None)
    until(lambda: listening(str(store.engine.url.database)))
    told = [f"gig {number}" for number in range(100)]
    for one in told:
        save(store, one)
    assert [said.get(timeout=60) for _ in told] == told
    listener.close()


def listening(name: str) -> bool:
    with postgresql.as_superuser() as connection:
        return bool(connection.execute(LISTENS, {"name": name}).all())


@dataclass
class Hands:
    """What a loop of jobs works with."""

    store: Store
    claims: Claims | None
    clock: Callable[[], datetime] = lambda: NOW


def no_claim(planted: pytest.MonkeyPatch) -> None:
    """Each process does what is due, whoever does it already."""
    planted.setattr(Claims, "take", lambda *_anything: True)


def no_second_look(planted: pytest.MonkeyPatch) -> None:
    """What was due before the claim is done, though it may have been done since."""
    planted.setattr(loop, "OTHERS_S", 0.01)

    async def still(_hands: object, job: loop.Job[Hands]) -> list[str]:
        return ["a"] if job.due(None, NOW) is not None else []

    planted.setattr(loop, "_due", still)


def as_it_is(planted: pytest.MonkeyPatch) -> None:
    """The same waits, without a mistake."""
    planted.setattr(loop, "OTHERS_S", 0.01)


@pytest.mark.parametrize("mistake", [as_it_is, no_claim, no_second_look])
def test_each_mistake_in_sharing_the_work_is_found(
    store: Store,
    process: Callable[[], Claims],
    monkeypatch: pytest.MonkeyPatch,
    mistake: Callable[[pytest.MonkeyPatch], None],
) -> None:
    """What two processes find due is done once; without the claim, or without a look once it is held, it is not."""
    mistake(monkeypatch)
    due, did, refused = ["a"], [0], [0]
    take = Claims.take

    def counted(self: Claims, what: str) -> bool:
        taken = take(self, what)
        refused[0] += not taken
        return taken

    monkeypatch.setattr(Claims, "take", counted)

    async def do(_hands: object, _one: str) -> float:
        did[0] += 1
        while did[0] == 1 and not refused[0]:  # noqa: ASYNC110 - another thread counts
            await asyncio.sleep(0.01)
        due.clear()
        return 0.0

    async def go() -> None:
        job = loop.Job("work", lambda _db, _now: tuple(due), do)
        loops = [loop.Jobs((job,)) for _ in range(2)]
        hands = [Hands(store, process()) for _ in loops]
        at_work = [asyncio.create_task(one.run(with_)) for one, with_ in zip(loops, hands, strict=True)]
        while due or (mistake is not as_it_is and did[0] < 2):  # noqa: ASYNC110 - the same
            await asyncio.sleep(0.01)
        for one in at_work:
            one.cancel()
        await asyncio.gather(*at_work, return_exceptions=True)

    # Not every thread of the tests is free of a loop of its own.
    with ThreadPoolExecutor(1) as another:
        another.submit(asyncio.run, go()).result()
    assert (did[0] == 1) == (mistake is as_it_is)
