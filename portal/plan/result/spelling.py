"""How a plan of schema 1 spells what feeds an input of the mixer, which leg a line takes and what is done about 48 V.

Such a plan holds words where a key belongs, and its hash covers them. Here the words are made, and here alone they are
read: whoever decides anything by them asks for the key.
"""

from __future__ import annotations

from enum import Enum

from portal.plan.model import AT_THE_DESK, NEVER, EarInput, Line, Path
from portal.plan.phrase import Listed, Phrase, Said, Value


class Feed(Enum):
    """What feeds an input of the band's mixer."""

    SPLITTER = "splitter"
    HOUSE_SPLITTER = "house-splitter"
    STRAIGHT = "straight"
    PAST_A_SPLITTER = "past-a-splitter"
    NOTHING = "nothing"


STRAIGHT_IN = "straight in"
_PAST = "straight in, past "
_FREE = "input stays free: "
_TAIL, _OF_THE_HOUSE = "tail ", " of the house's splitter"
_WAY = ", way "


TO_RESOLVE = "To resolve: "
"""What stands before the titles of what was open, in the sentence of a plan."""

TO_RESOLVE_KEY, CONFIRMED = "to-resolve", "confirmed"


def once_agreed(said: Said) -> Said:
    """A plan's sentence once both sides signed: what was to resolve is confirmed by that."""
    if isinstance(said, str):
        return said.replace(TO_RESOLVE, "Confirmed: ")
    if said.key == TO_RESOLVE_KEY:
        return Phrase(CONFIRMED, said.parameters)
    return Phrase(said.key, {name: _once_agreed(value) for name, value in said.parameters.items()})


def _once_agreed(value: Value) -> Value:
    if isinstance(value, Listed):
        return Listed(tuple(map(_once_agreed, value.listed)), value.by)
    return once_agreed(value) if isinstance(value, Phrase) else value


def past(splitter: str) -> str:
    """A source that goes past a splitter that would starve it of 48 V."""
    return f"{_PAST}{splitter}: unplug its tail there"


def way_words(splitter: str, way: int | None) -> str:
    """A way of one of the band's splitters."""
    return f"{splitter}{_WAY}{way}"


def tail_of_the_house(socket: str) -> str:
    """A tail of the house's splitter; it bears the number of its stage box input."""
    return f"{_TAIL}{socket}{_OF_THE_HOUSE}"


def stays_free(why: str) -> str:
    """An input whose source is not plugged tonight."""
    return f"{_FREE}{why}"


def feed_of(one: EarInput) -> Feed:
    """What feeds an input of the band's mixer."""
    words = one.fed_by
    if one.way is not None:
        return Feed.SPLITTER
    if words.startswith(_FREE):
        return Feed.NOTHING
    if words.startswith(_PAST):
        return Feed.PAST_A_SPLITTER
    if words.endswith(_OF_THE_HOUSE):
        return Feed.HOUSE_SPLITTER
    # Plans from before ways were stored say the way in words only.
    return Feed.SPLITTER if _WAY in words else Feed.STRAIGHT


STRAIGHT_FEEDS = frozenset({Feed.STRAIGHT, Feed.PAST_A_SPLITTER})
"""What is plugged into the mixer itself."""


def feed_said(one: EarInput) -> str:
    """What feeds an input, for documents: nobody on stage calls a cable of its own "straight in"."""
    return one.fed_by.replace(STRAIGHT_IN, "own cable", 1) if feed_of(one) in STRAIGHT_FEEDS else one.fed_by


_LEG = " output"


def leg_words(kind: str, key: str) -> str:
    """An output of a splitter's way: isolated or direct, and its key where it has one."""
    return f"{kind}{_LEG} {key}".strip()


def leg_of(path: Path) -> str:
    """Which output of a splitter's way a line takes, isolated or direct; empty where no splitter of the band's feeds
    it.
    """
    return path.output.partition(_LEG)[0] if path.kind == "split" else ""


def leg_named(path: Path) -> str:
    """The output of a splitter's way in a few words: "isolated", "direct A"."""
    return path.output.replace(_LEG, "", 1)


def has_loose_transformer(line: Line) -> bool:
    """Whether a loose transformer lies in a line; plans from before lines were marked say it among its cables."""
    return line.transformer or _TRANSFORMER in line.run


WHERE = {
    "ears-only": "in-ears only",
    "ears-only-tonight": "in-ears only tonight",
    "not-plugged": "not plugged",
    "in-the-ears-from-the-house": "in the in-ears from the house",
}
"""Where a source stays that the house's desk does not get, in words."""

_TRANSFORMER = "transformer"

DESK_SWITCH = {**AT_THE_DESK, "never": NEVER, "none": "–", "bank": "ON with the bank"}
"""What the house does with the 48 V switch of a line -> how it is said; ``bank``: its bank is on for another row."""

_SWITCH_OF = {words: key for key, words in DESK_SWITCH.items()}


def desk_switch(line: Line) -> str:
    """What the house does with the 48 V switch of a line: a key of ``DESK_SWITCH``."""
    return _SWITCH_OF.get(line.at_the_desk, "")
