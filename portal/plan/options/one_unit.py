"""What one unit can do by itself: a line of its own, one line instead of two, ears only, or staying out."""

from __future__ import annotations

from portal.plan.input.kinds import Role
from portal.plan.options.program import Pick
from portal.plan.options.routing_options import RoutingOptions, Use, bus
from portal.plan.options.routing_policy import Room
from portal.plan.options.travel import travels
from portal.plan.options.units import Unit, is_loud_cabinet, is_percussion_microphone


def own_line(options: RoutingOptions, unit: Unit) -> None:
    """A line of its own for each leg, by every way of travelling."""
    for travel in travels(options, unit.legs, house_only=unit.house_only):
        # A digital link dies with the rack, so what must be heard is the last to travel over it.
        plugs = travel.plugs * (2 if travel.use.links and unit.must else 1)
        pick = Pick(f"{unit.key}|own|{travel.mode}", f"own|{travel.mode}", (unit.key,), gives=travel.gives, plugs=plugs)
        options.add(pick, travel.use, stays=True)


def left_out(options: RoutingOptions, unit: Unit, mix: tuple[int, int]) -> None:
    """The unit stays out, unless it must be heard or the band's mix (``mix``: its picks) goes to the house."""
    step = "fail-over-out" if unit.fail_over else "left-out"
    pick = Pick(f"{unit.key}|out|{step}", f"out|{step}", (unit.key,), gives=((step, unit.width),))
    index = options.add(pick, Use(), stays=False)
    if unit.must:
        options.program.at_most({index: 1}, 0, f"must:{unit.key}")
    if not unit.house_only and not unit.fail_over:
        options.program.at_most({index: 1, mix[0]: 1, mix[1]: 1}, 1)


def to_mono_step(unit: Unit, room: Room) -> str:
    """The step at which a stereo unit goes to one line."""
    if unit.role is Role.OVERHEAD:
        return "small-room-overheads" if room is Room.SMALL_AND_LOUD else "overheads-to-one"
    return {Role.KEYBOARD: "keyboards-to-mono", Role.PLAYBACK: "playback-to-mono"}.get(unit.role, "stereo-to-mono")


def to_mono(options: RoutingOptions, unit: Unit, room: Room) -> list[int]:
    """One line for a stereo unit; the picks made."""
    if unit.width == 1 or unit.inseparable or unit.keeps_own_line or unit.fail_over:
        return []
    gives = () if options.mono_pa else ((to_mono_step(unit, room), 1),)
    found = []
    for travel in travels(options, unit.legs[:1], house_only=unit.house_only):
        pick = Pick(
            f"{unit.key}|mono|{travel.mode}",
            f"mono|{travel.mode}",
            (unit.key,),
            gives=gives + travel.gives,
            plugs=travel.plugs,
        )
        found.append(options.add(pick, travel.use, stays=True))
    if unit.role is not Role.OVERHEAD and not unit.house_only:
        pick = Pick(f"{unit.key}|mono|bus", "mono|bus", (unit.key,), gives=gives, plugs=1)
        found.append(options.add(pick, bus(options, mono=1), stays=True))
    return found


def ears_only(options: RoutingOptions, unit: Unit, room: Room) -> list[int]:
    """The unit is heard in ears only; the picks made."""
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
    )
    return [options.add(pick, Use(), stays=False)]


def _out_step(options: RoutingOptions, unit: Unit, room: Room) -> tuple[tuple[str, int], ...]:
    """What leaving it to the ears gives up: the first that applies of optional, second microphone, and the room's own
    steps.
    """
    if unit.optional:
        return (("optional-source", unit.width),)
    if unit.first:
        return (("second-microphone", unit.width),)
    if room is Room.SILENT:
        return ()
    if room is Room.NORMAL and unit.role is Role.OVERHEAD:
        first = (("overheads-to-one", 0 if options.mono_pa else 1),) if unit.width > 1 else ()
        return (*first, ("last-overhead", 1))
    if room is Room.SMALL_AND_LOUD and is_loud_cabinet(unit):
        return (("small-room-cabinets", unit.width),)
    step = ROOM_STEPS[room].get(unit.role)
    return ((step, unit.width),) if step else ()


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
