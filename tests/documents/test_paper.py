"""The finished paper, read back by another program."""

import io
import json
import threading
from dataclasses import replace
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pikepdf
import pytest

from portal.documents.abbreviations import MEANINGS, used
from portal.documents.patch.patch_columns import COLUMNS
from portal.documents.patch.patch_sheet import PatchSheet, patch_sheet
from portal.documents.registry import DOCUMENTS
from portal.documents.rendering.page import page
from portal.documents.rendering.pdf import STYLESHEET, Attached
from portal.documents.rendering.printed import typeset
from portal.documents.rendering.sizes import SIZES
from portal.documents.rendering.worker import RenderFailed
from portal.plan.model import Item, Plan
from tests.documents.plans import (
    MARKUP,
    SIGNED,
    a_cover,
    a_hostile_cover,
    a_hostile_plan,
    a_left_right_plan,
    a_line,
    a_plan,
    an_own_pa_plan,
    plan_of,
    said,
)
from tests.documents.reading import beyond_the_edge, long_rules, one_bit, pages, squash, type_sizes
from tests.plan.case_files import planned_cases
from tests.plan.outcomes import plan_of_case


def paper(worker, plan, cover, attached=None) -> bytes:
    return worker.render(page("patch-sheet", plan, cover, STYLESHEET), attached)


def row_texts(sheet: PatchSheet) -> list[str]:
    """Each row of the lines' table as its cells read from the stage to the house."""
    names = [column.name for column in sheet.box.columns]
    return [
        squash("".join(str(getattr(row, name, "")) for name in names) + " · ".join(row.under)) for row in sheet.box.rows
    ]


LEVELS = {"blocks": "blocker", "asks": "to confirm", "notes": "note"}
"""What the paper calls a level."""


def texts(part: object):
    """Every text of a sheet but its rows, the drawing of the code and the words that only fill tables evenly."""
    if isinstance(part, tuple):
        for one in part:
            yield from texts(one)
    elif hasattr(part, "__dataclass_fields__"):
        for name in part.__dataclass_fields__:
            if name == "level":
                yield squash(LEVELS[getattr(part, name)])
            elif name == "mixer_once":
                # The first of each is the name of its column, which the template leaves out.
                yield from texts(tuple(one[1:] for one in getattr(part, name)))
            elif name not in {"code", "language", "title", "columns", "rows"}:
                yield from texts(getattr(part, name))
    elif isinstance(part, str):
        yield squash(typeset(part))


PLANS = {
    "1": plan_of(1),
    "14": plan_of(14),
    "20": plan_of(20),
    "29": plan_of(29),
    "own PA": an_own_pa_plan(),
    "pair": a_left_right_plan(),
}


@pytest.mark.parametrize("name", PLANS)
def test_every_fact_is_on_the_paper(worker, name):
    """What the sheet holds can be read on the paper, and each line is whole, from stage to house, on one page."""
    sheet = patch_sheet(PLANS[name], a_cover(status="signed", signatures=SIGNED[:1]))
    found = pages(paper(worker, PLANS[name], a_cover(status="signed", signatures=SIGNED[:1])))
    assert [row for row in row_texts(sheet) if not any(row in text for text in found)] == []
    everything = "".join(found)
    assert [text for text in texts(sheet) if text not in everything] == []


CASES = [
    pytest.param(case.name, marks=pytest.mark.soak if place % 4 else ()) for place, case in enumerate(planned_cases())
]


@pytest.mark.slow
@pytest.mark.parametrize("name", CASES)
def test_every_worked_case_makes_a_whole_paper(worker, name):
    """Whatever the engine says about a worked case stands on its paper, inside the page."""
    plan = plan_of_case(name)
    sheet = patch_sheet(plan, a_cover(gig=name))
    content = paper(worker, plan, a_cover(gig=name))
    everything = "".join(pages(content))
    assert [text for text in (*texts(sheet), *row_texts(sheet)) if text not in everything] == []
    assert beyond_the_edge(content) == 0


def test_32_lines_fit_one_page(worker):
    """The lines of a 32-line sheet stand on its first page, and the rest follows."""
    content = paper(worker, plan_of(32), a_cover())
    found = pages(content)
    assert beyond_the_edge(content) == 0
    rows = row_texts(patch_sheet(plan_of(32), a_cover()))
    assert [row for row in rows if row not in found[0]] == []
    assert len(found) == 2


SHORT = [
    pytest.param(name, size, marks=() if name in ("", "sixteen-ways-plugged-at-the-front") else pytest.mark.soak)
    for size in SIZES
    for name in ("", *(case.name for case in planned_cases()))
]


@pytest.mark.slow
@pytest.mark.parametrize(("name", "size"), SHORT)
def test_two_pages_hold_every_sheet_of_32_lines(worker, name, size):
    """On either size of paper, with all that the engine says of a worked case."""
    plan = plan_of_case(name) if name else plan_of(32)
    assert len(plan.lines) <= 32
    content = worker.render(page("patch-sheet", plan, a_cover(), STYLESHEET, SIZES[size]))
    assert len(pages(content)) <= 2


@pytest.mark.slow
def test_128_lines_repeat_the_header_and_split_no_row(worker):
    """Every page with lines has the header row; every row is whole on one page; every page names revision, hash and its
    number.
    """
    sheet = patch_sheet(plan_of(128), a_cover())
    found = pages(paper(worker, plan_of(128), a_cover()))
    rows = row_texts(sheet)
    with_lines = [text for text in found if any(row in text for row in rows)]
    assert len(with_lines) >= 3
    assert sum(any(row in text for text in found) for row in rows) == 128
    head = squash(
        "Split way Loom Loom way Box input Desk channel Short name Source Mic or DI 48 V Pad dB Stand Note Tick"
    )
    assert [text.count(head) for text in with_lines] == [1] * len(with_lines)
    for number, text in enumerate(found, 1):
        assert squash(f"page {number} of {len(found)}") in text
        assert squash("Revision 7 · check code 3fa9-c21d · Draft, not signed") in text


def test_all_type_is_at_least_9_points_in_the_shipped_typeface(worker):
    """Nothing is smaller than 9 pt, and the only typeface is the packaged one, embedded."""
    content = paper(
        worker, plan_of(20), a_cover(status="agreed", signatures=SIGNED, answers=said(contact_name="Łucja Dvořáková"))
    )
    sizes = list(type_sizes(content))
    assert len(sizes) > 1000
    assert min(sizes) > 8.99
    with pikepdf.open(io.BytesIO(content)) as document:
        fonts = [
            part
            for part in document.objects
            if isinstance(part, pikepdf.Dictionary) and part.get("/Type") == "/FontDescriptor"
        ]
        assert fonts
        assert all("Atkinson" in str(font["/FontName"]) for font in fonts)
        assert all({"/FontFile2", "/FontFile3"} & set(font.keys()) for font in fonts)


def test_a_photocopy_keeps_the_rules(worker):
    """At one bit and 200 dots per inch every row keeps its rule, and the rule between two looms is visibly heavier."""
    rules = long_rules(one_bit(paper(worker, plan_of(32), a_cover()), 0))
    # Under the heads, then one under each line.
    assert len(rules) == 1 + 32
    lines = rules[1:]
    heavy = [number for number, dots in enumerate(lines, 1) if dots >= 4]
    assert heavy == [16]
    assert max(dots for number, dots in enumerate(lines, 1) if number not in heavy) <= 3


def test_nothing_on_the_paper_is_coloured_or_grey(worker):
    """Only black and white are painted, so that a copy loses nothing."""
    content = paper(worker, a_left_right_plan(), a_cover())
    with pikepdf.open(io.BytesIO(content)) as document:
        for sheet in document.pages:
            for operands, operator in pikepdf.parse_content_stream(sheet):
                if str(operator) in {"rg", "RG", "g", "G", "sc", "SC", "scn", "SCN"}:
                    assert {float(one) for one in operands if not isinstance(one, pikepdf.Name)} in ({0.0}, {1.0})


def test_the_key_explains_what_the_paper_uses(worker):
    """No abbreviation of the trade stands unexplained, none is explained that does not occur."""
    sheet = patch_sheet(plan_of(14), a_cover())
    shown = {short for short, _ in sheet.key}
    everything = "".join(pages(paper(worker, plan_of(14), a_cover())))
    before_key = everything.replace(squash("; ".join(" ".join(entry) for entry in sheet.key)), "")
    assert before_key != everything
    assert [short for short in shown if squash(short) not in before_key] == []
    words = page("patch-sheet", plan_of(14), a_cover(), "")
    assert {short for short, _ in used([words.partition("<h2>Key</h2>")[0]])} == shown
    assert shown <= set(MEANINGS)


class Listening(BaseHTTPRequestHandler):
    heard: list[str] = []  # noqa: RUF012 - shared on purpose: the server makes one handler per request

    def do_GET(self):
        self.heard.append(self.path)
        self.send_response(404)
        self.end_headers()

    def log_message(self, *_):
        pass


@pytest.fixture
def listener():
    Listening.heard.clear()
    server = ThreadingHTTPServer(("127.0.0.1", 0), Listening)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}/x"
    server.shutdown()
    thread.join()
    server.server_close()


@pytest.mark.slow
def test_planted_markup_is_printed_and_fetches_nothing(worker, listener, tmp_path):
    """Markup in any text field stands on the paper as text; nothing is fetched, read or embedded."""
    secret = tmp_path / "s"
    secret.write_text("the secret of the file")
    for address in (listener, secret.as_uri()):
        text = MARKUP.format(address=address)
        content = paper(worker, a_hostile_plan(text, 3), a_hostile_cover(text))
        everything = "".join(pages(content))
        assert squash('<b>bold</b><img src="') in everything
        assert "thesecret" not in everything
        with pikepdf.open(io.BytesIO(content)) as document:
            assert not document.attachments
            assert not [
                part
                for part in document.objects
                if isinstance(part, pikepdf.Stream) and part.get("/Subtype") == "/Image"
            ]
    assert Listening.heard == []


@pytest.mark.parametrize(
    "planted",
    [
        '<img src="{address}">',
        '<link rel="stylesheet" href="{address}">',
        '<style>@import url("{address}");</style>',
        '<style>body {{ background: url("{address}") }}</style>',
        '<object data="{address}"></object>',
        '<svg><image href="{address}"/></svg>',
        '<link rel="attachment" href="{address}">',
        '<a rel="attachment" href="{address}">x</a>',
    ],
)
def test_even_real_markup_fetches_nothing(worker, listener, tmp_path, planted):
    """Were a template ever to let markup through, the renderer would still reach neither the network nor a file."""
    secret = tmp_path / "secret.css"
    secret.write_text("body::before { content: 'the secret of the file' }")
    for address in (listener, secret.as_uri(), "data:text/css,body::before{content:'the secret'}", "print.css/../../x"):
        try:
            content = worker.render(f"<p>before</p>{planted.format(address=address)}<p>after</p>")
        except RenderFailed:
            continue
        assert "secret" not in "".join(pages(content))
        with pikepdf.open(io.BytesIO(content)) as document:
            assert not document.attachments
    assert Listening.heard == []


@pytest.mark.slow
@pytest.mark.parametrize("count", [14, pytest.param(128, marks=pytest.mark.soak)])
def test_the_longest_texts_stay_on_the_paper(worker, count):
    """Hostile texts in every field push nothing over the edge of the paper, and the sheet says what was shortened."""
    text = "Ünï \u202eevil\u202c \x00\x07 שלום 🎸 e" + "\u0301" * 40 + " " + "W" * 60 + " long" * 40_000
    content = paper(worker, a_hostile_plan(text, count), a_hostile_cover(text))
    found = pages(content)
    assert len(found) < 60
    assert beyond_the_edge(content) == 0
    assert squash("Shortened to fit") in "".join(found)


@pytest.mark.slow
@pytest.mark.parametrize("word", ["W" * 11, "漢字" * 9, "x" * 40])
def test_words_of_any_length_stay_on_the_paper(worker, word):
    """Wherever the columns stop breaking words, the words still fit."""
    plan = a_hostile_plan(word, 3)
    content = paper(worker, plan, a_cover())
    assert beyond_the_edge(content) == 0


@pytest.mark.slow
@pytest.mark.parametrize("size", SIZES)
def test_the_widest_rows_that_break_no_word_stay_within_the_margin(worker, size):
    """Where the longest words only just fit beside each other, or all cells on one line each, the table ends at the
    margin.
    """

    def rows(letters: int) -> Plan:
        """Lines with the widest of all fixed words, and two looms."""
        lines = (
            a_line(number, pad_db=20, polarity="flip", phantom="splitter", mic_or_di="mic") for number in range(1, 22)
        )
        return a_plan(
            tuple(
                replace(one, label="n" * letters, mic_or_di="n" * letters, strip="M" * 7)
                if one.line == 1
                else replace(one, label="Kick", strip="M" * 7)
                for one in lines
            )
        )

    def whole(letters: int) -> frozenset[str] | None:
        return patch_sheet(rows(letters), a_cover()).box.whole

    longest = max(letters for letters in range(1, 41) if whole(letters) is not None)
    names = {column.name for column in patch_sheet(rows(1), a_cover()).box.columns}
    all_whole = max(letters for letters in range(1, 41) if whole(letters) == names)
    assert names <= {column.name for column in COLUMNS}
    assert 1 < all_whole < longest < 40
    for letters in (all_whole, longest):
        seen = one_bit(worker.render(page("patch-sheet", rows(letters), a_cover(), STYLESHEET, SIZES[size])), 0)
        # A fifth of a millimetre for the rule's own thickness; both sizes have margins of 6 mm.
        margin = seen.crop((round(seen.width * (1 - 5.8 / SIZES[size].width_mm)), 0, seen.width, seen.height))
        assert margin.getextrema() == (255, 255)


@pytest.mark.parametrize("key", sorted(key for key, entry in DOCUMENTS.items() if entry.build))
def test_a_paper_is_a_tagged_english_document_with_a_title(worker, key):
    """Readers that speak find structure, language, title, what each header cell heads and what each drawing shows, in
    every document.
    """
    packed = replace(plan_of(14), bring=(Item("microphone", 12, "the band's own"),))
    content = worker.render(page(key, packed, a_cover(), STYLESHEET))
    with pikepdf.open(io.BytesIO(content)) as document:
        parts = [
            part
            for part in document.objects
            if isinstance(part, pikepdf.Dictionary) and part.get("/Type") == "/StructElem"
        ]
        heads = [part for part in parts if part.S == "/TH"]
        assert {(str(part.P.P.S), str(part.A.get("/Scope"))) for part in heads} == {
            ("/THead", "/Column"),
            ("/TBody", "/Row"),
        }
        drawings = [str(part.get("/Alt", "")) for part in parts if part.S == "/Figure"]
        assert all(drawings)
        assert bool(drawings) == ("<svg" in page(key, packed, a_cover(), ""))
        assert document.Root.Lang == "en"
        assert document.Root.MarkInfo.Marked
        kinds = {
            str(part.get("/S")) for part in document.objects if isinstance(part, pikepdf.Dictionary) and "/S" in part
        }
        assert {"/Table", "/TH", "/TD"} <= kinds
        assert "Harbour Night" in str(document.docinfo["/Title"])
        assert "Harbour Night" in document.open_metadata()["dc:title"]


def held_by(part: pikepdf.Object) -> set[tuple[int, int]]:
    """Every part of the structure below this one."""
    kids = part.get("/K", [])
    below = [
        kid for kid in (kids if isinstance(kids, pikepdf.Array) else [kids]) if isinstance(kid, pikepdf.Dictionary)
    ]
    return {part.objgen}.union(*map(held_by, below))


@pytest.mark.parametrize("attached", [None, Attached("plan.json", "{}", "The signed plan")], ids=["draft", "signed"])
def test_whatever_is_on_the_paper_is_read_out_once_or_not_at_all(worker, attached):
    """Each mark in a page belongs to one branch of the structure; the foot of a page belongs to none and is marked as
    such.
    """
    content = paper(worker, plan_of(40), a_cover(), attached)
    with pikepdf.open(io.BytesIO(content)) as document:
        held = held_by(document.Root.StructTreeRoot.K[0])
        owners = document.Root.StructTreeRoot.ParentTree.Nums
        assert len(document.pages) > 2
        for number, one in enumerate(document.pages):
            begun = [words for words, deed in pikepdf.parse_content_stream(one) if str(deed) == "BDC"]
            marks = [int(words[1].MCID) for words in begun if "/MCID" in words[1]]
            assert len(marks) == len(set(marks))
            assert all(owners[2 * number + 1][mark].objgen in held for mark in marks)
            feet = [str(words[0]) for words in begun if words[1].get("/Type") == "/Pagination"]
            assert feet == ["/Artifact"] * 2


def test_the_signed_form_carries_the_plan(worker):
    """The signed file says PDF/A-3a and holds the plan's JSON unchanged; the same plan gives the same bytes."""
    attached = Attached("plan.json", json.dumps({"label": "Kick ·"}), "The signed plan")
    cover = a_cover(status="agreed", signatures=SIGNED)
    content = paper(worker, plan_of(3), cover, attached)
    assert worker.again(page("patch-sheet", plan_of(3), cover, STYLESHEET), attached) == content
    with pikepdf.open(io.BytesIO(content)) as document:
        assert json.loads(document.attachments["plan.json"].get_file().read_bytes()) == {"label": "Kick ·"}
        with document.open_metadata() as about:
            assert (about["pdfaid:part"], about["pdfaid:conformance"].upper()) == ("3", "A")


def test_the_print_page_shows_the_same_facts():
    """Where no renderer is installed the page itself holds every fact, with no script and no style of its own."""
    html = page("patch-sheet", plan_of(14), a_cover(), "/static/print.css")
    assert '<link rel="stylesheet" href="/static/print.css">' in html
    assert html.count("<tr") > 14
    for forbidden in ("<script", "<style", " style=", " onclick"):
        assert forbidden not in html
