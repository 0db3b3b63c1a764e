"""The stage plot: places to scale from metres, the audience below, and how long each loom has to be on this stage.

Left and right are the performer's, so the performer's right is on the left of the paper, where an engineer who faces
the stage sees it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from itertools import pairwise
from math import hypot

from portal.documents.cover import Cover
from portal.documents.heading import TitleBlock, foot_of, heading_of
from portal.documents.patch_rows import NONE, source_labels
from portal.documents.registry import document
from portal.documents.rendering.printed import Printed, ranges
from portal.documents.stage.plot_words import Area, Room, Side, Words, around
from portal.plan.input.rig import MAX_LABEL, Rig, Source
from portal.plan.model import BESIDE_THE_LOOM, Line, Plan
from portal.plan.options.boxes import SECOND
from portal.plan.result.stage import Cable, Person, Placed, Point, box_place_of, cable, placed, reaches

UNITS = 100
"""Units of the drawing in one metre."""

EDGE_M = 1.5
"""Room around the stage for what stands beside it and for the words, in metres of an eight-metre stage; it grows with
the stage.
"""

LETTERS_WIDE, LETTERS_HIGH = 58, 48
"""The drawing is so many letters wide and high: on upright A4 and Letter that is above 9 pt."""

SCREEN_LETTERS = 40
"""The same on a screen, where the drawing has few words and is at least 44 rem wide: above 16 px."""

SHORT_NAME = 16
"""Letters of a name in the drawing; the table has all of it."""

APART_M = 0.5
"""From how far away a source gets a mark of its own; closer ones share a mark."""

WEDGE_M = 0.9
"""How far a wedge lies in front of whoever hears it (common practice, no source)."""

SOURCES = ("source", "source-left")

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

SIGNS_WORDS = (
    "Circle: a player; with a ring inside: in-ears. Dot: a source, with its line. Places are to scale, signs are not."
    " Left and right are the performer's, who faces the audience. What found no room beside its sign stands in the"
    " table of people."
)

LENGTHS_WORDS = (
    "A loom's length is its way along sides and back, up and down at both ends, and slack: a tenth, at least 2 m "
    "(common practice, no source). Where the house stated a distance, the plan uses that one."
)

UNSIGNED_WORDS = "Who stands where is no part of what was signed."

POWER_WORDS = "Mains ways are drawn for planning only. A licensed electrician and the local code decide."


@dataclass(frozen=True)
class Thing:
    """One thing in the drawing. ``kind``: person, listener (a person with in-ears), source, source-left (its number to
    the left), wedge, box, rack, power. ``name`` is its key in the form, empty where it cannot be moved by itself. ``x``
    and ``y`` are in the drawing, ``right_m`` and ``front_m`` on the stage. ``said`` are the lines of words that it has,
    ``words`` those that found room.
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


@dataclass(frozen=True)
class Way:
    """One way of cables: its corners as text for the drawing. ``kind``: loom or power."""

    kind: str
    points: str


@dataclass(frozen=True)
class Plot:
    """The drawing, all of it in units: the whole, the stage in it, the size of letters and signs."""

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


@dataclass(frozen=True)
class PersonRow:
    """Who stands where, with their lines and what they hear by."""

    player: str
    place: str
    sources: str
    hears: str
    to_rack: str


@dataclass(frozen=True)
class LoomRow:
    """One loom of the plan on this stage, lengths in metres; ``short`` is true where what is owned does not reach."""

    loom: str
    owned: str
    along: str
    up_and_down: str
    slack: str
    needed: str
    verdict: str
    short: bool


@dataclass(frozen=True)
class Drawn:
    """A stage as a drawing and as tables; ``assumed`` names what nobody stated."""

    plot: Plot
    people: tuple[PersonRow, ...]
    looms: tuple[LoomRow, ...]
    assumed: str
    notes: tuple[str, ...] = (SIGNS_WORDS, LENGTHS_WORDS, POWER_WORDS)


@dataclass(frozen=True)
class StagePlot:
    """All that the template sees. ``unsigned`` says on a signed plan that its stage is not."""

    language: str
    title: str
    foot: str
    heading: TitleBlock
    drawn: Drawn
    unsigned: str
    shortened: str


@document(
    "stage-plot",
    title="Stage plot",
    purpose="Who stands where, to scale, and how long the looms have to be.",
    template="stage_plot.html",
)
def stage_plot(plan: Plan, cover: Cover) -> StagePlot:
    """The plot of one plan on the gig's stage."""
    printed = Printed()
    heading = heading_of(cover, printed, "stage-plot")
    rig = _tonight(cover.rig, plan)
    drawn = draw(placed(cover.stage, rig, box_place_of(cover.answers)), plan, rig, printed)
    return StagePlot(
        language=cover.language,
        title=f"Stage plot, {heading.gig}, {heading.date}",
        foot=foot_of(heading),
        heading=heading,
        drawn=drawn,
        unsigned=UNSIGNED_WORDS if cover.signatures else "",
        shortened=", ".join(printed.shortened),
    )


def draw(stage: Placed, plan: Plan | None, rig: Rig, printed: Printed, *, for_screen: bool = False) -> Drawn:
    """A stage with the lines of a plan; without one, with no lines and no looms. A drawing for the screen has fewer and
    larger words.
    """
    lines = plan.lines if plan else ()
    looms = tuple(_looms(plan, rig, stage, printed)) if plan else ()
    return Drawn(
        plot=_plot(stage, lines, rig, looms, printed, for_screen=for_screen),
        people=tuple(_person(one, lines, rig, stage, printed) for one in stage.people),
        looms=looms,
        assumed=assumed_words(stage, printed),
    )


def _tonight(rig: Rig, plan: Plan) -> Rig:
    """The rig without the sources that the gig's variant leaves at home: the plan does not know them."""
    known = {key for line in plan.lines for key in line.sources} | source_labels(plan).keys()
    return replace(rig, source=tuple(source for source in rig.source if source.key in known))


def assumed_words(stage: Placed, printed: Printed) -> str:
    """What nobody stated of this stage, in words."""
    names = {
        "width": "its width",
        "depth": "its depth",
        "box": "the box's place",
        "rack": "the rack's place",
        "power": "the outlet's place",
    }
    names |= {"up-and-down": "up and down at the ends"}
    said = [words for key, words in names.items() if key in stage.assumed]
    people = [
        printed(one.name, MAX_LABEL, "a player's name") or "players without a name"
        for one in stage.people
        if one.assumed
    ]
    return ", ".join([*said, *(f"where {name} stands" for name in people)])


def metres(length: float) -> str:
    """A length to a tenth of a metre, without a nought at its end."""
    return f"{round(length + 0.0, 1):g}"


def place_words(at: Point) -> str:
    """A place on the stage in words."""
    side = "in the middle" if abs(at[0]) < 0.05 else f"{metres(abs(at[0]))} m {'right' if at[0] > 0 else 'left'}"  # noqa: PLR2004 - what rounds to nothing
    return f"{side}, {metres(at[1])} m from the front"


def line_words(numbers: str) -> str:
    """Numbers of lines with their word; nothing where there is none."""
    return f"line{'' if numbers.isdecimal() else 's'} {numbers}" if numbers else ""


def _hears(name: str, rig: Rig) -> str:
    mixes = [ears.carried_by for ears in rig.ears if ears.player == name]
    return ", ".join("wedge" if one == "wedge" else f"in-ears, {one}" for one in dict.fromkeys(mixes))


def _numbers(person: Person, lines: tuple[Line, ...]) -> list[int]:
    mine = {source.key for source, _ in person.sources}
    return [line.line for line in lines if mine & set(line.sources)]


def _person(one: Person, lines: tuple[Line, ...], rig: Rig, stage: Placed, printed: Printed) -> PersonRow:
    run = cable(one.at, stage.rack, stage, across=True)
    owned = reaches(run.needed_m, _loose(rig))
    reach = "" if owned is None else f", a {metres(owned)} m cable reaches"
    numbers = _numbers(one, lines)
    labels = ", ".join(printed(source.label, 40, "a source's label") for source, _ in one.sources)
    return PersonRow(
        player=printed(one.name, 60, "a player's name") or "No player named",
        place=place_words(one.at) + (" (assumed)" if one.assumed else ""),
        sources=printed(labels, 300, "the sources of a player")
        + (f" ({line_words(ranges(numbers))})" if numbers else "")
        or NONE,
        hears=_hears(one.name, rig) or NONE,
        to_rack=f"{metres(run.needed_m)} m{reach}" if one.sources else NONE,
    )


def _loose(rig: Rig) -> list[float]:
    """Lengths of the loose cables that the band owns."""
    found = (
        name.removeprefix("xlr_").removesuffix("m")
        for name, count in rig.bits.items()
        if name.startswith("xlr_") and count
    )
    return [float(text) for text in found if text.replace(".", "", 1).isdecimal()]


def _looms(plan: Plan, rig: Rig, stage: Placed, printed: Printed) -> Iterator[LoomRow]:
    used = {
        way.key: way.name
        for way in (*(line.loom for line in plan.lines if line.box != SECOND), *(one.loom for one in plan.returns))
        if way
    }
    lengths = {loom.key: loom.length_m for loom in rig.loom}
    run = cable(stage.rack, stage.box, stage)
    for key, name in used.items():
        length = lengths.get(key)
        yield _loom_row(
            printed(name or key, 40, "a loom's name"), "" if length is None else metres(length), run, length
        )
    loose = [line for line in plan.lines if line.loom is None and line.path.kind not in BESIDE_THE_LOOM]
    if loose:
        owned = _loose(rig)
        yield _loom_row(
            f"{len(loose)} loose cables", ", ".join(metres(one) for one in sorted(owned)), run, max(owned, default=None)
        )


def _loom_row(name: str, owned: str, run: Cable, longest: float | None) -> LoomRow:
    short = longest is not None and longest < run.needed_m
    if longest is None:
        verdict = "Its length is not stated in the rig"
    elif short:
        verdict = f"Too short by {metres(run.needed_m - longest)} m"
    else:
        verdict = "Reaches"
    return LoomRow(
        name,
        owned or "not stated",
        metres(run.along_m),
        metres(run.up_and_down_m),
        metres(run.slack_m),
        metres(run.needed_m),
        verdict,
        short,
    )


def _plot(
    stage: Placed,
    lines: tuple[Line, ...],
    rig: Rig,
    looms: tuple[LoomRow, ...],
    printed: Printed,
    *,
    for_screen: bool = False,
) -> Plot:
    """The drawing of a stage. Letters and signs grow with it, so that they stay legible at any size of stage."""
    edge = round(EDGE_M * UNITS * max(1.0, stage.width_m / 8, stage.depth_m / 8))
    wide, high = round(stage.width_m * UNITS), round(stage.depth_m * UNITS)
    # Above the stage stands one row of words, below it two.
    across = (wide + 2 * edge) / (SCREEN_LETTERS if for_screen else LETTERS_WIDE)
    text = round(across if for_screen else max(across, high / (LETTERS_HIGH - 6)))
    top = text * 5 // 2

    def at(point: Point) -> tuple[int, int]:
        return round(edge + (stage.width_m / 2 - point[0]) * UNITS), round(top + (stage.depth_m - point[1]) * UNITS)

    def thing(kind: str, name: str, point: Point, said: tuple[str, ...], what: str) -> Thing:
        return Thing(kind, name, *at(point), round(point[0], 1) + 0.0, round(point[1], 1) + 0.0, said, what)

    run, mains = cable(stage.rack, stage.box, stage), cable(stage.power, stage.rack, stage)
    lengths = (
        (f"loom {metres(run.needed_m)} m", *(f"{row.loom} too short" for row in looms if row.short)) if looms else ()
    )
    things = [
        thing("box", "box", stage.box, ("Stage box", *lengths), "Stage box"),
        thing(
            "rack",
            "rack",
            stage.rack,
            ("Rack",),
            "Rack with the splitter" if any(one.built_in for one in rig.splitter) else "Rack",
        ),
        thing("power", "power", stage.power, ("Power",), "Mains outlet for the rack"),
    ]
    for index, one in enumerate(stage.people, start=1):
        things += _around(one, index, lines, rig, thing, printed, brief=for_screen)
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
        size_words=f"{metres(stage.width_m)} m wide, {metres(stage.depth_m)} m deep"
        + (", assumed" if {"width", "depth"} & stage.assumed else ""),
        things=tuple(things),
        ways=ways,
        words=(
            f"Stage plot: {len(stage.people)} people, the stage box {place_words(stage.box)}, the rack"
            f" {place_words(stage.rack)}"
        ),
    )
    return replace(plot, things=tuple(_with_words(plot)))


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
                    away=len(lines) == 1 and thing.kind not in SOURCES,
                )
                put |= {index: found} if found.lines else {}
    for index, thing in enumerate(plot.things):
        yield replace(thing, words=put.get(index, Words()))


def _sign(thing: Thing, half: int) -> Area:
    """What a thing's sign takes."""
    if thing.kind in SOURCES:
        return around(thing.x, thing.y, half * 2 / 3, half * 2 / 3)
    return around(thing.x, thing.y, half * 2, half if thing.kind == "wedge" else half * 2)


def _corners(way: tuple[Point, ...], at: Callable[[Point], tuple[int, int]]) -> str:
    return " ".join("{},{}".format(*at(point)) for point in way)


def _around(
    one: Person,
    index: int,
    lines: tuple[Line, ...],
    rig: Rig,
    thing: Callable[..., Thing],
    printed: Printed,
    *,
    brief: bool,
) -> Iterator[Thing]:
    """A player, the wedge before them, and those of their sources that stand apart; ``brief``: of the player's words
    only the name.
    """
    by_source = {key: line.line for line in lines for key in line.sources}
    marks: list[tuple[Point, list[Source]]] = [(one.at, [])]
    for source, at in one.sources:
        near = next((found for found in marks if hypot(at[0] - found[0][0], at[1] - found[0][1]) < APART_M), None)
        if near is None:
            marks.append((at, [source]))
        else:
            near[1].append(source)

    def numbers(sources: list[Source]) -> str:
        return ranges(by_source[source.key] for source in sources if source.key in by_source)

    hears = _hears(one.name, rig)
    name = printed(one.name, SHORT_NAME, "a player's name in the drawing") or "Others"
    here = line_words(numbers(marks[0][1]))
    under = (here,) if 0 < len(here) <= LONGEST_NUMBERS and not brief else ()
    kind = "listener" if "in-ears" in hears else "person"
    yield thing(kind, f"person-{index}", one.at, (name, *under), printed(one.name, 60, "a player's name") or "Others")
    if "wedge" in hears:
        yield thing("wedge", "", (one.at[0], one.at[1] - WEDGE_M), (), f"Wedge of {name}")
    for at, sources in marks[1:]:
        labels = ", ".join(printed(source.label, 40, "a source's label") for source in sources)
        # Its number is tried first on the side away from its player.
        yield thing("source-left" if at[0] > one.at[0] else "source", "", at, (numbers(sources) or NONE,), labels)
