"""Labels that tell rows apart: rows of one label and one player get numbers, so that no list is refused for equal
labels.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace

from portal.exchange.band_list.row_labels import with_word
from portal.plan.input.rig import Source

Name = tuple[str, str]


def told_apart(sources: Sequence[Source], beside: Iterable[Source] = ()) -> tuple[Source, ...]:
    """The sources, those of one label and one player numbered; so are those that a row ``beside`` them, which stays as
    it is, is called like.

    Left and right of one pair keep one label between them.
    """
    theirs = {_name(source) for source in beside}
    units = _units(sources)
    times = Counter(_name(unit[0]) for unit in units)
    taken = theirs | {name for name, count in times.items() if count == 1}
    last = {name: int(name in theirs) for name in times}
    labels: dict[str, str] = {}
    for unit in units:
        name, label = _name(unit[0]), unit[0].label
        while times[name] > 1 or name in theirs:
            last[name] += 1
            label = with_word(unit[0].label.strip(), str(last[name]))
            if _named(label, unit[0].player) not in taken:
                taken.add(_named(label, unit[0].player))
                break
        labels |= {source.key: label for source in unit}
    return tuple(replace(source, label=labels[source.key]) for source in sources)


def _units(sources: Sequence[Source]) -> list[list[Source]]:
    """The sources one by one, halves of one pair that share their label together."""
    by_key = {source.key: source for source in sources}
    units: list[list[Source]] = []
    done: set[str] = set()
    for source in sources:
        other = by_key.get(source.pair_with)
        if source.key in done:
            continue
        if other is not None and other is not source and _are_one(source, other):
            done.add(other.key)
            units.append([source, other])
        else:
            units.append([source])
    return units


def _are_one(source: Source, other: Source) -> bool:
    placed = source.position and other.position and source.position != other.position
    return bool(placed) and other.pair_with == source.key and _name(source) == _name(other)


def _name(source: Source) -> Name:
    return _named(source.label, source.player)


def _named(label: str, player: str) -> Name:
    return label.strip().casefold(), player.strip().casefold()
