"""Rigs of a band and their revisions. A revision is one frozen document, never changed and never deleted."""

from collections.abc import Collection
from datetime import datetime

from pydantic import TypeAdapter
from sqlalchemy import CheckConstraint, Text, UniqueConstraint, bindparam
from sqlmodel import Field, Session, col, func, select, update

from portal.plan.input.rig import Rig
from portal.store.database import scopes
from portal.store.database.once import once, row_of, rows_of
from portal.store.database.readings import read_once
from portal.store.database.rows import Row, new_id


class BandRig(Row, table=True):
    """A rig by name. ``version`` counts every change, for forms that were drawn from an older one."""

    __tablename__ = "rig"
    id: str = Field(default_factory=new_id, primary_key=True)
    band_id: str = Field(foreign_key="band.id", index=True)
    name: str
    version: int = 1
    created: datetime


class RigRevision(Row, table=True):
    """What a rig was at one moment. ``number`` counts from 1 in each rig; ``document`` is the core's ``Rig`` as
    JSON.
    """

    __tablename__ = "rig_revision"
    __table_args__ = (UniqueConstraint("rig_id", "number"), CheckConstraint("number >= 1", name="number"))
    id: str = Field(default_factory=new_id, primary_key=True)
    rig_id: str = Field(foreign_key="rig.id")
    number: int
    document: str = Field(sa_type=Text)
    author_id: str = Field(foreign_key="user.id")
    created: datetime

    def read(self) -> Rig:
        """The rig in the core's words."""
        return read(self.document)


_RIG = TypeAdapter(Rig)


@read_once
def read(document: str) -> Rig:
    """The rig that a revision's document holds."""
    return _RIG.validate_json(document)


def write(rig: Rig) -> str:
    """The rig as the JSON that a revision holds."""
    # The empty mapping of a frozen rig is a read-only view, which pydantic copies only when told to.
    return _RIG.dump_json(rig, warnings=False, fallback=dict).decode()


def add(db: Session, *, band_id: str, name: str, rig: Rig, author_id: str, now: datetime) -> BandRig:
    """A new rig with its revision 1."""
    scopes.need(db, scopes.band(band_id))
    stored = BandRig(band_id=band_id, name=name, created=now)
    db.add(stored)
    db.flush()
    db.add(RigRevision(rig_id=stored.id, number=1, document=write(rig), author_id=author_id, created=now))
    db.flush()
    return stored


_OF_BAND = select(BandRig).where(col(BandRig.band_id) == bindparam("band_id"))
_ALL_OF_BAND = _OF_BAND.order_by(col(BandRig.name), col(BandRig.id))
_ONE_OF_BAND = _OF_BAND.where(col(BandRig.id) == bindparam("rig_id"))
_REVISIONS = select(RigRevision).where(col(RigRevision.rig_id) == bindparam("rig_id"))
_NEWEST = _REVISIONS.order_by(col(RigRevision.number).desc()).limit(1)
_BY_NUMBER = _REVISIONS.where(col(RigRevision.number) == bindparam("number"))
_OF_GIG = select(RigRevision).where(col(RigRevision.id) == bindparam("revision_id"))
_NUMBER = select(func.max(col(RigRevision.number))).where(col(RigRevision.rig_id) == col(BandRig.id)).correlate(BandRig)
_NEWEST_OF_BAND = (
    select(BandRig, RigRevision)
    .join(RigRevision, col(RigRevision.rig_id) == col(BandRig.id))
    .where(col(BandRig.band_id) == bindparam("band_id"), col(RigRevision.number) == _NUMBER.scalar_subquery())
    .order_by(col(BandRig.name), col(BandRig.id))
)
_NEWEST_NUMBERS = (
    select(RigRevision.rig_id, RigRevision.id, RigRevision.number)
    .join(BandRig, col(BandRig.id) == col(RigRevision.rig_id))
    .where(col(BandRig.band_id) == bindparam("band_id"), col(RigRevision.number) == _NUMBER.scalar_subquery())
)


@once
def of_band(db: Session, band_id: str) -> list[BandRig]:
    """The rigs of a band by name."""
    return rows_of(db, _ALL_OF_BAND, band_id=band_id)


@once
def get(db: Session, band_id: str, rig_id: str) -> BandRig | None:
    """A rig of the band."""
    return row_of(db, _ONE_OF_BAND, band_id=band_id, rig_id=rig_id)


def revisions(db: Session, rig_id: str, *, before: int = 0, most: int | None = None) -> list[RigRevision]:
    """The revisions of a rig (already allowed), the newest first; those before a number, at most some of them."""
    found = select(RigRevision).where(col(RigRevision.rig_id) == rig_id)
    found = found.where(col(RigRevision.number) < before) if before else found
    return list(db.exec(found.order_by(col(RigRevision.number).desc()).limit(most)))


def numbers(db: Session, rig_id: str, ids: Collection[str]) -> dict[str, int]:
    """The number of each of some revisions, as far as they are of a rig (already allowed), by its id."""
    found = select(RigRevision.id, RigRevision.number)
    return dict(db.exec(found.where(col(RigRevision.rig_id) == rig_id, col(RigRevision.id).in_(ids))).all())


@once
def newest(db: Session, rig_id: str) -> RigRevision:
    """The newest revision of a rig (already allowed). Every rig has one."""
    return rows_of(db, _NEWEST, rig_id=rig_id)[0]


@once
def newest_of_band(db: Session, band_id: str) -> list[tuple[BandRig, RigRevision]]:
    """The rigs of a band by name, each with its newest revision."""
    return rows_of(db, _NEWEST_OF_BAND, band_id=band_id)


def newest_numbers(db: Session, band_id: str) -> dict[str, tuple[str, int]]:
    """The id and number of the newest revision of each rig of a band, by the rig."""
    rows = rows_of(db, _NEWEST_NUMBERS, band_id=band_id)
    return {rig_id: (revision_id, number) for rig_id, revision_id, number in rows}


@once
def revision(db: Session, rig_id: str, number: int) -> RigRevision | None:
    """One revision of a rig (already allowed) by its number."""
    return row_of(db, _BY_NUMBER, rig_id=rig_id, number=number)


@once
def revision_of_gig(db: Session, rig_revision_id: str) -> RigRevision:
    """The revision that a gig or a plan (already allowed) names."""
    return rows_of(db, _OF_GIG, revision_id=rig_revision_id)[0]


def save(
    db: Session, stored: BandRig, *, version: int, name: str, rig: Rig, author_id: str, now: datetime
) -> RigRevision | None:
    """A new revision, if the rig is still at ``version``; ``None`` when somebody else saved meanwhile."""
    scopes.need(db, scopes.band(stored.band_id))
    changed = db.exec(
        update(BandRig)
        .where(col(BandRig.id) == stored.id, col(BandRig.version) == version)
        .values(version=version + 1, name=name)
    )
    if changed.rowcount != 1:
        return None
    number = newest(db, stored.id).number + 1
    made = RigRevision(rig_id=stored.id, number=number, document=write(rig), author_id=author_id, created=now)
    db.add(made)
    db.flush()
    return made
