"""Dates and times as people write and read them. Minutes after the date's local midnight are the truth."""

import re
from collections.abc import Mapping
from datetime import date, datetime
from functools import lru_cache
from zoneinfo import ZoneInfo

from babel.dates import format_date

from portal.wording.catalogue import Words, gettext, language, mark, pgettext
from portal.wording.formats import join_clauses, locale_of

DAY = 24 * 60
LATEST = 2 * DAY - 1
"""Minutes; a gig ends before the second midnight after its date (common practice, no source)."""


TIME_WORDS = Words(
    {
        "load-in": mark("Load-in"),
        "sound-check": mark("Sound check"),
        "doors": mark("Doors"),
        "changeover": mark("Changeover"),
        "set": mark("Set"),
        "curfew": mark("Curfew"),
    }
)


@lru_cache(maxsize=4096)
def _say_date(day: date, pattern: str, name: str) -> str:
    return format_date(day, pattern, locale=locale_of(name))


def say_date(day: date) -> str:
    """A date as "Sat 5 Dec 2026"."""
    return _say_date(day, pgettext("pattern of a date", "EEE d MMM y"), language())


def say_day_of_year(day: date) -> str:
    """A date without its year: "5 Dec"."""
    return _say_date(day, pgettext("pattern of a day", "d MMM"), language())


def say_moment(moment: datetime, zone: str) -> str:
    """A moment in a time zone as "Sat 5 Dec 2026, 19:04"."""
    day = say_date(moment.astimezone(ZoneInfo(zone)).date())
    return gettext("%(day)s, %(clock)s", day=day, clock=say_clock(moment, zone))


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
    return (
        write_minutes(minutes) if minutes < DAY else gettext("%(clock)s next day", clock=write_minutes(minutes - DAY))
    )


def read_minutes(text: str) -> int | None:
    """Minutes after midnight from "19:00", "19.00", "1900", "7pm", "7:30 pm", "25:30" or "1:30 next day"; ``None``
    where it is none of these.
    """
    plain = text.strip().lower().replace("next day", "+1").replace(gettext("next day").lower(), "+1").replace(" ", "")
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


def moved_words(was: Mapping[str, int | None], now: Mapping[str, int]) -> str:
    """Which times changed after signing, in one sentence; empty where none did."""

    def say(minutes: int | None) -> str:
        return gettext("not set") if minutes is None else say_minutes(minutes)

    moved = join_clauses(
        gettext("%(time)s was %(before)s, now %(now)s", time=TIME_WORDS[key], before=say(before), now=say(now.get(key)))
        for key, before in was.items()
    )
    return gettext("Times changed after signing: %(moved)s.", moved=moved) if moved else ""
