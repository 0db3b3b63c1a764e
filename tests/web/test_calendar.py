"""The calendar file: real moments, names that stay, numbers that rise, nobody's name in it."""

import re
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import icalendar
import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from httpx2 import Response
from sqlmodel import delete

from portal.advance.event_details import file_of, moments
from portal.store import gigs
from portal.store.accounts.bands import Member
from portal.store.database.session import Session, Store
from portal.store.day import calendar, calendar_feeds
from portal.store.record import erasing
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand, a_band, a_gig
from tests.web.conftest import ORIGIN, Browser
from tests.web.planned import Planned, prepare


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    return prepare(portal, band, signed_in, enter)


def events(content: bytes) -> list[icalendar.Event]:
    """The events that still stand."""
    found = icalendar.Calendar.from_ical(content).walk("VEVENT")
    return [event for event in found if event["STATUS"] != "CANCELLED"]


def the_event(content: bytes) -> icalendar.Event:
    (event,) = icalendar.Calendar.from_ical(content).walk("VEVENT")
    return event


def span(event: icalendar.Event) -> timedelta:
    """The real time between begin and end, clock changes counted."""
    end = event["DTEND"].dt if "DTEND" in event else event["DTSTART"].dt.astimezone(UTC) + event["DURATION"].dt
    return end.astimezone(UTC) - event["DTSTART"].dt.astimezone(UTC)


def a_night(**changes: object) -> gigs.Gig:
    words = {
        "id": "g",
        "band_id": "b",
        "name": "Harbour night",
        "place": "The Old Rope Hall",
        "on": date(2026, 10, 24),
        "time_zone": "Europe/Berlin",
        "times": gigs.write_times({"doors": 19 * 60, "curfew": 27 * 60 + 30}),
        "rig_id": "r",
        "rig_revision_id": "v",
        "created": NOW,
    }
    return gigs.Gig(**{**words, **changes})


# Vectors: doors and curfew in minutes after local midnight, and the true length.
NIGHTS = (
    ("Europe/Berlin", date(2026, 10, 24), 19 * 60, 27 * 60 + 30, timedelta(hours=9, minutes=30)),
    ("Europe/Berlin", date(2026, 3, 28), 19 * 60, 27 * 60 + 30, timedelta(hours=7, minutes=30)),
    ("America/New_York", date(2026, 10, 31), 21 * 60, 26 * 60, timedelta(hours=6)),
    ("Europe/London", date(2026, 6, 12), 19 * 60, 24 * 60 + 30, timedelta(hours=5, minutes=30)),
    ("UTC", date(2026, 6, 12), 19 * 60, 24 * 60 + 30, timedelta(hours=5, minutes=30)),
)


@pytest.mark.parametrize(("zone", "on", "doors", "curfew", "length"), NIGHTS)
def test_a_night_of_a_clock_change_has_its_true_length(
    store: Store, band: ABand, zone, on, doors, curfew, length
) -> None:
    """From doors to curfew is real time, whatever the clocks do, and the file carries the rules of its zone."""
    with store.writing() as db:
        gig = a_gig(db, band, on=on, time_zone=zone, times={"doors": doors, "curfew": curfew})
        content = file_of(db, gig, "band", NOW)
    doors_event = the_event(content)
    assert span(doors_event) == length
    wall = datetime.combine(on, datetime.min.time()) + timedelta(minutes=doors)
    assert doors_event["DTSTART"].dt.replace(tzinfo=None) == wall
    assert (b"BEGIN:VTIMEZONE" in content) == (zone != "UTC")
    if zone != "UTC":
        assert f"TZID:{zone}".encode() in content
        assert doors_event["DTSTART"].params["TZID"] == zone


def test_an_end_in_the_hour_that_comes_twice_is_said_as_a_length(store: Store, band: ABand) -> None:
    """A local time that comes twice means the first one, so an end in the second one is a length of real time."""
    with store.writing() as db:
        gig = a_gig(
            db, band, on=date(2026, 10, 24), time_zone="Europe/Berlin", times={"set": 26 * 60 + 15}, set_minutes=60
        )
        event = the_event(file_of(db, gig, "house", NOW))
    assert "DTEND" not in event
    assert span(event) == timedelta(hours=1)


def test_the_file_is_what_calendars_expect(planned: Planned) -> None:
    """Version and maker, lines of at most 75 octets that end in CR LF, one event, told as a calendar."""
    answer = planned.house.get(f"{planned.house_base}/papers/calendar.ics")
    assert answer.headers["content-type"] == "text/calendar; charset=utf-8"
    assert answer.headers["content-disposition"] == 'attachment; filename="harbour-night-2026-12-05-calendar.ics"'
    content = answer.content
    assert all(len(line) <= 75 for line in content.split(b"\r\n"))
    assert b"\n" not in content.replace(b"\r\n", b"")
    found = icalendar.Calendar.from_ical(content)
    assert found["VERSION"] == "2.0"
    assert found["PRODID"]
    for event in [the_event(content)]:
        assert {"UID", "DTSTAMP", "DTSTART", "SEQUENCE", "STATUS"} <= set(event)
        assert not {"ATTENDEE", "ORGANIZER", "CONTACT"} & set(event)
        assert event["SEQUENCE"] == 0


def test_nobody_is_named_in_the_file(planned: Planned) -> None:
    """No name, telephone number or address of a person, no secret of a link, no name of the machine."""
    planned.answer(contact_name="Jamie Example", contact_phone="+00 000 555 0134")
    content = planned.band.get(f"{planned.gigs_base}/papers/calendar.ics").text.replace("\r\n ", "")
    for word in ("Jamie", "0134", planned.owner.email, "portal.test", planned.link.token_hash, planned.gig.id):
        assert word not in content


def test_each_side_has_one_event_with_all_times_in_its_text(planned: Planned) -> None:
    """From the first known time to the last; both names and the place stand in what it is called."""
    mine = the_event(planned.band.get(f"{planned.gigs_base}/papers/calendar.ics").content)
    theirs = the_event(planned.house.get(f"{planned.house_base}/papers/calendar.ics").content)
    assert mine["UID"] != theirs["UID"]
    for event in (mine, theirs):
        assert planned.gig.name in event["SUMMARY"]
        assert planned.gig.place in event["SUMMARY"]
        assert event["LOCATION"] == planned.gig.place
        assert event["DESCRIPTION"].count(":") == len(planned.gig.minutes)
        assert span(event) == timedelta(minutes=max(planned.gig.minutes.values()) - min(planned.gig.minutes.values()))


def test_names_stay_and_numbers_rise(store: Store, band: ABand) -> None:
    """The same file twice is the same bytes; a moved time keeps the event's name under a higher number, also where only
    its text changes; a gig without times is cancelled and comes back.
    """
    with store.writing() as db:
        gig = a_gig(db, band, times={"load-in": 960, "doors": 1140, "curfew": 1410})
        first = file_of(db, gig, "band", NOW)
        assert file_of(db, gig, "band", NOW + timedelta(days=1)) == first
        before = the_event(first)
        gig.times = gigs.write_times({"load-in": 960, "doors": 1170, "curfew": 1410})
        moved = the_event(file_of(db, gig, "band", NOW + timedelta(days=2)))
        assert (moved["UID"], moved["SEQUENCE"]) == (before["UID"], 1)
        assert moved["DTSTAMP"].dt == NOW + timedelta(days=2)
        assert "Doors 19:30" in moved["DESCRIPTION"]
        gig.times = gigs.write_times({})
        gone = the_event(file_of(db, gig, "band", NOW))
        assert (gone["STATUS"], gone["SEQUENCE"]) == ("CANCELLED", 2)
        gig.times = gigs.write_times({"doors": 1170, "curfew": 1410})
        back = the_event(file_of(db, gig, "band", NOW))
        assert (back["STATUS"], back["SEQUENCE"], back["UID"]) == ("CONFIRMED", 3, before["UID"])
        gig.cancelled_at = NOW
        assert the_event(file_of(db, gig, "house", NOW))["STATUS"] == "CANCELLED"
        assert len({entry.uid for entry in calendar.give_out(db, gig.id, {}, NOW)}) == 2


def test_events_of_earlier_files_are_cancelled(store: Store, band: ABand) -> None:
    """A calendar that holds an event for each time learns that they are gone."""
    with store.writing() as db:
        gig = a_gig(db, band, times={"doors": 1140})
        moment = moments(gig, "x")["band"]
        calendar.give_out(db, gig.id, {"doors": moment}, NOW)
        found = icalendar.Calendar.from_ical(file_of(db, gig, "band", NOW)).walk("VEVENT")
        assert sorted(str(event["STATUS"]) for event in found) == ["CANCELLED", "CONFIRMED"]


def test_hostile_words_stay_in_their_line(store: Store, band: ABand) -> None:
    """A name with line ends, commas and control characters makes no new line of the calendar."""
    with store.writing() as db:
        gig = a_gig(
            db,
            band,
            name="x\r\nATTENDEE:mailto:a@b\x00,;\\ \u202eשלום 🎸" + "y" * 5000,
            place="p\nDTSTART:19700101",
            times={"doors": 1140},
        )
        content = file_of(db, gig, "band", NOW)
    unfolded = content.replace(b"\r\n ", b"")
    assert b"\r\nATTENDEE" not in unfolded
    assert unfolded.count(b"\r\nDTSTART;") + unfolded.count(b"\r\nDTSTART:") == 1 + content.count(
        b"BEGIN:STANDARD"
    ) + content.count(b"BEGIN:DAYLIGHT")
    assert len(events(content)) == 1


def test_no_time_is_made_up() -> None:
    """A gig without times has no events; a known end after midnight is on the next day."""
    assert moments(a_night(times="{}"), "x") == {}
    assert moments(a_night(), "x")["band"].ends == datetime(2026, 10, 25, 3, 30, tzinfo=ZoneInfo("Europe/Berlin"))
    assert moments(a_night(times=gigs.write_times({"doors": 1140})), "x")["band"].ends is None


def feed_address(browser: Browser) -> str:
    """A calendar address of one's own, made as a browser does."""
    shown = browser.send("/account/calendar", page="/account/calendar")
    (address,) = re.findall(rf'class="address">{ORIGIN}(/calendar/[\w-]+\.ics)<', shown.text)
    return address


def by_calendar(app: FastAPI, address: str, **headers: str) -> Response:
    """What a calendar program gets, which has no cookie."""
    client = TestClient(app, base_url=ORIGIN, follow_redirects=False)
    return client.get(address, headers=headers)


def test_a_feed_holds_every_gig_of_the_band(app: FastAPI, planned: Planned, store: Store) -> None:
    """One event a gig with its times, the very one that the gig's own file holds, and no gig of another band."""
    with store.writing() as db:
        a_gig(db, planned.owner, name="Quay evening", on=date(2026, 12, 12))
        a_gig(db, planned.owner, name="Long ago", on=date(2024, 12, 12))
        a_gig(db, a_band(db, name="The Others"), name="Their night")
    answer = by_calendar(app, feed_address(planned.band))
    assert answer.headers["content-type"] == "text/calendar; charset=utf-8"
    named = {str(event["SUMMARY"]).partition(", ")[0]: event for event in events(answer.content)}
    assert named.keys() == {"Harbour night", "Quay evening"}
    own = the_event(planned.band.get(f"{planned.gigs_base}/papers/calendar.ics").content)
    assert (named["Harbour night"]["UID"], named["Harbour night"]["DTSTART"].dt) == (own["UID"], own["DTSTART"].dt)
    assert icalendar.Calendar.from_ical(answer.content)["NAME"] == "The Paper Lanterns"
    assert "no-store" not in answer.headers["cache-control"]


def test_a_feed_that_stands_is_not_sent_again(app: FastAPI, planned: Planned, portal: Portal) -> None:
    """A calendar that has it hears so in a few bytes and without a write; a change gives it another mark, and raises
    the event's number.
    """
    address = feed_address(planned.band)
    first = by_calendar(app, address)
    writes: list[bool] = []
    real = portal.store.open

    def counted(*, to_write: bool = False) -> Session:
        writes.append(to_write)
        return real(to_write=to_write)

    object.__setattr__(portal.store, "open", counted)
    again = by_calendar(app, address, **{"If-None-Match": f'"x", W/{first.headers["etag"]}'})
    object.__setattr__(portal.store, "open", real)
    assert (again.status_code, again.content, again.headers["etag"]) == (304, b"", first.headers["etag"])
    assert True not in writes
    with portal.store.writing() as db:
        gig = gigs.of_link(db, planned.gig.id)
        gigs.cancel(db, gig, gig.version, NOW, actor="")
    changed = by_calendar(app, address, **{"If-None-Match": first.headers["etag"]})
    assert changed.status_code == 200
    assert (the_event(first.content)["SEQUENCE"], the_event(changed.content)["SEQUENCE"]) == (0, 1)
    assert the_event(changed.content)["STATUS"] == "CANCELLED"


def test_a_calendar_address_is_replaced_ended_and_lost_with_the_band(
    app: FastAPI, planned: Planned, portal: Portal
) -> None:
    """Another one ends the first; ended, or once its maker left the band, it opens nothing; a wrong one as little."""
    first, second = feed_address(planned.band), feed_address(planned.band)
    assert [by_calendar(app, one).status_code for one in (first, second)] == [404, 200]
    assert "It cannot be shown again" in planned.band.get("/account/calendar").text
    planned.band.send("/account/calendar/end", page="/account/calendar")
    assert by_calendar(app, second).status_code == 404
    third = feed_address(planned.band)
    with portal.store.writing() as db:
        db.exec(delete(Member).where(Member.user_id == planned.owner.user_id))
    assert by_calendar(app, third).status_code == 404


def test_an_erased_account_leaves_no_calendar_address(app: FastAPI, planned: Planned, portal: Portal) -> None:
    """The address goes with the account."""
    address = feed_address(planned.band)
    with portal.store.writing() as db:
        erasing.of_user(db, planned.owner.user_id, NOW)
        assert calendar_feeds.of_user(db, planned.owner.user_id) is None
    assert by_calendar(app, address).status_code == 404
