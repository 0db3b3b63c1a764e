"""Numbers, lengths and lists as the reader's language writes them, and numbers as people type them."""

from collections.abc import Iterable
from functools import lru_cache
from typing import Literal

from babel import Locale
from babel.lists import format_list
from babel.numbers import format_decimal

from portal.wording.catalogue import ENGLISH, language


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


def say_metres(value: float) -> str:
    """A length with its unit: "12.5 m"."""
    return f"{say_number(value)} m"


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


def _join(parts: tuple[str, ...], style: Literal["standard", "or"]) -> str:
    return format_list(parts, style=style, locale=locale_of(language())) if parts else ""
