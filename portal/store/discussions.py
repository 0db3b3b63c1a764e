"""What both sides say about a plan: comments on lines, and proposals that become locks once accepted."""

from datetime import datetime

from sqlalchemy import CheckConstraint, Identity, Integer, Text, bindparam
from sqlmodel import Field, Session, col, func, select, update

from portal.plan.input.facts import Lock
from portal.store.database import scopes
from portal.store.database.once import once, row_of, rows_of
from portal.store.database.rows import POSITION, Row, new_id
from portal.store.record import events

MOST_COMMENTS, MOST_PROPOSALS = 1_000, 400
"""Of one gig; far more than anybody reads, and no more than a page can bear (common practice, no source)."""


class Comment(Row, table=True):
    """A comment on a gig, or on one line of it by the key of the line's source."""

    __table_args__ = (CheckConstraint("party IN ('house', 'band')", name="party"),)
    position: int | None = Field(default=None, primary_key=True, sa_type=POSITION, sa_column_args=(Identity(),))
    id: str = Field(default_factory=new_id, unique=True)
    gig_id: str = Field(foreign_key="gig.id", index=True)
    party: str
    author: str
    source: str | None = None
    words: str = Field(sa_type=Text)
    link_id: str | None = Field(default=None, foreign_key="link.id")
    user_id: str | None = Field(default=None, foreign_key="user.id")
    created: datetime


RELEASE = "release"
"""Resource of a proposal to give up what was agreed; its value is the id of the accepted proposal."""


class Proposal(Row, table=True):
    """A proposed change of one source's line. ``outcome``: accepted, declined, taken-back, or overtaken by another one
    that was accepted; an accepted one is a lock until released. ``reason``: why it was proposed; ``settled_reason``:
    why it was declined.

    To give a lock up takes both sides as well: a proposal of its own, with ``RELEASE`` as its resource. A side that
    settled its own proposal decided by itself.
    """

    __tablename__ = "lock"
    __table_args__ = (
        CheckConstraint("proposed_by IN ('house', 'band')", name="proposed_by"),
        CheckConstraint("settled_by IN ('house', 'band')", name="settled_by"),
        CheckConstraint("outcome IN ('accepted', 'declined', 'taken-back', 'overtaken')", name="outcome"),
        CheckConstraint("(outcome IS NULL) = (settled_at IS NULL)", name="settled_at"),
    )
    id: str = Field(default_factory=new_id, primary_key=True)
    gig_id: str = Field(foreign_key="gig.id", index=True)
    source: str
    resource: str
    value: str
    proposed_by: str
    proposer: str = ""
    proposed_at: datetime
    settled_by: str | None = None
    settler: str = ""
    settled_at: datetime | None = None
    outcome: str | None = None
    released_at: datetime | None = None
    reason: str = Field(default="", sa_column_kwargs={"server_default": ""})
    settled_reason: str = Field(default="", sa_column_kwargs={"server_default": ""})

    def read(self) -> Lock:
        """The lock in the core's words."""
        return Lock(self.source, self.resource, self.value, self.proposed_by, self.settled_by or "")

    @property
    def holds(self) -> bool:
        """True while it is a lock."""
        return self.outcome == "accepted" and self.released_at is None and self.resource != RELEASE

    @property
    def by_one_side(self) -> bool:
        """True where the side that proposed it also decided it."""
        return self.outcome == "accepted" and self.settled_by == self.proposed_by


def say(  # noqa: PLR0913 - one keyword per column
    db: Session,
    *,
    gig_id: str,
    party: str,
    author: str,
    words: str,
    source: str | None = None,
    link_id: str | None = None,
    user_id: str | None = None,
    now: datetime,
) -> Comment:
    """Add a comment to a gig (already allowed)."""
    scopes.need(db, scopes.gig(gig_id))
    comment = Comment(
        gig_id=gig_id,
        party=party,
        author=author,
        source=source,
        words=words,
        link_id=link_id,
        user_id=user_id,
        created=now,
    )
    db.add(comment)
    db.flush()
    actor = events.actor_of(user_id, link_id)
    events.append(
        db, gig_id=gig_id, kind="commented", party=party, actor=actor, now=now, detail={"comment": comment.id}
    )
    return comment


_OF_GIG = (
    select(Comment)
    .where(col(Comment.gig_id) == bindparam("gig_id"))
    .order_by(col(Comment.position).desc())
    .limit(bindparam("most", type_=Integer))
)
_ABOUT, _BEFORE = col(Comment.source) == bindparam("about"), col(Comment.position) < bindparam("before")
_COMMENTS = {
    (False, False): _OF_GIG,
    (True, False): _OF_GIG.where(_ABOUT),
    (False, True): _OF_GIG.where(_BEFORE),
    (True, True): _OF_GIG.where(_ABOUT, _BEFORE),
}
"""Comments, by whether they are those of one source, and those before a position."""


@once
def comments(db: Session, gig_id: str, *, most: int = MOST_COMMENTS, about: str = "", before: int = 0) -> list[Comment]:
    """The newest comments on a gig (already allowed) in the order in which they were said; of one source, and of those
    before a position.
    """
    places = {name: value for name, value in (("about", about), ("before", before)) if value}
    return rows_of(db, _COMMENTS[bool(about), bool(before)], gig_id=gig_id, most=most, **places)[::-1]


def full(db: Session, gig_id: str) -> bool:
    """True where a gig (already allowed) takes no more comments."""
    return sum(counts(db, gig_id).values()) >= MOST_COMMENTS


_NUMBERED = (
    select(
        Comment.position,
        func.row_number().over(partition_by=col(Comment.source), order_by=col(Comment.position).desc()).label("place"),
    )
    .where(col(Comment.gig_id) == bindparam("gig_id"), col(Comment.source).is_not(None))
    .subquery()
)
_NEWEST_OF_EACH = (
    select(Comment)
    .where(col(Comment.position).in_(select(_NUMBERED.c.position).where(_NUMBERED.c.place <= bindparam("most"))))
    .order_by(col(Comment.position))
)
_COUNTS = (
    select(Comment.source, func.count()).where(col(Comment.gig_id) == bindparam("gig_id")).group_by(col(Comment.source))
)


@once
def newest_of_each(db: Session, gig_id: str, most: int) -> list[Comment]:
    """The newest comments on each source of a gig (already allowed), in the order in which they were said."""
    return rows_of(db, _NEWEST_OF_EACH, gig_id=gig_id, most=most)


@once
def counts(db: Session, gig_id: str) -> dict[str, int]:
    """How many comments on a gig (already allowed) there are, by source; on none in particular under the empty text."""
    return {source or "": count for source, count in rows_of(db, _COUNTS, gig_id=gig_id)}


def propose(  # noqa: PLR0913 - one keyword per column
    db: Session,
    *,
    gig_id: str,
    source: str,
    resource: str,
    value: str,
    party: str,
    author: str = "",
    actor: str = "",
    reason: str = "",
    now: datetime,
) -> Proposal:
    """Propose a change to a gig (already allowed)."""
    scopes.need(db, scopes.gig(gig_id))
    proposal = Proposal(
        gig_id=gig_id,
        source=source,
        resource=resource,
        value=value,
        proposed_by=party,
        proposer=author,
        proposed_at=now,
        reason=reason,
    )
    db.add(proposal)
    db.flush()
    events.append(
        db, gig_id=gig_id, kind="proposed", party=party, actor=actor, now=now, detail={"proposal": proposal.id}
    )
    return proposal


_PROPOSALS = select(Proposal).where(col(Proposal.gig_id) == bindparam("gig_id"))
_ALL_PROPOSALS = _PROPOSALS.order_by(col(Proposal.proposed_at), col(Proposal.id))
_ONE_PROPOSAL = _PROPOSALS.where(col(Proposal.id) == bindparam("proposal_id"))


@once
def proposals(db: Session, gig_id: str) -> list[Proposal]:
    """Every proposal of a gig (already allowed), the oldest first."""
    return rows_of(db, _ALL_PROPOSALS, gig_id=gig_id)


@once
def get_proposal(db: Session, gig_id: str, proposal_id: str) -> Proposal | None:
    """A proposal of a gig (already allowed)."""
    return row_of(db, _ONE_PROPOSAL, gig_id=gig_id, proposal_id=proposal_id)


def settle(  # noqa: PLR0913 - who, what, when and why
    db: Session,
    proposal_id: str,
    outcome: str,
    party: str,
    now: datetime,
    *,
    author: str = "",
    actor: str = "",
    reason: str = "",
) -> bool:
    """Settle a proposal (already allowed); false when it was settled before."""
    gig_id = _gig_of(db, proposal_id)
    changed = db.exec(
        update(Proposal)
        .where(col(Proposal.id) == proposal_id, col(Proposal.outcome).is_(None))
        .values(outcome=outcome, settled_by=party, settler=author, settled_at=now, settled_reason=reason)
    )
    if changed.rowcount != 1:
        return False
    events.append(
        db,
        gig_id=gig_id,
        kind=f"proposal-{outcome}",
        party=party,
        actor=actor,
        now=now,
        detail={"proposal": proposal_id},
    )
    return True


def overtaken_by(db: Session, accepted: Proposal) -> list[str]:
    """The open proposals (by id) that make no sense any more once one of the same gig is accepted: those of the same
    thing, and of a source that is left out all others.
    """
    if accepted.resource == RELEASE:
        return []
    same = () if accepted.value == "leave-out" else (col(Proposal.resource) == accepted.resource,)
    rows = select(Proposal.id).where(
        col(Proposal.gig_id) == accepted.gig_id,
        col(Proposal.source) == accepted.source,
        col(Proposal.id) != accepted.id,
        col(Proposal.outcome).is_(None),
        col(Proposal.resource) != RELEASE,
        *same,
    )
    return list(db.exec(rows.order_by(col(Proposal.proposed_at), col(Proposal.id))))


def release(db: Session, proposal_id: str, now: datetime) -> bool:
    """Give up an accepted lock (already allowed); false when there is none to give up."""
    _gig_of(db, proposal_id)
    changed = db.exec(
        update(Proposal)
        .where(
            col(Proposal.id) == proposal_id,
            col(Proposal.outcome) == "accepted",
            col(Proposal.released_at).is_(None),
        )
        .values(released_at=now)
    )
    return changed.rowcount == 1


def _gig_of(db: Session, proposal_id: str) -> str:
    """The gig of a proposal that is to be changed."""
    gig_id = db.exec(select(Proposal.gig_id).where(col(Proposal.id) == proposal_id)).one()
    scopes.need(db, scopes.gig(gig_id))
    return gig_id


def locks(db: Session, gig_id: str) -> tuple[Lock, ...]:
    """The locks in force for a gig (already allowed), in the order in which they were proposed."""
    return tuple(proposal.read() for proposal in proposals(db, gig_id) if proposal.holds)
