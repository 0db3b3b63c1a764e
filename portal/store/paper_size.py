"""The paper that a band prints on."""

from sqlalchemy import CheckConstraint, bindparam
from sqlmodel import Field, Session, col, select

from portal.store.database import scopes
from portal.store.database.once import row_of
from portal.store.database.rows import Row

USUAL = "A4"


class BandPaper(Row, table=True):
    """A band's choice; a band without a row prints on A4."""

    __tablename__ = "band_paper"
    __table_args__ = (CheckConstraint("size IN ('A4', 'Letter')", name="size"),)
    band_id: str = Field(foreign_key="band.id", primary_key=True)
    size: str


_OF_BAND = select(BandPaper.size).where(col(BandPaper.band_id) == bindparam("band_id"))


def of_band(db: Session, band_id: str) -> str:
    """The name of the paper that a band prints on."""
    return row_of(db, _OF_BAND, band_id=band_id) or USUAL


def choose(db: Session, band_id: str, size: str) -> None:
    """Print on this paper from now on. ``size`` is A4 or Letter."""
    scopes.need(db, scopes.band(band_id))
    db.merge(BandPaper(band_id=band_id, size=size))
    db.flush()
