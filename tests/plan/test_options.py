"""Where the limits of what can reach the house lie: on the limit itself, and one beyond."""

from __future__ import annotations

from dataclasses import replace

import pytest

from portal.plan.input.facts import Facts
from portal.plan.input.rig import Loom, Rig
from portal.plan.options.boxes import FIRST, looms_reaching
from portal.plan.options.routing_policy import Room, room_of
from portal.plan.options.units import units_of
from tests.plan.hand_cases import band, one, pair, said

LOUD = band(one("snare", "drum.snare-drum"))


@pytest.mark.parametrize(("distance", "reaches"), [(1500, True), (1501, False)])
def test_a_loom_reaches_as_far_as_it_is_long(distance: int, *, reaches: bool) -> None:
    """A loom of 15 m reaches a box at 15 m, and none that is a centimetre farther."""
    rig = Rig(loom=(Loom(key="loom", ways=8, length_m=15),))

    assert bool(looms_reaching(Facts(rig, said(box_distance=distance)), FIRST)) is reaches


@pytest.mark.parametrize(("people", "room"), [(200, Room.SMALL_AND_LOUD), (201, Room.NORMAL)])
def test_a_room_is_small_up_to_two_hundred_people(people: int, room: Room) -> None:
    """The room of two hundred is a small one, the next is not."""
    assert room_of(Facts(LOUD, said(room_capacity=people))) is room


@pytest.mark.parametrize("leg", ["keys L", "keys R"])
def test_a_second_microphone_belongs_to_the_unit_of_either_leg(leg: str) -> None:
    """A second sound of one leg of a pair is a second of the pair, which bears the key of its left leg."""
    rig = band(pair("keys", "synth.generic"), one("amp", "synth.generic", second_of=leg))
    keys, amp = units_of(Facts(rig, {}))

    assert amp.first == keys.key == "keys L"


def test_no_unit_is_the_second_of_itself() -> None:
    """A leg that names the other leg of its own pair is no second."""
    left, right = pair("keys", "synth.generic")

    assert [unit.first for unit in units_of(Facts(band((left, replace(right, second_of="keys L"))), {}))] == [""]
