"""One side signs exactly what it was shown, may take that back, and finds its receipt ever after."""

import logging
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from portal.advance.planning import changed_since, stands, want
from portal.advance.revision_words import about_words, changes, signed_in, where_words
from portal.advance.status.since_last import Since, since_last
from portal.plan.model import Plan
from portal.plan.signed.serialization import short_hash
from portal.plan.signed.signers import BOTH_SIDES, asked_to_sign
from portal.store import answers, plans, signoffs
from portal.store.database.session import Session, wake
from portal.store.day.moved_times import moved_since
from portal.store.planning import behind
from portal.store.plans import StoredPlan
from portal.store.signoffs import Signature, Signer
from portal.web.documents.downloads import PATCH_SHEET, newest_plan, numbered_plan, read_plan
from portal.web.documents.signed_papers import SIGNED_PAPERS
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Number, Sent, TheGig
from portal.web.frame.errors import NotThere, PortalError
from portal.web.frame.forms import Check, begin, many_fields
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, Page, render
from portal.web.plan.plan_view import PlanView, Reader
from portal.web.plan.signed_statements import STATEMENT, STATEMENTS
from portal.wording.answers import told
from portal.wording.catalogue import Words, language, look_up, mark
from portal.wording.catalogue import gettext as _
from portal.wording.plan.saying import say
from portal.wording.times import TIME_WORDS, moved_words, say_exactly, say_minutes

router = Screens()
log = logging.getLogger("portal.security")

SIGNED_FOR = Words(
    {
        "band": mark("Signed for the band: revision %(number)s"),
        "house": mark("Signed for the house: revision %(number)s"),
    }
)
WITHDRAWN_FOR = Words(
    {
        "band": mark("Withdrawn for the band: revision %(number)s"),
        "house": mark("Withdrawn for the house: revision %(number)s"),
    }
)
"""The head of a receipt, by the side that signed."""

WORKING = mark("The plan is being worked out again. Look at it before this sheet is taken along.")


@dataclass(frozen=True, kw_only=True)
class SignOff(FormPage):
    """The whole plan, what changed, what is assumed, and one button."""

    template: ClassVar[str] = "plan/signed/sign_off.html"
    where: str
    about: str
    plan: PlanView
    stale: tuple[str, ...]
    since: Since
    content_hash: str
    asks: tuple[tuple[str, str], ...]
    statement: str
    action: str
    button: str
    plan_href: str


@dataclass(frozen=True, kw_only=True)
class NotStanding(Page):
    """Why nothing was signed, and what has changed since the plan was made."""

    template: ClassVar[str] = "plan/signed/not_standing.html"
    sentence: str
    changes: tuple[str, ...]
    plan_href: str


@dataclass(frozen=True, kw_only=True)
class Receipt(FormPage):
    """What one side signed: the record of it, what is left to do, and what to take along."""

    template: ClassVar[str] = "plan/signed/receipt.html"
    where: str
    number: int
    hash_words: str
    content_hash: str
    kind: str
    signed: tuple[tuple[str, str], ...]
    statement: str
    ticked: tuple[str, ...]
    next_step: str
    times: str
    moved: str
    contact: str
    changes: tuple[str, ...]
    sign_href: str
    plan_href: str
    sheet_href: str
    sheet_file: str
    withdraw_href: str
    button: str


@router.get("{base}/sign-off")
def show_sign_off(request: Request, gig: TheGig, db: Db) -> Response:
    """The page on which a side signs; whoever has signed this already finds the receipt."""
    gig.need("sign")
    stored = newest_plan(db, gig.gig)
    plan = read_plan(stored)
    _not_cancelled(gig)
    if behind(db, gig.gig.id):
        # The plan's page says how far it is.
        return RedirectResponse(path_to("show_plan", gig.base), 303)
    rows = signoffs.history(db, gig.gig.id)
    if gig.party in signoffs.under(rows, stored.content_hash):
        return RedirectResponse(path_to("show_receipt", gig.base, number=stored.number), 303)
    form = Draft.of({"name": gig.name if gig.party == "band" else ""}, version=stored.number)
    return render(request, _page(db, gig, stored, plan, form))


@router.post("{base}/sign-off")
@many_fields
def sign(request: Request, gig: TheGig, sent: Sent, db: Db, portal: Here, now: Now) -> Response:
    """Sign the content whose hash the form carries, if it still is the plan's."""
    gig.need("sign")
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    seen = plans.by_number(db, gig.gig.id, sent.version())
    _not_cancelled(gig)
    stored = newest_plan(db, gig.gig)
    if not stands(db, gig.gig):
        return _being_worked_out(request, db, gig, stored, now)
    outcome = stored.read()
    if not isinstance(outcome, Plan):
        raise PortalError(
            409,
            _("Nothing fits any more"),
            _("Nothing was signed. The plan's page says what clashes and what would help."),
        )
    check = Check(sent)
    if sent.raw("content_hash") != stored.content_hash:
        stale = (changes(seen, stored) if seen else ()) or (_("What you were shown is not what the plan holds now."),)
        return render(
            request, _page(db, gig, stored, outcome, check.draft(version=stored.number), stale=stale), status=409
        )
    if outcome.blocks:
        raise PortalError(
            409,
            _("This plan cannot be signed yet"),
            _("Nothing was signed. The plan's page says what blocks it and what would help."),
        )
    name = check.text("name", _("Enter your name."), longest=80)
    role = check.text("role", _("Enter your role, for example sound engineer."), longest=80)
    asks = tuple(say(one.said) for one in outcome.asks)
    if not set(asks) <= set(sent.texts("ask")):
        check.fault("ask", _("Tick each of these points, or resolve it on the plan's page first."))
    if not check.well:
        return render(request, _page(db, gig, stored, outcome, check.draft(version=stored.number)), status=422)
    signoffs.sign(db, stored, _signer(gig, name, role), statement_version=STATEMENT, ticked=asks, now=now)
    log.info("signed gig=%s hash=%s by=%s", gig.gig.id, stored.content_hash, gig.actor)
    wake(db, SIGNED_PAPERS.name, stored.id)
    return once.done(path_to("show_receipt", gig.base, number=stored.number))


@router.get("{base}/sign-off/{number}")
def show_receipt(number: Number, request: Request, gig: TheGig, db: Db) -> Response:
    """What this side signed under one revision, now or then."""
    gig.need("follow")
    stored = numbered_plan(db, gig.gig, number)
    return render(request, _receipt(db, gig, stored, Draft.of({"name": gig.name if gig.party == "band" else ""})))


@router.post("{base}/sign-off/{number}/withdraw")
def withdraw(number: Number, request: Request, gig: TheGig, sent: Sent, db: Db, portal: Here, now: Now) -> Response:
    """Take a signature back; the signature itself stays in the history."""
    gig.need("sign")
    stored = numbered_plan(db, gig.gig, number)
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    check = Check(sent)
    name = check.text("name", _("Enter your name."), longest=80)
    if not check.well:
        return render(request, _receipt(db, gig, stored, check.draft()), status=422)
    signoffs.withdraw(db, stored, _signer(gig, name, ""), now=now)
    log.info("signature withdrawn gig=%s hash=%s by=%s", gig.gig.id, stored.content_hash, gig.actor)
    return once.done(path_to("show_receipt", gig.base, number=number))


def _being_worked_out(request: Request, db: Session, gig: AllowedGig, stored: StoredPlan, now: datetime) -> Response:
    """The page that says why nothing was signed: the gig is no longer what the newest plan was made from."""
    changed = changed_since(db, gig.gig, stored)
    want(db, gig.gig, now)
    page = NotStanding(
        title=_("The plan is being worked out again"),
        sentence=_(
            "Nothing was signed. Revision %(number)s is of an earlier state of the gig. Look at the new plan when"
            " it is there, then sign.",
            number=stored.number,
        ),
        changes=changed,
        plan_href=path_to("show_plan", gig.base),
    )
    return render(request, page, status=409)


def _signer(gig: AllowedGig, name: str, role: str) -> Signer:
    return Signer(gig.party, name, role, link_id=gig.link_id, user_id=gig.user_id, language=language())


def _not_cancelled(gig: AllowedGig) -> None:
    if gig.gig.cancelled_at is not None:
        raise PortalError(
            409,
            _("This gig is cancelled"),
            _("There is nothing to sign. The plan and what was signed can still be read."),
        )


def _page(
    db: Session, gig: AllowedGig, stored: StoredPlan, plan: Plan, form: Draft, *, stale: tuple[str, ...] = ()
) -> SignOff:
    since = since_last(db, gig.gig, gig.party, stored)
    return SignOff(
        title=(
            _("Sign revision %(number)s for the band", number=stored.number)
            if gig.party == "band"
            else _("Sign revision %(number)s for the house", number=stored.number)
        ),
        form=form,
        where=where_words(stored),
        about=about_words(stored, gig.gig.time_zone, proven=plan.proven),
        plan=Reader(gig.base, gig.party, stored.number).plan(plan),
        stale=stale,
        since=since,
        content_hash=stored.content_hash,
        asks=tuple((said, said) for said in (say(one.said) for one in plan.asks)),
        statement=STATEMENTS[f"{STATEMENT} {gig.party}"],
        action=path_to("show_sign_off", gig.base),
        button=(
            _("Sign revision %(number)s for the band", number=stored.number)
            if gig.party == "band"
            else _("Sign revision %(number)s for the house", number=stored.number)
        ),
        plan_href=path_to("show_plan", gig.base),
    )


def _receipt(db: Session, gig: AllowedGig, stored: StoredPlan, form: Draft) -> Receipt:
    rows = signoffs.history(db, gig.gig.id)
    mine = [row for row in rows if row.party == gig.party and row.content_hash == stored.content_hash]
    row = next((one for one in reversed(mine) if one.kind == "signed"), None)
    if row is None:
        raise NotThere
    gone = mine[-1] if mine[-1].kind == "withdrawn" else None
    newest = plans.newest(db, gig.gig.id) or stored
    outdated = newest.content_hash != stored.content_hash
    standing = signoffs.under(rows, stored.content_hash)
    both = standing.keys() == set(BOTH_SIDES)
    working = behind(db, gig.gig.id) and not gone and not outdated
    other = next((side for side in asked_to_sign(read_plan(stored)) if side != gig.party), "")
    moved = None if gone else moved_since(db, gig.gig, [row])
    ticked = signoffs.read_ticked(db, row)
    return Receipt(
        title=(WITHDRAWN_FOR if gone else SIGNED_FOR)[gig.party] % {"number": stored.number},
        form=form,
        where=where_words(stored),
        number=stored.number,
        hash_words=short_hash(stored.content_hash),
        content_hash=stored.content_hash,
        kind="" if gone else "outdated" if outdated else "agreed" if both and not working else "",
        signed=(
            *_record(row, gone, gig.gig.time_zone),
            (_("Language"), " ".join(signed_in({**standing, gig.party: row}))),
        ),
        statement=STATEMENTS[f"{row.version} {gig.party}"],
        ticked=(_("The words are erased"),) if ticked is None else ticked,
        next_step=look_up(WORKING)
        if working
        else _next(gone=gone is not None, outdated=outdated, both=both, other=other),
        times=" · ".join(
            f"{TIME_WORDS[key]} {say_minutes(minutes)}" for key, minutes in gig.gig.minutes.items() if key in TIME_WORDS
        ),
        moved=moved_words(moved.was, gig.gig.minutes) if moved else "",
        contact=_contact(db, gig),
        changes=changes(stored, newest) if outdated else (),
        sign_href=path_to("show_sign_off", gig.base) if (outdated or gone) and "sign" in gig.powers else "",
        plan_href=path_to("show_plan_revision", gig.base, number=stored.number),
        sheet_href=path_to("show_document", gig.base, number=stored.number, document=PATCH_SHEET),
        sheet_file=path_to("document_pdf", gig.base, number=stored.number, document=PATCH_SHEET),
        withdraw_href="" if gone or "sign" not in gig.powers else path_to("withdraw", gig.base, number=stored.number),
        button=(_("Withdraw the band's signature") if gig.party == "band" else _("Withdraw the house's signature")),
    )


def _record(row: Signature, gone: Signature | None, zone: str) -> tuple[tuple[str, str], ...]:
    signed = (
        (_("By"), f"{row.signer_name}, {row.signer_role}"),
        (_("When"), _when(row.created, zone)),
        (_("Identified by"), _("an account of the band") if row.user_id else _("the link that the band sent")),
    )
    return (
        (
            *signed,
            (
                _("Withdrawn"),
                _("by %(signer_name)s, %(zone)s", signer_name=gone.signer_name, zone=_when(gone.created, zone)),
            ),
        )
        if gone
        else signed
    )


def _when(moment: datetime, zone: str) -> str:
    return say_exactly(moment, zone)


def _next(*, gone: bool, outdated: bool, both: bool, other: str) -> str:
    if gone:
        return _("The signature no longer stands. The plan can be signed again.")
    if outdated:
        return _("The plan has changed since. This signature covers the earlier revision only.")
    if both:
        return _("Both sides signed the same content. Take the sheet along.")
    if not other:
        return _("The band brings the PA, so its word is enough. Take the sheet along.")
    return (
        _("Still to sign: the band. The sheet says so until then.")
        if other == "band"
        else _("Still to sign: the house. The sheet says so until then.")
    )


def _contact(db: Session, gig: AllowedGig) -> str:
    """Whom the reader calls on the day: the other side, where it said so."""
    if gig.party == "house":
        return gig.gig.contact and _("The band's contact: %(contact)s", contact=gig.gig.contact)
    house = ", ".join(one.words for one in told(answers.current(db, gig.gig.id), "receipt"))
    return house and _("At the house: %(contact)s", contact=house)
