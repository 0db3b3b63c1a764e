"""The engine asked of one rig at one gig: the cell, and what it could be while the house has not answered."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from portal.compare.cell import LOSSES, NOTHING, Cell, cell_of
from portal.plan import QUESTIONS
from portal.plan.input.answer_kinds import Choice, Value
from portal.plan.input.facts import Answer, Answers, Facts
from portal.plan.input.rig import Rig
from portal.plan.reconcile import outline, without_advice

WEIGHED = (
    "who-mixes",
    "pa",
    "what-they-want",
    "inputs-free",
    "box-distance",
    "room-capacity",
    "indoors",
    "isolation",
    "phantom-switching",
    "house-split",
)
"""Questions whose answers decide what is given up."""

TRIED_NUMBERS: dict[str, tuple[int, ...]] = {"inputs-free": (8, 12, 16, 24, 32), "room-capacity": (150, 400, 800)}
"""Working inputs and people that rooms have (common practice, no source)."""


@dataclass(frozen=True)
class Turn:
    """One answer that would change what is lost: the question, the loss, and the answer; ``words`` in its place where
    it was kept earlier.
    """

    question: str
    loss: str
    value: Value | None = None
    words: str = ""


@dataclass(frozen=True)
class Range:
    """What a cell could be: the least and the most that is lost, each open question answered by itself."""

    best: str
    worst: str
    turns: tuple[Turn, ...] = ()

    @property
    def holds(self) -> bool:
        """True where it holds whatever they answer."""
        return self.best == self.worst


def solve_cell(rig: Rig, answers: Answers) -> Cell:
    """The cell of a rig at a gig: read off the very plan that the gig would have. Nothing of it is advice."""
    return cell_of(without_advice(rig, answers), rig, mono_room=Facts(rig, answers).value("pa") == "mono")


def is_open(rig: Rig, answers: Answers) -> bool:
    """Whether nobody has answered something that decides what is given up."""
    return bool(_open(Facts(rig, answers)))


def solve_range(rig: Rig, answers: Answers, loss: str) -> Range:
    """What the loss could be with other answers, each open question taken by itself, the others as assumed."""
    turns: list[Turn] = []
    facts = Facts(rig, answers)
    for key in _open(facts):
        for value in _values(key, facts):
            there = {**answers, key: Answer("answered", value, "assumed")}
            mono = Facts(rig, there).value("pa") == "mono"
            other = cell_of(outline(rig, there), rig, mono_room=mono).loss
            if other != loss:
                turns.append(Turn(key, other, value))
    ranks = [LOSSES.index(one) for one in (loss, *(turn.loss for turn in turns))]
    return Range(LOSSES[min(ranks, default=LOSSES.index(NOTHING))], LOSSES[max(ranks)], tuple(turns))


def _open(facts: Facts) -> tuple[str, ...]:
    return tuple(key for key in WEIGHED if not facts.known(key) and facts.asked(key))


def _values(key: str, facts: Facts) -> Iterator[Value]:
    kind = QUESTIONS[key].kind
    if isinstance(kind, Choice):
        yield from (option.key for option in kind.options if option.key != facts.value(key))
    elif key == "box-distance":
        yield from sorted({round(loom.length_m * 100) + 1 for loom in facts.rig.loom if loom.length_m})
    else:
        yield from (number for number in TRIED_NUMBERS[key] if number != facts.value(key))
