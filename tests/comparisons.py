"""Comparisons of rigs for tests: a small year, kept as the portal keeps one, and worked out at once or made up."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from itertools import cycle

from portal.advance.rig_comparison import (
    CELL,
    Basis,
    Opened,
    Typical,
    missing,
    open_comparison,
    rooms_of_gigs,
    wanted,
    write_basis,
    write_found,
)
from portal.compare.cell import LOSSES, Cell, Given
from portal.compare.changes import FLOOR, Changes, Figures, write_changes
from portal.compare.solving import Range, Turn, solve_cell, solve_range
from portal.compare.year import Year
from portal.plan.model import ENGINE
from portal.store import comparisons, rigs
from portal.store.comparisons import Comparison
from portal.store.database.session import Session
from tests.builders import ABand

TYPICAL = Typical(own_pa=3, on_our_mixer=1, split={8: 2})

OTHERS = (
    Changes(figures=Figures(price=100.0)),
    Changes(splitter=FLOOR, ways=16, figures=Figures(2, 6.5, 900.0, 20.0)),
    Changes("Outputs", unprocessed=2),
)


def a_comparison(
    db: Session,
    band: ABand,
    stored: rigs.BandRig,
    now: datetime,
    *,
    typical: Typical = TYPICAL,
    candidates: tuple[Changes, ...] = OTHERS,
) -> Comparison:
    """A comparison over the gigs of a year and some typical rooms."""
    revision = rigs.newest(db, stored.id)
    first, last = now.date(), now.date() + timedelta(days=365)
    gigs = rooms_of_gigs(db, stored.id, revision.read(), first, last)
    row = Comparison(
        band_id=band.band_id,
        rig_id=stored.id,
        rig_revision_id=revision.id,
        author_id=band.user_id,
        basis=write_basis(Basis(_day(first), _day(last), Year("", (*gigs, *typical.rooms()), 10))),
        candidates=write_changes(candidates),
        created=now,
    )
    comparisons.add(db, row)
    return row


def _day(day: date) -> str:
    return day.isoformat()


def compare_now(db: Session, row: Comparison, *, made_up: bool = False) -> Opened:
    """A comparison worked out in the test's own transaction; ``made_up``: by no engine, every loss in turn."""
    losses = cycle(LOSSES)
    while pieces := missing(open_comparison(db, row)):
        for piece in pieces:
            found = _made_up(next(losses)) if made_up and piece.kind == CELL else None
            if found is None and made_up:
                found = Range("nothing", "own-mix", (Turn("inputs-free", "own-mix", 8),))
            if found is None and piece.kind == CELL:
                found = solve_cell(piece.problem.rig, piece.problem.answers)
            if found is None:
                found = solve_range(piece.problem.rig, piece.problem.answers, piece.loss)
            comparisons.keep(db, row, piece.kind, ENGINE, piece.problem.key, write_found(found))
    opened = open_comparison(db, row)
    comparisons.settle(db, row, ENGINE, wanted(opened))
    db.refresh(row)
    return open_comparison(db, row)


def _made_up(loss: str) -> Cell:
    given = () if loss in ("nothing", "no-plan") else (Given("backing-sum", 2), Given("second-microphone", 1))
    blocks = ("Nothing feeds the PA.",) if loss == "audible" else ()
    return Cell(
        loss,
        "A plan.",
        given,
        ("8 working inputs",),
        blocks,
        8,
        44,
        ("Floor splitter",),
        (),
        ("12-way loom",),
        15.0,
    )
