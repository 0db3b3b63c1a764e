"""The documented keys of the core's dataclasses, and what each expects, in words.

The file reader, the JSON Schema, the rows of a spreadsheet and the key list in FORMAT.md all read this.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, dataclass, fields, is_dataclass
from functools import cache, cached_property
from types import NoneType, UnionType
from typing import Union, cast, get_args, get_origin, get_type_hints

from portal.plan.input.answer_kinds import AnswerKind, Choice, Count, Distance, Sockets, Text
from portal.plan.input.rig import MAX_LABEL


@dataclass(frozen=True)
class Key:
    """One key of a file. ``base`` is its type without ``None``; ``optional``: ``None`` (unknown) is allowed."""

    name: str
    base: object
    optional: bool
    default: object
    doc: str
    lo: float | None
    hi: float | None
    longest: int
    one_of: tuple[str, ...]
    most: int | None
    each: tuple[str, ...]

    @property
    def required(self) -> bool:
        """The format number says how to read all the rest, so it is never left out."""
        return self.name == "schema"

    @cached_property
    def table(self) -> type | None:
        """The dataclass of a nested table, of each table of a list, or of each named table; else ``None``."""
        candidates = (self.base, *get_args(self.base))
        return next((one for one in candidates if isinstance(one, type) and is_dataclass(one)), None)

    @cached_property
    def is_list(self) -> bool:
        """A list of any length."""
        return get_origin(self.base) is tuple and get_args(self.base)[-1] is Ellipsis

    @cached_property
    def is_pair(self) -> bool:
        """Exactly two numbers."""
        return get_origin(self.base) is tuple and not self.is_list

    @cached_property
    def is_named(self) -> bool:
        """A table whose keys are names of the writer's own."""
        return get_origin(self.base) is Mapping


def _without_none(hint: object) -> tuple[object, bool]:
    """The type without ``None``, and whether ``None`` was allowed. Raises ``TypeError`` for another union."""
    if get_origin(hint) not in (Union, UnionType):
        return hint, False
    others = [one for one in get_args(hint) if one is not NoneType]
    if len(others) != 1:
        raise TypeError(f"{hint} is a union of several types; a key has one")
    return others[0], True


@cache
def keys_of(table: type) -> Mapping[str, Key]:
    """Every key of a dataclass by name, in its order."""
    hints = get_type_hints(table)
    found: dict[str, Key] = {}
    for field in fields(table):
        base, optional = _without_none(hints[field.name])
        default = field.default if field.default_factory is MISSING else field.default_factory()
        limits = field.metadata
        found[field.name] = Key(
            name=field.name,
            base=base,
            optional=optional,
            default=default,
            doc=limits["doc"],
            lo=limits["lo"],
            hi=limits["hi"],
            longest=limits["longest"] or MAX_LABEL,
            one_of=limits["one_of"],
            most=limits["most"],
            each=limits["each"],
        )
    return found


def _span(key: Key) -> str:
    return "" if key.lo is None or key.hi is None else f" from {_number(key.lo)} to {_number(key.hi)}"


def _number(value: float) -> str:
    return str(int(value)) if value == int(value) else str(value)


def _quoted(words: tuple[str, ...]) -> str:
    return ", ".join(word for word in words if word)


def _text(key: Key) -> str:
    if len(key.one_of) == 1:
        return f'the word "{key.one_of[0]}"'
    if key.one_of:
        return "one of: " + _quoted(key.one_of) + (" (or empty)" if "" in key.one_of else "")
    return f"text of at most {key.longest} characters"


def expected_item(key: Key) -> str:
    """What one element of a list, of a pair or of a named table has to be."""
    if key.table is not None:
        return "a table"
    if key.is_pair or key.is_named:
        return ("a number" if key.is_pair else "a whole number") + _span(key)
    return "one of: " + _quoted(key.each) if key.each else _text(key)


def expected(key: Key) -> str:
    """What a key has to hold, in plain words."""
    if key.is_pair or key.is_list:
        return _list(key)
    if key.table is not None:
        return f"at most {key.most} named tables" if key.is_named else "a table"
    if key.base is str:
        return _text(key)
    if key.lo is not None and key.lo == key.hi:
        return f"the number {_number(key.lo)}"
    plain = {bool: "true or false", int: "a whole number", float: "a number"}
    return ("counts" if key.is_named else plain[cast("type", key.base)]) + _span(key)


def _list(key: Key) -> str:
    if key.is_pair:
        return "two numbers" + (_span(key) and f", each{_span(key)}")
    kind = "tables" if key.table else "texts"
    return "a list" + (f" of: {_quoted(key.each)}" if key.each else f" of at most {key.most} {kind}")


def expected_answer(kind: AnswerKind) -> str:
    """What the value of an answer has to be in a file, in plain words."""
    match kind:
        case Choice():
            return "one of: " + ", ".join(option.key for option in kind.options)
        case Count():
            return f"a whole number from {kind.lo} to {kind.hi}"
        case Distance():
            return f"a number of metres from 0 to {kind.hi_cm // 100}"
        case Sockets():
            return f'socket numbers from 1 to {kind.hi} as text, such as "1-8, 11"'
        case Text():
            return f"text of 1 to {kind.longest} characters"
