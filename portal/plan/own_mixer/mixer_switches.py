"""Which inputs of the band's mixer hang on one 48 V switch."""

from __future__ import annotations

from portal.plan.input.rig import Mixer


def switch_of(number: int, mixer: Mixer) -> int | None:
    """The 48 V switch that an input shares with others, counted from 0; ``None`` where each input has its own, which is
    taken for granted as long as nobody says.
    """
    size = mixer.phantom_banks
    if size in (None, 1):
        return None
    return (number - 1) // size if size else 0
