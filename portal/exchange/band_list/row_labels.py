"""The labels of the rows that one label becomes: without its quantity, and with a number or a word that tells them
apart.
"""

from __future__ import annotations

import re
from collections.abc import Collection

from portal.exchange.band_list.words.label_words import ENDINGS, plain_tokens
from portal.exchange.band_list.words.reading_words import NUMBERS, VOCABULARY
from portal.plan.input.rig import MAX_LABEL

WORD = re.compile(r"[^\W\d_]+")
HEAD_END = re.compile(r"\s*[(\[,:;]|\s[-–—]\s")
_JOINER = r"[/&+,|]|\b(?:and|und|et|y|e|en|or|oder|ou|o)\b"
JOINER = re.compile(rf"\s*(?:{_JOINER})\s*", re.IGNORECASE)
_NUMBER = rf"(?:\d{{1,3}}|{'|'.join(NUMBERS)})"
QUANTITY = re.compile(
    rf"[(\[]\s*(?:[x×*]\s?)?{_NUMBER}(?:\s?[x×*])?(?:\s[^\W\d_]+)?\s*[)\]]"
    r"|(?<!\w)[x×*]\s?\d{1,3}(?!\w)"
    r"|(?<!\w)\d{1,3}\s?[x×*](?!\w)"
    r"|^\d{1,3}\s"
    r"|(?<=\w)\s\d{1,3}[\x22\u2033\u201d]?(?:\s?(?:[-–—/&+,]|and|und|et|y|e|en|to|bis)\s?\d{1,3}[\x22\u2033\u201d]?)+(?=\s?(?:$|[(\[]))",
    re.IGNORECASE,
)


def without_quantity(label: str) -> str:
    """The label without *3*, *x3*, *(3)*, *(2 mics)*, *1-3* or *three*; as it is where nothing else stands in it."""
    parted = QUANTITY.sub(" ", label)
    parted = WORD.sub(lambda word: "" if word[0].casefold() in NUMBERS else word[0], parted)
    return tidied(parted) or label


def singular(label: str) -> str:
    """The label with each plural of the vocabulary as one: *backing vocals* is *backing vocal*."""
    return WORD.sub(lambda word: _one(word[0]), label)


def _one(word: str) -> str:
    plain = "".join(plain_tokens(word))
    known = VOCABULARY.get((plain,), ())
    for ending in sorted(ENDINGS, key=len):
        if not plain.endswith(ending) or len(plain) < len(ending) + 2 or len(plain) != len(word):
            continue
        one = VOCABULARY.get((plain.removesuffix(ending),), ())
        same = any(said.facet == "capture" for said in one) and (
            not known or any(said.facet == "capture" for said in known)
        )
        if same or (not known and any(said.kinds for said in one)):
            return word[: -len(ending)]
    return word


def without_words(label: str, tokens: Collection[str]) -> str:
    """The label without these words (small letters), and without what joined them."""
    label = re.sub(r"\bD\.\s?I\b\.?", "DI", label, flags=re.IGNORECASE)
    return tidied(WORD.sub(lambda word: "" if "".join(plain_tokens(word[0])) in tokens else word[0], label)) or label


def as_written(label: str, word: str) -> str:
    """The word (small letters) as the label has it; as it is where the label has it not."""
    return next((found for found in WORD.findall(label) if "".join(plain_tokens(found)) == word), word)


def tidied(label: str) -> str:
    """The label without brackets that hold nothing and without joiners at its ends or before a bracket; empty where no
    word is left.
    """
    label = re.sub(rf"[(\[](?:\s|{_JOINER})*[)\]]", " ", label, flags=re.IGNORECASE)
    label = " ".join(label.split())
    label = re.sub(
        r"(?:\s?[/&+,:;|]|\s(?:and|und|et|y|e|en|or|oder|ou|o)\b)+(?=\s?[(\[]|$)|^(?:[/&+,:;|]\s?)+", "", label
    )
    label = re.sub(r"\s?[-–—]$|\s(?=[,:;)\]])", "", label).strip()
    return label if WORD.search(label) else ""


def with_word(label: str, word: str) -> str:
    """The label with a number or a word at the end of its first part: *Tom mic 2, clip-on*; cut where it would be too
    long.
    """
    end = HEAD_END.search(label, 1) if label else None
    head, tail = (label[: end.start()], label[end.start() :]) if end else (label, "")
    head = head[: MAX_LABEL - len(word) - 3].rstrip()
    told = f"({word})" if word.isdecimal() and head[-1:].isdecimal() else word
    return f"{head} {told}{tail}"[:MAX_LABEL].rstrip()


def pieces(label: str) -> tuple[str, ...]:
    """What the label names one by one, where words such as *and* join it; one piece where nothing joins."""
    return tuple(piece.strip() for piece in JOINER.split(label) if piece.strip())
