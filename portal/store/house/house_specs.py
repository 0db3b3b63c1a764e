"""The spec that a house pasted or uploaded at a gig: its text, what was read in it, and what the house confirmed of it.

Only whoever may answer for the house sees it: the band gets the answers that were confirmed, and nothing else.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from pydantic import TypeAdapter
from sqlalchemy import Text, bindparam
from sqlmodel import Field, Session, col, delete, select, update

from portal.plan.input.answer_kinds import Value
from portal.store.database import scopes
from portal.store.database.once import once, row_of
from portal.store.database.rows import Row


@dataclass(frozen=True)
class ReadFact:
    """One value that was read: what it answers, the passages it rests on, and the sentences that ask for a look."""

    topic: str
    value: Value
    words: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True)
class Confirmed:
    """One confirmed value that answers no question, such as the number of inputs at the box."""

    topic: str
    value: Value


_READ, _CONFIRMED = TypeAdapter(tuple[ReadFact, ...]), TypeAdapter(tuple[Confirmed, ...])


class GigSpec(Row, table=True):
    """The newest spec of a gig; ``version`` counts how often one was given. ``left_over``: passages in which nothing
    was read.
    """

    __tablename__ = "gig_spec"
    gig_id: str = Field(foreign_key="gig.id", primary_key=True)
    text: str = Field(sa_type=Text)
    read: str = Field(sa_type=Text)
    left_over: int
    confirmed: str = Field(default="[]", sa_type=Text)
    link_id: str = Field(foreign_key="link.id")
    version: int = 1
    created: datetime

    def read_facts(self) -> tuple[ReadFact, ...]:
        """What was read, in the order of the text."""
        return _READ.validate_json(self.read)

    def read_confirmed(self) -> tuple[Confirmed, ...]:
        """What the house confirmed beside its answers."""
        return _CONFIRMED.validate_json(self.confirmed)


_GET = select(GigSpec).where(col(GigSpec.gig_id) == bindparam("gig_id"))


@once
def get(db: Session, gig_id: str) -> GigSpec | None:
    """The spec of a gig (already allowed), if one was given."""
    return row_of(db, _GET, gig_id=gig_id)


def keep(
    db: Session, *, gig_id: str, text: str, read: Sequence[ReadFact], left_over: int, link_id: str, now: datetime
) -> GigSpec:
    """Keep a spec for a gig (already allowed) in place of the one before. What was confirmed stays."""
    scopes.need(db, scopes.gig(gig_id))
    before = get(db, gig_id)
    spec = GigSpec(
        gig_id=gig_id,
        text=text,
        read=_READ.dump_json(tuple(read)).decode(),
        left_over=left_over,
        confirmed=before.confirmed if before else "[]",
        link_id=link_id,
        version=before.version + 1 if before else 1,
        created=now,
    )
    merged = db.merge(spec)
    db.flush()
    return merged


def confirm(db: Session, spec: GigSpec, facts: Sequence[Confirmed]) -> None:
    """Keep what the house confirmed, in place of the values of the same topics before."""
    scopes.need(db, scopes.gig(spec.gig_id))
    topics = {one.topic for one in facts}
    kept = [one for one in spec.read_confirmed() if one.topic not in topics]
    confirmed = _CONFIRMED.dump_json((*kept, *facts)).decode()
    db.exec(update(GigSpec).where(col(GigSpec.gig_id) == spec.gig_id).values(confirmed=confirmed))


def erase(db: Session, gig_id: str, link_id: str = "") -> int:
    """Erase the spec of a gig (already allowed), or only the one that came by a link; how many there were."""
    scopes.need(db, scopes.gig(gig_id))
    mine = (col(GigSpec.gig_id) == gig_id,) + ((col(GigSpec.link_id) == link_id,) if link_id else ())
    return db.exec(delete(GigSpec).where(*mine)).rowcount
