"""The electrical formulas against their check values, and the laws that hold for every value."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from math import isclose, log10

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.plan.result import signal
from portal.plan.result.signal import Feed
from tests.plan.signal_values import CHECKS, NUMBERED, di_level_db, padded_db, summary

OHMS = st.floats(1, 1e6)
LOADS = st.lists(OHMS, min_size=1, max_size=6)
FEEDS = st.lists(
    st.builds(Feed, volt=st.floats(0, 52), feed_ohm=st.floats(600, 7000), extra_ohm=st.floats(0, 100e3)),
    min_size=1,
    max_size=4,
)
CURRENTS = st.floats(0, 10)
FORMULAS = sorted(
    name for name, value in vars(signal).items() if inspect.isfunction(value) and value.__module__ == signal.__name__
)


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.key)
def test_a_formula_gives_its_check_value(check):
    """Every formula gives the value that was worked out apart from it, within the stated tolerance."""
    assert check.holds, (
        f"{check.key} {check.case}: {check.computed()} where {check.value} within {check.within} is right"
        f" ({check.source})"
    )


def test_every_numbered_value_is_among_them():
    """No numbered value is left out, no key stands twice, and each says where it comes from."""
    keys = [check.key for check in CHECKS]
    assert set(keys) >= NUMBERED
    assert len(set(keys)) == len(keys)
    assert all(check.source and check.within > 0 for check in CHECKS)
    print(summary())  # noqa: T201 - shown with -s


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.key)
def test_a_wrong_value_is_caught(check):
    """A value planted two and a half tolerances off, or a tolerance planted far too small, does not hold."""
    assert not replace(check, value=check.value + 2.5 * check.within).holds
    assert not replace(check, value=check.value - 2.5 * check.within).holds
    assert check.off_by == 0 or not replace(check, within=check.off_by / 2).holds


def off_by_two_per_cent(formula: Callable[..., object]) -> Callable[..., object]:
    def wrong(*given: object, **named: object) -> object:
        right = formula(*given, **named)
        if isinstance(right, tuple):
            return tuple(tuple(part * 1.02 for part in one) if isinstance(one, tuple) else one * 1.02 for one in right)
        return right * 1.02

    return wrong


@pytest.mark.parametrize("name", FORMULAS)
def test_a_wrong_formula_is_caught(name, monkeypatch):
    """A formula that is two per cent off breaks at least one check value: none stands unchecked."""
    monkeypatch.setattr(signal, name, off_by_two_per_cent(getattr(signal, name)))
    assert any(not check.holds for check in CHECKS)


# --- loading


@given(LOADS)
def test_loads_in_parallel_are_below_the_smallest(loads):
    """Loads in parallel are never more than the smallest, and never less than the smallest shared by all."""
    together = signal.parallel_ohm(loads)
    assert min(loads) / len(loads) <= together * (1 + 1e-9)
    assert together <= min(loads) * (1 + 1e-9)


@given(OHMS, LOADS, OHMS)
def test_every_further_load_costs_level(source, loads, further):
    """Loading never gains, and each further load takes more."""
    before, after = signal.loading_loss_db(source, loads), signal.loading_loss_db(source, [*loads, further])
    assert after <= before <= 0


@given(OHMS, OHMS, LOADS, st.floats(0.1, 1000))
def test_an_isolated_split_never_gains(source, direct, seconds, winding):
    """No leg of a passive split is above the open circuit, and no isolated leg is above the direct one."""
    at_direct, legs = signal.isolated_split_db(source, direct, seconds, winding)
    assert at_direct <= 0
    assert all(leg <= at_direct + 1e-9 for leg in legs)


@given(OHMS, OHMS, LOADS, st.floats(0.1, 1000))
def test_power_of_a_split_is_at_most_what_the_source_has(source, direct, seconds, winding):
    """All loads together never take more power than the source can give into a matched load."""
    at_direct, legs = signal.isolated_split_db(source, direct, seconds, winding)
    power = 10 ** (at_direct / 10) / direct + sum(
        10 ** (level / 10) / load for level, load in zip(legs, seconds, strict=True)
    )
    assert power <= 1 / (4 * source) * (1 + 1e-9)


@given(OHMS, OHMS, LOADS)
def test_ideal_windings_load_like_a_hard_y(source, direct, seconds):
    """Without winding resistance a transformer split and a hard-wired Y are the same to the source: isolation is not
    relief.
    """
    at_direct, legs = signal.isolated_split_db(source, direct, seconds, 0.0)
    hard = signal.loading_loss_db(source, [direct, *seconds])
    assert all(isclose(level, hard, abs_tol=1e-9) for level in (at_direct, *legs))


@given(OHMS, LOADS, LOADS, st.floats(0, 1000))
def test_what_stands_behind_an_isolated_leg_divides_like_the_split(source, directs, seconds, winding):
    """An isolated leg, seen as one source behind one resistance, gives into its load the level that the whole split
    gives there.
    """
    load, others = seconds[0], seconds[1:]
    direct = signal.parallel_ohm(directs)
    _, legs = signal.isolated_split_db(source, direct, seconds, winding)
    _, opened = signal.isolated_split_db(source, direct, [1e15, *others], winding)
    behind = signal.isolated_leg_ohm(source, directs, others, winding)
    assert isclose(opened[0] + signal.loading_loss_db(behind, [load]), legs[0], abs_tol=1e-6)


# --- phantom


@given(FEEDS, CURRENTS)
def test_phantom_lies_between_the_feeds(feeds, current):
    """The voltage is at most the highest supply, and at least the lowest supply less what the current drops in the best
    feed.
    """
    volt = signal.phantom_volt(feeds, current)
    best = min(feed.feed_ohm / 2 + feed.extra_ohm for feed in feeds)
    assert (
        min(feed.volt for feed in feeds) - current / 1000 * best - 1e-6
        <= volt
        <= max(feed.volt for feed in feeds) + 1e-6
    )


@given(st.integers(1, 6), CURRENTS)
def test_each_further_supply_raises_phantom(count, current):
    """More supplies of the same kind hold the voltage higher, and never above their own."""
    volts = [signal.phantom_volt([Feed()] * number, current) for number in range(1, count + 2)]
    assert all(earlier <= later + 1e-9 and later <= 48 + 1e-9 for earlier, later in pairwise(volts))


@given(FEEDS, CURRENTS, CURRENTS)
def test_more_current_means_less_voltage(feeds, one, other):
    """The voltage falls with the current."""
    low, high = sorted((one, other))
    assert signal.phantom_volt(feeds, high) <= signal.phantom_volt(feeds, low) + 1e-9


@given(FEEDS, CURRENTS, st.floats(0, 100e3))
def test_a_leaking_off_feed_lies_between_its_two_ends(feeds, current, leak):
    """A switched-off feed that leaks pulls the voltage down, never further than one tied to 0 V, while there is any
    voltage.
    """
    tied = signal.phantom_volt([*feeds, Feed(0.0)], current)
    leaking = signal.phantom_volt([*feeds, Feed(0.0, extra_ohm=leak)], current)
    if tied > 0:
        assert tied - 1e-9 <= leaking <= signal.phantom_volt(feeds, current) + 1e-9


def test_phantom_needs_a_feed():
    """Without any supply there is no voltage to speak of."""
    with pytest.raises(ValueError, match="at least one feed"):
        signal.phantom_volt([], 4)


# --- pads and DI boxes


@given(st.floats(10, 60), st.floats(1, 400), st.floats(50, 300))
def test_a_bridging_pad_keeps_its_two_promises(loss, source, output):
    """A bridging pad loses its loss without load and shows its output impedance."""
    leg, shunt = signal.u_pad_ohm(loss, source, output)
    assert isclose(padded_db(source, leg, shunt, []), -loss, abs_tol=1e-6)
    assert isclose(signal.parallel_ohm([shunt, source + 2 * leg]), output, rel_tol=1e-6)


@given(st.floats(-40, 30), st.floats(-40, 30), st.floats(0, 20))
def test_a_pad_of_the_wanted_size_fits(highest, most, margin):
    """Behind the attenuation that is asked for, the loudest moment and what is kept in hand fit the input."""
    needed = signal.pad_needed_db(highest, most, margin)
    assert needed >= 0
    assert highest - needed + margin <= most + 1e-9


@given(st.floats(1.5, 20), OHMS, LOADS, OHMS)
def test_a_split_behind_a_di_loads_the_instrument_more(ratio, source, loads, further):
    """Every further input behind a passive DI lowers both the level and the load that the instrument sees."""
    assert signal.di_load_ohm(ratio, [*loads, further]) <= signal.di_load_ohm(ratio, loads)
    assert (
        di_level_db(ratio, source, [*loads, further]) <= di_level_db(ratio, source, loads) <= -20 * log10(ratio) + 1e-9
    )


# --- cable, time


@given(st.floats(10, 1e5), OHMS, st.floats(10, 1e5), st.floats(10, 1e4))
def test_more_cable_lowers_the_corner(source, load, capacitance, more):
    """Every further metre lowers the corner; a load raises it."""
    corner = signal.corner_hz(source, load, capacitance)
    assert signal.corner_hz(source, load, capacitance + more) < corner
    assert corner >= signal.corner_hz(source, None, capacitance)


@given(st.floats(0.01, 100), st.integers(1, 8))
def test_notches_are_odd_multiples_of_the_first(delay, count):
    """The notches of a comb lie at 1, 3, 5 ... times the first, where the copy is half a period late."""
    notches = signal.comb_notches_hz(delay, count)
    assert all(isclose(notch / notches[0], 2 * number + 1) for number, notch in enumerate(notches))
    assert isclose(notches[0] * delay / 1000, 0.5)


@given(st.lists(st.floats(0, 50), max_size=6))
def test_paths_that_differ_most_give_the_lowest_notch(latencies):
    """Equal paths have no comb; otherwise the first notch is that of the earliest and the latest."""
    first = signal.first_comb_hz(latencies)
    if len(set(latencies)) < 2:
        assert first is None
    else:
        assert first == min(
            signal.comb_notches_hz(later - earlier)[0]
            for earlier in latencies
            for later in latencies
            if later > earlier
        )
