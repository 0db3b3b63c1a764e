"""Where the limits of what can reach the house lie: on the limit itself, and one beyond."""

from __future__ import annotations

from dataclasses import replace

import pytest

from portal.plan import Plan, reconcile
from portal.plan.input.facts import Facts
from portal.plan.input.rig import Loom, Rig, Source
from portal.plan.options.boxes import FIRST, looms_reaching
from portal.plan.options.gig_program import write_program
from portal.plan.options.routing_policy import STEP_ORDER, Room, room_of
from portal.plan.options.units import units_of
from portal.plan.solving.solve import feasible
from tests.plan.hand_cases import (
    FLOOR_TOM,
    FREE_OUTS,
    GUITAR_1,
    GUITAR_2,
    HAT,
    KEYS,
    KICK,
    KICK_OUT,
    LEAD,
    MAINS,
    RACK_TOM,
    SNARE,
    TRACKS,
    band,
    one,
    pair,
    said,
)

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


# --- what picks demand of each other


KIT = (*KICK, *SNARE, *RACK_TOM, *FLOOR_TOM)
CROWDED = band(KIT, GUITAR_1, GUITAR_2, KEYS, TRACKS, LEAD, outs=FREE_OUTS, mono=4, stereo=2)


def may_be(rig: Rig, *chosen: str, never: tuple[str, ...] = ()) -> bool:
    """Whether some routing takes all of some picks and none of others, named as the programme names them."""
    program = write_program(Facts(rig, said(inputs_free=12))).program
    index = {pick.name: number for number, pick in enumerate(program.picks)}
    for name in chosen:
        program.at_least({index[name]: 1}, 1)
    for name in never:
        program.at_most({index[name]: 1}, 0)
    found = feasible(replace(program, bettered=frozenset()))
    assert found is not None
    return found


def test_a_kick_joins_the_kits_pair_only_with_the_snare() -> None:
    """The kick is in the pair where the snare is in it too, and nowhere where the snare keeps a line of its own."""
    kick, snare = "kick|in|kit-pair", "snare|in|kit-pair"
    own = band(
        (*KICK, *(replace(one, priority="high") for one in SNARE), *RACK_TOM, *FLOOR_TOM), outs=FREE_OUTS, stereo=1
    )

    assert may_be(CROWDED, kick, snare)
    assert not may_be(CROWDED, kick, never=(snare,))
    assert may_be(own, "rack tom|in|kit-pair")
    assert not may_be(own, kick)


@pytest.mark.parametrize(
    ("group", "members"),
    [
        ("group:guitars", ("guitar 1|in|guitars", "guitar 2|in|guitars")),
        ("group:keyboards-with-playback", ("keys L|in|keyboards-with-playback", "tracks L|in|keyboards-with-playback")),
    ],
)
def test_a_group_has_two_members(group: str, members: tuple[str, str]) -> None:
    """What goes on one line with others is not alone on it, and a member needs its group."""
    first, second = members

    assert may_be(CROWDED, group, first, second)
    assert not may_be(CROWDED, group, never=(second,))
    assert not may_be(CROWDED, first, never=(group,))


def test_keyboards_share_a_line_only_with_playback() -> None:
    """Two keyboards without playback take no line of keyboards with playback."""
    rig = replace(CROWDED, source=(*CROWDED.source, *pair("pad", "synth.generic")))
    group, of = "group:keyboards-with-playback", "|in|keyboards-with-playback"

    assert may_be(rig, group, f"keys L{of}", f"pad L{of}", f"tracks L{of}")
    assert not may_be(rig, group, never=(f"tracks L{of}",))


def test_the_kits_pair_has_two_members() -> None:
    """A pair of the kit with one drum on it is none."""
    joined = [f"{one.key}|in|kit-pair" for one in KIT]

    assert may_be(CROWDED, "group:kit-pair", *joined)
    assert not may_be(CROWDED, "group:kit-pair", never=tuple(joined[:-1]))


def test_a_player_has_one_guitar_on_the_line_of_the_guitars() -> None:
    """Two guitars of one player share no line: they would be one guitar at a time, and the other is not missed."""
    other = replace(GUITAR_2[0], key="guitar 3", player=GUITAR_1[0].player)
    rig = replace(CROWDED, source=(*CROWDED.source, other))

    assert may_be(rig, "guitar 1|in|guitars", "guitar 2|in|guitars")
    assert not may_be(rig, "guitar 1|in|guitars", "guitar 3|in|guitars")


def test_nothing_is_in_a_mix_that_is_not_there() -> None:
    """Who goes into the band's mix needs the mix, on a pair or on one line, and it is on one of the two."""
    assert may_be(CROWDED, "lead|in|mix", "mix")
    assert may_be(CROWDED, "lead|in|mix", "mix:mono")
    assert not may_be(CROWDED, "lead|in|mix", never=("mix", "mix:mono"))
    assert not may_be(CROWDED, "mix", "mix:mono")


@pytest.mark.parametrize("change", [{"priority": "high"}, {"fail_over": True}])
def test_what_keeps_its_lines_is_not_made_mono(change: dict[str, object]) -> None:
    """A pair that the band marked, and a spare machine, are offered no line for both legs; another pair is."""

    def in_mono(legs: tuple[Source, ...]) -> bool:
        rig = band(legs, LEAD, outs=FREE_OUTS, mono=4)
        return any("|mono|" in pick.name for pick in write_program(Facts(rig, {})).program.picks)

    assert in_mono(KEYS)
    assert not in_mono(tuple(replace(leg, **change) for leg in KEYS))
    assert not in_mono(KICK)


def test_what_stays_in_the_ears_is_named_by_its_step() -> None:
    """The name of a pick says at which step its source stays out, so that it is the same in every rig."""
    program = write_program(Facts(band(HAT, KICK, KICK_OUT), {})).program
    out = {pick.name for pick in program.picks if "|out|" in pick.name}

    assert {"hat|out|hat-and-ride", "kick out|out|second-microphone"} <= out
    assert all(name.rpartition("|")[2] in STEP_ORDER for name in out)


def test_what_the_house_alone_hears_may_stay_out_beside_the_bands_mix() -> None:
    """Where one input is left, the mix takes it and the microphone for the house stays at home: that is a plan, not a
    clash.
    """
    ambience = one("ambience", "x-audience", goes="house-only")
    rig = band(KICK, ambience, LEAD, outs=MAINS, stereo=1)
    plan = reconcile(rig, said(what_they_want="left-right-mix", inputs_free=1))
    assert isinstance(plan, Plan)
    assert [line.label for line in plan.lines] == ["Mix (mono)"]
    assert [(left.source, left.step) for left in plan.not_sent] == [("ambience", "left-out")]
