"""What a plan says is true of this gig: no sentence contradicts a line, a loom or another sentence."""

from __future__ import annotations

from dataclasses import replace

import pytest

from portal.plan import Plan, reconcile
from portal.plan.input.facts import Facts, Lock
from portal.plan.input.rig import Loom, Out, Rig, Splitter, SplitterOutput
from portal.plan.options.routing_policy import capture_of
from portal.plan.phrase import Phrase
from portal.plan.solving.binding_limits import limits_of
from portal.wording.plan.saying import say
from tests.plan.gigs import gig, medium
from tests.plan.hand_cases import (
    BACKING_1,
    DRY_OUT,
    FREE_OUTS,
    HAT,
    KEYS,
    KICK,
    LEAD,
    MAINS,
    OVERHEADS,
    SNARE,
    TRACKS,
    band,
    one,
    pair,
    said,
)
from tests.plan.outcomes import outcome_of

DIRECT_ONLY = Splitter(key="rack", name="Rack", ways=16, built_in=True, outputs=(SplitterOutput("c", "direct"),))
CHOIR = one("choir", "voice.choir")


def planned(rig: Rig, **answers: str | int) -> Plan:
    outcome = reconcile(rig, said(**answers))
    assert isinstance(outcome, Plan), outcome.sentence
    return outcome


def text_of(key: str, plan: Plan) -> str | None:
    return next((say(one.said) for one in plan.blocks + plan.asks + plan.notes if one.key == key), None)


# --- one leg of a pair


def test_a_line_for_both_legs_says_who_makes_them_one() -> None:
    """The player makes one of two legs: by the left/mono jack, or by a switch in the machine. The line carries both,
    says how, and the player is told.
    """
    for how, said_so in (
        ("jack", "Kay plugs only the left/mono jack of the machine"),
        ("switch", "Kay sets the machine to mono"),
    ):
        tracks = pair("tracks", "x-playback", to_mono=how, player="Kay")
        plan = planned(band(LEAD, tracks), inputs_free=2, room_capacity=500)
        line, _ = plan.lines
        assert (line.label, line.sources, line.stereo_partner) == ("tracks (mono)", ("tracks L", "tracks R"), None)
        assert (say(line.note), line.path.kind) == (said_so, "split")
        assert said_so in text_of("players-make-mono", plan)
        assert plan.not_sent == ()
        free = {one.label: say(one.fed_by) for one in plan.ear_inputs}["tracks R"]
        assert free.startswith("input stays free") is (how == "jack")


def test_playback_that_cannot_be_mono_by_itself_takes_a_bus_or_both_lines() -> None:
    """Nobody said that the machine has a switch: one leg alone would drop what is panned right, so it never is."""
    rig = band(LEAD, TRACKS)
    assert [line.label for line in planned(rig, inputs_free=3).lines] == ["tracks L", "tracks R", "lead"]
    summed = planned(band(LEAD, TRACKS, outs=FREE_OUTS, mono=1), inputs_free=2).lines[0]
    assert (summed.label, say(summed.path.unit_name), summed.dry) == ("tracks (mono)", "to mono", False)
    assert not [line for line in planned(rig, inputs_free=2).lines if line.label == "tracks L"]


def test_the_bands_own_note_stands_behind_what_the_player_does() -> None:
    """What the band wrote about the source is kept beside it."""
    keys = tuple(replace(source, note="Left is click-free") for source in KEYS)
    note = say(planned(band(LEAD, keys), inputs_free=2).lines[0].note)
    assert note == f"{KEYS[0].player} plugs only the left/mono jack of the keyboard; Left is click-free"


def test_one_microphone_of_a_pair_is_one_microphone() -> None:
    """A piano has no mono jack: of two microphones one goes to the house under its own name, the other stays in the
    ears.
    """
    plan = planned(band(LEAD, pair("piano", "keyboard.piano", capture="mic")), inputs_free=2)
    assert [(line.label, line.sources, say(line.note)) for line in plan.lines if "piano" in line.label] == [
        (
            "piano L",
            ("piano L",),
            (
                "one microphone, no sum; piano R is not on this line;"
                " band: move it to the middle; at the desk: pan it to the centre"
            ),
        )
    ]
    told = (
        "Piano L goes to the house as the one microphone of its pair; piano R stays in the in-ears only tonight. 3"
        " sources; 2 working inputs."
    )
    assert [say(one.because[0].said) for one in plan.not_sent] == [told]


def test_an_overhead_that_goes_is_not_said_to_stay() -> None:
    """In a small room as well, the overhead on a line is the one that carries the cymbals; only the other one stays."""
    for people in (120, 500):
        plan = planned(band(KICK, SNARE, OVERHEADS, LEAD), inputs_free=4, room_capacity=people)
        (line,) = [line for line in plan.lines if line.label == "overhead L"]
        assert say(line.because[-1].said).startswith("Overhead L carries the cymbals alone")
        assert [one.label for one in plan.not_sent] == ["overhead R"]


def test_what_a_bus_sums_is_called_mono() -> None:
    """Where a bus of the band's mixer makes one of two legs the line carries both and is called mono."""
    bus_only = band(
        LEAD,
        KEYS,
        splitter=(Splitter(key="rack", ways=1, built_in=True, outputs=(SplitterOutput("b", "isolated"),)),),
        outs=FREE_OUTS,
        mono=1,
    )
    (line,) = [line for line in planned(bus_only, inputs_free=2).lines if say(line.path.unit_name) == "to mono"]
    assert (line.label, line.sources) == ("keys (mono)", ("keys L", "keys R"))
    assert say(line.because[0].said).startswith(
        "Keys L and keys R go to the house in mono, summed on the band's mixer."
    )


@pytest.mark.slow
def test_a_line_through_one_way_carries_both_legs_only_where_the_player_makes_them_one() -> None:
    """On generated gigs a line that one plug feeds names both halves of a pair only with what the player does, never of
    two microphones, never where the rig says that the machine cannot.
    """
    made = 0
    for make, seed in [(gig, seed) for seed in range(250)] + [(medium, seed) for seed in range(15)]:
        plan = outcome_of(make, seed)
        by_key = {source.key: source for source in make(seed)[0].source}
        for line in plan.lines if isinstance(plan, Plan) else ():
            pairs = [key for key in line.sources if by_key[key].pair_with in line.sources and not by_key[key].submix]
            if line.path.kind in ONE_PLUG and pairs:
                assert "left/mono jack" in say(line.note) or "to mono" in say(line.note), (
                    f"{make.__name__}({seed}): {line.label}"
                )
                assert not {by_key[key].to_mono for key in pairs} & {"bus", "cannot"}
                assert not [key for key in pairs if capture_of(by_key[key]) == "mic"]
                made += 1
    assert made > 15


ONE_PLUG = ("split", "direct-out", "processed-direct-out", "digital-link", "straight", "house-split")


# --- transformers


def test_where_transformers_stand_in_the_lines_none_is_said_to_be_missing() -> None:
    """With isolation required every direct line has its transformer: house 48 V reaches nothing, and no statement says
    otherwise.
    """
    rig = band(KICK, CHOIR, LEAD, splitter=(DIRECT_ONLY,), bits={"isolating_transformer": 3})
    with_them, without = planned(rig, isolation="required"), planned(rig)
    assert text_of("two-phantom-feeders", with_them) is None
    assert (
        text_of("house-phantom-off", with_them)
        == "The band's rack feeds 48 V to choir. House: leave 48 V off on stage box input 2."
    )
    assert (
        text_of("two-phantom-feeders", without)
        == "Choir: no transformer, and the band's rack feeds 48 V. House: leave 48 V off on stage box input 2."
        " House and band: switch no 48 V there during the show."
    )
    assert text_of("house-phantom-off", without) is None


@pytest.mark.parametrize(("owned", "missing"), [(2, False), (1, True)])
def test_a_pair_behind_the_bands_own_transformers_is_isolated(owned: int, *, missing: bool) -> None:
    """A left/right mix is packed with two transformers: where the band owns them the house's wish is met."""
    rig = band(KICK, LEAD, outs=MAINS, stereo=1, bits={"isolating_transformer": owned})
    plan = planned(rig, what_they_want="left-right-mix", isolation="wanted")
    assert (text_of("isolation-not-met", plan) is not None) is missing


# --- looms, cables, room to spare

LOOM = Loom(key="loom", name="Loom", ways=8, length_m=15)
CABLES = {"xlr_20m": 4}


@pytest.mark.parametrize(("length", "joined"), [(10, True), (20, False)])
def test_a_loom_that_is_made_longer_by_a_cable_is_joined(length: int, *, joined: bool) -> None:
    """A loom and one cable have a join between them; a loom that reaches by itself has none."""
    rig = band(KICK, LEAD, outs=MAINS, stereo=1, loom=(replace(LOOM, length_m=length),), bits={"xlr_10m": 2})
    plan = planned(rig, pa="stereo", who_mixes="band-from-stage", pa_input_distance=1500)
    assert str(text_of("cables-joined", plan)).startswith("Loom + XLR 10 m joined for 15 m") is joined


def test_one_voice_alone_is_asked_about_by_nobody() -> None:
    """Who sings lead is asked where several voices could: one voice is the lead, or there is none."""
    assert text_of("who-sings-lead", planned(band(KICK, BACKING_1))) is None


@pytest.mark.parametrize(
    ("looms", "sources", "why"),
    [
        ((replace(LOOM, ways=2),), (KICK, SNARE, LEAD), "the looms that come along are full"),
        ((LOOM,), (LEAD,), "they are less to carry than another loom"),
        ((replace(LOOM, length_m=5),), (LEAD,), "no loom reaches"),
    ],
)
def test_loose_cables_have_the_reason_that_is_true(
    looms: tuple[Loom, ...], sources: tuple[object, ...], why: str
) -> None:
    """Full looms are named only where looms come along and are full; packed and said with the same reason."""
    plan = planned(band(*sources, loom=looms, bits=CABLES), box_distance=1200)
    assert plan.spare == ()
    assert text_of("loose-cables", plan) == f"Lines on loose cables: 1; {why}."
    assert {say(item.what): say(item.why) for item in plan.bring}["loose cable to the box, 20 m"] == why


@pytest.mark.parametrize(
    ("rig", "answers", "said_so"),
    [
        (band(KICK, LEAD, loom=(LOOM,)), {"inputs_free": 16}, "Loom way 3 in stage box input 3"),
        (band(KICK, LEAD, loom=(LOOM,)), {"inputs_free": 16, "talkback": "yes"}, "Loom way 4 in stage box input 3"),
        (band(KICK, LEAD, loom=(LOOM,)), {"inputs_free": 15}, None),
        (band(KICK, LEAD, loom=(LOOM,)), {"sockets_free": "1-2"}, None),
        (band(KICK, LEAD), {"inputs_free": 16}, None),
        (band(KICK, LEAD, loom=(replace(LOOM, ways=2),)), {"inputs_free": 16}, None),
        (band(KICK, LEAD, loom=(replace(LOOM, ways=3),)), {"inputs_free": 16, "talkback": "yes"}, None),
        (band(KICK, HAT, LEAD, loom=(replace(LOOM, ways=2),)), {"inputs_free": 16}, None),
        (
            replace(band(KICK, HAT, LEAD, loom=(LOOM,)), splitter=(replace(DIRECT_ONLY, ways=2),)),
            {"inputs_free": 16},
            None,
        ),
        (band(KICK, LEAD, loom=(LOOM,)), {"inputs_free": 16, "house_split": "yes"}, None),
        (
            band(KICK, LEAD, loom=(LOOM,)),
            {"inputs_free": 1, "second_box_inputs": 16},
            "Loom way 3 in stage box input B 3",
        ),
        (
            band(KICK, LEAD, loom=(LOOM,)),
            {"inputs_free": 3, "second_box_inputs": 16},
            "Loom way 3 in stage box input A 3",
        ),
    ],
)
def test_a_spare_line_is_offered_where_way_loom_and_input_exist(
    rig: Rig, answers: dict[str, str | int], said_so: str | None
) -> None:
    """A full loom, a way that a return takes, another box's input or a source that stays out leave no room for a spare
    line.
    """
    text = text_of("spare-line", planned(rig, **answers))
    assert text == (
        f"Leave a spare line on {said_so}, and keep a spare vocal microphone at hand, for the stand of one that fails."
        if said_so
        else None
    )


# --- outputs whose tap nobody stated


def test_an_output_of_unknown_tap_is_not_said_to_be_processed() -> None:
    """It counts as processed until the rig says where it is tapped, and both the line and the limit say that."""
    unknown = tuple(Out(f"out-{number}", use="free") for number in range(2))
    rig = band(KICK, LEAD, splitter=(), outs=unknown)
    line = planned(rig).lines[0]
    assert (line.path.kind, say(line.because[0].said)) == (
        "processed-direct-out",
        (
            "Kick: a direct out on out-0, counted as processed, because the band carries no splitter; where it is"
            " tapped is not stated."
        ),
    )
    assert text_of("not-as-wished", planned(rig)) is None
    limited = reconcile(rig, said(what_they_want="split-each-source"))
    assert "no unprocessed output free on the band's mixer, the tap of 2 outputs not stated" in say(limited.sentence)
    after_eq = planned(
        band(KICK, LEAD, splitter=(), outs=tuple(replace(out, tap_before=("mute", "fader")) for out in unknown))
    ).lines[0]
    assert "with the band's processing on it" in say(after_eq.because[0].said)


def test_a_direct_out_has_the_reason_that_is_true() -> None:
    """With ways to spare a ribbon takes a direct out because no output of the splitter is fit for it, not because no
    way is left.
    """
    ribbon = one("ribbon", "pluck.guitar.electric", harmed_by_phantom=True)
    spot = one("spot", "x-percussion", phantom="yes", goes="house-only")
    rig = band(KICK, spot, ribbon, LEAD, splitter=(DIRECT_ONLY,), outs=(DRY_OUT,))
    (line,) = [line for line in planned(rig, phantom_switching="all").lines if line.path.kind == "direct-out"]
    assert "because no splitter output is fit for it;" in say(line.because[0].said)
    full = replace(rig, splitter=(replace(DIRECT_ONLY, ways=2),))
    (line,) = [line for line in planned(full).lines if line.path.kind == "direct-out"]
    assert "because no splitter way is left;" in say(line.because[0].said)


# --- who makes mono, and of what


@pytest.mark.parametrize(("what", "how", "told"), [
    ("synth.generic", "", "Kay plugs only the left/mono jack of the keyboard"),
    ("keyboard.piano.electric", "", "Kay plugs only the left/mono jack of the electric piano"),
    ("synth.generic", "switch", "Kay sets the keyboard to mono"),
    ("x-electronic-kit", "", "Kay plugs only the left/mono jack of the drum module"),
    ("x-guitar-modelled", "switch", "Kay sets the guitar processor to mono"),
    ("x-looper", "jack", "Kay plugs only the left/mono jack of the looper"),
    ("x-playback", "switch", "Kay sets the machine to mono"),
    ("keyboard.accordion", "switch", "Kay sets the machine to mono"),
])  # fmt: skip
def test_each_kind_of_pair_has_the_players_own_instruction(what: str, how: str, told: str) -> None:
    """A player reads what to plug or set on the very thing that they play."""
    rig = band(LEAD, pair("sound", what, to_mono=how, player="Kay", capture="di"))
    plan = planned(rig, inputs_free=2, room_capacity=500)
    assert [say(line.note) for line in plan.lines if len(line.sources) > 1] == [told]


# --- what is not plugged


@pytest.mark.parametrize(("wanted", "where", "said_so"), [
    (False, "not-plugged", "Kick out is not plugged tonight; kick carries the sound to the house."),
    (True, "ears-only-tonight", "Kick out stays in the in-ears only tonight; kick carries the sound to the house."),
])  # fmt: skip
def test_what_is_not_plugged_does_not_stay_in_the_ears(where: str, said_so: str, *, wanted: bool) -> None:
    """A second microphone that nobody sends stays in its case, and its reason says so."""
    out = one("kick out", "drum.kick-drum", second_of="kick", in_ears_anyway=wanted)
    plan = planned(band(KICK, out, LEAD), inputs_free=2)
    (row,) = plan.not_sent
    assert row.where == where
    assert say(row.because[0].said).startswith(said_so)


# --- a note that says the row again


def test_a_way_that_the_row_says_is_no_note() -> None:
    """What a pasted list said of the way is not printed under the row of that very way; other words and other ways
    stay.
    """
    kick = replace(KICK[0], splitter="rack", way=3, note="splitter way 3; towel inside")
    snare = replace(SNARE[0], splitter="rack", way=4, note="splitter way 9")
    lines = planned(band((kick,), (snare,), LEAD)).lines
    assert [say(line.note) for line in lines[:2]] == ["towel inside", "splitter way 9"]


# --- the band's gain


def test_every_input_with_the_bands_gain_is_named() -> None:
    """The point to confirm names the same inputs as the rows: a pair on one output is among them."""
    tracks = pair("tracks", "x-playback", to_mono="bus")
    rig = band(LEAD, tracks, splitter=(), outs=FREE_OUTS, mono=2)
    plan = planned(rig, inputs_free=2, room_capacity=500)
    assert {line.path.kind for line in plan.lines} >= {"group"}
    inputs = [line.box_socket for line in plan.lines if line.gain_owner == "band"]
    assert text_of("gain-is-ours", plan).startswith(f"Stage box inputs {inputs[0]}-{inputs[-1]}: the band sets")


# --- left out by somebody's word


@pytest.mark.parametrize(
    ("by", "who"), [("house", "house and band agreed on it"), ("band", "the band leaves it out")], ids=str
)
@pytest.mark.parametrize(
    ("goes", "stays"), [("both", "stays in the in-ears only tonight"), ("house-only", "is not plugged tonight")]
)
def test_what_is_left_out_by_word_says_whose_word_it_is(by: str, who: str, goes: str, stays: str) -> None:
    """A line could carry it, so the reason is the agreement, not a want of lines."""
    (acoustic,) = one("acoustic", "pluck.guitar.acoustic", goes=goes)
    left_out = Lock("acoustic", "send", "leave-out", by, "band")
    plan = reconcile(band(KICK, (acoustic,), LEAD), said(inputs_free=8), (left_out,))
    assert isinstance(plan, Plan)
    (kept,) = plan.not_sent
    assert [say(one.said) for one in kept.because] == [f"Acoustic {stays}: {who}."]


@pytest.mark.parametrize(
    ("outs", "words"),
    [
        (("", "", ""), "3 outputs free on the band's mixer, none known to be unprocessed"),
        (("post-eq", "post-eq", "post-eq"), "3 outputs free on the band's mixer, none unprocessed"),
        (("after-preamp", "", ""), "3 outputs free on the band's mixer, 1 of them unprocessed, 2 of unknown tap"),
    ],
)
def test_outputs_that_bind_are_counted_once(outs: tuple[str, ...], words: str) -> None:
    """How many are free and how many of those are unprocessed is one clause, never "no" and "3" side by side."""
    free = tuple(Out(str(number), use="free", tap=tap) for number, tap in enumerate(outs))
    rig = band(KICK, LEAD, splitter=(), outs=free)
    limits = limits_of(Facts(rig, said(inputs_free=4)), ["inputs-free", "unprocessed-outs", "free-outs"])
    assert say(Phrase("these", {"things": limits})).endswith(f" and {words}")
