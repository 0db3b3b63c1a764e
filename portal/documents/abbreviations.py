"""The key at the foot of a sheet: exactly the abbreviations that the sheet uses."""

from __future__ import annotations

import re
from collections.abc import Iterable

MEANINGS = {
    "48 V": "phantom power: the side named switches it",
    "BV": "backing vocal",
    "BVs": "backing vocals",
    "DI": "direct injection box",
    "EQ": "equaliser",
    "FOH": "front of house",
    "GFCI": "residual current protection (North America)",
    "HH": "hi-hat",
    "L/R": "left/right",
    "OH": "overhead microphone",
    "PA": "sound system for the audience",
    "Pol.": "polarity",
    "RCD": "residual current protection",
    "SN": "snare",
    "TRS": "three-pole jack",
    "TS": "two-pole jack",
    "XLR": "round three-pin audio connector",
    "dB": "decibel",
}
"""Trade abbreviations that a sheet may hold, in the spelling looked for."""


def used(texts: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Abbreviation and meaning of each one that stands as a word of its own in the texts, in alphabetical order."""
    whole = "\n".join(texts)
    return tuple(
        (short, meaning)
        for short, meaning in sorted(MEANINGS.items(), key=lambda entry: entry[0].lower())
        if re.search(rf"(?<![\w.-]){re.escape(short)}(?![\w-])", whole)
    )
