"""What happened to gigs, as far as their state follows from it: gathered for a whole list in as many queries as for
one.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple, TypeVar

from sqlalchemy import BindParameter, bindparam, case
from sqlmodel import Session, col, func, select
from sqlmodel.sql.expression import Select

from portal.store import planning, plans
from portal.store.answers import HouseSent
from portal.store.answers import sent as sendings
from portal.store.database.once import once, rows_of
from portal.store.discussions import Proposal, proposals
from portal.store.gigs import Gig
from portal.store.links import Link
from portal.store.links import of_gig as links_of
from portal.store.planning import Planning
from portal.store.plans import StoredPlan
from portal.store.signoffs import Signature, history

Of = TypeVar("Of", Link, HouseSent, Signature, Proposal)


@dataclass(frozen=True)
class Progress:
    """``link_live``: a link by which the house can answer. ``plan_hash``: the newest plan's content hash, empty where
    none was computed. ``no_plan``: nothing fits. ``blocked``: the plan holds what nobody can sign. ``own_pa``: the
    band brings the PA, so the house signs nothing. ``since``: when the last of it happened. ``behind``: the gig has
    changed since, and the plan is being worked out, or given up for a ``fault``. ``to_decide``: the sides for whose
    decision a proposal waits.

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
    to_decide: frozenset[str] = frozenset()

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


_IDS: BindParameter[str] = bindparam("gig_ids", expanding=True)
_LINKS = select(Link).where(col(Link.gig_id).in_(_IDS), col(Link.party) == "house")
_SENT = select(HouseSent).where(col(HouseSent.gig_id).in_(_IDS))
_BEHIND = select(Planning.gig_id, Planning.fault).where(
    col(Planning.gig_id).in_(_IDS), col(Planning.wanted) != col(Planning.done)
)
_OPEN = select(Proposal).where(col(Proposal.gig_id).in_(_IDS), col(Proposal.outcome).is_(None))
_SIGNATURES = select(Signature).where(col(Signature.gig_id).in_(_IDS)).order_by(col(Signature.position))


def of_gigs(db: Session, gigs: Sequence[Gig], now: datetime) -> dict[str, Progress]:
    """What happened to each of some gigs (already allowed), by the gig's id."""
    ids = [gig.id for gig in gigs]
    links = _by_gig(rows_of(db, _LINKS, gig_ids=ids))
    sent = _by_gig(rows_of(db, _SENT, gig_ids=ids))
    newest = {one: _Newest(content, says, made) for one, content, says, made in rows_of(db, _PLANS, gig_ids=ids)}
    behind = dict(rows_of(db, _BEHIND, gig_ids=ids))
    signatures = _by_gig(rows_of(db, _SIGNATURES, gig_ids=ids))
    waiting = _by_gig(rows_of(db, _OPEN, gig_ids=ids))
    return {
        one: _progress(
            links.get(one, ()),
            sent.get(one, ()),
            newest.get(one),
            behind.get(one),
            signatures.get(one, ()),
            waiting.get(one, ()),
            now,
        )
        for one in ids
    }


@once
def of_gig(db: Session, gig: Gig, now: datetime) -> Progress:
    """What happened to one gig (already allowed), from what its pages ask for as well."""
    row, plan = planning.of_gig(db, gig.id), plans.newest(db, gig.id)
    return _progress(
        [one for one in links_of(db, gig.id) if one.party == "house"],
        sendings(db, gig.id),
        _Newest(plan.content_hash, _says(plan.document), plan.created) if plan else None,
        row.fault if row and row.behind else None,
        history(db, gig.id),
        [one for one in proposals(db, gig.id) if one.outcome is None],
        now,
    )


def _by_gig(rows: Iterable[Of]) -> dict[str, list[Of]]:
    found: dict[str, list[Of]] = {}
    for row in rows:
        found.setdefault(row.gig_id, []).append(row)
    return found


def _progress(
    links: Iterable[Link],
    sent: Sequence[HouseSent],
    newest: "_Newest | None",
    fault: str | None,
    signatures: Sequence[Signature],
    waiting: Iterable[Proposal],
    now: datetime,
) -> Progress:
    """``fault``: why the plan was given up; empty while it is worked out, ``None`` where it is of what the gig says."""
    live = [link for link in links if link.live(now) and link.may("answer")]
    moments = [*(one.created for one in live), *(one.created for one in sent), *(one.created for one in signatures)]
    if newest is not None and sent:
        moments.append(newest.made)
    says = newest.says if newest else ""
    return Progress(
        link_live=bool(live),
        house_sent=bool(sent),
        plan_hash=newest.content_hash if newest else "",
        no_plan="no-plan" in says,
        blocked="blocked" in says,
        own_pa="own-pa" in says,
        since=max(moments, default=None),
        behind=fault is not None,
        fault=fault or "",
        band_signed=signed_hashes(signatures, "band"),
        house_signed=signed_hashes(signatures, "house"),
        to_decide=frozenset("house" if one.proposed_by == "band" else "band" for one in waiting),
    )


class _Newest(NamedTuple):
    """A gig's newest plan: ``says`` that nothing fits (no-plan), that the band brings the PA (own-pa), that it has
    blockers (blocked), or none of these.
    """

    content_hash: str
    says: str
    made: datetime


# Quotes within a text are written \", so these pieces of JSON stand nowhere but at the top.
_NO_PLAN, _OWN_PA, _BLOCKED = '"status":"no-plan"', '"route":"own-pa"', '"blocks":[{'


def _says(document: str) -> str:
    said = "no-plan" if _NO_PLAN in document else "own-pa" if _OWN_PA in document else ""
    return said + (" blocked" if _BLOCKED in document else "")


def _plans() -> Select[str, str, str, datetime]:
    """The newest plan of each gig. The documents stay in the database."""
    document = col(StoredPlan.document)
    last = select(StoredPlan.gig_id, func.max(StoredPlan.number).label("number")).where(
        col(StoredPlan.gig_id).in_(_IDS)
    )
    newest = last.group_by(col(StoredPlan.gig_id)).subquery()
    said = case((document.contains(_NO_PLAN), "no-plan"), (document.contains(_OWN_PA), "own-pa"), else_="")
    says = said + case((document.contains(_BLOCKED), " blocked"), else_="")
    return select(StoredPlan.gig_id, StoredPlan.content_hash, says, StoredPlan.created).join(
        newest, (col(StoredPlan.gig_id) == newest.c.gig_id) & (col(StoredPlan.number) == newest.c.number)
    )


_PLANS = _plans()
