"""A paper as a person sees it, whatever it was printed on: tables under headings, and running text."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Table:
    """One table. ``under`` holds what hangs under a row, across its columns; empty where nothing does."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    under: tuple[str, ...]


@dataclass(frozen=True)
class Paper:
    """``sections``: heading -> the running text below it. ``text``: all running text, a line each, headings
    included.
    """

    tables: tuple[Table, ...]
    sections: dict[str, str]
    text: str


def squashed(text: str) -> str:
    """The text without white space and capitals: where a line breaks is the layout's business."""
    return "".join(text.split()).casefold()
