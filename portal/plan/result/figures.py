"""The numbers behind one line: loading, phantom, level, cable, delay. They belong on the why-page, never on the sheet's
face.

A number whose inputs are not known is a range over what is common, or is absent; it is never a guess with a decimal
point.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from portal.plan.input.facts import Facts
from portal.plan.input.rig import Source
from portal.plan.model import Line
from portal.plan.options.routing_policy import capture_of, needs_phantom
from portal.plan.phrase import Choice, Phrase, Said, Value, metres, side_by_side, thousandths
from portal.plan.result.lines import MARGIN_DB, MIC_INPUT_DBU, OUT_LEVEL_DBU
from portal.plan.result.signal import (
    CABLE_PF_PER_M,
    WINDING_OHM,
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
from portal.plan.result.wiring import Wiring, ends_of, from_our_mixer, spread, wirings_of

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


@dataclass(frozen=True)
class Figure:
    """One number with its range. ``low == high`` where everything was known; ``careful`` marks what an engineer should
    look at twice.
    """

    key: str
    low: float
    high: float
    unit: str
    basis: Said
    careful: bool = False

    @property
    def what(self) -> Phrase:
        """What it is a number of."""
        return Phrase(f"figure.{self.key}")

    @property
    def value(self) -> Phrase:
        """The number as written: one where known, else the least and the greatest."""
        figure = spread((_written(self.low), _written(self.high)))
        return Phrase("figure", {"figure": figure, "unit": Choice("unit", self.unit)})


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
    parts = [Phrase("basis.source", {"ohms": ends.source.said})]
    parts += [Phrase("basis.bands-mixer", {"ohms": ends.band.said})] if ends.band else []
    parts += [Phrase("basis.house-desk", {"ohms": ends.house.said}), *_around(line, facts, ends.further)]
    if ends.band:
        low, high = _span(wiring.band_db for wiring in wirings)
        yield Figure("level-at-our-mixer", low, high, "dB", side_by_side(parts))
        parts = [Phrase("basis.same-values")]
    low, high = _span(wiring.box_db for wiring in wirings)
    yield Figure("level-at-the-house", low, high, "dB", side_by_side(parts))
    low, high = _span(wiring.load_ohm / wiring.source_ohm for wiring in wirings)
    advice = Phrase("basis.at-least", {"ratio": thousandths(LEAST_RATIO)})
    yield Figure("load-ratio", low, high, "times", side_by_side([*parts, advice]), careful=low < LEAST_RATIO)
    if capture_of(source) == "di-passive":
        low, high = _span(di_load_ohm(DI_RATIO, [wiring.load_ohm]) / 1000 for wiring in wirings)
        taken = {"ratio": thousandths(DI_RATIO), "active": thousandths(ACTIVE_DI_OHM / 1000)}
        yield Figure("di-load", low, high, "kohm", Phrase("basis.di", taken), careful=True)


def _around(line: Line, facts: Facts, further: int) -> Iterator[Phrase]:
    """What else lies on the line, for the basis."""
    if further:
        yield Phrase("basis.further-inputs", {"inputs": further})
    elif not facts.known("other-feeds"):
        yield Phrase("basis.nothing-else")
    if line.path.kind == "house-split":
        yield Phrase("basis.house-splitter")
    elif leg_of(line.path) == "isolated":
        yield Phrase("basis.windings", {"ohms": thousandths(WINDING_OHM)})
    if has_transformer(line, facts):
        yield Phrase("basis.loose-transformer", {"ohms": thousandths(WINDING_OHM)})


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
    stated = "basis.feed-resistors.stated" if source.phantom_ma else "basis.feed-resistors.usual"
    basis = [Phrase(stated, {"current": spread(currents)})]
    basis += [Phrase("basis.other-desks", {"desks": off})] if off else []
    yield Figure("phantom-volt", low, high, "V", side_by_side(basis), careful=bool(off))


def _phantom_in_all(lines: tuple[Line, ...], facts: Facts) -> Figure:
    """What the band's mixer feeds on all its inputs, sources that stay in the in-ears included."""
    used = {line.path.unit for line in lines}
    in_path = {splitter.key: splitter for splitter in facts.rig.splitter if splitter.built_in or splitter.key in used}
    sent = {key: line for line in lines if not from_our_mixer(line) for key in line.sources}
    fed, guests = [], {line.guest for line in lines}
    for source in facts.rig.source:
        if source.key in guests or needs_phantom(source) != "yes" or source.goes in ("house-only", "rehearsal-only"):
            continue
        line, splitter = sent.get(source.key), in_path.get(source.splitter)
        own_feed = splitter is None or (splitter.kind == "passive" and splitter.to_mixer == "direct")
        if line.phantom == "band" if line is not None else own_feed:
            fed.append(source.phantom_ma)
    low = drawn_ma([current or PHANTOM_MA[0] for current in fed])
    high = drawn_ma([current or PHANTOM_MA[1] for current in fed])
    unknown = sum(not current for current in fed)
    budget = facts.rig.mixer.phantom_budget_ma
    drawing: dict[str, Value] = {"sources": len(fed)}
    guess: dict[str, Value] = {"unknown": unknown, "current": spread(PHANTOM_MA)}
    gives = Phrase("basis.mixer-gives", {"current": thousandths(budget)}) if budget is not None else None
    basis = (
        Phrase("basis.sources.some-not-stated", {**drawing, **guess}) if unknown else Phrase("basis.sources", drawing),
        gives or Phrase("basis.mixer-gives.not-stated"),
    )
    too_much = budget is not None and high > budget
    return Figure("phantom-in-all", low, high, "mA", side_by_side(basis), careful=too_much)


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
    giver = "basis.output-gives" if from_our_mixer(line) else "basis.source-gives"
    gives = Phrase(f"{giver}{'.assumed' if stated is None else '.stated'}", {"level": thousandths(highest)})
    into_line = line.level == "line" and facts.value("line-inputs") == "yes"
    if not into_line:
        needed = pad_needed_db(highest, MIC_INPUT_DBU, MARGIN_DB)
        takes: dict[str, Value] = {"level": thousandths(MIC_INPUT_DBU), "margin": thousandths(MARGIN_DB)}
        yield Figure("pad", needed, needed, "dB", side_by_side([gives, Phrase("basis.input-takes", takes)]))
    if not wirings:
        return
    low, high = _span(highest + wiring.input_db for wiring in wirings)
    basis = [gives, Phrase("basis.behind-a-pad", {"pad": line.pad_db}) if line.pad_db else Phrase("basis.no-pad")]
    basis += [Phrase("basis.transformer-before")] if has_transformer(line, facts) else []
    too_high = not into_line and high + MARGIN_DB > MIC_INPUT_DBU
    yield Figure("peak-at-the-house", low, high, "dBu", side_by_side(basis), careful=too_high)


def _cable(line: Line, source: Source, wirings: tuple[Wiring, ...], facts: Facts) -> Iterator[Figure]:
    loom = next((loom for loom in facts.rig.loom if line.loom is not None and loom.key == line.loom.key), None)
    if loom is None or not loom.length_m or from_our_mixer(line) or not wirings:
        return
    capacitance_pf = loom.length_m * CABLE_PF_PER_M
    low, high = _span(corner_hz(wiring.behind_box_ohm, None, capacitance_pf) / 1000 for wiring in wirings)
    long: dict[str, Value] = {"length": metres(loom.length_m), "capacitance": thousandths(CABLE_PF_PER_M)}
    basis = (
        Phrase("basis.source", {"ohms": ends_of(line, source, facts).source.said}),
        Phrase("basis.loom", long),
        Phrase("basis.lower-still"),
    )
    yield Figure("cable-corner", low, high, "kHz", side_by_side(basis), careful=low * 1000 < AUDIBLE_HZ)


def _delay(line: Line, lines: tuple[Line, ...], facts: Facts) -> Iterator[Figure]:
    latency = facts.rig.mixer.latency_ms
    if latency is None or not from_our_mixer(line):
        return
    yield Figure("latency", latency, latency, "ms", Phrase("basis.as-the-rig-states"))
    family = _family(line, facts)
    others = [other for other in lines if other.dry and not from_our_mixer(other) and _family(other, facts) & family]
    notch = first_comb_hz([0.0, latency]) if others else None
    if notch is not None:
        basis = Phrase("basis.same-sound", {"label": others[0].label})
        yield Figure("first-comb", notch, notch, "Hz", basis, careful=True)


def _family(line: Line, facts: Facts) -> set[str]:
    """What a line shares with others that hear the same sound: the kit, or one player's instrument."""
    chosen = [source for source in facts.rig.source if source.key in line.sources]
    kit = {"kit" for source in chosen if source.what.startswith(("drum.", "metal."))}
    return kit | {f"{source.player}:{source.what}" for source in chosen if source.player}


def _span(numbers: Iterator[float]) -> tuple[float, float]:
    found = tuple(numbers)
    return min(found), max(found)


def _written(number: float) -> float:
    return round(number, 1 if abs(number) < 100 else 0) + 0.0  # noqa: PLR2004 - three figures are enough; adding 0 turns -0 into 0
