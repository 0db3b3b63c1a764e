"""The house says the times of the day: they are its times as much as the band's, and both sides read who moved what."""

from dataclasses import dataclass, replace
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.planning import want
from portal.store import gigs
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.errors import PortalError
from portal.web.frame.forms import Check, Difference, begin, differences
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.web.gig.times_form import read_fields, time_fields, write_fields
from portal.wording.catalogue import gettext as _

router = Screens()


@dataclass(frozen=True, kw_only=True)
class DayTimes(FormPage):
    """The times as they stand, each to be corrected."""

    template: ClassVar[str] = "gig/day_times.html"
    base: str
    action: str
    times: tuple[tuple[str, str], ...]
    zone: str
    conflict: tuple[Difference, ...] = ()


@router.get("/house/{gig_id}/times")
def show_times(request: Request, gig: TheGig) -> Response:
    """The form with the times as they are."""
    gig.need("answer")
    return render(request, _page(gig, Draft.of(write_fields(gig.gig.minutes), version=gig.gig.version)))


@router.post("/house/{gig_id}/times")
def save_times(request: Request, sent: Sent, gig: TheGig, portal: Here, now: Now, db: Db) -> Response:
    """Save the times in the house's name; what somebody else saved meanwhile is shown first."""
    gig.need("answer")
    if gig.gig.cancelled_at is not None:
        raise PortalError(409, _("This gig is cancelled"), _("Nothing was saved. Ask the band."))
    version = sent.version()
    check = Check(sent)
    times = read_fields(check, gig.gig.on, gig.gig.time_zone)
    if not check.well:
        return render(request, _page(gig, check.draft(version)), status=422)
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    words = replace(gigs.words_of(gig.gig), times=times)
    if not gigs.save(db, gig.gig, version, words, now, actor=gig.actor, party="house"):
        db.refresh(gig.gig)
        draft = check.draft(gig.gig.version)
        conflict = differences(dict(time_fields()), write_fields(gig.gig.minutes), draft)
        return render(request, _page(gig, draft, conflict), status=409)
    want(db, gig.gig, now)
    return once.done(gig.base)


def _page(gig: AllowedGig, form: Draft, conflict: tuple[Difference, ...] = ()) -> DayTimes:
    return DayTimes(
        title=_("Times of the day"),
        form=form,
        base=gig.base,
        action=path_to("show_times", gig.base),
        times=time_fields(),
        zone=gig.gig.time_zone.replace("_", " "),
        conflict=conflict,
    )
