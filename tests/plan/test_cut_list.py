"""The cut list: each row is carried out on top of those above it, with what is in the van."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace

import pytest

from portal.demo import GIGS, KNOWN_EVERYWHERE, example_rig
from portal.plan import Plan, reconcile
from portal.plan.input.facts import Answer, Facts
from portal.plan.input.rig import Ears, MixerLink, Out, Rig
from portal.plan.packing.bring_and_leave import PAD
from portal.plan.phrase import parts_of
from portal.plan.reconcile import FOR_THE_CUTS
from portal.plan.result.routing import Routing
from portal.plan.solving.cut_outputs import cut_outputs
from portal.wording.plan.saying import say
from tests.plan.gigs import gig, medium
from tests.plan.hand_cases import (
    BACKING_1,
    BACKING_2,
    BASS,
    KEYS,
    KICK,
    LEAD,
    MAINS,
    RACK,
    SUBMIXED,
    TRACKS,
    band,
    one,
    pair,
    said,
)

GUITAR = one("guitar", "pluck.guitar.electric", player="gil")
SECOND = one("second", "pluck.guitar.electric", player="gil", second_of="guitar", capture="mic")


def planned(rig: Rig, **answers: str | int) -> Plan:
    outcome = reconcile(rig, said(**answers))
    assert isinstance(outcome, Plan), outcome.sentence
    return outcome


def cuts(rig: Rig, **answers: str | int) -> list[str]:
    return [f"{cut.inputs}: {say(cut.said)}" for cut in planned(rig, **answers).cut_list]


def test_what_lies_in_its_case_stays_there() -> None:
    """A second microphone that was never plugged is not plugged for the in-ears when its first goes too."""
    rows = cuts(band(KICK, GUITAR, SECOND, LEAD), inputs_free=3)
    assert any("guitar in-ears only" in row for row in rows)
    assert not any("second" in row for row in rows)


def test_a_row_that_changes_nothing_is_no_row() -> None:
    """Giving up a pair frees two inputs: the next row is the one after."""
    tracks = pair("tracks", "x-playback", to_mono="cannot")
    rows = cuts(band(tracks, LEAD, one("lead 2", "voice.vocals", lead=True)), inputs_free=4)
    assert [row.partition(":")[0] for row in rows] == ["3", "1"]


def test_a_sum_whose_output_another_one_takes_is_said_to_end() -> None:
    """One output: the percussion is summed first; when the voices need that output, the percussion has lines again."""
    percussion = (one("bongo", "drum.bongo", player="per"), one("djembe", "drum.djembe", player="per"))
    third = one("backing 3", "voice.vocals")
    rig = band(
        KICK, *percussion, BACKING_1, BACKING_2, third, LEAD, outs=(Out("1", use="free"),), mono=1,
    )  # fmt: skip
    rows = cuts(rig, inputs_free=7)
    sums = [row for row in rows if "on one line, from output 1" in row]
    assert "bongo and djembe on one line" in sums[0]
    assert "backing" in sums[1]
    assert "no longer: bongo and djembe on one line" in sums[1]


def test_an_output_that_an_in_ear_mix_gives_up_is_said_so() -> None:
    """The only output for a sum is half of a stereo in-ear mix; its player reads that it turns mono."""
    ears = Ears(player="Lou", width="stereo", outs=("1", "2"))
    outs = (Out("1", use="ears:Lou"), Out("2", use="ears:Lou"))
    rig = band(KICK, one("backing", "voice.vocals"), LEAD, outs=outs, mono=1, ears=(ears,))
    assert any("output 2 (the in-ears of Lou turn mono and free it)" in row for row in cuts(rig, inputs_free=3))


def test_a_link_that_only_the_cut_list_needs_has_its_cable_along() -> None:
    """Nothing goes over the link while all inputs work, and everything that loses its input does."""
    rig = band(KICK, LEAD)
    rig = replace(rig, mixer=replace(rig.mixer, links=(MixerLink("AES50", 8),)))
    plan = planned(rig, inputs_free=2, digital_link="yes")
    assert "over the digital link" in say(plan.cut_list[0].said)
    assert [say(one.why) for one in plan.bring if say(one.what) == "cable for the digital link"] == [
        "in case inputs of the house fail, as the cut list says"
    ]
    assert not [one for one in planned(rig, inputs_free=2).bring if say(one.what) == "cable for the digital link"]


PIANO = tuple(
    replace(source, submix="kay's mixer", player="kay") for source in pair("piano", "keyboard.piano.electric")
)
ONE_PAIR = "keys L, keys R, organ, piano L and piano R on one pair"
OWN_SUBMIXER = ", from the player's own submixer on the plugs of keys L and keys R"


def test_a_pair_that_stays_where_it_is_makes_no_row() -> None:
    """Both sides of a submix hold the same sources; the right one was read as the left one's plug that had moved."""
    rows = cuts(band(SUBMIXED, PIANO), inputs_free=5)
    assert rows[0] == f"4: {ONE_PAIR}{OWN_SUBMIXER}"
    assert [row.partition(":")[0] for row in rows] == ["4", "1"]


def test_a_pair_goes_over_the_link_in_one_clause() -> None:
    """The right side of a submix stood there by itself, under a name that is on no instrument."""
    rig = band(SUBMIXED, PIANO, TRACKS)
    rig = replace(rig, mixer=replace(rig.mixer, links=(MixerLink("AES50", 4),)))
    rows = cuts(rig, inputs_free=3, digital_link="yes", house_split="yes")
    assert rows[1] == f"1: {ONE_PAIR}, over the digital link{OWN_SUBMIXER}"


# --- the band's own mix

GUITARS = tuple(one(f"guitar {name}", "pluck.guitar.acoustic", player=name) for name in "abcd")


def test_what_joins_a_mix_that_is_plugged_already_is_all_that_is_said() -> None:
    """Each row said the whole mix anew, with every source that stays apart, and left the difference to the reader."""
    rows = cuts(band(KICK, BASS, *GUITARS, KEYS, LEAD, outs=MAINS, stereo=1), inputs_free=5)
    assert rows[0].startswith(
        "4: the band's own left/right mix from output main-l (in box input 3) and output main-r (to box input 2),"
        " with kick and lead"
    )
    assert rows[1:3] == ["3: kick goes into the band's own mix", "2: lead goes into the band's own mix"]


def test_who_comes_out_of_a_sum_or_the_mix_is_said_so() -> None:
    """What stays apart from the mix may have been in the kit's pair in the row above."""
    plan = reconcile(*gig(50191))
    assert isinstance(plan, Plan)
    assert say(plan.cut_list[0].said).startswith("Kick, Snare and Hat on one pair")
    assert say(plan.cut_list[1].said).startswith("the band's own left/right mix from output 2 and output 3, with Kick")
    assert say(plan.cut_list[1].said).endswith("; on its own line again: Kick by way 1 to box input B 2")


@pytest.mark.parametrize(
    ("phantom", "how"),
    [
        ("yes", "plugged straight into mixer input 7, where the band switches 48 V on"),
        ("no", "plugged back into mixer input 7"),
    ],
)
def test_what_went_past_the_ears_is_plugged_into_the_mixer_for_the_mix(phantom: str, how: str) -> None:
    """It stood in the box, and a mix of the mixer cannot carry it from there."""
    hat = one("hat", "metal.hi-hat", mixer_input=7, phantom=phantom)
    rig = band(KICK, hat, BASS, *GUITARS, LEAD, outs=MAINS, stereo=1, splitter=(replace(RACK, ways=2),))
    assert cuts(rig, inputs_free=8)[0] == f"4: hat goes into the band's own mix, {how}"


def test_what_is_left_out_beside_the_mix_is_said_so() -> None:
    """A row of the mix said who stays apart, and not who is heard no more."""
    plan = reconcile(*gig(70163))
    assert isinstance(plan, Plan)
    assert [say(cut.said) for cut in plan.cut_list] == [
        "Backing 2 not plugged",
        "E-kit L not plugged; E-kit R not plugged; on its own line again: Backing 2 straight to box input 1",
        "Backing 2 not plugged",
    ]


def test_a_microphone_in_its_case_goes_into_no_mix() -> None:
    """The second microphone of a source that joins the mix was never plugged."""
    plan = reconcile(*medium(50149))
    assert isinstance(plan, Plan)
    assert say(plan.cut_list[2].said) == "Guitar 2 goes into the band's own mix"


# --- 48 V and what lies between on the day


HAT = one("hat", "metal.hi-hat", phantom="yes", mixer_input=3)


def test_what_the_house_fed_gets_its_48_v_from_the_bands_mixer() -> None:
    """Microphones in the house's splitter are fed by the house; the one that goes is plugged and fed by the band."""
    rows = cuts(band(KICK, HAT, LEAD), house_split="yes", inputs_free=3)
    assert rows[0] == "2: hat in-ears only, straight into mixer input 3, where the band switches 48 V on"


def test_what_the_band_fed_stays_as_it_is() -> None:
    """Through the rack's splitter the band feeds the hat already."""
    assert cuts(band(KICK, HAT, LEAD), inputs_free=3)[0] == "2: hat in-ears only"


VOICES = tuple(replace(source, mixer_input=number) for number, (source,) in enumerate((BACKING_1, BACKING_2), 5))


@pytest.mark.parametrize(
    ("owned", "said", "packed"),
    [({"pad_20_db": 1}, "a pad of 20 dB last", {"pad, 20 dB": 1}), ({}, "the house's own pad in", {})],
)
def test_a_sum_says_its_level_and_what_is_packed_for_it(
    owned: dict[str, int], said: str, packed: dict[str, int]
) -> None:
    """An output of the mixer is at line level on a line that carried a microphone."""
    rig = band(KICK, VOICES, LEAD, outs=(Out("1", use="free"),), mono=1, bits=owned)
    plan = planned(rig, inputs_free=4)
    assert say(plan.cut_list[0].said) == (
        "backing 1 and backing 2 on one line, from output 1 (to box input 2): line level,"
        f" {said.removeprefix('a ')}, 48 V off, never on"
    )
    assert {say(one.what): one.count for one in plan.bring if one.why == FOR_THE_CUTS} == packed


def test_the_bands_own_mix_takes_its_transformers_along_with_their_leads() -> None:
    """As on a plan's own mix: one at the box in each side, behind it a short lead."""
    rig = band(KICK, VOICES, LEAD, outs=MAINS, stereo=1, bits={"isolating_transformer": 2, "pad_20_db": 2})
    plan = planned(rig, inputs_free=4)
    row = next(say(one.said) for one in plan.cut_list if "left/right mix" in say(one.said))
    assert row.endswith(
        ": line level, isolating transformers at the box with an XLR 1 m each, pads of 20 dB last, 48 V off, never on"
    )
    assert {say(one.what): one.count for one in plan.bring if FOR_THE_CUTS in parts_of(one.why)} == {
        "XLR cable, 1 m": 2,
        "isolating transformer": 2,
        "pad, 20 dB": 2,
    }


def test_an_output_goes_into_no_bank_that_is_on() -> None:
    """The house has to feed the spot on input 1, so its bank is on."""
    spot = one("spot", "x-percussion", phantom="yes", goes="house-only")
    more = [one(f"voice {number}", "voice.vocals") for number in range(1, 9)]
    rig = band(KICK, spot, *more, LEAD, outs=(Out("1", use="free"),), mono=1)
    rows = cuts(rig, phantom_switching="banks-of-8", inputs_free=11)
    assert any("box input outside bank 1-8, 48 V off" in row for row in rows), rows


def test_two_sums_never_share_an_output() -> None:
    """A sum that stays keeps its output, so that rows that come on top of each other never plug one output twice."""
    seen = 0
    for night in GIGS:
        given = KNOWN_EVERYWHERE | dict(night.answers)
        plan = reconcile(example_rig(), {key: Answer("answered", value, "house") for key, value in given.items()})
        standing: dict[str, set[str]] = {}
        for cut in plan.cut_list if isinstance(plan, Plan) else ():
            if "mix from" in say(cut.said) or "no longer" in say(cut.said):
                break
            found = re.findall(r"([^;]+?) (?:to mono|on one line)[^;]*? from output ([\w-]+)", say(cut.said))
            new = [
                (output, {one.strip() for one in re.split(r",| and ", labels) if one.strip()})
                for labels, output in found
            ]
            # What a larger sum takes in gives its output back.
            standing = {out: names for out, names in standing.items() if not any(names <= more for _, more in new)}
            for output, names in new:
                assert output not in standing, f"{night.name}: {say(cut.said)}"
                standing[output] = names
            seen += len(new)
    assert seen > 5


def test_an_output_that_is_in_its_way_is_not_plugged_again() -> None:
    """A voice goes out by an output already; a sum on that output moves no plug and no pad, and a new one names the
    band's pad where the plan has the band bring pads, owned or not.
    """
    rig = band(
        KICK, VOICES, LEAD, splitter=(), outs=tuple(Out(str(number), use="free") for number in range(1, 5)), mono=1
    )
    plan = planned(rig, inputs_free=4)
    assert {line.pad_db for line in plan.lines} == {20}
    text = say(plan.cut_list[0].said)
    (out,) = re.findall(r"on one line, from output (\d)", text)
    assert out in {line.path.output for line in plan.lines}
    assert text == f"backing 1 and backing 2 on one line, from output {out}, where it is plugged"


def test_no_house_pad_is_named_where_the_band_brings_enough() -> None:
    """The plan has the band bring pads that it does not own yet; a row that takes no more than those takes them."""
    held = cut_outputs(Facts(band(KICK, LEAD), said()), Routing((), {}, (), frozenset(), (), 0, ()), ())
    needs_two = replace(held, needed=Counter({PAD: 2}))
    assert [replace(needs_two, pads=pads).packed(PAD) for pads in (0, 1, 2)] == [False, False, True]
