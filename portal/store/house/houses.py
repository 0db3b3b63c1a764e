"""Houses, their stages, and what stays the same on a stage from gig to gig. The house key opens a house; only its hash
is kept.

A stage sheet changes freely: what a band was told stands in the answers of its own gig.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from pydantic import TypeAdapter
from sqlalchemy import Text, bindparam
from sqlmodel import Field, Session, col, delete, select, update

from portal.plan.input.answer_kinds import Value
from portal.store.database import scopes
from portal.store.database.once import once, row_of
from portal.store.database.rows import Row, new_id


class House(Row, table=True):
    """A house. Two may bear the same name: the key tells them apart."""

    id: str = Field(default_factory=new_id, primary_key=True)
    name: str
    key_hash: str = Field(unique=True)
    key_made: datetime
    created: datetime


class HouseStage(Row, table=True):
    """A stage of a house. ``spec`` is the text that its sheet was read from; ``confirmed``: all of it was true then.

    ``used`` is when it last answered a gig or was changed; ``version`` counts the changes of its sheet.
    """

    __tablename__ = "house_stage"
    id: str = Field(default_factory=new_id, primary_key=True)
    house_id: str = Field(foreign_key="house.id", index=True)
    name: str
    spec: str = Field(default="", sa_type=Text)
    confirmed: datetime
    used: datetime
    version: int = 1
    created: datetime


@dataclass(frozen=True)
class _Said:
    state: str
    value: Value | None = None


_SAID = TypeAdapter(_Said)


class StageFact(Row, table=True):
    """One line of a stage sheet: a question or a fact without one. ``place`` tells several values of one topic apart;
    ``link_id``: who said it, where it came from a gig.
    """

    __tablename__ = "stage_fact"
    stage_id: str = Field(foreign_key="house_stage.id", primary_key=True)
    topic: str = Field(primary_key=True)
    place: int = Field(primary_key=True)
    given: str = Field(sa_type=Text)
    link_id: str | None = Field(default=None, foreign_key="link.id")
    said: datetime

    @property
    def state(self) -> str:
        """The state of the answer: answered, or does not apply."""
        return _SAID.validate_json(self.given).state

    @property
    def value(self) -> Value | None:
        """The value; ``None`` where it does not apply."""
        return _SAID.validate_json(self.given).value


@dataclass(frozen=True)
class Line:
    """One line for a sheet; ``link_id``: by which link it was said, if by one."""

    topic: str
    state: str
    value: Value | None
    link_id: str | None = None


def make(db: Session, name: str, key_hash: str, now: datetime) -> House:
    """A new house with its key."""
    house = House(name=name, key_hash=key_hash, key_made=now, created=now)
    scopes.own(db, scopes.house(house.id))
    db.add(house)
    db.flush()
    return house


_BY_ID = select(House).where(col(House.id) == bindparam("house_id"))


@once
def by_id(db: Session, house_id: str) -> House | None:
    """The house that a browser remembers."""
    return row_of(db, _BY_ID, house_id=house_id)


def by_key_hash(db: Session, key_hash: str) -> House | None:
    """The house that a key opens."""
    return db.exec(select(House).where(col(House.key_hash) == key_hash)).one_or_none()


def replace_key(db: Session, house: House, key_hash: str, now: datetime) -> None:
    """Give a house (already allowed) a new key. The old one, and the browsers that remember it, end with it."""
    scopes.need(db, scopes.house(house.id))
    db.exec(update(House).where(col(House.id) == house.id).values(key_hash=key_hash, key_made=now))
    db.refresh(house)


def stages_of(db: Session, house_id: str) -> list[HouseStage]:
    """The stages of a house (already allowed), by name."""
    return list(
        db.exec(
            select(HouseStage)
            .where(col(HouseStage.house_id) == house_id)
            .order_by(col(HouseStage.name), col(HouseStage.created))
        )
    )


def stage(db: Session, house_id: str, stage_id: str) -> HouseStage | None:
    """A stage of a house (already allowed)."""
    return db.exec(
        select(HouseStage).where(col(HouseStage.house_id) == house_id, col(HouseStage.id) == stage_id)
    ).one_or_none()


def add_stage(db: Session, house_id: str, name: str, now: datetime) -> HouseStage:
    """A new stage of a house (already allowed), with nothing on its sheet."""
    scopes.need(db, scopes.house(house_id))
    made = HouseStage(house_id=house_id, name=name, confirmed=now, used=now, created=now)
    db.add(made)
    db.flush()
    return made


def facts_of(db: Session, stage_id: str) -> list[StageFact]:
    """The sheet of a stage (already allowed), several values of a topic in their order."""
    return list(
        db.exec(
            select(StageFact)
            .where(col(StageFact.stage_id) == stage_id)
            .order_by(col(StageFact.topic), col(StageFact.place))
        )
    )


def save(db: Session, kept: HouseStage, lines: Iterable[Line], now: datetime) -> None:
    """Put lines on the sheet of a stage (already allowed), in place of those of the same topics."""
    scopes.need(db, scopes.house(kept.house_id))
    by_topic: dict[str, list[Line]] = {}
    for line in lines:
        by_topic.setdefault(line.topic, []).append(line)
    forget_topics(db, kept, tuple(by_topic))
    for topic, several in by_topic.items():
        for place, line in enumerate(several):
            given = _SAID.dump_json(_Said(line.state, line.value)).decode()
            db.add(StageFact(stage_id=kept.id, topic=topic, place=place, given=given, link_id=line.link_id, said=now))
    db.flush()
    _change(db, kept, used=now, version=col(HouseStage.version) + 1)


def confirm(db: Session, kept: HouseStage, now: datetime) -> None:
    """Note that all of a sheet (already allowed) is true now."""
    scopes.need(db, scopes.house(kept.house_id))
    db.exec(update(StageFact).where(col(StageFact.stage_id) == kept.id).values(said=now))
    _change(db, kept, confirmed=now, used=now)


def keep_spec(db: Session, kept: HouseStage, text: str) -> None:
    """Keep the text that a sheet (already allowed) was read from."""
    scopes.need(db, scopes.house(kept.house_id))
    _change(db, kept, spec=text)


def rename(db: Session, kept: HouseStage, name: str) -> None:
    """Give a stage (already allowed) another name."""
    scopes.need(db, scopes.house(kept.house_id))
    _change(db, kept, name=name)


def forget_topics(db: Session, kept: HouseStage, topics: Sequence[str]) -> None:
    """Take topics off the sheet of a stage (already allowed)."""
    scopes.need(db, scopes.house(kept.house_id))
    db.exec(delete(StageFact).where(col(StageFact.stage_id) == kept.id, col(StageFact.topic).in_(topics)))


def unused(db: Session, before: datetime) -> list[HouseStage]:
    """The stages that nobody has used since a moment."""
    return list(db.exec(select(HouseStage).where(col(HouseStage.used) < before)))


def erase_stage(db: Session, kept: HouseStage) -> None:
    """Delete a stage (already allowed) with its sheet, and the house with its last stage."""
    scopes.need(db, scopes.house(kept.house_id))
    db.exec(delete(StageFact).where(col(StageFact.stage_id) == kept.id))
    db.exec(delete(HouseStage).where(col(HouseStage.id) == kept.id))
    if not stages_of(db, kept.house_id):
        db.exec(delete(House).where(col(House.id) == kept.house_id))


def _change(db: Session, kept: HouseStage, **columns: object) -> None:
    db.exec(update(HouseStage).where(col(HouseStage.id) == kept.id).values(**columns))
    db.refresh(kept)
