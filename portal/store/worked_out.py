"""What was worked out of stored texts and may be worked out again: kept so that nobody waits for it twice."""

from datetime import datetime

from sqlalchemy import Text, bindparam
from sqlmodel import Field, Session, col, delete, select

from portal.store.database import scopes
from portal.store.database.once import row_of
from portal.store.database.rows import Row
from portal.store.gigs import Gig
from portal.store.planning import Planning
from portal.store.plans import StoredPlan


class WorkedOut(Row, table=True):
    """A result by what it is, the hash of what it was worked out from, and the rules that did it."""

    __tablename__ = "worked_out"
    kind: str = Field(primary_key=True)
    key: str = Field(primary_key=True)
    engine: str = Field(primary_key=True)
    document: str = Field(sa_type=Text)
    created: datetime


_GET = select(WorkedOut.document).where(
    col(WorkedOut.kind) == bindparam("kind"),
    col(WorkedOut.key) == bindparam("key"),
    col(WorkedOut.engine) == bindparam("engine"),
)


def get(db: Session, kind: str, key: str, engine: str) -> str | None:
    """What was worked out before."""
    return row_of(db, _GET, kind=kind, key=key, engine=engine)


def keep(db: Session, kind: str, key: str, engine: str, document: str, now: datetime) -> None:
    """Keep a result; the first one stays."""
    scopes.need(db, scopes.result(key))
    if db.get(WorkedOut, (kind, key, engine)) is None:
        db.add(WorkedOut(kind=kind, key=key, engine=engine, document=document, created=now))
        db.flush()


def forget(db: Session) -> None:
    """Forget all of it: the texts may hold names that somebody wants erased."""
    scopes.need(db, scopes.EVERYTHING)
    db.exec(delete(WorkedOut))


def forget_of_gig(db: Session, gig_id: str) -> None:
    """Forget what was worked out from the newest plan of a gig (already allowed): its texts may hold names."""
    scopes.need(db, scopes.gig(gig_id))
    db.exec(
        delete(WorkedOut).where(col(WorkedOut.key).in_(select(Planning.done).where(col(Planning.gig_id) == gig_id)))
    )


def forget_unused(db: Session) -> None:
    """Forget what no newest plan of a gig stands on any more."""
    scopes.need(db, scopes.EVERYTHING)
    db.exec(delete(WorkedOut).where(col(WorkedOut.key).not_in(select(Planning.done))))


def missing(db: Session, kind: str, engine: str) -> list[str]:
    """The gigs, not cancelled, whose plan is in order and of which nothing of this kind is kept; those planned last
    come first.
    """
    kept = select(WorkedOut.key).where(
        col(WorkedOut.kind) == kind, col(WorkedOut.engine) == engine, col(WorkedOut.key) == col(Planning.done)
    )
    whole = select(StoredPlan.id).where(col(StoredPlan.gig_id) == col(Planning.gig_id), col(StoredPlan.document) == "")
    return list(
        db.exec(
            select(Planning.gig_id)
            .join(Gig, col(Gig.id) == col(Planning.gig_id))
            .where(
                col(Planning.wanted) == col(Planning.done),
                col(Gig.cancelled_at).is_(None),
                ~kept.exists(),
                ~whole.exists(),
            )
            .order_by(col(Planning.asked_at).desc(), col(Planning.gig_id))
        )
    )
