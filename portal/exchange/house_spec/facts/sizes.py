"""Lengths: the stage, risers, the clear height, the way from the stage to the desk."""

from __future__ import annotations

from dataclasses import dataclass

from portal.exchange.house_spec.facts.concepts import DIMENSIONS, MEASURED_THINGS
from portal.exchange.house_spec.facts.risers import WIDEST_CM, metres, read_riser
from portal.exchange.house_spec.finding import Finds
from portal.exchange.house_spec.proposals import Doubt
from portal.exchange.house_spec.text.lengths import number
from portal.exchange.house_spec.text.scanning import Token
from portal.exchange.house_spec.text.statements import HEADING_COST, Statement

HIGHEST_STAGE_CM = 300
NARROWEST_STAGE_CM = 150
DESK_CM = (150, 15_000)
"""How far a desk can stand from the stage (common practice, no source)."""

PARTS_APART = 4
"""Statements between a width and the depth that belongs to it."""

BEFORE, FAR_BEFORE, AFTER = 6, 14, 3
"""Tokens before and behind a length among which its dimension is looked for; beyond the near ones it asks for a
look.
"""

LOWEST_BARE, HIGHEST_BARE = 0.2, 30.0


@dataclass(frozen=True)
class Part:
    """One dimension of the stage: how long, in which statement, at which token."""

    name: str
    cm: int
    statement: Statement
    place: int


class Sizes:
    """Reads lengths statement by statement, and remembers a width until its depth comes."""

    def __init__(self) -> None:
        self._open: list[Part] = []

    def read(self, statement: Statement, finds: Finds) -> None:
        """Everything that has a length in the statement."""
        for at, token in enumerate(statement.tokens):
            if "taken" in token.marks:
                continue
            self._with_unit(statement, at)
            if token.kind == "size":
                self._size(statement, at, finds)
            elif token.kind == "length":
                self._length(statement, at, finds)
            elif token.kind == "pair":
                _bare(statement, at, finds)

    def _with_unit(self, statement: Statement, at: int) -> None:
        """Give a number beside a dimension's word the unit that it lacks: "8 metres wide and 6 deep", "1.20 high",
        "h60".
        """
        token = statement.tokens[at]
        value = number(token.text) if token.kind in {"count", "other"} else None
        if value is None:
            return
        role, place, _ = _role(statement, at)
        if not role or abs(place - at) > 2 or place < 0:  # noqa: PLR2004 - right beside it
            return
        if (
            "." in token.text
            or "," in token.text
            or (statement.has_kind("length", "size") and role != "height" and value <= HIGHEST_BARE)
        ):
            if LOWEST_BARE <= value <= HIGHEST_BARE:
                token.kind, token.whole = "length", round(value * 100)
        elif role == "height" and token.glued and statement.has_kind("length", "size"):
            token.kind, token.whole = "length", round(value if value > HIGHEST_BARE / 2 else value * 100)

    def _size(self, statement: Statement, at: int, finds: Finds) -> None:
        size = statement.tokens[at].parts
        thing, far, where = statement.nearest(at, MEASURED_THINGS - {"distance", "headroom", "room"})
        if thing == "riser" and max(size[:2]) <= WIDEST_CM:
            read_riser(statement, at, where, finds)
        elif thing == "riser":
            finds.add(statement, "stage-size", f"{metres(size[0])} x {metres(size[1])} m", [at, where], [Doubt.FAR])
        elif (thing in {"stage", "stage-height"} or (thing in {"desk", "front", ""} and far >= HEADING_COST)) and min(
            size[:2]
        ) >= NARROWEST_STAGE_CM:
            if thing != "stage" and not (
                thing == "stage-height" or _stage_before(statement) or statement.has("size-word")
            ):
                return
            finds.add(
                statement,
                "stage-size",
                f"{metres(size[0])} x {metres(size[1])} m",
                [at, where],
                [] if thing == "stage" else [Doubt.FAR],
            )
            if len(size) > 2 and size[2] <= HIGHEST_STAGE_CM:  # noqa: PLR2004
                finds.add(
                    statement,
                    "stage-height",
                    size[2],
                    [at, where],
                    [] if statement.near(at, 2, "height") else [Doubt.FAR],
                )

    def _length(self, statement: Statement, at: int, finds: Finds) -> None:
        cm = statement.tokens[at].whole
        role, place, doubts = _role(statement, at)
        thing, far, where = statement.nearest(at, MEASURED_THINGS - {"room"})
        if role == "headroom" or (not role and thing == "headroom"):
            finds.add(statement, "headroom", cm, [at, place if role else where], doubts)
        elif role == "stage-height" or (not role and thing == "stage-height"):
            if cm <= HIGHEST_STAGE_CM:
                finds.add(statement, "stage-height", cm, [at, place if role else where], doubts)
        elif role:
            self._dimension(statement, at, role, place, finds)
        elif _from_stage(statement, at):
            _distance(statement, at, "distance", 0, -1, finds)
        elif thing in {"desk", "front", "to-front", "distance", "multicore"}:
            _distance(statement, at, thing, far, where, finds)

    def _dimension(self, statement: Statement, at: int, role: str, place: int, finds: Finds) -> None:
        cm = statement.tokens[at].whole
        thing, _, where = statement.nearest(at, MEASURED_THINGS - {"distance", "headroom", "stage-height", "room"})
        bare = not thing and statement.has("width") and statement.has("depth")
        if (
            thing != "stage"
            and not bare
            and not (thing in {"", "desk", "front", "box"} and where < 0 and _stage_before(statement))
        ):
            return
        if role == "height":
            high = cm > HIGHEST_STAGE_CM
            finds.add(
                statement,
                "headroom" if high else "stage-height",
                cm,
                [at, place, where],
                [Doubt.FAR] if high or thing != "stage" else [],
            )
            return
        part = Part(role, cm, statement, at)
        for other in self._open:
            if other.name != role and statement.number - other.statement.number <= PARTS_APART:
                _join(part, other, finds)
        self._open = [*self._open[-2:], part]


def _from_stage(statement: Statement, at: int) -> bool:
    """True for "24 m from the stage", where the statement speaks of the desk."""
    after = [token for token in statement.tokens[at + 1 : at + 4] if token.kind == "word"]
    return (
        statement.tokens[at].whole >= DESK_CM[0] * 2
        and statement.has("desk", "front")
        and any(token.means("stage", "riser", "downstage") for token in after)
    )


def _stage_before(statement: Statement) -> bool:
    return statement.about("stage") or (statement.before is not None and statement.before.has("stage"))


def _bare(statement: Statement, at: int, finds: Finds) -> None:
    """A size without a unit, such as "stage 8x6" or "four decks of 2 by 1"."""
    width, depth = statement.tokens[at].parts
    thing, far, where = statement.nearest(at, MEASURED_THINGS - {"room", "distance"})
    if "/" in statement.tokens[at].text:
        return
    if thing == "riser" and where >= 0 and max(width, depth) * 100 <= WIDEST_CM and not statement.has("box", "sub-box"):
        statement.tokens[at].parts = (width * 100, depth * 100)
        read_riser(statement, at, where, finds)
    elif min(width, depth) >= 2 and (  # noqa: PLR2004 - metres
        (thing == "stage" and where >= 0 and far <= BEFORE) or (not thing and _stage_before(statement))
    ):
        finds.add(statement, "stage-size", f"{width} x {depth} m", [at, where], [Doubt.FAR])


def _join(part: Part, other: Part, finds: Finds) -> None:
    width, depth = (part, other) if part.name == "width" else (other, part)
    if min(width.cm, depth.cm) < NARROWEST_STAGE_CM:
        return
    value = f"{metres(width.cm)} x {metres(depth.cm)} m"
    told = width.statement.about("stage") or depth.statement.about("stage")
    same = width.statement is depth.statement
    places = [width.place, depth.place] if same else list(range(len(width.statement.tokens)))
    finds.add(
        width.statement,
        "stage-size",
        value,
        places,
        [] if told else [Doubt.FAR],
        beside=None if same else depth.statement,
    )


def _role(statement: Statement, at: int) -> tuple[str, int, list[Doubt]]:
    """Which dimension a length is, and where that is said: behind it, else before it, else in the label above."""
    tokens = statement.tokens
    for place in range(at + 1, min(at + 1 + AFTER, len(tokens))):
        token = tokens[place]
        if token.kind in {"stop", "length", "size", "count", "other"} or token.means("and"):
            break
        if token.concepts & DIMENSIONS:
            following = tokens[place + 1] if place + 1 < len(tokens) else None
            if following and (following.kind in {"length", "number"} or following.text in {":", "="}):
                break
            return _most_exact(token.concepts & DIMENSIONS), place, []
    for place in range(at - 1, max(at - 1 - FAR_BEFORE, -1), -1):
        token = tokens[place]
        passed = at - place > BEFORE
        if token.kind in {"length", "size"} or (
            token.kind == "stop" and token.text not in {":", "cell", "-", "(", "=", ",", "/"}
        ):
            break
        passed = passed or any(one.stops(",", "/") for one in tokens[place:at])
        if token.concepts & DIMENSIONS and not (passed and tokens[at].text.startswith("'")):
            return (
                _with_stage(tokens, place, _most_exact(token.concepts & DIMENSIONS)),
                place,
                [Doubt.FAR] if passed else [],
            )
    above = statement.context[0] & DIMENSIONS if statement.context else frozenset()
    return (_most_exact(above), -1, []) if above else ("", -1, [])


def _with_stage(tokens: list[Token], place: int, role: str) -> str:
    """Say that "stage height" in two words is the height of the stage."""
    beside = tokens[max(0, place - 1) : place + 2]
    return "stage-height" if role == "height" and any(token.means("stage") for token in beside) else role


def _most_exact(roles: frozenset[str]) -> str:
    return next((role for role in ("headroom", "stage-height") if role in roles), min(roles))


def _distance(statement: Statement, at: int, thing: str, far: int, where: int, finds: Finds) -> None:
    cm = statement.tokens[at].whole
    desk = statement.nearest(at, ("desk", "front", "to-front"))
    if (
        not DESK_CM[0] <= cm <= DESK_CM[1]
        or not desk[0]
        or (thing == "multicore" and desk[2] < 0 and not statement.has("distance"))
    ):
        return
    told = desk[2] >= 0 or (statement.has("distance") and desk[1] < HEADING_COST + 10)
    places = [place for place in (at, where, desk[2]) if place >= 0]
    sure = told and (far <= FAR_BEFORE or statement.has("distance")) and not statement.has("multicore", "box", "delay")
    finds.add(
        statement, "desk-distance", cm, places, [] if sure or (told and statement.has("distance")) else [Doubt.FAR]
    )
