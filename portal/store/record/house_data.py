"""What a house keeps here, gathered to be taken along."""

from dataclasses import dataclass
from datetime import datetime

from pydantic import TypeAdapter
from sqlmodel import Session

from portal.plan.input.answer_kinds import Value
from portal.store.emails import addresses
from portal.store.house import house_gigs, houses
from portal.store.house.houses import House


@dataclass(frozen=True)
class SheetLine:
    """One line of a sheet, by the key of its topic."""

    topic: str
    state: str
    value: Value | None
    said: datetime


@dataclass(frozen=True)
class StageData:
    """One stage: its sheet, the text that it was read from, and the gigs that were played or are to come."""

    name: str
    confirmed: datetime
    sheet: tuple[SheetLine, ...]
    own_spec: str
    gigs: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True)
class HouseData:
    """One house. Its key is kept as a hash that leads back to nothing, and is left out. ``email_language`` is empty
    where nobody said and nobody has read.
    """

    name: str
    since: datetime
    email: str
    email_language: str
    stages: tuple[StageData, ...]


_HOUSE = TypeAdapter(HouseData)


def of(db: Session, house: House) -> HouseData:
    """Everything of a house (already allowed)."""
    tied = house_gigs.of_house(db, house.id)
    given = addresses.address_of(db, f"house:{house.id}")
    return HouseData(
        name=house.name,
        since=house.created,
        email=given.address if given else "",
        email_language=given.language if given else "",
        stages=tuple(
            StageData(
                name=stage.name,
                confirmed=stage.confirmed,
                sheet=tuple(
                    SheetLine(fact.topic, fact.state, fact.value, fact.said) for fact in houses.facts_of(db, stage.id)
                ),
                own_spec=stage.spec,
                gigs=tuple((one.gig.on.isoformat(), one.act, one.gig.name) for one in tied if one.stage.id == stage.id),
            )
            for stage in houses.stages_of(db, house.id)
        ),
    )


def write(data: HouseData) -> bytes:
    """What a house keeps as JSON that people can read."""
    return _HOUSE.dump_json(data, indent=2)
