"""What the house may do with its own 48 V once the band's rack is dead, where one switch feeds several inputs."""

from __future__ import annotations

from dataclasses import replace

import pytest

from portal.plan import Plan, reconcile
from portal.plan.input.rig import Rig, Source, Splitter, SplitterOutput
from portal.wording.plan.saying import say
from tests.plan.hand_cases import DRY_OUT, KICK, LEAD, band, one, said

DIRECT = Splitter(key="rack", ways=4, built_in=True, outputs=(SplitterOutput("c", "direct"),))
HAT = one("hat", "metal.hi-hat", phantom="yes")
RIBBON = one("ribbon", "pluck.guitar.electric", harmed_by_phantom=True)
IN_THE_RACK = one("choir", "voice.choir", capture="wireless", in_rack=True)


def after_the_rack(rig: Rig, **answers: str | int) -> str:
    """What the plan says of a dead rack."""
    outcome = reconcile(rig, said(**answers))
    assert isinstance(outcome, Plan), outcome.sentence
    return say(outcome.rack_dies.said)


def wired(*more: tuple[Source, ...]) -> Rig:
    return band(KICK, HAT, *more, LEAD, splitter=(DIRECT,))


@pytest.mark.parametrize(("switching", "bank"), [("banks-of-8", "bank 1-8"), ("all", "all box inputs")])
def test_what_the_switch_would_harm_is_unplugged_first(switching: str, bank: str) -> None:
    """A receiver in the dead rack is silent anyway: its input is unplugged by number before the whole bank comes on."""
    assert after_the_rack(wired(IN_THE_RACK), phantom_switching=switching).endswith(
        "Desk channel 2 may come back on the house's own 48 V, lower while the band's dead mixer loads the same leg."
        f" House: mute {bank}, unplug stage box input 3 and leave it out, for 48 V can damage what is plugged there."
        f" Only then switch 48 V on; one switch feeds {bank}."
    )


def test_what_leaves_the_bands_mixer_is_unplugged_first() -> None:
    """An output of the band's mixer in the same bank is silent with the rack: it is unplugged by number."""
    choir, keys = one("choir", "voice.choir", phantom="yes", must=True), one("keys", "synth.generic", mixer_input=6)
    rig = band(KICK, choir, keys, LEAD, splitter=(replace(DIRECT, ways=3),), outs=(DRY_OUT,))
    text = after_the_rack(rig, phantom_switching="banks-of-8")
    assert "Silent: desk channel 2. Desk channel 3 may come back" in text
    assert "unplug stage box input 2 and leave it out" in text


def test_what_still_works_keeps_the_switch_off() -> None:
    """A ribbon on its passive way lives on, so the hat beside it stays without sound."""
    assert after_the_rack(wired(RIBBON), phantom_switching="banks-of-8").endswith(
        "Desk channel 2 stays without sound. House: leave the 48 V of bank 1-8 off; it can damage ribbon"
        " (stage box input 3)."
    )


def test_a_bank_without_what_it_harms_comes_on_as_a_whole() -> None:
    """The house reads that one switch feeds the bank."""
    assert after_the_rack(wired(), phantom_switching="banks-of-8").endswith(
        "House: mute bank 1-8 while 48 V is switched; one switch feeds bank 1-8."
    )


@pytest.mark.parametrize("more", [{"phantom_switching": "per-channel"}, {}])
def test_where_each_input_has_its_switch_nothing_is_unplugged(more: dict[str, str]) -> None:
    """Only the channel's own switch goes on."""
    assert after_the_rack(wired(RIBBON), **more).endswith("House: mute while 48 V is switched.")
