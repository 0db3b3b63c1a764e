"""The numbers behind one line: loading, phantom, level, cable, delay. They belong on the why-page, never on the sheet's
face.

A number whose inputs are not known is a range over what is common, or is absent; it is never a guess with a decimal
point.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from portal.plan.explain import count_of
from portal.plan.input.facts import Facts
from portal.plan.input.rig import Source
from portal.plan.model import Line
from portal.plan.options.routing_policy import capture_of, needs_phantom
from portal.plan.result.lines import MARGIN_DB, MIC_INPUT_DBU, OUT_LEVEL_DBU
from portal.plan.result.signal import (
    CABLE_PF_PER_M,
    Feed,
    corner_hz,
    di_load_ohm,
    drawn_ma,
    first_comb_hz,
    pad_needed_db,
    phantom_volt,
)
from portal.plan.result.spelling import leg_of
from portal.plan.result.transformers import has_transformer
from portal.plan.result.wiring import Wiring, ends_of, from_our_mixer, wirings_of

PHANTOM_MA = (2.0, 10.0)
"""Current of a condenser microphone where the rig says nothing: old supplies gave 2 mA, P48 owes 10 mA (tutorial at the
AES 129th Convention).
"""

LEAST_RATIO = 5.0
"""A load of at least five times the source is the usual advice (secondary source); below it dynamic microphones can
change tone.
"""

DI_RATIO = 10.0
"""Typical turns ratio of a passive DI (secondary source; 10 and 12 both occur)."""

ACTIVE_DI_OHM = 1_000_000.0
"""Least input impedance of an active DI (common practice, no source)."""

AUDIBLE_HZ = 20_000.0

AGAINST_NO_LOAD = "against the source with nothing plugged in"


@dataclass(frozen=True)
class Figure:
    """One number with its range. ``low == high`` where everything was known; ``careful`` marks what an engineer should
    look at twice.
    """

    key: str
    what: str
    low: float
    high: float
    unit: str
    basis: str
    careful: bool = False

    @property
    def value(self) -> str:
        """The number as written: one where known, else "... to ..."."""
        low, high = _written(self.low), _written(self.high)
        return f"{low} {self.unit}" if low == high else f"{low} to {high} {self.unit}"


def figures_of(line: Line, lines: tuple[Line, ...], facts: Facts) -> tuple[Figure, ...]:
    """Every figure of one line of a plan, in the order of the signal."""
    sources = {source.key: source for source in facts.rig.source}
    first = sources.get(line.sources[0])
    if first is None:
        return ()
    wirings = wirings_of(line, first, facts)
    found: list[Figure] = []
    if not from_our_mixer(line) and wirings:
        found += _loading(line, first, wirings, facts)
    found += _phantom(line, first, wirings, facts)
    if line.phantom == "band":
        found.append(_phantom_in_all(lines, facts))
    found += _level(line, first, wirings, facts)
    found += _cable(line, first, wirings, facts)
    found += _delay(line, lines, facts)
    return tuple(found)


def _loading(line: Line, source: Source, wirings: tuple[Wiring, ...], facts: Facts) -> Iterator[Figure]:
    ends = ends_of(line, source, facts)
    basis = f"source {ends.source}" + (f"; the band's mixer {ends.band}" if ends.band else "")
    basis += f"; house desk {ends.house}" + _around(line, facts, ends.further)
    if ends.band:
        low, high = _span(wiring.band_db for wiring in wirings)
        yield Figure("level-at-our-mixer", f"Level at the band's mixer, {AGAINST_NO_LOAD}", low, high, "dB", basis)
        basis = "from the same values"
    low, high = _span(wiring.box_db for wiring in wirings)
    yield Figure("level-at-the-house", f"Level at the stage box, {AGAINST_NO_LOAD}", low, high, "dB", basis)
    low, high = _span(wiring.load_ohm / wiring.source_ohm for wiring in wirings)
    advice = f"{basis}; at least {LEAST_RATIO:g} is usual, and below that a dynamic microphone can sound different"
    yield Figure(
        "load-ratio",
        "All inputs together, against the source's impedance",
        low,
        high,
        "times",
        advice,
        careful=low < LEAST_RATIO,
    )
    if capture_of(source) == "di-passive":
        low, high = _span(di_load_ohm(DI_RATIO, [wiring.load_ohm]) / 1000 for wiring in wirings)
        basis = (
            f"a {DI_RATIO:g}:1 DI (assumed) into all inputs together; an active DI shows at least"
            f" {ACTIVE_DI_OHM / 1000:g} kohm"
        )
        yield Figure("di-load", "Load that the instrument sees through the DI", low, high, "kohm", basis, careful=True)


def _around(line: Line, facts: Facts, further: int) -> str:
    """What else lies on the line, for the basis."""
    parts = ""
    if further:
        parts += f"; {count_of(further, 'further input')} on the house's side"
    elif not facts.known("other-feeds"):
        parts += "; nothing else on the house's side (assumed)"
    if line.path.kind == "house-split":
        parts += "; the house's splitter with or without a transformer to the band"
    elif leg_of(line.path) == "isolated":
        parts += "; transformer windings of 40 ohm (assumed)"
    if has_transformer(line, facts):
        parts += "; a loose transformer, windings of 40 ohm (assumed)"
    return parts


def _phantom(line: Line, source: Source, wirings: tuple[Wiring, ...], facts: Facts) -> Iterator[Figure]:
    if line.phantom not in ("band", "house", "splitter") or needs_phantom(source) != "yes":
        return
    currents = (source.phantom_ma,) if source.phantom_ma else PHANTOM_MA
    further = ends_of(line, source, facts).further
    off = 0
    if line.phantom == "band" and not wirings[0].house_isolated and not wirings[0].transformer:
        off = 1 + further
    elif line.phantom == "house":
        off = further + any(wiring.band_ohm is not None and not wiring.band_isolated for wiring in wirings)
    feeds = [[Feed()], *([[Feed()] + [Feed(volt=0.0)] * off] if off else [])]
    low, high = _span(phantom_volt(one, current) for one, current in product(feeds, currents))
    stated = "stated" if source.phantom_ma else "usual, not stated"
    basis = f"48 V through 6.81 kohm a leg, {_range(currents)} mA ({stated})"
    if off:
        basis += (
            f"; the low end where {count_of(off, 'other desk')} with 48 V off ties the pins to 0 V through its"
            " resistors, which depends on its switch"
        )
    yield Figure("phantom-volt", "48 V supply, measured at the microphone", low, high, "V", basis, careful=bool(off))


def _phantom_in_all(lines: tuple[Line, ...], facts: Facts) -> Figure:
    """What the band's mixer feeds on all its inputs, sources that stay in the in-ears included."""
    used = {line.path.unit for line in lines}
    in_path = {splitter.key: splitter for splitter in facts.rig.splitter if splitter.built_in or splitter.key in used}
    sent = {key: line for line in lines if not from_our_mixer(line) for key in line.sources}
    fed = []
    for source in facts.rig.source:
        if needs_phantom(source) != "yes" or source.goes in ("house-only", "rehearsal-only"):
            continue
        line, splitter = sent.get(source.key), in_path.get(source.splitter)
        own_feed = splitter is None or (splitter.kind == "passive" and splitter.to_mixer == "direct")
        if line.phantom == "band" if line is not None else own_feed:
            fed.append(source.phantom_ma)
    low = drawn_ma([current or PHANTOM_MA[0] for current in fed])
    high = drawn_ma([current or PHANTOM_MA[1] for current in fed])
    unknown = sum(not current for current in fed)
    budget = facts.rig.mixer.phantom_budget_ma
    basis = f"{count_of(len(fed), 'source')} on the band's mixer" + (
        f", {unknown} of them not stated and taken at {_range(PHANTOM_MA)} mA" if unknown else ""
    )
    basis += (
        f"; the band's mixer gives {budget:g} mA in all (stated)"
        if budget is not None
        else "; how much the band's mixer gives in all is not stated"
    )
    return Figure(
        "phantom-in-all",
        "48 V current from the band's mixer, all inputs together",
        low,
        high,
        "mA",
        basis,
        careful=budget is not None and high > budget,
    )


def _level(line: Line, source: Source, wirings: tuple[Wiring, ...], facts: Facts) -> Iterator[Figure]:
    out = (
        next((out for out in facts.rig.mixer.outs if out.key == line.path.output), None)
        if from_our_mixer(line)
        else None
    )
    stated = out.max_dbu if out is not None else source.max_dbu
    if stated is None and line.level != "line":
        return
    highest = OUT_LEVEL_DBU if stated is None else stated
    giver = "the band's output" if from_our_mixer(line) else "the source"
    basis = f"{giver} gives {highest:g} dBu at most ({'assumed' if stated is None else 'stated'})"
    into_line = line.level == "line" and facts.value("line-inputs") == "yes"
    if not into_line:
        needed = pad_needed_db(highest, MIC_INPUT_DBU, MARGIN_DB)
        takes = f"; a microphone input takes {MIC_INPUT_DBU:g} dBu (assumed); {MARGIN_DB:g} dB kept in hand"
        yield Figure("pad", "Attenuation wanted", needed, needed, "dB", basis + takes)
    if not wirings:
        return
    low, high = _span(highest + wiring.input_db for wiring in wirings)
    basis += f"; behind a {line.pad_db} dB pad that leaves 150 ohm (assumed)" if line.pad_db else "; no pad"
    basis += "; a loose transformer before it" if has_transformer(line, facts) else ""
    too_high = not into_line and high + MARGIN_DB > MIC_INPUT_DBU
    yield Figure("peak-at-the-house", "Loudest moment at the house's input", low, high, "dBu", basis, careful=too_high)


def _cable(line: Line, source: Source, wirings: tuple[Wiring, ...], facts: Facts) -> Iterator[Figure]:
    loom = next((loom for loom in facts.rig.loom if line.loom is not None and loom.key == line.loom.key), None)
    if loom is None or not loom.length_m or from_our_mixer(line) or not wirings:
        return
    capacitance_pf = loom.length_m * CABLE_PF_PER_M
    low, high = _span(corner_hz(wiring.behind_box_ohm, None, capacitance_pf) / 1000 for wiring in wirings)
    basis = (
        f"source {ends_of(line, source, facts).source}; {loom.length_m:g} m of loom at {CABLE_PF_PER_M:g} pF/m (usual,"
        " not stated)"
    )
    basis += "; the microphone's own cable and the house's multicore lower it further"
    yield Figure(
        "cable-corner", "Top end at the stage box, 3 dB down", low, high, "kHz", basis, careful=low * 1000 < AUDIBLE_HZ
    )


def _delay(line: Line, lines: tuple[Line, ...], facts: Facts) -> Iterator[Figure]:
    latency = facts.rig.mixer.latency_ms
    if latency is None or not from_our_mixer(line):
        return
    yield Figure(
        "latency",
        "Delay through the band's mixer",
        latency,
        latency,
        "ms",
        "as the rig states; the house desk's own comes on top",
    )
    family = _family(line, facts)
    others = [other for other in lines if other.dry and not from_our_mixer(other) and _family(other, facts) & family]
    notch = first_comb_hz([0.0, latency]) if others else None
    if notch is not None:
        basis = (
            f"with {others[0].label}, which picks up the same sound without that delay; the notches repeat at 3, 5, 7"
            " ... times this"
        )
        yield Figure("first-comb", "First notch where both are in the mix", notch, notch, "Hz", basis, careful=True)


def _family(line: Line, facts: Facts) -> set[str]:
    """What a line shares with others that hear the same sound: the kit, or one player's instrument."""
    chosen = [source for source in facts.rig.source if source.key in line.sources]
    kit = {"kit" for source in chosen if source.what.startswith(("drum.", "metal."))}
    return kit | {f"{source.player}:{source.what}" for source in chosen if source.player}


def _span(numbers: Iterator[float]) -> tuple[float, float]:
    found = tuple(numbers)
    return min(found), max(found)


def _written(number: float) -> str:
    rounded = round(number, 1 if abs(number) < 100 else 0) + 0.0  # noqa: PLR2004 - three figures are enough; adding 0 turns -0 into 0
    return f"{rounded:.1f}".removesuffix(".0")


def _range(numbers: tuple[float, ...]) -> str:
    return " to ".join(f"{number:g}" for number in dict.fromkeys((min(numbers), max(numbers))))
