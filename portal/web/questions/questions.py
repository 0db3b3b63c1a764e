"""The pages that ask: one topic each, for the house and for the band."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from http import HTTPStatus
from typing import ClassVar

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from portal.advance.planning import want
from portal.advance.sensitivity import scale_of
from portal.advance.status.impossible import Impossible
from portal.plan.input.facts import Answer
from portal.plan.input.questions import QUESTIONS, TOPICS, Topic
from portal.plan.solving.input_scale import Rung
from portal.store.database.session import end_reading
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.errors import NotThere
from portal.web.frame.forms import Check, Difference, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, Page, render
from portal.web.questions.after_saving import impossible_now, opened_by
from portal.web.questions.answering import (
    UNKNOWN,
    Asked,
    Onward,
    Sheet,
    entries,
    give,
    left_out_of,
    left_out_words,
    offered,
    read_answers,
    sheet_of,
    shown,
)
from portal.web.questions.topic_line import Stop, stops
from portal.wording.answers import words_of
from portal.wording.catalogue import Words, gettext, look_up, mark

router = Screens()

BY_KEY: Mapping[str, Topic] = {topic.key: topic for topic in TOPICS}

INPUTS = "inputs-free"
"""The question beside which the scale stands."""

SURE = Words({"band": mark("We know it: somebody told us"), "assumed": mark("We assume it")})
"""How the band stands to what it enters; the value is the party of the stored answer."""


@dataclass(frozen=True, kw_only=True)
class QuestionPage(FormPage):
    """One topic. ``change`` is the question after whose change the way leads back; ``sure`` is empty for the house;
    ``scale``: what a count of inputs would mean, beside the question that asks for it.
    """

    template: ClassVar[str] = "questions/question.html"
    stops: tuple[Stop, ...]
    action: str
    back: str
    progress: str
    alone: bool
    questions: tuple[Asked, ...]
    sure: tuple[tuple[str, str], ...]
    change: str
    button: str
    conflict: tuple[Difference, ...]
    offered: int
    all_href: str
    spec_href: str
    left_out: str = ""
    impossible: Impossible | None = None
    go_on: str = ""
    scale: tuple[Rung, ...] = ()


@dataclass(frozen=True, kw_only=True)
class MoreQuestions(Page):
    """The page between the first questions and the rest: it offers to stop here."""

    template: ClassVar[str] = "questions/more_questions.html"
    base: str
    topics: tuple[str, ...]
    left_out: str
    go_on: str


@router.get("{base}/questions/next")
def next_question(gig: TheGig, db: Db, portal: Here, after: str = "", change: str = "", anyway: str = "") -> Response:
    """On to the first question that was not answered: after a topic just saved, else after the last answered one; after
    a ``change``, back to all answers. What was just saved and leaves no plan is shown first, unless ``anyway``.
    """
    gig.need("answer")
    sheet = sheet_of(db, gig.gig, gig.party)
    topic = _topic(after) if after else None
    if topic and not anyway and impossible_now(db, gig, sheet, topic, portal.solvers):
        page = path_to("show_question", gig.base, topic_key=topic.key, change=change, stuck=1)
        return RedirectResponse(page, HTTPStatus.SEE_OTHER)
    if change in QUESTIONS:
        return RedirectResponse(path_to("show_answers", gig.base, anchor=change), HTTPStatus.SEE_OTHER)
    end_reading(db)
    onward = sheet.after(topic, portal.solvers) if topic else sheet.resume(portal.solvers)
    address = _onward(gig, sheet, onward, from_first=topic is None or topic.first)
    return RedirectResponse(address, HTTPStatus.SEE_OTHER)


@router.get("{base}/questions/more")
def show_more_questions(request: Request, gig: TheGig, db: Db) -> Response:
    """The first questions are through: stop here, or two more minutes."""
    gig.need("answer")
    sheet = sheet_of(db, gig.gig, gig.party)
    left_out = left_out_of(request, sheet)
    rest = [topic for topic in sheet.topics if not topic.first and topic not in left_out and sheet.waiting(topic)]
    if not rest:
        return RedirectResponse(path_to("show_answers", gig.base), HTTPStatus.SEE_OTHER)
    page = MoreQuestions(
        title=gettext("That is what the plan needs most"),
        base=gig.base,
        topics=tuple(look_up(topic.title) for topic in rest),
        left_out=left_out_words(left_out),
        go_on=path_to("show_question", gig.base, topic_key=rest[0].key),
    )
    return render(request, page)


@router.get("{base}/questions/{topic_key}")
def show_question(
    request: Request, topic_key: str, gig: TheGig, db: Db, portal: Here, change: str = "", stuck: str = ""
) -> Response:
    """One topic, with what this side has said before; ``stuck``: what was saved just now leaves no plan."""
    gig.need("answer")
    topic = _topic(topic_key)
    sheet = sheet_of(db, gig.gig, gig.party)
    if not sheet.asked(topic):
        return RedirectResponse(path_to("show_answers", gig.base), HTTPStatus.SEE_OTHER)
    values = entries(sheet, sheet.asked(topic))
    parties = [sheet.own[question.key].answer.by for question in sheet.asked(topic) if question.key in sheet.own]
    if parties:
        values["sure"] = (parties[0],)
    page = _page(gig, sheet, topic, Draft(values, version=sheet.version(topic)), change)
    page = replace(
        page,
        left_out=left_out_words(left_out_of(request, sheet)),
        go_on=(
            path_to("show_answers", gig.base)
            if change
            else path_to("next_question", gig.base, after=topic.key, anyway=1)
        ),
        scale=scale_of(db, gig.gig.id).rungs if INPUTS in (one.key for one in page.questions) else (),
    )
    found = impossible_now(db, gig, sheet, topic, portal.solvers, waits=bool(stuck))
    return render(request, replace(page, impossible=found))


@router.post("{base}/questions/{topic_key}")
def save_answers(request: Request, topic_key: str, sent: Sent, gig: TheGig, portal: Here, now: Now, db: Db) -> Response:
    """Save one page, plan again, and go on to the next page or back to all answers."""
    gig.need("answer")
    topic = _topic(topic_key)
    version = sent.version()
    change = sent.text("change")
    before = sheet_of(db, gig.gig, gig.party)
    check = Check(sent)
    given = read_answers(check, before, before.asked(topic))
    party = gig.party
    if gig.party == "band" and any(one.state != UNKNOWN for one in given.values()):
        party = check.choice("sure", tuple(SURE), gettext("Say whether you know this or assume it."))
    if not check.well:
        return render(request, _page(gig, before, topic, check.draft(version), change), status=422)
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    if version != before.version(topic):
        conflict = _conflict(before, topic, given)
        if conflict:
            return render(
                request, _page(gig, before, topic, check.draft(before.version(topic)), change, conflict), status=409
            )
    give(db, gig, before, given, party, now)
    want(db, gig.gig, now)
    after = sheet_of(db, gig.gig, gig.party)
    # An answer may open questions that were not asked before: those come first, of other pages too after a change.
    if opened := opened_by(before, after, after.topics if change else (topic,)):
        there, key = opened
        return once.done(
            path_to("show_question", gig.base, topic_key=there.key, change=key if change else "", anchor=key)
        )
    return once.done(path_to("next_question", gig.base, after=topic.key, change=change))


def _topic(key: str) -> Topic:
    topic = BY_KEY.get(key)
    if topic is None:
        raise NotThere
    return topic


def _onward(gig: AllowedGig, sheet: Sheet, onward: Onward, *, from_first: bool) -> str:
    """The address of the next topic, with the page between on the way to the rest; all answers where none is left. It
    carries what was left out.
    """
    topic, left_out = onward.topic, {"left-out": ",".join(topic.key for topic in onward.left_out)}
    if topic is None:
        return path_to("show_answers", gig.base, **left_out)
    # Somebody who has begun with the rest need not be asked again whether to.
    begun = any(sheet.begun(one) for one in sheet.topics if not one.first)
    if from_first and not topic.first and not begun:
        return path_to("show_more_questions", gig.base, **left_out)
    return path_to("show_question", gig.base, topic_key=topic.key, **left_out)


def _conflict(sheet: Sheet, topic: Topic, given: Mapping[str, Answer]) -> tuple[Difference, ...]:
    """What somebody on the same side answered since the form was drawn, beside what it holds."""
    found = []
    for question in sheet.asked(topic):
        said, mine = sheet.own.get(question.key), given.get(question.key)
        if said is not None and (mine is None or (said.answer.state, said.answer.value) != (mine.state, mine.value)):
            yours = "" if mine is None else words_of(question, mine)
            found.append(
                Difference(
                    look_up(question.house if sheet.party == "house" else question.band),
                    words_of(question, said.answer),
                    yours,
                )
            )
    return tuple(found)


def _then(topics: list[Topic], here: Topic) -> str:
    """Which topic follows, in words; empty after the last one."""
    after = topics[topics.index(here) + 1 :]
    return gettext(", then: %(title)s", title=look_up(after[0].title)) if after else ""


def _page(
    gig: AllowedGig, sheet: Sheet, topic: Topic, draft: Draft, change: str, conflict: tuple[Difference, ...] = ()
) -> QuestionPage:
    questions = tuple(shown(sheet, question) for question in sheet.asked(topic))
    alone = len(questions) == 1
    first = [one for one in sheet.topics if one.first]
    earlier = sheet.topics[: sheet.topics.index(topic)] if topic in sheet.topics else ()
    back = (
        path_to("show_question", gig.base, topic_key=earlier[-1].key)
        if earlier and not change
        else path_to("show_answers", gig.base)
        if change
        else gig.base
    )
    return QuestionPage(
        title=questions[0].words if alone else look_up(topic.title),
        stops=stops(gig, sheet, topic),
        form=draft,
        action=path_to("show_question", gig.base, topic_key=topic.key),
        back=back,
        progress=(
            gettext(
                "Page %(topic)s of %(count)s at most%(topic2)s",
                topic=first.index(topic) + 1,
                count=len(first),
                topic2=_then(first, topic),
            )
            if topic.first and gig.party == "house" and not change
            else ""
        ),
        alone=alone,
        questions=questions,
        sure=tuple(SURE.items()) if gig.party == "band" else (),
        change=change if change in QUESTIONS else "",
        button=gettext("Save") if change else gettext("Save and go on"),
        conflict=conflict,
        offered=len(offered(sheet)) if topic == sheet.topics[0] and not change else 0,
        all_href=path_to("show_answers", gig.base),
        spec_href=path_to("show_spec", gig.base) if gig.party == "house" and topic == sheet.topics[0] else "",
    )
