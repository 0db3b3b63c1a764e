"""Sizes of paper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True)
class PaperSize:
    """A size of paper, upright, in millimetres."""

    name: str
    width_mm: float
    height_mm: float

    @property
    def css(self) -> str:
        """What the stylesheet calls it."""
        return self.name.lower()


A4 = PaperSize("A4", 210.0, 297.0)
"""ISO 216."""

LETTER = PaperSize("Letter", 215.9, 279.4)
"""8.5 by 11 inches, the size of the United States."""

SIZES: Mapping[str, PaperSize] = MappingProxyType({size.name: size for size in (A4, LETTER)})
