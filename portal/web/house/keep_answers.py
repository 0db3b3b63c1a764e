"""What a house answered for one gig is kept for the next band: on a stage's sheet, under the house's key."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.house_sheet import BOX, KEPT, NIGHT
from portal.plan.input.facts import Answer
from portal.store import answers
from portal.store.database import scopes
from portal.store.database.session import Session
from portal.store.house import house_gigs, house_specs, houses
from portal.store.house.house_specs import GigSpec
from portal.store.house.houses import House, HouseStage, Line
from portal.web.frame.access import new_token, token_hash
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.errors import NotThere
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.web.house.fact_table import read_rows, row_of
from portal.web.house.house_access import AllowedHouse, remembered_stages
from portal.web.house.house_area import new_key_page
from portal.wording.catalogue import gettext

router = Screens()

NEW = "new"
"""The choice of a house that has no key yet."""


@dataclass(frozen=True, kw_only=True)
class KeepPage(FormPage):
    """Where the answers are kept: on a stage that is there, on another stage of a house, or under a new house."""

    template: ClassVar[str] = "house/keep_answers.html"
    action: str
    base: str
    gig_name: str
    where: tuple[tuple[str, str], ...]
    count: int


@router.get("/house/{gig_id}/keep")
def show_keep(request: Request, gig: TheGig, portal: Here, db: Db, now: Now) -> Response:
    """The form, filled with what is known: the stage that the gig is tied to, the place, the box as it was said."""
    gig.need("answer")
    known = remembered_stages(request, db, portal, now)
    tied = house_gigs.stage_of(db, gig.gig.id)
    spec = house_specs.get(db, gig.gig.id)
    values = {
        "where": tied.id if tied and tied.id in {stage.id for _, stage in known} else NEW,
        "house": gig.gig.place[:80],
        "stage": gettext("Main stage"),
        BOX: str(_confirmed(spec, BOX) or ""),
        KEPT: str(_confirmed(spec, KEPT) or ""),
    }
    return render(request, _page(db, gig, known, Draft.of(values)))


@router.post("/house/{gig_id}/keep")
def keep_answers(request: Request, sent: Sent, gig: TheGig, portal: Here, db: Db, now: Now) -> Response:
    """Keep the answers. A new house gets its key, which is shown this once."""
    gig.need("answer")
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    known = remembered_stages(request, db, portal, now)
    check = Check(sent)
    page = _page(db, gig, known, Draft())
    where = check.choice("where", tuple(value for value, _ in page.where), gettext("Choose where to keep the answers."))
    stage = next((stage for _, stage in known if stage.id == where), None)
    house = next((house for house, _ in known if house.id == where), None)
    name = check.text("house", gettext("Enter the name of the house."), longest=80) if where == NEW else ""
    stage_name = "" if stage else check.text("stage", gettext("Enter the name of the stage."), longest=80)
    if house and stage_name in {one.name for other, one in known if other.id == house.id}:
        check.fault(
            "stage",
            gettext("%(name)s has a stage of this name. Choose it above, or enter another name.", name=house.name),
        )
    rows = [row_of(topic, topic) for topic in (BOX, KEPT)]
    box = [Line(topic, one.state, one.value, gig.link_id) for topic, one in read_rows(check, rows, needed=False)]
    if not check.well:
        return render(request, _page(db, gig, known, check.draft()), status=422)
    key = ""
    if known_house := stage.house_id if stage else house.id if house else "":
        scopes.take(db, scopes.house(known_house))
    if stage is None:
        if house is None:
            key = new_token()
            house = houses.make(db, name, token_hash(key), now)
        stage = houses.add_stage(db, house.id, stage_name, now)
    _keep(db, gig, stage, box, now)
    if not key:
        return once.done(path_to("show_stage_sheet", house_id=stage.house_id, stage_id=stage.id))
    once.done(path_to("show_house", house_id=stage.house_id))
    return new_key_page(request, portal, _allowed(db, stage), key, now)


def _keep(db: Session, gig: AllowedGig, stage: HouseStage, box: list[Line], now: datetime) -> None:
    spec = house_specs.get(db, gig.gig.id)
    lines = [*_lines(db, gig, spec), *box]
    houses.save(db, stage, lines, now)
    houses.confirm(db, stage, now)
    if spec is not None:
        houses.keep_spec(db, stage, spec.text)
    house_gigs.tie(db, gig.gig.id, stage.id, gig.link_id or "", now)


def _lines(db: Session, gig: AllowedGig, spec: GigSpec | None) -> Iterator[Line]:
    """What the house itself said and what holds on other nights too."""
    for key, answer in _said(db, gig).items():
        yield Line(key, answer.state, answer.value, gig.link_id)
    for one in spec.read_confirmed() if spec else ():
        if one.topic not in (BOX, KEPT):
            yield Line(one.topic, "answered", one.value, gig.link_id)


def _said(db: Session, gig: AllowedGig) -> dict[str, Answer]:
    found = {}
    for row in answers.newest(db, gig.gig.id):
        answer = row.read()
        if answer and row.party == "house" and answer.state != "unknown" and row.question not in NIGHT:
            found[row.question] = answer
    return found


def _confirmed(spec: GigSpec | None, topic: str) -> str:
    values = [str(one.value) for one in spec.read_confirmed() if one.topic == topic] if spec else []
    return ", ".join(values)


def _allowed(db: Session, stage: HouseStage) -> AllowedHouse:
    house = houses.by_id(db, stage.house_id)
    if house is None:
        raise NotThere
    return AllowedHouse(house, f"house:{house.id}")


def _page(db: Session, gig: AllowedGig, known: list[tuple[House, HouseStage]], form: Draft) -> KeepPage:
    there = [
        (stage.id, gettext("%(house)s, %(stage)s: bring it up to date", house=house.name, stage=stage.name))
        for house, stage in known
    ]
    others = {house.id: gettext("%(name)s: another stage", name=house.name) for house, _ in known}
    return KeepPage(
        title=gettext("Keep these answers for the next band"),
        form=form,
        action=path_to("show_keep", gig.base),
        base=gig.base,
        gig_name=gig.gig.name,
        where=(*there, *others.items(), (NEW, gettext("A new house"))),
        count=len(_said(db, gig)),
    )
