"""A stage's sheet: read, changed, called true again, and erased."""

import logging
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.status.gig_status import ends
from portal.plan.input.questions import QUESTIONS
from portal.store import links as stored_links
from portal.store.database import scopes
from portal.store.database.session import Session
from portal.store.house import house_gigs, houses
from portal.store.house.houses import HouseStage, Line, StageFact
from portal.store.record import data_export, erasing
from portal.web.frame.deps import Db, Here, Now, Sent
from portal.web.frame.errors import NotThere
from portal.web.frame.forms import Check, begin, many_fields
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.web.house.fact_table import FactRow, entry_of, names_of, read_rows, row_of
from portal.web.house.house_access import AllowedHouse, TheHouse
from portal.wording.catalogue import gettext
from portal.wording.times import say_date

router = Screens()
log = logging.getLogger("portal.security")


@dataclass(frozen=True, kw_only=True)
class StageSheet(FormPage):
    """The sheet of a stage, every value in its field."""

    template: ClassVar[str] = "house/stage_sheet.html"
    house_id: str
    house: str
    stage_id: str
    confirmed: str
    rows: tuple[FactRow, ...]
    spec: str


@dataclass(frozen=True, kw_only=True)
class EraseStage(FormPage):
    """What erasing a stage does. ``kept``: signed gigs to come, which keep their contact until they are over; ``last``:
    the house goes with it.
    """

    template: ClassVar[str] = "house/erase_stage.html"
    house_id: str
    stage_id: str
    stage: str
    kept: tuple[str, ...]
    last: bool


@router.get("/houses/{house_id}/stages/{stage_id}")
def show_stage_sheet(request: Request, stage_id: str, house: TheHouse, db: Db) -> Response:
    """What the sheet says, who said it and when."""
    stage = _stage(db, house, stage_id)
    facts = houses.facts_of(db, stage.id)
    values = {
        name: entry_of(fact.topic, fact.state, fact.value) for name, fact in zip(_names(facts), facts, strict=True)
    }
    form = Draft.of({**values, "name": stage.name}, stage.version)
    return render(request, _page(db, house, stage, facts, form))


@router.post("/houses/{house_id}/stages/{stage_id}")
@many_fields
def save_stage_sheet(
    request: Request, stage_id: str, sent: Sent, house: TheHouse, portal: Here, db: Db, now: Now
) -> Response:
    """Save what was changed; all that the sheet then says is true today. An emptied field takes its line off."""
    stage = _stage(db, house, stage_id)
    version = sent.version()
    facts = houses.facts_of(db, stage.id)
    check = Check(sent)
    page = _page(db, house, stage, facts, Draft())
    name = check.text("name", gettext("Enter the name of the stage."), longest=80)
    if name in {one.name for one in houses.stages_of(db, house.house.id) if one.id != stage.id}:
        check.fault(
            "name", gettext("%(name)s has another stage of this name. Enter another one.", name=house.house.name)
        )
    if version != stage.version:
        check.fault(
            "name", gettext("Somebody changed this sheet meanwhile. Nothing was saved. Compare it and save again.")
        )
        return render(request, _page(db, house, stage, facts, check.draft(stage.version)), status=409)
    read = read_rows(check, page.rows, needed=False)
    if not check.well:
        return render(request, _page(db, house, stage, facts, check.draft(version)), status=422)
    once = begin(request, db, sent, actor=house.actor, key=portal.key, now=now)
    before = {(fact.topic, fact.state, fact.value): fact.link_id for fact in facts}
    lines = [Line(topic, one.state, one.value, before.get((topic, one.state, one.value))) for topic, one in read]
    houses.forget_topics(db, stage, tuple({fact.topic for fact in facts}))
    houses.save(db, stage, lines, now)
    houses.confirm(db, stage, now)
    houses.rename(db, stage, name)
    return once.done(path_to("show_house", house_id=house.house.id))


@router.get("/houses/{house_id}/stages/{stage_id}/erase")
def show_erase_stage(request: Request, stage_id: str, house: TheHouse, db: Db, now: Now) -> Response:
    """What erasing the stage does."""
    return render(request, _erase_page(db, house, _stage(db, house, stage_id), now, Draft()))


@router.post("/houses/{house_id}/stages/{stage_id}/erase")
def erase_stage(
    request: Request, stage_id: str, sent: Sent, house: TheHouse, portal: Here, db: Db, now: Now
) -> Response:
    """Erase the sheet with its text, and the house's words that it told to gigs. Plans and signatures stay."""
    stage = _stage(db, house, stage_id)
    check = Check(sent)
    check.choice("sure", ("yes",), gettext("Tick this, if you want it erased."))
    if not check.well:
        return render(request, _erase_page(db, house, stage, now, check.draft()), status=422)
    once = begin(request, db, sent, actor=house.actor, key=portal.key, now=now)
    scopes.take(db, scopes.EVERYTHING)
    touched = erasing.of_stage(db, stage, now, but=_signed_to_come(db, stage, now))
    request.state.erased = True
    log.info("stage erased house=%s gigs=%d", house.house.id, touched)
    left = houses.stages_of(db, house.house.id)
    return once.done(path_to("show_house", house_id=house.house.id) if left else path_to("home"))


def _stage(db: Session, house: AllowedHouse, stage_id: str) -> HouseStage:
    stage = houses.stage(db, house.house.id, stage_id)
    if stage is None:
        raise NotThere
    return stage


def _names(facts: Sequence[StageFact]) -> list[str]:
    return names_of(fact.topic for fact in facts)


def _page(db: Session, house: AllowedHouse, stage: HouseStage, facts: Sequence[StageFact], form: Draft) -> StageSheet:
    def row(name: str, fact: StageFact) -> FactRow:
        link = stored_links.by_id(db, fact.link_id) if fact.link_id else None
        on = say_date(fact.said.date())
        return row_of(
            name,
            fact.topic,
            note=(
                gettext("Said on %(date)s, by %(who)s.", date=on, who=link.label)
                if link
                else gettext("Said on %(date)s.", date=on)
            ),
            empty=gettext("Take it off"),
        )

    order = {key: place for place, key in enumerate(QUESTIONS)}
    rows = [row(name, fact) for name, fact in zip(_names(facts), facts, strict=True)]
    return StageSheet(
        title=f"{house.house.name}, {stage.name}",
        form=form,
        house_id=house.house.id,
        house=house.house.name,
        stage_id=stage.id,
        confirmed=say_date(stage.confirmed.date()),
        rows=tuple(sorted(rows, key=lambda one: order.get(one.topic, len(order)))),
        spec=stage.spec[:60_000],
    )


def _erase_page(db: Session, house: AllowedHouse, stage: HouseStage, now: datetime, form: Draft) -> EraseStage:
    signed = _signed_to_come(db, stage, now)
    kept = [one for one in house_gigs.to_come(db, stage.id, now) if one[0].id in signed]
    return EraseStage(
        title=gettext("Erase %(name)s", name=stage.name),
        form=form,
        house_id=house.house.id,
        stage_id=stage.id,
        stage=stage.name,
        kept=tuple(sorted(f"{act}, {say_date(gig.on)}" for gig, act in kept)),
        last=len(houses.stages_of(db, house.house.id)) == 1,
    )


def _signed_to_come(db: Session, stage: HouseStage, now: datetime) -> set[str]:
    """The gigs to come on which somebody's signature stands: both sides rely on what they say until they are over."""
    to_come = [gig.id for gig, _ in house_gigs.to_come(db, stage.id, now) if now < ends(gig)]
    return data_export.signed_gigs(db, to_come, data_export.Whose())
