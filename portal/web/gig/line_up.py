"""Tonight's line-up: one page on which a gig differs from its rig, and the rig as it is used tonight, as a file."""

import json
from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.line_up_words import differences, of_gig, says, write_differences
from portal.advance.planning import ground, want
from portal.exchange.files import rig_to_document
from portal.plan.input.line_up import on_its_own
from portal.plan.input.rig import Rig
from portal.store import gigs, rigs
from portal.store.database.session import Session
from portal.store.gigs import Gig
from portal.web.documents.downloads import a_file, safe_name
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.forms import Difference, begin, many_fields
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, Fault, FormPage, render
from portal.web.gig import line_up_form
from portal.web.gig.line_up_form import Added, PlayerFields
from portal.web.rig.rig_fields import Options
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import look_up, mark

router = Screens()

NOTHING = mark("Everybody plays what the rig says.")


@dataclass(frozen=True, kw_only=True)
class LineUpPage(FormPage):
    """Who and what plays tonight. ``stands`` says in what the gig differs from its rig."""

    template: ClassVar[str] = "gig/line_up.html"
    gig_href: str
    where: str
    stands: str
    saved: bool
    action: str
    file: str
    configurations: Options
    players: tuple[PlayerFields, ...]
    rows: Options
    guests: tuple[Added, ...]
    mixes: tuple[Added, ...]
    conflict: tuple[Difference, ...]


@router.get("/gigs/{gig_id}/line-up")
def show_line_up(request: Request, gig: TheGig, db: Db, saved: str = "") -> Response:
    """The line-up as it is kept."""
    gig.need("edit")
    rig = _rig(db, gig.gig)
    values = dict(line_up_form.drawn(rig, gig.gig.read_line_up())) | {"configuration": (gig.gig.configuration,)}
    return _page(request, gig, db, rig, Draft(values, version=gig.gig.version), saved=bool(saved))


@router.post("/gigs/{gig_id}/line-up")
@many_fields
def save_line_up(request: Request, sent: Sent, gig: TheGig, portal: Here, now: Now, db: Db) -> Response:
    """Keep the line-up and plan the gig by it; what somebody else saved meanwhile is shown first."""
    gig.need("edit")
    version, rig, values = sent.version(), _rig(db, gig.gig), sent.draft().values
    configuration = sent.text("configuration")
    if configuration and configuration not in rig.configurations:
        fault = Fault("configuration", _("Choose one of the rig's variants."))
        return _page(request, gig, db, rig, Draft(values, (fault,), version), status=422)
    line_up, faults = line_up_form.read(rig, configuration, values)
    if faults:
        return _page(request, gig, db, rig, Draft(values, faults, version), status=422)
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    was, becomes = differences(rig, gig.gig.read_line_up()), differences(rig, line_up)
    told = write_differences(was), write_differences(becomes)
    if not gigs.set_line_up(db, gig.gig, version, line_up, configuration, told, now, actor=gig.actor):
        theirs = Difference(_("The line-up"), says(was) or look_up(NOTHING), says(becomes) or look_up(NOTHING))
        draft = Draft(values, version=gig.gig.version)
        return _page(request, gig, db, rig, draft, conflict=(theirs,), status=409)
    want(db, gig.gig, now)
    return once.done(path_to("show_line_up", gig.base, saved="yes"))


@router.get("/gigs/{gig_id}/line-up/rig.json")
def show_rig_tonight(gig: TheGig, db: Db) -> Response:
    """The rig as it is used tonight, for the command line and other software."""
    document = rig_to_document(on_its_own(ground(db, gig.gig).rig))
    content = json.dumps(document, ensure_ascii=False, indent=2).encode() + b"\n"
    return a_file(safe_name(gig.gig.name, gig.gig.on.isoformat(), "rig") + ".json", content)


def _rig(db: Session, gig: Gig) -> Rig:
    return rigs.revision_of_gig(db, gig.rig_revision_id).read()


def _page(  # noqa: PLR0913 - what is shown, and how it came to it
    request: Request,
    gig: AllowedGig,
    db: Session,
    rig: Rig,
    form: Draft,
    *,
    saved: bool = False,
    conflict: tuple[Difference, ...] = (),
    status: int = 200,
) -> Response:
    page = LineUpPage(
        title=_("Tonight's line-up"),
        form=form,
        gig_href=gig.base,
        where=f"{gig.gig.name}, {gig.gig.place}",
        stands=of_gig(db, gig.gig) or look_up(NOTHING),
        saved=saved,
        action=path_to("show_line_up", gig.base),
        file=path_to("show_rig_tonight", gig.base),
        configurations=(("", _("all of the rig")), *((name, name) for name in rig.configurations)),
        players=line_up_form.players(rig),
        rows=tuple((one.key, _row(number, one.label, one.player)) for number, one in enumerate(rig.source, start=1)),
        guests=line_up_form.guests(rig, form.values),
        mixes=line_up_form.mixes(rig, gig.gig.read_line_up(), form.values),
        conflict=conflict,
    )
    return render(request, page, status=status)


def _row(number: int, label: str, player: str) -> str:
    return f"{number} {label}, {player}" if player else f"{number} {label}"
