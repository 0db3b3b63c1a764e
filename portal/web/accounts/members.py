"""Who belongs to the band and as what: the owner hands out ways in and takes them back, changes roles and removes
people.
"""

import logging
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from http import HTTPStatus
from typing import Annotated, ClassVar

from fastapi import Depends, Request
from fastapi.responses import RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from portal.advance.status.email_status import email_status
from portal.store.accounts import bands, invitations, sessions
from portal.store.accounts.invitations import Invitation
from portal.store.database import scopes
from portal.store.database.session import Session
from portal.store.emails import addresses
from portal.web.accounts.guess_limits import hashed, may_sign_in
from portal.web.accounts.recovery import end_way_in, live_invitation
from portal.web.frame.access import INVITATION_LASTS, RESET_LINK_LASTS, new_token, password_fault, token_hash
from portal.web.frame.begin_session import start_user_session
from portal.web.frame.deps import ROLE_WORDS, ROLES, BandUser, Db, Here, Now, Owner, Sent, SignedIn, need_proof
from portal.web.frame.errors import NotThere, PortalError, Unwell
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, mail, path_to
from portal.web.frame.pages import Draft, FormPage, Page, render
from portal.web.frame.rate_limiter import take_place
from portal.web.frame.running import Portal
from portal.web.mail.ways_in import send_invitation
from portal.wording.catalogue import Words, look_up, mark
from portal.wording.catalogue import gettext as _

router = Screens()
log = logging.getLogger("portal.security")


@dataclass(frozen=True)
class MemberLine:
    """One member. ``href`` opens what the reader may change; the other addresses are empty where it is not open."""

    key: str
    name: str
    email: str
    role: str
    role_words: str
    href: str
    change: str
    remove: str
    reset_link: str
    hand_over: str
    refused: bool


@dataclass(frozen=True)
class Pending:
    """A way in that nobody has used yet, and where it was sent by email how that stands."""

    words: str
    end: str
    sent_to: str
    status: str


@dataclass(frozen=True, kw_only=True)
class Members(FormPage):
    """The members, and for the owner the forms to change them."""

    template: ClassVar[str] = "accounts/members.html"
    members: tuple[MemberLine, ...]
    pending: tuple[Pending, ...]
    roles: tuple[tuple[str, str], ...]
    may_change: bool
    emails: bool
    done: str


@dataclass(frozen=True, kw_only=True)
class WayInMade(Page):
    """An address that works once, the one time that it can be shown."""

    template: ClassVar[str] = "accounts/invitation_made.html"
    sentence: str
    lasts: str
    address: str
    mail: str
    sent_to: str


@dataclass(frozen=True, kw_only=True)
class Join(FormPage):
    """What somebody new needs to belong to the band."""

    template: ClassVar[str] = "accounts/join.html"
    action: str
    band_name: str
    role_words: str


_REFUSED = mark("The mail server refused this address. Take the link back, and send one to another address.")

_DONE = Words(
    {
        "role": mark("The role is changed."),
        "removed": mark("The member is removed and signed out everywhere."),
        "handed": mark("The band is handed over. You are an editor now."),
        "ended": mark("The link does not work any more."),
    }
)


@router.get("/members")
def show_members(
    request: Request, user: SignedIn, portal: Here, now: Now, db: Db, done: str = "", of: str = ""
) -> Response:
    """Who belongs to the band. ``of``: the member whose changes are open."""
    return render(request, _page(db, portal, user, now, Draft.of({"role": "member"}), done, of))


@router.post("/members/invitations")
def invite(request: Request, sent: Sent, user: Owner, portal: Here, now: Now, db: Db) -> Response:
    """Make a way in and show its address. Sent twice, the second answer is the list: the address is gone by then."""
    need_proof(request, user, now)
    check = Check(sent)
    role = check.choice("role", ROLES, _("Choose what the new member may do."))
    to = check.email_or_none("email") if addresses.on(db) else ""
    if not check.well:
        return render(request, _page(db, portal, user, now, check.draft()), status=422)
    once = begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
    if to:
        take_place((portal.email_limiter, user.actor), (portal.email_limiter, f"to {to.lower()}"))
    token = new_token()
    made = invitations.invite(
        db,
        band_id=user.band_id,
        role=role,
        token_hash=token_hash(token),
        expires=now + INVITATION_LASTS,
        created_by=user.user_id,
        now=now,
    )
    if to:
        send_invitation(db, made, to, now)
    once.done(path_to("show_members"))
    log.info("invitation made invitation=%s role=%s by=%s", made.id, role, user.actor)
    band, words = user.band_name, ROLE_WORDS[role]
    sentence = _("Whoever opens it first becomes a member of %(band)s. %(role)s.", band=band, role=words)
    address, subject = path_to("show_join", join_token=token), _("Join %(band)s", band=band)
    return _made(request, portal, address, INVITATION_LASTS, sentence, subject, sent_to=to)


@router.post("/members/invitations/{invitation_id}/end")
def end_invitation(
    request: Request, invitation_id: str, sent: Sent, user: Owner, portal: Here, now: Now, db: Db
) -> Response:
    """Take a way in back."""
    found = next((one for one in invitations.of_band(db, user.band_id, now) if one.id == invitation_id), None)
    if found is None:
        raise NotThere
    once = begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
    end_way_in(db, found, now)
    log.info("invitation ended invitation=%s by=%s", invitation_id, user.actor)
    return once.done(path_to("show_members", done="ended"))


@router.post("/members/{user_id}/role")
def change_role(request: Request, user_id: str, sent: Sent, user: Owner, portal: Here, now: Now, db: Db) -> Response:
    """Give a member another role; it counts from the next page on."""
    member = _member(db, user, user_id)
    need_proof(request, user, now)
    check = Check(sent)
    role = check.choice("role", ROLES, _("Choose what the member may do."))
    if not check.well:
        return render(request, _page(db, portal, user, now, check.draft()), status=422)
    once = begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
    bands.set_role(db, user.band_id, member.user_id, role)
    log.info("role changed user=%s role=%s by=%s", member.user_id, role, user.actor)
    return once.done(path_to("show_members", done="role"))


@router.post("/members/{user_id}/remove")
def remove_member(request: Request, user_id: str, sent: Sent, user: Owner, portal: Here, now: Now, db: Db) -> Response:
    """Remove a member, and end every session of theirs at once."""
    member = _member(db, user, user_id)
    need_proof(request, user, now)
    once = begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
    scopes.take(db, scopes.account(member.user_id))
    bands.remove(db, user.band_id, member.user_id)
    sessions.end_of_user(db, member.user_id)
    log.info("member removed user=%s by=%s", member.user_id, user.actor)
    return once.done(path_to("show_members", done="removed"))


@router.post("/members/{user_id}/owner")
def hand_over_band(request: Request, user_id: str, sent: Sent, user: Owner, portal: Here, now: Now, db: Db) -> Response:
    """Hand the band to another member; whoever owned it becomes an editor."""
    member = _member(db, user, user_id)
    need_proof(request, user, now)
    once = begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
    bands.hand_over(db, user.band_id, user.user_id, member.user_id)
    log.info("band handed over user=%s by=%s", member.user_id, user.actor)
    return once.done(path_to("show_members", done="handed"))


@router.post("/members/{user_id}/way-back")
def make_reset_link(
    request: Request, user_id: str, sent: Sent, user: Owner, portal: Here, now: Now, db: Db
) -> Response:
    """Make an address at which a member who lost the password sets a new one."""
    member = _member(db, user, user_id)
    need_proof(request, user, now)
    once = begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
    token = new_token()
    invitations.way_back(
        db,
        band_id=user.band_id,
        user_id=member.user_id,
        token_hash=token_hash(token),
        expires=now + RESET_LINK_LASTS,
        created_by=user.user_id,
        now=now,
    )
    once.done(path_to("show_members"))
    log.info("way back made user=%s by=%s", member.user_id, user.actor)
    name = member.user_name
    sentence = _("Whoever opens it first sets a new password for %(name)s and signs in as %(name)s.", name=name)
    address = path_to("show_new_password", password_token=token)
    return _made(request, portal, address, RESET_LINK_LASTS, sentence, _("A new password"))


@router.get("/join/{join_token}")
def show_join(join_token: str, request: Request, portal: Here, now: Now, db: Db) -> Response:
    """Which band it is, and the form. Opening it changes nothing."""
    found = live_invitation(request, db, portal, join_token, now, lambda one: one.user_id is None)
    return render(request, _join(db, join_token, found.band_id, found.role, Draft()))


@dataclass(frozen=True)
class Joining:
    """Whoever joins: a new account with its password's hash, or one that is there and whose password was given
    (``user_id``).
    """

    name: str
    email: str
    user_id: str
    password_hash: str


async def _joining(join_token: str, request: Request, portal: Here, sent: Sent, now: Now) -> Joining:
    """The form, read before any transaction: passwords take their time, and only a live way in is worth it. Raises
    ``Unwell``.
    """
    check = Check(sent)
    name = check.text("name", _("Enter your name."), longest=80)
    email = check.email("email")
    password = sent.raw("password_new")

    def look() -> tuple[Join, bands.User | None, bool]:
        with portal.store.reading() as db:
            found = live_invitation(request, db, portal, join_token, now, lambda one: one.user_id is None)
            known = bands.user_by_email(db, email) if email else None
            return (
                _join(db, join_token, found.band_id, found.role, Draft()),
                known,
                bool(known and bands.memberships(db, known.id)),
            )

    page, known, taken = await run_in_threadpool(look)
    if sentence := password_fault(password, about=(name, page.band_name, email.partition("@")[0])):
        check.fault("password_new", sentence)
    if check.well and known is not None and (taken or not await may_sign_in(request, portal, known, email, password)):
        check.fault(
            "email", _("There is an account with this address already. Enter its password, or use another address.")
        )
    if not check.well:
        raise Unwell(replace(page, form=check.draft()))
    if known is not None:
        return Joining(name, email, known.id, "")
    return Joining(name, email, "", await hashed(portal, password))


@router.post("/join/{join_token}")
def join(
    join_token: str, request: Request, who: Annotated[Joining, Depends(_joining)], portal: Here, now: Now, db: Db
) -> Response:
    """Make the account, or take the one that is there and belongs to no band, and sign in. The way in is used up."""
    found = live_invitation(request, db, portal, join_token, now, lambda one: one.user_id is None)
    scopes.take(db, scopes.band(found.band_id), scopes.address(who.email))
    known = bands.user_by_email(db, who.email)
    if (known.id if known else "") != who.user_id or bands.memberships(db, who.user_id):
        raise PortalError(
            409,
            _("Somebody was quicker"),
            _("Nothing was saved: an account with this address was made just now. Load the page again."),
        )
    user = known or bands.add_user(db, email=who.email, name=who.name, password_hash=who.password_hash, now=now)
    end_way_in(db, found, now)
    bands.add_member(db, found.band_id, user.id, found.role, now)
    response = RedirectResponse(path_to("home"), HTTPStatus.SEE_OTHER)
    start_user_session(portal, db, response, user.id, now)
    log.info("joined user=%s role=%s invitation=%s", user.id, found.role, found.id)
    return response


def _join(db: Session, token: str, band_id: str, role: str, draft: Draft) -> Join:
    band_name = bands.name_of(db, band_id)
    return Join(
        title=_("Join %(band)s", band=band_name),
        form=draft,
        action=path_to("show_join", join_token=token),
        band_name=band_name,
        role_words=ROLE_WORDS[role],
    )


def _member(db: Session, user: BandUser, user_id: str) -> bands.Membership:
    """A member of the owner's band, the owner excepted."""
    found = next(
        (one for one in bands.members(db, user.band_id) if one.user_id == user_id and one.role != "owner"), None
    )
    if found is None:
        raise NotThere
    return found


def _made(
    request: Request,
    portal: Portal,
    path: str,
    lasts: timedelta,
    sentence: str,
    subject: str,
    *,
    sent_to: str = "",
) -> Response:
    address = portal.settings.base_url + path
    page = WayInMade(
        title=_("The link is made"),
        sentence=sentence,
        lasts=_("one day") if lasts.days == 1 else _("%(count)s days", count=lasts.days),
        address=address,
        mail=mail(subject, _("This address works once: %(address)s", address=address)),
        sent_to=sent_to,
    )
    return render(request, page)


def _page(
    db: Session, portal: Portal, user: BandUser, now: datetime, draft: Draft, done: str = "", of: str = ""
) -> Members:
    mine = user.role == "owner"

    def line(one: bands.Membership) -> MemberLine:
        may = mine and one.role != "owner"
        changes = may and one.user_id == of
        return MemberLine(
            key=one.user_id,
            name=one.user_name,
            email=one.email if mine else "",
            role=one.role,
            role_words=ROLE_WORDS[one.role],
            href=path_to("show_members", of=one.user_id, anchor=one.user_id) if may else "",
            change=path_to("change_role", user_id=one.user_id) if changes else "",
            remove=path_to("remove_member", user_id=one.user_id) if changes else "",
            reset_link=path_to("make_reset_link", user_id=one.user_id) if changes else "",
            hand_over=path_to("hand_over_band", user_id=one.user_id) if changes else "",
            refused=addresses.refused(db, f"user:{one.user_id}"),
        )

    everybody = bands.members(db, user.band_id)
    names = {one.user_id: one.user_name for one in everybody}
    pending = invitations.of_band(db, user.band_id, now) if mine else []

    def handed_out(one: Invitation) -> Pending:
        name = names.get(one.user_id or "", _("somebody"))
        words = _("A new password for %(name)s", name=name) if one.user_id else ""
        sent_to = addresses.given_address(db, who := addresses.of_invitation(one.id))
        return Pending(
            words or _("A new member. %(role)s", role=ROLE_WORDS[one.role]),
            path_to("end_invitation", invitation_id=one.id),
            sent_to,
            look_up(_REFUSED) if addresses.refused(db, who) else email_status(db, portal.key, who, sent_to),
        )

    return Members(
        title=_("Members"),
        form=draft,
        members=tuple(line(one) for one in everybody),
        pending=tuple(map(handed_out, pending)),
        roles=tuple((role, ROLE_WORDS[role]) for role in ROLES),
        may_change=mine,
        emails=addresses.on(db),
        done=_DONE.get(done, ""),
    )
