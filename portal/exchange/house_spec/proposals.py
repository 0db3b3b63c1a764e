"""What the reader hands back: proposals with the words they rest on, how certain they are, and what it did not
understand.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from portal.plan.input.answer_kinds import Value
from portal.plan.input.questions import QUESTIONS
from portal.wording.catalogue import mark


class Certainty(StrEnum):
    """Whether a proposal may stand as it is or asks for a look."""

    SURE = "sure"
    CHECK = "check"


class Doubt(StrEnum):
    """Why a proposal asks for a look; the value is the sentence to show."""

    CONDITION = mark("The text ties it to a condition, or is not sure itself.")
    TWO_VALUES = mark("The text gives more than one value.")
    SPELLING = mark("A word is read past a spelling slip.")
    FAR = mark("The number and what it counts stand apart, or the words can mean something else.")
    WHOSE_SIDE = mark("The text does not say from whose view left and right are meant.")
    DERIVED = mark("It follows from other words of the text, which do not say it themselves.")
    PART = mark("Only a part of what the text says fits this answer.")


@dataclass(frozen=True)
class Passage:
    """A piece of the text, from ``start`` to ``end``."""

    words: str
    start: int
    end: int


@dataclass(frozen=True)
class Proposal:
    """One value read from the text. ``topic`` is the key of a question or of a free fact; ``words`` is the text from
    ``start`` to ``end``.

    ``note`` tells two values of one topic apart, such as *seated* and *standing*; empty where there is nothing to tell.
    ``also``: other passages that say the same.
    """

    topic: str
    value: Value
    words: str
    start: int
    end: int
    doubts: tuple[Doubt, ...] = ()
    note: str = ""
    also: tuple[Passage, ...] = ()

    @property
    def certainty(self) -> Certainty:
        """Sure where nothing speaks against it."""
        return Certainty.CHECK if self.doubts else Certainty.SURE


@dataclass(frozen=True)
class SpecReading:
    """A spec as read: the text as given, answers to questions, facts that have no question yet, and the passages that
    nothing was read from.
    """

    text: str
    answers: tuple[Proposal, ...]
    facts: tuple[Proposal, ...]
    not_understood: tuple[Passage, ...]

    @property
    def proposals(self) -> tuple[Proposal, ...]:
        """Answers and free facts together."""
        return self.answers + self.facts


def parted(found: Iterable[Proposal]) -> tuple[tuple[Proposal, ...], tuple[Proposal, ...]]:
    """Answers to questions, and free facts, each in the order of the text."""
    ordered = sorted(found, key=lambda one: (one.start, one.end, one.topic))
    return tuple(one for one in ordered if one.topic in QUESTIONS), tuple(
        one for one in ordered if one.topic not in QUESTIONS
    )
