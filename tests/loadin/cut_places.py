"""Where lines end at the house while the cut list is carried out: each in a box input of its own, which rows name."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator

from tests.loadin.bench import Bench, Line
from tests.loadin.cut_wording import (
    ANY_OF_A_KIND,
    BY_WAY,
    CUT,
    CUT_BOX_INPUT,
    CUT_PLUG,
    FROM_THERE,
    INTO_THE_MIXER,
    OFF_THERE,
    ON_WHOSE_PLUG,
    OUTPUT_TO,
    TO_THERE,
)
from tests.loadin.lines import bare, said_48v
from tests.loadin.night import End, Night
from tests.loadin.phantom import HOUSE
from tests.loadin.wording import TRANSFORMER, names_in, numbers_in

HOUSE_SPLITTER = "house splitter"


def ends_of(bench: Bench, without: Collection[str]) -> dict[End, str]:
    """What is plugged in at the house by the sheet: a way, an output or a source's own cable, and its box input.
    ``without``: who comes by another's plug.
    """
    found: dict[End, str] = {}
    for line in bench.lines:
        if line.linked:
            continue
        socket = line.cells.get("socket", "")
        if line.from_mixer:
            found["output", bare(line.way.output)] = socket
        elif line.splitter is not None and line.split_way is not None:
            found["way", line.splitter.name, line.split_way] = socket
        else:
            kind = HOUSE_SPLITTER if line.way.kind == "house-split" else "source"
            found |= {(kind, one.name): socket for one in line.says if one.name not in without}
    return found


def looms_of(bench: Bench) -> dict[str, tuple[str, str]]:
    """The loom and its way that lead to a box input by the sheet."""
    through = (line for line in bench.lines if line.loom is not None)
    return {
        line.cells.get("socket", ""): (line.loom.name if line.loom else "", line.cells.get("loom_way", ""))
        for line in through
    }


def place_lines(clauses: Iterable[str], row: str, night: Night) -> None:
    """Plug in at the house what a row plugs in there; then every line is in an input, and none in another's."""
    report = night.bench.report
    placed: dict[End, str] = {}
    for clause in clauses:
        for numbers in INTO_THE_MIXER.findall(clause):
            night.straight |= {night.holders.get(number, "") for number in numbers_in(numbers)}
        for end, where in _placed(clause, row, night):
            if socket := _socket(end, where, clause, row, night):
                placed[end] = socket
    night.ends = {end: at for end, at in night.ends.items() if end not in placed and _in_use(end, night)}
    for end, at in placed.items():
        there = next((other for other, taken in night.ends.items() if taken == at and other[0] != "output"), None)
        if there is not None and at != ANY_OF_A_KIND:
            report.add("two-on-one", row, f"box input {at}: {_said(end)} and {_said(there)}")
        night.ends[end] = at
    for line in _plain(night):
        if not any(_carries(end, line, night) for end in night.ends):
            report.add("says-no-cut", row, f"{', '.join(sorted(line))}: into which box input?")


def _socket(end: End, where: str, clause: str, row: str, night: Night) -> str:
    """The box input that is named for what a row plugs in, empty where none is; its loom way is the sheet's."""
    if ANY_OF_A_KIND in where:
        return ANY_OF_A_KIND
    place, report = CUT_BOX_INPUT.search(where), night.bench.report
    if not place:
        report.add("says-no-cut", row, f"{clause}: into which box input?")
        return ""
    through = night.looms.get(place["input"])
    if through and through[1] and where[: place.start()].strip(" ,") != f"{through[0]} way {through[1]}":
        report.add("two-answers", row, f"{clause}: box input {place['input']} is {' way '.join(through)}")
    _ask_48v(end, place["input"], clause, row, night)
    return place["input"]


def _ask_48v(end: End, socket: str, clause: str, row: str, night: Night) -> None:
    """Whether 48 V of the house meets there what it can harm: by the switch of another line, or as it is on now."""
    bench = night.bench
    if not _can_be_harmed(end, night) or TRANSFORMER.search(clause):
        return
    fed = [line for line in bench.lines if said_48v(line) == HOUSE and line.socket is not None]
    for line in fed:
        at, other = line.cells.get("socket", ""), _end_of(line)
        if at == socket and not OFF_THERE.search(clause):
            bench.report.add("phantom-harms", row, f"{clause}: box input {socket} has 48 V on")
        if at != socket and night.ends.get(other) == at and _in_use(other, night):
            banks = bench.stage.house.banks
            if banks == 0 or (banks > 1 and _bank(at, banks) == _bank(socket, banks)):
                bench.report.add("phantom-harms", row, f"{clause}: the switch of box input {at} is on")


def _bank(socket: str, banks: int) -> tuple[str, int]:
    box, _, number = socket.rpartition(" ")
    return box, (int(number) - 1) // banks


def _can_be_harmed(end: End, night: Night) -> bool:
    if end[0] == "output":
        return True
    harmed = {one.name for one in night.bench.stage.sources if one.harmed}
    if end[0] != "way":
        return end[1] in harmed
    splitter = next(one for one in night.bench.stage.splitters if one.name == end[1])
    return not splitter.active and "isolated" not in splitter.outputs.values() and bool(_legs(end, night) & harmed)


def _end_of(line: Line) -> End:
    if line.splitter is not None and line.split_way is not None:
        return "way", line.splitter.name, line.split_way
    return (HOUSE_SPLITTER if line.way.kind == "house-split" else "source"), line.says[0].name if line.says else ""


def _placed(clause: str, row: str, night: Night) -> Iterator[tuple[End, str]]:
    """Each end that a clause plugs in at the house, and the words for where."""
    stage = night.bench.stage
    if CUT["again"].search(clause):
        found = list(BY_WAY.finditer(clause))
        for name in names_in(clause, stage.names):
            one = next((at for at in found if at["name"].strip() == name), None)
            if one is None:
                night.bench.report.add("says-no-cut", row, f"{clause}: {name} by which way, into which box input?")
            elif one["way"]:
                yield _by_a_way(name, one, row, night), one["place"]
            else:
                by_the_house = "by the house's splitter" in one[0]
                yield (HOUSE_SPLITTER if by_the_house else "source", name), one["place"]
    elif moved := FROM_THERE.search(clause):
        plug = CUT_PLUG.search(clause)
        if plug and plug["way"]:
            yield ("way", plug["splitter"], int(plug["way"])), moved[1]
    elif outputs := list(OUTPUT_TO.finditer(clause)):
        for one in outputs:
            yield ("output", bare(one["out"])), one["place"]
    elif to := TO_THERE.search(clause):
        whose = ON_WHOSE_PLUG.search(clause)
        names = names_in(whose[1] if whose else clause, stage.names)
        way = next((at for at, signal in night.bench.at_way.items() if set(names) & signal.legs), None)
        yield (("way", *way) if way else ("source", names[0])), to[1]


def _by_a_way(name: str, said: re.Match[str], row: str, night: Night) -> End:
    splitters = [one.name for one in night.bench.stage.splitters]
    splitter = said["splitter"] or next((at[0] for at in night.bench.at_way), splitters[0])
    way = (splitter, int(said["way"]))
    there = night.bench.at_way.get(way)
    if there is None or name not in there.legs:
        night.bench.report.add("cut-fails", row, f"{name} is not in way {way[1]} of {splitter}")
    return "way", *way


def _plain(night: Night) -> list[frozenset[str]]:
    """The lines that no output of the band's mixer carries."""
    by_an_output = night.summed | night.direct | night.bussed
    return [line for line in night.lines if line not in by_an_output and line != night.mix]


def _legs(end: End, night: Night) -> frozenset[str]:
    signal = night.bench.at_way.get((str(end[1]), int(end[2]))) if end[0] == "way" else None
    return signal.legs if signal else frozenset()


def _in_use(end: End, night: Night) -> bool:
    """Whether a line still comes by what is plugged in; an output may carry any sum."""
    if end[0] == "output":
        return True
    if end[0] == HOUSE_SPLITTER and end[1] in night.bench.in_the_mixer - night.straight:
        # Its tail feeds the band's mixer, whether the desk hears it or not.
        return True
    return any(_carries(end, line, night) for line in _plain(night))


def _carries(end: End, line: frozenset[str], night: Night) -> bool:
    """Whether a line comes by what is plugged in: through a way all that is there, or by a source's own cable."""
    if end[0] != "way":
        return end[1] in line
    legs = _legs(end, night)
    return line <= legs or bool(legs and legs <= line)


def _said(end: End) -> str:
    return " ".join(map(str, end))
