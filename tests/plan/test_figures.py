"""What the figures of a line say, and that a range is as wide as what is not known."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.plan import reconcile
from portal.plan.input.facts import Facts
from portal.plan.input.rig import Loom, Mixer, Out, Rig, Source, Splitter, SplitterOutput
from portal.plan.model import Plan
from portal.plan.result.figures import Figure, figures_of
from portal.wording.plan.saying import say
from tests.plan.hand_cases import said
from tests.plan.signal_values import CHECKS

ANSWERS = {"who_mixes": "house-engineer", "pa": "stereo", "inputs_free": 16, "room_capacity": 500}
VOCAL = Source(
    key="voc", label="Vocal", what="voice.vocals", lead=True, phantom="yes", mixer_input=1, splitter="rack", way=1
)
STATED = replace(VOCAL, phantom_ma=4.0, impedance_ohm=150)
RACK = Splitter(key="rack", name="Rack", ways=24, built_in=True, outputs=(SplitterOutput("B", "isolated"),))
RIG = Rig(
    name="Case band",
    mixer=Mixer(inputs=24, channels=24, input_impedance_ohm=2000, phantom_budget_ma=40),
    source=(STATED,),
    splitter=(RACK,),
    loom=(Loom(key="loom", name="Loom", ways=24, length_m=30),),
)


def shown(rig: Rig, label: str = "Vocal", **answers: str | int) -> dict[str, Figure]:
    """The figures of one line by key."""
    given_answers = said(**{**ANSWERS, **answers})
    plan = reconcile(rig, given_answers)
    assert isinstance(plan, Plan), plan
    line = next(line for line in plan.lines if line.label == label)
    figures = figures_of(line, plan.lines, Facts(rig, given_answers))
    assert len({figure.key for figure in figures}) == len(figures)
    return {figure.key: figure for figure in figures}


def text(figures: dict[str, Figure]) -> list[str]:
    """The figures as a person reads them."""
    return [
        f"{say(figure.what)}: {say(figure.value)} ({say(figure.basis)}){' !' if figure.careful else ''}"
        for figure in figures.values()
    ]


def test_the_text_of_a_split_condenser():
    """A vocal condenser on an isolated split: levels, load, 48 V, the budget and the loom, each with what it rests
    on.
    """
    assert text(shown(RIG, other_feeds="nothing")) == [
        (
            "Level at the band's mixer, against the source with nothing plugged in: -1.4 to -1 dB (source 150 ohm"
            " (stated); the band's mixer 2000 ohm (stated); house desk 1500 to 3000 ohm (usual, not stated);"
            " transformer windings of 40 ohm (assumed))"
        ),
        "Level at the stage box, against the source with nothing plugged in: -1.8 to -1.2 dB (from the same values)",
        (
            "All inputs together, against the source's impedance: 5.9 to 8.1 times (from the same values; at least 5 is"
            " usual, and below that a dynamic microphone can sound different)"
        ),
        "48 V supply, measured at the microphone: 34.4 V (48 V through 6.81 kohm a leg, 4 mA (stated))",
        (
            "48 V current from the band's mixer, all inputs together: 4 mA (1 source on the band's mixer; the band's"
            " mixer gives 40 mA in all (stated))"
        ),
        (
            "Top end at the stage box, 3 dB down: 259 to 277 kHz (source 150 ohm (stated); 30 m of loom at 100 pF/m"
            " (usual, not stated); the microphone's own cable and the house's multicore lower it further)"
        ),
    ]


def test_the_text_of_a_left_right_mix():
    """The band's mix on an output of its mixer: pad, level behind it, and the delay."""
    outs = (Out("main-1", use="main", max_dbu=24), Out("main-2", use="main", max_dbu=24))
    rig = replace(RIG, mixer=replace(RIG.mixer, stereo_busses=1, outs=outs, latency_ms=1.5))
    assert text(shown(rig, "Mix L", what_they_want="left-right-mix")) == [
        (
            "Attenuation wanted: 17 dB (the band's output gives 24 dBu at most (stated); a microphone input takes 10"
            " dBu (assumed); 3 dB kept in hand)"
        ),
        (
            "Loudest moment at the house's input: 0.6 to 3.4 dBu (the band's output gives 24 dBu at most (stated); "
            "behind a 20 dB pad that leaves 150 ohm (assumed); a loose transformer before it)"
        ),
        "Delay through the band's mixer: 1.5 ms (as the rig states; the house desk's own comes on top)",
    ]


def test_ranges_collapse_where_everything_is_stated():
    """What is stated on every side gives one number; only what nobody asks a house keeps its range."""
    figures = shown(RIG)
    one_number = {key for key, figure in figures.items() if figure.low == figure.high}
    assert one_number == {"phantom-volt", "phantom-in-all"}
    assert all(
        "house desk" in say(figures["level-at-our-mixer"].basis) and figures[key].low < figures[key].high
        for key in figures.keys() - one_number
    )


@given(st.booleans(), st.booleans(), st.booleans(), st.sampled_from(["isolated", "direct"]))
def test_stating_something_never_widens_a_range(ohm, current, mixer, kind):
    """Every stated value inside what is usual gives a range inside the one without it."""
    splitter = (replace(RACK, outputs=(SplitterOutput("B", kind),)),)
    bare = replace(RIG, source=(VOCAL,), splitter=splitter, mixer=replace(RIG.mixer, input_impedance_ohm=None))
    source = replace(VOCAL, impedance_ohm=180 if ohm else None, phantom_ma=5.0 if current else None)
    known = replace(bare, source=(source,), mixer=replace(bare.mixer, input_impedance_ohm=2200 if mixer else None))
    wide, narrow = shown(bare), shown(known)
    assert wide.keys() == narrow.keys()
    for key, figure in narrow.items():
        assert wide[key].low - 1e-9 <= figure.low <= figure.high <= wide[key].high + 1e-9


def band(count: int, current: float | None, prefix: str) -> tuple[Source, ...]:
    return tuple(
        replace(
            STATED,
            key=f"{prefix}{number}",
            label=f"{prefix} {number}",
            phantom_ma=current,
            way=None,
            splitter="",
            mixer_input=None,
            goes="ears-only",
        )
        for number in range(count)
    )


def test_the_phantom_of_all_inputs_is_the_worked_sum():
    """Eight microphones of 3.1 mA and four boxes of 5.5 mA draw 46.8 mA, which is too much for 40 (P19)."""
    worked = next(check for check in CHECKS if check.key == "P19")
    sources = (replace(STATED, phantom_ma=3.1), *band(7, 3.1, "mic"), *band(4, 5.5, "box"))
    figure = shown(replace(RIG, source=sources))["phantom-in-all"]
    assert figure.low == figure.high == pytest.approx(worked.value, abs=worked.within)
    assert figure.careful
    assert say(figure.basis) == "12 sources on the band's mixer; the band's mixer gives 40 mA in all (stated)"


def test_an_unknown_current_counts_from_least_to_most():
    """A source that states no current counts as 2 to 10 mA, and the basis says how many do."""
    figure = shown(replace(RIG, source=(STATED, *band(2, None, "mic"))))["phantom-in-all"]
    assert (figure.low, figure.high) == (8, 24)
    assert not figure.careful
    assert "3 sources on the band's mixer, 2 of them not stated and taken at 2 to 10 mA" in say(figure.basis)


def test_a_source_that_the_house_feeds_is_not_in_our_sum():
    """What hangs on an isolated leg of ours, or goes straight to the box, draws nothing from the band's mixer."""
    away = replace(RACK, key="away", to_mixer="isolated", outputs=(SplitterOutput("C", "direct"),))
    others = (
        replace(STATED, key="far", label="Far", splitter="away", mixer_input=2),
        replace(STATED, key="room", label="Room", goes="house-only", splitter="", way=None, mixer_input=None),
    )
    figures = shown(replace(RIG, source=(STATED, *others), splitter=(RACK, away)))
    assert figures["phantom-in-all"].high == 4
    assert "phantom-in-all" not in shown(replace(RIG, source=(STATED, *others), splitter=(RACK, away)), "Far")


def test_an_active_splitter_keeps_the_desks_apart():
    """Behind an active splitter no desk loads the source, so nothing is said about loading; its own 48 V is one
    feed.
    """
    figures = shown(replace(RIG, splitter=(replace(RACK, kind="active"),)))
    assert set(figures) == {"phantom-volt"}
    assert say(figures["phantom-volt"].value) == "34.4 V"


def test_a_hard_y_wants_a_second_look_at_48_volt():
    """On a direct output the other desk's switch decides, so the figure is a range and marked."""
    direct = replace(RIG, splitter=(replace(RACK, outputs=(SplitterOutput("B", "direct"),)),))
    figure = shown(direct)["phantom-volt"]
    assert (say(figure.value), figure.careful) == ("17.2 to 34.4 V", True)
    assert say(shown(direct, other_feeds="monitor-desk")["phantom-volt"].basis).count("2 other desks") == 1


def test_paths_of_different_delay_show_their_first_notch():
    """A kit microphone on its own line and the kit in the band's mix arrive apart; the line of the mix says where it
    hurts.
    """
    kick = Source(key="kick", label="Kick", what="drum.kick-drum", player="Kim", mixer_input=2, splitter="rack", way=1)
    snare = replace(kick, key="sn", label="Snare", what="drum.snare-drum", mixer_input=3, way=None, splitter="")
    out = Out("dry", tap_before=("high-pass", "gate", "eq", "compressor", "insert", "delay", "mute", "fader"))
    rig = replace(
        RIG,
        source=(kick, snare),
        splitter=(replace(RACK, ways=1),),
        mixer=replace(RIG.mixer, outs=(out,), latency_ms=1.0),
    )
    plan = reconcile(rig, said(**ANSWERS))
    assert isinstance(plan, Plan)
    paths = {line.label: line.path.kind for line in plan.lines}
    through = next(label for label, kind in paths.items() if kind == "direct-out")
    assert "split" in paths.values()
    assert say(shown(rig, through)["first-comb"].value) == "500 Hz"


@pytest.mark.parametrize(
    ("low", "high", "value"),
    [
        (-0.04, -0.04, "0 dB"),
        (1.04, 1.02, "1 dB"),
        (-1.25, 3, "-1.2 to 3 dB"),
        (99.96, 120.4, "100 to 120 dB"),
        (9.95, 9.94, "9.9 dB"),
    ],
)
def test_a_number_is_written_with_no_more_figures_than_it_has(low, high, value):
    """One decimal below a hundred, none above, no minus before a nought, and one number where both ends read alike."""
    assert say(Figure("pad", low, high, "dB", "").value) == value
