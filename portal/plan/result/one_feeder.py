"""48 V from one side alone: what a switch of the house that has to be on reaches through a direct leg is the house's to
feed, and the band's mixer leaves its own 48 V off there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from portal.plan.input.facts import Facts
from portal.plan.model import Line
from portal.plan.options.routing_policy import needs_phantom
from portal.plan.own_mixer.mixed_tonight import plugged_in
from portal.plan.own_mixer.mixer_switches import switch_of
from portal.plan.result.transformers import behind_a_transformer, on_a_live_switch


def reached_by_the_house(line: Line, lines: Sequence[Line], facts: Facts) -> bool:
    """Whether the house's 48 V, on for another line, gets through a direct leg to what the band's rack feeds."""
    direct = line.path.kind == "split" and not behind_a_transformer(line, facts)
    return direct and line.phantom in ("band", "splitter") and on_a_live_switch(line, lines, facts)


def with_one_feeder(lines: Sequence[Line], facts: Facts) -> tuple[Line, ...]:
    """The lines, the house feeding those that its switch reaches anyway, where the band's mixer can leave its 48 V off
    at their inputs.
    """
    reached = [line for line in lines if line.phantom == "band" and reached_by_the_house(line, lines, facts)]
    held = _held_on({key for line in reached for key in line.sources}, facts)
    theirs = {line.line for line in reached if not held & set(line.sources)}
    return tuple(
        replace(line, phantom="house", desk_phantom="house") if line.line in theirs else line for line in lines
    )


def _held_on(reached: set[str], facts: Facts) -> set[str]:
    """Those of these sources whose switch on the band's mixer has to be on for another one."""
    fed: dict[int, set[str]] = {}
    for source in facts.rig.source:
        if plugged_in(source) and source.mixer_input and needs_phantom(source) == "yes":
            switch = switch_of(source.mixer_input, facts.rig.mixer)
            if switch is not None:
                fed.setdefault(switch, set()).add(source.key)
    return {key for there in fed.values() if there - reached for key in there & reached}
