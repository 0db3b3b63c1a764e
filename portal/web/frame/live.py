"""What happened while a page stood open: a stream for the band's screens, a short answer for a phone that asks now and
then.

A page carries the mark of the state that it was drawn from, and sends it along. Whoever connects, for the first time or
again, is told the state of that moment, so that nothing is missed while a line is cut.
"""

import asyncio
from collections.abc import AsyncIterator, Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass
from hashlib import sha256
from typing import Annotated

from fastapi import Depends, Request
from fastapi.responses import JSONResponse
from fastapi.sse import EventSourceResponse, ServerSentEvent
from starlette.concurrency import run_in_threadpool

from portal.store import gigs
from portal.store.database.session import Session
from portal.store.gigs import Gig
from portal.store.record import change_counters
from portal.store.record.change_counters import News
from portal.web.frame.deps import (
    AllowedGig,
    BandUser,
    Db,
    Here,
    SignedIn,
    TheGig,
    maybe_user,
    need_user,
    the_gig,
)
from portal.web.frame.errors import PortalError
from portal.web.frame.links import Screens, house_base, path_to
from portal.web.frame.notifier import ANY
from portal.web.frame.running import Portal
from portal.wording.catalogue import gettext as _
from portal.wording.formats import headed
from portal.wording.kinds import DID

router = Screens()

RETRY_MS = 2000
"""How long a browser waits before it connects again (common practice, no source)."""
LOOK_AGAIN_S = 60
"""How often a stream looks without being woken: a session that ended meanwhile ends its stream (common practice, no
source).
"""


@dataclass(frozen=True)
class Notice:
    """What a page is told: the newest plan's number, the mark of the state, and what is new to the page, in words
    (none: empty).
    """

    plan: int
    mark: str
    words: str


def gig_live(db: Session, gig: AllowedGig) -> str:
    """Where a page of the gig hears of changes, with the mark of the state that it is drawn from."""
    mark = change_counters.of_gigs(db, [gig.gig], gig.party)[gig.gig.id].mark()
    return (
        path_to("gig_events", gig.base, seen=mark)
        if gig.party == "band"
        else path_to("house_news", house_base(gig.gig.id), seen=mark)
    )


def home_live(db: Session, coming: Sequence[Gig]) -> str:
    """The same for the first page of the gigs to come."""
    return path_to("home_events", seen=_whole_mark(change_counters.of_gigs(db, coming, "band")))


def _whole_mark(every: Mapping[str, News]) -> str:
    return sha256("\n".join(f"{gig_id} {one.mark()}" for gig_id, one in sorted(every.items())).encode()).hexdigest()[
        :16
    ]


def words_of(seen: News, now: News, other: str) -> str:
    """What happened between two states, as sentences."""
    did = DID[other]
    changes = (
        (now.sent > seen.sent, "sent"),
        (now.answers > seen.answers and now.sent == seen.sent, "answers"),
        (now.comments > seen.comments, "comments"),
        (now.proposals > seen.proposals, "proposals"),
        (now.settled > seen.settled, "settled"),
        (now.signed > seen.signed, "signed"),
        (now.withdrawn > seen.withdrawn, "withdrawn"),
    )
    said = [did[what] for so, what in changes if so]
    if now.details > seen.details:
        said.append(_("The details of the gig have changed."))
    if now.plan > seen.plan:
        said.append(_("Revision %(plan)s of the plan is new.", plan=now.plan))
    elif now.planned > seen.planned and now.plan == seen.plan:
        said.append(_("The plan was looked at again."))
    return " ".join(said)


def _notice(db: Session, gig: AllowedGig, seen: str) -> Notice:
    now = change_counters.of_gigs(db, [gig.gig], gig.party)[gig.gig.id]
    before = change_counters.read(seen)
    other = "house" if gig.party == "band" else "band"
    words = words_of(before, now, other) if before else _("This page has changed since it was drawn.")
    return Notice(now.plan, now.mark(), words)


async def not_used(request: Request, gig: TheGig) -> AllowedGig:
    """The gig, for a page that asks by itself: that alone does not keep a session from ending."""
    request.state.session_seen = ""
    return gig


async def not_used_by(request: Request, user: SignedIn) -> BandUser:
    """The same for whoever is signed in."""
    request.state.session_seen = ""
    return user


@router.get("/gigs/{gig_id}/events", response_class=EventSourceResponse)
async def gig_events(
    request: Request, gig: Annotated[AllowedGig, Depends(not_used)], portal: Here, seen: str = ""
) -> AsyncIterator[ServerSentEvent]:
    """The state of a gig, now and whenever it changes."""
    gig_id = gig.gig.id

    def look() -> Notice:
        with portal.store.reading() as db:
            return _notice(db, the_gig(gig_id, request, db, portal, portal.clock()), seen)

    async for event in _events(portal, gig_id, look):
        yield event


@router.get("/events", response_class=EventSourceResponse)
async def home_events(
    request: Request, _user: Annotated[BandUser, Depends(not_used_by)], portal: Here, seen: str = ""
) -> AsyncIterator[ServerSentEvent]:
    """The state of the gigs to come of the band, now and whenever one of them changes."""
    first: dict[str, News] = {}

    def look() -> Notice:
        with portal.store.reading() as db:
            user = need_user(maybe_user(request, db, portal, portal.clock()))
            coming = gigs.coming(db, user.band_id, portal.clock())[: gigs.A_PAGE]
            every = change_counters.of_gigs(db, coming, "band")
        mark = _whole_mark(every)
        if mark == seen:
            first.update(every)
            return Notice(0, mark, "")
        names = {gig.id: gig.name for gig in coming}
        sentences = [
            headed(names[gig_id], words_of(first[gig_id], one, "house"))
            for gig_id, one in every.items()
            if first.get(gig_id, one) != one
        ]
        return Notice(0, mark, " ".join(sentences) or _("The list of gigs has changed."))

    async for event in _events(portal, ANY, look):
        yield event


async def _events(portal: Portal, gig_id: str, look: Callable[[], Notice]) -> AsyncIterator[ServerSentEvent]:
    """What ``look`` finds, first now and then each time that it finds something else; ends when the session does, or
    the portal.
    """
    sent: Notice | None = None
    # The notifier is listened to before the first look: what is saved in between wakes the next one.
    with portal.notifier.listening(gig_id) as notified:
        while True:
            notified.clear()
            try:
                async with portal.readers:
                    found = await run_in_threadpool(look)
            except PortalError:
                return
            if found != sent:
                sent = found
                yield ServerSentEvent(data=asdict(found), id=found.mark, retry=RETRY_MS)
            if portal.notifier.closed:
                return
            with suppress(TimeoutError):
                await asyncio.wait_for(notified.wait(), LOOK_AGAIN_S)


@router.get("/house/{gig_id}/news")
def house_news(gig: Annotated[AllowedGig, Depends(not_used)], db: Db, seen: str = "") -> JSONResponse:
    """The state of a gig for a phone, which asks now and then instead of holding a line open."""
    return JSONResponse(asdict(_notice(db, gig, seen)))
