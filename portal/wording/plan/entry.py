"""What an entry of the plan's wording is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias


@dataclass(frozen=True)
class Plural:
    """One sentence for one thing, another for several, and another for none where that is said otherwise; ``by`` is the
    slot whose things are counted.
    """

    by: str
    one: str
    many: str
    none: str = ""


Entry: TypeAlias = str | Plural
"""English with a slot for each parameter of its phrase. With a full stop it is a sentence and begins with a capital;
without one it stands inside another.
"""

Entries: TypeAlias = Mapping[str, Entry]
