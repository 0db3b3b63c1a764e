"""What the engine says, in the reader's language: one entry for each key, values of each kind in one place."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import singledispatch

from portal.plan.input.answer_kinds import write_numbers
from portal.plan.input.questions import QUESTIONS
from portal.plan.phrase import (
    AND,
    COMMAS,
    PLUS,
    SEMICOLONS,
    SENTENCES,
    Answered,
    Choice,
    Inputs,
    Length,
    Listed,
    Measure,
    MixerOutput,
    Numbers,
    Phrase,
    Said,
    Value,
)
from portal.wording.answers import say_value
from portal.wording.catalogue import ENGLISH, look_up, look_up_count, read_in
from portal.wording.formats import METRES, join_and, join_clauses, lengths_in, measured_in, say_metres, say_number
from portal.wording.kinds import say_stand
from portal.wording.plan.choices import CHOICES
from portal.wording.plan.cuts import CUTS
from portal.wording.plan.differences import DIFFERENCES
from portal.wording.plan.entry import Entries, Entry, Plural
from portal.wording.plan.figures import FIGURES
from portal.wording.plan.names import NAMES
from portal.wording.plan.packing import PACKING
from portal.wording.plan.parts import LIMITS, PARTS, SUMMARIES
from portal.wording.plan.reasons import REASONS
from portal.wording.plan.remedies import RACK_DIES, REMEDIES
from portal.wording.plan.stated import STATED
from portal.wording.plan.statements import STATEMENTS

ENTRIES: dict[str, Entries] = {
    "statements": STATEMENTS,
    "reasons": REASONS,
    "limits": LIMITS,
    "summaries": SUMMARIES,
    "cuts": CUTS,
    "remedies": REMEDIES,
    "rack dies": RACK_DIES,
    "differences": DIFFERENCES,
    "stated": STATED,
    "names": NAMES,
    "packing": PACKING,
    "figures": FIGURES,
    "parts": PARTS,
}
"""Every entry, by family."""

SENTENCE_OF = {key: entry for family in ENTRIES.values() for key, entry in family.items()}

STAGE_BOX = Plural("inputs", "stage box input {inputs}", "stage box inputs {inputs}")
NOT_KNOWN = "not known yet"

JOINED_BY: Mapping[str, Callable[[Iterable[str]], str]] = {
    AND: join_and,
    PLUS: " + ".join,
    SEMICOLONS: join_clauses,
    SENTENCES: " ".join,
    COMMAS: ", ".join,
}
"""What makes one text of several."""


def say(said: Said) -> str:
    """A phrase in words; the finished text of an older plan as it is. Raises ``KeyError`` for an unknown key."""
    return _words(said)


def in_english(value: Value) -> str:
    """A value in English and in metres, whoever reads: two of them are the same where they read alike."""
    with read_in(ENGLISH), measured_in(METRES):
        return _words(value)


@singledispatch
def _words(value: Value) -> str:
    return str(value)


@_words.register
def _phrase(phrase: Phrase) -> str:
    entry = SENTENCE_OF[phrase.key]
    sentence = _for_count(entry, _count(phrase.parameters[entry.by])) if isinstance(entry, Plural) else look_up(entry)
    text = lengths_in(sentence).format_map({name: _words(value) for name, value in phrase.parameters.items()})
    return text[:1].upper() + text[1:] if sentence.endswith((".", "?")) else text


def _for_count(entry: Plural, count: int) -> str:
    return look_up(entry.none) if entry.none and not count else look_up_count(entry.one, entry.many, count)


@_words.register
def _listed(values: Listed) -> str:
    return JOINED_BY[values.by](map(_words, values.listed))


@_words.register
def _numbers(value: Numbers) -> str:
    return write_numbers(value.numbers)


@_words.register
def _inputs(value: Inputs) -> str:
    boxes = Listed(tuple(f"{one.box} {write_numbers(one.inputs)}".strip() for one in value.boxes))
    return look_up_count(STAGE_BOX.one, STAGE_BOX.many, _count(value)).format(inputs=_words(boxes))


@_words.register
def _mixer_output(value: MixerOutput) -> str:
    return value.out.removeprefix("out-")


@_words.register
def _length(value: Length) -> str:
    return say_metres(value.cm / 100)


@_words.register
def _measure(value: Measure) -> str:
    return say_number(value.thousandths / 1000)


@_words.register
def _answered(value: Answered) -> str:
    question = QUESTIONS[value.question]
    if value.answer is None:
        return look_up(question.assumed_words or NOT_KNOWN)
    return say_value(question.kind, value.answer)


@_words.register
def _choice(value: Choice) -> str:
    if value.of == "stand":
        return say_stand(value.choice)
    english = CHOICES[value.of].get(value.choice)
    return value.choice if english is None else look_up(english)


def english_texts() -> Iterator[Entry]:
    """Everything that a catalogue has to say of what the engine says."""
    yield from SENTENCE_OF.values()
    yield from (STAGE_BOX, NOT_KNOWN)
    for words in CHOICES.values():
        yield from words.values()


def _count(value: Value) -> int:
    match value:
        case int():
            return value
        case Listed():
            return len(value.listed)
        case Numbers():
            return len(value.numbers)
        case Inputs():
            return sum(len(one.inputs) for one in value.boxes)
        case _:
            return 1
