"""Where each side of a gig is reached by email, and how the emails stand; one's own account's emails."""

import logging
from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.status.email_status import email_status
from portal.store import links
from portal.store.accounts import bands
from portal.store.database import scopes
from portal.store.database.session import Session
from portal.store.emails import addresses
from portal.store.house import inquiries
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, SignedIn, TheGig
from portal.web.frame.errors import NotThere
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.web.frame.rate_limiter import take_place
from portal.web.frame.running import Portal
from portal.web.mail.email_job import MOST_DAYS
from portal.wording.catalogue import gettext

router = Screens()
log = logging.getLogger("portal.security")


@dataclass(frozen=True)
class AddressRow:
    """One address in the form: its field, for whom, how its emails stand."""

    field: str
    label: str
    status: str


@dataclass(frozen=True, kw_only=True)
class EmailPage(FormPage):
    """The addresses of one side of a gig. ``days``: the band also says when the house is reminded."""

    template: ClassVar[str] = "mail/emails.html"
    action: str
    gig_name: str
    gig_href: str
    rows: tuple[AddressRow, ...]
    days: bool
    saved: bool


@dataclass(frozen=True, kw_only=True)
class AccountEmails(FormPage):
    """How the emails to one's own account stand."""

    template: ClassVar[str] = "mail/account_emails.html"
    address: str
    status: str
    blocked: bool


@router.get("{base}/emails")
def show_emails(request: Request, gig: TheGig, portal: Here, db: Db, saved: str = "") -> Response:
    """The addresses that this side gave, and how emails to them stand."""
    _need(db, gig)
    mine = _mine(db, gig)
    values = {f"email-{link.id}": addresses.given_address(db, f"link:{link.id}") for link in mine}
    days = {"days": str(addresses.reminder_days(db, gig.gig.band_id))} if gig.party == "band" else {}
    return render(request, _page(db, portal, gig, Draft.of({**values, **days}), saved=bool(saved)))


@router.post("{base}/emails")
def save_emails(request: Request, sent: Sent, gig: TheGig, portal: Here, db: Db, now: Now) -> Response:
    """Keep the addresses, an empty one as none; the band's choice of when the house is reminded too."""
    _need(db, gig)
    mine = _mine(db, gig)
    check = Check(sent)
    given = {link.id: check.email_or_none(f"email-{link.id}") for link in mine}
    days = check.number("days", gettext("Days before the gig"), lo=0, hi=MOST_DAYS) if gig.party == "band" else None
    if gig.party == "band" and days is None:
        check.fault("days", gettext("Enter a number from 0 to %(most)s; 0 sends no reminder.", most=MOST_DAYS))
    if not check.well:
        return render(request, _page(db, portal, gig, check.draft()), status=422)
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    take_place((portal.email_limiter, gig.actor))
    for link_id, address in given.items():
        who = f"link:{link_id}"
        scopes.take(db, scopes.reader(who))
        addresses.give_address(db, who, address, gig.party, now)
    if days is not None:
        addresses.choose_reminder(db, gig.gig.band_id, days)
    log.info("email addresses kept gig=%s by=%s", gig.gig.id, gig.actor)
    return once.done(path_to("show_emails", gig.base, saved="yes"))


@router.get("/account/emails")
def show_account_emails(request: Request, user: SignedIn, portal: Here, db: Db) -> Response:
    """Whether emails come to one's own address."""
    return render(request, _account(db, portal, user.user_id))


@router.post("/account/emails")
def start_account_emails(request: Request, sent: Sent, user: SignedIn, portal: Here, db: Db, now: Now) -> Response:
    """Let emails come to one's own address again, after they were stopped or refused."""
    once = begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
    who, digest = f"user:{user.user_id}", addresses.stop_digest(portal.key, user.email)
    scopes.take(db, scopes.reader(who), scopes.reader(digest))
    addresses.forget_address(db, who)
    addresses.start_again(db, digest)
    return once.done(path_to("show_account_emails"))


def _need(db: Session, gig: AllowedGig) -> None:
    gig.need("given")
    if not addresses.on(db):
        raise NotThere


def _mine(db: Session, gig: AllowedGig) -> list[links.Link]:
    """The links whose addresses this side may give: its own one, or every one that is not the house's own word."""
    found = [link for link in links.of_gig(db, gig.gig.id) if link.party == "house" and link.revoked_at is None]
    if gig.link_id:
        return [link for link in found if link.id == gig.link_id]
    # What the house was asked for by its inquiry link it has to accept first: nobody holds that link yet.
    asked = inquiries.of_gig(db, gig.gig.id)
    waiting = asked[0].link_id if asked and asked[0].outcome != "accepted" else ""
    return [link for link in found if _given_by(db, link) != "house" and link.id != waiting]


def _given_by(db: Session, link: links.Link) -> str:
    given = addresses.address_of(db, f"link:{link.id}")
    return given.given_by if given else ""


def _rows(db: Session, portal: Portal, gig: AllowedGig) -> Iterator[AddressRow]:
    for link in _mine(db, gig):
        who = f"link:{link.id}"
        status = email_status(db, portal.key, who, addresses.given_address(db, who), gig.gig.time_zone)
        label = (
            gettext("Email address of %(link)s", link=link.label)
            if gig.party == "band"
            else gettext("Your email address")
        )
        yield AddressRow(f"email-{link.id}", label, status)


def _page(db: Session, portal: Portal, gig: AllowedGig, form: Draft, *, saved: bool = False) -> EmailPage:
    return EmailPage(
        title=gettext("Emails about this gig"),
        form=form,
        action=path_to("show_emails", gig.base),
        gig_name=gig.gig.name,
        gig_href=gig.base,
        rows=tuple(_rows(db, portal, gig)),
        days=gig.party == "band",
        saved=saved,
    )


def _account(db: Session, portal: Portal, user_id: str) -> AccountEmails:
    user = bands.user(db, user_id)
    if user is None or not addresses.on(db):
        raise NotThere
    given = addresses.address_of(db, f"user:{user_id}")
    stopped = addresses.stopped(db, addresses.stop_digest(portal.key, user.email))
    return AccountEmails(
        title=gettext("Emails to you"),
        form=Draft(),
        address=user.email,
        status=email_status(db, portal.key, f"user:{user_id}", user.email),
        blocked=stopped or given is not None,
    )
