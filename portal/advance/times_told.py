"""The times of a gig as both sides read them: with who moved each of them last, and when."""

from portal.store.database.session import Session
from portal.store.day.moved_times import last_told
from portal.store.gigs import Gig
from portal.wording.times import TIME_WORDS, say_minutes, say_moment


def times_told(db: Session, gig: Gig) -> tuple[tuple[str, str], ...]:
    """Each known time of a gig (already allowed) with its words; one that was taken away says so."""
    told = last_told(db, gig)
    rows = []
    for key, words in TIME_WORDS.items():
        if key not in gig.minutes and key not in told:
            continue
        value = say_minutes(gig.minutes[key]) if key in gig.minutes else "not known any more"
        if key in told:
            one = told[key]
            was = f", was {say_minutes(one.was)}" if one.was is not None else ""
            value += f" (the {one.party}, {say_moment(one.when, gig.time_zone)}{was})"
        rows.append((words, value))
    return tuple(rows)
