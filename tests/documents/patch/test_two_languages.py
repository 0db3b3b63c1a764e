"""The patch sheet's heads in the languages of both sides: who plugs reads the one, who patches the desk the other."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from portal.documents.cover import other_language
from portal.documents.patch.patch_sheet import patch_sheet
from portal.documents.rendering.page import page
from portal.documents.rendering.pdf import STYLESHEET
from portal.plan.model import PA
from portal.wording.catalogue import read_in
from tests.documents.plans import SIGNED, a_cover, a_line, plan_of
from tests.documents.reading import pages, squash
from tests.wording.texts import only, write_catalogue

GERMAN = {
    "Box input": "Box-Eingang",
    "Desk channel": "Pultkanal",
    "left": "links",
    "right": "rechts",
    "link": "Verbindung",
    "page %(page)s of %(pages)s": "Seite %(page)s von %(pages)s",
}


@pytest.fixture(autouse=True)
def german(tmp_path: Path) -> Iterator[None]:
    write_catalogue(tmp_path, "de", GERMAN)
    write_catalogue(tmp_path, "nl", {})
    with only(tmp_path):
        yield


def heads(language: str, *signed_in: str) -> dict[str, tuple[str, str]]:
    """The columns' heads of a sheet in a language that band and house signed in these."""
    signatures = tuple(replace(one, language=of) for one, of in zip(SIGNED, signed_in, strict=False))
    with read_in(language):
        sheet = patch_sheet(plan_of(3), a_cover(language=language, signatures=signatures))
    return {column.name: (column.head, column.other) for column in sheet.box.columns}


def test_a_head_stands_in_both_sides_languages() -> None:
    """The band's is English, the house's the one in which it signed; what is called the same stands once."""
    assert heads("de")["socket"] == ("Box-Eingang", "Box input")
    assert heads("en", "en", "de")["socket"] == ("Box input", "Box-Eingang")
    assert heads("de", "en", "de")["phantom"] == ("48 V", "")
    assert heads("en", "en", "en")["socket"] == heads("en")["socket"] == ("Box input", "")


def test_the_other_language_is_one_side_s() -> None:
    """A translation into a third language has English heads below its own."""
    dutch = replace(SIGNED[1], language="nl")
    assert other_language(a_cover(language="de", signatures=(dutch,))) == "en"
    assert other_language(a_cover(language="en", signatures=(dutch,))) == "nl"
    assert other_language(a_cover(language="en", signatures=(SIGNED[0],))) == ""


def test_both_lines_and_the_pages_words_are_printed(worker) -> None:
    """The second line is marked with its language; the number of a page is said in the document's."""
    with read_in("de"):
        html = page("patch-sheet", plan_of(12), a_cover(language="de"), STYLESHEET)
    assert 'Box-Eingang <small lang="en">Box input</small>' in html.replace("<br>", "")
    printed = pages(worker.render(html, None))
    assert "Box-EingangBoxinput" in squash(printed[0])
    assert all(f"Seite{number}von{len(printed)}" in squash(one) for number, one in enumerate(printed, 1))


def test_a_head_needs_no_more_than_its_pieces(tmp_path: Path) -> None:
    """A long head takes room from the cells beside it, and none where soft hyphens let it break."""
    whole = {}
    for between in ("", "\N{SOFT HYPHEN}"):
        write_catalogue(tmp_path, "nl", {"Box input": between.join(["Stagebox", "ingang"] * 12)})
        with only(tmp_path), read_in("nl"):
            whole[between] = patch_sheet(plan_of(3), a_cover(language="nl")).box.whole
    assert whole[""] is None
    assert "phantom" in (whole["\N{SOFT HYPHEN}"] or ())


def test_a_place_that_is_no_number_is_in_the_readers_language():
    """The inputs of a PA, and what comes over the digital link, are words."""
    lines = (a_line(1, box_socket=None), a_line(2, box=PA, label="Mix L"), a_line(3, box=PA, label="Mix R"))
    with read_in("de"):
        sheet = patch_sheet(replace(plan_of(3), lines=lines), a_cover(language="de"))
    assert [row.socket for row in sheet.box.rows] == ["Verbindung"]
    assert [row.socket for row in sheet.pa] == ["links", "rechts"]
