"""The revisions of a plan as a list: what one visit led to, and nobody signed, stands in one row."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta

from portal.store import plans, signoffs
from portal.store.plans import Revision
from portal.store.signoffs import Signature
from portal.web.frame.deps import AllowedGig
from portal.web.frame.links import path_to
from portal.wording.catalogue import gettext as _
from portal.wording.formats import join_and
from portal.wording.kinds import SIDES
from portal.wording.times import say_exactly

VISIT = timedelta(minutes=30)
"""Without a new plan for so long, a visit is over (common practice, no source)."""


@dataclass(frozen=True)
class RevisionShown:
    """One stored plan of the gig, or several in a row, in which case ``href`` leads to the newest of them."""

    name: str
    href: str
    words: str


def revisions_shown(
    revisions: Sequence[Revision], rows: list[Signature], gig: AllowedGig, *, shown: int, newest: int
) -> Iterator[RevisionShown]:
    """A page of revisions, the newest first, without the one that is ``shown``. Whoever reads an earlier one sees each
    of its visit.
    """
    signed = {row.content_hash for row in rows}
    for visit in _visits(revisions[: plans.A_PAGE], signed):
        here = shown != newest and any(one.number == shown for one in visit)
        others = [one for one in visit if one.number != shown]
        for several in [[one] for one in others] if here else filter(None, [others]):
            yield _row(several, rows, gig)


def _visits(revisions: Sequence[Revision], signed: set[str]) -> Iterator[list[Revision]]:
    """The revisions, those together that came of one visit and that nobody ever signed."""
    visit: list[Revision] = []
    for one in revisions:
        alone = {one.content_hash, *(later.content_hash for later in visit)} & signed
        if visit and (alone or visit[-1].created - one.created > VISIT):
            yield visit
            visit = []
        visit.append(one)
    if visit:
        yield visit


def _row(several: Sequence[Revision], rows: list[Signature], gig: AllowedGig) -> RevisionShown:
    newest, oldest = several[0], several[-1]
    signed = sorted(signoffs.under(rows, newest.content_hash))
    sides = join_and(SIDES[party] for party in signed)
    state = _("signed for %(sides)s", sides=sides) if signed else _("not signed")
    return RevisionShown(
        _("Revision %(number)s", number=newest.number)
        if newest is oldest
        else _("Revisions %(first)s to %(last)s", first=oldest.number, last=newest.number),
        path_to("show_plan_revision", gig.base, number=newest.number),
        f"{say_exactly(newest.created, gig.gig.time_zone)}, {state}",
    )
