"""The gig's picture of the whole: every line a hairline from the stage on the left to the house on the right, so that
counts are seen. Drawn twice, for a desk and for a phone; the same said in one sentence.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from portal.plan.model import MIXER_OUTPUTS, PA, EarInput, Line, Plan, Route
from portal.plan.packing.item_names import lengths_of
from portal.plan.result.spelling import Feed, feed_of, through
from portal.wording.catalogue import gettext, ngettext
from portal.wording.plan.saying import say


@dataclass(frozen=True)
class Text:
    """A word in the picture; ``kind``: strong, quiet or struck."""

    x: float
    y: float
    words: str
    anchor: str = "start"
    kind: str = ""


@dataclass(frozen=True)
class Box:
    """A rectangle; ``heavy`` for the stage box, ``round`` for a loom, ``solid`` where it is filled."""

    x: float
    y: float
    width: float
    height: float
    kind: str = ""


@dataclass(frozen=True)
class Drawing:
    """One size of the picture. ``dry``, ``broken`` and ``down`` are the paths of lines."""

    width: int
    height: int
    size: int
    dry: str
    broken: str
    down: str
    ends: str
    boxes: tuple[Box, ...]
    texts: tuple[Text, ...]
    flag: Text | None


@dataclass(frozen=True)
class Glance:
    """The picture in both sizes and in words."""

    broad: Drawing
    narrow: Drawing
    said: str


@dataclass(frozen=True)
class _Bundle:
    """What carries some lines: a loom with its length, or cables of their own."""

    name: str
    length: str
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class _Size:
    width: int
    height: int
    size: int
    start: float
    splitter: tuple[float, float]
    loom: tuple[float, float]
    box: tuple[float, float]
    desk: float
    gap: float
    short: bool


BROAD = _Size(1152, 206, 17, 130, (244, 368), (480, 720), (810, 854), 950, 7, short=False)
NARROW = _Size(328, 138, 15, 34, (64, 104), (148, 222), (252, 284), 304, 4.6, short=True)
TOP = 24.0

ROOM = 20
"""Letters that fit right of the desk."""

FOOT, FOOT_WITH_A_LINE = 42, 56
"""What lies below the lines; more where a line runs back there or a sum comes out."""

MOST_NAMED = 6
"""So many in-ear mixes are named one by one; more are counted."""


def glance(plan: Plan) -> Glance:
    """The picture of a plan."""
    own_pa = plan.route == Route.OWN_PA
    draw = _own_pa if own_pa else _to_the_house
    return Glance(draw(plan, BROAD), draw(plan, NARROW), " ".join(_said(plan, own_pa=own_pa)))


def _bundles(plan: Plan) -> tuple[_Bundle, ...]:
    lengths = {name: say(length) for name, length in lengths_of(plan.bring).items()}
    found: dict[str, list[Line]] = {}
    for line in sorted(plan.lines, key=lambda one: one.line):
        found.setdefault(say(line.cable) or gettext("digital link"), []).append(line)
    return tuple(_Bundle(name, lengths.get(name, ""), tuple(lines)) for name, lines in found.items())


@dataclass
class _Sketch:
    """A picture in the making: lines by how they are drawn."""

    size: _Size
    gap: float
    low: float

    def __post_init__(self) -> None:
        self.dry: list[str] = []
        self.broken: list[str] = []
        self.ends: list[str] = []
        self.boxes: list[Box] = []
        self.texts: list[Text] = []

    @property
    def middle(self) -> float:
        return (TOP + self.low) / 2

    def row(self, number: float) -> float:
        """How far down a row of lines lies."""
        return TOP + 6 + self.gap * number

    def write(self, x: float, y: float, words: str, anchor: str = "middle", kind: str = "strong") -> None:
        self.texts.append(Text(x, y, words, anchor, kind))

    def drawing(self, foot: float, down: str, flag: Text | None) -> Drawing:
        return Drawing(
            self.size.width,
            int(self.low + foot),
            self.size.size,
            "".join(self.dry),
            "".join(self.broken),
            down,
            "".join(self.ends),
            tuple(self.boxes),
            tuple(self.texts),
            flag,
        )


def _to_the_house(plan: Plan, size: _Size) -> Drawing:
    lines = sorted(plan.lines, key=lambda one: one.line)
    bundles = _bundles(plan)
    straight = [line for line in lines if line.path.kind not in MIXER_OUTPUTS]
    mixed = list(dict.fromkeys(key for one in lines if one not in straight for key in one.sources))
    heard = [one for one in plan.ear_inputs if one.line is None]
    rows = max(len(straight) + len(mixed) + len(heard), len(lines) + len(bundles) - 1, 1)
    gap = min(size.gap, (size.height - TOP - 60) / rows)
    sketch = _Sketch(size, gap, TOP + 12 + gap * rows)
    _stage_side(sketch, straight, mixed, heard, split=_splits(plan))
    _house_side(sketch, bundles, straight)
    _racks(sketch, plan)
    _house_words(sketch, plan, lines)
    left, right = size.splitter
    downs = min(rows, 12) if _splits(plan) else 0
    step = (right - left) / (downs + 1)
    down = "".join(
        _line(left + step * (n + 1), sketch.low, left + step * (n + 1), sketch.low + 9) for n in range(downs)
    )
    return sketch.drawing(
        FOOT_WITH_A_LINE if sketch.broken or plan.returns else FOOT, down, _flag(plan, size, sketch.middle)
    )


def _splits(plan: Plan) -> str:
    """What splits the lines: the band's splitter, the house's, or nothing."""
    kinds = {line.path.kind for line in plan.lines}
    ways = any(feed_of(one) is Feed.SPLITTER for one in plan.ear_inputs)
    return (
        gettext("House splitter") if "house-split" in kinds else gettext("Splitter") if "split" in kinds or ways else ""
    )


def _taken(plan: Plan) -> str:
    """How many ways of the splitter hold a plug tonight."""
    ways: set[object] = {(one.path.unit_name, str(one.path.way)) for one in plan.lines if one.path.kind == "split"}
    ways |= {through(one) for one in plan.ear_inputs if feed_of(one) is Feed.SPLITTER}
    ways |= {one.socket for one in plan.lines if one.path.kind == "house-split"}
    return ngettext("%(num)s way used", "%(num)s ways used", len(ways))


def _stage_side(sketch: _Sketch, straight: list[Line], mixed: list[str], heard: list[EarInput], split: str) -> None:
    left, right = sketch.size.splitter
    for row in range(len(straight) + len(mixed) + len(heard)):
        y = sketch.row(row)
        if row < len(straight) or split:
            sketch.dry.append(_line(sketch.size.start, y, left, y))
        else:
            sketch.dry.append(_line(sketch.size.start, y, left - 14, y) + _curve(left - 14, y, left, sketch.low + 20))
        if row >= len(straight) + len(mixed) and split:
            sketch.dry.append(_line(right, y, right + 14, y))
            sketch.ends.append(_line(right + 14, y - 2.5, right + 14, y + 2.5))


def _house_side(sketch: _Sketch, bundles: tuple[_Bundle, ...], straight: list[Line]) -> None:
    size, at = sketch.size, 0.0
    count = sum(len(bundle.lines) for bundle in bundles)
    arrive = (sketch.low - TOP - 12 - sketch.gap * (count - 1)) / 2 / sketch.gap if count else 0
    for bundle in bundles:
        first = sketch.row(at)
        for line in bundle.lines:
            y, to_y, start = sketch.row(at), sketch.row(arrive), size.splitter[1]
            path = sketch.dry if line in straight else sketch.broken
            begin = sketch.row(straight.index(line)) if line in straight else sketch.low + 20
            path.append(_curve(start, begin, size.loom[0], y) + _line(size.loom[0], y, size.loom[1], y))
            path.append(_curve(size.loom[1], y, size.box[0], to_y))
            sketch.dry.append(_line(size.box[1], to_y, size.desk, to_y))
            at, arrive = at + 1, arrive + 1
        last = sketch.row(at - 1)
        if bundle.lines[0].loom:
            sketch.boxes.append(Box(size.loom[0], first - 4, size.loom[1] - size.loom[0], last - first + 8, "round"))
        words = bundle.name if size.short or not bundle.length else f"{bundle.name}, {bundle.length}"
        y = TOP - 6 if bundle is bundles[0] else last + 6 + size.size
        if bundle.lines[0].path.kind != "house-split":
            sketch.write(sum(size.loom) / 2, y, words, kind="")
        at += 1


def _racks(sketch: _Sketch, plan: Plan) -> None:
    left, right = sketch.size.splitter
    low, split = sketch.low, _splits(plan)
    if split:
        sketch.boxes.append(Box(left, TOP, right - left, low - TOP, "ground"))
        sketch.write((left + right) / 2, TOP - 6, split)
        if not sketch.size.short:
            sketch.write((left + right) / 2, sketch.middle + 6, _taken(plan), kind="")
    sketch.boxes.append(Box(left, low + 9, right - left, 26, "ground"))
    sketch.write((left + right) / 2, low + 27, gettext("%(inputs)s in", inputs=len(plan.ear_inputs)))
    mixes = ngettext("In-ear mixer, %(num)s mix", "In-ear mixer, %(num)s mixes", len(plan.ears))
    below = sketch.broken or plan.returns
    sketch.write(right + 10, low + (48 if below else 27), mixes, "start", "")
    if plan.returns:
        back = (
            gettext("%(count)s back", count=len(plan.returns))
            if sketch.size.short
            else gettext("%(count)s back from the house", count=len(plan.returns))
        )
        sketch.write(sketch.size.desk - 6, low + 16, back, "end", "")
        sketch.dry.append(f"M{sketch.size.desk + 2:g} {low:g}V{low + 22:g}H{right:g}m7 -4l-7 4 7 4")
    sources = len({key for line in plan.lines for key in line.sources} | {one.source for one in plan.ear_inputs})
    words = str(sources) if sketch.size.short else ngettext("%(num)s source", "%(num)s sources", sources)
    sketch.write(0, TOP - 6, words, "start")


def _house_words(sketch: _Sketch, plan: Plan, lines: list[Line]) -> None:
    size, low, middle = sketch.size, sketch.low, sketch.middle
    box = sum(size.box) / 2
    sketch.boxes.append(Box(size.box[0], TOP, size.box[1] - size.box[0], low - TOP, "heavy"))
    sketch.boxes.append(Box(size.desk, TOP, 4, low - TOP, "solid"))
    pa = all(line.box == PA for line in lines)
    sketch.write(box, TOP - 6, "PA" if pa else gettext("Box") if size.short else gettext("Stage box"))
    sketch.write(box, middle + 6, str(sum(line.box_socket is not None for line in lines)))
    if pa:
        return
    if size.short:
        sketch.write(size.width, TOP - 6, gettext("Desk"), "end")
        return
    edge = size.desk + 14
    sketch.write(edge, TOP - 6, gettext("House desk"), "start")
    sketch.write(edge, middle, ngettext("%(num)s channel", "%(num)s channels", len(lines)), "start")
    sketch.write(edge, middle + 22, _runs([line.desk_channel for line in lines]), "start", "")
    left = [what for one in plan.leave if len(what := say(one.what)) <= ROOM]
    for n, what in enumerate(left[: min(3, int((low + FOOT - 4 - middle) / 22) - 1)]):
        sketch.write(edge, middle + 22 * (n + 2), what, "start", "struck")


def _own_pa(plan: Plan, size: _Size) -> Drawing:
    count = max(len(plan.ear_inputs), 1)
    gap = min(size.gap, (size.height - TOP - 20) / count)
    sketch = _Sketch(size, gap, TOP + 12 + gap * count)
    left, right = size.loom
    sketch.dry.extend(_line(size.start, sketch.row(n), left, sketch.row(n)) for n in range(count))
    sketch.boxes.append(Box(left, TOP, right - left, sketch.low - TOP, "ground"))
    sketch.write(
        0, TOP - 6, str(count) if size.short else ngettext("%(num)s source", "%(num)s sources", count), "start"
    )
    sketch.write((left + right) / 2, TOP - 6, gettext("The band's mixer"))
    sketch.write((left + right) / 2, sketch.middle + 6, gettext("%(inputs)s in", inputs=count))
    mixes = [(gettext("In-ears, %(player)s", player=one.player), len(one.outs)) for one in plan.ears]
    if size.short or len(mixes) > MOST_NAMED:
        wires = sum(number for _, number in mixes)
        words = (
            ngettext("%(num)s mix", "%(num)s mixes", len(mixes))
            if size.short
            else ngettext("%(num)s in-ear mix", "%(num)s in-ear mixes", len(mixes))
        )
        mixes = [(words, wires)] if mixes else []
    edge = right + (22 if size.short else 70)
    pitch = (sketch.low - TOP) / (len(mixes) + 2)
    for n, (words, wires) in enumerate([("PA", 2), *mixes]):
        y = TOP + pitch * (n + 1)
        sketch.dry.extend(_line(right, y + 3 * wire, edge - 6, y + 3 * wire) for wire in range(wires))
        sketch.dry.append(f"M{edge - 12:g} {y - 3:g}l6 4 -6 4")
        sketch.write(edge, y + 5, words, "start", "" if n else "strong")
    return sketch.drawing(12, "", _flag(plan, size, sketch.middle))


def _flag(plan: Plan, size: _Size, middle: float) -> Text | None:
    fed = sum(one.phantom in ("band", "splitter") for one in plan.ear_inputs)
    if not fed:
        return None
    return Text(size.splitter[0] - 8, middle, "48" if size.short else gettext("48 V to %(fed)s", fed=fed))


def _line(x: float, y: float, to_x: float, to_y: float) -> str:
    return f"M{x:g} {y:.4g}L{to_x:g} {to_y:.4g}" if y != to_y else f"M{x:g} {y:.4g}H{to_x:g}"


def _curve(x: float, y: float, to_x: float, to_y: float) -> str:
    middle = (x + to_x) / 2
    return f"M{x:g} {y:.4g}C{middle:g} {y:.4g} {middle:g} {to_y:.4g} {to_x:g} {to_y:.4g}"


def _runs(numbers: list[int]) -> str:
    """Numbers with their runs: "1-12, 17"."""
    found = sorted(set(numbers))
    runs: list[list[int]] = []
    for number in found:
        if runs and runs[-1][-1] == number - 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 1 else str(run[0]) for run in runs)


def _said(plan: Plan, *, own_pa: bool) -> Iterator[str]:
    """What the picture shows, in sentences."""
    inputs = len(plan.ear_inputs)
    fed = sum(one.phantom in ("band", "splitter") for one in plan.ear_inputs)
    if own_pa:
        yield ngettext(
            "%(num)s source goes into the band's own mixer.", "%(num)s sources go into the band's own mixer.", inputs
        )
        yield ngettext(
            "Its outputs feed the PA and %(num)s in-ear mix.",
            "Its outputs feed the PA and %(num)s in-ear mixes.",
            len(plan.ears),
        )
    else:
        heard = sum(one.line is None for one in plan.ear_inputs)
        yield ngettext(
            "%(num)s line runs from the stage on the left to the house desk on the right, channel %(channels)s.",
            "%(num)s lines run from the stage on the left to the house desk on the right, channels %(channels)s.",
            len(plan.lines),
            channels=_runs([line.desk_channel for line in plan.lines]),
        )
        for bundle in _bundles(plan):
            name = ", ".join(part for part in (bundle.name, bundle.length) if part)
            yield gettext("%(count)s over %(name)s.", count=len(bundle.lines), name=name)
        kinds = Counter(line.path.kind in MIXER_OUTPUTS for line in plan.lines)
        if kinds[True]:
            yield ngettext(
                "%(num)s comes out of the band's mixer.", "%(num)s come out of the band's mixer.", kinds[True]
            )
        if heard:
            yield ngettext("%(num)s source ends in the in-ears.", "%(num)s sources end in the in-ears.", heard)
        yield ngettext(
            "The in-ear mixer has %(inputs)s inputs and %(num)s mix.",
            "The in-ear mixer has %(inputs)s inputs and %(num)s mixes.",
            len(plan.ears),
            inputs=inputs,
        )
        if plan.returns:
            yield ngettext(
                "%(num)s line comes back from the house.", "%(num)s lines come back from the house.", len(plan.returns)
            )
    if fed:
        yield ngettext("The band feeds 48 V to %(num)s input.", "The band feeds 48 V to %(num)s inputs.", fed)
    if plan.leave:
        yield gettext("Not used: %(leave)s.", leave=", ".join(say(item.what) for item in plan.leave))
