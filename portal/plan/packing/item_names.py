"""The keys of what the packing list counts by the piece and of the cables that it counts by length. A plan of engine 8
or older holds their English names, which are read here alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

from portal.plan.model import Item
from portal.plan.phrase import Choice, Length, Phrase, Said, metres, these

CAPTURED_BY = ("di-active", "di-passive", "di", "mic", "wireless")
"""How a source is picked up, where something has to be there for it."""

PAD, TRANSFORMER, TURN_ROUND = "pad_20_db", "isolating_transformer", "turn_round"

OWNED = frozenset({PAD, TRANSFORMER, TURN_ROUND})
"""Small things of which the rig says how many the band owns, by its keys for that."""

ADAPTERS = {"jack": "adapter-to-jack", "other": "adapter-to-the-pa"}
"""What the inputs of a PA take -> what lies between them and the band's XLR cables."""

CABLES = ("xlr", "jack", "pack", "network", "to-the-box")
"""Kinds of cable that are counted by length."""

LOOSE_XLR = frozenset({"xlr", "to-the-box"})
"""Kinds that are the band's loose XLR cables."""

_EARLIER_NAMES = {
    "DI, active": "di-active",
    "DI, passive": "di-passive",
    "DI": "di",
    "microphone": "mic",
    "wireless microphone": "wireless",
    "pad, 20 dB": PAD,
    "isolating transformer": TRANSFORMER,
    "XLR turnaround": TURN_ROUND,
    "turn-round": TURN_ROUND,
}
_EARLIER_CABLES = {
    "XLR cable": "xlr",
    "jack to XLR cable": "jack",
    "pack cable": "pack",
    "network cable": "network",
    "loose cable to the box": "to-the-box",
}
_EARLIER_CABLE = re.compile(rf"({'|'.join(map(re.escape, _EARLIER_CABLES))}), (\d+(?:\.\d+)?) m")


THING_OF_LENGTH = "thing-of-length"


class CableItem(NamedTuple):
    """A cable that is counted by length: its kind, one of ``CABLES``, and its metres as written."""

    kind: str
    metres: str


def thing(key: str) -> Phrase:
    """A thing of a closed list."""
    return Phrase("thing", {"named": Choice("thing", key)})


def cable_item(kind: str, long: float) -> Phrase:
    """A cable of a kind and length, in metres."""
    return Phrase("cable-of-length", {"kind": Choice("cable", kind), "length": metres(long)})


def cable_kind(kind: str) -> Phrase:
    """A kind of cable, whatever its length."""
    return Phrase("cable", {"named": Choice("cable", kind)})


def cable_of(item: Item) -> CableItem | None:
    """The kind and length of an item; ``None`` where it is no cable that is counted by length."""
    return cable_named(item.what)


def cable_named(what: Said) -> CableItem | None:
    """The same of what an item is called."""
    if isinstance(what, str):
        found = _EARLIER_CABLE.fullmatch(what)
        return CableItem(_EARLIER_CABLES[found[1]], found[2]) if found else None
    kind, length = what.parameters.get("kind"), what.parameters.get("length")
    if isinstance(kind, Choice) and isinstance(length, Length):
        return CableItem(kind.choice, f"{length.cm / 100:g}")
    return None


def lengths_of(items: Iterable[Item]) -> dict[str, Said]:
    """The things that are packed with their length, such as looms, by name, each with it as it is said."""
    found: dict[str, Said] = {}
    for item in items:
        if isinstance(item.what, str):
            name, _, length = item.what.rpartition(", ")
            found[name] = length
        elif item.what.key == THING_OF_LENGTH:
            found[str(item.what.parameters["thing"])] = these([item.what.parameters["length"]])
    return found


def as_named(name: str) -> Said:
    """What the band calls a thing; where that is one of these names, the thing itself: the two are counted as one."""
    if cable := cable_named(name):
        return cable_item(cable.kind, float(cable.metres))
    return thing(_EARLIER_NAMES[name]) if name in _EARLIER_NAMES else name


def thing_of(item: Item) -> str:
    """The key of a small thing: how it picks a source up, or the rig's key for how many the band owns; else empty."""
    if isinstance(item.what, str):
        return _EARLIER_NAMES.get(item.what, "")
    found = item.what.parameters.get("named") if item.what.key == "thing" else None
    return found.choice if isinstance(found, Choice) and found.choice in {*CAPTURED_BY, *OWNED} else ""
