"""Every document once; links, previews, downloads and the print tests iterate ``DOCUMENTS``."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from portal.documents.cover import Cover
from portal.plan.words import Plan

Builder = Callable[[Plan, Cover], object]
"""Plan and cover -> the frozen dataclass that the template reads as ``sheet``."""


@dataclass(frozen=True)
class Document:
    """One kind of paper. ``template`` lies under ``templates/documents/``."""

    key: str
    title: str
    template: str
    build: Builder


_documents: dict[str, Document] = {}
DOCUMENTS: Mapping[str, Document] = MappingProxyType(_documents)


def document(key: str, *, title: str, template: str) -> Callable[[Builder], Builder]:
    """Register a builder. Raises ``ValueError`` when the key is not kebab-case or already used."""
    if re.fullmatch(r"[a-z]+(-[a-z]+)*", key) is None:
        raise ValueError(f"{key!r} is not kebab-case")
    if key in _documents:
        raise ValueError(f"{key!r} is used twice")

    def register(build: Builder) -> Builder:
        _documents[key] = Document(key, title, template, build)
        return build

    return register
