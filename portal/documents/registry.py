"""Every document once; links, previews, downloads and the print tests iterate ``DOCUMENTS``."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TypeVar

from portal.documents.cover import Cover
from portal.documents.table import Table
from portal.plan.model import Plan
from portal.wording.catalogue import mark

Sheet = TypeVar("Sheet")

FORMATS: Mapping[str, str] = MappingProxyType(
    {
        "pdf": "application/pdf",
        "csv": "text/csv; charset=utf-8",
        "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        "json": "application/json",
        "html": "text/html; charset=utf-8",
        "ics": "text/calendar; charset=utf-8",
    }
)
"""Ending of a file -> what the browser is told of it."""


@dataclass(frozen=True)
class Document:
    """One kind of paper or file. ``title`` and ``purpose``, one short line, are marked and looked up when they are
    shown; ``formats`` are keys of ``FORMATS``.

    ``template`` lies under ``templates/print/`` and reads what ``build`` makes as ``sheet``; a file that is no
    paper has neither. ``wide`` papers lie on their side. ``signed`` papers show who signed, and are kept as bytes once
    somebody did. ``table`` makes the rows of the CSV and XLSX form.
    """

    key: str
    title: str
    purpose: str
    formats: tuple[str, ...]
    template: str = ""
    wide: bool = False
    signed: bool = False
    build: Callable[[Plan, Cover], object] | None = None
    table: Callable[[Plan, Cover], Table] | None = None


_documents: dict[str, Document] = {}
DOCUMENTS: Mapping[str, Document] = MappingProxyType(_documents)


def register(entry: Document) -> None:
    """Add a document. Raises ``ValueError`` when the key is not kebab-case or already used, or a format has no
    maker.
    """
    if re.fullmatch(r"[a-z]+(-[a-z]+)*", entry.key) is None:
        raise ValueError(f"{entry.key!r} is not kebab-case")
    if entry.key in _documents:
        raise ValueError(f"{entry.key!r} is used twice")
    if not set(entry.formats) <= set(FORMATS) or ("pdf" in entry.formats) != bool(entry.template and entry.build):
        raise ValueError(f"{entry.key!r} promises a format that nothing makes")
    _documents[entry.key] = entry


def document(  # noqa: PLR0913 - one keyword per field of a document
    key: str,
    *,
    title: str,
    purpose: str,
    template: str,
    formats: tuple[str, ...] = ("pdf",),
    wide: bool = False,
    signed: bool = False,
    table: Callable[[Plan, Cover], Table] | None = None,
) -> Callable[[Callable[[Plan, Cover], Sheet]], Callable[[Plan, Cover], Sheet]]:
    """Register a builder: plan and cover -> the frozen dataclass that the template reads as ``sheet``. Raises
    ``ValueError`` as ``register``.
    """

    def keep(build: Callable[[Plan, Cover], Sheet]) -> Callable[[Plan, Cover], Sheet]:
        register(Document(key, title, purpose, formats, template, wide, signed, build, table))
        return build

    return keep


register(
    Document(
        "plan-data",
        mark("The whole plan as data"),
        mark("Every fact, for other software; nothing is lost on the way back."),
        ("json", "csv"),
    )
)
