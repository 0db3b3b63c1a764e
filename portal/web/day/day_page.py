"""The day: the signed sheet for the dark, the newest one where nothing is signed, and the line check on it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.leading_plan import leading
from portal.advance.revision_words import changes
from portal.documents.day_sheet import DayRow, DaySheet, day_sheet, to_check
from portal.plan.model import Plan
from portal.store.day import line_checks
from portal.store.day.line_checks import LineCheck
from portal.store.plans import StoredPlan
from portal.web.day.line_check import (
    LONGEST_NAME,
    STATES,
    WITH_SHEET,
    CheckShown,
    check_shown,
    found_on_gone,
    said_by,
    where_of,
)
from portal.web.documents.downloads import PATCH_SHEET, newest_plan, read_plan
from portal.web.documents.qr_access import cover_of
from portal.web.frame.deps import AllowedGig, Db, Here, Now, TheGig
from portal.web.frame.kept import following
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, Page, render
from portal.wording.catalogue import gettext as _

router = Screens()


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
    sheet = following(plan, "the day", cover, lambda: day_sheet(plan, cover))
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
            gone=tuple(found_on_gone(plan, found, gig, now)),
            counts=_counts(rows),
            who=said_by(gig, who),
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
        shown = {one.id: check_shown(one, gig, now, where_of(plan), line.place) for one in said}
        form = Draft.of({"line": str(row.line), "who": who}, version=stored.number)
        rows.append(CrewRow(row, form, tuple(shown[one.id] for one in stands)))
        earlier += [(row.label, shown[one.id]) for one in said if one not in stands]
    return tuple(rows), tuple(earlier)


def _counts(rows: tuple[CrewRow, ...]) -> str:
    """How far the line check is, in one sentence. A line with a problem is not checked, whoever else ticked it."""
    states = [{one.state for one in row.standing} for row in rows]
    problems = sum("problem" in one for one in states)
    checked = sum(one == {"checked"} for one in states)
    words = _("%(checked)s of %(count)s lines checked", checked=checked, count=len(rows))
    return _("%(words)s, %(problems)s with a problem.", words=words, problems=problems) if problems else f"{words}."
