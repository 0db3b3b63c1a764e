"""A gig as a calendar file (RFC 5545): nothing in it but the names of gig, band and place, and the times."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event

from portal.documents.registry import Document, register
from portal.documents.rendering.printed import clean
from portal.plan.input.rig import MAX_TEXT
from portal.wording.catalogue import mark

PRODUCT = "-//Gig advance portal//EN"
"""Every calendar names what made it (RFC 5545, section 3.7.3)."""

READ_AGAIN = timedelta(hours=6)
"""How often a calendar may read a band's gigs again (common practice, no source)."""

register(
    Document(
        "calendar",
        mark("Calendar file"),
        mark("The night as one event, load-in to curfew, its times in the text."),
        ("ics",),
    )
)


@dataclass(frozen=True)
class GigTime:
    """One event. ``words`` are what it is called, ``text`` says more. ``begins``, ``ends`` and ``changed`` are in UTC;
    ``uid`` is random and stays, ``sequence`` rises with every change.
    """

    uid: str
    sequence: int
    words: str
    text: str
    place: str
    begins: datetime
    ends: datetime | None
    time_zone: str
    cancelled: bool
    changed: datetime


def calendar_file(times: tuple[GigTime, ...], name: str = "") -> bytes:
    """The events as one file, each in the gig's zone with the rules of that zone beside it. A calendar that is read
    again and again has a ``name``, and says how often (RFC 7986, sections 5.1 and 5.7).
    """
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    if name:
        calendar.add("name", clean(name[: MAX_TEXT * 8])[:MAX_TEXT])
        calendar.add("refresh-interval", READ_AGAIN)
    for one in times:
        calendar.add_component(_event(one))
    # Named zones are only known by their rules (section 3.2.19); UTC needs none.
    calendar.add_missing_timezones()
    return bytes(calendar.to_ical())


def _event(one: GigTime) -> Event:
    event = Event()
    event.add("uid", one.uid)
    event.add("sequence", one.sequence)
    event.add("dtstamp", one.changed.astimezone(UTC))
    event.add("summary", clean(one.words[: MAX_TEXT * 8])[: MAX_TEXT * 2])
    if text := clean(one.text[: MAX_TEXT * 8])[: MAX_TEXT * 2]:
        event.add("description", text)
    if place := clean(one.place[: MAX_TEXT * 8])[:MAX_TEXT]:
        event.add("location", place)
    event.add("dtstart", _local(one.begins, one.time_zone))
    if one.ends is not None:
        end = _local(one.ends, one.time_zone)
        if end.fold:
            # A local time that comes twice means the first one (section 3.3.5); the second can only be said as a
            # length.
            event.add("duration", one.ends - one.begins)
        else:
            event.add("dtend", end)
    event.add("status", "CANCELLED" if one.cancelled else "CONFIRMED")
    return event


def _local(moment: datetime, zone: str) -> datetime:
    return moment.astimezone(UTC) if zone == "UTC" else moment.astimezone(ZoneInfo(zone))
