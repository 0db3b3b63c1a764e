"""Which labels, and on which sheet: a form in millimetres that leads straight to the files."""

from dataclasses import asdict, dataclass
from typing import ClassVar
from urllib.parse import urlencode

from fastapi import Request
from fastapi.responses import Response
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile

from portal.advance.revision_words import where_words
from portal.documents.labels.label_document import Wish, labels, usual, usual_strips
from portal.documents.labels.label_kinds import KINDS
from portal.documents.labels.label_sheet import LabelSheet, strip_labels, tail_labels
from portal.documents.labels.label_test import label_test
from portal.documents.registry import DOCUMENTS
from portal.documents.rendering.page import show
from portal.documents.rendering.pdf import STYLESHEET, PaperError
from portal.documents.rendering.sizes import SIZES
from portal.store import signoffs
from portal.store.database.session import Session
from portal.store.plans import StoredPlan
from portal.web.documents.downloads import (
    Wanted,
    a_file,
    content_of,
    file_name,
    not_made,
    numbered_plan,
    read_plan,
    size_of,
    state_of,
)
from portal.web.documents.drafts import digest_of
from portal.web.documents.qr_access import cover_of
from portal.web.frame.deps import AllowedGig, Db, Here, Number, TheGig, done_reading
from portal.web.frame.forms import Check, Posted
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.web.frame.running import Portal
from portal.wording.catalogue import Words, gettext, look_up, mark
from portal.wording.formats import plain_number, say_number

router = Screens()

LABEL, TEST = "labels", "label-test"

FIELDS = Words(
    {
        "page_width_mm": mark("Page width, mm"),
        "page_height_mm": mark("Page height, mm"),
        "left_mm": mark("Left margin, mm"),
        "top_mm": mark("Top margin, mm"),
        "width_mm": mark("Label width, mm"),
        "height_mm": mark("Label height, mm"),
        "pitch_x_mm": mark("Pitch across, mm"),
        "pitch_y_mm": mark("Pitch down, mm"),
        "columns": mark("Columns"),
        "rows": mark("Rows"),
        "start": mark("First label to print"),
    }
)
"""The fields of a sheet and their labels, in the order of the form."""

COUNTED = ("columns", "rows", "start")


@dataclass(frozen=True)
class Preset:
    """A sheet to begin with."""

    words: str
    href: str


@dataclass(frozen=True, kw_only=True)
class LabelChoice(FormPage):
    """Which labels on which sheet."""

    template: ClassVar[str] = "documents/label_choice.html"
    where: str
    kinds: tuple[tuple[str, str], ...]
    fields: tuple[tuple[str, str], ...]
    labels_file: str
    test_file: str
    presets: tuple[Preset, ...]
    papers_href: str


def query_of(wish: Wish) -> str:
    """A wish as the end of an address."""
    sheet = {name: f"{value:g}" for name, value in asdict(wish.sheet).items()}
    return "?" + urlencode([*(("kinds", kind) for kind in wish.kinds), *sheet.items()])


@router.get("{base}/papers/{number}/label-sheet")
def show_label_sheet(number: Number, request: Request, gig: TheGig, db: Db) -> Response:
    """The form, filled with the sheet of the address or with the usual one."""
    stored = numbered_plan(db, gig.gig, number)
    read_plan(stored)
    if request.query_params:
        form = _sent(request).draft()
    else:
        wish = usual(size_of(db, gig.gig, ""))
        sheet = {name: (f"{value:g}",) for name, value in asdict(wish.sheet).items()}
        form = Draft({"kinds": tuple(wish.kinds), **sheet})
    return render(request, _page(gig, stored, form))


@router.get("{base}/papers/{number}/labels.pdf")
async def labels_file(number: Number, request: Request, gig: TheGig, db: Db, portal: Here) -> Response:
    """The labels on the sheet of the address, or on the usual one."""
    return await _answer(request, gig, db, portal, number, LABEL)


@router.get("{base}/papers/{number}/label-test.pdf")
async def label_test_file(number: Number, request: Request, gig: TheGig, db: Db, portal: Here) -> Response:
    """The test page of the sheet of the address, or of the usual one."""
    return await _answer(request, gig, db, portal, number, TEST)


async def _answer(
    request: Request, gig: AllowedGig, db: Session, portal: Portal, number: int, document: str
) -> Response:
    def read() -> Wanted | Response:
        stored = numbered_plan(db, gig.gig, number)
        plan = read_plan(stored)
        asked = request.query_params.get("paper", "")
        if "page_width_mm" in request.query_params:
            check = Check(_sent(request))
            wish = _wish(check, need_kinds=document == LABEL)
            if wish is None:
                return render(request, _page(gig, stored, check.draft()), status=422)
            size = size_of(db, gig.gig, "")
        else:
            size = size_of(db, gig.gig, asked)
            wish = usual(size)
        standing = signoffs.under(signoffs.history(db, gig.gig.id), stored.content_hash)
        name = file_name(stored, document, state_of(standing, stored), size=size.name)
        turn, digest = portal.drafts.turn, digest_of(db, portal, gig.gig, stored, f"{document} {wish}", size)
        if (held := portal.drafts.get(digest)) is not None:
            return Wanted(gig.gig.id, stored.id, name, size.name, content=held)
        cover = cover_of(db, portal, gig.gig, stored)
        made = labels(plan, cover, wish) if document == LABEL else label_test(cover, wish.sheet)
        rule = f"@page label-page {{ size: {wish.sheet.page_width_mm:g}mm {wish.sheet.page_height_mm:g}mm }}"
        html = show(DOCUMENTS[document], made, STYLESHEET, size, rule)
        return Wanted(gig.gig.id, stored.id, name, size.name, html, digest=digest, turn=turn)

    found = await run_in_threadpool(read)
    if isinstance(found, Response):
        return found
    await done_reading(request, db)
    try:
        return a_file(found.file_name, await content_of(portal, found))
    except PaperError as error:
        return not_made(request, error, path_to("show_document", gig.base, number=number, document=document))


def _sent(request: Request) -> Posted:
    return Posted(FormData(list[tuple[str, str | UploadFile]](request.query_params.multi_items())))


def _wish(check: Check, *, need_kinds: bool) -> Wish | None:
    """What the form asks for; ``None``, and faults in the check, where it cannot be."""
    kinds = tuple(kind for kind in KINDS if kind in check.sent.texts("kinds"))
    if need_kinds and not kinds:
        check.fault("kinds", gettext("Choose at least one kind of label."))
    numbers = {name: _number(check, name, words) for name, words in FIELDS.items()}
    if not check.well:
        return None
    sheet = LabelSheet(**{name: int(value) if name in COUNTED else value for name, value in numbers.items()})  # type: ignore[arg-type]
    faults = tuple(sheet.faults())
    for name, sentence in faults:
        check.fault(name, sentence)
    return None if faults else Wish(kinds or ("tails",), sheet)


def _number(check: Check, name: str, words: str) -> float:
    """A number of millimetres or a count; 0 and a fault where it is none."""
    text = plain_number(check.sent.text(name))
    whole, _, part = text.partition(".")
    fits = (
        whole.isascii()
        and whole.isdigit()
        and len(whole) <= 4  # noqa: PLR2004 - metres and micrometres
        and (not part or (part.isascii() and part.isdigit() and len(part) <= 3))  # noqa: PLR2004 - metres and micrometres
    )
    if not fits or (name in COUNTED and "." in text):
        check.fault(
            name,
            gettext("%(field)s: enter a whole number.", field=words)
            if name in COUNTED
            else gettext("%(field)s: enter a number such as %(example)s.", field=words, example=say_number(63.5)),
        )
        return 0.0
    return float(text)


def _page(gig: AllowedGig, stored: StoredPlan, form: Draft) -> LabelChoice:
    here = path_to("show_label_sheet", gig.base, number=stored.number)
    presets = []
    for size in SIZES.values():
        presets.append(
            Preset(
                gettext("Tails on %(name)s, %(size)s", name=size.name, size=_words(tail_labels(size))),
                here + query_of(usual(size)),
            )
        )
        presets.append(
            Preset(
                gettext("Strips on %(name)s, %(size)s", name=size.name, size=_words(strip_labels(size))),
                here + query_of(usual_strips(size)),
            )
        )
    return LabelChoice(
        title=gettext("Labels: which, and on which sheet"),
        form=form,
        where=where_words(stored),
        kinds=tuple((kind, look_up(words)) for kind, words in KINDS.items()),
        fields=tuple(FIELDS.items()),
        labels_file=path_to("document_pdf", gig.base, number=stored.number, document=LABEL),
        test_file=path_to("document_pdf", gig.base, number=stored.number, document=TEST),
        presets=tuple(presets),
        papers_href=path_to("show_documents", gig.base),
    )


def _words(sheet: LabelSheet) -> str:
    return gettext(
        "%(columns)s × %(rows)s of %(width)s × %(height)s mm",
        columns=sheet.columns,
        rows=sheet.rows,
        width=say_number(sheet.width_mm),
        height=say_number(sheet.height_mm),
    )
