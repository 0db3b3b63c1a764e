"""Which gigs are tied to which stage of a house, and by which link: the house's list, and its way back into a gig.

A tie tells the band nothing. It opens a gig as far as the link does by which it was tied, and no longer.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Select
from sqlalchemy.orm import aliased
from sqlmodel import Field, Session, col, delete, func, select

from portal.store.accounts.bands import Band
from portal.store.database import scopes
from portal.store.database.once import once
from portal.store.database.rows import Row
from portal.store.discussions import Proposal
from portal.store.gigs import A_PAGE, NIGHT, Gig
from portal.store.house.houses import HouseStage
from portal.store.links import Link
from portal.store.record.events import Event


class StageGig(Row, table=True):
    """One gig on one stage; the newest stage of a gig counts, the ones before are kept for erasing."""

    __tablename__ = "stage_gig"
    gig_id: str = Field(foreign_key="gig.id", primary_key=True)
    stage_id: str = Field(foreign_key="house_stage.id", primary_key=True, index=True)
    link_id: str = Field(foreign_key="link.id")
    created: datetime


_Other = aliased(StageGig)


@dataclass(frozen=True)
class TiedGig:
    """A gig of the house's list with its act, the stage it is played on, and the link by which it was tied."""

    gig: Gig
    act: str
    stage: HouseStage
    link: Link
    since: datetime


def tie(db: Session, gig_id: str, stage_id: str, link_id: str, now: datetime) -> None:
    """Tie a gig to a stage by a link (all allowed); the newest tie counts."""
    scopes.need(db, scopes.gig(gig_id))
    db.merge(StageGig(gig_id=gig_id, stage_id=stage_id, link_id=link_id, created=now))
    db.flush()


def stage_of(db: Session, gig_id: str) -> HouseStage | None:
    """The stage that a gig (already allowed) is played on, as far as a house said so."""
    return db.exec(
        select(HouseStage)
        .join(StageGig, col(StageGig.stage_id) == col(HouseStage.id))
        .where(col(StageGig.gig_id) == gig_id)
        .order_by(col(StageGig.created).desc())
        .limit(1)
    ).first()


def of_house(db: Session, house_id: str) -> list[TiedGig]:
    """The gigs of a house (already allowed) by date, each with its newest tie."""
    return _tied(db, _of_house(house_id))


def coming(db: Session, house_id: str, now: datetime, page: int = 0) -> list[TiedGig]:
    """Those that are not cancelled and may not be over yet, by date: one page of them, and one more where there are
    more.
    """
    ahead = _of_house(house_id).where(col(Gig.on) >= (now - NIGHT).date(), col(Gig.cancelled_at).is_(None))
    return _tied(db, ahead.offset(page * A_PAGE).limit(A_PAGE + 1))


def gone(db: Session, house_id: str, now: datetime, page: int = 0) -> list[TiedGig]:
    """Those that are cancelled or may be over, the last one first: one page of them, and one more where there are
    more.
    """
    behind = (col(Gig.on) <= (now + NIGHT).date()) | col(Gig.cancelled_at).is_not(None)
    backwards = (
        _of_house(house_id).where(behind).order_by(None).order_by(col(Gig.on).desc(), col(StageGig.created).desc())
    )
    return _tied(db, backwards.offset(page * A_PAGE).limit(A_PAGE + 1))


def of_gig(db: Session, house_id: str, gig_id: str) -> TiedGig | None:
    """One gig of a house's list."""
    return next(iter(_tied(db, _of_house(house_id).where(col(Gig.id) == gig_id))), None)


_Rows = Select[Any]


def _of_house(house_id: str) -> _Rows:
    newest = select(func.max(_Other.created)).where(col(_Other.gig_id) == col(StageGig.gig_id)).scalar_subquery()
    return (
        select(StageGig, Gig, Band.name)
        .add_columns(HouseStage, Link)
        .join(Gig, col(Gig.id) == col(StageGig.gig_id))
        .join(Band, col(Band.id) == col(Gig.band_id))
        .join(HouseStage, col(HouseStage.id) == col(StageGig.stage_id))
        .join(Link, col(Link.id) == col(StageGig.link_id))
        .where(col(HouseStage.house_id) == house_id, col(StageGig.created) == newest)
        .order_by(col(Gig.on), col(StageGig.created))
    )


def _tied(db: Session, found: _Rows) -> list[TiedGig]:
    return [TiedGig(gig, act, stage, link, row.created) for row, gig, act, stage, link in db.execute(found)]


@once
def to_come(db: Session, stage_id: str, now: datetime) -> list[tuple[Gig, str]]:
    """The gigs that were ever tied to a stage (already allowed), are not cancelled and may not be over yet, each with
    its act.
    """
    ever = select(StageGig.gig_id).where(col(StageGig.stage_id) == stage_id)
    ahead = (col(Gig.on) >= (now - NIGHT).date(), col(Gig.cancelled_at).is_(None), col(Gig.id).in_(ever))
    return list(db.exec(select(Gig, Band.name).where(col(Band.id) == col(Gig.band_id), *ahead)).all())


def gig_ids(db: Session, stage_ids: Sequence[str]) -> list[str]:
    """Every gig that was ever tied to one of some stages (already allowed)."""
    return list(db.exec(select(StageGig.gig_id).where(col(StageGig.stage_id).in_(stage_ids)).distinct()))


def untie(db: Session, *, stage_id: str = "", gig_id: str = "") -> None:
    """Take every tie of a stage or of a gig (already allowed) away."""
    scopes.need(db, scopes.gig(gig_id) if gig_id else scopes.EVERYTHING)
    which = col(StageGig.stage_id) == stage_id if stage_id else col(StageGig.gig_id) == gig_id
    db.exec(delete(StageGig).where(which))


def last_moments(db: Session, gig_ids: Sequence[str]) -> dict[str, datetime]:
    """When something last happened to each of some gigs (already allowed), looking in aside."""
    rows = db.exec(
        select(Event.gig_id, func.max(Event.created))
        .where(col(Event.gig_id).in_(gig_ids), col(Event.kind) != "link-used")
        .group_by(col(Event.gig_id))
    )
    return dict(rows.all())


def proposals_for_house(db: Session, gig_ids: Sequence[str]) -> dict[str, int]:
    """How many of the band's proposals wait for the house in each of some gigs (already allowed)."""
    rows = db.exec(
        select(Proposal.gig_id, func.count())
        .where(col(Proposal.gig_id).in_(gig_ids), col(Proposal.outcome).is_(None), col(Proposal.proposed_by) == "band")
        .group_by(col(Proposal.gig_id))
    )
    return dict(rows.all())
