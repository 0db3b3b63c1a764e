"""A sheet of labels in millimetres: where each label lies, and what cannot be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from portal.documents.rendering.sizes import A4, LETTER, PaperSize
from portal.wording.catalogue import Words, gettext, mark
from portal.wording.formats import say_number

SLACK_MM = 0.01
"""Sums of millimetres are compared to a hundredth: finer than any printer."""

PAGE_MM = (50.0, 450.0)
"""Smallest and largest side of a page (common practice, no source)."""

LEAST_MM = (20.0, 11.0)
"""Smallest label, width and height: two lines of the smallest type, and a number beside them."""

MOST_LABELS = 500
"""Labels of one page; more is a slip of the pen."""


OVERLAP = Words(
    {
        "columns": mark(
            "The pitch is %(pitch)s mm and a label %(size)s mm wide: the labels would overlap. Make the pitch at least"
            " %(size)s mm."
        ),
        "rows": mark(
            "The pitch is %(pitch)s mm and a label %(size)s mm high: the labels would overlap. Make the pitch at least"
            " %(size)s mm."
        ),
    }
)
OVER_THE_EDGE = Words(
    {
        "columns": mark(
            "%(number)s columns end at %(end)s mm, and the page is %(page)s mm wide. Take fewer columns, or a smaller"
            " pitch or margin."
        ),
        "rows": mark(
            "%(number)s rows end at %(end)s mm, and the page is %(page)s mm high. Take fewer rows, or a smaller pitch"
            " or margin."
        ),
    }
)
"""What is wrong across and down."""


@dataclass(frozen=True)
class LabelSheet:
    """Page, margins, pitch (from one label's edge to the next one's) and label in millimetres; columns and rows; the
    first place used, from 1, counted row by row.
    """

    page_width_mm: float
    page_height_mm: float
    left_mm: float
    top_mm: float
    pitch_x_mm: float
    pitch_y_mm: float
    width_mm: float
    height_mm: float
    columns: int
    rows: int
    start: int = 1

    @property
    def places(self) -> int:
        """Labels of one page."""
        return self.columns * self.rows

    def corner_mm(self, place: int) -> tuple[float, float]:
        """Left and top edge of a place, counted from 0 row by row."""
        row, column = divmod(place, self.columns)
        return self.left_mm + column * self.pitch_x_mm, self.top_mm + row * self.pitch_y_mm

    def faults(self) -> Iterator[tuple[str, str]]:
        """The field that is wrong, and what is wrong with it; nothing where every label lies on the page and none on
        another.
        """
        page = {"least": say_number(PAGE_MM[0]), "most": say_number(PAGE_MM[1])}
        if not (PAGE_MM[0] <= self.page_width_mm <= PAGE_MM[1]):
            yield "page_width_mm", gettext("The page is from %(least)s to %(most)s mm wide.", **page)
        if not (PAGE_MM[0] <= self.page_height_mm <= PAGE_MM[1]):
            yield "page_height_mm", gettext("The page is from %(least)s to %(most)s mm high.", **page)
        if self.width_mm < LEAST_MM[0]:
            yield (
                "width_mm",
                gettext(
                    "A label is at least %(least)s mm wide: a number and a name have to fit.",
                    least=say_number(LEAST_MM[0]),
                ),
            )
        if self.height_mm < LEAST_MM[1]:
            yield (
                "height_mm",
                gettext("A label is at least %(least)s mm high: two lines have to fit.", least=say_number(LEAST_MM[1])),
            )
        if self.left_mm < 0:
            yield "left_mm", gettext("The left margin is 0 mm or more.")
        if self.top_mm < 0:
            yield "top_mm", gettext("The top margin is 0 mm or more.")
        if self.columns < 1 or self.places > MOST_LABELS:
            yield (
                "columns",
                gettext("There is at least one column, and at most %(most)s labels a page.", most=MOST_LABELS),
            )
        if self.rows < 1 or self.places > MOST_LABELS:
            yield "rows", gettext("There is at least one row, and at most %(most)s labels a page.", most=MOST_LABELS)
        yield from self._across()
        if not 1 <= self.start <= max(self.places, 1):
            yield "start", gettext("The first label is a place from 1 to %(most)s.", most=max(self.places, 1))

    def _across(self) -> Iterator[tuple[str, str]]:
        ways = (
            (
                "pitch_x_mm",
                self.pitch_x_mm,
                self.width_mm,
                "columns",
                self.columns,
                self.left_mm,
                self.page_width_mm,
            ),
            (
                "pitch_y_mm",
                self.pitch_y_mm,
                self.height_mm,
                "rows",
                self.rows,
                self.top_mm,
                self.page_height_mm,
            ),
        )
        for name, pitch, size, many, count, margin, page in ways:
            # The distance between labels is asked only where there is a second one.
            if count > 1 and pitch < size - SLACK_MM:
                yield name, OVERLAP[many] % {"pitch": say_number(pitch), "size": say_number(size)}
            end = margin + (count - 1) * pitch + size
            if count >= 1 and end > page + SLACK_MM:
                ends = {"number": count, "end": say_number(round(end, 1)), "page": say_number(page)}
                yield many, OVER_THE_EDGE[many] % ends


def tail_labels(size: PaperSize) -> LabelSheet:
    """Labels of 70 by 37 mm over the whole page, to begin with. Common practice, no source."""
    if size is LETTER:
        return LabelSheet(LETTER.width_mm, LETTER.height_mm, 2.95, 10.2, 70, 37, 70, 37, 3, 7)
    return LabelSheet(A4.width_mm, A4.height_mm, 0, 0.5, 70, 37, 70, 37, 3, 8)


def strip_labels(size: PaperSize) -> LabelSheet:
    """Cells of 24 by 12 mm without gaps, to cut into strips, to begin with. Common practice, no source."""
    if size is LETTER:
        return LabelSheet(LETTER.width_mm, LETTER.height_mm, 11.95, 13.7, 24, 12, 24, 12, 8, 21)
    return LabelSheet(A4.width_mm, A4.height_mm, 9, 10.5, 24, 12, 24, 12, 8, 23)
