"""The invented year of 27 gigs against the table that was worked out by hand."""

import pytest

from portal.compare.cell import NOTHING
from portal.compare.changes import Figures
from portal.compare.helps import helps_of, tried
from portal.compare.solve_all import Compared, compare
from portal.compare.solving import solve_cell
from portal.compare.words import beaten, help_costs, sentence
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


def test_price_and_weight_decide_what_is_little_where_the_band_gave_them(compared: Compared) -> None:
    """A larger splitter that costs and weighs less is the best of those that win the same; what nobody gave is not made
    up, and minutes at a gig are told of each.
    """
    asked = tried(compared.grid)
    cells = {one.key: solve_cell(one.rig, one.answers) for _, several in asked for one in several}
    said = {"splitter-16": Figures(price=900, kg=8), "splitter-24": Figures(price=700, kg=6.5)}
    helps = {one.single.key: one for one in helps_of(compared.grid, asked, cells, said)}

    assert (helps["splitter-16"].nothing, helps["splitter-16"].less) == (
        helps["splitter-24"].nothing,
        helps["splitter-24"].less,
    )
    assert not helps["splitter-16"].best
    assert helps["splitter-24"].best
    assert help_costs(helps["splitter-24"]).startswith("price 700, 6.5 kg, ")
    assert help_costs(helps["splitter-24"]).endswith(" min more plugging a gig")
    unsaid = next(one for key, one in helps.items() if key not in said)
    assert "price" not in help_costs(unsaid)
    assert "kg" not in help_costs(unsaid)


def test_minutes_are_those_of_the_cells(compared: Compared) -> None:
    """Minutes of plugging more at a gig are the average over the gigs that lose something today, by hand."""
    today = compared.grid.rows[0]
    asked = tried(compared.grid)
    for one in compared.helps:
        problems = next(problems for single, problems in asked if single.key == one.single.key)
        cells = iter([solve_cell(problem.rig, problem.answers) for problem in problems])
        more = gigs = 0
        for count, was in zip(today.counts, today.cells, strict=True):
            if was.loss != NOTHING:
                more += count * (next(cells).minutes - was.minutes)
                gigs += count
        assert one.minutes == round(more / gigs)
