"""How the band's own mix gets to the house: the cables and looms that reach, joined end to end where one is too short.

XLR cables and looms join without a coupler. The transformer lies at the house's end, with a short cable behind it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations_with_replacement

from portal.plan.input.facts import Facts
from portal.plan.input.rig import Loom
from portal.plan.phrase import COMMAS, PLUS, Listed, Phrase, Said, metres, side_by_side

SLACK_M = 2.0
"""Spare length of a run (common practice, no source)."""

BEHIND_THE_TRANSFORMER_M = 1.0
USUAL_M = 10.0
"""A run whose length nobody stated, where the band has no loom (assumption)."""

MOST_PIECES = 4
LENGTHS = 12
"""Different lengths that are tried, the longest first: more pieces than that nobody joins."""

Pieces = tuple[float, ...]


@dataclass(frozen=True)
class Runs:
    """The way of each line: through ``loom`` where there is one, and the loose ``pieces`` of each line. ``needed_m`` is
    the length with its slack, ``None`` where nobody stated it; ``reaches`` is false where the band owns nothing that
    does.
    """

    loom: Loom | None
    pieces: tuple[Pieces, ...]
    needed_m: float | None
    reaches: bool = True

    def said(self, line: int, *, transformer: bool) -> Said:
        """The cables of one line, as its row says them."""
        assumed = self.needed_m is None and self.pieces[line]
        way = Phrase("cables-unjoined.assumed", self.joined(line).parameters) if assumed else self.joined(line)
        length = metres(BEHIND_THE_TRANSFORMER_M)
        behind = [Phrase("transformer-at-the-houses-end", {"length": length})] if transformer else []
        return side_by_side([way, *behind], COMMAS)

    def joined(self, line: int) -> Phrase:
        """The cables of one line, as a sentence names them."""
        through = (self.loom.name or self.loom.key,) if self.loom else ()
        pieces = (*through, *(Phrase("xlr-of-length", {"length": metres(one)}) for one in self.pieces[line]))
        return Phrase(
            "cables-joined-end-to-end" if len(pieces) > 1 else "cables-unjoined", {"pieces": Listed(pieces, PLUS)}
        )


def runs_of(facts: Facts, count: int, *, apart: bool = False) -> Runs:
    """The runs of so many lines of one mix, with the fewest joins; cables before a loom that does the same.
    ``apart``: its sides end at two boxes, so no loom carries both.
    """
    distance = facts.value("box-distance")
    owned = facts.rig.loose_cables
    looms = sorted(
        (loom for loom in facts.rig.loom if loom.ways >= count and not apart), key=lambda loom: (loom.ways, loom.key)
    )
    if not isinstance(distance, int):
        return Runs(looms[0], ((),) * count, None) if looms else Runs(None, ((USUAL_M,),) * count, None)
    needed = distance / 100 + SLACK_M
    return _found(owned, looms, count, distance / 100, needed) or Runs(
        None, ((needed,),) * count, needed, reaches=not (facts.rig.loom or owned)
    )


def _found(owned: Counter[float], looms: list[Loom], count: int, distance: float, needed: float) -> Runs | None:
    if loose := _cables(owned, count, needed, 1):
        return Runs(None, loose, needed)
    # A loom's length is measured for the way along the floor and up both ends: it needs no more than the distance.
    if loom := next((loom for loom in looms if loom.length_m is None or loom.length_m >= distance), None):
        return Runs(loom, ((),) * count, needed)
    for pieces in range(2, MOST_PIECES + 1):
        if loose := _cables(owned, count, needed, pieces):
            return Runs(None, loose, needed)
        for loom in sorted(looms, key=lambda loom: -(loom.length_m or 0)):
            if more := _cables(owned, count, needed - (loom.length_m or 0), pieces - 1):
                return Runs(loom, more, needed)
    return None


def _cables(owned: Counter[float], count: int, needed: float, pieces: int) -> tuple[Pieces, ...]:
    """So many pieces for each line, the shortest that reach; alike where that can be. Empty where there are none."""
    chosen: list[Pieces] = []
    left = owned.copy()
    alike = next((one for one in _long_enough(owned, needed, pieces) if _covers(owned, Counter(one), count)), None)
    while len(chosen) < count:
        one = alike or next((one for one in _long_enough(left, needed, pieces) if _covers(left, Counter(one), 1)), None)
        if one is None:
            return ()
        chosen.append(one)
        left = left - Counter(one)
    return tuple(chosen)


def _long_enough(owned: Counter[float], needed: float, pieces: int) -> Iterator[Pieces]:
    lengths = sorted(owned, reverse=True)[:LENGTHS] if pieces > 1 else sorted(owned, reverse=True)
    found = [one for one in combinations_with_replacement(lengths, pieces) if sum(one) >= needed]
    yield from sorted(found, key=lambda one: (sum(one), one))


def _covers(owned: Counter[float], wanted: Counter[float], times: int) -> bool:
    return all(owned[metres] >= number * times for metres, number in wanted.items())
