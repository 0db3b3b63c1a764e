"""What the house's count of working inputs would mean for a gig: worked out once for what its newest plan answers, and
kept in rows.
"""

from datetime import datetime

from portal.advance.planning import ground
from portal.advance.solver.wishes import Scale, ScaleWish
from portal.plan.model import ENGINE
from portal.store import planning, worked_out
from portal.store.database.session import Session
from portal.store.gigs import of_link as gig_of

KIND = "inputs"


def of_gig(db: Session, gig_id: str) -> Scale:
    """What was worked out for a gig (already allowed) as its newest plan answers it; empty until then."""
    row = planning.of_gig(db, gig_id)
    kept = worked_out.get(db, KIND, row.done, ENGINE) if row and row.done == row.wanted else None
    return Scale.read(kept) if kept else Scale()


def wish_of(db: Session, gig_id: str) -> tuple[ScaleWish, str] | None:
    """What is to be worked out for a gig, and under which key it is kept; ``None`` while its plan is not there."""
    row = planning.of_gig(db, gig_id)
    if row is None or row.behind:
        return None
    found = ground(db, gig_of(db, gig_id))
    return (ScaleWish(found.texts), row.done) if found.wish.digest == row.done else None


def keep(db: Session, key: str, scale: Scale, now: datetime) -> None:
    """Keep what was worked out."""
    worked_out.keep(db, KIND, key, ENGINE, scale.written(), now)
