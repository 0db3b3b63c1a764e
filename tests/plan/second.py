"""A second formulation for gigs of 12 to 40 sources: set partitioning over enumerated columns, by another solver than
the engine's.

The engine asks one binary pick for each unit and line and one programme for everything. Here every combination of units
on one line is a column of its own, units that are interchangeable are counted, the looms are one choice out of all
their combinations, and the left/right mix is no variable: the gig without a mix, with a stereo one and with a mono one
are three programmes. The priorities are solved one after the other, each held as an equality before the next; a
programme that cannot reach the best value of the others is dropped.
"""

from __future__ import annotations

from collections import Counter
from itertools import combinations

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from portal.plan.input.facts import Answers, Facts
from portal.plan.input.rig import Rig
from tests.plan.oracle_units import STEPS
from tests.plan.second_columns import Amounts, Column, Sheet, amounts, tidy, together

LEVELS = (*reversed(STEPS), "carry", "plugs")
"""The dearest first, as ``price`` gives them."""

UNPROVEN = "the second solver gave up before it was sure"


def limits_of(rig: Rig, answers: Answers) -> dict[str, int]:
    """How much there is of everything that is limited; what is not named here is not."""
    facts = Facts(rig, answers)
    free = [out for out in rig.mixer.outs if out.use == "free"]
    limits = {
        "unprocessed": sum(out.unprocessed for out in free),
        "directs": len(free),
        "outs": len(free) + sum(out.use == "main" for out in rig.mixer.outs),
        "stereo": rig.mixer.stereo_busses,
        "busses": rig.mixer.mono_busses + rig.mixer.stereo_busses,
    }
    inputs = facts.value("inputs-free")
    if inputs is not None:
        limits["inputs"] = int(inputs)
    if facts.value("isolation") == "required":
        limits["transformers"] = rig.bits.get("isolating_transformer", 0)
    if rig.loom:
        limits["lines"] = 0
    wired = Counter(source.splitter for source in rig.source)
    for splitter in rig.splitter:
        limits[f"ways {splitter.key}"] = max(0, splitter.ways - wired[splitter.key])
    return limits


def equipment(rig: Rig, answers: Answers) -> list[Column]:
    """Columns that cover nobody: splitters that are brought, ear mixes in mono, and every combination of looms and
    loose cables.
    """
    found = [
        Column(
            "brought",
            (("splitter " + splitter.key, 1),),
            tidy({"carry": 2 * splitter.ways, f"through {splitter.key}": -1000}),
        )
        for splitter in rig.splitter
        if not splitter.built_in
    ]
    found += [
        Column("fold", ((f"fold {number}", 1),), tidy({"ear-mix-to-mono": 1, "outs": -1}))
        for number, mix in enumerate(rig.ears)
        if mix.width == "stereo" and len(mix.outs) == 2
    ]
    return found + looms(rig, answers)


def looms(rig: Rig, answers: Answers) -> list[Column]:
    """Every set of looms that reach with every number of loose cables that reach; the fewest plugs and carrying decide
    among them.
    """
    facts = Facts(rig, answers)
    distance = facts.value("box-distance") if facts.known("box-distance") else None
    reaching = [
        loom for loom in rig.loom if distance is None or loom.length_m is None or loom.length_m * 100 >= int(distance)
    ]
    lengths = {key: int(key.removeprefix("xlr_").removesuffix("m")) * 100 for key in rig.bits if key.startswith("xlr_")}
    loose = sum(rig.bits[key] for key, length in lengths.items() if distance is not None and length >= int(distance))
    best: dict[int, tuple[int, int]] = {}
    for size in range(len(reaching) + 1):
        for chosen in combinations(reaching, size):
            ways = sum(loom.ways for loom in chosen)
            for cables in range(loose + 1):
                price = (ways + 3 * cables, cables)
                best[ways + cables] = min(best.get(ways + cables, price), price)
    return [
        Column("looms", (("looms", 1),), tidy({"lines": -room, "carry": carry, "plugs": plugs}))
        for room, (carry, plugs) in best.items()
    ]


class Programme:
    """One regime as rows and columns of whole numbers, with what earlier priorities have settled."""

    def __init__(self, columns: list[Column], sizes: dict[str, int], limits: dict[str, int]) -> None:
        self.columns = columns
        self.infeasible = False
        self.values = np.zeros(len(columns), dtype=int)
        exact = dict.fromkeys(sizes, 0)
        self.takes = {key for column in columns for key, _ in column.takes}
        once = {key: 1 for key in self.takes if key.startswith("once ")}
        follow = {key: 0 for key in self.takes if key.startswith(("first of ", "percussion that stays"))}
        brought = {
            f"through {name.removeprefix('splitter ')}": 0
            for column in columns
            for name, _ in column.covers
            if column.mode == "brought"
        }
        at_most = limits | once | follow | brought
        single = {name: 1 for column in columns for name, _ in column.covers if name not in exact}
        rows = {**exact, **at_most, **single}
        self.place = {key: number for number, key in enumerate(rows)}
        self.lower = [sizes[key] if key in exact else -np.inf for key in rows]
        self.upper = [sizes.get(key, rows[key]) for key in rows]
        cells = [
            (self.place[key], number, amount)
            for number, column in enumerate(columns)
            for key, amount in column.covers + column.takes
            if key in self.place
        ]
        numbers = np.array(cells, dtype=int).reshape(-1, 3)
        self.matrix = csr_array((numbers[:, 2], (numbers[:, 0], numbers[:, 1])), shape=(len(rows), len(columns)))
        self.settled: list[tuple[np.ndarray, int]] = []

    def weights(self, level: str) -> np.ndarray:
        return np.array([dict(column.takes).get(level, 0) for column in self.columns])

    def least(self, level: str) -> int | None:
        """The least of this level while everything settled stays so; ``None`` where the gig cannot be sent in this
        regime at all.
        """
        weights = self.weights(level)
        # No count is ever below nothing: what the last answer already keeps at nothing needs no solving.
        if self.settled and not weights @ self.values:
            return 0
        return self.solve(weights)

    def solve(self, weights: np.ndarray) -> int | None:
        rows = [LinearConstraint(self.matrix, self.lower, self.upper)]
        rows += [
            LinearConstraint(csr_array(held.reshape(1, -1)), value, value) for held, value in self.settled if held.any()
        ]
        exactly = {"presolve": False, "mip_rel_gap": 0}
        answer = milp(
            weights, integrality=np.ones(len(weights)), bounds=Bounds(0, np.inf), constraints=rows, options=exactly
        )
        if answer.status == 2:
            return None
        if not answer.success:
            raise RuntimeError(f"{UNPROVEN}: {answer.message}")
        values = np.rint(answer.x).astype(int)
        row = self.matrix @ values
        if not (
            np.all(row >= self.lower)
            and np.all(row <= self.upper)
            and all(held @ values == value for held, value in self.settled)
        ):
            raise RuntimeError(f"{UNPROVEN}: its answer is not whole")
        self.values = values
        return int(weights @ values)

    def settle(self, level: str, value: int) -> None:
        self.settled.append((self.weights(level), value))


def programmes(rig: Rig, answers: Answers) -> list[Programme]:
    """The gig without a left/right mix, with a stereo one, with a mono one."""
    sheet = Sheet(rig, answers)
    limits, others = limits_of(rig, answers), equipment(rig, answers)
    alone, sizes = sheet.columns(mixed=False)
    beside, others_sizes = sheet.columns(mixed=True)
    to_mono: Amounts = () if sheet.mono_pa else amounts(mix_to_mono=1)
    mixes = [Column("the mix", (("mix", 1),), takes) for takes in (sheet.bus(2), together(sheet.bus(1), to_mono))]
    regimes = [(alone, sizes), *(([*beside, mix], others_sizes | {"mix": 1}) for mix in mixes)]
    return [Programme([*columns, *others], sizes | {"looms": 1}, limits) for columns, sizes in regimes]


def best_vector(rig: Rig, answers: Answers, levels: tuple[str, ...] = LEVELS) -> tuple[int, ...] | None:
    """Counts from the dearest step to the cheapest, then carry, then plugs; ``None`` where no plan sends what has to be
    sent.

    ``levels``: the priorities, the dearest first; another order is another ladder.
    """
    alive = programmes(rig, answers)
    vector = []
    for level in levels:
        reached = [(value, programme) for programme in alive if (value := programme.least(level)) is not None]
        if not reached:
            return None
        least = min(value for value, _ in reached)
        alive = [programme for value, programme in reached if value == least]
        for programme in alive:
            programme.settle(level, least)
        vector.append(least)
    return tuple(vector)
