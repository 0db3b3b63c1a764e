"""One cell opened: the plan that this gig would have with this rig, worked out anew and kept nowhere."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.rig_comparison import Opened
from portal.advance.solver.process import TRY_S, NotSolved
from portal.advance.solver.wishes import PlanWish, Texts
from portal.compare.grid import Problem
from portal.compare.words import TWO_PEOPLE, given_words, loss_words, range_words
from portal.plan.model import Line, NoPlan, Plan
from portal.plan.signed.serialization import Heading
from portal.store import plans
from portal.store.database.session import end_reading
from portal.web.compare.comparison_access import ToSee
from portal.web.compare.comparison_page import title_of
from portal.web.frame.deps import Db, Here, Number
from portal.web.frame.errors import NotThere, PortalError
from portal.web.frame.links import Screens, band_base, path_to
from portal.web.frame.pages import Page, render
from portal.web.frame.running import Portal
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import look_up, mark
from portal.wording.formats import say_metres
from portal.wording.plan.assumed import say_assumed
from portal.wording.plan.saying import say

router = Screens()


@dataclass(frozen=True, kw_only=True)
class CellPage(Page):
    """The plan of one gig with one rig. ``facts``: label and value of what the comparison says of it."""

    template: ClassVar[str] = "compare/cell.html"
    back: str
    gig_href: str
    sentence: str
    facts: tuple[tuple[str, str, str], ...]
    heads: tuple[str, ...]
    lines: tuple[tuple[str, ...], ...]
    parts: tuple[tuple[str, tuple[str, ...]], ...]
    caution: str


@router.get("/compare/{comparison_id}/rigs/{number}/gigs/{room}")
def show_cell(request: Request, compared: ToSee, number: Number, room: Number, db: Db, portal: Here) -> Response:
    """The plan behind a cell."""
    comparison = compared.opened.comparison
    if number >= len(comparison.candidates) or room >= len(comparison.year.rooms):
        raise NotThere
    end_reading(db)
    problem = comparison.problems[comparison.keys[number][room]]
    outcome = _solved(portal, problem, compared.user.actor)
    candidate, here = comparison.candidates[number], comparison.year.rooms[room]
    page = CellPage(
        title=f"{here.name}: {candidate.name}",
        back=path_to("show_comparison", comparison_id=compared.id),
        gig_href=band_base(here.gig_id) if here.gig_id else "",
        sentence=say(outcome.sentence),
        facts=tuple(_facts(compared.opened, number, room)),
        heads=tuple(map(look_up, HEADS)),
        lines=tuple(map(_line, outcome.lines)) if isinstance(outcome, Plan) else (),
        parts=tuple((head, rows) for head, rows in _parts(outcome) if rows),
        caution=look_up(TWO_PEOPLE),
    )
    return render(request, page)


def _solved(portal: Portal, problem: Problem, actor: str) -> Plan | NoPlan:
    """The plan, by a solver. Raises ``PortalError`` 503 where none has time."""
    wish = PlanWish(Texts.of(problem.rig, problem.answers, ()), Heading("", "", ""))
    with portal.what_if_turns.one(actor), portal.waiting_turns.one("what if"):
        try:
            return plans.read_outcome(portal.solvers.ask(wish, TRY_S).document)
        except NotSolved:
            raise PortalError(
                503,
                _("This plan could not be worked out just now"),
                _("Nothing was changed. Much is being planned: wait a minute, then try again."),
                retry_after_s=60,
            ) from None


def _facts(opened: Opened, number: int, room: int) -> Iterator[tuple[str, str, str]]:
    """What the comparison says of the cell, where it is there already."""
    comparison = opened.comparison
    yield _("Rig"), comparison.candidates[number].name, ""
    yield _("Gig"), title_of(comparison.year.rooms[room]), ""
    cell = opened.cells.get(comparison.keys[number][room])
    if cell is None:
        return
    told = (
        (_("Given up"), "; ".join(given_words(cell)) or loss_words(cell)),
        (_("What binds"), "; ".join(map(say, cell.binds))),
        (_("Until the house has answered"), range_words(opened.ranges.get(comparison.keys[number][room]))),
        (
            _("Plugs that night"),
            _("%(plugs)s, about %(minutes)s min by one person", plugs=cell.plugs, minutes=cell.minutes),
        ),
        (_("Splitter"), ", ".join((*cell.splitters, *cell.built_in)) or _("none comes along")),
        (
            _("Looms"),
            _("%(looms)s, %(loom_m)s in all", looms=", ".join(cell.looms), loom_m=say_metres(cell.loom_m))
            if cell.looms
            else _("none comes along"),
        ),
    )
    yield from ((label, value, "") for label, value in told if value)


HEADS = (mark("Line"), mark("Source"), mark("Travels"), mark("Loom"), mark("Box input"), mark("Desk channel"))


def _line(line: Line) -> tuple[str, ...]:
    way = _("way %(way)s", way=line.path.way) if line.path.way else line.path.output
    travels = ", ".join(part for part in (say(line.path.unit_name), way) if part)
    loom = _("%(name)s, way %(way)s", name=line.loom.name, way=line.loom.way) if line.loom else say(line.cable)
    return str(line.line), line.label, travels, loom, line.socket, str(line.desk_channel)


def _parts(outcome: Plan | NoPlan) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """What stands below the lines, each with its heading."""
    if isinstance(outcome, NoPlan):
        return (
            (_("What cannot all hold"), tuple(say(one.said) for one in outcome.conflicts)),
            (_("What would help"), tuple(say(one.said) for one in outcome.remedies)),
        )
    return (
        (_("Forbids signing"), tuple(say(one.said) for one in outcome.blocks)),
        (_("Not sent"), tuple(say(reason.said) for row in outcome.not_sent for reason in row.because)),
        (_("Bring"), tuple(f"{item.count} {say(item.what)}: {say(item.why)}" for item in outcome.bring)),
        (_("Leave at home"), tuple(f"{item.count} {say(item.what)}: {say(item.why)}" for item in outcome.leave)),
        (_("Assumed until told"), tuple(say_assumed(one) for one in outcome.assumed)),
    )
