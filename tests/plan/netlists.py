"""A plan's line as a circuit for the ngspice simulator, built from the line and the rig's facts apart from the
formulas.

Every part is a part: source, splitter windings, loose transformer, pad legs and shunt, loom capacitance, desk inputs,
feed resistors, microphone current. One text holds one set of values; ``simulate`` runs every set that the facts leave
open and gives the range of each number.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import count, product
from pathlib import Path

from portal.plan.input.facts import Facts
from portal.plan.input.rig import Source, Splitter
from portal.plan.model import Line
from portal.plan.result.figures import DI_RATIO, PHANTOM_MA
from portal.plan.result.lines import OUT_LEVEL_DBU
from portal.plan.result.signal import CABLE_PF_PER_M, WINDING_OHM
from portal.plan.result.wiring import DESK_OHM, LINE_INPUT_OHM, MICROPHONE_OHM, OUTPUT_OHM

PAD_20_DB = (700.0, 500 / 3)
"""Each leg and the shunt of the bridging pad of 20 dB, in ohms (A7, A8)."""

MISSING = (
    "ngspice is not installed, and these tests compare the figures with it. make test installs it; by hand: apt-get"
    " install ngspice"
)


class NoSimulator(AssertionError):  # noqa: N818 - named for what is missing
    """The simulator is not there; the tests fail rather than look the other way."""


def simulator() -> str:
    """The simulator's path. Raises ``NoSimulator`` where it is not installed."""
    found = shutil.which("ngspice")
    if found is None:
        raise NoSimulator(MISSING)
    return found


@dataclass
class Netlist:
    """Cards and what is to be printed; ``prints`` maps a number's name to its expression."""

    cards: list[str] = field(default_factory=list)
    numbers: Iterator[int] = field(default_factory=count)
    prints: dict[str, str] = field(default_factory=dict)
    direct: dict[str, str] = field(default_factory=dict)
    """The same for the direct-current analysis."""
    corner: str = ""
    """Node pair whose top end is sought; empty for none."""

    def add(self, kind: str, *words: object) -> None:
        """One part; its number keeps its name apart from all others."""
        self.cards.append(
            f"{kind}{next(self.numbers)} "
            + " ".join(f"{word:.12g}" if isinstance(word, float) else str(word) for word in words)
        )

    def transformer(self, primary: str, secondary: str, ratio: float, winding: float) -> None:
        """One secondary on a primary node: ideal, ``ratio``:1, with the secondary winding's resistance. The primary's
        own is a part before it.
        """
        number = next(self.numbers)
        self.add("E", f"ideal{number}", 0, primary, 0, 1 / ratio)
        self.cards.append(f"Vsense{number} ideal{number} wound{number} 0")
        self.add("F", primary, 0, f"Vsense{number}", 1 / ratio)
        self.add("R", f"wound{number}", secondary, winding)

    def text(self) -> str:
        """The whole file."""
        control = ["set numdgt=10", "ac dec 400 10 100meg" if self.corner else "ac dec 1 10 1k"]
        control += [f"let {name} = {expression}\nprint {name}[0]" for name, expression in self.prints.items()]
        if self.corner:
            control += [
                f"let fall = db({self.corner})-db({self.corner})[0]",
                "meas ac corner when fall=-3.01029996 fall=1",
            ]
        if self.direct:
            control += ["op", *(f"let {name} = {expression}\nprint {name}" for name, expression in self.direct.items())]
        return "\n".join(["a line of a plan", *self.cards, ".control", *control, "quit", ".endc", ".end", ""])


@dataclass(frozen=True)
class Values:
    """One set of what the facts leave open."""

    source_ohm: float
    band_ohm: float
    house_ohm: float
    current_ma: float
    other_rail: str
    """Where the feed resistors of the other desks end: open, 0 V or 48 V."""
    band_isolated: bool


def splitter_of(line: Line, facts: Facts) -> Splitter | None:
    return next((one for one in facts.rig.splitter if one.key == line.path.unit), None)


def open_values(line: Line, source: Source, facts: Facts) -> list[Values]:
    """Every combination of both ends of what nobody stated."""
    mixer_output = line.path.unit == "mixer"
    splitter = splitter_of(line, facts)
    stated = source.impedance_ohm if not mixer_output else None
    usual = OUTPUT_OHM if line.level == "line" else MICROPHONE_OHM
    house = LINE_INPUT_OHM if line.level == "line" and facts.value("line-inputs") == "yes" else DESK_OHM
    own = facts.rig.mixer.input_impedance_ohm
    return [
        Values(*one)
        for one in product(
            (float(stated),) if stated else usual,
            (float(own),) if own else DESK_OHM,
            house,
            (source.phantom_ma,) if source.phantom_ma else PHANTOM_MA,
            ("open", "0 V"),
            (
                (False, True)
                if line.path.kind == "house-split"
                else (splitter is not None and splitter.to_mixer == "isolated",)
            ),
        )
    ]


def netlist(line: Line, facts: Facts, values: Values) -> Netlist:
    """The circuit of one line with one set of values."""
    circuit = Netlist()
    circuit.add("Vsource", "emf", 0, "dc 0 ac 1")
    circuit.add("R", "emf", "tail", values.source_ohm)
    ours = legs(circuit, line, values)
    if is_shared(line, facts):
        circuit.add("R", ours, 0, values.band_ohm)
        circuit.prints["at_our_mixer"] = f"db(v({ours}))"
    box = at_the_box(circuit, line, facts)
    desks = 1 + {"nothing": 0, "both": 2}.get(str(facts.value("other-feeds")), 1)
    at_the_desks(circuit, line, box, [values.house_ohm] * desks)
    circuit.prints["at_the_box"] = f"db(v({box}))"
    circuit.prints["load"] = f"mag(v(tail)/(v(emf)-v(tail)))*{values.source_ohm:.12g}"
    if line.phantom in ("band", "house"):
        phantom(circuit, line, facts, values, desks)
    return circuit


def is_shared(line: Line, facts: Facts) -> bool:
    """Whether the band's mixer hangs on the same source as the house."""
    return line.path.kind == "house-split" or splitter_of(line, facts) is not None


def legs(circuit: Netlist, line: Line, values: Values) -> str:
    """The splitter, or nothing, between the tail and the node ``leg`` towards the house; gives the node of the band's
    leg.
    """
    to_house = line.path.output.startswith("isolated")
    if to_house or values.band_isolated:
        circuit.add("R", "tail", "primary", WINDING_OHM)
    if to_house:
        circuit.transformer("primary", "leg", 1.0, WINDING_OHM)
    else:
        circuit.cards.append("Vleg tail leg 0")
    if values.band_isolated:
        circuit.transformer("primary", "ours", 1.0, WINDING_OHM)
        return "ours"
    return "tail"


def at_the_box(circuit: Netlist, line: Line, facts: Facts) -> str:
    """The loose transformer where the gig has one, and the loom; gives the node at the stage box."""
    box = "leg"
    required = (
        facts.value("isolation") == "required"
        and line.path.kind not in ("straight", "house-split")
        and not line.path.output.startswith("isolated")
    )
    if required or line.path.kind == "left-right-mix":
        circuit.add("R", "leg", "loose", WINDING_OHM)
        circuit.transformer("loose", "box", 1.0, WINDING_OHM)
        box = "box"
    loom = next((one for one in facts.rig.loom if line.loom is not None and one.key == line.loom.key), None)
    if loom is not None and loom.length_m:
        circuit.add("C", box, 0, loom.length_m * CABLE_PF_PER_M * 1e-12)
        circuit.corner = f"v({box})"
    return box


def at_the_desks(circuit: Netlist, line: Line, box: str, house_ohm: list[float]) -> None:
    """The pad where the line has one, and every input of the house."""
    high, low = box, "0"
    if line.pad_db:
        leg, shunt = PAD_20_DB
        circuit.add("R", box, "high", leg)
        circuit.add("R", "low", 0, leg)
        circuit.add("R", "high", "low", shunt)
        high, low = "high", "low"
    for ohm in house_ohm:
        circuit.add("R", high, low, ohm)
    circuit.prints["at_the_input"] = f"db(v({high})-v({low}))" if line.pad_db else f"db(v({box}))"


def phantom(circuit: Netlist, line: Line, facts: Facts, values: Values, desks: int) -> None:
    """Both legs of the microphone with every desk that shares its copper: one feeds, the others are off."""
    straight = line.path.kind in ("straight", "house-split")
    copper_to_house = not line.path.output.startswith("isolated") and (
        straight or facts.value("isolation") != "required"
    )
    copper_to_band = is_shared(line, facts) and not values.band_isolated
    others = (desks if copper_to_house else 0) + copper_to_band - 1
    circuit.add("V", "rail", 0, 48.0)
    circuit.add("V", "rail0", 0, 0.0)
    for pin in ("pin2", "pin3"):
        circuit.add("R", "rail", pin, 6810.0)
        circuit.add("I", pin, 0, values.current_ma / 2000)
        for number in range(others):
            end = {"open": f"open{pin}{number}", "0 V": "rail0", "48 V": "rail"}[values.other_rail]
            circuit.add("R", pin, end, 6810.0)
    circuit.direct["at_the_microphone"] = "v(pin2)"


def instrument(line: Line, facts: Facts, values: Values) -> Netlist:
    """The same circuit driven through a passive DI, to see what the instrument sees."""
    circuit = netlist(line, facts, values)
    circuit.cards = [card for card in circuit.cards if " emf " not in f" {card} "]
    circuit.add("Vsource", "string", 0, "dc 0 ac 1")
    circuit.add("R", "string", "plug", 1000.0)
    circuit.transformer("plug", "tail", DI_RATIO, 1e-6)
    circuit.prints, circuit.direct, circuit.corner = {"plug": "mag(v(plug)/(v(string)-v(plug)))"}, {}, ""
    return circuit


def run(circuit: Netlist) -> dict[str, float]:
    """What the simulator prints, by name. Raises ``AssertionError`` with its own words where it gives no number for
    one.
    """
    with tempfile.NamedTemporaryFile("w", suffix=".cir", encoding="utf-8") as file:
        file.write(circuit.text())
        file.flush()
        done = subprocess.run(
            [simulator(), "-n", "-b", file.name],
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
            cwd=Path(file.name).parent,
        )
    found = {
        name: float(number)
        for name, number in re.findall(r"^(\w+)(?:\[0\])?\s*=\s*([-+.\de]+)", done.stdout, re.MULTILINE)
    }
    wanted = {*circuit.prints, *circuit.direct, *(["corner"] if circuit.corner else [])}
    assert wanted <= found.keys(), (
        f"the simulator gave no {wanted - found.keys()}:\n{circuit.text()}\n{done.stdout}\n{done.stderr}"
    )
    return {name: found[name] for name in wanted}


def simulate(line: Line, facts: Facts, spoil: str = "") -> dict[str, tuple[float, float]]:
    """Range of every figure of one line as the simulator has it, by the figure's key.

    ``spoil`` is a part's first words, e.g. "emf tail": that part is made 20 % larger, so that a test can see the
    comparison fail.
    """
    source = next(one for one in facts.rig.source if one.key == line.sources[0])
    found: dict[str, list[float]] = {}
    seen: dict[str, dict[str, float]] = {}
    circuits = (netlist, instrument) if source.capture == "di-passive" else (netlist,)
    for values in open_values(line, source, facts):
        for build in circuits:
            circuit = build(line, facts, values)
            circuit.cards = [larger(card) if spoil and f" {spoil} " in f" {card} " else card for card in circuit.cards]
            if circuit.text() not in seen:
                seen[circuit.text()] = run(circuit)
            for key, number in figures(seen[circuit.text()], line, source, facts, values).items():
                found.setdefault(key, []).append(number)
    return {key: (min(numbers), max(numbers)) for key, numbers in found.items()}


def larger(card: str) -> str:
    """A part whose last value is 20 % too large."""
    *rest, value = card.split(" ")
    return " ".join([*rest, f"{float(value) * 1.2:.12g}"])


def figures(said: dict[str, float], line: Line, source: Source, facts: Facts, values: Values) -> dict[str, float]:
    """The simulator's numbers in the units of the figures, by the figures' keys."""
    out = next((one for one in facts.rig.mixer.outs if one.key == line.path.output), None)
    most = out.max_dbu if out is not None else source.max_dbu
    if most is None and line.level == "line":
        most = OUT_LEVEL_DBU
    found: dict[str, float] = {}
    if "plug" in said:
        return {"di-load": said["plug"]}
    if line.path.unit != "mixer":
        found["level-at-the-house"] = said["at_the_box"]
        found["load-ratio"] = said["load"] / values.source_ohm
        if "corner" in said:
            found["cable-corner"] = said["corner"] / 1000
    if "at_our_mixer" in said:
        found["level-at-our-mixer"] = said["at_our_mixer"]
    if "at_the_microphone" in said:
        found["phantom-volt"] = said["at_the_microphone"]
    if most is not None:
        found["peak-at-the-house"] = most + said["at_the_input"]
    return found
