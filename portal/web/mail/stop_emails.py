"""Emails are stopped by whoever reads them: by one click of a mail program (RFC 8058), or by a button on a page. The
token in the address is the power: nobody signs in, and no cookie is read.
"""

import logging
from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.store.database import scopes
from portal.store.database.session import Session
from portal.store.emails import addresses, outbox
from portal.web.frame.access import id_in_token, id_token_fits
from portal.web.frame.deps import Db, Here, Now, Sent
from portal.web.frame.errors import PortalError
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.web.frame.rate_limiter import address_of, take_place
from portal.web.frame.running import Portal
from portal.web.mail.letters import STOP
from portal.web.mail.readers import known_address
from portal.wording.catalogue import gettext

router = Screens()
log = logging.getLogger("portal.security")


@dataclass(frozen=True, kw_only=True)
class StopEmails(FormPage):
    """The button that stops all emails to one address, or lets them come again."""

    template: ClassVar[str] = "mail/stop_emails.html"
    action: str
    stopped: bool


@router.get("/emails/stop/{stop_token}")
def show_stop_emails(stop_token: str, request: Request, portal: Here, db: Db) -> Response:
    """The button. Mail programs open every address of an email: looking changes nothing."""
    address = _address(db, request, portal, stop_token)
    return render(request, _page(db, portal, stop_token, address))


@router.post("/emails/stop/{stop_token}")
def stop_emails(stop_token: str, request: Request, sent: Sent, portal: Here, db: Db, now: Now) -> Response:
    """Stop every email to the address, or let them come again. Twice does no harm: it needs no one-time key."""
    address = _address(db, request, portal, stop_token)
    digest = addresses.stop_digest(portal.key, address)
    again = sent.text("again") == "yes"
    scopes.take(db, scopes.reader(digest))
    if again:
        addresses.start_again(db, digest)
    else:
        addresses.stop(db, digest, now)
    log.info("emails %s email=%s", "wanted again" if again else "stopped", id_in_token(stop_token))
    return render(request, _page(db, portal, stop_token, address))


def _address(db: Session, request: Request, portal: Portal, token: str) -> str:
    """The address that an email went to. A wrong token, and an address that is erased, get one and the same page."""
    email_id = id_in_token(token)
    row = outbox.get(db, email_id) if email_id else None
    address = known_address(db, row.who) if row else ""
    if address and id_token_fits(portal.key, token, STOP, email_id, addresses.stop_digest(portal.key, address)):
        return address
    take_place((portal.link_limiter, address_of(request)))
    log.warning("stop of emails refused")
    raise PortalError(
        404,
        gettext("This address of the portal does not work"),
        gettext("It may be cut short, or the email is long ago. Use the newest email from the portal."),
    )


def _page(db: Session, portal: Portal, token: str, address: str) -> StopEmails:
    stopped = addresses.stopped(db, addresses.stop_digest(portal.key, address))
    return StopEmails(
        title=gettext("No emails come any more") if stopped else gettext("Stop the portal's emails"),
        form=Draft(),
        action=path_to("show_stop_emails", stop_token=token),
        stopped=stopped,
    )
