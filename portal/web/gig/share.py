"""The links of a gig: made, shown once, revoked, replaced. The portal keeps only the hash of what makes a link
secret.
"""

import logging
from contextlib import nullcontext
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import ClassVar
from zoneinfo import ZoneInfo

import segno
from fastapi import Request
from fastapi.responses import Response
from markupsafe import Markup

from portal.advance.gig_access import allowed_actions
from portal.advance.time_zones import moment_of
from portal.store import links as stored_links
from portal.store.accounts import sessions
from portal.store.database import scopes
from portal.store.database.session import Session, wake
from portal.store.emails import addresses, outbox
from portal.store.gigs import Gig
from portal.store.links import Link
from portal.web.frame.access import new_token, token_hash
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, SignedIn, TheGig, need_proof
from portal.web.frame.errors import NotThere
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, band_base, mail, path_to
from portal.web.frame.pages import Draft, FormPage, Page, render
from portal.web.frame.rate_limiter import take_place
from portal.web.frame.running import Portal
from portal.wording.catalogue import Words, languages, look_up, mark, own_name, read_in
from portal.wording.catalogue import gettext as _
from portal.wording.times import say_date, say_moment

router = Screens()
log = logging.getLogger("portal.security")

LASTS = timedelta(days=14)
"""How long after the gig a link works unless told otherwise (common practice, no source)."""
LONGEST = timedelta(days=366)
"""How long after the gig a link may work at most (common practice, no source)."""

POWER_WORDS = Words(
    {"answer": mark("Answer the questions, comment and propose changes"), "sign": mark("Sign the plan for the house")}
)
FIRST_WORDS = mark("The plan for our gig, and what we need to know from you: %(address)s")
"""What the band's own email begins with; the house reads it."""

MOST_WORDS = 1000
"""Characters of the band's own words above a link."""


@dataclass(frozen=True)
class Letter:
    """To which address a link is sent by email, the band's own words above it."""

    to: str = ""
    words: str = ""


@dataclass(frozen=True)
class Wanted:
    """A link that is to be made; ``language`` is empty where the browser of whoever gets it says."""

    label: str
    powers: frozenset[str]
    expires: datetime
    letter: Letter = field(default_factory=Letter)
    language: str = ""


@dataclass(frozen=True)
class LinkLine:
    """One link of the list. ``revoke`` and ``replace`` are empty on a dead one; ``refused``: its address was."""

    label: str
    allowed_actions: str
    until: str
    last_used: str
    end: str
    revoke: str
    replace: str
    refused: bool


@dataclass(frozen=True, kw_only=True)
class Links(FormPage):
    """The links of a gig, and the form for a new one."""

    template: ClassVar[str] = "gig/links.html"
    gig_id: str
    gig_name: str
    live: tuple[LinkLine, ...]
    dead: tuple[LinkLine, ...]
    powers: tuple[tuple[str, str], ...]
    languages: tuple[tuple[str, str], ...]
    revoked: bool
    emails: bool


@dataclass(frozen=True, kw_only=True)
class NewLink(Page):
    """A link's address, the one time that it can be shown."""

    template: ClassVar[str] = "gig/new_link.html"
    gig_id: str
    label: str
    allowed_actions: str
    until: str
    address: str
    mail: str
    sent_to: str
    qr: Markup


@router.get("/gigs/{gig_id}/links")
def show_links(request: Request, gig: TheGig, db: Db, now: Now, revoked: str = "") -> Response:
    """The links, and the form with what most bands want: everything, until two weeks after the gig."""
    gig.need("share")
    draft = Draft(
        {"label": (_("House engineer"),), "powers": ("answer", "sign"), "until": ((gig.gig.on + LASTS).isoformat(),)}
    )
    return render(request, _page(db, gig.gig, now, draft, revoked=bool(revoked)))


@router.post("/gigs/{gig_id}/links")
def make_link(request: Request, sent: Sent, gig: TheGig, user: SignedIn, portal: Here, now: Now, db: Db) -> Response:
    """Make a link and show its address. Sent twice, the second answer is the list: the address is gone by then."""
    gig.need("share")
    check = Check(sent)
    label = check.text("label", _("Say who gets the link, for example: house engineer."), longest=80)
    powers = frozenset({"view", *sent.texts("powers")} & set(stored_links.POWERS))
    until = check.date("until", _("Enter the last day on which the link works."))
    if until is not None and not _local_day(now, gig.gig.time_zone) <= until <= gig.gig.on + LONGEST:
        check.fault("until", _("Enter a day from today to %(longest)s.", longest=say_date(gig.gig.on + LONGEST)))
    letter = _letter(check) if addresses.on(db) else Letter()
    language = check.choice("language", ("", *languages()), _("Choose a language of the list."))
    if not check.well or until is None:
        return render(request, _page(db, gig.gig, now, check.draft()), status=422)
    if "sign" in powers:
        need_proof(request, user, now)
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    if letter.to:
        take_place((portal.email_limiter, gig.actor))
    expires = moment_of(until + timedelta(days=1), 0, gig.gig.time_zone)
    shown = _make(request, db, portal, gig, Wanted(label, powers, expires, letter, language), now)
    once.done(path_to("show_links", gig.base))
    return shown


@router.post("/gigs/{gig_id}/links/{link_id}/revoke")
def revoke_link(request: Request, link_id: str, sent: Sent, gig: TheGig, portal: Here, now: Now, db: Db) -> Response:
    """End a link and whoever is in by it, at once."""
    gig.need("share")
    link = _link(db, gig, link_id)
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    _revoke(db, gig, link, now)
    return once.done(path_to("show_links", gig.base, revoked="yes"))


@router.post("/gigs/{gig_id}/links/{link_id}/replace")
def replace_link(  # noqa: PLR0913, PLR0917 - who, where, which link, and what comes with every form
    request: Request, link_id: str, sent: Sent, gig: TheGig, user: SignedIn, portal: Here, now: Now, db: Db
) -> Response:
    """End a link and make another one for the same person, with the same powers, end and language."""
    gig.need("share")
    link = _link(db, gig, link_id)
    if link.may("sign"):
        need_proof(request, user, now)
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    # Asked first: what a revoked link was reached at is forgotten.
    reads = addresses.language_of(db, f"link:{link.id}")
    _revoke(db, gig, link, now)
    wanted = Wanted(link.label, frozenset(link.powers.split()), link.expires, language=reads)
    shown = _make(request, db, portal, gig, wanted, now)
    once.done(path_to("show_links", gig.base))
    return shown


def _link(db: Session, gig: AllowedGig, link_id: str) -> Link:
    link = stored_links.get(db, gig.gig.id, link_id)
    if link is None:
        raise NotThere
    return link


def _revoke(db: Session, gig: AllowedGig, link: Link, now: datetime) -> None:
    stored_links.revoke(db, link, now, actor=gig.actor)
    sessions.end_of_link(db, link.id)
    log.info("link revoked link=%s by=%s", link.id, gig.actor)


def _letter(check: Check) -> Letter:
    """The address to which a new link is sent, and the band's words above it."""
    return Letter(check.email_or_none("email"), check.text("words", longest=MOST_WORDS, lines=True))


def _send(db: Session, link: Link, letter: Letter, language: str, now: datetime) -> None:
    """Have a link sent by email."""
    who = f"link:{link.id}"
    scopes.take(db, scopes.reader(who))
    addresses.give_address(db, who, letter.to, "band", now, language)
    outbox.note(db, kind="link", gig_id=link.gig_id, once=who, who=who, about=link.id, words=letter.words, now=now)
    wake(db, "emails", link.id)


def _make(request: Request, db: Session, portal: Portal, gig: AllowedGig, wanted: Wanted, now: datetime) -> Response:
    token = new_token()
    link = stored_links.make(
        db,
        gig_id=gig.gig.id,
        party="house",
        label=wanted.label,
        powers=wanted.powers,
        token_hash=token_hash(token),
        expires=wanted.expires,
        created_by=gig.user_id or "",
        now=now,
    )
    log.info("link made link=%s powers=%s by=%s", link.id, link.powers.replace(" ", "+"), gig.actor)
    if wanted.letter.to:
        _send(db, link, wanted.letter, wanted.language, now)
    address = portal.settings.base_url + path_to("show_link", token=token, language=wanted.language)
    code = segno.make(address, error="m", micro=False)
    # White behind the code in both schemes: some cameras do not read a code that is light on dark.
    drawn = code.svg_inline(
        scale=5, border=4, light="#fff", svgclass="qr", lineclass=None, title=_("The address as a code")
    )
    return render(
        request,
        NewLink(
            title=_("The link is made"),
            gig_id=gig.gig.id,
            label=wanted.label,
            allowed_actions=allowed_actions(link),
            until=_last_day(link, gig.gig),
            address=address,
            mail=_first_mail(gig.gig, address, wanted.language),
            sent_to=wanted.letter.to,
            qr=Markup(drawn),  # noqa: S704 - drawn by the library from an address of our own
        ),
    )


def _first_mail(gig: Gig, address: str, chosen: str) -> str:
    """The email that the band's own program begins, in the language that was chosen for the link, else the band's."""
    with read_in(chosen) if chosen else nullcontext():
        return mail(f"{gig.name}, {say_date(gig.on)}", look_up(FIRST_WORDS) % {"address": address})


def _local_day(now: datetime, zone: str) -> date:
    return now.astimezone(ZoneInfo(zone)).date()


def _last_day(link: Link, gig: Gig) -> str:
    return say_date(_local_day(link.expires - timedelta(seconds=1), gig.time_zone))


def _page(db: Session, gig: Gig, now: datetime, draft: Draft, *, revoked: bool = False) -> Links:
    found = stored_links.of_gig(db, gig.id)

    def line(link: Link) -> LinkLine:
        live = link.live(now)
        return LinkLine(
            label=link.label,
            allowed_actions=allowed_actions(link),
            until=_last_day(link, gig),
            last_used=say_moment(link.last_used, gig.time_zone) if link.last_used else _("not used yet"),
            end=_("revoked %(moment)s", moment=say_moment(link.revoked_at, gig.time_zone))
            if link.revoked_at
            else _("expired"),
            revoke=path_to("revoke_link", band_base(gig.id), link_id=link.id) if live else "",
            replace=path_to("replace_link", band_base(gig.id), link_id=link.id) if live else "",
            refused=addresses.refused(db, f"link:{link.id}"),
        )

    return Links(
        title=_("Links"),
        form=draft,
        gig_id=gig.id,
        gig_name=gig.name,
        live=tuple(line(link) for link in found if link.live(now)),
        dead=tuple(line(link) for link in found if not link.live(now)),
        powers=tuple(POWER_WORDS.items()),
        languages=(("", _("As their browser says")), *((one, own_name(one)) for one in languages())),
        revoked=revoked,
        emails=addresses.on(db),
    )
