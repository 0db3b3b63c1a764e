"""Comparisons of rigs over a year: what is compared, and the cells that were worked out of it. Neither is signed; cells
may be made anew.
"""

from collections.abc import Collection
from datetime import datetime

from sqlalchemy import CheckConstraint, Text
from sqlmodel import Field, Session, col, delete, func, select, update

from portal.store.database import scopes
from portal.store.database.rows import Row, new_id

MOST = 20
"""Comparisons that a band may keep."""


class Comparison(Row, table=True):
    """A year and the candidates for it. ``basis``: the year's rooms as they were taken, gigs by their ids;
    ``candidates``: the changes of each. ``version`` counts changes; ``worked`` is the one that the cells answer, by the
    rules ``engine``; ``needed`` of the problems it takes, as far as that is known.
    """

    __table_args__ = (CheckConstraint("version >= 1", name="version"),)
    id: str = Field(default_factory=new_id, primary_key=True)
    band_id: str = Field(foreign_key="band.id", index=True)
    rig_id: str = Field(foreign_key="rig.id")
    rig_revision_id: str = Field(foreign_key="rig_revision.id")
    author_id: str = Field(foreign_key="user.id")
    basis: str = Field(sa_type=Text)
    candidates: str = Field(sa_type=Text)
    version: int = 1
    worked: int = 0
    engine: str = ""
    needed: int = 0
    created: datetime


class ComparisonCell(Row, table=True):
    """What one problem came to: ``kind`` is cell or range; ``key`` the digest of the problem."""

    __tablename__ = "comparison_cell"
    comparison_id: str = Field(primary_key=True, foreign_key="comparison.id")
    kind: str = Field(primary_key=True)
    key: str = Field(primary_key=True)
    engine: str = Field(primary_key=True)
    document: str = Field(sa_type=Text)


def add(db: Session, made: Comparison) -> None:
    """Keep a new comparison."""
    scopes.need(db, scopes.band(made.band_id))
    db.add(made)
    db.flush()


def of_band(db: Session, band_id: str) -> list[Comparison]:
    """The comparisons of a band, the newest first."""
    return list(
        db.exec(
            select(Comparison)
            .where(col(Comparison.band_id) == band_id)
            .order_by(col(Comparison.created).desc(), col(Comparison.id))
        )
    )


def get(db: Session, band_id: str, comparison_id: str) -> Comparison | None:
    """A comparison of the band."""
    return db.exec(
        select(Comparison).where(col(Comparison.band_id) == band_id, col(Comparison.id) == comparison_id)
    ).one_or_none()


def by_id(db: Session, comparison_id: str) -> Comparison | None:
    """A comparison (already allowed)."""
    return db.get(Comparison, comparison_id)


def change(db: Session, row: Comparison, version: int, **values: str) -> bool:
    """Change what is compared, if it is still at ``version``; false when somebody else changed it meanwhile."""
    scopes.need(db, scopes.band(row.band_id))
    changed = db.exec(
        update(Comparison)
        .where(col(Comparison.id) == row.id, col(Comparison.version) == version)
        .values(version=version + 1, needed=0, **values)
    )
    if changed.rowcount == 1:
        db.refresh(row)
    return bool(changed.rowcount == 1)


def due(db: Session, engine: str) -> list[str]:
    """The comparisons that have to be worked out: whichever got least so far first, then the oldest."""
    got = select(func.count()).where(
        col(ComparisonCell.comparison_id) == col(Comparison.id), col(ComparisonCell.engine) == engine
    )
    return list(
        db.exec(
            select(Comparison.id)
            .where((col(Comparison.worked) != col(Comparison.version)) | (col(Comparison.engine) != engine))
            .order_by(got.scalar_subquery(), col(Comparison.created), col(Comparison.id))
        )
    )


def cells(db: Session, comparison_id: str, kind: str, engine: str) -> dict[str, str]:
    """What was worked out, by the digests of the problems."""
    rows = db.exec(
        select(ComparisonCell.key, ComparisonCell.document).where(
            col(ComparisonCell.comparison_id) == comparison_id,
            col(ComparisonCell.kind) == kind,
            col(ComparisonCell.engine) == engine,
        )
    )
    return dict(rows.all())


def keep(db: Session, row: Comparison, kind: str, engine: str, key: str, document: str) -> None:
    """Keep what one problem of a comparison as it is now came to; the first time counts."""
    scopes.need(db, scopes.band(row.band_id))
    if db.get(ComparisonCell, (row.id, kind, key, engine)) is None:
        db.add(ComparisonCell(comparison_id=row.id, kind=kind, key=key, engine=engine, document=document))
        db.flush()


def count_needed(db: Session, row: Comparison, needed: int) -> None:
    """Note how many problems there are."""
    scopes.need(db, scopes.band(row.band_id))
    db.exec(
        update(Comparison)
        .where(col(Comparison.id) == row.id, col(Comparison.version) == row.version)
        .values(needed=needed)
    )


def settle(db: Session, row: Comparison, engine: str, wanted: Collection[str]) -> bool:
    """Note that a version is worked out, and forget what it has no use for; false where it has changed meanwhile."""
    scopes.need(db, scopes.band(row.band_id))
    settled = db.exec(
        update(Comparison)
        .where(col(Comparison.id) == row.id, col(Comparison.version) == row.version)
        .values(worked=row.version, engine=engine)
    )
    if settled.rowcount != 1:
        return False
    stale = (col(ComparisonCell.engine) != engine) | col(ComparisonCell.key).not_in(wanted)
    db.exec(delete(ComparisonCell).where(col(ComparisonCell.comparison_id) == row.id, stale))
    return True


def erase(db: Session, row: Comparison) -> None:
    """Erase a comparison and all that was worked out of it."""
    scopes.need(db, scopes.band(row.band_id))
    db.exec(delete(ComparisonCell).where(col(ComparisonCell.comparison_id) == row.id))
    db.exec(delete(Comparison).where(col(Comparison.id) == row.id))


def erase_of_band(db: Session, band_id: str) -> int:
    """Erase every comparison of a band; how many there were."""
    scopes.need(db, scopes.band(band_id))
    found = of_band(db, band_id)
    for one in found:
        erase(db, one)
    return len(found)


def count_of_band(db: Session, band_id: str) -> int:
    """How many comparisons a band keeps."""
    return db.exec(select(func.count()).where(col(Comparison.band_id) == band_id)).one()
