"""One line of a plan: why it is as it is at length, and the numbers behind it."""

from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.plan.input.facts import Facts
from portal.plan.model import Line, Plan
from portal.plan.registry import RULES
from portal.plan.result.figures import Figure, figures_of
from portal.store import rigs
from portal.web.documents.downloads import numbered_plan
from portal.web.frame.deps import Db, Number, TheGig
from portal.web.frame.errors import NotThere
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Page, render

router = Screens()


@dataclass(frozen=True)
class LongReason:
    """A reason with its long answer; ``why`` is where that stands by itself."""

    text: str
    answer: str
    why: str


@dataclass(frozen=True, kw_only=True)
class LinePage(Page):
    """A line with its reasons at length and its figures."""

    template: ClassVar[str] = "plan/line_detail.html"
    where: str
    plan_href: str
    reasons: tuple[LongReason, ...]
    figures: tuple[Figure, ...]


def _socket(line: Line) -> str:
    return "Over the digital link" if line.box_socket is None else f"Box socket {line.socket}"


@router.get("{base}/plan/{number}/lines/{line}")
def show_line(number: Number, line: Number, request: Request, gig: TheGig, db: Db) -> Response:
    """A line of a stored plan. The figures follow from what that plan was computed from, never from today's rig."""
    stored = numbered_plan(db, gig.gig, number)
    plan = stored.read()
    wanted = next((one for one in plan.lines if one.line == line), None) if isinstance(plan, Plan) else None
    if wanted is None or not isinstance(plan, Plan):
        raise NotThere
    facts = Facts(rigs.revision_of_gig(db, stored.rig_revision_id).read(), stored.read_answers())
    page = LinePage(
        title=f"Line {wanted.line}: {wanted.label}",
        where=f"{_socket(wanted)}, desk channel {wanted.desk_channel}. Revision {number} of the plan.",
        plan_href=path_to("show_plan_revision", gig.base, number=number, anchor=f"line-{wanted.line}"),
        reasons=tuple(
            LongReason(one.text, RULES[one.key].why.partition(" Example: ")[0], path_to("show_why", key=one.key))
            for one in wanted.because
            if one.key in RULES
        ),
        figures=figures_of(wanted, plan.lines, facts),
    )
    return render(request, page)
