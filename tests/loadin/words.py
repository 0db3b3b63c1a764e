"""What a PDF shows: words with their places, and ruled lines. Points from the lower left corner of each page."""

from __future__ import annotations

import ctypes
from dataclasses import dataclass

import pypdfium2
import pypdfium2.raw as pdfium

SAME_LINE = 2.0
"""Letters whose feet lie this close stand on one line of text."""

LETTER_GAP = 1.0
"""A wider gap between two letters parts two words."""

BROKEN = "\x02"
"""What the reader gives for a hyphen at the end of a line."""

THIN = 4.0
"""A drawn box no thicker than this is a rule."""


@dataclass(frozen=True)
class Word:
    """One word and its box; ``bottom`` to ``top`` is the height of its type."""

    text: str
    left: float
    bottom: float
    right: float
    top: float

    @property
    def middle(self) -> float:
        return (self.left + self.right) / 2

    @property
    def height(self) -> float:
        return self.top - self.bottom


@dataclass(frozen=True)
class Rule:
    """A piece of a ruled line: lying, ``start`` to ``end`` along the page at height ``at``; standing, the other way
    round.
    """

    start: float
    end: float
    at: float


@dataclass(frozen=True)
class Page:
    """One page: its words in the order in which they are written, and its rules."""

    words: tuple[Word, ...]
    lying: tuple[Rule, ...]
    standing: tuple[Rule, ...]


def read_pages(content: bytes) -> tuple[Page, ...]:
    """Every page of a PDF."""
    with pypdfium2.PdfDocument(content) as document:
        return tuple(_page(page) for page in document)


def _page(page: pypdfium2.PdfPage) -> Page:
    lying, standing = [], []
    for left, bottom, right, top in _shapes(page):
        if top - bottom <= THIN < right - left:
            lying.append(Rule(left, right, (bottom + top) / 2))
        elif right - left <= THIN < top - bottom:
            standing.append(Rule(bottom, top, (left + right) / 2))
    return Page(tuple(_words(page)), tuple(lying), tuple(standing))


def _shapes(page: pypdfium2.PdfPage) -> list[tuple[float, float, float, float]]:
    """The bounds of everything drawn."""
    found = []
    for number in range(pdfium.FPDFPage_CountObjects(page)):
        shape = pdfium.FPDFPage_GetObject(page, number)
        if pdfium.FPDFPageObj_GetType(shape) == pdfium.FPDF_PAGEOBJ_PATH:
            sides = [ctypes.c_float() for _ in range(4)]
            pdfium.FPDFPageObj_GetBounds(shape, *sides)
            found.append(tuple(side.value for side in sides))
    return found


def _words(page: pypdfium2.PdfPage) -> list[Word]:
    text = page.get_textpage()
    words: list[Word] = []
    open_word = False
    for index in range(text.count_chars()):
        letter = chr(pdfium.FPDFText_GetUnicode(text, index)).replace(BROKEN, "-")
        if letter.isspace() or not letter.isprintable():
            open_word = False
            continue
        left, bottom, right, top = text.get_charbox(index, loose=True)
        last = words[-1] if open_word else None
        if last and abs(last.bottom - bottom) < SAME_LINE and -SAME_LINE < left - last.right < LETTER_GAP:
            words[-1] = Word(last.text + letter, last.left, min(last.bottom, bottom), right, max(last.top, top))
        else:
            words.append(Word(letter, left, bottom, right, top))
        open_word = True
    return words
