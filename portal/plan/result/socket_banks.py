"""Sockets by bank: where the house switches 48 V for several at once, what it can harm goes to a bank that stays off.

Lines exchange places, as few as will do. The two lines of a pair move together, to the places of a pair; what both
sides agreed on stays where it is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from portal.plan.input.facts import Facts, Lock
from portal.plan.options.boxes import pair_places
from portal.plan.result.routing import Sent, harmed_at_the_desk, phantom_of

BANKS = {"banks-of-4": 4, "banks-of-8": 8}

Bank = tuple[bool, int]
"""Whether it is in the second box, and its number there."""


def apart_by_bank(
    lines: Sequence[Sent], places: Mapping[int, int], facts: Facts, locks: Sequence[Lock], before: int = 0
) -> dict[int, int]:
    """Places by ``id`` with what 48 V can harm out of the banks in which the house feeds a microphone; as they were
    where no exchange does that. ``before``: places of the first box, whose banks are counted apart.
    """
    size = BANKS.get(str(facts.value("phantom-switching")))
    found = {id(sent): places[id(sent)] for sent in lines}
    if size is None:
        return found
    agreed = {lock.source for lock in locks if lock.resource == "desk-channel"}
    sockets = _Sockets(lines, size, before, agreed)
    if sockets.are_apart(found):
        return found
    tried = [sockets.exchanged(found, powered) for powered in sockets.choices(found)]
    apart = [one for one in tried if sockets.are_apart(one)]
    return min(apart, key=lambda one: sum(one[key] != place for key, place in found.items()), default=found)


class _Sockets:
    """The lines at a box or two: which of them the house feeds, which 48 V can harm, and which may move."""

    def __init__(self, lines: Sequence[Sent], size: int, before: int, agreed: set[str]) -> None:
        self.size, self.before = size, before
        self.by_id = {id(sent): sent for sent in lines}
        self.fed = {id(sent) for sent in lines if phantom_of(sent) == "house"}
        self.harmed = {id(sent) for sent in lines if harmed_at_the_desk(sent)}
        self.fixed = {id(sent) for sent in lines if agreed & {source.key for source in sent.sources}}

    def bank(self, place: int) -> Bank:
        second = place > self.before > 0
        return second, (place - 1 - (self.before if second else 0)) // self.size

    def are_apart(self, places: Mapping[int, int]) -> bool:
        """Whether no bank holds both what the house feeds and what 48 V can harm."""
        fed, harmed = ({self.bank(places[key]) for key in keys} for keys in (self.fed, self.harmed))
        return not fed & harmed

    def choices(self, places: Mapping[int, int]) -> Iterator[frozenset[Bank]]:
        """Banks that might be the powered ones: each alone, and then more and more, those first where least has to
        move.
        """
        banks = sorted(
            {self.bank(place) for place in places.values()},
            key=lambda one: (sum((key in self.harmed) - (key in self.fed) for key in self._in(one, places)), one),
        )
        yield from (frozenset({one}) for one in banks)
        yield from (frozenset(banks[:count]) for count in range(2, len(banks)))

    def _in(self, bank: Bank, places: Mapping[int, int]) -> list[int]:
        return [key for key, place in places.items() if self.bank(place) == bank]

    def exchanged(self, places: Mapping[int, int], powered: frozenset[Bank]) -> dict[int, int]:
        """The places once what stands on the wrong side of the powered banks has gone to the other, as far as that
        can be.
        """
        found = dict(places)
        for key in sorted(places, key=lambda one: places[one]):
            if self._strays(key, found[key], powered) and (change := self._change(key, found, powered)):
                mine, theirs = change
                left, taken = [found[one] for one in mine], [found[one] for one in theirs]
                found |= dict(zip((*mine, *theirs), (*taken, *left), strict=True))
        return found

    def _change(
        self, key: int, places: Mapping[int, int], powered: frozenset[Bank]
    ) -> tuple[tuple[int, ...], tuple[int, ...]] | None:
        """What goes to the other side with a line, and what comes back for it: the fewest lines, those first that stand
        on the wrong side as well.
        """
        box, on = self.bank(places[key])[0], self.bank(places[key]) in powered
        groups = [
            group
            for group in self._groups(places)
            if not any(one in self.fixed or self._needs(one, places[one], powered) for one in group)
        ]
        there = [
            group
            for group in groups
            for bank in [self.bank(places[group[0]])]
            if bank[0] == box and (bank in powered) != on
        ]
        found = [
            (mine, theirs)
            for mine in groups
            if key in mine
            for theirs in there
            if len(mine) == len(theirs) and (len(mine) == 1 or self._is_pair(mine) or self._is_pair(theirs))
        ]
        return min(
            found,
            key=lambda one: (
                len(one[0]),
                -sum(self._strays(other, places[other], powered) for other in one[1]),
                places[one[1][0]],
            ),
            default=None,
        )

    def _groups(self, places: Mapping[int, int]) -> Iterator[tuple[int, ...]]:
        """What may move together: each single line, and what stands on the two places of a pair."""
        at = {place: key for key, place in places.items()}
        for place, key in sorted(at.items()):
            if not self.by_id[key].pair:
                yield (key,)
            first, second = pair_places(place)
            if place == first and second in at and self.by_id[key].pair == self.by_id[at[second]].pair:
                yield key, at[second]

    def _is_pair(self, group: tuple[int, ...]) -> bool:
        return bool(self.by_id[group[0]].pair)

    def _strays(self, key: int, place: int, powered: frozenset[Bank]) -> bool:
        on = self.bank(place) in powered
        return (on and key in self.harmed) or (not on and key in self.fed)

    def _needs(self, key: int, place: int, powered: frozenset[Bank]) -> bool:
        """Whether a line has to stay on its side."""
        on = self.bank(place) in powered
        return (on and key in self.fed) or (not on and key in self.harmed)
