"""Cells and ranges as they are kept: keys and values, which each reader's language and unit puts into words."""

from pydantic import TypeAdapter

from portal.advance.rig_comparison import write_found
from portal.compare.cell import Cell
from portal.compare.solving import Range, Turn, solve_cell
from portal.compare.words import range_words
from portal.plan.input.facts import Answer
from portal.wording.formats import FEET, measured_in
from portal.wording.plan.saying import say
from tests.compare.invented import RIG


def test_what_a_cell_says_is_kept_as_phrases() -> None:
    """What binds comes back as it was, said in the reader's unit; one that was kept as a sentence is still read."""
    far = {"box-distance": Answer("answered", 9000, "house"), "inputs-free": Answer("answered", 2, "house")}
    cell = solve_cell(RIG, far)
    back = TypeAdapter(Cell).validate_json(write_found(cell))
    assert back == cell
    assert cell.binds
    assert not any(isinstance(one, str) for one in (*cell.binds, cell.sentence))
    with measured_in(FEET):
        assert all(" m " not in f"{say(one)} " for one in back.binds)
    earlier = TypeAdapter(Cell).validate_json('{"loss": "no-plan", "sentence": "Nothing fits.", "binds": ["8 ways"]}')
    assert [say(one) for one in (earlier.sentence, *earlier.binds)] == ["Nothing fits.", "8 ways"]


def test_an_answer_that_turns_a_cell_is_kept_as_a_value() -> None:
    """A distance is said in the reader's unit; an answer that was kept in words is still read."""
    found = Range("nothing", "no-plan", (Turn("box-distance", "no-plan", 1201),))
    back = TypeAdapter(Range).validate_json(write_found(found))
    assert back == found
    assert "more than 12 m: no plan" in range_words(back)
    with measured_in(FEET):
        assert "more than 39.37 ft: no plan" in range_words(back)
    earlier = '{"question": "pa", "words": "Mono", "loss": "no-plan"}'
    kept = TypeAdapter(Range).validate_json(f'{{"best": "nothing", "worst": "no-plan", "turns": [{earlier}]}}')
    assert "Mono: no plan" in range_words(kept)
