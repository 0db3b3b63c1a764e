"""What was given out as calendar events: their names stay, and their numbers rise, so that a calendar knows which file
is newer.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from sqlmodel import Field, Session, col, select

from portal.store.database import scopes
from portal.store.database.rows import Row, new_id
from portal.store.gigs import Gig


class CalendarEntry(Row, table=True):
    """One event of a gig as it was last given out. ``uid`` is random (RFC 7986, section 5.3); ``key`` is the time's
    key, such as doors.
    """

    __tablename__ = "calendar_entry"
    gig_id: str = Field(foreign_key="gig.id", primary_key=True)
    key: str = Field(primary_key=True)
    uid: str = Field(default_factory=new_id, unique=True)
    sequence: int = 0
    words: str
    place: str
    begins: datetime
    ends: datetime | None = None
    time_zone: str
    cancelled: bool = False
    changed: datetime


@dataclass(frozen=True)
class Moment:
    """One event as it should be: words, place, begin and end in UTC, and the zone in which people read them."""

    words: str
    place: str
    begins: datetime
    ends: datetime | None
    time_zone: str


def give_out(db: Session, gig_id: str, wanted: Mapping[str, Moment], now: datetime) -> list[CalendarEntry]:
    """The events of a gig (already allowed), by their begin. What changed since the last time gets a higher number;
    what is not wanted any more is cancelled and not forgotten, because calendars that hold it have to learn of that.
    """
    scopes.need(db, scopes.gig(gig_id))
    known = {entry.key: entry for entry in db.exec(select(CalendarEntry).where(col(CalendarEntry.gig_id) == gig_id))}
    for key, moment in wanted.items():
        if key not in known:
            known[key] = CalendarEntry(gig_id=gig_id, key=key, changed=now, **vars(moment))
            db.add(known[key])
        elif _differs(known[key], moment):
            _rise(known[key], now, cancelled=False)
            for name, value in vars(moment).items():
                setattr(known[key], name, value)
    for key, entry in known.items():
        if key not in wanted and not entry.cancelled:
            _rise(entry, now, cancelled=True)
    db.flush()
    return sorted(known.values(), key=lambda entry: (entry.begins, entry.key))


def of_band(db: Session, band_id: str, since: date) -> dict[str, dict[str, CalendarEntry]]:
    """What was given out of a band's gigs from a day on, by gig and key."""
    rows = db.exec(
        select(CalendarEntry)
        .join(Gig, col(Gig.id) == col(CalendarEntry.gig_id))
        .where(col(Gig.band_id) == band_id, col(Gig.on) >= since)
    )
    found: dict[str, dict[str, CalendarEntry]] = {}
    for entry in rows:
        found.setdefault(entry.gig_id, {})[entry.key] = entry
    return found


def stands(known: Mapping[str, CalendarEntry], wanted: Mapping[str, Moment]) -> bool:
    """True where what was given out of a gig is what it should be."""
    there = all(key in known and not _differs(known[key], moment) for key, moment in wanted.items())
    return there and all(entry.cancelled for key, entry in known.items() if key not in wanted)


def _differs(entry: CalendarEntry, moment: Moment) -> bool:
    return entry.cancelled or any(getattr(entry, name) != value for name, value in vars(moment).items())


def _rise(entry: CalendarEntry, now: datetime, *, cancelled: bool) -> None:
    entry.sequence += 1
    entry.changed = now
    entry.cancelled = cancelled
