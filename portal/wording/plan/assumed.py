"""What a plan takes for granted, as it reads where no question stands beside it."""

from __future__ import annotations

from portal.plan.input.questions import QUESTIONS
from portal.plan.model import Assumed
from portal.plan.phrase import Answered, Phrase
from portal.wording.catalogue import look_up
from portal.wording.formats import headed
from portal.wording.plan.saying import say


def say_assumed(one: Assumed) -> str:
    """What is assumed; an answer that somebody only assumes stands behind what it answers ("Transformer-isolated lines: No need")."""
    said, question = say(one.said), QUESTIONS.get(one.question)
    answered = one.said.parameters.get("answer") if isinstance(one.said, Phrase) else None
    if question is None or not isinstance(answered, Answered) or answered.answer is None:
        return said
    return headed(look_up(question.seen.label), said)
