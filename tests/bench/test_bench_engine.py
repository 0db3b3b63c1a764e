"""The engine against the bare solver in the same run. Figures, never gates."""

import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from random import Random

import pytest

from portal.plan.input.facts import Answer, Answers, Facts
from portal.plan.input.rig import Ears, Loom, Mixer, Out, Rig, Source, Splitter, SplitterOutput
from portal.plan.options.gig_program import write_program
from portal.plan.reconcile import outline, reconcile
from portal.plan.solving.open_questions import open_questions
from portal.plan.solving.solve import solve
from tests.plan.gigs import gig, medium

pytestmark = pytest.mark.bench

SIZES = ((32, 16), (64, 32), (128, 64))
PARTS = (
    ("drum.kick-drum", {}),
    ("drum.snare-drum", {}),
    ("metal.hi-hat", {}),
    ("drum.tom-tom", {"position": "rack"}),
    ("drum.tom-tom", {"position": "floor"}),
    ("pluck.bass.electric", {}),
    ("pluck.guitar.electric", {}),
    ("brass.trumpet", {}),
    ("drum.conga", {}),
    ("voice.vocals", {}),
)
PAIRS = ("drum.group.set", "synth.generic", "x-playback", "x-guitar-modelled")


def big(sources: int, inputs: int) -> tuple[Rig, Answers]:
    """A gig of a given size with half as many inputs as sources, from a fixed seed."""
    random = Random(sources)  # noqa: S311 - a gig by number
    rows: list[Source] = [Source(key="s-lead", label="Lead", what="voice.vocals", player="P0", lead=True)]
    while len(rows) < sources:
        number = len(rows)
        if random.random() < 0.35 and len(rows) + 1 < sources:
            what = random.choice(PAIRS)
            left, right = f"s-{number}l", f"s-{number}r"
            player = f"P{number % 9}"
            rows.append(
                Source(key=left, label=f"{what} {number} L", what=what, player=player, position="left", pair_with=right)
            )
            rows.append(
                Source(
                    key=right, label=f"{what} {number} R", what=what, player=player, position="right", pair_with=left
                )
            )
        else:
            what, extra = random.choice(PARTS)
            rows.append(
                Source(key=f"s-{number}", label=f"{what} {number}", what=what, player=f"P{number % 9}", **extra)
            )
    wired = tuple(
        Source(
            **{
                **{name: getattr(row, name) for name in Source.__dataclass_fields__},
                "splitter": "box",
                "way": way,
                "mixer_input": way,
            }
        )
        for way, row in enumerate(rows, start=1)
    )
    outs = (*(Out(key=f"e{n}", use=f"ears:P{n // 2}") for n in range(8)), *(Out(key=f"o{n}") for n in range(8)))
    rig = Rig(
        name="Bench",
        mixer=Mixer(inputs=sources, mono_busses=6, stereo_busses=4, outs=outs),
        source=wired,
        splitter=(
            Splitter(key="box", ways=sources, built_in=True, outputs=(SplitterOutput(key="H", kind="isolated"),)),
        ),
        loom=(Loom(key="a", ways=sources, length_m=15), Loom(key="b", ways=sources // 2, length_m=15)),
        ears=tuple(Ears(player=f"P{n}", outs=(f"e{2 * n}", f"e{2 * n + 1}")) for n in range(4)),
    )
    answers = {"inputs-free": Answer("answered", inputs, "house"), "room-capacity": Answer("answered", 500, "house")}
    return rig, {
        **answers,
        "who-mixes": Answer("answered", "house-engineer", "house"),
        "pa": Answer("answered", "stereo", "house"),
    }


def times_ms(deed: Callable[[], object], turns: int) -> list[float]:
    deed()
    taken = []
    for _ in range(turns):
        begun = time.perf_counter()
        deed()
        taken.append((time.perf_counter() - begun) * 1000)
    return sorted(taken)


def say(text: str) -> None:
    print(text)  # noqa: T201 - a benchmark prints its figures


@pytest.mark.parametrize(("sources", "inputs"), SIZES)
def test_reconcile_against_the_bare_first_solve(sources: int, inputs: int) -> None:
    """Everything that reconcile does, with checks, reasons and cut list, against the first solve alone of the same
    programme.
    """
    rig, answers = big(sources, inputs)
    program = write_program(Facts(rig, answers)).program
    turns = 7 if sources < 100 else 5
    bare = statistics.median(times_ms(lambda: solve(program, canonical=False), turns))
    whole = statistics.median(times_ms(lambda: reconcile(rig, answers), turns))
    once = statistics.median(times_ms(lambda: outline(rig, answers), turns))
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    say(
        f"size={sources}/{inputs} bare_ms={bare:.1f} plan_once_ms={once:.1f} ratio={once / bare:.2f} "
        f"with_limits_and_cut_list_ms={whole:.1f} ratio={whole / bare:.2f} peak_mb={peak}"
    )


def test_two_hundred_gigs() -> None:
    """The spread over 200 random gigs: median, 99th percentile and slowest."""
    gigs = [gig(seed) for seed in range(150)] + [medium(seed) for seed in range(50)]
    taken = sorted(times_ms(lambda rig=rig, answers=answers: reconcile(rig, answers), 1)[0] for rig, answers in gigs)
    say(
        f"gigs={len(taken)} p50_ms={taken[len(taken) // 2]:.1f} p99_ms={taken[int(len(taken) * 0.99)]:.1f}"
        f" max_ms={taken[-1]:.1f}"
    )


def test_unknowns_first_look() -> None:
    """What the first look at the open questions costs at 32 sources with nothing known."""
    rig, _answers = big(32, 16)
    found = open_questions(rig, {})
    taken = statistics.median(times_ms(lambda: open_questions(rig, {}), 3))
    say(f"unknowns solves={found.solves} ms={taken:.0f} each_ms={taken / found.solves:.1f}")


def test_cold_plan_against_a_bare_interpreter() -> None:
    """``portal plan`` as a whole process against ``python -c pass``."""
    rig = Path(__file__).parents[2] / "portal" / "exchange" / "example_rig.toml"

    def run(*arguments: str) -> None:
        subprocess.run([sys.executable, *arguments], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)

    bare = statistics.median(times_ms(lambda: run("-c", "pass"), 5))
    cold = statistics.median(times_ms(lambda: run("-m", "portal", "plan", str(rig), "-"), 5))
    say(f"cold_plan_ms={cold:.0f} bare_python_ms={bare:.0f} ratio={cold / bare:.1f}")
