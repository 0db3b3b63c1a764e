"""Where each line is plugged: channels, sockets, ways; what stays on its number, and what is left over."""

from __future__ import annotations

from dataclasses import replace

import pytest

from portal.plan import Plan, reconcile
from portal.plan.input.facts import Lock
from portal.plan.input.rig import Loom, Rig, Splitter, SplitterOutput
from portal.plan.model import Line
from portal.plan.result.lines import strip_name
from tests.plan.hand_cases import band, one, pair, said

ISOLATED = SplitterOutput(key="b", kind="isolated")
KICK, SNARE, HAT = one("kick", "drum.kick-drum"), one("snare", "drum.snare-drum"), one("hat", "metal.hi-hat")
OVERHEADS = pair("overhead", "drum.group.set")
BASS, GUITAR = one("bass", "pluck.bass.electric"), one("guitar", "pluck.guitar.electric")
KEYS, TRACKS = pair("keys", "synth.generic"), pair("tracks", "x-playback")
BACKING, LEAD = one("backing", "voice.vocals"), one("lead", "voice.vocals", lead=True)


def planned(rig: Rig, *locks: Lock, **answers: str | int) -> Plan:
    outcome = reconcile(rig, said(**answers), locks)
    assert isinstance(outcome, Plan), outcome.sentence
    return outcome


def channels(plan: Plan) -> dict[str, int]:
    return {line.label: line.desk_channel for line in plan.lines}


def box(plan: Plan) -> dict[str, int | None]:
    return {line.label: line.box_socket for line in plan.lines}


def way_of(line: Line) -> tuple[str, int] | None:
    return (line.loom.key, line.loom.way) if line.loom else None


def wired(*sources: tuple[object, ...], ways: int = 16) -> Rig:
    """The sources on the ways of one splitter, in the order given."""
    numbered = [replace(source, splitter="rack", way=way) for way, source in enumerate(sum(sources, ()), 1)]
    rack = Splitter(key="rack", ways=ways, built_in=True, outputs=(ISOLATED,))
    return replace(band(), source=tuple(numbered), splitter=(rack,))


# --- the conventional order


def test_the_list_is_in_the_conventional_order_whatever_the_rows() -> None:
    """Kit from the kick upward, bass, guitars, keyboards, playback, backing vocals, leads; among equals the band's own
    order.
    """
    rig = band(
        LEAD, TRACKS, BACKING, KEYS, GUITAR, one("guitar 2", "pluck.guitar.electric"), BASS, OVERHEADS, HAT, SNARE, KICK
    )
    assert list(channels(planned(rig))) == [
        *("kick", "snare", "hat", "bass", "overhead L", "overhead R"),
        *("guitar", "guitar 2", "keys L", "keys R", "tracks L", "tracks R", "backing", "lead"),
    ]


def test_a_pair_that_starts_odd_stays_where_it_is() -> None:
    """With two singles in front the pair takes 3 and 4."""
    assert channels(planned(band(KICK, SNARE, OVERHEADS, LEAD))) == {
        "kick": 1,
        "snare": 2,
        "overhead L": 3,
        "overhead R": 4,
        "lead": 5,
    }


def test_the_next_single_line_steps_in_front_of_a_pair_that_would_start_even() -> None:
    """Three singles before the overheads: the bass takes channel 4, and the pair starts on 5."""
    numbers = channels(planned(band(KICK, SNARE, HAT, OVERHEADS, BASS, LEAD)))
    assert list(numbers.items())[3:] == [("bass", 4), ("overhead L", 5), ("overhead R", 6), ("lead", 7)]


def test_a_vocal_stays_with_the_vocals_and_the_single_line_before_the_pairs_steps_behind_them() -> None:
    """With nothing but vocals behind the pairs, no vocal is pulled in front; the bass goes behind the pairs instead."""
    assert channels(planned(band(BASS, KEYS, BACKING, LEAD))) == {
        "keys L": 1,
        "keys R": 2,
        "bass": 3,
        "backing": 4,
        "lead": 5,
    }


def test_with_nothing_but_a_vocal_to_move_the_vocal_moves() -> None:
    """A single vocal before a pair, nothing else in front: the pair would start even, and the vocal behind fills the
    gap.
    """
    rig = band(BACKING, pair("stereo lead", "voice.vocals", lead=True), LEAD)
    assert channels(planned(rig)) == {"backing": 1, "lead": 2, "stereo lead L": 3, "stereo lead R": 4}


def test_left_is_odd_whichever_half_has_the_first_row() -> None:
    """The left half of a pair has the lower number, and partners name each other."""
    rig = band(tuple(reversed(KEYS)), LEAD)
    left, right, _ = planned(rig).lines
    assert (left.label, left.desk_channel, left.stereo_partner) == ("keys L", 1, 2)
    assert (right.label, right.desk_channel, right.stereo_partner) == ("keys R", 2, 1)


# --- which sockets


def test_named_sockets_are_taken_in_order() -> None:
    """Where the house names its free sockets, channels follow them, gaps and all."""
    assert box(planned(band(KICK, BASS, LEAD), sockets_free="5, 9-10")) == {"kick": 5, "bass": 9, "lead": 10}


def test_a_pair_finds_neighbours_that_start_odd_among_named_sockets() -> None:
    """With 2, 3 and 4 free, the single line takes 2, so that the pair has 3 and 4."""
    assert box(planned(band(KEYS, BASS), sockets_free="2-4")) == {"bass": 2, "keys L": 3, "keys R": 4}


def test_more_named_sockets_than_inputs_leave_the_last_ones_alone() -> None:
    """Of ten named sockets, the first four are used where only four inputs are ours."""
    assert box(planned(band(KICK, BASS, LEAD), sockets_free="11-20", inputs_free=4)) == {
        "kick": 11,
        "bass": 12,
        "lead": 13,
    }


def test_one_to_one_the_socket_is_the_channel() -> None:
    """Without a soft patch the desk channel is the number of the socket."""
    plan = planned(band(KICK, BASS, LEAD), sockets_free="5, 9-10")
    assert channels(plan) == box(plan)


def test_a_soft_patch_is_plugged_in_desk_order() -> None:
    """Box input, loom way and desk channel are one number; the splitter's outputs are picked at the loom's band end."""
    plan = planned(wired(LEAD, KEYS, KICK), patching="soft")
    assert box(plan) == channels(plan) == {"keys L": 1, "keys R": 2, "kick": 3, "lead": 4}


def test_voices_of_one_place_in_the_list_follow_their_players() -> None:
    """Numbers follow the players in the order in which the rows name them, then the rows themselves."""
    bass = one("bass", "pluck.bass.electric", player="Bea")
    voices = [one(f"BV {name}", "voice.vocals", player=name) for name in ("Cem", "Bea")]
    order = [label for label in channels(planned(band(bass, *voices, LEAD))) if label.startswith("BV")]
    assert order == ["BV Bea", "BV Cem"]


def test_a_standing_patch_keeps_its_numbers_when_something_stays_out() -> None:
    """At a festival nobody closes up: with one input too few the hat's channel stays empty."""
    rig = band(KICK, SNARE, HAT, BASS, LEAD)
    whole = channels(planned(rig, patching="standing"))
    fewer = channels(planned(rig, patching="standing", sockets_free="1-2, 4-5"))
    assert whole == {"kick": 1, "snare": 2, "hat": 3, "bass": 4, "lead": 5}
    assert fewer == {"kick": 1, "snare": 2, "bass": 4, "lead": 5}


# --- what both sides agreed on


def test_an_agreed_channel_is_kept_and_the_line_that_stood_there_changes_places() -> None:
    """The lead on channel 1: the kick takes the lead's place, and nothing else moves."""
    lock = Lock("lead", "desk-channel", "1", "house", "band")
    assert channels(planned(band(KICK, BASS, LEAD), lock)) == {"lead": 1, "bass": 2, "kick": 3}


def test_an_agreed_channel_may_lie_behind_the_others() -> None:
    """A channel that no line has leaves a gap and moves nothing."""
    lock = Lock("lead", "desk-channel", "12", "house", "band")
    assert channels(planned(band(KICK, BASS, LEAD), lock)) == {"kick": 1, "bass": 2, "lead": 12}


def test_an_agreed_channel_that_is_not_ours_is_not_taken() -> None:
    """With three sockets free, channel 12 does not exist for the band: the line stays, and the plan says so."""
    plan = planned(band(KICK, BASS, LEAD), Lock("lead", "desk-channel", "12", "house", "band"), inputs_free=3)
    assert channels(plan) == {"kick": 1, "bass": 2, "lead": 3}
    assert [one.key for one in plan.blocks] == ["lock-not-kept"]


def test_a_pair_moves_as_a_pair() -> None:
    """Whichever of its lines was agreed on, both go, to an odd channel and the next one; two single lines take the two
    channels left.
    """
    rig = band(KICK, SNARE, KEYS, BASS, LEAD)
    for source, channel in (("keys L", "1"), ("keys R", "2")):
        plan = planned(rig, Lock(source, "desk-channel", channel, "house", "band"))
        assert channels(plan) == {"keys L": 1, "keys R": 2, "kick": 3, "snare": 4, "bass": 5, "lead": 6}
        assert not plan.blocks


def test_a_pair_changes_places_with_a_pair() -> None:
    """Where a pair goes to another pair's channels, the other one takes the two that it left."""
    rig = band(KICK, SNARE, KEYS, TRACKS)
    free = channels(planned(rig))
    plan = planned(rig, Lock("keys L", "desk-channel", str(free["tracks L"]), "house", "band"))
    moved = channels(plan)
    assert (moved["keys L"], moved["keys R"], moved["tracks L"], moved["tracks R"]) == tuple(
        free[label] for label in ("tracks L", "tracks R", "keys L", "keys R")
    )


def test_a_single_line_tears_no_pair() -> None:
    """A single line that takes a pair's channel sends the whole pair to the two channels where it stood; its neighbour
    comes along.
    """
    rig = band(KICK, SNARE, KEYS)
    plan = planned(rig, Lock("kick", "desk-channel", "4", "house", "band"))
    assert channels(plan) == {"keys L": 1, "keys R": 2, "snare": 3, "kick": 4}


def test_no_agreed_channel_tears_a_pair() -> None:
    """Whatever line goes to whatever channel: each pair starts odd with its other line beside it, and no channel is
    used twice.
    """
    rig = band(KICK, SNARE, HAT, KEYS, TRACKS, LEAD)
    for source in ("kick", "hat", "tracks R", "lead"):
        for channel in range(1, 10):
            plan = planned(
                rig,
                Lock(source, "desk-channel", str(channel), "house", "band"),
                Lock("keys R", "desk-channel", "8", "house", "band"),
            )
            moved = channels(plan)
            assert len(set(moved.values())) == len(rig.source)
            for name in ("keys", "tracks"):
                assert moved[f"{name} L"] % 2 == 1, (source, channel)
                assert moved[f"{name} R"] == moved[f"{name} L"] + 1, (source, channel)


def test_a_pair_cannot_start_even_or_half_outside() -> None:
    """An even channel for the first line, or a last socket without a next one: nothing moves, and the plan says so."""
    rig = band(KICK, SNARE, KEYS)
    for channel, inputs in (("2", 8), ("5", 5)):
        plan = planned(rig, Lock("keys L", "desk-channel", channel, "house", "band"), inputs_free=inputs)
        assert channels(plan) == {"kick": 1, "snare": 2, "keys L": 3, "keys R": 4}
        assert [one.key for one in plan.blocks] == ["lock-not-kept"]


def test_with_a_soft_patch_an_agreed_channel_moves_no_plug() -> None:
    """The desk sorts; the sockets keep the conventional order."""
    rig = wired(KICK, BASS, LEAD)
    lock = Lock("lead", "desk-channel", "1", "house", "band")
    assert box(planned(rig, lock, patching="soft")) == box(planned(rig, patching="soft"))
    assert channels(planned(rig, lock, patching="soft"))["lead"] == 1


# --- looms


def test_looms_are_filled_from_the_widest_in_the_order_of_the_sockets() -> None:
    """Two looms, the wider one first; within one the way follows the socket."""
    looms = (Loom(key="narrow", ways=2), Loom(key="wide", ways=3))
    lines = planned(band(KICK, SNARE, BASS, GUITAR, LEAD, loom=looms)).lines
    assert [way_of(line) for line in lines] == [("wide", 1), ("wide", 2), ("wide", 3), ("narrow", 1), ("narrow", 2)]


def test_what_a_loom_has_left_is_spare() -> None:
    """The ways behind the last line carry nothing and are listed; a loom that stays at home has none."""
    plan = planned(band(KICK, LEAD, loom=(Loom(key="loom", name="Loom", ways=4), Loom(key="wide", ways=16))))
    assert [(way.loom, way.name, way.way) for way in plan.spare] == [("loom", "Loom", 3), ("loom", "Loom", 4)]


def test_what_goes_straight_to_the_box_takes_no_loom_way() -> None:
    """A microphone outside the split is plugged at the box; the loom's ways go to the others."""
    rig = band(KICK, one("ambience", "x-audience", goes="house-only"), LEAD, loom=(Loom(key="loom", ways=4),))
    assert {line.label: way_of(line) for line in planned(rig).lines} == {
        "kick": ("loom", 1),
        "ambience": None,
        "lead": ("loom", 2),
    }


def test_lines_beyond_the_looms_are_loose() -> None:
    """Where the looms are full the last lines go by loose cable, and the sheet names no way for them."""
    rig = band(KICK, BASS, LEAD, loom=(Loom(key="loom", ways=2, length_m=15),), bits={"xlr_20m": 2})
    assert [way_of(line) for line in planned(rig, box_distance=1200).lines] == [("loom", 1), ("loom", 2), None]


# --- strips


@pytest.mark.parametrize(
    ("label", "strip"),
    [
        ("Kick In", "KICK IN"),
        ("Keys (mono)", "KEYS"),
        ("Acoustic Guitar Left", "ACSTC GTR L"),
        ("Acoustic Guitar Right", "ACSTC GTR R"),
        ("Backing Vocal 12", "BCKNG VCL 12"),
        ("Synthesiser Pad 113 L", "SYNTHS 113 L"),
        ("Lead vox Tess", "LD VOX TESS"),
        ("Lead vox Jonas", "LD VOX JONAS"),
        ("DI upright bass", "DI UPRGH BSS"),
        ("", ""),
    ],
)
def test_a_strip_without_a_name_keeps_what_tells_it_from_the_next(label: str, strip: str) -> None:
    """Too long a label loses vowels and then its middle, never its number or its side; what two labels begin with is
    shortened alike.
    """
    assert strip_name(label) == strip
