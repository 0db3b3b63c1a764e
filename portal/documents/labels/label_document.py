"""Labels for whoever plugs, laid out on sheets: what they say is in ``label_kinds``."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from portal.documents.cover import Cover
from portal.documents.heading import TitleBlock, foot_of, heading_of
from portal.documents.labels.label_colours import RESERVED, Colour
from portal.documents.labels.label_kinds import Kind, Label, labels_of
from portal.documents.labels.label_sheet import LabelSheet, strip_labels, tail_labels
from portal.documents.labels.label_text import FLOOR_MM, LINE, Fitting, width_em
from portal.documents.registry import document
from portal.documents.rendering.printed import Printed
from portal.documents.rendering.sizes import A4, PaperSize
from portal.plan.model import Plan
from portal.wording.catalogue import gettext, mark
from portal.wording.formats import join_and

PAD_MM = 1.5
"""White edge inside each label: printers and cutters are not exact (common practice, no source)."""

GAP_MM = 1.2
"""Between the number and the words."""

ASCENT = 0.95
"""From the top of a line to its baseline, as a part of the type's size."""

CAPITALS = 0.67
"""Height of a capital letter as a part of the type's size."""

PLATE_MM = 1.0
"""White around the letter code of a colour."""

TALLEST_MM = 8.0
"""Largest type of a name; a number may be twice as tall, what follows two thirds as tall."""


@dataclass(frozen=True)
class Text:
    """A text at its baseline, in millimetres on the page; ``x_mm`` is its left edge."""

    x_mm: float
    y_mm: float
    size_mm: float
    text: str
    light: bool = False


@dataclass(frozen=True)
class Place:
    """The outline of one label, in millimetres on the page."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float


@dataclass(frozen=True)
class Band:
    """One band of colour, with its letter code on a white plate in it at the smallest type: on a copy in black the code
    can still be read.
    """

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    colour: Colour

    @property
    def code(self) -> Text:
        """The code in the middle of the band."""
        x = self.x_mm + (self.width_mm - width_em(self.colour.code) * FLOOR_MM) / 2
        return Text(x, self.y_mm + (self.height_mm + CAPITALS * FLOOR_MM) / 2, FLOOR_MM, self.colour.code)

    @property
    def plate(self) -> Place:
        """The white plate below the code."""
        width, height = width_em(self.colour.code) * FLOOR_MM + PLATE_MM, CAPITALS * FLOOR_MM + PLATE_MM
        return Place(self.x_mm + (self.width_mm - width) / 2, self.y_mm + (self.height_mm - height) / 2, width, height)


@dataclass(frozen=True)
class LabelPage:
    """One page of labels as a drawing in millimetres."""

    texts: tuple[Text, ...]
    bands: tuple[Band, ...]
    places: tuple[Place, ...]


@dataclass(frozen=True)
class Wish:
    """What to print, and on which sheet."""

    kinds: tuple[Kind, ...]
    sheet: LabelSheet


@dataclass(frozen=True)
class Labels:
    """All that the template sees. ``listed``: number, name and the rest of each label, for reading beside the printed
    sheet.
    """

    language: str
    title: str
    foot: str
    heading: TitleBlock
    sheet: LabelSheet
    outlines: bool
    pages: tuple[LabelPage, ...]
    listed: tuple[tuple[str, str, str], ...]
    key: tuple[tuple[str, str], ...]
    numerals_only: str


@dataclass
class _Drawing:
    texts: list[Text] = field(default_factory=list)
    bands: list[Band] = field(default_factory=list)
    places: list[Place] = field(default_factory=list)


def usual(size: PaperSize = A4) -> Wish:
    """The tails, on the usual sheet of this size."""
    return Wish(("tails",), tail_labels(size))


def usual_strips(size: PaperSize = A4) -> Wish:
    """The three strips, on the usual sheet of this size."""
    return Wish(("rack-strip", "box-strip", "desk-strip"), strip_labels(size))


@document(
    "labels",
    title=mark("Labels"),
    purpose=mark("Tonight's box inputs on the tails, way numbers for good, strips for rack, box and desk."),
    template="labels.html",
)
def usual_labels(plan: Plan, cover: Cover) -> Labels:
    """The tails on the usual sheet."""
    return labels(plan, cover, usual())


def labels(plan: Plan, cover: Cover, wish: Wish) -> Labels:
    """The wished labels, laid out. The sheet's geometry has to be without faults. No text leaves its label."""
    printed, fitting = Printed(), Fitting()
    heading = heading_of(cover, printed, "labels")
    stamp = stamp_of(heading)
    wanted = [labels for kind in wish.kinds if (labels := tuple(labels_of(kind, plan, stamp, printed)))]
    pages = tuple(_page(placed, wish.sheet, fitting) for placed in _placed(wanted, wish.sheet))
    return Labels(
        language=cover.language,
        title=gettext("Labels, %(gig)s, %(date)s", gig=heading.gig, date=heading.date),
        foot=foot_of(heading),
        heading=heading,
        sheet=wish.sheet,
        outlines=wish.sheet.pitch_x_mm - wish.sheet.width_mm < 0.1,  # noqa: PLR2004 - labels without a gap are cut apart
        pages=pages,
        listed=tuple(
            (label.number, label.name, " · ".join((*label.rest, *filter(None, [label.stamp]))))
            for kind in wanted
            for label in kind
        ),
        key=tuple(sorted(fitting.shortened.items())),
        numerals_only=join_and(map(str, sorted(RESERVED))),
    )


def stamp_of(heading: TitleBlock) -> str:
    """Date, revision and gig in a few words, the name last: where there is no room it is what gets shorter."""
    day = re.search(r"\d+\.? \w{3}(?:\w?\.)?", heading.date)
    return gettext(
        "%(day)s · rev %(number)s · %(gig)s",
        day=day[0] if day else heading.date,
        number=heading.number,
        gig=heading.gig,
    )


def _placed(wanted: list[tuple[Label, ...]], sheet: LabelSheet) -> Iterator[list[tuple[int, Label]]]:
    """The labels with their places, page by page. Only the first page begins late; each kind begins a row of its
    own.
    """
    pages: dict[int, list[tuple[int, Label]]] = {}
    place = sheet.start - 1
    for number, kind in enumerate(wanted):
        if number:
            place = -(-place // sheet.columns) * sheet.columns
        for label in kind:
            pages.setdefault(place // sheet.places, []).append((place % sheet.places, label))
            place += 1
    yield from pages.values()


def _page(placed: list[tuple[int, Label]], sheet: LabelSheet, fitting: Fitting) -> LabelPage:
    drawing = _Drawing()
    for number, label in placed:
        left, top = sheet.corner_mm(number)
        drawing.places.append(Place(left, top, sheet.width_mm, sheet.height_mm))
        (_draw_cell if label.strip else _draw)(label, drawing, drawing.places[-1], fitting)
    return LabelPage(tuple(drawing.texts), tuple(drawing.bands), tuple(drawing.places))


def _draw_cell(label: Label, drawing: _Drawing, place: Place, fitting: Fitting) -> None:
    """A cell of a strip: number and place in the upper row, the name in the lower one."""
    width, height = place.width_mm - 2 * PAD_MM, place.height_mm - 2 * PAD_MM
    row = height / 2 / LINE
    x, y = place.x_mm + PAD_MM, place.y_mm + PAD_MM
    number = fitting(label.number, width * 0.3, min(row, TALLEST_MM))
    drawing.texts.append(Text(x, y + number.size_mm * ASCENT, number.size_mm, number.text))
    # The first cell has no number: its stamp has the whole width.
    room = width * 0.7 - GAP_MM if label.number else width
    where = fitting(label.stamp or label.rest[0], room, min(row, TALLEST_MM * 2 / 3), from_the_end=bool(label.stamp))
    right = x + width - width_em(where.text) * where.size_mm
    drawing.texts.append(
        Text(right, y + max(number.size_mm, where.size_mm) * ASCENT, where.size_mm, where.text, light=True)
    )
    name = fitting(label.name, width, min(row, TALLEST_MM), label.short)
    drawing.texts.append(Text(x, y + height / 2 + name.size_mm * ASCENT, name.size_mm, name.text))


def _draw(label: Label, drawing: _Drawing, place: Place, fitting: Fitting) -> None:
    """The number at the left with its colours under it, the name and what follows at the right, both halfway up the
    label; lines that find no room are left out last first.
    """
    floor = FLOOR_MM * LINE
    height = place.height_mm - 2 * PAD_MM
    below = [*label.rest, *filter(None, [label.stamp])]
    lines = max(1, min(1 + len(below), int(height / floor + 0.001)))
    below = [*below[: lines - 1 - bool(label.stamp)], *filter(None, [label.stamp])][: lines - 1]
    left = max(8.0, min((place.width_mm - 2 * PAD_MM) * 0.26, 18.0))
    x, y = place.x_mm + PAD_MM, place.y_mm + PAD_MM
    band_height = max(floor, min(height * 0.3, TALLEST_MM)) if label.colours and height >= 2 * floor else 0.0
    number = fitting(label.number, left, min((height - band_height) / LINE, TALLEST_MM * 2))
    top = y + (height - number.size_mm * LINE - band_height) / 2
    drawing.texts.append(
        Text(
            x + (left - width_em(number.text) * number.size_mm) / 2,
            top + number.size_mm * ASCENT,
            number.size_mm,
            number.text,
        )
    )
    for index, colour in enumerate(label.colours if band_height else ()):
        drawing.bands.append(Band(x + index * left / 2, top + number.size_mm * LINE, left / 2, band_height, colour))
    width = place.width_mm - 2 * PAD_MM - left - GAP_MM
    # The name gets what the floor of the other lines leaves, and they share what the name leaves.
    name = fitting(label.name, width, min(TALLEST_MM, (height - (lines - 1) * floor) / LINE), label.short)
    share = max(FLOOR_MM, min(TALLEST_MM * 2 / 3, (height - name.size_mm * LINE) / LINE / max(lines - 1, 1)))
    rest = [
        fitting(text, width, FLOOR_MM, from_the_end=True) if text == label.stamp else fitting(text, width, share)
        for text in below
    ]
    # The first of them is what is looked for when plugging; those after it have one size.
    even = min((line.size_mm for line in rest[1:]), default=0.0)
    rows = [name, *rest[:1], *(replace(line, size_mm=even) for line in rest[1:])]
    top = y + (height - sum(row.size_mm for row in rows) * LINE) / 2
    for index, row in enumerate(rows):
        drawing.texts.append(
            Text(x + left + GAP_MM, top + row.size_mm * ASCENT, row.size_mm, row.text, light=index > 0)
        )
        top += row.size_mm * LINE
