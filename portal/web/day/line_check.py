"""The line check: what somebody found on a line, said and kept.

Whoever may look at the gig may also write down what line check found, and nothing else: on the day the paper with its
code goes from hand to hand. Findings are rows of their own, with who and when, and change no plan.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated
from zoneinfo import ZoneInfo

from fastapi import Depends, Request
from fastapi.responses import JSONResponse, Response

from portal.advance.leading_plan import leading
from portal.documents.day_sheet import to_check
from portal.documents.patch.patch_rows import source_labels
from portal.plan.model import Plan
from portal.store.day import line_checks
from portal.store.day.line_checks import Finder, Finding, LineCheck
from portal.web.documents.downloads import newest_plan, numbered_plan, read_plan
from portal.web.frame.deps import BY_SHEET, AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.errors import NotThere, PortalError, Repeated
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.live import not_used
from portal.wording.catalogue import Words, look_up, mark
from portal.wording.catalogue import gettext as _
from portal.wording.formats import headed
from portal.wording.times import say_moment

router = Screens()

LONGEST_NAME = 40
LONGEST_GAIN = 40
LONGEST_NOTE = 500
WITH_SHEET = ", with the sheet"
STATES = Words({"checked": mark("Checked"), "problem": mark("Problem")})


@dataclass(frozen=True)
class CheckShown:
    """One finding in words, its gain and note among them; ``state`` is checked or problem, ``who`` found it."""

    state: str
    words: str
    who: str


@router.get("{base}/day/found")
def show_found(gig: Annotated[AllowedGig, Depends(not_used)], db: Db, now: Now, revision: str = "") -> JSONResponse:
    """What stands on each line of a revision, for a page that asks now and then: state, words and who, by line; and
    which revision is plugged by.
    """
    newest = newest_plan(db, gig.gig)
    stored = numbered_plan(db, gig.gig, int(revision)) if re.fullmatch("[0-9]{1,9}", revision) else newest
    plan = read_plan(stored)
    found = line_checks.by_line(line_checks.of_gig(db, gig.gig.id))
    lines = {
        str(one.number): [
            [shown.state, shown.words, shown.who] for shown in _standing(plan, found, gig, now, one.sources, one.place)
        ]
        for one in to_check(plan)
    }
    lead = leading(db, gig.gig, newest, now)
    return JSONResponse({"sheet": path_to("show_sheet", gig.base, content_hash=lead.content_hash), "lines": lines})


def _standing(
    plan: Plan,
    found: Mapping[str, tuple[LineCheck, ...]],
    gig: AllowedGig,
    now: datetime,
    sources: tuple[str, ...],
    place: int,
) -> tuple[CheckShown, ...]:
    said = found.get(line_checks.write_sources(sources), ())
    return tuple(check_shown(one, gig, now, where_of(plan), place) for one in line_checks.standing(said))


def where_of(plan: Plan) -> str:
    return _("mixer input") if plan.outputs else _("desk channel")


def check_shown(row: LineCheck, gig: AllowedGig, now: datetime, where: str, place: int | None = None) -> CheckShown:
    zone = ZoneInfo(gig.gig.time_zone)
    local = row.said_at.astimezone(zone)
    at = f"{local:%H:%M}" if local.date() == now.astimezone(zone).date() else say_moment(row.said_at, gig.gig.time_zone)
    more = ". ".join(part for part in (_("Gain %(gain)s", gain=row.gain) if row.gain else "", row.note) if part)
    who = look_up(row.who) if row.who == BY_SHEET else row.who
    words = f"{STATES[row.state]} {at}, {who}"
    if row.channel and row.channel != place:
        words = _("%(finding)s, then on %(where)s %(channel)s", finding=words, where=where, channel=row.channel)
    return CheckShown(row.state, f"{words}. {more}" if more else words, who)


def found_on_gone(
    plan: Plan, found: Mapping[str, tuple[LineCheck, ...]], gig: AllowedGig, now: datetime
) -> list[tuple[str, CheckShown]]:
    """Findings on lines that the newest plan has no more; they are not lost."""
    here = {line_checks.write_sources(one.sources) for one in to_check(plan)}
    labels = source_labels(plan)
    return [
        (
            ", ".join(labels.get(key, key) for key in line_checks.read_sources(sources)),
            check_shown(row, gig, now, where_of(plan)),
        )
        for sources, rows in found.items()
        if sources not in here
        for row in rows
    ]


@router.post("{base}/day/lines")
def save_finding(request: Request, sent: Sent, gig: TheGig, portal: Here, now: Now, db: Db) -> Response:
    """Keep what somebody found on one line. It may have waited on a phone: then it says when it was found."""
    gig.need("view")
    if gig.gig.cancelled_at is not None:
        raise PortalError(409, _("The gig is cancelled"), _("Nothing was saved. Ask the band."))
    check = Check(sent)
    state = check.choice("state", tuple(STATES), _("Choose Checked or Problem."))
    who = check.text("who", longest=LONGEST_NAME)
    gain = check.text("gain", longest=LONGEST_GAIN)
    note = check.text("note", longest=LONGEST_NOTE)
    number = check.number("line", _("Line"), lo=1, hi=9999)
    if not sent.text("line"):
        check.fault("line", _("Choose the line."))
    stored = numbered_plan(db, gig.gig, sent.version())
    line = next((one for one in to_check(read_plan(stored)) if one.number == number), None)
    if not check.well:
        faults = " ".join(fault.sentence for fault in check.draft().faults)
        wrong = headed(line.label, faults) if line else faults
        raise PortalError(
            422,
            _("The finding was not saved"),
            _("%(wrong)s Go back, change it, and save it again.", wrong=wrong),
        )
    if line is None:
        raise NotThere
    here = path_to(
        "show_day",
        gig.base,
        who=who,
        light=int(sent.text("light") == "1"),
        draft=int(sent.text("draft") == "1"),
        anchor=f"line-{line.number}",
    )
    try:
        once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    except Repeated as again:
        raise Repeated(here) from again
    finding = Finding(line.sources, line.place, state, gain, note, _moment(sent.text("said_at"), gig, now))
    finder = Finder(gig.party, said_by(gig, who), gig.link_id, gig.user_id)
    if line_checks.add(db, gig_id=gig.gig.id, plan_id=stored.id, finding=finding, finder=finder, now=now) is None:
        raise PortalError(
            409,
            _("The line check is full"),
            _("Nothing was saved: %(most)s findings are kept. Use the paper.", most=line_checks.MOST),
        )
    return once.done(path_to("show_day", gig.base), named=here)


def said_by(gig: AllowedGig, who: str) -> str:
    """Who found something, by the name that they gave; a name given by the code on a document says so."""
    return who + (WITH_SHEET if gig.by_sheet else "") if who else gig.name


def _moment(text: str, gig: AllowedGig, now: datetime) -> datetime:
    """When it was found by the phone's clock, as far as that can be: after the gig was made, and not in the future."""
    try:
        said = datetime.fromisoformat(text)
    except ValueError:
        return now
    return said if said.tzinfo is not None and gig.gig.created <= said <= now else now
