"""What would help most: single changes from a plain list, each solved at the gigs that lose something today."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from portal.compare.cell import NOTHING, Cell
from portal.compare.changes import FLOOR, Changes, Figures, changed, more_outputs
from portal.compare.grid import Grid, Problem, problems_of
from portal.plan.input.rig import Loom, Rig
from portal.wording.catalogue import gettext
from portal.wording.formats import say_metres

MORE_WAYS = (4, 8, 16)
NEW_SPLITTERS = (8, 16, 24)
MORE_LOOMS = (4, 8, 12, 16, 24)
MORE_OUTS = 2
MORE_TRANSFORMERS = 4
NEW_LOOM_M = 20.0
"""A loom's length where the band owns none (assumption)."""


NO_FIGURES: Mapping[str, Figures] = MappingProxyType({})


@dataclass(frozen=True)
class Single:
    """One change of today's rig: its key, its words and the rig with it."""

    key: str
    words: str
    rig: Rig


@dataclass(frozen=True)
class Help:
    """What a single change wins over a year: gigs that then lose nothing, gigs that lose less, pieces carried more.

    ``minutes``: of plugging more at a gig that loses something today, on the average. ``figures``: what the band says
    of its price and weight. ``best``: no other single change wins as much for as little.
    """

    single: Single
    nothing: int
    less: int
    pieces: int
    minutes: int = 0
    figures: Figures = field(default_factory=Figures)
    best: bool = False


def singles(rig: Rig) -> tuple[Single, ...]:
    """The list that is tried."""
    return tuple(one for one in _list(rig) if one.rig != rig)


def _list(rig: Rig) -> Iterator[Single]:
    if rig.splitter:
        first = rig.splitter[0]
        for ways in MORE_WAYS:
            more = replace(first, ways=first.ways + ways)
            yield Single(
                f"ways-{ways}",
                gettext("%(ways)s ways more at the splitter", ways=ways),
                replace(rig, splitter=(more, *rig.splitter[1:])),
            )
    else:
        for ways in NEW_SPLITTERS:
            yield Single(
                f"splitter-{ways}",
                gettext("a floor splitter of %(ways)s ways", ways=ways),
                changed(rig, Changes(splitter=FLOOR, ways=ways)),
            )
    metres = max((loom.length_m or 0 for loom in rig.loom), default=0) or NEW_LOOM_M
    for ways in MORE_LOOMS:
        loom = Loom(f"one-more-{ways}", f"another {ways}-way loom", ways, metres)
        yield Single(
            f"loom-{ways}",
            gettext("another loom of %(ways)s ways, %(length)s", ways=ways, length=say_metres(metres)),
            replace(rig, loom=(*rig.loom, loom)),
        )
    yield Single(
        "outs",
        more_outputs(MORE_OUTS),
        changed(rig, Changes(unprocessed=MORE_OUTS)),
    )
    yield Single("bus", gettext("one free mono bus more"), changed(rig, Changes(mono_busses=rig.mixer.mono_busses + 1)))
    owned = rig.bits.get("isolating_transformer", 0)
    more_bits = {"isolating_transformer": owned + MORE_TRANSFORMERS}
    yield Single(
        "transformers",
        gettext("%(count)s isolating transformers more", count=MORE_TRANSFORMERS),
        changed(rig, Changes(bits=more_bits)),
    )
    yield Single("ears-to-mono", gettext("in-ear mixes in mono"), changed(rig, Changes(ears_to_mono=True)))


Tried = Sequence[tuple[Single, Sequence[Problem]]]
"""Each single change with what has to be solved for it."""


def tried(grid: Grid) -> Tried:
    """The single changes of today's rig at the gigs that lose something today: the others are as they are with one
    thing more in the van. Nothing where none loses.
    """
    today = grid.rows[0]
    rooms = [room for room, cell in zip(grid.comparison.year.rooms, today.cells, strict=True) if cell.loss != NOTHING]
    rig = today.candidate.rig
    return [(one, tuple(problems_of(one.rig, rooms))) for one in singles(rig)] if rooms else []


def helps_of(
    grid: Grid, asked: Tried, cells: Mapping[str, Cell], figures: Mapping[str, Figures] = NO_FIGURES
) -> tuple[Help, ...]:
    """The single changes that win something, what wins most first; ``cells`` by the keys of what was ``asked``,
    ``figures`` by those of the changes.
    """
    today = grid.rows[0]
    before = [(count, cell) for count, cell in zip(today.counts, today.cells, strict=True) if cell.loss != NOTHING]
    found = []
    gigs = sum(count for count, _ in before)
    for one, problems in asked:
        after = [cells[problem.key] for problem in problems]
        rows = [(count, was, cell) for (count, was), cell in zip(before, after, strict=True)]
        nothing = sum(count for count, _, cell in rows if cell.loss == NOTHING)
        less = sum(count for count, was, cell in rows if cell.rank < was.rank)
        pieces = sum(count * (_pieces(cell) - _pieces(was)) for count, was, cell in rows)
        if less:
            minutes = round(sum(count * (cell.minutes - was.minutes) for count, was, cell in rows) / gigs)
            found.append(Help(one, nothing, less, pieces, minutes, figures.get(one.key, Figures())))
    told = [
        replace(
            one, best=not any(_beats(other, one, first=at < place) for at, other in enumerate(found) if at != place)
        )
        for place, one in enumerate(found)
    ]
    return tuple(sorted(told, key=lambda one: (-one.nothing, -one.less, one.pieces)))


def _pieces(cell: Cell) -> int:
    return len(cell.splitters) + len(cell.built_in) + len(cell.looms)


def _beats(one: Help, other: Help, *, first: bool) -> bool:
    """Whether a change wins as much for as little, and more or for less; of equal ones the ``first`` is less. What is
    little is told by price and weight where the band gave them of both, else by the pieces carried.
    """
    pairs = [(-one.nothing, -other.nothing), (-one.less, -other.less), *_costs(one, other)]
    return all(mine <= theirs for mine, theirs in pairs) and (first or any(mine != theirs for mine, theirs in pairs))


def _costs(one: Help, other: Help) -> Sequence[tuple[float, float]]:
    given = ((one.figures.price, other.figures.price), (one.figures.kg, other.figures.kg))
    known = [(mine, theirs) for mine, theirs in given if mine is not None and theirs is not None]
    return known or [(one.pieces, other.pieces)]
