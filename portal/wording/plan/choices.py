"""The keys of closed lists in English. A key that its list does not name is said as it is."""

from __future__ import annotations

from collections.abc import Mapping

from portal.plan.model import Route
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
    "fed_by": "fed by",
    "feeds": "feeds",
    "gain_owner": "gain",
    "heard": "heard",
    "key": "key",
    "label": "label",
    "level": "level",
    "lift": "ground lift",
    "line": "line",
    "loom.house_end": "connector at the box",
    "loom.key": "key of the loom",
    "loom.name": "loom",
    "loom.way": "loom way",
    "mic_or_di": "microphone or DI",
    "mixer_input": "mixer input",
    "out": "out",
    "outs": "outs",
    "owner": "whose",
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
    "stereo_partner": "pairs with",
    "strip": "strip",
    "to_mono": "to mono",
    "tonight": "tonight's socket",
    "transformer": "isolating transformer",
    "turn_rounds": "turn rounds",
    "what": "what",
    "where": "where",
    "width": "width",
}
"""Fields of a row that may change."""

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

CHOICES: Mapping[str, Mapping[str, str]] = {
    "cell": {"none": "none", "yes": "yes", "no": "no"},
    "field": FIELDS,
    "path.kind": PATHS,
    "route": {route.value: route.value.replace("-", " ") for route in Route},
    "where": WHERE,
}
