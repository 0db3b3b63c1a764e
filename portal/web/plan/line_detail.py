"""One line of a plan: why it is as it is at length, and the numbers behind it."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.planning import ground, rig_of
from portal.plan.input.facts import Facts
from portal.plan.model import Line, Plan
from portal.plan.registry import RULES
from portal.plan.result.figures import Figure, figures_of
from portal.store import plans
from portal.web.discussion.discussion_view import LineTalk, talk_of
from portal.web.documents.downloads import numbered_plan
from portal.web.frame.deps import Db, Number, TheGig
from portal.web.frame.errors import NotThere
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Page, render
from portal.web.plan.cable import Cables
from portal.web.plan.plan_view import Reader, ReasonShown
from portal.wording.catalogue import Words, look_up, mark
from portal.wording.catalogue import gettext as _
from portal.wording.kinds import say_stand
from portal.wording.plan.saying import say

router = Screens()

GAIN = Words({"each": mark("each side its own"), "band": mark("the band's"), "house": mark("the house's")})
"""Whose the first gain of a line is."""


@dataclass(frozen=True)
class LongReason:
    """A reason with its facts and its long answer."""

    shown: ReasonShown
    answer: str


@dataclass(frozen=True, kw_only=True)
class LinePage(Page):
    """A line as it is drawn, with its reasons at length, its figures and what was said about it."""

    template: ClassVar[str] = "plan/line_detail.html"
    where: str
    plan_href: str
    cables: Cables
    more: tuple[tuple[str, str], ...]
    talk: LineTalk
    reasons: tuple[LongReason, ...]
    figures: tuple[Figure, ...]


def _socket(line: Line) -> str:
    return (
        _("Over the digital link") if line.box_socket is None else _("Stage box input %(socket)s", socket=line.socket)
    )


@router.get("{base}/plan/{number}/lines/{line}")
def show_line(number: Number, line: Number, request: Request, gig: TheGig, db: Db) -> Response:
    """A line of a stored plan. The figures follow from what that plan was computed from, never from today's rig."""
    stored = numbered_plan(db, gig.gig, number)
    plan = stored.read()
    wanted = next((one for one in plan.lines if one.line == line), None) if isinstance(plan, Plan) else None
    if wanted is None or not isinstance(plan, Plan):
        raise NotThere
    facts = Facts(rig_of(db, stored), stored.read_answers())
    newest = plans.newest(db, gig.gig.id)
    is_newest = newest is not None and newest.number == number
    follows = "follow" in gig.powers
    talk = talk_of(db, gig, ground(db, gig.gig).rig) if follows and is_newest else None
    reader = Reader(gig.base, gig.party, number, talk, follows=follows)
    page = LinePage(
        title=_("Line %(line)s: %(label)s", line=wanted.line, label=wanted.label),
        where=_(
            "%(wanted)s, desk channel %(desk_channel)s. Revision %(number)s of the plan.",
            wanted=_socket(wanted),
            desk_channel=wanted.desk_channel,
            number=number,
        ),
        plan_href=path_to("show_plan_revision", gig.base, number=number, anchor=f"line-{wanted.line}"),
        cables=reader.cable(plan, wanted.line),
        more=tuple(_more(wanted, plan)),
        talk=reader.said_of(wanted.sources),
        reasons=tuple(
            LongReason(reader.reason(one), look_up(RULES[one.key].explained))
            for one in wanted.because
            if one.key in RULES
        ),
        figures=figures_of(wanted, plan.lines, facts),
    )
    return render(request, page)


def _more(line: Line, plan: Plan) -> Iterator[tuple[str, str]]:
    """What stands beside the drawing."""
    mic_or_di = say(line.mic_or_di)
    yield (
        _("From"),
        _("%(mic_or_di)s, the house's", mic_or_di=mic_or_di)
        if line.owner == "house"
        else _("%(mic_or_di)s, the band's", mic_or_di=mic_or_di),
    )
    if stand := say_stand(line.stand):
        yield _("Stand"), stand
    yield _("Gain"), GAIN.get(line.gain_owner, line.gain_owner)
    yield _("Name on the desk"), line.strip
    if line.polarity not in ("normal", ""):
        yield _("Polarity"), _("flip") if line.polarity == "flip" else line.polarity
    if line.loom and line.loom.house_end:
        yield _("Tail"), line.loom.house_end
    if line.lift:
        yield _("Ground lift"), say(line.lift)
    if line.note:
        yield _("Note"), say(line.note)
    for heard in plan.ear_inputs:
        if heard.source in line.sources:
            fed_by = say(heard.fed_by)
            yield (
                _("In the in-ears"),
                _("no mixer input, fed by %(fed_by)s", fed_by=fed_by)
                if heard.mixer_input is None
                else _("mixer input %(number)s, fed by %(fed_by)s", number=heard.mixer_input, fed_by=fed_by),
            )
