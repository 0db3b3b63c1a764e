"""The numbers behind one line: loading, phantom, level, cable, delay. They belong on the why-page, never on the sheet's face.

A number whose inputs are not known is a range over what is common, or is absent; it is never a guess with a decimal point.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from portal.plan.facts import Facts
from portal.plan.lines import MARGIN_DB, MIC_INPUT_DBU, OUT_LEVEL_DBU
from portal.plan.policy import capture_of, needs_phantom
from portal.plan.rig import Source
from portal.plan.signal import (
    CABLE_PF_PER_M,
    Feed,
    corner_hz,
    di_load_ohm,
    first_comb_hz,
    isolated_split_db,
    loading_loss_db,
    pad_needed_db,
    parallel_ohm,
    phantom_volt,
    reflected_ohm,
)
from portal.plan.words import Line

MICROPHONE_OHM = (150.0, 200.0)
"""Output impedance of microphones and DIs where the rig says nothing (Self, Small Signal Audio Design, Microphone Preamplifiers)."""

DESK_OHM = (1500.0, 3000.0)
"""Input impedance of microphone inputs; never asked of a house (secondary source)."""

PHANTOM_MA = (2.0, 10.0)
"""Current of a condenser microphone where the rig says nothing: old supplies gave 2 mA, P48 owes 10 mA (tutorial at the AES 129th Convention)."""

LEAST_RATIO = 5.0
"""A load of at least five times the source is the usual advice (secondary source); below it dynamic microphones can change tone."""

DI_RATIO = 10.0
"""Typical turns ratio of a passive DI (secondary source; 10 and 12 both occur)."""

ACTIVE_DI_OHM = 1_000_000.0

AUDIBLE_HZ = 20_000.0


@dataclass(frozen=True)
class Figure:
    """One number with its range. ``low == high`` where everything was known; ``careful`` marks what an engineer should look at twice."""

    key: str
    what: str
    low: float
    high: float
    unit: str
    basis: str
    careful: bool = False

    @property
    def value(self) -> str:
        """The number as written: one where known, else "from ... to ..."."""
        low, high = _written(self.low), _written(self.high)
        return f"{low} {self.unit}" if low == high else f"{low} to {high} {self.unit}"


def figures_of(line: Line, lines: tuple[Line, ...], facts: Facts) -> tuple[Figure, ...]:
    """Every figure of one line of a plan, in the order of the signal."""
    sources = {source.key: source for source in facts.rig.source}
    first = sources.get(line.sources[0])
    if first is None:
        return ()
    found: list[Figure] = []
    if line.path.kind in ("split", "submix") and line.gain_owner == "each":
        found += _split(line, first, facts)
    if line.path.kind in ("split", "straight"):
        found += _phantom(line, first)
    found += _level(line, first, facts)
    found += _cable(line, first, facts)
    found += _delay(line, lines, facts)
    return tuple(found)


def _split(line: Line, source: Source, facts: Facts) -> Iterator[Figure]:
    own = facts.rig.mixer.input_impedance_ohm
    band = (float(own),) if own else DESK_OHM
    impedances = (float(source.impedance_ohm),) if source.impedance_ohm else MICROPHONE_OHM
    further = facts.value("other-feeds") != "nothing"
    losses, house, ratios = [], [], []
    for source_ohm, band_ohm, house_ohm in product(impedances, band, DESK_OHM):
        at_house = [house_ohm, house_ohm] if further else [house_ohm]
        if line.path.output.startswith("isolated"):
            direct, legs = isolated_split_db(source_ohm, band_ohm, [parallel_ohm(at_house)])
            losses.append(direct)
            house.append(legs[0])
            load = parallel_ohm([band_ohm, reflected_ohm([parallel_ohm(at_house)])])
        else:
            losses.append(loading_loss_db(source_ohm, [band_ohm, *at_house]))
            house.append(losses[-1])
            load = parallel_ohm([band_ohm, *at_house])
        ratios.append(load / source_ohm)
    basis = f"source {_range(impedances)} ohm, band's mixer {_range(band)} ohm, house {_range(DESK_OHM)} ohm" + (
        ", with a further split" if further else ""
    )
    yield Figure("level-at-our-mixer", "Level at our mixer, re open circuit", min(losses), max(losses), "dB", basis)
    yield Figure("level-at-the-house", "Level at the house, re open circuit", min(house), max(house), "dB", basis)
    yield Figure("load-ratio", "Load, times the source impedance", min(ratios), max(ratios), "x", basis, careful=min(ratios) < LEAST_RATIO)
    if capture_of(source) == "di-passive":
        loads = [di_load_ohm(DI_RATIO, [band_ohm, house_ohm]) / 1000 for band_ohm, house_ohm in product(band, DESK_OHM)]
        basis = f"10:1 DI into both desks; an active DI shows {ACTIVE_DI_OHM / 1000:g} kohm"
        yield Figure("di-load", "Load that the instrument sees through the DI", min(loads), max(loads), "kohm", basis, careful=True)


def _phantom(line: Line, source: Source) -> Iterator[Figure]:
    if needs_phantom(source) != "yes":
        return
    currents = (source.phantom_ma,) if source.phantom_ma else PHANTOM_MA
    feeds: list[list[Feed]] = [[Feed()]]
    basis = f"one P48 supply, {_range(currents)} mA"
    if line.path.output.startswith("direct"):
        feeds.append([Feed(), Feed(volt=0.0)])
        basis += "; the lower end if the other desk's switched-off feed hangs on 0 V, which depends on its switch"
    volts = [phantom_volt(one, current) for one, current in product(feeds, currents)]
    yield Figure("phantom-volt", "Phantom at the microphone", min(volts), max(volts), "V", basis, careful=len(feeds) > 1)


def _level(line: Line, source: Source, facts: Facts) -> Iterator[Figure]:
    if line.level != "line" or facts.value("line-inputs") == "yes":
        return
    out = next((out for out in facts.rig.mixer.outs if out.key == line.path.output), None)
    stated = out.max_dbu if out is not None else source.max_dbu
    highest = OUT_LEVEL_DBU if stated is None else stated
    needed = pad_needed_db(highest, MIC_INPUT_DBU, MARGIN_DB)
    basis = f"{highest:g} dBu into a microphone input of {MIC_INPUT_DBU:g} dBu (assumed), {MARGIN_DB:g} dB in hand"
    yield Figure("pad", "Attenuation needed", needed, needed, "dB", basis + ("" if stated is not None else "; the output's level is assumed"))


def _cable(line: Line, source: Source, facts: Facts) -> Iterator[Figure]:
    loom = next((loom for loom in facts.rig.loom if line.loom is not None and loom.key == line.loom.key), None)
    if loom is None or loom.length_m is None or line.path.kind != "split":
        return
    impedances = (float(source.impedance_ohm),) if source.impedance_ohm else MICROPHONE_OHM
    corners = [corner_hz(ohm, parallel_ohm([load, load]), loom.length_m * CABLE_PF_PER_M) / 1000 for ohm, load in product(impedances, DESK_OHM)]
    basis = f"{loom.length_m:g} m of loom at {CABLE_PF_PER_M:g} pF/m; the microphone's own cable and the house's multicore add to it"
    yield Figure("cable-corner", "Corner of the cable, 3 dB down", min(corners), max(corners), "kHz", basis, careful=min(corners) * 1000 < AUDIBLE_HZ)


def _delay(line: Line, lines: tuple[Line, ...], facts: Facts) -> Iterator[Figure]:
    latency = facts.rig.mixer.latency_ms
    through_mixer = line.path.kind in ("direct-out", "processed-direct-out", "group", "left-right-mix")
    if latency is None or not through_mixer:
        return
    yield Figure("latency", "Delay through our mixer", latency, latency, "ms", "as the rig says; the house desk's own comes on top")
    family = _family(line, facts)
    others = [other for other in lines if other.path.kind in ("split", "straight") and _family(other, facts) & family]
    notch = first_comb_hz([0.0, latency]) if others else None
    if notch is not None:
        basis = f"with {others[0].label}, which hears the same sound without that delay"
        yield Figure("first-comb", "First notch where both are mixed", notch, notch, "Hz", basis, careful=True)


def _family(line: Line, facts: Facts) -> set[str]:
    """What a line shares with others that hear the same sound: the kit, or one player's instrument."""
    chosen = [source for source in facts.rig.source if source.key in line.sources]
    kit = {"kit" for source in chosen if source.what.startswith(("drum.", "metal."))}
    return kit | {f"{source.player}:{source.what}" for source in chosen if source.player}


def _written(number: float) -> str:
    return f"{number:.1f}".removesuffix(".0") if abs(number) < 100 else f"{number:.0f}"  # noqa: PLR2004 - three figures are enough


def _range(numbers: tuple[float, ...]) -> str:
    return " to ".join(f"{number:g}" for number in dict.fromkeys((min(numbers), max(numbers))))
