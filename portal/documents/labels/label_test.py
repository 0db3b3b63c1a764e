"""The test page for a sheet of labels: what the printer makes of a millimetre, and where the labels would come to
lie.
"""

from __future__ import annotations

from dataclasses import dataclass

from portal.documents.cover import Cover
from portal.documents.heading import TITLE
from portal.documents.labels.label_document import Place
from portal.documents.labels.label_sheet import LabelSheet, tail_labels
from portal.documents.registry import document
from portal.documents.rendering.printed import Printed
from portal.documents.rendering.sizes import A4
from portal.plan.model import Plan
from portal.wording.catalogue import gettext, mark
from portal.wording.formats import say_number

EDGE_MM = 10.0
"""The marks in the corners lie so far from both edges."""

RULER_MM = 100

TICK_MM = 5


@dataclass(frozen=True)
class Tick:
    """One mark of a ruler, at so many millimetres; every tenth bears its number."""

    at_mm: int
    long: bool


@dataclass(frozen=True)
class LabelTest:
    """All that the template sees: a drawing in millimetres."""

    language: str
    title: str
    foot: str
    sheet: LabelSheet
    edge_mm: float
    ruler_mm: int
    left_mm: float
    top_mm: float
    ticks: tuple[Tick, ...]
    places: tuple[Place, ...]
    rows: tuple[tuple[str, str], ...]


@document(
    "label-test",
    title=mark("Test page for labels"),
    purpose=mark("Print it on plain paper and hold it against the label sheet."),
    template="label_test.html",
)
def usual_test(_plan: Plan, cover: Cover) -> LabelTest:
    """The test page of the usual sheet."""
    return label_test(cover, tail_labels(A4))


def label_test(cover: Cover, sheet: LabelSheet) -> LabelTest:
    """The test page of one sheet, whose geometry has to be without faults."""
    ruler = min(RULER_MM, int((min(sheet.page_width_mm, sheet.page_height_mm) - 4 * EDGE_MM) // 10 * 10))
    return LabelTest(
        language=cover.language,
        title=gettext("Test page for labels, %(gig)s", gig=Printed()(cover.gig, TITLE, "")),
        foot="",
        sheet=sheet,
        edge_mm=EDGE_MM,
        ruler_mm=ruler,
        left_mm=(sheet.page_width_mm - ruler) / 2,
        top_mm=(sheet.page_height_mm - ruler) / 2,
        ticks=tuple(Tick(at, at % 10 == 0) for at in range(0, ruler + 1, TICK_MM)),
        places=tuple(Place(*sheet.corner_mm(place), sheet.width_mm, sheet.height_mm) for place in range(sheet.places)),
        rows=(
            (gettext("Page"), f"{say_number(sheet.page_width_mm)} × {say_number(sheet.page_height_mm)} mm"),
            (gettext("Margins, left and top"), _both_mm(sheet.left_mm, sheet.top_mm)),
            (gettext("Label"), f"{say_number(sheet.width_mm)} × {say_number(sheet.height_mm)} mm"),
            (gettext("Pitch, across and down"), _both_mm(sheet.pitch_x_mm, sheet.pitch_y_mm)),
            (
                gettext("Columns and rows"),
                gettext("%(columns)s and %(rows)s", columns=sheet.columns, rows=sheet.rows),
            ),
            (gettext("First label"), gettext("place %(place)s", place=sheet.start)),
        ),
    )


def _both_mm(first: float, second: float) -> str:
    return gettext("%(first)s and %(second)s mm", first=say_number(first), second=say_number(second))
