"""Harm by 48 V, and who gets it: what a switch of the house reaches, what must get none, and what asks for none."""

from __future__ import annotations

from dataclasses import replace

import pytest

from portal.documents.house_48v import house_switch, mixer_switch
from portal.plan import NoPlan, Plan, reconcile
from portal.plan.input.rig import Owner, Rig, Splitter, SplitterOutput
from portal.plan.options.routing_policy import needs_phantom
from portal.wording.plan.saying import say
from tests.plan.hand_cases import DRY_OUT, KICK, LEAD, MAINS, SNARE, band, one, pair, said

DIRECT_ONLY = Splitter(key="rack", ways=8, built_in=True, outputs=(SplitterOutput("c", "direct"),))
RIBBON = one("ribbon", "pluck.guitar.electric", harmed_by_phantom=True)
AMBIENCE = one("ambience", "x-audience", goes="house-only")
AMBIENCE_FED = one("ambience", "x-audience", phantom="yes", goes="house-only")


def planned(rig: Rig, **answers: str | int) -> Plan:
    outcome = reconcile(rig, said(**answers))
    assert isinstance(outcome, Plan), outcome.sentence
    return outcome


def levels(plan: Plan) -> dict[str, str]:
    return {one.key: one.level for one in plan.blocks + plan.asks + plan.notes}


# --- what 48 V harms


SPOT = one("spot", "x-percussion", phantom="yes", goes="house-only")


def test_what_48_v_harms_shares_no_copper_with_a_switch_that_has_to_be_on() -> None:
    """Where the house has one switch for all and has to feed a microphone by itself, a ribbon without a transformer
    never goes through the split.
    """
    plan = planned(band(KICK, SPOT, RIBBON, LEAD, splitter=(DIRECT_ONLY,), outs=(DRY_OUT,)), phantom_switching="all")
    assert {line.sources[0]: line.path.kind for line in plan.lines} == {
        "kick": "split",
        "spot": "straight",
        "ribbon": "direct-out",
        "lead": "split",
    }


@pytest.mark.parametrize("switching", ["banks-of-4", "banks-of-8", "all"])
def test_where_the_switch_can_stay_off_a_ribbon_keeps_its_way(switching: str) -> None:
    """Nobody needs the house's 48 V, so the switch stays off all night, and the ribbon goes dry through the split."""
    plan = planned(band(KICK, RIBBON, LEAD, splitter=(DIRECT_ONLY,), outs=(DRY_OUT,)), phantom_switching=switching)
    assert {line.path.kind for line in plan.lines} == {"split"}
    assert levels(plan)["harmed-by-phantom"] == "asks"
    assert not plan.blocks


@pytest.mark.parametrize(("switching", "apart"), [("banks-of-4", 4), ("banks-of-8", 8)])
def test_a_ribbon_and_what_the_house_feeds_lie_in_different_banks(switching: str, apart: int) -> None:
    """With a bank to spare the ribbon goes where 48 V stays off; the pairs stay beside each other."""
    keys = pair("keys", "synth.generic")
    voices = [one(f"voice {number}", "voice.vocals", lead=number == 1) for number in range(1, 6)]
    sources = (KICK, SPOT, RIBBON, keys, *voices)
    rig = band(*sources, splitter=(replace(DIRECT_ONLY, ways=16),))
    for patching in ("one-to-one", "soft"):
        plan = planned(rig, phantom_switching=switching, patching=patching, inputs_free=16)
        socket = {line.sources[0]: line.box_socket or 0 for line in plan.lines}
        assert (socket["spot"] - 1) // apart != (socket["ribbon"] - 1) // apart
        assert not plan.blocks
        assert patching == "soft" or socket["keys R"] == socket["keys L"] + 1


def test_receivers_leave_the_bank_of_what_the_house_feeds() -> None:
    """Eight receivers and a cello whose rack leg is isolated, on twelve inputs in banks of eight: the receivers take
    the bank that stays off, and the two lines of the keys leave it together.
    """
    isolated = replace(DIRECT_ONLY, ways=16, to_mixer="isolated")
    voices = [one(f"voice {number}", "voice.vocals", capture="wireless", lead=number == 1) for number in range(1, 9)]
    sources = (one("beat", "x-percussion"), one("cello", "strings.cello", phantom="yes"), pair("keys", "synth.generic"))
    rig = band(*sources, *voices, splitter=(isolated,))
    for patching in ("one-to-one", "soft"):
        plan = planned(rig, phantom_switching="banks-of-8", patching=patching, inputs_free=12)
        socket = {line.sources[0]: line.box_socket or 0 for line in plan.lines}
        assert {socket[f"voice {number}"] for number in range(1, 9)} == set(range(1, 9))
        assert socket["cello"] > 8
        assert (socket["keys L"] % 2, socket["keys R"] - socket["keys L"]) == (1, 1)
        assert not plan.blocks


@pytest.mark.parametrize(("switching", "blocked"), [("all", True), ("banks-of-8", True), ("per-channel", False)])
def test_a_receiver_under_a_switch_that_has_to_be_on_blocks(switching: str, *, blocked: bool) -> None:
    """Nobody may sign a sheet that says ON for one socket and never for another on the same switch."""
    isolated = replace(DIRECT_ONLY, to_mixer="isolated")
    lead = one("lead", "voice.vocals", lead=True, capture="wireless")
    rig = band(one("cello", "strings.cello", phantom="yes"), lead, splitter=(isolated,))
    plan = planned(rig, phantom_switching=switching, inputs_free=2)
    assert {line.sources[0]: line.at_the_desk for line in plan.lines} == {"cello": "ON", "lead": "OFF, never"}
    assert [say(one.said) for one in plan.blocks if one.key == "phantom-bank-clash"] == (
        ["48 V can damage lead on stage box input 2, and the same switch of the house feeds cello."] if blocked else []
    )


@pytest.mark.parametrize(("more", "fed_by", "phantom"), [
    ({"to_mixer": "isolated"}, "straight in, past rack: first unplug the splitter's tail from this input", "band"),
    ({"kind": "active"}, "rack, way 1", "splitter"),
    ({}, "rack, way 1", "band"),
])  # fmt: skip
def test_what_stays_in_the_ears_gets_its_48_v_from_somebody(more: dict[str, str], fed_by: str, phantom: str) -> None:
    """Behind a transformer the mixer's 48 V does not arrive, so what the house does not get goes past the splitter."""
    splitter = replace(DIRECT_ONLY, **more)
    cue = replace(one("cue", "strings.cello", phantom="yes", goes="ears-only")[0], splitter="rack", way=1)
    plan = planned(band((cue,), LEAD, splitter=(splitter,)))
    assert [(say(row.fed_by), row.phantom) for row in plan.ear_inputs if row.source == "cue"] == [(fed_by, phantom)]


def test_where_48_v_is_switched_singly_it_may_share_copper() -> None:
    """Per channel the switch under the ribbon stays off by itself, so the split carries it, and both sides sign that it
    stays off.
    """
    plan = planned(band(KICK, RIBBON, LEAD, splitter=(DIRECT_ONLY,), outs=(DRY_OUT,)), phantom_switching="per-channel")
    assert {line.path.kind for line in plan.lines} == {"split"}
    assert levels(plan)["harmed-by-phantom"] == "asks"


@pytest.mark.parametrize(
    ("switching", "sockets", "clashes"),
    [
        ("per-channel", "1-3", False),
        ("banks-of-4", "2-4", True),
        ("banks-of-4", "3-5", False),
        ("banks-of-8", "3-5", True),
        ("banks-of-8", "7-9", False),
        ("all", "7-9", True),
    ],
)
def test_a_switch_of_48_v_reaches_its_bank_and_no_further(switching: str, sockets: str, *, clashes: bool) -> None:
    """Outputs of the band's mixer, or a ribbon, in the bank of a microphone that the house feeds block the plan; in the
    next bank they do not.
    """
    for rig, wish in (
        (band(LEAD, AMBIENCE, outs=MAINS, stereo=1), "left-right-mix"),
        (
            band(
                *[one(key, "pluck.guitar.electric", harmed_by_phantom=True, goes="house-only") for key in "ab"],
                AMBIENCE,
            ),
            "dont-mind",
        ),
    ):
        plan = planned(rig, what_they_want=wish, sockets_free=sockets, phantom_switching=switching)
        assert {line.label for line in plan.lines if line.phantom == "house"} == {"ambience"}
        assert ("phantom-bank-clash" in levels(plan)) is clashes


@pytest.mark.parametrize("answers", [{}, {"house_split": "yes"}])
def test_a_ribbon_on_the_houses_copper_is_signed_for_on_every_path(answers: dict[str, str]) -> None:
    """Straight to the box or into the house's splitter the house's 48 V reaches it as well: both sides sign that it
    stays off.
    """
    plan = planned(
        band(
            one("ribbon", "pluck.guitar.electric", harmed_by_phantom=True, goes="both" if answers else "house-only"),
            LEAD,
        ),
        **answers,
    )
    assert levels(plan)["harmed-by-phantom"] == "asks"


# --- who needs it


@pytest.mark.parametrize("capture", ["wireless", "line", "di", "di-passive"])
def test_what_has_a_supply_of_its_own_or_needs_none_gets_no_48_v(capture: str) -> None:
    """A receiver, a line output and a passive DI ask for no 48 V, whatever a microphone of that kind would need: nobody
    switches it on under them.
    """
    choir = one("choir", "voice.choir", capture=capture, phantom_ma=5.0)
    plan = planned(band(choir, LEAD))
    assert {line.label: line.phantom for line in plan.lines} == {"choir": "none", "lead": "none"}
    at_the_mixer = "never" if capture in ("wireless", "line") else "none"
    assert {row.source: row.phantom for row in plan.ear_inputs} == {"choir": at_the_mixer, "lead": "none"}
    assert not {"house-phantom-off", "rack-stays-on", "house-feeds-phantom"} & set(levels(plan))


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ({"capture": "mic"}, "yes"),
        ({}, "yes"),
        ({"capture": "di-active"}, "yes"),
        ({"capture": "mic", "owner": Owner(mic="house")}, "unknown"),
        ({"capture": "wireless", "owner": Owner(mic="house")}, "no"),
        ({"capture": "wireless", "phantom": "yes"}, "no"),
        ({"capture": "line", "phantom": "yes"}, "no"),
        ({"capture": "di-passive", "phantom": "yes"}, "no"),
        ({"capture": "di", "phantom": "yes"}, "yes"),
        ({"capture": "mic", "phantom": "no"}, "no"),
    ],
)
def test_who_needs_48_v(more: dict[str, object], expected: str) -> None:
    """By kind for a microphone; an active DI does; the house says it of its own; what the band wrote down stands,
    but for what takes none.
    """
    (choir,) = one("choir", "voice.choir", **more)
    assert needs_phantom(choir) == expected


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (
            {"capture": "di-active", "phantom": "no"},
            "Choir: an active DI, and marked as needing no 48 V. Without 48 V or a battery it is silent.",
        ),
        (
            {"capture": "di-passive", "phantom": "yes"},
            (
                "Choir: a passive DI, and marked as needing 48 V. The plan leaves 48 V off there. Band: take the mark"
                " off the rig's row; where an active DI stands there, enter that."
            ),
        ),
        (
            {"capture": "wireless", "phantom": "yes"},
            (
                "Choir: a wireless receiver, and marked as needing 48 V. The plan leaves 48 V off there. Band: take the"
                " mark off the rig's row; where a condenser stands there by cable, enter a microphone."
            ),
        ),
        ({"harmed_by_phantom": True}, "Choir: marked as needing 48 V and as damaged by it."),
        ({"capture": "di-active", "phantom": "no", "owner": Owner(mic="house")}, None),
        ({"capture": "mic", "phantom": "no"}, None),
    ],
)
def test_a_mark_that_contradicts_its_kind_is_said(more: dict[str, object], said: str | None) -> None:
    """Both sides sign that the mark contradicts how the source is picked up; 48 V stays off what takes none."""
    plan = planned(band(one("choir", "voice.choir", **more), KICK))
    assert next((say(one.said) for one in plan.asks if one.key == "phantom-mark"), None) == said


def test_a_condenser_on_a_cable_is_fed_and_said_to_be() -> None:
    """The same choir on a cable gets 48 V from the rack, on the line and on the in-ears' side."""
    plan = planned(band(one("choir", "voice.choir"), KICK))
    assert {line.label: line.phantom for line in plan.lines} == {"kick": "none", "choir": "band"}
    assert {row.source: row.phantom for row in plan.ear_inputs} == {"choir": "band", "kick": "none"}


@pytest.mark.parametrize("mixed", [{}, {"pa": "none", "who_mixes": "band-from-stage"}])
@pytest.mark.parametrize("capture", ["wireless", "line"])
def test_no_mark_puts_48_v_on_a_receiver_or_a_line_output(capture: str, mixed: dict[str, str]) -> None:
    """Whatever its row's mark says it reads OFF on both sides, and nothing counts it as fed."""
    rig = band(one("lead", "voice.vocals", capture=capture, phantom="yes", lead=True, mixer_input=1), KICK, outs=MAINS)
    plan = planned(rig, **mixed)
    assert {house_switch(line) for line in plan.lines if "lead" in line.sources} <= {"OFF, never"}
    assert {mixer_switch(row) for row in plan.ear_inputs if row.source == "lead"} == {"OFF, never"}
    assert "rack-stays-on" not in levels(plan)


def test_a_di_that_needs_48_v_is_an_active_one() -> None:
    """The row and the packing list name the active DI that the rack feeds."""
    plan = planned(band(one("acoustic", "pluck.guitar.acoustic", capture="di", phantom="yes"), KICK))
    (line,) = (line for line in plan.lines if line.sources == ("acoustic",))
    assert (say(line.mic_or_di), line.phantom) == ("DI, active", "band")
    assert "DI, active" in {say(item.what) for item in plan.bring}


# --- a switch of the house that reaches what the band feeds


ROOM = one("room", "x-audience", phantom="yes", goes="house-only")
OVERHEAD = one("overhead", "drum.group.set", mixer_input=6)


def fed(plan: Plan) -> dict[str, tuple[str, str]]:
    """Each line's source: what its row tells the house, and who feeds its input of the band's mixer."""
    at_the_mixer = {row.source: row.phantom for row in plan.ear_inputs}
    return {one.sources[0]: (one.at_the_desk, at_the_mixer.get(one.sources[0], "")) for one in plan.lines}


@pytest.mark.parametrize("switching", ["banks-of-8", "all"])
def test_one_side_feeds_what_a_switch_of_the_house_reaches_anyway(switching: str) -> None:
    """The room microphone needs the house's switch, and the overhead hangs on it by a direct leg: the house feeds both,
    and the band leaves its own 48 V off.
    """
    plan = planned(band(ROOM, OVERHEAD, LEAD, splitter=(DIRECT_ONLY,)), phantom_switching=switching)
    assert fed(plan) == {"overhead": ("ON", "none"), "lead": ("–", "none"), "room": ("ON", "")}
    (said_so,) = [say(one.said) for one in plan.asks if one.key == "house-feeds-direct-legs"]
    assert said_so.endswith("Band: leave 48 V off at mixer input 6.")
    assert plan.rack_dies.lose_phantom == ()


@pytest.mark.parametrize("more", [{"phantom_switching": "per-channel"}, {}])
def test_where_each_input_has_its_switch_the_band_feeds(more: dict[str, str]) -> None:
    """The house leaves its own off on the overhead's input; nothing changes."""
    plan = planned(band(ROOM, OVERHEAD, LEAD, splitter=(DIRECT_ONLY,)), **more)
    assert fed(plan)["overhead"] == ("house OFF, band ON", "band")
    assert not {"house-feeds-direct-legs", "phantom-from-both"} & levels(plan).keys()


def test_behind_a_transformer_the_houses_switch_reaches_nothing() -> None:
    """An isolated leg passes no 48 V: the band feeds, whatever the house's bank does."""
    isolated = replace(DIRECT_ONLY, outputs=(SplitterOutput("b", "isolated"),))
    plan = planned(band(ROOM, OVERHEAD, LEAD, splitter=(isolated,)), phantom_switching="all")
    assert fed(plan)["overhead"] == ("house OFF, band ON", "band")
    assert "phantom-from-both" not in levels(plan)


def test_where_neither_switch_can_be_off_both_sides_know_it() -> None:
    """The band's mixer feeds all its inputs by one switch and another microphone needs it: the paper says that 48 V
    comes from both sides, and when both are switched.
    """
    cue = one("cue", "x-audience", mixer_input=7)
    rig = band(ROOM, OVERHEAD, cue, LEAD, splitter=(DIRECT_ONLY,))
    plan = planned(replace(rig, mixer=replace(rig.mixer, phantom_banks=0)), phantom_switching="all")
    assert fed(plan)["overhead"] == ("house OFF, band ON", "band")
    (said_so,) = [say(one.said) for one in plan.asks if one.key == "phantom-from-both"]
    assert said_so.startswith("Overhead (stage box input 1): 48 V comes from both sides")
    assert said_so.endswith(
        "switch both on before line check, all muted; nobody switches 48 V again until the show is over."
    )


# --- a dead input of the band's mixer


OWN_PA = {"pa": "none", "who_mixes": "band-from-stage"}


@pytest.mark.parametrize(("banks", "there"), [
    (1, "48 V on at mixer input 4 only if the source's row says “ON, band”."),
    (4, "48 V stays on at mixer input 4: never for a receiver, a ribbon or a line output."),
    (None, "48 V on at mixer input 4 only if the source's row says “ON, band”."),
])  # fmt: skip
def test_whoever_moves_a_plug_reads_what_becomes_of_48_v(banks: int | None, there: str) -> None:
    """The row names side, plug, input and patch, and what is done about 48 V where the plug goes."""
    sources = (one("kick", "drum.kick-drum", mixer_input=1), one("overhead", "drum.group.set", mixer_input=2))
    rig = band(*sources, one("lead", "voice.vocals", lead=True, mixer_input=3), outs=MAINS)
    rig = replace(rig, mixer=replace(rig.mixer, inputs=5, phantom_banks=banks))
    plan = planned(rig, **OWN_PA)
    assert say(plan.cut_list[0].said) == (
        "Band: 48 V off at the dead input. Its plug moves to mixer input 4, its channel is patched to that input. "
        + there
    )


def test_a_switch_that_has_to_stay_off_is_named() -> None:
    """A receiver shares the switch of the free input, so 48 V stays off there."""
    sources = (one("kick", "drum.kick-drum", mixer_input=1), one("lead", "voice.vocals", capture="wireless"))
    rig = band(sources[0], tuple(replace(part, mixer_input=5) for part in sources[1]), outs=MAINS)
    rig = replace(rig, mixer=replace(rig.mixer, inputs=8, phantom_banks=4))
    texts = [say(cut.said) for cut in planned(rig, **OWN_PA).cut_list]
    assert texts[0].endswith("48 V on at mixer input 2 only if the source's row says “ON, band”.")
    rig = band(tuple(replace(part, mixer_input=1) for part in sources[1]), outs=MAINS)
    rig = replace(rig, mixer=replace(rig.mixer, inputs=4, phantom_banks=4))
    texts = [say(cut.said) for cut in planned(rig, **OWN_PA).cut_list]
    assert texts[0].endswith("48 V stays off at mixer input 2: plug only a source whose row does not say “ON, band”.")


# --- what is counted


@pytest.mark.parametrize(("owned", "clash"), [(2, False), (1, True)])
def test_as_many_transformers_as_lie_in_the_mix_keep_48_v_off_its_outputs(owned: int, *, clash: bool) -> None:
    """One switch feeds a microphone and stands over the band's mix: with a transformer in both of its lines nothing is
    harmed, with one too few the plan stops.
    """
    rig = band(KICK, AMBIENCE_FED, LEAD, outs=MAINS, stereo=1, bits={"isolating_transformer": owned})
    plan = planned(rig, what_they_want="left-right-mix", isolation="wanted", phantom_switching="all")
    assert ("phantom-bank-clash" in levels(plan)) is clash


@pytest.mark.parametrize(("drawn", "blocked"), [(10, False), (10.5, True)])
def test_the_rack_gives_current_to_what_it_feeds_and_states_any(drawn: float, *, blocked: bool) -> None:
    """What the house feeds, what needs none and what states no current draw nothing from the rack."""
    rig = band(
        one("choir", "voice.choir", phantom="yes", phantom_ma=drawn),
        one("hall", "voice.choir", phantom="yes", phantom_ma=8, goes="house-only"),
        one("snare", "drum.snare-drum", phantom="no", phantom_ma=8),
        one("hat", "metal.hi-hat", phantom="yes"),
    )
    plan = planned(replace(rig, mixer=replace(rig.mixer, phantom_budget_ma=10)))
    said_so = [say(one.said) for one in plan.blocks if one.key == "phantom-budget"]
    assert said_so == (
        ["The rack gives 10 mA of phantom current; what it feeds tonight draws 10.5 mA."] if blocked else []
    )


def test_one_that_shares_a_bank_takes_it_and_several_take_it() -> None:
    """The note of a bank that has to be on counts what else stands on it."""
    alone, both = (
        planned(band(AMBIENCE_FED, *more, LEAD, splitter=(DIRECT_ONLY,)), phantom_switching="banks-of-8")
        for more in ((), (SNARE,))
    )
    texts = [next(say(one.said) for one in plan.notes if one.key == "phantom-bank-on") for plan in (alone, both)]
    assert [text.split(", ")[-1] for text in texts] == ["which takes it.", "which take it."]


# --- a PA that takes line level


@pytest.mark.parametrize(("level", "asked"), [("line", False), ("mic", True)])
def test_inputs_of_a_pa_at_line_level_have_no_48_v(level: str, *, asked: bool) -> None:
    """Nobody is asked how 48 V is switched there, or ticks that it stays off; at microphone level both hold."""
    rig = band(KICK, LEAD, outs=MAINS, stereo=1)
    answers = {"who_mixes": "band-from-stage", "pa_input_level": level, "phantom_switching": "banks-of-8"}
    assert ("phantom-bank-under-our-outputs" in levels(planned(rig, **answers))) is asked
    del answers["phantom_switching"]
    assert ("phantom-switching" in {one.question for one in planned(rig, **answers).assumed}) is asked


# --- between two transformers

PARTED = Splitter(
    key="rack", ways=8, built_in=True, to_mixer="isolated", outputs=(SplitterOutput("c", "direct"),), kind="passive"
)
CONDENSER = one("choir", "voice.choir", phantom="yes")


def test_nothing_that_needs_48_v_stands_between_two_transformers() -> None:
    """Where the house requires a transformer in each line, and the splitter's own parts it from the band's mixer, a
    condenser leaves by an output of that mixer; without one it has no line, and the plan names why.
    """
    rig = band(CONDENSER, LEAD, splitter=(PARTED,), bits={"isolating_transformer": 2})
    free = planned(replace(rig, mixer=replace(rig.mixer, outs=(DRY_OUT,))), isolation="required")
    assert {line.sources: line.path.kind for line in free.lines} == {("choir",): "direct-out", ("lead",): "split"}
    bare = planned(rig, isolation="required")
    assert [line.sources for line in bare.lines] == [("lead",)]
    assert "isolated lines are required, which pass no 48 V" in say(bare.not_sent[0].because[0].said)
    assert len(planned(rig).lines) == 2


def test_a_must_between_two_transformers_is_up_to_the_house() -> None:
    """What has to reach the house and can get no 48 V there ends the plan, and the house can resolve it."""
    needed = (replace(CONDENSER[0], must=True),)
    rig = band(needed, LEAD, splitter=(PARTED,), bits={"isolating_transformer": 2})
    outcome = reconcile(rig, said(isolation="required"))
    assert isinstance(outcome, NoPlan)
    assert "The house accepts lines without a transformer." in {say(one.said) for one in outcome.remedies}
