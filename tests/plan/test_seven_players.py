"""What the plan says to a band of seven at three houses: eight inputs, a tablet, a PA that nobody mixes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from portal.plan.input.rig import Mix
from portal.plan.model import Plan
from portal.wording.plan.saying import say
from tests.plan.seven_players import BY_TABLET, EIGHT_INPUTS, NOBODY_MIXES, RECEIVER, planned, said, seven_players


def statement(plan: Plan, key: str) -> str:
    """The text of the plan's one statement of a rule; empty where it makes none."""
    return next((say(one.said) for one in (*plan.blocks, *plan.asks, *plan.notes) if one.key == key), "")


def test_an_engineer_by_tablet_is_not_offered_the_click() -> None:
    """The engineer gets the channels that the audience hears; what only the in-ears hear is withheld by number."""
    said = statement(planned(BY_TABLET), "engineer-on-our-mixer")

    assert "gets channels 1-18, which the in-ears share," in said
    assert "not channels 19-20, which only the in-ears hear, sends and outputs of the in-ears" in said


def test_a_takeover_is_one_named_persons() -> None:
    """Until the band names who takes over it is to confirm; then what is signed names that person."""
    nobody, named = planned(BY_TABLET), planned(BY_TABLET, mix=Mix(proven_over_pa=True, takes_over="Jule"))

    assert "Somebody" not in statement(nobody, "engineer-on-our-mixer")
    assert "Band: name one person" in statement(nobody, "who-takes-over")
    assert "Jule takes over on the cabled surface." in statement(named, "engineer-on-our-mixer")
    assert not statement(named, "who-takes-over")


def test_nothing_is_set_by_a_house_of_which_nobody_mixes() -> None:
    """Where the band mixes from the stage no statement speaks of level and tone that the house sets."""
    assert not statement(planned(NOBODY_MIXES), "no-separation")
    assert statement(planned(BY_TABLET | said(what_they_want="left-right-mix")), "no-separation")


@pytest.mark.parametrize(
    ("connector", "item"),
    [("jack", "adapter, XLR female to 6.3 mm jack"), ("other", "adapter, XLR female to the PA's inputs"), ("xlr", "")],
)
def test_the_band_brings_the_adapters(connector: str, item: str) -> None:
    """Inputs that take no XLR get an adapter each: the plan says who brings them and the packing list holds them."""
    plan = planned(NOBODY_MIXES | said(pa_input_connector=connector))
    packed = {say(one.what): one.count for one in plan.bring if "adapter" in say(one.what)}

    assert packed == ({item: 2} if item else {})
    assert ("The band brings 2 adapters" in statement(plan, "pa-input-connector")) is bool(item)


def test_a_loom_that_just_reaches_says_what_is_to_spare() -> None:
    """Loose cables get slack and a loom counts by its own length; with less left than that slack the plan says so."""
    said_of_eight = statement(planned(EIGHT_INPUTS), "loom-just-reaches")

    assert said_of_eight.startswith("Loom 8 is 8 m long for 7.62 m: 0.38 m to spare.")
    assert said_of_eight.endswith("or bring Loom 12 too.")
    assert not statement(planned(EIGHT_INPUTS | said(box_distance=600)), "loom-just-reaches")
    assert statement(planned(EIGHT_INPUTS | said(box_distance=601)), "loom-just-reaches")


def test_a_note_on_a_sums_row_says_whom_it_is_about() -> None:
    """A group's row says whose each note is; the whole mix bears none, for each source's stands at its mixer input."""
    notes = {line.label: say(line.note) for line in planned(EIGHT_INPUTS).lines}
    assert notes["Guitars (sum)"] == "Gtr 1 L and Gtr 1 R: modeller XLR"
    assert notes["Horns (sum)"] == f"Trombone: {RECEIVER.replace('; ', ', ')}"

    mix = planned(BY_TABLET)
    assert [say(line.note) for line in mix.lines] == ["", ""]
    assert {one.label: say(one.note) for one in mix.ear_inputs}["Trombone"] == RECEIVER


def test_a_line_output_on_xlr_takes_an_xlr_cable() -> None:
    """A modeller with XLR outputs is packed an XLR cable of the usual length; a line output of which nothing is said a
    jack.
    """
    on_xlr = tuple(
        replace(source, line_plug="xlr") if source.label.startswith("Gtr 1") else source
        for source in seven_players().source
    )
    rows = {one.label: say(one.cable) for one in planned(BY_TABLET, source=on_xlr).ear_inputs}

    assert rows["Gtr 1 L"] == rows["Gtr 1 R"] == "XLR 10 m (assumed)"
    assert rows["Click"] == "jack to XLR 3 m (assumed)"


def test_a_row_of_the_cut_list_says_where_its_outputs_are_plugged() -> None:
    """The mix takes the loom ways and box inputs that the two sums hold already: nobody has to guess the patch."""
    plan = planned(EIGHT_INPUTS)
    places = [
        f"loom way {one.loom.way} to box input {one.socket}"
        for out in ("9", "10")
        for one in plan.lines
        if one.path.output == out and one.loom
    ]
    first = say(plan.cut_list[0].said)
    assert f"from output 9 (in {places[0]}) and output 10 (in {places[1]}), with Kick" in first


def test_cables_on_the_stage_are_not_said_to_be_in_the_van() -> None:
    """An input that is found dead on the day is found with the cables laid."""
    assert all("van" not in say(cut.said) for cut in planned(NOBODY_MIXES).cut_list)
