"""The answer: one sentence, a picture, a table, who is beaten, what would help most; or how far it is."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.rig_comparison import room_words, rooms_of_gigs, write_basis
from portal.compare.cell import LOSS_WORDS, LOSSES, Cell
from portal.compare.changes import Figures
from portal.compare.grid import MOST_CANDIDATES, Grid, Row
from portal.compare.words import (
    TWO_PEOPLE,
    WHAT_COUNTS,
    beaten,
    binding,
    help_costs,
    help_words,
    loss_words,
    nothing_of,
    one_gig,
    ranges_words,
    sentence,
    worst,
)
from portal.compare.year import Room, Year, faults_of
from portal.store import comparisons, rigs
from portal.web.compare.comparison_access import Compared, ToChange, ToSee, change
from portal.web.frame.deps import Db, Here, Now, Sent
from portal.web.frame.errors import PortalError
from portal.web.frame.forms import begin
from portal.web.frame.links import Screens, band_base, path_to
from portal.web.frame.pages import Draft, Page, render
from portal.web.rig.rig_access import may_edit
from portal.wording.catalogue import Words, gettext, look_up, mark
from portal.wording.formats import length_figure, length_unit, say_number
from portal.wording.times import say_date

router = Screens()


@dataclass(frozen=True)
class Box:
    """One gig of a row of the picture. ``gigs`` is empty for a single one; ``sign``: "?" where the house has not
    answered, "!" where something forbids signing, "+" beyond the minutes for plugging.
    """

    loss: str
    gigs: str
    sign: str
    words: str
    href: str


@dataclass(frozen=True)
class Strip:
    """One candidate: its row of the picture and of the table."""

    name: str
    boxes: tuple[Box, ...]
    cells: tuple[str, ...]
    beaten: str


@dataclass(frozen=True)
class RigLine:
    """One of the rigs compared: where it is changed, and where it becomes the band's; today's does not."""

    name: str
    change: str
    ours: str


@dataclass(frozen=True)
class GigLine:
    """One gig in words: what it loses with each candidate, and what it could be."""

    name: str
    href: str
    when: str
    losses: tuple[tuple[str, str, str], ...]
    open: tuple[str, ...]


@dataclass(frozen=True)
class HelpLine:
    """One single change and what it wins; ``best`` where nothing wins as much for as little."""

    words: str
    costs: str
    best: bool


@dataclass(frozen=True)
class Answer:
    """The answer, in the order in which it is read."""

    sentence: str
    one_gig: str
    strips: tuple[Strip, ...]
    heads: tuple[str, ...]
    gigs: tuple[GigLine, ...]
    binding: str
    helps: tuple[HelpLine, ...] | None
    legend: tuple[tuple[str, str], ...]
    counted: str
    caution: str


@dataclass(frozen=True, kw_only=True)
class ComparisonPage(Page):
    """A comparison: what is compared, how far it is, and the answer as soon as there is one."""

    template: ClassVar[str] = "compare/comparison.html"
    id: str
    rig_href: str
    rig_name: str
    lead: str
    progress: str
    answer: Answer | None
    rigs: tuple[RigLine, ...]
    add: str
    form: Draft
    may_edit: bool
    papers: bool


@router.get("/compare/{comparison_id}")
def show_comparison(request: Request, compared: ToSee) -> Response:
    """The answer, or how far it is."""
    opened = compared.opened
    grid = opened.grid
    may_change = may_edit(compared.user)
    page = ComparisonPage(
        title=gettext("Compare %(name)s", name=compared.stored.name),
        id=compared.id,
        rig_href=path_to("show_rig", rig_id=compared.stored.id),
        rig_name=compared.stored.name,
        lead=lead(compared),
        progress=progress(compared),
        answer=answer_of(compared, grid) if grid else None,
        rigs=tuple(_rigs(compared)),
        add=path_to("show_new_candidate", comparison_id=compared.id)
        if may_change and len(compared.changes) < MOST_CANDIDATES
        else "",
        form=Draft(version=opened.row.version),
        may_edit=may_change,
        papers=grid is not None,
    )
    return render(request, page)


def lead(compared: Compared) -> str:
    """What is compared over, in a sentence."""
    basis = compared.opened.basis
    first, last = (say_date(date.fromisoformat(day)) for day in (basis.first, basis.last))
    in_portal = sum(1 for room in basis.year.rooms if room.gig_id)
    typical = basis.year.gigs - in_portal
    return gettext(
        "%(gigs)s gigs: %(in_portal)s in the portal from %(first)s to %(last)s, %(typical)s in typical rooms."
        " Different rooms: %(different)s.",
        gigs=basis.year.gigs,
        in_portal=in_portal,
        first=first,
        last=last,
        typical=typical,
        different=basis.year.different,
    )


def progress(compared: Compared) -> str:
    """How far it is; empty where all is worked out."""
    opened = compared.opened
    if opened.done:
        return ""
    have, needed = len(opened.cells) + len(opened.ranges), opened.row.needed
    if not needed:
        return gettext("The gigs are being worked out. You can leave this page and come back.")
    if opened.grid is None:
        return gettext(
            "The gigs are being worked out: %(needed)s of %(needed2)s. You can leave this page and come back.",
            needed=min(have, needed),
            needed2=needed,
        )
    return gettext(
        "The answer is there. What would help most is being worked out: %(needed)s of %(needed2)s.",
        needed=min(have, needed),
        needed2=needed,
    )


def answer_of(compared: Compared, grid: Grid) -> Answer:
    """The answer for the page."""
    helps = compared.opened.helps
    figures = [row.candidate.figures for row in grid.rows]
    return Answer(
        sentence(grid),
        one_gig(grid),
        tuple(_strip(compared, grid, number) for number in range(len(grid.rows))),
        heads(figures),
        tuple(_gig(compared, grid, at) for at in range(len(grid.comparison.year.rooms))),
        binding(grid),
        None if helps is None else tuple(HelpLine(help_words(one), help_costs(one), one.best) for one in helps),
        tuple((loss, LOSS_WORDS[loss]) for loss in LOSSES),
        look_up(WHAT_COUNTS),
        look_up(TWO_PEOPLE),
    )


COUNTED = (
    mark("Rig"),
    mark("Gigs that lose nothing"),
    mark("Splitter carried"),
    mark("Looms carried"),
    mark("Loom laid, {unit}"),
    mark("Plugs a year"),
    mark("Longest plugging, min"),
    mark("Worst gig"),
)

OF_FIGURES = Words({"units": mark("Rack units"), "kg": mark("kg"), "price": mark("Price and a year's hire")})


def heads(figures: list[Figures]) -> tuple[str, ...]:
    """The columns of the table: figures that the band gave stand behind the counted ones."""
    counted = (look_up(one).format(unit=length_unit()) for one in COUNTED)
    return (*counted, *(words for key, words in OF_FIGURES.items() if any(_given(one, key) for one in figures)))


def _given(figures: Figures, key: str) -> bool:
    return getattr(figures, key) is not None or (key == "price" and figures.fee is not None)


def cells_of(row: Row, grid: Grid) -> tuple[str, ...]:
    """A candidate's row of the table."""
    all_figures = [one.candidate.figures for one in grid.rows]
    said = {"units": row.candidate.figures.units, "kg": row.candidate.figures.kg, "price": row.money}
    return (
        row.candidate.name,
        gettext("%(nothing)s of %(gigs)s", nothing=nothing_of(row), gigs=grid.gigs),
        f"{row.carried} x",
        f"{row.looms} x",
        length_figure(row.metres),
        str(row.plugs),
        str(row.minutes),
        worst(row),
        *(
            gettext("not said") if (figure := said[key]) is None else say_number(figure)
            for key in OF_FIGURES
            if any(_given(one, key) for one in all_figures)
        ),
    )


def _strip(compared: Compared, grid: Grid, number: int) -> Strip:
    row = grid.rows[number]
    return Strip(row.candidate.name, tuple(_boxes(compared, grid, number)), cells_of(row, grid), beaten(row))


def _rigs(compared: Compared) -> Iterator[RigLine]:
    for number, one in enumerate(compared.opened.comparison.candidates):
        ours = path_to("show_ours", comparison_id=compared.id, number=number) if number else ""
        yield RigLine(one.name, path_to("show_candidate", comparison_id=compared.id, number=number), ours)


def _boxes(compared: Compared, grid: Grid, number: int) -> Iterator[Box]:
    row, year = grid.rows[number], grid.comparison.year
    for at, (room, cell) in enumerate(zip(year.rooms, row.cells, strict=True)):
        found = row.ranges[at]
        marks = {
            "!": bool(cell.blocks),
            "?": found is not None and not found.holds,
            "+": year.minutes is not None and cell.minutes > year.minutes,
        }
        words = f"{title_of(room)}: {loss_words(cell)}"
        href = path_to("show_cell", comparison_id=compared.id, number=number, room=at)
        yield Box(
            cell.loss,
            str(room.count) if room.count > 1 else "",
            "".join(sign for sign, there in marks.items() if there),
            words,
            href,
        )


def title_of(room: Room) -> str:
    """A room by name and day, with how many gigs it stands for."""
    name = room_words(room) + (f", {say_date(date.fromisoformat(room.on))}" if room.on else "")
    return gettext("%(name)s, %(count)s gigs", name=name, count=room.count) if room.count > 1 else name


def _gig(compared: Compared, grid: Grid, at: int) -> GigLine:
    room = grid.comparison.year.rooms[at]
    return GigLine(
        title_of(room),
        band_base(room.gig_id) if room.gig_id else "",
        room.on,
        tuple(
            (
                row.candidate.name,
                _cell_words(row.cells[at], grid.comparison.year),
                path_to("show_cell", comparison_id=compared.id, number=number, room=at),
            )
            for number, row in enumerate(grid.rows)
        ),
        ranges_words(grid, at),
    )


def _cell_words(cell: Cell, year: Year) -> str:
    parts = [loss_words(cell)]
    if cell.blocks:
        parts.append(gettext("something forbids signing"))
    if year.minutes is not None and cell.minutes > year.minutes:
        parts.append(
            gettext("%(minutes)s min of plugging, %(at_hand)s at hand", minutes=cell.minutes, at_hand=year.minutes)
        )
    return "; ".join(parts)


@router.post("/compare/{comparison_id}/again")
def renew_comparison(request: Request, compared: ToChange, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """Take the gigs and the rig as they stand now, and work it out again."""
    once = begin(request, db, sent, actor=compared.user.actor, key=portal.key, now=now)
    basis = compared.opened.basis
    stored = compared.stored
    revision = rigs.newest(db, stored.id)
    span = (date.fromisoformat(basis.first), date.fromisoformat(basis.last))
    gigs = rooms_of_gigs(db, stored.id, revision.read(), *span)
    typical = tuple(room for room in basis.year.rooms if not room.gig_id)
    year = replace(basis.year, rooms=(*gigs, *typical))
    if wrong := faults_of(year):
        raise PortalError(
            409, gettext("The year cannot be compared"), gettext("Nothing was changed. %(wrong)s", wrong=wrong[0])
        )
    change(db, compared, sent.version(), basis=write_basis(replace(basis, year=year)), rig_revision_id=revision.id)
    return once.done(path_to("show_comparison", comparison_id=compared.id))


@router.post("/compare/{comparison_id}/erase")
def erase_comparison(request: Request, compared: ToChange, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """Erase a comparison; the rig and the gigs stay as they are."""
    once = begin(request, db, sent, actor=compared.user.actor, key=portal.key, now=now)
    comparisons.erase(db, compared.opened.row)
    request.state.erased = True
    return once.done(path_to("show_comparisons"))
