"""Check values of the electrical formulas: what is computed, what it has to be, how close, and where the value comes
from.

Status marks: [V] that source's text was read; [V2] seen in a secondary page only; [M] from memory, not verified; [CP]
common practice, no source; [A] follows from the formula by arithmetic; [S] reproduced in the ngspice circuit simulator
as well. No standard's own clause was read. ``python -m tests.plan.signal_values`` prints how many there are and how far
the worst one is off.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from portal.plan.result import signal
from portal.plan.result.signal import Feed

EXACT = 1e-9
P48, OFF_AT_0_V = Feed(), Feed(volt=0.0)
P24, P12 = Feed(24.0, 1200.0), Feed(12.0, 680.0)
SIX_K_EIGHT = Feed(feed_ohm=6800.0)


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


def unrelated(count: int) -> float:
    """Level of ``count`` equal unrelated signals, in dB; a power of two."""
    level = 0.0
    while count > 1:
        level, count = signal.sum_db(level, level, 0), count // 2
    return level


def behind_u_pad(loss_db: float, loads: list[float]) -> float:
    """Level behind a bridging pad of 100 to 150 ohm, in dB."""
    return signal.padded_db(100, *signal.u_pad_ohm(loss_db, 100), loads)


def behind_h_pad(load: float) -> float:
    """Level behind a matched 150 ohm pad of 20 dB re the source's open circuit, in dB. Its arms behind the shunt divide
    once more.
    """
    arm, shunt = signal.h_pad_ohm(20, 150)
    before = signal.padded_db(150, arm, shunt, [2 * arm + load])
    return before + signal.loading_loss_db(2 * arm, [load])


LEVELS = (
    Check(
        "L1",
        "0 dBu in V",
        lambda: signal.volt_of_dbu(0),
        0.774597,
        1e-6,
        "1 mW in 600 ohm [A]; 0.775 V in several texts [V]",
    ),
    Check("L2", "+4 dBu in V", lambda: signal.volt_of_dbu(4), 1.22765, 1e-5, "[A]; 1.228 V [V2]"),
    Check("L3", "-10 dBV in dBu", lambda: signal.dbu_of_dbv(-10), -7.7815, 1e-3, "[A]"),
    Check("L4", "0 dBV in dBu", lambda: signal.dbu_of_dbv(0), 2.2185, 1e-3, "[A]"),
    Check("L5", "+4 dBu over -10 dBV in dB", lambda: 4 - signal.dbu_of_dbv(-10), 11.7815, 1e-3, "[A]"),
    Check("L6", "+24 dBu in V", lambda: signal.volt_of_dbu(24), 12.2765, 1e-3, "[A]"),
    Check("L7", "+24 dBu, peak of a sine in V", lambda: signal.peak_volt(24), 17.3616, 1e-3, "[A]"),
    Check("L8", "+18 dBu in V", lambda: signal.volt_of_dbu(18), 6.1528, 1e-4, "[A]"),
    Check("L9", "2 mV/Pa at 94 dB SPL in dBu", lambda: signal.microphone_dbu(2, 94), -51.76, 0.01, "[A]"),
    Check(
        "L10",
        "20 mV/Pa at 134 dB SPL in dBu",
        lambda: signal.microphone_dbu(20, 134),
        8.24,
        0.01,
        "[A]: why microphones need pads",
    ),
    Check(
        "-18 dBFS",
        "alignment where 0 dBFS is +18 dBu",
        lambda: signal.dbu_of_dbfs(-18, 18),
        0,
        EXACT,
        "EBU R68-2000, figure from two pages [V2]",
    ),
    Check(
        "-20 dBFS",
        "alignment where 0 dBFS is +24 dBu",
        lambda: signal.dbu_of_dbfs(-20, 24),
        4,
        EXACT,
        "SMPTE RP155 [V2]",
    ),
)

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
    Check("P12", "52 V into 44 V, mA", lambda: signal.cross_current_ma(Feed(52), Feed(44)), 1.1747, 0.001, "[A][S]"),
    Check("P13", "both legs shorted to pin 1, mA", lambda: signal.short_current_ma(P48), 14.10, 0.01, "[A][S]"),
    Check("P14", "pin 3 shorted, 150 ohm coil, one on, mA", lambda: signal.coil_current_ma(150), 6.90, 0.01, "[A][S]"),
    Check("P15", "the same, two on, mA", lambda: signal.coil_current_ma(150, 2), 13.50, 0.01, "[A][S]"),
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
        "mismatch",
        "0.4 % feeds, 10 mA, 40 ohm winding, uA",
        lambda: signal.mismatch_ua(10, 40, 0.004),
        9.95,
        0.05,
        "pair match [V2], [S]",
    ),
    Check("P48 power", "matched load, mW", lambda: signal.matched_power_mw(SIX_K_EIGHT), 169, 0.5, "[A]"),
    Check("P24 power", "matched load, mW", lambda: signal.matched_power_mw(P24), 240, 0.5, "[A]"),
    Check("P12 power", "matched load, mW", lambda: signal.matched_power_mw(P12), 106, 0.5, "[A]"),
    Check(
        "c06 leak",
        "off rail 47k",
        lambda: signal.phantom_volt([P48, Feed(0, extra_ohm=47e3)], 4),
        32.2045,
        1e-4,
        "ngspice [S]",
    ),
    Check(
        "c06 cross",
        "52 V with 44 V, mA",
        lambda: signal.cross_current_ma(Feed(52), Feed(44)),
        1.17474,
        1e-5,
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
    Check("c07 coil", "one on, mA", lambda: signal.coil_current_ma(150), 6.8966, 1e-4, "ngspice [S]"),
    Check("c07 two", "two on, mA", lambda: signal.coil_current_ma(150, 2), 13.5021, 1e-4, "ngspice [S]"),
    Check("c07 mismatch", "0.4 %, uA", lambda: signal.mismatch_ua(10, 40, 0.004), 9.9509, 1e-4, "ngspice [S]"),
    Check("c07 short", "both legs, mA", lambda: signal.short_current_ma(P48), 14.0969, 1e-4, "ngspice [S]"),
)

PADS = (
    Check(
        "A1",
        "H 20 dB 150: arm",
        lambda: signal.h_pad_ohm(20, 150)[0],
        61.36,
        0.01,
        "radio tutorial [V2]; Ballou, Attenuators [M]; [S]",
    ),
    Check("A2", "H 20 dB 150: shunt", lambda: signal.h_pad_ohm(20, 150)[1], 30.30, 0.01, "the same; [S]"),
    Check("A3", "H 20 dB 600: arm", lambda: signal.h_pad_ohm(20, 600)[0], 245.45, 0.01, "the same; [A]"),
    Check("A4", "H 20 dB 600: shunt", lambda: signal.h_pad_ohm(20, 600)[1], 121.21, 0.01, "the same; [A]"),
    Check("A5", "H 10 dB 600: arm", lambda: signal.h_pad_ohm(10, 600)[0], 155.85, 0.01, "the same; [A]"),
    Check("A6", "H 10 dB 600: shunt", lambda: signal.h_pad_ohm(10, 600)[1], 421.64, 0.01, "the same; [A]"),
    Check("A7", "U 20 dB 100 to 150: leg", lambda: signal.u_pad_ohm(20, 100)[0], 700.0, 0.1, "[A][S]"),
    Check("A8", "U 20 dB 100 to 150: shunt", lambda: signal.u_pad_ohm(20, 100)[1], 166.67, 0.01, "[A][S]"),
    Check("A9", "U 40 dB 100 to 150: leg", lambda: signal.u_pad_ohm(40, 100)[0], 7450, 0.1, "[A][S]"),
    Check("A10", "U 40 dB 100 to 150: shunt", lambda: signal.u_pad_ohm(40, 100)[1], 151.52, 0.01, "[A][S]"),
    Check(
        "A11",
        "T 20 dB 600 to 150: R1",
        lambda: signal.t_pad_ohm(20, 600, 150)[0],
        551.52,
        0.01,
        "[M], arithmetic checked",
    ),
    Check(
        "A12",
        "T 20 dB 600 to 150: R2",
        lambda: signal.t_pad_ohm(20, 600, 150)[1],
        92.42,
        0.01,
        "[M], arithmetic checked",
    ),
    Check(
        "A13",
        "T 20 dB 600 to 150: R3",
        lambda: signal.t_pad_ohm(20, 600, 150)[2],
        60.61,
        0.01,
        "[M], arithmetic checked",
    ),
    Check(
        "A14", "least loss 600 to 150", lambda: signal.least_loss_db(600, 150), 11.439, 0.001, "[M], arithmetic checked"
    ),
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
        "c08 H matched", "H 20 dB into 150 re open circuit", lambda: behind_h_pad(150), -26.0206, 1e-4, "ngspice [S]"
    ),
    Check("c08 H 1.5k", "H 20 dB into 1.5k", lambda: behind_h_pad(1500), -20.8279, 1e-4, "ngspice [S]"),
    Check(
        "D1",
        "10:1 without load",
        lambda: signal.di_level_db(10, 1e-9, [1500]),
        -20.000,
        0.001,
        "ratio typical [V2], [A]",
    ),
    Check(
        "D2",
        "12:1 without load",
        lambda: signal.di_level_db(12, 1e-9, [1500]),
        -21.584,
        0.001,
        "ratio typical [V2], [A]",
    ),
    Check("D3", "1.5k through 10:1", lambda: signal.di_load_ohm(10, [1500]), 150e3, EXACT * 1e5, "[A]"),
    Check("D4", "1.5k through 12:1", lambda: signal.di_load_ohm(12, [1500]), 216e3, EXACT * 1e5, "[A]"),
    Check("D5", "10k, 10:1, 1.5k", lambda: signal.di_level_db(10, 10e3, [1500]), -20.561, 0.001, "[A][S]"),
    Check("D6", "10k, 12:1, 1.5k", lambda: signal.di_level_db(12, 10e3, [1500]), -21.977, 0.001, "[A][S]"),
    Check("D7", "10k, 10:1, two of 1.5k", lambda: signal.di_level_db(10, 10e3, [1500, 1500]), -21.087, 0.001, "[A][S]"),
    Check("D8", "100k, 10:1, two of 1.5k", lambda: signal.di_level_db(10, 100e3, [1500, 1500]), -27.360, 0.001, "[A]"),
    Check("c09 10:1", "1.5k", lambda: signal.di_level_db(10, 10e3, [1500]), -20.5606, 1e-4, "ngspice [S]"),
    Check("c09 12:1", "1.5k", lambda: signal.di_level_db(12, 10e3, [1500]), -21.9767, 1e-4, "ngspice [S]"),
    Check(
        "c09 two",
        "10:1, two of 1.5k",
        lambda: signal.di_level_db(10, 10e3, [1500, 1500]),
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
    Check(
        "C3",
        "10k, 1M, 1 dB at 20 kHz: pF",
        lambda: signal.longest_cable_m(10e3, 1e6, 1, 20e3, 1),
        409.0,
        0.05,
        "[A][S]",
    ),
    Check(
        "C4", "10k, 1M, 1 dB at 15 kHz: pF", lambda: signal.longest_cable_m(10e3, 1e6, 1, 15e3, 1), 545.3, 0.05, "[A]"
    ),
    Check("C5", "150, 1.5k, 10 nF: corner in Hz", lambda: signal.corner_hz(150, 1500, 10e3), 116714, 5, "[A][S]"),
    Check(
        "C6",
        "the same: loss at 20 kHz",
        lambda: signal.cable_loss_db(20e3, signal.corner_hz(150, 1500, 10e3)),
        -0.1257,
        0.001,
        "[A]",
    ),
    Check(
        "C7",
        "150, 1.5k, 1 dB at 20 kHz: nF",
        lambda: signal.longest_cable_m(150, 1500, 1, 20e3, 1000),
        29.695,
        0.01,
        "[A]",
    ),
    Check(
        "C8",
        "150, 15 nF, two of 1.5k: corner in Hz",
        lambda: signal.corner_hz(150, signal.parallel_ohm([1500, 1500]), 15e3),
        84883,
        5,
        "[A][S]",
    ),
    Check(
        "C9",
        "600, no load, 1 dB at 20 kHz: nF",
        lambda: signal.longest_cable_m(600, None, 1, 20e3, 1000),
        6.749,
        0.001,
        "[A]",
    ),
    Check("C10", "2.4 H, 500 pF: Hz", lambda: signal.pickup_peak_hz(2.4, 500), 4594.4, 0.5, "[A]"),
    Check("C3 in metres", "at 100 pF/m", lambda: signal.longest_cable_m(10e3, 1e6, 1, 20e3), 4.09, 0.005, "[A]"),
    Check("C4 in metres", "at 100 pF/m", lambda: signal.longest_cable_m(10e3, 1e6, 1, 15e3), 5.45, 0.005, "[A]"),
    Check("C7 in metres", "at 100 pF/m", lambda: signal.longest_cable_m(150, 1500, 1, 20e3), 297, 0.5, "[A]"),
    Check("C9 in metres", "at 100 pF/m", lambda: signal.longest_cable_m(600, None, 1, 20e3), 67.5, 0.05, "[A]"),
)

SUMS = (
    Check("S1", "two equal, the same", lambda: signal.sum_db(0, 0, 1), 6.021, 0.001, "[A]; [V2]"),
    Check("S2", "two equal, unrelated", lambda: signal.sum_db(0, 0, 0), 3.010, 0.001, "[A]; [V2]"),
    Check("S3", "0 and -6 dB, the same", lambda: signal.sum_db(0, -6, 1), 3.529, 0.001, "[A]"),
    Check("S4", "0 and -10 dB, unrelated", lambda: signal.sum_db(0, -10, 0), 0.414, 0.001, "[A]"),
    Check("S5", "four unrelated", lambda: unrelated(4), 6.021, 0.001, "[A]"),
    Check("S6", "eight unrelated", lambda: unrelated(8), 9.031, 0.001, "[A]"),
    Check("S7", "two equal, half related", lambda: signal.sum_db(0, 0, 0.5), 4.771, 0.001, "[A]"),
    Check(
        "S8", "centre, sine-cosine", lambda: signal.pan_centre_db("sine-cosine"), -3.010, 0.001, "law exists [V2], [A]"
    ),
    Check("S9", "centre, geometric", lambda: signal.pan_centre_db("geometric"), -4.515, 0.001, "law exists [V2], [A]"),
    Check("S10", "centre, linear", lambda: signal.pan_centre_db("linear"), -6.021, 0.001, "law exists [V2], [A]"),
    *(
        Check(
            f"{law} to mono, {how}",
            "centred source",
            lambda law=law, rho=rho: signal.sum_db(*[signal.pan_centre_db(law)] * 2, rho),
            value,
            0.001,
            "[A]",
        )
        for law, how, rho, value in (
            ("sine-cosine", "volts", 1, 3.010),
            ("geometric", "volts", 1, 1.505),
            ("linear", "volts", 1, 0.0),
            ("sine-cosine", "power", 0, 0.0),
            ("geometric", "power", 0, -1.505),
            ("linear", "power", 0, -3.010),
        )
    ),
)

TIMES = (
    Check(
        "T1",
        "speed of sound at 0 degrees, m/s",
        lambda: signal.speed_of_sound_m_s(0),
        331.30,
        0.01,
        "form [V: Smith], constant [M]",
    ),
    Check("T2", "at 20 degrees", lambda: signal.speed_of_sound_m_s(20), 343.22, 0.01, "the same"),
    Check("T3", "at 35 degrees", lambda: signal.speed_of_sound_m_s(35), 351.89, 0.01, "the same"),
    Check("T4", "1 ms at 20 degrees, m", lambda: 1 / signal.flight_ms(1), 0.34322, 1e-5, "[A]"),
    Check("T5", "3.2 m, ms", lambda: signal.flight_ms(3.2), 9.32, 0.01, "[A]"),
    Check("T6", "1 ms: first notch, Hz", lambda: signal.comb_notches_hz(1)[0], 500, EXACT, "[A]"),
    Check("T7", "5 ms: first notch, Hz", lambda: signal.comb_notches_hz(5)[0], 100, EXACT, "[A]"),
    Check("T8", "1 ms: second notch, Hz", lambda: signal.comb_notches_hz(1, 2)[1], 1500, EXACT, "[A]"),
    Check("T9", "64 samples at 48 kHz, ms", lambda: signal.buffer_ms(64, 48000), 1.333, 0.001, "[A]"),
    Check("T10", "64 samples at 96 kHz, ms", lambda: signal.buffer_ms(64, 96000), 0.667, 0.001, "[A]"),
    Check("T11", "copy at -10 dB: notch", lambda: signal.comb_depth_db(-10)[0], -3.30, 0.01, "[A]"),
    Check("T12", "copy at -10 dB: peak", lambda: signal.comb_depth_db(-10)[1], 2.39, 0.01, "[A]"),
    Check(
        "textbook",
        "at 20 degrees, 0.2 % apart",
        lambda: signal.speed_of_sound_m_s(20),
        342.6,
        0.7,
        "J. O. Smith, Physical Audio Signal Processing [V]",
    ),
    Check("paths", "2 and 3 ms: first notch, Hz", lambda: signal.first_comb_hz([3, 2]) or 0.0, 500, EXACT, "T6 [A]"),
)

CHECKS = LEVELS + LOADING + PHANTOM + PADS + CABLE + SUMS + TIMES

NUMBERED = {
    f"{letter}{number}"
    for letter, last in {"L": 10, "Z": 14, "P": 19, "A": 14, "D": 8, "C": 10, "S": 10, "T": 12}.items()
    for number in range(1, last + 1)
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
