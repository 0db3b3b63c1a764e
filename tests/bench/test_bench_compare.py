"""Five rigs at sixty different gigs: what it takes, and against the same plans solved singly. Figures, never gates."""

import resource
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import pytest

from portal.advance.solver.process import Solvers
from portal.advance.solver.wishes import CellWish, Texts
from portal.compare.changes import FLOOR, RACK, Changes, changed
from portal.compare.grid import TODAY, Candidate, Comparison
from portal.compare.solving import solve_cell
from portal.compare.year import Room, Year
from portal.exchange.example import example_rig
from portal.plan import reconcile
from portal.plan.input.facts import Answer

pytestmark = pytest.mark.bench

OTHERS = {
    "none": Changes(splitter="none"),
    "floor-16": Changes(splitter=FLOOR, ways=16),
    "rack-24": Changes(splitter=RACK, ways=24),
    "outs-2": Changes(unprocessed=2),
}


def sixty() -> Comparison:
    """Five rigs of 22 sources at 60 rooms that all differ: 48 over the own PA, 12 with 8 to 30 inputs."""
    rooms = []
    for number in range(60):
        answers = {"box-distance": Answer("answered", 900 + number, "house")}
        if number % 5:
            answers["pa"] = Answer("answered", "none", "band")
        else:
            answers["inputs-free"] = Answer("answered", 8 + number * 22 // 59, "house")
        rooms.append(Room(f"Room {number}", 1, "", "", answers))
    rig = example_rig()
    others = (Candidate(name, changed(rig, one)) for name, one in OTHERS.items())
    return Comparison(Year("", tuple(rooms)), (Candidate(TODAY, rig), *others))


def hard() -> Comparison:
    """The same rigs at 60 rooms that all have a desk."""
    easy = sixty()
    rooms = tuple(
        replace(room, answers={"inputs-free": Answer("answered", 6 + number % 20, "house"), **room.answers})
        for number, room in enumerate(easy.year.rooms)
    )
    rooms = tuple(replace(room, answers={k: v for k, v in room.answers.items() if k != "pa"}) for room in rooms)
    return Comparison(replace(easy.year, rooms=rooms), easy.candidates)


@pytest.mark.parametrize("make", [sixty, hard])
def test_cells_against_plans_solved_singly(make: object) -> None:
    """The processor time of all cells in one process, against the same plans."""
    started = time.process_time()
    problems = make().problems.values()  # type: ignore[operator]
    spent = {reconcile: 0.0, solve_cell: time.process_time() - started}
    for number, one in enumerate(problems):
        # In turns: a machine that is busy with something else slows both alike.
        for solve in sorted(spent, key=lambda solve: (solve is reconcile) == number % 2):
            started = time.process_time()
            solve(one.rig, one.answers)
            spent[solve] += time.process_time() - started
    singly, cells = spent[reconcile], spent[solve_cell]
    sys.stdout.write(
        f"\n{len(problems)} plans singly: {singly:.1f} CPU-s; as cells: {cells:.1f} CPU-s; ratio {cells / singly:.2f};"
        f" memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024} MB"
    )


@pytest.mark.parametrize("make", [sixty, hard])
def test_two_solvers(make: object) -> None:
    """All cells over two solver processes, as the portal works them out."""
    comparison = make()  # type: ignore[operator]
    solvers = Solvers()
    solvers.warm()
    wishes = [CellWish(Texts.of(one.rig, one.answers, ())) for one in comparison.problems.values()]
    started = time.monotonic()
    used = resource.getrusage(resource.RUSAGE_SELF).ru_utime
    with ThreadPoolExecutor(2) as pool:
        cells = list(pool.map(lambda wish: solvers.ask(wish, 120.0), wishes))
    wall = time.monotonic() - started
    mine = resource.getrusage(resource.RUSAGE_SELF).ru_utime - used
    solvers.close()
    children = resource.getrusage(resource.RUSAGE_CHILDREN)
    sys.stdout.write(
        f"\n{len(cells)} cells over two solvers: {wall:.1f} s; the solvers used {children.ru_utime:.1f} CPU-s and"
        f" {children.ru_maxrss // 1024} MB each at most, the asking process {mine:.1f} CPU-s"
    )
