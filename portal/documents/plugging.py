"""The order of plugging in, and the cautions that belong on a patch sheet: fixed words, chosen by what the plan holds.

The order is common practice, no source. The mains sentences rest on class I protection (IEC 61140, from memory, not
verified).
"""

from __future__ import annotations

from portal.documents.rendering.printed import ranges
from portal.plan.model import PA, Plan

EARS_OUT = (
    "Keep in-ears out while anything is plugged or 48 V is switched. "
    "Mute the band's channels and switch 48 V off on the band's inputs before plugging."
)
"""What has to be so before anybody plugs, the same words on every paper."""

TINGLE = (
    "A tingle between microphone and strings, or rack and box, is a mains fault: hands off, stop, fetch the"
    " electrician. No audio lift or isolator cures it."
)


def plug_in_order(plan: Plan) -> tuple[str, ...]:
    """The steps from dead stage to ears in, in order."""
    lines = plan.lines
    at_the_pa = [line for line in lines if line.box == PA]
    at_a_box = [line for line in lines if line.box != PA]
    frozen = [line.desk_channel for line in at_a_box if line.gain_owner == "band"]
    frozen_words = f"{'desk channel' if len(frozen) == 1 else 'desk channels'} {ranges(frozen)}"
    phantom = {one.phantom for one in lines} | {one.phantom for one in plan.ear_inputs}
    steps = (
        (
            True,
            (
                f"Keep in-ears out. Mute the band's channels on {'desk and mixer' if at_a_box else 'the mixer'}."
                " 48 V off on the band's inputs only."
            ),
        ),
        (plan.outputs, "Plug each source into the mixer input on its row, then each output. Read both numbers."),
        (at_a_box, "Plug each tail into the box input on its row. Read the number at both ends."),
        (at_the_pa, "Plug the mix into the PA's inputs with its amplifiers down."),
        (plan.returns, "Plug the returns with their turn-rounds. 48 V stays off on those inputs."),
        (
            any(line.pad_db for line in lines),
            "Set the pads, before any gain: a pad on one leg of a split moves the other leg too.",
        ),
        (
            phantom - {"none", "", "never"},
            "With channels muted, switch 48 V on, only the side named on the row. Wait for it to settle.",
        ),
        (at_a_box and not plan.outputs, "Line check, row by row from the top. Tick each row."),
        (
            plan.outputs or (not lines and plan.ear_inputs),
            "Line check, mixer input by mixer input from 1. Tick each row.",
        ),
        (plan.outputs, "Amplifiers of the PA up last and slowly, with the mixer at its usual level."),
        (
            frozen,
            f"After line check the band's gain is frozen on {frozen_words}; the band says so before it moves one.",
        ),
        (any(line.phantom == "band" for line in lines), "The rack stays on from line check to the end: it feeds 48 V."),
        (plan.ears, "Ears in last, level down, then up slowly."),
        (True, "To unplug: mute and 48 V off first."),
    )
    return tuple(step for applies, step in steps if applies)


def cautions(plan: Plan) -> tuple[str, ...]:
    """The cautions that apply to this plan, mains first; ``EARS_OUT`` stands by itself, before all."""
    found = [TINGLE]
    if plan.lines:
        found.append(
            "Ground lift opens an audio shield only. Never defeat the protective earth of mains equipment; hum is not"
            " solved at the mains plug."
        )
    found.append(
        "Stage power belongs behind residual current protection (RCD or GFCI). The local code and a licensed"
        " electrician decide."
    )
    if plan.ears:
        found.append(
            "In-ear levels can harm hearing: a limiter on every ear out, start low. Information, not medical advice."
        )
    if any(mix.carried_by == "radio" for mix in plan.ears):
        found.append("Radio: check the licence and the local rules with the national regulator before switching on.")
    found.append("Lift the rack, and anything else that is heavy, with two people.")
    return tuple(found)
