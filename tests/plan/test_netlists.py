"""The figures of a line against a circuit simulator that got the same line as a circuit of parts."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cache

import pytest

from portal.plan import reconcile
from portal.plan.input.facts import Facts
from portal.plan.input.rig import UNTOUCHED_TAP, Loom, Mixer, Out, Owner, Rig, Source, Splitter, SplitterOutput
from portal.plan.model import Line, Plan
from portal.plan.result.figures import figures_of
from portal.plan.result.signal import Feed, phantom_volt
from tests.plan import netlists
from tests.plan.hand_cases import said

ISOLATED = (SplitterOutput("B", "isolated"),)
DIRECT = (SplitterOutput("B", "direct"),)
VOCAL = Source(key="voc", label="Vocal", what="voice.vocals", lead=True, mixer_input=1, splitter="rack", way=1)
CONDENSER = replace(VOCAL, phantom="yes", phantom_ma=4.0)
BASS = Source(
    key="bass",
    label="Bass",
    what="pluck.bass.electric",
    capture="di-passive",
    must=True,
    mixer_input=1,
    splitter="rack",
    way=1,
)
HOUSE_VOCAL = replace(
    CONDENSER,
    owner=Owner(mic="house", stand="house", cable="house"),
    goes="house-only",
    mixer_input=None,
    splitter="",
    way=None,
)
PLAYBACK = Source(
    key="trk",
    label="Tracks",
    what="x-playback",
    capture="line",
    level="line",
    must=True,
    mixer_input=1,
    splitter="rack",
    way=1,
)
DRY_OUT = Out("dry", use="free", tap_before=tuple(UNTOUCHED_TAP), max_dbu=22)
MAINS = (Out("main-1", use="main", max_dbu=24), Out("main-2", use="main"))
RACK = Splitter(key="rack", name="Rack", ways=8, built_in=True)
MIXER = Mixer(inputs=16, channels=16, input_impedance_ohm=2000)
LOOM = Loom(key="loom", name="Loom", ways=8)
STATED = {"impedance_ohm": 150}

TOLERANCES = {"dB": 0.01, "dBu": 0.01, "V": 0.01}
RELATIVE = 0.005
"""Half a per cent, for ratios, ohms and frequencies."""

SIMULATED = {
    "level-at-our-mixer",
    "level-at-the-house",
    "load-ratio",
    "di-load",
    "phantom-volt",
    "peak-at-the-house",
    "cable-corner",
}


@dataclass(frozen=True)
class Circuit:
    """A gig whose one line is worth simulating, and the figures that it has to show."""

    words: str
    source: Source
    shows: frozenset[str]
    outputs: tuple[SplitterOutput, ...] = ISOLATED
    splitter: Splitter | None = RACK
    mixer: Mixer = MIXER
    loom: Loom = LOOM
    bits: dict[str, int] = field(default_factory=dict)
    answers: dict[str, str | int] = field(default_factory=dict)

    def line(self) -> tuple[Line, tuple[Line, ...], Facts]:
        """The plan's first line, all its lines, and the facts they stand on."""
        splitters = (replace(self.splitter, outputs=self.outputs),) if self.splitter else ()
        source = self.source if splitters else replace(self.source, splitter="", way=None)
        rig = Rig(
            name="Case band", mixer=self.mixer, source=(source,), splitter=splitters, loom=(self.loom,), bits=self.bits
        )
        answers = said(
            **{"who_mixes": "house-engineer", "pa": "stereo", "inputs_free": 8, "room_capacity": 500, **self.answers}
        )
        plan = reconcile(rig, answers)
        assert isinstance(plan, Plan), plan
        return plan.lines[0], plan.lines, Facts(rig, answers)


SPLIT = frozenset({"level-at-our-mixer", "level-at-the-house", "load-ratio"})
FED = SPLIT | {"phantom-volt"}
TO_MIXER_ISOLATED = replace(RACK, to_mixer="isolated")
FURTHER = {"other_feeds": "monitor-desk"}
OUTS_ONLY = Mixer(inputs=16, channels=16, outs=(DRY_OUT,))
MIXES = Mixer(inputs=16, channels=16, stereo_busses=1, outs=MAINS)

CIRCUITS = (
    Circuit("isolated split, nothing stated", VOCAL, SPLIT, mixer=Mixer(inputs=16, channels=16)),
    Circuit("isolated split, source and mixer stated", replace(VOCAL, **STATED), SPLIT),
    Circuit("hard-wired Y", VOCAL, SPLIT, outputs=DIRECT),
    Circuit("hard-wired Y with a monitor desk: three loads", VOCAL, SPLIT, outputs=DIRECT, answers=FURTHER),
    Circuit("isolated split with a monitor desk", replace(VOCAL, **STATED), SPLIT, answers=FURTHER),
    Circuit("isolated split with a monitor desk and a recording", VOCAL, SPLIT, answers={"other_feeds": "both"}),
    Circuit("mixer and house both on isolated legs", VOCAL, SPLIT, splitter=TO_MIXER_ISOLATED),
    Circuit(
        "mixer on the isolated leg, the house feeds 48 V", CONDENSER, FED, outputs=DIRECT, splitter=TO_MIXER_ISOLATED
    ),
    Circuit("48 V behind an isolated split: one feed", CONDENSER, FED),
    Circuit("48 V on a hard-wired Y: the other feed open or at 0 V", CONDENSER, FED, outputs=DIRECT),
    Circuit("48 V on a hard-wired Y, current not stated", replace(CONDENSER, phantom_ma=None), FED, outputs=DIRECT),
    Circuit("48 V on a hard-wired Y with a monitor desk", CONDENSER, FED, outputs=DIRECT, answers=FURTHER),
    Circuit("passive DI into an isolated split", BASS, SPLIT | {"di-load"}),
    Circuit(
        "passive DI into a hard-wired Y with a monitor desk", BASS, SPLIT | {"di-load"}, outputs=DIRECT, answers=FURTHER
    ),
    Circuit(
        "loud microphone, its level stated",
        replace(VOCAL, max_dbu=6.0, impedance_ohm=250),
        SPLIT | {"peak-at-the-house"},
    ),
    Circuit(
        "100 m of loom behind an isolated split", VOCAL, SPLIT | {"cable-corner"}, loom=replace(LOOM, length_m=100.0)
    ),
    Circuit(
        "100 m of loom behind a hard-wired Y",
        VOCAL,
        SPLIT | {"cable-corner"},
        outputs=DIRECT,
        loom=replace(LOOM, length_m=100.0),
        answers=FURTHER,
    ),
    Circuit(
        "100 m of loom, both legs isolated",
        VOCAL,
        SPLIT | {"cable-corner"},
        splitter=TO_MIXER_ISOLATED,
        loom=replace(LOOM, length_m=100.0),
    ),
    Circuit(
        "loose transformer on a hard-wired Y, with loom and 48 V",
        CONDENSER,
        FED | {"cable-corner"},
        outputs=DIRECT,
        loom=replace(LOOM, length_m=50.0),
        bits={"isolating_transformer": 4},
        answers={"isolation": "required"},
    ),
    Circuit("line level through an isolated split and a 20 dB pad", PLAYBACK, SPLIT | {"peak-at-the-house"}),
    Circuit("direct out behind a 20 dB pad", VOCAL, frozenset({"peak-at-the-house"}), splitter=None, mixer=OUTS_ONLY),
    Circuit(
        "left/right mix through a transformer and a 20 dB pad",
        VOCAL,
        frozenset({"peak-at-the-house"}),
        mixer=MIXES,
        answers={"what_they_want": "left-right-mix"},
    ),
    Circuit(
        "left/right mix through a transformer into a line input",
        VOCAL,
        frozenset({"peak-at-the-house"}),
        mixer=MIXES,
        answers={"what_they_want": "left-right-mix", "line_inputs": "yes"},
    ),
    Circuit(
        "straight to the box, house only", HOUSE_VOCAL, frozenset({"level-at-the-house", "load-ratio", "phantom-volt"})
    ),
    Circuit("the house's own splitter, its kind not known", CONDENSER, FED, answers={"house_split": "yes"}),
)


@cache
def simulated(circuit: int, spoil: str = "") -> dict[str, tuple[float, float]]:
    line, _, facts = CIRCUITS[circuit].line()
    return netlists.simulate(line, facts, spoil)


def deviations(circuit: int, spoil: str = "") -> dict[str, float]:
    """How far each figure is from the simulator, as a share of what is tolerated."""
    line, lines, facts = CIRCUITS[circuit].line()
    ours = {figure.key: figure for figure in figures_of(line, lines, facts) if figure.key in SIMULATED}
    theirs = simulated(circuit, spoil)
    assert ours.keys() == theirs.keys() == CIRCUITS[circuit].shows
    found = {}
    for key, figure in ours.items():
        off = max(abs(figure.low - theirs[key][0]), abs(figure.high - theirs[key][1]))
        found[key] = off / TOLERANCES.get(figure.unit, RELATIVE * min(figure.low, figure.high))
    return found


@pytest.mark.parametrize("circuit", range(len(CIRCUITS)), ids=[one.words for one in CIRCUITS])
def test_the_figures_agree_with_the_simulator(circuit):
    """Both ends of every figure lie within 0.01 dB, 0.01 V or half a per cent of what the simulator has."""
    worst = deviations(circuit)
    assert max(worst.values()) <= 1, worst


def test_enough_different_circuits():
    """No two circuits are the same netlist, and every kind of figure that is simulated is simulated at least twice."""
    texts = set()
    for one in CIRCUITS:
        line, _, facts = one.line()
        values = netlists.open_values(line, facts.rig.source[0], facts)
        build = netlists.instrument if one.source == BASS else netlists.netlist
        texts.add("".join(build(line, facts, each).text() for each in values))
    assert len(texts) == len(CIRCUITS) >= 12
    assert all(sum(key in one.shows for one in CIRCUITS) >= 2 for key in SIMULATED)
    worst = max(
        (share, key, CIRCUITS[index].words)
        for index in range(len(CIRCUITS))
        for key, share in deviations(index).items()
    )
    print(f"circuits={len(CIRCUITS)}; largest deviation: {worst[0]:.2%} of the tolerance, {worst[1]}, {worst[2]}")  # noqa: T201 - shown with -s


@pytest.mark.parametrize(
    ("words", "spoil"),
    [
        ("isolated split, nothing stated", "emf tail"),
        ("isolated split, source and mixer stated", "tail primary"),
        ("hard-wired Y", "leg 0"),
        ("48 V behind an isolated split: one feed", "rail pin2"),
        ("passive DI into an isolated split", "tail 0"),
        ("direct out behind a 20 dB pad", "high low"),
        ("100 m of loom behind a hard-wired Y", "leg 0"),
        ("left/right mix through a transformer and a 20 dB pad", "box high"),
    ],
)
def test_a_wrong_part_is_caught(words, spoil):
    """One part that is a fifth too large shows: the comparison is no formality."""
    index = next(index for index, one in enumerate(CIRCUITS) if one.words == words)
    assert max(deviations(index, spoil).values()) > 1


@pytest.mark.parametrize(
    "circuit", [index for index, one in enumerate(CIRCUITS) if one.outputs == DIRECT and one.source == CONDENSER]
)
def test_two_supplies_hold_the_voltage_higher(circuit):
    """Where every desk on one copper feeds, the simulator and the formula agree as well."""
    line, _, facts = CIRCUITS[circuit].line()
    values = replace(netlists.open_values(line, CONDENSER, facts)[0], other_rail="48 V")
    built = netlists.netlist(line, facts, values)
    feeds = sum(set(card.split()[1:3]) == {"rail", "pin2"} for card in built.cards)
    assert netlists.run(built)["at_the_microphone"] == pytest.approx(phantom_volt([Feed()] * feeds, 4), abs=0.01)


def test_without_the_simulator_the_tests_say_so(monkeypatch):
    """A missing simulator is a clear failure, not a silent pass."""
    monkeypatch.setenv("PATH", "")
    with pytest.raises(netlists.NoSimulator, match="make test installs it"):
        netlists.run(netlists.Netlist(cards=["R1 a 0 1"]))
