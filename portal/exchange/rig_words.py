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

LABELS: Mapping[type, Mapping[str, str]] = {
    Source: {
        "label": "Label",
        "what": "What it is",
        "player": "Player",
        "position": "Position",
        "strip": "Short name for the strip",
        "note": "Note for the engineer",
        "capture": "Picked up by",
        "level": "Level on the tail",
        "phantom": "Phantom, 48 V",
        "phantom_ma": "Phantom current in mA",
        "harmed_by_phantom": "48 V can damage it",
        "impedance_ohm": "Output impedance in ohms",
        "max_dbu": "Highest level in dBu",
        "mixer_input": "Mixer input",
        "splitter": "Splitter",
        "way": "Splitter way",
        "goes": "Goes to",
        "must": "Must reach the house",
        "priority": "Priority",
        "lead": "Lead vocal or lead instrument",
        "optional": "May stay at home",
        "fail_over": "A spare that by-passes the rig",
        "loud_on_stage": "Heard in the room without the PA",
        "pair_with": "Other half of a stereo pair",
        "pair_kind": "Kind of pair",
        "inseparable": "The two halves only exist as one finished stereo pair",
        "second_of": "Second microphone of",
        "in_ears_anyway": "A second microphone that the band wants in the in-ears in any case",
        "to_mono": "How the pair becomes mono",
        "family": "Section or group",
        "submix": "Player's own submixer",
        "never_with": "Never played at the same time as",
        "stand": "Stand",
        "owner.mic": "Microphone or DI from",
        "owner.stand": "Stand from",
        "owner.cable": "Cable from",
        "at_m.0": "Metres right of centre",
        "at_m.1": "Metres from the front",
        "guest": "For guests, at the band's own PA only",
        "in_rack": "Takes its power from the rack",
        "line_plug": "Connector of its line output",
        "cable_m": "Cable to the rack in metres",
        "sub_loom": "Sub-loom",
        "sub_loom_way": "Way of the sub-loom",
    },
    Mixer: {
        "inputs": "Microphone inputs",
        "channels": "Channels that can be mixed",
        "mono_busses": "Spare mono busses",
        "stereo_busses": "Spare stereo busses",
        "remote_surfaces": "Tablets or surfaces",
        "ear_limiters": "A limiter on every in-ear output",
        "ears_protected": "Ear sends lie before EQ, dynamics, mute and fader",
        "double_patch": "One input can feed two channels",
        "phantom_budget_ma": "Phantom current in all, in mA",
        "input_impedance_ohm": "Input impedance in ohms",
        "latency_ms": "Input to output in ms",
        "phantom_banks": "Inputs that share one 48 V switch",
    },
    Out: {
        "key": "Name",
        "use": "Use",
        "feeds": "What it feeds",
        "cable_m": "Its cable in metres",
        "max_dbu": "Highest level in dBu",
        "tap": "A direct out on it is tapped",
        "mute_cuts": "The channel's mute cuts it",
        "tap_before": "Its tap lies before",
    },
    MixerLink: {"standard": "Open standard", "channels": "Channels each way"},
    Splitter: {
        "name": "Name",
        "ways": "Ways",
        "kind": "Kind",
        "to_mixer": "Leg to the in-ear mixer",
        "built_in": "Built into the rack",
        "plugs": "Sources plug in",
    },
    SplitterOutput: {"key": "Output", "kind": "Kind of output", "lift": "Ground lift for the audio shield"},
    Loom: {
        "name": "Name",
        "ways": "Ways",
        "length_m": "Length in metres",
        "band_end": "Connector at the rack",
        "house_end": "Connector at the stage box",
    },
    SubLoom: {"name": "Name", "ways": "Ways", "length_m": "Length in metres"},
    Standing: {"name": "What", "count": "How many", "when": "At which gigs", "configuration": "Only in configuration"},
    Ears: {
        "player": "Who hears it",
        "width": "Width",
        "carried_by": "Carried by",
        "cable_m": "Its cable in metres",
        "outs": "Outputs of the mixer",
    },
    Mix: {
        "engineer": "Own engineer",
        "proven_over_pa": "The band's own mix was proven over a PA",
        "own_pa": "The band can bring its own PA",
        "takes_over": "Who takes over on stage",
    },
    Rig: {"kit": "Kind of drum kit"},
}

UNSET: Mapping[str, str] = {
    "capture": "by its kind",
    "level": "by its kind",
    "phantom": "by its kind",
    "goes": "by its kind",
    "to_mono": "by its kind",
    "line_plug": "jack, as is usual",
    "tap": "not known; counted as processed",
}
UNSET_YES_NO: Mapping[str, str] = {"must": "by its kind", "loud_on_stage": "by its kind", "in_rack": "by its kind"}

WORDS: Mapping[str, Mapping[str, str]] = {
    "capture": {"mic": "microphone", "di": "DI", "di-passive": "passive DI", "di-active": "active DI"},
    "level": {"mic": "mic level", "line": "line level"},
    "line_plug": {"xlr": "XLR"},
    "goes": {
        "both": "house and in-ears",
        "ears-only": "in-ears only",
        "house-only": "house only",
        "rehearsal-only": "rehearsal only",
    },
    "priority": {"": "usual", "low": "low: goes among the first", "high": "high: keeps its own line longest"},
    "to_mono": {
        "jack": "its own mono output or left/mono jack",
        "switch": "a switch in the machine",
        "bus": "a mono bus of the band's mixer",
        "cannot": "it cannot",
    },
    "tap": {
        "after-preamp": "after the preamp, before all else",
        "pre-eq": "before the EQ; high-pass or gate may lie before it",
        "post-eq": "after the EQ, before the fader",
        "post-fader": "after the fader",
    },
    "plugs": {"front": "at its front, into any way", "inside": "inside, way by way"},
    "kit": {"light": "light: jazz, brushes, folk"},
    "pair_kind": {"left-right": "left and right", "mid-side": "mid and side"},
    "position": {"": "none"},
    "when": {
        "": "every gig",
        "own-pa": "the band brings the PA",
        "band-mixes": "the band's mixer feeds a PA of the house",
    },
}

BIT_WORDS: Mapping[str, str] = {
    "di_passive": "Passive DIs",
    "di_active": "Active DIs",
    "pad_20_db": "Pads, 20 dB",
    "isolating_transformer": "Isolating transformers",
    "turn_round": "XLR turnarounds",
}


def bit_words(key: str) -> str:
    """A small thing in words; loose cables are counted by their length in metres."""
    return BIT_WORDS.get(key) or f"Cables, {key.removeprefix('xlr_').removesuffix('m')} m"


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
    return use.replace("ears:", "in-ears of ")
