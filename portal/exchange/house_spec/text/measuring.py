"""Numbers with their units to quantities: counts, lengths, sizes, ampere, decibel, megahertz, clock times, minutes,
runs of sockets.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from portal.exchange.house_spec.text.lengths import (
    CM,
    Found,
    made,
    means,
    number,
    read_half,
    read_length,
    read_size,
    text_at,
    token_at,
    whole_number,
    word_number,
)
from portal.exchange.house_spec.text.scanning import Token

RATINGS = frozenset(
    {
        5,
        6,
        10,
        13,
        15,
        16,
        20,
        25,
        30,
        32,
        35,
        40,
        50,
        60,
        63,
        64,
        80,
        100,
        125,
        150,
        160,
        200,
        225,
        250,
        300,
        350,
        400,
        600,
        630,
        800,
    }
)
"""Ratings of circuits in ampere (common practice, no source); other numbers before an A are no current."""

OTHER_UNITS = frozenset(
    {
        "kw", "kva", "va", "w", "v", "volt", "volts", "voltios", "kg", "t", "hz", "khz", "ghz", "ms", "ohm", "eur",
        "euro", "euros", "qm", "gb",
        "vac", "watt", "watts", "vatios", "mm2", "jahre", "years", "kn",
    }
)  # fmt: skip
BANDS_MHZ = (25, 6000)
LOUD_DB = (60, 140)
LAST_HOUR, LAST_MINUTE = 24, 59
NOON = 12
LEQ = frozenset({"leq", "laeq"})
USUAL_MINUTES = frozenset({1, 5, 10, 15, 20, 30, 60, 120})
"""Minutes over which levels are averaged (common practice, no source)."""

_CLOCK = re.compile(r"(\d{1,2})[:.](\d{2})")
_MINUTE = re.compile(r"[0-5]\d")
_DB = re.compile(r"db(?:spl)?([acz]?)")
_MHZ = frozenset({"mhz", "megahertz", "mhertz"})


def measured(tokens: Sequence[Token]) -> list[Token]:
    """The tokens with numbers and their units as one token each."""
    out: list[Token] = []
    at = 0
    while at < len(tokens):
        found = _measure(tokens, at)
        out.append(found[0] if found else tokens[at])
        at = found[1] if found else at + 1
    return out


def _measure(tokens: Sequence[Token], at: int) -> Found:
    token = tokens[at]
    if token.means("quarter-hour", "full-hour"):
        return made("minutes", tokens, at, at + 1, 15 if token.means("quarter-hour") else 60)
    if token.kind == "word":
        return _midnight(tokens, at) or read_half(tokens, at) or _number_word(tokens, at)
    if token.kind == "label":
        return _label_run(tokens, at)
    if token.kind != "number" or token.concepts:
        return None
    return next((found for reader in _READERS if (found := reader(tokens, at))), None)


def _amperes(tokens: Sequence[Token], at: int) -> Found:
    value = whole_number(tokens[at].text) if tokens[at].kind == "number" else word_number(tokens[at])
    place = at + 2 if text_at(tokens, at + 1) == "-" else at + 1
    unit = token_at(tokens, place)
    if unit is None or value not in RATINGS or not (unit.means("ampere") or unit.text == "a"):
        return None
    if unit.text == "a" and not (unit.upper or (unit.glued and tokens[at].kind == "number")):
        return None
    return made("amps", tokens, at, place + 1, value)


def _decibel(tokens: Sequence[Token], at: int) -> Found:
    match = _DB.fullmatch(text_at(tokens, at + 1))
    value = number(tokens[at].text)
    if not match or value is None or not LOUD_DB[0] <= value <= LOUD_DB[1]:
        return None
    weight, place = match[1], at + 2
    after = token_at(tokens, place)
    if not weight and text_at(tokens, place) == "(" and text_at(tokens, place + 1) in {"a", "c", "z"}:
        weight, place = text_at(tokens, place + 1), place + (3 if text_at(tokens, place + 2) == ")" else 2)
    elif not weight and after and after.text in {"a", "c"} and after.upper:
        weight, place = after.text, place + 1
    return made("level", tokens, at, place, said=f"{value:g} dB" + (f"({weight.upper()})" if weight else ""))


def _megahertz(tokens: Sequence[Token], at: int) -> Found:
    """One frequency or a band, with the unit after the last number or after both."""
    first, place = number(tokens[at].text), at + 1
    if first is None:
        return None
    if listed := _listed_band(tokens, at):
        return made("band", tokens, at, at + 3, said=listed)
    place += text_at(tokens, place) in _MHZ
    joint, upper = token_at(tokens, place), token_at(tokens, place + 1)
    last = first
    if (
        joint
        and (joint.text in {"-", "/"} or joint.means("to", "and"))
        and upper
        and upper.kind == "number"
        and text_at(tokens, place + 2) in _MHZ
    ):
        last, place = number(upper.text) or first, place + 3
    elif text_at(tokens, place - 1) not in _MHZ:
        return None
    if not BANDS_MHZ[0] <= first <= last <= BANDS_MHZ[1]:
        return None
    return made("band", tokens, at, place, said=f"{first:g} MHz" if first == last else f"{first:g}-{last:g} MHz")


def _listed_band(tokens: Sequence[Token], at: int) -> str:
    """The first band of "470-478 and 502-510 MHz", which has its unit from the last one."""
    values = [number(text_at(tokens, place)) for place in (at, at + 2, at + 4, at + 6)]
    joint = token_at(tokens, at + 3)
    if (
        None in values
        or text_at(tokens, at + 1) != "-"
        or text_at(tokens, at + 5) != "-"
        or text_at(tokens, at + 7) not in _MHZ
    ):
        return ""
    return (
        f"{values[0]:g}-{values[1]:g} MHz"
        if joint and (joint.text in {",", "/", "&", "+"} or joint.means("and"))
        else ""
    )


def _clock(tokens: Sequence[Token], at: int) -> Found:
    """A time of day as minutes since midnight; marked *unclear* where a half of the day may be missing."""
    token = tokens[at]
    written = _CLOCK.fullmatch(token.text)
    hour = int(written[1]) if written else whole_number(token.text)
    if hour is None:
        return None
    minute, place = int(written[2]) if written else 0, at + 1
    before = token_at(tokens, at - 1)
    told = bool(written and ":" in token.text) or (
        means(before, "oclock") and before is not None and before.text != "h"
    )
    unit = token_at(tokens, place)
    ended = token_at(tokens, place + 1) is None or not tokens[place + 1].kind.startswith(("number", "word"))
    if unit and (
        (unit.text == "h" and (unit.glued or ended or _MINUTE.fullmatch(text_at(tokens, place + 1))))
        or (unit.means("oclock") and unit.text != "h")
    ):
        told, place = True, place + 1
        after = token_at(tokens, place)
        if (
            after
            and not written
            and _MINUTE.fullmatch(after.text)
            and (after.glued or not means(token_at(tokens, place + 1), "metre", "mix", "input"))
        ):
            minute, place = int(after.text), place + 1
    elif unit and unit.text == "h" and written:
        told, place = True, place + 1
    half = token_at(tokens, place)
    late = means(half, "pm")
    after = token_at(tokens, place + 1)
    # "2 am Schlagzeug" is German, and no time.
    named = half is not None and half.text == "am" and after is not None and after.kind == "word" and after.upper
    if half and half.means("am", "pm") and hour <= NOON and not named:
        hour, told, place = hour % NOON + (NOON if late else 0), True, place + 1
    else:
        half = None
    if not told or hour > LAST_HOUR or minute > LAST_MINUTE:
        return None
    found, past = made("clock", tokens, at, place, (hour % 24) * 60 + minute)
    if half is None and 1 <= hour <= NOON and not token.text.startswith("0"):
        found.marks.add("unclear")
    return found, past


def _minutes(tokens: Sequence[Token], at: int) -> Found:
    token, place = tokens[at], at + 1
    value = whole_number(token.text)
    if value is None:
        return None
    before = text_at(tokens, at - 1)
    averaged = before in LEQ or (before in {"/", "-"} and text_at(tokens, at - 2) in LEQ)
    if (
        averaged
        and value in USUAL_MINUTES
        and text_at(tokens, place) not in {"db", "dba", "'"}
        and not means(token_at(tokens, place), "minute")
    ):
        return made("minutes", tokens, at, place, value)
    if text_at(tokens, place) == "'" and before in {"leq", "laeq", "over", "sur", "su", "su base"}:
        return made("minutes", tokens, at, place + 1, value)
    place += text_at(tokens, place) == "-"
    return made("minutes", tokens, at, place + 1, value) if means(token_at(tokens, place), "minute") else None


def _other(tokens: Sequence[Token], at: int) -> Found:
    """A number with a unit of something else, a percentage, money or a date: counted by nobody."""
    unit, before = text_at(tokens, at + 1), text_at(tokens, at - 1)
    if unit in OTHER_UNITS or unit in {"%", "€", "$", "£", "²", "°"}:
        return made("other", tokens, at, at + 2)
    if unit in {"m", "qm"} and text_at(tokens, at + 2) in {"2", "²"}:
        return made("other", tokens, at, at + 3)
    if before in {"€", "$", "£", "§"} or number(tokens[at].text) is None:
        return made("other", tokens, at, at + 1)
    return None


def _joined(tokens: Sequence[Token], at: int) -> Found:
    """Two whole numbers: "1-8" and "1 to 8" are a run, "24/8" and "24 x 8" a pair."""
    joint, second = token_at(tokens, at + 1), token_at(tokens, at + 2)
    low, high = whole_number(tokens[at].text), whole_number(second.text) if second and second.kind == "number" else None
    if not joint or low is None or high is None:
        return None
    if means(token_at(tokens, at + 3), *CM, "ampere", "minute") or text_at(tokens, at + 3) == "x":
        return None
    if joint.text == "-" or (joint.means("to") and not joint.means("and")):
        return made("run", tokens, at, at + 3, parts=(low, high)) if low < high else None
    after = token_at(tokens, at + 3)
    if joint.text in {"/", "x", "+"} or (
        joint.means("by") and joint.kind == "word" and (after is None or after.kind in {"sign", "stop"})
    ):
        return made("pair", tokens, at, at + 3, parts=(low, high))
    return None


def _count(tokens: Sequence[Token], at: int) -> Found:
    value = whole_number(tokens[at].text)
    if value is None:
        return made("other", tokens, at, at + 1)
    group = token_at(tokens, at + 1)
    if means(group, "dozen"):
        return made("count", tokens, at, at + 2, value * 12)
    thousands = (
        group
        and re.fullmatch(r"\d{3}", group.text)
        and group.start == tokens[at].end + 1
        and means(token_at(tokens, at + 2), "people", "seat", "standing")
    )
    if value < 1000 and group and thousands:  # noqa: PLR2004 - 1 200 is written so
        return made("count", tokens, at, at + 2, value * 1000 + int(group.text))
    return made("count", tokens, at, at + 1, value)


def _label_run(tokens: Sequence[Token], at: int) -> Found:
    """Sockets with a letter before the number, such as "A1-A32"."""
    first, joint, second = tokens[at], token_at(tokens, at + 1), token_at(tokens, at + 2)
    if not joint or not second or not (joint.text == "-" or joint.means("to")):
        return None
    same = second.kind == "label" and second.text[0] == first.text[0]
    high = int(second.text[1:]) if same else whole_number(second.text) if second.kind == "number" else None
    return made("bank", tokens, at, at + 3, parts=(int(first.text[1:]), high)) if high else None


def _midnight(tokens: Sequence[Token], at: int) -> Found:
    if not tokens[at].means("midnight"):
        return None
    past = at + 1
    if means(token_at(tokens, past), "and") and means(token_at(tokens, past + 1), "half"):
        past += 1
    late = means(token_at(tokens, past), "half")
    return made("clock", tokens, at, past + late, 30 if late else 0)


def _number_word(tokens: Sequence[Token], at: int) -> Found:
    """A number written as a word, with its unit where one follows."""
    value = word_number(tokens[at])
    if value is None:
        return None
    hundreds, past = _hundreds(tokens, at, value)
    if hundreds:
        count, past = made("count", tokens, at, past, hundreds)
        count.marks.add("word")
        return count, past
    for reader in (read_size, read_length, _amperes):
        found = reader(tokens, at)
        if found and not (value == 1 and reader is read_size):
            return found
    with_unit = _word_with_unit(tokens, at, value)
    if with_unit:
        return with_unit
    count, past = made("count", tokens, at, at + 1, value)
    count.marks.add("word")
    count.concepts = tokens[at].concepts
    return count, past


def _word_with_unit(tokens: Sequence[Token], at: int, value: int) -> Found:
    """Minutes, dozens, a pair or an hour by what stands behind a number in words."""
    unit, second = token_at(tokens, at + 1), word_number(token_at(tokens, at + 2))
    if unit is None:
        return None
    if unit.means("minute"):
        return made("minutes", tokens, at, at + 2, value)
    if unit.means("dozen"):
        return made("count", tokens, at, at + 2, value * 12)
    if (unit.text == "x" or (unit.means("by") and unit.text != "a")) and second and value > 1:
        return made("pair", tokens, at, at + 3, parts=(value, second))
    if not unit.means("oclock", "pm", "am") or len(unit.text) == 1 or value > LAST_HOUR:
        return None
    hour = value + NOON if unit.means("pm") and value < NOON else value
    clock, past = made("clock", tokens, at, at + 2, (hour % 24) * 60)
    if not unit.means("pm", "am") and value <= NOON:
        clock.marks.add("unclear")
    return clock, past


def _hundreds(tokens: Sequence[Token], at: int, value: int) -> tuple[int, int]:
    """Read "two hundred and fifty" and "deux mille": the number and where the tokens go on; 0 where it is no such
    number.
    """
    unit = token_at(tokens, at + 1)
    times = 1000 if means(unit, "n-thousand") else 100 if word_number(unit) == 100 and value < 100 else 0  # noqa: PLR2004
    if not times:
        return 0, at
    past = at + 2
    rest_at = past + 1 if means(token_at(tokens, past), "and") else past
    rest = word_number(token_at(tokens, rest_at))
    return (value * times + rest, rest_at + 1) if rest and rest < times and rest > 1 else (value * times, past)


_READERS: tuple[Callable[[Sequence[Token], int], Found], ...] = (
    _megahertz, read_size, _clock, _minutes, read_length, _amperes, _decibel, _joined, _other, _count,
)  # fmt: skip
"""What a number can begin, in the order in which it is tried."""
