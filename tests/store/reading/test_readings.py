"""What stored texts hold is read once by a process, within bounds, and forgotten where something is erased."""

import pytest

from portal.store.database import readings
from portal.store.database.readings import READINGS, Readings
from portal.store.database.session import Store


class Reader:
    """Reads a text as its length, and keeps what it was asked for."""

    def __init__(self) -> None:
        self.asked: list[str] = []

    def __call__(self, text: str) -> int:
        self.asked.append(text)
        return len(text)


@pytest.fixture
def read() -> Reader:
    return Reader()


def test_a_text_is_read_once_by_each_reader(read: Reader) -> None:
    """Who asks again gets what was found; another reader of the same text reads by itself."""
    held, other = Readings(), Reader()
    assert [held.of(one, "abc") for one in (read, read, other)] == [3, 3, 3]
    assert (read.asked, other.asked) == (["abc"], ["abc"])


def test_what_was_asked_for_longest_ago_goes_first(read: Reader) -> None:
    """All texts together have no more characters than the bound."""
    held = Readings(most_characters=6)
    for text in ("aaa", "bbb", "aaa", "ccc", "aaa", "bbb"):
        held.of(read, text)
    assert read.asked == ["aaa", "bbb", "ccc", "bbb"]


def test_a_text_that_is_longer_than_the_bound_is_read_each_time(read: Reader) -> None:
    """It is not held, and whatever else was held goes."""
    held = Readings(most_characters=2)
    assert [held.of(read, "abc") for _ in range(2)] == [3, 3]
    assert read.asked == ["abc", "abc"]


def test_what_was_begun_before_everything_was_forgotten_is_not_held() -> None:
    """Somebody reads a text while it is erased: the next one reads anew."""
    held, asked = Readings(), []

    def read(text: str) -> str:
        asked.append(text)
        held.forget()
        return text

    assert [held.of(read, "name") for _ in range(2)] == ["name", "name"]
    assert asked == ["name", "name"]


def test_nothing_is_held_for_long(read: Reader, monkeypatch: pytest.MonkeyPatch) -> None:
    """Another process may have erased it."""
    now = 1.0
    monkeypatch.setattr(readings, "monotonic", lambda: now)
    held = Readings()
    held.of(read, "abc")
    now += readings.LASTS_S + 1
    held.of(read, "abc")
    assert read.asked == ["abc", "abc"]


def test_what_is_written_anew_after_an_erasure_forgets_what_was_read(store: Store, read: Reader) -> None:
    """The file and this process forget together."""
    READINGS.of(read, "name")
    store.compact()
    READINGS.of(read, "name")
    assert read.asked == ["name", "name"]


class Maker:
    """Makes a number, another one each time."""

    def __init__(self) -> None:
        self.made = 0

    def __call__(self) -> int:
        self.made += 1
        return self.made


def test_what_follows_is_made_once_for_what_is_given() -> None:
    """The same things of the same value give the same; anything else is made anew, and takes its place."""
    held, make, thing = Readings(), Maker(), ["plan"]
    asked = [("lines", ("a", 1)), ("lines", ("a", 1)), ("stage", ("a", 1)), ("lines", ("b", 1)), ("lines", ("a", 1))]
    assert [held.following(thing, what, given, make) for what, given in asked] == [1, 1, 2, 3, 4]


def test_what_follows_is_of_one_thing() -> None:
    """Two things that are equal are two: what follows is held with the thing, so that no other has its number."""
    held, make = Readings(), Maker()
    assert [held.following([], "lines", (), make) for _ in range(100)] == list(range(1, 101))


def test_of_what_follows_the_longest_unasked_goes_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """There are no more of them than the bound."""
    monkeypatch.setattr(readings, "MOST_FOLLOWING", 2)
    held, make, thing = Readings(), Maker(), ["plan"]
    assert [held.following(thing, what, (), make) for what in "abacab"] == [1, 2, 1, 3, 1, 4]


def test_what_follows_is_forgotten_with_what_was_read() -> None:
    """What is being made meanwhile too."""
    held, make, thing = Readings(), Maker(), ["plan"]

    def made() -> int:
        held.forget()
        return make()

    assert [held.following(thing, "lines", (), one) for one in (made, make, make)] == [1, 2, 2]
    held.forget()
    assert held.following(thing, "lines", (), make) == 3
