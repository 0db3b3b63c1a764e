"""Sign up, sign in, sign out, and one's own account."""

import logging
from dataclasses import dataclass
from http import HTTPStatus
from typing import Annotated, ClassVar

from fastapi import Depends, Request
from fastapi.responses import RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from portal.store.accounts import bands, invitations, sessions
from portal.store.database import scopes
from portal.store.emails import addresses
from portal.web.accounts.guess_limits import hashed, may_sign_in, prove_session
from portal.web.frame import cookies, deps
from portal.web.frame.access import password_fault, token_hash
from portal.web.frame.begin_session import start_user_session
from portal.web.frame.deps import ROLE_WORDS, Db, Here, MaybeUser, Now, Sent, SignedIn, need_proof
from portal.web.frame.errors import Unwell
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.middleware import local_path
from portal.web.frame.pages import Draft, Fault, FormPage, Page, render
from portal.web.frame.rate_limiter import address_of, take_place, take_place_soon
from portal.web.frame.running import Portal
from portal.wording.catalogue import Words, mark
from portal.wording.catalogue import gettext as _

router = Screens()
log = logging.getLogger("portal.security")


@dataclass(frozen=True, kw_only=True)
class SignUp(FormPage):
    """The form for a new account with its band."""

    template: ClassVar[str] = "accounts/sign_up.html"


@dataclass(frozen=True, kw_only=True)
class SignIn(FormPage):
    """The form to sign in. ``then`` is the address to go on to."""

    template: ClassVar[str] = "accounts/sign_in.html"
    then: str


@dataclass(frozen=True, kw_only=True)
class Account(Page):
    """One's own account: three forms, of which one may hold faults."""

    template: ClassVar[str] = "accounts/account.html"
    email: str
    band_name: str
    role: str
    name_form: Draft
    email_form: Draft
    password_form: Draft
    saved: str
    codes_left: int
    emails: bool

    @property
    def faults(self) -> tuple[Fault, ...]:
        """What is wrong in one of the forms."""
        return self.name_form.faults + self.email_form.faults + self.password_form.faults


@router.get("/sign-up")
def show_sign_up(request: Request, user: MaybeUser) -> Response:
    """The empty form; whoever is signed in goes home."""
    if user is not None:
        return RedirectResponse(path_to("home"), HTTPStatus.SEE_OTHER)
    return render(request, SignUp(title=_("Make an account"), form=Draft()))


@dataclass(frozen=True)
class NewAccount:
    """What a well form for a new account holds."""

    name: str
    band_name: str
    email: str
    password_hash: str


async def _new_account(request: Request, portal: Here, sent: Sent) -> NewAccount:
    """The form, read before any transaction: to hash a password takes its time. Raises ``Unwell``, and ``PortalError``
    429.
    """
    check = Check(sent)
    name = check.text("name", _("Enter your name."), longest=80)
    band_name = check.text("band", _("Enter the band's name."), longest=80)
    email = check.email("email")
    password = sent.raw("password")
    if sentence := password_fault(password, about=(name, band_name, email.partition("@")[0])):
        check.fault("password", sentence)
    if not check.well:
        raise Unwell(SignUp(title=_("Make an account"), form=check.draft()))
    await take_place_soon((portal.sign_up_limiter, address_of(request)))
    return NewAccount(name, band_name, email, await hashed(portal, password))


@router.post("/sign-up")
def sign_up(
    request: Request, sent: Sent, portal: Here, now: Now, new: Annotated[NewAccount, Depends(_new_account)], db: Db
) -> Response:
    """Make the account and the band, and sign in."""
    scopes.take(db, scopes.address(new.email))
    once = begin(request, db, sent, actor="nobody", key=portal.key, now=now)
    if bands.user_by_email(db, new.email) is not None:
        check = Check(sent)
        check.fault("email", _("There is an account with this address. Sign in instead, or use another address."))
        return render(request, SignUp(title=_("Make an account"), form=check.draft()), status=422)
    user = bands.add_user(db, email=new.email, name=new.name, password_hash=new.password_hash, now=now)
    bands.add_band(db, name=new.band_name, owner_id=user.id, now=now)
    # Whoever sends this twice and lost the first answer has no cookie yet; the sign-in page leads both on.
    once.done(path_to("show_sign_in"))
    response = RedirectResponse(path_to("home"), HTTPStatus.SEE_OTHER)
    start_user_session(portal, db, response, user.id, now)
    log.info("signed-up user=%s", user.id)
    return response


@router.get("/sign-in")
def show_sign_in(request: Request, user: MaybeUser, then: str = "/") -> Response:
    """The empty form; whoever is signed in goes on."""
    if user is not None:
        return RedirectResponse(local_path(then), HTTPStatus.SEE_OTHER)
    return render(request, SignIn(title=_("Sign in"), form=Draft(), then=local_path(then)))


async def _proven(request: Request, portal: Here, sent: Sent) -> str | None:
    """Id of the account whose address and password were sent; the same time and answer where there is no such
    account.
    """
    email = sent.text("email").lower()

    def find() -> bands.User | None:
        with portal.store.reading() as db:
            return bands.user_by_email(db, email)

    user = await run_in_threadpool(find)
    if await may_sign_in(request, portal, user, email, sent.raw("password")) and user:
        return user.id
    log.warning("sign-in failed")
    return None


@router.post("/sign-in")
def sign_in(
    request: Request, sent: Sent, portal: Here, now: Now, user_id: Annotated[str | None, Depends(_proven)], db: Db
) -> Response:
    """Sign in under a new session, and go on. Sending this twice does no harm, so it needs no one-time key."""
    then = local_path(sent.text("then"))
    if user_id is None:
        check = Check(sent)
        check.fault("email", _("The address and the password do not belong together. Check both."))
        return render(request, SignIn(title=_("Sign in"), form=check.draft(), then=then), status=422)
    _end_here(request, portal, db)
    response = RedirectResponse(then, HTTPStatus.SEE_OTHER)
    start_user_session(portal, db, response, user_id, now)
    log.info("signed-in user=%s", user_id)
    return response


@router.post("/sign-out")
def sign_out(request: Request, portal: Here, db: Db) -> Response:
    """End the session at the server and in the browser."""
    _end_here(request, portal, db)
    response = RedirectResponse(path_to("home"), HTTPStatus.SEE_OTHER)
    cookies.clear_cookie(portal.settings, response, cookies.cookie_name(portal.settings))
    return response


def _end_here(request: Request, portal: Portal, db: Db) -> None:
    token = request.cookies.get(cookies.cookie_name(portal.settings), "")
    if token:
        scopes.take(db, scopes.browser(token_hash(token)))
        sessions.end(db, token_hash(token))


_SAVED = Words(
    {
        "name": mark("Your name is saved."),
        "email": mark("Your email address is saved. You sign in with it from now on."),
        "password": mark("Your password is changed. Other browsers are signed out."),
    }
)


def _account(
    db: Db,
    user: deps.BandUser,
    *,
    name_form: Draft | None = None,
    email_form: Draft | None = None,
    password_form: Draft | None = None,
    saved: str = "",
) -> Account:
    return Account(
        title=_("Your account"),
        email=user.email,
        band_name=user.band_name,
        role=ROLE_WORDS[user.role],
        name_form=name_form or Draft.of({"name": user.name}),
        email_form=email_form or Draft(),
        password_form=password_form or Draft(),
        saved=_SAVED.get(saved, ""),
        codes_left=invitations.codes_left(db, user.user_id),
        emails=addresses.on(db),
    )


@router.get("/account")
def show_account(request: Request, user: SignedIn, db: Db, saved: str = "") -> Response:
    """One's own account."""
    return render(request, _account(db, user, saved=saved))


@router.post("/account/name")
def change_name(request: Request, sent: Sent, user: SignedIn, portal: Here, now: Now, db: Db) -> Response:
    """Change the name that pages and sign-offs show."""
    check = Check(sent)
    name = check.text("name", _("Enter your name."), longest=80)
    if not check.well:
        return render(request, _account(db, user, name_form=check.draft()), status=422)
    once = begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
    bands.set_name(db, user.user_id, name)
    return once.done(path_to("show_account", saved="name"))


@router.post("/account/email")
def change_email(request: Request, sent: Sent, user: SignedIn, portal: Here, now: Now, db: Db) -> Response:
    """Change the address that somebody signs in with; emails come to the new one, whatever became of the old one."""
    need_proof(request, user, now)
    check = Check(sent)
    email = check.email("new_email")
    if check.well:
        take_place((portal.sign_up_limiter, address_of(request)))
        scopes.take(db, scopes.address(email), scopes.reader(user.actor))
        once = begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
        if bands.set_email(db, user.user_id, email):
            addresses.forget_address(db, user.actor)
            log.info("email changed user=%s", user.user_id)
            return once.done(path_to("show_account", saved="email"))
        check.fault("new_email", _("There is an account with this address. Use another one."))
    return render(request, _account(db, user, email_form=check.draft()), status=422)


async def _old_and_new(request: Request, portal: Here, sent: Sent) -> tuple[str, str]:
    """Id of the account whose present password was sent (empty: none), and the hash of the new one."""
    user_id = await prove_session(request, portal, sent.raw("password"))
    new = sent.raw("password_new")
    return user_id, "" if not user_id or password_fault(new) else await hashed(portal, new)


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
    if user_id != user.user_id:
        log.warning("password not confirmed user=%s", user.user_id)
        check.fault("password", _("This is not your present password. Enter the one that you signed in with."))
    if sentence := password_fault(sent.raw("password_new"), about=(user.name, user.band_name)):
        check.fault("password_new", sentence)
    if not check.well:
        return render(request, _account(db, user, password_form=check.draft()), status=422)
    once = begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
    bands.set_password(db, user.user_id, password_hash)
    sessions.end_of_user(db, user.user_id, but=user.session)
    log.info("password changed user=%s", user.user_id)
    return once.done(path_to("show_account", saved="password"))
