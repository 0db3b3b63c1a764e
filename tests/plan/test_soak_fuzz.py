"""Whatever a rig, an answer or a lock says, the engine answers without endless work, and what it answers can be
kept.
"""

from __future__ import annotations

import json
import traceback
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

import pytest

from portal.plan import NoPlan, Plan, reconcile
from portal.plan.coherence import faults as contradictions
from portal.plan.input.facts import Facts
from portal.plan.reconcile import price
from portal.plan.signed.serialization import Heading, canonical, content_hash, to_json
from portal.plan.solving import loaded_program
from tests.exchange.reading_back import from_json
from tests.plan.hostile import MUTATIONS, Hostile, hostile

HARD = 100
"""Solves from which a case is told as a hard one."""
MOST_SOLVES, MOST_NODES = 3_000, 20_000
"""Solves, and relaxations and nodes of their search, that one plan may take at most with everything that it says about
itself.
"""
QUICK = 20_000
"""The first case of the quick test; the long one takes those before it."""
KEPT_EVERY = 10
"""Of so many plans one is written and read again."""
HEADING = Heading("Spring dance", "2027-04-17", "The Example Hall")


@dataclass
class Seen:
    """What became of the cases so far."""

    counts: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)
    hardest: tuple[int, int] = (0, -1)

    def __str__(self) -> str:
        names = ("gigs", "plans", "no_plan", "unproven", "limit_reached", "hard", "kept", "crashes")
        told = " ".join(f"{name}={self.counts[name]}" for name in names)
        return f"{told} faults={len(self.faults)} most_solves={self.hardest[0]} (hostile({self.hardest[1]}))"


@dataclass
class Effort:
    """What the solver did since it was last set to nothing."""

    solves: int = 0
    nodes: int = 0


@contextmanager
def counted() -> Iterator[Effort]:
    """Counts every solve of the engine, and the relaxations and nodes that each takes."""
    effort = Effort()
    minimise = loaded_program.LoadedProgram.minimise

    class Counted(loaded_program.QuietHighs):
        def run(self) -> object:
            status = super().run()
            relaxed = self.getOptionValue("solve_relaxation")[1]
            effort.nodes += 1 if relaxed else max(0, self.getInfo().mip_node_count)
            return status

    def solves(*what: Any) -> object:
        effort.solves += 1
        return minimise(*what)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(loaded_program, "QuietHighs", Counted)
        patch.setattr(loaded_program.LoadedProgram, "minimise", solves)
        yield effort


def prices_it(case: Hostile) -> bool:
    """True where somebody else mixes from single lines and nothing is kept: what ``price`` speaks of."""
    facts = Facts(case.rig, case.answers)
    elsewhere = (
        facts.value("who-mixes") in {"band-from-stage", "bands-engineer-our-mixer"} or facts.value("pa") == "none"
    )
    return not (case.locks or elsewhere or facts.value("what-they-want") in {"left-right-mix", "mix-on-your-mixer"})


def faults_of(case: Hostile, outcome: Plan | NoPlan, *, keep: bool) -> Iterable[str]:
    """What is wrong with an outcome, in words."""
    if isinstance(outcome, NoPlan) and prices_it(case) and price(case.rig, case.answers) is not None:
        yield f"no plan (limit reached: {outcome.limit_reached}) where a second solve finds one"
    if not keep:
        return
    document = canonical(to_json(outcome))
    if from_json(json.loads(document)) != outcome or canonical(json.loads(document)) != document:
        yield "the outcome reads back differently"
    if isinstance(outcome, Plan) and len(content_hash(outcome, HEADING)) != 64:
        yield "the plan cannot be signed"


def try_all(seeds: Iterable[int]) -> Seen:
    """Every case planned, its work counted, and looked at."""
    with counted() as effort:
        return _try_all(seeds, effort)


def _try_all(seeds: Iterable[int], effort: Effort) -> Seen:
    seen = Seen()
    for number, seed in enumerate(seeds, 1):
        case = hostile(seed)
        effort.solves = effort.nodes = 0
        seen.counts["gigs"] += 1
        try:
            outcome = reconcile(case.rig, case.answers, case.locks)
            solves, nodes = effort.solves, effort.nodes
            faults = list(faults_of(case, outcome, keep=not seed % KEPT_EVERY))
        except Exception:  # noqa: BLE001 - every crash is counted and told, whatever it is
            seen.counts["crashes"] += 1
            contradictory = "contradictory" if contradictions(case.rig) else "sound"
            seen.faults.append(
                f"hostile({seed}), a {contradictory} rig, {case.odd}:"
                f" {''.join(traceback.format_exc().splitlines(keepends=True)[-7:])}"
            )
            continue
        is_plan = isinstance(outcome, Plan)
        seen.counts.update(
            plans=is_plan,
            no_plan=not is_plan,
            unproven=is_plan and not outcome.proven,
            limit_reached=not is_plan and outcome.limit_reached,
            hard=solves > HARD,
            kept=not seed % KEPT_EVERY,
        )
        seen.hardest = max(seen.hardest, (solves, seed))
        if solves > MOST_SOLVES or nodes > MOST_NODES:
            faults.append(f"took {solves} solves and {nodes} nodes")
        seen.faults += [f"hostile({seed}) {case.odd}: {fault}" for fault in faults]
        if not number % 1000:
            print(f"{number}: {seen}", flush=True)  # noqa: T201 - progress of a long run, shown with -s
    print(seen)  # noqa: T201 - shown with -s
    return seen


@pytest.mark.slow
def test_nothing_that_can_be_written_makes_the_engine_stumble() -> None:
    """Odd rigs, answers and locks get a plan or the reason why there is none, and it can be written down and read
    again.
    """
    seen = try_all(range(QUICK, QUICK + 150))
    assert not seen.faults, "\n".join(seen.faults[:10])
    assert seen.counts["no_plan"] > 5


def test_every_oddity_turns_up() -> None:
    """Each kind of oddity is done to some case, and changes its rig."""
    done = Counter(name for seed in range(QUICK, QUICK + 150) for name in hostile(seed).odd)
    assert set(done) == set(MUTATIONS)


@pytest.mark.soak
def test_twenty_thousand_oddities() -> None:
    """The same for 20,000 cases."""
    seen = try_all(range(QUICK))
    assert not seen.faults, "\n".join(seen.faults[:40])


def test_a_crash_would_be_told(monkeypatch) -> None:
    """An engine that stumbles on one kind of rig does not pass."""

    def stumble(*_: object) -> Plan:
        raise KeyError("nobody")

    monkeypatch.setattr("tests.plan.test_soak_fuzz.reconcile", stumble)
    assert try_all(range(3)).counts["crashes"] == 3
