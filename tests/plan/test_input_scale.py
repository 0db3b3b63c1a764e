"""The scale beside the house's question about its inputs: from the engine, count by count."""

import pytest

from portal.exchange.example import example_rig
from portal.plan.input.facts import Answer, Facts, wished_route
from portal.plan.model import Plan, Route
from portal.plan.reconcile import MIX_ROUTES, outline, scale_of_inputs
from portal.plan.solving.input_scale import BOXES
from portal.wording.plan.saying import say
from tests.plan.gigs import gig


def told(**values: str | int) -> dict[str, Answer]:
    return {key.replace("_", "-"): Answer("answered", value, "house") for key, value in values.items()}


DESK = told(who_mixes="house-engineer", pa="stereo", box_distance=1000)


def test_a_scale_says_row_on_row_what_fewer_inputs_cost() -> None:
    """The example on a desk: everything apart, then what each smaller box takes away beyond the one above."""
    assert [(one.inputs, say(one.said)) for one in scale_of_inputs(example_rig(), DESK)] == [
        (20, "every source on its own line"),
        (16, "Keys L and Keys R to mono; Kick Out and Snare Bottom not plugged; Hat only in the in-ears"),
        (12, "Tracks L and Tracks R to mono; OH R, Rack Tom and Floor Tom only in the in-ears"),
        (
            8,
            (
                "Voice Bo and Voice Eli on one line; Guitar Bo and Guitar Cem on one line;"
                " Keys L, Keys R, Tracks L and Tracks R on one line; OH L only in the in-ears"
            ),
        ),
    ]


def test_what_was_answered_about_inputs_changes_no_scale() -> None:
    """It stands beside the question, for whatever somebody would answer to it."""
    scale = scale_of_inputs(example_rig(), DESK)
    assert scale_of_inputs(example_rig(), DESK | told(inputs_free=6, sockets_free="1-6")) == scale


def test_no_scale_where_no_house_counts_inputs() -> None:
    """Over the band's own PA, and where a left/right mix is wanted, the plan hangs on no count."""
    assert scale_of_inputs(example_rig(), told(pa="none")) == ()
    assert scale_of_inputs(example_rig(), DESK | told(what_they_want="left-right-mix")) == ()


@pytest.mark.parametrize("seed", range(40))
def test_each_rung_is_the_plan_at_its_count(seed: int) -> None:
    """The first rung is the smallest count at which the plan is what it is with plenty of inputs; the others are usual
    boxes, from large to small, and below the last one nothing fits or nothing more is lost.
    """
    rig, answers = gig(seed)
    given = {key: one for key, one in answers.items() if key not in ("inputs-free", "sockets-free")}
    scale = scale_of_inputs(rig, answers)
    route = wished_route(Facts(rig, given))
    plenty = outline(rig, given)
    if route is Route.OWN_PA or route in MIX_ROUTES or not isinstance(plenty, Plan):
        assert scale == ()
        return
    counts = [one.inputs for one in scale]
    boxed = sum(line.box_socket is not None for line in plenty.lines)
    assert counts[0] == boxed
    assert counts[1:] == sorted(set(counts[1:]) & set(BOXES), reverse=True)
    assert all(say(one.said) for one in scale)
    for one in scale[1:]:
        there = outline(rig, given | told(inputs_free=one.inputs))
        assert one.inputs < boxed
        assert isinstance(there, Plan) != say(one.said).startswith("nothing fits")
        if isinstance(there, Plan):
            assert len(there.lines) < len(plenty.lines) or sum(line.box_socket is None for line in there.lines)
