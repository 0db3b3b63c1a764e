"""The times of the day as they were at signing. No signature covers them, so what moved since is said beside it."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from sqlmodel import Session

from portal.store.gigs import TIMES, Gig
from portal.store.record import events
from portal.store.record.events import Told
from portal.store.signoffs import Signature


@dataclass(frozen=True)
class MovedTimes:
    """What each moved time was, in minutes after the date's midnight (``None``: there was none). ``position``: the
    event that moved the last one.
    """

    was: Mapping[str, int | None]
    position: int


@dataclass(frozen=True)
class TimeTold:
    """Who said a time last, when, and what it was before (``None``: there was none)."""

    party: str
    when: datetime
    was: int | None


def last_told(db: Session, gig: Gig) -> dict[str, TimeTold]:
    """Who changed each time of a gig (already allowed) last; nothing of those that are as they were when it was
    made.
    """
    found: dict[str, TimeTold] = {}
    for told in events.of_gig(db, gig.id, "gig-changed"):
        for key, before in _moved(told):
            found[key] = TimeTold(told.event.party, told.event.created, before)
    return found


def moved_since(db: Session, gig: Gig, signatures: Iterable[Signature]) -> MovedTimes | None:
    """The times of a gig (already allowed) that are others now than at the first of some signatures; ``None`` where
    none is.
    """
    ids = {row.id for row in signatures}
    if not ids:
        return None
    signed, position, was = False, 0, dict[str, int | None]()
    for told in events.of_gig(db, gig.id, "signed", "gig-changed"):
        signed = signed or told.event.read().get("signature") in ids
        for key, before in _moved(told) if signed else ():
            position = told.event.position
            was.setdefault(key, before)
    moved = {key: was[key] for key in TIMES if key in was and was[key] != gig.minutes.get(key)}
    return MovedTimes(moved, position) if moved else None


def _moved(told: Told) -> Iterator[tuple[str, int | None]]:
    """The times that an event moved, each with what it was before."""
    for field, before, _ in told.changes:
        key = field.removeprefix("time-")
        if field.startswith("time-") and key in TIMES:
            yield key, int(before) if before else None
