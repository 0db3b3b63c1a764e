"""What would help says what it takes from others: held against the plan of the same gig with the change made."""

from __future__ import annotations

from dataclasses import replace

import pytest

from portal.plan import Plan, reconcile
from portal.plan.input.rig import Out, Rig, Splitter
from portal.wording.plan.saying import say
from tests.plan.hand_cases import (
    BACKING_1,
    DRY_OUT,
    FLOOR_TOM,
    GUITAR_1,
    ISOLATED,
    KICK,
    LEAD,
    RACK,
    RACK_TOM,
    TRACKS,
    band,
    one,
    said,
)

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


FOUR_WAYS = Splitter("rack", "Rack splitter", ways=4, outputs=(ISOLATED,))


def dep_without_a_way(**of_the_splitter: str) -> Rig:
    """Four ways that are wired, one of them to half of the tracks, and a dep who sings; two outputs before all
    processing. Every row has its input of the mixer.
    """
    left, right = TRACKS
    wired = (*KICK, *GUITAR_1, *LEAD, left)
    rows = (*(replace(row, splitter="rack", way=way) for way, row in enumerate(wired, start=1)), right, *BACKING_1)
    numbered = tuple(replace(row, mixer_input=number) for number, row in enumerate(rows, start=1))
    outs = tuple(replace(DRY_OUT, key=key) for key in ("dry 1", "dry 2"))
    return band(numbered, outs=outs, mono=2, splitter=(replace(FOUR_WAYS, **of_the_splitter),))


PLUG_IN = "say-where-sources-plug-in"


def test_a_splitter_of_which_nobody_said_where_sources_plug_in() -> None:
    """What it says comes true where it is said: the dep's voice dry, the tracks in stereo, two plugs moved."""
    found = helps(dep_without_a_way(), 12)
    assert next(iter(found)) == PLUG_IN
    assert found[PLUG_IN] == (
        "The band finds that any source plugs into any way at the front of Rack splitter: backing 1 goes to the house"
        " on a dry line of its own; tracks L and tracks R in stereo. The price: 2 plugs move."
    )
    before, after = planned(dep_without_a_way(), 12), planned(dep_without_a_way(plugs="front"), 12)
    (now,) = (line for line in before.lines if "backing 1" in line.sources)
    (then,) = (line for line in after.lines if "backing 1" in line.sources)
    assert (now.path.kind, then.path.kind, then.sources) == ("direct-out", "split", ("backing 1",))
    assert [line.sources for line in before.lines if "tracks L" in line.sources] == [("tracks L", "tracks R")]
    assert [line.sources for line in after.lines if "tracks L" in line.sources] == [("tracks L",)]
    assert [move.label for move in after.moves] == ["tracks L", "backing 1"]


@pytest.mark.parametrize("plugs", ["front", "inside"])
def test_what_the_rig_says_of_its_splitter_is_not_asked_again(plugs: str) -> None:
    assert PLUG_IN not in helps(dep_without_a_way(plugs=plugs), 12)


def test_the_front_helps_nobody_while_an_input_of_the_mixer_is_unknown() -> None:
    rig = dep_without_a_way()
    *others, voice = rig.source
    assert PLUG_IN not in helps(replace(rig, source=(*others, replace(voice, mixer_input=None))), 12)


def test_the_front_helps_nobody_where_a_way_is_free() -> None:
    assert PLUG_IN not in helps(replace(dep_without_a_way(), splitter=(replace(FOUR_WAYS, ways=9),)), 12)


def test_a_voice_comes_before_an_instrument_on_the_only_output() -> None:
    """As many outputs are used as before, by another: that is a change for whoever listens."""
    rig = dep_without_a_way()
    rows = tuple(row for row in rig.source if row.key != "tracks R")
    rows = tuple(replace(row, pair_with="", position="") for row in rows)
    rig = replace(rig, source=rows, mixer=replace(rig.mixer, outs=rig.mixer.outs[:1]))
    assert (
        helps(rig, 12)[PLUG_IN].partition(" The price: ")[2]
        == "tracks L by an output of the band's mixer; 2 plugs move."
    )
