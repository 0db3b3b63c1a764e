"""The van: what the pack list says to bring, in counts. What it does not name does not exist at the gig."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field

from tests.loadin.faults import Report
from tests.loadin.packing import Packing, Thing
from tests.loadin.paper import squashed
from tests.loadin.wording import ANY_CABLE, BOX_CABLE, COUNTED, IN_METRES, NO_CONNECTOR, PIECE, SOURCE_CABLE, THINGS

MALE, FEMALE = "male", "female"

XLR_OUT, XLR_IN = "XLR male", "XLR female"
"""What a microphone, DI, splitter or mixer gives, and what an input takes."""

CABLES = (SOURCE_CABLE, BOX_CABLE, ANY_CABLE)


def mates(one: str, other: str) -> bool:
    """Whether two connectors go into each other: the same family, one of each gender. "XLR male" and "XLR female"
    do.
    """
    families = [squashed(end).replace(MALE, "").replace("fe", "") for end in (one, other)]
    genders = {FEMALE if FEMALE in end.casefold() else MALE for end in (one, other)}
    return families[0] == families[1] and genders == {MALE, FEMALE}


@dataclass
class Van:
    """Counts by thing, and what has been taken out."""

    packing: Packing
    loaded: Counter[str] = field(default_factory=Counter)
    taken: Counter[str] = field(default_factory=Counter)
    wanted_by: dict[str, list[str]] = field(default_factory=dict)
    lengths: Counter[float] = field(default_factory=Counter)

    def __post_init__(self) -> None:
        """Load what *bring* says."""
        for thing in self.packing.bring:
            if not thing.again:
                self.loaded[thing_of(thing.what)] += thing.count

    def take_cables(self, cell: str, row: object) -> list[float]:
        """Take the cables that a cell names, each of its length; gives back the lengths."""
        found = [float(metres) for metres in PIECE.findall(cell)]
        for metres in found:
            self.take(ANY_CABLE, row)
            self.lengths[metres] += 1
        return found

    def take(self, what: str, row: object) -> None:
        """Take one out for a row; what is short shows at the end."""
        self.taken[what] += 1
        self.wanted_by.setdefault(what, []).append(str(row))

    def holds(self, name: str) -> bool:
        """Whether a thing with a name of its own, a splitter or a loom, is in the van."""
        return any(
            squashed(thing.what) == squashed(name) or squashed(thing.what).startswith(squashed(name) + ",")
            for thing in self.packing.bring
        )

    def ends_of(self, loom: str) -> tuple[str, str] | None:
        """What the list says is on a loom's ends, the band's first; ``None`` where it says nothing."""
        said = next(
            (
                thing.ends
                for thing in self.packing.bring
                if squashed(thing.what) == squashed(loom) and " to " in thing.ends
            ),
            "",
        )
        band_end, _, house_end = said.partition(" to ")
        return (band_end, house_end) if said else None

    def has(self, pattern: re.Pattern[str]) -> bool:
        """Whether any thing's name answers to a pattern."""
        return any(pattern.search(thing.what) for thing in self.packing.bring)

    def cables(self, kind: str) -> list[Thing]:
        """The rows of one kind of cable."""
        return [thing for thing in self.packing.bring if thing_of(thing.what) == kind]

    def settle(self, report: Report) -> None:
        """At the end: what was short, and what lies unused."""
        self._share_cables()
        loaded = Counter[float]()
        for thing in self.cables(ANY_CABLE):
            said = IN_METRES.search(thing.what)
            loaded[float(said[1] if said else thing.length or 0)] += thing.count
        for metres, count in sorted((self.lengths - loaded).items()):
            report.add("not-packed", f"XLR cable, {metres:g} m", f"{count} more on the rows than in the van")
        for what, count in sorted((self.taken - self.loaded).items()):
            rows = ", ".join(dict.fromkeys(self.wanted_by[what][-count:]))
            kind = "too-few-packed" if self.loaded[what] else "not-packed"
            report.add(kind, what, f"{self.taken[what]} plugged, {self.loaded[what]} in the van; the last for {rows}")
        for what, count in sorted((self.loaded - self.taken).items()):
            if what in COUNTED:
                report.add(
                    "packed-in-vain",
                    what,
                    f"{self.loaded[what]} in the van, {self.taken[what]} plugged: {count} without a use",
                )

    def _share_cables(self) -> None:
        """Cables that are listed by their length alone do for any way."""
        for what in (BOX_CABLE, SOURCE_CABLE):
            lent = min(self.loaded[ANY_CABLE] - self.taken[ANY_CABLE], self.taken[what] - self.loaded[what])
            if lent > 0:
                self.taken[ANY_CABLE] += lent
                self.taken[what] -= lent

    def ask_cables(self, report: Report) -> None:
        """Every cable that was taken says how long it is and what is on its ends, and those ends fit what they meet."""
        for thing in (thing for what in CABLES if self.taken[what] for thing in self.cables(what)):
            if not thing.length.strip("–") and not IN_METRES.search(thing.what):
                report.add("says-no-length", thing.what, f"{thing.count} cables, of what length?")
            one, _, other = thing.ends.partition(" to ")
            if thing_of(thing.what) == ANY_CABLE and not other:
                continue
            if NO_CONNECTOR.search(thing.ends) or not other:
                report.add(
                    "says-no-connector",
                    thing.what,
                    f"{thing.count} cables, with what on their ends? It says: {thing.ends or 'nothing'}",
                )
            elif not (mates(XLR_OUT, one) and mates(other, XLR_IN)) and "XLR" in one and "XLR" in other:
                report.add(
                    "ends-do-not-mate", thing.what, f"{thing.ends}: {XLR_OUT} meets {one}, {other} meets {XLR_IN}"
                )


def thing_of(what: str) -> str:
    """The kind of a thing by the words on the list; things with names of their own keep them."""
    return next((kind for pattern, kind in THINGS if pattern.fullmatch(what.strip())), squashed(what))
