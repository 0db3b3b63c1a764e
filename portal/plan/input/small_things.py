"""The small things that a band counts, by the keys under which a rig holds them."""

from __future__ import annotations

BIT_KEYS = ("di_passive", "di_active", "pad_20_db", "isolating_transformer", "turn_round")
"""Small things counted by fixed keys; loose cables are counted as ``xlr_<metres>m``, such as ``xlr_7_62m``."""

BIT_KEYS_TOLD = ", ".join(BIT_KEYS) + ", xlr_<metres>m, such as xlr_5m or xlr_7_5m"
"""All keys, for people."""


def cable_key(metres: float) -> str:
    """The key under which loose cables of a length are counted; a length has two places at most."""
    return f"xlr_{round(metres, 2):g}m".replace(".", "_")


def cable_metres(key: str) -> float:
    """The length in metres of the loose cables that a key counts."""
    return float(key.removeprefix("xlr_").removesuffix("m").replace("_", "."))
