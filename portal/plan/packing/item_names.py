"""What the packing list calls the things that it counts by the piece and the cables that it counts by length, and the
keys of these names: a stored plan holds the name, and whoever decides by it asks for the key.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from portal.plan.model import Item

CAPTURED_BY = {
    "di-active": "DI, active",
    "di-passive": "DI, passive",
    "di": "DI",
    "mic": "microphone",
    "wireless": "wireless microphone",
}
"""How a source is picked up -> what has to be there for it."""

PAD, TRANSFORMER, TURN_ROUND = "pad, 20 dB", "isolating transformer", "XLR turnaround"

ADAPTERS = {
    "jack": "adapter, XLR female to 6.3 mm jack",
    "other": "adapter, XLR female to the PA's inputs",
}
"""What the inputs of a PA take -> what lies between them and the band's XLR cables."""

OWNED_AS = {PAD: "pad_20_db", TRANSFORMER: "isolating_transformer", TURN_ROUND: "turn_round"}
"""Small things -> the rig's key for how many of them the band owns."""

CABLES = {
    "xlr": "XLR cable",
    "jack": "jack to XLR cable",
    "pack": "pack cable",
    "network": "network cable",
    "to-the-box": "loose cable to the box",
}
"""Kinds of cable that are counted by length."""

LOOSE_XLR = frozenset({"xlr", "to-the-box"})
"""Kinds that are the band's loose XLR cables."""

_NAMES = {**CAPTURED_BY, **{key: name for name, key in OWNED_AS.items()}}
_KEYS = {"turn-round": "turn_round", **{name: key for key, name in _NAMES.items()}}
"""Beside today's names the one that plans of engine 5 and older hold."""
_CABLE_KEYS = {name: key for key, name in CABLES.items()}
_CABLE = re.compile(rf"({'|'.join(map(re.escape, _CABLE_KEYS))}), (\d+(?:\.\d+)?) m")


class CableItem(NamedTuple):
    """A cable that is counted by length: its kind, a key of ``CABLES``, and its metres as written."""

    kind: str
    metres: str


def cable_name(kind: str, metres: float) -> str:
    """A cable of a kind and length."""
    return f"{CABLES[kind]}, {metres:g} m"


def cable_of(item: Item) -> CableItem | None:
    """The kind and length of an item; ``None`` where it is no cable that is counted by length."""
    found = _CABLE.fullmatch(item.what)
    return CableItem(_CABLE_KEYS[found[1]], found[2]) if found else None


def thing_of(item: Item) -> str:
    """The key of a small thing: how it picks a source up, or the rig's key for how many the band owns; else empty."""
    return _KEYS.get(item.what, "")
