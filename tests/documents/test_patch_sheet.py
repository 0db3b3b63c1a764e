"""The builder: plan and cover become exactly what the sheet says."""

import itertools
from dataclasses import replace

import pytest

from portal.documents.abbreviations import MEANINGS
from portal.documents.day_sheet import day_sheet, signed_words
from portal.documents.patch.patch_sheet import BLANK_ROWS, patch_sheet
from portal.documents.patch.plugging import TINGLE
from portal.documents.registry import DOCUMENTS, Document, register
from portal.documents.rendering.page import page
from portal.documents.rendering.printed import ELLIPSIS, clean, ranges
from portal.plan.input.rig import Mixer, Out, Rig
from portal.plan.model import Cut, EarInput, LoomWay, Move, Path, Spare
from tests.documents.plans import (
    SIGNED,
    a_cover,
    a_hostile_cover,
    a_hostile_plan,
    a_left_right_plan,
    a_line,
    a_plan,
    an_own_pa_plan,
    plan_of,
)


def test_lines_stand_together_by_loom():
    """The rows of a loom stand together, and no line is lost or doubled."""
    rows = patch_sheet(plan_of(40), a_cover()).box.rows
    assert [name for name, _ in itertools.groupby(row.loom for row in rows)] == ["Loom 1", "Loom 2", "Loom 3"]
    assert [int(row.line) for row in rows] == list(range(1, 41))


def test_box_input_and_desk_channel_are_not_mixed_up():
    """Each stands in its own column, as the plan has it."""
    row = patch_sheet(a_plan((a_line(1, box_socket=11, desk_channel=29),)), a_cover()).box.rows[0]
    assert (row.socket, row.channel) == ("11", "29")


def test_what_every_row_says_is_said_once():
    """A column in which all rows agree is a sentence, one by loom where only a loom's rows agree, and the few that
    differ say so in their notes; what differs more often keeps its column.
    """
    lines = [a_line(number, owner="band", polarity="normal", pad_db=0) for number in range(1, 21)]
    lines[4] = replace(lines[4], owner="house", level="line")
    box = patch_sheet(a_plan(tuple(lines)), a_cover()).box
    columns = {column.name for column in box.columns}
    assert not columns & {"tail", "path", "whose", "gain", "pad_db"}
    assert {"loom", "loom_way", "socket", "channel", "strip", "source", "phantom", "stand", "note", "tick"} <= columns
    assert dict(box.once) == {"Tail": "XLR male", "Gain": "each", "Polarity": "normal", "Pad dB": "none"}
    assert box.by_loom == (
        ("Loom 1", (("Path", "Rack A, isolated B"),)),
        ("Loom 2", (("Path", "Rack B, isolated B"),)),
    )
    assert dict(box.otherwise) == {"Whose": "band", "Level": "mic"}
    assert [row.note for row in box.rows[4:6]] == ["house brings it · line level", "stereo with channel 7"]
    assert dict(box.players)["Noor"] == "10–11, 13"


def test_spare_ways_stand_on_a_sheet_without_a_stage_box():
    """Where the band's mixer feeds the PA through a loom, its free ways are named below what feeds the PA."""
    spare = tuple(Spare("loom-0", "24-way loom", way) for way in (3, 4, 5))
    plan = replace(an_own_pa_plan(), spare=spare)
    assert not patch_sheet(plan, a_cover()).box.rows
    assert "Spare ways: 24-way loom 3–5</p>" in page("patch-sheet", plan, a_cover(), "print.css")


def test_plugs_that_move_are_named_by_what_they_are_plugged_into():
    """Heads and notes say input of the mixer and way of the splitter; a bare socket is nobody's."""
    move = Move("s-1", "Sax", 21, 11, "plug into way 11 of Rack A")
    html = page("patch-sheet", a_plan((a_line(1),), moves=(move,)), a_cover(), "print.css")
    table = html[html.index("Plugs that move tonight (band)") :].partition("</table>")[0]
    assert "Mixer input in the rig" in table
    assert "Mixer input tonight" in table
    assert "socket" not in table


def test_a_way_that_is_the_box_input_needs_no_column():
    """Where every tail lies in the input of its own number, a sentence says so."""
    lines = tuple(a_line(number, box_socket=number) for number in range(1, 9))
    box = patch_sheet(a_plan(lines), a_cover()).box
    assert not {"split_way", "loom_way"} & {column.name for column in box.columns}
    assert {"Split way": "= box input", "Loom way": "= box input"}.items() <= dict(box.once).items()


def test_a_word_that_would_end_the_sentence_keeps_its_column():
    """A loom called with a full stop stays a column of its own."""
    loom = LoomWay("l", "No. 1; long", 1, "XLR male")
    box = patch_sheet(a_plan((a_line(1, loom=loom), a_line(2, loom=replace(loom, way=2)))), a_cover()).box
    assert "loom" in {column.name for column in box.columns}
    assert "Carried by" not in dict(box.once)


def test_a_loom_called_loom_is_named_once():
    """What carries every row is told by the loom's own name, whatever that begins with."""
    loom = LoomWay("l", "Loom 1", 1, "XLR male")
    lines = (a_line(1, loom=loom), a_line(2, loom=replace(loom, way=2)))
    assert dict(patch_sheet(a_plan(lines), a_cover()).box.once)["Carried by"] == "Loom 1"
    html = page("patch-sheet", a_plan(lines), a_cover(), "print.css")
    assert "<b>Carried by</b> Loom 1;" in html
    assert "Loom</b> Loom" not in html


@pytest.mark.parametrize("key", ["patch-sheet", "input-list"])
def test_nothing_is_to_be_resolved_on_what_both_signed(key):
    """Before, the sheet says what is to resolve; once both sides signed, the same points are confirmed."""
    plan = replace(plan_of(6), sentence="Dry split: 6 lines. To resolve: pads for line level.")
    assert plan.asks
    draft = page(key, plan, a_cover(), "print.css")
    assert "To resolve: pads" in draft
    agreed = page(key, plan, a_cover(status="agreed", signatures=SIGNED), "print.css")
    assert "To resolve" not in agreed
    assert "Confirmed: pads for line level." in agreed
    if key == "patch-sheet":
        assert "To resolve and to know" in draft
        assert "Confirmed by both sides, and to know" in agreed
        assert ">to confirm<" in draft
        assert ">to confirm<" not in agreed


def test_48_v_is_an_instruction_to_the_house():
    """On, off with who feeds it, or never into what it harms: as the plan says, else read off who feeds it."""
    out = Path("direct-out", "mixer", "direct out", None, "out-9")
    lines = (
        a_line(1, phantom="band"),
        a_line(2, phantom="house"),
        a_line(3, phantom="splitter"),
        a_line(4, phantom="none", desk_phantom="OFF, never"),
        a_line(5, phantom="none", path=out),
        a_line(6, phantom="none"),
        a_line(7, phantom="unknown"),
    )
    assert [row.phantom for row in patch_sheet(a_plan(lines), a_cover()).box.rows] == [
        "house OFF, band ON", "ON, house", "house OFF, splitter ON", "OFF, never", "OFF, never", "–", "not known",
    ]  # fmt: skip


def _an_overhead_through_the_mixer():
    """A plan of two lines; the second leaves by output 4 of the band's mixer, which feeds its 48 V at input 7."""
    path = Path("direct-out", "mixer", "direct out", None, "4")
    line = a_line(2, label="OH L", path=path, mixer_input=7, phantom="none", level="line", gain_owner="band")
    into = EarInput(7, line.sources[0], "OH L", "straight in", "band", 2)
    return a_plan((a_line(1), line), ear_inputs=(into,))


def test_a_microphone_through_the_bands_mixer_says_both_feeds_on_its_row():
    """The house's switch stays off on its line, and the band's is on at the input of its own mixer: both on the row."""
    plan = _an_overhead_through_the_mixer()
    row = next(row for row in patch_sheet(plan, a_cover()).box.rows if row.source == "OH L")
    assert (row.phantom, row.under[-1:]) == (
        "OFF, never",
        ("OH L: 48 V ON, band, at mixer input 7; box input 4: 48 V OFF, never.",),
    )
    day = next(row for row in day_sheet(plan, a_cover()).rows if row.label == "OH L")
    assert day.marks.startswith("box input 4: 48 V OFF, never; OH L: 48 V ON, band, at mixer input 7")


def test_the_outputs_that_carry_lines_have_a_table_and_a_warning():
    """Whoever sets up the band's mixer reads each output with what it carries and where it goes; what the rig has on
    that output otherwise is unplugged first. Where no line leaves the mixer there is no table.
    """
    plan = _an_overhead_through_the_mixer()
    rig = Rig(mixer=Mixer(outs=(Out("4", use="free", feeds="wedge 1"), Out("5", use="free", feeds="wedge 2"))))
    sheet = patch_sheet(plan, a_cover(rig=rig))
    ((row, _),) = sheet.sent
    way, socket = plan.lines[1].loom.way, plan.lines[1].socket
    assert (row.out, row.carries, row.mixer_inputs, row.loom_way, row.socket, row.pad_db) == (
        ("4", "OH L", "7", str(way), socket, "–")
    )
    (warning,) = sheet.taken
    assert warning.startswith("Output 4 feeds wedge 1 by the rig's word and carries OH L tonight. Band: unplug wedge 1")
    assert "wedge 1" in page("patch-sheet", plan, a_cover(rig=rig), "print.css")
    assert patch_sheet(a_plan((a_line(1),)), a_cover()).sent == ()


def test_mixer_inputs_that_their_lines_feed_are_one_sentence():
    """An input whose way and 48 V are those of its line has no row; every other one has."""
    sheet = patch_sheet(plan_of(20), a_cover())
    assert sheet.fed_alike == (
        "Rack A ways 1–16 feed mixer inputs 1–16.",
        "Rack B ways 1–4 feed mixer inputs 17–20.",
    )
    assert [row.source for pair in sheet.ear_inputs for row in pair] == ["Hi-hat", "Click"]
    plan = plan_of(3)
    other = replace(plan, ear_inputs=(replace(plan.ear_inputs[0], phantom="none"), *plan.ear_inputs[1:]))
    sheet = patch_sheet(other, a_cover())
    assert sheet.fed_alike == ("Rack A ways 2–3 feed mixer inputs 2–3.",)
    assert sheet.ear_inputs[0][0].source == "Kick In"


@pytest.mark.parametrize(
    ("path", "words"),
    [
        (Path("split", "r", "Rack A", 3, "isolated output B"), "Rack A, isolated B"),
        (Path("direct-out", "mixer", "direct out", None, "out-9"), "direct out, out 9"),
        (Path("processed-direct-out", "mixer", "direct out, processed", None, "out-9"), "direct out, not dry, out 9"),
        (Path("group", "mixer", "group", None, "out-11"), "group, out 11"),
        (Path("left-right-mix", "mixer", "left/right mix", None, "out-15"), "left/right mix, out 15"),
        (Path("straight", "", "straight to the box", None, ""), "straight, no split"),
    ],
)
def test_each_kind_of_path_has_its_words(path, words):
    """A path is said in a few words, with the output that carries it."""
    assert patch_sheet(a_plan((a_line(1, path=path),)), a_cover()).box.rows[0].path == words


def test_a_summed_line_names_what_it_carries():
    """Nobody has to guess which microphones are in a group."""
    rows = patch_sheet(a_left_right_plan(), a_cover()).box.rows
    assert "Carries Kick In, Kick Out." in next(row for row in rows if row.source == "Backing vocals").under


def test_a_mix_of_one_source_names_it_too():
    """“Music (mono)” stands on no instrument, whoever is alone in it."""
    plan = a_left_right_plan()
    line = plan.lines[0]
    alone = replace(plan, lines=(replace(line, sources=line.sources[:1], label="Music (mono)"), *plan.lines[1:]))
    label = next(one.label for one in plan.ear_inputs if one.source == line.sources[0])
    row = next(row for row in patch_sheet(alone, a_cover()).box.rows if row.source == "Music (mono)")
    assert f"Carries {label}." in row.under


def test_a_long_note_hangs_under_its_row():
    """What takes more than two lines of the note's column stands under the row, its path behind its head; two lines
    stay in the cell where nothing hangs there anyway.
    """
    out = Path("direct-out", "mixer", "direct out", None, "out-9")
    lines = [a_line(number, owner="band") for number in range(1, 13)]
    lines[2] = replace(lines[2], path=out, gain_owner="band", level="line", transformer=True, polarity="flip")
    rows = patch_sheet(a_plan(tuple(lines)), a_cover()).box.rows
    assert rows[2].note == ""
    assert rows[2].under[:2] == ("Path direct out, out 9", "gain by the band")
    assert (rows[5].note, rows[5].under) == ("stereo with channel 7", ())


def test_notes_follow_the_table_where_rows_have_to_fit_one_page():
    """A long sheet marks the row and prints the note after the table; a short one hangs it under the row."""
    noted = a_line(1, note="Capo on two.")
    short = patch_sheet(a_plan((noted,)), a_cover())
    assert short.box.rows[0].under == ("Capo on two.",)
    assert short.below == ()
    long = patch_sheet(a_plan((noted, *(a_line(number) for number in range(2, 33)))), a_cover())
    assert [row.note for row in long.box.rows[:3]] == ["see notes", "polarity flip", ""]
    assert [(one.channel, one.text) for one in long.below] == [("1", "Capo on two.")]


def test_a_ground_lift_is_said_once_for_all_its_lines():
    """Lines that share their lift are named together."""
    lines = (a_line(1), a_line(2), a_line(3, lift=""), a_line(4))
    assert patch_sheet(a_plan(lines), a_cover()).lifts == (("1–2, 4", "if it hums"),)


def test_spare_ways_are_rows_to_write_in_and_the_rest_is_named():
    """Every spare way is on the sheet, as a blank row or in the list after the table."""
    sheet = patch_sheet(plan_of(3, spare=tuple(Spare("loom-0", "Loom 1", way) for way in range(4, 25))), a_cover())
    assert [row.way for row in sheet.spare] == [str(way) for way in range(4, 4 + BLANK_ROWS)]
    assert sheet.also_spare == f"Loom 1 {4 + BLANK_ROWS}–24"


def test_phantom_that_nobody_settled_is_said():
    """An unknown feeder is not printed as none."""
    rows = patch_sheet(a_plan((a_line(1, phantom="unknown"), a_line(2, phantom="none"))), a_cover()).box.rows
    assert [row.phantom for row in rows] == ["not known", "–"]


@pytest.mark.parametrize(
    ("status", "signatures", "mark", "unsigned"),
    [
        ("draft", (), "Draft, not signed", ("band", "house")),
        ("signed", SIGNED[1:], "Signed for the house only", ("band",)),
        ("agreed", SIGNED, "Agreed: both sides signed this", ()),
    ],
)
def test_the_state_of_signing_is_said_in_words(status, signatures, mark, unsigned):
    """A draft cannot be taken for a signed sheet."""
    sheet = patch_sheet(plan_of(2), a_cover(status=status, signatures=signatures))
    assert (sheet.heading.state, sheet.unsigned) == (mark, unsigned)
    assert mark in sheet.foot


@pytest.mark.parametrize(("route", "missing"), [("own-pa", ()), ("house-pa-band-mixes", ("house",))])
def test_the_band_alone_is_asked_where_it_brings_the_pa(route, missing):
    """The band's word is enough at its own PA, and nowhere else: sheet and day sheet say so as the pages do."""
    plan, cover = replace(plan_of(2), route=route), a_cover(status="signed", signatures=SIGNED[:1])
    assert patch_sheet(plan, cover).unsigned == missing
    assert signed_words(plan, cover).endswith(" only") == bool(missing)


@pytest.mark.parametrize("plan", [plan_of(14), an_own_pa_plan(), a_left_right_plan()], ids=["split", "own PA", "pair"])
def test_the_order_begins_dead_and_ends_with_ears(plan):
    """Muted and 48 V off before plugging, in-ears after line check, and the mains caution on every sheet."""
    sheet = patch_sheet(plan, a_cover())
    steps = list(sheet.order)
    assert steps[0].startswith("Keep in-ears out.")
    dead = next(index for index, step in enumerate(steps) if "Band: mute the mixer, 48 V off" in step)
    assert dead < next(index for index, step in enumerate(steps) if step.startswith("Plug "))
    check = next(index for index, step in enumerate(steps) if step.startswith("Line check"))
    assert steps.index("In-ears in last, level down, then up slowly.") > check
    assert sheet.cautions[0] == TINGLE


def test_cautions_are_those_that_apply():
    """No word about in-ears or radio where nobody wears any, none about ground lift where no line goes to the house."""
    text = " ".join(patch_sheet(replace(an_own_pa_plan(), ears=()), a_cover()).cautions)
    assert "In-ear" not in text
    assert "Radio" not in text
    assert "Ground lift" not in text
    everything = " ".join(patch_sheet(plan_of(3), a_cover()).cautions)
    assert all(word in everything for word in ("In-ear", "Radio", "Ground lift", "two people", "electrician"))


def test_the_key_holds_the_abbreviations_used_and_no_others():
    """An abbreviation is explained exactly when it stands on the sheet."""
    assert "L/R" in dict(patch_sheet(plan_of(1, sentence="One L/R pair."), a_cover()).key)
    split = dict(patch_sheet(plan_of(3), a_cover()).key)
    assert "L/R" not in split
    assert {"DI", "48 V", "dB", "XLR"} <= set(split)
    own = dict(patch_sheet(an_own_pa_plan(), a_cover()).key)
    assert set(own) <= set(MEANINGS)


def test_a_code_is_drawn_for_a_web_address_only():
    """No address and no other scheme makes a code."""
    assert patch_sheet(plan_of(1), a_cover()).code.startswith("<svg")
    assert not patch_sheet(plan_of(1), a_cover(link="")).code
    assert not patch_sheet(plan_of(1), a_cover(link="javascript:alert(1)")).code


def test_what_nobody_knows_yet_is_said():
    """An empty contact or place reads as not known, not as a gap."""
    heading = patch_sheet(plan_of(1), a_cover(answers={})).heading
    assert {heading.contact, heading.rack_place, heading.who_mixes} == {"not known yet"}


def test_a_text_that_is_too_long_is_shortened_and_the_sheet_says_so():
    """A 200,000-character note ends in an ellipsis and is named; a text that fits is left alone."""
    sheet = patch_sheet(a_plan((a_line(1, note="a b " * 50_000), a_line(2, note="short"))), a_cover())
    (note,) = sheet.box.rows[0].under
    assert len(note) <= 120
    assert note.endswith(ELLIPSIS)
    assert sheet.shortened == "the note of line 1"
    assert patch_sheet(plan_of(3), a_cover()).shortened == ""


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("Kick\x00 \x07In\r\n", "Kick In"),
        ("\u202eevil\u202c \u2066x\u2069\u200e", "evil x"),
        ("  a \u00a0\t b\u2028c ", "a b c"),
        ("e" + "\u0301" * 40, "é" + "\u0301" * 2),
        ("\ud800lone", "lone"),
        ("שלום 🎸 Ünï", "שלום 🎸 Ünï"),
    ],
)
def test_texts_are_one_printable_line(typed, printed):
    """Control characters, direction overrides and mark towers go; other scripts stay."""
    assert clean(typed) == printed


def test_no_field_escapes_cleaning():
    """A direction override in any field reaches no field of the sheet."""
    text = "x\u202ey\x00z"
    assert "\u202e" not in repr(patch_sheet(a_hostile_plan(text), a_hostile_cover(text)))
    sheet = patch_sheet(a_hostile_plan(text), a_hostile_cover(text))
    assert not {"\u202e", "\x00"} & set("".join(str(part) for part in _texts(sheet)))


def _texts(part: object):
    if isinstance(part, str):
        yield part
    elif isinstance(part, tuple):
        for one in part:
            yield from _texts(one)
    elif hasattr(part, "__dataclass_fields__"):
        for name in part.__dataclass_fields__:
            yield from _texts(getattr(part, name))


def test_runs_of_numbers_are_joined():
    """Neighbours are joined by a dash, others by commas."""
    assert ranges([7, 1, 2, 3, 9, 8, 3]) == "1–3, 7–9"
    assert ranges([]) == ""


@pytest.mark.parametrize("key", ["Patch Sheet", "patch_sheet", "patch-sheet", ""])
def test_a_document_needs_a_key_of_its_own(key):
    """A key is kebab-case and used once."""
    with pytest.raises(ValueError, match=r"kebab-case|twice"):
        register(Document(key, "x", "x", ("csv",)))
    assert DOCUMENTS["patch-sheet"].title == "Patch sheet"


def test_a_long_row_of_the_cut_list_is_whole():
    """Twenty sources leave at once at a large gig: each clause is carried out, so none is lost behind an ellipsis."""
    text = "; ".join(f"Source {number} in-ears only, back into mixer input {number}" for number in range(1, 21))
    sheet = patch_sheet(replace(plan_of(6), cut_list=(Cut(4, text),)), a_cover())
    assert sheet.cut_list == (("4", text),)
    assert not sheet.shortened
    assert day_sheet(replace(plan_of(6), cut_list=(Cut(4, text),)), a_cover()).cut_list == (("4", text),)
