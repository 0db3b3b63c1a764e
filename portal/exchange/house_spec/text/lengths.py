"""Lengths and sizes: metres, feet and inches in every way people write them, to centimetres."""

from __future__ import annotations

import re
from collections.abc import Sequence

from portal.exchange.house_spec.text.scanning import Token

CM = {"metre": 100.0, "centimetre": 1.0, "millimetre": 0.1, "foot": 30.48, "inch": 2.54}
LONGEST_CM = 20_000
"""Longest length of a size; no stage is 200 m wide."""

NUMBER_CONCEPT = "n:"
"""Before a number in words, as a concept."""

_WHOLE = re.compile(r"\d{1,6}")
_THOUSANDS = re.compile(r"\d{1,3}(?:[.,']\d{3})+")
_DECIMAL = re.compile(r"(\d{1,6})[.,](\d{1,3})")
_FEET_INCHES = re.compile(r"(\d{1,3})'(\d{1,2})")

Found = tuple[Token, int] | None
"""A measured token and where the tokens go on, or nothing."""


def token_at(tokens: Sequence[Token], at: int) -> Token | None:
    """The token at a place, if there is one."""
    return tokens[at] if 0 <= at < len(tokens) else None


def text_at(tokens: Sequence[Token], at: int) -> str:
    """The text at a place, or nothing."""
    token = token_at(tokens, at)
    return token.text if token else ""


def means(token: Token | None, *concepts: str) -> bool:
    """True where there is a token and it stands for one of the concepts."""
    return token is not None and token.means(*concepts)


def made(
    kind: str, tokens: Sequence[Token], at: int, past: int, whole: int = 0, parts: tuple[int, ...] = (), said: str = ""
) -> tuple[Token, int]:
    """A measured token out of those from ``at`` to ``past``."""
    first, last = tokens[at], tokens[past - 1]
    text = " ".join(token.text for token in tokens[at:past])
    return (
        Token(
            kind, text, first.start, last.end, first.glued, first.upper, first.row, whole=whole, parts=parts, said=said
        ),
        past,
    )


def number(text: str) -> float | None:
    """What a number says with decimal point or comma, thousands parted or not; ``None`` where it is no plain number."""
    if _WHOLE.fullmatch(text):
        return float(text)
    if _THOUSANDS.fullmatch(text):
        return float(re.sub(r"[.,']", "", text))
    decimal = _DECIMAL.fullmatch(text)
    return float(f"{decimal[1]}.{decimal[2]}") if decimal else None


def whole_number(text: str) -> int | None:
    """A number without a decimal, thousands parted or not."""
    if _WHOLE.fullmatch(text):
        return int(text)
    return int(re.sub(r"[.,']", "", text)) if _THOUSANDS.fullmatch(text) else None


def word_number(token: Token | None) -> int | None:
    """The number that a word stands for."""
    if token is None:
        return None
    return next(
        (int(concept.removeprefix(NUMBER_CONCEPT)) for concept in token.concepts if concept.startswith(NUMBER_CONCEPT)),
        None,
    )


def _value(token: Token) -> float | None:
    """A number before a unit of length, where three digits after the sign are a decimal as well; or one in words."""
    if token.kind != "number":
        return word_number(token)
    decimal = _DECIMAL.fullmatch(token.text)
    return float(f"{decimal[1]}.{decimal[2]}") if decimal else number(token.text)


def _feet(tokens: Sequence[Token], at: int, value: float) -> tuple[float, str, int] | None:
    """Feet and inches by their signs: 24', 6'6", 30"."""
    sign = token_at(tokens, at + 1)
    if sign is None or not sign.glued or sign.text not in {"'", '"'}:
        return None
    if sign.text == '"':
        return value, "inch", at + 2
    after = token_at(tokens, at + 2)
    if (
        after
        and after.kind == "number"
        and text_at(tokens, at + 3) == '"'
        and (inches := number(after.text)) is not None
    ):
        return value + inches / 12, "foot", at + 4
    return (value, "foot", at + 2) if not (after and after.kind == "word" and after.glued) else None


def length_at(tokens: Sequence[Token], at: int) -> tuple[float, str, int] | None:
    """A number, its unit of length ("" where none stands) and where the tokens go on."""
    token = token_at(tokens, at)
    if token is None:
        return None
    feet = _FEET_INCHES.fullmatch(token.text)
    if feet and text_at(tokens, at + 1) == '"':
        return int(feet[1]) + int(feet[2]) / 12, "foot", at + 2
    value = _value(token)
    if value is None:
        return None
    if by_sign := _feet(tokens, at, value):
        return by_sign
    hyphen = token_at(tokens, at + 1)
    place = (
        at + 2
        if hyphen and hyphen.text == "-" and hyphen.glued and at + 2 < len(tokens) and tokens[at + 2].glued
        else at + 1
    )
    unit = token_at(tokens, place)
    named = next((concept for concept in CM if means(unit, concept)), "") if unit and unit.kind == "word" else ""
    if (
        not named
        or unit is None
        or (token.kind == "word" and len(unit.text) == 1)
        or text_at(tokens, place + 1) in {"²", "2"}
    ):
        return (value, "", at + 1) if token.kind == "number" or means(unit, "by") else None
    return _with_rest(tokens, value, named, place + 1)


def _with_rest(tokens: Sequence[Token], value: float, unit: str, past: int) -> tuple[float, str, int]:
    """What goes on behind the unit: "2m80", "4 meter 20", "a metre and a half"."""
    rest = token_at(tokens, past)
    joins = rest is not None and rest.kind == "number" and re.fullmatch(r"\d0|\d5", rest.text)
    if (
        unit == "metre"
        and joins
        and rest
        and (rest.glued or len(tokens[past - 1].text) > 1)
        and not means(token_at(tokens, past + 1), *CM)
    ):
        return value + int(rest.text) / 100, unit, past + 1
    inches = _value(rest) if rest and unit == "foot" else None
    if inches is not None and means(token_at(tokens, past + 1), "inch"):
        return value + inches / 12, unit, past + 2
    if means(rest, "half"):
        return value + 0.5, unit, past + 1
    if means(rest, "and") and means(token_at(tokens, past + 1), "half"):
        return value + 0.5, unit, past + 2
    return value, unit, past


def read_size(tokens: Sequence[Token], at: int) -> Found:
    """Two or three lengths joined by a sign of multiplication; a unit may stand once; letters for width, depth and
    height are skipped.
    """
    parts: list[tuple[float, str]] = []
    place = past = at
    plain = False
    joints: list[bool] = []
    while len(parts) < 3 and (found := length_at(tokens, place)):  # noqa: PLR2004 - width, depth, height
        parts.append(found[:2])
        past = place = found[2]
        place = _past_letters(tokens, place)
        joint = token_at(tokens, place)
        if joint is None or not (joint.text == "x" or joint.means("by")):
            break
        plain = plain or joint.text != "x"
        joints.append(joint.glued)
        place = _past_letters(tokens, place + 1)
    units = [unit for _, unit in parts if unit]
    decks = len(parts) == 3 and not parts[0][1] and (parts[1][0], parts[2][0]) == (2, 1)  # noqa: PLR2004 - so many decks of 2 x 1 m
    decks = decks or (len(parts) == 3 and not parts[0][1] and joints[:2] == [False, True])  # noqa: PLR2004 - "4 x 8x4 ft"
    after = token_at(tokens, past)
    open_end = (
        plain and not parts[-1][1] and not (parts[0][1] and (after is None or not after.concepts - {"and", "with"}))
    )
    if len(parts) < 2 or not units or decks or open_end:  # noqa: PLR2004
        return None
    size = tuple(round(value * CM[unit or units[-1]]) for value, unit in parts)
    return made("size", tokens, at, past, parts=size) if max(size) <= LONGEST_CM else None


def _past_letters(tokens: Sequence[Token], at: int) -> int:
    """Behind letters or words for width, depth and height, in brackets or without."""
    while means(token_at(tokens, at), "width", "depth", "height"):
        at += 1
    if (
        text_at(tokens, at) == "("
        and text_at(tokens, at + 2) == ")"
        and means(token_at(tokens, at + 1), "width", "depth", "height")
    ):
        return at + 3
    return at


def read_length(tokens: Sequence[Token], at: int) -> Found:
    """One length; in some languages its unit stands before the number: "m 10,50"."""
    found = length_at(tokens, at)
    if found and found[1]:
        return made("length", tokens, at, found[2], round(found[0] * CM[found[1]]))
    before = token_at(tokens, at - 1)
    if (
        found
        and before
        and before.text == "m"
        and before.concepts
        and not before.glued
        and not means(token_at(tokens, at + 1), "x")
    ):
        return made("length", tokens, at, found[2], round(found[0] * 100))
    return None


def read_half(tokens: Sequence[Token], at: int) -> Found:
    """Read "half a metre" and its like."""
    place = at + 1
    if word_number(token_at(tokens, place)) == 1:
        place += 1
    unit = token_at(tokens, place)
    if tokens[at].means("half") and unit and unit.means("metre") and len(unit.text) > 1:
        return made("length", tokens, at, place + 1, 50)
    return None
