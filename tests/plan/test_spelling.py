"""What a plan says of feeds, legs, switches and things is read as keys, and so are the words of plans stored before."""

import pytest

from portal.documents.house_48v import house_switch
from portal.plan.model import DESK_SWITCH, EarInput, Item, LoomWay, Move, Path
from portal.plan.packing.item_names import CABLES, OWNED, as_named, cable_item, cable_of, lengths_of, thing, thing_of
from portal.plan.phrase import PLUS, Listed, Phrase, Said, metres
from portal.plan.result.spelling import (
    Feed,
    cables_of,
    desk_switch,
    feed_of,
    feed_said,
    leg_key,
    leg_of,
    leg_said,
    notes_of,
    past,
    stays_free,
    through,
    way_said,
)
from portal.wording.plan.saying import say
from tests.documents.plans import a_line
from tests.plan.case_files import planned_cases
from tests.plan.outcomes import plan_of_case


def fed_by(said: Said, way: int | None = None) -> EarInput:
    return EarInput(1, "s-1", "Kick", said, "none", 1, way=way)


@pytest.mark.parametrize("name", ["Split A", "straight in, past", "input stays free: ", "Way, way 3"])
def test_what_feeds_an_input_is_read_whatever_the_splitter_is_called(name: str) -> None:
    """In words too, as plans that were stored before have it."""
    for one in (fed_by(way_said(name, 3), way=3), fed_by(say(way_said(name, 3)), way=3)):
        assert (feed_of(one), through(one)) == (Feed.SPLITTER, (name, "3"))
    for said in (past(name), say(past(name))):
        assert feed_of(fed_by(said)) is Feed.PAST_A_SPLITTER
        assert (
            say(feed_said(fed_by(said))) == f"own cable, past {name}: first unplug the splitter's tail from this input"
        )
    for said in (stays_free(past(name)), f"input stays free: {name} is past it"):
        assert (feed_of(fed_by(said)), through(fed_by(said))) == (Feed.NOTHING, None)


@pytest.mark.parametrize(
    ("said", "feed"),
    [
        (Phrase("fed-straight"), Feed.STRAIGHT),
        ("straight in", Feed.STRAIGHT),
        (Phrase("fed-by-a-tail", {"input": 3}), Feed.HOUSE_SPLITTER),
        ("tail B 3 of the house's splitter", Feed.HOUSE_SPLITTER),
        ("Split A, way 3", Feed.SPLITTER),
    ],
)
def test_what_feeds_an_input_without_a_way(said: Said, feed: Feed) -> None:
    """The last is of a plan from before ways were stored."""
    assert feed_of(fed_by(said)) is feed


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


@pytest.mark.parametrize("key", ["", "A", "output 2", "a:b"])
def test_the_leg_of_a_line_is_read(key: str) -> None:
    for kind in ("isolated", "direct"):
        for output in (leg_key(kind, key), f"{kind} output {key}".strip()):
            path = Path("split", "s", "Split", 1, output)
            assert leg_of(path) == kind
            assert say(leg_said(path) or "") == f"{kind} {key}".strip()


def test_an_output_of_the_mixer_called_isolated_is_no_leg_of_a_splitter() -> None:
    path = Path("direct-out", "mixer", "direct out", None, "isolated")
    assert (leg_of(path), leg_said(path)) == ("", None)


LOOM = LoomWay("loom-1", "Loom 1", 3, "XLR male")
XLR = Phrase("xlr-of-length", {"length": metres(5)})


@pytest.mark.parametrize(
    ("run", "cables"),
    [
        ("", "Loom 1 way 3"),
        ("XLR 5 m", "Loom 1 way 3, XLR 5 m"),
        ("Loom 1 + XLR 5 m joined", "Loom 1 way 3 + XLR 5 m joined"),
        (Phrase("cables-unjoined", {"pieces": Listed((XLR,), PLUS)}), "Loom 1 way 3, XLR 5 m"),
        (
            Phrase("cables-joined-end-to-end", {"pieces": Listed(("Loom 1", XLR), PLUS)}),
            "Loom 1 way 3 + XLR 5 m joined",
        ),
    ],
)
def test_the_cables_of_a_line_name_its_way_once(run: Said, cables: str) -> None:
    assert say(cables_of(a_line(1, loom=LOOM, run=run))) == cables
    assert say(cables_of(a_line(1, loom=None, run=run))) == say(run)


def test_a_note_leaves_out_the_plugs_that_move() -> None:
    """They are told in a table of their own."""
    move = Move("s-1", "Kick", 3, 5, "")
    for note in (Phrase("these", {"things": Listed((move.told, "towel inside"), "semicolons")}), "towel inside"):
        assert say(notes_of(a_line(1, note=note), [move])) == "towel inside"
    assert notes_of(a_line(1, note=f"{say(move.told)}; towel inside"), [move]) == "towel inside"
    assert notes_of(a_line(1, note=move.told), [move]) == ""


@pytest.mark.parametrize("key", DESK_SWITCH)
def test_what_the_house_does_about_48_v_is_read(key: str) -> None:
    """In words too."""
    for said in (key, DESK_SWITCH[key]):
        line = a_line(1, desk_phantom=said)
        assert (desk_switch(line), line.at_the_desk) == (key, DESK_SWITCH[key])


@pytest.mark.parametrize(("then", "key"), [("OFF, band feeds", "band"), ("OFF, splitter feeds", "splitter")])
def test_words_of_then_about_48_v_are_read_and_said_as_now(then: str, key: str) -> None:
    """A cell that reads OFF and means ON for one of its two readers is on no paper, of a stored plan neither."""
    line = a_line(1, desk_phantom=then)
    assert (desk_switch(line), house_switch(line)) == (key, DESK_SWITCH[key])
    assert DESK_SWITCH[key] == f"house OFF, {key} ON"


def test_no_two_words_of_a_switch_are_alike() -> None:
    assert len(set(DESK_SWITCH.values())) == len(DESK_SWITCH)


def test_things_and_cables_of_the_packing_list_are_read() -> None:
    """As keys, and by the names that plans stored before have for them; so are those that the band types."""
    for kind in CABLES:
        for what in (cable_item(kind, 7.5), say(cable_item(kind, 7.5))):
            assert cable_of(Item(what, 1, "")) == (kind, "7.5")
        assert as_named(say(cable_item(kind, 7.5))) == cable_item(kind, 7.5)
    for key in OWNED:
        for what in (thing(key), say(thing(key))):
            assert thing_of(Item(what, 1, "")) == key
            assert cable_of(Item(what, 1, "")) is None
        assert as_named(say(thing(key))) == thing(key)
    assert thing_of(Item("Loom 1", 1, "")) == ""
    assert as_named("Loom 1") == "Loom 1"


def test_the_length_of_a_loom_is_read() -> None:
    """In words too."""
    packed = Phrase("thing-of-length", {"thing": "Loom 1", "length": metres(15)})
    for what in (packed, say(packed)):
        assert say(lengths_of([Item(what, 1, "")])["Loom 1"]) == "15 m"


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
