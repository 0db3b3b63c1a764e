"""Papers of a gig: drafts are made when asked for, signed ones once and kept as bytes; and the way in by the code printed on them."""

import logging
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from http import HTTPStatus
from typing import ClassVar

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from portal.documents.cover import Cover, Signature, Status
from portal.documents.page import page
from portal.documents.pdf import STYLESHEET, Attached, PaperError, RendererMissing
from portal.documents.registry import DOCUMENTS
from portal.documents.worker import RenderBusy, RenderFailed, RenderTimeout
from portal.plan.canonical import short_hash
from portal.plan.facts import Answer
from portal.plan.questions import QUESTIONS
from portal.plan.words import Plan
from portal.store import answers, bands, gigs, plans, sessions, signoffs
from portal.store import links as link_store
from portal.store.gigs import Gig
from portal.store.plans import StoredPlan
from portal.store.session import Session
from portal.web import deps, links
from portal.web.access import LINK_IDLE, ViewToken, read_view_token, token_hash, write_view_token
from portal.web.deps import AllowedGig, Db, Here, Now, Portal, TheGig
from portal.web.errors import NotThere, PortalError
from portal.web.pages import Draft, Page, render
from portal.web.states import ends
from portal.web.times import TIME_WORDS, say_date, say_exactly, say_minutes

router = APIRouter()
log = logging.getLogger("portal")

PAPER_SIZE = "A4"
CODE_LASTS = timedelta(days=7)
"""How long after its gig the code on a paper lets people look (common practice, no source)."""
PATCH_SHEET = "patch-sheet"


@dataclass(frozen=True)
class Wanted:
    """A paper that somebody asked for, read from the database: the kept bytes, or all that is needed to make it. ``kept_as`` is empty for a draft."""

    plan_id: str
    file_name: str
    html: str = ""
    attached: Attached | None = None
    kept_as: str = ""
    content: bytes | None = None


@dataclass(frozen=True, kw_only=True)
class NoPaper(Page):
    """A paper that could not be made: why, what an administrator can do, and where the same facts are."""

    template: ClassVar[str] = "no_paper.html"
    sentence: str
    apt_line: str
    print_href: str


@dataclass(frozen=True, kw_only=True)
class ByCode(Page):
    """The landing page of the code on a paper; only its button lets anybody in, so that a preview of the address uses nothing up."""

    template: ClassVar[str] = "by_code.html"
    where: str
    href: str
    form: Draft


def newest_plan(db: Session, gig: Gig) -> StoredPlan:
    """The newest plan of a gig (already allowed). Raises ``PortalError`` 409 where nothing was planned yet."""
    stored = plans.newest(db, gig.id)
    if stored is None:
        raise PortalError(409, "There is no plan yet", "The band makes the plan on the gig's page. Come back when it is there.")
    return stored


def numbered_plan(db: Session, gig: Gig, number: int) -> StoredPlan:
    """A plan of a gig (already allowed) by its number."""
    stored = plans.by_number(db, gig.id, number)
    if stored is None:
        raise NotThere
    return stored


def read_plan(stored: StoredPlan) -> Plan:
    """The plan itself. Raises ``PortalError`` 409 where nothing fits: that is neither signed nor printed."""
    outcome = stored.read()
    if not isinstance(outcome, Plan):
        raise PortalError(409, "Nothing fits yet", "There is nothing to sign or to print. The plan's page says what clashes and what would help.")
    return outcome


def cover_of(db: Session, portal: Portal, gig: Gig, stored: StoredPlan) -> Cover:
    """What stands around a plan on paper: heading, state of signing, who to call, where the rack stands."""
    heading = stored.read_heading()
    standing = signoffs.under(signoffs.history(db, gig.id), stored.content_hash)
    statuses: tuple[Status, ...] = ("draft", "signed", "agreed")
    current = answers.current(db, gig.id)
    planned = stored.read_answers()
    return Cover(
        band=bands.name_of(db, gig.band_id),
        gig=heading.gig,
        date=say_date(date.fromisoformat(heading.date)),
        place=heading.place,
        revision=stored.number,
        content_hash=stored.content_hash,
        short_hash=short_hash(stored.content_hash),
        status=statuses[len(standing)],
        signatures=tuple(
            Signature(party, row.signer_name, row.signer_role, say_exactly(row.created, gig.time_zone)) for party, row in sorted(standing.items())
        ),
        contact_name=_said(current, "contact-name"),
        contact_phone=_said(current, "contact-phone"),
        who_mixes=_said(planned, "who-mixes"),
        rack_place=_said(planned, "box-place"),
        rack_power=_said(planned, "rack-power"),
        link=_code_address(db, portal, gig) if standing else "",
        times=tuple(f"{TIME_WORDS[key]} {say_minutes(minutes)}" for key, minutes in gig.minutes.items() if key in TIME_WORDS),
    )


def _said(given: Mapping[str, Answer], question: str) -> str:
    answer = given.get(question)
    if answer is None or answer.state != "answered" or answer.value is None:
        return ""
    words = QUESTIONS[question].kind.say(answer.value)
    return f"{words} (assumed)" if answer.by == "assumed" else words


def _code_address(db: Session, portal: Portal, gig: Gig) -> str:
    """Where the code leads: as far as the house's newest live link, and to look only. Empty where there is no such link."""
    now = portal.clock()
    link = next((one for one in link_store.of_gig(db, gig.id) if one.party == "house" and one.live(now)), None)
    if link is None:
        return ""
    token = ViewToken(gig.id, link.id, min(link.expires, ends(gig) + CODE_LASTS))
    if token.expires <= now:
        return ""
    return portal.settings.base_url + links.day(write_view_token(portal.key, token))


def prepare(db: Session, portal: Portal, gig: Gig, stored: StoredPlan, document: str) -> Wanted:
    """The kept bytes of a paper, or all that is needed to make it. A paper bears the signatures that stand under its content, so each
    set of signatures has its own.
    """
    if document not in DOCUMENTS:
        raise NotThere
    plan = read_plan(stored)
    standing = signoffs.under(signoffs.history(db, gig.id), stored.content_hash)
    kept_as = " ".join([document, *(str(row.position) for row in sorted(standing.values(), key=lambda row: row.position or 0))]) if standing else ""
    name = file_name(stored, document, "" if len(standing) == 2 else "signed-by-one-side" if standing else "draft")  # noqa: PLR2004 - both sides
    kept = plans.paper(db, stored.id, kept_as, PAPER_SIZE) if kept_as else None
    if kept is not None:
        return Wanted(stored.id, name, content=kept.content)
    attached = Attached("plan.json", stored.document, "The plan as data") if kept_as else None
    return Wanted(stored.id, name, page(document, plan, cover_of(db, portal, gig, stored), STYLESHEET), attached, kept_as)


def file_name(stored: StoredPlan, document: str, state: str) -> str:
    """A name that every file system takes: gig, date, document, revision, and the state unless both sides signed."""
    heading = stored.read_heading()
    plain = unicodedata.normalize("NFKD", heading.gig).encode("ascii", "ignore").decode().lower()
    gig = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:40].strip("-") or "gig"
    return "-".join(part for part in (gig, heading.date, document, f"revision-{stored.number}", state) if part) + ".pdf"


async def content_of(portal: Portal, wanted: Wanted) -> bytes:
    """The paper's bytes. A signed one is made once: whoever comes second gets what the first one kept. Raises ``PaperError``."""
    if wanted.content is not None:
        return wanted.content
    made = await run_in_threadpool(portal.papers.render, wanted.html, wanted.attached)
    if not wanted.kept_as:
        return made
    async with portal.writer:
        return await run_in_threadpool(_keep, portal, wanted, made)


def _keep(portal: Portal, wanted: Wanted, made: bytes) -> bytes:
    with portal.store.writing() as db:
        kept = plans.paper(db, wanted.plan_id, wanted.kept_as, PAPER_SIZE)
        if kept is None:
            kept = plans.keep_paper(db, plan_id=wanted.plan_id, document=wanted.kept_as, paper_size=PAPER_SIZE, content=made, now=portal.clock())
        return kept.content


async def keep_signed(portal: Portal, wanted: Wanted) -> None:
    """Make and keep a paper just signed. Where that fails, the first download tries again."""
    try:
        await content_of(portal, wanted)
    except PaperError as error:
        log.warning("paper not made after signing: %s", type(error).__name__)


def _file(name: str, content: bytes) -> Response:
    return Response(content, media_type="application/pdf", headers={"Content-Disposition": f'attachment; filename="{name}"'})


def _failed(request: Request, error: PaperError, print_href: str) -> Response:
    if isinstance(error, RenderFailed):
        log.error("paper not made: %s", error.detail)
    apt_line = error.apt_line if isinstance(error, RendererMissing) else ""
    sentence = "PDF files need system libraries that are not installed here." if apt_line else str(error)
    response = render(request, NoPaper(title="The PDF was not made", sentence=sentence, apt_line=apt_line, print_href=print_href), status=503)
    if isinstance(error, RenderBusy | RenderTimeout):
        response.headers["Retry-After"] = "60"
    return response


async def _answer(request: Request, gig: AllowedGig, db: Session, portal: Portal, document: str, number: int | None) -> Response:
    def read() -> tuple[Wanted, str]:
        stored = newest_plan(db, gig.gig) if number is None else numbered_plan(db, gig.gig, number)
        found = prepare(db, portal, gig.gig, stored, document), links.paper(gig.base, stored.number, document)
        # While a paper is made, an open read transaction would keep every writer from ending.
        db.rollback()
        return found

    wanted, print_href = await run_in_threadpool(read)
    try:
        return _file(wanted.file_name, await content_of(portal, wanted))
    except PaperError as error:
        return _failed(request, error, print_href)


@router.get("/gigs/{gig_id}/papers/{document}.pdf")
@router.get("/house/{gig_id}/papers/{document}.pdf")
async def current_file(document: str, request: Request, gig: TheGig, db: Db, portal: Here) -> Response:
    """A document of the newest plan as a file."""
    return await _answer(request, gig, db, portal, document, None)


@router.get("/gigs/{gig_id}/papers/kept/{paper_id}.pdf")
@router.get("/house/{gig_id}/papers/kept/{paper_id}.pdf")
def kept_file(paper_id: str, gig: TheGig, db: Db) -> Response:
    """A signed document exactly as it was stored, whatever was signed or withdrawn since."""
    for stored in plans.of_gig(db, gig.gig.id):
        for paper in plans.papers_of(db, stored.id):
            if paper.id == paper_id:
                return _file(file_name(stored, paper.document.partition(" ")[0], paper.sha256[:8]), paper.content)
    raise NotThere


@router.get("/gigs/{gig_id}/papers/{number}/{document}.pdf")
@router.get("/house/{gig_id}/papers/{number}/{document}.pdf")
async def file_of_revision(number: int, document: str, request: Request, gig: TheGig, db: Db, portal: Here) -> Response:
    """A document of one revision as a file."""
    return await _answer(request, gig, db, portal, document, number)


def _preview(db: Session, portal: Portal, gig: Gig, stored: StoredPlan, document: str) -> Response:
    if document not in DOCUMENTS:
        raise NotThere
    return HTMLResponse(page(document, read_plan(stored), cover_of(db, portal, gig, stored), links.static("print.css")))


@router.get("/gigs/{gig_id}/papers/{document}")
@router.get("/house/{gig_id}/papers/{document}")
def current_preview(document: str, gig: TheGig, db: Db, portal: Here) -> Response:
    """A document of the newest plan, to read and print in the browser."""
    return _preview(db, portal, gig.gig, newest_plan(db, gig.gig), document)


@router.get("/gigs/{gig_id}/papers/{number}/{document}")
@router.get("/house/{gig_id}/papers/{number}/{document}")
def preview_of_revision(number: int, document: str, gig: TheGig, db: Db, portal: Here) -> Response:
    """A document of one revision, to read and print in the browser."""
    return _preview(db, portal, gig.gig, numbered_plan(db, gig.gig, number), document)


def _link_of_code(request: Request, db: Session, portal: Portal, view_token: str, now: datetime) -> tuple[ViewToken, link_store.Link]:
    address = request.client.host if request.client else ""
    wait_s = portal.link_brake.wait_s(address)
    if wait_s:
        raise PortalError(429, "Too many tries", f"Wait {-(-wait_s // 60)} minutes, then try again.", retry_after_s=wait_s)
    token = read_view_token(portal.key, view_token, now)
    link = link_store.by_id(db, token.link_id) if token else None
    if token is None or link is None or link.gig_id != token.gig_id or not link.live(now):
        portal.link_brake.failed(address)
        raise PortalError(
            404, "This code leads nowhere any more", "It may be from an older sheet, or its time is over. Ask the band for a new link or a new sheet."
        )
    return token, link


@router.get("/day/{view_token}")
def show_by_code(view_token: str, request: Request, db: Db, portal: Here, now: Now) -> Response:
    """What the code leads to, and a button to go in."""
    _, link = _link_of_code(request, db, portal, view_token, now)
    gig = gigs.of_link(db, link.gig_id)
    where = f"{gig.name} · {say_date(gig.on)} · {gig.place}"
    return render(request, ByCode(title="The sheet of the day", where=where, href=links.day(view_token), form=Draft()))


@router.post("/day/{view_token}")
def enter_by_code(view_token: str, request: Request, db: Db, portal: Here, now: Now) -> Response:
    """Let the holder of the paper in to look. Whoever came in by the link itself keeps what that link can do."""
    token, link = _link_of_code(request, db, portal, view_token, now)
    response = RedirectResponse(links.plan(links.house(link.gig_id)), HTTPStatus.SEE_OTHER)
    cookie = request.cookies.get(deps.cookie_name(portal.settings, link.gig_id), "")
    here = sessions.find(db, token_hash(cookie), "link", now=now, idle=LINK_IDLE) if cookie else None
    entered = link_store.by_id(db, here.link_id) if here is not None and here.link_id else None
    if entered is None or not entered.live(now) or entered.gig_id != link.gig_id:
        deps.start_link_session(portal, db, response, link, now, view_until=token.expires)
    return response
