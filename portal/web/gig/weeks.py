"""The next eight weeks as one line, with the gigs on it at their days."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

DAYS = 56
NEAR = 6
"""Days in which two marks would cover each other on a phone: the later one stands above the line."""


@dataclass(frozen=True)
class Tick:
    """The Monday of a week, ``at`` so many hundredths of the line."""

    at: float
    words: str


@dataclass(frozen=True)
class Mark:
    """A gig ``at`` its day; ``above`` the line where another one stands beside it."""

    at: float
    days: int
    turn: str
    above: bool


@dataclass(frozen=True)
class Weeks:
    """What is on the line."""

    ticks: tuple[Tick, ...]
    marks: tuple[Mark, ...]


def weeks(today: date, gigs: Iterable[tuple[int, str]]) -> Weeks | None:
    """The line from today on; ``gigs``: days left and whose turn, the next first. ``None`` where fewer than two are on
    it.
    """
    monday = today + timedelta(days=-today.weekday() % 7)
    mondays = [monday + timedelta(days=7 * week) for week in range(DAYS // 7)]
    marks: list[Mark] = []
    for days, turn in gigs:
        if 0 <= days <= DAYS:
            beside = bool(marks) and days - marks[-1].days < NEAR and not marks[-1].above
            marks.append(Mark(_at(days), days, turn, beside))
    ticks = tuple(Tick(_at((one - today).days), f"{one.day} {one:%b}") for one in mondays)
    return Weeks(ticks, tuple(marks)) if len(marks) > 1 else None


def _at(days: int) -> float:
    return round(4 + 92 * days / DAYS, 2)
