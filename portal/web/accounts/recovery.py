"""The password once more before what is sensitive, and the ways back into an account: a list of codes, the owner's
link, and a link by email where the portal sends emails.
"""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from http import HTTPStatus
from typing import Annotated, ClassVar

from fastapi import Depends, Request
from fastapi.responses import RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from portal.store.accounts import bands, invitations, sessions
from portal.store.accounts.invitations import Invitation
from portal.store.database import scopes
from portal.store.database.session import Session
from portal.store.emails import addresses
from portal.web.accounts.guess_limits import hashed, prove_session
from portal.web.frame.access import RECOVERY_CODES, new_recovery_code, password_fault, recovery_hash, token_hash
from portal.web.frame.begin_session import start_user_session
from portal.web.frame.deps import Db, Here, Now, Sent, SignedIn, need_proof
from portal.web.frame.errors import NotThere, PortalError, Unwell
from portal.web.frame.forms import Check, Posted, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.middleware import local_path
from portal.web.frame.pages import Draft, FormPage, Page, render
from portal.web.frame.rate_limiter import address_of, take_place, take_place_soon
from portal.web.frame.running import Portal
from portal.web.mail import ways_in
from portal.wording.catalogue import gettext, look_up, mark

router = Screens()
log = logging.getLogger("portal.security")


@dataclass(frozen=True, kw_only=True)
class Confirm(FormPage):
    """The password once more. ``then`` is the page to go on to."""

    template: ClassVar[str] = "frame/confirm.html"
    then: str


@dataclass(frozen=True, kw_only=True)
class Codes(Page):
    """A new list of recovery codes, the one time that it can be shown."""

    template: ClassVar[str] = "accounts/codes.html"
    codes: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Recover(FormPage):
    """A new password by a recovery code."""

    template: ClassVar[str] = "accounts/recover.html"
    emails: bool


@dataclass(frozen=True, kw_only=True)
class RecoverByEmail(FormPage):
    """A link to a new password by email. ``done``: one was asked for; whether it comes, only the reader of the address
    learns.
    """

    template: ClassVar[str] = "accounts/recover_by_email.html"
    done: bool


@dataclass(frozen=True, kw_only=True)
class NewPassword(FormPage):
    """A new password by a link, of the band's owner or by email."""

    template: ClassVar[str] = "accounts/new_password.html"
    action: str
    email: str


async def _same_person(request: Request, portal: Here, sent: Sent) -> bool:
    """True where the form holds the password of whoever is signed in. Before any transaction: it takes its time."""
    return bool(await prove_session(request, portal, sent.raw("password")))


@router.get("/account/confirm")
def show_confirm(request: Request, _user: SignedIn, then: str = "") -> Response:
    """The form for the password."""
    return render(request, Confirm(title=gettext("Your password once more"), form=Draft(), then=local_path(then)))


@router.post("/account/confirm")
def confirm_password(
    request: Request, sent: Sent, same: Annotated[bool, Depends(_same_person)], user: SignedIn, now: Now, db: Db
) -> Response:
    """Note that the password was given, and go on. Sending this twice does no harm, so it needs no one-time key."""
    then = local_path(sent.text("then"))
    if not same:
        log.warning("password not confirmed user=%s", user.user_id)
        check = Check(sent)
        check.fault("password", gettext("This is not your password. Enter the one that you signed in with."))
        return render(
            request, Confirm(title=gettext("Your password once more"), form=check.draft(), then=then), status=422
        )
    sessions.prove(db, user.session, now)
    return RedirectResponse(then, HTTPStatus.SEE_OTHER)


@router.post("/account/codes")
def make_recovery_codes(request: Request, sent: Sent, user: SignedIn, portal: Here, now: Now, db: Db) -> Response:
    """A new list of codes; the old one ends. Sent twice, the second answer is the account page: the list is gone by
    then.
    """
    need_proof(request, user, now)
    once = begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
    codes = tuple(new_recovery_code() for _ in range(RECOVERY_CODES))
    invitations.renew_codes(db, user.user_id, tuple(map(recovery_hash, codes)), now)
    once.done(path_to("show_account"))
    log.info("recovery codes made user=%s", user.user_id)
    return render(request, Codes(title=gettext("Your recovery codes"), codes=codes))


@router.get("/recover")
def show_recover(request: Request, portal: Here) -> Response:
    """The form for a code and a new password."""
    return render(request, _recover(portal, Draft()))


_NO_CODE = mark(
    "The address and the code do not belong together, or the code was used before. Check both, or take the next code."
)


async def _by_code(request: Request, portal: Here, sent: Sent) -> tuple[str, str]:
    """Id of the account whose code was sent, and the hash of its new password. Raises ``Unwell``, and ``PortalError``
    429.

    Unknown addresses and wrong codes get the same answer. The code is asked first: whoever has one is held up by
    nobody's failures.
    """
    check = Check(sent)
    email = check.email("email")

    def find() -> bands.User | None:
        with portal.store.reading() as db:
            user = bands.user_by_email(db, email) if email else None
            return user if user and invitations.has_code(db, user.id, recovery_hash(sent.text("code"))) else None

    user = await run_in_threadpool(find)
    if user is None and check.well:
        address = address_of(request)
        await take_place_soon(
            (portal.address_limiter, address),
            (portal.sign_in_limiter, f"{address} {email} by code"),
        )
        log.warning("recovery failed")
        check.fault("code", look_up(_NO_CODE))
    _check_new(check, sent, (user.name,) if user else ())
    if not check.well or user is None:
        raise Unwell(_recover(portal, check.draft()))
    return user.id, await hashed(portal, sent.raw("password_new"))


@router.post("/recover")
def recover(
    request: Request, sent: Sent, proven: Annotated[tuple[str, str], Depends(_by_code)], portal: Here, now: Now, db: Db
) -> Response:
    """Set a new password by a code, which is used up, and sign in."""
    user_id, password_hash = proven
    scopes.take(db, scopes.account(user_id))
    if not invitations.use_code(db, user_id, recovery_hash(sent.text("code"))):
        # Somebody was quicker with the same code.
        check = Check(sent)
        check.fault("code", look_up(_NO_CODE))
        return render(request, _recover(portal, check.draft()), status=422)
    return _set(portal, db, user_id, password_hash, now, "code")


def _recover(portal: Portal, form: Draft) -> Recover:
    return Recover(title=gettext("Set a new password"), form=form, emails=portal.store.emails)


@router.get("/recover/email")
def show_recover_by_email(request: Request, portal: Here, done: str = "") -> Response:
    """The form for the address."""
    _need_emails(portal)
    return render(request, _by_email(Draft(), done=bool(done)))


@router.post("/recover/email")
def recover_by_email(request: Request, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """Have a link sent. Known and unknown addresses get the same page after the same work, and no more than some links
    an hour; whoever asks too often for somebody else's address takes nothing from them: the links that came work.
    """
    _need_emails(portal)
    check = Check(sent)
    email = check.email("email")
    if not check.well:
        return render(request, _by_email(check.draft()), status=422)
    take_place((portal.address_limiter, address_of(request)))
    once = begin(request, db, sent, actor="nobody", key=portal.key, now=now)
    if portal.way_back_limiter.take(email):
        log.warning("way back by email asked for too often")
    else:
        ways_in.send_new_password(db, bands.user_by_email(db, email), now)
        log.info("way back asked for by email")
    return once.done(path_to("show_recover_by_email", done="yes"))


def _need_emails(portal: Portal) -> None:
    if not portal.store.emails:
        raise NotThere


def _by_email(form: Draft, *, done: bool = False) -> RecoverByEmail:
    return RecoverByEmail(title=gettext("A link to a new password"), form=form, done=done)


def _check_new(check: Check, sent: Posted, about: tuple[str, ...]) -> None:
    if sentence := password_fault(sent.raw("password_new"), about=about):
        check.fault("password_new", sentence)


def _set(portal: Portal, db: Session, user_id: str, password_hash: str, now: Now, how: str) -> Response:
    """Set the password, end every session that was opened with the old one, and sign in."""
    bands.set_password(db, user_id, password_hash)
    sessions.end_of_user(db, user_id)
    response = RedirectResponse(path_to("home"), HTTPStatus.SEE_OTHER)
    start_user_session(portal, db, response, user_id, now)
    log.info("password set by=%s user=%s", how, user_id)
    return response


def live_invitation(
    request: Request, db: Session, portal: Portal, token: str, now: Now, fits: Callable[[Invitation], bool]
) -> Invitation:
    """The live invitation of a token. Unknown, used and old ones get one and the same page, and too many of those a
    limiter.
    """
    found = invitations.by_token_hash(db, token_hash(token)) or ways_in.invited_by(db, portal.key, token)
    if found is not None and found.live(now) and fits(found):
        return found
    take_place((portal.link_limiter, address_of(request)))
    log.warning("invitation refused")
    raise PortalError(
        404,
        gettext("This link does not work"),
        gettext("It works once, and only for a while. Ask the owner of the band's account for a new one."),
    )


def end_way_in(db: Session, found: Invitation, now: datetime) -> None:
    """End an invitation (already allowed), and forget where it was sent."""
    scopes.take(db, scopes.reader(who := addresses.of_invitation(found.id)))
    invitations.end(db, found.band_id, found.id, now)
    addresses.forget_address(db, who)


def _of_link(
    request: Request, db: Session, portal: Portal, token: str, now: datetime
) -> tuple[bands.User, Invitation | None]:
    """Whose password a live link sets, and the owner's way back where it is one: one by email ends with the password
    that it replaces.
    """
    if asked := ways_in.account_of(db, portal.key, token, now):
        return asked, None
    found = live_invitation(request, db, portal, token, now, lambda one: one.user_id is not None)
    user = bands.user(db, found.user_id or "")
    if user is None:
        raise NotThere
    return user, found


@router.get("/new-password/{password_token}")
def show_new_password(password_token: str, request: Request, portal: Here, now: Now, db: Db) -> Response:
    """Whose password it is, and the form. Opening it changes nothing."""
    user, _ = _of_link(request, db, portal, password_token, now)
    return render(request, _new_password(user, password_token, Draft()))


async def _by_link(password_token: str, request: Request, portal: Here, sent: Sent, now: Now) -> str:
    """The hash of the new password. The link is asked before any transaction: only for a live one a password is hashed.
    Raises ``Unwell``.
    """

    def look() -> None:
        with portal.store.reading() as db:
            user, _ = _of_link(request, db, portal, password_token, now)
            check = Check(sent)
            _check_new(check, sent, (user.name,))
            if not check.well:
                raise Unwell(_new_password(user, password_token, check.draft()))

    await run_in_threadpool(look)
    return await hashed(portal, sent.raw("password_new"))


@router.post("/new-password/{password_token}")
def set_new_password(
    password_token: str,
    request: Request,
    password_hash: Annotated[str, Depends(_by_link)],
    portal: Here,
    now: Now,
    db: Db,
) -> Response:
    """Set the password, end every session of the account, and sign in. The link is used up."""
    user, found = _of_link(request, db, portal, password_token, now)
    scopes.take(db, scopes.account(user.id))
    if found is not None:
        scopes.take(db, scopes.band(found.band_id))
        end_way_in(db, found, now)
    return _set(portal, db, user.id, password_hash, now, "link" if found else "email")


def _new_password(user: bands.User, token: str, draft: Draft) -> NewPassword:
    return NewPassword(
        title=gettext("Set a new password"),
        form=draft,
        action=path_to("show_new_password", password_token=token),
        email=user.email,
    )
