"""Where each line ends at the house while the cut list is carried out: its loom way, if any, and its box input."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from portal.plan.input.facts import Facts
from portal.plan.model import Line
from portal.plan.phrase import Phrase, Value
from portal.plan.result.routing import Routing, Sent, harmed_at_the_desk, phantom_of
from portal.plan.result.transformers import asks_for_transformer, bank_of
from portal.plan.result.unchecked_plan import box_input
from portal.plan.solving.cut_clauses import with_how

Plug = tuple[str, ...]
"""What is plugged in there: a way of a splitter, an output of the band's mixer, or a source's own cable."""


class Place(NamedTuple):
    """The input of a box, how it is said with the loom way before it, and the 48 V switch of the house there."""

    input: Value
    said: Phrase
    bank: tuple[str, int] | None = None


@dataclass(frozen=True)
class Places:
    """``taken``: the place of each plug; ``free``: places that rows freed; ``carried``: keys of the sources that came
    by each plug; ``new``: the plugs that the last row put where they are; ``unplaced``: those for which it
    freed no place that is safe; ``driven_out``: keys of the sources of which
    each was in a place that one of these took.
    """

    taken: Mapping[Plug, Place]
    free: tuple[Place, ...]
    carried: Mapping[Plug, frozenset[str]]
    new: frozenset[Plug] = frozenset()
    unplaced: frozenset[Plug] = frozenset()
    driven_out: frozenset[str] = frozenset()

    def of(self, line: Sent) -> Place | None:
        """Where a line ends; ``None`` for one that has no socket."""
        plug = _plug_of(line)
        return self.taken.get(plug) if plug and plug not in self.unplaced else None

    def is_new(self, line: Sent) -> bool:
        """Whether the last row plugged a line in at the house."""
        return _plug_of(line) in self.new | self.unplaced

    def said_of(self, line: Sent) -> Phrase:
        """Where a line ends, as a row says it; what to look for where no place that is free is safe."""
        place = self.of(line)
        if place is not None:
            return place.said
        return Phrase("a-box-input-to-feed" if phantom_of(line) == "house" else "a-safe-box-input")

    def is_free(self, number: Value) -> bool:
        """Whether nothing is plugged into an input of a box any more."""
        return all(place.input != number for place in self.taken.values())

    def after(self, routing: Routing, facts: Facts) -> Places:
        """Where everything ends once a routing is plugged: what is there stays, and what comes takes what is freed,
        that of its own sources first. What 48 V can harm takes none whose switch of the house has to be on, and what
        the house feeds none that is on the switch of such a line, but behind a transformer; where no other is free, the
        row names no place.
        """
        wanted = {plug: line for line in routing.lines if (plug := _plug_of(line))}
        taken = {plug: place for plug, place in self.taken.items() if plug in wanted}
        freed = [(self.carried[plug], place) for plug, place in self.taken.items() if plug not in wanted]
        freed += [(frozenset[str](), place) for place in self.free]
        coming = [plug for plug in wanted if plug not in taken]
        named = set[Plug]()
        for plug in sorted(coming, key=lambda plug: plug[0] != OUTPUT):
            line = wanted[plug]
            fit = [one for one in freed if not _is_barred(line, one[1], wanted, taken)]
            if not fit and line.out is not None and asks_for_transformer(line.kind, facts, isolated=False):
                fit = freed
            among = fit or freed
            found = next((one for key in _keys(line) for one in among if key in one[0]), among[0] if among else None)
            if found is not None:
                freed.remove(found)
                taken[plug] = found[1]
                named |= {plug} if fit else set()
        carried = {plug: frozenset(_keys(line)) for plug, line in wanted.items()}
        again = {place for plug, place in taken.items() if plug in coming}
        out = {
            plug[1] for plug, place in self.taken.items() if plug[0] == CABLE and plug not in taken and place in again
        }
        return Places(
            taken,
            tuple(place for _, place in freed),
            carried,
            frozenset(named),
            frozenset(coming) - named,
            frozenset(out),
        )


def _is_barred(line: Sent, place: Place, wanted: Mapping[Plug, Sent], taken: Mapping[Plug, Place]) -> bool:
    """Whether 48 V of the house would meet there what it can harm, for a switch that other lines hang on."""
    there = [wanted[plug] for plug, other in taken.items() if place.bank is not None and other.bank == place.bank]
    fed = phantom_of(line) == "house" and any(map(harmed_at_the_desk, there))
    return fed or (harmed_at_the_desk(line) and any(phantom_of(other) == "house" for other in there))


NOWHERE = Places({}, (), {})
"""Nothing is plugged in at the house."""

OUTPUT, WAY, CABLE = "output", "way", "cable"


def places_of(facts: Facts, routing: Routing, lines: Sequence[Line]) -> Places:
    """Where the plan's own lines end."""
    switching = facts.value("phantom-switching")
    there = {(line.label, line.sources): line for line in lines if line.box_socket is not None}
    taken: dict[Plug, Place] = {}
    for sent in routing.lines:
        line, plug = there.get((sent.label, _keys(sent))), _plug_of(sent)
        if line and plug:
            taken[plug] = Place(box_input(line), _said(line), bank_of(line, switching))
    carried = {plug: frozenset(_keys(sent)) for sent in routing.lines if (plug := _plug_of(sent))}
    return Places(taken, (), carried)


def _said(line: Line) -> Phrase:
    there = Phrase("at-box-input", {"input": box_input(line)})
    if line.loom is None:
        return there
    return with_how(Phrase("loom-way", {"loom": line.loom.name, "way": line.loom.way}), there)


def _keys(line: Sent) -> tuple[str, ...]:
    return tuple(source.key for source in line.sources)


def _plug_of(line: Sent) -> Plug | None:
    if line.kind == "digital-link":
        return None
    if line.out is not None:
        return OUTPUT, line.out.key
    if line.splitter is not None:
        return WAY, line.splitter.key, str(line.way)
    return CABLE, line.plug.key
