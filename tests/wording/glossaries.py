"""A language's glossary: one English term of the trade a line, what it is called there, and who says so."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from babel.messages.catalog import Catalog

from tests.wording.texts import NO_WORDS, texts_of

HEAD = ["english", "translation", "forms", "source"]


@dataclass(frozen=True)
class Term:
    """A term; ``english`` finds it in a text, one or several, and ``forms`` every form of its translation."""

    words: str
    english: re.Pattern[str]
    forms: re.Pattern[str]


def rows(file: Path) -> list[list[str]]:
    """The lines of a glossary, its head first."""
    with file.open(encoding="utf-8", newline="") as opened:
        return list(csv.reader(opened, delimiter="\t", quoting=csv.QUOTE_NONE))


def faults(lines: list[list[str]]) -> list[str]:
    """What is wrong with a glossary itself: its head, an empty cell, a term said twice, forms that do not find the
    translation.
    """
    said = [] if lines[:1] == [HEAD] else [f"head: {lines[:1]}"]
    known: set[str] = set()
    for row in lines[1:]:
        if len(row) != len(HEAD) or not all(cell.strip() == cell != "" for cell in row):
            said.append(f"cells: {row}")
            continue
        english, translation, forms, _source = row
        if english.lower() in known:
            said.append(f"twice: {english}")
        known.add(english.lower())
        try:
            found = re.search(forms, translation, re.IGNORECASE)
        except re.error as error:
            said.append(f"forms: {english}: {error}")
        else:
            said += [] if found else [f"forms: {english}: not in {translation}"]
    return said


def terms(lines: list[list[str]]) -> list[Term]:
    """The terms of a glossary, the longest first."""
    return [
        Term(
            english,
            re.compile(rf"(?<![\w-]){re.escape(english)}(?:e?s)?(?![\w-])", re.IGNORECASE),
            re.compile(forms, re.IGNORECASE),
        )
        for english, _, forms, _ in sorted(lines[1:], key=lambda row: -len(row[0]))
    ]


def unlike(found: Catalog, known: list[Term]) -> Iterator[str]:
    """Each term that stands in an English text and has none of its forms in the translation. A term inside a longer
    one is the longer one's.
    """
    for message in found:
        if not message.id:
            continue
        english = texts_of(message)
        theirs = message.string if isinstance(message.string, tuple) else (message.string,)
        if not all(theirs):
            continue
        left, said = NO_WORDS.sub(" ", " ".join(english)), NO_WORDS.sub(" ", " ".join(theirs))
        for term in known:
            left, times = term.english.subn(" ", left)
            if times and not term.forms.search(said):
                yield f"{term.words}: {english[0]} = {theirs[0]}"
