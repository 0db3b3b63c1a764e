"""Lines that several units share: shared lines, one microphone for two, submixes, groups, the kit's pair, the band's
mix.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import combinations, permutations
from math import comb

from portal.plan.input.kinds import Role
from portal.plan.input.one_microphone import may_share
from portal.plan.input.rig import Source
from portal.plan.options.program import Pick, Program
from portal.plan.options.routing_options import MONO_MIX, PAIR_MIX, RoutingOptions, Use, bus
from portal.plan.options.routing_policy import needs_phantom
from portal.plan.options.travel import Travel, low_inputs, travels
from portal.plan.options.units import KIT_ROLES, Unit, is_acoustic, is_percussion_microphone

LARGEST_SHARE = 4

MOST_SHARES = 100
"""Larger sets are not looked at where there would be more of them: whoever marks seventeen sources as never together
shares in pairs.
"""

SMALLEST_SUBMIX = 3


def shares(options: RoutingOptions) -> list[int]:
    """One line for sources that never sound together; the picks made."""
    able = {
        unit.key: unit
        for unit in options.units
        if unit.width == 1
        and unit.role is not Role.LEAD
        and not (unit.fail_over or unit.house_only or unit.first)
        and unit.lead_leg.never_with
    }
    found: list[int] = []
    for size in range(2, LARGEST_SHARE + 1):
        if comb(len(able), size) > MOST_SHARES:
            break
        for keys in combinations(able, size):
            members = tuple(able[key] for key in keys)
            if not all(b.key in a.lead_leg.never_with for a in members for b in members if a is not b):
                continue
            for carrier, travel in _carriers(options, members):
                name = f"share:{'+'.join(sorted(keys))}|{carrier}|{travel.mode}"
                carried = (carrier, *(key for key in keys if key != carrier))
                pick = Pick(
                    name,
                    f"share|{travel.mode}",
                    carried,
                    gives=(("share-a-line", size - 1), *travel.gives),
                    plugs=travel.plugs,
                    finer=travel.finer,
                )
                found.append(options.add(pick, travel.use, stays=True))
    return found


def duets(options: RoutingOptions) -> list[int]:
    """One microphone for two singers of one part, where the band has said so; the picks made. The unit whose microphone
    is plugged comes first.
    """
    firsts = {unit.first for unit in options.units}
    able = [
        unit
        for unit in options.units
        if unit.width == 1
        and not (unit.fail_over or unit.house_only or unit.first or unit.keeps_own_line)
        and unit.key not in firsts
    ]
    found: list[int] = []
    for host, guest in permutations(able, 2):
        if not may_share(host.lead_leg, guest.lead_leg, both_say=host.lead or guest.lead):
            continue
        for travel in travels(options, host.legs, house_only=False):
            pick = Pick(
                f"duet:{host.key}+{guest.key}|{travel.mode}",
                f"duet|{travel.mode}",
                (host.key, guest.key),
                gives=(("two-at-one-microphone", 1), *travel.gives),
                plugs=travel.plugs * (2 if travel.use.links and (host.must or guest.must) else 1),
                finer=(*travel.finer, *low_inputs(guest.legs * 2)),
            )
            found.append(options.add(pick, travel.use, stays=True))
    return found


def _carriers(options: RoutingOptions, members: tuple[Unit, ...]) -> Iterable[tuple[str, Travel]]:
    """Every way in which one of the members can carry the line for all of them; of two that come to the same, the one
    with the lower key.
    """
    offered: set[Travel] = set()
    for unit in sorted(members, key=lambda unit: unit.key):
        plug = plug_of(unit.lead_leg, [one.lead_leg for one in members])
        for travel in travels(options, (plug,), house_only=False):
            # What takes turns does so before the mixer: an output of it carries one of its inputs.
            past = not (travel.use.unprocessed or travel.use.processed or travel.use.links)
            if past and travel not in offered:
                offered.add(travel)
                yield unit.key, travel


def plug_of(carrier: Source, members: Iterable[Source]) -> Source:
    """The carrier as its plug is used by all that take turns on it: a microphone that needs 48 V, where one of them
    does.
    """
    if any(needs_phantom(source) == "yes" for source in members):
        return replace(carrier, capture="mic", phantom="yes")
    return carrier


def submix_legs(members: Sequence[Unit]) -> tuple[Source, ...]:
    """The legs of a submix, those first whose ways its output takes: wired ones by way, then the others by key."""
    legs = (leg for unit in members for leg in unit.legs)
    return tuple(sorted(legs, key=lambda leg: (not leg.splitter, leg.splitter, leg.way or 0, leg.key)))


def submixes(options: RoutingOptions) -> list[int]:
    """The band's submixes on two lines or one; the picks made."""
    found = []
    for name in dict.fromkeys(unit.lead_leg.submix for unit in options.units if unit.lead_leg.submix):
        members = [unit for unit in options.units if unit.lead_leg.submix == name]
        legs = submix_legs(members)
        if len(legs) < SMALLEST_SUBMIX or any(unit.house_only for unit in members):
            continue
        keys = tuple(unit.key for unit in members)
        given = (("own-submix", len(legs) - 2),)
        mono = () if options.mono_pa else (("keyboards-to-mono", 1),)
        for width, extra in ((2, ()), (1, mono)):
            for travel in travels(options, legs[:width], house_only=False):
                pick = Pick(
                    f"submix:{name}|{width}|{travel.mode}",
                    f"submix-{width}|{travel.mode}",
                    keys,
                    gives=given + extra + travel.gives,
                    plugs=travel.plugs,
                    finer=travel.finer,
                )
                found.append(options.add(pick, travel.use, stays=True))
    return found


def group_kinds(units: tuple[Unit, ...]) -> dict[str, tuple[str, tuple[Unit, ...]]]:
    """The groups that can exist: group key -> (step, units that may be members)."""
    able = tuple(unit for unit in units if unit.groupable)
    kinds = {
        "percussion": ("percussion-sum", tuple(unit for unit in able if is_percussion_microphone(unit))),
        "guitars": ("guitars-sum", tuple(unit for unit in able if unit.role is Role.GUITAR and not is_acoustic(unit))),
        "acoustics": ("guitars-sum", tuple(unit for unit in able if unit.role is Role.GUITAR and is_acoustic(unit))),
        "keyboards-with-playback": (
            "keyboards-with-playback",
            tuple(unit for unit in able if unit.role in (Role.KEYBOARD, Role.PLAYBACK) and not is_acoustic(unit)),
        ),
    }
    voices = tuple(unit for unit in able if unit.role is Role.BACKING)
    for part in dict.fromkeys(unit.lead_leg.family for unit in voices):
        of_part = tuple(unit for unit in voices if unit.lead_leg.family == part)
        kinds[f"backing:{part}" if part else "backing"] = ("backing-sum", of_part)
    for section in dict.fromkeys(unit.section for unit in able if unit.section):
        kinds[f"section:{section}"] = ("section-sum", tuple(unit for unit in able if unit.section == section))
    return {key: (step, members) for key, (step, members) in kinds.items() if len(members) > 1}


def groups(options: RoutingOptions) -> list[int]:
    """Units of one sort on one line; the picks made."""
    found = []
    program = options.program
    for key, (step, members) in group_kinds(options.units).items():
        group = program.add(Pick(f"group:{key}", "group", unit=key, gives=((step, -1),), plugs=1))
        options.uses[group] = bus(options, mono=1)
        joined: dict[str, int] = {}
        for unit in members:
            name, mode = f"{unit.key}|in|{key}", f"in|{key}"
            pick = Pick(name, mode, (unit.key,), gives=((step, unit.width),), finer=low_inputs(unit.legs))
            joined[unit.key] = options.add(pick, Use(), stays=False)
            program.implies(joined[unit.key], group)
        program.at_least({**dict.fromkeys(joined.values(), 1), group: -2}, 0)
        if key in ("guitars", "acoustics"):
            _one_guitar_a_player(program, members, joined)
        if key == "keyboards-with-playback":
            for role in (Role.KEYBOARD, Role.PLAYBACK):
                program.at_least({**{joined[unit.key]: 1 for unit in members if unit.role is role}, group: -1}, 0)
        found += [group, *joined.values()]
    return found


def _one_guitar_a_player(program: Program, members: tuple[Unit, ...], joined: dict[str, int]) -> None:
    for player in dict.fromkeys(unit.lead_leg.player for unit in members if unit.lead_leg.player):
        program.at_most({joined[unit.key]: 1 for unit in members if unit.lead_leg.player == player}, 1)


def kit_pair(options: RoutingOptions) -> list[int]:
    """The kit on a pair, or on one line where the room is mono; the picks made."""
    program = options.program
    able = tuple(unit for unit in options.units if unit.groupable and unit.role in KIT_ROLES)
    if len(able) < 2:  # noqa: PLR2004 - a pair needs two members
        return []
    group = program.add(Pick("group:kit-pair", "kit-pair", plugs=1 if options.mono_pa else 2))
    options.uses[group] = bus(options, mono=1) if options.mono_pa else bus(options, stereo=1)
    steps = {Role.KICK: "kick-in-kit-pair", Role.SNARE: "snare-in-kit-pair"}
    joined: dict[str, int] = {}
    for unit in able:
        pick = Pick(
            f"{unit.key}|in|kit-pair",
            "in|kit-pair",
            (unit.key,),
            gives=((steps.get(unit.role, "kit-pair"), unit.width),),
        )
        joined[unit.key] = options.add(pick, Use(), stays=True)
        program.implies(joined[unit.key], group)
    program.at_least({**dict.fromkeys(joined.values(), 1), group: -2}, 0)
    snares = [unit.key for unit in options.units if unit.role is Role.SNARE and not unit.first]
    for kick in (unit.key for unit in able if unit.role is Role.KICK):
        for snare in snares:
            program.at_most({joined[kick]: 1} | ({joined[snare]: -1} if snare in joined else {}), 0)
    return [group, *joined.values()]


def mix_picks(options: RoutingOptions) -> tuple[int, int]:
    """The band's whole mix on a pair or on one line: the two picks."""
    program = options.program
    pair = program.add(Pick("mix", PAIR_MIX, plugs=2))
    gives = () if options.mono_pa else (("mix-to-mono", 1),)
    mono = program.add(Pick("mix:mono", MONO_MIX, gives=gives, plugs=1))
    options.uses[pair] = bus(options, stereo=1)
    options.uses[mono] = bus(options, mono=1)
    program.at_most({pair: 1, mono: 1}, 1)
    if options.forced_mix and any(not (unit.house_only or unit.fail_over) for unit in options.units):
        program.at_least({pair: 1, mono: 1}, 1, "wish")
    return pair, mono


def mix_step(unit: Unit) -> str:
    """The step at which a unit goes into the band's mix."""
    if unit.lead:
        return "whole-mix"
    if unit.first:
        return "music-mix"
    steps = {Role.KICK: "kick-in-music-mix", Role.BASS: "bass-in-music-mix", Role.SNARE: "snare-in-music-mix"}
    return steps.get(unit.role, "music-mix")


def mix_members(options: RoutingOptions, mix: tuple[int, int]) -> None:
    """Each unit may go into the band's mix; what was entered as outside the mix cannot be beside it."""
    program = options.program
    for terms in options.by_unit(options.outside_mix):
        program.at_most(terms | {mix[0]: 1, mix[1]: 1}, 1)
    for unit in options.units:
        if unit.house_only or unit.fail_over:
            continue
        gives = () if options.forced_mix else ((mix_step(unit), unit.width),)
        pick = Pick(f"{unit.key}|in|mix", "in|mix", (unit.key,), gives=gives)
        index = options.add(pick, Use(), stays=True)
        program.at_most({index: 1, mix[0]: -1, mix[1]: -1}, 0)
        if options.forced_mix:
            own = {other: 1 for other in options.of_unit[unit.key] if program.picks[other].mode.startswith("own|")}
            program.at_most(own, 0, "wish")
