"""Every paper of one revision on one page, what each is for, and the paper that the band prints on."""

from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.leading_plan import leading
from portal.advance.revision_words import where_words
from portal.documents.registry import DOCUMENTS, Document
from portal.documents.rendering.sizes import SIZES
from portal.plan.model import Plan
from portal.store import paper_size, plans, signoffs
from portal.store.database.session import Session
from portal.store.plans import StoredPlan
from portal.web.documents.downloads import newest_plan, numbered_plan, read_plan, state_of
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Number, Sent, TheGig
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.wording.catalogue import Words, look_up, mark
from portal.wording.catalogue import gettext as _

router = Screens()

WORDS = Words({"xlsx": mark("Workbook (XLSX)"), "ics": mark("Calendar file (ICS)")})
"""What a file is called on its link, by its ending."""

STATES = Words(
    {
        "": mark("Signed by both sides."),
        "ready": mark("Ready, on the band's word."),
        "signed-by-one-side": mark("Signed by one side only: the documents say so."),
        "draft": mark("Draft: the documents say that nobody signed."),
    }
)
"""What the state of signing means for the papers."""

FIRST, LAST = ("patch-sheet", "input-list", "labels", "label-test", "pack-list"), ("calendar", "plan-data")
"""The documents that most people want come first, those for other software last, any other between them."""

ON_LABEL_SHEETS = frozenset({"labels", "label-test"})


@dataclass(frozen=True)
class Taken:
    """One way to take a document: the words of the link and where it leads."""

    words: str
    href: str


@dataclass(frozen=True)
class DocumentShown:
    """One document: what it is for, and the ways to take it, the usual one first."""

    title: str
    purpose: str
    ways: tuple[Taken, ...]


@dataclass(frozen=True, kw_only=True)
class Papers(FormPage):
    """All documents of one revision. ``action`` is empty for whoever may not choose the band's paper."""

    template: ClassVar[str] = "documents/document_list.html"
    where: str
    state: str
    documents: tuple[DocumentShown, ...]
    sizes: tuple[tuple[str, str], ...]
    action: str
    plan_href: str


@router.get("{base}/papers")
def show_documents(request: Request, gig: TheGig, db: Db) -> Response:
    """The papers of the newest plan."""
    return render(request, _page(db, gig, newest_plan(db, gig.gig), None))


@router.get("{base}/revisions/{number}/papers")
def show_older_documents(number: Number, request: Request, gig: TheGig, db: Db) -> Response:
    """The papers of one revision."""
    return render(request, _page(db, gig, numbered_plan(db, gig.gig, number), None))


@router.post("/gigs/{gig_id}/papers")
def choose_paper_size(request: Request, gig: TheGig, sent: Sent, db: Db, portal: Here, now: Now) -> Response:
    """Print all papers of the band on this size from now on."""
    gig.need("edit")
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    check = Check(sent)
    size = check.choice("paper", tuple(SIZES), _("Choose A4 or Letter."))
    if not check.well:
        return render(request, _page(db, gig, newest_plan(db, gig.gig), check.draft()), status=422)
    paper_size.choose(db, gig.gig.band_id, size)
    return once.done(path_to("show_documents", gig.base))


def _page(db: Session, gig: AllowedGig, stored: StoredPlan, form: Draft | None) -> Papers:
    read_plan(stored)
    usual = paper_size.of_band(db, gig.gig.band_id)
    standing = signoffs.under(signoffs.history(db, gig.gig.id), stored.content_hash)
    return Papers(
        title=_("Documents, revision %(number)s", number=stored.number),
        form=form or Draft.of({"paper": usual}),
        where=where_words(stored),
        state=(
            _("The gig is cancelled: the documents say so.")
            if gig.gig.cancelled_at is not None
            else STATES[state_of(standing, stored)]
        ),
        documents=tuple(_shown(gig.base, stored.number, entry, usual) for entry in in_order()),
        sizes=tuple((size, size) for size in SIZES),
        action=path_to("show_documents", gig.base) if "edit" in gig.powers else "",
        plan_href=path_to("show_plan_revision", gig.base, number=stored.number),
    )


def in_order() -> list[Document]:
    """Every document, in the order of the page."""
    ranks = {**{key: rank for rank, key in enumerate(FIRST)}, **{key: 100 + rank for rank, key in enumerate(LAST)}}
    return sorted(DOCUMENTS.values(), key=lambda entry: ranks.get(entry.key, len(FIRST)))


def _shown(base: str, number: int, entry: Document, usual: str) -> DocumentShown:
    sizes = sorted(SIZES, key=lambda size: size != usual) if "pdf" in entry.formats else []
    ways = [
        Taken(
            _("PDF, %(size)s", size=size), path_to("document_pdf", base, number=number, document=entry.key, paper=size)
        )
        for size in sizes
    ]
    if entry.key in ON_LABEL_SHEETS:
        ways.append(Taken(_("Another label sheet"), path_to("show_label_sheet", base, number=number)))
    elif sizes:
        ways.append(Taken(_("Print page"), path_to("show_document", base, number=number, document=entry.key)))
    for ending in entry.formats:
        if ending == "ics":
            ways.append(Taken(WORDS[ending], path_to("calendar_file", base)))
        elif ending != "pdf":
            ways.append(
                Taken(
                    WORDS.get(ending, ending.upper()),
                    path_to("document_data", base, number=number, document=entry.key, ending=ending),
                )
            )
    return DocumentShown(look_up(entry.title), look_up(entry.purpose), tuple(ways))


def patch_sheets(db: Session, gig: AllowedGig, now: datetime) -> tuple[tuple[str, str], ...]:
    """Words and address of each patch sheet that somebody may mean: the signed one before a newer draft, and one where
    both are one; none where nothing is plugged by.
    """
    newest = plans.newest(db, gig.gig.id)
    if newest is None or not isinstance(newest.read(), Plan):
        return ()
    draft = path_to("show_newest_document", gig.base, document=FIRST[0])
    signed = leading(db, gig.gig, newest, now)
    if signed.content_hash == newest.content_hash:
        return ((_("Patch sheet"), draft),)
    return (
        (
            _("Signed patch sheet, revision %(number)s", number=signed.number),
            path_to("show_document", gig.base, number=signed.number, document=FIRST[0]),
        ),
        (_("Patch sheet, draft revision %(number)s", number=newest.number), draft),
    )
