"""What the papers of a band of seven say at three houses: eight inputs, a tablet, a PA that nobody mixes."""

from __future__ import annotations

import re
from dataclasses import replace

from portal.documents.day_sheet import day_sheet
from portal.documents.patch.patch_sheet import patch_sheet
from portal.plan import Plan
from tests.documents.plans import a_cover
from tests.plan.seven_players import EIGHT_INPUTS, planned


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
