"""QUESTIONS: every question once, with its words for both sides, its answer type, why we ask, and what is assumed until
told.

Laws of change: a key is never re-used or given a new meaning; a retired question keeps its entry; new options go last.
Pages ask one *topic* at a time; the first eight topics are for busy people, the rest is "two more minutes".
"""

from __future__ import annotations

from portal.plan.input.first_questions import FIRST_QUESTIONS
from portal.plan.input.more_questions import MORE_QUESTIONS
from portal.plan.input.pa_questions import PA_QUESTIONS
from portal.plan.input.question import Question, Topic

__all__ = ["QUESTIONS", "TOPICS", "Question", "Topic", "questions_of"]

TOPICS: tuple[Topic, ...] = (
    Topic("mixing", "Who mixes", first=True),
    Topic("wish", "What the house wants", first=True),
    Topic("inputs", "Inputs at the stage box", first=True),
    Topic("box", "Where the stage box is", first=True),
    Topic("pa-inputs", "Inputs of the PA", first=True),
    Topic("room", "The room", first=True),
    Topic("house-microphones", "House microphones", first=True),
    Topic("wedges", "Wedge mixes", first=True),
    Topic("contact", "Who is there on the day", first=True),
    Topic("patching", "Patching", first=False),
    Topic("second-box", "A second stage box", first=False),
    Topic("isolation", "Hum and isolation", first=False),
    Topic("phantom", "Phantom power", first=False),
    Topic("line-level", "Line inputs", first=False),
    Topic("returns", "Lines back to the stage", first=False),
    Topic("sharing", "Other feeds from the box", first=False),
    Topic("power", "Stage power", first=False),
    Topic("plugging", "Plugging and checking", first=False),
    Topic("limits", "Limits and radio", first=False),
    Topic("house-sheet", "House sheet", first=False),
)


def _keyed(questions: tuple[Question, ...]) -> dict[str, Question]:
    topics = {topic.key for topic in TOPICS}
    keyed: dict[str, Question] = {}
    for question in questions:
        if question.key in keyed or question.topic not in topics:
            raise ValueError(f"question {question.key!r} is entered twice or belongs to no topic")
        keyed[question.key] = question
    return keyed


QUESTIONS: dict[str, Question] = _keyed(FIRST_QUESTIONS + MORE_QUESTIONS + PA_QUESTIONS)
"""Every question by its key."""


def questions_of(topic: str) -> tuple[Question, ...]:
    """The questions of one page, retired ones left out."""
    return tuple(question for question in QUESTIONS.values() if question.topic == topic and not question.retired)
