"""The lines to the house, plugged in printed order: source, way or output, loom or cable, box, desk."""

from __future__ import annotations

from tests.loadin.bench import Bench, Line, Signal, blank, number_of, read_line
from tests.loadin.packing import AtPlace
from tests.loadin.stage import HOUSE_DESK, OWN_PA, Source
from tests.loadin.van import XLR_IN, XLR_OUT, mates
from tests.loadin.wording import (
    ANY_CABLE,
    BEFORE_THE_TRANSFORMER,
    BOX_CABLE,
    HOW_MONO,
    NETWORK,
    OWN_CABLE,
    PIECE,
    SINGS_AT,
    SOURCE_CABLE,
    SUBMIXER,
    SWITCHED,
    TRANSFORMER,
    phantom_of,
    pickup_of,
)

SECOND_BOX = "B"


def plug_lines(bench: Bench) -> None:
    """Plug every line that does not come from the band's mixer, and run every cable to the box. Outputs of the mixer
    carry nothing yet.
    """
    bench.lines = [read_line(cells, bench) for cells in bench.sheet.lines]
    for line in bench.lines:
        bench.report.rows += 1
        if line.way.kind == "split":
            _into_the_splitter(line, bench)
        elif line.way.kind in ("straight", "house-split"):
            _straight(line, bench)
        elif line.from_mixer:
            _from_an_output(line, bench)
        _to_the_house(line, bench)
        _at_the_desk(line, bench)


# --- from the source


def _into_the_splitter(line: Line, bench: Bench) -> None:
    """The source into its way, and the way's output towards the house."""
    splitter, way, report = line.splitter, line.split_way, bench.report
    if splitter is None:
        return
    if not splitter.fixed and not bench.van.holds(splitter.name):
        report.add("not-packed", splitter.name, "rows plug into it, and it is not in the van")
    if way is None:
        report.add("says-no-input", line.row, f"which way of {splitter.name}?")
        return
    if not 1 <= way <= splitter.ways:
        report.add("no-such-place", line.row, f"{splitter.name} has {splitter.ways} ways, no way {way}")
    outputs = splitter.outputs
    if line.way.output not in outputs and (line.way.output or not outputs):
        report.add("no-such-place", line.row, f"{splitter.name} has no output {line.way.output or 'to the house'}")
    elif line.way.output and outputs[line.way.output] != ("isolated" if line.way.isolated else "direct"):
        report.add(
            "two-answers",
            line.row,
            f"output {line.way.output} of {splitter.name} is {outputs[line.way.output]}, the row says otherwise",
        )
    elif not line.way.output:
        report.add("says-no-output", line.row, f"which output of {splitter.name}?")
    bench.occupy(("output", splitter.name, way, line.way.output), line.row, line.row)
    place = ("way", splitter.name, way)
    legs = _legs_into(line, place, bench)
    bench.occupy(place, "/".join(sorted(legs)), line.row)
    gain = "band" if splitter.active else "each"
    line.signal = Signal(legs, line.says[0].level if line.says else "mic", isolated=line.way.isolated, gain=gain)
    bench.at_way[splitter.name, way] = line.signal


def _legs_into(line: Line, place: tuple[object, ...], bench: Bench) -> frozenset[str]:
    """What arrives in one way when the player does what the row says; the way's own plug and the player's are one
    each.
    """
    says = line.says
    if len(says) > 1 and all(one.partner in {other.name for other in says} for one in says) and len(says) == 2:
        return _mono(line, place, bench)
    if len(says) > 1 and all(set(_others(one, says)) <= set(one.never_with) for one in says):
        return _taking_turns(line, place, bench)
    if len(says) == 2 and any(other.name == one.sings_with for one in says for other in says):
        return _at_one_microphone(line, place, bench)
    if len(says) > 1 and says[0].submix and all(one.submix == says[0].submix for one in says):
        return _submixed(line, bench)
    if len(says) > 1:
        bench.report.add("sum-not-made", line.row, f"{_named(says)} into one {place[0]}: nothing sums them")
    for one in says:
        bench.plug(one, place, line.row)
        _set_up(one, line, bench)
    return frozenset(one.name for one in says)


def _mono(line: Line, place: tuple[object, ...], bench: Bench) -> frozenset[str]:
    """Two legs on one way: the machine makes them one, or only the first arrives."""
    first, second = line.says
    how = next((one for one, pattern in HOW_MONO.items() if one != "bus" and pattern.search(line.note)), "")
    bench.plug(first, place, line.row)
    _set_up(first, line, bench)
    if not how or how == "microphone":
        line.one_leg = True
        bench.report.add("one-leg", line.row, f"only {first.name} is plugged; nothing on paper brings {second.name} in")
        return frozenset({first.name})
    if first.to_mono not in ("", how):
        bench.report.add(
            "mono-not-made", line.row, f"the paper says {how}; {first.name} and {second.name}: {first.to_mono}"
        )
    if how == "jack":
        # A machine that is set to mono gives the sum on both halves; a left/mono jack only with the right one empty.
        bench.unplugged[second.name] = f"{line.row}: made mono by {how}"
    return frozenset({first.name, second.name})


def _submixed(line: Line, bench: Bench) -> frozenset[str]:
    """What the player's own submixer gives: everything that is plugged into it."""
    says = line.says
    if not SUBMIXER.search(line.note):
        bench.report.add(
            "sum-not-made", line.row, f"{_named(says)}: no word of the player's own submixer {says[0].submix}"
        )
    for one in says:
        bench.plug(one, ("submixer", one.submix), line.row)
        bench.unplugged[one.name] = f"{line.row}: goes into the player's own submixer"
    # A submixer in stereo has two outputs, each with a DI and a cable of its own.
    _set_up(next((one for one in says if one.name not in bench.set_up), says[0]), line, bench)
    return frozenset(one.name for one in says)


def _taking_turns(line: Line, place: tuple[object, ...], bench: Bench) -> frozenset[str]:
    """Sources that are never played together on one way: a switch, or one DI that is re-plugged, else two of them on a
    Y.
    """
    says = line.says
    if not SWITCHED.search(line.note):
        bench.report.add("two-on-one", line.row, f"{_named(says)} into one way, and no switch between them on paper")
    elif "A/B" in line.note:
        bench.van.take("A/B switch", line.row)
    for one in says:
        bench.plug(one, place, line.row)
    _set_up(says[0], line, bench)
    for one in says[1:]:
        bench.unplugged[one.name] = f"{line.row}: shares one DI"
    return frozenset(one.name for one in says)


def _at_one_microphone(line: Line, place: tuple[object, ...], bench: Bench) -> frozenset[str]:
    """Two singers at the microphone that the row names: the other's is plugged nowhere."""
    found = SINGS_AT.search(line.cells.get("note", ""))
    host = next((one for one in line.says if found and one.name == found[1]), None)
    if host is None:
        bench.report.add("sum-not-made", line.row, f"{_named(line.says)}: at whose microphone?")
        host = line.says[0]
    bench.plug(host, place, line.row)
    _set_up(host, line, bench, line.says)
    for guest in _others(host, line.says):
        bench.unplugged[guest] = f"{line.row}: sings at the microphone of {host.name}"
    return frozenset(one.name for one in line.says)


def _others(one: Source, says: tuple[Source, ...]) -> list[str]:
    return [other.name for other in says if other is not one]


def _named(says: tuple[Source, ...]) -> str:
    return ", ".join(one.name for one in says)


def _straight(line: Line, bench: Bench) -> None:
    """The source's own cable to the box, or into the house's splitter."""
    house = line.way.kind == "house-split"
    if house and not bench.stage.house.own_splitter:
        bench.report.add("no-such-place", line.row, "the house has no splitter of its own")
    legs = _legs_into(line, ("house splitter" if house else "box", line.box, line.socket), bench)
    level = line.says[0].level if line.says else "mic"
    line.signal = Signal(legs, level, gain="each" if house else "house")


def _from_an_output(line: Line, bench: Bench) -> None:
    """An output of the band's mixer: it is there, free tonight, and tapped where the row says."""
    output = next((one for one in bench.stage.outputs if bare(one.name) == bare(line.way.output)), None)
    if not line.way.output:
        bench.report.add("says-no-output", line.row, "which output of the band's mixer?")
    elif output is None:
        bench.report.add("no-such-place", line.row, f"the band's mixer has no output {line.way.output}")
    else:
        bench.occupy(("mixer output", bare(output.name)), line.row, line.row)
        if line.way.kind == "direct out" and not output.clean:
            bench.report.add("not-dry", line.row, f"output {output.name} is tapped after the band's processing")


def bare(name: str) -> str:
    """An output's name as it is written on some papers: without the word itself."""
    return name.replace(" ", "").casefold().removeprefix("out-").removeprefix("out")


# --- to the house


def _to_the_house(line: Line, bench: Bench) -> None:
    """Loom or cable, transformer, pad, box: every end mates and reaches."""
    if line.linked:
        if not bench.van.has(NETWORK):
            bench.report.add("not-packed", line.row, "no cable for the digital link is in the van")
        return
    gives = XLR_OUT
    said = line.cells.get("loom", "")
    if line.loom:
        gives = _through_the_loom(line, bench)
    elif PIECE.search(run_of(line)):
        pass
    elif said == OWN_CABLE and (line.way.kind == "split" or line.from_mixer):
        bench.van.take(BOX_CABLE, line.row)
    elif said != OWN_CABLE and line.way.kind != "house-split":
        bench.report.add(
            "not-packed" if not blank(said) else "not-readable", line.row, f"no loom of the band is called {said!r}"
        )
    _by_joined_cables(line, bench)
    if TRANSFORMER.search(line.note):
        _take_a_transformer(line, bench)
    if not blank(line.cells.get("pad")):
        bench.van.take("pad", line.row)
    if not mates(gives, XLR_IN):
        bench.report.add("ends-do-not-mate", line.row, f"{gives} into the box's {XLR_IN}")


def _take_a_transformer(line: Line, bench: Bench) -> None:
    """One out of the van, and the lead of a metre behind it where the row's own cables do not name it."""
    bench.van.take("transformer", line.row)
    if not PIECE.search(run_of(line)):
        bench.van.take(ANY_CABLE, f"the transformer of {line.row}")
        bench.van.lengths[1.0] += 1


def run_of(line: Line) -> str:
    """The cables that a row names, wherever it names them."""
    return line.cells.get("cable", "") or line.note


def _by_joined_cables(line: Line, bench: Bench) -> None:
    """The loose cables of a row, joined end to end; what lies before the transformer has to reach."""
    said = run_of(line)
    if not line.from_mixer or not PIECE.search(said):
        return
    bench.van.take_cables(said, line.row)
    before = BEFORE_THE_TRANSFORMER.match(said)
    length = sum(map(float, PIECE.findall(before[0] if before else said)))
    distance = bench.stage.house.distance
    if line.loom:
        length = length + line.loom.length if line.loom.length is not None else 0
    if distance is not None and length and length < distance:
        bench.report.add("too-short", line.row, f"{length:g} m, the way is {distance:g} m")


def _through_the_loom(line: Line, bench: Bench) -> str:
    """One way of a loom; gives back what its tail has on it."""
    loom, report = line.loom, bench.report
    if loom is None:
        return XLR_OUT
    if not bench.van.holds(loom.name):
        report.add("not-packed", loom.name, "rows run through it, and it is not in the van")
    way = number_of(line.cells.get("loom_way"))
    if way is None:
        report.add("says-no-input", line.row, f"which way of {loom.name}?")
    elif not 1 <= way <= loom.ways:
        report.add("no-such-place", line.row, f"{loom.name} has {loom.ways} ways, no way {way}")
    else:
        bench.occupy(("loom", loom.name, way), line.row, line.row)
    bench.occupy(("loom runs to", loom.name), f"box {line.box}", line.row)
    band_end, house_end = bench.van.ends_of(loom.name) or (loom.band_end, loom.house_end)
    if (band_end, house_end) != (loom.band_end, loom.house_end):
        report.add(
            "two-answers",
            loom.name,
            f"{band_end} to {house_end} on the list, {loom.band_end} to {loom.house_end} in the hand",
        )
    if not mates(XLR_OUT, band_end):
        report.add(
            "ends-do-not-mate",
            loom.name,
            f"{XLR_OUT} of the {'splitter' if line.splitter else 'mixer'} meets {band_end}",
        )
    tail = line.cells.get("tail", house_end)
    if tail != loom.house_end and not blank(tail):
        report.add("two-answers", line.row, f"the tail of {loom.name} is {loom.house_end}, the row says {tail}")
    house = bench.stage.house
    distance = house.second_distance if line.box == SECOND_BOX else house.distance
    joined = PIECE.search((BEFORE_THE_TRANSFORMER.match(run_of(line)) or [""])[0])
    if distance is not None and loom.length is not None and loom.length < distance and not joined:
        report.add("too-short", line.row, f"{loom.name} is {loom.length:g} m, the way is {distance:g} m")
    return house_end


def _at_the_desk(line: Line, bench: Bench) -> None:
    """Socket and channel: there, free, and wired to each other as the house says."""
    house, report = bench.stage.house, bench.report
    channel = number_of(line.cells.get("channel"))
    if line.linked:
        bench.occupy(("desk channel", channel), line.row, line.row)
        return
    said = line.cells.get("socket", "")
    if blank(said):
        report.add("says-no-input", line.row, "which socket of the box?")
    if line.socket is None:
        # A wall panel's inputs have names: left, right.
        bench.occupy(("input of the house", said), line.row, line.row)
        return
    bench.occupy(("box", line.box, line.socket), line.row, line.row)
    second = line.box == SECOND_BOX
    there = range(1, house.second_sockets + 1) if second else house.sockets
    if there is not None and line.socket not in there and house.mixes == HOUSE_DESK:
        report.add(
            "no-such-place", line.row, f"socket {line.cells['socket']} is not among those that are free for the band"
        )
    if house.mixes == OWN_PA:
        report.add("speaks-of-nothing", line.row, "a line to a house desk; the band brings its own PA")
    if "channel" in line.cells:
        bench.occupy(("desk channel", channel), line.row, line.row)
        if house.one_to_one and not second and channel != line.socket:
            report.add(
                "two-answers",
                line.row,
                f"socket {line.socket} is desk channel {line.socket} in this house, the row says {channel}",
            )


# --- what stands at the source


def _set_up(source: Source, line: Line, bench: Bench, singers: tuple[Source, ...] = ()) -> None:
    """Microphone or DI, stand and cable as the row says, out of the van where the band brings them. ``singers``: who
    sings at it, where that is not its player alone.
    """
    cells = line.cells
    bench.set_up.add(source.name)
    said = pickup_of(cells.get("pickup", ""))
    players = " and ".join(dict.fromkeys(one.player for one in singers or (source,) if one.player))
    if not blank(cells.get("player")) and cells["player"] != players:
        bench.report.add("wrong-pick-up", line.row, f"{cells['player']} on the row, {players or 'nobody'} on the stage")
    known = said in ("mic", "di", "di-passive", "di-active", "line", "wireless")
    if known and said != source.pickup:
        bench.report.add("wrong-pick-up", line.row, f"{cells['pickup']} on the row, {source.pickup} on the stage")
    if not blank(cells.get("whose")) and cells["whose"] != source.mic_from:
        bench.report.add(
            "wrong-pick-up", line.row, f"the row says the {cells['whose']}'s, it is the {source.mic_from}'s"
        )
    if "stand" in cells and (cells["stand"] if not blank(cells["stand"]) else "none") != source.stand:
        bench.report.add("wrong-pick-up", line.row, f"stand {cells['stand']} on the row, {source.stand} on the stage")
    take_for(source, line.row, bench)


def take_for(source: Source, row: object, bench: Bench, cable: str = "") -> None:
    """What the band brings for one plugged source. ``cable``: the cell that says how it gets to the rack."""
    if source.mic_from == "band" and source.pickup != "line":
        bench.van.take(source.pickup, row)
    if source.stand_from == "band" and source.stand != "none":
        bench.van.take(source.stand, row)
    if source.loom:
        _through_the_sub_loom(source, row, bench, cable)
    elif source.cable_from == "band" and not bench.van.take_cables(cable, row):
        bench.van.take(SOURCE_CABLE, row)


def _through_the_sub_loom(source: Source, row: object, bench: Bench, cable: str) -> None:
    """One way of a sub-loom, which has to be in the van; the row names the way where it says how a source is led."""
    if not bench.van.holds(source.loom):
        bench.report.add("not-packed", source.loom, f"{source.name} runs through it, and it is not in the van")
    if not cable:
        cable = _of_its_table(source, row, bench)
    if cable:
        name, _, way = cable.rpartition(" way ")
        loom = next(one for one in bench.stage.sub_looms if one.name == source.loom)
        if name != source.loom or not way.isdecimal():
            bench.report.add("says-no-input", row, f"which way of {source.loom}? It says {cable}")
        elif not 1 <= int(way) <= loom.ways:
            bench.report.add("no-such-place", row, f"{source.loom} has {loom.ways} ways, no way {way}")
        else:
            bench.occupy(("sub-loom", source.loom, int(way)), source.name, row)


def _of_its_table(source: Source, row: object, bench: Bench) -> str:
    """The way of its sub-loom by the table of them; its tail goes where the source's own row says."""
    cells = next((one for one in bench.sheet.sub_looms if one["source"] == source.name), None)
    if cells is None:
        bench.report.add("says-no-input", row, f"which way of {source.loom} is {source.name}'s?")
        return ""
    fed = next((one for one in bench.sheet.ears if one.get("source") == source.name), None)
    if fed and cells["into"] not in (fed.get("fed_by"), f"mixer input {fed.get('mixer_input')}"):
        bench.report.add("two-answers", row, f"the tail goes into {cells['into']}, its input is fed by {fed}")
    return f"{cells['loom']} way {cells['loom_way']}"


def place_of(source: Source, bench: Bench) -> AtPlace | None:
    """What the pack list says stands at the player's place for a source."""
    return next(
        (one for one in (*bench.van.packing.places, *bench.van.packing.house) if one.source == source.name), None
    )


def said_48v(line: Line) -> str:
    """Who feeds 48 V on a line, as its row says; ``none`` where no such column is printed."""
    return phantom_of(line.cells.get("phantom", ""))
