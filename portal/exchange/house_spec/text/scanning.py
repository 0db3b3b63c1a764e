"""Folded text to tokens: words, numbers, signs, mail addresses and telephone numbers, each with its place in the text.

Every alternative of the pattern begins where the last token ended and has a fixed greatest length, so the work is
linear in the text.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from portal.exchange.house_spec.text.folding import fold

NO_CONCEPTS: frozenset[str] = frozenset()

STOP_WEIGHTS = {
    ",": 4,
    ";": 10,
    "(": 2,
    ")": 2,
    ":": 1,
    "/": 1,
    "-": 2,
    "cell": 1,
    "line": 4,
    ".": 12,
    "•": 10,
    "=": 1,
    "!": 12,
    "?": 12,
}
"""How far a sign sets two words apart, counted in words."""

_TOKEN = re.compile(
    r"""
      (?P<mail>[a-z0-9][a-z0-9._+-]{0,63}@[a-z0-9-]{1,63}(?:\.[a-z0-9-]{1,63}){1,4})
    | (?P<url>(?:https?://|www\.)\S{1,200})
    | (?P<phone>(?<!\d)(?:\+\d|\(?0\d|\(\d)[\d ()/.-]{5,20}\d(?!\d)
              | (?<!\d)\d{3}(?P<gap>[ .-])\d{3}(?P=gap)\d{3,4}(?!\d)
              | (?<!\d)\d{3}-\d{4}(?!\d|\s?[a-z]))
    | (?P<number>\d{1,9}(?:[.,:']\d{1,9}){0,3})
    | (?P<label>[a-f]\d{1,3}(?![^\W_]))
    | (?P<short>(?:[^\W\d_]\.[ ]?){1,3}[^\W\d_]\.(?![^\W\d_]))
    | (?P<word>[^\W\d_]{1,40}(?:'t(?![^\W\d_]))?)
    | (?P<sign>[^\s\w]|_)
    """,
    re.VERBOSE,
)
SHORTEST_PHONE = 8
"""Digits of the shortest telephone number that is taken for one (common practice, no source)."""

SEVEN_DIGITS = re.compile(r"\d{3}-\d{4}")
"""A local number as North America writes it."""

DATE = re.compile(r"\d{1,2}[./-]\d{1,2}[./-]\d{2,4}\b(?![./-]\d)")


@dataclass(slots=True)
class Token:
    """One token. ``kind``: word, number, label, sign, mail, phone, stop, or, once measured, what was measured.

    ``glued``: no blank stands before it; ``upper``: it begins with a capital. ``row``: which piece of the layout it
    stands in. What was measured stands in ``whole`` (a count, centimetres, ampere, minutes), ``parts`` (a size, a pair,
    a run) or ``said`` (a level, a band). ``marks``: *typo*, read past a slip; *half*, a compound word of which only the
    second half is known; *word*, a number in words; *unclear*, a time that may lack its half of the day; *taken*, used
    by a rule.
    """

    kind: str
    text: str
    start: int
    end: int
    glued: bool = False
    upper: bool = False
    row: int = 0
    concepts: frozenset[str] = NO_CONCEPTS
    whole: int = 0
    parts: tuple[int, ...] = ()
    said: str = ""
    marks: set[str] = field(default_factory=set)

    @property
    def weight(self) -> int:
        """How far the token sets its neighbours apart; 0 for what is no sign."""
        return STOP_WEIGHTS.get(self.text, 0) if self.kind in {"stop", "sign"} else 0

    def means(self, *concepts: str) -> bool:
        """True where the token stands for one of the concepts."""
        return not self.concepts.isdisjoint(concepts)

    def stops(self, *texts: str) -> bool:
        """True for a sign of these that parts words."""
        return self.kind == "stop" and (not texts or self.text in texts)


def scanned(text: str, start: int, end: int, row: int = 0) -> Iterator[Token]:
    """The tokens of the text from ``start`` to ``end``."""
    letters, places = fold(text[start:end])
    before, ends = -1, 0
    while match := _TOKEN.search(letters, ends):
        kind, ends = match.lastgroup or "sign", match.end()
        kind = "phone" if kind == "gap" else kind
        if kind == "phone" and not _is_phone(match.group()):
            yield from _plain(match, places, start, row)
        else:
            ends = _end_of_phone(match) if kind == "phone" else ends
            whole = letters[match.start() : ends]
            at, past = start + places[match.start()], start + places[ends - 1] + 1
            word = re.sub(r"[. ]", "", whole) if kind == "short" else whole
            yield Token(
                "word" if kind == "short" else kind,
                word,
                at,
                past,
                match.start() == before,
                kind == "short" or text[at].isupper(),
                row,
            )
        before = ends


def words_of(phrase: str) -> tuple[str, ...]:
    """The texts of a phrase's tokens, hyphens left out."""
    return tuple(token.text for token in scanned(phrase, 0, len(phrase)) if token.text != "-")


def _is_phone(text: str) -> bool:
    digits = sum(sign.isdigit() for sign in text)
    return (digits >= SHORTEST_PHONE or SEVEN_DIGITS.fullmatch(text) is not None) and not DATE.match(text)


_SETS_APART = re.compile(r"\.[ ]|[ ][/-][ ]|[ ]{2}")
"""What sets a whole telephone number apart from a number that follows."""


def _end_of_phone(match: re.Match[str]) -> int:
    """Where a telephone number ends: before what sets the next number apart, once it has the digits that one needs."""
    digits = 0
    for at, sign in enumerate(match.group()):
        digits += sign.isdigit()
        if digits >= SHORTEST_PHONE and _SETS_APART.match(match.group(), at):
            return match.start() + at
    return match.end()


_PLAIN = re.compile(r"(?P<number>\d{1,9}(?:[.,:']\d{1,9}){0,3})|(?P<sign>[^\s\d])")


def _plain(whole: re.Match[str], places: tuple[int, ...] | range, start: int, row: int) -> Iterator[Token]:
    """The numbers and signs of what looked like a telephone number and is none."""
    before = -1
    for match in _PLAIN.finditer(whole.group()):
        at, past = whole.start() + match.start(), whole.start() + match.end()
        yield Token(
            match.lastgroup or "sign",
            match.group(),
            start + places[at],
            start + places[past - 1] + 1,
            match.start() == before,
            row=row,
        )
        before = match.end()
