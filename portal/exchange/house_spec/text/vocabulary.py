"""Phrases of the word tables to concepts, for the languages that a text is written in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from portal.exchange.house_spec.text.lengths import NUMBER_CONCEPT
from portal.exchange.house_spec.text.scanning import NO_CONCEPTS, Token, words_of
from portal.exchange.house_spec.words import dutch, english, french, german, italian, numbers, spanish
from portal.exchange.house_spec.words.numbers import Numbers

LANGUAGES: Mapping[str, tuple[Mapping[str, str], Numbers]] = {
    "english": (english.WORDS, numbers.ENGLISH),
    "german": (german.WORDS, numbers.GERMAN),
    "french": (french.WORDS, numbers.FRENCH),
    "spanish": (spanish.WORDS, numbers.SPANISH),
    "italian": (italian.WORDS, numbers.ITALIAN),
    "dutch": (dutch.WORDS, numbers.DUTCH),
}

ENDINGS: Mapping[str, tuple[str, ...]] = {
    "english": ("s", "es"), "german": ("e", "en", "n", "er", "s", "es", "em"), "french": ("s", "x", "e", "es"),
    "spanish": ("s", "es"),
    "italian": (), "dutch": ("s", "en", "e"),
}  # fmt: skip
"""Endings by which a listed word may grow without being listed again."""

SHORTEST_GROWN = 4
"""Letters of the shortest word that may have an ending; shorter ones are whole words of their own."""

GROWN_TOGETHER = frozenset({"german", "dutch"})
"""Languages that write compound words as one."""

SHORTEST_PART, SHORTEST_COMPOUND, LONGEST_COMPOUND = 3, 8, 40
SHORTEST_HALF = 6
"""Letters of the shortest second half that is understood alone."""

SHORTEST_SLIP, LONGEST_SLIP = 7, 20
"""Letters of words in which one wrong, missing, doubled or swapped letter is looked past."""

SHARE = 0.3
"""A language counts where it explains this share of the words that the best one explains."""

MOST_TOKENS_TO_TELL = 4000
"""Tokens by which the languages of a text are told."""

HELPERS = frozenset(
    {
        "distance", "to-front", "from", "mixing", "cuts", "measured", "free", "kept", "maybe", "is", "provided",
        "ends", "audience-view",
    }
)  # fmt: skip
NAMED_INSIDE = frozenset({"front", "desk", "pa", "limiter", "box", "splitter"})
"""What a phrase of the first kind still names when a word of the second kind is part of it: "from the desk" is about
the desk.
"""

ONLY_IN_CAPITALS = {
    "di": frozenset({"di"}),
    "a": frozenset({"ampere"}),
    "t": frozenset({"phone"}),
    "m": frozenset({"phone"}),
    "wegen": frozenset({"mix"}),
    "sb": frozenset({"box"}),
}
"""What some short words mean only in capitals; small they are little words of one language or another."""

BREAKS = frozenset({"cell", "line"})
"""Ends of cells and lines, over which no phrase goes on."""

Phrase = tuple[str, ...]
_LINKS = ("", "s", "n", "en", "e")
"""What stands between the halves of a compound word."""


@dataclass(frozen=True)
class Vocabulary:
    """Phrases of some languages together. ``slips``: words with one letter left out, to the words themselves."""

    phrases: Mapping[Phrase, frozenset[str]]
    stems: Mapping[str, frozenset[str]]
    slips: Mapping[str, str]
    longest: int
    compounds: bool
    di_is_a_word: bool
    endings: tuple[str, ...]


@lru_cache(maxsize=8)
def _table(language: str) -> tuple[dict[Phrase, frozenset[str]], dict[str, frozenset[str]]]:
    phrases: dict[Phrase, frozenset[str]] = {}
    stems: dict[str, frozenset[str]] = {}
    in_words = {f"{NUMBER_CONCEPT}{value}": listed for value, listed in _numbers(LANGUAGES[language][1]).items()}
    for concept, listed in {**LANGUAGES[language][0], **in_words}.items():
        for phrase in listed.split(","):
            if phrase.rstrip().endswith("*"):
                (stem,) = words_of(phrase.strip(" *"))
                stems[stem] = stems.get(stem, NO_CONCEPTS) | {concept}
            elif words := words_of(phrase):
                phrases[words] = phrases.get(words, NO_CONCEPTS) | {concept}
    return phrases, stems


def _numbers(listed: Numbers) -> dict[int, str]:
    """Numbers to a hundred in words, those put together of tens and units among them."""
    small = [forms.strip() for forms in listed.small.split(",")]
    made = (
        {value: forms.replace("|", ", ") for value, forms in enumerate(small, start=1)}
        | listed.irregular
        | {100: listed.hundred}
    )
    for tens, word in enumerate((word.strip() for word in listed.tens.split(",")), start=2):
        if word != "-":
            made[tens * 10] = word
            for unit, forms in enumerate(small[:9], start=1):
                made.setdefault(tens * 10 + unit, listed.composed.format(ten=word, unit=forms.split("|")[0]))
    return made


@lru_cache(maxsize=64)
def vocabulary(languages: tuple[str, ...]) -> Vocabulary:
    """The languages' phrases in one: where two languages read a phrase differently, the one named first has it."""
    phrases: dict[Phrase, frozenset[str]] = {}
    stems: dict[str, frozenset[str]] = {}
    for language in reversed(languages):
        more, more_stems = _table(language)
        phrases.update(more)
        stems.update(more_stems)
    single = [phrase[0] for phrase in phrases if len(phrase) == 1 and SHORTEST_SLIP <= len(phrase[0]) <= LONGEST_SLIP]
    slips = {word[:at] + word[at + 1 :]: word for word in reversed(single) for at in range(len(word))}
    endings = tuple(dict.fromkeys(ending for language in languages for ending in ENDINGS[language]))
    return Vocabulary(
        phrases,
        stems,
        slips,
        max(map(len, phrases)),
        bool(GROWN_TOGETHER & set(languages)),
        "italian" in languages,
        endings,
    )


def languages_of(tokens: Iterable[Token]) -> tuple[str, ...]:
    """The languages that the tokens are likely written in, the likeliest first; English always among them, since the
    trade speaks it everywhere.
    """
    words = Counter(token.text for token in tokens if token.kind == "word" and len(token.text) > 1)
    known = {language: {word for phrase in _table(language)[0] for word in phrase} for language in LANGUAGES}
    shared = Counter(word for listed in known.values() for word in listed)
    scores = {
        language: sum(min(number, 5) / shared[word] for word, number in words.items() if word in listed)
        for language, listed in known.items()
    }
    best = max(scores.values())
    if best == 0:
        return tuple(LANGUAGES)
    chosen = sorted(
        (language for language, score in scores.items() if score >= SHARE * best),
        key=lambda language: -scores[language],
    )
    return tuple(dict.fromkeys([*chosen, "english"]))


def understood(tokens: Sequence[Token], words: Vocabulary) -> list[Token]:
    """The tokens with their concepts; those of a known phrase become one."""
    out: list[Token] = []
    at = 0
    while at < len(tokens):
        length, concepts = _phrase(tokens, at, words)
        if concepts:
            first, last = tokens[at], tokens[at + length - 1]
            kind = "word" if length > 1 or first.kind == "word" else first.kind
            text = " ".join(token.text for token in tokens[at : at + length])
            if length > 1 and concepts <= HELPERS:
                concepts |= (
                    frozenset().union(
                        *(words.phrases.get((token.text,), NO_CONCEPTS) for token in tokens[at : at + length])
                    )
                    & NAMED_INSIDE
                )
            out.append(Token(kind, text, first.start, last.end, first.glued, first.upper, first.row, concepts))
        elif tokens[at].kind == "word":
            out.extend(_alone(tokens[at], words))
        else:
            out.append(tokens[at])
        at += max(length, 1)
    return out


def _phrase(tokens: Sequence[Token], at: int, words: Vocabulary) -> tuple[int, frozenset[str]]:
    """Length in tokens and concepts of the longest phrase that begins here; a hyphen between two words does not part
    them.
    """
    texts: list[str] = []
    ends: list[int] = []
    place = at
    while place < len(tokens) and len(texts) < words.longest:
        token = tokens[place]
        if token.text in BREAKS and token.kind == "stop":
            break
        if not (token.text == "-" and texts and token.glued):
            texts.append(token.text)
            ends.append(place + 1 - at)
        place += 1
    for length in range(len(texts), 0, -1):
        if length == 1 and tokens[at].kind in {"sign", "stop"}:
            break
        concepts = _grown(tuple(texts[:length]), words)
        if length == 1 and not tokens[at].upper and (texts[0] != "di" or words.di_is_a_word):
            concepts -= ONLY_IN_CAPITALS.get(texts[0], NO_CONCEPTS)
        if concepts:
            return ends[length - 1], concepts
    return 1, NO_CONCEPTS


def _grown(phrase: Phrase, words: Vocabulary) -> frozenset[str]:
    found = words.phrases.get(phrase)
    if found:
        return found
    *first, last = phrase
    for ending in words.endings:
        if last.endswith(ending) and len(last) - len(ending) >= SHORTEST_GROWN:
            found = words.phrases.get((*first, last.removesuffix(ending)))
            if found:
                return found
    return NO_CONCEPTS


def _alone(token: Token, words: Vocabulary) -> Iterator[Token]:
    """A word that no phrase knows: by its stem, taken apart, or past a slip of the pen."""
    text = token.text
    for length in range(len(text), SHORTEST_GROWN, -1) if words.stems else ():
        if text[:length] in words.stems:
            token.concepts = words.stems[text[:length]]
            yield token
            return
    if words.compounds and SHORTEST_COMPOUND <= len(text) <= LONGEST_COMPOUND:
        parts = _parts(text, words)
        if parts:
            cut = token.start + min(parts[0], token.end - token.start - 1)
            yield Token("word", text[: parts[0]], token.start, cut, token.glued, token.upper, token.row, parts[1])
            yield Token("word", text[parts[0] :], cut, token.end, glued=True, row=token.row, concepts=parts[2])
            return
        if second := _second_half(text, words):
            token.concepts = second
            token.marks.add("half")
            yield token
            return
    if SHORTEST_SLIP <= len(text) <= LONGEST_SLIP and (meant := _past_slip(text, words)):
        token.concepts = words.phrases[(meant,)]
        token.marks.add("typo")
    yield token


def _parts(text: str, words: Vocabulary) -> tuple[int, frozenset[str], frozenset[str]] | None:
    """Where a compound word parts, and what its halves mean; the longest second half is tried first."""
    for cut in range(SHORTEST_PART, len(text) - SHORTEST_PART + 1):
        second = _grown((text[cut:],), words)
        if not second:
            continue
        for link in _LINKS:
            head = text[:cut].removesuffix(link)
            if text[:cut].endswith(link) and len(head) >= SHORTEST_PART and (first := words.phrases.get((head,))):
                return cut, first, second
    return None


def _second_half(text: str, words: Vocabulary) -> frozenset[str]:
    """What the second half of a compound word means, where the first is not known: it is the half that names the
    thing.
    """
    for cut in range(SHORTEST_PART, len(text) - SHORTEST_HALF + 1):
        if second := words.phrases.get((text[cut:],)):
            return second
    return NO_CONCEPTS


def _past_slip(text: str, words: Vocabulary) -> str:
    """The known word that is one slip away, or nothing."""
    if text in words.slips:
        return words.slips[text]
    for at in range(len(text)):
        shorter = text[:at] + text[at + 1 :]
        if (shorter,) in words.phrases and len(shorter) >= SHORTEST_SLIP:
            return shorter
        meant = words.slips.get(shorter)
        if meant and meant[0] == text[0]:
            return meant
    return ""
