"""One invented band of seven and its gigs: horns on clip-on condensers, one of them on a wireless receiver in the rack,
a modeller, a click; and three houses: eight inputs, a tablet on the band's mixer, a PA that nobody mixes.
"""

from __future__ import annotations

from dataclasses import replace

from portal.plan import Plan, reconcile
from portal.plan.input.answer_kinds import Value
from portal.plan.input.facts import Answer, Answers
from portal.plan.input.rig import Ears, Loom, Mix, Mixer, Out, Rig, Source, Splitter, SplitterOutput

LEFT: dict[str, object] = {"position": "left"}
RIGHT: dict[str, object] = {"position": "right"}
GTR: dict[str, object] = {"note": "modeller XLR"}
RECEIVER = "wireless bodypack, clip-on condenser; receiver in the rack, XLR out"

# label, what, player, capture, stand, 48 V, way, and what else is known of it
ROWS: tuple[tuple[str, str, str, str, str, str, int | None, dict[str, object]], ...] = (
    ("Kick", "drum.kick-drum", "Odo", "mic", "short", "no", 1, {}),
    ("Snare", "drum.snare-drum", "Odo", "mic", "short", "no", 2, {}),
    ("Rack tom", "drum.tom-tom", "Odo", "mic", "clip", "yes", None, {"position": "rack"}),
    ("Floor tom", "drum.tom-tom", "Odo", "mic", "clip", "yes", 3, {"position": "floor"}),
    ("OH L", "drum.group.set", "Odo", "mic", "tall", "yes", 4, LEFT | {"pair_with": "oh-r"}),
    ("OH R", "drum.group.set", "Odo", "mic", "tall", "yes", 5, RIGHT | {"pair_with": "oh-l"}),
    ("Bass DI", "pluck.bass.acoustic", "Wes", "di-active", "none", "yes", 6, {}),
    ("Bass mic", "pluck.bass.acoustic", "Wes", "mic", "clip", "yes", None, {"second_of": "bass-di"}),
    ("Gtr 1 L", "pluck.guitar.electric", "Tao", "line", "none", "no", 7, GTR | LEFT | {"pair_with": "gtr-1-r"}),
    ("Gtr 1 R", "pluck.guitar.electric", "Tao", "line", "none", "no", 8, GTR | RIGHT | {"pair_with": "gtr-1-l"}),
    ("Gtr 2", "pluck.guitar.electric", "Jule", "mic", "short", "no", 9, {}),
    ("Keys L", "synth.generic", "Inka", "di", "none", "", 10, LEFT | {"pair_with": "keys-r"}),
    ("Keys R", "synth.generic", "Inka", "di", "none", "", 11, RIGHT | {"pair_with": "keys-l"}),
    ("Trumpet", "brass.trumpet", "Mo", "mic", "clip", "yes", 12, {"family": "horns"}),
    ("Alto sax", "wind.reed.saxophone", "Inka", "mic", "clip", "yes", 13, {"family": "horns"}),
    ("Trombone", "brass.trombone", "Pim", "wireless", "clip", "no", 14, {"family": "horns", "note": RECEIVER}),
    ("Vox Tao", "voice.vocals", "Tao", "mic", "tall", "no", 15, {"lead": True}),
    ("Vox Jule", "voice.vocals", "Jule", "mic", "tall", "no", 16, {"lead": True}),
    ("Click", "x-click", "Odo", "line", "none", "no", None, {"goes": "ears-only"}),
    ("Cue", "x-cue", "Odo", "line", "none", "no", None, {"goes": "ears-only"}),
)  # fmt: skip


def key_of(label: str) -> str:
    return label.lower().replace(" ", "-")


def seven_players(**changes: object) -> Rig:
    """The band's rig."""
    sources = tuple(
        Source(
            key=key_of(label),
            label=label,
            what=what,
            player=player,
            capture=capture,
            stand=stand,
            phantom=phantom,
            mixer_input=number,
            splitter="a" if way else "",
            way=way,
            **more,
        )
        for number, (label, what, player, capture, stand, phantom, way, more) in enumerate(ROWS, start=1)
    )
    ears = (("Tao", "12"), ("Jule", "34"), ("Mo, Inka and Pim", "56"), ("Odo", "7"), ("Wes", "8"))
    mixes = tuple(
        Ears(player, "stereo" if len(outs) > 1 else "mono", tuple(outs), "radio" if len(outs) > 1 else "cable")
        for player, outs in ears
    )
    held = {out: f"ears:{player}" for player, outs in ears for out in outs}
    outs = tuple(Out(key=str(number), use=held.get(str(number), "free")) for number in range(1, 13))
    rig = Rig(
        name="Seven to Ostby",
        mixer=Mixer(
            inputs=24,
            channels=40,
            mono_busses=4,
            stereo_busses=2,
            outs=outs,
            remote_surfaces=2,
            ears_protected=True,
            ear_limiters=True,
        ),
        source=sources,
        splitter=(Splitter("a", "Split A", 16, built_in=True, outputs=(SplitterOutput("1", "isolated", lift=True),)),),
        loom=(Loom("l8", "Loom 8", 8, 8.0), Loom("l12", "Loom 12", 12, 10.0)),
        ears=mixes,
        bits={"xlr_5m": 12, "xlr_10m": 8, "pad_20_db": 4, "isolating_transformer": 2, "di_active": 2},
        mix=Mix(proven_over_pa=True),
    )
    return replace(rig, **changes)


def said(**words: Value) -> Answers:
    """What the house said, by question, with underscores for hyphens."""
    return {key.replace("_", "-"): Answer("answered", value, "house", "2027-02-20") for key, value in words.items()}


EIGHT_INPUTS = said(
    who_mixes="house-engineer",
    pa="stereo",
    room_capacity=300,
    inputs_free=8,
    sockets_free="9-14, 17-18",
    box_distance=762,
    phantom_switching="all",
    other_feeds="nothing",
)
"""A house engineer with eight inputs, 7.62 m away."""

BY_TABLET = said(
    who_mixes="house-engineer",
    what_they_want="mix-on-your-mixer",
    pa="stereo",
    room_capacity=300,
    pa_inputs=2,
    pa_input_connector="xlr",
    pa_input_level="line",
    pa_input_distance=1200,
    pa_other_feeds="DJ mixer",
)
"""An engineer with a tablet on the band's mixer."""

NOBODY_MIXES = said(
    who_mixes="band-from-stage",
    pa="stereo",
    room_capacity=120,
    pa_inputs=2,
    pa_input_connector="jack",
    pa_input_level="line",
    pa_input_distance=1200,
    pa_other_feeds="wall panel announcements",
)
"""A PA of the house that nobody of the house mixes, on jacks."""


def planned(answers: Answers, **changes: object) -> Plan:
    """The plan of one of these gigs. ``changes`` are of the rig."""
    outcome = reconcile(seven_players(**changes), answers)
    assert isinstance(outcome, Plan)
    return outcome
