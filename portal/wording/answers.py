"""What was answered, and why something is no answer, in the reader's language."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from portal.plan.input.answer_kinds import AnswerKind, Choice, Count, Distance, NotAnAnswer, Sockets, Value
from portal.plan.input.facts import Answer, Answers
from portal.plan.input.questions import QUESTIONS, Question
from portal.wording.catalogue import Words, gettext, look_up, mark, ngettext
from portal.wording.formats import join_clauses, limit_figures, of_unit, say_metres, with_unit

_REFUSED = Words(
    {
        "choice": mark("Choose one of: %(options)s."),
        "count": mark("Write a whole number from %(lo)s to %(hi)s, for example %(example)s."),
        "count-limits": mark("Write a whole number from %(lo)s to %(hi)s."),
        "distance": mark(
            "Write a distance in metres from 0 to %(hi)s, for example 12 or 12.5; or in feet, for example 50 ft."
        ),
        "distance.ft": mark(
            "Write a distance in feet from 0 to %(hi)s, for example 40 or 40.5; or in metres, for example 12 m."
        ),
        "distance-limits": mark("Write a distance in metres from 0 to %(hi)s."),
        "distance-limits.ft": mark("Write a distance in feet from 0 to %(hi)s."),
        "sockets": mark('Write socket numbers, for example "1-8, 11".'),
        "socket": mark('"%(part)s" is not a socket number; write for example "1-8, 11".'),
        "socket-limits": mark("Socket numbers go from 1 to %(hi)s; %(part)s does not fit."),
        "no-words": mark("Write a few words."),
        "too-long": mark("Shorten this to %(longest)s characters; it has %(length)s."),
        "written": mark("Write it as in %(example)s."),
    }
)

_COUNTED: Mapping[str, Callable[[int], str]] = {
    "": str,
    "channels": lambda count: ngettext("%(num)s channel", "%(num)s channels", count),
    "inputs": lambda count: ngettext("%(num)s input", "%(num)s inputs", count),
    "inputs of the PA": lambda count: ngettext("%(num)s input of the PA", "%(num)s inputs of the PA", count),
    "lines": lambda count: ngettext("%(num)s line", "%(num)s lines", count),
    "people": lambda count: ngettext("%(num)s person", "%(num)s people", count),
    "wedge mixes": lambda count: ngettext("%(num)s wedge mix", "%(num)s wedge mixes", count),
    "wedges": lambda count: ngettext("%(num)s wedge", "%(num)s wedges", count),
    "working inputs": lambda count: ngettext("%(num)s working input", "%(num)s working inputs", count),
    "working inputs at a second box": lambda count: ngettext(
        "%(num)s working input at a second box", "%(num)s working inputs at a second box", count
    ),
}
"""How many of what is counted, by the unit of its kind."""


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
        return gettext("%(answer)s (assumed)", answer=self.words) if self.assumed else self.words


def refused(error: NotAnAnswer) -> str:
    """Why something is no answer, as a sentence at its field."""
    why, options = error.why, error.said.get("options")
    if why in ("distance", "distance-limits"):
        _, most = limit_figures(0, float(str(error.said["hi"])))
        return _REFUSED[of_unit(why, f"{why}.ft")] % {"hi": most}
    listed = {"options": join_clauses(map(look_up, options))} if isinstance(options, tuple) else {}
    return _REFUSED[why] % {**error.said, **listed}


def read_answer(kind: AnswerKind, text: str) -> Value:
    """An answer as somebody typed it, a length without a unit in the reader's. Raises ``NotAnAnswer``."""
    return kind.read(with_unit(text) if isinstance(kind, Distance) else text)


def write_answer(kind: object, value: Value) -> str:
    """An answer as the field for it holds it, so that it is read back as the same."""
    return say_value(kind, value) if isinstance(kind, Distance) else str(value)


def say_value(kind: object, value: Value) -> str:
    """A value in the words of its kind; free words as they were written."""
    match kind:
        case Choice():
            return look_up(kind.say(value))
        case Count() if isinstance(value, int):
            return _COUNTED[kind.unit](value)
        case Distance() if isinstance(value, int):
            return say_metres(value / 100)
        case Sockets():
            return gettext("sockets %(sockets)s", sockets=value)
        case _:
            return str(value)


def words_of(question: Question, answer: Answer) -> str:
    """An answer in the words of its question."""
    if answer.state == "unknown":
        return gettext("Not known yet")
    if answer.value is None:
        return look_up(question.not_here) or gettext("Does not apply")
    return say_value(question.kind, answer.value)


def told(answers: Answers, place: str) -> tuple[Told, ...]:
    """What is known and seen at a place (a key of ``PLACES``), in the order of the questions."""
    found = []
    for question in QUESTIONS.values():
        answer = answers.get(question.key)
        if answer is None or answer.state == "unknown" or place not in question.seen.places:
            continue
        words = look_up(question.seen.words.get(str(answer.value), "")) or words_of(question, answer)
        found.append(Told(question.key, look_up(question.seen.label), words, answer.by or "house", answer.on))
    return tuple(found)
