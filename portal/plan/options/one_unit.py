"""What one unit can do by itself: a line of its own, one line instead of two, in-ears only, or staying out."""

from __future__ import annotations

from portal.plan.input.kinds import Role
from portal.plan.options.program import Pick
from portal.plan.options.routing_options import RoutingOptions, Use, bus
from portal.plan.options.routing_policy import Room, cymbals_carry, is_act_of_machines, mono_way
from portal.plan.options.travel import low_inputs, travels
from portal.plan.options.units import Unit, is_loud_cabinet, is_percussion_microphone, straight_is_safe


def own_line(options: RoutingOptions, unit: Unit) -> None:
    """A line of its own for each leg, by every way of travelling."""
    for travel in travels(options, unit.legs, house_only=unit.house_only):
        # A digital link dies with the rack, so what must be heard is the last to travel over it.
        plugs = travel.plugs * (2 if travel.use.links and unit.must else 1)
        name, mode = f"{unit.key}|own|{travel.mode}", f"own|{travel.mode}"
        pick = Pick(name, mode, (unit.key,), gives=travel.gives, plugs=plugs, finer=travel.finer)
        options.add(pick, travel.use, stays=True)
    _past_the_ears(options, unit)


def _past_the_ears(options: RoutingOptions, unit: Unit) -> None:
    """A second microphone or the hat by its own cable into a loom way, out of the ears: its first microphone or the
    overheads stay there.
    """
    facts, count = options.facts, unit.width
    able = unit.first or unit.role in (Role.HAT, Role.RIDE)
    past = not (unit.house_only or unit.inseparable or unit.fail_over or unit.in_ears_anyway)
    if able and past and facts.value("house-split") != "yes" and straight_is_safe(unit, facts):
        pick = Pick(
            f"{unit.key}|own|past-the-ears",
            "own|past-the-ears",
            (unit.key,),
            gives=(("out-of-the-ears", count),),
            plugs=count,
            finer=low_inputs(unit.legs),
        )
        options.add(pick, Use(inputs=count, lines=count if facts.rig.loom else 0), stays=True)


def left_out(options: RoutingOptions, unit: Unit) -> None:
    """The unit stays out, unless it must be heard or the band's mix goes to the house."""
    step = "fail-over-out" if unit.fail_over else "left-out"
    pick = Pick(f"{unit.key}|out|{step}", f"out|{step}", (unit.key,), gives=((step, unit.width),))
    index = options.add(pick, Use(), stays=False)
    if unit.must:
        options.program.at_most({index: 1}, 0, f"must:{unit.key}")
    if not unit.house_only and not unit.fail_over:
        options.outside_mix.append(index)


def to_mono_step(unit: Unit, room: Room) -> str:
    """The step at which a stereo unit goes to one line."""
    if unit.role is Role.OVERHEAD:
        if unit.light:
            return "light-kit-overheads"
        return "small-room-overheads" if room is Room.SMALL_AND_LOUD else "overheads-to-one"
    return {Role.KEYBOARD: "keyboards-to-mono", Role.PLAYBACK: "playback-to-mono"}.get(unit.role, "stereo-to-mono")


def to_mono(options: RoutingOptions, unit: Unit, room: Room) -> list[int]:
    """One line for a stereo unit; the picks made."""
    if unit.width == 1 or unit.keeps_own_line or unit.fail_over:
        return []
    how = mono_way(unit.legs)
    if unit.inseparable and not any(leg.to_mono in ("jack", "switch") for leg in unit.legs):
        return []
    step = to_mono_step(unit, room)
    if step == "playback-to-mono" and is_act_of_machines(options.facts):
        step = "only-playback-to-mono"
    gives = () if options.mono_pa else ((step, 1),)
    found = []
    if how not in ("bus", "cannot"):
        for travel in travels(options, unit.legs[:1], house_only=unit.house_only):
            pick = Pick(
                f"{unit.key}|mono|{travel.mode}",
                f"mono|{travel.mode}",
                (unit.key,),
                gives=gives + travel.gives,
                plugs=travel.plugs,
                finer=travel.finer,
            )
            found.append(options.add(pick, travel.use, stays=True))
    if how != "microphone" and not unit.house_only:
        finer = (("mono-by-bus", 1),)
        pick = Pick(f"{unit.key}|mono|bus", "mono|bus", (unit.key,), gives=gives, plugs=1, finer=finer)
        found.append(options.add(pick, bus(options, mono=1), stays=True))
    return found


def ears_only(options: RoutingOptions, unit: Unit, room: Room) -> list[int]:
    """The unit is heard in in-ears only; the picks made."""
    if unit.must or unit.inseparable or unit.fail_over or unit.keeps_own_line:
        return []
    gives = _out_step(options, unit, room)
    if not gives:
        return []
    pick = Pick(
        f"{unit.key}|out|{gives[-1][0]}",
        f"out|{gives[-1][0]}",
        (unit.key,),
        gives=tuple(give for give in gives if give[1]),
        finer=low_inputs(unit.legs),
    )
    index = options.add(pick, Use(), stays=False)
    # A second microphone may stay out beside the band's mix as well, where its first keeps a line of its own.
    return [] if pick.mode == "out|second-microphone" else [index]


def _out_step(options: RoutingOptions, unit: Unit, room: Room) -> tuple[tuple[str, int], ...]:
    """What leaving it to the in-ears gives up: the first that applies of optional, second microphone, and the room's
    own steps.
    """
    if unit.optional:
        return (("optional-source", unit.width),)
    if unit.first:
        return (("second-microphone", unit.width),)
    if room is Room.SILENT:
        return ()
    if room is Room.NORMAL and unit.role is Role.OVERHEAD:
        first = (("overheads-to-one", 0 if options.mono_pa else 1),) if unit.width > 1 else ()
        return (*first, ("overhead-before-sums" if cymbals_carry(options.facts) else "last-overhead", 1))
    if room is Room.SMALL_AND_LOUD and is_loud_cabinet(unit):
        return (("small-room-cabinets", unit.width),)
    step = (LIGHT_KIT_STEPS if unit.light else {}).get(unit.role) or ROOM_STEPS[room].get(unit.role)
    return ((step, unit.width),) if step else ()


LIGHT_KIT_STEPS = {Role.SNARE: "light-kit-snare", Role.KICK: "light-kit-kick"}

ROOM_STEPS = {
    Room.NORMAL: {
        Role.HAT: "hat-and-ride",
        Role.RIDE: "hat-and-ride",
        Role.RACK_TOM: "rack-toms",
        Role.FLOOR_TOM: "floor-tom",
    },
    Room.SMALL_AND_LOUD: {
        Role.HAT: "hat-and-ride",
        Role.RIDE: "hat-and-ride",
        Role.OVERHEAD: "small-room-overheads",
        Role.RACK_TOM: "small-room-rack-toms",
        Role.FLOOR_TOM: "small-room-floor-tom",
    },
}


def percussion_one(options: RoutingOptions) -> None:
    """Of several percussion microphones one stays out while another is heard."""
    spots = [unit for unit in options.units if is_percussion_microphone(unit)]
    group = next((index for index, pick in enumerate(options.program.picks) if pick.name == "group:percussion"), None)
    added: list[tuple[Unit, int]] = []
    for unit in spots:
        if len(spots) > 1 and not (unit.must or unit.inseparable or unit.fail_over or unit.keeps_own_line):
            pick = Pick(
                f"{unit.key}|out|percussion-one",
                "out|percussion-one",
                (unit.key,),
                gives=(("percussion-one", unit.width),),
            )
            added.append((unit, options.add(pick, Use(), stays=False)))
    for unit, index in added:
        others = {pick: -1 for other in spots if other is not unit for pick in options.stays.get(other.key, ())}
        if group is not None:
            others[group] = -1
        options.program.at_most({index: 1, **others}, 0)
    options.outside_mix += [index for _, index in added]


def seconds(options: RoutingOptions) -> None:
    """A second microphone stays out only while the first one is heard."""
    for unit in options.units:
        out = [
            index
            for index in options.of_unit.get(unit.key, ())
            if options.program.picks[index].mode == "out|second-microphone"
        ]
        for index in out:
            options.program.at_most({index: 1, **dict.fromkeys(options.stays.get(unit.first, ()), -1)}, 0)
