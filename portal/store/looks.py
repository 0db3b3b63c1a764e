"""Up to which event each side last looked at a gig, by account or link: what came after is new to it."""

from collections.abc import Collection, Mapping, Sequence

from sqlalchemy import bindparam
from sqlmodel import Field, Session, col, delete, func, select

from portal.store.database import scopes
from portal.store.database.once import rows_of
from portal.store.database.rows import POSITION, Row
from portal.store.record.events import Event

QUIET = ("link-used", "paper-kept", "paper-erased", "names-erased")
"""The kinds of events that nobody has to look at."""


class Look(Row, table=True):
    """Somebody (user:ID or link:ID) has seen a gig up to an event."""

    who: str = Field(primary_key=True)
    gig_id: str = Field(foreign_key="gig.id", primary_key=True, index=True)
    position: int = Field(sa_type=POSITION)


_NEWEST = select(func.max(Event.position)).where(col(Event.gig_id) == bindparam("gig_id"))
_SEEN = (
    select(Look.gig_id, func.max(Look.position))
    .where(
        col(Look.who).in_(bindparam("who", expanding=True)), col(Look.gig_id).in_(bindparam("gig_ids", expanding=True))
    )
    .group_by(col(Look.gig_id))
)
_SINCE = (
    select(Event.gig_id, Event.position)
    .where(col(Event.gig_id).in_(bindparam("gig_ids", expanding=True)), col(Event.position) > bindparam("last"))
    .where(col(Event.party) != bindparam("party"), col(Event.kind).not_in(QUIET))
)


def newest(db: Session, gig_id: str) -> int:
    """The position of the newest event of a gig (already allowed)."""
    return rows_of(db, _NEWEST, gig_id=gig_id)[0] or 0


def seen(db: Session, who: Collection[str], gig_ids: Sequence[str]) -> Mapping[str, int]:
    """Up to which event somebody (by any of their links) looked at each of some gigs (already allowed); gigs never
    looked at are left out.
    """
    return dict(rows_of(db, _SEEN, who=list(who), gig_ids=gig_ids))


def look(db: Session, looked: Look) -> None:
    """Keep how far somebody looked at a gig (already allowed)."""
    scopes.need(db, scopes.gig(looked.gig_id))
    before = db.get(Look, (looked.who, looked.gig_id))
    if before is None or before.position < looked.position:
        db.merge(looked)
        db.flush()


def news_of(db: Session, party: str, seen_until: Mapping[str, int]) -> Mapping[str, int]:
    """How many events of the other side, or of the portal, each of some gigs has after a position."""
    if not seen_until:
        return {}
    found = rows_of(db, _SINCE, gig_ids=list(seen_until), last=min(seen_until.values()), party=party)
    counts: dict[str, int] = {}
    for gig_id, position in found:
        counts[gig_id] = counts.get(gig_id, 0) + (position > seen_until[gig_id])
    return {gig_id: count for gig_id, count in counts.items() if count}


def forget(db: Session, *, who: str = "", gig_ids: Sequence[str] = ()) -> None:
    """Forget how far somebody looked, or how far anybody did at some gigs."""
    scopes.need(db, scopes.EVERYTHING)
    db.exec(delete(Look).where(col(Look.who) == who if who else col(Look.gig_id).in_(gig_ids)))
