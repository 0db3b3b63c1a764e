"""The integer programme that the routing is decided by: picks, rows and prices, as plain data.

A *pick* is one way in which a unit (or a set of them) can reach the house, or one thing that has to exist for it. Every
row carries the tag of the requirement that it stands for, so that a conflict can name the requirements and a test can
take one away.
"""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True)
class Pick:
    """One yes-or-no decision (or a small count).

    ``name`` is stable under rename and re-order: it is built from keys and modes only. ``units`` are the keys of the
    units it routes; ``gives`` counts what is given up, by step; ``carry`` and ``plugs`` price what is carried and what
    is plugged on the day. ``finer`` counts what decides between plans that give up the same (``FINER``, ``LAST``).
    """

    name: str
    mode: str
    units: tuple[str, ...] = ()
    unit: str = ""
    gives: tuple[tuple[str, int], ...] = ()
    carry: int = 0
    plugs: int = 0
    most: int = 1
    finer: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True)
class Row:
    """``lo <= sum(coefficient * pick) <= hi``; ``tag`` names the requirement, empty where it is the shape of the
    problem itself.
    """

    terms: tuple[tuple[int, int], ...]
    lo: int | None
    hi: int | None
    tag: str = ""


@dataclass
class Program:
    """Picks and rows while they are being written down. ``bettered``: indexes of picks that no best choice takes.
    ``origin``: the programme that this one has its picks of, where it was made from another; ``prices`` and
    ``loaded``: what solving works out once for it and for those made from it.
    """

    picks: list[Pick] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    bettered: frozenset[int] = frozenset()
    prices: object = field(default=None, init=False, compare=False, repr=False)
    origin: Program | None = field(default=None, init=False, compare=False, repr=False)
    loaded: object = field(default=None, init=False, compare=False, repr=False)

    def add(self, pick: Pick) -> int:
        """Enter a pick; returns its index."""
        self.picks.append(pick)
        return len(self.picks) - 1

    def at_most(self, terms: dict[int, int], hi: int, tag: str = "") -> None:
        """The sum stays at or below ``hi``. A row without terms is kept out unless it can never hold."""
        self._row(terms, None, hi, tag)

    def at_least(self, terms: dict[int, int], lo: int, tag: str = "") -> None:
        """The sum reaches ``lo``."""
        self._row(terms, lo, None, tag)

    def exactly(self, terms: dict[int, int], value: int, tag: str = "") -> None:
        """The sum is ``value``."""
        self._row(terms, value, value, tag)

    def implies(self, pick: int, needed: int) -> None:
        """``pick`` only while ``needed``."""
        self.at_most({pick: 1, needed: -1}, 0)

    def _row(self, terms: dict[int, int], lo: int | None, hi: int | None, tag: str) -> None:
        kept = tuple([term for term in terms.items() if term[1]])
        if kept or (lo is not None and lo > 0) or (hi is not None and hi < 0):
            self.rows.append(Row(kept, lo, hi, tag))


def relaxed(program: Program, tags: frozenset[str]) -> Program:
    """The same programme without the rows of some requirements."""
    loosened = Program(program.picks, [row for row in program.rows if row.tag not in tags], program.bettered)
    loosened.origin = program.origin or program
    return loosened
