"""How much happened to gigs, counted: what a page compares to know that it has become old."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, fields
from functools import cache
from typing import Any

from sqlalchemy import BindParameter, CompoundSelect, bindparam, literal, union_all
from sqlmodel import Session, col, func, select

from portal.store.answers import HouseSent, StoredAnswer
from portal.store.discussions import Comment, Proposal
from portal.store.gigs import Gig
from portal.store.planning import Planning
from portal.store.plans import StoredPlan
from portal.store.signoffs import Signature


@dataclass(frozen=True)
class News:
    """Counts that only grow. ``plan`` is the newest plan's number, ``planned`` how often it was worked out, ``details``
    the gig's version; the rest is what the other side did.
    """

    plan: int = 0
    details: int = 0
    answers: int = 0
    sent: int = 0
    comments: int = 0
    proposals: int = 0
    settled: int = 0
    signed: int = 0
    withdrawn: int = 0
    planned: int = 0

    def mark(self) -> str:
        """The counts as a short text."""
        return ".".join(str(getattr(self, field.name)) for field in fields(self))


def read(mark: str) -> News | None:
    """The counts of a mark; ``None`` for a text that is none."""
    parts = mark.split(".")
    counts = all(re.fullmatch(r"[0-9]{1,9}", part) for part in parts)
    if len(parts) != len(fields(News)) or not counts:
        return None
    return News(*map(int, parts))


@cache
def _counts(other: str) -> CompoundSelect[Any]:
    """How much one side did, and how often was planned: a gig, what is counted, and the count."""
    ids: BindParameter[str] = bindparam("gig_ids", expanding=True)
    kind = col(Signature.kind)
    theirs = {
        "answers": (StoredAnswer.gig_id, col(StoredAnswer.party) == other),
        # Only the house sends a page of answers.
        "sent": (HouseSent.gig_id, literal(other == "house")),
        "comments": (Comment.gig_id, col(Comment.party) == other),
        "proposals": (Proposal.gig_id, col(Proposal.proposed_by) == other),
        "settled": (Proposal.gig_id, col(Proposal.settled_by) == other),
        "signed": (Signature.gig_id, (col(Signature.party) == other) & (kind == "signed")),
        "withdrawn": (Signature.gig_id, (col(Signature.party) == other) & (kind == "withdrawn")),
    }
    counts = [
        select(col(gig_id), literal(name), func.count()).where(col(gig_id).in_(ids), where).group_by(col(gig_id))
        for name, (gig_id, where) in theirs.items()
    ]
    planned = select(col(Planning.gig_id), literal("planned"), col(Planning.times)).where(col(Planning.gig_id).in_(ids))
    newest = select(col(StoredPlan.gig_id), literal("plan"), func.max(StoredPlan.number)).where(
        col(StoredPlan.gig_id).in_(ids)
    )
    return union_all(newest.group_by(col(StoredPlan.gig_id)), planned, *counts)


def of_gigs(db: Session, gigs: Sequence[Gig], party: str) -> dict[str, News]:
    """What happened to some gigs (already allowed), for one side of them, by the gig's id: one query, however many they
    are.
    """
    counted = _counts("house" if party == "band" else "band")
    found: dict[str, dict[str, int]] = {}
    for gig_id, name, number in db.connection().execute(counted, {"gig_ids": [gig.id for gig in gigs]}):
        found.setdefault(gig_id, {})[name] = number
    return {gig.id: News(details=gig.version, **found.get(gig.id, {})) for gig in gigs}
