"""How many pages the patch sheet takes: the lines and what belongs to them on the first, the rest on the second."""

from dataclasses import replace

import pypdfium2
import pytest

from portal.documents.patch.side_by_side import SHARES, cuts_beside, steps_share
from portal.documents.rendering.page import page
from portal.documents.rendering.pdf import STYLESHEET
from portal.documents.rendering.sizes import SIZES
from portal.wording.catalogue import read_in
from tests.documents.plans import a_cover
from tests.documents.reading import pages
from tests.plan.case_files import planned_cases
from tests.plan.outcomes import plan_of_case

FULLEST = "sixteen-ways-plugged-at-the-front"
"""The worked case with the fullest sheet: 24 lines, moved plugs, direct outs, and every question answered."""


@pytest.mark.slow
@pytest.mark.parametrize(
    ("language", "size"),
    [
        *(("fr", "A4"), ("en", "Letter")),
        *(pytest.param(one, "A4", marks=pytest.mark.soak) for one in ("de", "es", "it", "nl")),
    ],
)
def test_two_pages_hold_the_fullest_sheet(worker, language, size):
    """On A4 in every language, on Letter in English."""
    case = next(one for one in planned_cases() if one.name == FULLEST)
    with read_in(language):
        cover = replace(a_cover(answers=case.answers, rig=case.rig), language=language)
        content = worker.render(page("patch-sheet", plan_of_case(FULLEST), cover, STYLESHEET, SIZES[size]))
    assert len(pages(content)) == 2


def test_steps_and_cautions_are_about_equally_high():
    """Whichever is longer has the wider half, within what keeps both readable."""
    short, long = ["Mute."] * 4, ["Plug each tail into the box input on its row, and read both numbers aloud."] * 9
    assert steps_share(long, short) > steps_share(long, long) == min(SHARES)
    assert steps_share(short, long) == min(SHARES)


def test_a_cut_list_of_long_rows_has_the_whole_width():
    """Short rows leave half of it to what the rack's death leaves alive."""
    others = ("Alive: desk channels 1 to 8. Silent: desk channels 9 to 12.", "indoors · nothing else is fed")
    assert cuts_beside(["Hat in-ears only"] * 3, others)
    assert not cuts_beside(["Hat in-ears only, and so on and so forth. " * 6] * 4, others)
    assert not cuts_beside(["Hat in-ears only"], ("", ""))


def test_an_assumed_cable_takes_one_line_at_the_mixer(worker):
    """Each input of the band's own mixer is one line on paper, its cable with what is assumed of it."""
    plan = plan_of_case("own-pa-function-band")
    fed = tuple(replace(one, cable="XLR 10 m (assumed)", note="Own") for one in plan.ear_inputs)
    content = worker.render(page("patch-sheet", replace(plan, ear_inputs=fed), a_cover(), STYLESHEET))
    with pypdfium2.PdfDocument(content) as document:
        text = document[0].get_textpage().get_text_range().replace("\N{NO-BREAK SPACE}", " ")
    assert text.count("XLR 10 m (assumed)") == len(fed)
