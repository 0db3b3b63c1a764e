"""What a question is, and the page that it stands on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from portal.plan.input.answer_kinds import AnswerKind, Choice, Option, Text, Value
from portal.plan.input.answer_places import Seen
from portal.plan.input.rig import Rig

Lookup = Callable[[str], Value | None]
"""The value a question has for now: answered, else assumed; ``None`` where neither."""

YES_NO = Choice((Option("yes", "Yes"), Option("no", "No")))


@dataclass(frozen=True)
class Topic:
    """One page of questions. ``first`` marks the pages for busy people."""

    key: str
    title: str
    first: bool


def _always(_rig: Rig, _value: Lookup) -> bool:
    return True


@dataclass(frozen=True)
class Question:
    """One question. ``assumed`` is the value the plan takes until told; ``assumed_words`` says it, empty where nothing
    is assumed.

    ``not_here`` are the words for "does not apply", empty where that is no sensible answer.
    """

    key: str
    topic: str
    house: str
    band: str
    kind: AnswerKind
    why: str
    assumed: Value | None
    assumed_words: str
    seen: Seen
    help: str = ""
    asked_when: Callable[[Rig, Lookup], bool] = _always
    contact: bool = False
    retired: bool = False

    @property
    def stands_on_the_sheet(self) -> bool:
        """True where people read the answer itself, on the sheet or beside the plan, whatever it does to the
        routing.
        """
        return self.seen.needed

    @property
    def free_words(self) -> bool:
        """True where the answer is whatever somebody writes, which may name people: only people read it, no plan
        records it.
        """
        return isinstance(self.kind, Text)

    not_here: str = ""
