"""The times of a gig as a form holds and reads them."""

from collections.abc import Mapping
from datetime import date

from portal.advance.time_zones import is_skipped
from portal.web.frame.forms import Check
from portal.wording.times import TIME_WORDS, read_minutes, write_minutes

TIME_FIELDS = tuple((f"time-{key}", words) for key, words in TIME_WORDS.items())
"""Field and label of each time."""


def write_fields(minutes: Mapping[str, int]) -> dict[str, str]:
    """The times as the form's fields hold them."""
    return {f"time-{key}": write_minutes(minutes[key]) if key in minutes else "" for key in TIME_WORDS}


def read_fields(check: Check, on: date | None, zone: str) -> dict[str, int]:
    """The times that were entered. Each has to exist that night and to lie after the one before."""
    times: dict[str, int] = {}
    before = ("", 0)
    for key, words in TIME_WORDS.items():
        field = f"time-{key}"
        text = check.text(field, longest=20)
        if not text:
            continue
        minutes = read_minutes(text)
        if minutes is None:
            check.fault(field, f"{words}: enter a time such as 19:00, or 25:30 for half past one in the night after.")
        elif minutes < before[1]:
            after_midnight = f" For the night after, enter {write_minutes(minutes + 1440)}." if minutes < 720 else ""  # noqa: PLR2004 - noon
            check.fault(
                field,
                f"{words} at {write_minutes(minutes)} lies before {before[0]} at"
                f" {write_minutes(before[1])}.{after_midnight}",
            )
        elif on and zone and is_skipped(on, minutes, zone):
            check.fault(
                field,
                f"{words}: clocks go forward that night and {write_minutes(minutes)} does not exist. Enter the time one"
                " hour later.",
            )
        else:
            times[key] = minutes
            before = (words.lower(), minutes)
    return times
