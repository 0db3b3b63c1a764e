"""Scopes on a server: who writes to the same takes turns, who writes to others does not wait, and each mistake that
would lose something is found.
"""

import threading
from collections.abc import Callable, Iterator

import pytest
from sqlalchemy import event, text
from sqlalchemy.exc import IntegrityError
from sqlmodel import select

from portal.store.accounts import bands
from portal.store.database import postgresql as server
from portal.store.database import scopes
from portal.store.database.refusals import CannotWrite
from portal.store.database.scopes import EVERYTHING, Scope
from portal.store.database.session import Session, Store, open_store
from portal.store.gigs import Gig
from portal.store.plans import StoredPlan
from portal.store.record import events
from tests import postgresql
from tests.builders import NOW, a_band, a_gig, a_link, a_plan
from tests.store import history

WRITERS, ROUNDS = 4, 6


@pytest.fixture
def gigs(store: Store) -> list[Gig]:
    """Two gigs of one band."""
    with store.writing() as db:
        band = a_band(db)
        made = [a_gig(db, band) for _ in range(2)]
        for gig in made:
            a_link(db, gig, band)
    return made


def all_at_once(writers: list[Callable[[], None]]) -> list[BaseException]:
    """What went wrong while some wrote at once."""
    found: list[BaseException] = []

    def run(write: Callable[[], None]) -> None:
        try:
            write()
        except BaseException as error:  # noqa: BLE001 - whatever it is
            found.append(error)

    threads = [threading.Thread(target=run, args=(write,)) for write in writers]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    return found


def write_plans(store: Store, gigs: list[Gig]) -> list[BaseException]:
    """Each writer adds plans to one gig after the other, numbered by what it reads."""

    def writer(turn: int) -> Callable[[], None]:
        def write() -> None:
            for number in range(ROUNDS):
                gig = gigs[(turn + number) % len(gigs)]
                with store.writing(scopes.gig(gig.id)) as db:
                    a_plan(db, gig, content_hash=f"{turn}-{number}".ljust(64, "0"))

        return write

    return all_at_once([writer(turn) for turn in range(WRITERS)])


def counted(store: Store, gigs: list[Gig]) -> list[list[int]]:
    with store.reading() as db:
        return [numbers(db, gig) for gig in gigs]


def numbers(db: Session, gig: Gig) -> list[int]:
    return sorted(db.exec(select(StoredPlan.number).where(StoredPlan.gig_id == gig.id)))


def test_who_writes_to_the_same_gig_takes_turns(store: Store, gigs: list[Gig]) -> None:
    """Many writers to two gigs lose no plan and no number, and the chain tells what happened."""
    assert write_plans(store, gigs) == []
    each = list(range(1, WRITERS * ROUNDS // 2 + 1))
    assert counted(store, gigs) == [each, each]
    with store.reading() as db:
        assert history.faults(db) == []
        print(f"\nwriters={WRITERS} plans={len(each) * 2} events={events.head(db)[0]} faults=0")  # noqa: T201 - shown with -s


def no_lock(planted: pytest.MonkeyPatch) -> None:
    """Nobody waits for a scope."""
    planted.setattr(server, "lock", lambda *_anything: None)


def one_moment(planted: pytest.MonkeyPatch) -> None:
    """Whoever writes sees the moment of its first statement, which is older than its lock."""
    planted.setattr(server, "WRITING", {"isolation_level": "REPEATABLE READ"})


def other_names(planted: pytest.MonkeyPatch) -> None:
    """Each waits for a lock of its own."""
    names = iter(range(10**6))
    lock = server.lock
    planted.setattr(server, "lock", lambda connection, _scopes: lock(connection, {Scope("x", str(next(names)))}))


def right(_planted: pytest.MonkeyPatch) -> None:
    """As it is."""


@pytest.mark.parametrize("mistake", [no_lock, one_moment, other_names, right])
def test_each_planted_mistake_is_found(
    store: Store, gigs: list[Gig], monkeypatch: pytest.MonkeyPatch, mistake: Callable[[pytest.MonkeyPatch], None]
) -> None:
    """A writer that waits for nothing, too late or for the wrong thing takes a number that is taken; without a mistake
    it does not.
    """
    mistake(monkeypatch)
    tried = open_store(postgresql.program(store.engine.url.database))
    gig = gigs[0]

    def write() -> None:
        with tried.writing(scopes.gig(gig.id)) as db:
            a_plan(db, gig)

    found: list[BaseException] = []
    with tried.open(scopes.gig(gig.id), to_write=True) as first:
        a_plan(first, gig)
        second = threading.Thread(target=lambda: found.extend(all_at_once([write])))
        second.start()
        until_somebody_waits(tried)
        first.commit()
    second.join()
    tried.close()
    assert ["uq_plan_gig_id_number" in str(one) for one in found] == ([] if mistake is right else [True])


def until_somebody_waits(store: Store) -> None:
    """Return once somebody waits for a lock in a database."""
    name = store.engine.url.database
    asked = text("SELECT count(*) FROM pg_stat_activity WHERE datname = :name AND wait_event_type = 'Lock'")
    with postgresql.as_superuser(statements=True) as connection:
        while not connection.execute(asked, {"name": name}).scalar_one():
            connection.execute(text("SELECT pg_sleep(0.01)"))


@pytest.fixture
def waiting(store: Store) -> Iterator[Callable[[Scope, Scope], bool]]:
    """Whether who writes to the second has to wait for who writes to the first."""
    impatient = open_store(postgresql.program(store.engine.url.database))
    impatient.engine.dispose()

    @event.listens_for(impatient.engine, "connect")
    def hurry(connection, _entry) -> None:
        connection.execute("SET lock_timeout = '50ms'")
        connection.commit()

    def waits(held: Scope, wanted: Scope) -> bool:
        with store.open(held, to_write=True) as holder:
            holder.connection()
            try:
                with impatient.writing(wanted) as db:
                    db.connection()
            except CannotWrite as error:
                return error.why == "busy"
            return False

    yield waits
    impatient.close()


def test_who_waits_for_whom(waiting: Callable[[Scope, Scope], bool]) -> None:
    """The same scope waits, another does not; whoever takes everything waits for everybody, and everybody for them."""
    one, other = scopes.gig("a"), scopes.gig("b")
    assert waiting(one, one)
    assert not waiting(one, other)
    assert not waiting(one, scopes.band("a"))
    assert waiting(EVERYTHING, one)
    assert waiting(one, EVERYTHING)
    assert waiting(EVERYTHING, EVERYTHING)


def test_who_hangs_in_a_transaction_loses_its_scopes(
    store: Store, gigs: list[Gig], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A process that is frozen while it holds a gig holds up no other for longer than the limit; what it had written is
    undone, and it is told once it goes on.
    """
    monkeypatch.setattr(server, "LIMITS", server.LIMITS.replace("session_timeout=60s", "session_timeout=1s"))
    frozen = open_store(postgresql.program(store.engine.url.database))
    gig = gigs[0]

    def resume() -> None:
        with frozen.writing(scopes.gig(gig.id)) as db:
            db.connection()
            a_plan(db, gig)
            with store.writing(scopes.gig(gig.id)) as other:
                a_plan(other, gig, content_hash="b" * 64)

    with pytest.raises(CannotWrite, match="away"):
        resume()
    frozen.close()
    assert counted(store, [gig]) == [[1]]


def test_a_scope_taken_later_is_waited_for(store: Store, gigs: list[Gig]) -> None:
    """What a transaction takes after it has begun is held until its end, and no longer."""
    with store.open(scopes.gig(gigs[0].id), to_write=True) as db:
        db.connection()
        scopes.take(db, scopes.gig(gigs[1].id))
        assert held(store) == 3
        db.commit()
    assert held(store) == 0


def held(store: Store) -> int:
    """How many locks are held by scopes."""
    with postgresql.as_superuser(store.engine.url.database) as connection:
        here = "locktype = 'advisory' AND database = (SELECT oid FROM pg_database WHERE datname = current_database())"
        return connection.execute(text(f"SELECT count(*) FROM pg_locks WHERE {here}")).scalar_one()  # noqa: S608


def test_who_only_reads_sees_one_moment_and_writes_nothing(store: Store, gigs: list[Gig]) -> None:
    """What others save meanwhile is not seen, and a stray write fails loudly."""
    with store.reading() as db:
        before = numbers(db, gigs[0])
        with store.writing(scopes.gig(gigs[0].id)) as writer:
            a_plan(writer, gigs[0])
        assert numbers(db, gigs[0]) == before
        with pytest.raises(Exception, match="read-only transaction"):
            db.connection().execute(text("DELETE FROM form_key"))


def test_two_that_wait_for_each_other_are_told(store: Store, gigs: list[Gig]) -> None:
    """Of two that take the same scopes in another order one is undone and told that the portal is busy."""
    one, other = (scopes.gig(gig.id) for gig in gigs)
    meet = threading.Barrier(2)

    def writer(first: Scope, second: Scope) -> Callable[[], None]:
        def write() -> None:
            with store.writing(first) as db:
                db.connection()
                meet.wait()
                scopes.take(db, second)

        return write

    found = all_at_once([writer(one, other), writer(other, one)])
    assert [error.why for error in found if isinstance(error, CannotWrite)] == ["busy"]
    assert len(found) == 1


def test_a_value_is_told_by_no_error(store: Store) -> None:
    """What somebody typed stands in no error, though the server says it."""

    def add(db: Session) -> None:
        bands.add_user(db, email="canary@band.example", name="Ada", password_hash="", now=NOW)
        db.flush()

    with store.writing() as db:
        add(db)
    with store.writing() as db:
        with pytest.raises(IntegrityError) as caught:
            add(db)
        db.rollback()
    told = ""
    error: BaseException | None = caught.value
    while error is not None:
        told += f"{error} {error!r}"
        error = error.__cause__ or error.__context__
    assert "uq_user_email" in told
    assert "canary" not in told


def test_a_server_that_goes_away_is_told(store: Store, gigs: list[Gig]) -> None:
    """A connection that ends before a commit saved nothing; one that ends in it may have, and that is said."""
    gig = gigs[0]

    def lose(*, early: bool) -> None:
        with store.writing(scopes.gig(gig.id)) as db:
            a_plan(db, gig)
            if not early:
                db.info["events"].clear()
            end_connections(store)
            if early:
                db.connection().execute(text("SELECT 1"))

    with pytest.raises(CannotWrite, match="away"):
        lose(early=True)
    with pytest.raises(CannotWrite, match="unsure"):
        lose(early=False)
    with store.writing(scopes.gig(gig.id)) as db:
        a_plan(db, gig)
    assert counted(store, [gig]) == [[1]]


def test_a_line_that_ended_while_nobody_used_it_is_told_to_nobody(store: Store, gigs: list[Gig]) -> None:
    """After a restart of the server the next one who asks has an answer: lines that lay ready are tried first."""
    end_connections(store)
    assert counted(store, gigs) == [[], []]


def end_connections(store: Store) -> None:
    """What a restart of the server does to a portal."""
    with postgresql.as_superuser() as connection:
        name = store.engine.url.database
        asked = text("SELECT pg_terminate_backend(pid, 60000) FROM pg_stat_activity WHERE datname = :name")
        connection.execute(asked, {"name": name})
