"""What holds of every comparison."""

import json
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from portal.compare import solve_all
from portal.compare.cell import LOSSES, NOTHING, Cell, cell_of
from portal.compare.changes import FLOOR, WITHOUT, Changes, changed
from portal.compare.grid import TODAY, Candidate, Comparison
from portal.compare.helps import singles
from portal.compare.solve_all import compare
from portal.compare.solving import solve_cell, solve_range
from portal.compare.year import Room, Year
from portal.exchange.command import run_plan
from portal.exchange.files import answers_to_document, rig_to_document
from portal.plan.input.facts import Answer
from portal.plan.input.rig import Loom, Rig
from portal.plan.reconcile import price
from tests.compare.invented import RIG, YEAR, invented
from tests.exchange.reading_back import from_json
from tests.plan.gigs import gig

SEEDS = range(24)

MORE = ("ways-", "splitter-", "loom-", "outs")
"""Single changes that add and take nothing away."""


@pytest.mark.parametrize("seed", SEEDS)
def test_more_never_loses_more(seed: int) -> None:
    """With more ways, outputs or looms no gig loses more, neither in the picture nor by the ladder's own price."""
    rig, answers = gig(seed)
    rig = rig if rig.loom else replace(rig, loom=(Loom("own", "own loom", 32, 30.0),))
    before, was = solve_cell(rig, answers), price(rig, answers)
    for one in singles(rig):
        if one.key.startswith(MORE):
            after, now = solve_cell(one.rig, answers), price(one.rig, answers)
            assert after.rank <= before.rank, one.key
            if was is not None:
                steps = len(was) - 2
                assert now is not None
                assert now[:steps] <= was[:steps], one.key


def test_todays_rig_against_itself_shows_no_difference() -> None:
    """The same rig twice has the same row twice, neither is beaten, and nothing is solved twice."""
    grid = compare(Comparison(YEAR, (Candidate(TODAY, RIG), Candidate("the same", RIG)))).grid

    assert grid.rows[0].cells == grid.rows[1].cells
    assert [row.beaten_by for row in grid.rows] == ["", ""]
    assert len(grid.comparison.problems) == len(Comparison(YEAR, (Candidate(TODAY, RIG),)).problems) == 5


def test_each_cell_is_the_plan_of_the_command_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A cell says what `python -m portal plan` says of the same rig and the same answers."""
    comparison = invented()
    grid = compare(comparison).grid
    for row in grid.rows:
        (tmp_path / "rig.json").write_text(json.dumps(rig_to_document(row.candidate.rig)), "utf-8")
        for room, cell in zip(YEAR.rooms, row.cells, strict=True):
            (tmp_path / "answers.json").write_text(json.dumps(answers_to_document(room.answers)), "utf-8")
            run_plan(tmp_path / "rig.json", tmp_path / "answers.json", as_json=True)
            plan = from_json(json.loads(capsys.readouterr().out))
            assert cell == cell_of(plan, row.candidate.rig)


def test_a_cell_asks_for_no_advice(monkeypatch: pytest.MonkeyPatch) -> None:
    """The cut list, what would help and remedies take most of a plan's solves, and no cell reads them."""

    def asked(*_args: object, **_options: object) -> object:
        raise AssertionError("a cell asked for advice")

    for name in ("cut_list", "would_help", "remedies_for"):
        # The package's function of the same name hides the module.
        monkeypatch.setattr(sys.modules["portal.plan.reconcile"], name, asked)
    comparison = invented()
    cells = {key: solve_cell(one.rig, one.answers) for key, one in comparison.problems.items()}
    assert {cell.loss for cell in cells.values()} >= {NOTHING}
    assert len(cells) == len(comparison.problems)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_rig_without_a_splitter_loses_nothing_at_the_own_pa(seed: int) -> None:
    """Where the band brings the PA nothing is given up, whatever splitter there is or is not."""
    rig, answers = gig(seed)
    own = {**answers, "pa": Answer("answered", "none", "band")}

    for other in (rig, changed(rig, Changes(splitter=WITHOUT)), changed(rig, Changes(splitter=FLOOR, ways=16))):
        cell = solve_cell(other, own)
        assert (cell.loss, cell.given, cell.splitters) == (NOTHING, (), ())


def test_equal_rooms_are_solved_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """However many gigs there are in equal rooms, each different rig and room is solved one time."""
    asked: list[tuple[Rig, object]] = []

    def counted(solve: Callable[..., Cell]) -> Callable[..., Cell]:
        def one(rig: Rig, answers: object) -> Cell:
            asked.append((rig, answers))
            return solve(rig, answers)

        return one

    monkeypatch.setattr(solve_all, "solve_cell", counted(solve_cell))
    rooms = tuple(
        replace(room, name=f"{room.name} {number}", on="2026-01-01") for number in range(12) for room in YEAR.rooms[:3]
    )
    days = tuple(
        replace(room, answers={key: replace(one, on=f"2026-01-{at + 1:02d}") for key, one in room.answers.items()})
        for at, room in enumerate(rooms[:28])
    )
    done = compare(Comparison(Year("", (*days, *rooms[28:])), (Candidate(TODAY, RIG),)))

    assert done.solved == 3
    assert len(asked) == 3 + sum(1 for one in singles(RIG)) * 2
    assert done.grid.gigs == sum(room.count for room in rooms)


def test_a_range_holds_what_each_answer_would_lead_to() -> None:
    """The least and the most that is lost are those of the answers, each given by itself, and of the assumption."""
    rig, room = changed(RIG, Changes(splitter=FLOOR, ways=16)), YEAR.rooms[4]
    here = solve_cell(rig, room.answers).loss
    found = solve_range(rig, room.answers, here)
    few = solve_cell(rig, {"inputs-free": Answer("answered", 8, "house")}).loss
    seen = [here, *(turn.loss for turn in found.turns)]

    assert here == NOTHING != few
    assert [turn.loss for turn in found.turns if (turn.question, turn.value) == ("inputs-free", 8)] == [few]
    assert (found.best, found.worst) == (min(seen, key=LOSSES.index), max(seen, key=LOSSES.index))
    assert not found.holds


def test_what_is_answered_has_no_range() -> None:
    """A gig whose house has answered what decides is marked nowhere as open."""
    comparison = invented()
    named = {room.name for at, room in enumerate(YEAR.rooms) for keys in comparison.keys if keys[at] in comparison.open}

    assert "House engineer, 24 inputs" not in named
    assert "Nobody has answered yet" in named


def test_a_room_in_another_order_is_the_same_room() -> None:
    """The order in which answers were given makes no other room."""
    room = YEAR.rooms[1]
    turned = Room(room.name, 1, "", "", dict(reversed(list(room.answers.items()))))
    keys = Comparison(Year("", (room, turned)), (Candidate(TODAY, RIG),)).keys[0]

    assert keys[0] == keys[1]
