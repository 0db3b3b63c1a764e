"""The pages that ask: one topic each, for the house and for the band, and the page where answers are checked and
sent.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from http import HTTPStatus
from typing import ClassVar

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from portal.advance.impossible import Impossible, impossible
from portal.advance.planning import sentence_of, want
from portal.advance.time_format import say_date, say_moment
from portal.plan.input.answers_shown import words_of
from portal.plan.input.facts import Answer
from portal.plan.input.questions import QUESTIONS, TOPICS, Question, Topic
from portal.store import answers, discussions, plans
from portal.store.accounts import bands
from portal.store.database.session import Session, end_reading
from portal.web.discussion.discussion import FULL
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.errors import NotThere
from portal.web.frame.forms import Check, Difference, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, Page, render
from portal.web.questions.answering import (
    CONFIRM,
    UNKNOWN,
    Asked,
    Onward,
    PartyAnswer,
    Sheet,
    before_words,
    entries,
    read_answers,
    sheet_of,
    shown,
)
from portal.web.questions.topic_line import Stop, stops

router = Screens()

BY_KEY: Mapping[str, Topic] = {topic.key: topic for topic in TOPICS}

SURE = (("band", "We know it: somebody told us"), ("assumed", "We assume it"))
"""How the band stands to what it enters; the value is the party of the stored answer."""


@dataclass(frozen=True, kw_only=True)
class QuestionPage(FormPage):
    """One topic. ``change`` is the question after whose change the way leads back; ``sure`` is empty for the house."""

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


MEANWHILE = "Somebody changed an answer meanwhile. Look at the answers once more, then send them."


@dataclass(frozen=True, kw_only=True)
class MoreQuestions(Page):
    """The page between the first questions and the rest: it offers to stop here."""

    template: ClassVar[str] = "questions/more_questions.html"
    base: str
    topics: tuple[str, ...]
    left_out: str
    go_on: str


@dataclass(frozen=True)
class AnswerLine:
    """One question with what is known of it, who said it, and the way to its page; ``open`` where nobody has told."""

    key: str
    question: str
    answer: str
    note: str
    assumed: bool
    open: bool
    href: str


@dataclass(frozen=True, kw_only=True)
class AllAnswers(FormPage):
    """Every answer. The house sends them from here to the band named by ``send_to``; for the band it is empty.
    ``offered`` counts what the band said or assumed and the house may call right with one press.
    """

    template: ClassVar[str] = "questions/answers.html"
    stops: tuple[Stop, ...]
    base: str
    gig_name: str
    first: tuple[AnswerLine, ...]
    more: tuple[AnswerLine, ...]
    left_out: str = ""
    impossible: Impossible | None = None
    send_to: str
    sent_on: str
    offered: int
    seen: str


@dataclass(frozen=True, kw_only=True)
class AnswersSent(Page):
    """What happens after the house has sent its answers."""

    template: ClassVar[str] = "questions/answers_sent.html"
    base: str
    band: str
    sentence: str
    may_sign: bool


@router.get("{base}/questions")
def show_answers(request: Request, gig: TheGig, db: Db) -> Response:
    """Every answer: for the house to check and send, for the band to fill in."""
    gig.need("answer")
    sheet = sheet_of(db, gig.gig, gig.party)
    page = _answers(db, gig, sheet, Draft(version=sheet.version()))
    asked = {question.key for topic in sheet.topics for question in sheet.asked(topic)}
    left_out = _left_out_words(_left_out(request, sheet))
    return render(request, replace(page, left_out=left_out, impossible=_impossible(db, gig, sheet, asked)))


@router.post("/house/{gig_id}/questions")
def send_answers(request: Request, sent: Sent, gig: TheGig, portal: Here, now: Now, db: Db) -> Response:
    """The house has checked its answers and sends them, with a comment if there is one; or it calls right all that the
    band assumed.
    """
    gig.need("answer")
    version = sent.version()
    sheet = sheet_of(db, gig.gig, gig.party)
    check = Check(sent)
    comment = check.text("comment", longest=2000, lines=True)
    confirms = sent.text("deed") == CONFIRM
    if version != sheet.version() or (confirms and sent.text("seen") != _seen(sheet)):
        check.fault("comment", MEANWHILE)
    if not check.well:
        status = 409 if any(fault.sentence == MEANWHILE for fault in check.draft().faults) else 422
        return render(request, _answers(db, gig, sheet, check.draft(sheet.version())), status=status)
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    if confirms:
        _give(db, gig, sheet, _offered(sheet), gig.party, now)
        want(db, gig.gig, now)
        return once.done(path_to("show_answers", gig.base))
    if comment and discussions.full(db, gig.gig.id):
        check.fault("comment", FULL)
        return render(request, _answers(db, gig, sheet, check.draft(version)), status=409)
    answers.send(db, gig.gig.id, gig.link_id or "", now)
    if comment:
        discussions.say(
            db,
            gig_id=gig.gig.id,
            party=gig.party,
            author=gig.name,
            words=comment,
            link_id=gig.link_id,
            user_id=gig.user_id,
            now=now,
        )
    want(db, gig.gig, now)
    return once.done(path_to("show_answers_sent", gig.base))


@router.get("/house/{gig_id}/questions/sent")
def show_answers_sent(request: Request, gig: TheGig, db: Db) -> Response:
    """What happens next."""
    gig.need("answer")
    if not answers.sent(db, gig.gig.id):
        return RedirectResponse(path_to("show_answers", gig.base), HTTPStatus.SEE_OTHER)
    band = bands.name_of(db, gig.gig.band_id)
    return render(
        request,
        AnswersSent(
            title="Your answers are sent",
            base=gig.base,
            band=band,
            sentence=sentence_of(db, gig.gig),
            may_sign="sign" in gig.powers,
        ),
    )


@router.get("{base}/questions/next")
def next_question(gig: TheGig, db: Db, portal: Here, after: str = "") -> Response:
    """On to the first question that was not answered: after a topic just saved, else after the last answered one."""
    gig.need("answer")
    sheet = sheet_of(db, gig.gig, gig.party)
    end_reading(db)
    if after:
        topic = _topic(after)
        return RedirectResponse(
            _onward(gig, sheet, sheet.after(topic, portal.solvers), from_first=topic.first), HTTPStatus.SEE_OTHER
        )
    return RedirectResponse(_onward(gig, sheet, sheet.resume(portal.solvers), from_first=True), HTTPStatus.SEE_OTHER)


@router.get("{base}/questions/more")
def show_more_questions(request: Request, gig: TheGig, db: Db) -> Response:
    """The first questions are through: stop here, or two more minutes."""
    gig.need("answer")
    sheet = sheet_of(db, gig.gig, gig.party)
    left_out = _left_out(request, sheet)
    rest = [topic for topic in sheet.topics if not topic.first and topic not in left_out and sheet.waiting(topic)]
    if not rest:
        return RedirectResponse(path_to("show_answers", gig.base), HTTPStatus.SEE_OTHER)
    page = MoreQuestions(
        title="That is what the plan needs most",
        base=gig.base,
        topics=tuple(topic.title for topic in rest),
        left_out=_left_out_words(left_out),
        go_on=path_to("show_question", gig.base, topic_key=rest[0].key),
    )
    return render(request, page)


@router.get("{base}/questions/{topic_key}")
def show_question(request: Request, topic_key: str, gig: TheGig, db: Db, change: str = "") -> Response:
    """One topic, with what this side has said before."""
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
        left_out=_left_out_words(_left_out(request, sheet)),
        impossible=_impossible(db, gig, sheet, {question.key for question in sheet.asked(topic)}),
        go_on=path_to("show_answers", gig.base) if change else path_to("next_question", gig.base),
    )
    return render(request, page)


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
        party = check.choice("sure", tuple(value for value, _ in SURE), "Say whether you know this or assume it.")
    if not check.well:
        return render(request, _page(gig, before, topic, check.draft(version), change), status=422)
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    if version != before.version(topic):
        conflict = _conflict(before, topic, given)
        if conflict:
            return render(
                request, _page(gig, before, topic, check.draft(before.version(topic)), change, conflict), status=409
            )
    _give(db, gig, before, given, party, now)
    want(db, gig.gig, now)
    if not change:
        return once.done(path_to("next_question", gig.base, after=topic.key))
    after = sheet_of(db, gig.gig, gig.party)
    # A change may open questions that were not asked before: those come first.
    opened = next((one for one in after.topics if one not in before.topics and after.missing(one)), None)
    return once.done(
        path_to(
            "show_question",
            gig.base,
            topic_key=opened.key,
            change=after.asked(opened)[0].key,
            anchor=after.asked(opened)[0].key,
        )
        if opened
        else path_to("show_answers", gig.base, anchor=change)
    )


def _impossible(db: Session, gig: AllowedGig, sheet: Sheet, keys: set[str]) -> Impossible | None:
    """What cannot be done because of what this side, the house, answered to some questions."""
    return impossible(plans.newest(db, gig.gig.id), keys & sheet.own.keys()) if gig.party == "house" else None


def _give(db: Session, gig: AllowedGig, sheet: Sheet, given: Mapping[str, Answer], party: str, now: datetime) -> None:
    """Store what is new; saving the same once more leaves no trace."""
    for key, one in given.items():
        said = sheet.own.get(key)
        by = "band" if one.state == UNKNOWN and party == "assumed" else party
        if said is not None and (said.answer.state, said.answer.value, said.answer.by) == (one.state, one.value, by):
            continue
        answers.give(
            db,
            gig_id=gig.gig.id,
            question=key,
            state=one.state,
            value=one.value,
            party=by,
            link_id=gig.link_id,
            user_id=gig.user_id,
            now=now,
        )


def _seen(sheet: Sheet) -> str:
    """The newest answer of the band that the house may call right: what was on the page when the button was drawn."""
    return str(max((sheet.other[key].position for key in _offered(sheet)), default=0))


def _offered(sheet: Sheet) -> dict[str, Answer]:
    """What the band said or assumed where the house has not answered, by question."""
    if sheet.party != "house":
        return {}
    asked = [question.key for topic in sheet.topics for question in sheet.asked(topic)]
    said = {key: sheet.other[key].answer for key in asked if key in sheet.other and key not in sheet.own}
    return {key: answer for key, answer in said.items() if answer.state != UNKNOWN}


def _topic(key: str) -> Topic:
    topic = BY_KEY.get(key)
    if topic is None:
        raise NotThere
    return topic


def _left_out(request: Request, sheet: Sheet) -> tuple[Topic, ...]:
    """The topics that were left out on the way to this page and that nobody has answered since."""
    keys = request.query_params.get("left-out", "").split(",")
    return tuple(topic for topic in sheet.topics if topic.key in keys and sheet.waiting(topic))


def _left_out_words(topics: tuple[Topic, ...]) -> str:
    titles = "; ".join(topic.title for topic in topics)
    if len(topics) > 1:
        return f"Not needed now: {titles}. As things stand, no answer to them would change the plan."
    return f"Not needed now: {titles}. As things stand, no answer to it would change the plan." if topics else ""


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
                    question.house if sheet.party == "house" else question.band, words_of(question, said.answer), yours
                )
            )
    return tuple(found)


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
        title=questions[0].words if alone else topic.title,
        stops=stops(gig, sheet, topic),
        form=draft,
        action=path_to("show_question", gig.base, topic_key=topic.key),
        back=back,
        progress=(
            f"Page {first.index(topic) + 1} of {len(first)} at most"
            if topic.first and gig.party == "house" and not change
            else ""
        ),
        alone=alone,
        questions=questions,
        sure=SURE if gig.party == "band" else (),
        change=change if change in QUESTIONS else "",
        button="Save" if change else "Save and go on",
        conflict=conflict,
        offered=len(_offered(sheet)) if topic == sheet.topics[0] and not change else 0,
        all_href=path_to("show_answers", gig.base),
        spec_href=path_to("show_spec", gig.base) if gig.party == "house" and topic == sheet.topics[0] else "",
    )


def _answers(db: Session, gig: AllowedGig, sheet: Sheet, draft: Draft) -> AllAnswers:
    house = gig.party == "house"
    sent = answers.sent(db, gig.gig.id)

    def lines(*, first: bool) -> tuple[AnswerLine, ...]:
        return tuple(
            _line(gig, sheet, question)
            for topic in sheet.topics
            if topic.first == first
            for question in sheet.asked(topic)
        )

    return AllAnswers(
        title="What the band will read" if house else "Answers",
        stops=stops(gig, sheet, None),
        form=draft,
        base=gig.base,
        gig_name=gig.gig.name,
        first=lines(first=True),
        more=lines(first=False),
        send_to=bands.name_of(db, gig.gig.band_id) if house else "",
        sent_on=say_moment(sent[-1].created, gig.gig.time_zone) if sent else "",
        offered=len(_offered(sheet)),
        seen=_seen(sheet),
    )


def _line(gig: AllowedGig, sheet: Sheet, question: Question) -> AnswerLine:
    """What is known of a question. The side's own word comes first for the house; for the band, what the house said
    counts.
    """
    own, other = sheet.own.get(question.key), sheet.other.get(question.key)
    settled_by_house = gig.party == "band" and other is not None and other.answer.state != UNKNOWN
    said = other if settled_by_house or own is None else own
    plan_takes = f"Until then the plan takes: {question.assumed_words}" if question.assumed_words else ""
    if said is None:
        answer, note = "Not answered", plan_takes
    elif said.answer.state == UNKNOWN:
        answer, note = words_of(question, said.answer), plan_takes
    else:
        answer, note = words_of(question, said.answer), _who(gig.party, said)
    return AnswerLine(
        key=question.key,
        question=question.house if gig.party == "house" else question.band,
        answer=answer,
        note=note,
        assumed=said is not None and said.answer.by == "assumed",
        open=said is None or said.answer.state == UNKNOWN,
        href=""
        if settled_by_house
        else path_to("show_question", gig.base, topic_key=question.topic, change=question.key, anchor=question.key),
    )


def _who(party: str, said: PartyAnswer) -> str:
    """Who said it, as the party's page says it; empty for what the house itself said."""
    answer, earlier = said.answer, before_words(said.before, party)
    sheet_on = said.before.on if said.before and answer.by == "house" else ""
    from_sheet = f", from its sheet of {say_date(date.fromisoformat(sheet_on))}" if sheet_on else ""
    if party == "house":
        mine = f"From your sheet, {say_date(date.fromisoformat(sheet_on))}" if sheet_on else ""
        return {"house": mine, "band": "The band says so. Right?", "assumed": f"The band assumes it{earlier}. Right?"}[
            answer.by
        ]
    on = say_date(date.fromisoformat(answer.on))
    return {
        "house": f"The house said so, {on}{from_sheet}",
        "band": f"You said so, {on}",
        "assumed": f"You assume it, {on}{earlier}",
    }[answer.by]
