"""Every way in which a source or a group can reach the house desk, and what it uses up.

``write_program`` turns facts into picks and rows. A unit has exactly one pick; a group, a mix, a carried splitter or
loom has a pick of its own that the others need. What no pick names cannot happen: that is how "never" is kept.
"""

from __future__ import annotations

from collections.abc import Sequence

from portal.plan.input.facts import Facts, Lock
from portal.plan.options.bettered import bettered
from portal.plan.options.capacities import resources
from portal.plan.options.one_unit import ears_only, left_out, own_line, percussion_one, seconds, to_mono
from portal.plan.options.program import Pick
from portal.plan.options.routing_options import RoutingOptions
from portal.plan.options.routing_policy import Room, room_of
from portal.plan.options.shared_lines import duets, groups, kit_pair, mix_members, mix_picks, shares, submixes
from portal.plan.options.travel import kit_one_way, partners_one_way
from portal.plan.options.units import units_of

SPLITTER_CARRY = 2
"""A carried splitter weighs twice its ways."""


def write_program(facts: Facts, locks: Sequence[Lock] = (), *, forced_mix: bool = False) -> RoutingOptions:
    """The whole programme of one gig. ``forced_mix``: everything that can goes into the band's left/right mix."""
    options = RoutingOptions(facts, units_of(facts), forced_mix)
    room = room_of(facts)
    for splitter in facts.rig.splitter:
        if not splitter.built_in:
            pick = Pick(
                f"carry|{splitter.key}", "carry-splitter", unit=splitter.key, carry=SPLITTER_CARRY * splitter.ways
            )
            options.splitter_picks[splitter.key] = options.program.add(pick)
    mix = mix_picks(options)
    for unit in options.units:
        own_line(options, unit)
        left_out(options, unit)
        if not forced_mix:
            options.outside_mix += to_mono(options, unit, room)
            options.outside_mix += ears_only(options, unit, room)
    if not forced_mix:
        options.outside_mix += shares(options)
        options.outside_mix += duets(options)
        options.outside_mix += submixes(options)
        options.outside_mix += groups(options)
        options.outside_mix += kit_pair(options)
        if room is not Room.SILENT:
            percussion_one(options)
        seconds(options)
    mix_members(options, mix)
    for unit in options.units:
        options.program.exactly(dict.fromkeys(options.of_unit.get(unit.key, ()), 1), 1)
    partners_one_way(options)
    kit_one_way(options)
    _keep_locks(options, locks)
    resources(options)
    options.program.bettered = bettered(options)
    return options


def _keep_locks(options: RoutingOptions, locks: Sequence[Lock]) -> None:
    """What both sides have agreed on: a line of its own, or left out. Locks on numbers are kept when numbering."""
    wanted = {"own-line": "own|", "leave-out": "out|"}
    for lock in locks:
        unit = next((unit for unit in options.units if any(leg.key == lock.source for leg in unit.legs)), None)
        if unit is None or lock.resource != "send" or lock.value not in wanted:
            continue
        kept = [i for i in options.of_unit[unit.key] if options.program.picks[i].mode.startswith(wanted[lock.value])]
        options.program.at_least(dict.fromkeys(kept, 1), 1, f"lock:{lock.value}:{unit.key}")
