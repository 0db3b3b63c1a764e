"""Numbers, lengths and lists as the reader's language and unit write them, and numbers as people type them.

Lengths are stored in metres. Whoever chose feet reads and types them in feet.
"""

import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache, reduce
from math import ceil, copysign, floor
from typing import Literal

from babel import Locale
from babel.lists import format_list
from babel.numbers import format_decimal

from portal.plan.input.answer_kinds import CM_IN_FOOT
from portal.wording.catalogue import ENGLISH, gettext, language

METRES, FEET = "m", "ft"
"""What lengths are read in, as it stands behind a number."""

UNITS = (METRES, FEET)

_unit: ContextVar[str] = ContextVar("unit", default=METRES)

_FIXED = re.compile(r"(?<![\w.,])([0-9]+(?:[.,][0-9]+)?)[ \u00a0\u202f]m\b")
_TYPED = re.compile(
    r"(?P<number>[+-]?[0-9]{1,9}(?:[.,][0-9]{1,9})?)\s*(?P<unit>m|metres?|meters?|ft|foot|feet|['\u2019\u2032])?"
    r"(?:\s*(?P<inches>[0-9]{1,2})\s*(?:in|inch|inches|[\"\u201d\u2033]))?",
    re.IGNORECASE,
)


@lru_cache
def locale_of(name: str) -> Locale:
    """What is known of how a language writes."""
    # Of the kinds of English this one writes "Sep" as well as "a, b and c".
    return Locale.parse("en_CA" if name == ENGLISH else name)


@lru_cache(maxsize=4096)
def _say_number(value: float, name: str) -> str:
    return format_decimal(value, "0.######", locale=locale_of(name), group_separator=False)


def say_number(value: float) -> str:
    """A number without zeros at its end, six places at most: "12.5"."""
    return _say_number(value, language())


def length_unit() -> str:
    """The reader's unit of length, as it stands behind a number: "m" or "ft"."""
    return _unit.get()


@contextmanager
def measured_in(unit: str) -> Iterator[None]:
    """Say and read every length inside in a unit; in metres where it is none."""
    before = _unit.set(unit if unit in UNITS else METRES)
    try:
        yield
    finally:
        _unit.reset(before)


def measure_in(unit: str) -> None:
    """Say and read every length from here to the end of ``measured_in`` in a unit; in metres where it is none."""
    _unit.set(unit if unit in UNITS else METRES)


def of_unit(metres: str, feet: str) -> str:
    """The one of two texts that names the reader's unit."""
    return feet if length_unit() == FEET else metres


def _cm(feet: float) -> int:
    """Feet as whole centimetres, rounded up as answers are: what is as long in feet stays so."""
    return ceil(round(feet * CM_IN_FOOT, 6))


def _feet(metres: float) -> float:
    """The shortest number of feet, of two places at most, that is kept as so many metres."""
    cm = abs(metres) * 100
    tries = (floor(round(cm / CM_IN_FOOT * 10**places, 6)) / 10**places for places in range(3))
    *_, nearest = found = [*tries]
    return copysign(next((one for one in found if _cm(one) == round(cm, 6)), nearest), metres)


def length_figure(metres: float, *, tenths: bool = False) -> str:
    """A length in the reader's unit without its name, so that it is read back as the same, or to a tenth: "12.5"."""
    if length_unit() == FEET:
        metres = metres * 100 / CM_IN_FOOT if tenths else _feet(metres)
    return say_number((round(metres, 1) if tenths else metres) + 0.0)


def say_metres(value: float, *, tenths: bool = False) -> str:
    """A length in metres as its reader reads it, with its unit: "12.5 m", or "41 ft"."""
    return f"{length_figure(value, tenths=tenths)} {length_unit()}"


def limit_figures(least: float, most: float) -> tuple[str, str]:
    """Two limits in metres of what may be typed in the reader's unit, without its name; feet are whole and inside."""
    if length_unit() == METRES:
        return say_number(least), say_number(most)
    return say_number(ceil(least * 100 / CM_IN_FOOT)), say_number(floor(most * 100 / CM_IN_FOOT))


def lengths_in(text: str) -> str:
    """A fixed text of the portal's own, which says its lengths in metres, with them in the reader's unit."""
    if length_unit() == METRES:
        return text
    return _FIXED.sub(lambda found: say_metres(float(plain_number(found[1])), tenths=True), text)


def write_length(metres: float | None) -> str:
    """A length as a field holds it: "12.5", or "41 ft"; empty where nothing is known."""
    if metres is None:
        return ""
    return f"{metres:g}" if length_unit() == METRES else f"{_feet(metres):g} ft"


def read_length(text: str, before: float | None = None) -> float:
    """Metres from "9.1 m", "30 ft", "30'", "6 ft 6 in" or a number in the reader's unit; feet in whole centimetres. A
    field that still shows what was there ``before`` leaves it as it is. Raises ``ValueError``.
    """
    if before is not None and text == write_length(before):
        return before
    found = _TYPED.fullmatch(text.strip())
    unit = (found["unit"] or length_unit()).lower() if found else ""
    feet = not unit.startswith("m")
    if found is None or (found["inches"] and not (feet and found["unit"])):
        raise ValueError(text)
    number = float(plain_number(found["number"]))
    return number if not feet else copysign(_cm(abs(number) + int(found["inches"] or 0) / 12) / 100, number)


def with_unit(text: str) -> str:
    """A length or a range of lengths as somebody typed it, with the reader's unit where it names none."""
    return f"{text} {FEET}" if length_unit() == FEET and text[-1:].isdecimal() else text


CAPITAL_NOUNS = frozenset({"de"})
"""Languages whose nouns keep their capital inside a sentence."""


def inside(text: str) -> str:
    """A text that begins with a capital, as it stands inside a sentence."""
    return text if language() in CAPITAL_NOUNS else text[:1].lower() + text[1:]


def say_language(name: str) -> str:
    """What a language is called: "German"."""
    return Locale(name).get_display_name(locale_of(language())) or name


def plain_number(text: str) -> str:
    """A number as somebody typed it, with a decimal comma or a typographer's minus, as a computer reads it."""
    return text.replace(",", ".").replace("−", "-")


def join_and(parts: Iterable[str]) -> str:
    """Names in a sentence, each once: "A", "A and B", "A, B and C"."""
    return _join(tuple(dict.fromkeys(parts)), "standard")


def join_or(parts: Iterable[str]) -> str:
    """What there is to choose from, each once: "A, B or C"."""
    return _join(tuple(dict.fromkeys(parts)), "or")


def join_clauses(parts: Iterable[str]) -> str:
    """Clauses one after another, parted as the reader's language parts them: "A; B"."""
    clauses = [*parts]
    return reduce(lambda said, more: gettext("%(said)s; %(more)s", said=said, more=more), clauses) if clauses else ""


def headed(head: str, words: str) -> str:
    """Words behind what they are about, parted as the reader's language parts them: "A: B"."""
    return gettext("%(head)s: %(words)s", head=head, words=words)


def _join(parts: tuple[str, ...], style: Literal["standard", "or"]) -> str:
    return format_list(parts, style=style, locale=locale_of(language())) if parts else ""
