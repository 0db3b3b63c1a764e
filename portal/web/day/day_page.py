"""The day: the signed sheet for the dark, the newest one where nothing is signed, the line check on it, and the sheet
of one content.

Whoever may look at the gig may also write down what line check found, and nothing else: on the day the paper with its
code goes from hand to hand. Findings are rows of their own, with who and when, and change no plan.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, ClassVar
from urllib.parse import urlsplit
from zoneinfo import ZoneInfo

from fastapi import Depends, Request
from fastapi.responses import FileResponse, HTMLResponse, JSONResponse, Response

from portal.advance.leading_plan import leading
from portal.advance.revision_words import changes
from portal.documents.day_sheet import DayRow, DaySheet, day_page, day_sheet, to_check
from portal.documents.patch.patch_rows import source_labels
from portal.places import STATIC
from portal.plan.model import Plan
from portal.store import plans
from portal.store.database.session import Session
from portal.store.day import line_checks
from portal.store.day.line_checks import Finder, Finding, LineCheck
from portal.store.plans import StoredPlan
from portal.web.documents.downloads import PATCH_SHEET, a_file, file_name, newest_plan, numbered_plan, read_plan
from portal.web.documents.qr_access import cover_of
from portal.web.frame.deps import BY_SHEET, AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.errors import NotThere, PortalError, Repeated
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.live import not_used
from portal.web.frame.pages import Draft, Page, render
from portal.web.frame.running import Portal
from portal.wording.catalogue import Words, look_up, mark
from portal.wording.catalogue import gettext as _
from portal.wording.times import say_exactly, say_moment

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


@dataclass(frozen=True)
class Beside:
    """The other revision that somebody may mean: the draft beside what is signed, or the other way round; what differs,
    and the way there.
    """

    words: str
    changes: tuple[str, ...]
    href: str
    link: str


@dataclass(frozen=True)
class CrewRow:
    """One line with what stands on it (each person's last word)."""

    sheet: DayRow
    form: Draft
    standing: tuple[CheckShown, ...]


@dataclass(frozen=True, kw_only=True)
class Crew(Page):
    """The crew page. ``signed`` is the state of signing in few words; ``open`` is false where nothing can be written
    any more; ``behind``: the gig has changed, and its plan is being worked out; ``report``: the form for a problem, a
    gain or a note; ``earlier``: labels with what somebody said before their last word, ``gone``: with what was found on
    lines that are no more; ``found_href``: where the page asks what others found; ``by``
    follows a name given by the code on a document.
    """

    template: ClassVar[str] = "day/day_page.html"
    sheet: DaySheet
    signed: str
    beside: Beside | None
    behind: bool
    rows: tuple[CrewRow, ...]
    report: Draft
    earlier: tuple[tuple[str, CheckShown], ...]
    gone: tuple[tuple[str, CheckShown], ...]
    counts: str
    who: str
    by: str
    who_form: Draft
    open: bool
    light: bool
    draft: bool
    other_light: str
    crew_href: str
    check_href: str
    found_href: str
    scope: str
    sheet_href: str
    file_href: str
    pdf_href: str

    @property
    def states(self) -> Mapping[str, str]:
        """What a finding may be, in words by key."""
        return STATES


@router.get("{base}/day")
def show_day(request: Request, gig: TheGig, db: Db, portal: Here, now: Now) -> Response:
    """What is plugged by, for whoever plugs, with the line check; a newer draft only where it is asked for."""
    newest = newest_plan(db, gig.gig)
    signed = leading(db, gig.gig, newest, now)
    draft = request.query_params.get("draft") == "1"
    stored = newest if draft else signed
    plan = read_plan(stored)
    who = request.query_params.get("who", "")[:LONGEST_NAME].strip()
    light = request.query_params.get("light") == "1"
    cover = cover_of(db, portal, gig.gig, stored)
    sheet = day_sheet(plan, cover)
    found = line_checks.by_line(line_checks.of_gig(db, gig.gig.id))
    rows, earlier = _rows(plan, sheet, found, stored, gig, who, now)
    return render(
        request,
        Crew(
            title=_("%(name)s: the day", name=gig.gig.name),
            sheet=sheet,
            signed=_("signed by both sides") if cover.status == "agreed" else sheet.signed,
            beside=_beside(gig, stored, signed, newest, who=who, light=int(light)),
            behind=cover.behind,
            rows=rows,
            report=Draft.of({"who": who}, version=stored.number),
            earlier=earlier,
            gone=tuple(_gone(plan, found, gig, now)),
            counts=_counts(rows),
            who=_finder(gig, who),
            by=WITH_SHEET if gig.by_sheet else "",
            who_form=Draft.of({"who": who}),
            open=gig.gig.cancelled_at is None,
            light=light,
            draft=draft,
            other_light=path_to("show_day", gig.base, who=who, light=int(not light), draft=int(draft)),
            crew_href=path_to("show_day", gig.base),
            check_href=path_to("save_finding", gig.base),
            found_href=path_to("show_found", gig.base, revision=stored.number, draft=int(draft)),
            scope=path_to("show_day", gig.base),
            sheet_href=path_to("show_sheet", gig.base, content_hash=stored.content_hash),
            file_href=path_to("sheet_file", gig.base, content_hash=stored.content_hash),
            pdf_href=path_to("document_pdf", gig.base, number=stored.number, document=PATCH_SHEET),
        ),
    )


def _beside(
    gig: AllowedGig, stored: StoredPlan, signed: StoredPlan, newest: StoredPlan, *, who: str, light: int
) -> Beside | None:
    """The newer draft, for whoever reads what is signed, and what is signed, for whoever reads the draft; ``None``
    where both are one.
    """
    if signed.content_hash == newest.content_hash:
        return None
    if stored.number == signed.number:
        words = _(
            "Revision %(number)s is a newer draft and is not signed. This page shows what is signed.",
            number=newest.number,
        )
        href = path_to("show_day", gig.base, draft=1, who=who, light=light)
        return Beside(words, changes(signed, newest), href, _("Look at the draft"))
    words = _("This is a draft. Signed is revision %(number)s.", number=signed.number)
    return Beside(
        words, changes(signed, newest), path_to("show_day", gig.base, who=who, light=light), _("Back to what is signed")
    )


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


def _rows(
    plan: Plan,
    sheet: DaySheet,
    found: Mapping[str, tuple[LineCheck, ...]],
    stored: StoredPlan,
    gig: AllowedGig,
    who: str,
    now: datetime,
) -> tuple[tuple[CrewRow, ...], tuple[tuple[str, CheckShown], ...]]:
    """The lines with what stands on each, and what was said of them before, with their labels."""
    by_number = {one.number: one for one in to_check(plan)}
    rows, earlier = [], []
    for row in sheet.rows:
        line = by_number[row.line]
        said = found.get(line_checks.write_sources(line.sources), ())
        stands = line_checks.standing(said)
        shown = {one.id: _check_shown(one, gig, now, _where(plan), line.place) for one in said}
        form = Draft.of({"line": str(row.line), "who": who}, version=stored.number)
        rows.append(CrewRow(row, form, tuple(shown[one.id] for one in stands)))
        earlier += [(row.label, shown[one.id]) for one in said if one not in stands]
    return tuple(rows), tuple(earlier)


def _standing(
    plan: Plan,
    found: Mapping[str, tuple[LineCheck, ...]],
    gig: AllowedGig,
    now: datetime,
    sources: tuple[str, ...],
    place: int,
) -> tuple[CheckShown, ...]:
    said = found.get(line_checks.write_sources(sources), ())
    return tuple(_check_shown(one, gig, now, _where(plan), place) for one in line_checks.standing(said))


def _where(plan: Plan) -> str:
    return _("mixer input") if plan.outputs else _("desk channel")


def _check_shown(row: LineCheck, gig: AllowedGig, now: datetime, where: str, place: int | None = None) -> CheckShown:
    zone = ZoneInfo(gig.gig.time_zone)
    local = row.said_at.astimezone(zone)
    at = f"{local:%H:%M}" if local.date() == now.astimezone(zone).date() else say_moment(row.said_at, gig.gig.time_zone)
    more = ". ".join(part for part in (_("Gain %(gain)s", gain=row.gain) if row.gain else "", row.note) if part)
    who = look_up(row.who) if row.who == BY_SHEET else row.who
    words = f"{STATES[row.state]} {at}, {who}"
    if row.channel != place:
        words = _("%(finding)s, then on %(where)s %(channel)s", finding=words, where=where, channel=row.channel)
    return CheckShown(row.state, f"{words}. {more}" if more else words, who)


def _gone(
    plan: Plan, found: Mapping[str, tuple[LineCheck, ...]], gig: AllowedGig, now: datetime
) -> list[tuple[str, CheckShown]]:
    """Findings on lines that the newest plan has no more; they are not lost."""
    here = {line_checks.write_sources(one.sources) for one in to_check(plan)}
    labels = source_labels(plan)
    return [
        (
            ", ".join(labels.get(key, key) for key in line_checks.read_sources(sources)),
            _check_shown(row, gig, now, _where(plan)),
        )
        for sources, rows in found.items()
        if sources not in here
        for row in rows
    ]


def _counts(rows: tuple[CrewRow, ...]) -> str:
    """How far the line check is, in one sentence. A line with a problem is not checked, whoever else ticked it."""
    states = [{one.state for one in row.standing} for row in rows]
    problems = sum("problem" in one for one in states)
    checked = sum(one == {"checked"} for one in states)
    words = _("%(checked)s of %(count)s lines checked", checked=checked, count=len(rows))
    return _("%(words)s, %(problems)s with a problem.", words=words, problems=problems) if problems else f"{words}."


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
        where = f"{line.label}: " if line else ""
        raise PortalError(
            422,
            _("The finding was not saved"),
            _("%(where)s%(faults)s Go back, change it, and save it again.", where=where, faults=faults),
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
    finder = Finder(gig.party, _finder(gig, who), gig.link_id, gig.user_id)
    if line_checks.add(db, gig_id=gig.gig.id, plan_id=stored.id, finding=finding, finder=finder, now=now) is None:
        raise PortalError(
            409,
            _("The line check is full"),
            _("Nothing was saved: %(most)s findings are kept. Use the paper.", most=line_checks.MOST),
        )
    return once.done(path_to("show_day", gig.base), named=here)


def _finder(gig: AllowedGig, who: str) -> str:
    """Who found something, by the name that they gave; a name given by the code on a document says so."""
    return who + (WITH_SHEET if gig.by_sheet else "") if who else gig.name


def _moment(text: str, gig: AllowedGig, now: datetime) -> datetime:
    """When it was found by the phone's clock, as far as that can be: after the gig was made, and not in the future."""
    try:
        said = datetime.fromisoformat(text)
    except ValueError:
        return now
    return said if said.tzinfo is not None and gig.gig.created <= said <= now else now


def _sheet(
    db: Session, portal: Portal, gig: AllowedGig, content_hash: str, now: datetime, saved: str = ""
) -> tuple[StoredPlan, str]:
    """The sheet of one content. It says by itself whether another revision is meant. Raises ``NotThere``."""
    stored = plans.of_content(db, gig.gig.id, content_hash)
    newest = plans.newest(db, gig.gig.id)
    if stored is None or newest is None:
        raise NotThere
    stale = _stale(stored, leading(db, gig.gig, newest, now), newest)
    if gig.gig.cancelled_at is not None:
        stale = _("Outdated. The gig is cancelled.")
    return stored, day_page(day_sheet(read_plan(stored), cover_of(db, portal, gig.gig, stored), stale, saved))


def _stale(stored: StoredPlan, signed: StoredPlan, newest: StoredPlan) -> str:
    """Which other revision somebody may mean, in words; empty where there is none."""
    if stored.content_hash == signed.content_hash:
        same = newest.content_hash == signed.content_hash
        return (
            ""
            if same
            else _(
                "Revision %(number)s is a newer draft and is not signed. This sheet is signed.", number=newest.number
            )
        )
    if stored.number > signed.number:
        return _("This is a draft. Signed is revision %(number)s.", number=signed.number)
    return _(
        "Outdated. Revision %(number)s is newer and differs. Open the page of the day and use that one.",
        number=signed.number,
    )


@router.get("{base}/day/{content_hash}.html")
def sheet_file(content_hash: str, gig: TheGig, db: Db, portal: Here, now: Now) -> Response:
    """The sheet as one file without script, to open on any phone."""
    where = urlsplit(portal.settings.base_url).netloc + path_to("show_verify")
    saved = _(
        "Saved as a file on %(time_zone)s. Whether it still holds: compare the check code at %(where)s",
        time_zone=say_exactly(now, gig.gig.time_zone),
        where=where,
    )
    stored, html = _sheet(db, portal, gig, content_hash, now, saved)
    return a_file(file_name(stored, "sheet-of-the-day", stored.content_hash[:8], "html"), html.encode())


@router.get("{base}/day/{content_hash}")
def show_sheet(content_hash: str, gig: TheGig, db: Db, portal: Here, now: Now) -> Response:
    """The sheet of one content, at an address that never means another one."""
    return HTMLResponse(_sheet(db, portal, gig, content_hash, now)[1])


@router.get("/day-worker.js")
def day_worker() -> Response:
    """What keeps a sheet on a phone. It is served from the top, so that it may look after the page of the day and
    nothing else; browsers ask for a newer one each time.
    """
    return FileResponse(STATIC / "day-worker.js", media_type="text/javascript", headers={"Cache-Control": "no-cache"})
