"""Sign up, sign in, sign out, and one's own account."""

import logging
from dataclasses import dataclass
from http import HTTPStatus
from typing import Annotated, ClassVar

from fastapi import APIRouter, Depends, Request
from fastapi.responses import RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from portal.store import bands, invitations, sessions
from portal.web import deps, links
from portal.web.access import USER_IDLE, hash_password, password_fault, password_fits, token_hash
from portal.web.deps import Db, Here, MaybeUser, Now, Sent, SignedIn
from portal.web.errors import PortalError, brake
from portal.web.forms import Check, begin
from portal.web.guard import local_path
from portal.web.pages import Draft, Fault, FormPage, Page, render

router = APIRouter()
log = logging.getLogger("portal.security")


@dataclass(frozen=True, kw_only=True)
class SignUp(FormPage):
    """The form for a new account with its band."""

    template: ClassVar[str] = "sign_up.html"


@dataclass(frozen=True, kw_only=True)
class SignIn(FormPage):
    """The form to sign in. ``then`` is the address to go on to."""

    template: ClassVar[str] = "sign_in.html"
    then: str


@dataclass(frozen=True, kw_only=True)
class Account(Page):
    """One's own account: two forms, of which one may hold faults."""

    template: ClassVar[str] = "account.html"
    email: str
    band_name: str
    role: str
    name_form: Draft
    password_form: Draft
    saved: str
    codes_left: int

    @property
    def faults(self) -> tuple[Fault, ...]:
        """What is wrong in either form."""
        return self.name_form.faults + self.password_form.faults


@router.get("/sign-up")
def show_sign_up(request: Request, user: MaybeUser) -> Response:
    """The empty form; whoever is signed in goes home."""
    if user is not None:
        return RedirectResponse(links.home(), HTTPStatus.SEE_OTHER)
    return render(request, SignUp(title="Make an account", form=Draft()))


async def _hashed(portal: Here, sent: Sent) -> str:
    """The hash of the password that a form proposes; empty where it cannot be taken. Before any transaction: it takes its time."""
    password = sent.raw("password")
    if password_fault(password):
        return ""
    async with portal.hashing:
        return await run_in_threadpool(hash_password, password)


@router.post("/sign-up")
def sign_up(request: Request, sent: Sent, portal: Here, now: Now, password_hash: Annotated[str, Depends(_hashed)], db: Db) -> Response:
    """Make the account and the band, and sign in."""
    check = Check(sent)
    name = check.text("name", "Enter your name.", longest=80)
    band_name = check.text("band", "Enter the band's name.", longest=80)
    email = check.email("email")
    password = sent.raw("password")
    if sentence := password_fault(password, about=(name, band_name, email.partition("@")[0])):
        check.fault("password", sentence)
    if not check.well:
        return render(request, SignUp(title="Make an account", form=check.draft()), status=422)
    once = begin(request, db, sent, actor="nobody", key=portal.key, now=now)
    if bands.user_by_email(db, email) is not None:
        check.fault("email", "There is an account with this address. Sign in instead, or use another address.")
        return render(request, SignUp(title="Make an account", form=check.draft()), status=422)
    user = bands.add_user(db, email=email, name=name, password_hash=password_hash, now=now)
    bands.add_band(db, name=band_name, owner_id=user.id, now=now)
    # Whoever sends this twice and lost the first answer has no cookie yet; the sign-in page leads both on.
    once.done(links.sign_in())
    response = RedirectResponse(links.home(), HTTPStatus.SEE_OTHER)
    deps.start_user_session(portal, db, response, user.id, now)
    log.info("signed-up user=%s", user.id)
    return response


@router.get("/sign-in")
def show_sign_in(request: Request, user: MaybeUser, then: str = "/") -> Response:
    """The empty form; whoever is signed in goes on."""
    if user is not None:
        return RedirectResponse(local_path(then), HTTPStatus.SEE_OTHER)
    return render(request, SignIn(title="Sign in", form=Draft(), then=local_path(then)))


async def _proven(request: Request, portal: Here, sent: Sent) -> str | None:
    """Id of the account whose address and password were sent; the same time and answer where there is no such account."""
    email = sent.text("email").lower()
    address = request.client.host if request.client else ""
    brake(max(portal.sign_in_brake.wait_s(email), portal.address_brake.wait_s(address)))

    def prove() -> str | None:
        with portal.store.reading() as db:
            user = bands.user_by_email(db, email)
        return user.id if password_fits(user.password_hash if user else None, sent.raw("password")) and user else None

    async with portal.hashing:
        user_id = await run_in_threadpool(prove)
    if user_id is None:
        portal.sign_in_brake.failed(email)
        portal.address_brake.failed(address)
        log.warning("sign-in failed")
    else:
        portal.sign_in_brake.succeeded(email)
    return user_id


@router.post("/sign-in")
def sign_in(request: Request, sent: Sent, portal: Here, now: Now, user_id: Annotated[str | None, Depends(_proven)], db: Db) -> Response:
    """Sign in under a new session, and go on. Sending this twice does no harm, so it needs no one-time key."""
    then = local_path(sent.text("then"))
    if user_id is None:
        check = Check(sent)
        check.fault("email", "The address and the password do not belong together. Check both.")
        return render(request, SignIn(title="Sign in", form=check.draft(), then=then), status=422)
    _end_here(request, portal, db)
    response = RedirectResponse(then, HTTPStatus.SEE_OTHER)
    deps.start_user_session(portal, db, response, user_id, now)
    log.info("signed-in user=%s", user_id)
    return response


@router.post("/sign-out")
def sign_out(request: Request, portal: Here, db: Db) -> Response:
    """End the session at the server and in the browser."""
    _end_here(request, portal, db)
    response = RedirectResponse(links.home(), HTTPStatus.SEE_OTHER)
    deps.clear_cookie(portal, response)
    return response


def _end_here(request: Request, portal: deps.Portal, db: Db) -> None:
    token = request.cookies.get(deps.cookie_name(portal.settings), "")
    if token:
        sessions.end(db, token_hash(token))


_SAVED = {"name": "Your name is saved.", "password": "Your password is changed. Other browsers are signed out."}


def _account(db: Db, user: deps.BandUser, name_form: Draft, password_form: Draft, saved: str = "") -> Account:
    return Account(
        title="Your account",
        email=user.email,
        band_name=user.band_name,
        role=user.role,
        name_form=name_form,
        password_form=password_form,
        saved=_SAVED.get(saved, ""),
        codes_left=invitations.codes_left(db, user.user_id),
    )


@router.get("/account")
def show_account(request: Request, user: SignedIn, db: Db, saved: str = "") -> Response:
    """One's own account."""
    return render(request, _account(db, user, Draft.of({"name": user.name}), Draft(), saved))


@router.post("/account/name")
def change_name(request: Request, sent: Sent, user: SignedIn, portal: Here, now: Now, db: Db) -> Response:
    """Change the name that pages and sign-offs show."""
    check = Check(sent)
    name = check.text("name", "Enter your name.", longest=80)
    if not check.well:
        return render(request, _account(db, user, check.draft(), Draft()), status=422)
    once = begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
    bands.set_name(db, user.user_id, name)
    return once.done(links.account() + "?saved=name")


async def _old_and_new(request: Request, portal: Here, sent: Sent) -> tuple[str, str]:
    """Id of the account whose present password was sent (empty: none), and the hash of the new one."""
    new = sent.raw("password_new")
    token = request.cookies.get(deps.cookie_name(portal.settings), "")

    def prove() -> tuple[str, str]:
        with portal.store.reading() as db:
            found = sessions.find(db, token_hash(token), "user", now=portal.clock(), idle=USER_IDLE)
            user = bands.user(db, found.user_id) if found and found.user_id else None
        fits = password_fits(user.password_hash if user else None, sent.raw("password"))
        return (user.id if user and fits else "", "" if password_fault(new) else hash_password(new))

    async with portal.hashing:
        return await run_in_threadpool(prove)


@router.post("/account/password")
def change_password(
    request: Request,
    sent: Sent,
    portal: Here,
    now: Now,
    proven: Annotated[tuple[str, str], Depends(_old_and_new)],
    user: SignedIn,
    db: Db,
) -> Response:
    """Change the password, which needs the present one, and sign out every other browser."""
    user_id, password_hash = proven
    check = Check(sent)
    if wait_s := portal.sign_in_brake.wait_s(user.email):
        raise PortalError(429, "Too many tries", "Wait a quarter of an hour, then try again.", retry_after_s=wait_s)
    if user_id != user.user_id:
        portal.sign_in_brake.failed(user.email)
        log.warning("password not confirmed user=%s", user.user_id)
        check.fault("password", "This is not your present password. Enter the one that you signed in with.")
    if sentence := password_fault(sent.raw("password_new"), about=(user.name, user.band_name)):
        check.fault("password_new", sentence)
    if not check.well:
        return render(request, _account(db, user, Draft.of({"name": user.name}), check.draft()), status=422)
    once = begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
    bands.set_password(db, user.user_id, password_hash)
    sessions.end_of_user(db, user.user_id, but=user.session)
    log.info("password changed user=%s", user.user_id)
    return once.done(links.account() + "?saved=password")
