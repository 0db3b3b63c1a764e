"""A newer revision of the rig: what it would change in a gig's plan, before the gig takes it."""

from dataclasses import dataclass, replace
from typing import ClassVar

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from portal.advance.comparing import Ifs, compare
from portal.advance.planning import ground, want
from portal.advance.solver.process import NotSolved
from portal.advance.solver.wishes import Change
from portal.advance.status.gig_status import signed_for
from portal.exchange.rig_changes import rig_changes
from portal.plan.input.line_up import tonight
from portal.store import gigs, rigs
from portal.store.database.session import Session, end_reading
from portal.store.gigs import Gig
from portal.store.rigs import RigRevision
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.errors import PortalError
from portal.web.frame.forms import begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.wording.catalogue import gettext as _

router = Screens()


@dataclass(frozen=True, kw_only=True)
class NewerRigPage(FormPage):
    """What the newest revision changes. ``signed`` says whose signatures would fall behind; ``again``: where a
    comparison is tried again that could not be worked out, in place of ``change``.
    """

    template: ClassVar[str] = "gig/newer_rig.html"
    number: int
    gig_href: str
    gig_name: str
    signed: str
    in_rig: tuple[str, ...]
    change: Change | None = None
    again: str = ""


@router.get("/gigs/{gig_id}/rig")
def show_newer_rig(request: Request, gig: TheGig, db: Db, portal: Here) -> Response:
    """What the plan would become with the newest revision of the rig. Nothing is saved."""
    gig.need("edit")
    newest = _newest(db, gig.gig)
    if newest.id == gig.gig.rig_revision_id:
        return RedirectResponse(gig.base, 303)
    stands = ground(db, gig.gig)
    now = Ifs(stands.rig, stands.basis.answers, stands.basis.locks)
    then = replace(now, rig=tonight(newest.read(), gig.gig.read_line_up()).configured(gig.gig.configuration))
    page = _page(db, gig, newest)
    end_reading(db)
    with portal.what_if_turns.one(gig.actor), portal.waiting_turns.one("what if"):
        try:
            return render(request, replace(page, change=compare(portal.solvers, now, then)))
        except NotSolved:
            return render(request, replace(page, again=path_to("show_newer_rig", gig.base)))


@router.post("/gigs/{gig_id}/rig")
def take_newest_rig(request: Request, sent: Sent, gig: TheGig, portal: Here, now: Now, db: Db) -> Response:
    """Plan the gig with the newest revision of its rig, on purpose and as it was shown."""
    gig.need("edit")
    version = sent.version()
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    newest = _newest(db, gig.gig)
    shown = sent.text("revision") == str(newest.number)
    words = replace(gigs.words_of(gig.gig), rig_revision_id=newest.id)
    if not shown or not gigs.save(db, gig.gig, version, words, now, actor=gig.actor):
        raise PortalError(
            409,
            _("The gig or its rig has changed meanwhile"),
            _("Nothing was saved. Open the gig's page again and look at what the newest rig would change."),
        )
    want(db, gig.gig, now)
    return once.done(path_to("show_gig", gig.base, saved="rig"))


def _newest(db: Session, gig: Gig) -> RigRevision:
    """The newest revision of a gig's rig. Raises ``PortalError`` where it no longer has the variant that plays."""
    newest = rigs.newest(db, gig.rig_id)
    if gig.configuration and gig.configuration not in newest.read().configurations:
        raise PortalError(
            409,
            _("The variant is gone"),
            _(
                "Revision %(number)s of the rig has no variant %(configuration)s. Choose another one in the gig's"
                " details, then use the revision.",
                number=newest.number,
                configuration=gig.configuration,
            ),
        )
    return newest


def _page(db: Session, gig: AllowedGig, newest: RigRevision) -> NewerRigPage:
    revision = rigs.revision_of_gig(db, gig.gig.rig_revision_id)
    return NewerRigPage(
        title=_("What revision %(number)s of the rig would change", number=newest.number),
        form=Draft(version=gig.gig.version),
        number=newest.number,
        gig_href=gig.base,
        gig_name=gig.gig.name,
        signed=signed_for(db, gig.gig.id),
        in_rig=rig_changes(revision.read(), newest.read()) if revision.rig_id == newest.rig_id else (),
    )
