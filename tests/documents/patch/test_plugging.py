"""What the sheet tells whoever plugs from it: steps, 48 V by side, and words that the house can take."""

from dataclasses import replace

import pytest

from portal.documents.day_sheet import day_sheet
from portal.documents.input_list import input_list
from portal.documents.patch.patch_sheet import patch_sheet
from portal.documents.rendering.page import page
from portal.documents.rendering.pdf import STYLESHEET
from portal.documents.rendering.printed import typeset
from portal.plan.input.facts import Answer
from portal.plan.input.rig import Rig, Splitter, SplitterOutput
from portal.plan.model import Assumed, EarInput, Move, Output, Path
from tests.documents.plans import a_cover, a_left_right_plan, a_line, a_plan, an_own_pa_plan, plan_of
from tests.plan.outcomes import plan_of_case
from tests.plan.seven_players import BY_TABLET, planned


def test_what_only_the_in_ears_hear_is_named_with_the_table_of_its_rows():
    """Page 1 has no row of it: the step names it and the heading that its row stands under."""
    steps = patch_sheet(a_plan((a_line(1),)), a_cover()).order
    assert "In-ears only, rows under “The in-ears' side”: Hi-hat, Click." in [
        step.replace(" and ", ", ") for step in steps
    ]
    assert "Rows of mixer inputs and mixer outs: “The in-ears' side”" in page(
        "patch-sheet", a_plan((a_line(1),)), a_cover(), STYLESHEET
    )
    assert not any(
        "in-ears' side" in step for step in patch_sheet(to_a_pa(), a_cover()).order if "In-ears only" in step
    )


def to_a_pa():
    """The band's mix as one pair into the inputs of a PA of the house, at microphone level."""
    left, right = (
        replace(line, label=label, box="PA", box_socket=side, loom=None, run="XLR 10 m", transformer=True)
        for side, (label, line) in enumerate(zip(("Mix L", "Mix R"), a_left_right_plan().lines, strict=False), start=1)
    )
    outs = tuple(Output(f"out-{out}", f"mix, {side}", "XLR 10 m") for out, side in ((15, "left"), (16, "right")))
    plan = replace(a_left_right_plan(), route="house-pa-band-mixes", lines=(left, right), returns=(), blocks=())
    return replace(plan, outputs=outs)


def test_outputs_of_the_mixer_say_the_pad_and_48_v_where_they_end():
    """At a PA of microphone level, in the patch sheet's table of outputs and on the day page, as on the PA's rows."""
    plan = to_a_pa()
    (pa, _) = patch_sheet(plan, a_cover()).pa
    assert (pa.pad_db, pa.phantom) == ("20", "OFF, never")
    assert [(row.pad_db, row.phantom) for row in patch_sheet(plan, a_cover()).outputs] == [("20", "OFF, never")] * 2
    for out, side in zip(day_sheet(plan, a_cover()).outputs, ("left", "right"), strict=True):
        assert out.endswith(f"into PA input {side}, pad 20 dB, 48 V OFF, never")
    assert '<th class="who" scope="col">48 V where it ends</th>' in page("patch-sheet", plan, a_cover(), STYLESHEET)


@pytest.mark.parametrize(
    ("plan", "plugs"),
    [
        (
            a_plan((a_line(1), a_line(2))),
            [
                "Plug each source into the splitter way on its row.",
                "Plug what comes by its own cable into the mixer input on its row.",
                "Plug into loom ways: Rack A isolated B.",
                "Plug each tail into the box input on its row. Read both numbers.",
                (
                    "Plug the returns with their XLR turnarounds. Band: leave 48 V off on the mixer inputs that receive"
                    " them."
                ),
            ],
        ),
        (
            replace(
                a_plan((a_line(1, loom=None, path=Path("house-split", "house", "the house's splitter", None, "")),)),
                ear_inputs=(EarInput(1, "s-1", "Kick In", "tail 3 of the house's splitter", "none", 1),),
                returns=(),
            ),
            [
                "Plug each source into the house splitter's input for the box input on its row.",
                "Plug each tail of the house's splitter into the mixer input on its row.",
            ],
        ),
        (
            replace(a_left_right_plan(), returns=()),
            [
                "Plug each source into the splitter way on its row.",
                "Plug what comes by its own cable into the mixer input on its row.",
                "Plug into loom ways: the row's mixer output.",
                "Plug each tail into the box input on its row. Read both numbers.",
                "Plug each source without a split into the box input on its row.",
            ],
        ),
        (
            replace(an_own_pa_plan(), outputs=(Output("main-1", "main left", "XLR 10 m"),)),
            [
                "Plug each source into the mixer input on its row.",
                "Plug each output by its cable into what it feeds. Read both numbers.",
            ],
        ),
    ],
    ids=["split", "house's splitter", "mixer and split", "own PA"],
)
def test_every_plug_has_a_step(plan, plugs):
    """From the source to the house, each kind of plug that the rows name is one step, in order."""
    steps = patch_sheet(plan, a_cover()).order
    assert [step for step in steps if step.startswith("Plug ")] == plugs


@pytest.mark.parametrize(
    "plan",
    [
        a_plan((a_line(1), a_line(2, pad_db=20, transformer=True, phantom="none"))),
        replace(a_left_right_plan(), lines=tuple(replace(one, transformer=True) for one in a_left_right_plan().lines)),
        to_a_pa(),
    ],
    ids=["split", "left/right to the desk", "left/right to the PA"],
)
def test_what_lies_in_a_line_is_put_there_before_its_end_is_plugged(plan):
    """Nobody plugs a tail and pulls it again for a pad or a transformer; the same at the mixer's inputs."""
    padded = replace(plan, ear_inputs=tuple(replace(one, pad_db=20) for one in plan.ear_inputs))
    steps = patch_sheet(padded, a_cover()).order
    ends = [at for at, step in enumerate(steps) if "into the box input" in step or "into the PA's inputs" in step]
    in_lines = [at for at, step in enumerate(steps) if step.startswith(("Put each pad at", "Put each isolating"))]
    assert ends
    assert len(in_lines) == 2
    assert max(in_lines) < min(ends)
    at_the_mixer = next(at for at, step in enumerate(steps) if step.startswith("Put each pad of the mixer's inputs"))
    assert at_the_mixer < next(at for at, step in enumerate(steps) if "into the mixer input on its row" in step)


def test_the_outputs_that_are_used_and_those_that_stay_free_are_named():
    """No step names a column that may not be there; the splitter's other output is said to stay free, and a pad sits
    where the step says.
    """
    outputs = (SplitterOutput("A", "direct"), SplitterOutput("B", "isolated"))
    rig = Rig(splitter=(Splitter(key="rack-0", name="Rack A", ways=16, outputs=outputs),))
    out = a_line(2, path=Path("direct-out", "mixer", "direct out", None, "4"), pad_db=20)
    steps = patch_sheet(a_plan((a_line(1), out)), a_cover(rig=rig)).order
    assert ("Plug into loom ways: Rack A isolated B (direct A stays free) or the row's mixer output.") in steps
    assert "Put each pad at the end of its line, at the stage box, before any gain." in steps
    assert not [step for step in steps if "see Path" in step]


@pytest.mark.parametrize(("route", "side"), [("own-pa", "Band"), ("left-right-to-the-house-desk", "House")])
def test_amplifiers_are_down_before_and_after_plugging(route, side):
    """The side that turns them is named, before anything is plugged, at the end of line check, and to unplug."""
    plan = replace(an_own_pa_plan(), route=route, outputs=(Output("main-1", "main left", "XLR 10 m"),))
    steps = patch_sheet(plan, a_cover()).order
    assert steps[0] == f"Keep in-ears out. {side}: PA amplifiers down or off."
    assert any(step.startswith(f"{side}: PA amplifiers up last") for step in steps)
    assert f"{side}: PA amplifiers down. Band: mute, 48 V off, wait, unplug." in steps[-1]


def test_the_side_that_switches_48_v_is_named():
    """Each side's rows are named in the step, and only sides that switch anything."""
    both = patch_sheet(a_plan((a_line(1), a_line(2, phantom="house"))), a_cover()).order
    assert (
        "Keep all muted. House: 48 V on where the row says “ON, house”. Band: 48 V on where the row says “ON, band” or"
        " “house OFF, band ON”. Wait for 48 V to settle."
    ) in both
    active = a_plan(
        (a_line(1, phantom="splitter"),), ear_inputs=(EarInput(1, "s-1", "Kick", "own cable", "splitter", 1),)
    )
    assert any(
        "“house OFF, splitter ON” or “mixer OFF, splitter ON”" in step for step in patch_sheet(active, a_cover()).order
    )
    nobody = replace(a_plan((a_line(2),)), ear_inputs=())
    assert not any("48 V on" in step for step in patch_sheet(nobody, a_cover()).order)


@pytest.mark.parametrize(
    ("switching", "said"),
    [
        ("per-channel", ["ON, house", "–", "–", "–"]),
        ("banks-of-4", ["ON, house", "ON with the bank", "–", "–"]),
        ("banks-of-8", ["ON, house", "ON with the bank", "ON with the bank", "–"]),
        ("all", ["ON, house", "ON with the bank", "ON with the bank", "ON with the bank"]),
    ],
)
def test_rows_of_a_bank_say_that_48_v_comes_with_it(switching, said):
    """A bank that is on for one row is on for every row in it; what must stay off keeps saying so."""
    lines = [a_line(number, box_socket=socket, phantom="none") for number, socket in enumerate((3, 4, 8, 9), 1)]
    lines[0] = replace(lines[0], phantom="house")
    lines.append(a_line(5, box_socket=2, phantom="none", desk_phantom="OFF, never"))
    cover = a_cover(answers={"phantom-switching": Answer("answered", switching, "house", "2027-02-20")})
    sheet = patch_sheet(a_plan(tuple(lines)), cover)
    assert [row.phantom for row in sheet.box.rows] == [*said, "OFF, never"]
    assert sheet.any_bank == (switching != "per-channel")
    assert [row.phantom for row in input_list(a_plan(tuple(lines)), cover).rows] == [*said, "OFF, never"]


def test_a_source_in_both_sides_of_a_mix_names_both_channels():
    """Whoever listens for it finds it on the left and on the right."""
    mixed = tuple(a_line(number, sources=("s-1",)) for number in (1, 2))
    plan = replace(a_plan(mixed), ear_inputs=(EarInput(1, "s-1", "Kick In", "straight in", "none", 1),), returns=())
    assert patch_sheet(plan, a_cover()).ear_inputs[0][0].channel == "1–2"


def test_returns_without_turnarounds_name_none():
    """Where every return runs by a cable of its own there is nothing to turn round."""
    plan = a_plan((a_line(1),))
    plain = replace(plan, returns=tuple(replace(one, turn_rounds=0) for one in plan.returns))
    step = "Plug the returns. Band: leave 48 V off on the mixer inputs that receive them."
    assert step in patch_sheet(plain, a_cover()).order
    assert step not in patch_sheet(plan, a_cover()).order


def test_what_moves_in_the_rack_is_no_note_for_the_house():
    """The band's own table says it."""
    note = "plugged for mixer input 11 tonight, not 21; not in the in-ears"
    plan = a_plan((a_line(1, note=note),), moves=(Move("s-1", "Kick In", 21, 11, ""),))
    sheet = patch_sheet(plan, a_cover())
    assert sheet.box.rows[0].under == ("not in the in-ears",)
    assert [(one.rig, one.tonight) for one in sheet.moves] == [("21", "11")]
    assert "Move the plugs under “Plugs that move tonight”." in sheet.order
    assert input_list(plan, a_cover()).rows[0].note == "not in the in-ears"


def test_only_assumptions_that_a_line_rests_on_are_printed():
    """What is taken for granted of looms, isolation and 48 V is left out where no line has any."""
    assumed = tuple(
        Assumed(key, key, "assumed") for key in ("box-distance", "isolation", "phantom-switching", "indoors")
    )
    tails = a_line(1, loom=None, phantom="none", path=Path("house-split", "house", "the house's splitter", None, ""))
    assert patch_sheet(a_plan((tails,), assumed=assumed), a_cover()).assumed == ("indoors",)
    split = a_line(1, phantom="house")
    assert patch_sheet(a_plan((split,), assumed=assumed), a_cover()).assumed == tuple(one.question for one in assumed)


def test_the_page_keeps_heads_signatures_and_key_apart():
    """What all lines say stands under their own heading, each signature on a line, and the key names 48 V once."""
    plan = replace(a_left_right_plan(), outputs=(Output("out-15", "main left", "XLR 20 m"),))
    html = page("patch-sheet", plan, a_cover(), "print.css")
    assert html.index("<h2>Lines to the house</h2>") < html.index("On every row:")
    assert '<p class="line"><b>For the band:</b> not signed</p>' in html
    key = html[html.index("<h2>Key</h2>") :]
    assert key.count("<b>48 V</b>") == 1
    assert "<b>–</b> none, off or normal.</p>" in key
    assert "XLR 20\u00a0m" in html


def test_runs_of_numbers_read_alike():
    """Runs in the plan's sentences get the dash that the papers use; a name with a hyphen keeps it."""
    assert typeset("Inputs: stage box inputs A 3, 6-8 on way 2.") == "Inputs: stage box inputs A 3, 6–8 on way\u00a02."
    assert typeset("Loom 8-16, output main-1, 20 m") == "Loom 8-16, output main-1, 20\u00a0m"


def test_an_empty_input_list_has_no_key():
    """Where there is no desk, one sentence says so."""
    html = page("input-list", an_own_pa_plan(), a_cover(), "print.css")
    assert "No house desk at this gig" in html
    assert "<h2>Key</h2>" not in html


def test_no_tail_is_named_where_each_line_has_its_own_cable():
    """What moves off a dead input is a tail where a loom ends there, else a cable."""
    plan = plan_of(3)
    loose = replace(plan, lines=tuple(replace(line, loom=None) for line in plan.lines))
    assert "A tail at a dead input moves" in page("patch-sheet", plan, a_cover(), "")
    words = page("patch-sheet", loose, a_cover(), "")
    assert "A cable at a dead input moves" in words
    assert "A tail" not in words


def test_a_single_row_has_no_empty_half_beside_it():
    """One in-ear mix stands alone; from two on they stand in halves side by side."""
    plan = plan_of(3)
    heads = [
        page("patch-sheet", replace(plan, ears=plan.ears[:count]), a_cover(), "").count(">Who hears it<")
        for count in (1, 2, 3)
    ]
    assert heads == [1, 2, 2]


def test_the_list_for_a_tablet_says_once_what_the_mix_carries():
    """Where the channels of the band's mixer stand above, the rows of the mix name their cables only."""
    sheet = input_list(planned(BY_TABLET), a_cover(answers=BY_TABLET))
    assert sheet.on_the_mixer
    assert [row.note for row in sheet.rows if "Carries" in row.note] == []
    assert all(row.note.startswith("Cables: ") for row in sheet.rows)


@pytest.mark.parametrize(
    ("case", "ends"),
    [
        (
            "left-right-at-25-m",
            [
                "into box input 1, desk channel 1: 48 V OFF, never",
                "into box input 2, desk channel 2: 48 V OFF, never",
            ],
        ),
        (
            "house-engineer-with-a-tablet",
            ["into PA input left, 48 V OFF, never", "into PA input right, 48 V OFF, never"],
        ),
    ],
)
def test_the_day_sheet_says_where_the_mix_is_plugged(case: str, ends: list[str]) -> None:
    """Where the band's mixer makes the mix, its outputs say at which input they end, and at which desk channel."""
    outputs = day_sheet(plan_of_case(case), a_cover()).outputs
    assert [out.split("XLR 1 m, ")[1] for out in outputs] == ends
