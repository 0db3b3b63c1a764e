"""A year: the gigs of a band and the typical rooms that stand for more of them, each counted once."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path

from portal.exchange.checking import ControlCharacters, tidy_text
from portal.exchange.faults import Fault, NotReadable, came, path_of
from portal.exchange.files import ANSWERS_SCHEMA, document_to_answers, read_file
from portal.plan import QUESTIONS
from portal.plan.input.facts import Answers
from portal.plan.input.line_up import AS_THE_RIG, LineUp

MOST_ROOMS = 60
"""Different rooms of one year; equal ones count once."""

MOST_COUNT = 400
MOST_NAME = 120
MOST_MINUTES = 600

YEAR_KEYS = ("schema", "name", "minutes", "room")
ROOM_KEYS = ("name", "count", "on", "configuration", "answers")


@dataclass(frozen=True)
class Room:
    """A gig, or a typical room that stands for ``count`` of them. ``on``: an ISO date or empty; ``gig_id`` where it is
    a gig of the portal's. ``line_up``: who plays that night, where it differs from the rig.
    """

    name: str
    count: int
    on: str
    configuration: str
    answers: Answers
    gig_id: str = ""
    line_up: LineUp = AS_THE_RIG


@dataclass(frozen=True)
class Year:
    """What rigs are compared over. ``minutes``: for plugging in between two acts, where the band says so."""

    name: str
    rooms: tuple[Room, ...]
    minutes: int | None = None

    @property
    def gigs(self) -> int:
        """How many gigs there are."""
        return sum(room.count for room in self.rooms)

    @property
    def different(self) -> int:
        """How many of the rooms differ in anything that a plan reads."""
        return len({(room.configuration, room.line_up, said(room.answers)) for room in self.rooms})


def said(answers: Answers) -> tuple[tuple[str, str, object, str], ...]:
    """The answers as a plan reads them: without days, and without words that only people read."""
    return tuple((key, one.state, one.value, one.by) for key, one in sorted(plain(answers).items()))


def plain(answers: Answers) -> Answers:
    """The answers that a plan reads, without the days on which they were given: equal rooms have equal ones."""
    return {key: replace(one, on="") for key, one in answers.items() if not QUESTIONS[key].free_words}


def faults_of(year: Year) -> tuple[str, ...]:
    """Why a year cannot be compared, in sentences; empty where it can."""
    if not year.rooms:
        return ("There is no gig to compare at. Add a gig or a typical room.",)
    if year.different > MOST_ROOMS:
        many = f"There are {year.different} different rooms; {MOST_ROOMS} at most can be compared"
        return (f"{many}, equal ones counted once. Choose a shorter span.",)
    return ()


def read_year(path: Path) -> Year:
    """The year in a TOML or JSON file. Raises ``NotReadable`` with every fault."""
    return document_to_year(read_file(path))


def document_to_year(document: object) -> Year:
    """The year that a document describes. Raises ``NotReadable`` with every fault."""
    if not isinstance(document, Mapping):
        raise NotReadable([Fault("", "a table", came(document))])
    found: list[Fault] = list(_unknown(document, YEAR_KEYS, ()))
    if document.get("schema") != 1 or isinstance(document.get("schema"), bool):
        missing = "nothing: the key is missing"
        found.append(Fault("schema", "the number 1", came(document["schema"]) if "schema" in document else missing))
    name = _text(document.get("name", ""), ("name",), found)
    minutes = document.get("minutes")
    if minutes is not None:
        minutes = _whole(minutes, 1, MOST_MINUTES, ("minutes",), found)
    listed = document.get("room", [])
    if not isinstance(listed, Sequence) or isinstance(listed, str):
        found.append(Fault("room", "a list of tables", came(listed)))
        listed = []
    rooms = [_room(one, number, found) for number, one in enumerate(listed)]
    year = Year(name, tuple(room for room in rooms if room is not None), minutes)
    if not found:
        found += [Fault("room", said=sentence) for sentence in faults_of(year)]
    if found:
        raise NotReadable(found)
    return year


def _room(entry: object, number: int, found: list[Fault]) -> Room | None:
    if not isinstance(entry, Mapping):
        found.append(Fault(path_of(["room", number]), "a table", came(entry)))
        return None
    at = ("room", number)
    found += _unknown(entry, ROOM_KEYS, at)
    name = _text(entry.get("name", ""), (*at, "name"), found)
    if not name:
        found.append(Fault(path_of([*at, "name"]), "the name of a gig or room", came(entry.get("name"))))
    count = _whole(entry.get("count", 1), 1, MOST_COUNT, (*at, "count"), found)
    answers: Answers = {}
    given = entry.get("answers", {})
    if isinstance(given, Mapping):
        try:
            answers = document_to_answers({"schema": ANSWERS_SCHEMA, **given})
        except NotReadable as error:
            found += [
                replace(fault, path=f"{path_of([*at, 'answers'])}.{fault.path}".rstrip(".")) for fault in error.faults
            ]
    else:
        found.append(Fault(path_of([*at, "answers"]), "a table of answers", came(given)))
    configuration = _text(entry.get("configuration", ""), (*at, "configuration"), found)
    return Room(name, count, _day(entry.get("on", ""), (*at, "on"), found), configuration, answers)


def _unknown(table: Mapping[str, object], known: Sequence[str], at: tuple[str | int, ...]) -> list[Fault]:
    return [
        Fault(path_of([*at, str(name)]), "one of: " + ", ".join(known), "a key that nothing reads")
        for name in table
        if name not in known
    ]


def _text(value: object, at: tuple[str | int, ...], found: list[Fault]) -> str:
    try:
        text = tidy_text(value)
    except ControlCharacters:
        found.append(Fault(path_of(at), "text without control characters", "control characters"))
        return ""
    if not isinstance(text, str) or len(text) > MOST_NAME:
        found.append(Fault(path_of(at), f"a text of at most {MOST_NAME} characters", came(value)))
        return ""
    return text.strip()


def _whole(value: object, lo: int, hi: int, at: tuple[str | int, ...], found: list[Fault]) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not lo <= value <= hi:
        found.append(Fault(path_of(at), f"a whole number from {lo} to {hi}", came(value)))
        return lo
    return value


def _day(value: object, at: tuple[str | int, ...], found: list[Fault]) -> str:
    if isinstance(value, dt.date) and not isinstance(value, dt.datetime):
        return value.isoformat()
    if value == "":
        return ""
    if isinstance(value, str):
        with suppress(ValueError):
            return dt.date.fromisoformat(value).isoformat()
    found.append(Fault(path_of(at), "a date such as 2026-11-20", came(value)))
    return ""
