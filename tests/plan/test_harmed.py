"""What 48 V can harm: each side reads on which of its inputs it stays off."""

from __future__ import annotations

from dataclasses import replace

import pytest

from portal.plan.input.rig import Source, Splitter
from portal.wording.plan.saying import say
from tests.plan.hand_cases import LEAD, RACK, band
from tests.plan.test_phantom import DIRECT_ONLY, RIBBON, planned

NUMBERED = (replace(RIBBON[0], mixer_input=7),)


@pytest.mark.parametrize(
    ("ribbon", "splitter", "sentence"),
    [
        (NUMBERED, DIRECT_ONLY, "House: keep 48 V off on stage box input 1. Band: keep 48 V off on mixer input 7."),
        (RIBBON, DIRECT_ONLY, "House and band: keep 48 V off on stage box input 1 and on the band's mixer."),
        (
            NUMBERED,
            RACK,
            "Band: keep 48 V off on mixer input 7; the house's 48 V has no effect behind the transformer.",
        ),
        ((replace(RIBBON[0], goes="house-only"),), DIRECT_ONLY, "House: keep 48 V off on stage box input 1."),
    ],
)
def test_what_48_v_can_harm_names_the_input_on_each_side(
    ribbon: tuple[Source, ...], splitter: Splitter, sentence: str
) -> None:
    """One line spoke of the band's mixer, and of no input there; and of it for a microphone that is not in it."""
    plan = planned(band(ribbon, LEAD, splitter=(splitter,)), phantom_switching="per-channel")
    (asked,) = (one for one in plan.asks if one.key == "harmed-by-phantom")
    assert say(asked.said) == f"Ribbon: 48 V can damage it. {sentence}"
