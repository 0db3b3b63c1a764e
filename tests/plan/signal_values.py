"""Check values of the electrical formulas: what is computed, what it has to be, how close, and where the value comes
from.

Status marks: [V] that source's text was read; [V2] seen in a secondary page only; [M] from memory, not verified; [CP]
common practice, no source; [A] follows from the formula by arithmetic; [S] reproduced in the ngspice circuit simulator
as well. No standard's own clause was read. ``python -m tests.plan.signal_values`` prints how many there are and how far
the worst one is off.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import log10

from portal.plan.result import signal
from portal.plan.result.signal import Feed

EXACT = 1e-9
P48, OFF_AT_0_V = Feed(), Feed(volt=0.0)
P24, P12 = Feed(24.0, 1200.0), Feed(12.0, 680.0)


@dataclass(frozen=True)
class Check:
    """One value. ``key`` is its number, or words where it has none; ``within`` is absolute, in the value's own unit."""

    key: str
    case: str
    computed: Callable[[], float]
    value: float
    within: float
    source: str

    @property
    def off_by(self) -> float:
        """How far the formula is from the value."""
        return abs(self.computed() - self.value)

    @property
    def holds(self) -> bool:
        """True where the formula gives the value."""
        return self.off_by <= self.within * (1 + 1e-9)


def split(leg: int | None, seconds: list[float]) -> Callable[[], float]:
    """150 ohm into a direct 2k and a 1:1 transformer of 40 ohm windings: the direct leg (``None``) or an isolated one,
    in dB.
    """

    def level() -> float:
        direct, legs = signal.isolated_split_db(150, 2000, seconds)
        return direct if leg is None else legs[leg]

    return level


def padded_db(source_ohm: float, leg_ohm: float, shunt_ohm: float, loads_ohm: Sequence[float]) -> float:
    """Level behind a balanced pad of two equal legs and a shunt re the open-circuit source, in dB; the loads sit across
    the shunt.
    """
    across = signal.parallel_ohm([shunt_ohm, *loads_ohm])
    return 20 * log10(across / (source_ohm + 2 * leg_ohm + across))


def di_level_db(ratio: float, source_ohm: float, loads_ohm: Sequence[float]) -> float:
    """Level behind a transformer DI of ``ratio``:1 re the open-circuit source, in dB."""
    return -20 * log10(ratio) + signal.loading_loss_db(source_ohm, [signal.di_load_ohm(ratio, loads_ohm)])


def behind_u_pad(loss_db: float, loads: list[float]) -> float:
    """Level behind a bridging pad of 100 to 150 ohm, in dB."""
    return padded_db(100, *signal.u_pad_ohm(loss_db, 100), loads)


LOADING = (
    Check("Z1", "150 into 1.5k", lambda: signal.loading_loss_db(150, [1500]), -0.828, 0.002, "[A][S]"),
    Check("Z2", "200 into 1k", lambda: signal.loading_loss_db(200, [1000]), -1.584, 0.002, "[A][S]"),
    Check("Z3", "150 into 2k and 2k", lambda: signal.loading_loss_db(150, [2000, 2000]), -1.214, 0.002, "[A]"),
    Check("Z4", "150 into 1.5k and 1.5k", lambda: signal.loading_loss_db(150, [1500, 1500]), -1.584, 0.002, "[A]"),
    Check("Z5", "200 into 1.5k and 1.5k", lambda: signal.loading_loss_db(200, [1500, 1500]), -2.053, 0.002, "[A]"),
    Check("Z6", "200 into three of 1.5k", lambda: signal.loading_loss_db(200, [1500] * 3), -2.923, 0.002, "[A][S]"),
    Check("Z7", "150 into three of 3k", lambda: signal.loading_loss_db(150, [3000] * 3), -1.214, 0.002, "[A]"),
    Check(
        "Z8",
        "150 into 1.5k with P48 feeds beside it",
        lambda: signal.loading_loss_db(150, [1500, 2 * 6810]),
        -0.914,
        0.002,
        "[A][S]",
    ),
    Check("Z9", "1:1 split, direct leg", split(None, [2000]), -1.192, 0.002, "windings assumed [A][S]"),
    Check("Z10", "1:1 split, isolated leg", split(0, [2000]), -1.533, 0.002, "windings assumed [A][S]"),
    Check("Z11", "1:1:1 split, direct leg", split(None, [2000, 2000]), -1.702, 0.002, "windings assumed [A][S]"),
    Check("Z12", "1:1:1 split, an isolated leg", split(1, [2000, 2000]), -2.208, 0.002, "windings assumed [A][S]"),
    Check(
        "Z13",
        "other leg of a hard Y falls from 2k to 600: change on this one",
        lambda: signal.loading_loss_db(150, [2000, 600]) - signal.loading_loss_db(150, [2000, 2000]),
        -1.23,
        0.005,
        "[A][S]",
    ),
    Check(
        "Z14",
        "isolated output shorted: the direct leg",
        lambda: signal.loading_loss_db(150, [2000, signal.reflected_ohm([0])]),
        -9.40,
        0.1,
        "[A][S]",
    ),
    Check("c01", "150 into 1.5k", lambda: signal.loading_loss_db(150, [1500]), -0.82785, 1e-5, "ngspice [S]"),
    Check(
        "c02", "200 into 2k and 2k", lambda: signal.loading_loss_db(200, [2000, 2000]), -1.58362, 1e-5, "ngspice [S]"
    ),
    Check(
        "c03", "200 into three of 1.5k", lambda: signal.loading_loss_db(200, [1500] * 3), -2.92256, 1e-5, "ngspice [S]"
    ),
    Check("c04 direct", "1:1 split, direct leg", split(None, [2000]), -1.19214, 1e-5, "ngspice [S]"),
    Check("c04 isolated", "1:1 split, isolated leg", split(0, [2000]), -1.53281, 1e-5, "ngspice [S]"),
    Check("c05 direct", "1:1:1 split, direct leg", split(None, [2000, 2000]), -1.70231, 1e-5, "ngspice [S]"),
    Check("c05 isolated", "1:1:1 split, an isolated leg", split(1, [2000, 2000]), -2.20843, 1e-5, "ngspice [S]"),
    Check(
        "c04 behind",
        "1:1 split, isolated leg as one source behind one resistance",
        lambda: (
            signal.loading_loss_db(150, [2000])
            + signal.loading_loss_db(signal.isolated_leg_ohm(150, [2000], []), [2000])
        ),
        -1.53281,
        1e-5,
        "ngspice [S]",
    ),
    Check(
        "c11",
        "150 into 1.5k with P48 feeds",
        lambda: signal.loading_loss_db(150, [1500, 2 * 6810]),
        -0.91439,
        1e-5,
        "ngspice [S]",
    ),
    Check(
        "c13 short",
        "isolated leg shorted",
        lambda: signal.loading_loss_db(150, [2000, signal.reflected_ohm([0])]),
        -9.3964,
        1e-4,
        "ngspice [S]",
    ),
    Check(
        "c13 leg B",
        "other leg at 600 ohm",
        lambda: signal.loading_loss_db(150, [2000, 600]),
        -2.4443,
        1e-4,
        "ngspice [S]",
    ),
)

PHANTOM = (
    Check(
        "P1",
        "2 mA",
        lambda: signal.phantom_volt([P48], 2),
        41.19,
        0.01,
        "[A]; P48 quoted from EN 61938 in a tutorial, AES 129th [V]",
    ),
    Check("P2", "4 mA", lambda: signal.phantom_volt([P48], 4), 34.38, 0.01, "[A][S]"),
    Check("P3", "10 mA", lambda: signal.phantom_volt([P48], 10), 13.95, 0.01, "[A]"),
    Check("P4", "44 V supply, 10 mA", lambda: signal.phantom_volt([Feed(44)], 10), 9.95, 0.01, "[A]"),
    Check("P5", "two on, 4 mA", lambda: signal.phantom_volt([P48, P48], 4), 41.19, 0.01, "[A][S]"),
    Check("P6", "two on, 10 mA", lambda: signal.phantom_volt([P48, P48], 10), 30.975, 0.01, "[A]"),
    Check("P7", "three on, 4 mA", lambda: signal.phantom_volt([P48] * 3, 4), 43.46, 0.01, "[A]"),
    Check(
        "P8",
        "one on, one off tied to 0 V, no load",
        lambda: signal.phantom_volt([P48, OFF_AT_0_V], 0),
        24.00,
        0.01,
        "[A]",
    ),
    Check(
        "P9",
        "one on, one off tied to 0 V, 4 mA",
        lambda: signal.phantom_volt([P48, OFF_AT_0_V], 4),
        17.19,
        0.01,
        "[A][S]",
    ),
    Check(
        "P10",
        "two on, one off tied to 0 V, 4 mA",
        lambda: signal.phantom_volt([P48, P48, OFF_AT_0_V], 4),
        27.46,
        0.01,
        "[A]",
    ),
    Check(
        "P11",
        "one on, off rail leaks 47k, 4 mA",
        lambda: signal.phantom_volt([P48, Feed(0, extra_ohm=47e3)], 4),
        32.20,
        0.01,
        "[A][S]",
    ),
    Check(
        "P16",
        "700 ohm per leg in the line, 5 mA",
        lambda: signal.phantom_volt([Feed(feed_ohm=6810 + 700)], 5),
        29.23,
        0.01,
        "[A]",
    ),
    Check("P17", "P12, 10 mA", lambda: signal.phantom_volt([P12], 10), 8.60, 0.01, "resistor [V2], arithmetic [A]"),
    Check("P18", "P24, 10 mA", lambda: signal.phantom_volt([P24], 10), 18.00, 0.01, "resistor [V2], arithmetic [A]"),
    Check("P19", "8 microphones and 4 boxes, mA", lambda: signal.drawn_ma([3.1] * 8 + [5.5] * 4), 46.8, 0.01, "[A]"),
    Check(
        "c06 leak",
        "off rail 47k",
        lambda: signal.phantom_volt([P48, Feed(0, extra_ohm=47e3)], 4),
        32.2045,
        1e-4,
        "ngspice [S]",
    ),
    Check(
        "c06 node",
        "52 V with 44 V, at the microphone",
        lambda: signal.phantom_volt([Feed(52), Feed(44)], 0),
        48.0,
        1e-3,
        "ngspice [S]",
    ),
)

PADS = (
    Check("A7", "U 20 dB 100 to 150: leg", lambda: signal.u_pad_ohm(20, 100)[0], 700.0, 0.1, "[A][S]"),
    Check("A8", "U 20 dB 100 to 150: shunt", lambda: signal.u_pad_ohm(20, 100)[1], 166.67, 0.01, "[A][S]"),
    Check("A9", "U 40 dB 100 to 150: leg", lambda: signal.u_pad_ohm(40, 100)[0], 7450, 0.1, "[A][S]"),
    Check("A10", "U 40 dB 100 to 150: shunt", lambda: signal.u_pad_ohm(40, 100)[1], 151.52, 0.01, "[A][S]"),
    Check("U 20 dB, one", "into 1.5k", lambda: behind_u_pad(20, [1500]), -20.83, 0.01, "[A][S]"),
    Check("U 20 dB, two", "into two of 1.5k", lambda: behind_u_pad(20, [1500, 1500]), -21.58, 0.01, "[A]"),
    Check(
        "U 20 dB Zin", "open", lambda: 2 * signal.u_pad_ohm(20, 100)[0] + signal.u_pad_ohm(20, 100)[1], 1567, 0.5, "[A]"
    ),
    Check(
        "U 40 dB Zin", "open", lambda: 2 * signal.u_pad_ohm(40, 100)[0] + signal.u_pad_ohm(40, 100)[1], 15050, 5, "[A]"
    ),
    Check(
        "pad wanted",
        "+24 dBu into +10 dBu, 3 in hand",
        lambda: signal.pad_needed_db(24, 10),
        17,
        EXACT,
        "[A]; 3 dB in hand [CP]",
    ),
    Check(
        "pad behind DI", "the same behind a 10:1 DI", lambda: signal.pad_needed_db(24, 10, loss_db=20), 0, EXACT, "[A]"
    ),
    Check(
        "pad, partly lost", "the same with 6 dB lost", lambda: signal.pad_needed_db(24, 10, loss_db=6), 11, EXACT, "[A]"
    ),
    Check("c08 U 20", "into 1.5k", lambda: behind_u_pad(20, [1500]), -20.8279, 1e-4, "ngspice [S]"),
    Check("c08 U 40", "into 1.5k", lambda: behind_u_pad(40, [1500]), -40.8279, 1e-4, "ngspice [S]"),
    Check(
        "D1",
        "10:1 without load",
        lambda: di_level_db(10, 1e-9, [1500]),
        -20.000,
        0.001,
        "ratio typical [V2], [A]",
    ),
    Check(
        "D2",
        "12:1 without load",
        lambda: di_level_db(12, 1e-9, [1500]),
        -21.584,
        0.001,
        "ratio typical [V2], [A]",
    ),
    Check("D3", "1.5k through 10:1", lambda: signal.di_load_ohm(10, [1500]), 150e3, EXACT * 1e5, "[A]"),
    Check("D4", "1.5k through 12:1", lambda: signal.di_load_ohm(12, [1500]), 216e3, EXACT * 1e5, "[A]"),
    Check("D5", "10k, 10:1, 1.5k", lambda: di_level_db(10, 10e3, [1500]), -20.561, 0.001, "[A][S]"),
    Check("D6", "10k, 12:1, 1.5k", lambda: di_level_db(12, 10e3, [1500]), -21.977, 0.001, "[A][S]"),
    Check("D7", "10k, 10:1, two of 1.5k", lambda: di_level_db(10, 10e3, [1500, 1500]), -21.087, 0.001, "[A][S]"),
    Check("D8", "100k, 10:1, two of 1.5k", lambda: di_level_db(10, 100e3, [1500, 1500]), -27.360, 0.001, "[A]"),
    Check("c09 10:1", "1.5k", lambda: di_level_db(10, 10e3, [1500]), -20.5606, 1e-4, "ngspice [S]"),
    Check("c09 12:1", "1.5k", lambda: di_level_db(12, 10e3, [1500]), -21.9767, 1e-4, "ngspice [S]"),
    Check(
        "c09 two",
        "10:1, two of 1.5k",
        lambda: di_level_db(10, 10e3, [1500, 1500]),
        -21.0872,
        1e-4,
        "ngspice [S]",
    ),
)

CABLE = (
    Check(
        "C1",
        "10k, 600 pF, 1M: corner in Hz",
        lambda: signal.corner_hz(10e3, 1e6, 600),
        26791,
        2,
        "100 pF/m [V2]; [A][S]",
    ),
    Check("C2", "250k, 300 pF, 1M: corner in Hz", lambda: signal.corner_hz(250e3, 1e6, 300), 2652.6, 0.5, "[A][S]"),
    Check("C5", "150, 1.5k, 10 nF: corner in Hz", lambda: signal.corner_hz(150, 1500, 10e3), 116714, 5, "[A][S]"),
    Check(
        "C8",
        "150, 15 nF, two of 1.5k: corner in Hz",
        lambda: signal.corner_hz(150, signal.parallel_ohm([1500, 1500]), 15e3),
        84883,
        5,
        "[A][S]",
    ),
)

TIMES = (
    Check("T6", "1 ms: first notch, Hz", lambda: signal.comb_notches_hz(1)[0], 500, EXACT, "[A]"),
    Check("T7", "5 ms: first notch, Hz", lambda: signal.comb_notches_hz(5)[0], 100, EXACT, "[A]"),
    Check("T8", "1 ms: second notch, Hz", lambda: signal.comb_notches_hz(1, 2)[1], 1500, EXACT, "[A]"),
    Check("paths", "2 and 3 ms: first notch, Hz", lambda: signal.first_comb_hz([3, 2]) or 0.0, 500, EXACT, "T6 [A]"),
)

CHECKS = LOADING + PHANTOM + PADS + CABLE + TIMES

NUMBERED = {
    f"{letter}{number}"
    for letter, numbers in {
        "Z": range(1, 15),
        "P": (*range(1, 12), *range(16, 20)),
        "A": range(7, 11),
        "D": range(1, 9),
        "C": (1, 2, 5, 8),
        "T": range(6, 9),
    }.items()
    for number in numbers
}
"""Every numbered value that has to be among them."""


def summary() -> str:
    """How many values there are, and the one that uses most of its tolerance."""
    worst = max(CHECKS, key=lambda check: check.off_by / check.within)
    return (
        f"{len(CHECKS)} check values, {len(NUMBERED)} of them numbered; closest to its limit: {worst.key},"
        f" {worst.off_by:.2g} of {worst.within:g}"
    )


if __name__ == "__main__":
    print(summary())  # noqa: T201 - a program prints
