"""The times of a gig as a form holds and reads them."""

from collections.abc import Mapping
from datetime import date

from portal.advance.time_zones import is_skipped
from portal.web.frame.forms import Check
from portal.wording.catalogue import gettext as _
from portal.wording.times import DAY, TIME_WORDS, read_minutes, say_minutes, write_minutes

SMALL_HOURS = 6 * 60
"""Minutes; a time before it that comes after an evening's is the same night's (common practice, no source)."""


def time_fields() -> tuple[tuple[str, str], ...]:
    """Field and label of each time."""
    return tuple((f"time-{key}", words) for key, words in TIME_WORDS.items())


def _is_after_midnight(clock: int, before: int) -> bool:
    """Whether a time of day that comes after another of the evening is the same night's."""
    return clock < min(SMALL_HOURS, before)


def write_fields(minutes: Mapping[str, int]) -> dict[str, str]:
    """The times as the form's fields hold them: the same night's without a word more, as they are read."""
    fields: dict[str, str] = {}
    before = 0
    for key in TIME_WORDS:
        time = minutes.get(key)
        same_night = time is not None and time >= DAY and _is_after_midnight(time - DAY, before)
        fields[f"time-{key}"] = "" if time is None else write_minutes(time - DAY) if same_night else say_minutes(time)
        before = time or before
    return fields


def read_fields(check: Check, on: date | None, zone: str) -> dict[str, int]:
    """The times that were entered. Each has to exist that night and to lie after the one before; a curfew at 01:00
    after a set at 23:00 is that of the same night.
    """
    times: dict[str, int] = {}
    before = ("", 0)
    for key, words in TIME_WORDS.items():
        field = f"time-{key}"
        text = check.text(field, longest=20)
        if not text:
            continue
        minutes = read_minutes(text)
        if minutes is not None and _is_after_midnight(minutes, before[1]):
            minutes += DAY
        if minutes is None:
            check.fault(field, _("%(words)s: enter a time such as 19:00, or 01:30 next day.", words=words))
        elif minutes < before[1]:
            check.fault(
                field,
                _(
                    "%(words)s at %(minutes)s is before %(before)s at %(before2)s. Enter a later time, or put the"
                    " other right.",
                    words=words,
                    minutes=say_minutes(minutes),
                    before=before[0],
                    before2=say_minutes(before[1]),
                ),
            )
        elif on and zone and is_skipped(on, minutes, zone):
            check.fault(
                field,
                _(
                    "%(words)s: clocks go forward that night and %(minutes)s does not exist. Enter the time one"
                    " hour later.",
                    words=words,
                    minutes=say_minutes(minutes),
                ),
            )
        else:
            times[key] = minutes
            before = (words.lower(), minutes)
    return times
