"""48 V: from which side it comes, through what it passes, and whom it reaches."""

from __future__ import annotations

import re
from collections.abc import Iterator

from tests.loadin.bench import Bench, Line, number_of
from tests.loadin.cut_wording import FROM_BOTH
from tests.loadin.lines import said_48v
from tests.loadin.sheet import Cells
from tests.loadin.stage import Source, Splitter
from tests.loadin.wording import (
    EMPTY_JACK,
    FED_IN_THE_SUBMIXER,
    MAY_COME_BACK,
    SUBMIXER,
    TRANSFORMER,
    UNPLUG_FIRST,
    feed_of,
    names_in,
    numbers_in,
    switch_of,
)

BAND, HOUSE, SPLITTER = "band", "house", "splitter"
KNOWN = frozenset({BAND, HOUSE, SPLITTER, "none", "never", "unknown"})


def ask_phantom(bench: Bench) -> None:
    """Switch 48 V on where the paper says so, let it flow, and look at what each source gets."""
    for line in bench.lines:
        if said_48v(line) not in KNOWN:
            bench.report.add("not-readable", line.row, f"48 V: {said_48v(line)!r}")
    _from_the_band(bench)
    _from_the_house(bench)
    _from_splitters(bench)
    _from_submixers(bench)
    for source in bench.stage.sources:
        if source.name in bench.plugged:
            _ask(source, bench)
    _compare(bench)


def _reach(bench: Bench, legs: frozenset[str], side: str) -> None:
    """48 V at a plug reaches what stands there; what goes into a submixer is behind it, and a half that the line
    carries with the other one has a plug of its own.
    """
    by_itself = {
        name
        for number, signal in bench.at_input.items()
        for name in signal.legs
        if len(signal.legs) == 1 and bench.plugged.get(name) == ("mixer input", number)
    }
    there = legs - by_itself if len(legs) > 1 else legs
    for name in there - _inside_a_submixer(bench):
        bench.fed.setdefault(name, set()).add(side)


def _inside_a_submixer(bench: Bench) -> frozenset[str]:
    """Sources that the paper sends into a player's own submixer, whose inputs at the band's mixer stay free."""
    rows = [cells for cells in bench.sheet.ears if SUBMIXER.search(cells.get("fed_by", ""))]
    return frozenset(cells.get("source", "") for cells in rows)


def _from_submixers(bench: Bench) -> None:
    """What goes into a submixer gets its 48 V there, where the paper says so."""
    for cells in bench.sheet.ears:
        if FED_IN_THE_SUBMIXER.search(cells.get("fed_by", "")):
            bench.fed.setdefault(cells.get("source", ""), set()).add("submixer")


# --- the three feeders


def _from_the_band(bench: Bench) -> None:
    """The band's mixer feeds the inputs on whose rows it says so, and whatever hangs on the same switch."""
    on = {
        number
        for cells in bench.sheet.ears
        if switch_of(cells.get("phantom", "")) == BAND and (number := number_of(cells.get("mixer_input")))
    }
    banks = bench.stage.mixer_banks
    for cells in bench.sheet.ears:
        number = number_of(cells.get("mixer_input"))
        signal = bench.at_input.get(number or 0)
        live = number in on or (number is not None and any(one_switch(number, other, banks) for other in on))
        if live and signal and _passes_back(cells, bench):
            _reach(bench, signal.legs, BAND)


def one_switch(one: int, other: int, banks: int) -> bool:
    """Whether two inputs of the band's mixer share a 48 V switch: ``banks`` is how many do, 0 for all of them."""
    return banks == 0 or (banks > 1 and (one - 1) // banks == (other - 1) // banks)


def _passes_back(cells: Cells, bench: Bench) -> bool:
    """Whether 48 V of the band's mixer gets from its input back to the source."""
    feed = feed_of(cells.get("fed_by", ""), [one.name for one in bench.stage.splitters])
    splitter = next((one for one in bench.stage.splitters if one.name == feed.name), None)
    return splitter is None or (not splitter.active and splitter.mixer_leg == "direct")


def _from_the_house(bench: Bench) -> None:
    """The house switches 48 V on where a row says so; a switch for several sockets feeds them all."""
    banks = bench.stage.house.banks
    boxed = [line for line in bench.lines if line.socket is not None and not line.linked]
    on = [line for line in boxed if said_48v(line) == HOUSE]
    for line in boxed:
        if any(other is line or _same_switch(line, other, banks) for other in on):
            _feed_line(line, bench)


def _same_switch(line: Line, other: Line, banks: int) -> bool:
    """Whether two sockets share a switch: ``banks`` is how many do, 0 for all of them."""
    if banks == 0:
        return True
    return (
        banks > 1 and line.box == other.box and ((line.socket or 1) - 1) // banks == ((other.socket or 1) - 1) // banks
    )


def _feed_line(line: Line, bench: Bench) -> None:
    """48 V on the house's socket, up the line as far as it gets."""
    if TRANSFORMER.search(line.note):
        return
    if line.from_mixer:
        bench.report.add("phantom-harms", line.row, "48 V of the house on an output of the band's mixer")
    elif line.signal and (line.way.kind in ("straight", "house-split") or _copper(line)):
        _reach(bench, line.signal.legs, HOUSE)


def _copper(line: Line) -> bool:
    """Whether wire alone leads from the box to the source."""
    return line.splitter is not None and not line.splitter.active and not line.way.isolated


def _from_splitters(bench: Bench) -> None:
    for cells in bench.sheet.ears:
        feed = feed_of(cells.get("fed_by", ""), [one.name for one in bench.stage.splitters])
        active = any(one.name == feed.name and one.active for one in bench.stage.splitters)
        signal = bench.at_input.get(number_of(cells.get("mixer_input")) or 0)
        if switch_of(cells.get("phantom", "")) == SPLITTER and active and signal:
            _reach(bench, signal.legs, SPLITTER)
    for line in bench.lines:
        if said_48v(line) == SPLITTER and line.signal and line.splitter:
            if line.splitter.active:
                _reach(bench, line.signal.legs, SPLITTER)
            else:
                bench.report.add(
                    "phantom-from-nobody", line.row, f"{line.splitter.name} is passive: it has no 48 V of its own"
                )


# --- without the rack


def ask_comeback(bench: Bench) -> None:
    """With the rack dead, switch 48 V on for each channel that the paper brings back by it, after what it unplugs: that
    harms nothing.
    """
    text = bench.sheet.rack_dies
    back, out = _numbered(MAY_COME_BACK, text), _numbered(UNPLUG_FIRST, text)
    boxed = [line for line in bench.lines if line.socket is not None and not line.linked]
    for line in boxed:
        if ("", number_of(line.cells.get("channel"))) not in back:
            continue
        for other in boxed:
            on_its_switch = other is line or _same_switch(line, other, bench.stage.house.banks)
            if on_its_switch and _is_harmed(other) and (other.box, other.socket) not in out:
                bench.report.add("phantom-harms", other.row, f"the rack is dead, and 48 V comes on for {line.row}")


def _numbered(pattern: re.Pattern[str], text: str) -> set[tuple[str, int | None]]:
    """The numbers that a pattern finds in a text, each with the box that it names."""
    found: set[tuple[str, int | None]] = set()
    for said in pattern.findall(text):
        for box, numbers in re.findall(r"(?:\b([A-Z]) )?((?:\d+(?:[-–]\d+)?(?:, )?)+)", said):
            found |= {(box, number) for number in numbers_in(numbers)}
    return found


def _is_harmed(line: Line) -> bool:
    """Whether 48 V on its socket gets through to an output of the band's mixer, or to a source that it harms."""
    if TRANSFORMER.search(line.note):
        return False
    if line.from_mixer:
        return True
    wired = line.way.kind in ("straight", "house-split") or _copper(line)
    return wired and any(source.harmed for source in line.says)


# --- what each source gets


def _ask(source: Source, bench: Bench) -> None:
    sides = bench.fed.get(source.name, set())
    row = source.name
    if source.harmed and sides:
        bench.report.add("phantom-harms", row, f"48 V from the {' and the '.join(sorted(sides))} on what it can harm")
    elif source.needs_48v and not sides:
        bench.report.add("phantom-from-nobody", row, f"needs 48 V; {_where(source, bench)}")
    elif source.needs_48v and len(sides) > 1 and not _known_of_both(source, bench):
        bench.report.add("phantom-from-both", row, f"48 V from the {' and the '.join(sorted(sides))}")


def _known_of_both(source: Source, bench: Bench) -> bool:
    """Whether the paper says that both sides feed it, since neither switch may be off, and when they are switched."""
    said = (cells.get("text", "") for cells in bench.sheet.remarks)
    return any(FROM_BOTH.search(text) and source.name in names_in(text, bench.stage.names) for text in said)


def _where(source: Source, bench: Bench) -> str:
    said = [
        f"{line.row} says {line.cells.get('phantom', 'nothing')}"
        for line in bench.lines
        if source in line.says and not line.from_mixer
    ]
    said += [
        f"mixer input {cells.get('mixer_input')} says {cells.get('phantom')}"
        for cells in bench.sheet.ears
        if cells.get("source") == source.name
    ]
    return "; ".join(said) or "it stands nowhere"


# --- the two tables that speak of it


def _compare(bench: Bench) -> None:
    """What the rows of the lines and those of the band's mixer say of one source is the same."""
    for source, line, cells in _in_both(bench):
        on_line, on_input = said_48v(line), switch_of(cells.get("phantom", ""))
        row = f"{line.row}, mixer input {cells.get('mixer_input', '')}"
        if on_line == BAND and on_input != BAND:
            bench.report.add(
                "two-answers",
                row,
                f"{source.name}: the line says that the band feeds 48 V, the input says"
                f" {cells.get('phantom', 'nothing')}",
            )
        if on_line == "none" and on_input == BAND and not _isolated(line):
            bench.report.add(
                "two-answers",
                row,
                f"{source.name}: the input says that the band feeds 48 V, the line tells the house nothing",
            )


def _isolated(line: Line) -> bool:
    splitter: Splitter | None = line.splitter
    return splitter is not None and line.way.isolated


def _in_both(bench: Bench) -> Iterator[tuple[Source, Line, Cells]]:
    for line in bench.lines:
        if line.way.kind == "split" and "phantom" in line.cells:
            for source in line.says:
                yield from (
                    (source, line, cells)
                    for cells in bench.sheet.ears
                    if cells.get("source") == source.name and not EMPTY_JACK.search(cells.get("fed_by", ""))
                )
