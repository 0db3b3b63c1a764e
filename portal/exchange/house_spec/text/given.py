"""What a house gives, text or PDF, as text."""

from __future__ import annotations

from enum import StrEnum

from portal.exchange.faults import Fault, NotReadable
from portal.exchange.files import MOST_BYTES

PDF_MARK = b"%PDF-"
MARK_WITHIN = 1024
"""Bytes at the start of a file among which a PDF says that it is one (ISO 32000-1, implementation note 13; from memory,
not verified).
"""

MOST_PAGES = 40
"""Pages of the longest PDF that is read; a house's spec has a tenth of them."""


class Unreadable(StrEnum):
    """Why nothing could be read."""

    TOO_LARGE = "too large"
    EMPTY = "empty"
    NO_TEXT_FILE = "no text file"
    BROKEN = "broken"
    LOCKED = "locked"
    TOO_MANY_PAGES = "too many pages"
    NO_TEXT_LAYER = "no text layer"
    TOO_MUCH_WORK = "too much work"


_SENTENCES = {
    Unreadable.TOO_LARGE: ("a file of at most 2 MB", "a larger one"),
    Unreadable.EMPTY: ("some text", "nothing"),
    Unreadable.NO_TEXT_FILE: ("a text or a PDF", "another kind of file; copy its text and paste it"),
    Unreadable.BROKEN: ("a PDF that can be opened", "a damaged one; copy its text and paste it"),
    Unreadable.LOCKED: (
        "a PDF without a password",
        "a locked one; save it without its password, or copy its text and paste it",
    ),
    Unreadable.TOO_MANY_PAGES: (
        f"a PDF of at most {MOST_PAGES} pages",
        "a longer one; keep the pages about the stage and the sound",
    ),
    Unreadable.NO_TEXT_LAYER: ("a PDF with text in it", "pictures of pages only; type the text, or paste it"),
    Unreadable.TOO_MUCH_WORK: (
        "a PDF that can be read in a few seconds",
        "one that takes too long; copy its text and paste it",
    ),
}


class SpecNotReadable(NotReadable):
    """A file that no spec can be read from. ``why`` is the kind of fault, ``faults`` its sentence."""

    def __init__(self, why: Unreadable) -> None:
        self.why = why
        super().__init__([Fault("", *_SENTENCES[why])])


def text_of(content: bytes) -> str:
    """The text of a text file or a PDF, whatever its name says. Raises ``SpecNotReadable``."""
    if len(content) > MOST_BYTES:
        raise SpecNotReadable(Unreadable.TOO_LARGE)
    if PDF_MARK in content[:MARK_WITHIN]:
        from portal.exchange.house_spec.text.pdf_text import pdf_text

        return pdf_text(content)
    text = _decoded(content)
    if not text.strip():
        raise SpecNotReadable(Unreadable.EMPTY)
    return text


def _decoded(content: bytes) -> str:
    """UTF-8, UTF-16 with a byte order mark, else the letters of Western Europe, in which old text files are written."""
    wide = content.startswith((b"\xff\xfe", b"\xfe\xff"))
    for encoding in ("utf-16",) if wide else ("utf-8-sig", "cp1252"):
        try:
            text = content.decode(encoding)
        except UnicodeDecodeError:
            continue
        if not any(sign < " " and sign not in "\t\n\r\f\v" for sign in text):
            return text
    raise SpecNotReadable(Unreadable.NO_TEXT_FILE)
