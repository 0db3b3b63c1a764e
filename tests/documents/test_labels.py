"""Labels: any sheet, every used way at both ends, and no text outside its label."""

import ctypes
import itertools

import pypdfium2
import pypdfium2.raw as pdfium
import pytest

from portal.documents.labels.label_colours import DIGITS, RESERVED, bands
from portal.documents.labels.label_document import PAD_MM, Labels, Wish, labels, usual, usual_strips
from portal.documents.labels.label_kinds import KINDS
from portal.documents.labels.label_sheet import LabelSheet, strip_labels, tail_labels
from portal.documents.labels.label_test import label_test
from portal.documents.labels.label_text import FLOOR_MM, Fitting, width_em
from portal.documents.registry import DOCUMENTS
from portal.documents.rendering.page import show
from portal.documents.rendering.pdf import STYLESHEET
from portal.documents.rendering.printed import ELLIPSIS
from portal.documents.rendering.sizes import A4, LETTER
from portal.plan.model import Path
from tests.documents.plans import (
    a_cover,
    a_hostile_plan,
    a_left_right_plan,
    a_line,
    a_plan,
    an_own_pa_plan,
    plan_of,
)
from tests.documents.reading import DPI, one_bit, pages, squash, type_sizes
from tests.plan.case_files import planned_cases
from tests.plan.outcomes import plan_of_case

POINT_MM = 25.4 / 72


def rule_of(sheet: LabelSheet) -> str:
    return f"@page label-page {{ size: {sheet.page_width_mm}mm {sheet.page_height_mm}mm }}"


def paper(worker, made: object, key: str = "labels") -> bytes:
    return worker.render(show(DOCUMENTS[key], made, STYLESHEET, A4, rule_of(made.sheet)))


def letters(content: bytes, number: int):
    """Every letter of a page with its edges in millimetres from the left and from the top."""
    with pypdfium2.PdfDocument(content) as document:
        page = document[number]
        height = page.get_height()
        text = page.get_textpage()
        for index in range(text.count_chars()):
            code = pdfium.FPDFText_GetUnicode(text, index)
            if code <= ord(" "):
                continue
            left, right, bottom, top = (ctypes.c_double() for _ in range(4))
            assert pdfium.FPDFText_GetCharBox(text, index, left, right, bottom, top)
            yield (
                chr(code),
                left.value * POINT_MM,
                (height - top.value) * POINT_MM,
                right.value * POINT_MM,
                (height - bottom.value) * POINT_MM,
            )


def outside(content: bytes, made: Labels) -> list[str]:
    """Letters that lie wholly inside no label."""
    found = []
    for number, page in enumerate(made.pages):
        for char, left, top, right, bottom in letters(content, number):
            if not any(
                place.x_mm <= left
                and right <= place.x_mm + place.width_mm
                and place.y_mm <= top
                and bottom <= place.y_mm + place.height_mm
                for place in page.places
            ):
                found.append(f"{number}: {char} {left:.1f} {top:.1f}")
    return found


SHEETS = {
    "tails": tail_labels(A4),
    "tails, Letter": tail_labels(LETTER),
    "strips": strip_labels(A4),
    "smallest": LabelSheet(210, 297, 5, 5, 22, 12, 20, 11, 9, 23),
    "flat": LabelSheet(210, 297, 5, 5, 100, 11, 95, 11, 2, 26),
    "tall": LabelSheet(100, 150, 2, 2, 22, 48, 20, 45, 4, 3, 5),
}

# Forty characters wide, narrow, without a space, from right to left, without letters of the typeface, and what the
# trade writes.
CORPUS = (
    "W" * 40, "i" * 40, "Backing vocal, second from the left side", "Donaudampfschifffahrtsgesellschaftskapi",
    "שיר" * 13, "漢字" * 20, "🎸" * 40,
    "Ünï e" + "\u0301" * 30, "<b>&amp;</b>", "+48V -10 dBV", "A" * 12 + " " + "B" * 12, "\u202eevil\u202c", "Kick",
)  # fmt: skip


def test_tonight_only_what_the_way_s_own_number_would_mislead():
    """A tail in the box input of its own number needs no label; every other one bears that input, and each return."""
    lines = tuple(a_line(number, box_socket=number + 2 * (number > 3)) for number in range(1, 15))
    own = a_line(15, loom=None, box_socket=20)
    made = labels(a_plan((*lines, own)), a_cover(), usual())
    assert [(number, name) for number, name, _ in made.listed[:-1]] == [
        *((str(line.box_socket), line.strip) for line in lines[3:]),
        ("20", own.strip),
    ]
    assert "Loom 1, way 4" in made.listed[0][2]
    assert made.listed[-1][:2] == ("R", "Engineer's talkback")
    assert all("12 Mar · rev 7 · Harbour Night" in rest for _, _, rest in made.listed)


def test_the_box_input_is_the_largest_on_its_label():
    """Whoever plugs reads the input first, then the way."""
    (page,) = labels(a_plan((a_line(4),), returns=()), a_cover(), usual()).pages
    sizes = {text.text: text.size_mm for text in page.texts}
    assert max(sizes, key=sizes.__getitem__) == "6"
    assert next(size for text, size in sizes.items() if text.startswith("12 Mar · rev 7 · ")) == min(sizes.values())


def test_ways_keep_their_number_at_both_ends_for_good():
    """Two labels for each way, spare ones too, with nothing of tonight on them."""
    plan = plan_of(14)
    listed = labels(plan, a_cover(), Wish(("ways",), tail_labels(A4))).listed
    assert [(number, rest) for number, _, rest in listed] == [
        (str(way), f"way {way}, {end}") for way in range(1, 17) for end in ("rack end", "box end")
    ]
    assert not any("Harbour" in word for row in listed for word in row)


def test_strips_stand_in_the_order_of_what_they_are_stuck_on():
    """Ways, sockets and channels in their own order; what by-passes the rack is not on the rack's strip."""
    plan = a_plan(
        (
            a_line(1, box_socket=9, desk_channel=5),
            a_line(2, box_socket=3, desk_channel=8),
            a_line(3, path=Path("straight", "", "straight", None, "")),
        )
    )
    listed = labels(plan, a_cover(), usual_strips()).listed
    starts = [index for index, (number, _, _) in enumerate(listed) if not number]
    strips = [listed[begin + 1 : end] for begin, end in itertools.pairwise([*starts, len(listed)])]
    assert [[number for number, _, _ in strip] for strip in strips] == [["1", "2"], ["3", "5", "9"], ["3", "5", "8"]]


def test_a_line_over_a_digital_link_needs_no_label():
    """What has no cable and no socket is on the desk's strip only."""
    plan = a_plan(
        (a_line(1, box_socket=None, loom=None, path=Path("digital-link", "mixer", "digital link", None, "")),)
    )
    assert labels(plan, a_cover(), Wish(tuple(KINDS), tail_labels(A4))).listed[-1] == ("1", "KICK IN", "link")


def test_colours_are_the_numbers_own():
    """Tens and units by IEC 60062, codes by IEC 60757; the reserved pairs and three digits stand without."""
    codes = {
        number: "".join(colour.code for colour in bands(number) or ()) for number in (1, 5, 12, 24, 45, 54, 55, 99, 100)
    }
    assert codes == {1: "BKBN", 5: "BKGN", 12: "BNRD", 24: "RDYE", 45: "", 54: "", 55: "GNGN", 99: "WHWH", 100: ""}
    assert {number for number in range(100) if not bands(number)} == RESERVED == {45, 54}
    assert len({colour.paint for colour in DIGITS}) == 10


@pytest.mark.slow
@pytest.mark.parametrize("name", SHEETS)
def test_no_text_leaves_its_label(worker, name, capsys):
    """Over a corpus of names up to 40 characters every letter lies inside its label, and no type is under 9 points."""
    lines = tuple(
        a_line(place + 1, label=text, strip=text[:12], path=Path("split", "r", text, place + 1, ""))
        for place, text in enumerate(CORPUS)
    )
    made = labels(a_plan(lines), a_cover(), Wish(tuple(KINDS), SHEETS[name]))
    content = paper(worker, made)
    over = outside(content, made)
    smallest = min(type_sizes(content))
    with capsys.disabled():
        print(  # noqa: T201 - shown with -s
            f"\n{name}: texts={len(CORPUS)} labels={len(made.listed)} letters_outside={len(over)}"
            f" smallest_pt={smallest:.2f}",
            end="",
        )
    assert over == []
    assert smallest > 8.99
    assert sum(len(page.places) for page in made.pages) == len(made.listed)


def test_what_is_written_from_right_to_left_stays_so(worker):
    """The first letter of a Hebrew name stands at its right end, marks stand on their letters, and a Latin name is not
    turned round.
    """
    names = ("שלום", "e\u0301\u0302zz", "Zq")
    made = labels(
        a_plan(tuple(a_line(number, label=name, strip="") for number, name in enumerate(names, 1))), a_cover(), usual()
    )
    at = {char: left for char, left, *_ in letters(paper(worker, made), 0)}
    assert at["ש"] > at["ם"]
    assert at["Z"] < at["q"]


def test_a_planted_overflow_would_be_found(worker, monkeypatch):
    """The search above sees a text that was not made to fit."""
    monkeypatch.setattr("portal.documents.labels.label_text.width_em", lambda _text: 1.0)
    made = labels(a_plan((a_line(1, label="Backing vocal, second from the left"),)), a_cover(), usual())
    assert outside(paper(worker, made), made) != []


@pytest.mark.slow
@pytest.mark.parametrize("name", [case.name for case in planned_cases()[::6]])
def test_worked_cases_stay_inside_their_labels(worker, name):
    """What the engine really says fits too."""
    made = labels(plan_of_case(name), a_cover(), Wish(tuple(KINDS), SHEETS["smallest"]))
    assert outside(paper(worker, made), made) == []


def test_a_short_form_means_one_thing_and_is_explained(worker):
    """Two names that begin alike get different short forms, and the page of the list explains each."""
    names = (
        "Backing vocal of the second guitarist",
        "Backing vocal of the second horn player",
        "Backing vocal of the secondary keys",
    )
    made = labels(
        a_plan(tuple(a_line(n, label=name, strip="") for n, name in enumerate(names, 1))),
        a_cover(),
        Wish(("tails",), SHEETS["smallest"]),
    )
    key = dict(made.key)
    assert set(names) <= set(key.values())
    assert len({short for short, meaning in key.items() if meaning in names}) >= 3
    everything = "".join(pages(paper(worker, made)))
    assert [
        short for short, meaning in key.items() if squash(short) not in everything or squash(meaning) not in everything
    ] == []


def test_a_text_shrinks_before_it_is_shortened():
    """As large as it fits, down to the floor; only below that a short form, the band's own first."""
    fitting = Fitting()
    assert fitting("Kick", 40, 7).size_mm == 7
    small = fitting("Overhead left", 30, 7)
    assert (small.text, FLOOR_MM < small.size_mm < 7) == ("Overhead left", True)
    assert width_em(small.text) * small.size_mm <= 30
    assert fitting("Overhead left", 12, 7, "OH L").text == "OH L"
    assert fitting.shortened == {"OH L": "Overhead left"}


def test_a_gigs_name_loses_whole_words():
    """Date and revision stay; of a long name no word is cut, and an ellipsis says that there is more."""
    stamp = "12 Dec · rev 7 · Long Barn December Dance"
    width = width_em("12 Dec · rev 7 · Long Barn Decem") * FLOOR_MM
    assert Fitting()(stamp, width, FLOOR_MM, from_the_end=True).text == "12 Dec · rev 7 · Long Barn…"
    width = width_em("12 Dec · rev 7 · Lo") * FLOOR_MM
    assert Fitting()(stamp, width, FLOOR_MM, from_the_end=True).text == "12 Dec · rev 7…"


@pytest.mark.parametrize("wish", [usual(), usual_strips()], ids=["tails", "strips"])
def test_no_label_ends_in_a_word_cut_short(wish):
    """What a tail or the first cell of a strip says of the gig, as it is laid out, is whole words."""
    gig = "Long Barn December Dance of the Harbour Society"
    made = labels(plan_of(14), a_cover(gig=gig), wish)
    told = {short for short, meaning in made.key if gig in meaning}
    assert told
    assert all(
        set(short.removesuffix(ELLIPSIS).split()) <= {*gig.split(), "12", "Mar", "·", "rev", "7"} for short in told
    )


@pytest.mark.parametrize("size", [A4, LETTER], ids=["A4", "Letter"])
def test_the_usual_sheets_are_without_faults(size):
    """What the form begins with can be printed."""
    for sheet in (tail_labels(size), strip_labels(size)):
        assert list(sheet.faults()) == []
        assert (sheet.page_width_mm, sheet.page_height_mm) == (size.width_mm, size.height_mm)


GOOD = {
    "page_width_mm": 210,
    "page_height_mm": 297,
    "left_mm": 0,
    "top_mm": 0.5,
    "pitch_x_mm": 70,
    "pitch_y_mm": 37,
    "width_mm": 70,
    "height_mm": 37,
    "columns": 3,
    "rows": 8,
}
"""Three by eight of 70 by 37 mm on A4, which end at 210 by 296.5 mm."""


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"columns": 4}, "columns"),
        ({"rows": 9}, "rows"),
        ({"left_mm": 0.1}, "columns"),
        ({"top_mm": 1.1}, "rows"),
        ({"pitch_x_mm": 69.9}, "pitch_x_mm"),
        ({"pitch_y_mm": 30}, "pitch_y_mm"),
        ({"left_mm": -1}, "left_mm"),
        ({"top_mm": -1}, "top_mm"),
        ({"width_mm": 0}, "width_mm"),
        ({"height_mm": 9}, "height_mm"),
        ({"columns": 0}, "columns"),
        ({"rows": 0}, "rows"),
        ({"start": 0}, "start"),
        ({"start": 25}, "start"),
        ({"page_width_mm": 10_000}, "page_width_mm"),
        ({"page_height_mm": 20}, "page_height_mm"),
        ({"columns": 40, "rows": 40}, "columns"),
    ],
)
def test_a_sheet_that_cannot_be_is_said(change, field):
    """Labels beyond the page, on each other, or of no size: the field and what to do."""
    faults = dict(LabelSheet(**{**GOOD, **change}).faults())
    assert field in faults
    assert faults[field].endswith(".")


def test_a_sheet_to_the_last_hundredth_is_good():
    """Labels that end exactly at the edge of the page are allowed, and one label needs no pitch."""
    assert list(LabelSheet(**GOOD).faults()) == []
    assert list(LabelSheet(50, 50, 10, 10, 0, 0, 40, 40, 1, 1).faults()) == []


def test_labels_lie_where_the_sheet_has_them(worker):
    """Pages have the sheet's size, the first label its place, the next page begins at the first place; nothing else
    stands on them.
    """
    sheet = LabelSheet(150, 100, 5, 5, 45, 30, 40, 25, 3, 3, 8)
    made = labels(plan_of(6, spare=()), a_cover(), Wish(("ways",), sheet))
    assert [len(page.places) for page in made.pages] == [2, 9, 3]
    assert (made.pages[0].places[0].x_mm, made.pages[0].places[0].y_mm) == (50, 65)
    content = paper(worker, made)
    with pypdfium2.PdfDocument(content) as document:
        assert [tuple(round(side * POINT_MM, 1) for side in document[number].get_size()) for number in range(3)] == [
            (150, 100)
        ] * 3
        assert tuple(round(side) for side in document[3].get_size()) == (595, 842)
    assert outside(content, made) == []
    first = min(left for char, left, *_ in letters(content, 0) if char == "1")
    assert 50 + PAD_MM <= first < 70


def test_the_test_page_measures_what_it_says(worker):
    """Drawn at 200 dots per inch, the ruler's ends are 100 mm apart in both directions, and a cross lies 10 mm from
    both edges in each corner.
    """
    made = label_test(a_cover(), LabelSheet(210, 297, 80, 140, 0, 0, 30, 11, 1, 1))
    content = paper(worker, made, "label-test")
    picture = one_bit(content, 0)
    dots_mm = DPI / 25.4

    def black(x_mm: float, y_mm: float) -> bool:
        x, y = round(x_mm * dots_mm), round(y_mm * dots_mm)
        return any(picture.getpixel((x + dx, y + dy)) == 0 for dx in (-1, 0, 1) for dy in (-1, 0, 1))

    left, top = made.left_mm, made.top_mm
    assert made.ruler_mm == 100
    assert black(left + 100, top + 2.5)
    assert not black(left + 102, top + 2.5)
    assert black(left + 2.5, top + 100)
    assert not black(left + 2.5, top + 102)
    for x in (10, 200):
        for y in (10, 287):
            assert black(x, y)
            assert black(x - 3, y)
            assert black(x, y + 3)
            assert not black(x - 3, y - 3)


@pytest.mark.parametrize(
    "plan",
    [
        pytest.param(an_own_pa_plan(), id="own PA"),
        pytest.param(a_left_right_plan(), id="pair"),
        pytest.param(a_hostile_plan("long " * 40_000, 20), id="hostile"),
        pytest.param(a_hostile_plan("long " * 40_000, 128), id="128 hostile", marks=pytest.mark.soak),
    ],
)
def test_every_kind_of_plan_makes_labels(worker, plan):
    """No line at all, own cables, many lines of hostile words: a paper comes out, and no letter lies beside its
    label.
    """
    made = labels(plan, a_cover(), Wish(tuple(KINDS), tail_labels(A4)))
    content = paper(worker, made)
    assert outside(content, made) == []
    assert squash("What the labels say") in "".join(pages(content))
