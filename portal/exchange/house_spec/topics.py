"""What a spec can say: questions of the registry by their own keys, and *free facts*, which have no question yet, by
keys that stay the same.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from portal.plan.input.answer_kinds import (
    AnswerKind,
    Choice,
    Count,
    Distance,
    NotAnAnswer,
    Option,
    Sockets,
    Text,
    Value,
)
from portal.plan.input.question import YES_NO
from portal.plan.input.questions import QUESTIONS
from portal.wording.catalogue import mark


@dataclass(frozen=True)
class Written:
    """A value with a small grammar, kept as canonical text such as "8 x 6 m"."""

    grammar: re.Pattern[str]
    example: str

    def check(self, value: object) -> Value:
        """The text itself when it follows the grammar; raises ``NotAnAnswer`` otherwise."""
        if not isinstance(value, str) or not self.grammar.fullmatch(value):
            raise NotAnAnswer("written", example=self.example)
        return value

    def say(self, value: Value) -> str:
        """The text as it stands."""
        return str(value)


_METRES = r"\d{1,3}(?:\.\d{1,2})?"
SIZE = Written(re.compile(rf"{_METRES} x {_METRES} m"), "8 x 6 m")
RISERS = Written(
    re.compile(rf"yes|no|\d{{1,3}}|(?:\d{{1,3}} of )?{_METRES} x {_METRES}(?: x {_METRES})? m"), "4 of 2 x 1 x 0.4 m"
)
SUPPLY = Written(
    re.compile(
        r"(?:\d{1,3} x )?(?:\d{1,4} A|household|IEC 60309|single-pole)(?:, (?:one|three)-phase)?(?:, (?:household|IEC"
        r" 60309|single-pole))?"
    ),
    "2 x 32 A, three-phase, IEC 60309",
)
STOCK = Written(re.compile(r"no|\d{1,3}(?: (?:active|passive|dynamic|condenser|wireless|tall|short))?"), "8 active")
CLOCK = Written(re.compile(r"(?:[01]\d|2[0-3]):[0-5]\d"), "23:00")


def _options(**words: str) -> Choice:
    return Choice(tuple(Option(key.replace("_", "-"), said) for key, said in words.items()))


@dataclass(frozen=True)
class FreeTopic:
    """A fact without a question. ``several``: a house may well have more than one of it, so two of them do not
    contradict each other.
    """

    title: str
    kind: AnswerKind | Written
    several: bool = False


FREE_TOPICS: dict[str, FreeTopic] = {
    "box-inputs": FreeTopic(mark("Inputs at the stage box"), Count(1, 256, "inputs")),
    "kept-sockets": FreeTopic(mark("Sockets that the house keeps"), Sockets(256), several=True),
    "stays-plugged": FreeTopic(mark("What stays plugged every night"), Text(240), several=True),
    "returns": FreeTopic(mark("Lines back to the stage"), Count(0, 128, "lines")),
    "wedge-count": FreeTopic(mark("Wedges"), Count(0, 64, "wedges")),
    "monitor-desk": FreeTopic(
        mark("Monitor desk"), _options(own=mark("A desk of its own"), front=mark("Mixed from the house desk"))
    ),
    "desk": FreeTopic(mark("House desk"), Text(120)),
    "desk-channels": FreeTopic(mark("Channels of the house desk"), Count(1, 512, "channels")),
    "desk-distance": FreeTopic(mark("Distance from the stage to the desk"), Distance(30_000)),
    "stage-size": FreeTopic(mark("Stage, width by depth"), SIZE),
    "stage-height": FreeTopic(mark("Height of the stage"), Distance(500)),
    "headroom": FreeTopic(mark("Clear height above the stage"), Distance(5_000)),
    "risers": FreeTopic(mark("Risers"), RISERS, several=True),
    "power": FreeTopic(mark("Stage power"), SUPPLY, several=True),
    "setting": FreeTopic(mark("Indoors or outdoors"), _options(indoors=mark("Indoors"), outdoors=mark("Outdoors"))),
    "radio-coordinator": FreeTopic(mark("Who coordinates radio"), Text(120)),
    "subs": FreeTopic(
        mark("Subs"), _options(own_send=mark("On a send of their own"), with_mains=mark("With the main speakers"))
    ),
    "front-fills": FreeTopic(mark("Front fills"), YES_NO),
    "delays": FreeTopic(mark("Delay speakers"), YES_NO),
    "limiter-point": FreeTopic(
        mark("Where the sound level is measured"),
        _options(
            desk=mark("At the house desk"),
            stage=mark("On the stage"),
            room=mark("In the room"),
            outside=mark("Outside"),
        ),
    ),
    "limiter-cuts": FreeTopic(
        mark("What the sound limiter cuts"),
        _options(
            pa=mark("The PA"), stage_power=mark("The stage power"), nothing=mark("Nothing: it only shows the level")
        ),
    ),
    "curfew": FreeTopic(mark("Music ends"), CLOCK),
    "load-in-time": FreeTopic(mark("Load-in"), CLOCK),
    "load-in-access": FreeTopic(
        mark("Way in"),
        _options(level=mark("Level"), ramp=mark("A ramp"), stairs=mark("Stairs"), lift=mark("A lift")),
        several=True,
    ),
    "dis": FreeTopic(mark("DIs to lend"), STOCK, several=True),
    "microphones": FreeTopic(mark("Microphones to lend"), STOCK, several=True),
    "stands": FreeTopic(mark("Stands to lend"), STOCK, several=True),
    "contact-mail": FreeTopic(mark("Mail address of the contact"), Text(120)),
}
"""Every free fact by its key. A key is never re-used for another meaning; one that becomes a question keeps its key
there.
"""

SEVERAL_QUESTIONS = frozenset({"radio"})
"""Questions of which a spec may state more than one part without contradicting itself."""

KINDS: Mapping[str, AnswerKind | Written] = {
    **{key: question.kind for key, question in QUESTIONS.items()},
    **{key: topic.kind for key, topic in FREE_TOPICS.items()},
}


def takes_several(topic: str) -> bool:
    """True where two values of a topic stand beside each other instead of contradicting each other."""
    return topic in SEVERAL_QUESTIONS or (topic in FREE_TOPICS and FREE_TOPICS[topic].several)


def is_value(topic: str, value: Value) -> bool:
    """True where the topic's kind takes the value as it is."""
    try:
        return KINDS[topic].check(value) == value
    except NotAnAnswer:
        return False
