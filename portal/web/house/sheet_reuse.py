"""The next band's questions are answered from a stage's sheet: only what belongs to the night, and what is old, is
asked.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import ClassVar

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from portal.advance.house_sheet import Asked, ForGig, for_gig
from portal.advance.planning import want
from portal.store import answers
from portal.store.accounts import bands
from portal.store.answers import Before
from portal.store.database import scopes
from portal.store.database.session import Session
from portal.store.house import house_gigs, houses
from portal.store.house.houses import House, HouseStage, Line, StageFact
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.errors import NotThere
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.web.frame.running import Portal
from portal.web.house.fact_table import FactRow, entry_of, label_of, read_rows, row_of, words_for
from portal.web.house.house_access import remembered_stages
from portal.web.questions.answering import Sheet, give, sheet_of
from portal.wording.catalogue import gettext, look_up, mark
from portal.wording.times import say_date

router = Screens()

WHY = {
    "night": ("", ""),
    "old": ("asks", mark("older than a year")),
    "new": ("asks", mark("not on the sheet yet")),
    "other": ("asks", mark("the band says otherwise")),
}
"""Why a line is asked: the kind of its mark, and its words."""


@dataclass(frozen=True, kw_only=True)
class ChooseStage(FormPage):
    """The stages that this browser can answer for."""

    template: ClassVar[str] = "house/choose_stage.html"
    base: str
    gig_name: str
    action: str
    stages: tuple[tuple[str, str], ...]


@dataclass(frozen=True, kw_only=True)
class ForTheNight(FormPage):
    """What is asked for the night, and what the sheet says: label, value and age of each line."""

    template: ClassVar[str] = "house/for_the_night.html"
    base: str
    action: str
    band: str
    when: str
    stage: str
    sheet_href: str
    seen: str
    asked: tuple[FactRow, ...]
    told: tuple[tuple[str, str, str], ...]
    others: bool


def stage_words(house: House, stage: HouseStage) -> str:
    """A stage as it is offered."""
    return gettext(
        "%(name)s, %(name2)s (confirmed %(date)s)",
        name=house.name,
        name2=stage.name,
        date=say_date(stage.confirmed.date()),
    )


@router.get("/house/{gig_id}/sheet")
def show_for_the_night(request: Request, gig: TheGig, portal: Here, db: Db, now: Now) -> Response:
    """What the sheet answers, and what is asked. The way to the choice of a stage where the gig is tied to none."""
    gig.need("answer")
    known = remembered_stages(request, db, portal, now)
    stage = _stage(db, gig, known)
    if stage is None:
        return RedirectResponse(path_to("show_choose_stage", gig.base), 303)
    sheet = sheet_of(db, gig.gig, "house")
    found = _for_gig(db, sheet, stage, now)
    values = {one.key: entry_of(one.key, one.proposed.state, one.proposed.value) for one in found.asked if one.proposed}
    return render(request, _page(db, gig, stage, sheet, found, Draft.of(values, stage.version), others=len(known) > 1))


@router.get("/house/{gig_id}/sheet/stage")
def show_choose_stage(request: Request, gig: TheGig, portal: Here, db: Db, now: Now) -> Response:
    """The stages of the houses whose keys this browser has."""
    gig.need("answer")
    page = ChooseStage(
        title=gettext("Answer from a stage sheet"),
        form=Draft(),
        base=gig.base,
        gig_name=gig.gig.name,
        action=path_to("choose_stage", gig.base),
        stages=tuple(
            (stage.id, stage_words(house, stage)) for house, stage in remembered_stages(request, db, portal, now)
        ),
    )
    return render(request, page)


@router.post("/house/{gig_id}/sheet/stage")
def choose_stage(request: Request, sent: Sent, gig: TheGig, portal: Here, db: Db, now: Now) -> Response:
    """Tie the gig to a stage of a house that this browser remembers. It tells the band nothing, and twice does no
    harm.
    """
    gig.need("answer")
    stage_id = sent.text("stage")
    if not stage_id:
        return RedirectResponse(path_to("show_choose_stage", gig.base), 303)
    tie_to(request, portal, db, gig.gig.id, gig.link_id or "", stage_id, now)
    return RedirectResponse(path_to("show_for_the_night", gig.base), 303)


@router.post("/house/{gig_id}/sheet")
def send_from_sheet(request: Request, sent: Sent, gig: TheGig, portal: Here, db: Db, now: Now) -> Response:
    """Answer with all that the page showed, send it to the band, and note on the sheet that it is still true."""
    gig.need("answer")
    version = sent.version()
    known = remembered_stages(request, db, portal, now)
    stage = _stage(db, gig, known)
    if stage is None:
        raise NotThere
    scopes.take(db, scopes.house(stage.house_id))
    sheet = sheet_of(db, gig.gig, "house")
    found = _for_gig(db, sheet, stage, now)
    page = _page(db, gig, stage, sheet, found, Draft(), others=len(known) > 1)
    check = Check(sent)
    if (version, sent.text("seen")) != (stage.version, page.seen):
        check.fault("asked", gettext("Something changed meanwhile. Nothing was sent. Look once more, then send it."))
        return render(request, replace(page, form=check.draft(stage.version)), status=409)
    given = dict(read_rows(check, page.asked, needed=False))
    if not check.well:
        return render(request, replace(page, form=check.draft(version)), status=422)
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    give_told(db, gig.gig.id, gig.link_id, found.told, now)
    give(db, gig, sheet, given, "house", now)
    lasting = {one.key for one in found.asked if one.why in ("old", "new")}
    lines = [Line(key, one.state, one.value, gig.link_id) for key, one in given.items() if key in lasting]
    houses.save(db, stage, lines, now)
    houses.confirm(db, stage, now)
    answers.send(db, gig.gig.id, gig.link_id or "", now)
    want(db, gig.gig, now)
    return once.done(path_to("show_answers_sent", gig.base))


def tie_to(
    request: Request, portal: Portal, db: Session, gig_id: str, link_id: str, stage_id: str, now: datetime
) -> None:
    """Tie a gig (already allowed) to a stage, if this browser remembers its house. Raises ``NotThere``."""
    if stage_id not in {stage.id for _, stage in remembered_stages(request, db, portal, now)}:
        raise NotThere
    scopes.take(db, scopes.gig(gig_id))
    house_gigs.tie(db, gig_id, stage_id, link_id, now)


def give_told(db: Session, gig_id: str, link_id: str | None, told: Mapping[str, StageFact], now: datetime) -> None:
    """Answer a gig (already allowed) with what a stage's sheet tells of every night, and when the house said so."""
    for key, fact in told.items():
        answers.give(
            db,
            gig_id=gig_id,
            question=key,
            state=fact.state,
            value=fact.value,
            party="house",
            link_id=link_id,
            before=Before("house", fact.said.date().isoformat()),
            now=now,
        )


def _stage(db: Session, gig: AllowedGig, known: list[tuple[House, HouseStage]]) -> HouseStage | None:
    """The stage that the gig is tied to, where this browser remembers its house."""
    tied = house_gigs.stage_of(db, gig.gig.id)
    return next((stage for _, stage in known if tied and stage.id == tied.id), None)


def _for_gig(db: Session, sheet: Sheet, stage: HouseStage, now: datetime) -> ForGig:
    own = {key: said.answer for key, said in sheet.own.items()}
    return for_gig(houses.facts_of(db, stage.id), sheet.facts, own, now)


def _note(one: Asked) -> str:
    """When the sheet's line was said, and what the band says instead."""
    said = gettext("Said on %(date)s.", date=say_date(one.said.date())) if one.said else ""
    other = (
        gettext("The band: %(other)s.", other=words_for(one.key, one.other.state, one.other.value)) if one.other else ""
    )
    return " ".join(filter(None, (other, said)))


def _page(
    db: Session, gig: AllowedGig, stage: HouseStage, sheet: Sheet, found: ForGig, form: Draft, *, others: bool
) -> ForTheNight:
    house = houses.by_id(db, stage.house_id)
    return ForTheNight(
        title=gettext("Answer as %(house)s, %(name)s", house=house.name if house else "", name=stage.name),
        form=form,
        base=gig.base,
        action=path_to("show_for_the_night", gig.base),
        band=bands.name_of(db, gig.gig.band_id),
        when=say_date(gig.gig.on),
        stage=stage.name,
        sheet_href=path_to("show_stage_sheet", house_id=stage.house_id, stage_id=stage.id),
        seen=str(sheet.version()),
        asked=tuple(
            row_of(
                one.key,
                one.key,
                mark=(WHY[one.why][0], look_up(WHY[one.why][1])),
                note=_note(one),
                empty=gettext("Not known yet"),
            )
            for one in found.asked
        ),
        told=tuple(
            (label_of(key), words_for(key, fact.state, fact.value), say_date(fact.said.date()))
            for key, fact in found.told.items()
        ),
        others=others,
    )
