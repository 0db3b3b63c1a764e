"""Lengths as they are typed and said: kept in metres, read in metres or in feet."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.plan.input.answer_kinds import Distance, NotAnAnswer
from portal.plan.phrase import Phrase, metres
from portal.wording.answers import refused, say_value
from portal.wording.catalogue import read_in
from portal.wording.formats import (
    FEET,
    METRES,
    lengths_in,
    limit_figures,
    measured_in,
    of_unit,
    read_length,
    say_metres,
    with_unit,
    write_length,
)
from portal.wording.plan.saying import in_english, say


@given(st.integers(0, 3000))
def test_a_length_in_feet_comes_back_as_it_was_typed(tenths: int) -> None:
    """To a tenth of a foot: 30 ft is 30 ft again, as an answer and as a length of the rig, and both are as long."""
    typed = f"{tenths / 10:g}"
    with measured_in(FEET):
        metres_kept, answer = read_length(typed), Distance(100_000).read(with_unit(typed))
        assert write_length(metres_kept) == f"{typed} ft"
        assert say_value(Distance(100_000), answer) == f"{typed} ft"
    assert round(metres_kept * 100) == answer


@given(st.integers(0, 30_000))
def test_a_length_in_metres_is_the_same_after_it_was_read_in_feet(centimetres: int) -> None:
    """A field that somebody else filled in metres may be saved again in feet: nothing moves."""
    with measured_in(FEET):
        shown = write_length(centimetres / 100)
        assert round(read_length(shown) * 100) == centimetres
        assert Distance(100_000).read(shown) == centimetres


@pytest.mark.parametrize(
    ("typed", "unit", "metres_kept"),
    [
        ("12", METRES, 12.0),
        ("12,5", METRES, 12.5),
        ("30 ft", METRES, 9.15),
        ("30", FEET, 9.15),
        ("30'", FEET, 9.15),
        ("30′", METRES, 9.15),
        ("6' 6\"", METRES, 1.99),
        ("6 ft 6 in", FEET, 1.99),
        ("9.1 m", FEET, 9.1),
        ("9,1 metres", FEET, 9.1),
        ("-3", FEET, -0.92),
        (" 0 ", FEET, 0.0),
    ],
)
def test_a_length_is_read_in_any_unit(typed: str, unit: str, metres_kept: float) -> None:
    """A unit that is typed counts, else the reader's; a comma is a point, and feet are rounded up to centimetres."""
    with measured_in(unit):
        assert read_length(typed) == metres_kept


@pytest.mark.parametrize("typed", ["far", "ft", "10 mm", "10 km", "6 m 6 in", "6 6 in", "1.2.3", "9" * 20])
def test_what_is_no_length_is_refused(typed: str) -> None:
    """A unit of another size is never taken for one of these."""
    with pytest.raises(ValueError, match=f"^{re.escape(typed)}$"):
        read_length(typed)


def test_a_length_finer_than_a_centimetre_stays_while_its_field_is_left_alone() -> None:
    """Only what is typed anew is rounded."""
    with measured_in(FEET):
        assert read_length(write_length(12.3456), 12.3456) == 12.3456
        assert read_length("40", 12.3456) == 12.2


def test_lengths_are_said_in_the_reader_s_unit_and_language() -> None:
    """Phrases of the engine, fixed texts, limits and refusals; metres come back afterwards."""
    said = Phrase("loom-of-length", {"loom": "Loom", "length": metres(12.5)})
    with measured_in(FEET):
        assert say(said) == "Loom (41 ft)"
        assert in_english(said) == "Loom (12.5 m)"
        assert lengths_in("a loom of 8 m, at 52 pF/m, for 7.6 m") == "a loom of 26.2 ft, at 52 pF/m, for 24.9 ft"
        assert limit_figures(-101, 100) == ("-331", "328")
        assert of_unit("metres", "feet") == "feet"
        assert refused(NotAnAnswer("distance-limits", hi=100)) == "Write a distance in feet from 0 to 328."
        with read_in("de"):
            assert say_metres(13) == "42,65 ft"
    assert say(said) == "Loom (12.5 m)"
    assert refused(NotAnAnswer("distance-limits", hi=100)) == "Write a distance in metres from 0 to 100."
    with measured_in("furlong"):
        assert say_metres(12.5) == "12.5 m"
