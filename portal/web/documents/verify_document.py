"""Is this sheet the current one? By the hash that stands on it, or by the file itself; for everybody, because sheets go
from hand to hand.

Whoever may see the gig is told what differs. Whoever may not is told one word, current or outdated, and neither gig,
band, date nor number: they hold a sheet, and the word only says whether to plug from it. A short hash has 32 bits, so
that guessing finds a sheet in about one of 4 295 million tries for each one that there is, and the limiter counts
failures.
"""

import re
from dataclasses import dataclass
from hashlib import sha256
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.revision_words import changes, signed_in, where_words
from portal.plan.model import Plan
from portal.store import gigs, plans, signoffs
from portal.store.database.session import Session
from portal.store.day.moved_times import moved_since
from portal.store.plans import StoredPlan
from portal.web.frame import deps
from portal.web.frame.deps import AllowedGig, Here, Now, Sent
from portal.web.frame.forms import Check
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.web.frame.rate_limiter import address_of, take_place
from portal.wording.catalogue import Words, gettext, look_up, mark
from portal.wording.times import moved_words

router = Screens()

SHORTEST, LONGEST = 8, 64
"""Hexadecimal digits of the short hash and of the whole one."""

WORDS = Words(
    {
        "current": mark("This is the current sheet."),
        "outdated": mark("This sheet is outdated. Do not plug from it."),
        "unknown": mark("This is not a sheet of ours, or it was altered."),
        "several": mark(
            "More than one sheet begins with these digits, and they differ. Enter the whole check code, or choose"
            " the file."
        ),
    }
)


MOVED = mark("But times of the day changed after it was signed. Ask the band or the house for them.")
"""For whoever may not see the gig, and so not the times either."""


@dataclass(frozen=True)
class Mine:
    """What whoever may see the gig is told besides the verdict."""

    where: str
    number: int
    href: str
    reason: str
    moved: str
    signed: tuple[str, ...]
    changes: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class CheckPage(FormPage):
    """The question, and the verdict once it was asked: current, outdated, unknown, several, or empty."""

    template: ClassVar[str] = "documents/verify_document.html"
    verdict: str
    sentence: str
    advice: str
    mine: tuple[Mine, ...]


@dataclass(frozen=True)
class Found:
    """A sheet that was found: its plan, and the newest plan of its gig; ``reason`` says why it is not the current one,
    empty where it is. ``moved``: which times of the day changed after signing. ``signed``: in which languages.
    """

    stored: StoredPlan
    newest: StoredPlan
    reason: str
    moved: str = ""
    signed: tuple[str, ...] = ()


@router.get("/check")
def show_verify(request: Request) -> Response:
    """The question."""
    return render(request, _page(Draft()))


def _page(form: Draft, verdict: str = "", advice: str = "", mine: tuple[Mine, ...] = ()) -> CheckPage:
    return CheckPage(
        title=gettext("Is this sheet the current one?"),
        form=form,
        verdict=verdict,
        sentence=WORDS.get(verdict, ""),
        advice=advice,
        mine=mine,
    )


@router.post("/check")
def verify_document(request: Request, sent: Sent, portal: Here, now: Now) -> Response:
    """The verdict. Nothing is changed or kept, the file least of all; so it waits for nobody who writes."""
    place = take_place((portal.check_limiter, address_of(request)))
    check = Check(sent)
    file = sent.file("file")
    digits = re.sub(r"[\s-]", "", sent.text("hash")).lower()
    if file is None and not re.fullmatch(rf"[0-9a-f]{{{SHORTEST},{LONGEST}}}", digits):
        place.give_back()
        check.fault(
            "hash",
            gettext(
                "Enter the eight digits after the words check code on the sheet, or all 64, or choose the PDF file."
            ),
        )
        return render(request, _page(check.draft()), status=422)
    digest = sha256(file.file.read()).hexdigest() if file else ""
    with portal.store.reading() as db:
        found = _by_file(db, digest) if file else _by_hash(db, digits)
        seen = [(one, deps.may_see(one.stored.gig_id, request, db, portal, now)) for one in found]
        if any(gig for _, gig in seen):
            # Whoever may see one of them means that one; the others are none of their business.
            found = [one for one, gig in seen if gig]
        mine = tuple(_mine(one, gig) for one, gig in seen if gig)
    verdicts = {"outdated" if one.reason else "current" for one in found}
    verdict = "unknown" if not verdicts else verdicts.pop() if len(verdicts) == 1 else "several"
    if verdict not in {"unknown", "several"}:
        place.give_back()
    on_file = gettext(
        "Only signed documents are kept, and only patch sheets as files. To check a draft or another document,"
        " enter its check code."
    )
    moved = look_up(MOVED) if any(one.moved for one in found) and not mine else ""
    advice = moved if found else on_file if file else gettext("Compare the digits once more.")
    draft = Draft.of({"hash": digits}) if not file else Draft()
    return render(request, _page(draft, verdict, advice, mine))


def _by_hash(db: Session, digits: str) -> list[Found]:
    """The sheets whose content hash begins with the digits: for each gig the newest one with each content."""
    found: dict[tuple[str, str], StoredPlan] = {}
    for stored in plans.with_hash(db, digits):
        found.setdefault((stored.gig_id, stored.content_hash), stored)
    return [_found(db, stored) for stored in found.values() if isinstance(stored.read(), Plan)]


def _by_file(db: Session, digest: str) -> list[Found]:
    """The sheets whose kept file has these very bytes."""
    return [_found(db, stored, kept_as) for stored, kept_as in plans.with_bytes(db, digest)]


def _found(db: Session, stored: StoredPlan, kept_as: str = "") -> Found:
    newest = plans.newest(db, stored.gig_id) or stored
    gig = gigs.of_link(db, stored.gig_id)
    if gig.cancelled_at is not None:
        return Found(stored, newest, gettext("The gig is cancelled."))
    if newest.content_hash != stored.content_hash:
        return Found(stored, newest, gettext("Revision %(number)s is the newest.", number=newest.number))
    signed = signoffs.under(signoffs.history(db, stored.gig_id), stored.content_hash)
    standing = signed.values()
    if not {part for part in kept_as.split()[1:] if part.isdecimal()} <= {str(row.position) for row in standing}:
        return Found(stored, newest, gettext("A signature on it was withdrawn."))
    moved = moved_since(db, gig, standing)
    return Found(stored, newest, "", moved_words(moved.was, gig.minutes) if moved else "", signed_in(signed))


def _mine(one: Found, gig: AllowedGig) -> Mine:
    differs = one.newest.content_hash != one.stored.content_hash
    return Mine(
        where=where_words(one.stored),
        number=one.stored.number,
        href=path_to("show_plan", gig.base),
        reason=one.reason,
        moved=one.moved,
        signed=one.signed,
        changes=changes(one.stored, one.newest) if differs else (),
    )
