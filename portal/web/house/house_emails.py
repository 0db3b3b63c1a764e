"""Where a house is reached by email for all gigs on its stages."""

import logging
from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.status.email_status import email_status
from portal.store.database import scopes
from portal.store.database.session import Session
from portal.store.emails import addresses
from portal.web.frame.deps import Db, Here, Now, Sent
from portal.web.frame.errors import NotThere
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.web.frame.rate_limiter import take_place
from portal.web.frame.running import Portal
from portal.web.house.house_access import AllowedHouse, TheHouse
from portal.wording.catalogue import gettext as _

router = Screens()
log = logging.getLogger("portal.security")


@dataclass(frozen=True, kw_only=True)
class HouseEmails(FormPage):
    """The house's address, and how emails to it stand."""

    template: ClassVar[str] = "house/house_emails.html"
    house_id: str
    house: str
    status: str


@router.get("/houses/{house_id}/emails")
def show_house_emails(request: Request, house: TheHouse, portal: Here, db: Db) -> Response:
    """The address that the house gave."""
    return render(request, _page(db, portal, house, Draft.of({"email": addresses.given_address(db, house.actor)})))


@router.post("/houses/{house_id}/emails")
def save_house_emails(request: Request, sent: Sent, house: TheHouse, portal: Here, db: Db, now: Now) -> Response:
    """Keep the address, an empty one as none."""
    check = Check(sent)
    address = check.email_or_none("email")
    if not check.well:
        return render(request, _page(db, portal, house, check.draft()), status=422)
    once = begin(request, db, sent, actor=house.actor, key=portal.key, now=now)
    take_place((portal.email_limiter, house.actor))
    scopes.take(db, scopes.reader(house.actor))
    addresses.give_address(db, house.actor, address, "house", now)
    log.info("email addresses kept house=%s", house.house.id)
    return once.done(path_to("show_house_emails", house_id=house.house.id))


def _page(db: Session, portal: Portal, house: AllowedHouse, form: Draft) -> HouseEmails:
    if not addresses.on(db):
        raise NotThere
    return HouseEmails(
        title=_("Emails to the house"),
        form=form,
        house_id=house.house.id,
        house=house.house.name,
        status=email_status(db, portal.key, house.actor, addresses.given_address(db, house.actor)),
    )
