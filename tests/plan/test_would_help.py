"""What would help says what it takes from others: held against the plan of the same gig with the change made."""

from __future__ import annotations

from dataclasses import replace

import pytest

from portal.plan import Plan, reconcile
from portal.plan.input.rig import Out, Rig
from portal.wording.plan.saying import say
from tests.plan.hand_cases import FLOOR_TOM, KICK, LEAD, RACK, RACK_TOM, band, one, said

VOICES = tuple(one(f"bv {number}", "voice.vocals") for number in (1, 2))


def short_of_ways(ways: int, outs: int) -> Rig:
    """Two toms and three voices, fewer splitter ways than sources, outputs whose tap nobody said."""
    free = tuple(Out(f"out-{number}", use="free") for number in range(1, outs + 1))
    sources = (KICK, RACK_TOM, FLOOR_TOM, *VOICES, LEAD)
    return band(*sources, mono=2, outs=free, splitter=(replace(RACK, ways=ways),))


def planned(rig: Rig, inputs: int) -> Plan:
    outcome = reconcile(rig, said(inputs_free=inputs))
    assert isinstance(outcome, Plan), outcome.sentence
    return outcome


def helps(rig: Rig, inputs: int) -> dict[str, str]:
    return {one.key: say(one.said) for one in planned(rig, inputs).would_help}


@pytest.mark.parametrize(
    ("key", "ways", "inputs", "outs", "price"),
    [
        ("loose-splitter", 1, 4, 1, "rack tom and floor tom not sent."),
        ("loose-splitter", 1, 4, 2, "lead without a line of its own."),
        ("say-where-outputs-are-tapped", 1, 4, 3, "bv 2 by an output of the band's mixer."),
        ("one-more-input", 1, 3, 3, "lead without a line of its own; 3 pads needed, the band owns 0."),
    ],
)
def test_what_it_takes_is_said_beside_what_it_wins(key: str, ways: int, inputs: int, outs: int, price: str) -> None:
    """Who loses a line, a line of its own or the way past the mixer, and pads that nobody owns."""
    assert helps(short_of_ways(ways, outs), inputs)[key].partition(" The price: ")[2] == price


def own_lines(plan: Plan) -> dict[str, set[str]]:
    """Who is sent at all, and who on a line of its own."""
    return {
        "sent": {key for line in plan.lines for key in line.sources},
        "apart": {line.sources[0] for line in plan.lines if len(line.sources) == 1},
    }


@pytest.mark.parametrize("ways", [1, 2, 3])
@pytest.mark.parametrize("outs", [1, 2, 3])
def test_whoever_loses_by_one_more_input_is_named(ways: int, outs: int) -> None:
    """The plan with one input more is made: each source that it sends no longer, or no longer apart, stands in the
    price, and where nobody loses no price is said.
    """
    rig = short_of_ways(ways, outs)
    for inputs in (3, 4, 5):
        text = helps(rig, inputs).get("one-more-input")
        if text is None:
            continue
        now, then = own_lines(planned(rig, inputs)), own_lines(planned(rig, inputs + 1))
        losers = (now["sent"] - then["sent"]) | (now["apart"] - then["apart"])
        price = text.partition(" The price: ")[2]
        named = {source.key for source in rig.source if source.label in price}
        assert losers <= named, text


def test_a_change_that_costs_nobody_has_no_price() -> None:
    """One input more, and a tom is sent too."""
    rig = band(KICK, RACK_TOM, FLOOR_TOM, LEAD)
    assert helps(rig, 3)["one-more-input"] == "The house finds one more working input: rack tom sent too."
