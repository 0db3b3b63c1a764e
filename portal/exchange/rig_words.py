"""The keys of a rig and their values in words, as screens and lists of changes say them."""

from __future__ import annotations

from collections.abc import Mapping

from portal.plan.input.rig import (
    Ears,
    Loom,
    Mix,
    Mixer,
    MixerLink,
    Out,
    Rig,
    Source,
    Splitter,
    SplitterOutput,
    Standing,
    SubLoom,
)
from portal.plan.input.small_things import cable_metres
from portal.wording.catalogue import Words, gettext, look_up, mark
from portal.wording.formats import of_unit, say_metres

ANOTHER_ROW = ("pair_with", "second_of", "one_microphone_with")
"""Keys of a source that hold another row's key, or nothing."""

OTHER_ROWS = frozenset({*ANOTHER_ROW, "never_with"})
"""Keys of a source that name other rows by their keys."""

_IN_FEET = {
    "Metres right of centre": mark("Feet right of centre"),
    "Metres from the front": mark("Feet from the front"),
    "Cable to the rack in metres": mark("Cable to the rack in feet"),
    "Its cable in metres": mark("Its cable in feet"),
    "Length in metres": mark("Length in feet"),
}
"""Labels of lengths for whoever reads feet."""


class _Labels(Words):
    """Labels by key; that of a length names the reader's unit."""

    def __getitem__(self, key: str) -> str:
        english = self.english[key]
        return look_up(of_unit(english, _IN_FEET.get(english, english)))


LABELS: Mapping[type, Words] = {
    Source: _Labels(
        {
            "label": mark("Label"),
            "what": mark("What it is"),
            "player": mark("Player"),
            "position": mark("Position"),
            "strip": mark("Short name for the strip"),
            "note": mark("Note for the engineer"),
            "capture": mark("Picked up by"),
            "level": mark("Level on the tail"),
            "phantom": mark("Phantom, 48 V"),
            "phantom_ma": mark("Phantom current in mA"),
            "harmed_by_phantom": "48 V can damage it",
            "impedance_ohm": mark("Output impedance in ohms"),
            "max_dbu": mark("Highest level in dBu"),
            "mixer_input": mark("Mixer input"),
            "splitter": mark("Splitter"),
            "way": mark("Splitter way"),
            "goes": mark("Goes to"),
            "must": mark("Must reach the house"),
            "priority": mark("Priority"),
            "lead": mark("Lead vocal or lead instrument"),
            "optional": mark("May stay at home"),
            "fail_over": mark("A spare that by-passes the rig"),
            "loud_on_stage": mark("Heard in the room without the PA"),
            "pair_with": mark("Other half of a stereo pair"),
            "pair_kind": mark("Kind of pair"),
            "inseparable": mark("The two halves only exist as one finished stereo pair"),
            "second_of": mark("Second microphone of"),
            "in_ears_anyway": mark("A second microphone that the band wants in the in-ears in any case"),
            "to_mono": mark("How the pair becomes mono"),
            "family": mark("Section or group"),
            "submix": mark("Player's own submixer"),
            "never_with": mark("Never played at the same time as"),
            "one_microphone_with": mark("May share a microphone with"),
            "stand": mark("Stand"),
            "owner.mic": mark("Microphone or DI from"),
            "owner.stand": mark("Stand from"),
            "owner.cable": mark("Cable from"),
            "at_m.0": mark("Metres right of centre"),
            "at_m.1": mark("Metres from the front"),
            "guest": mark("For guests, at the band's own PA only"),
            "in_rack": mark("Takes its power from the rack"),
            "line_plug": mark("Connector of its line output"),
            "cable_m": mark("Cable to the rack in metres"),
            "sub_loom": mark("Sub-loom"),
            "sub_loom_way": mark("Way of the sub-loom"),
        }
    ),
    Mixer: Words(
        {
            "inputs": mark("Microphone inputs"),
            "channels": mark("Channels that can be mixed"),
            "mono_busses": mark("Spare mono busses"),
            "stereo_busses": mark("Spare stereo busses"),
            "remote_surfaces": mark("Tablets or surfaces"),
            "ear_limiters": mark("A limiter on every in-ear output"),
            "ears_protected": mark("Ear sends lie before EQ, dynamics, mute and fader"),
            "double_patch": mark("One input can feed two channels"),
            "phantom_budget_ma": mark("Phantom current in all, in mA"),
            "input_impedance_ohm": mark("Input impedance in ohms"),
            "latency_ms": mark("Input to output in ms"),
            "phantom_banks": mark("Inputs that share one 48 V switch"),
        }
    ),
    Out: _Labels(
        {
            "key": mark("Name"),
            "use": mark("Use"),
            "feeds": mark("What it feeds"),
            "cable_m": mark("Its cable in metres"),
            "max_dbu": mark("Highest level in dBu"),
            "tap": mark("A direct out on it is tapped"),
            "mute_cuts": mark("The channel's mute cuts it"),
            "tap_before": mark("Its tap lies before"),
        }
    ),
    MixerLink: Words({"standard": mark("Open standard"), "channels": mark("Channels each way")}),
    Splitter: Words(
        {
            "name": mark("Name"),
            "ways": mark("Ways"),
            "kind": mark("Kind"),
            "to_mixer": mark("Leg to the in-ear mixer"),
            "built_in": mark("Built into the rack"),
            "plugs": mark("Sources plug in"),
        }
    ),
    SplitterOutput: Words(
        {"key": mark("Output"), "kind": mark("Kind of output"), "lift": mark("Ground lift for the audio shield")}
    ),
    Loom: _Labels(
        {
            "name": mark("Name"),
            "ways": mark("Ways"),
            "length_m": mark("Length in metres"),
            "band_end": mark("Connector at the rack"),
            "house_end": mark("Connector at the stage box"),
        }
    ),
    SubLoom: _Labels({"name": mark("Name"), "ways": mark("Ways"), "length_m": mark("Length in metres")}),
    Standing: Words(
        {
            "name": mark("What"),
            "count": mark("How many"),
            "when": mark("At which gigs"),
            "configuration": mark("Only in configuration"),
        }
    ),
    Ears: _Labels(
        {
            "player": mark("Who hears it"),
            "width": mark("Width"),
            "carried_by": mark("Carried by"),
            "cable_m": mark("Its cable in metres"),
            "outs": mark("Outputs of the mixer"),
        }
    ),
    Mix: Words(
        {
            "engineer": mark("Own engineer"),
            "proven_over_pa": mark("The band's own mix was proven over a PA"),
            "own_pa": mark("The band can bring its own PA"),
            "takes_over": mark("Who takes over on stage"),
        }
    ),
    Rig: Words({"kit": mark("Kind of drum kit")}),
}

UNSET = Words(
    {
        "capture": mark("by its kind"),
        "level": mark("by its kind"),
        "phantom": mark("by its kind"),
        "goes": mark("by its kind"),
        "to_mono": mark("by its kind"),
        "line_plug": mark("jack, as is usual"),
        "tap": mark("not known; counted as processed"),
    }
)
UNSET_YES_NO = Words(
    {"must": mark("by its kind"), "loud_on_stage": mark("by its kind"), "in_rack": mark("by its kind")}
)

WORDS: Mapping[str, Words] = {
    "capture": Words(
        {"mic": mark("microphone"), "di": mark("DI"), "di-passive": mark("passive DI"), "di-active": mark("active DI")}
    ),
    "level": Words({"mic": mark("mic level"), "line": mark("line level")}),
    "line_plug": Words({"xlr": mark("XLR")}),
    "goes": Words(
        {
            "both": mark("house and in-ears"),
            "ears-only": mark("in-ears only"),
            "house-only": mark("house only"),
            "rehearsal-only": mark("rehearsal only"),
        }
    ),
    "priority": Words(
        {"": mark("usual"), "low": mark("low: goes among the first"), "high": mark("high: keeps its own line longest")}
    ),
    "to_mono": Words(
        {
            "jack": mark("its own mono output or left/mono jack"),
            "switch": mark("a switch in the machine"),
            "bus": mark("a mono bus of the band's mixer"),
            "cannot": mark("it cannot"),
        }
    ),
    "tap": Words(
        {
            "after-preamp": mark("after the preamp, before all else"),
            "pre-eq": mark("before the EQ; high-pass or gate may lie before it"),
            "post-eq": mark("after the EQ, before the fader"),
            "post-fader": mark("after the fader"),
        }
    ),
    "plugs": Words({"front": mark("at its front, into any way"), "inside": mark("inside, way by way")}),
    "kit": Words({"light": mark("light: jazz, brushes, folk")}),
    "pair_kind": Words({"left-right": mark("left and right"), "mid-side": mark("mid and side")}),
    "position": Words({"": mark("none")}),
    "when": Words(
        {
            "": mark("every gig"),
            "own-pa": mark("the band brings the PA"),
            "band-mixes": mark("the band's mixer feeds a PA of the house"),
        }
    ),
}

NO_WORDS = Words({})
"""What a key has whose values are shown as they are."""

KINDS_OF_SPLITTER = Words({"passive": mark("passive"), "active": mark("active")})
KINDS_OF_OUTPUT = Words({"isolated": mark("isolated"), "direct": mark("direct")})
"""Of a splitter's outputs, and of its leg to the mixer."""

USES = Words({"free": mark("free"), "main": mark("main")})
"""What an output of the mixer is used for, where it is no in-ear mix."""

BIT_WORDS = Words(
    {
        "di_passive": mark("Passive DIs"),
        "di_active": mark("Active DIs"),
        "pad_20_db": mark("Pads, 20 dB"),
        "isolating_transformer": mark("Isolating transformers"),
        "turn_round": mark("XLR turnarounds"),
    }
)


def is_length(name: str) -> bool:
    """True for a key whose value is in metres: its name says so."""
    return name.endswith("_m") or name.startswith("at_m.")


def bit_words(key: str) -> str:
    """A small thing in words; loose cables are counted by their length."""
    if key in BIT_WORDS:
        return BIT_WORDS[key]
    return gettext("Cables, %(length)s", length=say_metres(cable_metres(key)))


def value_at(record: object, name: str) -> object:
    """The value of a key; ``owner.mic`` and ``at_m.0`` name what lies one level down."""
    outer, _, inner = name.partition(".")
    value: object = getattr(record, outer)
    if not inner:
        return value
    if isinstance(value, tuple):
        part: object = value[int(inner)]
        return part
    return getattr(value, inner, None)


def use_words(use: str) -> str:
    """What an output of the mixer is used for."""
    name, _, player = use.partition(":")
    return gettext("in-ears of %(player)s", player=player) if name == "ears" else USES.get(use, use)
