"""A candidate becomes the band's rig: a new revision, and which gigs keep the one that they have."""

from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.compare.changes import changed
from portal.exchange.rig_changes import rig_changes
from portal.plan.input.rig import Rig
from portal.store import gigs, rigs
from portal.store.database.session import Session
from portal.web.compare.comparison_access import Compared, ToChange, numbered
from portal.web.frame.deps import Db, Here, Now, Number, Sent
from portal.web.frame.errors import NotThere, PortalError
from portal.web.frame.forms import begin
from portal.web.frame.links import Screens, band_base, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.web.rig.rig_access import OpenRig, contradictions
from portal.web.rig.rig_access import keep as keep_rig
from portal.wording.catalogue import gettext as _
from portal.wording.times import say_date

router = Screens()


@dataclass(frozen=True, kw_only=True)
class OursPage(FormPage):
    """What would be saved, and the gigs that keep the revision they have."""

    template: ClassVar[str] = "compare/make_ours.html"
    action: str
    back: str
    comparison: int
    rig_name: str
    number: int
    changes: tuple[str, ...]
    wrong: tuple[str, ...]
    keep: tuple[tuple[str, str, int], ...]


@router.get("/compare/{comparison_id}/rigs/{number}/ours")
def show_ours(request: Request, compared: ToChange, number: Number, db: Db, now: Now) -> Response:
    """The changes to the rig as it now is, to look at first."""
    opened, rig = _opened(db, compared), _rig(db, compared, number)
    page = OursPage(
        title=_("Make this our rig"),
        form=Draft(version=opened.version),
        action=path_to("show_ours", comparison_id=compared.id, number=number),
        back=path_to("show_comparison", comparison_id=compared.id),
        comparison=compared.opened.row.version,
        rig_name=compared.stored.name,
        number=opened.revision.number + 1,
        changes=rig_changes(opened.rig, rig),
        wrong=_wrong(opened.rig, rig),
        keep=tuple(
            (f"{gig.name}, {say_date(gig.on)}, {gig.place}", band_base(gig.id), number)
            for gig, number in gigs.of_rig(db, compared.stored.id, since=now.date())
            if gig.cancelled_at is None
        ),
    )
    return render(request, page)


@router.post("/compare/{comparison_id}/rigs/{number}/ours")
def make_ours(
    request: Request, compared: ToChange, number: Number, sent: Sent, portal: Here, now: Now, db: Db
) -> Response:
    """Save the candidate as the newest revision of the rig. No gig is changed."""
    version, looked_at = sent.version(), sent.text("comparison")
    once = begin(request, db, sent, actor=compared.user.actor, key=portal.key, now=now)
    opened, rig = _opened(db, compared), _rig(db, compared, number)
    if (version, looked_at) != (opened.version, str(compared.opened.row.version)):
        raise PortalError(
            409,
            _("Somebody else saved this rig or changed the comparison meanwhile"),
            _("Nothing was saved. Load the page again and look at the changes anew."),
        )
    if wrong := _wrong(opened.rig, rig):
        raise PortalError(409, _("The rig would contradict itself"), _("Nothing was saved. %(wrong)s", wrong=wrong[0]))
    keep_rig(db, opened, rig, now)
    return once.done(path_to("show_rig", rig_id=compared.stored.id))


def _opened(db: Session, compared: Compared) -> OpenRig:
    revision = rigs.newest(db, compared.stored.id)
    return OpenRig(compared.stored, revision, revision.read(), compared.user)


def _rig(db: Session, compared: Compared, number: int) -> Rig:
    """The rig as it now is with the candidate's changes. Raises ``NotThere`` for today's."""
    if number == 0:
        raise NotThere
    return changed(rigs.newest(db, compared.stored.id).read(), numbered(compared, number))


def _wrong(before: Rig, after: Rig) -> tuple[str, ...]:
    return tuple(one.sentence for one in contradictions(before, after, lambda _fault: False))
