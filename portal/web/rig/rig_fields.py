"""The fields of the rig's forms: their words, and the way from what was typed to a value of the core and back.

Limits come from the documented keys of the core's dataclasses, so that the forms take what a file takes and nothing
else. A field is named ``<prefix><key>``; ``owner.mic`` and ``at_m.0`` name what lies one level down.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import Field, dataclass, replace
from functools import cache
from typing import Any, ClassVar, Protocol, TypeVar, cast

from portal.exchange.checking import ControlCharacters, tidy_text
from portal.exchange.keys import Key, keys_of
from portal.exchange.rig_words import ANOTHER_ROW, LABELS, NO_WORDS, UNSET, UNSET_YES_NO, WORDS, is_length, value_at
from portal.exchange.spreadsheets.source_columns import HEADINGS, UnreadableCell, read_cell
from portal.plan.input.kinds import KINDS
from portal.plan.input.rig import Mixer, MixerLink, Source, Splitter
from portal.web.frame.pages import Fault
from portal.wording.catalogue import Words, gettext, language, mark
from portal.wording.formats import limit_figures, of_unit, read_length, write_length


class Record(Protocol):
    """Any dataclass of the core."""

    __dataclass_fields__: ClassVar[dict[str, Field[Any]]]


T = TypeVar("T", bound=Record)

Options = tuple[tuple[str, str], ...]
"""Pairs of a value and its words."""

Values = Mapping[str, tuple[str, ...]]
"""What a form holds: the entries of each field."""

HINTS: Mapping[type, Mapping[str, str]] = {
    Source: Words(
        {
            "strip": mark("At most 12 characters"),
            "phantom": mark("Leave it to the kind where the house brings the microphone"),
            "family": mark("For example horns"),
            "priority": mark("When channels are short"),
            "one_microphone_with": mark("Another singer of the same part; of two leads both rows say so"),
            "second_of": mark("The first microphone of the same sound"),
            "at_m.0": mark("Performer's view; left of centre is below zero"),
            "submix": mark("Its name, if it can carry this"),
        }
    ),
    Mixer: Words(
        {
            "mono_busses": mark("Left once every in-ear mix has its own"),
            "stereo_busses": mark("Left once every in-ear mix has its own; the left/right mix counts"),
            "remote_surfaces": mark("That can control the mixer"),
        }
    ),
    MixerLink: Words({"standard": mark("The standard's name, not a maker's")}),
    Splitter: Words({"built_in": mark("It comes along anyway")}),
}


class Unreadable(ValueError):  # noqa: N818 - named for what it says
    """An entry that cannot be taken. The message is the sentence for the field."""


@dataclass(frozen=True)
class Entry:
    """One field as a template draws it. ``control``: text, number, choice, tick (one box), ticks (several) or
    hidden. ``offers``: the page's list of words that a text may take one from.
    """

    name: str
    label: str
    control: str
    hint: str = ""
    options: Options = ()
    offers: str = ""


@cache
def key_of(table: type, name: str) -> Key:
    """The documented key behind a field."""
    outer, _, inner = name.partition(".")
    key = keys_of(table)[outer]
    return keys_of(key.table)[inner] if key.table and inner and not key.is_list else key


def options_of(table: type, name: str) -> Options:
    """What a field offers by itself, in words."""
    return _options(table, name, language())


@cache
def _options(table: type, name: str, _language: str) -> Options:
    key = key_of(table, name)
    if key.base is bool:
        return (("", UNSET_YES_NO.get(name, gettext("not said"))), ("yes", gettext("yes")), ("no", gettext("no")))
    words = WORDS.get(name, NO_WORDS)
    return tuple(
        (one, words.get(one) or (one or UNSET.get(name, gettext("not said")))) for one in key.one_of or key.each
    )


def entry(table: type, name: str, prefix: str = "", options: Options = ()) -> Entry:
    """The field for one key. ``options`` are those that depend on the rig, such as its splitters."""
    key = key_of(table, name)
    offered = options or (
        options_of(table, name) if key.one_of or key.each or (key.base is bool and key.optional) else ()
    )
    if key.base is bool and not key.optional:
        control = "tick"
    elif key.is_list:
        control = "ticks"
    elif offered or name in ("splitter", *ANOTHER_ROW):
        control = "choice"
    else:
        control = "number" if key.is_pair or key.base in (int, float) else "text"
    return Entry(prefix + name, LABELS[table][name], control, HINTS.get(table, {}).get(name, ""), offered)


def as_typed(record: Record, names: Iterable[str], prefix: str = "") -> dict[str, tuple[str, ...]]:
    """The entries that stand for a record."""
    return {prefix + name: _texts(name, value_at(record, name)) for name in names}


def _texts(name: str, value: object) -> tuple[str, ...]:
    if is_length(name):
        return (write_length(cast("float | None", value)),)
    if isinstance(value, tuple):
        return tuple(str(one) for one in value)
    if isinstance(value, bool):
        return ("yes" if value else "no",)
    return ("" if value is None else f"{value:g}" if isinstance(value, float) else str(value),)


def read_kind(text: str, before: str = "") -> str:
    """The sound id for the words of a kind. ``before`` is taken as it stands. Raises ``Unreadable``."""
    if not text or text == before:
        return text
    try:
        return str(read_cell(HEADINGS["what"], text))
    except UnreadableCell as error:
        raise Unreadable(
            gettext('"%(text)s" is not in the list. Choose %(error)s.', text=text[:40], error=error)
        ) from None


def kind_words(what: str) -> str:
    """The words of a sound id, or the id itself where the table does not know it."""
    return KINDS[what].words if what in KINDS else what


class Reading:
    """Reads the entries of a form one record at a time and collects what is wrong. A faulty field keeps its value from
    before.
    """

    def __init__(self, values: Values) -> None:
        self.values = values
        self.faults: list[Fault] = []

    def text(self, name: str) -> str:
        """The entry of a field without outer blanks."""
        return next(iter(self.values.get(name, ())), "").strip()

    def record(self, base: T, names: Iterable[str], prefix: str = "", where: str = "") -> T:
        """The record with what was typed in its fields; ``where`` begins every sentence, such as ``Row 3, ``."""
        changes: dict[str, object] = {}
        for name in names:
            label = LABELS[type(base)][name]
            try:
                changes[name] = self._value(base, name, prefix + name)
            except Unreadable as error:
                begins = f"{where}{label[:1].lower() + label[1:]}" if where else label
                self.faults.append(Fault(prefix + name, f"{begins}: {error}"))
        if "at_m.0" in changes and "at_m.1" in changes and (changes["at_m.0"] is None) != (changes["at_m.1"] is None):
            missing = "at_m.0" if changes["at_m.0"] is None else "at_m.1"
            self.faults.append(
                Fault(
                    prefix + missing, gettext("%(where)sPlace on stage: enter both distances, or neither.", where=where)
                )
            )
            return changed(base, {name: value for name, value in changes.items() if not name.startswith("at_m")})
        return changed(base, changes)

    def count(self, name: str, label: str, hi: int) -> int | None:
        """A count from 0, ``None`` where nothing was typed."""
        try:
            return int(read_number(self.text(name), 0, hi, whole=True)) if self.text(name) else None
        except Unreadable as error:
            self.faults.append(Fault(name, f"{label}: {error}"))
            return None

    def length(self, name: str, label: str, lo: float, hi: float) -> float | None:
        """A length in metres, ``None`` where nothing was typed."""
        try:
            return read_long(self.text(name), lo, hi) if self.text(name) else None
        except Unreadable as error:
            self.faults.append(Fault(name, f"{label}: {error}"))
            return None

    def numbers(self, prefix: str) -> list[int]:
        """The numbers of a list's groups, in order; each has a field ``<prefix><number>-was``."""
        return sorted(
            {int(found[1]) for name in self.values if (found := re.fullmatch(prefix + r"([0-9]{1,4})-was", name))}
        )

    def _value(self, base: Record, name: str, field: str) -> object:
        key = key_of(type(base), name)
        if key.is_list:
            return _list(key, tuple(dict.fromkeys(text for text in self.values.get(field, ()) if text)))
        if name == "what":
            return read_kind(self.text(field), str(value_at(base, name)))
        if is_length(name) and self.text(field):
            return read_long(self.text(field), key.lo or 0, key.hi or 0, cast("float | None", value_at(base, name)))
        return read_value(key, value_said(type(base), name, self.text(field)))


def said(table: type, name: str, value: str) -> str:
    """A choice in words, as it is typed where no list is opened; nothing for one that is not made."""
    return dict(options_of(table, name)).get(value, value) if value else ""


def value_said(table: type, name: str, text: str) -> str:
    """The choice that words mean; any other text as it stands."""
    choices = key_of(table, name).one_of
    return text if not choices or text in choices else _meant(table, name, language()).get(text.casefold(), text)


@cache
def _meant(table: type, name: str, language: str) -> Mapping[str, str]:
    """The choices by their words in small letters, in the reader's language."""
    return {words.casefold(): value for value, words in _options(table, name, language)}


def read_value(key: Key, text: str) -> object:
    """What one entry says. An empty one means unknown, or the key's default. Raises ``Unreadable``."""
    if key.base is str:
        return _word(key, text)
    if key.base is bool:
        return _yes_no(key, text)
    if not text:
        return None if key.optional or key.is_pair else key.default
    return read_number(text, key.lo or 0, key.hi or 0, whole=key.base is int)


def _word(key: Key, text: str) -> str:
    if key.one_of:
        if text not in key.one_of:
            raise Unreadable(gettext('"%(text)s" is not one of the list. Choose from it.', text=text[:40]))
        return text
    try:
        tidied = str(tidy_text(text))
    except ControlCharacters:
        raise Unreadable(
            gettext("this holds characters that cannot be shown. Type it instead of pasting it.")
        ) from None
    if len(tidied) > key.longest:
        raise Unreadable(
            gettext(
                "this has %(count)s characters; %(longest)s fit. Shorten it.", count=len(tidied), longest=key.longest
            )
        )
    return tidied


def _yes_no(key: Key, text: str) -> bool | None:
    if text not in ("", "yes", "no"):
        raise Unreadable(gettext("choose yes or no."))
    return None if key.optional and not text else text == "yes"


def read_number(text: str, lo: float, hi: float, *, whole: bool) -> int | float:
    """A number within its limits. Raises ``Unreadable``."""
    # "32" and "32 ch" say the same: units after a number do no harm.
    found = re.fullmatch(r"([+-]?[0-9]{1,9}(?:[.,][0-9]{1,9})?)\s*[A-Za-zΩ]{0,8}", text)
    number = float(found[1].replace(",", ".")) if found else None
    if number is None or not lo <= number <= hi or (whole and number != int(number)):
        raise Unreadable(f"enter a {'whole ' if whole else ''}number from {lo:g} to {hi:g}.")
    return int(number) if whole else number


def read_long(text: str, lo: float, hi: float, before: float | None = None) -> float:
    """A length in metres within its limits, typed in any unit; a field that still shows what was there before leaves it
    so. Raises ``Unreadable``.
    """
    try:
        metres = read_length(text, before)
        if lo <= metres <= hi:
            return metres
    except ValueError:
        pass
    least, most = limit_figures(lo, hi)
    raise Unreadable(
        of_unit(
            gettext("enter metres from %(least)s to %(most)s.", least=least, most=most),
            gettext("enter feet from %(least)s to %(most)s.", least=least, most=most),
        )
    )


def _list(key: Key, texts: tuple[str, ...]) -> tuple[str, ...]:
    if key.each and not set(texts) <= set(key.each):
        raise Unreadable(gettext("choose from the list."))
    if key.most is not None and len(texts) > key.most:
        raise Unreadable(gettext("choose at most %(most)s.", most=key.most))
    return texts


def changed(base: T, changes: Mapping[str, object]) -> T:
    """The record with its changes; parts of a nested record or of a pair are put back where they belong."""
    flat: dict[str, object] = {}
    for name, value in changes.items():
        outer, _, inner = name.partition(".")
        if inner.isdecimal():
            flat[outer] = None if value is None else (changes.get(f"{outer}.0"), changes.get(f"{outer}.1"))
        elif inner:
            flat[outer] = replace(cast("Record", flat.get(outer, getattr(base, outer))), **{inner: value})
        else:
            flat[outer] = value
    return replace(base, **flat)
