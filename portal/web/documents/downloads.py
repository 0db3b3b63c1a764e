"""Papers of a gig: drafts are made when asked for, signed ones once and kept as bytes."""

import asyncio
import logging
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import ClassVar

from fastapi import Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from portal.advance.event_details import file_of as calendar_of
from portal.documents.registry import DOCUMENTS, FORMATS, Document
from portal.documents.rendering.page import page
from portal.documents.rendering.pdf import STYLESHEET, Attached, PaperError, RendererMissing
from portal.documents.rendering.sizes import SIZES, PaperSize
from portal.documents.rendering.worker import RenderBusy, RenderFailed, RenderStopped, RenderTimeout
from portal.exchange.plan_file import PlanFile, plan_csv, plan_json
from portal.exchange.spreadsheets.tables import csv_bytes, xlsx_bytes
from portal.plan.model import Plan
from portal.plan.signed.signers import BOTH_SIDES, asked_to_sign, is_agreed
from portal.store import gigs, paper_size, plans, signoffs
from portal.store.database import scopes
from portal.store.database.session import Session
from portal.store.day.moved_times import moved_since
from portal.store.gigs import Gig
from portal.store.planning import behind
from portal.store.plans import StoredPlan
from portal.web.documents.drafts import digest_of
from portal.web.documents.qr_access import cover_of
from portal.web.frame import metrics
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Number, TheGig, done_reading
from portal.web.frame.errors import NotThere, PortalError
from portal.web.frame.links import Screens, path_to, static
from portal.web.frame.pages import Page, render
from portal.web.frame.running import Portal
from portal.wording.catalogue import ENGLISH, language
from portal.wording.catalogue import gettext as _
from portal.wording.formats import METRES, length_unit, measure_in

router = Screens()
log = logging.getLogger("portal")

PATCH_SHEET = "patch-sheet"
DATA_ENDINGS = ("csv", "xlsx", "json")


@dataclass(frozen=True)
class Wanted:
    """A paper that somebody asked for, read from the database: the kept bytes, or all that is needed to make it.
    ``kept_as`` is empty for a draft, which is held under its ``digest`` where nothing is forgotten after ``turn``.
    """

    gig_id: str
    plan_id: str
    file_name: str
    size: str
    html: str = ""
    attached: Attached | None = None
    kept_as: str = ""
    content: bytes | None = None
    digest: str = ""
    turn: int = 0


@dataclass(frozen=True, kw_only=True)
class NoPaper(Page):
    """A paper that could not be made: why, what an administrator can do, and where the same facts are."""

    template: ClassVar[str] = "documents/no_document.html"
    sentence: str
    apt_line: str
    print_href: str


def newest_plan(db: Session, gig: Gig) -> StoredPlan:
    """The newest plan of a gig (already allowed). Raises ``PortalError`` 409 where nothing was planned yet."""
    stored = plans.newest(db, gig.id)
    if stored is None:
        raise PortalError(
            409, _("There is no plan yet"), _("The band makes the plan on the gig's page. Come back when it is there.")
        )
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
        raise PortalError(
            409,
            _("Nothing fits yet"),
            _("There is nothing to sign or to print. The plan's page says what clashes and what would help."),
        )
    return outcome


def size_of(db: Session, gig: Gig, asked: str) -> PaperSize:
    """The paper that somebody asked for by name, else the one that the band prints on. Raises ``NotThere`` for any
    other.
    """
    size = SIZES.get(asked or paper_size.of_band(db, gig.band_id))
    if size is None:
        raise NotThere
    return size


def a_paper(document: str) -> Document:
    """A document that can be read and printed. Raises ``NotThere``."""
    entry = DOCUMENTS.get(document)
    if entry is None or entry.build is None:
        raise NotThere
    return entry


def prepare(db: Session, portal: Portal, gig: Gig, stored: StoredPlan, document: str, asked_size: str = "") -> Wanted:
    """The kept bytes of a paper, or all that is needed to make it. A paper bears the signatures that stand under its
    content, and which times moved since, in the reader's language and unit, so each set of these has its own; a
    paper that shows no signature is never kept.
    """
    entry, size = a_paper(document), size_of(db, gig, asked_size)
    standing = signoffs.under(signoffs.history(db, gig.id), stored.content_hash)
    moved = moved_since(db, gig, standing.values())
    marks = [str(row.position) for row in sorted(standing.values(), key=lambda row: row.position or 0)] + (
        [f"t{moved.position}"] if moved else []
    )
    signed = " ".join([document, *marks, *_read_otherwise()])
    kept_as = signed if standing and entry.signed else ""
    name = file_name(stored, document, state_of(standing, stored), size=size.name)
    if behind(db, gig.id) or gig.cancelled_at is not None:
        # Nothing is kept, and nothing kept is handed out: it would not say that the plan is being worked out again, or
        # that nobody plays.
        kept_as = ""
    kept = plans.paper(db, stored.id, kept_as, size.name) if kept_as else None
    if kept is not None and kept.content:
        return Wanted(gig.id, stored.id, name, size.name, content=kept.content)
    attached = Attached("plan.json", stored.document, _("The plan as data")) if kept_as else None
    if kept is not None:
        # What was kept was erased with the names on it: it is made anew, and bears none.
        kept_as = ""
    turn, digest = portal.drafts.turn, ""
    if not kept_as:
        form = _("%(document)s with the plan as data", document=document) if attached else document
        digest = digest_of(db, portal, gig, stored, form, size)
        if (held := portal.drafts.get(digest)) is not None:
            return Wanted(gig.id, stored.id, name, size.name, content=held)
    html = page(document, read_plan(stored), cover_of(db, portal, gig, stored), STYLESHEET, size)
    return Wanted(gig.id, stored.id, name, size.name, html, attached, kept_as, digest=digest, turn=turn)


def _read_otherwise() -> tuple[str, ...]:
    """The reader's language and unit of length as marks of a paper, none for English and for metres."""
    marks = ((language(), ENGLISH), (length_unit(), METRES))
    return tuple(mark for mark, usual in marks if mark != usual)


def state_of(standing: Mapping[str, signoffs.Signature], stored: StoredPlan) -> str:
    """The state of signing as a part of a file's name: empty where both sides signed."""
    if not standing:
        return "draft"
    plan = read_plan(stored)
    if not is_agreed(plan, standing):
        return "signed-by-one-side"
    return "" if asked_to_sign(plan) == BOTH_SIDES else "ready"


def file_name(stored: StoredPlan, document: str, state: str, ending: str = "pdf", size: str = "") -> str:
    """A name that every file system takes: gig, date, document, revision, and the state unless both sides signed; the
    paper unless it is A4, the language unless it is English, the unit of length unless it is metres.
    """
    heading = stored.read_heading()
    paper = "" if size in ("", paper_size.USUAL) else size.lower()
    parts = (heading.date, document, f"revision-{stored.number}", state, paper, *_read_otherwise())
    return safe_name(heading.gig, *parts) + f".{ending}"


def safe_name(gig: str, *parts: str) -> str:
    """The start of a file's name in small letters, digits and hyphens, whatever a gig is called."""
    plain = unicodedata.normalize("NFKD", gig).encode("ascii", "ignore").decode().lower()
    short = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:40].strip("-") or "gig"
    return "-".join(part for part in (short, *parts) if part)


async def make_pdf(portal: Portal, html: str, attached: Attached | None = None) -> bytes:
    """The page as PDF. Whoever asks for a page that is being made waits for that one, in no thread and in nobody's
    place. Raises ``PaperError``.
    """
    wish = (html, attached)
    making = portal.papers_making.get(wish)
    if making is None:
        making = portal.papers_making[wish] = asyncio.create_task(_make(portal, wish))
    # Who goes away leaves it to the others; where nobody is left it is made for nobody, once.
    return await asyncio.shield(making)


async def _make(portal: Portal, wish: tuple[str, Attached | None]) -> bytes:
    try:
        with metrics.paper():
            return await run_in_threadpool(portal.papers.render, *wish)
    finally:
        del portal.papers_making[wish]


async def content_of(portal: Portal, wanted: Wanted) -> bytes:
    """The paper's bytes. A signed one is made once: whoever comes second gets what the first one kept. Raises
    ``PaperError``.
    """
    if wanted.content is not None:
        return wanted.content
    made = await make_pdf(portal, wanted.html, wanted.attached)
    if not wanted.kept_as:
        portal.drafts.hold(wanted.digest, made, wanted.turn)
        return made
    return await portal.store.write(partial(_keep, wanted, made, portal.clock()), scopes.gig(wanted.gig_id))


def _keep(wanted: Wanted, made: bytes, now: datetime, db: Session) -> bytes:
    kept = plans.paper(db, wanted.plan_id, wanted.kept_as, wanted.size)
    if kept is None:
        kept = plans.keep_paper(
            db, plan_id=wanted.plan_id, document=wanted.kept_as, paper_size=wanted.size, content=made, now=now
        )
    return kept.content


def a_file(name: str, content: bytes) -> Response:
    """A file to save, told by the ending of its name."""
    kind = FORMATS[name.rpartition(".")[2]]
    return Response(content, media_type=kind, headers={"Content-Disposition": f'attachment; filename="{name}"'})


def not_made(request: Request, error: PaperError, print_href: str) -> Response:
    """The page that says why a paper was not made, and where the same facts are."""
    if isinstance(error, RenderFailed):
        log.error("paper not made: %s", error.detail)
    apt_line = error.apt_line if isinstance(error, RendererMissing) else ""
    sentence = _("PDF files need system libraries that are not installed here.") if apt_line else str(error)
    response = render(
        request,
        NoPaper(title=_("The PDF was not made"), sentence=sentence, apt_line=apt_line, print_href=print_href),
        status=503,
    )
    if isinstance(error, RenderBusy | RenderStopped | RenderTimeout):
        response.headers["Retry-After"] = "60"
    return response


async def _answer(
    request: Request, gig: AllowedGig, db: Session, portal: Portal, document: str, number: int | None
) -> Response:
    def read() -> tuple[Wanted, str]:
        stored = newest_plan(db, gig.gig) if number is None else numbered_plan(db, gig.gig, number)
        return (
            prepare(db, portal, gig.gig, stored, document, _asked(request)),
            path_to("show_document", gig.base, number=stored.number, document=document),
        )

    wanted, print_href = await run_in_threadpool(read)
    await done_reading(request, db)
    try:
        return a_file(wanted.file_name, await content_of(portal, wanted))
    except PaperError as error:
        return not_made(request, error, print_href)


def _asked(request: Request) -> str:
    return request.query_params.get("paper", "")


@router.get("{base}/papers/calendar.ics")
async def calendar_file(request: Request, gig: TheGig, db: Db, portal: Here, now: Now) -> Response:
    """The gig for the calendar of the side that asks. What is given out gets its number, so that a later file is known
    to be newer.
    """
    gig_id, side = gig.gig.id, gig.party
    await done_reading(request, db)

    def write(writing: Session) -> Response:
        known = gigs.of_link(writing, gig_id)
        return a_file(
            safe_name(known.name, known.on.isoformat(), "calendar") + ".ics", calendar_of(writing, known, side, now)
        )

    return await portal.store.write(write, scopes.gig(gig_id))


@router.get("{base}/papers/{document}.pdf")
async def newest_document_pdf(document: str, request: Request, gig: TheGig, db: Db, portal: Here) -> Response:
    """A document of the newest plan as a file."""
    return await _answer(request, gig, db, portal, document, None)


@router.get("{base}/papers/kept/{paper_id}.pdf")
def kept_document(paper_id: str, gig: TheGig, db: Db) -> Response:
    """A signed document exactly as it was stored, whatever was signed or withdrawn since."""
    found = plans.kept_paper(db, gig.gig.id, paper_id)
    if found is None:
        raise NotThere
    stored, paper = found
    if not paper.content:
        raise PortalError(
            410,
            _("This file was erased"),
            _("Its hash is still known. The plan's page of documents makes the sheet anew, without names."),
        )
    return a_file(
        file_name(stored, paper.document.partition(" ")[0], paper.sha256[:8], size=paper.paper_size), paper.content
    )


@router.get("{base}/papers/{number}/{document}.pdf")
async def document_pdf(number: Number, document: str, request: Request, gig: TheGig, db: Db, portal: Here) -> Response:
    """A document of one revision as a file."""
    return await _answer(request, gig, db, portal, document, number)


@router.get("{base}/papers/{number}/{document}.{ending}")
def document_data(number: Number, document: str, ending: str, gig: TheGig, db: Db, portal: Here) -> Response:
    """A document of one revision for other software: csv, xlsx or json, with lengths in metres whoever reads."""
    measure_in(METRES)
    entry = DOCUMENTS.get(document)
    if entry is None or ending not in entry.formats or ending not in DATA_ENDINGS:
        raise NotThere
    stored = numbered_plan(db, gig.gig, number)
    plan = read_plan(stored)
    if entry.table is None:
        file = PlanFile(stored.read_heading(), stored.number, stored.content_hash, plan)
        content = plan_json(file) if ending == "json" else plan_csv(file)
    else:
        table = entry.table(plan, cover_of(db, portal, gig.gig, stored))
        content = (
            csv_bytes(table.heads, table.numbers, table.rows)
            if ending == "csv"
            else xlsx_bytes(table.title, table.heads, table.numbers, table.rows)
        )
    standing = signoffs.under(signoffs.history(db, gig.gig.id), stored.content_hash)
    return a_file(file_name(stored, document, state_of(standing, stored), ending), content)


def _preview(request: Request, db: Session, portal: Portal, gig: Gig, stored: StoredPlan, document: str) -> Response:
    size = size_of(db, gig, _asked(request))
    html = page(a_paper(document).key, read_plan(stored), cover_of(db, portal, gig, stored), static("print.css"), size)
    return HTMLResponse(html)


@router.get("{base}/papers/{document}")
def show_newest_document(document: str, request: Request, gig: TheGig, db: Db, portal: Here) -> Response:
    """A document of the newest plan, to read and print in the browser."""
    return _preview(request, db, portal, gig.gig, newest_plan(db, gig.gig), document)


@router.get("{base}/papers/{number}/{document}")
def show_document(number: Number, document: str, request: Request, gig: TheGig, db: Db, portal: Here) -> Response:
    """A document of one revision, to read and print in the browser."""
    return _preview(request, db, portal, gig.gig, numbered_plan(db, gig.gig, number), document)
