"""How an answer is read from what people write."""

import pytest

from portal.plan.input.answer_kinds import Distance, NotAnAnswer


@pytest.mark.parametrize(
    ("text", "centimetres"),
    [
        ("12", 1200),
        ("12,5 m", 1250),
        ("0", 0),
        ("50 ft", 1524),
        ("1 foot", 31),
        ("50'", 1524),
        ("15-20 m", 2000),
        ("15 to 20", 2000),
        ("20\u201315 metres", 2000),
        ("15-20 ft", 610),
        ("10 m - 40 ft", 1220),
    ],
)
def test_a_distance_is_read_in_metres_and_feet(text: str, centimetres: int) -> None:
    """Feet are rounded up to whole centimetres, and of a range the longer counts: a cable that is too long reaches."""
    assert Distance(10_000).read(text) == centimetres


@pytest.mark.parametrize("text", ["", "far", "ft", "-5", "15-", "20 m 30", "101 m", "400 ft", "5 km"])
def test_what_is_no_distance_is_told_with_examples(text: str) -> None:
    """The sentence says the limit in metres; where nothing was understood it gives an example of both units."""
    with pytest.raises(NotAnAnswer) as told:
        Distance(10_000).read(text)
    assert told.value.why.startswith("distance")
    assert told.value.said == {"hi": 100}
