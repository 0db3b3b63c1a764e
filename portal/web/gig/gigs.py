"""One gig: what and when it is, which rig plays it, where it stands, and what is to be done next."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.line_up_words import of_gig
from portal.advance.planning import sentence_of, want
from portal.advance.status.gig_status import Standing, standing
from portal.advance.status.open_tasks import Task, tasks_of
from portal.advance.time_zones import all_zones, comes_twice, zone_options
from portal.advance.times_told import moved_since_signing, times_told
from portal.documents.stage.stage_plot import Drawn
from portal.plan.input.line_up import AS_THE_RIG
from portal.store import gigs, rigs
from portal.store.database.session import Session
from portal.store.day import stages
from portal.store.gigs import Gig, GigWords
from portal.web.documents.document_list import patch_sheets
from portal.web.documents.stage_editor import drawn_now, placed_now
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.errors import NotThere, PortalError
from portal.web.frame.forms import Check, Difference, begin, differences
from portal.web.frame.kept import following
from portal.web.frame.links import Screens, band_base, path_to, task_addresses
from portal.web.frame.live import gig_live
from portal.web.frame.pages import Choice, Draft, FormPage, Page, render
from portal.web.gig.answer_reuse import known_from_before
from portal.web.gig.gig_labels import LABELS
from portal.web.gig.history import changed_since_look, comments_of
from portal.web.gig.post_gig_review import findings_of
from portal.web.gig.times_form import read_fields, time_fields, write_fields
from portal.web.rig.rig_access import Editor
from portal.wording.catalogue import Words, gettext, mark, ngettext
from portal.wording.times import say_date, say_minutes

router = Screens()

LONGEST_CONTACT = 80
LONGEST_SET = 720
"""Minutes; twelve hours (common practice, no source)."""

Options = tuple[tuple[str, str], ...]


@dataclass(frozen=True, kw_only=True)
class GigForm(FormPage):
    """The form of a gig, new or known. Without a rig there is nothing to plan, and the page says so. ``newer_rig`` says
    that a copy uses another revision of the rig than the gig that is ``copied``.
    """

    template: ClassVar[str] = "gig/gig_form.html"
    action: str
    button: str
    zones: Choice
    times: Options
    rigs: Options
    cancel: str = ""
    copied: str = ""
    newer_rig: str = ""
    conflict: tuple[Difference, ...] = ()


@dataclass(frozen=True, kw_only=True)
class GigPage(Page):
    """A gig for the band. ``newer_rig``: the number of a revision of the rig that it does not use yet, else 0.
    ``moved``: which times changed after signing.
    """

    template: ClassVar[str] = "gig/gig.html"
    gig_id: str
    when: str
    place: str
    zone: str
    standing: Standing
    moved: str
    sentence: str
    tasks: tuple[Task, ...]
    facts: tuple[tuple[str, str], ...]
    twice: tuple[str, ...]
    tonight: str
    newer_rig: int
    saved: str
    may_edit: bool
    last_time: str
    afterwards: str
    findings: int
    sheets: tuple[tuple[str, str], ...]
    live: str
    drawn: Drawn
    changed: tuple[str, ...]
    comments: int


@router.get("/gigs/new")
def show_new_gig(request: Request, user: Editor, db: Db, copy: str = "", rig: str = "") -> Response:
    """The empty form with a ``rig`` chosen, or that of a gig to ``copy``: all but its date."""
    copied = _copied(db, user.band_id, copy)
    zone = next(iter(_zones_used(db, user.band_id)), "")
    draft = Draft.of({**_stored(copied), "on": "", "copy": copied.id} if copied else {"zone": zone, "rig": f"{rig}|"})
    return render(request, _form(db, user.band_id, None, draft, copied=copied))


@router.post("/gigs/new")
def make_gig(request: Request, sent: Sent, user: Editor, portal: Here, now: Now, db: Db) -> Response:
    """Make the gig, with a first plan from what is known."""
    check = Check(sent)
    copied = _copied(db, user.band_id, sent.text("copy"))
    words = _read(check, db, user.band_id, None, now)
    if words is None:
        return render(request, _form(db, user.band_id, None, check.draft(), copied=copied), status=422)
    once = begin(request, db, sent, actor=user.actor, key=portal.key, now=now)
    line_up = copied.read_line_up() if copied else AS_THE_RIG
    gig = gigs.add(db, user.band_id, words, now, actor=user.actor, line_up=line_up)
    if copied and (stage := stages.get(db, copied.id)):
        stages.save(db, gig.id, 0, stage.read(), now)
    want(db, gig, now)
    return once.done(path_to("show_mixing_choice", band_base(gig.id), copy=copied.id if copied else ""))


def _copied(db: Session, band_id: str, gig_id: str) -> Gig | None:
    """The gig that a new one is copied from; 404 for one that is absent or another band's."""
    found = gigs.get(db, band_id, gig_id) if gig_id else None
    if gig_id and found is None:
        raise NotThere
    return found


@router.get("/gigs/{gig_id}")
def show_gig(request: Request, gig: TheGig, db: Db, now: Now, saved: str = "") -> Response:
    """Where the gig stands and what there is to do."""
    return render(request, _page(db, gig, now, saved, changed_since_look(request, db, gig)))


@router.get("/gigs/{gig_id}/details")
def show_details(request: Request, gig: TheGig, db: Db) -> Response:
    """The form with what is stored."""
    gig.need("edit")
    return render(request, _form(db, gig.gig.band_id, gig.gig, Draft.of(_stored(gig.gig), version=gig.gig.version)))


@router.post("/gigs/{gig_id}/details")
def save_details(request: Request, sent: Sent, gig: TheGig, portal: Here, now: Now, db: Db) -> Response:
    """Save the gig and plan it afresh; what somebody else saved meanwhile is shown first."""
    gig.need("edit")
    version = sent.version()
    check = Check(sent)
    words = _read(check, db, gig.gig.band_id, gig.gig, now)
    if words is None:
        return render(request, _form(db, gig.gig.band_id, gig.gig, check.draft(version)), status=422)
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    if not gigs.save(db, gig.gig, version, words, now, actor=gig.actor):
        draft = check.draft(gig.gig.version)
        return render(
            request,
            _form(db, gig.gig.band_id, gig.gig, draft, differences(LABELS, _stored(gig.gig), draft)),
            status=409,
        )
    want(db, gig.gig, now)
    return once.done(path_to("show_gig", gig.base, saved="details"))


@router.post("/gigs/{gig_id}/cancel")
def cancel_gig(request: Request, sent: Sent, gig: TheGig, portal: Here, now: Now, db: Db) -> Response:
    """Cancel the gig. Its links go on working, so that the house reads it too."""
    gig.need("edit")
    version = sent.version()
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    if not gigs.cancel(db, gig.gig, version, now, actor=gig.actor):
        raise _changed()
    return once.done(gig.base)


def _changed() -> PortalError:
    return PortalError(
        409,
        gettext("The gig has changed meanwhile"),
        gettext("Nothing was saved. Load the gig's page again and look at it first."),
    )


# --- the form


def _form(
    db: Session,
    band_id: str,
    gig: Gig | None,
    draft: Draft,
    conflict: tuple[Difference, ...] = (),
    *,
    copied: Gig | None = None,
) -> GigForm:
    return GigForm(
        title=gettext("Gig details") if gig else gettext("New gig"),
        form=draft,
        action=path_to("show_details", band_base(gig.id)) if gig else path_to("show_new_gig"),
        button=gettext("Save details") if gig else gettext("Make the gig"),
        zones=_zones(_zones_used(db, band_id), draft.value("zone")),
        times=time_fields(),
        rigs=_rig_options(db, band_id, gig),
        cancel=path_to("cancel_gig", band_base(gig.id)) if gig and gig.cancelled_at is None else "",
        copied=copied.name if copied else "",
        newer_rig=_newer_rig(db, copied) if copied else "",
        conflict=conflict,
    )


def _newer_rig(db: Session, copied: Gig) -> str:
    used, newest = rigs.revision_of_gig(db, copied.rig_revision_id), rigs.newest(db, copied.rig_id)
    if newest.number == used.number:
        return ""
    return gettext(
        "%(gig)s uses revision %(number)s of its rig. The copy uses the newest, revision %(newest)s.",
        gig=copied.name,
        number=used.number,
        newest=newest.number,
    )


def _zones(used: tuple[str, ...], value: str) -> Choice:
    """The zones to choose from, those that were used first; a value that is none of them chooses none."""
    chosen = value if value in all_zones() else ""
    return following(
        all_zones(),
        ("zones", used, chosen),
        (),
        lambda: Choice((("", gettext("Choose one")), *zone_options(used)), chosen),
    )


def _zones_used(db: Session, band_id: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(gig.time_zone for gig in gigs.of_band(db, band_id, gigs.A_PAGE)))


def _revision(db: Session, rig_id: str, gig: Gig | None) -> rigs.RigRevision:
    """The revision that a gig uses: its own as long as its rig stays, else the rig's newest."""
    return rigs.revision_of_gig(db, gig.rig_revision_id) if gig and gig.rig_id == rig_id else rigs.newest(db, rig_id)


def _rig_options(db: Session, band_id: str, gig: Gig | None) -> Options:
    """Every rig of the band with each of its variants; the value is the rig's id, a bar, and the variant's name."""
    found = []
    for rig, newest in rigs.newest_of_band(db, band_id):
        revision = _revision(db, rig.id, gig) if gig and gig.rig_id == rig.id else newest
        found.append((f"{rig.id}|", gettext("%(name)s, all of it", name=rig.name)))
        found += [
            (f"{rig.id}|{name}", gettext("%(name)s, variant %(variant)s", name=rig.name, variant=name))
            for name in revision.read().configurations
        ]
    return tuple(found)


def _stored(gig: Gig) -> dict[str, str]:
    """What is stored of a gig as its form shows it."""
    return {
        "name": gig.name,
        "place": gig.place,
        "on": gig.on.isoformat(),
        "zone": gig.time_zone,
        **write_fields(gig.minutes),
        "set_minutes": str(gig.set_minutes or ""),
        "contact": gig.contact,
        "rig": f"{gig.rig_id}|{gig.configuration}",
    }


def _read(check: Check, db: Session, band_id: str, gig: Gig | None, now: datetime) -> GigWords | None:
    """The gig that a form holds; ``None`` where something is to be put right."""
    options = tuple(value for value, _ in _rig_options(db, band_id, gig))
    name = check.text("name", gettext("Enter a name for the gig, for example the evening's title."))
    place = check.text("place", gettext("Enter the place where you play."))
    on = check.date("on", gettext("Enter the date."))
    if on is not None and on < (now - timedelta(days=1)).date() and (gig is None or gig.on != on):
        # A day's grace: it may still be yesterday where the gig is.
        check.fault("on", gettext("%(on)s is past. Enter the day of a gig to come.", on=say_date(on)))
    zone = check.choice("zone", all_zones(), gettext("Choose the time zone of the place."))
    times = read_fields(check, on, zone)
    set_minutes = check.number("set_minutes", gettext("Set length"), lo=1, hi=LONGEST_SET)
    contact = check.text("contact", longest=LONGEST_CONTACT)
    rig = check.choice("rig", options, gettext("Choose the rig that plays."))
    if not check.well or on is None:
        return None
    rig_id, _, configuration = rig.partition("|")
    revision_id = _revision(db, rig_id, gig).id
    return GigWords(name, place, on, zone, times, set_minutes, configuration, rig_id, revision_id, contact)


# --- the page

_SAVED = Words(
    {
        "mixes": mark("Who mixes is saved. The plan is worked out with it."),
        "details": mark("The details are saved."),
        "last-time": mark("Taken over as assumed. The house is asked whether it is still right."),
        "rig": mark("The gig now uses the newest revision of the rig."),
    }
)


def _page(db: Session, allowed: AllowedGig, now: datetime, saved: str, changed: tuple[str, ...]) -> GigPage:
    gig = allowed.gig
    revision = rigs.revision_of_gig(db, gig.rig_revision_id)
    newest = rigs.newest(db, gig.rig_id)
    rig = rigs.get(db, gig.band_id, gig.rig_id)
    findings = findings_of(db, gig, now) if "edit" in allowed.powers else ()
    contact = [(gettext("Band's contact on the day"), gig.contact)] if gig.contact else []
    length = (
        [(gettext("Set length"), ngettext("%(num)s minute", "%(num)s minutes", gig.set_minutes))]
        if gig.set_minutes
        else []
    )
    slots = {"rig": rig.name if rig else "", "number": revision.number}
    rig_words = (
        gettext("%(rig)s, revision %(number)s, variant %(variant)s", variant=gig.configuration, **slots)
        if gig.configuration
        else gettext("%(rig)s, revision %(number)s", **slots)
    )
    return GigPage(
        title=gig.name,
        gig_id=gig.id,
        when=say_date(gig.on),
        place=gig.place,
        zone=gig.time_zone.replace("_", " "),
        standing=standing(db, gig, now),
        moved=moved_since_signing(db, gig),
        sentence=sentence_of(db, gig),
        tasks=tasks_of(db, allowed, task_addresses(allowed.base), now),
        facts=(*times_told(db, gig), *length, *contact, (gettext("Rig"), rig_words)),
        twice=tuple(say_minutes(at) for at in gig.minutes.values() if comes_twice(gig.on, at, gig.time_zone)),
        tonight=of_gig(db, gig),
        newer_rig=newest.number if newest.number > revision.number else 0,
        saved=_SAVED.get(saved, ""),
        may_edit="edit" in allowed.powers,
        last_time=(
            path_to("show_answer_reuse", band_base(gig.id))
            if "edit" in allowed.powers and gig.cancelled_at is None and known_from_before(db, gig)
            else ""
        ),
        afterwards=path_to("show_review", band_base(gig.id)),
        findings=len(findings),
        drawn=drawn_now(db, gig, placed_now(db, gig)),
        live=gig_live(db, allowed),
        changed=changed,
        comments=comments_of(db, allowed),
        sheets=patch_sheets(db, allowed, now),
    )
