"""What comes along and what stays at home, the lines back to the band, and what survives when the rack dies."""

from __future__ import annotations

from dataclasses import replace

import pytest

from portal.plan import Plan, reconcile
from portal.plan.input.rig import (
    UNTOUCHED_TAP,
    Ears,
    Loom,
    Mix,
    Mixer,
    Out,
    Owner,
    Rig,
    Splitter,
    SplitterOutput,
    Standing,
)
from portal.wording.plan.saying import say
from tests.plan.hand_cases import band, one, pair, said

ISOLATED, DIRECT = SplitterOutput(key="b", kind="isolated"), SplitterOutput(key="c", kind="direct")
KICK, CHOIR = one("kick", "drum.kick-drum"), one("choir", "voice.choir")
BASS, LEAD = one("bass", "pluck.bass.electric", capture="di-active"), one("lead", "voice.vocals", lead=True)
LOOM = Loom(key="loom", name="Loom", ways=4, length_m=15)
CARRIED = Splitter(key="box", name="Box", ways=8, outputs=(ISOLATED,))
MAINS = (Out("main-l", use="main"), Out("main-r", use="main"))


def planned(rig: Rig, **answers: str | int) -> Plan:
    outcome = reconcile(rig, said(**answers))
    assert isinstance(outcome, Plan), outcome.sentence
    return outcome


def brought(plan: Plan) -> dict[str, int]:
    return {say(item.what): item.count for item in plan.bring}


def why_brought(plan: Plan) -> dict[str, str]:
    return {say(item.what): say(item.why) for item in plan.bring}


def left(plan: Plan) -> dict[str, str]:
    return {say(item.what): say(item.why) for item in plan.leave}


# --- the talkback's cable


def test_a_talkback_without_a_loom_way_has_a_cable_in_the_van() -> None:
    """Where every way of the loom is taken, a loose cable as long as the way to the box is packed for it."""
    rig = band(KICK, LEAD, loom=(replace(LOOM, ways=2),), bits={"xlr_10m": 2, "xlr_20m": 2})
    rig = replace(rig, mixer=replace(rig.mixer, inputs=8))
    plan = planned(rig, talkback="yes", box_distance=1200)
    assert plan.returns[0].loom is None
    assert brought(plan)["loose cable to the box, 20 m"] == 1
    assert why_brought(plan)["loose cable to the box, 20 m"] == "the talkback comes back from the house on it"
    spare = planned(replace(rig, loom=(LOOM,)), talkback="yes", box_distance=1200)
    assert spare.returns[0].loom
    assert "loose cable to the box, 20 m" not in brought(spare)


# --- who brings what an engineer on the band's mixer works with


def test_the_engineers_tablet_is_packed_where_the_band_owns_one() -> None:
    """With a tablet in the rig the list packs it, and the statement says that the band brings it; without one both
    sides settle who does.
    """
    asked = {"who_mixes": "house-engineer", "what_they_want": "mix-on-your-mixer", "pa": "stereo"}
    for surfaces, packed, told in (
        (2, 1, "The band brings the engineer's tablet, charged, and its own network"),
        (0, None, "Settle who brings a tablet that can control the mixer"),
    ):
        rig = band(KICK, LEAD, outs=MAINS, stereo=1)
        plan = planned(replace(rig, mixer=replace(rig.mixer, inputs=8, remote_surfaces=surfaces)), **asked)
        assert brought(plan).get("tablet for the engineer, charged, with its power lead") == packed
        text = next(say(one.said) for one in plan.asks if one.key == "engineer-on-our-mixer")
        assert told in text
        assert "one-preamp-for-all" not in {one.key for one in plan.notes}


def test_a_tablet_on_the_bands_own_list_is_packed_for_the_engineer() -> None:
    """The band's own tablet is the one that the statement promises, so its row says for whom, charged; at a gig
    without an engineer it only comes along.
    """
    rig = band(KICK, LEAD, outs=MAINS, stereo=1, standing=(Standing("Mixer tablet"),))
    rig = replace(rig, mixer=replace(rig.mixer, inputs=8, remote_surfaces=2))
    plan = planned(rig, who_mixes="house-engineer", what_they_want="mix-on-your-mixer", pa="stereo")
    assert why_brought(plan)["Mixer tablet"].startswith("for the engineer, charged; ")
    assert why_brought(planned(rig))["Mixer tablet"] == "it always comes along"


# --- bring and leave


def test_the_rack_and_what_stands_on_stage_come_along() -> None:
    """The in-ear rack, the band's own microphones and DIs, counted."""
    assert brought(planned(band(KICK, BASS, LEAD))) == {
        "in-ear rack": 1,
        "DI, active": 1,
        "microphone": 2,
        "stand, short": 1,
        "stand, tall": 1,
        "XLR cable, 10 m": 3,
        "loose cable to the box, 20 m": 3,
    }


def test_microphones_for_the_ears_count_and_the_houses_do_not() -> None:
    """A microphone that only the in-ears hear is packed; the house's own is not, nor one for rehearsals."""
    rig = band(
        KICK,
        one("feel", "drum.kick-drum", goes="ears-only"),
        one("speech", "x-speech", owner=Owner(mic="house")),
        one("count-in", "voice.vocals", goes="rehearsal-only"),
    )
    plan = planned(rig)
    assert brought(plan)["microphone"] == 2
    assert left(plan) == {"count-in": "for rehearsals only"}


def test_a_wireless_microphone_is_packed() -> None:
    """Receiver and microphone are a set that the band brings, apart from those on cables."""
    plan = planned(band(KICK, one("singer", "voice.vocals", lead=True, capture="wireless", stand="straight")))
    assert brought(plan) == {
        "in-ear rack": 1,
        "microphone": 1,
        "wireless microphone": 1,
        "stand, short": 1,
        "stand, straight": 1,
        "XLR cable, 10 m": 1,
        "XLR cable, 1 m": 1,
        "loose cable to the box, 20 m": 2,
    }
    assert [(say(line.mic_or_di), line.stand) for line in plan.lines if line.label == "singer"] == [
        ("wireless receiver", "straight")
    ]


def test_a_built_in_splitter_is_not_packed_and_a_carried_one_is_where_lines_run_through_it() -> None:
    """What is bolted into the rack comes with the rack."""
    assert "Box" in brought(planned(band(KICK, LEAD, splitter=(CARRIED,))))
    assert "Box" not in brought(planned(band(KICK, LEAD, splitter=(replace(CARRIED, built_in=True),))))


def test_a_carried_splitter_stays_at_home_where_nothing_runs_through_it() -> None:
    """With a left/right mix wanted no source needs a splitter; its sources plug straight into the mixer."""
    plan = planned(band(KICK, LEAD, splitter=(CARRIED,), outs=MAINS, stereo=1), what_they_want="left-right-mix")
    assert left(plan) == {"Box": "nothing runs through it tonight; its sources plug straight into the mixer"}


def test_the_smallest_loom_that_carries_all_lines_comes_along() -> None:
    """Two lines fit in four ways, so the wide loom stays at home."""
    plan = planned(band(KICK, LEAD, loom=(Loom(key="wide", name="Wide loom", ways=16), LOOM)))
    assert why_brought(plan)["Loom, 15 m"] == "2 lines to the stage box"
    assert left(plan) == {"Wide loom": "the lines fit without it"}


def test_with_no_house_desk_no_loom_is_needed() -> None:
    """On the band's own PA the PA comes along and the loom does not."""
    plan = planned(band(KICK, LEAD, loom=(LOOM,), mix=Mix(own_pa=True)), pa="none")
    assert plan.lines == ()
    assert brought(plan)["the band's PA"] == 1
    assert left(plan) == {"Loom, 15 m": "no line goes to the house"}


def test_the_houses_splitter_leaves_splitter_and_loom_at_home() -> None:
    """Where the house's box takes the microphones the carried splitter and the loom are not needed."""
    plan = planned(band(KICK, LEAD, splitter=(CARRIED,), loom=(LOOM,)), house_split="yes")
    assert left(plan) == {
        "Box": "the house's own splitter takes the microphones",
        "Loom, 15 m": "the microphones go into the house's own splitter",
    }


def test_line_level_into_microphone_inputs_takes_a_pad_each() -> None:
    """A left/right mix brings two pads and the pair's transformers, and says what the band does not own; line inputs
    need no pad.
    """
    rig = band(KICK, LEAD, outs=MAINS, stereo=1, bits={"pad_20_db": 1})
    plan = planned(rig, what_they_want="left-right-mix")
    assert why_brought(plan)["pad, 20 dB"] == (
        "line level into microphone inputs, behind the transformer, last before the input; the band owns 1, get 1"
        " before the gig"
    )
    assert (
        why_brought(plan)["isolating transformer"]
        == "between the band's rack and the house's system; the band owns none, get 2 before the gig"
    )
    assert (brought(plan)["pad, 20 dB"], brought(plan)["isolating transformer"]) == (2, 2)
    assert "pad, 20 dB" not in brought(planned(rig, what_they_want="left-right-mix", line_inputs="yes"))


def test_a_required_transformer_is_brought_for_every_line_without_one() -> None:
    """Isolation required: one transformer for each line on a direct output, none for an isolated one."""
    direct = Splitter(key="rack", ways=8, built_in=True, outputs=(DIRECT,))
    rig = band(KICK, LEAD, splitter=(direct,), bits={"isolating_transformer": 4})
    assert brought(planned(rig, isolation="required"))["isolating transformer"] == 2
    assert "isolating transformer" not in brought(planned(band(KICK, LEAD), isolation="required"))


def test_each_transformer_that_is_packed_lies_in_a_line() -> None:
    """The band's mix beside lines through the split: its two lines, and no others, name one each."""
    keys = pair("keys", "synth.generic", player="kay")
    rig = replace(band(KICK, keys, LEAD, splitter=()), mixer=Mixer(stereo_busses=1, outs=MAINS))
    plan = planned(rig)
    assert [line.transformer for line in plan.lines] == [True, True]
    assert brought(plan)["isolating transformer"] == 2


def test_loose_cables_are_counted() -> None:
    """One line more than the loom has ways: one loose cable."""
    rig = band(KICK, BASS, LEAD, loom=(replace(LOOM, ways=2),), bits={"xlr_20m": 3})
    assert brought(planned(rig, box_distance=1200))["loose cable to the box, 20 m"] == 1


def test_a_transformer_at_the_box_has_its_lead() -> None:
    """A required transformer in a line through the split ends in a plug of its own: a metre more to the box."""
    direct = Splitter(key="rack", ways=8, built_in=True, outputs=(DIRECT,))
    plan = planned(band(KICK, LEAD, splitter=(direct,), bits={"isolating_transformer": 2}), isolation="required")
    assert brought(plan)["XLR cable, 1 m"] == 2
    assert why_brought(plan)["XLR cable, 1 m"] == "from a transformer into the box"


def test_the_racks_row_says_what_is_in_it() -> None:
    """A bolted-in splitter is nowhere else on the list; a carried one is not in the rack."""
    assert why_brought(planned(band(KICK, LEAD)))["in-ear rack"] == "it feeds the in-ears; in it: the mixer and rack"
    carried = planned(band(KICK, LEAD, splitter=(CARRIED,)))
    assert why_brought(carried)["in-ear rack"] == "it feeds the in-ears; in it: the mixer"


def test_a_source_cable_says_where_it_ends() -> None:
    """Into the rack, into the house's splitter, or past both into the box."""
    ambience = one("ambience", "x-audience", goes="house-only")
    assert (
        "source to the house's splitter" in why_brought(planned(band(KICK, LEAD), house_split="yes"))["XLR cable, 10 m"]
    )
    why = why_brought(planned(band(KICK, LEAD, ambience)))["XLR cable, 10 m"]
    assert "source to rack" in why
    assert "source to the stage box" in why


def test_a_distance_is_assumed_for_its_own_box_alone() -> None:
    """Only the cables to the box whose distance nobody stated have an assumed length."""
    rig = band(KICK, BASS, LEAD, splitter=(CARRIED,))
    why = why_brought(planned(rig, inputs_free=2, second_box_inputs=2, second_box_distance=1200))
    assert why["loose cable to the box, 12 m"] == "the band has no loom"
    assert why["loose cable to the box, 20 m"] == "the band has no loom; the distance is not known, 20 m assumed"


def test_the_bands_mix_names_its_loom_once() -> None:
    """The way and what is joined to the loom, in one chain."""
    rig = band(KICK, LEAD, loom=(replace(LOOM, name="Stage loom"),), outs=MAINS, stereo=1)
    plan = planned(rig, who_mixes="band-from-stage", box_distance=1500)
    said = {say(one.cable) for one in plan.outputs if say(one.cable)}
    assert said
    assert all(text.startswith("Stage loom way ") and text.count("Stage loom") == 1 for text in said)


def test_a_line_beside_the_mix_names_what_it_carries_and_its_cable() -> None:
    """A spare that leaves the band's mixer by an output of its own is no side of the mix; its cable is the one that is
    packed.
    """
    untouched = Out("out-4", use="free", tap_before=tuple(UNTOUCHED_TAP))
    spare = one("spare", "voice.vocals", fail_over=True, mixer_input=6)
    rig = band(KICK, LEAD, spare, splitter=(), outs=(*MAINS, untouched), stereo=1)
    plan = planned(rig, what_they_want="left-right-mix", box_distance=2450, inputs_free=6)
    outputs = {out.out: (say(out.feeds), say(out.cable)) for out in plan.outputs}
    assert outputs["out-4"] == ("spare", "XLR 25 m")
    assert brought(plan)["loose cable to the box, 25 m"] == 1
    assumed = planned(rig, what_they_want="left-right-mix", inputs_free=6)
    assert {out.out: say(out.cable) for out in assumed.outputs}["out-4"] == "XLR 20 m (assumed)"
    heard = {row.label: say(row.heard) for row in plan.ear_inputs}
    assert heard == {"kick": "audience, in-ears", "lead": "audience, in-ears", "spare": "audience, as a spare"}


def test_a_mix_by_cable_has_its_pack() -> None:
    """A pack for each wired mix, and the cable to it."""
    wired = planned(band(KICK, LEAD, ears=(Ears(player="Gil", width="mono", outs=("3",), carried_by="cable"),)))
    assert (brought(wired)["wired in-ear pack"], brought(wired)["pack cable, 5 m"]) == (1, 1)


@pytest.mark.parametrize(
    ("carried", "thing", "count"), [("cable", "wired in-ear pack", 3), ("radio", "in-ear pack", 3)]
)
def test_a_mix_that_several_hear_has_a_pack_for_each(carried: str, thing: str, count: int) -> None:
    """Names parted by commas or "and" are so many listeners; before one wedge several may stand."""
    shared = Ears(player="Juno, Esme and Bo", width="mono", outs=("3",), carried_by=carried)
    assert shared.listeners == ("Juno", "Esme", "Bo")
    assert brought(planned(band(KICK, LEAD, ears=(shared,))))[thing] == count
    assert Ears(player="Sandy").listeners == ("Sandy",)
    assert Ears().listeners == ()


# --- lines back to the band


def test_talkback_takes_the_first_spare_way_and_a_turn_round_at_each_end() -> None:
    """Two lines in four ways: talkback comes back on the third, into the first free mixer input, and the fourth stays
    spare.
    """
    numbered = tuple(replace(source, mixer_input=number) for number, source in enumerate(KICK + LEAD, 1))
    rig = replace(band(numbered, loom=(LOOM,)), mixer=Mixer(inputs=4))
    plan = planned(rig, talkback="yes")
    (talkback,) = plan.returns
    assert talkback.loom is not None
    assert (say(talkback.label), talkback.loom.way, talkback.mixer_input, talkback.turn_rounds) == (
        "Talkback from the house",
        3,
        3,
        2,
    )
    assert (
        say(talkback.note) == "48 V off on the input that receives it; muted and limited in the in-ears until checked."
    )
    assert [way.way for way in plan.spare] == [4]
    assert (
        why_brought(plan)["XLR turnaround"]
        == "a return runs against the loom's connectors, at both ends; the band owns none, get 2 before the gig"
    )


def test_a_return_without_a_spare_way_is_a_cable_of_its_own() -> None:
    """With every way taken and no input known to be free, the return says both, and needs no XLR turnaround."""
    (talkback,) = planned(band(KICK, LEAD, loom=(replace(LOOM, ways=2),)), talkback="yes").returns
    assert talkback.loom is None
    assert talkback.turn_rounds == 0
    assert say(talkback.note).startswith(
        "A cable of its own, for no loom way is spare; no mixer input is known to be free; 48 V off "
    )


def test_a_return_says_the_output_of_the_box_once_the_house_has() -> None:
    """The band plugs its end there; until the house names it the plan says that it will."""
    rig = band(KICK, LEAD, loom=(LOOM,))
    assert [one.box_output for one in planned(rig, talkback="yes", talkback_output=7).returns] == [7]
    open_plan = planned(rig, talkback="yes")
    assert [one.box_output for one in open_plan.returns] == [None]
    assert "talkback-output-unknown" in {one.key for one in open_plan.notes}


def test_no_talkback_no_return() -> None:
    """A return is planned where the house sends something."""
    assert planned(band(KICK, LEAD, loom=(LOOM,)), talkback="no").returns == ()


# --- the rack dies


def dead(rig: Rig, **answers: str | int) -> tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]]:
    said_of = planned(rig, **answers).rack_dies
    return said_of.alive, said_of.lose_phantom, said_of.silent


def test_a_passive_split_survives_the_rack_but_for_its_48_v() -> None:
    """Dynamic microphones go on, what the rack fed with 48 V does not."""
    assert dead(band(KICK, CHOIR, LEAD)) == ((1, 3), (2,), ())


def test_an_active_split_dies_with_the_rack() -> None:
    """An active splitter has no power then."""
    active = Splitter(key="rack", ways=8, built_in=True, outputs=(ISOLATED,), kind="active")
    assert dead(band(KICK, LEAD, splitter=(active,))) == ((), (), (1, 2))


def test_a_receiver_in_the_rack_dies_with_it() -> None:
    """The band's wireless receivers are assumed to stand in the rack, on any path; the house's own receiver goes on."""
    wireless = {"what": "voice.vocals", "capture": "wireless"}
    voices = (
        one("lead", lead=True, **wireless)
        + one("guest", owner=Owner(mic="house"), **wireless)
        + one("mc", goes="house-only", **wireless)
    )
    plan = planned(band(KICK, CHOIR, voices))
    assert [line.label for line in plan.lines] == ["kick", "guest", "mc", "choir", "lead"]
    assert (plan.rack_dies.alive, plan.rack_dies.lose_phantom, plan.rack_dies.silent) == ((1, 2), (4,), (3, 5))
    assert (
        say(plan.rack_dies.said)
        == "Alive: desk channels 1-2. Without 48 V, so without sound: desk channel 4. Silent: desk channels 3, 5. "
        "Assumed: the wireless receivers on desk channels 3, 5 stand in the band's rack."
    )


def test_the_mixers_outputs_die_with_it_and_what_goes_straight_to_the_box_does_not() -> None:
    """A left/right mix is silent; a microphone outside the split never needed the rack."""
    rig = band(KICK, LEAD, one("ambience", "x-audience", goes="house-only"), outs=MAINS, stereo=1)
    plan = planned(rig, what_they_want="left-right-mix")
    straight = next(line.line for line in plan.lines if line.path.kind == "straight")
    assert plan.rack_dies.alive == (straight,)
    assert len(plan.rack_dies.silent) == 2


def test_every_line_has_one_fate() -> None:
    """Alive, without 48 V or silent: each line is in one of them, and the words name desk channels."""
    plan = planned(band(KICK, CHOIR, LEAD, pair("keys", "synth.generic")), sockets_free="11-20")
    fates = plan.rack_dies.alive + plan.rack_dies.lose_phantom + plan.rack_dies.silent
    assert sorted(fates) == [line.line for line in plan.lines]
    said = say(plan.rack_dies.said)
    assert said == "Alive: desk channels 11, 13-15. Without 48 V, so without sound: desk channel 12."


def test_on_the_bands_own_pa_everything_falls_silent_with_the_rack() -> None:
    """Audience and in-ears hang on one mixer; the words name a way out."""
    dead = planned(band(KICK, LEAD, mix=Mix(own_pa=True)), pa="none").rack_dies
    said = say(dead.said)
    assert said.startswith("Everything is silent")
    assert said.endswith("Way out: a loudspeaker of the PA that takes a microphone by itself, on another supply.")


def test_no_way_out_is_guessed_from_a_name() -> None:
    """A tablet that steers the mixer is no small mixer, whatever it is called: no rig says what would be one."""
    tablet = Standing("Mixer tablet", 1, "own-pa")
    rig = band(KICK, LEAD, mix=Mix(own_pa=True), standing=(tablet,))
    assert say(planned(rig, pa="none").rack_dies.said).endswith(
        "Way out: a loudspeaker of the PA that takes a microphone by itself, on another supply."
    )
