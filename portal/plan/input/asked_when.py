"""When a question is asked: what the rig and the answers so far say."""

from __future__ import annotations

from portal.plan.input.question import Lookup
from portal.plan.input.rig import Rig


def somebody_else_mixes(_rig: Rig, value: Lookup) -> bool:
    """Somebody other than the band mixes for the audience."""
    return value("who-mixes") != "band-from-stage" and value("pa") != "none"


def house_has_a_pa(_rig: Rig, value: Lookup) -> bool:
    """The house has a PA."""
    return value("pa") != "none"


def mixed_on_the_bands_mixer(_rig: Rig, value: Lookup) -> bool:
    """A PA of the house is fed from the band's mixer: no desk of the house, so no stage box either."""
    return value("pa") != "none" and (
        value("who-mixes") in ("band-from-stage", "bands-engineer-our-mixer")
        or value("what-they-want") == "mix-on-your-mixer"
    )


def house_has_a_box(rig: Rig, value: Lookup) -> bool:
    """The house has a PA and mixes on a desk of its own."""
    return house_has_a_pa(rig, value) and not mixed_on_the_bands_mixer(rig, value)


def band_brings_the_pa(_rig: Rig, value: Lookup) -> bool:
    """There is no PA but the band's."""
    return value("pa") == "none"


def wants_lines(rig: Rig, value: Lookup) -> bool:
    """The house wants lines rather than the band's own mix."""
    return somebody_else_mixes(rig, value) and value("what-they-want") not in ("left-right-mix", "mix-on-your-mixer")


def counts_inputs(rig: Rig, value: Lookup) -> bool:
    """It is known how many inputs are free."""
    return wants_lines(rig, value) and (isinstance(value("inputs-free"), int) or isinstance(value("sockets-free"), str))


def has_a_second_box(rig: Rig, value: Lookup) -> bool:
    """Some of the free inputs are at a second box."""
    return counts_inputs(rig, value) and bool(value("second-box-inputs"))


def mixer_outputs_may_go_out(rig: Rig, value: Lookup) -> bool:
    """An output of the band's mixer may reach the house."""
    if not house_has_a_pa(rig, value):
        return False
    pair = value("what-they-want") in ("left-right-mix", "mix-on-your-mixer") or not somebody_else_mixes(rig, value)
    return (
        pair
        or any(out.use == "free" for out in rig.mixer.outs)
        or any(source.owner.mic == "house" for source in rig.source)
    )


def house_48_v_may_reach_an_output(rig: Rig, value: Lookup) -> bool:
    """An output of the band's mixer may reach an input that has 48 V: none that takes line level at a PA."""
    at_line_level = mixed_on_the_bands_mixer(rig, value) and value("pa-input-level") == "line"
    return mixer_outputs_may_go_out(rig, value) and not at_line_level


def has_house_microphones(rig: Rig, value: Lookup) -> bool:
    """Some source has a microphone of the house, and lines are wanted."""
    return wants_lines(rig, value) and any(source.owner.mic == "house" for source in rig.source)


def has_a_link(rig: Rig, value: Lookup) -> bool:
    """The band's mixer has a digital link, and lines are wanted."""
    return wants_lines(rig, value) and any(link.channels for link in rig.mixer.links)


def sends_talkback(rig: Rig, value: Lookup) -> bool:
    """The house sends talkback from a stage box."""
    return house_has_a_box(rig, value) and value("talkback") == "yes"


def sends_line_level(rig: Rig, value: Lookup) -> bool:
    """Something may arrive at line level."""
    return mixer_outputs_may_go_out(rig, value) or any(source.level == "line" for source in rig.source)


def sends_line_level_to_a_box(rig: Rig, value: Lookup) -> bool:
    """Line level may reach an input of a stage box."""
    return house_has_a_box(rig, value) and sends_line_level(rig, value)
