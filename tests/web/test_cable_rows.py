"""The rows of the plan's picture: where a signal leaves its line for the band's mixer, by the number of its input."""

from portal.plan.model import EarInput, Path
from portal.web.plan.cable import Places, cables
from tests.documents.plans import a_line, a_plan


def dives(inputs: dict[str, int], kind: str = "group") -> dict[str, str]:
    """Each row's label, and where it says that it goes into the band's mixer; one sum of all sources."""
    line = a_line(1, sources=tuple(inputs), path=Path(kind, "mixer", "sum", None, "out-12"), stereo_partner=None)
    heard = tuple(
        EarInput(number, name, name, "straight in", "none", 1, mic_or_di="mic") for name, number in inputs.items()
    )
    table = cables(a_plan((line,), ear_inputs=heard, returns=(), not_sent=()), Places(str, str, lambda _: ""))
    return {row.label: row.dive for group in table.groups for row in group.rows}


def test_the_row_of_a_sum_names_its_own_sources_input() -> None:
    """Each row of a sum stands for one source, the last one for the source whose name it bears."""
    assert dives({"tracks L": 17, "tracks R": 18}) == {"tracks L": "in 17", "tracks R": "in 18"}


def test_a_row_of_several_sources_names_their_inputs_where_there_is_room() -> None:
    """A mix of two names both inputs; of many it counts them."""
    (two,) = dives({"left": 17, "right": 18}, "left-right-mix").values()
    (many,) = dives({f"s{number}": 2 * number for number in range(1, 10)}, "left-right-mix").values()
    assert (two, many) == ("in 17-18", "9 in")
