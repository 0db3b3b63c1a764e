"""The cut list: each row is carried out on top of those above it, with what is in the van."""

from __future__ import annotations

from dataclasses import replace

from portal.plan import Plan, reconcile
from portal.plan.input.rig import Ears, MixerLink, Out, Rig
from tests.plan.hand_cases import BACKING_1, BACKING_2, KICK, LEAD, band, one, pair, said

GUITAR = one("guitar", "pluck.guitar.electric", player="gil")
SECOND = one("second", "pluck.guitar.electric", player="gil", second_of="guitar", capture="mic")


def planned(rig: Rig, **answers: str | int) -> Plan:
    outcome = reconcile(rig, said(**answers))
    assert isinstance(outcome, Plan), outcome.sentence
    return outcome


def cuts(rig: Rig, **answers: str | int) -> list[str]:
    return [f"{cut.inputs}: {cut.text}" for cut in planned(rig, **answers).cut_list]


def test_what_lies_in_its_case_stays_there() -> None:
    """A second microphone that was never plugged is not plugged for the ears when its first goes too."""
    rows = cuts(band(KICK, GUITAR, SECOND, LEAD), inputs_free=3)
    assert any("guitar ears only" in row for row in rows)
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
    assert "over the digital link" in plan.cut_list[0].text
    assert [one.why for one in plan.bring if one.what == "cable for the digital link"] == [
        "in case inputs of the house fail, as the cut list says"
    ]
    assert not [one for one in planned(rig, inputs_free=2).bring if one.what == "cable for the digital link"]
