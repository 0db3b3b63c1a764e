"""What a stored plan spells in words is read back as the keys that the words were made of."""

import pytest

from portal.plan.model import EarInput, Item, Path
from portal.plan.packing.item_names import CABLES, OWNED_AS, cable_name, cable_of, thing_of
from portal.plan.result.spelling import (
    DESK_SWITCH,
    STRAIGHT_IN,
    Feed,
    desk_switch,
    feed_of,
    leg_named,
    leg_of,
    leg_words,
    past,
    stays_free,
    tail_of_the_house,
    way_words,
)
from tests.documents.plans import a_line
from tests.plan.case_files import planned_cases
from tests.plan.outcomes import plan_of_case


def fed_by(words: str, way: int | None = None) -> EarInput:
    return EarInput(1, "s-1", "Kick", words, "none", 1, way=way)


@pytest.mark.parametrize("name", ["Split A", "straight in, past", "input stays free: ", "Way, way 3"])
def test_what_feeds_an_input_is_read_whatever_the_splitter_is_called(name: str) -> None:
    assert feed_of(fed_by(way_words(name, 3), way=3)) is Feed.SPLITTER
    assert feed_of(fed_by(past(name))) is Feed.PAST_A_SPLITTER
    assert feed_of(fed_by(stays_free(f"{name} is past it"))) is Feed.NOTHING


def test_what_feeds_an_input_without_a_way() -> None:
    assert feed_of(fed_by(STRAIGHT_IN)) is Feed.STRAIGHT
    assert feed_of(fed_by(tail_of_the_house("B 3"))) is Feed.HOUSE_SPLITTER
    assert feed_of(fed_by(way_words("Split A", 3))) is Feed.SPLITTER, "a plan from before ways were stored"


def test_every_input_of_every_worked_case_is_read() -> None:
    """A way is a splitter's, and an input that stays free has no cable; both kinds and a straight one occur."""
    seen = set()
    for case in planned_cases():
        for one in plan_of_case(case.name).ear_inputs:
            feed = feed_of(one)
            assert (feed is Feed.SPLITTER) == (one.way is not None)
            assert (feed is Feed.NOTHING) == (not one.mic_or_di)
            seen.add(feed)
    assert {Feed.SPLITTER, Feed.STRAIGHT, Feed.NOTHING} <= seen


@pytest.mark.parametrize("key", ["", "A", "output 2"])
def test_the_leg_of_a_line_is_read(key: str) -> None:
    for kind in ("isolated", "direct"):
        path = Path("split", "s", "Split", 1, leg_words(kind, key))
        assert leg_of(path) == kind
        assert leg_named(path) == f"{kind} {key}".strip()


def test_an_output_of_the_mixer_called_isolated_is_no_leg_of_a_splitter() -> None:
    assert leg_of(Path("direct-out", "mixer", "direct out", None, "isolated-1")) == ""


@pytest.mark.parametrize("key", DESK_SWITCH)
def test_what_the_house_does_about_48_v_is_read(key: str) -> None:
    assert desk_switch(a_line(1, desk_phantom=DESK_SWITCH[key])) == key


def test_no_two_words_of_a_switch_are_alike() -> None:
    assert len(set(DESK_SWITCH.values())) == len(DESK_SWITCH)


def test_things_and_cables_of_the_packing_list_are_read() -> None:
    for kind in CABLES:
        assert cable_of(Item(cable_name(kind, 7.5), 1, "")) == (kind, "7.5")
    for name, key in OWNED_AS.items():
        assert thing_of(Item(name, 1, "")) == key
        assert cable_of(Item(name, 1, "")) is None
    assert thing_of(Item("Loom 1", 1, "")) == ""


def test_the_cables_of_the_worked_cases_are_read() -> None:
    kinds = {
        cable.kind
        for case in planned_cases()
        for item in plan_of_case(case.name).bring
        if (cable := cable_of(item)) is not None
    }
    assert kinds == set(CABLES)


def test_a_thing_of_an_older_plan_is_read_by_its_earlier_name() -> None:
    assert thing_of(Item("turn-round", 2, "")) == "turn_round"
