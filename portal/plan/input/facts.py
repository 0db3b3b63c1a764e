"""Rig and answers together, each value with its origin: who said it, or that it was assumed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from portal.plan.input.answer_kinds import Value
from portal.plan.input.questions import QUESTIONS
from portal.plan.input.rig import Rig
from portal.plan.model import Assumed, Fact, Route
from portal.plan.phrase import Answered, Phrase

ORIGIN_WORDS = {
    "house": "the house said",
    "band": "the band said",
    "rig": "the rig says",
    "both": "both sides agreed",
    "assumed": "assumed",
}


@dataclass(frozen=True)
class Answer:
    """The newest answer to one question. ``state``: answered, unknown (asked, not known yet) or n/a. ``by``: house,
    band or assumed.
    """

    state: str
    value: Value | None = None
    by: str = ""
    on: str = ""


Answers = Mapping[str, Answer]


@dataclass(frozen=True)
class Lock:
    """An accepted proposal that a later plan keeps. ``resource``: send (own-line | leave-out) or desk-channel (a
    number).
    """

    source: str
    resource: str
    value: str
    proposed_by: str = ""
    accepted_by: str = ""


def agreed_in(lock: Lock) -> Phrase:
    """What both sides agreed on for a source."""
    if lock.value in ("own-line", "leave-out"):
        return Phrase(f"agreed-{lock.value}")
    return Phrase("agreed-desk-channel", {"channel": lock.value})


def lock_fact(lock: Lock, origin: str) -> Fact:
    """What was agreed, and who proposed it, as a citable fact."""
    by_the_house = lock.proposed_by == "house"
    key = "agreed-as-the-house-proposed" if by_the_house else "agreed-as-the-band-proposed"
    return Fact("lock", Phrase(key, {"agreed": agreed_in(lock)}), origin)


@dataclass(frozen=True)
class Facts:
    """What the plan stands on. Every look-up gives the answered value or the assumed one, and can say which."""

    rig: Rig
    answers: Answers

    def value(self, question: str) -> Value | None:
        """The answered value, else the assumed one, else ``None``."""
        answer = self.answers.get(question)
        if answer is not None and answer.state == "answered":
            return answer.value
        return QUESTIONS[question].assumed

    def known(self, question: str) -> bool:
        """True where somebody has answered it (an answer marked as assumed counts as not known)."""
        answer = self.answers.get(question)
        return answer is not None and answer.state == "answered" and answer.by != "assumed"

    def fact(self, question: str) -> Fact:
        """The question's present value as a citable fact."""
        said, answer = Phrase("answer", {"answer": self.answered(question)}), self.answers.get(question)
        if answer is not None and answer.state == "answered" and answer.value is not None:
            return Fact(question, said, answer.by or "house", answer.on)
        return Fact(question, said, "assumed")

    def answered(self, question: str) -> Answered:
        """The question's present value in a sentence."""
        answer = self.answers.get(question)
        told = answer is not None and answer.state == "answered"
        return Answered(question, answer.value if told and answer else None)

    def says(self, question: str) -> bool:
        """Whether its fact says anything: an answer, or what is assumed meanwhile."""
        answer = self.answers.get(question)
        said = answer is not None and answer.state == "answered" and answer.value is not None
        return said or bool(QUESTIONS[question].assumed_words)

    def asked(self, question: str) -> bool:
        """True where some rule would read the question in this gig."""
        entry = QUESTIONS[question]
        return not entry.retired and entry.asked_when(self.rig, self.value)

    def assumptions(self) -> tuple[Assumed, ...]:
        """What the plan takes for granted: every question it would read that nobody has answered, where something is
        assumed.
        """
        found = []
        for question in QUESTIONS.values():
            if self.known(question.key) or not self.asked(question.key) or not question.assumed_words:
                continue
            fact = self.fact(question.key)
            found.append(Assumed(question.key, fact.value, fact.origin))
        return tuple(found)


def wished_route(facts: Facts) -> Route:
    """The route that the answers ask for as a whole, whatever the rig; a split is decided line by line afterwards."""
    if facts.value("pa") == "none":
        return Route.OWN_PA
    who = facts.value("who-mixes")
    if who == "band-from-stage":
        return Route.BAND_MIXES
    if who == "bands-engineer-our-mixer" or facts.value("what-they-want") == "mix-on-your-mixer":
        return Route.ON_OUR_MIXER
    if facts.value("what-they-want") == "left-right-mix":
        return Route.LEFT_RIGHT
    return Route.DRY_SPLIT
