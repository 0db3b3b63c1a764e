"""The house's stage boxes: how many inputs of each are ours, which sockets they are, and which looms reach them.

A second box is called B, the first one then A; where there is only one it has no name. While nobody knows how many
inputs the first box has, a second one decides nothing.
"""

from __future__ import annotations

from collections.abc import Sequence

from portal.plan.input.answer_kinds import read_numbers
from portal.plan.input.facts import Facts
from portal.plan.input.rig import Loom

HIGHEST_SOCKET = 128
FIRST, SECOND = "A", "B"

DISTANCE = {FIRST: "box-distance", SECOND: "second-box-distance"}
"""The question that tells how far each box is."""


def first_box_inputs(facts: Facts) -> int | None:
    """Working inputs at the first box: the smaller of the number given and the sockets named; ``None`` while neither is
    known.
    """
    given = facts.value("inputs-free")
    sockets = facts.value("sockets-free")
    known = [given] if isinstance(given, int) else []
    if isinstance(sockets, str):
        known.append(len(read_numbers(sockets)))
    return min(known, default=None)


def second_box_inputs(facts: Facts) -> int:
    """Working inputs at the second box; none where there is no second box."""
    given = facts.value("second-box-inputs")
    return given if isinstance(given, int) and first_box_inputs(facts) is not None else 0


def working_inputs(facts: Facts) -> int | None:
    """Working inputs that are free for this band at all boxes; ``None`` while they are not known."""
    first = first_box_inputs(facts)
    return None if first is None else first + second_box_inputs(facts)


def free_sockets(facts: Facts) -> Sequence[int]:
    """The sockets of the first box that are ours, in order: those named, else 1, 2, 3 ... as many as there are."""
    named = facts.value("sockets-free")
    sockets = read_numbers(named) if isinstance(named, str) else range(1, HIGHEST_SOCKET + 1)
    return sockets[: first_box_inputs(facts)]


def channels_before_second(facts: Facts) -> int:
    """Desk channels before the one of the second box's socket 1: an even number, so that a pair starts odd on both."""
    return pair_places(max(free_sockets(facts), default=0))[1]


def pair_places(number: int) -> tuple[int, int]:
    """The two neighbours among which a socket or channel is one, as a stereo pair takes them: an odd number and the
    next one. (-1, 0) for 0.
    """
    first = number - 1 + number % 2
    return first, first + 1


def looms_reaching(facts: Facts, box: str) -> tuple[Loom, ...]:
    """The looms that reach a box, as far as is known."""
    distance = facts.value(DISTANCE[box])
    return tuple(
        loom
        for loom in facts.rig.loom
        if loom.length_m is None or not isinstance(distance, int) or round(loom.length_m * 100) >= distance
    )


def usable_looms(facts: Facts) -> tuple[Loom, ...]:
    """The looms that reach a box at which inputs are ours."""
    second = looms_reaching(facts, SECOND) if second_box_inputs(facts) else ()
    reaching = {loom.key for loom in (*looms_reaching(facts, FIRST), *second)}
    return tuple(loom for loom in facts.rig.loom if loom.key in reaching)


def cables_reaching(facts: Facts, box: str) -> int:
    """Loose cables long enough for a box; none while its distance is not known."""
    distance = facts.value(DISTANCE[box])
    if not isinstance(distance, int):
        return 0
    return sum(count for metres, count in facts.rig.loose_cables.items() if metres * 100 >= distance)
