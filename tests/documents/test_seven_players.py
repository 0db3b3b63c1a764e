"""What the papers of a band of seven say at three houses: eight inputs, a tablet, a PA that nobody mixes."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace

import openpyxl
import pytest

from portal.documents.day_sheet import day_sheet
from portal.documents.input_list import input_list
from portal.documents.labels.label_kinds import labels_of
from portal.documents.pack_list import pack_list
from portal.documents.patch.patch_sheet import patch_sheet
from portal.documents.patch.plugging import cautions
from portal.documents.registry import DOCUMENTS
from portal.documents.rendering.page import page
from portal.documents.rendering.printed import Printed
from portal.documents.stage.stage_plot import stage_plot
from portal.exchange.spreadsheets.tables import csv_bytes, xlsx_bytes
from portal.plan import Plan
from portal.plan.input.facts import Answers
from tests.documents.plans import a_cover
from tests.plan.seven_players import BY_TABLET, EIGHT_INPUTS, NOBODY_MIXES, planned, said, seven_players

GIGS = (EIGHT_INPUTS, BY_TABLET, NOBODY_MIXES)


def test_each_48_v_of_a_sum_names_its_source_and_one_place():
    """Box input, splitter way and mixer input can bear one number: on the row of a sum each 48 V says what it is of and
    at which one place, and the receiver beside the condensers is named in none that is on.
    """
    plan = planned(EIGHT_INPUTS)
    horns = next(line for line in plan.lines if line.label.startswith("Horns"))
    row = next(row for row in patch_sheet(plan, a_cover()).box.rows if row.source == horns.label)
    day = next(row for row in day_sheet(plan, a_cover()).rows if row.label == horns.label)
    for words in (next(part for part in row.under if "48 V" in part), day.marks):
        assert {
            f"Trumpet: 48 V ON, band, at mixer input {_input(plan, 'Trumpet')}",
            f"Alto sax: 48 V ON, band, at mixer input {_input(plan, 'Alto sax')}",
            f"box input {horns.socket}: 48 V OFF, never",
        } <= set(re.split(r"; |, pad|\.$", words))
        assert "Trombone" not in words


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
    ("answers", "side", "feeds"),
    [(BY_TABLET, "House", "DJ mixer"), (NOBODY_MIXES, "Band", "wall panel announcements")],
)
def test_what_else_feeds_the_pa_is_down_before_anything_is_plugged(answers: Answers, side: str, feeds: str) -> None:
    """What was said of other feeds is a step before the first plug; where nothing was said the step stands without."""
    plan = planned(answers)
    unsaid = {key: one for key, one in answers.items() if key != "pa-other-feeds"}

    assert step(plan, answers, f"{side}: whatever else feeds the PA down") < step(
        plan, answers, "Plug each source into"
    )
    assert step(plan, answers, f"and for the set (said: {feeds}).")
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


OWNED = {"xlr_5m": 12, "xlr_10m": 8, "isolating_transformer": 2, "di_active": 2}


def test_a_cable_of_the_mix_reaches_no_player() -> None:
    """Two cables of 50 m carry the mix to a balcony: neither stage plot nor packing list counts them a second time."""
    far = NOBODY_MIXES | said(pa_input_distance=4500)
    plan = planned(far, bits=OWNED | {"xlr_50m": 2})
    cover = a_cover(rig=seven_players(bits=OWNED | {"xlr_50m": 2}), answers=far)

    assert "50 m" not in " ".join(row.to_rack for row in stage_plot(plan, cover).drawn.people)
    assert "Tao" in pack_list(plan, cover).far
    spare = a_cover(rig=seven_players(bits=OWNED | {"xlr_50m": 3}), answers=far)
    assert "a 50 m cable reaches" in " ".join(row.to_rack for row in stage_plot(plan, spare).drawn.people)


def test_plot_and_packing_list_say_one_thing_of_a_long_way() -> None:
    """A player for whom two joined cables reach is told so on both; whoever has a receiver in the rack needs none."""
    plan, cover = planned(EIGHT_INPUTS), a_cover(rig=seven_players(bits=OWNED), answers=EIGHT_INPUTS)
    drawn, far = stage_plot(plan, cover).drawn.people, pack_list(plan, cover).far
    joined = [row.player for row in drawn if row.to_rack.endswith("join two cables or bring a longer one")]

    assert joined
    assert all(name in far.partition("Join two or bring longer ones.")[0] for name in joined)
    assert {row.player: row.to_rack for row in drawn}["Pim"] == "none, it stands in the rack"
    assert "Pim" not in far


def test_what_has_to_be_got_is_said_at_the_row_that_is_ticked() -> None:
    """A row that counts more cables than the band owns says how many to get."""
    plan, cover = planned(EIGHT_INPUTS), a_cover(rig=seven_players(bits=OWNED), answers=EIGHT_INPUTS)
    (row,) = (one for one in pack_list(plan, cover).cables if one.length == "10")

    assert row.why.startswith(f"get {int(row.count) - OWNED['xlr_10m']} more before the gig; source to rack")


def test_an_engineer_by_tablet_has_a_channel_list() -> None:
    """The input list holds the channels that the audience hears, by number, and none that only the in-ears hear."""
    sheet = input_list(planned(BY_TABLET), a_cover(answers=BY_TABLET))

    assert [row.channel for row in sheet.on_the_mixer] == [str(number) for number in range(1, 19)]
    assert not {"Click", "Cue"} & {row.source for row in sheet.on_the_mixer}
    assert input_list(planned(NOBODY_MIXES), a_cover()).on_the_mixer == ()
    two_channels = replace(seven_players().mixer, double_patch=True)
    numbered = input_list(planned(BY_TABLET, mixer=two_channels), a_cover(answers=BY_TABLET)).on_the_mixer
    assert [(row.mixer_input, row.channel) for row in numbered][:2] == [("1", "21"), ("2", "22")]


def records(plan: Plan, answers: Answers) -> list[dict[str, str]]:
    """The input list's rows, the same in the CSV and in the workbook."""
    make = DOCUMENTS["input-list"].table
    assert make is not None
    table = make(plan, a_cover(answers=answers))
    text = csv_bytes(table.heads, table.numbers, table.rows).decode("utf-8-sig")
    read = [[cell.removeprefix("'") for cell in row] for row in csv.reader(io.StringIO(text, newline=""))]
    book = openpyxl.load_workbook(io.BytesIO(xlsx_bytes(table.title, table.heads, table.numbers, table.rows))).active
    assert read == [["" if cell.value is None else str(cell.value) for cell in row] for row in book.iter_rows()]
    return [dict(zip(read[0], row, strict=True)) for row in read[1:]]


@pytest.mark.parametrize("channels", ["one an input", "two an input"])
def test_a_spreadsheet_has_the_channels_of_an_engineer_by_tablet(channels: str) -> None:
    """CSV and workbook hold the rows of the paper, in its order and before the lines; on another route there are
    none.
    """
    plan = planned(BY_TABLET, mixer=replace(seven_players().mixer, double_patch=channels == "two an input"))
    found = records(plan, BY_TABLET)
    assert [one["Line"] for one in found] == [*[""] * 18, "1", "2"]
    asked = ("Mixer channel", "Mixer input", "Source", "Player", "48 V at the mixer", "Heard by")
    assert [tuple(one[head] for head in asked) for one in found[:18]] == [
        (row.channel, row.mixer_input, row.source, row.player, row.phantom, row.heard)
        for row in input_list(plan, a_cover(answers=BY_TABLET)).on_the_mixer
    ]
    assert {one["Mixer channel"] + one["Desk channel"] for one in found[18:]} == {""}
    assert {one["Mixer channel"] for one in records(planned(EIGHT_INPUTS), EIGHT_INPUTS)} == {""}


def test_labels_of_a_pa_speak_of_no_box() -> None:
    """A tail into a PA says so, and neither stage box nor house desk gets a strip."""
    plan = planned(NOBODY_MIXES)
    tails = [one.rest for one in labels_of("tails", plan, "", Printed())]

    assert [rest[-1] for rest in tails] == ["into PA input left", "into PA input right"]
    assert not [*labels_of("box-strip", plan, "", Printed()), *labels_of("desk-strip", plan, "", Printed())]
    assert "box" not in " ".join(text for one in labels_of("rack-strip", plan, "", Printed()) for text in one.rest)


def test_a_head_way_says_of_what() -> None:
    """On the patch sheet a splitter way and a loom way stand in tables of one page: no head says "Way" alone."""
    heads = re.findall(r"<th[^>]*>(.*?)</th>", page("patch-sheet", planned(EIGHT_INPUTS), a_cover(), "print.css"))
    words = {re.sub(r"(?:<br>|\s)+", " ", head).strip() for head in heads}

    assert "Way" not in words
    assert {"Split way", "Loom way"} <= words
