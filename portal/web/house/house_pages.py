"""The house's way in: a secret link is looked at, then traded for a session by a button, so that nothing happens by
opening it.
"""

import logging
from dataclasses import dataclass
from datetime import datetime, timedelta
from http import HTTPStatus
from math import ceil
from typing import ClassVar
from zoneinfo import ZoneInfo

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from portal.advance.gig_status import Standing, standing
from portal.advance.open_tasks import Task, tasks_of
from portal.advance.planning import ground, sentence_of
from portal.advance.time_format import TIME_WORDS, say_date, say_minutes
from portal.advance.what_comes import Coming, what_comes
from portal.plan.input.questions import TOPICS, questions_of
from portal.store import answers, gigs
from portal.store import links as stored_links
from portal.store.accounts import bands
from portal.store.database.session import Session
from portal.store.gigs import Gig
from portal.store.links import Link
from portal.web.frame import deps
from portal.web.frame.access import token_hash
from portal.web.frame.deps import AllowedGig, Db, Here, Now, TheGig
from portal.web.frame.errors import NotThere, PortalError
from portal.web.frame.links import Screens, house_base, path_to, task_addresses
from portal.web.frame.live import gig_live
from portal.web.frame.pages import Draft, FormPage, Page, render
from portal.web.frame.rate_limiter import address_of, take_place
from portal.web.gig.share import allowed_actions

router = Screens()
log = logging.getLogger("portal.security")

SECONDS_PER_TOPIC = 35
"""To read and answer one page on a phone (a guess to be replaced by a measured median; no source)."""


@dataclass(frozen=True, kw_only=True)
class WayIn(FormPage):
    """What a link is for, before anything happens. ``minutes`` is 0 where there is nothing to answer."""

    template: ClassVar[str] = "house/house_link.html"
    action: str
    band: str
    sender: str
    when: str
    place: str
    cancelled: bool
    allowed_actions: str
    until: str
    may_answer: bool
    answered: bool
    minutes: int
    pages: int
    coming: tuple[Coming, ...]


@dataclass(frozen=True, kw_only=True)
class HouseGig(Page):
    """A gig for whoever came by a link: where it stands and what there is to do."""

    template: ClassVar[str] = "house/house_gig.html"
    base: str
    band: str
    when: str
    place: str
    standing: Standing
    sentence: str
    times: tuple[tuple[str, str], ...]
    may_answer: bool
    may_sign: bool
    sent: bool
    coming: tuple[Coming, ...]
    allowed_actions: str
    until: str
    tasks: tuple[Task, ...]
    live: str
    may_take: bool


@router.api_route("/in/{token}", methods=["GET", "HEAD"])
def show_link(token: str, request: Request, portal: Here, db: Db, now: Now) -> Response:
    """What the link is for. Mail programs and chat previews open links: this changes nothing, however often."""
    link = _live_link(token, request, portal, db, now)
    gig = gigs.of_link(db, link.gig_id)
    sender = bands.user(db, link.created_by)
    facts = ground(db, gig).facts
    topics = [
        topic
        for topic in TOPICS
        if topic.first and any(facts.asked(question.key) for question in questions_of(topic.key))
    ]
    may_answer = link.may("answer")
    return render(
        request,
        WayIn(
            title=gig.name,
            form=Draft(),
            action=path_to("show_link", token=token),
            band=bands.name_of(db, gig.band_id),
            sender=sender.name if sender else "",
            when=say_date(gig.on),
            place=gig.place,
            cancelled=gig.cancelled_at is not None,
            allowed_actions=allowed_actions(link),
            until=_last_day(link, gig),
            may_answer=may_answer,
            answered=bool(answers.sent(db, gig.id)),
            minutes=ceil(len(topics) * SECONDS_PER_TOPIC / 60),
            pages=len(topics),
            coming=tuple(what_comes(facts)),
        ),
    )


@router.post("/in/{token}")
def open_link(token: str, request: Request, portal: Here, db: Db, now: Now) -> Response:
    """Trade the link for a session, and go on to an address without a secret. Twice does no harm: it needs no one-time
    key.
    """
    link = _live_link(token, request, portal, db, now)
    to_answer = (
        link.may("answer") and not answers.sent(db, link.gig_id) and gigs.of_link(db, link.gig_id).cancelled_at is None
    )
    base = house_base(link.gig_id)
    response = RedirectResponse(path_to("next_question", base) if to_answer else base, HTTPStatus.SEE_OTHER)
    deps.start_link_session(portal, db, response, link, now)
    log.info("link used link=%s", link.id)
    return response


@router.get("/house/{gig_id}")
def show_house_gig(request: Request, gig: TheGig, db: Db, now: Now) -> Response:
    """Where the gig stands and what there is to do, from the house's side."""
    return render(request, _page(db, gig, now))


def _live_link(token: str, request: Request, portal: deps.Portal, db: Session, now: datetime) -> Link:
    """The live link of a token. Unknown, expired and revoked ones get one and the same page, and too many of those a
    limiter.
    """
    link = stored_links.by_token_hash(db, token_hash(token))
    if link is not None and link.live(now):
        return link
    take_place((portal.link_limiter, address_of(request)))
    log.warning("link refused")
    raise PortalError(
        404,
        "This link does not work",
        "It may be cut short, replaced, or past its last day. Open it again from the band's message, or ask the band"
        " for a new one.",
    )


def _last_day(link: Link, gig: Gig) -> str:
    return say_date((link.expires - timedelta(seconds=1)).astimezone(ZoneInfo(gig.time_zone)).date())


def _page(db: Session, gig: AllowedGig, now: datetime) -> HouseGig:
    link = stored_links.by_id(db, gig.link_id or "")
    if link is None:
        raise NotThere
    minutes = gig.gig.minutes
    return HouseGig(
        title=gig.gig.name,
        base=gig.base,
        band=bands.name_of(db, gig.gig.band_id),
        when=say_date(gig.gig.on),
        place=gig.gig.place,
        standing=standing(db, gig.gig, now),
        sentence=sentence_of(db, gig.gig),
        times=tuple((words, say_minutes(minutes[key])) for key, words in TIME_WORDS.items() if key in minutes),
        may_answer="answer" in gig.powers,
        may_sign="sign" in gig.powers,
        sent=bool(answers.sent(db, gig.gig.id)),
        coming=tuple(what_comes(ground(db, gig.gig).facts)),
        allowed_actions=allowed_actions(link) if gig.powers != {"view"} else "see the plan and take the papers",
        until=_last_day(link, gig.gig),
        tasks=tasks_of(db, gig, task_addresses(gig.base), now),
        live=gig_live(db, gig),
        may_take="given" in gig.powers,
    )
