"""The process that reads a PDF: the file comes in by standard input, the text or the name of a fault goes out. Nothing
else leaves it.

The library is written in Python throughout, so a hostile file can waste time and memory, which have limits here, but
not overwrite any.
"""

from __future__ import annotations

import logging
import os
import re
import resource
import sys
from collections.abc import Iterator
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from portal.exchange.files import MOST_BYTES
from portal.exchange.house_spec.text.given import MOST_PAGES, SpecNotReadable, Unreadable

if TYPE_CHECKING:
    from pypdf import PageObject, PdfReader

MEMORY_BYTES = 600_000_000
"""Address space of the process; a house's spec needs about a tenth of it."""

PROCESSOR_S = 20
"""Processor time in seconds."""

MOST_SIGNS = 200_000
"""Signs of text that are handed back; the reader looks at fewer."""

FEWEST_LETTERS = 20
"""Letters without which a PDF has no text layer: a stray page number is none."""

SPACED_FROM = 0.5
"""Share of a page's lines with an empty one behind them from which the empty ones are only the layout's."""


def limit() -> None:
    """Bound what this process may use: memory, processor time, no file to write."""
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
    resource.setrlimit(resource.RLIMIT_CPU, (PROCESSOR_S, PROCESSOR_S))
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def text_of_pages(content: bytes) -> str:
    """The text of the pages. Raises ``SpecNotReadable``."""
    pages = list(islice(_pages(_opened(content)), MOST_PAGES + 1))
    if len(pages) > MOST_PAGES:
        raise SpecNotReadable(Unreadable.TOO_MANY_PAGES)
    texts: list[str] = []
    left = MOST_SIGNS
    for page in pages:
        text = _page(page)[:left]
        texts.append(text)
        left -= len(text)
    whole = "\f".join(texts)
    if sum(letter.isalpha() for letter in whole) < FEWEST_LETTERS:
        raise SpecNotReadable(Unreadable.NO_TEXT_LAYER)
    return whole


def _opened(content: bytes) -> PdfReader:
    from io import BytesIO

    from pypdf import PdfReader
    from pypdf.errors import DependencyError

    try:
        reader = PdfReader(BytesIO(content))
        # Many files are only locked against change, with an empty password for reading; newer locks need a library that
        # is not here.
        if reader.is_encrypted and not reader.decrypt(""):
            raise SpecNotReadable(Unreadable.LOCKED)
    except (DependencyError, NotImplementedError):
        raise SpecNotReadable(Unreadable.LOCKED) from None
    return reader


def _pages(reader: PdfReader) -> Iterator[PageObject]:
    """The pages, unless the file itself says that it has too many."""
    told = reader.root_object.get("/Pages", {}).get_object().get("/Count", 0)
    if isinstance(told, int) and told > MOST_PAGES:
        raise SpecNotReadable(Unreadable.TOO_MANY_PAGES)
    yield from reader.pages


def _page(page: PageObject) -> str:
    """A page as laid out, so that tables and columns stay apart; plain where its layout cannot be told."""
    try:
        text = page.extract_text(extraction_mode="layout")
    except (MemoryError, RecursionError):
        raise
    except Exception:  # noqa: BLE001 - a font that cannot be measured does not cost its page's text
        text = page.extract_text()
    lines = [line.rstrip() for line in text.split("\n")]
    filled = [at for at, line in enumerate(lines) if line]
    spaced = sum(1 for at in filled if at + 1 < len(lines) and not lines[at + 1])
    if filled and spaced >= SPACED_FROM * len(filled):
        lines = [line for at, line in enumerate(lines) if line or (at and not lines[at - 1])]
    return re.sub(r"\n{3,}", "\n\n", "\n".join(lines))


def main() -> None:
    """Read, answer, end."""
    limit()
    logging.disable()
    content = sys.stdin.buffer.read(MOST_BYTES + 1)
    # The library prints to the standard output where it pleases; the answer goes through a copy that it does not know.
    with os.fdopen(os.dup(1), "wb") as answers, Path(os.devnull).open("wb") as nowhere:
        os.dup2(nowhere.fileno(), 1)
        answers.write(_answer(content).encode("utf-8", "replace"))


def _answer(content: bytes) -> str:
    try:
        return "text\n" + text_of_pages(content)
    except SpecNotReadable as fault:
        return f"{fault.why}\n"
    except (MemoryError, RecursionError):
        return f"{Unreadable.TOO_MUCH_WORK}\n"
    except Exception:  # noqa: BLE001 - whatever the library says of a broken file, it cannot be read
        return f"{Unreadable.BROKEN}\n"


if __name__ == "__main__":
    main()
