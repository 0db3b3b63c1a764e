"""Every paper on both sizes, with the longest and the most hostile words, read back by other programs."""

import io
import json
import re
import shutil
import subprocess
from dataclasses import fields, replace
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
import zxingcpp

from portal.documents.day_sheet import day_page, day_sheet, to_check
from portal.documents.input_list import input_list
from portal.documents.patch.patch_rows import LineRow
from portal.documents.patch.patch_sheet import patch_sheet
from portal.documents.registry import DOCUMENTS
from portal.documents.rendering.page import page
from portal.documents.rendering.pdf import STYLESHEET, Attached
from portal.documents.rendering.sizes import SIZES
from portal.exchange.example import example_rig
from portal.exchange.spreadsheets.tables import csv_bytes, xlsx_bytes
from portal.plan import Plan, reconcile
from portal.plan.input.rig import Rig, Source
from portal.plan.model import Path as LinePath
from portal.wording.catalogue import languages, look_up, read_in
from tests.documents.plans import SIGNED, a_cover, a_hostile_cover, a_hostile_plan, a_line, a_plan, plan_of, said
from tests.documents.reading import beyond_the_edge, one_bit, pages, squash, type_sizes
from tests.steps import Steps

PAPERS = sorted(key for key, entry in DOCUMENTS.items() if entry.build)
MOST_STEPS = 2_000_000
"""Four times what a crowd of 24 players takes."""
HOSTILE = (
    "Ünï \u202eevil\u202c \x00\x07 שלום 🎸 e" + "\u0301" * 40 + " =1+1 <b>&amp;</b> " + "W" * 60 + " long" * 40_000
)
"""Control characters, text from right to left, pictures, stacked marks, a formula, markup, an endless word and 200 000
characters.
"""


def hostile_rig() -> Rig:
    rig = example_rig()
    return replace(
        rig,
        source=tuple(
            replace(source, key=f"s-{number}", label=HOSTILE, player=HOSTILE)
            for number, source in enumerate(rig.source, 1)
        ),
        loom=tuple(replace(loom, name=HOSTILE, house_end=HOSTILE) for loom in rig.loom),
    )


def paper(worker, key, plan, cover, size="A4", attached=None) -> bytes:
    return worker.render(page(key, plan, cover, STYLESHEET, SIZES[size]), attached)


@pytest.mark.slow
@pytest.mark.parametrize("size", ["A4", pytest.param("Letter", marks=pytest.mark.soak)])
@pytest.mark.parametrize("key", PAPERS)
def test_nothing_leaves_the_paper(worker, key, size):
    """On both sizes no letter lies over the edge, no type is smaller than 9 points, and the paper has the size that was
    asked for.
    """
    content = paper(worker, key, plan_of(20), a_cover(rig=example_rig()), size)
    assert beyond_the_edge(content) == 0
    assert min(type_sizes(content)) > 8.99
    with pikepdf.open(io.BytesIO(content)) as document:
        sides = sorted(float(side) for side in document.pages[-1].mediabox[2:])
    assert sides == pytest.approx(sorted((SIZES[size].width_mm * 72 / 25.4, SIZES[size].height_mm * 72 / 25.4)), abs=1)


def many_sources(count: int) -> tuple[Plan, Rig]:
    """A plan of so many lines and the rig behind it, with the worst words everywhere: players of their own, in-ears,
    looms, splitters.
    """
    plan = a_hostile_plan(HOSTILE, count)
    sources = tuple(
        Source(
            key=f"s-{number}",
            label=HOSTILE,
            player=f"{number % 32} {HOSTILE}",
            capture="mic",
            stand="tall",
            at_m=(number % 13 - 6.0, number % 7.0),
        )
        for number in range(1, count + 1)
    )
    rig = hostile_rig()
    return plan, replace(
        rig, source=sources, ears=tuple(replace(rig.ears[0], player=f"{number} {HOSTILE}") for number in range(32))
    )


@pytest.mark.slow
@pytest.mark.parametrize("count", [24, pytest.param(128, marks=pytest.mark.soak)])
def test_a_plot_of_hostile_words_stays_on_the_paper(worker, count):
    """A crowd of players with the worst names: nothing over the edge, nothing below 9 points, and few places tried for
    each word.
    """
    plan, rig = many_sources(count)
    with Steps() as taken:
        html = page("stage-plot", plan, replace(a_hostile_cover(HOSTILE), rig=rig), STYLESHEET, SIZES["Letter"])
    print(f"\nsources={count} steps={taken.count}")  # noqa: T201 - shown with -s
    assert taken.count < MOST_STEPS
    content = worker.render(html)
    assert beyond_the_edge(content) == 0
    assert min(type_sizes(content)) > 8.99


@pytest.mark.parametrize("count", [14, 128])
def test_the_sheet_of_the_day_takes_the_worst_words(count):
    """200 000 characters in every field of every line make a page of words only, with every line, what only the in-ears
    hear, and without control characters or markup.
    """
    plan = a_hostile_plan(HOSTILE, count)
    html = day_page(day_sheet(plan, a_hostile_cover(HOSTILE)))
    assert len(html) < 3_000 * count + 20_000
    assert html.count('<td class="channel">') == len(to_check(plan)) > count
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f\u202a-\u202e\u2066-\u2069]|<b>&amp;</b>", html)
    assert "שלום 🎸" in html


@pytest.mark.slow
@pytest.mark.parametrize("key", PAPERS)
def test_hostile_words_stay_on_the_paper(worker, key):
    """The worst words in every field, on the smaller paper, push nothing over the edge."""
    cover = replace(a_hostile_cover(HOSTILE), rig=hostile_rig())
    content = paper(worker, key, a_hostile_plan(HOSTILE, 14), cover, "Letter")
    assert beyond_the_edge(content) == 0
    assert len(pages(content)) < 40
    with pikepdf.open(io.BytesIO(content)) as document:
        assert not document.attachments


@pytest.mark.slow
@pytest.mark.parametrize("count", [32, pytest.param(128, marks=pytest.mark.soak)])
@pytest.mark.parametrize("key", ["input-list", "pack-list"])
def test_many_lines_of_the_longest_words_make_a_paper(worker, key, count):
    """A long paper is made, whole, and says its number of pages on each."""
    content = paper(
        worker, key, a_hostile_plan("Backing vocal, second from the left side", count), a_cover(rig=example_rig())
    )
    found = pages(content)
    assert beyond_the_edge(content) == 0
    assert all(squash(f"page {number} of {len(found)}") in text for number, text in enumerate(found, 1))


@pytest.mark.parametrize("key", [key for key, entry in DOCUMENTS.items() if entry.table])
def test_hostile_words_fit_the_files(key):
    """CSV and workbook take the worst words, and no cell of a workbook is longer than it may be."""
    table = DOCUMENTS[key].table(a_hostile_plan(HOSTILE, 14), replace(a_cover(), rig=hostile_rig()))
    assert len(csv_bytes(table.heads, table.numbers, table.rows)) < 200_000
    assert len(xlsx_bytes(table.title, table.heads, table.numbers, table.rows)) < 200_000


def test_the_input_list_names_a_pa_where_nothing_goes_to_a_desk():
    """The band's mix at the inputs of a PA has no desk channel, on paper and in the file, and travels over no link."""
    plan = reconcile(example_rig(), said(pa="stereo", who_mixes="band-from-stage", pa_inputs=2))
    words = page("input-list", plan, a_cover(), STYLESHEET)
    assert "Inputs of the PA of the house" in words
    assert "Channels of the house desk" not in words
    assert "<br>channel" not in words
    assert "digital link" not in words
    assert not patch_sheet(plan, a_cover()).any_link
    table = DOCUMENTS["input-list"].table(plan, a_cover())
    assert {row[table.heads.index("Desk channel")] for row in table.rows} == {None}
    assert {row[table.heads.index("Box")] for row in table.rows} == {"PA"}


def test_the_input_list_is_in_desk_order():
    """Channels rise from the first row to the last, whatever the order of the lines and sockets."""
    lines = tuple(a_line(number, desk_channel=40 - number) for number in range(1, 15))
    rows = input_list(a_plan(lines), a_cover()).rows
    assert [int(row.channel) for row in rows] == sorted(40 - number for number in range(1, 15))
    pair = {row.channel: row.stereo_with for row in rows if row.stereo_with != "–"}
    assert pair == {"34": "33", "33": "34", "30": "29", "29": "30"}


def test_32_channels_fit_one_page_on_both_sizes(worker):
    """The rows of a 32-channel list stand on its first page."""
    for size in SIZES:
        first = pages(paper(worker, "input-list", plan_of(32), a_cover(), size))[0]
        rows = input_list(plan_of(32), a_cover()).rows
        cells = [field.name for field in fields(LineRow) if field.name != "in_a_note"]
        assert [row.channel for row in rows if squash("".join(getattr(row, cell) for cell in cells)) not in first] == []


@pytest.mark.parametrize("name", languages())
def test_the_input_list_breaks_no_side(worker, name):
    """Whose gain it is stands whole in its narrow column, in each language."""
    plan = a_plan((a_line(1), a_line(2, gain_owner="band")))
    with read_in(name):
        content = paper(worker, "input-list", plan, a_cover())
        sides = (look_up("each"), look_up("band"))
    with pypdfium2.PdfDocument(content) as document:
        text = document[0].get_textpage().get_text_range()
    found = [re.findall(r"\s*".join(side), text) for side in sides]
    assert all(found)
    assert [words for words, side in zip(found, sides, strict=True) if set(words) != {side}] == []


def test_32_lines_fit_one_letter_page(worker):
    """The patch sheet's table fits Letter as it fits A4."""
    content = paper(worker, "patch-sheet", plan_of(32), a_cover(), "Letter")
    assert beyond_the_edge(content) == 0
    assert all(squash(f"{number}Loom2") in pages(content)[0] for number in range(1, 17))


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
def test_the_code_can_be_read(worker, size):
    """A reader of codes that is not the writer finds the address, from the page at one bit and 200 dots per inch, as a
    photocopier sees it.
    """
    content = paper(worker, "patch-sheet", plan_of(14), a_cover(), size)
    found = zxingcpp.read_barcodes(one_bit(content, 0))
    assert [code.text for code in found] == [a_cover().link]
    long = "https://portal.example/day/" + "0123456789abcdef" * 9
    assert [
        code.text
        for code in zxingcpp.read_barcodes(
            one_bit(paper(worker, "patch-sheet", plan_of(14), a_cover(link=long), size), 0)
        )
    ] == [long]


@pytest.mark.slow
def test_files_are_sound_to_a_second_reader(worker, tmp_path: Path):
    """A second reader, qpdf, finds no fault in structure and streams of any paper, and takes the plan out of the signed
    form unchanged.
    """
    qpdf = shutil.which("qpdf")
    assert qpdf, "qpdf is not installed; .ci/setup test installs it"
    attached = Attached("plan.json", json.dumps({"label": "Kick ·"}), "The plan as data")
    cover = a_cover(status="agreed", signatures=SIGNED, rig=example_rig())
    for key in PAPERS:
        for size in list(SIZES)[: 2 if key == "patch-sheet" else 1]:
            file = tmp_path / f"{key}-{size}.pdf"
            file.write_bytes(paper(worker, key, plan_of(14), cover, size, attached if DOCUMENTS[key].signed else None))
            checked = subprocess.run([qpdf, "--check", file], capture_output=True, text=True, check=False)
            assert (checked.returncode, "No syntax or stream encoding errors found" in checked.stdout) == (0, True), (
                checked.stdout + checked.stderr
            )
            if DOCUMENTS[key].signed:
                shown = subprocess.run([qpdf, "--show-attachment=plan.json", file], capture_output=True, check=True)
                assert shown.stdout.decode() == attached.text


def test_what_archives_ask_for_is_there(worker):
    """What PDF/A-3a names and can be looked up: metadata, output intent or device-independent colour, embedded fonts,
    tags, the relation of the attached file, no encryption and no script. This is a look at each, not a validation.
    """
    attached = Attached("plan.json", "{}", "The plan as data")
    content = paper(worker, "patch-sheet", plan_of(14), a_cover(status="agreed", signatures=SIGNED), "A4", attached)
    assert content.startswith(b"%PDF-1.7")
    with pikepdf.open(io.BytesIO(content)) as document:
        assert not document.is_encrypted
        assert document.Root.MarkInfo.Marked
        assert "/StructTreeRoot" in document.Root
        assert document.Root.OutputIntents[0].S == "/GTS_PDFA1"
        assert {str(file.AFRelationship) for file in document.Root.AF} == {"/Data"}
        assert document.trailer.get("/ID") is not None
        kinds = {
            str(part.get("/S")) for part in document.objects if isinstance(part, pikepdf.Dictionary) and "/S" in part
        }
        assert not kinds & {"/JavaScript", "/Launch", "/URI"}
        fonts = [
            part
            for part in document.objects
            if isinstance(part, pikepdf.Dictionary) and part.get("/Type") == "/FontDescriptor"
        ]
        assert all({"/FontFile2", "/FontFile3"} & set(font.keys()) for font in fonts)


def test_the_phone_says_where_a_line_is_in_the_rack():
    """Line check runs through the rack too: each line's splitter way or output, and its mixer input; of a sum only the
    output.
    """
    split = a_line(1, path=LinePath("split", "a", "Rack A", 5, "isolated"), mixer_input=7)
    direct = a_line(2, path=LinePath("direct-out", "mixer", "direct out", None, "out-13"), mixer_input=9)
    summed = a_line(3, path=LinePath("group", "mixer", "group", None, "out-14"), mixer_input=3, sources=("s-3", "s-4"))
    sheet = day_sheet(a_plan((split, direct, summed)), a_cover())
    assert [row.rack for row in sheet.rows[:3]] == [
        "Rack A, way 5, mixer input 7",
        "direct out, out 13, mixer input 9",
        "group, out 14",
    ]
    html = day_page(sheet)
    assert all(f'<span class="soft">{row.rack}</span>' in html for row in sheet.rows)


def test_a_column_that_no_row_needs_leaves_its_room_to_the_notes():
    """Pad, polarity and the stereo partner stand on the input list only where a row has one; so does the key's word."""
    plain = a_plan(tuple(a_line(number, pad_db=0, polarity="normal", stereo_partner=None) for number in (1, 2)))
    html = page("input-list", plain, a_cover(), "print.css")
    assert not {"Pol.", "Stereo<br>with", "Pad<br>dB"} & set(re.findall(r"<th[^>]*>(.*?)</th>", html))
    assert "<b>Pol.</b>" not in html
    assert ">Pol.</th>" in page("input-list", a_plan((a_line(2),)), a_cover(), "print.css")
