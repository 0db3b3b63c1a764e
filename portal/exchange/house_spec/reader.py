"""Reads a spec: every rule on every statement, then what the findings say together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from portal.exchange.house_spec.facts.choices import read_choices
from portal.exchange.house_spec.facts.counts import read_counts
from portal.exchange.house_spec.facts.levels import read_levels
from portal.exchange.house_spec.facts.mains import read_mains
from portal.exchange.house_spec.facts.people import People
from portal.exchange.house_spec.facts.places import read_places
from portal.exchange.house_spec.facts.radio import read_radio
from portal.exchange.house_spec.facts.sizes import Sizes
from portal.exchange.house_spec.facts.sockets import read_sockets
from portal.exchange.house_spec.facts.times import read_times
from portal.exchange.house_spec.finding import Finds
from portal.exchange.house_spec.proposals import Doubt, Passage, Proposal, SpecReading, parted
from portal.exchange.house_spec.text.statements import Statement, statements
from portal.exchange.house_spec.topics import takes_several
from portal.plan.input.answer_kinds import read_numbers

MOST_SIGNS = 60_000
"""Signs of a text that are read, about twenty pages; the rest is kept and handed back as not understood."""


def read_spec(text: str) -> SpecReading:
    """What a house's spec says, as proposals. The text may be anything; what nothing was read from is handed back as
    passages.
    """
    read = text[:MOST_SIGNS]
    finds, sizes, people = Finds(read), Sizes(), People()
    found = statements(read)
    for statement in found:
        read_sockets(statement, finds)
        read_mains(statement, finds)
        sizes.read(statement, finds)
        read_counts(statement, finds)
        read_choices(statement, finds)
        read_places(statement, finds)
        read_levels(statement, finds)
        read_radio(statement, finds)
        read_times(statement, finds)
        people.read(statement, finds)
    answers, facts = parted(_compared(_unlike(finds.found)))
    return SpecReading(text, answers, facts, tuple(_left(text, found)))


def _unlike(found: Iterable[Proposal]) -> list[Proposal]:
    """Each value of a topic once, with the words of the surest place and the other places beside it; and the free
    inputs, where they follow.
    """
    alike: dict[tuple[str, object, str], list[Proposal]] = {}
    for one in found:
        alike.setdefault((one.topic, one.value, one.note), []).append(one)
    best = [_best(ones) for ones in alike.values()]
    return [*best, *_free(best)]


def _best(ones: list[Proposal]) -> Proposal:
    best = min(ones, key=lambda one: len(one.doubts))
    others = {(one.start, one.end): Passage(one.words, one.start, one.end) for one in ones}
    others.pop((best.start, best.end))
    return replace(best, also=tuple(others.values()))


def _free(found: list[Proposal]) -> list[Proposal]:
    boxes = [one for one in found if one.topic == "box-inputs"]
    if len(boxes) != 1 or any(one.topic == "inputs-free" for one in found):
        return []
    kept = {number for one in found if one.topic == "kept-sockets" for number in read_numbers(str(one.value))}
    box = boxes[0]
    total = int(box.value)
    free = total - sum(1 for number in kept if number <= total)
    return [replace(box, topic="inputs-free", value=free, doubts=tuple(dict.fromkeys((*box.doubts, Doubt.DERIVED))))]


def _compared(found: Iterable[Proposal]) -> list[Proposal]:
    """The proposals, those marked that contradict another one."""
    listed = list(found)
    values: dict[str, set[object]] = {}
    for one in listed:
        if Doubt.CONDITION not in one.doubts:
            values.setdefault(one.topic, set()).add(one.value)
    return [
        (
            replace(one, doubts=tuple(dict.fromkeys((*one.doubts, Doubt.TWO_VALUES))))
            if len(values.get(one.topic, ())) > 1 and not takes_several(one.topic)
            else one
        )
        for one in listed
    ]


def _left(text: str, found: Iterable[Statement]) -> Iterable[Passage]:
    """Statements from which nothing was read, headings and bare signs aside, and what lies beyond the part that is
    read.
    """
    for statement in found:
        words = [token for token in statement.tokens if token.kind not in {"stop", "sign"}]
        if words and not statement.understood and not statement.heading:
            start, end = words[0].start, words[-1].end
            yield Passage(text[start:end], start, end)
    if len(text) > MOST_SIGNS:
        yield Passage(text[MOST_SIGNS:], MOST_SIGNS, len(text))
