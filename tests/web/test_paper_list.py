"""One page lists every paper; each link on it gives what it says, for both sides, on both sizes."""

import io
import json
import re
from collections.abc import Callable
from html import unescape

import openpyxl
import pypdfium2
import pytest

from portal.documents.registry import DOCUMENTS, FORMATS
from portal.store import plans
from portal.web.frame.running import Portal
from tests.builders import ABand
from tests.documents.reading import pages
from tests.exchange.reading_back import csv_rows, read_plan_csv, read_plan_json
from tests.web.conftest import Browser
from tests.web.planned import Planned, prepare, words_of


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    return prepare(portal, band, signed_in, enter)


def ways(html: str) -> list[str]:
    return [
        unescape(href) for href in re.findall(r'href="([^"]*)"', re.search(r"<tbody>.*</tbody>", html, re.DOTALL)[0])
    ]


def points(content: bytes) -> tuple[int, int]:
    with pypdfium2.PdfDocument(content) as document:
        return tuple(round(side) for side in document[0].get_size())


@pytest.mark.slow
@pytest.mark.parametrize("side", [pytest.param("band", marks=pytest.mark.soak), "house"])
def test_every_paper_is_listed_and_every_link_leads_to_it(planned: Planned, side: str) -> None:
    """Title and purpose of each document, and behind each link the format that it names, as a file with a safe name."""
    browser, base = (planned.band, planned.gigs_base) if side == "band" else (planned.house, planned.house_base)
    html = browser.get(f"{base}/papers").text
    text = words_of(html)
    for entry in DOCUMENTS.values():
        assert entry.title in text
        assert entry.purpose in text
    seen = set()
    for href in ways(html):
        answer = browser.get(href)
        assert answer.status_code == 200, href
        ending = href.partition("?")[0].rpartition(".")[2]
        if ending in FORMATS:
            seen.add(ending)
            assert answer.headers["content-type"] == FORMATS[ending]
            assert re.fullmatch(
                r'attachment; filename="[a-z0-9-]{1,120}\.[a-z]+"', answer.headers["content-disposition"]
            )
    assert {"pdf", "csv", "xlsx", "json", "ics"} <= seen


def test_the_files_hold_the_plan(planned: Planned) -> None:
    """CSV, workbook and JSON read back to the lines of the revision."""
    base, stored = f"{planned.house_base}/papers/1", planned.newest()
    plan = stored.read()
    heads, rows = csv_rows(
        planned.house.get(f"{base}/input-list.csv").content, frozenset({"Desk channel", "Box socket"})
    )
    assert [
        (row[heads.index("Desk channel")], row[heads.index("Source")], row[heads.index("Box socket")]) for row in rows
    ] == [
        (line.desk_channel, line.label, line.box_socket)
        for line in sorted(plan.lines, key=lambda one: one.desk_channel)
    ]
    book = openpyxl.load_workbook(io.BytesIO(planned.house.get(f"{base}/input-list.xlsx").content)).active
    assert [row[2].value for row in book.iter_rows(min_row=2)] == [row[heads.index("Source")] for row in rows]
    file = read_plan_json(planned.house.get(f"{base}/plan-data.json").content)
    assert (file.plan, file.content_hash, file.revision, file.heading) == (
        plan,
        stored.content_hash,
        1,
        stored.read_heading(),
    )
    assert read_plan_csv(planned.house.get(f"{base}/plan-data.csv").content) == file
    assert json.loads(planned.house.get(f"{base}/plan-data.json").content)["schema"] == 2


def test_the_band_chooses_its_paper(planned: Planned) -> None:
    """After the band has chosen Letter, papers come on Letter unless somebody asks for A4, for the house too."""
    sheet = f"{planned.house_base}/papers/1/input-list.pdf"
    assert points(planned.house.get(sheet).content) == (842, 595)
    page = f"{planned.gigs_base}/papers"
    answer = planned.band.send(page, {"paper": "Letter"}, page=page)
    assert answer.status_code == 303
    assert points(planned.house.get(sheet).content) == (792, 612)
    assert points(planned.house.get(f"{sheet}?paper=A4").content) == (842, 595)
    assert planned.house.get(f"{sheet}?paper=A3").status_code == 404
    assert planned.band.send(page, {"paper": "A3"}, page=page).status_code == 422
    assert "Save the paper size" not in planned.house.get(f"{planned.house_base}/papers").text


@pytest.mark.slow
def test_signed_papers_are_kept_for_each_size(planned: Planned) -> None:
    """Each signed document on each paper is made once and kept; labels, which bear no signature, are not."""
    planned.sign("house")
    planned.sign("band")
    base = f"{planned.house_base}/papers/1"
    for document in ("patch-sheet", "input-list", "pack-list"):
        for size in ("A4", "Letter"):
            first = planned.house.get(f"{base}/{document}.pdf?paper={size}").content
            assert planned.house.get(f"{base}/{document}.pdf?paper={size}").content == first
            assert "Agreed" in "".join(pages(first))
    planned.house.get(f"{base}/labels.pdf")
    with planned.portal.store.reading() as db:
        kept = [
            (paper.document.partition(" ")[0], paper.paper_size) for paper in plans.papers_of(db, planned.newest().id)
        ]
    both_sizes = [
        (document, size) for document in ("patch-sheet", "input-list", "pack-list") for size in ("A4", "Letter")
    ]
    # The patch sheet that was made when the house alone had signed is kept as well.
    assert sorted(kept) == sorted([("patch-sheet", "A4"), *both_sizes])


SHEET = {
    "kinds": ["tails", "desk-strip"],
    "page_width_mm": "150",
    "page_height_mm": "100",
    "left_mm": "5",
    "top_mm": "5",
    "width_mm": "40",
    "height_mm": "25",
    "pitch_x_mm": "45,5",
    "pitch_y_mm": "30",
    "columns": "3",
    "rows": "3",
    "start": "2",
}


def test_labels_come_on_the_sheet_that_was_asked_for(planned: Planned) -> None:
    """The form's millimetres are the page's, for the labels and for the test page."""
    for document in ("labels", "label-test"):
        answer = planned.house.client.get(f"{planned.house_base}/papers/1/{document}.pdf", params=SHEET)
        assert answer.status_code == 200
        assert points(answer.content) == (425, 283)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (
            {"columns": "4"},
            "4 columns end at 181.5 mm, and the page is 150 mm wide. Take fewer columns, or a smaller pitch or margin.",
        ),
        (
            {"pitch_y_mm": "20"},
            "The pitch is 20 mm and a label 25 mm high: the labels would overlap. Make the pitch at least 25 mm.",
        ),
        ({"left_mm": "abc"}, "Left margin, mm: enter a number such as 63.5."),
        ({"rows": "1.5"}, "Rows: enter a whole number."),
        ({"start": "10"}, "The first label is a place from 1 to 9."),
        ({"kinds": []}, "Choose at least one kind of label."),
        ({"width_mm": "9" * 400}, "Label width, mm: enter a number such as 63.5."),
    ],
)
def test_a_sheet_that_cannot_be_is_said_at_its_field(
    planned: Planned, change: dict[str, object], sentence: str
) -> None:
    """The form comes back with what was typed and what to do."""
    answer = planned.band.client.get(f"{planned.gigs_base}/papers/1/labels.pdf", params={**SHEET, **change})
    assert answer.status_code == 422
    assert sentence in words_of(answer.text)
    assert 'value="30"' in answer.text or "pitch_y_mm" in change


def test_the_usual_sheets_lead_to_labels(planned: Planned) -> None:
    """Each sheet to begin with fills the form so that it can be sent at once."""
    form = planned.house.get(f"{planned.house_base}/papers/1/label-sheet").text
    presets = [unescape(href) for href in re.findall(r'<li><a href="([^"]*)"', form)]
    assert len(presets) == 4
    for preset in presets:
        filled = planned.house.get(preset).text
        assert 'value="70"' in filled or 'value="24"' in filled
        assert (
            planned.house.get(preset.replace("label-sheet", "labels.pdf")).headers["content-type"] == "application/pdf"
        )


def test_a_revision_keeps_its_papers(planned: Planned) -> None:
    """The page of an earlier revision lists that revision's papers, and what is no revision has none."""
    planned.answer(inputs_free=3)
    html = planned.house.get(f"{planned.house_base}/revisions/1/papers").text
    assert "Documents, revision 1" in html
    assert f"{planned.house_base}/papers/1/patch-sheet.pdf?paper=A4" in ways(html)
    assert planned.house.get(f"{planned.house_base}/revisions/9/papers").status_code == 404
    for tail in (
        "papers/1/patch-sheet.csv",
        "papers/1/calendar.pdf",
        "papers/1/nothing.csv",
        "papers/1/input-list.json",
        "papers/1/plan-data",
        "papers/9/labels.pdf",
    ):
        assert planned.house.get(f"{planned.house_base}/{tail}").status_code == 404, tail
