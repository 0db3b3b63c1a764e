"""Letters folded for comparison, each with its place in the text it came from."""

from __future__ import annotations

import unicodedata
from functools import lru_cache

_SIGNS = str.maketrans(
    {
        "’": "'", "‘": "'", "´": "'", "`": "'", "′": "'", "″": '"', "“": '"', "”": '"', "„": '"', "«": '"', "»": '"',
        "–": "-", "—": "-", "−": "-", "‐": "-", "‑": "-", "×": "x", "✕": "x", "✖": "x",
        "·": "•", "●": "•", "▪": "•", "◦": "•", "■": "•",
        "\N{NO-BREAK SPACE}": " ", "\N{NARROW NO-BREAK SPACE}": " ", "\N{THIN SPACE}": " ", "…": ".", "÷": "-",
        "；": ";", "：": ":", "，": ",", "º": "°",
    }
)  # fmt: skip
"""Signs that stand for each other, one for one."""

_LETTERS = {"ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "ł": "l", "đ": "d", "ı": "i"}
"""Letters that do not part into a letter and an accent."""


def fold(text: str) -> tuple[str, tuple[int, ...] | range]:
    """The text in small letters without accents, and for each of its signs the place in the text. Nothing but letters
    changes its length.
    """
    if text.isascii():
        return text.lower(), range(len(text))
    folded: list[str] = []
    places: list[int] = []
    for place, sign in enumerate(text.translate(_SIGNS)):
        for one in _folded(sign):
            folded.append(one)
            places.append(place)
    return "".join(folded), tuple(places)


def folded(text: str) -> str:
    """The text in small letters without accents."""
    return fold(text)[0]


@lru_cache(maxsize=2048)
def _folded(sign: str) -> str:
    if sign.isascii():
        return sign.lower()
    if unicodedata.combining(sign) or unicodedata.category(sign) == "Cf":
        return ""
    if not sign.isalpha():
        digit = unicodedata.digit(sign, None)
        return sign if digit is None or not sign.isdecimal() else str(digit)
    parts = unicodedata.normalize("NFKD", sign).casefold()
    return "".join(_LETTERS.get(part, part) for part in parts if not unicodedata.combining(part))
