"""What is read in one label: the reading that the reader proposes and a person confirms."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import NamedTuple

from portal.plan.input.kinds import KINDS


class Certainty(StrEnum):
    """How far a reading can be trusted."""

    SURE = "sure"
    AMBIGUOUS = "ambiguous"
    UNKNOWN = "unknown"


class Part(NamedTuple):
    """One of several microphones that one label names: the word that tells it apart, where it stands, or how it picks
    up.

    ``second``: it hears what the first one hears.
    """

    word: str
    position: str = ""
    capture: str = ""
    second: bool = False


class Beside(NamedTuple):
    """What other columns say of a label: their words, those of a column about stands, a quantity."""

    said: str = ""
    stand: str = ""
    quantity: int | None = None


@dataclass(frozen=True)
class Reading:
    """A proposed reading of one label.

    ``what`` is a sound id, empty where nothing is proposed; ``alternatives`` begin with the likeliest, and an empty one
    means *no source, leave it out*. ``rows`` is how many rows the label stands for, 0 where that has to be asked;
    ``pair``: the two rows are left and right of one thing. ``parts``: the rows are microphones that the label tells
    apart; ``apart``: labels of several sources that it may name. ``side``: the label names one leg, and ``leg`` says
    whether it is half of a pair (``None``: to be asked). ``label`` is the label without a quantity, ``stem`` the label
    without the words of its parts. ``leads``: the singer is called a leader, not the lead. ``doubts`` are sentences;
    ``kind_open``: one of them is about what it is.
    """

    certainty: Certainty = Certainty.SURE
    what: str = ""
    alternatives: tuple[str, ...] = ()
    position: str = ""
    side: str = ""
    leg: bool | None = False
    rows: int = 1
    pair: bool = False
    parts: tuple[Part, ...] = ()
    apart: tuple[str, ...] = ()
    label: str = ""
    stem: str = ""
    capture: str = ""
    phantom: str = ""
    stand: str = ""
    owner: str = ""
    place: str = ""
    role: str = ""
    leads: bool = False
    player: str = ""
    index: str = ""
    optional: bool = False
    spare: bool = False
    doubts: tuple[str, ...] = ()
    kind_open: bool = False

    @property
    def asks_kind(self) -> bool:
        """True where a person has to say what it is."""
        return self.kind_open or not (self.what or self.spare)

    @property
    def asks_rows(self) -> bool:
        """True where a person has to say how many rows it makes, or whether it is one leg of a pair."""
        return not self.spare and (self.rows == 0 or self.leg is None)


def doubtful(reading: Reading, sentence: str, alternatives: Iterable[str] = ()) -> Reading:
    """The reading with a doubt: it is no longer sure. With alternatives the doubt is about what it is."""
    certainty = Certainty.UNKNOWN if reading.certainty is Certainty.UNKNOWN else Certainty.AMBIGUOUS
    others = tuple(dict.fromkeys((*alternatives, *reading.alternatives)))
    kind_open = reading.kind_open or others != reading.alternatives
    return replace(
        reading, certainty=certainty, doubts=(*reading.doubts, sentence), alternatives=others, kind_open=kind_open
    )


def in_words(what: str) -> str:
    """The words of a sound id as a sentence uses them."""
    return KINDS[what].words.lower() if what in KINDS else "no source"
