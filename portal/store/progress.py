"""What happened to gigs, as far as their state follows from it: gathered for a whole list in as many queries as for
one.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import case
from sqlmodel import Session, col, func, select

from portal.store.answers import HouseSent
from portal.store.database.once import once
from portal.store.gigs import Gig
from portal.store.links import Link
from portal.store.planning import Planning
from portal.store.plans import StoredPlan
from portal.store.signoffs import Signature


@dataclass(frozen=True)
class Progress:
    """``link_live``: a link by which the house can answer. ``plan_hash``: the newest plan's content hash, empty where
    none was computed. ``no_plan``: nothing fits. ``blocked``: the plan holds what nobody can sign. ``own_pa``: the
    band brings the PA, so the house signs nothing. ``since``: when the last of it happened. ``behind``: the gig has
    changed since, and the plan is being worked out, or given up for a ``fault``.

    ``band_signed`` and ``house_signed`` hold the hashes of the signatures that stand.
    """

    link_live: bool = False
    house_sent: bool = False
    plan_hash: str = ""
    no_plan: bool = False
    blocked: bool = False
    own_pa: bool = False
    behind: bool = False
    fault: str = ""
    since: datetime | None = None
    band_signed: frozenset[str] = frozenset()
    house_signed: frozenset[str] = frozenset()

    @property
    def house_answered(self) -> bool:
        """True where the house sent its answers, or signed a plan without sending them."""
        return self.house_sent or bool(self.house_signed)

    @property
    def begun(self) -> bool:
        """True where the plan is what the gig waits for: the house answered, or somebody signed."""
        return self.house_answered or bool(self.band_signed)


def signed_hashes(rows: Iterable[Signature], party: str) -> frozenset[str]:
    """The hashes of a party's signatures that were not withdrawn; ``rows`` the oldest first."""
    kinds = {row.content_hash: row.kind for row in rows if row.party == party}
    return frozenset(content_hash for content_hash, kind in kinds.items() if kind == "signed")


def of_gigs(db: Session, gigs: Sequence[Gig], now: datetime) -> dict[str, Progress]:
    """What happened to each of some gigs (already allowed), by the gig's id."""
    ids = [gig.id for gig in gigs]
    links = db.exec(select(Link).where(col(Link.gig_id).in_(ids), col(Link.party) == "house"))
    live = [link for link in links if link.live(now) and link.may("answer")]
    linked = {link.gig_id for link in live}
    sendings = db.exec(select(HouseSent).where(col(HouseSent.gig_id).in_(ids))).all()
    sent = {one.gig_id for one in sendings}
    plans = _newest_plans(db, ids)
    behind = dict(
        db.exec(
            select(Planning.gig_id, Planning.fault).where(
                col(Planning.gig_id).in_(ids), col(Planning.wanted) != col(Planning.done)
            )
        ).all()
    )
    signatures: dict[str, list[Signature]] = {}
    for row in db.exec(select(Signature).where(col(Signature.gig_id).in_(ids)).order_by(col(Signature.position))):
        signatures.setdefault(row.gig_id, []).append(row)
    since = {gig_id: plan.made for gig_id, plan in plans.items() if gig_id in sent}
    signed = [(row.gig_id, row.created) for rows in signatures.values() for row in rows]
    for gig_id, moment in (
        *((link.gig_id, link.created) for link in live),
        *((one.gig_id, one.created) for one in sendings),
        *signed,
    ):
        since[gig_id] = max(moment, since.get(gig_id, moment))
    return {
        gig_id: Progress(
            link_live=gig_id in linked,
            house_sent=gig_id in sent,
            plan_hash=plans[gig_id].content_hash if gig_id in plans else "",
            no_plan=gig_id in plans and "no-plan" in plans[gig_id].says,
            blocked=gig_id in plans and "blocked" in plans[gig_id].says,
            own_pa=gig_id in plans and "own-pa" in plans[gig_id].says,
            since=since.get(gig_id),
            behind=gig_id in behind,
            fault=behind.get(gig_id, ""),
            band_signed=signed_hashes(signatures.get(gig_id, ()), "band"),
            house_signed=signed_hashes(signatures.get(gig_id, ()), "house"),
        )
        for gig_id in ids
    }


@once
def of_gig(db: Session, gig: Gig, now: datetime) -> Progress:
    """What happened to one gig (already allowed)."""
    return of_gigs(db, [gig], now)[gig.id]


class _Newest(NamedTuple):
    """A gig's newest plan: ``says`` that nothing fits (no-plan), that the band brings the PA (own-pa), that it has
    blockers (blocked), or none of these.
    """

    content_hash: str
    says: str
    made: datetime


def _newest_plans(db: Session, ids: Sequence[str]) -> dict[str, _Newest]:
    """The newest plan of each gig. The documents stay in the database."""
    last = select(StoredPlan.gig_id, func.max(StoredPlan.number).label("number")).where(col(StoredPlan.gig_id).in_(ids))
    newest = last.group_by(col(StoredPlan.gig_id)).subquery()
    # Quotes within a text are written \", so this piece of JSON stands nowhere but at the top.
    no_plan = col(StoredPlan.document).contains('"status":"no-plan"')
    own_pa = col(StoredPlan.document).contains('"route":"own-pa"')
    blocked = col(StoredPlan.document).contains('"blocks":[{')
    said = case((no_plan, "no-plan"), (own_pa, "own-pa"), else_="")
    says = said + case((blocked, " blocked"), else_="")
    found = db.exec(
        select(StoredPlan.gig_id, StoredPlan.content_hash, says, StoredPlan.created).join(
            newest, (col(StoredPlan.gig_id) == newest.c.gig_id) & (col(StoredPlan.number) == newest.c.number)
        )
    )
    return {gig_id: _Newest(*columns) for gig_id, *columns in found}
