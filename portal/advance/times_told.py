"""The times of a gig as both sides read them: with who moved each of them last, and when, and which of them are others
than at signing.
"""

from portal.store import plans, signoffs
from portal.store.database.session import Session
from portal.store.day.moved_times import last_told, moved_since
from portal.store.gigs import Gig
from portal.store.plans import StoredPlan
from portal.wording.catalogue import gettext as _
from portal.wording.kinds import SIDES
from portal.wording.times import TIME_WORDS, moved_words, say_minutes, say_moment


def times_told(db: Session, gig: Gig) -> tuple[tuple[str, str], ...]:
    """Each known time of a gig (already allowed) with its words; one that was taken away says so."""
    told = last_told(db, gig)
    rows = []
    for key, words in TIME_WORDS.items():
        if key not in gig.minutes and key not in told:
            continue
        value = say_minutes(gig.minutes[key]) if key in gig.minutes else _("not known any more")
        if key in told:
            one = told[key]
            slots = {"time": value, "side": SIDES[one.party], "moment": say_moment(one.when, gig.time_zone)}
            if one.was is None:
                value = _("%(time)s (%(side)s, %(moment)s)", **slots)
            else:
                value = _("%(time)s (%(side)s, %(moment)s, was %(before)s)", **slots, before=say_minutes(one.was))
        rows.append((words, value))
    return tuple(rows)


def moved_since_signing(db: Session, gig: Gig, plan: StoredPlan | None = None) -> str:
    """Which times of a gig (already allowed) are others now than at the first signature that stands under a plan, the
    newest where none is given, in one sentence; empty where none is, or nobody signed.
    """
    signed = plan or plans.newest(db, gig.id)
    standing = signoffs.under(signoffs.history(db, gig.id), signed.content_hash) if signed else {}
    moved = moved_since(db, gig, standing.values())
    return moved_words(moved.was, gig.minutes) if moved else ""
