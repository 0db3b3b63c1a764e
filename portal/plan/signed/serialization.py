"""A plan as JSON, its one canonical spelling, and the hash that both sides sign.

The spelling follows RFC 8785 (JSON Canonicalization Scheme) for what a plan holds: whole numbers, text in normal form
C, true, false, null, lists and objects. The hash covers material content only; ``signed_fields.py`` says what that is.
"""

from __future__ import annotations

import hashlib
import json
import unicodedata
from dataclasses import dataclass, fields, is_dataclass
from enum import Enum
from typing import TypeAlias, cast

from portal.plan.model import NoPlan, Plan
from portal.plan.signed.difference import difference
from portal.plan.signed.signed_fields import LATER, material_fields

__all__ = [
    "Heading",
    "Json",
    "NotCanonical",
    "canonical",
    "content_hash",
    "difference",
    "short_hash",
    "signed_content",
    "to_json",
]

Json: TypeAlias = "dict[str, Json] | list[Json] | str | int | float | bool | None"

PREFIX = b"portal-plan-1\n"

GREATEST = 2**53 - 1
"""Whole numbers beyond this are not the same number in every reader of JSON (RFC 7493, section 2.2)."""


class NotCanonical(ValueError):  # noqa: N818 - named for what it says
    """A value that has no canonical spelling. The message names the place."""


@dataclass(frozen=True)
class Heading:
    """What stands above a plan on paper: the gig, its date (ISO) and its place. Signed with it."""

    gig: str
    date: str
    place: str


def to_json(outcome: Plan | NoPlan) -> dict[str, Json]:
    """The outcome as JSON: every field, nothing omitted, unknown as null."""
    return cast("dict[str, Json]", _plain(outcome))


def canonical(value: Json) -> bytes:
    """The one spelling of a JSON value, as UTF-8.

    Raises ``NotCanonical`` for fractions, numbers beyond 2^53-1 and broken text.
    """
    tidy = _tidy(value, "")
    # Python writes text as RFC 8785, section 3.2.2.2 wants it: two-letter escapes where JSON has one, else \u00xx in
    # lower case.
    return json.dumps(tidy, ensure_ascii=False, separators=(",", ":"), allow_nan=False).encode("utf-8")


def signed_content(plan: Plan, heading: Heading) -> dict[str, Json]:
    """What a signature covers. Rows stand in canonical order: their numbers say what their order would say."""
    return {"heading": _plain(heading), "plan": _material(plan)}


def content_hash(plan: Plan, heading: Heading) -> str:
    """SHA-256 of the material content, as 64 hexadecimal digits."""
    return hashlib.sha256(PREFIX + canonical(signed_content(plan, heading))).hexdigest()


def short_hash(digest: str) -> str:
    """The first eight digits in two groups, for people to compare."""
    return f"{digest[:4]} {digest[4:8]}"


def _plain(value: object) -> Json:
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if isinstance(value, Enum):
        return _plain(value.value)
    return cast("Json", value)


def _material(value: object) -> Json:
    if is_dataclass(value) and not isinstance(value, type):
        later = LATER.get(type(value), {})
        found = {name: getattr(value, name) for name in material_fields(type(value))}
        return {name: _material(one) for name, one in found.items() if name not in later or one != later[name]}
    if isinstance(value, tuple) and value and is_dataclass(value[0]):
        return sorted((_material(one) for one in value), key=canonical)
    return _plain(value)


def _tidy(value: Json, place: str) -> Json:
    if isinstance(value, str):
        return _tidy_text(value, place)
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, int):
        if abs(value) > GREATEST:
            raise NotCanonical(f"{place}: {value} is beyond 2^53-1")
        return int(value)
    if isinstance(value, float):
        raise NotCanonical(f"{place}: {value} is not a whole number; count in smaller units")
    if isinstance(value, list):
        return [_tidy(one, f"{place}[{index}]") for index, one in enumerate(value)]
    named = {_tidy_text(name, place): _tidy(one, f"{place}.{name}".lstrip(".")) for name, one in value.items()}
    if len(named) != len(value):
        raise NotCanonical(f"{place}: two names are the same in normal form C")
    # RFC 8785, section 3.2.3: names are sorted by their UTF-16 code units.
    return dict(sorted(named.items(), key=lambda item: item[0].encode("utf-16-be")))


def _tidy_text(text: str, place: str) -> str:
    if any("\ud800" <= letter <= "\udfff" for letter in text):
        raise NotCanonical(f"{place}: the text holds half a character")
    return unicodedata.normalize("NFC", text)
