"""What of a stage sheet answers a gig: which lines hold, what belongs to the night and is asked again, and what is
proposed for it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from portal.plan.input.answer_kinds import Choice, Value, read_numbers, write_numbers
from portal.plan.input.facts import Answer, Facts
from portal.plan.input.questions import QUESTIONS, TOPICS
from portal.store.house.houses import StageFact

NIGHT = frozenset({"who-mixes", "inputs-free", "sockets-free", "second-box-inputs", "sound-check"})
"""The questions whose answers belong to one night: no sheet holds them."""

BOX, KEPT = "box-inputs", "kept-sockets"
"""What a sheet says of the stage box: its inputs, and the sockets that the house keeps for itself."""

STALE = timedelta(days=365)
"""How old a line may be before it is asked again."""

_FIRST = frozenset(topic.key for topic in TOPICS if topic.first)


@dataclass(frozen=True)
class Asked:
    """One question for the night: what is proposed, and why it is asked: night, old, new, or that the band said
    otherwise (``other``).
    """

    key: str
    why: str
    proposed: Answer | None
    said: datetime | None = None
    other: Answer | None = None


@dataclass(frozen=True)
class ForGig:
    """How a sheet answers a gig: what it says, and what is left to ask."""

    told: Mapping[str, StageFact]
    asked: Sequence[Asked]


def for_gig(facts: Sequence[StageFact], stands: Facts, own: Mapping[str, Answer], now: datetime) -> ForGig:
    """How a stage sheet answers a gig that stands on a rig and on what is answered so far. What the house itself
    answered there (``own``) stands.
    """
    known = {
        one.topic: one
        for one in facts
        if one.topic in QUESTIONS and not QUESTIONS[one.topic].retired and one.topic not in own
    }
    # One answer can be what makes another question matter: what is asked is looked up with all of them in place.
    filled = Facts(stands.rig, {**stands.answers, **{key: answer_of(one) for key, one in known.items()}})
    told: dict[str, StageFact] = {}
    asked: list[Asked] = []
    free = free_inputs(facts)
    for key, question in QUESTIONS.items():
        if not filled.asked(key):
            continue
        line = known.get(key)
        if key in NIGHT:
            if question.topic in _FIRST or any(QUESTIONS[other].topic == question.topic for other in known):
                asked.append(Asked(key, "night", own.get(key) or free.get(key) or _usual(stands, key)))
        elif line is not None and (other := _otherwise(stands, key, line)):
            asked.append(Asked(key, "other", answer_of(line), line.said, other))
        elif line is not None and now - line.said <= STALE:
            told[key] = line
        elif line is not None:
            asked.append(Asked(key, "old", answer_of(line), line.said))
        elif key not in own and question.topic in _FIRST and not question.free_words:
            asked.append(Asked(key, "new", None))
    return ForGig(told, asked)


def _otherwise(stands: Facts, key: str, line: StageFact) -> Answer | None:
    """What the band said to a question, where it is not what the sheet says. Free words are told as they are."""
    said = stands.answers.get(key)
    if said is None or said.by == "house" or said.state == "unknown" or QUESTIONS[key].free_words:
        return None
    return None if (said.state, said.value) == (line.state, line.value) else said


def free_inputs(facts: Sequence[StageFact]) -> dict[str, Answer]:
    """How many inputs are free for a band, and which: the box minus what the house keeps; empty where no box is
    known.
    """
    box = next((one.value for one in facts if one.topic == BOX), None)
    if not isinstance(box, int):
        return {}
    kept = {number for one in facts if one.topic == KEPT for number in read_numbers(str(one.value))}
    free = tuple(number for number in range(1, box + 1) if number not in kept)
    if not free:
        return {"inputs-free": Answer("answered", 0)}
    return {
        "inputs-free": Answer("answered", len(free)),
        "sockets-free": Answer("answered", write_numbers(free)),
    }


def answer_of(fact: StageFact) -> Answer:
    """A line of a sheet as the core reads answers."""
    return Answer(fact.state, fact.value, "house", fact.said.date().isoformat())


def _usual(stands: Facts, key: str) -> Answer | None:
    """What is proposed where nothing better is known: what the plan takes until told."""
    value: Value | None = stands.value(key)
    choice = isinstance(QUESTIONS[key].kind, Choice)
    return Answer("answered", value) if choice and value is not None else None
