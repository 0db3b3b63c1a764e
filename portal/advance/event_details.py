"""The calendar file of a gig: one event for each side, load-in to curfew in the gig's zone, after-midnight times and
nights of a clock change included.
"""

from collections.abc import Mapping
from datetime import datetime, timedelta

from portal.advance.time_format import TIME_WORDS, moment_of, say_minutes
from portal.documents.calendar import GigTime, calendar_file
from portal.store import calendar
from portal.store.accounts import bands
from portal.store.calendar import Moment
from portal.store.database.session import Session
from portal.store.gigs import TIMES, Gig


def moments(gig: Gig, band: str) -> Mapping[str, Moment]:
    """Each side's event of a gig, from its first known time to its last; none of a cancelled gig or one without times.
    The first line of the words is what the event is called, the second one says the times. Lengths are real time: a
    clock change counts.
    """
    known = [key for key in TIMES if key in gig.minutes]
    if gig.cancelled_at is not None or not known:
        return {}
    begins = {key: moment_of(gig.on, gig.minutes[key], gig.time_zone) for key in known}
    ends = [*begins.values()]
    if "set" in begins and gig.set_minutes:
        ends.append(begins["set"] + timedelta(minutes=gig.set_minutes))
    first, last = min(ends), max(ends)
    times = ", ".join(f"{TIME_WORDS[key]} {say_minutes(gig.minutes[key])}" for key in known)

    def event(name: str) -> Moment:
        # A name is one line, whatever was typed: the line end parts it from the times.
        return Moment(
            f"{' '.join(name.split())}\n{times}", gig.place, first, last if last > first else None, gig.time_zone
        )

    at = f" at {gig.place}" if gig.place else ""
    return {"band": event(f"{gig.name}{at}: {band}"), "house": event(f"{band}{at}: {gig.name}")}


def file_of(db: Session, gig: Gig, side: str, now: datetime) -> bytes:
    """The calendar file of one side (band or house) of a gig (already allowed), its event numbered anew where something
    changed since the last file. What earlier files held under other keys is cancelled in it.
    """
    entries = calendar.give_out(db, gig.id, moments(gig, bands.name_of(db, gig.band_id)), now)
    return calendar_file(tuple(_time(entry) for entry in entries if entry.key == side or entry.key in TIMES))


def _time(entry: calendar.CalendarEntry) -> GigTime:
    words, _, text = entry.words.partition("\n")
    return GigTime(
        uid=entry.uid,
        sequence=entry.sequence,
        words=words,
        text=text,
        place=entry.place,
        begins=entry.begins,
        ends=entry.ends,
        time_zone=entry.time_zone,
        cancelled=entry.cancelled,
        changed=entry.changed,
    )
