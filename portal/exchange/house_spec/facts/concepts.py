"""Concepts by what the rules do with them."""

from __future__ import annotations

COUNTED = (
    "stand", "mix", "wedge", "return", "input", "output", "di", "mic", "radio-mic", "monitor", "riser", "seat",
    "people", "capacity",
    "standing", "seated", "condenser", "dynamic", "channel",
)  # fmt: skip
"""What a bare number can count, the most exact first: of words that stand together the first in this list is what is
counted.
"""

DESKS = frozenset({"desk", "front", "monitor-desk"})
BOXES = frozenset({"box", "sub-box", "multicore"})
SUBJECTS = BOXES | DESKS | {"splitter", "recording"}
"""Whose inputs, outputs or channels a number can be."""

DIMENSIONS = frozenset({"width", "depth", "height", "headroom", "stage-height"})
"""What a length can be the measure of."""

MEASURED_THINGS = frozenset(
    {
        "stage", "riser", "door", "desk", "front", "to-front", "distance", "delay", "multicore", "box", "other-room",
        "headroom", "stage-height",
        "stand", "lift", "room",
    }
)  # fmt: skip
"""What has lengths in a spec."""

SIDES = {
    "stage-left": "stage-left", "stage-right": "stage-right", "upstage": "upstage", "downstage": "downstage",
    "off-stage": "off-stage",
    "down-left": "stage-left", "up-left": "stage-left", "down-right": "stage-right", "up-right": "stage-right",
    "left": "stage-left",
    "right": "stage-right",
}  # fmt: skip
"""Places on a stage as the registry's options."""
