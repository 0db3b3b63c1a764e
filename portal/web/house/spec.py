"""The house gives its own spec, and confirms in one table what was read in it. Nothing is taken without a tick."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Annotated, ClassVar

from fastapi import Depends, Request
from fastapi.responses import RedirectResponse, Response
from starlette.concurrency import run_in_threadpool

from portal.advance.planning import want
from portal.exchange.faults import NotReadable
from portal.exchange.files import MOST_BYTES
from portal.exchange.house_spec.proposals import Proposal, SpecReading
from portal.exchange.house_spec.reader import read_spec
from portal.exchange.house_spec.text import given as given_files
from portal.exchange.house_spec.topics import FREE_TOPICS, takes_several
from portal.plan.input.questions import QUESTIONS
from portal.store.database.session import Session
from portal.store.house import house_specs
from portal.store.house.house_specs import Confirmed, GigSpec, ReadFact
from portal.web.frame import deps
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.forms import Check, Posted, begin, many_fields
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, Fault, FormPage, render
from portal.web.frame.rate_limiter import take_place
from portal.web.frame.running import Portal
from portal.web.house.fact_table import TAKE, FactRow, entry_of, names_of, read_rows, row_of
from portal.web.questions.answering import PartyAnswer, give, sheet_of
from portal.wording.answers import words_of
from portal.wording.catalogue import gettext, look_up, ngettext
from portal.wording.formats import join_and
from portal.wording.times import DAY, read_minutes, say_minutes

router = Screens()

MOST_ROWS = 150
"""Rows of the table; a spec of twenty pages states a third of that."""
LONGEST_SHOWN = 60_000
"""Signs of the text that the page shows."""


@dataclass(frozen=True, kw_only=True)
class SpecPage(FormPage):
    """Where a spec is pasted or a file is chosen. ``table`` leads to what was read before, empty where nothing was."""

    template: ClassVar[str] = "house/spec.html"
    gig_name: str
    base: str
    action: str
    table: str


@dataclass(frozen=True, kw_only=True)
class SpecTable(FormPage):
    """What was read, row by row: first what asks for a look. ``left_over`` counts passages in which nothing was read;
    ``more`` the values that the table has no room for. ``taken``: what was just taken of it and what was not, in
    sentences; ``times``: where the gig's are corrected, empty where none that was taken differs.
    """

    template: ClassVar[str] = "house/spec_table.html"
    base: str
    action: str
    to_check: tuple[FactRow, ...]
    sure: tuple[FactRow, ...]
    text: str
    cut: bool
    left_over: int
    more: int
    taken: tuple[str, ...] = ()
    times: str = ""


@dataclass(frozen=True)
class Given:
    """What a form gave: the text as read, or the field and the sentence that says why nothing could be."""

    reading: SpecReading | None
    fault: Fault | None = None


async def read_given(gig_id: str, request: Request, portal: Here, now: Now, sent: Sent) -> Given:
    """The spec of a form, read before any transaction begins: reading takes up to seconds, and others want to write
    meanwhile. Only for whoever may answer.
    """
    async with portal.spec_readings:
        return await run_in_threadpool(_read_given, gig_id, request, portal, now, sent)


def _read_given(gig_id: str, request: Request, portal: Portal, now: datetime, sent: Posted) -> Given:
    with portal.store.reading() as db:
        gig = deps.the_gig(gig_id, request, db, portal, now)
        gig.need("answer")
    upload = sent.file("file")
    content = upload.file.read(MOST_BYTES + 1) if upload else sent.raw("text").strip().encode()
    field = "file" if upload else "text"
    if not content:
        return Given(None, Fault("text", gettext("Paste the text of your spec, or choose a PDF or a text file.")))
    take_place((portal.spec_limiter, gig.actor))
    try:
        return Given(read_spec(given_files.text_of(content)))
    except NotReadable as error:
        words = error.faults[0].say()
        return Given(None, Fault(field, f"{words[:1].upper()}{words[1:]}"))


GivenSpec = Annotated[Given, Depends(read_given)]


@router.get("/house/{gig_id}/spec")
def show_spec(request: Request, gig: TheGig, db: Db) -> Response:
    """The paste box and the file chooser."""
    gig.need("answer")
    return render(request, _spec_page(db, gig, Draft()))


@router.post("/house/{gig_id}/spec")
def give_spec(request: Request, given: GivenSpec, gig: TheGig, sent: Sent, portal: Here, now: Now, db: Db) -> Response:
    """Keep a spec with what was read in it, and go on to the table. Nothing is answered by it yet."""
    gig.need("answer")
    if given.reading is None:
        faults = (given.fault,) if given.fault else ()
        return render(request, _spec_page(db, gig, sent.draft(faults=faults)), status=422)
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    house_specs.keep(
        db,
        gig_id=gig.gig.id,
        text=given.reading.text,
        read=_facts_of(given.reading),
        left_over=len(given.reading.not_understood),
        link_id=gig.link_id or "",
        now=now,
    )
    return once.done(path_to("show_spec_table", gig.base))


@router.get("/house/{gig_id}/spec/table")
def show_spec_table(request: Request, gig: TheGig, db: Db, taken: str = "") -> Response:
    """What was read: what is sure is ticked, what asks for a look is not. ``taken``: how many answers were just taken;
    then what became of the rows.
    """
    gig.need("answer")
    spec = house_specs.get(db, gig.gig.id)
    if spec is None:
        return RedirectResponse(path_to("show_spec", gig.base), 303)
    rows = _rows(spec, sheet_of(db, gig.gig, "house").own)
    values: dict[str, tuple[str, ...]] = {
        row.name: (entry_of(fact.topic, "answered", fact.value),) for row, fact in rows
    }
    values[TAKE] = tuple(row.name for row, fact in rows if not fact.doubts)
    page = _table(gig, spec, [row for row, _ in rows], Draft(values, version=spec.version))
    if re.fullmatch("[0-9]{1,3}", taken):
        page = _taken(page, gig, spec, len(rows), int(taken))
    return render(request, page)


@router.post("/house/{gig_id}/spec/table")
@many_fields
def confirm_spec(request: Request, sent: Sent, gig: TheGig, portal: Here, now: Now, db: Db) -> Response:
    """Answer with the rows that are ticked, as they stand in the form, and plan again."""
    gig.need("answer")
    version = sent.version()
    spec = house_specs.get(db, gig.gig.id)
    if spec is None:
        return RedirectResponse(path_to("show_spec", gig.base), 303)
    sheet = sheet_of(db, gig.gig, "house")
    rows = [row for row, _ in _rows(spec, sheet.own)]
    check = Check(sent)
    if version != spec.version:
        check.fault(TAKE, gettext("Another text was given meanwhile. Nothing was saved. Look at what was read in it."))
        return render(request, _table(gig, spec, rows, check.draft(spec.version)), status=409)
    ticked = [row for row in rows if row.name in sent.texts(TAKE)]
    for row in _twice(ticked):
        check.fault(row.name, gettext("%(label)s is ticked twice. Take one tick off.", label=row.label))
    taken = read_rows(check, ticked, needed=True)
    if not check.well:
        return render(request, _table(gig, spec, rows, check.draft(version)), status=422)
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    give(db, gig, sheet, {key: one for key, one in taken if key in QUESTIONS}, "house", now)
    others = [Confirmed(topic, one.value) for topic, one in taken if topic not in QUESTIONS and one.value is not None]
    house_specs.confirm(db, spec, others)
    want(db, gig.gig, now)
    count = str(sum(topic in QUESTIONS for topic, _ in taken))
    return once.done(path_to("show_spec_table", gig.base, taken=count))


TIMES = {"load-in-time": "load-in", "curfew": "curfew"}
"""What a spec says of the times of a gig: fact by time."""


def _taken(page: SpecTable, gig: AllowedGig, spec: GigSpec, rows: int, count: int) -> SpecTable:
    """The page with the sentences about what was taken, and the way to the times where one differs from the gig's."""
    kept = spec.read_confirmed()
    left = max(0, rows - count - len(kept))
    said = [ngettext("%(num)s answer taken for this gig.", "%(num)s answers taken for this gig.", count)]
    if kept:
        titles = join_and(dict.fromkeys(look_up(FREE_TOPICS[one.topic].title) for one in kept))
        said.append(
            gettext("Kept for the house's stage sheet only, and no answer to this gig: %(titles)s.", titles=titles)
        )
    if left:
        said.append(ngettext("%(num)s row not taken.", "%(num)s rows not taken.", left))
    differs = []
    for one in kept:
        minutes = gig.gig.minutes.get(TIMES.get(one.topic, ""))
        if minutes is not None and read_minutes(str(one.value)) not in (minutes, minutes - DAY):
            differs.append(
                gettext(
                    "%(title)s %(one)s; the gig says %(minutes)s.",
                    title=look_up(FREE_TOPICS[one.topic].title),
                    one=one.value,
                    minutes=say_minutes(minutes),
                )
            )
    times = path_to("show_times", gig.base) if differs else ""
    return replace(page, title=gettext("Taken from your spec"), taken=(*said, *differs), times=times)


def _facts_of(reading: SpecReading) -> list[ReadFact]:
    """What was read, values that stand beside each other in one answer put together."""
    facts: list[ReadFact] = []
    places: dict[str, int] = {}
    for one in reading.proposals:
        fact = ReadFact(one.topic, one.value, _passages(one), tuple(doubt.value for doubt in one.doubts))
        joined = takes_several(one.topic) and one.topic in QUESTIONS
        if joined and one.topic in places:
            first = facts[places[one.topic]]
            facts[places[one.topic]] = ReadFact(
                one.topic,
                f"{first.value}; {one.value}",
                (*first.words, *fact.words),
                tuple(dict.fromkeys((*first.doubts, *fact.doubts))),
            )
            continue
        places.setdefault(one.topic, len(facts))
        facts.append(fact)
    return facts


def _passages(one: Proposal) -> tuple[str, ...]:
    return tuple(dict.fromkeys((one.words, *(other.words for other in one.also))))


def _rows(spec: GigSpec, own: Mapping[str, PartyAnswer]) -> list[tuple[FactRow, ReadFact]]:
    """The rows of the table with what was read for each."""
    facts = spec.read_facts()[:MOST_ROWS]
    rows = []
    for name, fact in zip(names_of(fact.topic for fact in facts), facts, strict=True):
        said = own.get(fact.topic)
        differs = said is not None and said.answer.value != fact.value
        before = (
            gettext("Answered so far: %(answer)s.", answer=words_of(QUESTIONS[fact.topic], said.answer))
            if said and differs
            else ""
        )
        mark = ("asks", gettext("please check")) if fact.doubts else ("notes", gettext("sure"))
        note = " ".join(filter(None, (*map(look_up, fact.doubts), before)))
        rows.append((row_of(name, fact.topic, mark=mark, note=note, words=fact.words[:4]), fact))
    return rows


def _twice(ticked: Sequence[FactRow]) -> list[FactRow]:
    """The rows that say a second time what has one value."""
    seen: set[str] = set()
    found = []
    for row in ticked:
        if row.topic in seen and not takes_several(row.topic):
            found.append(row)
        seen.add(row.topic)
    return found


def _spec_page(db: Session, gig: AllowedGig, form: Draft) -> SpecPage:
    return SpecPage(
        title=gettext("Answer with your own spec"),
        form=form,
        gig_name=gig.gig.name,
        base=gig.base,
        action=path_to("show_spec", gig.base),
        table=path_to("show_spec_table", gig.base) if house_specs.get(db, gig.gig.id) else "",
    )


def _table(gig: AllowedGig, spec: GigSpec, rows: Sequence[FactRow], form: Draft) -> SpecTable:
    return SpecTable(
        title=gettext("What your spec says"),
        form=form,
        base=gig.base,
        action=path_to("show_spec_table", gig.base),
        to_check=tuple(row for row in rows if row.mark[0] == "asks"),
        sure=tuple(row for row in rows if row.mark[0] != "asks"),
        text=spec.text[:LONGEST_SHOWN],
        cut=len(spec.text) > LONGEST_SHOWN,
        left_over=spec.left_over,
        more=max(0, len(spec.read_facts()) - MOST_ROWS),
    )
