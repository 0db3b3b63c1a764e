"""The band's gigs by a secret address, for calendars that read them again and again; whoever made it may replace or
end it.
"""

import logging
from dataclasses import dataclass
from http import HTTPStatus
from typing import ClassVar
from zoneinfo import ZoneInfo

from fastapi import Request
from fastapi.responses import Response
from starlette.concurrency import run_in_threadpool

from portal.advance.event_details import feed, tell
from portal.store import gigs
from portal.store.database import scopes
from portal.store.database.session import Session
from portal.store.day import calendar_feeds
from portal.web.documents.downloads import a_file
from portal.web.frame.access import new_token, token_hash
from portal.web.frame.deps import BandUser, Db, Here, Now, Sent, SignedIn, done_reading
from portal.web.frame.errors import PortalError
from portal.web.frame.forms import begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, Page, render
from portal.web.frame.rate_limiter import address_of, take_place_soon
from portal.wording.catalogue import gettext as _
from portal.wording.times import say_date

router = Screens()
log = logging.getLogger("portal.security")


@dataclass(frozen=True, kw_only=True)
class CalendarAddress(FormPage):
    """Whether there is an address, and since when; empty where there is none."""

    template: ClassVar[str] = "gig/calendar_feed.html"
    since: str
    ended: bool


@dataclass(frozen=True, kw_only=True)
class NewCalendarAddress(Page):
    """The address, the one time that it can be shown."""

    template: ClassVar[str] = "gig/new_calendar_feed.html"
    address: str


@router.get("/account/calendar")
def show_calendar_address(request: Request, user: SignedIn, db: Db, ended: str = "") -> Response:
    """What the address is for, and the form for one."""
    return render(request, _page(db, user, ended=bool(ended)))


@router.post("/account/calendar")
def make_calendar_address(request: Request, sent: Sent, user: SignedIn, portal: Here, now: Now, db: Db) -> Response:
    """Make the address and show it; the one before works no more. Sent twice, the second answer is the page before."""
    once = begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
    token = new_token()
    calendar_feeds.make(db, user_id=user.user_id, band_id=user.band_id, token_hash=token_hash(token), now=now)
    log.info("calendar address made by=%s", user.actor)
    once.done(path_to("show_calendar_address"))
    address = portal.settings.base_url + path_to("show_feed", calendar_token=token)
    return render(request, NewCalendarAddress(title=_("The calendar address is made"), address=address))


@router.post("/account/calendar/end")
def end_calendar_address(request: Request, sent: Sent, user: SignedIn, portal: Here, now: Now, db: Db) -> Response:
    """Let the address work no more."""
    once = begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
    calendar_feeds.end(db, user.user_id)
    log.info("calendar address ended by=%s", user.actor)
    return once.done(path_to("show_calendar_address", ended="yes"))


@router.get("/calendar/{calendar_token}.ics")
async def show_feed(calendar_token: str, request: Request, portal: Here, now: Now, db: Db) -> Response:
    """The band's gigs of a year back and all to come; 304 where the calendar has them as they are. What changed since
    the last reading gets its number first.
    """
    known = calendar_feeds.by_token_hash(db, token_hash(calendar_token))
    if known is None:
        await take_place_soon((portal.link_limiter, address_of(request)))
        log.warning("calendar address refused")
        raise PortalError(
            404,
            _("This calendar address does not work"),
            _("It may be cut short, replaced or ended. Make another one on the page of the account."),
        )
    band_id, found = known.band_id, feed(db, known.band_id, now)
    if not found.told:
        await done_reading(request, db)
        found = await portal.store.write(lambda writing: tell(writing, band_id, now), scopes.band(band_id))
    mark = f'"{found.mark}"'
    headers = {"ETag": mark, "Cache-Control": "private, no-cache"}
    held = {one.strip().removeprefix("W/") for one in request.headers.get("if-none-match", "").split(",")}
    if mark in held:
        return Response(status_code=HTTPStatus.NOT_MODIFIED, headers=headers)
    answer = a_file("gigs.ics", await run_in_threadpool(found.file))
    answer.headers.update(headers)
    return answer


def _page(db: Session, user: BandUser, *, ended: bool) -> CalendarAddress:
    known = calendar_feeds.of_user(db, user.user_id)
    zone = next((gig.time_zone for gig in gigs.of_band(db, user.band_id, 1)), "UTC")
    since = say_date(known.created.astimezone(ZoneInfo(zone)).date()) if known else ""
    return CalendarAddress(title=_("Calendar feed"), form=Draft(), since=since, ended=ended)
