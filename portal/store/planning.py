"""What each gig is to be planned from, and what its newest plan answers: one row a gig, changeable, in no hash."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import CheckConstraint, bindparam
from sqlmodel import Field, Session, col, select

from portal.store.database import scopes
from portal.store.database.once import once, row_of
from portal.store.database.rows import Row

TOO_LONG, CRASHED = "too-long", "crashed"

LEFT = timedelta(seconds=60)
"""How long a plan that newer rules were asked for is left to a process that has them (common practice, no source)."""


class Planning(Row, table=True):
    """``wanted``: the digest of what the gig is to be planned from; ``done``: the one that its newest plan answers.

    ``engine``: the rules that were asked for; ``tries``: how often a solver ended over it; ``times``: how often it was
    worked out or given up; ``fault``: why it was given up, empty where it was not.
    """

    __table_args__ = (CheckConstraint("fault IN ('', 'too-long', 'crashed')", name="fault"),)
    gig_id: str = Field(primary_key=True, foreign_key="gig.id")
    wanted: str
    done: str = ""
    engine: str
    asked_at: datetime
    tries: int = 0
    times: int = 0
    fault: str = ""

    @property
    def behind(self) -> bool:
        """True where the newest plan is not of what the gig now says."""
        return self.wanted != self.done


@dataclass(frozen=True)
class Wish:
    """What a gig is to be planned from, by its digest and the rules that made it."""

    digest: str
    engine: str


_OF_GIG = select(Planning).where(col(Planning.gig_id) == bindparam("gig_id"))


@once
def of_gig(db: Session, gig_id: str) -> Planning | None:
    """How far a gig (already allowed) is planned; ``None`` where nobody has asked since this is noted."""
    return row_of(db, _OF_GIG, gig_id=gig_id)


def behind(db: Session, gig_id: str) -> bool:
    """True where the plan of a gig (already allowed) is being worked out, or was given up."""
    row = of_gig(db, gig_id)
    return row is not None and row.behind


def want(db: Session, gig_id: str, wish: Wish, now: datetime, *, again: bool = False) -> bool:
    """Ask for the plan of a gig (already allowed), ``again`` whatever is there or was given up; true where it has to be
    worked out.
    """
    scopes.need(db, scopes.gig(gig_id))
    row = of_gig(db, gig_id)
    if row is None:
        row = Planning(gig_id=gig_id, wanted=wish.digest, engine=wish.engine, asked_at=now)
    elif row.wanted != wish.digest or again:
        row.asked_at = row.asked_at if row.behind and not row.fault else now
        row.wanted, row.engine, row.tries, row.fault = wish.digest, wish.engine, 0, ""
        row.done = "" if again else row.done
    db.add(row)
    db.flush()
    return row.behind and not row.fault


def settle(db: Session, gig_id: str, wish: Wish, now: datetime) -> None:
    """Note that the newest plan of a gig answers what is wanted."""
    scopes.need(db, scopes.gig(gig_id))
    row = of_gig(db, gig_id) or Planning(gig_id=gig_id, wanted=wish.digest, engine=wish.engine, asked_at=now)
    row.wanted = row.done = wish.digest
    row.engine, row.tries, row.fault = wish.engine, 0, ""
    row.times += 1
    db.add(row)
    db.flush()


def failed(db: Session, gig_id: str, digest: str, why: str, *, most_tries: int) -> bool:
    """Note that working it out came to nothing; true where it is given up. What was asked for meanwhile stays."""
    scopes.need(db, scopes.gig(gig_id))
    row = of_gig(db, gig_id)
    if row is None or row.wanted != digest or not row.behind:
        return False
    row.tries += 1
    if row.tries >= most_tries:
        row.fault = why
        row.times += 1
    db.add(row)
    db.flush()
    return bool(row.fault)


def is_newer(one: str, other: str) -> bool:
    """True where the first of two versions of the rules came later."""
    return (len(one), one) > (len(other), other)


def due(db: Session) -> list[str]:
    """The gigs whose plan has to be worked out by whomever, whoever has waited longest first."""
    return [gig_id for gig_id, _asked, _at in _due(db)]


def due_by(db: Session, engine: str, now: datetime) -> list[str]:
    """The same for a process with these rules: what newer ones were asked for is left to who has them for a while."""
    return [gig_id for gig_id, asked, at in _due(db) if not is_newer(asked, engine) or at <= now - LEFT]


def _due(db: Session) -> Iterator[tuple[str, str, datetime]]:
    yield from db.exec(
        select(Planning.gig_id, Planning.engine, Planning.asked_at)
        .where(col(Planning.wanted) != col(Planning.done), col(Planning.fault) == "")
        .order_by(col(Planning.asked_at), col(Planning.gig_id))
    )
