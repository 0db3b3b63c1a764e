"""Inquiry links of stages, by which a band with an account asks for a gig, and what came of each asking. Nothing of a
link's token is stored.
"""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import CheckConstraint, bindparam
from sqlmodel import Field, Session, col, delete, select, update

from portal.store.accounts.bands import Band
from portal.store.database import scopes
from portal.store.database.once import once, rows_of
from portal.store.database.rows import Row, new_id
from portal.store.gigs import A_PAGE, Gig
from portal.store.house.houses import House, HouseStage
from portal.store.record import events


class InquiryLink(Row, table=True):
    """A link that a house shows to bands for one of its stages."""

    __tablename__ = "inquiry_link"
    id: str = Field(default_factory=new_id, primary_key=True)
    stage_id: str = Field(foreign_key="house_stage.id", index=True)
    created: datetime


class Inquiry(Row, table=True):
    """A gig for which a band asked by an inquiry link. ``outcome`` is empty until the house accepts or declines it;
    ``link_id``: the link that the house then uses.
    """

    __table_args__ = (
        CheckConstraint("outcome IN ('accepted', 'declined')", name="outcome"),
        CheckConstraint("(outcome IS NULL) = (settled_at IS NULL)", name="settled_at"),
    )
    gig_id: str = Field(foreign_key="gig.id", primary_key=True)
    stage_id: str = Field(foreign_key="house_stage.id", index=True)
    link_id: str = Field(foreign_key="link.id")
    outcome: str | None = None
    settled_at: datetime | None = None
    created: datetime


@dataclass(frozen=True)
class AskedGig:
    """A gig that waits for a house's word, with its act and the stage."""

    inquiry: Inquiry
    gig: Gig
    act: str
    stage: HouseStage


def link_of(db: Session, stage_id: str) -> InquiryLink | None:
    """The inquiry link of a stage (already allowed)."""
    mine = select(InquiryLink).where(col(InquiryLink.stage_id) == stage_id)
    return db.exec(mine.order_by(col(InquiryLink.created).desc()).limit(1)).first()


def make_link(db: Session, stage_id: str, now: datetime) -> InquiryLink:
    """The inquiry link of a stage (already allowed): the one that is there, else a new one."""
    _need_house_of(db, stage_id)
    made = link_of(db, stage_id)
    if made is None:
        made = InquiryLink(stage_id=stage_id, created=now)
        db.add(made)
        db.flush()
    return made


def end_link(db: Session, stage_id: str) -> None:
    """End the inquiry link of a stage (already allowed). What was asked for stays."""
    _need_house_of(db, stage_id)
    db.exec(delete(InquiryLink).where(col(InquiryLink.stage_id) == stage_id))


def _need_house_of(db: Session, stage_id: str) -> None:
    scopes.need(db, scopes.house(db.exec(select(HouseStage.house_id).where(col(HouseStage.id) == stage_id)).one()))


def open_link(db: Session, link_id: str) -> tuple[House, HouseStage] | None:
    """The house and stage for which a link asks."""
    found = select(House, HouseStage).join(HouseStage, col(HouseStage.house_id) == col(House.id))
    mine = found.join(InquiryLink, col(InquiryLink.stage_id) == col(HouseStage.id)).where(
        col(InquiryLink.id) == link_id
    )
    row = db.exec(mine).one_or_none()
    return (row[0], row[1]) if row else None


def ask(db: Session, gig: Gig, stage_id: str, link_id: str, now: datetime, *, actor: str) -> None:
    """Ask a house for a gig (already allowed)."""
    scopes.need(db, scopes.gig(gig.id))
    db.add(Inquiry(gig_id=gig.id, stage_id=stage_id, link_id=link_id, created=now))
    db.flush()
    events.append(db, gig_id=gig.id, kind="gig-asked", party="band", actor=actor, now=now)


_OF_GIG = (
    select(Inquiry, House, HouseStage)
    .join(HouseStage, col(HouseStage.id) == col(Inquiry.stage_id))
    .join(House, col(House.id) == col(HouseStage.house_id))
    .where(col(Inquiry.gig_id) == bindparam("gig_id"))
)


@once
def of_gig(db: Session, gig_id: str) -> tuple[Inquiry, House, HouseStage] | None:
    """What a gig (already allowed) was asked for, of whom."""
    return next(iter(rows_of(db, _OF_GIG, gig_id=gig_id)), None)


def waiting(db: Session, house_id: str, gig_id: str = "") -> list[AskedGig]:
    """The gigs that wait for the word of a house (already allowed) by date, one page of them, or one of them; cancelled
    ones do not.
    """
    rows = db.exec(
        select(Inquiry, Gig, Band.name, HouseStage)
        .join(Gig, col(Gig.id) == col(Inquiry.gig_id))
        .join(Band, col(Band.id) == col(Gig.band_id))
        .join(HouseStage, col(HouseStage.id) == col(Inquiry.stage_id))
        .where(col(HouseStage.house_id) == house_id, col(Inquiry.outcome).is_(None), col(Gig.cancelled_at).is_(None))
        .where(*((col(Gig.id) == gig_id,) if gig_id else ()))
        .order_by(col(Gig.on), col(Inquiry.created))
        .limit(A_PAGE)
    )
    return [AskedGig(*row) for row in rows]


def settle(db: Session, inquiry: Inquiry, outcome: str, now: datetime) -> bool:
    """Accept or decline what a house (already allowed) was asked for; false where that was done before."""
    scopes.need(db, scopes.gig(inquiry.gig_id))
    open_one = (col(Inquiry.gig_id) == inquiry.gig_id, col(Inquiry.outcome).is_(None))
    if db.exec(update(Inquiry).where(*open_one).values(outcome=outcome, settled_at=now)).rowcount != 1:
        return False
    actor = events.actor_of(None, inquiry.link_id)
    events.append(db, gig_id=inquiry.gig_id, kind=f"gig-{outcome}", party="house", actor=actor, now=now)
    return True


def forget(db: Session, *, stage_id: str = "", gig_id: str = "") -> None:
    """Forget what was asked of a stage, its link included, or what a gig was asked for."""
    scopes.need(db, scopes.EVERYTHING)
    if stage_id:
        end_link(db, stage_id)
    which = col(Inquiry.stage_id) == stage_id if stage_id else col(Inquiry.gig_id) == gig_id
    db.exec(delete(Inquiry).where(which))
