"""Sound levels: the limit, where it is measured, what a limiter does."""

from __future__ import annotations

from portal.exchange.house_spec.finding import Finds, denied
from portal.exchange.house_spec.proposals import Doubt
from portal.exchange.house_spec.text.statements import Statement

POINTS = {
    "front": "desk",
    "to-front": "desk",
    "desk": "desk",
    "stage": "stage",
    "ceiling": "room",
    "room": "room",
    "neighbours": "outside",
}
"""Where a level can be measured, as the topic's options."""

CLOSE, AT_ONCE = 10, 5
FAR_BUT_ONLY = 18


def read_levels(statement: Statement, finds: Finds) -> None:
    """The limit in dB with its minutes, the place where it is measured, and what is cut."""
    _limit(statement, finds)
    if any(one.about("limit", "limiter") or one.has_kind("level") for one in (statement, statement.before) if one):
        _point(statement, finds)
        _limiter(statement, finds)


def _limit(statement: Statement, finds: Finds) -> None:
    tokens = statement.tokens
    levels = [at for at, token in enumerate(tokens) if token.kind == "level"]
    if not levels or (statement.has("capable") and not statement.has("limit", "limiter")):
        return
    minutes = [at for at, token in enumerate(tokens) if token.kind == "minutes"]
    for number, at in enumerate(levels):
        following = levels[number + 1] if number + 1 < len(levels) else len(tokens)
        own = [place for place in minutes if at < place < following] or [
            place for place in minutes if place < at and number == 0
        ]
        shared = [] if own else [place for place in minutes if place > levels[-1]]
        span = next(iter(own or shared), None)
        words = tokens[at].said + (f" over {tokens[span].whole} minutes" if span is not None else "")
        told = (
            span is not None
            or statement.about("limit", "limiter", "measured")
            or bool(statement.before and statement.before.has("limit"))
        )
        finds.add(statement, "sound-limit", words, [at, *([] if span is None else [span])], [] if told else [Doubt.FAR])


def _point(statement: Statement, finds: Finds) -> None:
    for at in statement.places("measured"):
        place, far, where = statement.nearest(at, POINTS)
        if inside := statement.tokens[at].concepts & POINTS.keys():
            place, far, where = min(inside), 0, at
        if place and where >= 0 and far <= FAR_BUT_ONLY:
            finds.add(
                statement,
                "limiter-point",
                POINTS[place],
                [where, at],
                [Doubt.FAR] if place == "room" or far > CLOSE else [],
            )
            break
    for at, token in enumerate(statement.tokens):
        if token.kind == "level":
            place, far, where = statement.nearest(
                at, ("neighbours",) if statement.has("measured") else ("front", "to-front", "neighbours")
            )
            if place and where > at and (far <= AT_ONCE or _after_minutes(statement, at, where)):
                # Who is spared the noise is not yet where it is measured.
                doubts = [Doubt.DERIVED] if place == "neighbours" and not statement.has("measured") else []
                finds.add(statement, "limiter-point", POINTS[place], [where, at], doubts)
                return
    if statement.has("measured"):
        return
    for at in statement.places("limiter"):
        place, far, where = statement.nearest(at, ("ceiling", "front", "to-front", "stage"))
        if place and where > at and far <= CLOSE and (place == "ceiling" or not statement.has("cuts")):
            finds.add(statement, "limiter-point", POINTS[place], [where, at], [Doubt.DERIVED])
            return


def _after_minutes(statement: Statement, at: int, where: int) -> bool:
    between = statement.tokens[at + 1 : where]
    return 0 < len(between) <= CLOSE and any(token.kind == "minutes" for token in between)


def _limiter(statement: Statement, finds: Finds) -> None:
    shown = statement.places("shows-only")
    if shown:
        _nothing(statement, shown[0], finds)
        return
    for at in statement.places("limiter"):
        if denied(statement, at) and not statement.has("cuts"):
            finds.add(statement, "power-limiter", "no", [at])
            return
    for at in statement.places("cuts"):
        if denied(statement, at):
            _nothing(statement, at, finds)
            return
        if statement.about("limiter") or statement.has_kind("level"):
            _cuts(statement, at, finds)
            return


def _nothing(statement: Statement, at: int, finds: Finds) -> None:
    """A limiter, or nothing at all, that only shows the level."""
    if not statement.has("power", "socket"):
        finds.add(
            statement, "limiter-cuts", "nothing", [at], [] if statement.about("limiter", "limit") else [Doubt.DERIVED]
        )
    finds.add(statement, "power-limiter", "no", [at], [] if statement.has("limiter") else [Doubt.DERIVED])


def _cuts(statement: Statement, at: int, finds: Finds) -> None:
    target, far, where = statement.nearest(at, ("pa", "socket", "power", "stage"))
    if statement.tokens[at].means("power"):
        target, far, where = "power", 0, at
    if where < 0 or far > CLOSE:
        return
    doubts = [] if statement.has("limiter") else [Doubt.DERIVED]
    if target == "pa":
        finds.add(statement, "limiter-cuts", "pa", [at, where], doubts)
        finds.add(statement, "power-limiter", "no", [at, where], [Doubt.DERIVED])
    elif target in {"socket", "power"} or statement.near(at, CLOSE, "power", "socket"):
        finds.add(statement, "limiter-cuts", "stage-power", [at, where], doubts)
        finds.add(statement, "power-limiter", "yes", [at, where], doubts)
