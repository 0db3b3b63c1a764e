"""The cells of a comparison of rigs: read, solved two at a time with no transaction, kept as they come."""

import asyncio
import logging
from collections.abc import Sequence

from portal.advance import rig_comparison
from portal.advance.rig_comparison import CELL, Opened, Piece
from portal.advance.solver.process import PLAN_S, Crashed, NotSolved, Stopped, TooLong
from portal.advance.solver.wishes import CellWish, RangeWish, seconds
from portal.compare.cell import NO_PLAN, Cell
from portal.compare.solving import Range
from portal.jobs.loop import Hands, Job
from portal.plan.model import ENGINE
from portal.store import comparisons
from portal.store.database.scopes import band
from portal.store.database.session import Session

log = logging.getLogger("portal")

AT_ONCE = 2
"""Pieces that are solved side by side: as many as there are solvers."""

BATCH = 12
"""Pieces whose results are kept together: a few a second, so that progress is seen and no writer waits long."""

SHORT_S = 0.5
"""What is estimated to take longer gives way to a plan that waits."""

AFTER_BUSY_S, AFTER_STOP_S = 3.0, 5.0

NOT_WORKED_OUT = "This could not be worked out in time. Another rig or other answers may be quicker."


async def compare(hands: Hands, comparison_id: str) -> float:
    """Work out and keep a few of the pieces that a comparison lacks; the seconds until it may come again. One call does
    one batch, so that no comparison waits for all of another.
    """
    found = await asyncio.to_thread(_read, hands, comparison_id)
    if found is None:
        return 0.0
    opened, pieces = found
    if not pieces:
        await _settle(hands, opened)
        return 0.0
    try:
        await _count(hands, opened, len(pieces))
        await _keep(hands, opened, await _solve(hands, _batch(pieces)))
    except Stopped:
        return AFTER_STOP_S
    except NotSolved:
        return AFTER_BUSY_S
    return 0.0


def _batch(pieces: Sequence[Piece]) -> Sequence[Piece]:
    """The next pieces: as many as there are solvers where they are long."""
    batch = pieces[:BATCH]
    return batch[:AT_ONCE] if any(seconds(_wish(piece)) > SHORT_S for piece in batch) else batch


async def _solve(hands: Hands, pieces: Sequence[Piece]) -> list[tuple[Piece, Cell | Range]]:
    """What a few pieces come to, two at a time."""
    turns = asyncio.Semaphore(AT_ONCE)

    async def one(piece: Piece) -> tuple[Piece, Cell | Range]:
        async with turns:
            return piece, await asyncio.to_thread(_ask, hands, piece)

    return list(await asyncio.gather(*map(one, pieces)))


def _wish(piece: Piece) -> CellWish | RangeWish:
    return CellWish(piece.texts) if piece.kind == CELL else RangeWish(piece.texts, piece.loss)


def _ask(hands: Hands, piece: Piece) -> Cell | Range:
    """Ask a solver; what it does not master is told as such, so that it is not tried for ever."""
    wish = _wish(piece)
    try:
        return hands.solvers.ask(wish, PLAN_S, gives_way=seconds(wish) > SHORT_S)
    except (TooLong, Crashed) as error:
        log.warning("comparison not worked out key=%s: %s", piece.problem.key[:12], type(error).__name__)
        if piece.kind == CELL:
            return Cell(NO_PLAN, NOT_WORKED_OUT, proven=False)
        return Range(piece.loss, piece.loss)


def _read(hands: Hands, comparison_id: str) -> tuple[Opened, Sequence[Piece]] | None:
    """A comparison and what it lacks: neither is put together where requests wait for it, nor in a transaction."""
    with hands.store.reading() as db:
        row = comparisons.by_id(db, comparison_id)
        opened = None if row is None else rig_comparison.open_comparison(db, row)
    return None if opened is None else (opened, rig_comparison.missing(opened))


async def _count(hands: Hands, opened: Opened, left: int) -> None:
    """Note how much there is to do, where that is not noted yet."""
    row, needed = opened.row, len(opened.cells) + len(opened.ranges) + left
    if row.needed != needed:
        await hands.store.write(lambda db: comparisons.count_needed(db, row, needed), band(row.band_id))


async def _settle(hands: Hands, opened: Opened) -> None:
    """Note that all is done."""
    row, wanted = opened.row, rig_comparison.wanted(opened)
    await hands.store.write(lambda db: comparisons.settle(db, row, ENGINE, wanted), band(row.band_id))


async def _keep(hands: Hands, opened: Opened, found: Sequence[tuple[Piece, Cell | Range]]) -> None:
    """Keep some results, unless the comparison is gone or something else is compared meanwhile."""

    def keep(db: Session) -> None:
        row = comparisons.by_id(db, opened.row.id)
        if row is None or row.version != opened.row.version:
            return
        for piece, result in found:
            comparisons.keep(db, row, piece.kind, ENGINE, piece.problem.key, rig_comparison.write_found(result))

    await hands.store.write(keep, band(opened.row.band_id))


COMPARING: Job[Hands] = Job("comparing", lambda db, _now: comparisons.due(db, ENGINE), compare)
