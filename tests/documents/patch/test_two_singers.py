"""What the papers say of two singers at one microphone."""

from __future__ import annotations

from dataclasses import replace

from portal.documents.day_sheet import day_sheet
from portal.documents.pack_list import pack_list
from portal.documents.patch.patch_sheet import patch_sheet
from portal.documents.stage.stage_plot import stage_plot
from portal.plan.input.rig import MAX_LABEL
from tests.documents.plans import a_cover
from tests.plan.case_files import cases
from tests.plan.outcomes import plan_of_case

CASE = "eight-voices-in-twos"
TOLD = "High 4 sings at the microphone of High 3"


def test_the_row_names_both_and_says_once_at_whose_microphone_they_sing() -> None:
    """Patch sheet and sheet of the day say it at the line, beside the one input of the band's mixer that it has."""
    plan = plan_of_case(CASE)
    row = next(row for row in patch_sheet(plan, a_cover()).box.rows if row.source == "High 3 + High 4")
    assert row.under == (TOLD,)
    day = next(row for row in day_sheet(plan, a_cover()).rows if row.label == "High 3 + High 4")
    assert (day.player, day.marks, day.rack) == (
        "Singer 3 and Singer 4",
        TOLD,
        "Rack splitter, way 4, mixer input 4",
    )


def test_a_label_that_does_not_fit_is_not_the_only_place_of_its_names() -> None:
    """Where a row cannot hold both names the line below it lists them."""
    plan = plan_of_case(CASE)
    longer = tuple(replace(one, label=one.label * 4) if one.guest else one for one in plan.lines)
    rows = patch_sheet(replace(plan, lines=longer), a_cover()).box.rows
    unders = [row.under for row, line in zip(rows, longer, strict=True) if line.guest and len(line.label) > MAX_LABEL]
    assert [under[0] for under in unders] == [
        "Carries High 3, High 4.",
        "Carries Low 1, Low 2.",
        "Carries Low 3, Low 4.",
    ]


def test_nothing_is_packed_for_the_guest() -> None:
    """At the guest's place on the pack list stand no microphone, no stand and no cable."""
    rig = next(case.rig for case in cases() if case.name == CASE)
    listed = pack_list(plan_of_case(CASE), a_cover(rig=rig))
    places = {row.person for row in listed.people}
    assert {"Singer 3", "Singer 5", "Singer 7"} <= places
    assert not {"Singer 4", "Singer 6", "Singer 8"} & places


def test_the_guest_needs_no_cable_to_the_rack() -> None:
    """The stage plot names a cable for whoever's microphone is plugged, and none for whoever sings at it."""
    rig = next(case.rig for case in cases() if case.name == CASE)
    people = {row.player: row.to_rack for row in stage_plot(plan_of_case(CASE), a_cover(rig=rig)).drawn.people}
    assert people["Singer 4"] == "–"
    assert " m" in people["Singer 3"]
