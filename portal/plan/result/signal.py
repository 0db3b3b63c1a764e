"""Electrical arithmetic of a line: levels, loading, phantom, pads, DI boxes, cable, sums and delays.

Every function states its units. Formulas are circuit theory for ideal parts; where a figure comes from a source, the
source stands beside it. The values that tests hold them to carry the ids of ``tests/plan/signal_values.py`` (L1, Z3,
...).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, log10, pi, sin, sqrt

DBU_VOLT = sqrt(0.6)
"""0 dBu in volts rms: 1 mW in 600 ohm."""

DBV_IN_DBU = 20 * log10(1 / DBU_VOLT)
"""0 dBV in dBu, about 2.2185."""

PASCAL_DB = 94.0
"""Level that microphone sensitivities are stated at, in dB SPL (1 Pa is 93.98)."""

P48_VOLT = 48.0
P48_FEED_OHM = 6810.0
"""Nearest 1 % value to the 6.8 kohm of each leg (Ballou, Handbook for Sound Engineers, p. 350)."""

CABLE_PF_PER_M = 100.0
"""Microphone and instrument cable where its own data are not known (secondary source); 50 to 150 pF/m are in use (from
memory, not verified).
"""

WINDING_OHM = 40.0
"""Assumed resistance of each winding of a 1:1 splitter transformer (assumption; ask the maker)."""


# --- levels


def volt_of_dbu(dbu: float) -> float:
    """Volts rms of a level in dBu (L1, L2, L6)."""
    return float(DBU_VOLT * 10 ** (dbu / 20))


def dbu_of_volt(volt: float) -> float:
    """Level in dBu of volts rms. Raises ``ValueError`` for a voltage that is not positive."""
    if volt <= 0:
        raise ValueError("a level needs a voltage above zero")
    return 20 * log10(volt / DBU_VOLT)


def peak_volt(dbu: float) -> float:
    """Peak volts of a sine of a level in dBu (L7)."""
    return sqrt(2) * volt_of_dbu(dbu)


def dbu_of_dbv(dbv: float) -> float:
    """Level in dBu of a level in dBV (L3, L4)."""
    return dbv + DBV_IN_DBU


def dbu_of_dbfs(dbfs: float, full_scale_dbu: float) -> float:
    """Level in dBu of a level in dBFS. What 0 dBFS is in dBu differs from device to device: +24, +18 and +15 all
    occur.
    """
    return dbfs + full_scale_dbu


def microphone_dbu(sensitivity_mv_pa: float, spl_db: float) -> float:
    """Output of a microphone in dBu at a sound pressure level in dB (L9, L10)."""
    return dbu_of_volt(sensitivity_mv_pa / 1000) + spl_db - PASCAL_DB


# --- loading and splits


def parallel_ohm(loads_ohm: Sequence[float]) -> float:
    """Resistance of loads in parallel, in ohms."""
    return 1 / sum(1 / load for load in loads_ohm)


def loading_loss_db(source_ohm: float, loads_ohm: Sequence[float]) -> float:
    """What loads take off the open-circuit level, in dB, zero or negative (Z1 to Z8)."""
    load = parallel_ohm(loads_ohm)
    return 20 * log10(load / (load + source_ohm))


def reflected_ohm(secondaries_ohm: Sequence[float], winding_ohm: float = WINDING_OHM) -> float:
    """What the primary of a 1:1 (or 1:1:1) transformer shows of its loads, in ohms; inductance and leakage
    neglected.
    """
    return winding_ohm + parallel_ohm([winding_ohm + load for load in secondaries_ohm])


def isolated_split_db(
    source_ohm: float, direct_ohm: float, secondaries_ohm: Sequence[float], winding_ohm: float = WINDING_OHM
) -> tuple[float, tuple[float, ...]]:
    """Levels re open circuit of a passive split: the direct leg, and each isolated leg, in dB (Z9 to Z12). Isolated
    loads load the source as well.
    """
    direct = loading_loss_db(source_ohm, [direct_ohm, reflected_ohm(secondaries_ohm, winding_ohm)])
    side = parallel_ohm([winding_ohm + load for load in secondaries_ohm])
    through = side / (winding_ohm + side)
    legs = tuple(direct + 20 * log10(through * load / (load + winding_ohm)) for load in secondaries_ohm)
    return direct, legs


def isolated_leg_ohm(
    source_ohm: float, directs_ohm: Sequence[float], others_ohm: Sequence[float], winding_ohm: float = WINDING_OHM
) -> float:
    """What stands behind an isolated output, in ohms, where loads hang on the direct legs and on the other isolated
    outputs.
    """
    primary = parallel_ohm([source_ohm, *directs_ohm]) + winding_ohm
    return parallel_ohm([primary, *(winding_ohm + load for load in others_ohm)]) + winding_ohm


# --- phantom


@dataclass(frozen=True)
class Feed:
    """One phantom supply on a hard-wired node. ``extra_ohm`` is common resistance in series (bleeder, switch, rail)
    beside the feed resistors.
    """

    volt: float = P48_VOLT
    feed_ohm: float = P48_FEED_OHM
    extra_ohm: float = 0.0


def phantom_volt(feeds: Sequence[Feed], current_ma: float) -> float:
    """Voltage at a microphone that draws ``current_ma``, for any set of supplies joined there (P1 to P11, P16 to P18).

    A supply that is off and floats is left out; one whose rail is tied to 0 V is a feed of 0 volt. A result below the
    microphone's minimum means "not enough": the constant-current model holds no longer there. Raises ``ValueError``
    without any feed.
    """
    if not feeds:
        raise ValueError("phantom needs at least one feed")
    conductances = [1 / (feed.feed_ohm / 2 + feed.extra_ohm) for feed in feeds]
    driven = sum(feed.volt * conductance for feed, conductance in zip(feeds, conductances, strict=True))
    return (driven - current_ma / 1000) / sum(conductances)


def drawn_ma(currents_ma: Sequence[float]) -> float:
    """What one supply has to give in all, in mA (P19). Active DIs and active splitters count like microphones."""
    return sum(currents_ma)


def matched_power_mw(feed: Feed) -> float:
    """Most power that a supply can give to what hangs on it, in mW: half its voltage, the other half across its
    resistors.
    """
    return 1000 * feed.volt**2 / 4 / (feed.feed_ohm / 2 + feed.extra_ohm)


def cross_current_ma(higher: Feed, lower: Feed) -> float:
    """Current that one supply pushes into another on the same node, in mA (P12)."""
    return (
        1000
        * (higher.volt - lower.volt)
        / (higher.feed_ohm / 2 + higher.extra_ohm + lower.feed_ohm / 2 + lower.extra_ohm)
    )


def short_current_ma(feed: Feed) -> float:
    """Current into a short of both legs to pin 1, in mA (P13)."""
    return 1000 * feed.volt / (feed.feed_ohm / 2 + feed.extra_ohm)


def coil_current_ma(coil_ohm: float, supplies: int = 1, feed: Feed | None = None) -> float:
    """Current through a coil across pins 2 and 3 when pin 3 is shorted to pin 1, in mA (P14, P15): what a miswired
    cable does to a ribbon.
    """
    one = feed or Feed()
    return 1000 * one.volt / (one.feed_ohm / supplies + coil_ohm)


def mismatch_ua(current_ma: float, winding_ohm: float, mismatch: float, feed: Feed | None = None) -> float:
    """Direct current through a winding across pins 2 and 3 where one feed resistor is ``mismatch`` (0.004 is 0.4 %) too
    large, in uA.
    """
    one = (feed or Feed()).feed_ohm
    return 1e6 * current_ma / 1000 / 2 * one * mismatch / (one * (2 + mismatch) + winding_ohm)


# --- pads and DI boxes


def pad_needed_db(source_max_dbu: float, input_max_dbu: float, margin_db: float = 3.0, loss_db: float = 0.0) -> float:
    """Attenuation a line needs so that the loudest moment fits the input, in dB, never negative. ``loss_db`` is what is
    lost already, positive.
    """
    return max(0.0, source_max_dbu + margin_db - input_max_dbu - loss_db)


def h_pad_ohm(loss_db: float, impedance_ohm: float) -> tuple[float, float]:
    """Each of the four series arms and the shunt of a matched balanced pad, in ohms (A1 to A6)."""
    k = 10 ** (loss_db / 20)
    return impedance_ohm * (k - 1) / (k + 1) / 2, 2 * impedance_ohm * k / (k * k - 1)


def t_pad_ohm(loss_db: float, source_ohm: float, load_ohm: float) -> tuple[float, float, float]:
    """Series arm at the source, series arm at the load, shunt of an unequal pad, in ohms (A11 to A13). Raises
    ``ValueError`` below the least loss.
    """
    n = 10 ** (loss_db / 10)
    shunt = 2 * sqrt(n * source_ohm * load_ohm) / (n - 1)
    first = source_ohm * (n + 1) / (n - 1) - shunt
    second = load_ohm * (n + 1) / (n - 1) - shunt
    if first < 0 or second < 0:
        raise ValueError(
            f"from {source_ohm:g} to {load_ohm:g} ohm a pad loses at least {least_loss_db(source_ohm, load_ohm):.1f} dB"
        )
    return first, second, shunt


def least_loss_db(source_ohm: float, load_ohm: float) -> float:
    """Least loss of a matched pad between two impedances, in dB (A14)."""
    ratio = max(source_ohm, load_ohm) / min(source_ohm, load_ohm)
    return 20 * log10(sqrt(ratio) + sqrt(ratio - 1))


def u_pad_ohm(loss_db: float, source_ohm: float, output_ohm: float = 150.0) -> tuple[float, float]:
    """Each series leg and the shunt of a bridging line-to-microphone pad, in ohms (A7 to A10); loss is the unloaded
    one.
    """
    k = 10 ** (loss_db / 20)
    return (k * output_ohm - source_ohm) / 2, k * output_ohm / (k - 1)


def padded_db(source_ohm: float, leg_ohm: float, shunt_ohm: float, loads_ohm: Sequence[float]) -> float:
    """Level behind a balanced pad of two equal legs and a shunt re the open-circuit source, in dB; the loads sit across
    the shunt.
    """
    across = parallel_ohm([shunt_ohm, *loads_ohm])
    return 20 * log10(across / (source_ohm + 2 * leg_ohm + across))


def di_level_db(ratio: float, source_ohm: float, loads_ohm: Sequence[float]) -> float:
    """Level behind a transformer DI of ``ratio``:1 re the open-circuit source, in dB (D1, D5 to D8)."""
    return -20 * log10(ratio) + loading_loss_db(source_ohm, [di_load_ohm(ratio, loads_ohm)])


def di_load_ohm(ratio: float, loads_ohm: Sequence[float]) -> float:
    """Load that an instrument sees through a transformer DI of ``ratio``:1, in ohms (D3, D4)."""
    return parallel_ohm(loads_ohm) * ratio * ratio


# --- cable


def corner_hz(source_ohm: float, load_ohm: float | None, capacitance_pf: float) -> float:
    """Frequency at which a resistive source and the cable's capacitance have lost 3 dB, in Hz (C1, C2, C5, C8).
    ``None``: no load.
    """
    resistance = source_ohm if load_ohm is None else parallel_ohm([source_ohm, load_ohm])
    return 1 / (2 * pi * resistance * capacitance_pf * 1e-12)


def cable_loss_db(frequency_hz: float, corner: float) -> float:
    """Loss of the cable at a frequency, in dB, zero or negative (C6)."""
    return -10 * log10(1 + (frequency_hz / corner) ** 2)


def longest_cable_m(
    source_ohm: float, load_ohm: float | None, loss_db: float, frequency_hz: float, pf_per_m: float = CABLE_PF_PER_M
) -> float:
    """Length of all joined legs together that loses ``loss_db`` at a frequency, in metres (C3, C4, C7, C9)."""
    resistance = source_ohm if load_ohm is None else parallel_ohm([source_ohm, load_ohm])
    farad = sqrt(10 ** (loss_db / 10) - 1) / (2 * pi * resistance * frequency_hz)
    return farad * 1e12 / pf_per_m


def pickup_peak_hz(inductance_h: float, capacitance_pf: float) -> float:
    """Resonance of a magnetic pickup with its cable, undamped, in Hz (C10). A pickup peaks there; it does not roll off
    like a resistor.
    """
    return 1 / (2 * pi * sqrt(inductance_h * capacitance_pf * 1e-12))


# --- sums, pan, delay


def sum_db(first_db: float, second_db: float, correlation: float) -> float:
    """Level of two signals together, in dB; ``correlation`` from -1 (opposite) over 0 (unrelated) to 1 (the same) (S1
    to S7).
    """
    power = 10 ** (first_db / 10) + 10 ** (second_db / 10) + 2 * correlation * 10 ** ((first_db + second_db) / 20)
    return 10 * log10(power) if power > 0 else float("-inf")


def pan_centre_db(law: str) -> float:
    """Level of each side of a centred source: sine-cosine, geometric or linear law, in dB (S8 to S10)."""
    sine, linear = sin(pi / 4), 0.5
    gains = {"sine-cosine": cos(pi / 4), "geometric": sqrt(sine * linear), "linear": linear}
    return 20 * log10(gains[law])


def speed_of_sound_m_s(celsius: float = 20.0) -> float:
    """Speed of sound in dry air, in m/s (T1 to T3; the constant 331.3 from memory, not verified)."""
    return 331.3 * sqrt(1 + celsius / 273.15)


def flight_ms(metres: float, celsius: float = 20.0) -> float:
    """Time that sound takes through air, in ms (T4, T5)."""
    return 1000 * metres / speed_of_sound_m_s(celsius)


def comb_notches_hz(delay_ms: float, count: int = 1) -> tuple[float, ...]:
    """First notches of a signal with its own copy ``delay_ms`` later, in Hz (T6 to T8)."""
    return tuple((2 * number + 1) * 1000 / (2 * delay_ms) for number in range(count))


def comb_depth_db(copy_db: float) -> tuple[float, float]:
    """Notch and peak of a comb whose copy arrives at ``copy_db`` (below 0), in dB (T11, T12)."""
    gain = 10 ** (copy_db / 20)
    return 20 * log10(1 - gain), 20 * log10(1 + gain)


def buffer_ms(samples: int, rate_hz: int) -> float:
    """Delay of a buffer, in ms (T9, T10)."""
    return 1000 * samples / rate_hz


def first_comb_hz(path_latencies_ms: Sequence[float]) -> float | None:
    """First comb notch between the paths of one family that differ most, in Hz; ``None`` where all arrive together."""
    gaps = [later - earlier for earlier, later in pairwise(sorted(set(path_latencies_ms)))]
    return comb_notches_hz(max(path_latencies_ms) - min(path_latencies_ms))[0] if gaps else None
