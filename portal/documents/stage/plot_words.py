"""Words beside the signs of a drawing: each where it covers nothing else, at its sign or a little way off with a line
to it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from portal.documents.labels.label_text import width_em

Side = Literal["below", "above", "right", "left"]
"""Where words may stand at their sign; right and left are the paper's."""

LINE = 1.15
"""From one line of words to the next, as a multiple of the type."""

RISE, FALL = 0.75, 0.25
"""What a line takes above and below its baseline, as a multiple of the type."""

AWAY = (2.2, 3.4, 4.8)
"""How far off words may stand that find no room at their sign, as multiples of the type."""

AROUND = ((0, 1), (1, 1), (-1, 1), (1, 0), (-1, 0), (1, -1), (-1, -1), (0, -1))
"""The directions that are tried, below first."""


@dataclass(frozen=True)
class Area:
    """A rectangle of the drawing, in its units."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Area) -> bool:
        """True where the two share more than an edge."""
        return (
            self.left < other.right and other.left < self.right and self.top < other.bottom and other.top < self.bottom
        )

    def holds(self, other: Area) -> bool:
        """True where the other lies inside."""
        return (
            self.left <= other.left
            and other.right <= self.right
            and self.top <= other.top
            and other.bottom <= self.bottom
        )


@dataclass(frozen=True)
class Word:
    """One line of words, in units from the middle of its sign: ``x`` and ``y`` are its anchor and its baseline."""

    x: int
    y: int
    anchor: str
    text: str


@dataclass(frozen=True)
class Words:
    """The lines of one sign, and where a line to them ends, from the middle of the sign; ``None`` where they stand at
    it.
    """

    lines: tuple[Word, ...] = ()
    lead: tuple[int, int] | None = None


def around(x: float, y: float, wide: float, high: float) -> Area:
    """The rectangle with this middle."""
    return Area(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)


class Room:
    """What is taken in a drawing of one size of type. Words never cover signs or other words; they cross lines only
    where there is no other room.
    """

    def __init__(self, whole: Area, size: float) -> None:
        self._whole = whole
        self._size = size
        self._taken: list[Area] = []
        self._lines: list[Area] = []

    def take(self, *areas: Area) -> None:
        """Nothing may cover these."""
        self._taken += areas

    def draw(self, *areas: Area) -> None:
        """Lines, which words cross only at need."""
        self._lines += areas

    def put(
        self, x: float, y: float, sign: Area, lines: Sequence[str], sides: Iterable[Side], *, away: bool = False
    ) -> Words:
        """Words for a sign with its middle at x, y, at the first side that has room; none where none has. ``away``: off
        the sign will do.
        """
        near = [_at(side, sign, x, y, lines, self._size) for side in sides]
        far = list(_off(sign, x, y, lines, self._size)) if away else []
        others = [area for area in self._taken if area is not sign]
        for crossed in (self._lines, []):
            for words, area in (*near, *far):
                if self._whole.holds(area) and not any(map(area.meets, others)) and not any(map(area.meets, crossed)):
                    self.take(area)
                    return words
        return Words()


def _lines(lines: Sequence[str], x: float, top: float, anchor: str, size: float) -> tuple[Word, ...]:
    return tuple(
        Word(round(x), round(top + size * (RISE + LINE * index)), anchor, text) for index, text in enumerate(lines)
    )


def _span(lines: Sequence[str], size: float) -> tuple[float, float]:
    return max(map(width_em, lines)) * size, size * (RISE + FALL + LINE * (len(lines) - 1))


def _at(side: Side, sign: Area, x: float, y: float, lines: Sequence[str], size: float) -> tuple[Words, Area]:
    """Words at one side of their sign, and what they take."""
    wide, high = _span(lines, size)
    gap = size / 4
    if side in ("below", "above"):
        top = sign.bottom + gap / 2 if side == "below" else sign.top - gap / 2 - high
        return Words(_lines(lines, 0, top - y, "middle", size)), Area(x - wide / 2, top, x + wide / 2, top + high)
    top = y - high / 2
    if side == "right":
        return Words(_lines(lines, sign.right + gap - x, top - y, "start", size)), Area(
            sign.right, top, sign.right + gap + wide, top + high
        )
    return Words(_lines(lines, sign.left - gap - x, top - y, "end", size)), Area(
        sign.left - gap - wide, top, sign.left, top + high
    )


def _off(sign: Area, x: float, y: float, lines: Sequence[str], size: float) -> Iterator[tuple[Words, Area]]:
    """Words off their sign, nearest first, with the end of the line that leads to them."""
    wide, high = _span(lines, size)
    half = (sign.right - sign.left) / 2
    for distance in AWAY:
        for across, down in AROUND:
            # The line ends where the words begin.
            end_x, end_y = (
                across * (half + distance * size),
                down * (half + distance * size * (1 if not across else 0.7)),
            )
            left = end_x - wide / 2 if not across else end_x if across > 0 else end_x - wide
            top = end_y - high / 2 if not down else end_y if down > 0 else end_y - high
            anchor = "middle" if not across else "start" if across > 0 else "end"
            words = Words(_lines(lines, end_x, top, anchor, size), (round(end_x), round(end_y)))
            yield words, Area(x + left, y + top, x + left + wide, y + top + high)
