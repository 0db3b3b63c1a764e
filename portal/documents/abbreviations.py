"""The key at the foot of a sheet: exactly the abbreviations that the sheet uses."""

from __future__ import annotations

import re
from collections.abc import Iterable

from portal.wording.catalogue import Words, mark

MEANINGS = Words(
    {
        "48 V": mark("phantom power: the side named switches it"),
        "BV": mark("backing vocal"),
        "BVs": mark("backing vocals"),
        "DI": mark("direct injection box"),
        "EQ": mark("equaliser"),
        "FOH": mark("front of house"),
        "GFCI": mark("residual current protection (North America)"),
        "HH": mark("hi-hat"),
        "L/R": mark("left/right"),
        "OH": mark("overhead microphone"),
        "PA": mark("sound system for the audience"),
        "Pol.": mark("polarity"),
        "RCD": mark("residual current protection"),
        "SN": mark("snare"),
        "TRS": mark("three-pole jack"),
        "TS": mark("two-pole jack"),
        "XLR": mark("round three-pin audio connector"),
        "dB": mark("decibel"),
    }
)
"""Trade abbreviations that a sheet may hold, in the spelling looked for."""


def used(texts: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Abbreviation and meaning of each one that stands as a word of its own in the texts, in alphabetical order."""
    whole = "\n".join(texts)
    return tuple(
        (short, meaning)
        for short, meaning in sorted(MEANINGS.items(), key=lambda entry: entry[0].lower())
        if re.search(rf"(?<![\w.-]){re.escape(short)}(?![\w-])", whole)
    )
