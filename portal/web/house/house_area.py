"""The house's own pages: the gigs on its stages, its key, and what it gave to be taken along."""

import logging
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import ClassVar

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from portal.advance.status.gig_status import PAST, Standing, standings
from portal.store import looks
from portal.store.accounts import sessions
from portal.store.database import scopes
from portal.store.database.session import Session
from portal.store.emails import addresses
from portal.store.house import house_gigs, houses, inquiries
from portal.store.house.house_gigs import TiedGig
from portal.store.record import house_data
from portal.web.documents.downloads import a_file, safe_name
from portal.web.frame import cookies
from portal.web.frame.access import new_token, token_hash
from portal.web.frame.begin_session import start_link_session
from portal.web.frame.deps import Db, Here, Now, Sent
from portal.web.frame.errors import NotThere, PortalError
from portal.web.frame.forms import begin
from portal.web.frame.links import Screens, house_base, mail, path_to
from portal.web.frame.pages import Draft, FormPage, Page, render
from portal.web.frame.paging import PageNumber, both_ways
from portal.web.frame.running import Portal
from portal.web.house.house_access import AllowedHouse, TheHouse, forget, house_of_key, remember
from portal.wording.catalogue import gettext as _
from portal.wording.times import say_date, say_moment

router = Screens()
log = logging.getLogger("portal.security")


@dataclass(frozen=True, kw_only=True)
class KeyLanding(FormPage):
    """What a house key opens, before anything happens."""

    template: ClassVar[str] = "house/key/house_key.html"
    action: str
    stages: tuple[str, ...]


@dataclass(frozen=True)
class ListedGig:
    """One gig of the list. ``href`` opens it, empty where the band's link has ended; ``since``: when something
    happened last.
    """

    name: str
    act: str
    when: str
    stage: str
    standing: Standing
    since: str
    proposals: int
    waits: bool
    open_href: str
    changed: int


@dataclass(frozen=True)
class AskedFor:
    """A gig that a band asks for by an inquiry link, and where the house settles it."""

    act: str
    name: str
    when: str
    stage: str
    action: str


@dataclass(frozen=True, kw_only=True)
class HouseList(FormPage):
    """The gigs of a house: those that are asked for, those that wait for it, the others to come, the past. ``full``:
    stages whose inquiry link takes no more today, with its page.
    """

    template: ClassVar[str] = "house/house_list.html"
    house_id: str
    stages: tuple[tuple[str, str, str], ...]
    asked: tuple[AskedFor, ...]
    waiting: tuple[ListedGig, ...]
    coming: tuple[ListedGig, ...]
    past: tuple[ListedGig, ...]
    first_page: str
    later: str
    earlier: str
    emails: bool
    not_reached: bool
    full: tuple[tuple[str, str], ...]


@dataclass(frozen=True, kw_only=True)
class KeyPage(FormPage):
    """What can be done with the key: replace it, or let this device forget it."""

    template: ClassVar[str] = "house/key/house_key_change.html"
    house_id: str
    made: str


@dataclass(frozen=True, kw_only=True)
class NewKey(Page):
    """A house key, the one time that it can be shown."""

    template: ClassVar[str] = "house/key/new_house_key.html"
    house: str
    house_id: str
    address: str
    mail: str


@router.get("/house-key/{house_token}")
def show_house_key(house_token: str, request: Request, portal: Here, db: Db) -> Response:
    """What the key opens. Looking changes nothing."""
    house = house_of_key(db, request, portal, house_token)
    page = KeyLanding(
        title=_("House key of %(name)s", name=house.name),
        form=Draft(),
        action=path_to("show_house_key", house_token=house_token),
        stages=tuple(stage.name for stage in houses.stages_of(db, house.id)),
    )
    return render(request, page)


@router.post("/house-key/{house_token}")
def use_house_key(house_token: str, request: Request, portal: Here, db: Db, now: Now) -> Response:
    """Let this browser remember the house. Twice does no harm: it needs no one-time key."""
    house = house_of_key(db, request, portal, house_token)
    response = RedirectResponse(path_to("show_house", house_id=house.id), 303)
    remember(portal, response, house, now)
    log.info("house key used house=%s", house.id)
    return response


@router.get("/houses/{house_id}")
def show_house(
    request: Request,
    house: TheHouse,
    portal: Here,
    db: Db,
    now: Now,
    later: PageNumber = 0,
    earlier: PageNumber = 0,
) -> Response:
    """The gigs on the house's stages, first what waits for the house. One page of those to come and one of the past; a
    further page of either is shown alone.
    """
    tied = both_ways(
        lambda number: house_gigs.coming(db, house.house.id, now, number),
        lambda number: house_gigs.gone(db, house.house.id, now, number),
        later,
        earlier,
        partial(path_to, "show_house", house_id=house.house.id),
    )
    listed = _listed(db, {one.gig.id: one for one in (*tied.forwards, *tied.backwards)}, now)
    to_come = [one for each in tied.forwards if (one := listed[each.gig.id]).standing.state not in PAST]
    stages = houses.stages_of(db, house.house.id)
    page = HouseList(
        title=house.house.name,
        form=Draft(),
        house_id=house.house.id,
        stages=tuple(
            (
                stage.name,
                path_to("show_stage_sheet", house_id=house.house.id, stage_id=stage.id),
                _("confirmed %(day)s", day=say_date(stage.confirmed.date())),
            )
            for stage in stages
        ),
        asked=tuple(
            AskedFor(
                one.act,
                one.gig.name,
                say_date(one.gig.on),
                one.stage.name,
                path_to("settle_inquiry", house_id=house.house.id, gig_id=one.gig.id),
            )
            for one in (inquiries.waiting(db, house.house.id) if not tied.first_page else ())
        ),
        waiting=tuple(one for one in to_come if one.waits),
        coming=tuple(one for one in to_come if not one.waits),
        past=tuple(one for each in tied.backwards if (one := listed[each.gig.id]).standing.state in PAST),
        first_page=tied.first_page,
        later=tied.later,
        earlier=tied.earlier,
        emails=addresses.on(db),
        not_reached=addresses.refused(db, house.actor),
        full=tuple(
            (stage.name, path_to("show_inquiry_link", house_id=house.house.id, stage_id=stage.id))
            for stage in stages
            if portal.asked_limiter.wait_s(stage.id)
        ),
    )
    return render(request, page)


@router.post("/houses/{house_id}/gigs/{gig_id}/open")
def open_tied_gig(gig_id: str, house: TheHouse, portal: Here, db: Db, now: Now) -> Response:
    """Open a gig of the list by the link by which it was tied, with that link's powers and until its end. Twice does no
    harm.
    """
    tied = house_gigs.of_gig(db, house.house.id, gig_id)
    if tied is None:
        raise NotThere
    if not tied.link.live(now):
        raise PortalError(
            404, _("The band's link has ended"), _("Ask the band for a new link, and open it on this device.")
        )
    response = RedirectResponse(house_base(gig_id), 303)
    start_link_session(portal, db, response, tied.link, now)
    log.info("link used link=%s by=%s", tied.link.id, house.actor)
    return response


@router.get("/houses/{house_id}/key")
def show_key_change(request: Request, house: TheHouse) -> Response:
    """Replace the key, or forget it here."""
    page = KeyPage(
        title=_("House key"),
        form=Draft(),
        house_id=house.house.id,
        made=say_date(house.house.key_made.date()),
    )
    return render(request, page)


@router.post("/houses/{house_id}/key")
def replace_key(request: Request, sent: Sent, house: TheHouse, portal: Here, db: Db, now: Now) -> Response:
    """Make a new key and show it. The old one, every browser that remembers it, and the gigs that are open by it end at
    once; this one goes on with the list.
    """
    once = begin(request, db, sent, actor=house.actor, key=portal.key, now=now)
    key = new_token()
    scopes.take(db, scopes.EVERYTHING)
    houses.replace_key(db, house.house, token_hash(key), now)
    for tied in house_gigs.of_house(db, house.house.id):
        sessions.end_of_link(db, tied.link.id)
    log.info("house key replaced house=%s", house.house.id)
    once.done(path_to("show_house", house_id=house.house.id))
    return new_key_page(request, portal, house, key, now)


@router.post("/houses/{house_id}/forget")
def forget_house(house: TheHouse, portal: Here, db: Db) -> Response:
    """Let this browser forget the key, and the gigs of the house's list that are open in it."""
    response = RedirectResponse(path_to("home"), 303)
    forget(portal, response, house.house.id)
    for tied in house_gigs.of_house(db, house.house.id):
        cookies.clear_cookie(portal.settings, response, cookies.cookie_name(portal.settings, tied.gig.id))
    return response


@router.get("/houses/{house_id}/given.json")
def house_data_file(house: TheHouse, db: Db) -> Response:
    """Everything on the stages' sheets, as a file."""
    log.info("given taken house=%s", house.house.id)
    return a_file(safe_name(house.house.name, "stages") + ".json", house_data.write(house_data.of(db, house.house)))


def new_key_page(request: Request, portal: Portal, house: AllowedHouse, key: str, now: datetime) -> Response:
    """The page that shows a key once; the browser remembers it."""
    address = portal.settings.base_url + path_to("show_house_key", house_token=key)
    response = render(
        request,
        NewKey(
            title=_("Your house key"),
            house=house.house.name,
            house_id=house.house.id,
            address=address,
            mail=mail(
                _("House key of %(name)s", name=house.house.name),
                _("Opens our stage sheets and our list of gigs: %(address)s", address=address),
            ),
        ),
    )
    remember(portal, response, house.house, now)
    return response


def _listed(db: Session, tied: Mapping[str, TiedGig], now: datetime) -> dict[str, ListedGig]:
    found = standings(db, [one.gig for one in tied.values()], now)
    gig_ids = list(tied)
    last = house_gigs.last_moments(db, gig_ids)
    waiting = house_gigs.proposals_for_house(db, gig_ids)
    changed = looks.news_of(db, "house", looks.seen(db, [f"link:{one.link.id}" for one in tied.values()], gig_ids))
    listed = {}
    for gig_id, one in tied.items():
        stands = found[gig_id]
        proposals = waiting.get(gig_id, 0)
        listed[gig_id] = ListedGig(
            name=one.gig.name,
            act=one.act,
            when=say_date(one.gig.on),
            stage=one.stage.name,
            standing=stands,
            since=say_moment(last.get(gig_id, one.since), one.gig.time_zone),
            proposals=proposals,
            changed=changed.get(gig_id, 0),
            waits=stands.state not in PAST and (stands.actor in ("house", "both") or proposals > 0),
            open_href=(
                path_to("open_tied_gig", house_id=one.stage.house_id, gig_id=gig_id) if one.link.live(now) else ""
            ),
        )
    return listed
