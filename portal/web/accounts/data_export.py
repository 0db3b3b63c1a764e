"""What people gave, for them to take along or to have erased: the house's words for a gig, and one's own account."""

import logging
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import ClassVar

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from portal.advance.status.gig_status import ends
from portal.store import gigs
from portal.store import links as stored_links
from portal.store.accounts import bands
from portal.store.database import scopes
from portal.store.database.session import Session
from portal.store.gigs import Gig
from portal.store.record import data_export, erasing
from portal.web.documents.downloads import a_file, safe_name
from portal.web.frame import cookies, deps
from portal.web.frame.deps import AllowedGig, BandUser, Db, Here, Now, Sent, SignedIn, TheGig, need_proof
from portal.web.frame.errors import PortalError
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.web.frame.running import Portal
from portal.wording.catalogue import gettext as _
from portal.wording.times import say_date

router = Screens()
log = logging.getLogger("portal.security")


@dataclass(frozen=True, kw_only=True)
class GivenPage(FormPage):
    """What the house gave for a gig. ``cannot`` says why it cannot be erased now, empty where it can."""

    template: ClassVar[str] = "accounts/data_export.html"
    gig_name: str
    gig_href: str
    mine: bool
    counts: tuple[tuple[str, str, str], ...]
    days: int
    until: str
    file: str
    action: str
    cannot: str
    done: bool


@dataclass(frozen=True, kw_only=True)
class EraseAccount(FormPage):
    """What erasing one's account does. ``cannot`` says why it cannot be erased now, empty where it can; ``alone``:
    nobody else is in the band.
    """

    template: ClassVar[str] = "accounts/erase_account.html"
    band_name: str
    alone: bool
    cannot: str


@router.get("{base}/given")
def show_data(request: Request, gig: TheGig, portal: Here, now: Now, db: Db, done: str = "") -> Response:
    """How much the house gave, how long it is kept, and what can be done with it."""
    gig.need("given")
    return render(request, _page(db, portal, gig, now, Draft(), done=bool(done)))


@router.get("{base}/given.json")
def data_file(gig: TheGig, db: Db) -> Response:
    """What the house gave as a file: by the link of whoever asks, or by every link for the band's owner."""
    gig.need("given")
    log.info("given taken gig=%s by=%s", gig.gig.id, gig.actor)
    return a_file(
        safe_name(gig.gig.name, gig.gig.on.isoformat(), "given") + ".json",
        data_export.write(data_export.of_house(db, gig.gig, gig.link_id or "")),
    )


@router.post("{base}/given/erase")
def erase_data(request: Request, sent: Sent, gig: TheGig, portal: Here, now: Now, db: Db) -> Response:
    """Erase the house's words of a gig: those of one's own link, or all of them for the band's owner."""
    gig.need("given")
    check = Check(sent)
    check.choice("sure", ("yes",), _("Tick this, if you want it erased."))
    if sentence := _cannot(db, gig, now):
        raise PortalError(409, _("Not now"), _("Nothing was erased. %(sentence)s", sentence=sentence))
    if not check.well:
        return render(request, _page(db, portal, gig, now, check.draft()), status=422)
    if gig.user_id:
        need_proof(request, deps.need_user(deps.maybe_user(request, db, portal, now)), now)
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    link = stored_links.get(db, gig.gig.id, gig.link_id) if gig.link_id else None
    scopes.take(db, scopes.EVERYTHING)
    erased = (
        erasing.of_link(db, link, now, actor=gig.actor)
        if link is not None
        else erasing.of_house(db, gig.gig, now, actor=gig.actor)
    )
    request.state.erased = True
    log.info("erased gig=%s things=%d by=%s", gig.gig.id, erased, gig.actor)
    return once.done(path_to("show_data", gig.base, done="yes"))


def _page(db: Session, portal: Portal, gig: AllowedGig, now: datetime, form: Draft, *, done: bool = False) -> GivenPage:
    mine = gig.link_id is not None
    found = data_export.of_house(db, gig.gig, gig.link_id or "")
    kinds = {
        _("Answers"): found.answers,
        _("Comments"): found.comments,
        _("Proposals made or decided"): found.proposals,
        _("Findings at line check"): found.findings,
        _("Signatures and withdrawals"): found.signatures,
    }
    days = portal.settings.keep_days
    return GivenPage(
        title=_("What you gave") if mine else _("What the house gave"),
        form=form,
        gig_name=gig.gig.name,
        gig_href=gig.base,
        mine=mine,
        counts=tuple((words, str(len(rows)), "") for words, rows in kinds.items()),
        days=days,
        until=say_date(gig.gig.on + timedelta(days=days)),
        file=path_to("data_file", gig.base),
        action=path_to("erase_data", gig.base),
        cannot=_cannot(db, gig, now),
        done=done,
    )


def _to_come(gig: Gig, now: datetime) -> bool:
    return gig.cancelled_at is None and now < ends(gig)


def _cannot(db: Session, gig: AllowedGig, now: datetime) -> str:
    """Why the house's words cannot be erased now: both sides rely on a signature until the gig is over."""
    whose = data_export.Whose(link_id=gig.link_id or "", party="house")
    if not _to_come(gig.gig, now) or not data_export.signed_gigs(db, [gig.gig.id], whose):
        return ""
    return _("A signature stands for a gig that is still to come. Withdraw it first, or come back after the gig.")


@router.get("/account/given.json")
def account_data_file(user: SignedIn, now: Now, db: Db) -> Response:
    """Everything that one's own account gave, as a file."""
    log.info("given taken by=%s", user.actor)
    return a_file(
        safe_name("my account", now.date().isoformat()) + ".json",
        data_export.write(data_export.of_account(db, user.user_id)),
    )


@router.get("/account/erase")
def show_erase_account(request: Request, user: SignedIn, now: Now, db: Db) -> Response:
    """What erasing the account does."""
    return render(request, _account_page(db, user, now, Draft()))


@router.post("/account/erase")
def erase_account(request: Request, sent: Sent, user: SignedIn, portal: Here, now: Now, db: Db) -> Response:
    """Erase the account for good, and with the last member what the band keeps here."""
    check = Check(sent)
    check.choice("sure", ("yes",), _("Tick this, if you want it erased."))
    page = _account_page(db, user, now, check.draft())
    if page.cannot:
        raise PortalError(409, _("Not now"), _("Nothing was erased. %(cannot)s", cannot=page.cannot))
    if not check.well:
        return render(request, page, status=422)
    need_proof(request, user, now)
    begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
    scopes.take(db, scopes.EVERYTHING)
    count = erasing.of_user(db, user.user_id, now)
    request.state.erased = True
    log.info("account erased things=%d user=%s", count, user.user_id)
    response = RedirectResponse(path_to("home"), 303)
    cookies.clear_cookie(portal.settings, response, cookies.cookie_name(portal.settings))
    return response


def _account_page(db: Session, user: BandUser, now: datetime, form: Draft) -> EraseAccount:
    alone = len(bands.members(db, user.band_id)) == 1
    return EraseAccount(
        title=_("Erase your account"),
        form=form,
        band_name=user.band_name,
        alone=alone,
        cannot=_account_cannot(db, user, now, alone=alone),
    )


def _account_cannot(db: Session, user: BandUser, now: datetime, *, alone: bool) -> str:
    if user.role == "owner" and not alone:
        return _("The band is yours and others belong to it. Hand it to one of them first, on the members page.")
    whose = data_export.Whose(user_id="" if alone else user.user_id)
    day = (now - gigs.NIGHT).date()
    signed = data_export.signed_gigs(db, gigs.ids_since(user.band_id, day), whose)
    ours = [gig for gig in gigs.since(db, user.band_id, day) if gig.id in signed and _to_come(gig, now)]
    if not ours:
        return ""
    return _(
        "A signature stands for a gig that is still to come: %(ours)s. Cancel the gig first. Where only the band"
        " signed, withdrawing on the signature's receipt is enough.",
        ours=_named(ours),
    )


def _named(found: Iterable[Gig]) -> str:
    return "; ".join(f"{gig.name}, {say_date(gig.on)}" for gig in found)
