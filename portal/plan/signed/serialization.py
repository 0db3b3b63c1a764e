"""A plan as JSON, its one canonical spelling, and the hash that both sides sign.

The spelling follows RFC 8785 (JSON Canonicalization Scheme) for what a plan holds: whole numbers, text in normal form
C, true, false, null, lists and objects. The hash covers material content only; ``signed_fields.py`` says what that is.
"""

from __future__ import annotations

import hashlib
import json
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from enum import Enum
from typing import TypeAlias, cast

from portal.plan.model import NoPlan, Plan
from portal.plan.phrase import Phrase
from portal.plan.signed.difference import difference
from portal.plan.signed.signed_fields import LATER, material_fields

__all__ = [
    "Heading",
    "Json",
    "NotCanonical",
    "canonical",
    "content_hash",
    "difference",
    "renamed",
    "short_hash",
    "signed_content",
    "to_json",
    "with_texts",
]

Json: TypeAlias = "dict[str, Json] | list[Json] | str | int | float | bool | None"

PREFIX = "portal-plan-{schema}\n"
"""What stands before the content that is hashed, by the plan's schema."""

SAID, SAID_IN_SCHEMA_1 = "said", "text"
"""The field that holds what is said, and what plans of schema 1 call it."""

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
    return cast("dict[str, Json]", _plain(outcome, outcome.schema))


def with_texts(outcome: Plan | NoPlan, say: Callable[[Phrase], str]) -> dict[str, Json]:
    """The same with the text of each phrase beside its key, for people and for programs that only show it."""
    return cast("dict[str, Json]", _plain(outcome, outcome.schema, say))


def renamed(document: Json) -> Json:
    """The JSON of an outcome of any schema under today's names of fields."""
    older = isinstance(document, dict) and document.get("schema") == 1
    return _under_todays_names(document) if older else document


def _under_todays_names(value: Json) -> Json:
    if isinstance(value, list):
        return [_under_todays_names(one) for one in value]
    if isinstance(value, dict):
        return {SAID if name == SAID_IN_SCHEMA_1 else name: _under_todays_names(one) for name, one in value.items()}
    return value


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
    return {"heading": _plain(heading, plan.schema), "plan": _material(plan, plan.schema)}


def content_hash(plan: Plan, heading: Heading) -> str:
    """SHA-256 of the material content, as 64 hexadecimal digits."""
    prefix = PREFIX.format(schema=plan.schema).encode()
    return hashlib.sha256(prefix + canonical(signed_content(plan, heading))).hexdigest()


def short_hash(digest: str) -> str:
    """The first eight digits in two groups, for people to compare."""
    return f"{digest[:4]} {digest[4:8]}"


def _plain(value: object, schema: int, say: Callable[[Phrase], str] | None = None) -> Json:
    if is_dataclass(value) and not isinstance(value, type):
        found = {_called(one.name, schema): _plain(getattr(value, one.name), schema, say) for one in fields(value)}
        return found | {"text": say(value)} if say and isinstance(value, Phrase) else found
    if isinstance(value, tuple):
        return [_plain(one, schema, say) for one in value]
    if isinstance(value, Mapping):
        return {name: _plain(one, schema, say) for name, one in value.items()}
    if isinstance(value, Enum):
        return _plain(value.value, schema, say)
    return cast("Json", value)


def _material(value: object, schema: int) -> Json:
    if isinstance(value, Phrase):
        return _plain(value, schema)
    if is_dataclass(value) and not isinstance(value, type):
        later = LATER.get(type(value), {})
        found = {name: getattr(value, name) for name in material_fields(type(value))}
        return {
            _called(name, schema): _material(one, schema)
            for name, one in found.items()
            if name not in later or one != later[name]
        }
    if isinstance(value, tuple) and value and is_dataclass(value[0]):
        return sorted((_material(one, schema) for one in value), key=canonical)
    return _plain(value, schema)


def _called(name: str, schema: int) -> str:
    return SAID_IN_SCHEMA_1 if name == SAID and schema == 1 else name


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
