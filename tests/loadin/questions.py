"""What is asked once everything is plugged: whether each channel carries what its row says, and nothing else."""

from __future__ import annotations

import re
from itertools import combinations

from tests.loadin.bench import Bench, Line, blank, number_of
from tests.loadin.lines import SECOND_BOX, run_of
from tests.loadin.stage import HOUSE_DESK
from tests.loadin.van import XLR_IN, XLR_OUT, mates, thing_of
from tests.loadin.wording import (
    ANOTHER_LOOM,
    BOX_CABLE,
    EMPTY_JACK,
    LOOMS_ARE_FULL,
    NO_LOOM_REACHES,
    NO_TRANSFORMER_SAID,
    NOT_THERE,
    OWN_CABLE,
    PICKED_UP,
    PIECE,
    SPARE_LINE,
    STANDS,
    STAYS_IN_THE_EARS,
    TRANSFORMER,
    deaths_of,
    pair_of,
)


def ask_channels(bench: Bench) -> None:
    """Each line on its own: signal, level, gain, partner."""
    for line in bench.lines:
        _ask_signal(line, bench)
        _ask_level(line, bench)
        _ask_gain(line, bench)
        _ask_partner(line, bench)


def _ask_signal(line: Line, bench: Bench) -> None:
    says = frozenset(one.name for one in line.says)
    carries = line.signal.legs if line.signal else frozenset()
    if says != carries and not line.one_leg:
        missing, more = sorted(says - carries), sorted(carries - says)
        bench.report.add(
            "wrong-signal",
            line.row,
            "; ".join(
                filter(
                    None,
                    (f"missing: {', '.join(missing)}" * bool(missing), f"too much: {', '.join(more)}" * bool(more)),
                )
            ),
        )


def _ask_level(line: Line, bench: Bench) -> None:
    level = line.signal.level if line.signal else ""
    said, padded = line.cells.get("level", level), not blank(line.cells.get("pad"))
    takes_line = bench.stage.house.line_inputs
    if level and said != level:
        bench.report.add("wrong-level", line.row, f"{said} on the row, {level} on the line")
    if level == "line" and takes_line is False and not padded:
        bench.report.add("wrong-level", line.row, "line level into a microphone input, and no pad")
    if padded and (level != "line" or takes_line):
        bench.report.add(
            "wrong-level", line.row, f"a pad, and {level} level into {'a line' if takes_line else 'a microphone'} input"
        )


def _ask_gain(line: Line, bench: Bench) -> None:
    said = line.cells.get("gain", "")
    if said and line.signal and said != line.signal.gain:
        bench.report.add("wrong-gain", line.row, f"the row says {said}, it is {line.signal.gain}")


def _ask_partner(line: Line, bench: Bench) -> None:
    """The row named beside a leg is the other leg's, and it names this one."""
    said = number_of(line.cells.get("pair"))
    if said is None:
        return
    other = next((one for one in bench.lines if number_of(one.cells.get("channel")) == said), None)
    if (
        other is None
        or pair_of(other.cells["source"]) != pair_of(line.cells["source"])
        or other.cells.get("pair") != line.cells.get("channel")
    ):
        bench.report.add(
            "two-answers",
            line.row,
            f"stereo with channel {said}, which is {other.cells['source'] if other else 'not there'}",
        )


def ask_partners(bench: Bench) -> None:
    """Two microphones of one sound, the legs of a pair, microphone and DI: never on paths of different latency."""
    where = {one.name: [line for line in bench.lines if one in line.says] for one in bench.stage.sources}
    for one, other in combinations(bench.stage.sources, 2):
        together = (
            other.name in (one.partner, one.first)
            or one.name == other.first
            or (one.first and one.first == other.first)
        )
        if together and where[one.name] and where[other.name]:
            kinds = [{line.digital for line in where[name]} for name in (one.name, other.name)]
            if kinds[0] != kinds[1]:
                rows = [where[name][0] for name in (one.name, other.name)]
                what = (
                    f"{one.name} {'through the mixer' if rows[0].digital else 'past the mixer'}, {other.name} the"
                    " other way"
                )
                bench.report.add("latency-apart", f"{rows[0].row}, {rows[1].row}", what)


def ask_isolation(bench: Bench) -> None:
    """Where isolated lines are required every line from the rack has a transformer; each transformer in the van has a
    line.
    """
    packed = bench.van.loaded["transformer"]
    open_lines = _without_transformer(bench)
    if bench.stage.house.isolation_required:
        for line in open_lines[packed:]:
            bench.report.add(
                "no-transformer",
                line.row,
                "isolated lines are required, and neither the row nor the van has a transformer for it",
            )
    free = packed - bench.van.taken["transformer"]
    if free > 0 and open_lines:
        bench.report.add(
            "says-no-transformer",
            "isolating transformer",
            f"{free} in the van, {len(open_lines)} lines without one: in which, at which end?",
        )
        for _ in range(min(free, len(open_lines))):
            bench.van.take("transformer", "a line that nobody names")


def _without_transformer(bench: Bench) -> list[Line]:
    """The lines from the band's rack in which nobody sees a transformer."""
    return [
        line
        for line in bench.lines
        if (line.splitter or line.from_mixer) and not line.way.isolated and not TRANSFORMER.search(line.note)
    ]


def ask_presence(bench: Bench) -> None:
    """Every source stands somewhere; what stays at home stands nowhere; what is in the van has a use; nothing is spoken
    of that is not there.
    """
    sheet, report = bench.sheet, bench.report
    said = {name for line in bench.lines for name in (one.name for one in line.says)} | {
        cells.get("source") for cells in (*sheet.ears, *sheet.stays)
    }
    for source in bench.stage.sources:
        if source.name not in said and source.goes != "rehearsal-only" and source.name not in bench.unplugged:
            report.add("forgotten", source.name, "the source stands nowhere on the sheet")
    for cells in sheet.stays:
        if EMPTY_JACK.search(cells.get("where", "")) and STAYS_IN_THE_EARS.search(cells.get("why", "")):
            report.add("two-answers", cells.get("source", ""), f"{cells['where']}, yet: {cells['why']}")
    _ask_what_stays(bench)
    _ask_what_lies_unused(bench)
    _ask_reasons(bench)
    _ask_places(bench)
    for cells in sheet.spare:
        if not blank(cells.get("loom_way")):
            bench.occupy(
                ("loom", cells.get("loom", ""), number_of(cells["loom_way"])),
                "spare",
                f"spare {cells.get('loom', '')} {cells['loom_way']}",
            )
    pattern = NOT_THERE.get(bench.stage.house.mixes)
    for phrase in sorted(
        {found.casefold() for found in pattern.findall(sheet.whole + _heads(bench))} if pattern else ()
    ):
        report.add("speaks-of-nothing", "sheet", f"{phrase!r} where {bench.stage.house.mixes} is all there is")


def _heads(bench: Bench) -> str:
    """Heads of columns that are printed: a column for desk channels speaks of a desk."""
    printed = {"channel": "desk channel", "socket": "box socket"}
    return "\n" + "\n".join(
        words for field, words in printed.items() if any(field in line.cells for line in bench.lines)
    )


def _ask_what_stays(bench: Bench) -> None:
    named = {*(one.name for one in bench.stage.splitters), *(one.name for one in bench.stage.looms)}
    rows = (*bench.sheet.lines, *bench.sheet.spare, *bench.sheet.ears, *bench.sheet.returns, *bench.sheet.outputs)
    for thing in bench.van.packing.leave:
        name = (
            thing.what.rpartition(",")[0]
            if thing.what.rpartition(",")[2].strip().removesuffix(" m").replace(".", "").isdecimal()
            else thing.what
        )
        places = [
            cell
            for cells in rows
            for field, cell in cells.items()
            if field in ("path", "loom", "fed_by", "cable", "from") and cell.startswith(name)
        ]
        if name in named and places:
            bench.report.add(
                "stays-home-but-named", name, f"stays at home; {len(places)} rows name it, the first: {places[0]}"
            )


def _ask_places(bench: Bench) -> None:
    """What the pack list puts at a player's place is what that player's source is picked up with."""
    for place in (*bench.van.packing.places, *bench.van.packing.house):
        player = "" if blank(place.player) else place.player
        row, source = f"at the place of {player or 'nobody'}", bench.stage.source(place.source)
        if source is None:
            bench.report.add("not-readable", row, f"{place.source!r} stands on no instrument")
            continue
        if player != source.player:
            bench.report.add("wrong-pick-up", row, f"{source.name} is played by {source.player or 'nobody'}")
        things = {thing_of(thing) for thing in place.things.split("; ")}
        wrong = sorted((things & PICKED_UP) - {source.pickup}) + sorted((things & STANDS) - {source.stand})
        if wrong:
            bench.report.add(
                "wrong-pick-up",
                row,
                f"{source.name}: {', '.join(wrong)} on the list; {source.pickup} and stand {source.stand} on the stage",
            )


def _ask_reasons(bench: Bench) -> None:
    """Looms are full only where each in the van has a line in every way; none reaches, or another one stays at home,
    only where that is so.
    """
    distance = bench.stage.house.distance
    looms = [loom for loom in bench.stage.looms if not (distance and loom.length and loom.length < distance)]
    nearest = min(distance or 0, bench.stage.house.second_distance or distance or 0)
    along = [one for one in bench.stage.looms if bench.van.holds(one.name) and (one.length or nearest) >= nearest]
    free = [loom.name for loom in along if sum(place[:2] == ("loom", loom.name) for place in bench.taken) < loom.ways]
    for said, untrue in (
        (LOOMS_ARE_FULL, f"{', '.join(free)}: ways are free" if free else "" if along else "no loom comes along"),
        (NO_LOOM_REACHES, ", ".join(f"{loom.name} reaches" for loom in looms)),
        (ANOTHER_LOOM, "" if len(along) < len(looms) else "no loom that reaches stays at home"),
    ):
        for thing in bench.van.packing.bring:
            if untrue and said.search(thing.why):
                bench.report.add("untrue-reason", thing.what, f"{thing.why}; {untrue}")
    for cells in bench.sheet.remarks:
        free, text = bench.van.loaded["transformer"] - bench.van.taken["transformer"], cells.get("text", "")
        if free >= len(_without_transformer(bench)) and NO_TRANSFORMER_SAID.search(text):
            bench.report.add(
                "untrue-reason",
                "sheet",
                f"{text} Yet the {free} isolating transformers that lie in no line are enough for every such one",
            )
        if offered := SPARE_LINE.search(text):
            _ask_spare_line(offered, text, bench)


def _ask_spare_line(offered: re.Match[str], text: str, bench: Bench) -> None:
    """A spare line has a socket and a way of its own."""
    box, _, socket = offered["socket"].rpartition(" ")
    bench.occupy(("box", box, int(socket)), "spare line", text)
    if offered["way"]:
        bench.occupy(("loom", offered["loom"], int(offered["way"])), "spare", text)
    elif bench.stage.looms:
        bench.report.add("says-no-input", "spare line", f"{text} By which way or cable?")


def _ask_what_lies_unused(bench: Bench) -> None:
    """Splitters, looms, cables to the box: carried for something."""
    for splitter in bench.stage.splitters:
        used = any(place[:2] == ("way", splitter.name) for place in bench.taken) or any(
            name == splitter.name for name, _ in bench.at_way
        )
        if not splitter.fixed and bench.van.holds(splitter.name) and not used:
            bench.report.add("packed-in-vain", splitter.name, "nothing runs through it")
    for loom in bench.stage.looms:
        used = any(place[:2] == ("loom", loom.name) for place in bench.taken)
        if bench.van.holds(loom.name) and not used:
            bench.report.add("packed-in-vain", loom.name, "no line runs through it")
    _ask_loose_cables(bench)


def _ask_loose_cables(bench: Bench) -> None:
    """The longest loose cables go to the box that is farther away; each reaches. A row that names its own cables takes
    none of them.
    """
    house = bench.stage.house
    boxes = [
        line.box
        for line in bench.lines
        if line.cells.get("loom") == OWN_CABLE
        and (line.way.kind == "split" or line.from_mixer)
        and not PIECE.search(run_of(line))
    ]
    ways = [house.second_distance if box == SECOND_BOX else house.distance for box in boxes]
    cables = [
        (float(cable.length), cable.what)
        for cable in bench.van.cables(BOX_CABLE)
        if cable.length.isdecimal()
        for _ in range(cable.count)
    ]
    for (length, what), way in zip(
        sorted(cables, reverse=True), sorted((one or 0 for one in ways), reverse=True), strict=False
    ):
        if length < way:
            bench.report.add("too-short", what, f"{length:g} m, the way is {way:g} m")


# --- a dead rack


def ask_rack(bench: Bench) -> None:
    """Take the rack out, with every receiver in it, and compare with what the paper says of each channel."""
    text = bench.sheet.rack_dies
    if bench.stage.house.mixes != HOUSE_DESK:
        if "silent" not in text.casefold():
            bench.report.add(
                "rack-untrue", "if the rack dies", f"everything falls silent, the paper says: {text or 'nothing'}"
            )
        return
    said = deaths_of(text)
    for line in bench.lines:
        channel = number_of(line.cells.get("channel"))
        found = [state for state, channels in said.items() if channel in channels]
        true = _fate(line, bench)
        if true and found != [true]:
            bench.report.add(
                "rack-untrue", line.row, f"the paper says {' and '.join(found) or 'nothing'}, it is {true}"
            )


def _fate(line: Line, bench: Bench) -> str:
    """alive, lost (its 48 V came from the rack) or silent; empty where it hangs on what nobody knows."""
    if (
        line.digital
        or any(one.in_rack for one in line.says)
        or (line.splitter and line.splitter.active and line.splitter.fixed)
    ):
        return "silent"
    if line.splitter and line.splitter.active:
        return ""
    if any(one.needs_48v is None for one in line.says):
        return ""
    lost = any(one.needs_48v and bench.fed.get(one.name) == {"band"} for one in line.says)
    return "lost" if lost else "alive"


def ask_returns(bench: Bench) -> None:
    """Lines from the house to the band: both ends, the ways against the loom, and a free input."""
    for cells in bench.sheet.returns:
        bench.report.rows += 1
        row = f"return {cells.get('label', '')}"
        number, way = number_of(cells.get("mixer_input")), number_of(cells.get("way"))
        if number is None:
            bench.report.add("says-no-input", row, "into which input of the band's mixer?")
        else:
            bench.occupy(("mixer input", number), row, row)
        if way is not None:
            bench.occupy(("loom", cells.get("loom", ""), way), row, row)
        elif cells.get("loom", "") == OWN_CABLE:
            bench.van.take(BOX_CABLE, row)
        said = number_of(cells.get("turn_rounds")) or 0
        for _ in range(said):
            bench.van.take("XLR turnaround", row)
        loom = next((one for one in bench.stage.looms if one.name == cells.get("loom")), None)
        needed = (not mates(loom.band_end, XLR_IN)) + (not mates(XLR_OUT, loom.house_end)) if loom else 0
        if said != needed:
            bench.report.add(
                "ends-do-not-mate",
                row,
                f"{said} XLR turnarounds on paper; backwards through the loom it takes {needed}",
            )
        if number_of(cells.get("socket")) is None:
            bench.report.add("says-no-return", row, "out of which socket of the box or desk?")
