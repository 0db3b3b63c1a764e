"""How a rig is wired, as a drawing: from the sources on the left through splitter and mixer to ears and house on the
right.

Lengths are CSS pixels of a drawing that is never scaled, so that its words stay as large as those of the page; it
scrolls within its box.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from portal.documents.patch.ears_side import CARRIED_BY, WIDTHS
from portal.exchange.rig_words import KINDS_OF_OUTPUT, WORDS, use_words
from portal.plan.input.rig import Loom, Rig, Source, Splitter
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import ngettext
from portal.wording.formats import join_and, say_metres

ROW = 30
TOP = 40
GAP = 36
NEAR = 22
BUS_GAP = 16
LETTER = 10
"""Room for one letter of 16 px in a plain sans serif; measured on the widest names, with some to spare (common
practice, no source).
"""
LONGEST_LABEL = 24
LONGEST_NAME = 16
FEW = 3


@dataclass(frozen=True)
class Wire:
    """A line between two points; ``kind``: ears or house."""

    x1: int
    y1: int
    x2: int
    y2: int
    kind: str


@dataclass(frozen=True)
class Box:
    """A thing of the rig."""

    x: int
    y: int
    width: int
    height: int


@dataclass(frozen=True)
class Words:
    """A text that begins at a point."""

    x: int
    y: int
    text: str
    kind: str = ""


@dataclass(frozen=True)
class Picture:
    """The drawing, and the same in sentences. ``dots``: where a signal is split."""

    width: int
    height: int
    summary: str
    wires: tuple[Wire, ...]
    boxes: tuple[Box, ...]
    dots: tuple[tuple[int, int], ...]
    words: tuple[Words, ...]
    sentences: tuple[str, ...]


@dataclass(frozen=True)
class Strip:
    """The sockets of one splitter in their real order: of each, the labels of the rows that are plugged in."""

    name: str
    sockets: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Wiring:
    """How a rig is wired, under its name."""

    title: str
    strips: tuple[Strip, ...]
    picture: Picture | None


def wiring_of(name: str, rig: Rig) -> Wiring:
    """How a rig of that name is wired."""
    return Wiring(name, strips_of(rig), picture_of(rig))


def strips_of(rig: Rig) -> tuple[Strip, ...]:
    """A strip for each splitter."""
    return tuple(
        Strip(
            one.name or _("Splitter"),
            tuple(
                tuple(_label(source) for source in rig.source if (source.splitter, source.way) == (one.key, way))
                for way in range(1, one.ways + 1)
            ),
        )
        for one in rig.splitter
    )


@dataclass
class _Drawing:
    wires: list[Wire] = field(default_factory=list)
    boxes: list[Box] = field(default_factory=list)
    dots: list[tuple[int, int]] = field(default_factory=list)
    words: list[Words] = field(default_factory=list)

    def box(self, x: int, row_y: int, texts: Sequence[str], width: int = 0) -> int:
        """A box with one text a row; gives back where it ends on the right."""
        width = width or max(map(len, texts)) * LETTER + 20
        self.boxes.append(Box(x, row_y - ROW // 2, width, ROW * len(texts)))
        self.words += [Words(x + 10, row_y + place * ROW + 5, text) for place, text in enumerate(texts)]
        return x + width


def picture_of(rig: Rig) -> Picture | None:
    """The drawing of a rig; nothing where there is no row yet."""
    if not rig.source:
        return None
    drawing = _Drawing()
    y_of = {source.key: TOP + place * ROW for place, source in enumerate(rig.source)}
    start = max(min(len(_label(one)), LONGEST_LABEL) for one in rig.source) * LETTER + 4 * LETTER
    splitters = tuple(
        one for one in rig.splitter if any(source.splitter == one.key and source.way for source in rig.source)
    )
    names = {one.key: _short(one.name or one.key, LONGEST_NAME) for one in splitters}
    way_width = (max((len(name) for name in names.values()), default=0) + 4) * LETTER + 20 if splitters else 0
    ways_end = start + GAP + way_width
    bus_of = {one.key: ways_end + GAP + place * BUS_GAP for place, one in enumerate(splitters)}
    mixer_x = max(bus_of.values(), default=start) + GAP

    for number, source in enumerate(rig.source, start=1):
        y = y_of[source.key]
        drawing.words.append(Words(0, y + 5, f"{number}", "soft"))
        drawing.words.append(Words(3 * LETTER, y + 5, _short(_label(source), LONGEST_LABEL)))
        split = source.splitter in bus_of and source.way is not None
        if split:
            drawing.wires.append(Wire(start, y, start + GAP, y, "ears"))
            drawing.box(start + GAP, y, (f"{names[source.splitter]} {source.way}",), way_width)
            drawing.dots.append((bus_of[source.splitter], y))
        if source.mixer_input is not None:
            drawing.wires.append(Wire(ways_end if split else start, y, mixer_x, y, "ears"))
        elif split:
            drawing.wires.append(Wire(ways_end, y, bus_of[source.splitter], y, "ears"))

    inputs = [
        _("input %(number)s", number=source.mixer_input) if source.mixer_input is not None else ""
        for source in rig.source
    ]
    drawing.words.append(Words(mixer_x, TOP - ROW + 8, _("In-ear mixer"), "head"))
    mixer_end = drawing.box(mixer_x, TOP, inputs, 12 * LETTER)
    outs = tuple(_outs(rig))
    bottom = TOP + len(rig.source) * ROW
    for place, text in enumerate(outs):
        drawing.wires.append(Wire(mixer_end, TOP + place * ROW, mixer_end + GAP, TOP + place * ROW, "ears"))
        drawing.words.append(Words(mixer_end + GAP + 8, TOP + place * ROW + 5, text))
    # More outputs than rows hang on a line that goes on below the mixer.
    if len(outs) > len(rig.source):
        drawing.wires.append(Wire(mixer_end, bottom - ROW // 2, mixer_end, TOP + (len(outs) - 1) * ROW, "ears"))
        bottom = TOP + len(outs) * ROW
    right = max([mixer_end, *(mixer_end + GAP + 8 + len(text) * LETTER for text in outs)])
    house_end = _to_the_house(drawing, rig.loom, splitters, bus_of, y_of, rig.source, bottom + ROW)
    height = max(box.y + box.height for box in drawing.boxes) + ROW // 2
    return Picture(
        width=max(right, house_end) + 8,
        height=max(height, bottom),
        summary=_summary(rig, splitters),
        wires=tuple(drawing.wires),
        boxes=tuple(drawing.boxes),
        dots=tuple(drawing.dots),
        words=tuple(drawing.words),
        sentences=tuple(_sentences(rig, splitters)),
    )


def _to_the_house(
    drawing: _Drawing,
    looms: Sequence[Loom],
    splitters: Sequence[Splitter],
    bus_of: dict[str, int],
    y_of: dict[str, int],
    sources: Sequence[Source],
    top: int,
) -> int:
    """The way from the splitters' outputs through the looms to the house, below the rest; gives back where it ends on
    the right.
    """
    if not splitters:
        return 0
    first = max(bus_of.values()) + NEAR
    texts = [_outputs(one) for one in splitters]
    width = max(map(len, texts)) * LETTER + 20
    for place, (one, text) in enumerate(zip(splitters, texts, strict=True)):
        y = top + place * ROW
        highest = min(y_of[source.key] for source in sources if source.splitter == one.key and source.way is not None)
        drawing.wires.append(Wire(bus_of[one.key], highest, bus_of[one.key], y, "house"))
        drawing.wires.append(Wire(bus_of[one.key], y, first, y, "house"))
        drawing.box(first, y, (text,), width)
    lines = [f"{_short(one.name or one.key, LONGEST_NAME)}: {_loom(one)}" for one in looms] or [_("no loom yet")]
    end = first + width
    _joined(drawing, end, len(splitters), end + NEAR, len(lines), top)
    loom_width = max(map(len, lines)) * LETTER + 20
    for place, text in enumerate(lines):
        drawing.box(end + NEAR, top + place * ROW, (text,), loom_width)
    end += NEAR + loom_width
    _joined(drawing, end, len(lines), end + NEAR, 1, top)
    return drawing.box(end + NEAR, top, (_("House"),))


def _joined(drawing: _Drawing, x: int, count: int, to_x: int, to_count: int, top: int) -> None:
    """All of one stack to all of the next: which loom carries which splitter differs from gig to gig."""
    middle = (x + to_x) // 2
    drawing.wires += [Wire(x, top + place * ROW, middle, top + place * ROW, "house") for place in range(count)]
    drawing.wires += [Wire(middle, top + place * ROW, to_x, top + place * ROW, "house") for place in range(to_count)]
    drawing.wires.append(Wire(middle, top, middle, top + (max(count, to_count) - 1) * ROW, "house"))


def _label(source: Source) -> str:
    return source.label or source.what


def _short(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"


def _outputs(splitter: Splitter) -> str:
    outputs = ", ".join(
        " ".join((one.key or _("unnamed"), KINDS_OF_OUTPUT.get(one.kind, one.kind))) for one in splitter.outputs
    )
    name, outputs = _short(splitter.name or splitter.key, LONGEST_NAME), outputs or _("no output yet")
    return f"{name}: {outputs}"


def _loom(loom: Loom) -> str:
    ways = ngettext("%(num)s way", "%(num)s ways", loom.ways)
    return ways if loom.length_m is None else f"{ways}, {say_metres(loom.length_m)}"


def _outs(rig: Rig) -> Iterator[str]:
    """Each ear mix with its outputs, then what the other outputs are used for."""
    for ears in rig.ears:
        yield _(
            "%(player)s: in-ears, %(width)s, by %(carried_by)s, %(outs)s",
            player=_short(ears.player, LONGEST_LABEL),
            width=WIDTHS.get(ears.width, ears.width),
            carried_by=CARRIED_BY.get(ears.carried_by, ears.carried_by),
            outs=", ".join(ears.outs) or _("no output yet"),
        )
    uses: dict[str, list[str]] = {}
    for out in rig.mixer.outs:
        if not out.use.startswith("ears:"):
            uses.setdefault(use_words(out.use), []).append(out.key)
    for use, keys in uses.items():
        many = _("%(first)s to %(last)s, %(count)s in all", first=keys[0], last=keys[-1], count=len(keys))
        yield f"{use}: {', '.join(keys) if len(keys) <= FEW else many}"


def _summary(rig: Rig, splitters: Sequence[Splitter]) -> str:
    split = sum(1 for source in rig.source if source.way is not None and source.splitter)
    plugged = sum(1 for source in rig.source if source.mixer_input is not None)
    through = join_and(one.name or one.key for one in splitters) or _("a splitter")
    return _(
        "%(count)s sources: %(split)s pass %(through)s, %(plugged)s reach the in-ear mixer, %(count2)s in-ear mixes"
        " leave it.",
        count=len(rig.source),
        split=split,
        through=through,
        plugged=plugged,
        count2=len(rig.ears),
    )


def _sentences(rig: Rig, splitters: Sequence[Splitter]) -> Iterator[str]:
    names = {one.key: one.name or one.key for one in rig.splitter}
    for number, source in enumerate(rig.source, start=1):
        way = (
            _("%(name)s way %(way)s", name=names.get(source.splitter, source.splitter), way=source.way)
            if source.splitter and source.way is not None
            else ""
        )
        mixer = (
            _("mixer input %(mixer_input)s", mixer_input=source.mixer_input) if source.mixer_input is not None else ""
        )
        goes = "" if source.goes in ("", "both") else f" ({WORDS['goes'][source.goes]})"
        travels = _("%(way)s, then %(mixer)s", way=way, mixer=mixer) if way and mixer else way or mixer
        travels = travels or _("not plugged in yet")
        yield f"{number} {_label(source)}: {travels}{goes}"
    yield from (_("%(one)s, to the house", one=_outputs(one)) for one in splitters)
    yield from (_("%(key)s: %(one)s, to the house", key=one.name or one.key, one=_loom(one)) for one in rig.loom)
    yield from _outs(rig)
