"""The band's own mixer: what feeds each input, what each output carries, and who hears it."""

from __future__ import annotations

from dataclasses import replace

from tests.loadin.bench import Bench, Line, Signal, blank, number_of
from tests.loadin.lines import bare, place_of, take_for
from tests.loadin.sheet import Cells
from tests.loadin.stage import HOUSE_DESK, HOUSE_PA, OWN_PA, TABLET, Source
from tests.loadin.wording import (
    ANY_CABLE,
    CARRIED,
    CARRIER,
    CHANNELS,
    CONTROLS,
    EMPTY_JACK,
    HEARD_BY_ALL,
    HEARD_IN_THE_EARS,
    ITS_JACK,
    LINKED_ON,
    NOT_IN_THE_EARS,
    SHARES_PLUG,
    SINGS_AT,
    SUBMIXER,
    TABLET_ITSELF,
    TO_MONO_TONIGHT,
    WHO_BRINGS,
    Feed,
    feed_of,
    names_in,
    pickup_of,
)


def plug_ears(bench: Bench) -> None:
    """Plug every printed input of the band's mixer."""
    for cells in bench.sheet.ears:
        bench.report.rows += 1
        row = f"mixer input {cells.get('mixer_input', '')} {cells.get('source', '')}"
        source = bench.stage.source(cells.get("source", ""))
        if source is None:
            bench.report.add("not-readable", row, f"{cells.get('source', '')!r} stands on no instrument")
        elif not EMPTY_JACK.search(cells.get("note", "") + cells.get("fed_by", "")):
            _input(source, cells, row, bench)
    _made_one_before_the_mixer(bench)


def _made_one_before_the_mixer(bench: Bench) -> None:
    """What the paper sends into a player's own submixer arrives at the mixer with whoever leaves that submixer; what
    leaves its jack empty arrives with the other half, and what shares a plug with whoever has it.
    """
    inside: dict[str, set[str]] = {}
    halves = {
        source.name: source.partner
        for cells in bench.sheet.ears
        if ITS_JACK.search(cells.get("fed_by", "")) and (source := bench.stage.source(cells.get("source", "")))
    }
    sharing = {
        cells.get("source", ""): shared[1]
        for cells in bench.sheet.ears
        if (shared := SHARES_PLUG.search(cells.get("fed_by", "")))
    }
    sharing |= {
        cells.get("source", ""): sings[1]
        for cells in bench.sheet.ears
        if (sings := SINGS_AT.search(cells.get("fed_by", "")))
    }
    for cells in bench.sheet.ears:
        source = bench.stage.source(cells.get("source", ""))
        if source and source.submix and SUBMIXER.search(cells.get("fed_by", "")):
            inside.setdefault(source.submix, set()).add(source.name)
    for number, signal in bench.at_input.items():
        carriers = (bench.stage.source(name) for name in signal.legs)
        more = frozenset(name for one in carriers if one and one.submix in inside for name in inside[one.submix])
        more |= {other for other, half in halves.items() if half in signal.legs}
        more |= {other for other, holder in sharing.items() if holder in signal.legs}
        bench.at_input[number] = replace(signal, legs=signal.legs | more)


def _input(source: Source, cells: Cells, row: str, bench: Bench) -> None:
    """One source to one input, by its way, by a tail of the house's splitter, or straight in."""
    number, report = number_of(cells.get("mixer_input")), bench.report
    feed = feed_of(cells.get("fed_by", ""), [one.name for one in bench.stage.splitters])
    there = bench.at_way.get((feed.name, feed.way or 0))
    leaves = (there and source.name in there.legs) or _tail_of(source, feed, bench)
    if source.name in bench.unplugged and not leaves:
        report.add("two-answers", row, f"{source.name} is fed here by itself; yet {bench.unplugged[source.name]}")
        return
    if feed.kind == "?":
        report.add("not-readable", row, f"fed by {feed.name!r}")
    signal = (
        _by_way(source, feed.name, feed.way, row, bench)
        if feed.kind == "split"
        else _beside(source, feed, number, row, bench)
    )
    if number is None:
        report.add("says-no-input", row, f"which input of the band's mixer for {source.name}?")
        return
    if bench.stage.mixer_inputs is not None and number > bench.stage.mixer_inputs:
        report.add("no-such-place", row, f"the band's mixer has {bench.stage.mixer_inputs} inputs")
    # What comes through one way stays one plug, however many take turns on it.
    bench.occupy(("mixer input", number), f"{feed.name} way {feed.way}" if feed.kind == "split" else source.name, row)
    bench.at_input[number] = signal
    _set_up(source, cells, row, bench)
    _heard(source, cells.get("heard", ""), row, bench)


def _heard(source: Source, said: str, row: str, bench: Bench) -> None:
    """Whether a row says who hears its source, where it says that at all: neither a spare nor a guest is in
    the in-ears.
    """
    if not said:
        return
    in_the_ears = source.goes in ("both", "ears-only") and not (source.fail_over or source.guest)
    to_the_audience = source.goes in ("both", "house-only")
    if bool(HEARD_IN_THE_EARS.search(said)) != in_the_ears or bool(HEARD_BY_ALL.search(said)) != to_the_audience:
        bench.report.add("untrue-reason", row, f"heard by {said}")


def _by_way(source: Source, name: str, way: int | None, row: str, bench: Bench) -> Signal:
    """The source through a splitter's way, whose own tail goes to the mixer."""
    splitter = next(one for one in bench.stage.splitters if one.name == name)
    if not splitter.fixed and not bench.van.holds(name):
        bench.report.add("not-packed", name, "rows plug into it, and it is not in the van")
    if way is None:
        bench.report.add("says-no-input", row, f"which way of {name}?")
        return Signal(frozenset({source.name}))
    if not 1 <= way <= splitter.ways:
        bench.report.add("no-such-place", row, f"{name} has {splitter.ways} ways, no way {way}")
    place = ("way", name, way)
    if source.name not in bench.unplugged:
        bench.plug(source, place, row)
    there = bench.at_way.setdefault((name, way), Signal(frozenset({source.name}), source.level))
    if source.name not in there.legs:
        bench.occupy(place, source.name, row)
    return there


def _beside(source: Source, feed: Feed, number: int | None, row: str, bench: Bench) -> Signal:
    """The source straight into the mixer, or from a tail of the house's splitter."""
    if feed.kind == "house-split":
        fed = _tail_of(source, feed, bench) or next(iter(_in_the_houses_splitter(source, bench)), None)
        if fed is None:
            bench.report.add("says-no-input", row, f"no row plugs {source.name} into the house's splitter")
            bench.plug(source, ("house splitter", source.name), row)
        elif not feed.name:
            bench.report.add("says-no-input", row, f"which tail of the house's splitter is {source.name}?")
        elif feed.name != fed.cells.get("socket"):
            bench.report.add("two-answers", row, f"tail {feed.name}; {fed.row} is in input {fed.cells.get('socket')}")
        else:
            bench.occupy(("tail", feed.name), source.name, row)
    else:
        bench.plug(source, ("mixer input", number), row)
    return Signal(frozenset({source.name}), source.level)


def _in_the_houses_splitter(source: Source, bench: Bench) -> list[Line]:
    """The lines by which a source is in the house's splitter: two where its submixer is in stereo."""
    return [line for line in bench.lines if line.way.kind == "house-split" and source in line.says]


def _tail_of(source: Source, feed: Feed, bench: Bench) -> Line | None:
    """The line whose tail an input is fed by, where the source is in it."""
    if feed.kind != "house-split":
        return None
    there = _in_the_houses_splitter(source, bench)
    return next((line for line in there if line.cells.get("socket") == feed.name), None)


def _set_up(source: Source, cells: Cells, row: str, bench: Bench) -> None:
    """What the source is picked up with, unless its line has set it up already."""
    if source.name in bench.set_up:
        return
    take_for(source, row, bench, cells.get("cable", ""))
    said = pickup_of(cells.get("pickup", ""))
    place = place_of(source, bench)
    if not said and place is None and source.pickup != "line":
        bench.report.add(
            "says-no-pick-up",
            row,
            f"with what, and on what stand? The pack list has nothing at the place of {source.player or 'nobody'}",
        )
    if bench.stage.house.mixes != HOUSE_DESK and "pickup" not in cells:
        bench.report.add(
            "says-no-pick-up", row, "the sheet is the whole patch here, and names neither microphone or DI nor stand"
        )


# --- outputs of the mixer


def feed_outputs(bench: Bench) -> None:
    """What the band's mixer can put on each line that comes from it: what stands at its inputs."""
    there = frozenset().union(*(signal.legs for signal in bench.at_input.values())) if bench.at_input else frozenset()
    for line in bench.lines:
        if line.digital:
            legs = frozenset(one.name for one in line.says if one.name in there)
            line.signal = Signal(legs, "digital" if line.linked else "line", digital=True, gain="band")
            _gone_to_the_bus(line, bench)


def free_outputs(bench: Bench) -> list[str]:
    """Outputs of the band's mixer that neither an in-ear mix nor a line holds."""
    held = {place[1] for place in bench.taken if place[0] == "mixer output"}
    return [one.name for one in bench.stage.outputs if one.use in ("free", "main") and bare(one.name) not in held]


def _gone_to_the_bus(line: Line, bench: Bench) -> None:
    for one in line.says:
        if one.pickup == "mic" and one.partner and line.way.kind == "to mono":
            bench.report.add(
                "mono-not-made", line.row, f"{one.name} and {one.partner} are two microphones: their sum is no mono"
            )
            return


def ask_ears(bench: Bench) -> None:
    """Whether every in-ear mix has its outputs and its way to a player, and hears every source that it should."""
    stage, report = bench.stage, bench.report
    rows = {cells.get("player", ""): cells for cells in bench.sheet.mixes}
    outputs = {one.name for one in stage.outputs}
    for mix in stage.ears:
        cells = rows.get(mix.player)
        row = f"in-ear mix {mix.player}"
        if cells is None:
            report.add("forgotten", row, "the mix stands nowhere on the sheet")
            continue
        report.rows += 1
        said = _outs(cells.get("outs", ""), outputs, row, bench)
        if TO_MONO_TONIGHT in cells.get("width", ""):
            said = said[:1]
        for out in said:
            bench.occupy(("mixer output", bare(out)), row, row)
        if set(said) - set(mix.outs) or (not said and mix.outs):
            report.add("two-answers", row, f"on {', '.join(said) or 'no output'}; the band wired {', '.join(mix.outs)}")
        bench.van.take_cables(cells.get("cable", ""), row)
        if not CARRIED.search(cells.get("carried_by", "") + " " + cells.get("cable", "")) and not bench.van.has(
            CARRIER
        ):
            report.add(
                "says-no-carrier",
                row,
                f"{mix.carried_by}: nothing on the sheet or in the van carries it from the mixer to {mix.player}",
            )
    if stage.ears or stage.house.mixes != HOUSE_DESK:
        _ask_who_hears(bench)


def _outs(cell: str, outputs: set[str], row: str, bench: Bench) -> list[str]:
    """The outputs that a cell names: "ear-1 ear-2"."""
    found: list[str] = []
    for word in cell.split():
        name = next((one for one in (word, f"out-{word}") if one in outputs), None)
        if name is None:
            bench.report.add("no-such-place", row, f"the band's mixer has no output {word}")
        else:
            found.append(name)
    return found


def _ask_who_hears(bench: Bench) -> None:
    there = frozenset().union(*(signal.legs for signal in bench.at_input.values())) if bench.at_input else frozenset()
    for source in bench.stage.sources:
        expected = source.goes in ("both", "ears-only") and not source.fail_over and source.name not in bench.unplugged
        apart = source.mic_from == "house" and bench.stage.house.own_mics_apart and not bench.stage.house.own_splitter
        if expected and not apart and source.name not in there and not _said_not_heard(source, bench):
            bench.report.add(
                "ears-miss",
                source.name,
                f"{source.name} is at no input of the band's mixer, and the paper does not say so",
            )


def _said_not_heard(source: Source, bench: Bench) -> bool:
    """Whether the paper says that a source is not in the in-ears, or not plugged at all."""
    rows = [cells for cells in bench.sheet.stays if cells.get("source") == source.name]
    notes = [line.note for line in bench.lines if source in line.says]
    said = [f"{cells.get('where', '')} {cells.get('why', '')}" for cells in rows]
    remarks = [
        cells["text"]
        for cells in bench.sheet.remarks
        if source.name in names_in(cells.get("text", ""), bench.stage.names)
    ]
    return any(NOT_IN_THE_EARS.search(one) for one in (*said, *notes, *remarks)) or any(
        EMPTY_JACK.search(one) for one in (*said, *notes)
    )


# --- where the band's mixer feeds the audience


def ask_audience(bench: Bench) -> None:
    """Where nobody mixes on a house desk: which outputs feed the audience, and what an engineer with a tablet mixes
    on.
    """
    mixes, report = bench.stage.house.mixes, bench.report
    fed = [cells for cells in bench.sheet.outputs if not blank(cells.get("feeds")) and cells["feeds"] != "free"]
    if mixes == OWN_PA and not fed:
        report.add(
            "says-no-output",
            "the audience",
            "no row says which outputs of the band's mixer feed the PA, and by which cable",
        )
    if mixes in (HOUSE_PA, TABLET) and not fed and not any(line.from_mixer for line in bench.lines):
        report.add(
            "says-no-output", "the audience", "no row says which outputs of the band's mixer feed the house's PA"
        )
    for cells in fed:
        report.rows += 1
        _feed(cells, bench)
    if mixes == TABLET:
        if not bench.van.has(CONTROLS):
            report.add(
                "not-packed",
                "the engineer",
                "nothing in the van to mix on: no tablet or surface, no router or network cable",
            )
        if not bench.van.has(TABLET_ITSELF) and not WHO_BRINGS.search(bench.sheet.whole):
            report.add("says-no-controls", "the engineer", "who brings the tablet to mix on?")
        if not CHANNELS.search(bench.sheet.whole):
            report.add("says-no-controls", "the engineer", "which channels of the band's mixer are the engineer's?")


def _feed(cells: Cells, bench: Bench) -> None:
    """One output and what it feeds, by the cables that its row names; what is linked hands it on by one more. Whatever
    it feeds, the row names a cable.
    """
    outputs = {bare(one.name) for one in bench.stage.outputs}
    line = next((one for one in bench.lines if bare(one.way.output) == bare(cells.get("out", ""))), None)
    if line is None:
        bench.van.take_cables(cells.get("cable", ""), f"output {cells.get('out', '')}")
        if LINKED_ON.search(cells["feeds"]):
            bench.van.take(ANY_CABLE, f"output {cells.get('out', '')}")
    if bare(cells.get("out", "")) not in outputs:
        bench.report.add("no-such-place", f"output {cells.get('out', '')}", "the band's mixer has no such output")
    if blank(cells.get("cable")):
        bench.report.add("says-no-length", f"output {cells.get('out', '')}", f"to {cells['feeds']}, by which cable?")
