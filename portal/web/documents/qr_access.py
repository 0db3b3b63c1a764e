"""The code printed on a paper: where it leads, and the way in by it, to look and nothing more."""

import logging
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from http import HTTPStatus
from typing import ClassVar

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from portal.advance.document_context import unlinked_cover
from portal.advance.status.gig_status import ends
from portal.documents.cover import Cover
from portal.store import gigs
from portal.store import links as link_store
from portal.store.accounts import sessions
from portal.store.database.session import Session
from portal.store.gigs import Gig
from portal.store.plans import StoredPlan
from portal.web.frame import cookies
from portal.web.frame.access import LINK_IDLE, ViewToken, read_view_token, token_hash, write_view_token
from portal.web.frame.begin_session import start_link_session
from portal.web.frame.deps import Db, Here, Now
from portal.web.frame.errors import PortalError
from portal.web.frame.links import Screens, band_base, house_base, path_to
from portal.web.frame.pages import Draft, Page, render
from portal.web.frame.rate_limiter import address_of, take_place
from portal.web.frame.running import Portal
from portal.wording.catalogue import gettext as _
from portal.wording.times import say_date, say_moment

router = Screens()
log = logging.getLogger("portal.security")

CODE_LASTS = timedelta(days=7)
"""How long after its gig the code on a paper lets people look (common practice, no source)."""


@dataclass(frozen=True, kw_only=True)
class ByCode(Page):
    """The landing page of the code on a paper; only its button lets anybody in, so that a preview of the address uses
    nothing up.
    """

    template: ClassVar[str] = "documents/qr_access.html"
    where: str
    until: str
    href: str
    form: Draft


def cover_of(db: Session, portal: Portal, gig: Gig, stored: StoredPlan) -> Cover:
    """What stands around a plan on paper, with the code by which whoever holds it finds what holds now."""
    address = crew_address(db, portal, gig)
    own = portal.settings.base_url + path_to("show_day", band_base(gig.id))
    return replace(unlinked_cover(db, gig, stored), link=address or own, link_asks=not address)


def crew_address(db: Session, portal: Portal, gig: Gig) -> str:
    """Where the code lets anybody look, as far as the house's newest live link does, and no more. Empty where there is
    no such link: then the code leads the band's members to their own page.
    """
    now = portal.clock()
    link = next((one for one in link_store.of_gig(db, gig.id) if one.party == "house" and one.live(now)), None)
    if link is None:
        return ""
    token = ViewToken(gig.id, link.id, min(link.expires, ends(gig) + CODE_LASTS))
    if token.expires <= now:
        return ""
    return portal.settings.base_url + path_to("show_code", view_token=write_view_token(portal.key, token))


def _link_of_code(
    request: Request, db: Session, portal: Portal, view_token: str, now: datetime
) -> tuple[ViewToken, link_store.Link]:
    token = read_view_token(portal.key, view_token, now)
    link = link_store.by_id(db, token.link_id) if token else None
    if token is None or link is None or link.gig_id != token.gig_id or not link.live(now):
        # Only failures take a place: a crew that shares a line holds nobody up.
        take_place((portal.link_limiter, address_of(request)))
        log.warning("code refused")
        raise PortalError(
            404,
            _("This code leads nowhere any more"),
            _("It may be from an older sheet, or its time is over. Ask the band for a new link or a new sheet."),
        )
    return token, link


@router.get("/day/{view_token}")
def show_code(view_token: str, request: Request, db: Db, portal: Here, now: Now) -> Response:
    """What the code leads to, and a button to go in."""
    token, link = _link_of_code(request, db, portal, view_token, now)
    gig = gigs.of_link(db, link.gig_id)
    where = f"{gig.name} · {say_date(gig.on)} · {gig.place}"
    return render(
        request,
        ByCode(
            title=_("The sheet of the day"),
            where=where,
            until=say_moment(token.expires, gig.time_zone),
            href=path_to("show_code", view_token=view_token),
            form=Draft(),
        ),
    )


@router.post("/day/{view_token}")
def enter_by_code(view_token: str, request: Request, db: Db, portal: Here, now: Now) -> Response:
    """Let the holder of the paper in to look. Whoever came in by the link itself keeps what that link can do."""
    token, link = _link_of_code(request, db, portal, view_token, now)
    response = RedirectResponse(path_to("show_day", house_base(link.gig_id)), HTTPStatus.SEE_OTHER)
    cookie = request.cookies.get(cookies.cookie_name(portal.settings, link.gig_id), "")
    here = sessions.find(db, token_hash(cookie), "link", now=now, idle=LINK_IDLE) if cookie else None
    entered = link_store.by_id(db, here.link_id) if here is not None and here.link_id else None
    if entered is None or not entered.live(now) or entered.gig_id != link.gig_id:
        start_link_session(portal, db, response, link, now, view_until=token.expires)
    return response
