"""Labels for whoever plugs: both ends of every used way, and strips for rack, stage box and desk."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from itertools import groupby
from types import MappingProxyType
from typing import Literal

from portal.documents.cover import Cover
from portal.documents.heading import TitleBlock, foot_of, heading_of
from portal.documents.labels.label_colours import RESERVED, Colour, bands
from portal.documents.labels.label_sheet import LabelSheet, strip_labels, tail_labels
from portal.documents.labels.label_text import FLOOR_MM, LINE, Fitting, width_em
from portal.documents.registry import document
from portal.documents.rendering.printed import Printed
from portal.documents.rendering.sizes import A4, PaperSize
from portal.plan.input.rig import MAX_LABEL
from portal.plan.model import BESIDE_THE_LOOM, Line, Plan

Kind = Literal["tails", "rack-strip", "box-strip", "desk-strip"]

KINDS: Mapping[Kind, str] = MappingProxyType(
    {
        "tails": "Tails, both ends of each way",
        "rack-strip": "Strip for the rack: splitter ways and outputs",
        "box-strip": "Strip for the stage box: sockets",
        "desk-strip": "Strip for the house desk: channels",
    }
)
"""What can be printed, in words."""

STRIP_NAMES: Mapping[Kind, str] = MappingProxyType(
    {"rack-strip": "Rack", "box-strip": "Stage box", "desk-strip": "House desk"}
)
"""What the first cell of a strip says."""

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
class Label:
    """What one label says. ``number`` is large; ``name`` the signal, ``short`` its strip name; ``rest`` the lines under
    it, most needed first.

    A cell of a ``strip`` has its number and the first of ``rest`` in one row, and the name under them over the whole
    width.
    """

    number: str
    name: str
    short: str
    rest: tuple[str, ...]
    colours: tuple[Colour, ...] = ()
    strip: bool = False


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
    title="Labels",
    purpose="For both ends of every tail, and strips for rack, stage box and desk.",
    template="labels.html",
)
def usual_labels(plan: Plan, cover: Cover) -> Labels:
    """The tails on the usual sheet."""
    return labels(plan, cover, usual())


def labels(plan: Plan, cover: Cover, wish: Wish) -> Labels:
    """The wished labels, laid out. The sheet's geometry has to be without faults. No text leaves its label."""
    printed, fitting = Printed(), Fitting()
    wanted = [labels for kind in wish.kinds if (labels := tuple(labels_of(kind, plan, printed)))]
    heading = heading_of(cover, printed, "labels")
    pages = tuple(_page(placed, wish.sheet, fitting) for placed in _placed(wanted, wish.sheet))
    return Labels(
        language=cover.language,
        title=f"Labels, {heading.gig}, {heading.date}",
        foot=foot_of(heading),
        heading=heading,
        sheet=wish.sheet,
        outlines=wish.sheet.pitch_x_mm - wish.sheet.width_mm < 0.1,  # noqa: PLR2004 - labels without a gap are cut apart
        pages=pages,
        listed=tuple((label.number, label.name, " · ".join(label.rest)) for kind in wanted for label in kind),
        key=tuple(sorted(fitting.shortened.items())),
        numerals_only=" and ".join(map(str, sorted(RESERVED))),
    )


def labels_of(kind: Kind, plan: Plan, printed: Printed) -> Iterator[Label]:
    """The labels of one kind, in the order in which they are plugged."""
    if kind == "tails":
        yield from _tails(plan, printed)
        return
    if kind == "rack-strip":
        yield from _rack_strips(plan, printed)
        return
    if kind == "box-strip":
        lines = sorted(
            (line for line in plan.lines if line.box_socket is not None),
            key=lambda line: (line.box, line.box_socket or 0),
        )
    else:
        lines = sorted(plan.lines, key=lambda line: line.desk_channel)
    if lines:
        yield Label("", STRIP_NAMES[kind], "", ("strip",), strip=True)
    for line in lines:
        name, short = _name(line, printed), printed(line.strip, MAX_LABEL, "")
        if kind == "box-strip":
            yield Label(line.socket, name, short, (f"desk {line.desk_channel}",), strip=True)
        else:
            yield Label(str(line.desk_channel), short or name, short, (_socket_words(line),), strip=True)


def _rack_strips(plan: Plan, printed: Printed) -> Iterator[Label]:
    """One strip for each splitter or mixer that lines leave the rack by."""
    lines = sorted((line for line in plan.lines if line.path.kind not in BESIDE_THE_LOOM), key=_rack_order)
    for unit, leaving in groupby(lines, lambda line: _unit_words(line, printed)):
        yield Label("", unit, STRIP_NAMES["rack-strip"], (STRIP_NAMES["rack-strip"],), strip=True)
        for line in leaving:
            yield Label(
                _rack_number(line),
                _name(line, printed),
                printed(line.strip, MAX_LABEL, ""),
                (_socket_words(line),),
                strip=True,
            )


def _socket_words(line: Line) -> str:
    return "link" if line.box_socket is None else f"box {line.socket}"


def _tails(plan: Plan, printed: Printed) -> Iterator[Label]:
    # What comes over a digital link has no cable of its own.
    for line in sorted((line for line in plan.lines if line.box_socket is not None), key=_loom_order):
        name, short = _name(line, printed), printed(line.strip, MAX_LABEL, "")
        number = line.loom.way if line.loom else line.line
        way = f"{printed(line.loom.name, MAX_LABEL, '')}, way {number}" if line.loom else f"own cable, line {number}"
        start = "source" if line.path.kind in BESIDE_THE_LOOM else _rack_words(line, printed)
        for end, place in (
            ("box end", f"box socket {line.socket}"),
            ("rack end" if start != "source" else "source end", start),
        ):
            yield Label(
                str(number),
                name,
                short,
                (f"box socket {line.socket}", f"{way}, {end}", *((place,) if end != "box end" else ())),
                bands(number) or (),
            )
    for one in plan.returns:
        if one.loom is None:
            continue
        way = f"{printed(one.loom.name, MAX_LABEL, '')}, way {one.loom.way}"
        to = f"mixer input {one.mixer_input}" if one.mixer_input is not None else "mixer input not known"
        for end in ("box end", "rack end"):
            yield Label(
                str(one.loom.way),
                printed(one.label, MAX_LABEL, ""),
                "",
                (f"return, to {to}", f"{way}, {end}", "turn-round"),
                bands(one.loom.way) or (),
            )


def _loom_order(line: Line) -> tuple[bool, str, int]:
    return (False, line.loom.name, line.loom.way) if line.loom else (True, "", line.line)


def _name(line: Line, printed: Printed) -> str:
    return printed(line.label, MAX_LABEL, "") or f"line {line.line}"


def _rack_order(line: Line) -> tuple[str, int, str]:
    return line.path.unit_name, line.path.way or 0, line.path.output


def _rack_number(line: Line) -> str:
    return (
        str(line.path.way) if line.path.way is not None else line.path.output.removeprefix("out-")[:6] or str(line.line)
    )


def _unit_words(line: Line, printed: Printed) -> str:
    return printed(line.path.unit_name, MAX_LABEL, "") or line.path.kind


def _rack_words(line: Line, printed: Printed) -> str:
    """Where a line leaves the rack: the splitter's way, or the mixer's output."""
    unit = printed(line.path.unit_name, MAX_LABEL, "")
    output = line.path.output.replace(" output", "").removeprefix("out-")
    if line.path.way is not None:
        return f"{unit} way {line.path.way}"
    return f"{unit} out {output}" if output else unit


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
    where = fitting(label.rest[0], width * 0.7 - GAP_MM, min(row, TALLEST_MM * 2 / 3))
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
    lines = max(1, min(1 + len(label.rest), int(height / floor + 0.001)))
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
    rest = [fitting(text, width, share) for text in label.rest[: lines - 1]]
    # The first of them is what is looked for when plugging; those after it have one size.
    even = min((line.size_mm for line in rest[1:]), default=0.0)
    rows = [name, *rest[:1], *(replace(line, size_mm=even) for line in rest[1:])]
    top = y + (height - sum(row.size_mm for row in rows) * LINE) / 2
    for index, row in enumerate(rows):
        drawing.texts.append(
            Text(x + left + GAP_MM, top + row.size_mm * ASCENT, row.size_mm, row.text, light=index > 0)
        )
        top += row.size_mm * LINE
