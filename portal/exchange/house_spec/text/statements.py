"""Rows to statements: a sentence, a bullet or a row of a table as tokens, with the words of the headings it stands
under.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from portal.exchange.house_spec.text.forms import filled_in
from portal.exchange.house_spec.text.layout import Row, Span, rows
from portal.exchange.house_spec.text.measuring import measured
from portal.exchange.house_spec.text.scanning import Token, scanned
from portal.exchange.house_spec.text.vocabulary import (
    MOST_TOKENS_TO_TELL,
    Vocabulary,
    languages_of,
    understood,
    vocabulary,
)

MOST_TOKENS = 100
"""Tokens of one statement; a longer sentence is cut, so that looking around in it stays cheap."""

LONGEST_SHORTENED = 4
"""Letters of the longest word that is taken for a shortened one when a small letter goes on behind its full stop."""

LONGEST_HEADING = 7
"""Words of the longest line that can be a heading."""

HEADING_COST, LABEL_COST = 30, 8
"""How far a heading's word, and a row's label, are from everything below and beside them, counted in words."""

NUMBERING = re.compile(r"\s*(?:[IVX]{1,5}[.)]|\d{1,2}(?:\.\d{1,2}){1,3}[.)]?|\d{1,2}[.)]|[A-Za-z][.)]|#{1,4})\s+(?=\D)")
BARE_NUMBER = re.compile(r"\s*(\d{1,2})\s+(?=\D)")
ABBREVIATIONS = frozenset(
    {
        "max", "min", "ca", "approx", "n", "kan", "can", "chan", "esc", "alt", "art", "afm", "env", "tel", "no", "nr",
        "st", "ch", "in", "bzw",
        "ggf", "inkl", "evtl", "zb", "ej", "aprox", "ing", "tfno", "pers", "bv", "incl", "excl", "est", "resp", "mr",
        "mrs", "herr", "frau", "sr",
        "sra", "dott", "bijv", "evt", "mob",
    }
)  # fmt: skip
"""Words after which a full stop ends no sentence."""


@dataclass
class Statement:
    """What is read at once. ``context``: concepts of the label above, the heading, the heading above that, the nearest
    first.
    """

    tokens: list[Token]
    context: tuple[frozenset[str], ...] = ()
    torn: bool = False
    heading: bool = False
    number: int = 0
    understood: bool = False
    before: Statement | None = None

    def __post_init__(self) -> None:
        """Sum up how far the signs set the tokens apart, and find where the label ends."""
        self._far = [0]
        for token in self.tokens:
            apart = 3 if "and" in token.concepts else token.weight
            self._far.append(self._far[-1] + apart)
        self.label_end = next(
            (at for at, token in enumerate(self.tokens[:8]) if token.kind == "stop" and token.text in {":", "cell"}), -1
        )

    def has(self, *concepts: str) -> bool:
        """True where one of the concepts stands in the statement itself."""
        return any(not token.concepts.isdisjoint(concepts) for token in self.tokens)

    def has_kind(self, *kinds: str) -> bool:
        """True where something of one of the kinds was measured in the statement."""
        return any(token.kind in kinds for token in self.tokens)

    def about(self, *concepts: str) -> bool:
        """True where one of the concepts stands in the statement or above it."""
        return self.has(*concepts) or any(not above.isdisjoint(concepts) for above in self.context)

    def places(self, *concepts: str) -> list[int]:
        """Where the concepts stand."""
        return [at for at, token in enumerate(self.tokens) if not token.concepts.isdisjoint(concepts)]

    def apart(self, one: int, other: int) -> int:
        """How far two tokens stand apart, signs between them counted."""
        low, high = min(one, other), max(one, other)
        far = high - low + self._far[high] - self._far[low]
        return min(far, LABEL_COST + self.commas(self.label_end, high)) if low < self.label_end < high else far

    def commas(self, low: int, high: int) -> int:
        """Commas and the like between two places."""
        return sum(1 for token in self.tokens[low + 1 : high] if token.kind == "stop" and token.text in {",", ";", "-"})

    def nearest(self, place: int, concepts: Iterable[str]) -> tuple[str, int, int]:
        """The concept that stands nearest, how far, and where; above the statement, -1; ("", 999, -1) where there is
        none.
        """
        wanted = frozenset(concepts)
        best = ("", 999, -1)
        for at, token in enumerate(self.tokens):
            here = token.concepts & wanted
            if here and at != place:
                far = self.apart(place, at) + (2 if at > place else 0)
                if far < best[1]:
                    best = (min(here), far, at)
        for level, above in enumerate(self.context):
            far = HEADING_COST + 10 * level
            if above & wanted and far < best[1]:
                best = (min(above & wanted), far, -1)
        return best

    def near(self, place: int, far: int, *concepts: str) -> bool:
        """True where one of the concepts stands at most so far away, in the statement itself."""
        found = self.nearest(place, concepts)
        return found[2] >= 0 and found[1] <= far


def statements(text: str) -> list[Statement]:
    """The statements of a text in reading order, headings among them."""
    laid = list(rows(text))
    raw = [list(_raw(text, row, number)) for number, row in enumerate(laid)]
    words = vocabulary(languages_of(_first_tokens(raw)))
    made: list[Statement] = []
    headings = _Headings()
    pending: list[Token] = []
    torn = False
    for number, (row, tokens) in enumerate(zip(laid, raw, strict=True)):
        after = laid[number + 1] if number + 1 < len(laid) else None
        if not pending and (_is_heading(text, row, after) or headings.counts_on(text, row, after)):
            ready = measured(understood(_unnumbered(tokens), words))
            headings.enter(ready, text[slice(*row.cells[0])])
            made.append(Statement(ready, heading=True))
            continue
        if row.first and not row.bullet:
            headings.leave()
        _add_line(pending, tokens)
        torn = torn or row.torn
        if row.goes_on:
            continue
        context = (*_labels(text, row, words), *headings.context)
        for part in filled_in(pending):
            made.extend(_stated(part, context, words, torn=torn))
        pending, torn = [], False
    for number, statement in enumerate(made):
        statement.number = number
    return made


def _stated(
    tokens: list[Token], context: tuple[frozenset[str], ...], words: Vocabulary, *, torn: bool
) -> Iterator[Statement]:
    """The sentences of a row or paragraph: each knows the one before, and all of them the label that the first begins
    with.
    """
    before: Statement | None = None
    for part in _sentences(tokens, words):
        statement = Statement(part, context, torn, before=before)
        if before is None and statement.label_end >= 0:
            label = frozenset().union(*(token.concepts for token in part[: statement.label_end]))
            context = (label, *context) if label else context
        yield statement
        before = statement


def _first_tokens(raw: Sequence[Sequence[Token]]) -> list[Token]:
    first: list[Token] = []
    for tokens in raw:
        first.extend(tokens)
        if len(first) > MOST_TOKENS_TO_TELL:
            break
    return first


def _raw(text: str, row: Row, number: int) -> list[Token]:
    tokens: list[Token] = []
    for cell in row.cells:
        if tokens:
            tokens.append(Token("stop", "cell", cell[0], cell[0], row=number))
        own = list(scanned(text, *cell, row=number))
        # "Capacity      : 300" parts its label twice.
        tokens.extend(own[1:] if tokens and own and own[0].text == ":" else own)
    numbered = (
        len(tokens) > 2  # noqa: PLR2004 - a row of two
        and tokens[0].kind in {"number", "word"}
        and len(tokens[0].text) <= 2  # noqa: PLR2004 - a row of two
        and tokens[1].text in {".", ")"}
    )
    # "3. " and "a) " number a list; "3.5 m" has its point glued on both sides and is one number.
    return (
        tokens[2:] if numbered and tokens[1].glued and not tokens[2].glued and not tokens[2].text.isdigit() else tokens
    )


def _add_line(pending: list[Token], line: list[Token]) -> None:
    """Put a line's tokens behind those of the lines that go on in it; a word parted at the end of its line is made
    whole.
    """
    parted = len(pending) > 1 and pending[-1].text == "-" and pending[-1].glued and pending[-2].kind == "word"
    if parted and line and line[0].kind == "word" and not line[0].upper:
        first, rest = pending[-2], line[0]
        pending[-2:] = [
            Token("word", first.text + rest.text, first.start, rest.end, first.glued, first.upper, first.row)
        ]
        line = line[1:]
    pending.extend(line)


def _labels(text: str, row: Row, words: Vocabulary) -> tuple[frozenset[str], ...]:
    found = []
    for span in reversed(row.labels):
        tokens = understood(list(scanned(text, *span)), words)
        found.append(frozenset().union(*(token.concepts for token in tokens)))
    return tuple(found)


def _sentences(tokens: list[Token], words: Vocabulary) -> Iterator[list[Token]]:
    """The tokens of each sentence, known and measured."""
    part: list[Token] = []
    for at, token in enumerate(tokens):
        if token.kind == "sign":
            token.kind = "stop" if token.weight else "sign"
        if token.stops(".") and at and _abbreviated(tokens, at - 1):
            continue
        part.append(token)
        if len(part) >= MOST_TOKENS or _ends(tokens, at):
            yield measured(understood(part, words))
            part = []
    if part:
        yield measured(understood(part, words))


def _ends(tokens: Sequence[Token], at: int) -> bool:
    token = tokens[at]
    if token.text in {";", "•", "!", "?"} and token.kind == "stop":
        return True
    if token.text != "." or token.kind != "stop" or at + 1 == len(tokens):
        return False
    after = tokens[at + 1]
    return not after.glued and not (at and _abbreviated(tokens, at - 1)) and after.kind != "stop"


def _abbreviated(tokens: Sequence[Token], at: int) -> bool:
    """True for a word that a full stop shortens: a known one, or a single letter that is no unit of the number before
    it.
    """
    word = tokens[at]
    letter = len(word.text) == 1 and not (at and tokens[at - 1].kind == "number")
    after = tokens[at + 2] if at + 2 < len(tokens) else None
    shortened = (
        len(word.text) <= LONGEST_SHORTENED
        and not (at and tokens[at - 1].kind == "number")
        and after is not None
        and not after.upper
    )
    return word.kind == "word" and (
        word.text in ABBREVIATIONS or letter or (shortened and after is not None and after.kind == "word")
    )


def _unnumbered(tokens: list[Token]) -> list[Token]:
    """A heading without its number."""
    at = next((at for at, token in enumerate(tokens) if token.kind in {"word", "mail"}), 0)
    return tokens[at:]


class _Headings:
    """The heading that holds, and the numbered or capital one above it."""

    def __init__(self) -> None:
        self.context: tuple[frozenset[str], ...] = ()
        self._level = 0
        self._weak = False
        self._number = 0

    def enter(self, tokens: Sequence[Token], text: str) -> None:
        concepts = frozenset().union(*(token.concepts for token in tokens))
        numbering = NUMBERING.match(text)
        level = (
            1
            if BARE_NUMBER.match(text)
            else (
                numbering.group().count(".", 0, len(numbering.group().rstrip(" .)"))) + 1
                if numbering
                else 1
                if text.isupper()
                else 3
            )
        )
        above = self.context[-1:] if level > 1 and self.context and self._level <= level else ()
        self.context = (concepts, *above) if level > 1 else (concepts,)
        self._level = min(level, self._level) if level == 3 and above else level  # noqa: PLR2004
        self._weak = level == 3 and not above  # noqa: PLR2004

    def counts_on(self, text: str, row: Row, after: Row | None) -> bool:
        """True for a line between empty ones whose bare number counts the headings on: "2 Capacity" after "1
        General".
        """
        line = text[slice(*row.cells[0])]
        bare = BARE_NUMBER.match(line)
        alone = row.first and after is not None and after.first and len(row.cells) == 1 and not row.bullet
        if (
            not bare
            or not alone
            or int(bare[1]) != self._number + 1
            or len(line.split()) > LONGEST_HEADING
            or re.search(r"\d", line[bare.end() :])
        ):
            return False
        self._number += 1
        return True

    def leave(self) -> None:
        """An empty line ends what a weak heading, such as "Monitors:", holds for."""
        if self._weak:
            self.context, self._weak, self._level = (), False, 0


def _is_heading(text: str, row: Row, after: Row | None) -> bool:
    if len(row.cells) != 1 or after is None:
        return False
    line = text[slice(*row.cells[0])].strip()
    plain = NUMBERING.sub("", line)
    words = plain.split()
    if not words or len(words) > LONGEST_HEADING or row.goes_on:
        return False
    if line.endswith((":", "?")):
        return True
    if row.bullet or re.search(r"[\d.,;!?@]|: ", plain):
        return False
    if NUMBERING.match(line) or plain.isupper():
        return True
    return row.first and not after.first and len(words) <= 4 and plain[0].isupper()  # noqa: PLR2004


def words_between(statement: Statement, places: Iterable[int]) -> Span:
    """From the first to the last of some tokens; in columns, only as far as they stand on one line."""
    tokens = [statement.tokens[place] for place in places if 0 <= place < len(statement.tokens)]
    if statement.torn:
        tokens = [token for token in tokens if token.row == tokens[0].row]
    return min(token.start for token in tokens), max(token.end for token in tokens)
