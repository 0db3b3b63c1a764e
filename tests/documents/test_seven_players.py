"""What the papers of a band of seven say at three houses: eight inputs, a tablet, a PA that nobody mixes."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from portal.documents.day_sheet import day_sheet
from portal.documents.patch.patch_sheet import patch_sheet
from portal.documents.patch.plugging import cautions
from portal.plan import Plan
from portal.plan.input.facts import Answers
from tests.documents.plans import a_cover
from tests.plan.seven_players import BY_TABLET, EIGHT_INPUTS, NOBODY_MIXES, planned

GIGS = (EIGHT_INPUTS, BY_TABLET, NOBODY_MIXES)


def test_each_48_v_of_a_sum_names_its_source_and_one_place():
    """Box input, splitter way and mixer input can bear one number: on the row of a sum each 48 V says what it is of and
    at which one place, and the receiver beside the condensers is named in none that is on.
    """
    plan = planned(EIGHT_INPUTS)
    horns = next(line for line in plan.lines if line.label.startswith("Horns"))
    row = next(row for row in patch_sheet(plan, a_cover()).box.rows if row.source == horns.label)
    day = next(row for row in day_sheet(plan, a_cover()).rows if row.label == horns.label)
    for said in (next(part for part in row.under if "48 V" in part), day.marks):
        assert {
            f"Trumpet: 48 V ON, band, at mixer input {_input(plan, 'Trumpet')}",
            f"Alto sax: 48 V ON, band, at mixer input {_input(plan, 'Alto sax')}",
            f"box input {horns.socket}: 48 V OFF, never",
        } <= set(re.split(r"; |, pad|\.$", said))
        assert "Trombone" not in said


def _input(plan: Plan, label: str) -> int | None:
    return next(one.mixer_input for one in plan.ear_inputs if one.label == label)


def test_no_paper_calls_a_mix_on_one_output_stereo():
    """A stereo mix that one output carries says on the sheet that a side is missing; one that goes to mono does not."""
    plan = planned(EIGHT_INPUTS)
    one_side = tuple(replace(mix, outs=mix.outs[:1]) for mix in plan.ears[:2])
    ears = (one_side[0], replace(one_side[1], to_mono=True))
    (left, right), *_ = patch_sheet(replace(plan, ears=ears), a_cover()).ears
    assert (left.width, right.width) == ("stereo, one side missing", "stereo, to mono tonight")


def step(plan: Plan, answers: Answers, words: str) -> int:
    """The place of the one step that says these words."""
    found = [number for number, one in enumerate(patch_sheet(plan, a_cover(answers=answers)).order) if words in one]
    assert len(found) == 1, words
    return found[0]


@pytest.mark.parametrize(
    ("answers", "side", "said"),
    [(BY_TABLET, "House", "DJ mixer"), (NOBODY_MIXES, "Band", "wall panel announcements")],
)
def test_what_else_feeds_the_pa_is_down_before_anything_is_plugged(answers: Answers, side: str, said: str) -> None:
    """What was said of other feeds is a step before the first plug; where nothing was said the step stands without."""
    plan = planned(answers)
    unsaid = {key: one for key, one in answers.items() if key != "pa-other-feeds"}

    assert step(plan, answers, f"{side}: whatever else feeds the PA down") < step(
        plan, answers, "Plug each source into"
    )
    assert step(plan, answers, f"and for the set (said: {said}).")
    assert step(plan, unsaid, f"{side}: whatever else feeds the PA down while anything is plugged, and for the set.")


def test_a_cable_through_the_room_has_its_caution() -> None:
    """Where the mix goes from the stage to a PA the sheet says how cables lie among people; at a box it does not."""
    caution = "lay cables along walls, tape them flat, cover them where people walk"
    assert [any(caution in one for one in cautions(planned(answers))) for answers in GIGS] == [False, True, True]


@pytest.mark.parametrize("answers", GIGS)
def test_each_line_is_listened_to_where_somebody_can_hear_it(answers: Answers) -> None:
    """While the PA is down the check is on headphones, and over the PA once it is up; whatever was muted before
    plugging is unmuted by a step.
    """
    plan = planned(answers)
    check = step(plan, answers, "Line check")
    unmuted = step(plan, answers, "unmute the row's channels" if not plan.outputs else "unmute the channel; listen on")

    assert check == unmuted > step(plan, answers, "mute the mixer")
    if plan.outputs:
        up = step(plan, answers, "PA amplifiers up last")
        assert check < up < step(plan, answers, "unmute the mix at its lowest") < step(plan, answers, "In-ears in last")
