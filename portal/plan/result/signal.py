"""Electrical arithmetic of a line: loading, phantom, pads, DI boxes, cable and delays.

Every function states its units. Formulas are circuit theory for ideal parts; where a figure comes from a source, the
source stands beside it. The values that tests hold them to carry the ids of ``tests/plan/signal_values.py`` (Z3,
P1, ...).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import log10, pi

P48_VOLT = 48.0
P48_FEED_OHM = 6810.0
"""Nearest 1 % value to the 6.8 kohm of each leg (Ballou, Handbook for Sound Engineers, p. 350)."""

CABLE_PF_PER_M = 100.0
"""Microphone and instrument cable where its own data are not known (secondary source); 50 to 150 pF/m are in use (from
memory, not verified).
"""

WINDING_OHM = 40.0
"""Assumed resistance of each winding of a 1:1 splitter transformer (assumption; ask the maker)."""


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


# --- pads and DI boxes


def pad_needed_db(source_max_dbu: float, input_max_dbu: float, margin_db: float = 3.0, loss_db: float = 0.0) -> float:
    """Attenuation a line needs so that the loudest moment fits the input, in dB, never negative. ``loss_db`` is what is
    lost already, positive.
    """
    return max(0.0, source_max_dbu + margin_db - input_max_dbu - loss_db)


def u_pad_ohm(loss_db: float, source_ohm: float, output_ohm: float = 150.0) -> tuple[float, float]:
    """Each series leg and the shunt of a bridging line-to-microphone pad, in ohms (A7 to A10); loss is the unloaded
    one.
    """
    k = 10 ** (loss_db / 20)
    return (k * output_ohm - source_ohm) / 2, k * output_ohm / (k - 1)


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


# --- delay


def comb_notches_hz(delay_ms: float, count: int = 1) -> tuple[float, ...]:
    """First notches of a signal with its own copy ``delay_ms`` later, in Hz (T6 to T8)."""
    return tuple((2 * number + 1) * 1000 / (2 * delay_ms) for number in range(count))


def first_comb_hz(path_latencies_ms: Sequence[float]) -> float | None:
    """First comb notch between the paths of one family that differ most, in Hz; ``None`` where all arrive together."""
    gaps = [later - earlier for earlier, later in pairwise(sorted(set(path_latencies_ms)))]
    return comb_notches_hz(max(path_latencies_ms) - min(path_latencies_ms))[0] if gaps else None
