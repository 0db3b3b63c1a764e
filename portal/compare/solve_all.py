"""A whole comparison worked out in this very process, each different problem once: for the command line."""

from __future__ import annotations

from dataclasses import dataclass

from portal.compare.cell import Cell
from portal.compare.grid import Comparison, Grid, grid_of
from portal.compare.helps import Help, helps_of, tried
from portal.compare.solving import Range, solve_cell, solve_range


@dataclass(frozen=True)
class Compared:
    """The grid, what would help most, and how many plans were solved for the grid."""

    grid: Grid
    helps: tuple[Help, ...]
    solved: int


def compare(comparison: Comparison) -> Compared:
    """Solve every different problem of a comparison once."""
    cells: dict[str, Cell] = {key: solve_cell(one.rig, one.answers) for key, one in comparison.problems.items()}
    solved = len(cells)
    ranges: dict[str, Range] = {}
    for key in comparison.open:
        one = comparison.problems[key]
        ranges[key] = solve_range(one.rig, one.answers, cells[key].loss)
    grid = grid_of(comparison, cells, ranges)
    asked = tried(grid)
    for _, problems in asked:
        for one in problems:
            if one.key not in cells:
                cells[one.key] = solve_cell(one.rig, one.answers)
    return Compared(grid, helps_of(grid, asked, cells), solved)
