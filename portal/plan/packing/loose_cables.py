"""The loose cables between rack and stage box, where no loom carries a line."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from portal.plan.input.facts import Facts
from portal.plan.model import BESIDE_THE_LOOM, Line
from portal.plan.options.boxes import DISTANCE

LOOSE_M = 20
"""A loose cable to a box whose distance nobody stated (assumption)."""


def is_loose(line: Line) -> bool:
    """Whether a line has a loose cable to the box, and no other."""
    return not (line.loom is not None or line.run or line.path.kind in BESIDE_THE_LOOM)


def lengths_to(boxes: Iterable[str], facts: Facts) -> Iterator[int]:
    """The length in metres of each cable, in the order of the boxes they run to: the shortest that the band owns and
    that reaches, else the distance.
    """
    left = facts.rig.loose_cables
    for box in boxes:
        distance = facts.value(DISTANCE[box])
        far = -(-distance // 100) if isinstance(distance, int) else None
        owned = next((one for one in sorted(left) if left[one] and far is not None and one >= far), None)
        if owned is not None:
            left[owned] -= 1
        yield int(owned) if owned is not None else far if far is not None else LOOSE_M
