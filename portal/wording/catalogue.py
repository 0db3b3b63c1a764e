"""Texts in the reader's language. The code says them in English; a catalogue beside this file says them in another."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from gettext import GNUTranslations, NullTranslations
from io import BytesIO
from pathlib import Path

ENGLISH = "en"
FOLDER = Path(__file__).parent / "locale"
"""``<language>/LC_MESSAGES/portal.po`` below it: one catalogue a language, read when it is first asked for."""

EVERYBODY_S = frozenset({ENGLISH})
"""The languages in which the band's side is said too. Every other one says what the house reads, and nobody is shown a
page that is half English.
"""

_reader: ContextVar[str] = ContextVar("reader", default=ENGLISH)


@cache
def languages() -> tuple[str, ...]:
    """The languages that there are, English first."""
    return (ENGLISH, *sorted(file.parent.parent.name for file in FOLDER.glob("*/LC_MESSAGES/portal.po")))


@cache
def everybody_s() -> tuple[str, ...]:
    """The languages that both sides read, English first."""
    return tuple(one for one in languages() if one in EVERYBODY_S)


def language() -> str:
    """The reader's language, as HTML and HTTP name it: "de"."""
    return _reader.get()


@contextmanager
def read_in(name: str) -> Iterator[None]:
    """Say everything inside in a language; in English where it has no catalogue."""
    before = _reader.set(name if name in languages() else ENGLISH)
    try:
        yield
    finally:
        _reader.reset(before)


@cache
def own_name(name: str) -> str:
    """What a language is called in itself: "Deutsch"."""
    from babel import Locale

    called = Locale(name).get_display_name() or name
    return called[:1].upper() + called[1:]


def preferred(known: Sequence[str], accepted: str, *chosen: str) -> str:
    """The first of the chosen languages that is known, else the best of an ``Accept-Language`` header, else English."""
    for one in chosen:
        if one in known:
            return one
    weighed: list[tuple[float, str]] = []
    for part in accepted.split(",")[:20]:  # a browser sends fewer; a header made to cost time ends here
        name, _, weight = part.partition(";")
        try:
            weighed.append((float(weight.strip().removeprefix("q=") or 1), name.strip().lower().partition("-")[0]))
        except ValueError:
            continue
    best = sorted((one for one in weighed if one[0] > 0), key=lambda one: -one[0])
    return next((name for _, name in best if name in known), ENGLISH)


@cache
def _catalogue(name: str) -> NullTranslations:
    if name == ENGLISH:
        return NullTranslations()
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po

    compiled = BytesIO()
    with (FOLDER / name / "LC_MESSAGES" / "portal.po").open("rb") as file:
        write_mo(compiled, read_po(file, locale=name))
    compiled.seek(0)
    return GNUTranslations(compiled)


def look_up(text: str) -> str:
    """A text without slots in the reader's language; as it is where the catalogue lacks it."""
    return _catalogue(_reader.get()).gettext(text) if text else ""


def look_up_count(one: str, many: str, number: int) -> str:
    """The text for a count, its slots still empty."""
    return _catalogue(_reader.get()).ngettext(one, many, number)


def look_up_meant(meaning: str, text: str) -> str:
    """A text whose English has another meaning elsewhere, without slots."""
    return _catalogue(_reader.get()).pgettext(meaning, text)


def gettext(text: str, /, **slots: object) -> str:
    """A text in the reader's language; ``%(name)s`` is a slot and a percent sign is doubled."""
    return look_up(text) % slots


def ngettext(one: str, many: str, count: int, /, **slots: object) -> str:
    """The text for a count, which is the slot ``%(num)s``; it chooses a whole sentence."""
    return look_up_count(one, many, count) % {"num": count, **slots}


def pgettext(meaning: str, text: str, /, **slots: object) -> str:
    """A text whose English has another meaning elsewhere."""
    return look_up_meant(meaning, text) % slots


def mark(text: str) -> str:
    """The English text itself, marked to be translated: for what is written once and looked up when it is shown."""
    return text


class Words(Mapping[str, str]):
    """Words by key, each marked, that are looked up in the reader's language whenever they are read."""

    def __init__(self, english: Mapping[str, str]) -> None:
        self.english = english

    def __getitem__(self, key: str) -> str:
        """The words in the reader's language."""
        return look_up(self.english[key])

    def __iter__(self) -> Iterator[str]:
        """Iterate over the keys."""
        return iter(self.english)

    def __len__(self) -> int:
        """Count the keys."""
        return len(self.english)
