"""48 V at the house desk and at the band's mixer, as an instruction."""

from __future__ import annotations

from dataclasses import replace

from portal.documents.cover import Cover
from portal.plan.input.facts import Facts
from portal.plan.model import AT_THE_DESK, DESK_SWITCH, MIXER_OUTPUTS, NEVER, PA, EarInput, Line, Plan
from portal.plan.result.spelling import desk_switch
from portal.plan.result.transformers import on_one_switch
from portal.wording.catalogue import Words, gettext, look_up, mark
from portal.wording.formats import join_clauses

ON_AT_THE_DESK = mark("ON, house")
"""The side is named: the band's mixer has a column of the same name."""

ON_AT_THE_MIXER = mark("ON, band")
ON_AT_THE_SPLITTER = mark("mixer OFF, splitter ON")
AT_THE_MIXER = Words(
    {
        "band": ON_AT_THE_MIXER,
        "none": mark("OFF"),
        "": mark("OFF"),
        "never": NEVER,
        "splitter": ON_AT_THE_SPLITTER,
        "unknown": AT_THE_DESK["unknown"],
    }
)
"""Who feeds 48 V -> what is done about it at an input of the band's mixer."""


def house_switch(line: Line) -> str:
    """What is done about 48 V at the house desk for a line."""
    key = desk_switch(line)
    return look_up(ON_AT_THE_DESK if key == "house" else DESK_SWITCH.get(key, line.at_the_desk))


def mixer_switch(one: EarInput) -> str:
    """What is done about 48 V at an input of the band's mixer."""
    return AT_THE_MIXER.get(one.phantom, one.phantom)


def feed_behind(line: Line, plan: Plan) -> str:
    """48 V at the band's mixer for what leaves it on a line, beside the house's own on that line: each source by its
    name and its one mixer input, for an input of the box or a way of a splitter may bear the same number; empty where
    none is on, or where the mixer's patch says it itself.
    """
    if plan.outputs or line.path.kind not in MIXER_OUTPUTS | {"digital-link"}:
        return ""
    return join_clauses(
        gettext(
            "%(label)s: 48 V %(switch)s, at mixer input %(mixer_input)s",
            label=one.label,
            switch=mixer_switch(one),
            mixer_input=one.mixer_input,
        )
        for one in plan.ear_inputs
        if one.source in line.sources and one.phantom in ("band", "splitter") and one.mixer_input is not None
    )


def off_at_the_house(line: Line) -> str:
    """The house's own end of a line that the band's mixer feeds, with its 48 V off."""
    switch = gettext("OFF") if desk_switch(line) == "none" else house_switch(line)
    if line.box_socket is None:
        return gettext("desk channel %(channel)s: 48 V %(switch)s", channel=line.desk_channel, switch=switch)
    return gettext("box input %(box_input)s: 48 V %(switch)s", box_input=line.socket, switch=switch)


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
        lines=tuple(replace(line, desk_phantom="bank") if line.line in borne else line for line in plan.lines),
    )
