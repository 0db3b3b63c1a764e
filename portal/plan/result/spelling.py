"""What feeds an input of the mixer, which leg a line takes, by which cables, and what is done about 48 V.

A plan of engine 8 or older holds words where a key belongs, and its hash covers them. Here alone they are read: whoever
decides anything by them asks for the key.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from enum import Enum

from portal.plan.model import DESK_SWITCH, EarInput, Line, Move, Path
from portal.plan.phrase import COMMAS, Choice, Listed, Phrase, Said, Value, parts_of, side_by_side


class Feed(Enum):
    """What feeds an input of the band's mixer."""

    SPLITTER = "splitter"
    HOUSE_SPLITTER = "house-splitter"
    STRAIGHT = "straight"
    PAST_A_SPLITTER = "past-a-splitter"
    NOTHING = "nothing"


_STRAIGHT_IN = "straight in"
_PAST = "straight in, past "
_FREE = "input stays free: "
_OF_THE_HOUSE = " of the house's splitter"
_WAY = ", way "
_FEEDS = {
    "fed-straight": Feed.STRAIGHT,
    "fed-past-a-splitter": Feed.PAST_A_SPLITTER,
    "fed-by-a-way": Feed.SPLITTER,
    "fed-by-a-tail": Feed.HOUSE_SPLITTER,
    "fed-by-nothing-tonight": Feed.NOTHING,
}


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


def past(splitter: str) -> Phrase:
    """A source that goes past a splitter that would starve it of 48 V."""
    return Phrase("fed-past-a-splitter", {"splitter": splitter})


def way_said(splitter: str, way: int | None) -> Phrase:
    """A way of one of the band's splitters."""
    return Phrase("fed-by-a-way", {"splitter": splitter, "way": way or 0})


def stays_free(why: Phrase) -> Phrase:
    """An input whose source is not plugged tonight."""
    return Phrase("fed-by-nothing-tonight", {"why": why})


def feed_of(one: EarInput) -> Feed:
    """What feeds an input of the band's mixer."""
    if isinstance(one.fed_by, Phrase):
        return _FEEDS[one.fed_by.key]
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


def through(one: EarInput) -> tuple[str, str] | None:
    """The splitter and the way of it, as written, that feed an input of the band's mixer; ``None`` for any other."""
    if feed_of(one) is not Feed.SPLITTER:
        return None
    if isinstance(one.fed_by, Phrase):
        return str(one.fed_by.parameters["splitter"]), str(one.fed_by.parameters["way"])
    splitter, _, way = one.fed_by.rpartition(_WAY)
    return splitter, way


STRAIGHT_FEEDS = frozenset({Feed.STRAIGHT, Feed.PAST_A_SPLITTER})
"""What is plugged into the mixer itself."""


def feed_said(one: EarInput) -> Said:
    """What feeds an input, for documents: nobody on stage calls a cable of its own "straight in"."""
    if feed_of(one) not in STRAIGHT_FEEDS:
        return one.fed_by
    if isinstance(one.fed_by, str):
        return one.fed_by.replace(_STRAIGHT_IN, "own cable", 1)
    past_one = feed_of(one) is Feed.PAST_A_SPLITTER
    return Phrase("own-cable.past-a-splitter", one.fed_by.parameters) if past_one else Phrase("own-cable")


_LEG = re.compile(r"(isolated|direct)(?::(.*)| output(?: (.*))?)?")
"""An output of a splitter's way; plans of engine 8 and older have the word between its kind and its key."""


def leg_key(kind: str, key: str) -> str:
    """An output of a splitter's way: isolated or direct, and its key where it has one."""
    return f"{kind}:{key}" if key else kind


def _leg(path: Path) -> tuple[str, str]:
    found = _LEG.fullmatch(path.output) if path.kind == "split" else None
    return (found[1], found[2] or found[3] or "") if found else ("", "")


def leg_of(path: Path) -> str:
    """Which output of a splitter's way a line takes, isolated or direct; empty where no splitter of the band's feeds
    it.
    """
    return _leg(path)[0]


def leg_said(path: Path) -> Phrase | None:
    """The output of a splitter's way in a few words: "isolated", "direct A"; ``None`` where a line leaves by none."""
    leg, key = _leg(path)
    return leg_named(leg, key) if leg else None


def leg_named(leg: str, key: str) -> Phrase:
    """The same of an output by its kind and key."""
    kind = Choice("splitter-leg", leg)
    return Phrase("leg.of-a-key", {"leg": kind, "output": key}) if key else Phrase("leg", {"named": kind})


def cables_of(line: Line) -> Said:
    """The loom with its way and what else the band's own mix runs through, each once."""
    if line.loom is None:
        return line.run
    way = Phrase("loom-way", {"loom": line.loom.name, "way": line.loom.way})
    if isinstance(line.run, str):
        said = f"{line.loom.name} way {line.loom.way}"
        if line.run.startswith(line.loom.name):
            return said + line.run.removeprefix(line.loom.name)
        return f"{said}, {line.run}" if line.run else way
    through_it, *behind = parts_of(line.run, COMMAS)
    pieces = through_it.parameters.get("pieces") if isinstance(through_it, Phrase) else None
    if not isinstance(through_it, Phrase) or not isinstance(pieces, Listed) or pieces.listed[0] != line.loom.name:
        return side_by_side([way, line.run], COMMAS)
    named = {"pieces": Listed((way, *pieces.listed[1:]), pieces.by)}
    return side_by_side([Phrase(through_it.key, named), *(one for one in behind if isinstance(one, Phrase))], COMMAS)


def has_loose_transformer(line: Line) -> bool:
    """Whether a loose transformer lies in a line; plans from before lines were marked say it among its cables."""
    return line.transformer or (isinstance(line.run, str) and _TRANSFORMER in line.run)


def notes_of(line: Line, moves: Iterable[Move]) -> Said:
    """What a line's row has to tell, without the moves of plugs, which are told elsewhere."""
    told = {move.told for move in moves}
    if isinstance(line.note, str):
        words = {f"plugged for mixer input {one.tonight} tonight, not {one.rig_input}" for one in moves}
        return "; ".join(part for part in line.note.split("; ") if part not in words)
    return side_by_side(part for part in parts_of(line.note) if isinstance(part, Phrase | str) and part not in told)


WHERE = {
    "ears-only": "in-ears only",
    "ears-only-tonight": "in-ears only tonight",
    "not-plugged": "not plugged",
    "in-the-ears-from-the-house": "in the in-ears from the house",
}
"""Where a source stays that the house's desk does not get, in words."""

_TRANSFORMER = "transformer"

_SWITCH_OF = {words: key for key, words in DESK_SWITCH.items()} | {
    "OFF, band feeds": "band",
    "OFF, splitter feeds": "splitter",
}
"""Words, those of then too -> what the house does with the switch."""


def desk_switch(line: Line) -> str:
    """What the house does with the 48 V switch of a line: a key of ``DESK_SWITCH``."""
    return _SWITCH_OF.get(line.at_the_desk, "")
