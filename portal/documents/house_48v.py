"""48 V at the house desk and at the band's mixer, as an instruction."""

from __future__ import annotations

from dataclasses import replace

from portal.documents.cover import Cover
from portal.documents.rendering.printed import ranges
from portal.plan.input.facts import Facts
from portal.plan.model import AT_THE_DESK, MIXER_OUTPUTS, NEVER, PA, EarInput, Line, Plan
from portal.plan.result.spelling import DESK_SWITCH, desk_switch
from portal.plan.result.transformers import on_one_switch

ON_AT_THE_DESK = f"{AT_THE_DESK['house']}, house"
"""The side is named: the band's mixer has a column of the same name."""

ON_AT_THE_MIXER = "ON, band"
AT_THE_MIXER = {
    "band": ON_AT_THE_MIXER,
    "none": "OFF",
    "": "OFF",
    "never": NEVER,
    "splitter": AT_THE_DESK["splitter"],
    "unknown": AT_THE_DESK["unknown"],
}
"""Who feeds 48 V -> what is done about it at an input of the band's mixer."""


def house_switch(line: Line) -> str:
    """What is done about 48 V at the house desk for a line."""
    return ON_AT_THE_DESK if desk_switch(line) == "house" else line.at_the_desk


def mixer_switch(one: EarInput) -> str:
    """What is done about 48 V at an input of the band's mixer."""
    return AT_THE_MIXER.get(one.phantom, one.phantom)


def feed_behind(line: Line, plan: Plan) -> str:
    """48 V at the band's mixer for what leaves it on a line, beside the house's own on that line: by mixer input; empty
    where none is on, or where the mixer's patch says it itself.
    """
    if plan.outputs or line.path.kind not in MIXER_OUTPUTS | {"digital-link"}:
        return ""
    on: dict[str, list[int]] = {}
    for one in plan.ear_inputs:
        if one.source in line.sources and one.phantom in ("band", "splitter") and one.mixer_input is not None:
            on.setdefault(mixer_switch(one), []).append(one.mixer_input)
    return ", ".join(
        f"48 V {word} at mixer {'input' if len(numbers) == 1 else 'inputs'} {ranges(numbers)}"
        for word, numbers in on.items()
    )


def banks_named(plan: Plan, cover: Cover) -> Plan:
    """The plan, its lines at a box saying so where the house's switch for another one is theirs as well."""
    facts = Facts(cover.rig, cover.answers)
    boxed = [line for line in plan.lines if line.box != PA]
    borne = {
        line.line
        for line in boxed
        if desk_switch(line) == "none"
        and any(desk_switch(other) == "house" for other in on_one_switch(line, boxed, facts))
    }
    return replace(
        plan,
        lines=tuple(
            replace(line, desk_phantom=DESK_SWITCH["bank"]) if line.line in borne else line for line in plan.lines
        ),
    )
