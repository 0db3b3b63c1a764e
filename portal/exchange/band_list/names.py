"""Names of people in labels: told by a column of players, or by a voice that is called after who sings."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

from portal.exchange.band_list.pasted_rows import LONGEST_LABEL, PastedRow
from portal.exchange.band_list.row_labels import WORD
from portal.exchange.band_list.words.label_words import STOPS, parsed_label, plain_tokens
from portal.exchange.band_list.words.list_words import NO_NAMES
from portal.exchange.band_list.words.reading_words import NOISE, NUMBERS, VOCABULARY, VOCAL

MOST_NAMES = 3
"""Words of one name."""

BRACKETED = re.compile(r"[(\[]\s*([^\W\d_]+)\s*[)\]]")
"""One word alone in brackets."""


def names_in(rows: Sequence[PastedRow]) -> frozenset[str]:
    """Words of the list that are names of people, in small letters: those of players, unknown ones beside a voice that
    stand apart, and those in brackets behind sources.
    """
    players = {word for row in rows for word in plain_tokens(row.of("player")[:LONGEST_LABEL]) if word.isalpha()}
    seen = Counter(word for row in rows for word in set(_capitals(row.label)))
    sung = {word for row in rows for word in _beside_a_voice(row.label, seen)}
    return frozenset(
        word
        for word in players | sung | _in_brackets(rows)
        if word not in NOISE and word not in NUMBERS and (word,) not in VOCABULARY
    )


def trade_names(rows: Sequence[PastedRow]) -> frozenset[str]:
    """Words of players' names that are words of the trade as well, in small letters."""
    return frozenset(word for row in rows for word in _trade_words(row.of("player")))


def called_as_a_thing(row: PastedRow, listed: frozenset[str]) -> frozenset[str]:
    """The words of a row's label that are its player's name, or where it has none one of ``listed``, and a word of the
    trade as well: only where the rest of the label names a source.
    """
    names = (_trade_words(row.of("player")) if row.of("player") else listed) & _capitals(row.label)
    return names if names and parsed_label(row.label[:LONGEST_LABEL], names).nouns else frozenset()


def _trade_words(name: str) -> frozenset[str]:
    return frozenset(word for word in plain_tokens(name[:LONGEST_LABEL]) if (word,) in VOCABULARY)


def _beside_a_voice(text: str, seen: Counter[str]) -> set[str]:
    label = parsed_label(text[:LONGEST_LABEL])
    voices = [found.at for found in label.nouns if found.noun and VOCAL in found.noun.kinds]
    if not voices:
        return set()
    capitals = _capitals(text)
    apart = {at for at in label.unknown if at > voices[0] or STOPS & set(label.tokens[at : voices[0]])}
    words = {label.tokens[at] for at in label.unknown if at in apart or seen[label.tokens[at]] > 1}
    return {word for word in words if word in capitals and word not in NO_NAMES}


def _in_brackets(rows: Sequence[PastedRow]) -> set[str]:
    """The unknown words with one capital letter that stand alone in brackets behind sources, where there are several:
    a single one may be anything.
    """
    labels = [row.label[:LONGEST_LABEL] for row in rows]
    words = [word for label in labels if parsed_label(label).nouns for word in BRACKETED.findall(label)]
    found = {token for word in words if word == word.capitalize() for token in plain_tokens(word)}
    unknown = {word for word in found if word not in NO_NAMES and (word,) not in VOCABULARY}
    return unknown if len(unknown) > 1 else set()


def _capitals(text: str) -> set[str]:
    """The words that begin with a capital letter, in small letters."""
    return {token for word in WORD.findall(text[:LONGEST_LABEL]) if word[0].isupper() for token in plain_tokens(word)}


def player_in(text: str, names: frozenset[str]) -> str:
    """The name in a label as it is written, empty where it has none, or more than one."""
    found: list[tuple[int, int]] = []
    for word in WORD.finditer(text):
        if "".join(plain_tokens(word[0])) not in names:
            continue
        if found and re.fullmatch(r"[\s'’-]*", text[found[-1][1] : word.start()]):
            found[-1] = (found[-1][0], word.end())
        else:
            found.append((word.start(), word.end()))
    name = text[found[0][0] : found[0][1]] if len(found) == 1 else ""
    return name if len(name.split()) <= MOST_NAMES else ""
