"""What the engine says: the key of a sentence and typed values for its slots. ``portal/wording`` puts it into words.

Nothing here is language. A text is something that somebody typed (a label, a name, the key of an output); whatever else
stands in a sentence is a value of its own kind, or another phrase.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TypeAlias

from portal.plan.input.answer_kinds import Value as AnswerValue

AND, SEMICOLONS, SENTENCES, COMMAS, PLUS = "and", "semicolons", "sentences", "commas", "plus"
"""How a list is joined."""


@dataclass(frozen=True)
class Numbers:
    """Numbers that are read as ranges: 3, 9-11."""

    numbers: tuple[int, ...]


@dataclass(frozen=True)
class Box:
    """Inputs of one stage box; ``box`` is empty where there is only one."""

    box: str
    inputs: tuple[int, ...]


@dataclass(frozen=True)
class Inputs:
    """Inputs of the house's stage boxes."""

    boxes: tuple[Box, ...]


@dataclass(frozen=True)
class MixerOutput:
    """An output of the band's mixer by its key; the sentence says that it is one."""

    out: str


@dataclass(frozen=True)
class Length:
    """A length in centimetres."""

    cm: int


@dataclass(frozen=True)
class Measure:
    """A figure in thousandths of its unit, which the sentence names."""

    thousandths: int


@dataclass(frozen=True)
class Answered:
    """An answer to a question; ``answer`` is ``None`` for what is assumed meanwhile."""

    question: str
    answer: AnswerValue | None


@dataclass(frozen=True)
class Choice:
    """A key of a closed list, such as the kinds of path."""

    of: str
    choice: str


@dataclass(frozen=True)
class Listed:
    """Values in a row, joined as ``by`` says."""

    listed: tuple[Value, ...]
    by: str = AND


@dataclass(frozen=True)
class Phrase:
    """A sentence or a part of one by its key, with a value for each of its slots."""

    key: str
    parameters: Mapping[str, Value] = field(default_factory=dict)

    def __hash__(self) -> int:
        return hash((self.key, frozenset(self.parameters.items())))


Value: TypeAlias = str | int | Numbers | Inputs | MixerOutput | Length | Measure | Answered | Choice | Listed | Phrase

Said: TypeAlias = Phrase | str
"""What is said. A text is what somebody typed, or the finished English of a plan of engine 8 or older."""


def listed(values: Iterable[Value]) -> Listed:
    """Values in a sentence, each once: "A", "A and B", "A, B and C"."""
    return Listed(tuple(dict.fromkeys(values)))


def these(values: Iterable[Value]) -> Phrase:
    """Values in a row as a phrase of their own, each once."""
    return Phrase("these", {"things": listed(values)})


def side_by_side(values: Iterable[Said], by: str = SEMICOLONS) -> Said:
    """Notes or reasons one after another, each once; alone where there is only one, and nothing for none."""
    found = tuple(dict.fromkeys(values))
    return Phrase("these", {"things": Listed(found, by)}) if len(found) > 1 else found[0] if found else ""


def parts_of(said: Said, by: str = SEMICOLONS) -> tuple[Value, ...]:
    """What ``side_by_side`` joined; of a plan that was stored with finished English, its clauses."""
    if isinstance(said, str):
        return tuple(filter(None, said.split("; ")))
    things = said.parameters.get("things")
    return things.listed if isinstance(things, Listed) and things.by == by else (said,)


def thousandths(figure: float) -> Measure:
    """A figure that may have decimals."""
    return Measure(round(figure * 1000))


def metres(length: float) -> Length:
    """A length in metres."""
    return Length(round(length * 100))


def sentences(*said: Phrase | None) -> Phrase:
    """Whole sentences one after another; alone where there is only one."""
    found = tuple(one for one in said if one is not None)
    return found[0] if len(found) == 1 else Phrase("sentences", {"sentences": Listed(found, SENTENCES)})


def phrases_in(said: Said | Value) -> Iterator[Phrase]:
    """A phrase and every phrase inside it."""
    if isinstance(said, Listed):
        for one in said.listed:
            yield from phrases_in(one)
    elif isinstance(said, Phrase):
        yield said
        for value in said.parameters.values():
            yield from phrases_in(value)
