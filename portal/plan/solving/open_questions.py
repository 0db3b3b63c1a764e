"""Open questions as open variables: whether the plan holds whatever they answer, or what it hangs on.

Each open question is varied by itself, the others as assumed; the sentence says so. Choices are enumerated; for numbers
only the values are tried at which something can change (the lines sent, the ladder's small room, the lengths of looms),
so that a number costs a few solves and not a search.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from portal.plan.input.answer_kinds import Choice, Value, write_numbers
from portal.plan.input.facts import Answer, Answers, Facts, Lock
from portal.plan.input.questions import QUESTIONS
from portal.plan.input.rig import Rig
from portal.plan.model import NoPlan, Plan
from portal.plan.options.boxes import DISTANCE
from portal.plan.options.routing_policy import SMALL_ROOM_PEOPLE
from portal.plan.phrase import Answered, Phrase, Said
from portal.plan.phrase import Choice as Chosen
from portal.plan.reconcile import outline
from portal.plan.solving.variants import Variants

FIRST_SOLVES = 25
"""Looked at within this many solves at a time; the rest on demand."""

SECOND_BOXES = (8,)
"""Inputs that a second box is tried with; the usual small one."""

NO_PLAN_WEIGHT = 1000
ROUTE_WEIGHT = 2000


@dataclass(frozen=True)
class Outcome:
    """What one possible answer would lead to. ``changed`` counts the lines that come, go or travel another way.

    ``route`` is the other plan's route, empty where nothing fits.
    """

    value: Value
    said: Phrase
    sentence: Said
    changed: int
    route: str
    weight: int


@dataclass(frozen=True)
class Open:
    """One open question. ``outcomes`` holds only answers that change something; empty means that the plan holds
    whatever they answer.
    """

    question: str
    outcomes: tuple[Outcome, ...]

    @property
    def decisive(self) -> bool:
        """True where an answer could change the plan."""
        return bool(self.outcomes)

    @property
    def weight(self) -> int:
        """How much hangs on it: another route weighs most, then an answer that leaves no plan, then the lines that
        change.
        """
        return max((outcome.weight for outcome in self.outcomes), default=0)


@dataclass(frozen=True)
class Openness:
    """What is open, the question that settles most first. ``untried`` names the questions left for "the rest on
    demand".
    """

    questions: tuple[Open, ...]
    untried: tuple[str, ...]
    solves: int
    sentence: Phrase


BEING_WORKED_OUT = Openness((), (), 0, Phrase("open.being-worked-out"))
"""What stands for a look that nobody has taken."""


def open_questions(
    rig: Rig,
    answers: Answers,
    locks: Sequence[Lock] = (),
    most_solves: int = FIRST_SOLVES,
    among: Collection[str] = QUESTIONS,
) -> Openness:
    """Every question that the plan reads and nobody has answered, with what its answers would change, in at most
    ``most_solves`` solves.

    ``among`` keeps it to some questions: those that an earlier look left untried.
    """
    facts = Facts(rig, answers)
    variants = Variants()
    base = outline(rig, answers, locks, variants=variants)
    here = _travel(base)
    found: list[Open] = []
    untried: list[str] = []
    solves = 1
    for key in QUESTIONS:
        if key not in among or facts.known(key) or not facts.asked(key):
            continue
        tries = _values(key, facts, base)
        if not tries:
            continue
        if solves + len(tries) > most_solves:
            untried.append(key)
            continue
        outcomes = []
        for value in tries:
            solves += 1
            other = outline(rig, {**answers, key: Answer("answered", value, "assumed")}, locks, variants=variants)
            there = _travel(other)
            if there != here:
                outcomes.append(_outcome(key, value, base, other, len(here ^ there)))
        found.append(Open(key, tuple(outcomes)))
    return _openness(found, tuple(untried), solves)


def together(looks: Sequence[Openness]) -> Openness:
    """Several looks as one, each at what the one before left untried."""
    return _openness(
        [one for look in looks for one in look.questions], looks[-1].untried, sum(look.solves for look in looks)
    )


def _openness(found: Sequence[Open], untried: tuple[str, ...], solves: int) -> Openness:
    ordered = tuple(sorted(found, key=lambda one: -one.weight))
    return Openness(ordered, untried, solves, _whole(ordered, untried))


def worth_asking(key: str, rig: Rig, answers: Answers, locks: Sequence[Lock] = ()) -> bool:
    """Whether an answer to a question that the gig reads could still change anything: the plan, what it says, or what
    people read on the sheet.

    As things stand: the other open questions as assumed. While nothing fits, every question is. Costs one solve for
    each value tried, plus one.
    """
    facts = Facts(rig, answers)
    if not facts.asked(key):
        return False
    if QUESTIONS[key].stands_on_the_sheet:
        return True
    variants = Variants()
    base = outline(rig, answers, locks, variants=variants)
    if isinstance(base, NoPlan):
        # What would help is not known, and one answer alone may not: nothing is left out while nothing fits.
        return True
    said = _said(base)
    return any(
        _said(outline(rig, {**answers, key: Answer("answered", value, "assumed")}, locks, variants=variants)) != said
        for value in _values(key, facts, base)
    )


def _said(outcome: Plan | NoPlan) -> Plan | NoPlan:
    """An outcome without its list of assumptions, which every answer shortens."""
    return replace(outcome, assumed=())


def _outcome(key: str, value: Value, base: Plan | NoPlan, other: Plan | NoPlan, changed: int) -> Outcome:
    far = key in DISTANCE.values()
    answer = Answered(key, int(value) - 1 if far else value)
    said = Phrase("open.more-than" if far else "answer", {"answer": answer})
    if isinstance(other, NoPlan):
        return Outcome(value, said, other.sentence, changed, "", changed + NO_PLAN_WEIGHT)
    another = isinstance(base, Plan) and other.route != base.route
    return Outcome(value, said, other.sentence, changed, other.route, changed + (ROUTE_WEIGHT if another else 0))


def _values(key: str, facts: Facts, base: Plan | NoPlan) -> tuple[Value, ...]:
    kind = QUESTIONS[key].kind
    if isinstance(kind, Choice):
        return tuple(option.key for option in kind.options if option.key != facts.value(key))
    return _numbers(key, facts, base)


def _numbers(key: str, facts: Facts, base: Plan | NoPlan) -> tuple[Value, ...]:
    now = facts.value(key)
    if key == "inputs-free" and isinstance(base, Plan):
        sent = len(base.lines)
        return tuple(count for count in (sent - 1, 16, 12, 8) if 0 < count < sent or count == sent - 1 > 0)[:3]
    if key == "sockets-free" and isinstance(base, Plan) and base.lines:
        return (write_numbers(tuple(range(2, len(base.lines) + 2))),)
    if key == "room-capacity":
        return (SMALL_ROOM_PEOPLE,) if not isinstance(now, int) or now > SMALL_ROOM_PEOPLE else (SMALL_ROOM_PEOPLE + 1,)
    if key == "second-box-inputs":
        return SECOND_BOXES
    if key in DISTANCE.values():
        lengths = sorted({round(loom.length_m * 100) for loom in facts.rig.loom if loom.length_m is not None})
        return tuple(length + 1 for length in lengths)
    return ()


def _travel(outcome: Plan | NoPlan) -> frozenset[tuple[object, ...]]:
    """What a plan is at the sockets: each line's way, and what blocks or has to be settled."""
    if isinstance(outcome, NoPlan):
        return frozenset({("no plan",)})
    lines = {
        (
            line.sources,
            line.path.kind,
            line.path.unit,
            line.path.way,
            line.phantom,
            line.pad_db,
            line.box,
            line.box_socket,
            line.desk_channel,
        )
        for line in outcome.lines
    }
    rules = {(one.level, one.key) for one in (*outcome.blocks, *outcome.asks)}
    bring = {("bring", item.what, item.count) for item in outcome.bring}
    return frozenset({("route", outcome.route), *lines, *rules, *bring})


def _whole(ordered: Sequence[Open], untried: Sequence[str]) -> Phrase:
    decisive = [one for one in ordered if one.decisive]
    if not decisive and not untried:
        return Phrase("open.nothing-matters")
    if not decisive:
        return Phrase("open.nothing-so-far", {"questions": len(untried)})
    first = Chosen("asked-of-the-band", decisive[0].question)
    if len(decisive) == 1 and not untried:
        return Phrase("open.one-question", {"question": first})
    return Phrase("open.several-questions", {"questions": len(decisive), "question": first})


def to_the_house(said: Phrase) -> Phrase:
    """The whole sentence as the house is asked its question."""
    asked = {
        name: Chosen("asked-of-the-house", one.choice) if isinstance(one, Chosen) else one
        for name, one in said.parameters.items()
    }
    return Phrase(said.key, asked)
