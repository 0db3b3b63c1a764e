"""What a row of the cut list is said with: one thing that is given up, and what is done for it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from portal.plan.phrase import COMMAS, SEMICOLONS, Listed, Phrase, Value

OVER_THE_LINK = Phrase("over-the-link")

EARLIER = frozenset(
    {
        "on-its-own-line-again",
        "on-the-line-that-is-left",
        "on-a-line-that-is-free",
        "into-the-ways-of",
        "into-loom-ways",
        "into-loom-ways.one",
    }
)
"""Keys that rows of engine 9 and older hold, and no new row: their sentences stay."""


@dataclass(frozen=True)
class Clause:
    """One thing that is given up, how it is done, and the keys of its sources. Two with the same ``what`` are one.
    ``done`` says it with the means, ``closing`` stands behind a colon. ``leaves`` is the label of a source that goes to
    the house no more, and ``stays`` where it stays: ears-only or not-plugged. ``is_mix``: it says where every source is
    beside the band's own mix.
    """

    what: Phrase
    how: tuple[Phrase, ...] = ()
    sources: frozenset[str] = frozenset()
    closing: Phrase | None = None
    done: Phrase | None = None
    leaves: str = ""
    stays: str = ""
    is_mix: bool = False

    @property
    def said(self) -> Phrase:
        """Both as one clause."""
        return closed(with_how(self.done or self.what, *self.how), self.closing)


def with_how(what: Phrase, *how: Phrase) -> Phrase:
    """What is done, and how."""
    return _these((what, *how), COMMAS)


def closed(said: Phrase, closing: Phrase | None) -> Phrase:
    """A clause with what stands behind a colon."""
    return said if closing is None else Phrase("and-for-it", {"what": said, "how": closing})


def clauses(said: Iterable[Phrase]) -> Phrase | None:
    """Clauses of one row; ``None`` for none."""
    found = tuple(said)
    return _these(found, SEMICOLONS) if found else None


def _these(said: tuple[Value, ...], by: str) -> Phrase:
    only = said[0]
    return only if len(said) == 1 and isinstance(only, Phrase) else Phrase("these", {"things": Listed(said, by)})
