"""The other way round: a house shows an inquiry link, a band with an account asks for a gig by it, the house accepts or
declines. Before it accepts, the band sees the names of house and stage, and the house the band's name and date.
"""

import logging
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import ClassVar
from zoneinfo import ZoneInfo

from fastapi import Request
from fastapi.responses import Response

from portal.advance.house_sheet import for_gig
from portal.advance.planning import ground, want
from portal.advance.time_zones import all_zones, moment_of, zone_options
from portal.store import gigs, links, rigs
from portal.store.accounts import sessions
from portal.store.database.session import Session
from portal.store.gigs import GigWords
from portal.store.house import house_gigs, houses, inquiries
from portal.store.house.houses import House, HouseStage
from portal.store.house.inquiries import AskedGig, Inquiry
from portal.web.frame.access import id_in_token, id_token_fits, new_token, token_hash, write_id_token
from portal.web.frame.begin_session import start_link_session
from portal.web.frame.deps import BAND_POWERS, BandUser, Db, Here, MaybeUser, Now, Sent, SignedIn
from portal.web.frame.errors import NotThere, PortalError
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, band_base, house_base, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.web.frame.rate_limiter import address_of, take_place
from portal.web.frame.running import Portal
from portal.web.gig.share import LASTS
from portal.web.house.house_access import AllowedHouse, TheHouse
from portal.web.house.sheet_reuse import give_told
from portal.wording.catalogue import gettext as _

router = Screens()
log = logging.getLogger("portal.security")

INQUIRY = "inquiry"
"""What the token of an inquiry link is made for."""

OUTCOMES = ("accepted", "declined")


@dataclass(frozen=True, kw_only=True)
class AskForGig(FormPage):
    """What an inquiry link opens. ``may``: whoever is signed in may ask; ``signed_in``: somebody is."""

    template: ClassVar[str] = "house/ask_for_gig.html"
    action: str
    house: str
    stage: str
    signed_in: bool
    may: bool
    zones: tuple[tuple[str, str], ...]
    rigs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, kw_only=True)
class InquiryLinkPage(FormPage):
    """The inquiry link of a stage; ``address`` is empty where there is none, ``full``: it takes no more today."""

    template: ClassVar[str] = "house/inquiry_link.html"
    house_id: str
    stage_id: str
    stage: str
    address: str
    full: bool


@router.get("/ask/{ask_token}")
def show_ask(ask_token: str, request: Request, user: MaybeUser, portal: Here, db: Db) -> Response:
    """Which house and stage the link asks for, and the form for whoever may make gigs. Looking changes nothing."""
    house, stage = _asked(db, request, portal, ask_token)
    zone = next((gig.time_zone for gig in gigs.of_band(db, user.band_id, 1)), "") if user else ""
    return render(request, _ask_page(db, ask_token, house, stage, user, Draft.of({"zone": zone})))


@router.post("/ask/{ask_token}")
def ask_for_gig(
    ask_token: str, request: Request, sent: Sent, user: SignedIn, portal: Here, db: Db, now: Now
) -> Response:
    """Make the gig, and ask the house for it."""
    house, stage = _asked(db, request, portal, ask_token)
    if not _may(user):
        raise PortalError(
            403, _("You cannot do that"), _("Nothing was saved. Ask the owner of the band's account to do it.")
        )
    check = Check(sent)
    words = _read(check, db, user, house, now)
    if words is None:
        return render(request, _ask_page(db, ask_token, house, stage, user, check.draft()), status=422)
    once = begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
    # One account and one line each ask for so many: it takes several of both to use up what the house hears a day.
    line = f"{address_of(request)} {stage.id}"
    place = take_place((portal.ask_limiter, user.actor), (portal.ask_limiter, line))
    if portal.asked_limiter.take(stage.id):
        place.give_back()
        raise PortalError(
            429,
            _("This house takes no more today"),
            _(
                "Nothing was sent: %(name)s was asked for very many gigs since yesterday. Write to the house, which"
                " can open its link again, or try tomorrow.",
                name=house.name,
            ),
            retry_after_s=portal.asked_limiter.wait_s(stage.id),
        )
    gig = gigs.add(db, user.band_id, words, now, actor=user.actor)
    link = links.make(
        db,
        gig_id=gig.id,
        party="house",
        label=house.name,
        powers=frozenset(links.POWERS),
        # Nobody holds its token: the house gets in from its list, once it accepts.
        token_hash=token_hash(new_token()),
        expires=moment_of(gig.on + LASTS + timedelta(days=1), 0, gig.time_zone),
        created_by=user.user_id,
        now=now,
    )
    inquiries.ask(db, gig, stage.id, link.id, now, actor=user.actor)
    want(db, gig, now)
    log.info("gig asked for gig=%s stage=%s by=%s", gig.id, stage.id, user.actor)
    return once.done(band_base(gig.id))


@router.get("/houses/{house_id}/stages/{stage_id}/inquiry")
def show_inquiry_link(request: Request, stage_id: str, house: TheHouse, portal: Here, db: Db) -> Response:
    """The stage's inquiry link, which may be shown as often as it is asked for: it is meant for everybody."""
    return render(request, _link_page(db, portal, house, _stage(db, house, stage_id)))


@router.post("/houses/{house_id}/stages/{stage_id}/inquiry")
def make_inquiry_link(
    request: Request, stage_id: str, sent: Sent, house: TheHouse, portal: Here, db: Db, now: Now
) -> Response:
    """Make the link, or end it, or let it take more gigs today. What was asked for by it stays in the list."""
    stage = _stage(db, house, stage_id)
    once = begin(request, db, sent, actor=house.actor, key=portal.key, now=now)
    if sent.text("end"):
        deed = "ended"
        inquiries.end_link(db, stage.id)
    elif sent.text("more"):
        deed = _("opened again")
        portal.asked_limiter.forget(stage.id)
    else:
        deed = "made"
        inquiries.make_link(db, stage.id, now)
    log.info("inquiry link %s stage=%s by=%s", deed, stage.id, house.actor)
    return once.done(path_to("show_inquiry_link", house_id=house.house.id, stage_id=stage.id))


@router.post("/houses/{house_id}/inquiries/{gig_id}")
def settle_inquiry(
    request: Request, gig_id: str, sent: Sent, house: TheHouse, portal: Here, db: Db, now: Now
) -> Response:
    """Accept a gig: it comes to the list, and the stage's answers stand in it. Or decline it: its link ends."""
    asked = next(iter(inquiries.waiting(db, house.house.id, gig_id)), None)
    if asked is None and not sent.raw("form_key"):
        raise NotThere
    # The same form again finds the gig settled by itself: its key is looked at first.
    once = begin(request, db, sent, actor=house.actor, key=portal.key, now=now)
    if asked is None:
        raise NotThere
    check = Check(sent)
    outcome = check.choice("outcome", OUTCOMES, _("Accept the gig, or decline it."))
    if not check.well:
        raise PortalError(422, _("The form did not arrive whole"), _("Nothing was saved. Load the list again."))
    inquiries.settle(db, asked.inquiry, outcome, now)
    log.info("gig %s gig=%s by=%s", outcome, asked.gig.id, house.actor)
    if outcome == "declined":
        _end_link(db, asked.inquiry, house, now)
        return once.done(path_to("show_house", house_id=house.house.id))
    _accept(db, asked, now)
    response = once.done(path_to("show_for_the_night", house_base(asked.gig.id)))
    link = links.by_id(db, asked.inquiry.link_id)
    if link is not None and link.live(now):
        start_link_session(portal, db, response, link, now)
    return response


def _accept(db: Session, asked: AskedGig, now: datetime) -> None:
    """Tie the gig to the stage, and answer it with what the stage's sheet says of every night."""
    house_gigs.tie(db, asked.gig.id, asked.stage.id, asked.inquiry.link_id, now)
    found = for_gig(houses.facts_of(db, asked.stage.id), ground(db, asked.gig).facts, {}, now)
    give_told(db, asked.gig.id, asked.inquiry.link_id, found.told, now)
    want(db, asked.gig, now)


def _end_link(db: Session, inquiry: Inquiry, house: AllowedHouse, now: datetime) -> None:
    link = links.by_id(db, inquiry.link_id)
    if link is not None:
        links.revoke(db, link, now, actor=f"link:{link.id}")
        sessions.end_of_link(db, link.id)
        log.info("link revoked link=%s by=%s", link.id, house.actor)


def _asked(db: Session, request: Request, portal: Portal, token: str) -> tuple[House, HouseStage]:
    """House and stage of an inquiry link. Wrong and ended ones get one and the same page, and too many a limiter."""
    link_id = id_in_token(token)
    if link_id and id_token_fits(portal.key, token, INQUIRY, link_id):
        found = inquiries.open_link(db, link_id)
        if found is not None:
            return found
    take_place((portal.link_limiter, address_of(request)))
    log.warning("inquiry link refused")
    raise PortalError(
        404,
        _("This link does not work"),
        _("It may be cut short, or the house has ended it. Ask the house for a new one."),
    )


def _may(user: BandUser | None) -> bool:
    return user is not None and "edit" in BAND_POWERS[user.role]


def _read(check: Check, db: Session, user: BandUser, house: House, now: datetime) -> GigWords | None:
    """The gig that a form asks for; ``None`` where something is to be put right."""
    name = check.text("name", _("Enter a name for the gig, for example the evening's title."))
    on = check.date("on", _("Enter the date."))
    zone = check.choice("zone", all_zones(), _("Choose the time zone of the place."))
    rig_id = check.choice(
        "rig", tuple(rig.id for rig in rigs.of_band(db, user.band_id)), _("Choose the rig that plays.")
    )
    if on is not None and zone and on < now.astimezone(ZoneInfo(zone)).date():
        check.fault("on", _("This day is over. Enter a day from today on."))
    if not check.well or on is None:
        return None
    return GigWords(
        name=name,
        place=house.name,
        on=on,
        time_zone=zone,
        times={},
        set_minutes=None,
        configuration="",
        rig_id=rig_id,
        rig_revision_id=rigs.newest(db, rig_id).id,
    )


def _stage(db: Session, house: AllowedHouse, stage_id: str) -> HouseStage:
    stage = houses.stage(db, house.house.id, stage_id)
    if stage is None:
        raise NotThere
    return stage


def _ask_page(
    db: Session, token: str, house: House, stage: HouseStage, user: BandUser | None, form: Draft
) -> AskForGig:
    return AskForGig(
        title=_("Ask %(name)s for a gig", name=house.name),
        form=form,
        action=path_to("show_ask", ask_token=token),
        house=house.name,
        stage=stage.name,
        signed_in=user is not None,
        may=_may(user),
        zones=(("", _("Choose one")), *zone_options(filter(None, [form.value("zone")]))),
        rigs=tuple((rig.id, rig.name) for rig in rigs.of_band(db, user.band_id)) if user else (),
    )


def _link_page(db: Session, portal: Portal, house: AllowedHouse, stage: HouseStage) -> InquiryLinkPage:
    link = inquiries.link_of(db, stage.id)
    token = write_id_token(portal.key, INQUIRY, link.id) if link else ""
    return InquiryLinkPage(
        title=_("Inquiry link of %(name)s", name=stage.name),
        form=Draft(),
        house_id=house.house.id,
        stage_id=stage.id,
        stage=stage.name,
        address=portal.settings.base_url + path_to("show_ask", ask_token=token) if token else "",
        full=portal.asked_limiter.wait_s(stage.id) > 0,
    )
