"""The comparison on paper and as rows for a spreadsheet."""

from dataclasses import dataclass
from datetime import datetime

from fastapi import Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from portal.compare.cell import LOSS_WORDS, LOSSES
from portal.compare.grid import Grid
from portal.compare.text import compare_csv
from portal.compare.words import (
    TWO_PEOPLE,
    WHAT_COUNTS,
    binding,
    help_costs,
    help_words,
    one_gig,
    sentence,
)
from portal.documents.registry import Document
from portal.documents.rendering.page import show
from portal.documents.rendering.pdf import STYLESHEET, PaperError
from portal.documents.rendering.printed import clean
from portal.documents.rendering.sizes import SIZES, PaperSize
from portal.store import paper_size
from portal.store.database.session import Session
from portal.web.compare.comparison_access import Compared, ToSee
from portal.web.compare.comparison_page import cells_of, heads, lead, title_of
from portal.web.documents.downloads import a_file, make_pdf, not_made, safe_name
from portal.web.frame.deps import Db, Here, Now, done_reading
from portal.web.frame.errors import NotThere, PortalError
from portal.web.frame.links import Screens, path_to, static
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import language, look_up
from portal.wording.formats import METRES, measure_in
from portal.wording.times import say_date

router = Screens()

PAPER = Document(
    "comparison",
    "Comparison of rigs",
    "For the rehearsal: what each rig would lose, carry and plug over a year.",
    ("pdf",),
    template="comparison.html",
    wide=True,
)
"""No document of a gig: it belongs to the band's year, so it stands in no list of theirs."""


@dataclass(frozen=True)
class GigRow:
    """One gig: how many, and what each rig loses there, as a shape and with its minutes."""

    name: str
    cells: tuple[tuple[str, str], ...]
    open: str


@dataclass(frozen=True)
class ComparisonSheet:
    """What the paper says, in the order in which it is read."""

    language: str
    title: str
    foot: str
    rig: str
    band: str
    lead: str
    sentence: str
    one_gig: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    names: tuple[str, ...]
    gigs: tuple[GigRow, ...]
    beaten: tuple[str, ...]
    binding: str
    helps: tuple[str, ...]
    legend: tuple[tuple[str, str], ...]
    counted: str
    caution: str


@router.get("/compare/{comparison_id}/papers/comparison.pdf")
async def comparison_pdf(request: Request, compared: ToSee, db: Db, portal: Here, now: Now) -> Response:
    """The paper as PDF."""
    name, instead = _name(compared) + ".pdf", path_to("comparison_print", comparison_id=compared.id)
    html = await run_in_threadpool(_html, request, compared, db, now)
    await done_reading(request, db)
    try:
        content = await make_pdf(portal, html)
    except PaperError as error:
        return not_made(request, error, instead)
    return a_file(name, content)


@router.get("/compare/{comparison_id}/papers/comparison.csv")
def comparison_csv(compared: ToSee) -> Response:
    """A row for each rig and gig, with lengths in metres whoever reads."""
    measure_in(METRES)
    return a_file(_name(compared) + ".csv", compare_csv(_grid(compared)))


@router.get("/compare/{comparison_id}/papers/comparison")
def comparison_print(request: Request, compared: ToSee, db: Db, now: Now) -> Response:
    """The paper in the browser."""
    size = _size(request, db, compared)
    return HTMLResponse(show(PAPER, _sheet(compared, say_date(now.date())), static("print.css"), size))


def _html(request: Request, compared: Compared, db: Session, now: datetime) -> str:
    """The page for the renderer."""
    return show(PAPER, _sheet(compared, say_date(now.date())), STYLESHEET, _size(request, db, compared))


def _name(compared: Compared) -> str:
    return safe_name(compared.stored.name, compared.opened.basis.first, "comparison")


def _size(request: Request, db: Db, compared: Compared) -> PaperSize:
    size = SIZES.get(request.query_params.get("paper", "") or paper_size.of_band(db, compared.user.band_id))
    if size is None:
        raise NotThere
    return size


def _grid(compared: Compared) -> Grid:
    grid = compared.opened.grid
    if grid is None:
        raise PortalError(
            409,
            _("The comparison is being worked out"),
            _("There is nothing to print yet. Load the page again in a moment."),
        )
    return grid


def _sheet(compared: Compared, today: str) -> ComparisonSheet:
    grid = _grid(compared)
    rows = [tuple(map(clean, cells_of(row, grid))) for row in grid.rows]
    helps = compared.opened.helps or ()
    return ComparisonSheet(
        language=language(),
        title=_("Comparison of rigs"),
        foot=clean(
            _(
                "%(band_name)s. %(name)s. Made %(today)s from the gigs as they stood then.",
                band_name=compared.user.band_name,
                name=compared.stored.name,
                today=today,
            )
        ),
        rig=clean(compared.stored.name),
        band=clean(compared.user.band_name),
        lead=lead(compared),
        sentence=clean(sentence(grid)),
        one_gig=one_gig(grid),
        heads=heads([row.candidate.figures for row in grid.rows]),
        rows=tuple(rows),
        names=tuple(clean(row.candidate.name) for row in grid.rows),
        gigs=tuple(_gig(grid, at) for at in range(len(grid.comparison.year.rooms))),
        beaten=tuple(
            clean(
                _(
                    "%(name)s is beaten in everything by %(beaten_by)s.",
                    name=row.candidate.name,
                    beaten_by=row.beaten_by,
                )
            )
            for row in grid.rows
            if row.beaten_by
        ),
        binding=clean(binding(grid)),
        helps=tuple(f"{help_words(one)} {help_costs(one).capitalize()}." for one in helps if one.best),
        legend=tuple((loss, LOSS_WORDS[loss]) for loss in LOSSES),
        counted=look_up(WHAT_COUNTS),
        caution=look_up(TWO_PEOPLE),
    )


def _gig(grid: Grid, at: int) -> GigRow:
    room = grid.comparison.year.rooms[at]
    cells = tuple((row.cells[at].loss, _("%(minutes)s min", minutes=row.cells[at].minutes)) for row in grid.rows)
    opened = any((found := row.ranges[at]) is not None and not found.holds for row in grid.rows)
    return GigRow(clean(title_of(room)), cells, _("open") if opened else "")
