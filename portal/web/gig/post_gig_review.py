"""What the night taught: notes, gains and changes agreed on the day are offered back to the rig, line by line, once the
gig is over.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from hashlib import sha256
from typing import ClassVar

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from portal.advance.status.gig_status import ends
from portal.advance.time_zones import moment_of
from portal.plan.input.rig import MAX_LABEL, MAX_TEXT, Rig, Source
from portal.plan.model import Plan
from portal.store import discussions, plans, rigs
from portal.store.database.session import Session
from portal.store.day import line_checks
from portal.store.day.line_checks import LineCheck
from portal.store.gigs import Gig
from portal.web.discussion.discussion_view import words_of
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.errors import NotThere, PortalError
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, Fault, Page, render
from portal.web.rig.rig_access import contradictions
from portal.wording.catalogue import Words, mark
from portal.wording.catalogue import gettext as _
from portal.wording.times import say_date

router = Screens()


@dataclass(frozen=True)
class Agreed:
    """What both sides agreed on, and the same in a note of its row, which need not be named there."""

    words: str
    short: str


@dataclass(frozen=True)
class Finding:
    """What one night taught about one line. ``sources``: its key for ``line_checks``; ``rows``: the rig's rows that it
    is about, as they stand; ``seen``: the last check in it.
    """

    sources: str
    heading: str
    words: tuple[str, ...]
    rows: tuple[Source, ...]
    news: str
    seen: int

    @property
    def mark(self) -> str:
        """What tells its fields from those of other findings on one page."""
        return sha256(self.sources.encode()).hexdigest()[:8]

    @property
    def note(self) -> str:
        """The note that the first row would have: what it has now, then the news; the news alone where both do not
        fit.
        """
        now = self.rows[0].note if self.rows else ""
        both = f"{now}; {self.news}" if now and self.news else now or self.news
        return (
            both
            if len(both) <= MAX_TEXT
            else self.news
            if len(self.news) <= MAX_TEXT
            else self.news[: MAX_TEXT - 1] + "…"
        )


@dataclass(frozen=True)
class FindingShown:
    """A finding with its form; ``label`` is false where the line carries several rows, ``note_now`` is in the rig."""

    finding: Finding
    form: Draft
    label: bool
    note_now: str


@dataclass(frozen=True, kw_only=True)
class Afterwards(Page):
    """Everything of one night that waits for a decision. ``done`` says what the last one did."""

    template: ClassVar[str] = "gig/post_gig_review.html"
    action: str
    when: str
    rig_name: str
    rig_href: str
    gig_href: str
    findings: tuple[FindingShown, ...]
    done: str
    stale: bool

    @property
    def faults(self) -> tuple[Fault, ...]:
        """What is wrong in the form that was sent."""
        return tuple(fault for one in self.findings for fault in one.form.faults)


_DONE = Words(
    {
        "taken": mark("Taken into the rig. The rig's page can undo it."),
        "dismissed": mark("Dismissed. The rig stays as it is."),
    }
)


@router.get("/gigs/{gig_id}/afterwards")
def show_review(request: Request, gig: TheGig, db: Db, now: Now, done: str = "") -> Response:
    """What the night taught; back to the gig where nothing waits any more."""
    gig.need("edit")
    findings = findings_of(db, gig.gig, now)
    if not findings and not done:
        return RedirectResponse(gig.base, 303)
    return render(request, _page(db, gig, findings, done=_DONE.get(done, "")))


@router.post("/gigs/{gig_id}/afterwards")
def settle_finding(request: Request, gig: TheGig, sent: Sent, db: Db, portal: Here, now: Now) -> Response:
    """Take one finding into the newest revision of the rig, or dismiss it."""
    gig.need("edit")
    version = sent.version()
    check = Check(sent)
    decision = check.choice("deed", ("take", "dismiss"), _("Press one of the two buttons."))
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    findings = findings_of(db, gig.gig, now)
    finding = next((one for one in findings if one.sources == sent.text("sources")), None)
    if finding is None:
        raise PortalError(409, _("This is decided already"), _("Nothing was changed. Go back to the gig."))
    stored = _rig(db, gig.gig)
    taken = ""
    if decision == "take":
        rig = _taught(check, rigs.newest(db, stored.id).read(), finding)
        stale = version != stored.version
        if not check.well or stale:
            draft = check.draft(stored.version)
            return render(request, _page(db, gig, findings, draft, stale=stale), status=409 if stale else 422)
        taken = _keep(db, gig, stored, rig, now)
    line_checks.settle(
        db, gig_id=gig.gig.id, sources=finding.sources, seen=finding.seen, taken=taken, actor=gig.actor, now=now
    )
    return once.done(path_to("show_review", gig.base, done="taken" if taken else "dismissed"))


def _taught(check: Check, rig: Rig, finding: Finding) -> Rig:
    """The rig with what the form says of the finding's rows."""
    note = check.text(f"note-{finding.mark}", longest=MAX_TEXT)
    one = len(finding.rows) == 1
    label = check.text(f"label-{finding.mark}", _("Enter the label."), longest=MAX_LABEL) if one else ""
    keys = {row.key for row in finding.rows}
    rows = (replace(row, note=note, label=label or row.label) if row.key in keys else row for row in rig.source)
    after = replace(rig, source=tuple(rows))
    for fault in contradictions(rig, after, lambda _fault: False):
        check.fault(f"{'label' if one else 'note'}-{finding.mark}", fault.sentence)
    return after


def _keep(db: Session, gig: AllowedGig, stored: rigs.BandRig, rig: Rig, now: datetime) -> str:
    """The id of the revision that has it: the newest one where it says so already."""
    newest = rigs.newest(db, stored.id)
    if rig == newest.read():
        return newest.id
    made = rigs.save(
        db, stored, version=stored.version, name=stored.name, rig=rig, author_id=gig.user_id or "", now=now
    )
    if made is None:
        raise PortalError(
            409, _("Somebody else saved this rig meanwhile"), _("Nothing was saved. Load the page again.")
        )
    return made.id


def _rig(db: Session, gig: Gig) -> rigs.BandRig:
    stored = rigs.get(db, gig.band_id, gig.rig_id)
    if stored is None:
        raise NotThere
    return stored


def findings_of(db: Session, gig: Gig, now: datetime) -> tuple[Finding, ...]:
    """What a gig that is over taught and nobody has decided about: the last word of each person on each line, and what
    both sides agreed on the day.

    A bare tick teaches nothing.
    """
    if gig.cancelled_at is not None or now < ends(gig):
        return ()
    newest = plans.newest(db, gig.id)
    outcome = newest.read() if newest else None
    if not isinstance(outcome, Plan):
        return ()
    rig = rigs.newest(db, gig.rig_id).read()
    rows = line_checks.of_gig(db, gig.id)
    # Newest words of all rows of a line, in the order of the plan; what has no line any more comes last.
    found = {
        key: each
        for key, each in line_checks.by_line(rows).items()
        if any(_teaches(row) for row in line_checks.standing(each))
    }
    agreed = _agreed_on_the_day(db, gig, rig, outcome)
    order = [line_checks.write_sources(line.sources) for line in outcome.lines]
    keys = sorted({*found, *agreed}, key=lambda key: order.index(key) if key in order else len(order))
    decided = line_checks.settled(db, gig.id)
    findings = (_finding(key, found.get(key, ()), agreed.get(key, ()), gig, rig, outcome) for key in keys)
    return tuple(one for one in findings if one.seen > decided.get(one.sources, -1))


def _teaches(row: LineCheck) -> bool:
    return bool(row.gain or row.note or row.state == "problem")


def _agreed_on_the_day(db: Session, gig: Gig, rig: Rig, plan: Plan) -> Mapping[str, tuple[Agreed, ...]]:
    """What was agreed from the gig's local midnight on, by the line that it is about."""
    midnight = moment_of(gig.on, 0, gig.time_zone)
    rows = discussions.proposals(db, gig.id)
    found: dict[str, tuple[Agreed, ...]] = {}
    for row in rows:
        if row.holds and row.settled_at is not None and row.settled_at >= midnight:
            sources = next((line.sources for line in plan.lines if row.source in line.sources), (row.source,))
            key = line_checks.write_sources(sources)
            words = words_of(rig, row, rows)
            short = (
                _("desk channel %(row)s", row=row.value)
                if row.resource == "desk-channel"
                else words[0].lower() + words[1:]
            )
            found[key] = (*found.get(key, ()), Agreed(words, short))
    return found


def _finding(
    key: str, rows: Iterable[LineCheck], agreed: tuple[Agreed, ...], gig: Gig, rig: Rig, plan: Plan
) -> Finding:
    keys = line_checks.read_sources(key)
    line = next((line for line in plan.lines if line.sources == keys), None)
    mine = tuple(source for source in rig.source if source.key in keys)
    names = (
        line.label if line else ", ".join(source.label for source in mine) or _("A row that is not in the rig any more")
    )
    standing = [row for row in line_checks.standing(rows) if _teaches(row)]
    words = [_words(row, line.desk_channel if line else 0) for row in standing] + [
        _("Agreed on the day: %(one)s", one=one.words) for one in agreed
    ]
    news = [part for row in standing for part in _parts(row)] + [one.short for one in agreed]
    return Finding(
        sources=key,
        heading=_("Line %(line)s: %(names)s", line=line.line, names=names) if line else names,
        words=tuple(words),
        rows=mine,
        news=f"{gig.place}: {', '.join(dict.fromkeys(news))}" if news else "",
        seen=max((row.position or 0 for row in rows), default=0),
    )


FOUND = Words({"checked": mark("checked"), "problem": mark("problem")})
"""A finding in a sentence, by its state."""


def _parts(row: LineCheck) -> list[str]:
    """The finding in the few words that fit a note."""
    parts = [_("gain %(gain)s", gain=row.gain) if row.gain else "", row.note.rstrip(".")]
    return [part for part in parts if part] or [_("problem at line check")]


def _words(row: LineCheck, channel: int) -> str:
    """A finding in one sentence, with where the line lay then if it lies elsewhere now."""
    parts = [
        _("gain %(gain)s", gain=row.gain) if row.gain else "",
        row.note,
        _("then on desk channel %(channel)s", channel=row.channel) if row.channel != channel else "",
    ]
    return f"{row.who}: {', '.join(part for part in (FOUND[row.state], *parts) if part)}"


def _page(
    db: Session,
    gig: AllowedGig,
    findings: tuple[Finding, ...],
    sent: Draft | None = None,
    *,
    done: str = "",
    stale: bool = False,
) -> Afterwards:
    stored = _rig(db, gig.gig)
    return Afterwards(
        title=_("From the night of %(on)s", on=say_date(gig.gig.on)),
        action=path_to("show_review", gig.base),
        when=f"{gig.gig.name}, {gig.gig.place}",
        rig_name=stored.name,
        rig_href=path_to("show_rig", rig_id=stored.id),
        gig_href=gig.base,
        findings=tuple(_shown(one, stored.version, sent) for one in findings),
        done=done,
        stale=stale,
    )


def _shown(finding: Finding, version: int, sent: Draft | None) -> FindingShown:
    label = finding.rows[0].label if finding.rows else ""
    form = Draft.of(
        {"sources": finding.sources, f"note-{finding.mark}": finding.note, f"label-{finding.mark}": label},
        version=version,
    )
    if sent is not None and sent.value("sources") == finding.sources:
        form = sent
    return FindingShown(finding, form, len(finding.rows) == 1, finding.rows[0].note if finding.rows else "")
