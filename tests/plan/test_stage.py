"""Places on a stage, and how long a cable between two of them has to be."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.documents.stage.stage_rows import hears
from portal.plan.input.rig import Ears, Rig
from portal.plan.result.stage import CLOSE_M, SLACK_LEAST_M, Stage, cable, placed, reaches, route
from tests.builders import a_rig, a_source

sizes = st.floats(1, 60).map(lambda size: round(size, 1))


def somewhere(width: float, depth: float) -> st.SearchStrategy[tuple[float, float]]:
    return st.tuples(
        st.floats(-width / 2 - 1, width / 2 + 1).map(lambda x: round(x, 1)),
        st.floats(0, depth).map(lambda y: round(y, 1)),
    )


@given(st.data(), sizes, sizes)
def test_a_way_turns_at_right_angles_and_ends_where_it_should(data: st.DataObject, width: float, depth: float) -> None:
    """From any place to any other: right angles only, both ends met, no point twice, never along the front edge but
    where the ends are close, and as long there as back.
    """
    start, end = data.draw(somewhere(width, depth)), data.draw(somewhere(width, depth))
    way = route(start, end, width, depth)
    assert (way[0], way[-1]) == (start, end)
    assert all((a[0] == b[0]) != (a[1] == b[1]) for a, b in pairwise(way))
    straight = abs(start[0] - end[0]) + abs(start[1] - end[1])
    length = sum(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in pairwise(way))
    back = route(end, start, width, depth)
    assert length == pytest.approx(sum(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in pairwise(back)))
    assert length >= straight - 1e-6
    if straight <= CLOSE_M:
        assert length == pytest.approx(straight)
    else:
        along_front = [
            pair
            for pair in pairwise(way)
            if pair[0][1] == pair[1][1] == 0 and abs(pair[0][0] - pair[1][0]) > width / 2 + 1
        ]
        assert along_front == []


@pytest.mark.parametrize(
    ("start", "end", "along", "needed"),
    [
        ((-3.0, 4.0), (-4.0, 3.0), 2.0, 5.0),  # close: 2 along, 1 up and down, 2 of slack
        ((-3.0, 2.0), (4.0, 3.0), 16.0, 19.0),  # 1 to the side, 4 back, 8 across, 3 forward; 1; 2
        ((0.0, 5.0), (-4.0, 1.0), 10.0, 13.0),  # 1 to the back, 4 along it, 5 forward
    ],
)
def test_lengths_by_hand(start: tuple[float, float], end: tuple[float, float], along: float, needed: float) -> None:
    """On a stage of 8 by 6 m the way along sides and back, up and down and slack add up as by hand."""
    stage = placed(Stage(width_m=8, depth_m=6, up_and_down_m=1), a_rig())
    found = cable(start, end, stage)
    assert (found.along_m, found.needed_m) == (along, needed)


def test_a_long_way_has_a_tenth_of_slack() -> None:
    """From twenty metres on a tenth is more than two metres, and the whole is rounded up to a tenth of a metre."""
    stage = placed(Stage(width_m=40, depth_m=20, up_and_down_m=0), a_rig())
    found = cable((20.0, 1.0), (-20.0, 1.26), stage)
    assert found.along_m == pytest.approx(77.74)
    assert found.slack_m == pytest.approx(7.774)
    assert found.needed_m == pytest.approx(85.6)
    assert cable((0.0, 0.0), (0.0, 0.1), stage).slack_m == SLACK_LEAST_M


def test_the_shortest_owned_length_that_reaches() -> None:
    """A length that is exactly long enough reaches; where none does, none is named."""
    assert reaches(5.0, [3.0, 10.0, 5.0]) == 5.0
    assert reaches(10.1, [3.0, 10.0]) is None
    assert reaches(1.0, []) is None


@pytest.mark.parametrize(
    ("place", "box"),
    [
        ("stage-right", (4, 3)), ("stage-left", (-4, 3)), ("upstage", (0, 6)), ("downstage", (0, 0)),
        ("off-stage", (5, 3)), ("no-box", (4, 0)), ("", (4, 3)),
    ],
)  # fmt: skip
def test_the_box_stands_where_the_house_says(place: str, box: tuple[float, float]) -> None:
    """Each answer has its place; right is the performer's. Without an answer the place is assumed, and what was drawn
    stands above all.
    """
    found = placed(Stage(), a_rig(), place)
    assert found.box == box
    assert ("box" in found.assumed) is (place == "")
    assert placed(Stage(box=(1, 1)), a_rig(), place).box == (1, 1)


def test_a_mix_that_several_hear_makes_no_person() -> None:
    """Who shares a mix stands on the plot under the own name, once, and hears by it."""
    rig = replace(people_rig(), ears=(Ears(player="Ada, Cem and Zoe", width="mono", outs=("1",)),))
    names = [one.name for one in placed(Stage(), rig).people]
    assert names.count("Cem") == names.count("Zoe") == 1
    assert not [name for name in names if "," in name]
    assert hears("Zoe", rig) == hears("Cem", rig) == "in-ears, radio"


@pytest.mark.parametrize(("said_m", "least_m"), [(None, 0), (4.0, 0), (9.0, 8), (28.0, 12)])
def test_the_rack_stands_as_far_from_the_box_as_is_said(said_m: float | None, least_m: float) -> None:
    """Near it where nothing or little is said, else as far along the back as the stage allows; what is drawn stands."""
    found = placed(Stage(), a_rig(), "stage-left", said_m)
    way = cable(found.rack, found.box, found)
    assert way.along_m == 2.0 if least_m == 0 else least_m <= way.needed_m <= said_m
    assert placed(Stage(rack=(0, 2)), a_rig(), "stage-left", said_m).rack == (0, 2)


def people_rig() -> Rig:
    return replace(
        a_rig(),
        source=(
            a_source("kick", player="Dara"),
            a_source("keys", player="Cem", what="synth.generic", at_m=(2.0, 2.0)),
            a_source("voice", player="Cem", what="voice.vocals", at_m=(3.0, 1.0)),
            a_source("track", player=""),
        ),
        ears=(),
    )


def test_people_stand_where_their_sources_are() -> None:
    """A player stands in the middle of their sources; who has none placed stands where such players usually do, and
    that is marked.
    """
    people = {one.name: one for one in placed(Stage(), people_rig()).people}
    assert people["Cem"].at == (2.5, 1.5)
    assert not people["Cem"].assumed
    assert people["Dara"].assumed
    assert people["Dara"].at[1] > 3
    assert "" in people


def test_a_player_who_is_moved_takes_the_sources_along() -> None:
    """The distance from player to source stays the same."""
    moved = next(one for one in placed(Stage(people=(("Cem", (0.0, 3.0)),)), people_rig()).people if one.name == "Cem")
    assert moved.at == (0.0, 3.0)
    assert [at for _, at in moved.sources] == [(-0.5, 3.5), (0.5, 2.5)]
    assert not moved.assumed


@given(st.integers(0, 40), sizes, sizes)
def test_everybody_is_on_the_stage(count: int, width: float, depth: float) -> None:
    """However many players there are and however small the stage is, nobody stands beside it."""
    rig = replace(
        a_rig(),
        source=tuple(
            a_source(f"s{n}", player=f"P{n}", at_m=(n * 3.0, n * 2.0) if n % 2 else None) for n in range(count)
        ),
    )
    for one in placed(Stage(width_m=width, depth_m=depth), rig).people:
        assert -width / 2 <= one.at[0] <= width / 2
        assert 0 <= one.at[1] <= depth
