"""The order of plugging in, and the cautions that belong on a patch sheet: fixed words, chosen by what the plan holds.

The order is common practice, no source. The mains sentences rest on class I protection (IEC 61140, from memory, not verified).
"""

from __future__ import annotations

from portal.documents.printed import ranges
from portal.plan.words import Plan

TINGLE = (
    "A tingle between microphone and strings, or rack and box, is a mains fault: hands off, stop, fetch the electrician. "
    "No audio lift or isolator cures it."
)


def plug_in_order(plan: Plan) -> tuple[str, ...]:
    """The steps from dead stage to ears in, in order."""
    steps = ["Mute every channel on both desks. 48 V off everywhere. Ears out."]
    if any(line.loom for line in plan.lines):
        steps.append("Plug each loom way into the box socket on its row. Read the number at both ends.")
    elif plan.lines:
        steps.append("Plug each line into the box socket on its row.")
    if plan.returns:
        steps.append("Plug the returns with their turn-rounds. 48 V stays off on those inputs.")
    if any(line.pad_db for line in plan.lines):
        steps.append("Set the pads, before any gain: a pad moves the other side of a split as well.")
    if any(line.phantom not in {"none", ""} for line in plan.lines):
        steps.append("48 V on, muted, only by the side on the row. Wait until it has settled.")
    if plan.lines:
        steps.append("Line check, line by line from 1. Tick each row.")
    frozen = [line.line for line in plan.lines if line.gain_owner == "band"]
    if frozen:
        steps.append(f"After line check the band's gain is frozen on lines {ranges(frozen)}; it speaks before it moves one.")
    if any(line.phantom == "band" for line in plan.lines):
        steps.append("The rack stays on from line check to the end: it feeds 48 V.")
    if plan.ears:
        steps.append("Ears in last, level down, then up slowly.")
    steps.append("To unplug: mute and 48 V off first.")
    return tuple(steps)


def cautions(plan: Plan) -> tuple[str, ...]:
    """The cautions that apply to this plan, mains first."""
    found = [
        TINGLE,
        "Ears out until line check is done. Mute, and 48 V off, before plugging.",
    ]
    if plan.lines:
        found.append(
            "Ground lift opens an audio shield only. Never defeat the protective earth of mains equipment; hum is not solved at the mains plug."
        )
    found.append("Stage power belongs behind residual current protection (RCD or GFCI). The local code and a licensed electrician decide.")
    if plan.ears:
        found.append("In-ear levels can harm hearing: a limiter on every ear out, start low. Information, not medical advice.")
    if any(mix.carried_by == "radio" for mix in plan.ears):
        found.append("Radio: check the licence and the local rules with the national regulator before switching on.")
    found.append("Lift the rack, and anything else that is heavy, with two people.")
    return tuple(found)
