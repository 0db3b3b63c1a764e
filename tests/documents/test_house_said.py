"""What the house said, on paper: whole, line by line, with who said it."""

import pytest

from portal.documents.house_said import MOST_LINES, house_said
from portal.documents.patch.patch_sheet import patch_sheet
from portal.documents.rendering.page import page
from portal.documents.rendering.pdf import STYLESHEET
from portal.documents.rendering.printed import Printed
from portal.plan.input.facts import Answer
from portal.plan.input.questions import QUESTIONS
from tests.documents.plans import a_cover, plan_of, said
from tests.documents.reading import beyond_the_edge, pages, squash

LONGEST = QUESTIONS["house-sheet"].kind.longest


def rows(cover):
    return house_said(cover, "patch-sheet", Printed(), frozenset())


@pytest.mark.parametrize(
    "text",
    [("words and words " * 300)[:LONGEST].strip(), "W" * LONGEST, "x\n" * (LONGEST // 2), "漢" * LONGEST],
    ids=["words", "one word", "a letter a line", "signs without spaces"],
)
def test_the_longest_house_sheet_is_printed_whole(worker, text):
    """As much as the question takes stands on the paper to the last letter, inside the page, on few pages."""
    cover = a_cover(answers=said(house_sheet=text))
    content = worker.render(page("patch-sheet", plan_of(3), cover, STYLESHEET))
    found = pages(content)
    sign = text[0]
    assert "".join(found).count(sign) >= text.count(sign)
    assert "Shortened" not in "".join(found)
    assert beyond_the_edge(content) == 0
    assert len(found) <= 5


def test_words_stand_as_they_were_written():
    """Lines stay lines, empty ones go; so many that they would fill pages run on."""
    (row,) = rows(
        a_cover(
            answers=said(
                house_sheet="Load-in by the yard, not through the front of the house.\n\n\tThe lift holds 400 kg."
            )
        )
    )
    assert row.lines == ("Load-in by the yard, not through the front of the house.", "The lift holds 400 kg.")
    (row,) = rows(a_cover(answers=said(house_sheet="ab\n" * (MOST_LINES + 1))))
    assert row.lines == (" · ".join(["ab"] * (MOST_LINES + 1)),)


def test_who_said_it_stands_beside_it():
    """The house and when, the band and when, or that it is assumed."""
    answers = {
        "wedge-mixes": Answer("answered", 2, "house", "2027-02-20"),
        "talkback": Answer("answered", "yes", "band", "2027-02-21"),
        "sound-check": Answer("answered", "none", "assumed", ""),
        "who-plugs": Answer("unknown", None, "house", "2027-02-20"),
    }
    assert [(row.label, row.by, row.assumed) for row in rows(a_cover(answers=answers))] == [
        ("Wedges", "house, 20 Feb", False),
        ("Talkback to the in-ears", "band, 21 Feb", False),
        ("Sound check", "assumed", True),
    ]


def test_what_the_title_block_says_is_not_said_twice():
    """The contact, who mixes and where the rack stands are in the title block, and not in the section again."""
    sheet = patch_sheet(plan_of(3), a_cover())
    labels = {row.label for row in sheet.said}
    assert squash(sheet.heading.contact) == squash("Jo Marsh, +00 000 555 0134")
    assert not labels & {
        QUESTIONS[key].seen.label for key in ("contact-name", "contact-phone", "who-mixes", "box-place", "rack-power")
    }


def test_a_sheet_without_answers_has_no_empty_section():
    """Where nobody said anything there is no heading over nothing."""
    assert "What the house said" not in page("patch-sheet", plan_of(3), a_cover(answers={}), "")
