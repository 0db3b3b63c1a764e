"""The page of the day: what is plugged beside the lines, and what comes back from the house."""

from __future__ import annotations

from dataclasses import replace

from portal.documents.day_sheet import day_page, day_sheet, to_check
from portal.documents.input_list import input_list
from portal.documents.labels.label_kinds import labels_of
from portal.documents.patch.patch_sheet import patch_sheet
from portal.documents.rendering.printed import Printed
from portal.plan.input.rig import Rig, Source, SubLoom
from portal.plan.model import EarInput
from tests.documents.plans import a_cover, a_left_right_plan, a_line, a_plan, plan_of


def test_what_only_the_in_ears_hear_is_checked_too():
    """After the lines, without a channel and a box input, with its place at the rack, 48 V and pad; numbered on."""
    plan = plan_of(3)
    hat, click = plan.ear_inputs[3:]
    plan = replace(plan, ear_inputs=(*plan.ear_inputs[:3], replace(hat, pad_db=20), click))
    rows = day_sheet(plan, a_cover()).rows[3:]
    assert [(row.line, row.label, row.channel, row.socket, row.rack, row.marks) for row in rows] == [
        (4, "Hi-hat", "–", "–", "in-ears only, own cable, mixer input 4", "48 V ON, band, pad 20 dB"),
        (5, "Click", "–", "–", "in-ears only, own cable, mixer input 5", "48 V OFF"),
    ]
    assert [(one.number, one.sources, one.place) for one in to_check(plan)[3:]] == [
        (4, ("s-hat",), 0),
        (5, ("s-click",), 0),
    ]
    assert "in-ears only, own cable, mixer input 5" in day_page(day_sheet(plan, a_cover()))


def test_an_input_that_stays_free_is_not_checked():
    """Nothing is plugged there."""
    free = EarInput(9, "s-free", "Keys R", "input stays free: its jack stays empty", "none", None)
    plan = plan_of(3)
    assert len(to_check(replace(plan, ear_inputs=(*plan.ear_inputs, free)))) == len(to_check(plan))
    own = a_left_right_plan()
    assert len(to_check(own)) == len(day_sheet(own, a_cover()).rows)


def on_a_loom() -> Rig:
    """Kick and hi-hat run through a drum loom."""
    kick = Source(key="s-1", label="Kick In", sub_loom="drums", sub_loom_way=3)
    hat = Source(key="s-hat", label="Hi-hat", sub_loom="drums")
    return Rig(source=(kick, hat), sub_loom=(SubLoom(key="drums", name="Drum loom", ways=8),))


def test_the_way_of_a_sub_loom_stands_with_its_source():
    """On the patch sheet with what its tail is plugged into, on the day page before the splitter's way."""
    plan, cover = a_plan((a_line(1), a_line(2))), a_cover(rig=on_a_loom())
    rows = {row.label: row.rack for row in day_sheet(plan, cover).rows}
    assert rows["Kick In"] == "Drum loom way 3, Rack A, way 1, mixer input 1"
    assert rows["Hi-hat"] == "in-ears only, Drum loom way 1, own cable, mixer input 3"
    assert rows["Kick Out"] == "Rack A, way 2, mixer input 2"
    sheet = patch_sheet(plan, cover)
    assert [(row.loom, row.way, row.source, row.into) for both in sheet.sub_looms for row in both] == [
        ("Drum loom", "1", "Hi-hat", "mixer input 3"),
        ("Drum loom", "3", "Kick In", "Rack A, way 1"),
    ]
    step = "Plug each source under “Sub-looms” into its way, and the tail of that way into what stands there."
    assert step in sheet.order
    assert not patch_sheet(plan, a_cover()).sub_looms
    assert step not in patch_sheet(plan, a_cover()).order


def test_the_box_output_of_a_return_stands_on_every_paper():
    """The house said it, and the house plugs it: patch sheet, label, input list and day page; nothing where unsaid."""
    plan = plan_of(3)
    (back,) = plan.returns
    told = replace(plan, returns=(replace(back, box_output=8, loom=replace(back.loom, house_end="")),))
    (row,) = patch_sheet(told, a_cover()).returns
    assert (row.box_output, row.tail) == ("8", "–")
    assert [one[:2] for one in input_list(told, a_cover()).returns] == [("Engineer's talkback", "8")]
    assert [one[:2] for one in input_list(plan, a_cover()).returns] == [("Engineer's talkback", "not known")]
    (way,) = (way for _, way in day_sheet(told, a_cover()).returns)
    assert way == "box output 8, Loom 1 way 16, mixer input 6"
    said = {label.name: label.rest for label in labels_of("tails", told, "", Printed()) if label.number == "R"}
    assert said == {"Engineer's talkback": ("Loom 1, way 16", "into box output 8", "return, to mixer input 6")}


def test_a_player_is_named_once():
    """Not again where the label says who sings."""
    plan = plan_of(2)
    first, second = plan.lines
    lines = (replace(first, label="Lead vox Ines", player="Ines"), replace(second, label="Bassist", player="Bass"))
    rows = day_sheet(replace(plan, lines=lines), a_cover()).rows
    assert [row.player for row in rows[:2]] == ["", "Bass"]
