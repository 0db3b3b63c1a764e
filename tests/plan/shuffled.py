"""The same gigs with their rows in another order, planned and printed: what another process says is compared with what
this one says.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable
from dataclasses import replace
from random import Random
from typing import TypeVar

from portal.plan import NoPlan, Plan, reconcile
from portal.plan.input.facts import Answers
from portal.plan.input.rig import Rig
from portal.plan.signed.serialization import to_json
from tests.plan.gigs import gig, medium

Item = TypeVar("Item")

GIGS = [(gig, seed) for seed in range(0, 400, 5)] + [(medium, seed) for seed in range(12)]
"""Every gig that both processes plan."""

FOLLOW_THE_ROWS = ("not_sent", "ear_inputs", "ears", "bring", "leave")
"""Lists of a plan that stand in the rig's own order."""


def shuffle(random: Random, items: Iterable[Item]) -> list[Item]:
    """The items in a random order."""
    found = list(items)
    random.shuffle(found)
    return found


def shuffled(rig: Rig, answers: Answers, seed: int, *, sources: bool = False) -> tuple[Rig, Answers]:
    """Splitters, looms, bits and answers in another order; with ``sources`` those too. The order of sources is the
    band's own: numbers follow it.
    """
    random = Random(seed)  # noqa: S311 - another order, not a secret
    other = replace(
        rig,
        splitter=tuple(shuffle(random, rig.splitter)),
        loom=tuple(shuffle(random, rig.loom)),
        bits=dict(shuffle(random, rig.bits.items())),
        source=tuple(shuffle(random, rig.source)) if sources else rig.source,
    )
    return other, dict(shuffle(random, answers.items()))


def said_of(outcome: Plan | NoPlan) -> dict[str, object]:
    """The whole outcome, with the lists that stand in the rig's order sorted."""
    said = dict(to_json(outcome))
    for key in FOLLOW_THE_ROWS:
        if key in said:
            said[key] = sorted(said[key], key=str)
    return said


def print_all(seed: int) -> None:
    """One line of JSON for each gig, in an order of rows that ``seed`` decides."""
    for make, number in GIGS:
        print(json.dumps(said_of(reconcile(*shuffled(*make(number), seed + number)))))  # noqa: T201 - another process reads it


if __name__ == "__main__":
    print_all(int(sys.argv[1]))
