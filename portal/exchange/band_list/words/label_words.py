"""A label taken apart: its words, the phrases of the vocabulary among them, and what is not known."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from portal.exchange.band_list.words.reading_words import LONGEST, NOISE, NUMBERS, VOCABULARY, Word

OPENING, CLOSING = frozenset("(["), frozenset(")]")
STOPS = frozenset("|") | OPENING | CLOSING
ENDINGS = ("es", "en", "s", "n", "e")
SHORTEST_PART = 3
"""Letters of the shorter part of a compound word; shorter ones are found in half of all names."""

LONGEST_COMPOUND = 40
"""Letters of the longest word that is taken apart; the trade's longest have about half of that."""

DIACRITICS = str.maketrans({"ø": "o", "æ": "ae", "œ": "oe", "ł": "l", "đ": "d"})
"""Letters that do not part into a letter and an accent."""


@dataclass(frozen=True)
class Found:
    """A known phrase in a label: its words, its place, how deep in brackets, and whether it was written as a plural."""

    words: tuple[Word, ...]
    at: int
    depth: int
    plural: bool
    text: str

    @property
    def noun(self) -> Word | None:
        """The word that names kinds, if the phrase has one."""
        return next((word for word in self.words if word.kinds), None)


@dataclass(frozen=True)
class Label:
    """A label taken apart: known phrases, and the places of words that are not known and of those that are known for
    names of people.
    """

    tokens: tuple[str, ...]
    found: tuple[Found, ...]
    unknown: tuple[int, ...]
    named: tuple[int, ...] = ()

    def values(self, facet: str) -> tuple[str, ...]:
        """Everything that is said of a facet, once each, in order."""
        return tuple(dict.fromkeys(word.value for found in self.found for word in found.words if word.facet == facet))

    def has(self, facet: str) -> bool:
        """True where anything is said of a facet."""
        return any(word.facet == facet for found in self.found for word in found.words)

    @property
    def nouns(self) -> tuple[Found, ...]:
        """The phrases that name something."""
        return tuple(found for found in self.found if found.noun)

    @property
    def joiners(self) -> tuple[str, ...]:
        """The words and signs that stand between its phrases and belong to none of them."""
        inside = {
            at
            for found in self.found
            if " " in found.text
            for at in range(found.at, found.at + len(found.text.split()))
        }
        return tuple(token for at, token in enumerate(self.tokens) if at not in inside)

    @property
    def outside(self) -> str:
        """Which thing that is no input it names before it names a source (*wedge for the drums*), or as its last word
        (*guitar stand*).
        """
        first = min((found.at for found in self.nouns), default=len(self.tokens))
        named = {
            found.at + len(found.text.split())
            for found in self.found
            if found.noun or any(word.facet == "capture" for word in found.words)
        }
        for found in self.found:
            kind = next((word.value for word in found.words if word.facet == "outside"), "")
            if kind and not found.depth and (found.at < first or (kind == "gear" and found.at in named)):
                return kind
        return ""


def plain_tokens(text: str) -> tuple[str, ...]:
    """The words, numbers and stops of a text: NFKC, small letters, no accents; hyphens part words, a dash between
    blanks is a stop.
    """
    parted = unicodedata.normalize("NFKD", unicodedata.normalize("NFKC", text).casefold())
    text = "".join(letter for letter in parted if not unicodedata.combining(letter)).translate(DIACRITICS)
    text = re.sub(r"(?<=\w)['’`´](?=\w)", "", text).replace("×", "x")
    text = re.sub(r"\b([^\W\d_])\.(?=[^\W\d_]\b)", r"\1", text)
    text = re.sub(r"(?<!\w)(\d{1,2})\.\s?(?=[^\W\d_])", r"\1 nd ", text)
    text = re.sub(r"(?<=\d)\s*[-–]\s*(?=\d)", "~", text)
    text = re.sub(r"\s[-–—]+\s|[—–:;,]|(?<=\w{4})\.\s", " | ", text)
    return tuple(re.findall(r"[^\W\d_]+|\d+|[|()\[\]/+&#*~]", text))


@lru_cache(maxsize=4096)
def parsed_label(text: str, names: frozenset[str] = frozenset()) -> Label:
    """The label taken apart. ``names``: words that are known for names of people, in small letters."""
    tokens = plain_tokens(text)
    found: list[Found] = []
    unknown: list[int] = []
    named: list[int] = []
    depth = at = 0
    while at < len(tokens):
        token = tokens[at]
        depth += (token in OPENING) - (token in CLOSING)
        if token in names and (token,) in VOCABULARY:
            # A person who is called as a thing is.
            named.append(at)
            at += 1
            continue
        length, words, plural = _longest(tokens, at)
        if words:
            found.append(Found(words, at, depth, plural, " ".join(tokens[at : at + length])))
        elif token in names:
            named.append(at)
        elif token[0].isalpha() and token not in NOISE and token not in NUMBERS:
            unknown.append(at)
        at += max(length, 1)
    return Label(tokens, tuple(found), tuple(unknown), tuple(named))


def _longest(tokens: Sequence[str], at: int) -> tuple[int, tuple[Word, ...], bool]:
    """The longest phrase that begins here: its length, what it says, and whether it is a plural."""
    for length in range(min(LONGEST, len(tokens) - at), 0, -1):
        phrase = tuple(tokens[at : at + length])
        if phrase in VOCABULARY:
            return length, VOCABULARY[phrase], False
        words = _singular(phrase)
        if words:
            return length, words, True
    return (1, *_compound(tokens[at]))


def _singular(phrase: tuple[str, ...]) -> tuple[Word, ...]:
    for ending in ENDINGS:
        *first, last = phrase
        if last.endswith(ending) and len(last) > len(ending) + 1:
            words = VOCABULARY.get((*first, last.removesuffix(ending)), ())
            # "ins" and "outs" are no plurals of places, and a name may end like a plural: only what names a thing has
            # one.
            if any(word.kinds or word.facet in ("capture", "outside") for word in words):
                return words
    return ()


@lru_cache(maxsize=4096)
def _compound(token: str) -> tuple[tuple[Word, ...], bool]:
    """What a word grown together says, such as *akustikgitarre*; nothing where it is no such word."""
    if len(token) > LONGEST_COMPOUND:
        return (), False
    for cut in range(SHORTEST_PART, len(token) - SHORTEST_PART + 1):
        head, tail = token[:cut], token[cut:]
        for first in (head, head.removesuffix("s")):
            whole = VOCABULARY.get((first, tail), ())
            if whole:
                return whole, False
            for last, plural in (
                (tail, False),
                *((tail.removesuffix(ending), True) for ending in ENDINGS if tail.endswith(ending)),
            ):
                one, other = VOCABULARY.get((first,), ()), VOCABULARY.get((last,), ())
                named = [word for word in (*one, *other) if word.kinds]
                if (
                    one
                    and other
                    and named
                    and len(last) >= SHORTEST_PART
                    and not any(word.facet == "split" for word in (*one, *other))
                ):
                    kinds = common_kinds(named)
                    facets = tuple(word for word in (*one, *other) if word.facet)
                    if kinds:
                        return (Word(kinds, is_settled(named, kinds)), *facets), plural
    return (), False


def common_kinds(words: Sequence[Word]) -> tuple[str, ...]:
    """The kinds that every one of the words can mean, the likeliest first: the most exact word has the first say."""
    exact = min(words, key=lambda word: len(word.kinds))
    return tuple(kind for kind in exact.kinds if all(kind in word.kinds for word in words))


def is_settled(words: Sequence[Word], kinds: tuple[str, ...]) -> bool:
    """True where the first of the kinds is meant by one of the words, or only one is left."""
    return len(kinds) == 1 or any(word.settled and word.kinds[0] == kinds[0] for word in words)
