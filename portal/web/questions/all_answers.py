"""The page where all answers are checked and sent, and what follows."""

from dataclasses import dataclass, replace
from datetime import date
from http import HTTPStatus
from typing import ClassVar

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from portal.advance.planning import sentence_of, want
from portal.advance.status.impossible import Impossible
from portal.plan.input.answer_kinds import NotAnAnswer
from portal.plan.input.facts import Answer
from portal.plan.input.questions import QUESTIONS, Question
from portal.store import answers
from portal.store.accounts import bands
from portal.store.database.session import Session
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, Page, render
from portal.web.questions.after_saving import impossible_of
from portal.web.questions.answering import (
    CONFIRM,
    UNKNOWN,
    PartyAnswer,
    Sheet,
    before_words,
    give,
    left_out_of,
    left_out_words,
    offered,
    sheet_of,
)
from portal.web.questions.topic_line import Stop, stops
from portal.wording.answers import refused, words_of
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import look_up, mark
from portal.wording.times import say_date, say_moment

router = Screens()

HOUSE_SHEET = "house-sheet"
"""The question whose answer holds whatever else the house says."""

MEANWHILE = mark("Somebody changed an answer meanwhile. Look at the answers once more, then send them.")


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
    left_out = left_out_words(left_out_of(request, sheet))
    return render(request, replace(page, left_out=left_out, impossible=impossible_of(db, gig, sheet, asked)))


@router.post("/house/{gig_id}/questions")
def send_answers(request: Request, sent: Sent, gig: TheGig, portal: Here, now: Now, db: Db) -> Response:
    """The house has checked its answers and sends them, with what else it says, which stands below its house sheet; or
    it calls right all that the band assumed.
    """
    gig.need("answer")
    version = sent.version()
    sheet = sheet_of(db, gig.gig, gig.party)
    check = Check(sent)
    sheet_words = _house_sheet(check, sheet)
    confirms = sent.text("deed") == CONFIRM
    meanwhile = version != sheet.version() or (confirms and sent.text("seen") != _seen(sheet))
    if meanwhile:
        check.fault("comment", look_up(MEANWHILE))
    if not check.well:
        status = 409 if meanwhile else 422
        return render(request, _answers(db, gig, sheet, check.draft(sheet.version())), status=status)
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    if confirms:
        give(db, gig, sheet, offered(sheet), gig.party, now)
        want(db, gig.gig, now)
        return once.done(path_to("show_answers", gig.base))
    give(db, gig, sheet, sheet_words, gig.party, now)
    answers.send(db, gig.gig.id, gig.link_id or "", now)
    want(db, gig.gig, now)
    return once.done(path_to("show_answers_sent", gig.base))


def _house_sheet(check: Check, sheet: Sheet) -> dict[str, Answer]:
    """The house sheet with what else was written below it; empty where nothing was, or where it would be too long."""
    words = check.text("comment", longest=2000, lines=True)
    if not words:
        return {}
    said = sheet.own.get(HOUSE_SHEET)
    before = str(said.answer.value) if said is not None and said.answer.value is not None else ""
    try:
        value = QUESTIONS[HOUSE_SHEET].kind.read(f"{before}\n{words}")
    except NotAnAnswer as fault:
        check.fault("comment", _("This stands below the house sheet. %(fault)s", fault=refused(fault)))
        return {}
    return {HOUSE_SHEET: Answer("answered", value)}


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
            title=_("Your answers are sent"),
            base=gig.base,
            band=band,
            sentence=sentence_of(db, gig.gig),
            may_sign="sign" in gig.powers,
        ),
    )


def _seen(sheet: Sheet) -> str:
    """The newest answer of the band that the house may call right: what was on the page when the button was drawn."""
    return str(max((sheet.other[key].position for key in offered(sheet)), default=0))


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
        title=_("What the band will read") if house else _("Answers"),
        stops=stops(gig, sheet, None),
        form=draft,
        base=gig.base,
        gig_name=gig.gig.name,
        first=lines(first=True),
        more=lines(first=False),
        send_to=bands.name_of(db, gig.gig.band_id) if house else "",
        sent_on=say_moment(sent[-1].created, gig.gig.time_zone) if sent else "",
        offered=len(offered(sheet)),
        seen=_seen(sheet),
    )


def _line(gig: AllowedGig, sheet: Sheet, question: Question) -> AnswerLine:
    """What is known of a question. The side's own word comes first for the house; for the band, what the house said
    counts.
    """
    own, other = sheet.own.get(question.key), sheet.other.get(question.key)
    settled_by_house = gig.party == "band" and other is not None and other.answer.state != UNKNOWN
    said = other if settled_by_house or own is None else own
    plan_takes = (
        _("Until then the plan assumes: %(assumed_words)s", assumed_words=look_up(question.assumed_words))
        if question.assumed_words
        else ""
    )
    if said is None:
        answer, note = _("Not answered"), plan_takes
    elif said.answer.state == UNKNOWN:
        answer, note = words_of(question, said.answer), plan_takes
    else:
        answer, note = words_of(question, said.answer), _who(gig.party, said)
    return AnswerLine(
        key=question.key,
        question=look_up(question.house if gig.party == "house" else question.band),
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
    if party == "house":
        mine = _("From your sheet, %(sheet_on)s", sheet_on=say_date(date.fromisoformat(sheet_on))) if sheet_on else ""
        return {
            "house": mine,
            "band": _("The band says so. Right?"),
            "assumed": _("The band assumes it%(earlier)s. Right?", earlier=earlier),
        }[answer.by]
    on = say_date(date.fromisoformat(answer.on))
    house = (
        _(
            "The house said so, %(on)s, from its sheet of %(sheet_on)s",
            on=on,
            sheet_on=say_date(date.fromisoformat(sheet_on)),
        )
        if sheet_on
        else _("The house said so, %(on)s", on=on)
    )
    return {
        "house": house,
        "band": _("You said so, %(on)s", on=on),
        "assumed": _("You assume it, %(on)s%(earlier)s", on=on, earlier=earlier),
    }[answer.by]
