"""The calendar file of a gig, and that of all of a band's: one event for each side, load-in to curfew in the gig's
zone, after-midnight times and nights of a clock change included.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256

from portal.advance.time_zones import moment_of
from portal.documents.calendar import GigTime, calendar_file
from portal.store import gigs
from portal.store.accounts import bands
from portal.store.database import scopes
from portal.store.database.session import Session
from portal.store.day import calendar
from portal.store.day.calendar import Moment
from portal.store.gigs import TIMES, Gig
from portal.wording.times import TIME_WORDS, say_minutes


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

    at = f", {gig.place}" if gig.place else ""
    return {"band": event(f"{gig.name}{at}: {band}"), "house": event(f"{band}{at}: {gig.name}")}


def file_of(db: Session, gig: Gig, side: str, now: datetime) -> bytes:
    """The calendar file of one side (band or house) of a gig (already allowed), its event numbered anew where something
    changed since the last file. What earlier files held under other keys is cancelled in it.
    """
    entries = calendar.give_out(db, gig.id, moments(gig, bands.name_of(db, gig.band_id)), now)
    return calendar_file(tuple(_time(entry) for entry in entries if entry.key == side or entry.key in TIMES))


LOOKS_BACK = timedelta(days=366)
"""How long a gig stays in the band's calendar (common practice, no source)."""


@dataclass(frozen=True)
class Feed:
    """A band's gigs as a calendar reads them, and a mark that changes with them; ``told``: each change has got its
    number, so that calendars learn of it.
    """

    name: str
    times: tuple[GigTime, ...]
    told: bool

    @property
    def mark(self) -> str:
        """Hexadecimal digits over the names and numbers of all events."""
        parts = [self.name, *(f"{one.uid} {one.sequence}" for one in self.times)]
        return sha256("\n".join(parts).encode()).hexdigest()[:32]

    def file(self) -> bytes:
        """The calendar file."""
        return calendar_file(self.times, self.name)


def feed(db: Session, band_id: str, now: datetime) -> Feed:
    """The gigs of a band (already allowed) as they were given out last."""
    day = (now - LOOKS_BACK).date()
    name, known = bands.name_of(db, band_id), calendar.of_band(db, band_id, day)
    nights = gigs.since(db, band_id, day)
    told = all(calendar.stands(known.get(gig.id, {}), moments(gig, name)) for gig in nights)
    times = [_time(known[gig.id]["band"]) for gig in nights if "band" in known.get(gig.id, {})]
    return Feed(name, tuple(times), told)


def tell(db: Session, band_id: str, now: datetime) -> Feed:
    """The same, each change numbered first."""
    name = bands.name_of(db, band_id)
    for gig in gigs.since(db, band_id, (now - LOOKS_BACK).date()):
        scopes.take(db, scopes.gig(gig.id))
        calendar.give_out(db, gig.id, moments(gig, name), now)
    return feed(db, band_id, now)


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
