"""Where things are plugged: every way, input, output and socket once; and what flows there."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from tests.loadin.faults import Report
from tests.loadin.sheet import Cells, Sheet, carried
from tests.loadin.stage import Loom, Source, Splitter, Stage
from tests.loadin.van import Van
from tests.loadin.wording import MONO, NOTHING, PAIR_SIDE, Way, names_in, way_of


@dataclass(frozen=True)
class Signal:
    """What flows at one place. ``legs``: the sources in it, by name. ``digital``: it went through the band's mixer."""

    legs: frozenset[str]
    level: str = "mic"
    digital: bool = False
    isolated: bool = False
    gain: str = "each"


@dataclass
class Line:
    """One printed line: its cells, the sources that it says, how it travels, where it ends, and in the end what it
    carries.
    """

    row: str
    cells: Cells
    says: tuple[Source, ...]
    way: Way
    splitter: Splitter | None
    split_way: int | None
    loom: Loom | None
    box: str
    socket: int | None
    signal: Signal | None = None
    one_leg: bool = False

    @property
    def linked(self) -> bool:
        """Whether it comes over a digital link, without a socket."""
        return self.way.kind == "link"

    @property
    def from_mixer(self) -> bool:
        """Whether it is an output of the band's mixer."""
        return self.way.kind not in ("split", "straight", "house-split", "link", "?")

    @property
    def digital(self) -> bool:
        """Whether it goes through the band's mixer, and so comes later than what does not."""
        return self.from_mixer or self.linked

    @property
    def note(self) -> str:
        """Everything that the row says in words."""
        return " ".join(self.cells.get(name, "") for name in ("source", "path", "cable", "transformer", "note"))


@dataclass
class Bench:
    """One load-in under way. Places are named as people name them: ("way", "Rack splitter", 3), ("input", 7), ("box",
    "A", 2).
    """

    stage: Stage
    sheet: Sheet
    van: Van
    report: Report
    taken: dict[tuple[object, ...], str] = field(default_factory=dict)
    at_way: dict[tuple[str, int], Signal] = field(default_factory=dict)
    at_input: dict[int, Signal] = field(default_factory=dict)
    plugged: dict[str, tuple[object, ...]] = field(default_factory=dict)
    unplugged: dict[str, str] = field(default_factory=dict)
    set_up: set[str] = field(default_factory=set)
    fed: dict[str, set[str]] = field(default_factory=dict)
    lines: list[Line] = field(default_factory=list)

    @property
    def in_the_mixer(self) -> frozenset[str]:
        """The sources that are at an input of the band's mixer."""
        return frozenset[str]().union(*(signal.legs for signal in self.at_input.values()))

    def occupy(self, place: tuple[object, ...], who: str, row: object) -> bool:
        """Plug somebody into a place; a fault where somebody else is there."""
        there = self.taken.setdefault(place, who)
        if there != who:
            self.report.add("two-on-one", row, f"{_place(place)}: {who} and {there}")
        return there == who

    def plug(self, source: Source, place: tuple[object, ...], row: object) -> None:
        """Plug a source's only output somewhere; a fault where it is plugged somewhere else already."""
        there = self.plugged.setdefault(source.name, place)
        if there != place:
            self.report.add(
                "two-on-one", row, f"the one output of {source.name}: to {_place(place)} and to {_place(there)}"
            )


def _place(place: tuple[object, ...]) -> str:
    return " ".join(str(part) for part in place)


def number_of(cell: str | None) -> int | None:
    """The number in a cell; ``None`` where there is none."""
    return int(cell) if cell and cell.isdecimal() else None


def read_line(cells: Cells, bench: Bench) -> Line:
    """A printed row, with its names found on the stage. What nobody finds is a fault."""
    stage, report = bench.stage, bench.report
    row = f"line {cells.get('number') or cells.get('channel') or cells.get('socket')} {cells.get('source', '')}"
    way = way_of(cells.get("path", ""), [one.name for one in stage.splitters])
    if way.kind == "?":
        report.add("not-readable", row, f"the path: {cells.get('path', 'not printed')!r}")
    cells = {**_led_by(cells.get("cable", ""), stage), **cells}
    box, _, socket = cells.get("socket", "").rpartition(" ")
    return Line(
        row,
        cells,
        says(cells, stage, report, row),
        way,
        next((one for one in stage.splitters if one.name == way.name), None),
        number_of(cells.get("split_way")),
        next((one for one in stage.looms if one.name == cells["loom"]), None),
        box,
        number_of(socket),
    )


def _led_by(cable: str, stage: Stage) -> Cells:
    """Loom and way of a row that names them where its cables stand: "Loom way 1, isolating transformer"."""
    for loom in stage.looms:
        found = re.match(rf"{re.escape(loom.name)}(?: way (\d+))?\b", cable)
        if found:
            return {"loom": loom.name, "loom_way": found[1] or ""}
    return {"loom": ""}


def says(cells: Cells, stage: Stage, report: Report, row: str) -> tuple[Source, ...]:
    """The sources that a row says it carries: those its note lists, the one of its name, or both legs of a pair in
    mono.
    """
    label, listed = cells.get("source", ""), carried(cells)
    found = names_in(listed or label, stage.names)
    if not listed and label in stage.names:
        found = [label]
    elif not listed and (MONO.search(label) or not found):
        base = MONO.sub("", label).strip()
        found = [one.name for one in stage.sources if PAIR_SIDE.sub("", one.name) == base and one.partner] or found
    strangers = _strangers(listed, found)
    if strangers:
        report.add("not-readable", row, f"{strangers!r} stands on no instrument")
    if not found:
        report.add("not-readable", row, f"{label!r} stands on no instrument")
    return tuple(source for name in dict.fromkeys(found) if (source := stage.source(name)))


def _strangers(listed: str, found: list[str]) -> str:
    """What a list names that is nobody on the stage."""
    for name in sorted(found, key=len, reverse=True):
        listed = listed.replace(name, "", 1)
    left = [part.strip() for part in listed.replace(" and ", ",").split(",")]
    return ", ".join(part for part in left if part)


def blank(cell: str | None) -> bool:
    """Whether a cell says nothing."""
    return cell is None or cell in NOTHING
