"""What was answered, as both sides read it at one of the places that its question names."""

from __future__ import annotations

from dataclasses import dataclass

from portal.plan.input.facts import Answer, Answers
from portal.plan.input.questions import QUESTIONS, Question


@dataclass(frozen=True)
class Told:
    """One answer behind its label. ``by``: house, band or assumed; ``on`` is the day (ISO), empty where it is not
    known.
    """

    question: str
    label: str
    words: str
    by: str
    on: str

    @property
    def assumed(self) -> bool:
        """True where the band takes it for granted and nobody has said it."""
        return self.by == "assumed"

    @property
    def marked(self) -> str:
        """The words, with the mark where they are assumed."""
        return f"{self.words} (assumed)" if self.assumed else self.words


def words_of(question: Question, answer: Answer) -> str:
    """An answer in the words of its question."""
    if answer.state == "unknown":
        return "Not known yet"
    if answer.value is None:
        return question.not_here or "Does not apply"
    return question.kind.say(answer.value)


def told(answers: Answers, place: str) -> tuple[Told, ...]:
    """What is known and seen at a place (a key of ``PLACES``), in the order of the questions."""
    found = []
    for question in QUESTIONS.values():
        answer = answers.get(question.key)
        if answer is None or answer.state == "unknown" or place not in question.seen.places:
            continue
        words = question.seen.words.get(str(answer.value)) or words_of(question, answer)
        found.append(Told(question.key, question.seen.label, words, answer.by or "house", answer.on))
    return tuple(found)
