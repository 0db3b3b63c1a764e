"""Dates and times of a gig as people write and read them. Minutes after the date's local midnight are the truth."""

import re
from collections.abc import Iterable, Mapping
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from importlib.resources import files
from zoneinfo import ZoneInfo

DAY = 24 * 60
LATEST = 2 * DAY - 1
"""Minutes; a gig ends before the second midnight after its date (common practice, no source)."""

TIME_WORDS: Mapping[str, str] = {
    "load-in": "Load-in",
    "sound-check": "Sound check",
    "doors": "Doors",
    "changeover": "Changeover",
    "set": "Set",
    "curfew": "Curfew",
}


def say_date(day: date) -> str:
    """A date as "Sat 5 Dec 2026"."""
    return f"{day:%a} {day.day} {day:%b %Y}"


def say_moment(moment: datetime, zone: str) -> str:
    """A moment in a time zone as "Sat 5 Dec 2026, 19:04"."""
    local = moment.astimezone(ZoneInfo(zone))
    return f"{say_date(local.date())}, {local:%H:%M}"


def say_exactly(moment: datetime, zone: str) -> str:
    """A moment with the offset from UTC, for what is signed: "Sat 5 Dec 2026, 19:04 (UTC+01:00)"."""
    return f"{say_moment(moment, zone)} (UTC{moment.astimezone(ZoneInfo(zone)).isoformat()[-6:]})"


def say_clock(moment: datetime, zone: str) -> str:
    """The time of day of a moment where the gig is: "14:02"."""
    return f"{moment.astimezone(ZoneInfo(zone)):%H:%M}"


def write_minutes(minutes: int) -> str:
    """Minutes after midnight as a form holds them: "25:30"."""
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def say_minutes(minutes: int) -> str:
    """Minutes after midnight as people read them: "01:30 next day"."""
    return write_minutes(minutes) if minutes < DAY else f"{write_minutes(minutes - DAY)} next day"


def moved_words(was: Mapping[str, int | None], now: Mapping[str, int]) -> str:
    """Which times changed after signing, in one sentence; empty where none did."""

    def say(minutes: int | None) -> str:
        return "not set" if minutes is None else say_minutes(minutes)

    moved = "; ".join(f"{TIME_WORDS[key]} was {say(before)}, now {say(now.get(key))}" for key, before in was.items())
    return f"Times changed after signing: {moved}." if moved else ""


def read_minutes(text: str) -> int | None:
    """Minutes after midnight from "19:00", "19.00", "1900", "7pm", "7:30 pm", "25:30" or "1:30 next day"; ``None``
    where it is none of these.
    """
    plain = text.strip().lower().replace("next day", "+1").replace(" ", "")
    halved = re.fullmatch(r"(1[0-2]|0?[1-9])([:.]?[0-5]\d)?([ap])\.?m\.?(\+1)?", plain, re.ASCII)
    if halved is not None:
        hour = int(halved[1]) % 12 + (12 if halved[3] == "p" else 0)
        plain = f"{hour}{halved[2] or ':00'}{halved[4] or ''}"
    match = re.fullmatch(r"(\d{1,2})(?:[:.h]?(\d{2}))(\+1)?", plain, re.ASCII) or re.fullmatch(
        r"(\d{1,2})()(\+1)?", plain, re.ASCII
    )
    if match is None:
        return None
    hours, minutes, next_day = int(match.group(1)), int(match.group(2) or 0), match.group(3) is not None
    total = hours * 60 + minutes + (DAY if next_day else 0)
    return total if minutes < 60 and total <= LATEST else None  # noqa: PLR2004 - minutes of an hour


def moment_of(on: date, minutes: int, zone: str) -> datetime:
    """The moment in UTC. Where clocks go back and the hour comes twice, the first one."""
    wall = datetime.combine(on, time()) + timedelta(minutes=minutes)
    return wall.replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)


def is_skipped(on: date, minutes: int, zone: str) -> bool:
    """True where clocks go forward and the time does not exist that night."""
    wall = datetime.combine(on, time()) + timedelta(minutes=minutes)
    return moment_of(on, minutes, zone).astimezone(ZoneInfo(zone)).replace(tzinfo=None) != wall


def comes_twice(on: date, minutes: int, zone: str) -> bool:
    """True where clocks go back and the time comes twice that night."""
    wall = (datetime.combine(on, time()) + timedelta(minutes=minutes)).replace(tzinfo=ZoneInfo(zone))
    return not is_skipped(on, minutes, zone) and wall.utcoffset() != wall.replace(fold=1).utcoffset()


@cache
def all_zones() -> tuple[str, ...]:
    """The zones of every country, those that keep another's time included, and UTC, by name."""
    folder = files("tzdata").joinpath("zoneinfo")
    lines = [
        line for tab in ("zone.tab", "zone1970.tab") for line in folder.joinpath(tab).read_text("utf-8").splitlines()
    ]
    return (*sorted({line.split("\t")[2] for line in lines if line and not line.startswith("#")}), "UTC")


def zone_options(first: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """The choice of time zones, value and words, the ones that the band used before at the top."""
    before = tuple(dict.fromkeys(first))
    return tuple(
        (zone, zone.replace("_", " ")) for zone in (*before, *(zone for zone in all_zones() if zone not in before))
    )
