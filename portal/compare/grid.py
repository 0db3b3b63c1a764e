"""Candidates by gigs: what has to be solved, each different problem once, and the cells that come of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from hashlib import sha256

from pydantic import TypeAdapter

from portal.compare.cell import NOTHING, Cell
from portal.compare.changes import Figures
from portal.compare.solving import Range, is_open
from portal.compare.year import Room, Year, plain
from portal.plan.input.facts import Answer, Answers
from portal.plan.input.line_up import LineUp, tonight
from portal.plan.input.rig import Rig
from portal.wording.catalogue import mark

MOST_CANDIDATES = 5
"""Today's rig and up to four others."""

TODAY = mark("Today's rig")

_RIG = TypeAdapter(Rig)
_ANSWERS = TypeAdapter(dict[str, Answer])


@dataclass(frozen=True)
class Candidate:
    """A rig by name, with what the band says of its size, weight and price."""

    name: str
    rig: Rig
    figures: Figures = field(default_factory=Figures)


def has_mixer(rig: Rig) -> bool:
    """Whether anything of the band's mixer is entered."""
    return rig.mixer.inputs is not None or bool(rig.mixer.outs)


@dataclass(frozen=True)
class Problem:
    """One rig at one gig, as the engine gets it; equal ones have one ``key``."""

    key: str
    rig: Rig
    answers: Answers


@dataclass(frozen=True)
class Comparison:
    """A year and its candidates, today's rig first."""

    year: Year
    candidates: tuple[Candidate, ...]

    @cached_property
    def keys(self) -> tuple[tuple[str, ...], ...]:
        """The key of each candidate's problem at each room."""
        return tuple(tuple(one.key for one in row) for row in self._rows)

    @cached_property
    def problems(self) -> Mapping[str, Problem]:
        """Every different problem, in the order of the year."""
        by_room = zip(*self._rows, strict=True)
        return {one.key: one for column in by_room for one in column}

    @cached_property
    def open(self) -> frozenset[str]:
        """The problems at rooms where something decisive is not answered."""
        return frozenset(key for key, one in self.problems.items() if is_open(one.rig, one.answers))

    @cached_property
    def _rows(self) -> tuple[tuple[Problem, ...], ...]:
        return tuple(tuple(problems_of(one.rig, self.year.rooms)) for one in self.candidates)


def problems_of(rig: Rig, rooms: Sequence[Room]) -> Iterator[Problem]:
    """The problem of a rig at each room."""
    configured: dict[tuple[str, LineUp], tuple[Rig, str]] = {}
    for room in rooms:
        night = room.configuration, room.line_up
        if night not in configured:
            used = tonight(rig, room.line_up).configured(room.configuration)
            configured[night] = used, _digest(_RIG.dump_json(used, warnings=False, fallback=dict))
        used, digest = configured[night]
        answers = plain(room.answers)
        asked = _ANSWERS.dump_json({key: answers[key] for key in sorted(answers)})
        yield Problem(_digest(digest.encode() + asked), used, answers)


def _digest(content: bytes) -> str:
    return sha256(content).hexdigest()


@dataclass(frozen=True)
class Row:
    """A candidate over the whole year. ``least`` and ``most``: gigs that lose nothing, whatever the houses answer.

    ``beaten_by``: the first candidate that is at least as good in everything and better in something; empty where none
    is.
    """

    candidate: Candidate
    cells: tuple[Cell, ...]
    ranges: tuple[Range | None, ...]
    counts: tuple[int, ...]
    beaten_by: str = ""

    def _sum(self, values: Sequence[float]) -> float:
        return sum(value * count for value, count in zip(values, self.counts, strict=True))

    def _gigs(self, chosen: Sequence[bool]) -> int:
        return sum(count for one, count in zip(chosen, self.counts, strict=True) if one)

    @property
    def nothing(self) -> int:
        """Gigs that lose nothing as things stand."""
        return self._gigs([cell.loss == NOTHING for cell in self.cells])

    @property
    def least(self) -> int:
        """Gigs that lose nothing whatever the houses answer."""
        return self._gigs([(found.worst if found else cell.loss) == NOTHING for cell, found in self._ranged])

    @property
    def most(self) -> int:
        """Gigs that lose nothing where the houses answer as the band hopes."""
        return self._gigs([(found.best if found else cell.loss) == NOTHING for cell, found in self._ranged])

    @property
    def _ranged(self) -> Iterator[tuple[Cell, Range | None]]:
        return zip(self.cells, self.ranges, strict=True)

    @property
    def worst(self) -> Cell:
        """The gig that loses most."""
        return max(self.cells, key=lambda cell: cell.rank)

    @property
    def carried(self) -> int:
        """Gigs at which a splitter comes along, bolted in or not."""
        return self._gigs([bool(cell.splitters or cell.built_in) for cell in self.cells])

    @property
    def looms(self) -> int:
        """Gigs at which a loom comes along."""
        return self._gigs([bool(cell.looms) for cell in self.cells])

    @property
    def metres(self) -> float:
        """Metres of loom laid in the year."""
        return self._sum([cell.loom_m for cell in self.cells])

    @property
    def plugs(self) -> int:
        """Plugs made in the year."""
        return round(self._sum([cell.plugs for cell in self.cells]))

    @property
    def minutes(self) -> int:
        """Minutes of plugging at the gig that takes longest."""
        return max(cell.minutes for cell in self.cells)

    @property
    def blocked(self) -> int:
        """Gigs where something forbids signing."""
        return self._gigs([bool(cell.blocks) for cell in self.cells])

    @property
    def money(self) -> float | None:
        """Price and a year's hire; ``None`` where the band gave neither."""
        figures = self.candidate.figures
        if figures.price is None and figures.fee is None:
            return None
        hired = self._gigs([bool(cell.splitters) for cell in self.cells])
        return (figures.price or 0) + (figures.fee or 0) * hired


@dataclass(frozen=True)
class Grid:
    """The whole answer: a row a candidate, today's rig first, a cell a room."""

    comparison: Comparison
    rows: tuple[Row, ...]

    @property
    def gigs(self) -> int:
        """How many gigs there are."""
        return self.comparison.year.gigs


def grid_of(comparison: Comparison, cells: Mapping[str, Cell], ranges: Mapping[str, Range]) -> Grid:
    """The cells put together; every problem of the comparison has to be among them."""
    counts = tuple(room.count for room in comparison.year.rooms)
    rows = [
        Row(one, tuple(cells[key] for key in keys), tuple(ranges.get(key) for key in keys), counts)
        for one, keys in zip(comparison.candidates, comparison.keys, strict=True)
    ]
    beaten = [next((other.candidate.name for other in rows if _beats(other, row)), "") for row in rows]
    told = (replace(row, beaten_by=name) for row, name in zip(rows, beaten, strict=True))
    return Grid(comparison, tuple(told))


def _beats(one: Row, other: Row) -> bool:
    """Whether a candidate is no worse in anything that is known of both, gig by gig, and better in something."""
    pairs = list(zip(_measures(one), _measures(other), strict=True))
    if any((mine is None) != (theirs is None) for mine, theirs in pairs):
        return False
    known = [(mine, theirs) for mine, theirs in pairs if mine is not None and theirs is not None]
    return all(mine <= theirs for mine, theirs in known) and any(mine < theirs for mine, theirs in known)


def _measures(row: Row) -> list[float | None]:
    """Everything in which candidates are held against each other, the less the better."""
    figures = row.candidate.figures
    return [
        *(cell.rank for cell in row.cells),
        row.blocked,
        row.carried,
        row.looms,
        row.metres,
        row.plugs,
        figures.units,
        figures.kg,
        row.money,
    ]
