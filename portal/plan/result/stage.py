"""A stage as people draw it: size and places in metres, and how long a cable between two places has to be.

Places are (x, y): metres right of centre as a performer sees it who faces the audience, and metres from the front edge.
Nothing here decides about routing; the plan is the same on every stage.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias

from portal.plan.input.facts import Answers
from portal.plan.input.kinds import Role
from portal.plan.input.rig import Rig, Source
from portal.plan.options.routing_policy import role_of

Point: TypeAlias = tuple[float, float]

WIDTH_M, DEPTH_M = 8.0, 6.0
"""A stage whose size nobody stated (common practice, no source)."""

UP_AND_DOWN_M = 1.0
"""What both ends of a loom need for the way up from the floor, where nobody stated it (common practice, no source)."""

SLACK_PART, SLACK_LEAST_M = 0.1, 2.0
"""Slack of a cable: a tenth of its way and at least two metres (common practice, no source)."""

CLOSE_M = 3.0
"""Between places that are this close a loom runs straight over; farther ones are joined along the edges (common
practice, no source).
"""

NEAR_M = 5.0
"""Up to a way of this length the rack stands near the stage box (common practice, no source)."""

DRUMS = frozenset(
    {
        Role.KICK,
        Role.SNARE,
        Role.HAT,
        Role.RIDE,
        Role.RACK_TOM,
        Role.FLOOR_TOM,
        Role.OVERHEAD,
        Role.KIT,
        Role.ELECTRONIC_KIT,
    }
)

MOST_M = 60.0
"""Widest and deepest stage that can be drawn."""


@dataclass(frozen=True)
class Stage:
    """What the band said of one stage. ``None`` is not said. ``people`` holds players' names with their places."""

    width_m: float | None = None
    depth_m: float | None = None
    up_and_down_m: float | None = None
    box: Point | None = None
    rack: Point | None = None
    power: Point | None = None
    people: tuple[tuple[str, Point], ...] = ()


@dataclass(frozen=True)
class Person:
    """A player and where they stand; ``sources`` with the place of each. ``""`` is whoever plays what no player is
    named for.
    """

    name: str
    at: Point
    sources: tuple[tuple[Source, Point], ...]
    assumed: bool


@dataclass(frozen=True)
class Placed:
    """A stage with every place filled in. ``assumed`` names what nobody said: width, depth, box, rack, power,
    up-and-down.
    """

    width_m: float
    depth_m: float
    up_and_down_m: float
    box: Point
    rack: Point
    power: Point
    people: tuple[Person, ...]
    assumed: frozenset[str]


def placed(stage: Stage, rig: Rig, box_place: str = "", box_m: float | None = None) -> Placed:
    """Every place of a gig's stage. ``box_place`` is the house's answer to where the stage box is, empty where there is
    none; ``box_m`` the way from rack to box in metres, ``None`` where nobody said it.
    """
    width, depth = stage.width_m or WIDTH_M, stage.depth_m or DEPTH_M
    box = stage.box or _box(box_place, width, depth)
    # The outlet is at the back, beside a rack that stands there.
    up_and_down = UP_AND_DOWN_M if stage.up_and_down_m is None else stage.up_and_down_m
    rack = stage.rack or _rack(box, box_m, (width, depth, up_and_down))
    power = stage.power or _inside((rack[0] + (rack[1] >= depth) * _sign(rack[0] - box[0]) * 1.0, depth), width, depth)
    said = {
        "width": stage.width_m,
        "depth": stage.depth_m,
        "up-and-down": stage.up_and_down_m,
        "box": stage.box or box_place or None,
    }
    said |= {"rack": stage.rack, "power": stage.power}
    return Placed(
        width,
        depth,
        up_and_down,
        box,
        rack,
        power,
        _people(stage, rig, width, depth),
        frozenset(name for name, value in said.items() if value is None),
    )


def box_place_of(answers: Answers) -> str:
    """The key of the answer to where the stage box is, empty where there is none."""
    answer = answers.get("box-place")
    return str(answer.value) if answer is not None and answer.state == "answered" else ""


def stated_distance(answers: Answers) -> float | None:
    """The way from rack to stage box in metres, where somebody said it."""
    answer = answers.get("box-distance")
    if answer is None or answer.state != "answered" or answer.by == "assumed" or not isinstance(answer.value, int):
        return None
    return answer.value / 100


def _box(place: str, width: float, depth: float) -> Point:
    return {
        "stage-left": (-width / 2, depth / 2),
        "upstage": (0.0, depth),
        "downstage": (0.0, 0.0),
        "off-stage": (width / 2 + 1, depth / 2),
        "no-box": (width / 2, 0.0),
    }.get(place, (width / 2, depth / 2))


def _rack(box: Point, box_m: float | None, size_m: tuple[float, float, float]) -> Point:
    """Near the box, a long step towards the back and the middle; where a longer cable is said to be needed, along the
    back, as far from the box as that cable or the stage allows. ``size_m``: width, depth, up and down.
    """
    width, depth, up_and_down = size_m
    near = _inside((box[0] - (_sign(box[0]) or 1) * 1.0, box[1] + 1.0), width, depth)
    if box_m is None or box_m <= NEAR_M:
        return near
    steps = round(width)
    back = [(width * step / steps - width / 2, depth) for step in range(steps + 1)] if steps else []
    ways = {at: _needed(_run(route(at, box, width, depth)), up_and_down) for at in (near, *back)}
    return max((near, *(at for at in back if ways[at] <= box_m)), key=lambda at: ways[at])


def _people(stage: Stage, rig: Rig, width: float, depth: float) -> tuple[Person, ...]:
    moved = dict(stage.people)
    groups: dict[str, list[Source]] = {name: [] for ears in rig.ears for name in ears.listeners}
    for source in rig.source:
        groups.setdefault(source.player, []).append(source)
    known = {name: _middle([source.at_m for source in sources if source.at_m]) for name, sources in groups.items()}
    unknown = [name for name, at in known.items() if at is None and name not in moved]
    usual = _usual(unknown, groups, width, depth)
    people = []
    for name, sources in groups.items():
        from_rig = known[name]
        at = moved.get(name) or from_rig or usual[name]
        # Whoever was moved takes along what stands around them.
        shift = (at[0] - from_rig[0], at[1] - from_rig[1]) if from_rig else (0.0, 0.0)
        places = tuple((source, _moved(source.at_m, shift) if source.at_m else at) for source in sources)
        people.append(Person(name, _inside(at, width, depth), places, name in usual))
    return tuple(people)


def _usual(names: list[str], groups: Mapping[str, list[Source]], width: float, depth: float) -> dict[str, Point]:
    """Drums at the back in the middle, everybody else side by side at the front (common practice, no source)."""
    back = [name for name in names if any(role_of(source) in DRUMS for source in groups[name])]
    front = [name for name in names if name not in back]
    found: dict[str, Point] = {}
    for row, y in ((back, depth * 0.75), (front, depth * 0.3)):
        for index, name in enumerate(row):
            found[name] = ((index + 0.5) / len(row) * width - width / 2, y)
    return found


def _middle(points: list[Point]) -> Point | None:
    if not points:
        return None
    return sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)


def _moved(at: Point, shift: Point) -> Point:
    return at[0] + shift[0], at[1] + shift[1]


def _inside(at: Point, width: float, depth: float) -> Point:
    return min(max(at[0], -width / 2), width / 2), min(max(at[1], 0.0), depth)


def _sign(x: float) -> float:
    return (x > 0) - (x < 0)


def route(start: Point, end: Point, width: float, depth: float, *, across: bool = False) -> tuple[Point, ...]:
    """The way of a cable, turning at right angles only: straight over where the ends are close or ``across`` says so,
    else along the sides and the back. The front edge is where people look and step.
    """
    straight = (start, (start[0], end[1]), end)
    if across or _run(straight) <= CLOSE_M:
        return _tidy(straight)
    first, last = _to_edge(start, width, depth), _to_edge(end, width, depth)

    def along(at: Point) -> float:
        """How far a point of the edge lies from the front of one side, over the back, to the front of the other."""
        if at[1] == depth:
            return depth + width / 2 - at[0]
        return at[1] if at[0] == width / 2 else 2 * depth + width - at[1]

    low, high = sorted((along(first), along(last)))
    corners = [corner for corner in ((width / 2, depth), (-width / 2, depth)) if low < along(corner) < high]
    return _tidy((start, first, *(corners if along(first) <= along(last) else reversed(corners)), last, end))


def _to_edge(at: Point, width: float, depth: float) -> Point:
    """The nearest point of the sides and the back."""
    x, y = at
    inside = min(max(y, 0.0), depth)
    ends = ((width / 2, inside), (-width / 2, inside), (min(max(x, -width / 2), width / 2), depth))
    return min(ends, key=lambda point: (_run((at, point)), point))


def _tidy(points: tuple[Point, ...]) -> tuple[Point, ...]:
    """The same way without points that are no turn."""
    kept: list[Point] = []
    for point in points:
        if kept and point == kept[-1]:
            continue
        if len(kept) > 1 and any(kept[-2][axis] == kept[-1][axis] == point[axis] for axis in (0, 1)):
            kept.pop()
        kept.append(point)
    return tuple(kept)


def _run(points: tuple[Point, ...]) -> float:
    return sum(abs(b[0] - a[0]) + abs(b[1] - a[1]) for a, b in pairwise(points))


@dataclass(frozen=True)
class Cable:
    """How long a cable has to be, in metres: its way along the floor, up and down at both ends, and slack; ``needed_m``
    is all of it, rounded up to a tenth.
    """

    way: tuple[Point, ...]
    along_m: float
    up_and_down_m: float
    slack_m: float
    needed_m: float


def cable(start: Point, end: Point, stage: Placed, *, across: bool = False) -> Cable:
    """The cable between two places of a stage; ``across``: over the stage, as a player's own cables run."""
    way = route(start, end, stage.width_m, stage.depth_m, across=across)
    along = _run(way)
    return Cable(
        way,
        along,
        stage.up_and_down_m,
        _slack(along, stage.up_and_down_m),
        _needed(along, stage.up_and_down_m),
    )


def _slack(along_m: float, up_and_down_m: float) -> float:
    return max(SLACK_LEAST_M, SLACK_PART * (along_m + up_and_down_m))


def _needed(along_m: float, up_and_down_m: float) -> float:
    """A cable's length in whole tenths, rounded up; the tiny part taken off keeps 12.0 from becoming 12.1."""
    return -(-round((along_m + up_and_down_m + _slack(along_m, up_and_down_m)) * 1000) // 100) / 10


def reaches(needed_m: float, owned_m: list[float]) -> float | None:
    """The shortest owned length that is long enough; ``None`` where none is."""
    return min((length for length in owned_m if length >= needed_m), default=None)
