"""From a document (what TOML or JSON gives) to a dataclass of the core, with every fault at once, and back.

Pydantic does the checking; its models are made from the dataclasses' own documented keys, so there is no second
list of them.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import is_dataclass
from functools import cache
from types import GenericAlias, MappingProxyType
from typing import Annotated, Any, Literal, TypeAlias, TypeVar, cast

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError, create_model

from portal.exchange.faults import Fault, NotReadable, came, nearest, path_of
from portal.exchange.keys import Key, expected, expected_item, keys_of
from portal.plan.input.rig import MAX_LABEL
from portal.plan.input.small_things import BIT_KEYS
from portal.plan.signed.serialization import Json

T = TypeVar("T")

BIT_KEY = "^(" + "|".join(BIT_KEYS) + "|xlr_(0_[0-9]?[1-9]|[1-9][0-9]{0,2}(_[0-9]?[1-9])?)m)$"

# Line and paragraph separators break rows; the marks that turn the direction of writing can make a label read as
# another one.
UNWANTED = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff]")

# Every fault is named, but a file that is no rig at all would name its every key; nobody reads further.
MOST_FAULTS = 500

Steps: TypeAlias = tuple[int | str, ...]
"""The way to one place of a document: names of keys, and places in lists counted from 0."""

MOST_ROUNDS = 3
"""How often a document is looked at again after something was left out; what is left out is never wrong itself."""

TypeForm: TypeAlias = Any
"""A type written as a value; Python has no type for those yet."""

# Pydantic models carry methods of their own, and one of them is called "schema".
PREFIX = "key_"


class ControlCharacters(ValueError):  # noqa: N818 - named for what was found
    """A text holds characters that cannot be seen or printed."""


def tidy_text(value: object, *, lines: bool = False) -> object:
    """A text in normal form C; any other value as it is. With ``lines``, line ends and tabs may stay.

    Raises ``ControlCharacters``.
    """
    if not isinstance(value, str):
        return value
    looked_at = re.sub("[\r\n\t]", "", value) if lines else value
    if UNWANTED.search(looked_at):
        raise ControlCharacters
    return unicodedata.normalize("NFC", value)


def _text(longest: int, shortest: int = 0) -> TypeForm:
    return Annotated[str, Field(max_length=longest, min_length=shortest or None), BeforeValidator(tidy_text)]


def _number(kind: TypeForm, key: Key) -> TypeForm:
    return Annotated[kind, Field(ge=key.lo, le=key.hi)]


def _words(words: tuple[str, ...]) -> TypeForm:
    return Literal.__getitem__(words)


def _item(key: Key) -> TypeForm:
    """The type of one element of a list, of a pair or of a named table."""
    if key.table is not None:
        return model_of(key.table)
    if key.is_pair or key.is_named:
        return _number(float if key.is_pair else int, key)
    return _words(key.each) if key.each else _text(key.longest)


def _type(key: Key) -> TypeForm:
    if key.is_pair or key.is_list:
        listed: TypeForm = GenericAlias(list, (_item(key),))
        return Annotated[listed, Field(min_length=2 if key.is_pair else 0, max_length=2 if key.is_pair else key.most)]
    if key.is_named:
        name = _text(MAX_LABEL, 1) if key.table is not None else Annotated[str, Field(pattern=BIT_KEY)]
        named: TypeForm = GenericAlias(dict, (name, _item(key)))
        return Annotated[named, Field(max_length=key.most)]
    if key.table is not None:
        return model_of(key.table)
    if key.base is str:
        return _words(key.one_of) if key.one_of else _text(key.longest)
    return bool if key.base is bool else _number(key.base, key)


@cache
def model_of(table: type) -> type[BaseModel]:
    """The pydantic model that checks one table of a file."""
    entries: dict[str, Any] = {}
    for key in keys_of(table).values():
        default = ... if key.required else to_document(key.default)
        kind = _type(key) | None if key.optional else _type(key)
        entries[PREFIX + key.name] = (kind, Field(default, alias=key.name, title=None, description=key.doc))
    return create_model(
        table.__name__,
        __config__=ConfigDict(extra="forbid", strict=True, allow_inf_nan=False),
        __doc__=table.__doc__,
        **entries,
    )


def from_document(table: type[T], document: object) -> T:
    """The dataclass that a document describes. Raises ``NotReadable`` with every fault."""
    plain: type = table
    try:
        checked = model_of(plain).model_validate(document)
    except ValidationError as error:
        raise NotReadable(_faults(plain, error)) from error
    return _built(table, checked)


def readable_part(table: type[T], document: object) -> tuple[T, tuple[Steps, ...]]:
    """What is left of a document without the keys that cannot be read, and the ways to those. A number that cannot be
    read is taken at its upper limit, so that it contradicts nothing. Where a document is beyond that, the empty table,
    and the document left out as a whole.
    """
    plain: type = table
    rest, copies, left_out = document, dict[int, object](), list[Steps]()
    for _ in range(MOST_ROUNDS):
        try:
            return _built(table, model_of(plain).model_validate(rest)), tuple(left_out)
        except ValidationError as error:
            errors = error.errors(include_url=False, include_context=False, include_input=False)
        if len(errors) > MOST_FAULTS:
            break
        for steps in (one["loc"][:-1] if one["loc"][-1:] == ("[key]",) else one["loc"] for one in errors):
            if steps:
                rest = _leave_out(plain, rest, steps, copies)
                left_out.append(steps)
    return table(), ((),)


def _leave_out(table: type, document: object, steps: Steps, copies: dict[int, object]) -> object:
    """The document without the value at the end of these steps. ``copies``: each table or list that was copied for
    this, by its ``id``.
    """
    _, key, below = _last_key(table, steps)
    if below and key is not None and (key.is_list or key.is_pair) and key.table is None:
        steps, below = steps[:-below], 0  # such a list is left out as a whole
    here = document = _own(document, copies)
    for step in steps[:-1]:
        if not isinstance(here, dict | list):
            return document
        here[step] = here = _own(here[step], copies)  # type: ignore[index]
    last = steps[-1]
    if isinstance(here, list) and isinstance(last, int):
        here[last] = {}
    elif isinstance(here, dict):
        numeric = key is not None and not below and key.hi is not None and not key.optional and key.table is None
        if key is not None and (key.required or (numeric and not key.is_list and not key.is_named)):
            here[last] = key.default if key.required else key.hi
        else:
            here.pop(last, None)
    return document


def _own(value: object, copies: dict[int, object]) -> object:
    """A copy of a table or list that may be changed, made once; anything else as it is."""
    if not isinstance(value, dict | list) or id(value) in copies:
        return value
    copy = value.copy()
    copies[id(copy)] = copy
    return copy


def to_document(value: object) -> Json:
    """A dataclass as what JSON can hold: every key, unknown as null."""
    if is_dataclass(value) and not isinstance(value, type):
        return {name: to_document(getattr(value, name)) for name in keys_of(type(value))}
    if isinstance(value, Mapping):
        return {name: to_document(one) for name, one in value.items()}
    if isinstance(value, tuple):
        return [to_document(one) for one in value]
    return cast("str | int | float | bool | None", value)


def _built(table: type[T], checked: BaseModel) -> T:
    given = {name.removeprefix(PREFIX) for name in checked.model_fields_set}
    plain: type = table
    keys = keys_of(plain)
    return table(**{name: _core(keys[name], getattr(checked, PREFIX + name)) for name in keys if name in given})


def _core(key: Key, value: object) -> object:
    if isinstance(value, list):
        return tuple(_core(key, one) for one in value)
    if isinstance(value, dict):
        return MappingProxyType({name: _core(key, one) for name, one in value.items()})
    return _built(key.table, value) if key.table is not None and isinstance(value, BaseModel) else value


def _last_key(table: type, steps: tuple[int | str, ...]) -> tuple[type, Key | None, int]:
    """The innermost table on the way, the key that the steps end at, and how many steps lie below that key."""
    here, key, below = table, None, 0
    for step in steps:
        if key is not None and key.table is not None and (below or not (key.is_list or key.is_named)):
            here, key, below = key.table, None, 0
        if key is None:
            key = keys_of(here).get(str(step))
            if key is None:
                return here, None, 0
        else:
            below += 1
    return here, key, below


def _faults(table: type, error: ValidationError) -> list[Fault]:
    errors = error.errors(include_url=False, include_context=False)
    found = [_fault(table, one["loc"], one["type"], one["input"]) for one in errors[:MOST_FAULTS]]
    more = len(errors) - len(found)
    return [*found, Fault("", "a file with fewer faults", f"{more} more")] if more else found


def _fault(table: type, steps: tuple[int | str, ...], kind: str, value: object) -> Fault:
    if steps and steps[-1] == "[key]":
        return _name_fault(steps[:-1], kind)
    here, key, below = _last_key(table, steps)
    path = path_of(steps)
    if kind == "extra_forbidden":
        close = nearest(str(steps[-1]), keys_of(here))
        return Fault(path, "a known key" + (f', perhaps "{close}"' if close else ""), "a key that nothing reads")
    if key is None:
        return Fault(path, "a table", came(value))
    if kind == "value_error":
        return Fault(path, "text without control characters", "control characters")
    found = {"missing": "nothing: the key is missing", "string_too_long": f"{came(value)} and more"}
    return Fault(path, expected_item(key) if below else expected(key), found.get(kind, came(value)))


def _name_fault(steps: tuple[int | str, ...], kind: str) -> Fault:
    path, name = path_of(steps), str(steps[-1])
    if kind == "string_pattern_mismatch":
        close = nearest(name, BIT_KEYS)
        known = ", ".join(BIT_KEYS) + " or xlr_ with metres, such as xlr_5m or xlr_7_5m"
        return Fault(path, f"one of: {known}" + (f'; perhaps "{close}"' if close else ""), "another name")
    return Fault(path, f"a name of 1 to {MAX_LABEL} characters without control characters", "another name")
