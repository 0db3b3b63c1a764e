"""What is plugged while the cut list is carried out, and the plugs that its rows move."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterable
from dataclasses import dataclass, field, replace
from typing import TypeVar

from tests.loadin.bench import Bench, Signal, number_of
from tests.loadin.cut_wording import CUT, CUT_PLUG, CUT_STRAIGHT, ON_WHOSE_PLUG, TO_THERE
from tests.loadin.stage import Source
from tests.loadin.wording import EMPTY_JACK, HOW_MONO, PAIR_SIDE, feed_of, names_in, numbers_in

Place = TypeVar("Place", int, tuple[str, int])
"""An input of the band's mixer, or a way of a splitter."""

End = tuple[str | int, ...]
"""What is plugged in at the house: a splitter's way, an output of the mixer, or a source's own cable."""


@dataclass
class Night:
    """What is plugged while the list is carried out: what each socket and each channel of a digital link carries, and
    how many outputs of the mixer are free.
    """

    bench: Bench
    lines: list[frozenset[str]]
    links: list[frozenset[str]]
    outputs: int
    summed: set[frozenset[str]]
    freed: set[str] = field(default_factory=set)
    mix: frozenset[str] = frozenset()
    """What the band's own mix carries, where it is plugged."""
    direct: set[frozenset[str]] = field(default_factory=set)
    """What comes out of the mixer by itself, each on an output that it leaves for a sum."""
    bussed: set[frozenset[str]] = field(default_factory=set)
    """Halves that a bus of the mixer makes mono."""
    straight: set[str] = field(default_factory=set)
    """Who was plugged straight into the mixer by a row."""
    moving: set[str] = field(default_factory=set)
    """Whose plug the row moves."""
    before: list[frozenset[str]] = field(default_factory=list)
    """The lines when the row began."""
    without: set[str] = field(default_factory=set)
    """Sources that are in the mixer by another's plug."""
    holders: dict[Hashable, str] = field(default_factory=dict)
    """Whose own plug is in a way or an input of the band's mixer."""
    ends: dict[End, str] = field(default_factory=dict)
    """The box input of what is plugged in at the house."""
    looms: dict[str, tuple[str, str]] = field(default_factory=dict)
    """The loom and its way that lead to a box input."""
    pulled: dict[str, frozenset[str]] = field(default_factory=dict)
    """Whose plug is in nobody's hand but the player's, and what comes with it."""

    def carrying(self, names: set[str]) -> list[frozenset[str]]:
        """The lines in which any of them is."""
        return [line for line in (*self.lines, *self.links) if line & names]

    def leave(self, names: set[str]) -> None:
        """Take sources off their lines; who shared one keeps it, and an output that carries nothing any more is
        free.
        """
        self.outputs += sum(line in self.summed | self.direct and line <= names for line in self.lines)
        self.lines = [line - names for line in self.lines if line - names]
        self.links = [line - names for line in self.links if line - names]
        self.summed = {line - names for line in self.summed if line - names}
        self.direct = {line - names for line in self.direct if line - names}
        self.mix -= names

    def clear(self, names: set[str]) -> None:
        """Unplug every line in which any of them is."""
        self.lines = [line for line in self.lines if not line & names]
        self.links = [line for line in self.links if not line & names]


def pull(clauses: Iterable[str], night: Night) -> None:
    """Every plug that a row moves or leaves out is pulled before the first goes in."""
    night.pulled.clear()
    for clause in clauses:
        names = names_in(TO_THERE.sub("", clause), night.bench.stage.names)
        whose = ON_WHOSE_PLUG.search(clause)
        staying = names_in(whose[1], names) if whose else names
        if CUT["plug"].search(clause) or "not plugged" in clause:
            staying = []
        if CUT["mono"].search(clause) and HOW_MONO["jack"].search(clause):
            staying = [name for name in names if name not in _right(night.bench.stage.sources)]
        for name in dict.fromkeys(names):
            if name not in staying:
                _unplug(name, night)


def _unplug(name: str, night: Night) -> None:
    """Take a plug out, with all that comes by it; a source that comes by another's plug leaves by itself."""
    legs = frozenset({name})
    for there in (night.bench.at_way, night.bench.at_input):
        for place, signal in list(there.items()):
            if name in signal.legs:
                mine = name not in night.without and night.holders.get(place, name) == name
                gone = signal.legs if mine else legs
                night.pulled[name] = night.pulled.get(name, legs) | gone
                there[place] = replace(signal, legs=signal.legs - gone)
                if not there[place].legs:
                    del there[place]
    night.without.discard(name)


def plug(names: set[str], clause: str, row: str, night: Night) -> None:
    """A plug goes into a way, and so to a line of its own, or straight into the band's mixer: nothing is there."""
    found, bench = CUT_PLUG.search(clause), night.bench
    if not found:
        bench.report.add("not-readable", row, clause)
        return
    if several := CUT_STRAIGHT.search(clause):
        into = sorted(numbers_in(several[1]))
        if len(into) != len(names):
            bench.report.add("says-no-cut", row, f"{clause}: which of them into which input?")
        for name, number in zip(names_in(clause, names), into, strict=False):
            take(bench.at_input, number, Signal(night.pulled.get(name, frozenset({name}))), clause, bench)
            night.holders[number] = name
        night.straight |= names
        return
    signal = Signal(frozenset(names).union(*(night.pulled.get(name, frozenset()) for name in names)))
    if found["way"]:
        way = (found["splitter"], int(found["way"]))
        if way[0] not in {one.name for one in bench.stage.splitters}:
            bench.report.add("no-such-place", row, clause)
        take(bench.at_way, way, signal, clause, bench)
        night.holders[way] = min(names)
        # The half that a player makes mono carries the other one, too, and the plug of a submixer all that is in it.
        halves = {one.name for one in bench.stage.sources if one.partner in names} - night.moving
        by_the_plug = (names | halves, signal.legs)
        whole = next((line for line in night.carrying(names) if line in by_the_plug), frozenset(names))
        night.leave(set(whole))
        night.lines.append(whole)
    if not found["way"]:
        night.straight |= names
    if number := found["input"]:
        take(bench.at_input, int(number), signal, clause, bench)
        night.holders[int(number)] = min(names)


def holders_of(bench: Bench, without: Collection[str]) -> dict[Hashable, str]:
    """Whose own plug is where by the sheet; ``without``: who has none."""
    own = [(at, name) for name, at in bench.plugged.items() if name not in without]
    found: dict[Hashable, str] = {at[1:]: name for at, name in own if at[0] == "way"}
    for cells in bench.sheet.ears:
        number = number_of(cells.get("mixer_input"))
        if number is not None and not EMPTY_JACK.search(cells.get("fed_by", "")):
            found[number] = cells.get("source", "")
            feed = feed_of(cells.get("fed_by", ""), [one.name for one in bench.stage.splitters])
            if feed.kind == "split":
                found[feed.name, feed.way] = cells.get("source", "")
    return found


def take(there: dict[Place, Signal], place: Place, signal: Signal, clause: str, bench: Bench) -> None:
    """Put something where nothing is."""
    if place in there:
        bench.report.add("two-on-one", "cut", f"{clause}: {', '.join(sorted(there[place].legs))} is there")
    there[place] = signal


def empty_jack(sources: list[Source], night: Night) -> None:
    """The right plug is pulled, and what it carried arrives by the left one."""
    right = _right(sources)
    _come_by(right, {one.name for one in sources} - right, night)


def _right(sources: Iterable[Source]) -> set[str]:
    return {one.name for one in sources if (side := PAIR_SIDE.search(one.name)) and side[1].upper().startswith("R")}


def on_one_plug(names: set[str], clause: str, row: str, night: Night) -> None:
    """Sources take turns on a plug, or come out of a submixer by one or two, which the row names."""
    whose = ON_WHOSE_PLUG.search(clause)
    carrier = set(names_in(whose[1], names)) if whose else set()
    if not carrier:
        night.bench.report.add("says-no-cut", row, f"{clause}: on whose plug?")
    else:
        _come_by(names - carrier, carrier, night)


def _come_by(others: set[str], carrier: set[str], night: Night) -> None:
    for name in others & night.bench.in_the_mixer:
        _unplug(name, night)
    night.without |= others
    for there in (night.bench.at_way, night.bench.at_input):
        for place, signal in list(there.items()):
            if signal.legs & carrier:
                there[place] = replace(signal, legs=signal.legs | others)
