"""The invented year of 27 gigs against the table that was worked out by hand."""

import pytest

from portal.compare.solve_all import Compared, compare
from portal.compare.words import beaten, sentence
from tests.compare.invented import BY_HAND, YEAR, invented


@pytest.fixture(scope="module")
def compared() -> Compared:
    return compare(invented())


def test_the_year_is_the_one_that_was_reckoned_with() -> None:
    """Rooms and counts stand in one order in the year and in the table; most gigs are over the own PA."""
    assert [room.name for room in YEAR.rooms] == BY_HAND["rooms"]
    assert [room.count for room in YEAR.rooms] == BY_HAND["gigs"]
    assert YEAR.gigs == 27
    assert YEAR.rooms[0].count / YEAR.gigs > 0.8


@pytest.mark.parametrize("number", range(5))
def test_a_row_is_as_worked_out_by_hand(number: int, compared: Compared) -> None:
    """Losses, lines, plugs and what is carried are those of the table, gig by gig and over the year."""
    row = compared.grid.rows[number]
    told = BY_HAND["today" if number == 0 else row.candidate.name]

    assert [cell.loss for cell in row.cells] == told["loss"]
    assert [cell.lines for cell in row.cells] == told["lines"]
    assert [cell.plugs for cell in row.cells] == told["plugs"]
    assert [int(bool(cell.splitters or cell.built_in)) for cell in row.cells] == told["carried"]
    assert (row.nothing, row.carried, row.plugs) == (told["lose_nothing"], told["times_carried"], told["plugs_a_year"])


def test_the_answer_is_one_sentence(compared: Compared) -> None:
    """It names the rig that loses nothing at most gigs, where its splitter stays, and how today's rig does."""
    assert sentence(compared.grid) == (
        "floor-16: nothing is lost at 26 of 27 gigs, and the splitter stays at home at 23. Today's rig loses something"
        " at 4. Until the houses have answered it is 24 to 26."
    )


def test_what_is_beaten_is_named(compared: Compared) -> None:
    """A rig that another is at least as good as in everything says which one; the others stand side by side."""
    assert {row.candidate.name: beaten(row) for row in compared.grid.rows if beaten(row)} == {
        "floor-12": "Beaten in everything by outs-8."
    }


def test_what_would_help_most_is_the_smallest_that_wins_most(compared: Compared) -> None:
    """Of single changes that win the same for the same, the smaller one is the best; each wins something."""
    best = [one.single.key for one in compared.helps if one.best]

    assert best == ["splitter-16"]
    assert compared.helps[0].single.key == "splitter-16"
    assert (compared.helps[0].nothing, compared.helps[0].less) == (3, 4)
    assert all(one.less for one in compared.helps)
