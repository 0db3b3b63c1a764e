"""Risers: how large, how high, how many."""

from __future__ import annotations

from portal.exchange.house_spec.finding import Finds, denied
from portal.exchange.house_spec.proposals import Doubt
from portal.exchange.house_spec.text.scanning import Token
from portal.exchange.house_spec.text.statements import Statement

LOWEST_CM, HIGHEST_CM = 10, 150
WIDEST_CM = 400
"""Longest side of a riser (common practice, no source); what is larger is a stage."""

BESIDE = 6
"""Tokens between a riser's size and its height."""

PASSED = frozenset({"piece", "times", "by", "riser", "is", "working"})


def metres(cm: int) -> str:
    """Centimetres as metres, without empty decimals."""
    return f"{cm / 100:.2f}".rstrip("0").rstrip(".")


def read_riser(statement: Statement, at: int, where: int, finds: Finds) -> None:
    """A riser's size, with its height where one stands beside it and how many there are."""
    size = statement.tokens[at].parts
    if where < 0 or denied(statement, where):
        return
    places = [at, where]
    if len(size) == 2:  # noqa: PLR2004 - width and depth only
        heights = _heights(statement.tokens, at)
        for place in heights:
            statement.tokens[place].marks.add("taken")
        if len(heights) == 1:
            size, places = (*size, statement.tokens[heights[0]].whole), [*places, *heights]
    number, place = _how_many(statement.tokens, at, where)
    if place >= 0:
        places.append(place)
    words = " x ".join(metres(part) for part in size) + " m"
    others = (
        any(token.kind == "count" and token.whole > 1 for token in statement.tokens[max(0, at - BESIDE) : at])
        and number == 1
    )
    finds.add(
        statement, "risers", f"{number} of {words}" if number > 1 else words, places, [Doubt.FAR] if others else []
    )


def _heights(tokens: list[Token], at: int) -> list[int]:
    """Where heights of a riser stand behind its size; several when its legs can be changed."""
    found: list[int] = []
    last = at
    for place in range(at + 1, len(tokens)):
        token = tokens[place]
        if token.kind in {"size", "pair"} or place - last > BESIDE:
            break
        if token.kind == "length" and token.whole <= HIGHEST_CM:
            found.append(place)
            last = place
        elif token.kind == "count" and tokens[place - 1].means("height") and LOWEST_CM <= token.whole <= HIGHEST_CM:
            token.kind = "length"
            found.append(place)
            last = place
        elif token.kind in {"count", "run"}:
            # "20 or 40 cm", "20-60 cm": more than one height.
            found.append(place)
    return (
        found
        if not found or tokens[found[-1]].kind == "length"
        else [place for place in found if tokens[place].kind == "length"]
    )


def _how_many(tokens: list[Token], at: int, where: int) -> tuple[int, int]:
    """The count before a size, or right before the word for riser, or right behind it."""
    for place in range(at - 1, max(at - 6, -1), -1):
        token = tokens[place]
        if token.kind == "count":
            return token.whole, place
        if token.kind not in {"word", "sign"} and not token.stops("(", ":", "cell", ".", "-"):
            break
    before = tokens[where - 1] if where > 0 else None
    if before and before.kind == "count":
        return before.whole, where - 1
    after = next((place for place in range(at + 1, min(at + 4, len(tokens))) if tokens[place].kind == "count"), -1)
    named = after > 0 and (
        tokens[after - 1].means("piece") or (after + 1 < len(tokens) and tokens[after + 1].means("piece"))
    )
    return (tokens[after].whole, after) if named else (1, -1)
