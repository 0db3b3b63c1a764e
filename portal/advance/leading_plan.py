"""Which plan is plugged by: what is signed, and a newer draft only where nothing is."""

from datetime import datetime

from portal.store import plans, progress
from portal.store.database.session import Session
from portal.store.gigs import Gig
from portal.store.plans import StoredPlan


def leading(db: Session, gig: Gig, newest: StoredPlan, now: datetime) -> StoredPlan:
    """The newest plan of a gig (already allowed) whose content is agreed, or stands on the band's word where the band
    brings the PA; the newest of all where there is none.
    """
    events = progress.of_gig(db, gig, now)
    settled = events.band_signed if events.own_pa else events.band_signed & events.house_signed
    return plans.newest_of(db, gig.id, settled) or newest
