"""The calendar file of a gig: its times in its zone, after-midnight ones and nights of a clock change included."""

from collections.abc import Mapping
from datetime import datetime, timedelta
from types import MappingProxyType

from portal.advance.time_format import TIME_WORDS, moment_of
from portal.documents.calendar import GigTime, calendar_file
from portal.store import calendar
from portal.store.calendar import Moment
from portal.store.database.session import Session
from portal.store.gigs import TIMES, Gig

LASTS_UNTIL: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "load-in": ("sound-check", "doors", "set", "curfew"),
        "sound-check": ("doors", "set", "curfew"),
        "doors": ("curfew",),
        "set": (),
        "curfew": (),
    }
)
"""A time lasts until the first of these that is known; the set has a length of its own, and curfew is a moment."""


def moments(gig: Gig) -> Mapping[str, Moment]:
    """The known times of a gig as events, by their keys; none of a cancelled gig. Lengths are real time: a clock change
    counts.
    """
    if gig.cancelled_at is not None:
        return {}
    begins = {key: moment_of(gig.on, gig.minutes[key], gig.time_zone) for key in TIMES if key in gig.minutes}
    return {
        key: Moment(f"{TIME_WORDS[key]}: {gig.name}", gig.place, begin, _end(gig, key, begins), gig.time_zone)
        for key, begin in begins.items()
    }


def _end(gig: Gig, key: str, begins: Mapping[str, datetime]) -> datetime | None:
    if key == "set":
        return begins[key] + timedelta(minutes=gig.set_minutes) if gig.set_minutes else None
    later = (begins[other] for other in LASTS_UNTIL[key] if other in begins)
    return next((end for end in later if end > begins[key]), None)


def file_of(db: Session, gig: Gig, now: datetime) -> bytes:
    """The calendar file of a gig (already allowed), its events numbered anew where something changed since the last
    file.
    """
    return calendar_file(
        tuple(
            GigTime(
                uid=entry.uid,
                sequence=entry.sequence,
                words=entry.words,
                place=entry.place,
                begins=entry.begins,
                ends=entry.ends,
                time_zone=entry.time_zone,
                cancelled=entry.cancelled,
                changed=entry.changed,
            )
            for entry in calendar.give_out(db, gig.id, moments(gig), now)
        )
    )
