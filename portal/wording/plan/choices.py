"""The keys of closed lists in English. A key that its list does not name is said as it is."""

from __future__ import annotations

from collections.abc import Mapping

from portal.plan import QUESTIONS, RULES
from portal.plan.input.answer_kinds import Choice
from portal.plan.input.kinds import KINDS
from portal.plan.model import DESK_SWITCH, Route
from portal.plan.result.spelling import WHERE

FIELDS = {
    "box": "box",
    "box_output": "output of the stage box",
    "box_socket": "stage box input",
    "cable": "cable",
    "carried_by": "carried by",
    "channel": "channel",
    "count": "count",
    "desk_channel": "desk channel",
    "desk_phantom": "48 V switch of the house",
    "direction": "direction",
    "dry": "dry",
    "fed_by": "feed",
    "feeds": "what it feeds",
    "gain_owner": "gain",
    "heard": "who hears it",
    "key": "key",
    "label": "label",
    "level": "level",
    "lift": "ground lift",
    "line": "line to the house",
    "loom.house_end": "connector at the box",
    "loom.key": "key of the loom",
    "loom.name": "loom",
    "loom.way": "loom way",
    "mic_or_di": "microphone or DI",
    "mixer_input": "mixer input",
    "out": "output",
    "outs": "outputs",
    "owner": "owner",
    "pad_db": "pad in dB",
    "path.kind": "path",
    "path.output": "output",
    "path.unit": "key of the unit",
    "path.unit_name": "unit",
    "path.way": "way",
    "phantom": "48 V",
    "player": "player",
    "polarity": "polarity",
    "rig_input": "the rig's socket",
    "run": "run",
    "source": "source",
    "sources": "sources",
    "stand": "stand",
    "stereo_partner": "stereo partner",
    "strip": "strip",
    "to_mono": "to mono",
    "tonight": "tonight's socket",
    "transformer": "isolating transformer",
    "turn_rounds": "turnarounds",
    "what": "what",
    "where": "where",
    "width": "width",
}
"""Fields of a row that may change."""

SIDES = {"band": "band", "house": "house", "each": "each"}

VALUES: Mapping[str, Mapping[str, str]] = {
    "owner": SIDES,
    "gain_owner": SIDES,
    "level": {"mic": "microphone level", "line": "line level"},
    "phantom": {**SIDES, "none": "none", "splitter": "splitter", "unknown": "not known", "never": "OFF, never"},
    "polarity": {"normal": "polarity normal", "flip": "polarity flip"},
    "width": {"stereo": "stereo", "mono": "mono"},
    "carried_by": {"radio": "radio", "cable": "cable", "wedge": "wedge"},
}
"""Values of some of those fields, by the field."""

PATHS = {
    "split": "split",
    "house-split": "house split",
    "digital-link": "digital link",
    "direct-out": "direct out",
    "processed-direct-out": "processed direct out",
    "group": "group",
    "left-right-mix": "left right mix",
    "straight": "straight",
}

ROUTES = {
    Route.OWN_PA: "Own PA",
    Route.BAND_MIXES: "House PA, the band mixes",
    Route.LEFT_RIGHT: "Left/right mix to the house desk",
    Route.ON_OUR_MIXER: "The engineer mixes on the band's mixer",
    Route.DRY_SPLIT: "Dry split",
    Route.HOUSE_SPLIT: "House split",
    Route.DIRECT_OUTS: "Direct outs",
    Route.GROUPS: "Grouped sends",
    Route.MIXTURE: "Mixture",
}
"""Routes at the head of a plan."""

CAPTURED = {
    "mic": "mic",
    "di": "DI",
    "di-passive": "DI, passive",
    "di-active": "DI, active",
    "line": "line",
    "wireless": "wireless receiver",
    "mixer-output": "mixer output",
}
"""How a source is picked up, or that a line comes out of the band's mixer."""

CABLES = {
    "xlr": "XLR cable",
    "jack": "jack to XLR cable",
    "pack": "pack cable",
    "network": "network cable",
    "to-the-box": "loose cable to the box",
}
"""Kinds of cable that are counted by length."""

THINGS = {
    "in-ear-rack": "in-ear rack",
    "mixer": "the mixer",
    "transmitters": "in-ear transmitters",
    "bands-pa": "the band's PA",
    "di-active": "DI, active",
    "di-passive": "DI, passive",
    "di": "DI",
    "mic": "microphone",
    "wireless": "wireless microphone",
    "pad_20_db": "pad, 20 dB",
    "isolating_transformer": "isolating transformer",
    "turn_round": "XLR turnaround",
    "adapter-to-jack": "adapter, XLR female to 6.3 mm jack",
    "adapter-to-the-pa": "adapter, XLR female to the PA's inputs",
    "a-b-switch": "A/B switch",
    "clip": "clip",
    "in-ear-pack": "in-ear pack",
    "wired-pack": "wired in-ear pack",
    "link-cable": "cable for the digital link",
    "ups": "UPS for rack and mixer",
    "tablet": "tablet for the engineer, charged, with its power lead",
    "router": "network router with its power lead",
    "surface": "second surface with its power lead",
}
"""Things to pack."""

WHY_LOOSE = {
    "looms-full": "the looms that come along are full",
    "no-loom": "the band has no loom",
    "no-loom-reaches": "no loom reaches",
    "less-to-carry": "they are less to carry than another loom",
    "other-box": "the looms run to the other box",
}
"""Why lines run on loose cables."""

HEARD = {
    "both": "audience, in-ears",
    "ears-only": "in-ears only",
    "house-only": "audience only",
    "guest": "audience; muted in the in-ears",
    "spare": "audience, as a spare",
}
"""Who hears what an input of the band's mixer gets."""

FEEDS = {
    "left": "main left",
    "right": "main right",
    "mono": "main mono",
    "free": "free",
}
"""What an output of the band's mixer feeds."""

WAY_BY = {
    "direct-out": "direct out",
    "processed-direct-out": "direct out, processed",
    "left-right-mix": "left/right mix",
    "group": "group",
    "to-mono": "to mono",
    "digital-link": "digital link",
    "house-split": "the house's splitter",
    "straight": "straight to the box",
}
"""What a line comes by where no splitter of the band's has a name."""

TURNED = {
    "keyboard": "the keyboard",
    "electronic-kit": "the drum module",
    "playback": "the machine",
    "guitar": "the guitar processor",
    "bass": "the bass processor",
    "x-looper": "the looper",
    "x-bass-synth": "the keyboard",
    "keyboard.piano.electric": "the electric piano",
}
"""What a player turns or plugs, by the part or the kind of a source."""


def _options(question: str) -> dict[str, str]:
    kind = QUESTIONS[question].kind
    return {option.key: option.words for option in kind.options} if isinstance(kind, Choice) else {}


CHOICES: Mapping[str, Mapping[str, str]] = {
    "asked-of-the-band": {key: question.band for key, question in QUESTIONS.items()},
    "asked-of-the-house": {key: question.house for key, question in QUESTIONS.items()},
    "cable": CABLES,
    "capture": CAPTURED,
    "feeds": FEEDS,
    "heard": HEARD,
    "plugs": {"xlr": "XLR", "jack": "jack to XLR", "pack": "pack cable"},
    "thing": THINGS,
    "unit": {"times": "times"},
    "way-by": WAY_BY,
    "box-place": {key: words.partition(" (")[0].lower() for key, words in _options("box-place").items()},
    "kind": {kind.what: kind.words for kind in KINDS.values()},
    "link": {},
    "made-mono": {"jack": "jack", "switch": "switch"},
    "phantom-switching": {key: words[0].lower() + words[1:] for key, words in _options("phantom-switching").items()},
    "processing": {},
    "rule": {key: rule.title for key, rule in RULES.items()},
    "route-title": {route.value: words for route, words in ROUTES.items()},
    "splitter-leg": {"isolated": "isolated", "direct": "direct"},
    "splitter-output": {"isolated": "isolated output", "direct": "direct output"},
    "turned": TURNED,
    "why-loose": WHY_LOOSE,
    "cell": {"none": "none", "yes": "yes", "no": "no"},
    "field": FIELDS,
    "path.kind": PATHS,
    "desk_phantom": DESK_SWITCH,
    "where": WHERE,
    **VALUES,
}
