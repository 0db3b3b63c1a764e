"""What has changed in the plan of a gig since one side last had to do with it."""

from collections.abc import Sequence
from dataclasses import dataclass

from portal.advance.revision_words import changes
from portal.store import plans, signoffs
from portal.store.database.session import Session
from portal.store.day.moved_times import moved_since
from portal.store.gigs import Gig
from portal.store.plans import StoredPlan
from portal.store.record import events
from portal.store.record.events import Event
from portal.store.signoffs import Signature
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import look_up, mark
from portal.wording.times import moved_words

LOOKED_IN = frozenset({"link-used", "link-made", "link-revoked", "planned", "erased"})
"""Events that say nothing of what a side has seen of the plan."""


@dataclass(frozen=True)
class Since:
    """From when the changes count, and each of them as a sentence; both empty where there is nothing to compare with.
    ``times`` says which times of the day moved after a signature; ``signed`` is false where nobody ever signed.
    """

    words: str = ""
    changes: tuple[str, ...] = ()
    times: str = ""
    signed: bool = False


def since_last(db: Session, gig: Gig, party: str, stored: StoredPlan) -> Since:
    """What changed since one side of a gig (already allowed) signed; where it never did, since the other side signed,
    and before that since it last did something itself.
    """
    signed = [row for row in signoffs.history(db, gig.id) if row.kind == "signed"]
    mine = [row for row in signed if row.party == party]
    by_you = mark("since you signed revision %(number)s")
    by_band, by_house = (
        mark("since the band signed revision %(number)s"),
        mark("since the house signed revision %(number)s"),
    )
    for rows, words in ((mine, by_you), (signed, by_house if party == "band" else by_band)):
        before = _plan_of(db, gig, rows)
        if before is not None and not before.erased:
            moved = moved_since(db, gig, rows[-1:])
            return Since(
                look_up(words) % {"number": before.number},
                changes(before, stored),
                moved_words(moved.was, gig.minutes) if moved else "",
                signed=True,
            )
    seen = _seen_last(db, gig, party)
    if seen is None or seen.erased:
        return Since()
    return Since(
        _("since revision %(number)s, where you last did something", number=seen.number), changes(seen, stored)
    )


def _plan_of(db: Session, gig: Gig, rows: Sequence[Signature]) -> StoredPlan | None:
    return plans.get(db, gig.id, rows[-1].plan_id) if rows else None


def _seen_last(db: Session, gig: Gig, party: str) -> StoredPlan | None:
    """The plan that a side's last deed led to: the newest one before the other side did anything after it."""
    told = [one.event for one in events.of_gig(db, gig.id)]
    deeds = [event for event in told if event.kind not in LOOKED_IN]
    mine = [event for event in deeds if event.party == party]
    if not mine:
        return None
    after: Event | None = next(
        (event for event in deeds if event.position > mine[-1].position and event.party not in (party, "")), None
    )
    if after is None:
        return None
    number = max(
        (int(event.read()["plan"]) for event in told if event.kind == "planned" and event.position < after.position),
        default=0,
    )
    return plans.by_number(db, gig.id, number) if number else None
