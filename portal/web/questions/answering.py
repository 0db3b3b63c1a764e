"""What is asked in a gig, what each side has said to it, and how a form's entries become answers."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property

from fastapi import Request

from portal.advance.planning import ground
from portal.advance.solver.process import NotSolved, Solvers
from portal.advance.solver.wishes import Texts, WorthWish
from portal.plan.input.answer_kinds import Choice, Count, Distance, NotAnAnswer, Sockets, Text, read_numbers
from portal.plan.input.facts import Answer, Facts
from portal.plan.input.questions import QUESTIONS, TOPICS, Question, Topic, questions_of
from portal.store import answers
from portal.store.answers import Before
from portal.store.database.session import Session
from portal.store.gigs import Gig
from portal.store.house import house_specs
from portal.web.frame.deps import AllowedGig
from portal.web.frame.forms import Check
from portal.wording.answers import read_answer, refused, words_of, write_answer
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import look_up
from portal.wording.formats import join_clauses, of_unit
from portal.wording.seen import seen_words
from portal.wording.times import say_date

UNKNOWN, NOT_HERE, CONFIRM = "unknown", "n/a", "confirm"
"""What can be ticked instead of an answer; the first two are states of an answer as well."""


@dataclass(frozen=True)
class PartyAnswer:
    """The newest answer of one side to one question; ``position`` grows with each answer that anybody gives.

    ``before`` is who said it at an earlier gig in the same place, where it was taken over.
    """

    answer: Answer
    position: int
    before: Before | None = None


@dataclass(frozen=True)
class Onward:
    """Where the questions go on, ``None`` at their end, and the topics left out on the way: no answer to them could
    change anything any more.
    """

    topic: Topic | None
    left_out: tuple[Topic, ...] = ()


@dataclass(frozen=True)
class Sheet:
    """One side's view of a gig's questions. ``own`` holds what this side said, ``other`` what the other side did;
    ``read``: the questions to which the house's spec had an answer.
    """

    party: str
    facts: Facts
    own: Mapping[str, PartyAnswer]
    other: Mapping[str, PartyAnswer]
    read: frozenset[str] = frozenset()

    def asked(self, topic: Topic) -> tuple[Question, ...]:
        """The questions of a topic that this gig's plan would read."""
        return tuple(question for question in questions_of(topic.key) if self.facts.asked(question.key))

    @cached_property
    def topics(self) -> tuple[Topic, ...]:
        """The topics with something to ask, in order."""
        return tuple(topic for topic in TOPICS if self.asked(topic))

    def version(self, topic: Topic | None = None) -> int:
        """Position of this side's newest answer, in one topic or at all; 0 where there is none."""
        keys = {question.key for question in questions_of(topic.key)} if topic else set(QUESTIONS)
        return max((said.position for key, said in self.own.items() if key in keys), default=0)

    def missing(self, topic: Topic) -> bool:
        """True where a question of the topic waits for an answer of this side."""
        return any(question.key not in self.own and not optional(question) for question in self.asked(topic))

    def untouched(self, topic: Topic) -> bool:
        """True where nothing of the topic is answered and everything may stay empty."""
        return all(question.key not in self.own and optional(question) for question in self.asked(topic))

    def waiting(self, topic: Topic) -> bool:
        """True where nobody on this side has said all that is asked in the topic."""
        return self.missing(topic) or self.untouched(topic)

    def after(self, topic: Topic, solvers: Solvers) -> Onward:
        """The next topic that was not answered; for the house, back to the first pages where one of those was passed
        over. End the transaction that the sheet was read in first: it is found by solving.
        """
        later = self.topics[self.topics.index(topic) + 1 :] if topic in self.topics else self.topics
        onward = self._first_worth([one for one in later if self.waiting(one)], solvers)
        if self.party == "house" and (onward.topic is None or not onward.topic.first):
            missed = self._first_worth(
                [one for one in self.topics if one.first and one not in onward.left_out and self.missing(one)], solvers
            )
            return missed if missed.topic else onward
        return onward

    def _first_worth(self, topics: Sequence[Topic], solvers: Solvers) -> Onward:
        """The first page on which an answer could still change something, as things stand."""
        if not topics:
            return Onward(None)
        groups = tuple(tuple(question.key for question in self.asked(topic)) for topic in topics)
        try:
            number = solvers.ask(WorthWish(Texts.of(self.facts.rig, self.facts.answers, ()), groups)).group
        except NotSolved:
            # Nobody waits for long to be spared a page.
            number = 0
        return Onward(None if number is None else topics[number], tuple(topics[:number]))

    def resume(self, solvers: Solvers) -> Onward:
        """Where to go on: after the last topic that was answered by hand, or at one that was passed over."""
        if answered := [topic for topic in self.topics if self.begun(topic)]:
            return self.after(answered[-1], solvers)
        if self.own:
            return self._first_worth([topic for topic in self.topics if self.waiting(topic)], solvers)
        return Onward(next(iter(self.topics), None))

    def begun(self, topic: Topic) -> bool:
        """True where this side answered on the topic's page; a spec answers here and there, on every page."""
        return any(question.key in self.own and question.key not in self.read for question in self.asked(topic))


def optional(question: Question) -> bool:
    """True where an empty field is no fault: words and lists of sockets."""
    return isinstance(question.kind, Text | Sockets)


def sheet_of(db: Session, gig: Gig, party: str) -> Sheet:
    """The questions of a gig (already allowed) as one party sees them."""
    own: dict[str, PartyAnswer] = {}
    other: dict[str, PartyAnswer] = {}
    for row in answers.newest(db, gig.id):
        answer = row.read()
        if answer is not None:
            mine = (row.party == "house") == (party == "house")
            (own if mine else other)[row.question] = PartyAnswer(answer, row.position or 0, row.before)
    spec = house_specs.get(db, gig.id) if party == "house" else None
    read = frozenset(fact.topic for fact in spec.read_facts()) if spec else frozenset()
    return Sheet(party, ground(db, gig).facts, own, other, read)


def entry_of(question: Question, answer: Answer) -> str:
    """An answer as its field holds it; empty for one that is ticked."""
    if answer.value is None:
        return ""
    return write_answer(question.kind, answer.value)


def entries(sheet: Sheet, questions: tuple[Question, ...]) -> dict[str, tuple[str, ...]]:
    """What a page's form shows at first: this side's own answers, and nothing else."""
    values: dict[str, tuple[str, ...]] = {}
    for question in questions:
        said = sheet.own.get(question.key)
        if said is None:
            continue
        ticked = said.answer.state != "answered"
        if ticked and not isinstance(question.kind, Choice):
            values[mark_of(question)] = (said.answer.state,)
        else:
            values[question.key] = (said.answer.state if ticked else entry_of(question, said.answer),)
    return values


def mark_of(question: Question) -> str:
    """Name of the ticks beside a question's field."""
    return f"{question.key}-mark"


def read_answers(check: Check, sheet: Sheet, questions: tuple[Question, ...]) -> dict[str, Answer]:
    """The answers that a form holds, with a fault at each field that holds none it should. The band may leave any of
    them out.
    """
    found: dict[str, Answer] = {}
    for question in questions:
        read = _choice if isinstance(question.kind, Choice) else _field
        given = read(check, sheet, question)
        if given is not None:
            found[question.key] = given
    check_sockets(check, found)
    return found


def _choice(check: Check, sheet: Sheet, question: Question) -> Answer | None:
    text = check.sent.text(question.key)
    if text in (UNKNOWN, NOT_HERE):
        return Answer(text)
    if not text:
        if sheet.party == "house":
            check.fault(question.key, _('Choose one. Where nobody knows yet, choose "I don\'t know yet".'))
        return None
    return _read(check, question, text)


def _field(check: Check, sheet: Sheet, question: Question) -> Answer | None:
    words = question.kind if isinstance(question.kind, Text) else Text(400)
    text = check.text(question.key, longest=words.longest, lines=words.lines > 1)
    ticks = check.sent.texts(mark_of(question))
    own = sheet.own.get(question.key)
    if ticks and own is not None and text == entry_of(question, own.answer):
        # The field still shows the earlier answer: the tick is what is new.
        text = ""
    if len(ticks) + bool(text) > 1:
        check.fault(question.key, _("Leave either the answer or one tick, not both."))
        return None
    if text:
        return _read(check, question, text)
    if ticks:
        return _ticked(sheet, question, ticks[0])
    if own is not None:
        # Emptied on purpose: the earlier answer does not hold any more.
        return Answer(UNKNOWN)
    if not optional(question) and sheet.party == "house":
        check.fault(question.key, _('Enter an answer, or tick "I don\'t know yet".'))
    return None


def _ticked(sheet: Sheet, question: Question, tick: str) -> Answer | None:
    other = sheet.other.get(question.key)
    if tick == CONFIRM and other is not None:
        return Answer(other.answer.state, other.answer.value)
    return Answer(tick) if tick in (UNKNOWN, NOT_HERE) else None


def _read(check: Check, question: Question, text: str) -> Answer | None:
    try:
        return Answer("answered", read_answer(question.kind, text))
    except NotAnAnswer as error:
        check.fault(question.key, refused(error))
        return None


def check_sockets(check: Check, found: Mapping[str, Answer]) -> None:
    """As many sockets as inputs, where both are told on one page."""
    inputs, sockets = found.get("inputs-free"), found.get("sockets-free")
    if inputs is None or sockets is None or not isinstance(inputs.value, int) or not isinstance(sockets.value, str):
        return
    said = {"count": len(read_numbers(sockets.value)), "inputs": inputs.value}
    if said["count"] != inputs.value:
        check.fault(
            "sockets-free",
            _("These are %(count)s sockets, and %(inputs)s working inputs are free. Change one of the two.", **said),
        )


@dataclass(frozen=True)
class Asked:
    """One question as a page shows it. ``shape``: choice, line or lines.

    ``said`` is what the other side said or assumed; ``confirm`` offers to say the same with one tap.
    """

    key: str
    words: str
    why: str
    hint: str
    shape: str
    options: tuple[tuple[str, str], ...]
    ticks: tuple[tuple[str, str], ...]
    mark: str
    inputmode: str
    optional: bool
    rows: int
    said: str
    confirm: bool
    seen: str


def shown(sheet: Sheet, question: Question) -> Asked:
    """A question as one side's page shows it."""
    kind = question.kind
    how_far = of_unit(
        _("In metres, or in feet as in 50 ft. Of a range, as in 15-20 m, the longer counts"),
        _("In feet, or in metres as in 15 m. Of a range, as in 50-65 ft, the longer counts"),
    )
    unknown = _("I don't know yet") if sheet.party == "house" else _("We don't know")
    ticks = [(UNKNOWN, unknown), *([(NOT_HERE, look_up(question.not_here))] if question.not_here else [])]
    other = sheet.other.get(question.key)
    confirmable = (
        sheet.party == "house" and other is not None and other.answer.state != UNKNOWN and question.key not in sheet.own
    )
    needs_no_doubt = optional(question) and not question.not_here
    return Asked(
        key=question.key,
        words=look_up(question.house if sheet.party == "house" else question.band),
        why=look_up(question.why),
        hint=f"{look_up(question.help)}. {how_far}" if isinstance(kind, Distance) else look_up(question.help),
        shape=(
            "choice" if isinstance(kind, Choice) else "lines" if isinstance(kind, Text) and kind.lines > 1 else "line"
        ),
        options=(*((option.key, look_up(option.words)) for option in kind.options), *ticks)
        if isinstance(kind, Choice)
        else (),
        ticks=(
            ()
            if isinstance(kind, Choice)
            else tuple(tick for tick in ticks if tick[0] != UNKNOWN or not needs_no_doubt)
        ),
        mark=mark_of(question),
        inputmode=_inputmode(question),
        optional=optional(question) and sheet.party == "house",
        rows=kind.lines if isinstance(kind, Text) else 1,
        said=(
            other_answer_words(question, other, sheet.party)
            if other is not None and (confirmable or sheet.party == "band")
            else ""
        ),
        confirm=confirmable and not isinstance(kind, Choice),
        seen=seen_words(question.seen),
    )


def other_answer_words(question: Question, said: PartyAnswer, party: str) -> str:
    """What the other side said, as the party's page says it."""
    answer = said.answer
    words = words_of(question, answer).removesuffix(".")
    if party == "house":
        right = _("Still right?") if said.before else _("Right?")
        slots = {"words": words + before_words(said.before, party), "right": right}
        if answer.by == "assumed":
            return _("The band assumed: %(words)s. %(right)s", **slots)
        return _("The band says: %(words)s. %(right)s", **slots)
    if answer.state == UNKNOWN:
        return _("The house does not know yet.")
    return _("The house said: %(words)s. That counts.", words=words)


def before_words(before: Before | None, party: str) -> str:
    """In brackets, who said it at an earlier gig, and when; empty where nobody did."""
    if before is None:
        return ""
    on = say_date(date.fromisoformat(before.on))
    if before.by == party:
        return _(" (you said so on %(on)s)", on=on)
    return (
        _(" (the band said so on %(on)s)", on=on) if before.by == "band" else _(" (the house said so on %(on)s)", on=on)
    )


def _inputmode(question: Question) -> str:
    if isinstance(question.kind, Count):
        return "numeric"
    return "tel" if question.key == "contact-phone" else "text"


def give(db: Session, gig: AllowedGig, sheet: Sheet, given: Mapping[str, Answer], party: str, now: datetime) -> None:
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


def left_out_of(request: Request, sheet: Sheet) -> tuple[Topic, ...]:
    """The topics that were left out on the way to this page and that nobody has answered since."""
    keys = request.query_params.get("left-out", "").split(",")
    return tuple(topic for topic in sheet.topics if topic.key in keys and sheet.waiting(topic))


def left_out_words(topics: tuple[Topic, ...]) -> str:
    titles = join_clauses(look_up(topic.title) for topic in topics)
    if len(topics) > 1:
        return _("Not needed now: %(titles)s. As things stand, no answer to them would change the plan.", titles=titles)
    single = _("Not needed now: %(titles)s. As things stand, no answer to it would change the plan.", titles=titles)
    return single if topics else ""


def offered(sheet: Sheet) -> dict[str, Answer]:
    """What the band said or assumed where the house has not answered, by question."""
    if sheet.party != "house":
        return {}
    asked = [question.key for topic in sheet.topics for question in sheet.asked(topic)]
    said = {key: sheet.other[key].answer for key in asked if key in sheet.other and key not in sheet.own}
    return {key: answer for key, answer in said.items() if answer.state != UNKNOWN}
