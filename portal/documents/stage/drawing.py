"""The drawing of a stage: to scale from metres, the audience below, words where they find room."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from itertools import pairwise
from math import ceil, hypot, inf

from portal.documents.patch.patch_rows import NONE
from portal.documents.rendering.printed import Printed, ranges
from portal.documents.stage.plot_words import Area, Room, Side, Words, around
from portal.documents.stage.stage_rows import (
    LoomRow,
    at_the_mixer,
    carried_to,
    in_tenths,
    input_words,
    line_words,
    place_words,
    powered,
)
from portal.plan.input.kinds import Role
from portal.plan.input.rig import Rig, Source
from portal.plan.model import Plan
from portal.plan.options.routing_policy import capture_of, role_of
from portal.plan.result.stage import DRUMS, Person, Placed, Point, cable
from portal.wording.catalogue import gettext, ngettext
from portal.wording.formats import length_unit

UNITS = 100
"""Units of the drawing in one metre."""

EDGE_M = 1.5
"""Room around the stage for what stands beside it and for the words, in metres of an eight-metre stage; it grows with
the stage.
"""

LETTER_MM = 3.4
"""Type of the drawing on paper, at least: above 9 pt."""

SCREEN_LETTERS = 40
"""The same on a screen, where the drawing has few words and is at least 44 rem wide: above 16 px."""

SHORT_NAME = 16
"""Letters of a name in the drawing; the table has all of it."""

APART_M = 0.5
"""From how far away a source gets a mark of its own; closer ones share a mark."""

WEDGE_M = 0.9
"""How far a wedge lies in front of whoever hears it (common practice, no source)."""

DROP_M = (0.7, 0.7)
"""Where a player's mains outlets are drawn: so far to the right and behind them (common practice, no source)."""

SOURCES = ("source", "source-left")

HALF_M = {
    "kit": (1.0, 0.8),
    "amp": (0.35, 0.2),
    "keys": (0.65, 0.2),
    "microphone": (0.12, 0.12),
    "di": (0.15, 0.1),
}
"""Outline of what stands there -> half its width and depth in metres, as such things are (common practice, no
source).
"""

BELOW_FIRST: tuple[Side, ...] = ("below", "above", "right", "left")

SIDES: dict[str, tuple[Side, ...]] = {
    "source": ("right", "left", "below", "above"),
    "source-left": ("left", "right", "below", "above"),
    "rack": ("right", "left", "above", "below"),
    "power": ("right", "left", "below", "above"),
    "box": ("right", "left", "below", "above"),
}
"""Kind of thing -> where its words are tried, in this order."""

LONGEST_NUMBERS = 16
"""Letters of the lines under a player; the table has all of them."""


@dataclass(frozen=True)
class Thing:
    """One thing in the drawing. ``kind``: person, listener (a person with in-ears), source, source-left (its number to
    the left), wedge, box, rack, power, drop (a player's mains outlets). ``name`` is its key in the form, empty where it
    cannot be moved by itself. ``x`` and ``y`` are in the drawing, ``right_m`` and ``front_m`` on the stage. ``said``
    are the lines of words that it has, ``words`` those that found room. ``shape`` is what stands there, a key of
    ``HALF_M``, to scale.
    """

    kind: str
    name: str
    x: int
    y: int
    right_m: float
    front_m: float
    said: tuple[str, ...]
    what: str
    words: Words = field(default_factory=Words)
    shape: str = ""


@dataclass(frozen=True)
class Way:
    """One way of cables: its corners as text for the drawing. ``kind``: loom or power."""

    kind: str
    points: str


@dataclass(frozen=True)
class Plot:
    """The drawing, all of it in units: the whole, the stage in it, the size of letters and signs. ``wide_mm`` and
    ``high_mm`` are what it takes on paper; nought on a screen, which it fills.
    """

    wide: int
    high: int
    left: int
    top: int
    stage_wide: int
    stage_high: int
    text: int
    sign: int
    width_m: float
    depth_m: float
    size_words: str
    things: tuple[Thing, ...]
    ways: tuple[Way, ...]
    words: str
    wide_mm: float = 0.0
    high_mm: float = 0.0


def plot_of(
    stage: Placed,
    plan: Plan | None,
    rig: Rig,
    looms: tuple[LoomRow, ...],
    printed: Printed,
    *,
    with_box: bool = True,
    room_mm: tuple[float, float] | None = None,
) -> Plot:
    """The drawing of a stage, with the stage box where something ends there. Letters and signs grow with it, so that
    they stay legible at any size of stage. ``room_mm``: width and height that it has on paper; ``None`` for a screen.
    """
    edge = round(EDGE_M * UNITS * max(1.0, stage.width_m / 8, stage.depth_m / 8))
    wide, high = round(stage.width_m * UNITS), round(stage.depth_m * UNITS)
    # Above the stage stands one row of words, below it two.
    letters_wide, letters_high = (room // LETTER_MM for room in room_mm or (SCREEN_LETTERS * LETTER_MM, inf))
    text = ceil(max((wide + 2 * edge) / letters_wide, high / (letters_high - 6)))
    top = text * 5 // 2

    def at(point: Point) -> tuple[int, int]:
        return round(edge + (stage.width_m / 2 - point[0]) * UNITS), round(top + (stage.depth_m - point[1]) * UNITS)

    def thing(kind: str, name: str, point: Point, said: tuple[str, ...], what: str) -> Thing:
        return Thing(kind, name, *at(point), round(point[0], 1) + 0.0, round(point[1], 1) + 0.0, said, what)

    box, rack = gettext("Stage box"), gettext("Rack")
    run, mains = cable(stage.rack, stage.box, stage), cable(stage.power, stage.rack, stage)
    things = [
        *((thing("box", "box", stage.box, (box, *_lengths(looms)), box),) if with_box else ()),
        thing(
            "rack",
            "rack",
            stage.rack,
            (rack,),
            gettext("Rack with the splitter") if any(one.built_in for one in rig.splitter) else rack,
        ),
        thing("power", "power", stage.power, (gettext("Power"),), gettext("Mains socket for the rack")),
    ]
    for index, one in enumerate(stage.people, start=1):
        things += _around(one, index, plan, rig, thing, printed, brief=room_mm is None)
    ways = (Way("power", _corners(mains.way, at)), *((Way("loom", _corners(run.way, at)),) if looms else ()))
    plot = Plot(
        wide=wide + 2 * edge,
        high=top + high + text * 7 // 2,
        left=edge,
        top=top,
        stage_wide=wide,
        stage_high=high,
        text=text,
        sign=round(text * 0.8),
        width_m=stage.width_m,
        depth_m=stage.depth_m,
        size_words=_size_words(stage),
        things=tuple(things),
        ways=ways,
        words=", ".join(_in_words(stage, with_box=with_box)),
    )
    if room_mm is not None:
        scale = min(room_mm[0] / plot.wide, room_mm[1] / plot.high)
        plot = replace(plot, wide_mm=round(plot.wide * scale, 1), high_mm=round(plot.high * scale, 1))
    return replace(plot, things=tuple(_with_words(plot)))


def _lengths(looms: tuple[LoomRow, ...]) -> Iterator[str]:
    if looms:
        needed = f"{looms[0].needed} {length_unit()}"
        yield gettext("loom %(length)s", length=needed)
    for row in looms:
        if row.short:
            yield gettext("%(loom)s too short", loom=row.loom)


def _size_words(stage: Placed) -> str:
    width, depth = in_tenths(stage.width_m), in_tenths(stage.depth_m)
    if {"width", "depth"} & stage.assumed:
        return gettext("%(width)s wide, %(depth)s deep, assumed", width=width, depth=depth)
    return gettext("%(width)s wide, %(depth)s deep", width=width, depth=depth)


def _in_words(stage: Placed, *, with_box: bool) -> Iterator[str]:
    yield ngettext("Stage plot: %(num)s person", "Stage plot: %(num)s people", len(stage.people))
    if with_box:
        yield gettext("the stage box %(place)s", place=place_words(stage.box))
    yield gettext("the rack %(place)s", place=place_words(stage.rack))


def _room(plot: Plot) -> Room:
    """The drawing as it is before any sign: its edges, its fixed words below and above, its ways."""
    room = Room(Area(0, 0, plot.wide, plot.high), plot.text)
    right, bottom, thin = plot.left + plot.stage_wide, plot.top + plot.stage_high, plot.text / 5
    corners = ((plot.left, plot.top), (right, plot.top), (right, bottom), (plot.left, bottom), (plot.left, plot.top))
    for way in (corners, *(_points(way) for way in plot.ways)):
        for (x, y), (next_x, next_y) in pairwise(way):
            room.draw(Area(min(x, next_x) - thin, min(y, next_y) - thin, max(x, next_x) + thin, max(y, next_y) + thin))
    middle = plot.wide / 2
    below = bottom + plot.text * 7 / 4
    room.take(
        *(around(x, below, plot.text * 8, plot.text * 5 / 2) for x in (plot.left, right)),
        around(middle, below, plot.text * 16, plot.text * 2.5),
    )
    room.take(around(middle, plot.text, plot.text * 9, plot.text))
    return room


def _points(way: Way) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, _, y in (corner.partition(",") for corner in way.points.split())]


def _with_words(plot: Plot) -> Iterator[Thing]:
    """The things with those of their words that find room: what is fixed first, then people, then sources."""
    room = _room(plot)
    signs = [_sign(thing, plot.sign) for thing in plot.things]
    room.take(*signs)
    put: dict[int, Words] = {}
    for index in sorted(range(len(signs)), key=lambda one: plot.things[one].kind in SOURCES):
        thing, sign = plot.things[index], signs[index]
        for lines in (thing.said, thing.said[:1]):
            if lines and index not in put:
                found = room.put(
                    thing.x,
                    thing.y,
                    sign,
                    lines,
                    SIDES.get(thing.kind, BELOW_FIRST),
                    away=thing.kind == "box" or (len(lines) == 1 and thing.kind not in SOURCES),
                )
                put |= {index: found} if found.lines else {}
    for index, thing in enumerate(plot.things):
        yield replace(thing, words=put.get(index, Words()))


def _sign(thing: Thing, half: int) -> Area:
    """What a thing's sign takes."""
    if thing.shape:
        across, deep = (side * UNITS * 2 for side in HALF_M[thing.shape])
        least = half * 2 if thing.kind not in SOURCES else half * 2 / 3
        return around(thing.x, thing.y, max(across, least), max(deep, least))
    return around(thing.x, thing.y, half * 2, half if thing.kind == "wedge" else half * 2)


def _corners(way: tuple[Point, ...], at: Callable[[Point], tuple[int, int]]) -> str:
    return " ".join("{},{}".format(*at(point)) for point in way)


def _around(
    one: Person,
    index: int,
    plan: Plan | None,
    rig: Rig,
    thing: Callable[..., Thing],
    printed: Printed,
    *,
    brief: bool,
) -> Iterator[Thing]:
    """A player, the wedge before them, and those of their sources that stand apart; ``brief``: of the player's words
    only the name.
    """
    inputs = at_the_mixer(plan)
    by_source = inputs or {key: line.line for line in (plan.lines if plan else ()) for key in line.sources}
    marks: list[tuple[Point, list[Source]]] = [(one.at, [])]
    kit = any(_on_the_kit(source) for source, _ in one.sources)
    for source, at in one.sources:
        near = marks[0] if kit and (_on_the_kit(source) or _inside_the_kit(at, one.at)) else _close(marks, at)
        if near is None:
            marks.append((at, [source]))
        else:
            near[1].append(source)

    def numbers(sources: list[Source]) -> str:
        return ranges(by_source[source.key] for source in sources if source.key in by_source)

    carried = carried_to(one.name, rig)
    name = printed(one.name, SHORT_NAME, gettext("a player's name in the drawing")) or gettext("Others")
    here = input_words(numbers(marks[0][1])) if inputs else line_words(numbers(marks[0][1]))
    under = (here,) if 0 < len(here) <= LONGEST_NUMBERS and not brief else ()
    kind = "listener" if set(carried) - {"wedge"} else "person"
    whole = printed(one.name, 60, gettext("a player's name")) or gettext("Others")
    player = thing(kind, f"person-{index}", one.at, (name, *under), whole)
    keys = any(_shape(source) == "keys" for source in marks[0][1])
    yield replace(player, shape="kit" if kit else "keys" if keys else "")
    if outlets := () if brief else powered(one):
        at = (one.at[0] + DROP_M[0], one.at[1] + DROP_M[1])
        yield thing(
            "drop",
            "",
            at,
            (str(len(outlets)),),
            gettext("Mains sockets for %(player)s: %(number)s", player=name, number=len(outlets)),
        )
    if "wedge" in carried:
        yield thing("wedge", "", (one.at[0], one.at[1] - WEDGE_M), (), gettext("Wedge of %(player)s", player=name))
    for at, sources in marks[1:]:
        labels = ", ".join(printed(source.label, 40, gettext("a source's label")) for source in sources)
        # Its number is tried first on the side away from its player.
        kind = "source-left" if at[0] > one.at[0] else "source"
        yield replace(thing(kind, "", at, (numbers(sources) or NONE,), labels), shape=_shape(sources[0]))


def _close(marks: list[tuple[Point, list[Source]]], at: Point) -> tuple[Point, list[Source]] | None:
    """The mark that a source at a place shares; nothing where it has its own."""
    return next((one for one in marks if hypot(at[0] - one[0][0], at[1] - one[0][1]) < APART_M), None)


def _inside_the_kit(at: Point, player: Point) -> bool:
    """Whether a place lies within the outline of the kit around a player, or touches it."""
    across, deep = HALF_M["kit"]
    return abs(at[0] - player[0]) < across + APART_M / 2 and abs(at[1] - player[1]) < deep + APART_M / 2


def _on_the_kit(source: Source) -> bool:
    return role_of(source) in DRUMS and role_of(source) is not Role.ELECTRONIC_KIT


def _shape(source: Source) -> str:
    """What stands where a source is picked up."""
    role, capture = role_of(source), capture_of(source)
    if role is Role.KEYBOARD:
        return "keys"
    if capture == "mic" and role in (Role.GUITAR, Role.BASS):
        return "amp"
    return "microphone" if capture in ("mic", "wireless") else "di"
