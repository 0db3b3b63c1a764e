"""Gigs: date and minutes after that date's local midnight are the truth; the state is derived from events, never
stored.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from pydantic import TypeAdapter
from sqlalchemy import CheckConstraint, Index, Integer, Text, bindparam
from sqlmodel import Field, Session, col, select, update
from sqlmodel.sql.expression import SelectOfScalar

from portal.plan.input.line_up import AS_THE_RIG, LineUp
from portal.store.database import scopes
from portal.store.database.once import once, row_of, rows_of
from portal.store.database.readings import read_once
from portal.store.database.rows import Row, new_id
from portal.store.day import line_ups
from portal.store.record import events
from portal.store.rigs import RigRevision

TIMES = ("load-in", "sound-check", "doors", "changeover", "set", "curfew")
"""The times of a gig, in the order of the day."""

A_PAGE = 30
"""Gigs on one page of a list."""

NIGHT = timedelta(days=3)
"""A gig that is further from now than this is over, or to come, wherever it is and however late it ends."""

_MINUTES = TypeAdapter(dict[str, int])

_read_minutes = read_once(_MINUTES.validate_json)


class Gig(Row, table=True):
    """One gig of a band. ``rig_revision_id`` is the revision it is planned with until the band takes a newer one.
    ``contact``: who of the band is called on the day, by name and number. ``place_key``: the place as it is
    compared.
    """

    __table_args__ = (
        CheckConstraint("set_minutes IS NULL OR set_minutes > 0", name="set_minutes"),
        Index("ix_gig_band_id_on", "band_id", "on"),
        Index("ix_gig_band_id_place_key_on", "band_id", "place_key", "on"),
        Index("ix_gig_rig_id_on", "rig_id", "on"),
    )
    id: str = Field(default_factory=new_id, primary_key=True)
    band_id: str = Field(foreign_key="band.id")
    name: str
    place: str
    on: date
    time_zone: str
    times: str = Field(default="{}", sa_type=Text)
    set_minutes: int | None = None
    configuration: str = ""
    line_up: str = Field(default="", sa_type=Text, sa_column_kwargs={"server_default": ""})
    rig_id: str = Field(foreign_key="rig.id")
    rig_revision_id: str = Field(foreign_key="rig_revision.id")
    cancelled_at: datetime | None = None
    contact: str = Field(default="", sa_column_kwargs={"server_default": ""})
    place_key: str = Field(default="", sa_column_kwargs={"server_default": ""})
    version: int = 1
    created: datetime

    @property
    def minutes(self) -> Mapping[str, int]:
        """The known times as minutes after the date's local midnight; 1530 is half past one in the night after."""
        return _read_minutes(self.times)

    def read_line_up(self) -> LineUp:
        """In what the gig differs from its rig."""
        return line_ups.read(self.line_up)


@dataclass(frozen=True)
class GigWords:
    """What a gig's form holds. ``times`` as minutes after the date's local midnight, keys of ``TIMES``."""

    name: str
    place: str
    on: date
    time_zone: str
    times: Mapping[str, int]
    set_minutes: int | None
    configuration: str
    rig_id: str
    rig_revision_id: str
    contact: str = ""


def _columns(words: GigWords) -> dict[str, Any]:
    """What a gig's row holds of its form, by column."""
    return {
        "name": words.name,
        "place": words.place,
        "place_key": place_key(words.place),
        "on": words.on,
        "time_zone": words.time_zone,
        "times": write_times(words.times),
        "set_minutes": words.set_minutes,
        "configuration": words.configuration,
        "rig_id": words.rig_id,
        "rig_revision_id": words.rig_revision_id,
        "contact": words.contact,
    }


def words_of(gig: Gig) -> GigWords:
    """What a gig's form would hold of a stored gig."""
    return GigWords(
        gig.name,
        gig.place,
        gig.on,
        gig.time_zone,
        gig.minutes,
        gig.set_minutes,
        gig.configuration,
        gig.rig_id,
        gig.rig_revision_id,
        gig.contact,
    )


def write_times(times: Mapping[str, int]) -> str:
    """The times as the JSON that a gig holds, in the order of the day."""
    return _MINUTES.dump_json({key: times[key] for key in TIMES if key in times}).decode()


def add(db: Session, band_id: str, words: GigWords, now: datetime, *, actor: str, line_up: LineUp = AS_THE_RIG) -> Gig:
    """A new gig."""
    scopes.need(db, scopes.band(band_id))
    gig = Gig(
        band_id=band_id,
        **_columns(words),
        line_up=line_ups.write(line_up),
        created=now,
    )
    db.add(gig)
    db.flush()
    scopes.own(db, scopes.gig(gig.id))
    events.append(db, gig_id=gig.id, kind="gig-made", party="band", actor=actor, now=now)
    return gig


_ALL = (
    select(Gig)
    .where(col(Gig.band_id) == bindparam("band_id"))
    .order_by(col(Gig.on).desc(), col(Gig.id))
    .limit(bindparam("most", type_=Integer))
)
_PAGE = bindparam("at", type_=Integer)
_COMING = (
    select(Gig)
    .where(col(Gig.band_id) == bindparam("band_id"), col(Gig.on) >= bindparam("day"), col(Gig.cancelled_at).is_(None))
    .order_by(col(Gig.on), col(Gig.id).desc())
    .offset(_PAGE)
    .limit(A_PAGE + 1)
)
_GONE = (
    select(Gig)
    .where(
        col(Gig.band_id) == bindparam("band_id"),
        (col(Gig.on) <= bindparam("day")) | col(Gig.cancelled_at).is_not(None),
    )
    .order_by(col(Gig.on).desc(), col(Gig.id))
    .offset(_PAGE)
    .limit(A_PAGE + 1)
)


@once
def of_band(db: Session, band_id: str, most: int = 2**31 - 1) -> list[Gig]:
    """The gigs of a band by date, the next to come last in time first; at most some of them."""
    return rows_of(db, _ALL, band_id=band_id, most=most)


def coming(db: Session, band_id: str, now: datetime, page: int = 0) -> list[Gig]:
    """The gigs of a band that are not cancelled and may not be over yet, by date: one page of them, and one more where
    there are more.
    """
    return rows_of(db, _COMING, band_id=band_id, day=(now - NIGHT).date(), at=page * A_PAGE)


def gone(db: Session, band_id: str, now: datetime, page: int = 0) -> list[Gig]:
    """The gigs of a band that are cancelled or may be over, the last one first: one page of them, and one more where
    there are more.
    """
    return rows_of(db, _GONE, band_id=band_id, day=(now + NIGHT).date(), at=page * A_PAGE)


def made_last(db: Session, band_id: str, but: str) -> Gig | None:
    """The gig that a band made last, but one of them."""
    others = select(Gig).where(col(Gig.band_id) == band_id, col(Gig.id) != but)
    return db.exec(others.order_by(col(Gig.created).desc(), col(Gig.id)).limit(1)).one_or_none()


_OF_RIG = (
    select(Gig, RigRevision.number)
    .join(RigRevision, col(RigRevision.id) == col(Gig.rig_revision_id))
    .where(col(Gig.rig_id) == bindparam("rig_id"), col(Gig.on) >= bindparam("since"))
    .order_by(col(Gig.on).desc(), col(Gig.id))
    .limit(A_PAGE)
)


def of_rig(db: Session, rig_id: str, *, since: date = date.min) -> list[tuple[Gig, int]]:
    """The gigs that a rig (already allowed) plays from a day on, the last one first, each with the number of the
    revision that it is planned with; one page of them.
    """
    return rows_of(db, _OF_RIG, rig_id=rig_id, since=since)


def played(db: Session, rig_id: str, first: date, last: date) -> list[Gig]:
    """The gigs that a rig (already allowed) plays from a day to another, cancelled ones left out, by date."""
    ids = ids_played(rig_id, first, last)
    return list(db.exec(select(Gig).where(col(Gig.id).in_(ids)).order_by(col(Gig.on), col(Gig.id))))


def ids_played(rig_id: str, first: date, last: date) -> SelectOfScalar[str]:
    """What selects the ids of the same gigs."""
    days = (col(Gig.on) >= first, col(Gig.on) <= last)
    return select(Gig.id).where(col(Gig.rig_id) == rig_id, *days, col(Gig.cancelled_at).is_(None))


def since(db: Session, band_id: str, day: date) -> list[Gig]:
    """The gigs of a band from a day on, by date."""
    found = select(Gig).where(col(Gig.band_id) == band_id, col(Gig.on) >= day)
    return list(db.exec(found.order_by(col(Gig.on), col(Gig.id))))


def ids_since(band_id: str, day: date) -> SelectOfScalar[str]:
    """What selects the ids of the same gigs."""
    return select(Gig.id).where(col(Gig.band_id) == band_id, col(Gig.on) >= day)


def between(db: Session, first: date, last: date) -> list[Gig]:
    """The gigs of every band from a day to another that are not cancelled, by date."""
    days = (col(Gig.on) >= first, col(Gig.on) <= last, col(Gig.cancelled_at).is_(None))
    return list(db.exec(select(Gig).where(*days).order_by(col(Gig.on), col(Gig.id))))


_AT_PLACE = (
    select(Gig)
    .where(
        col(Gig.band_id) == bindparam("band_id"),
        col(Gig.place_key) == bindparam("place_key"),
        col(Gig.id) != bindparam("but"),
    )
    .order_by(col(Gig.on).desc(), col(Gig.id))
    .limit(bindparam("most", type_=Integer))
)


def at_place(db: Session, gig: Gig, most: int) -> list[Gig]:
    """The band's other gigs at the place of a gig (already allowed), whatever blanks and capitals it was written with;
    the newest first, at most some of them.
    """
    return rows_of(db, _AT_PLACE, band_id=gig.band_id, place_key=place_key(gig.place), but=gig.id, most=most)


def place_key(place: str) -> str:
    """A place as it is compared: letters and digits only, none of them capital."""
    return "".join(filter(str.isalnum, place.casefold()))


def names_of(db: Session, band_id: str, ids: Collection[str]) -> dict[str, str]:
    """Name and place of each of some gigs of a band, by its id."""
    found = select(Gig.id, Gig.name, Gig.place).where(col(Gig.band_id) == band_id, col(Gig.id).in_(ids))
    return {gig_id: f"{name}, {place}" for gig_id, name, place in db.exec(found)}


_OF_BAND = select(Gig).where(col(Gig.band_id) == bindparam("band_id"), col(Gig.id) == bindparam("gig_id"))
_OF_LINK = select(Gig).where(col(Gig.id) == bindparam("gig_id"))


@once
def get(db: Session, band_id: str, gig_id: str) -> Gig | None:
    """A gig of the band."""
    return row_of(db, _OF_BAND, band_id=band_id, gig_id=gig_id)


@once
def of_link(db: Session, gig_id: str) -> Gig:
    """The gig that a link (already allowed) is for."""
    return rows_of(db, _OF_LINK, gig_id=gig_id)[0]


def _told(gig: Gig) -> dict[str, str]:
    """What the history says of a gig, by column; a known time as minutes after the date's local midnight. It never
    holds who is called: that can be erased.
    """
    return {
        "name": gig.name,
        "place": gig.place,
        "on": gig.on.isoformat(),
        "time_zone": gig.time_zone,
        **{f"time-{key}": str(gig.minutes[key]) if key in gig.minutes else "" for key in TIMES},
        "set_minutes": str(gig.set_minutes or ""),
        "configuration": gig.configuration,
        "rig_revision": gig.rig_revision_id,
    }


def save(
    db: Session, gig: Gig, version: int, words: GigWords, now: datetime, *, actor: str, party: str = "band"
) -> bool:
    """Change a gig, if it is still at ``version``; false when somebody else saved meanwhile. A gig that changed is read
    anew.
    """
    scopes.need(db, scopes.gig(gig.id))
    before = _told(gig)
    changed = db.exec(
        update(Gig)
        .where(col(Gig.id) == gig.id, col(Gig.version) == version)
        .values(**_columns(words), version=version + 1)
    )
    if changed.rowcount != 1:
        return False
    db.refresh(gig)
    after = _told(gig)
    changes = tuple((field, before[field], after[field]) for field in after if before[field] != after[field])
    if changes:
        events.append(db, gig_id=gig.id, kind="gig-changed", party=party, actor=actor, now=now, changes=changes)
    return True


def set_line_up(  # noqa: PLR0913 - what it was and becomes, who and when
    db: Session,
    gig: Gig,
    version: int,
    line_up: LineUp,
    configuration: str,
    differs: tuple[str, str],
    now: datetime,
    *,
    actor: str,
) -> bool:
    """Keep who plays at a gig, if it is still at ``version``; false when somebody else saved meanwhile. ``differs``:
    in what it differed from the rig before and does now, as keys and names.
    """
    scopes.need(db, scopes.gig(gig.id))
    before = gig.configuration
    changed = db.exec(
        update(Gig)
        .where(col(Gig.id) == gig.id, col(Gig.version) == version)
        .values(line_up=line_ups.write(line_up), configuration=configuration, version=version + 1)
    )
    if changed.rowcount != 1:
        return False
    db.refresh(gig)
    told = (("configuration", before, configuration), ("line_up", *differs))
    if changes := tuple(one for one in told if one[1] != one[2]):
        events.append(db, gig_id=gig.id, kind="gig-changed", party="band", actor=actor, now=now, changes=changes)
    return True


def cancel(db: Session, gig: Gig, version: int, now: datetime, *, actor: str) -> bool:
    """Cancel a gig, if it is still at ``version``."""
    scopes.need(db, scopes.gig(gig.id))
    changed = db.exec(
        update(Gig)
        .where(col(Gig.id) == gig.id, col(Gig.version) == version)
        .values(cancelled_at=now, version=version + 1)
    )
    if changed.rowcount == 1:
        events.append(db, gig_id=gig.id, kind="gig-cancelled", party="band", actor=actor, now=now)
    return changed.rowcount == 1
