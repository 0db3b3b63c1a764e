"""Tries counted over several processes: many at once are no more than many in a row, and nobody's address is kept."""

import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest
from sqlalchemy import text
from sqlmodel import select

from portal.settings import Server
from portal.store.database import brakes
from portal.store.database.brakes import LONGEST, Brake, Brakes
from portal.store.database.session import Store
from portal.web.frame.rate_limiter import RateLimiter

KEY = b"k" * 32


@pytest.fixture
def shared(server: Server) -> Iterator[list[Brakes]]:
    """What two processes count by."""
    made = [Brakes(server, KEY) for _ in range(2)]
    yield made
    for one in made:
        one.close()


def limiters(shared: list[Brakes], window_s: float = 900) -> list[RateLimiter]:
    """One limiter of two processes."""
    return [RateLimiter(most=10, window_s=window_s, kind="sign in", brakes=one) for one in shared]


@pytest.mark.parametrize("waits", [True, False])
def test_many_at_once_are_no_more_than_many_in_a_row(
    shared: list[Brakes], monkeypatch: pytest.MonkeyPatch, *, waits: bool
) -> None:
    """Forty at once at two processes: ten are heard, however long each looks before it counts. Where nobody waits for
    the others, more are.
    """
    if not waits:
        monkeypatch.setattr(brakes, "_LOCK", text("SELECT :locked"))
    look = brakes._wait_s

    def look_for_long(*asked: object) -> int:
        found = look(*asked)
        time.sleep(0.05)
        return found

    monkeypatch.setattr(brakes, "_wait_s", look_for_long)
    both = limiters(shared)
    with ThreadPoolExecutor(8) as many:
        heard = [wait_s for wait_s in many.map(lambda number: both[number % 2].take("ada"), range(40)) if not wait_s]
    assert (len(heard) == 10) is waits
    assert 0 < both[0].wait_s("ada") <= 901


def test_places_are_given_back(shared: list[Brakes]) -> None:
    """One place at a time, or all of them; other names and other kinds have their own."""
    one, other = limiters(shared)
    other_kind = RateLimiter(most=1, window_s=900, kind="link", brakes=shared[0])
    assert [one.take("ada") for _ in range(10)] == [0] * 10
    assert other.take("ada") > 0
    assert other_kind.take("ada") == 0
    assert other.take("bo") == 0
    other.give_back("ada")
    assert (one.take("ada"), other.wait_s("ada") > 0) == (0, True)
    one.forget("ada")
    assert other.wait_s("ada") == 0


def test_what_is_past_is_forgotten(store: Store, shared: list[Brakes]) -> None:
    """A try past its window counts no more and goes with the next one of its name; what nobody comes back to goes with
    the daily round. Names stand there as hashes.
    """
    one, other = limiters(shared, window_s=0)
    assert [process.take("ada of the lanterns") for process in (one, other) * 6] == [0] * 12
    with store.writing() as db:
        (row,) = db.exec(select(Brake)).all()
        assert "ada" not in str(row)
        brakes.forget_past(db, row.at + LONGEST - timedelta(seconds=1))
        assert len(db.exec(select(Brake)).all()) == 1
        brakes.forget_past(db, row.at + LONGEST)
        assert db.exec(select(Brake)).all() == []
