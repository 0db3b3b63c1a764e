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

from portal.advance.gig_access import allowed_actions
from portal.advance.planning import ground, sentence_of
from portal.advance.status.gig_status import Standing, standing
from portal.advance.status.open_tasks import Task, tasks_of
from portal.advance.times_told import moved_since_signing, times_told
from portal.advance.what_comes import Coming, what_comes
from portal.plan.input.questions import TOPICS, questions_of
from portal.store import answers, gigs
from portal.store import links as stored_links
from portal.store.accounts import bands
from portal.store.database.session import Session
from portal.store.emails import addresses
from portal.store.gigs import Gig
from portal.store.house import house_gigs
from portal.store.links import Link
from portal.web.documents.document_list import patch_sheets
from portal.web.frame.access import WAY_IN, id_in_token, id_token_fits, token_hash
from portal.web.frame.begin_session import start_link_session
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.errors import NotThere, PortalError
from portal.web.frame.forms import Check, Posted
from portal.web.frame.links import Screens, house_base, path_to, task_addresses
from portal.web.frame.live import gig_live
from portal.web.frame.pages import Draft, FormPage, Page, render
from portal.web.frame.rate_limiter import address_of, take_place
from portal.web.frame.running import Portal
from portal.web.gig.history import changed_since_look, comments_of
from portal.web.house.house_access import house_of_key, remember, remembered, remembered_stages
from portal.web.house.sheet_reuse import stage_words, tie_to
from portal.wording.catalogue import gettext
from portal.wording.times import say_date

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
    key_action: str
    stages: tuple[tuple[str, str], ...]
    coming: tuple[Coming, ...]


@dataclass(frozen=True, kw_only=True)
class HouseGig(Page):
    """A gig for whoever came by a link: where it stands and what there is to do. ``moved``: which times changed after
    signing.
    """

    template: ClassVar[str] = "house/house_gig.html"
    base: str
    band: str
    when: str
    place: str
    standing: Standing
    moved: str
    sentence: str
    times: tuple[tuple[str, str], ...]
    contact: str
    may_answer: bool
    may_sign: bool
    sent: bool
    coming: tuple[Coming, ...]
    allowed_actions: str
    until: str
    tasks: tuple[Task, ...]
    sheets: tuple[tuple[str, str], ...]
    live: str
    may_take: bool
    answer_as: bool
    houses: tuple[tuple[str, str], ...]
    emails: bool
    changed: tuple[str, ...]
    comments: int


@router.api_route("/in/{token}", methods=["GET", "HEAD"])
def show_link(token: str, request: Request, portal: Here, db: Db, now: Now) -> Response:
    """What the link is for. Mail programs and chat previews open links: this changes nothing, however often."""
    link = _live_link(token, request, portal, db, now)
    return render(request, _way_in(token, request, portal, db, link, now, Draft()))


@router.post("/in/{token}/house-key")
def enter_house_key(token: str, request: Request, sent: Sent, portal: Here, db: Db, now: Now) -> Response:
    """Let this browser remember the house whose key was typed or pasted, as an address or alone. Twice does no harm."""
    link = _live_link(token, request, portal, db, now)
    check = Check(sent)
    key = check.text("house_key", gettext("Paste the house key, or its address."), longest=400).rpartition("/")[2]
    try:
        house = house_of_key(db, request, portal, key) if check.well else None
    except PortalError as error:
        if error.status != HTTPStatus.NOT_FOUND:
            raise
        check.fault("house_key", f"{error.title}. {error.sentence}")
        house = None
    if house is None:
        return render(request, _way_in(token, request, portal, db, link, now, check.draft()), status=422)
    response = RedirectResponse(path_to("show_link", token=token), HTTPStatus.SEE_OTHER)
    remember(portal, response, house, now)
    log.info("house key used house=%s", house.id)
    return response


@router.post("/in/{token}")
def open_link(token: str, request: Request, sent: Sent, portal: Here, db: Db, now: Now) -> Response:
    """Trade the link for a session, and go on to an address without a secret: the questions, or what is asked for the
    night where a stage was chosen. Twice does no harm: it needs no one-time key.
    """
    link = _live_link(token, request, portal, db, now)
    stage = _tie(request, sent, portal, db, link, now)
    to_answer = (
        link.may("answer") and not answers.sent(db, link.gig_id) and gigs.of_link(db, link.gig_id).cancelled_at is None
    )
    base = house_base(link.gig_id)
    questions = path_to("show_for_the_night" if stage else "next_question", base)
    response = RedirectResponse(questions if to_answer else base, HTTPStatus.SEE_OTHER)
    start_link_session(portal, db, response, link, now)
    log.info("link used link=%s", link.id)
    return response


@router.get("/house/{gig_id}")
def show_house_gig(request: Request, gig: TheGig, portal: Here, db: Db, now: Now) -> Response:
    """Where the gig stands and what there is to do, from the house's side. Whoever has the sheet goes to the day."""
    if gig.by_sheet:
        return RedirectResponse(path_to("show_day", gig.base), HTTPStatus.SEE_OTHER)
    return render(request, _page(request, portal, db, gig, now))


def _live_link(token: str, request: Request, portal: Portal, db: Session, now: datetime) -> Link:
    """The live link of a token. Unknown, expired and revoked ones get one and the same page, and too many of those a
    limiter.
    """
    link = stored_links.by_token_hash(db, token_hash(token)) or _from_email(db, portal, token)
    if link is not None and link.live(now):
        return link
    take_place((portal.link_limiter, address_of(request)))
    log.warning("link refused")
    raise PortalError(
        404,
        gettext("This link does not work"),
        gettext(
            "It may be cut short, replaced, or past its last day. Open it again from the band's message, or ask the"
            " band for a new one."
        ),
    )


def _from_email(db: Session, portal: Portal, token: str) -> Link | None:
    """The link that an email leads in by."""
    link_id = id_in_token(token)
    link = stored_links.by_id(db, link_id) if link_id else None
    fits = link is not None and id_token_fits(portal.key, token, WAY_IN, link.id, link.token_hash)
    return link if fits else None


def _way_in(token: str, request: Request, portal: Portal, db: Session, link: Link, now: datetime, form: Draft) -> WayIn:
    gig = gigs.of_link(db, link.gig_id)
    sender = bands.user(db, link.created_by)
    facts = ground(db, gig).facts
    topics = [
        topic
        for topic in TOPICS
        if topic.first and any(facts.asked(question.key) for question in questions_of(topic.key))
    ]
    may_answer = link.may("answer")
    known = remembered_stages(request, db, portal, now) if may_answer else []
    return WayIn(
        title=gig.name,
        form=form,
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
        key_action=path_to("enter_house_key", token=token),
        stages=tuple((stage.id, stage_words(house, stage)) for house, stage in known),
        coming=tuple(what_comes(facts)),
    )


def _last_day(link: Link, gig: Gig) -> str:
    return say_date((link.expires - timedelta(seconds=1)).astimezone(ZoneInfo(gig.time_zone)).date())


def _tie(request: Request, sent: Posted, portal: Portal, db: Session, link: Link, now: datetime) -> str:
    """Tie the gig to the stage that was chosen, or anew to the one of an earlier link. The chosen stage, empty where
    none was.
    """
    if not link.may("answer"):
        return ""
    known = {stage.id for _, stage in remembered_stages(request, db, portal, now)}
    tied = house_gigs.stage_of(db, link.gig_id)
    chosen = sent.text("stage")
    before = tied.id if tied and tied.id in known else ""
    if chosen or before:
        tie_to(request, portal, db, link.gig_id, link.id, chosen or before, now)
    return chosen


def _page(request: Request, portal: Portal, db: Session, gig: AllowedGig, now: datetime) -> HouseGig:
    link = stored_links.by_id(db, gig.link_id or "")
    if link is None:
        raise NotThere
    known = remembered(request, db, portal, now)
    return HouseGig(
        title=gig.gig.name,
        base=gig.base,
        band=bands.name_of(db, gig.gig.band_id),
        when=say_date(gig.gig.on),
        place=gig.gig.place,
        standing=standing(db, gig.gig, now),
        moved=moved_since_signing(db, gig.gig),
        sentence=sentence_of(db, gig.gig),
        times=times_told(db, gig.gig),
        contact=gig.gig.contact,
        may_answer="answer" in gig.powers,
        may_sign="sign" in gig.powers,
        sent=bool(answers.sent(db, gig.gig.id)),
        coming=tuple(what_comes(ground(db, gig.gig).facts)),
        allowed_actions=allowed_actions(link),
        until=_last_day(link, gig.gig),
        tasks=tasks_of(db, gig, task_addresses(gig.base), now),
        sheets=patch_sheets(db, gig, now),
        live=gig_live(db, gig),
        may_take="given" in gig.powers,
        answer_as=bool(known) and "answer" in gig.powers,
        houses=tuple((house.name, path_to("show_house", house_id=house.id)) for house in known),
        emails=addresses.on(db) and "given" in gig.powers,
        changed=changed_since_look(request, db, gig),
        comments=comments_of(db, gig),
    )
