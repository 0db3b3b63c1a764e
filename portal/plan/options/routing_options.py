"""Every way in which a source or a group can reach the house desk, and what it uses up.

``write_program`` turns facts into picks and rows. A unit has exactly one pick; a group, a mix, a carried splitter or
loom has a pick of its own that the others need. What no pick names cannot happen: that is how "never" is kept.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations
from math import comb

from portal.plan.input.facts import Facts
from portal.plan.input.kinds import Role
from portal.plan.input.rig import Source, Splitter
from portal.plan.model import Lock
from portal.plan.options.boxes import (
    DISTANCE,
    FIRST,
    SECOND,
    cables_reaching,
    first_box_inputs,
    looms_reaching,
    second_box_inputs,
    working_inputs,
)
from portal.plan.options.program import Pick, Program, relaxed
from portal.plan.options.routing_policy import Room, room_of
from portal.plan.options.units import (
    KIT_ROLES,
    Unit,
    is_loud_cabinet,
    is_percussion_microphone,
    output_for,
    own_way,
    units_of,
)

LOOSE_CABLE_CARRY = 3
"""A loose cable is a nuisance to carry: three ways' worth (our own scale; only the order of whole plans depends on
it).
"""

SPLITTER_CARRY = 2
"""A carried splitter weighs twice its ways."""

KIT_TWO_WAYS = 100
"""Kept below every give-up and every kilo, above any number of plugs."""

LARGEST_SHARE = 4
MOST_SHARES = 100
"""Larger sets are not looked at where there would be more of them: whoever marks seventeen sources as never together
shares in pairs.
"""

SMALLEST_SUBMIX = 3

PAIR_MIX = "mix"
MONO_MIX = "mix-mono"


@dataclass(frozen=True)
class Use:
    """What one pick takes of the shared things. ``wireless`` legs are unwired: they need a free way of the named
    splitter.
    """

    inputs: int = 0
    lines: int = 0
    splitters: tuple[str, ...] = ()
    new_ways: tuple[tuple[str, int], ...] = ()
    unprocessed: int = 0
    processed: int = 0
    bus_outs: int = 0
    mono_busses: int = 0
    stereo_busses: int = 0
    transformers: int = 0
    links: int = 0


@dataclass(frozen=True)
class SecondBox:
    """The picks that count the inputs, and of these the lines through the band's own looms and cables, that go to a
    second stage box.
    """

    inputs: int
    lines: int


@dataclass
class RoutingOptions:
    """The programme while it is written, with what each pick uses and which picks are of which sort."""

    facts: Facts
    units: tuple[Unit, ...]
    forced_mix: bool
    program: Program = field(default_factory=Program)
    uses: dict[int, Use] = field(default_factory=dict)
    of_unit: dict[str, list[int]] = field(default_factory=dict)
    stays: dict[str, list[int]] = field(default_factory=dict)
    outside_mix: list[int] = field(default_factory=list)
    splitter_picks: dict[str, int] = field(default_factory=dict)
    loom_picks: dict[tuple[str, str], int] = field(default_factory=dict)
    loose_picks: dict[str, int] = field(default_factory=dict)
    second: SecondBox | None = None
    fold_picks: list[int] = field(default_factory=list)

    @property
    def mono_pa(self) -> bool:
        """Wide pairs are no use in this room."""
        return self.facts.value("pa") == "mono"

    @property
    def isolation_required(self) -> bool:
        """Every line has to come through a transformer."""
        return self.facts.value("isolation") == "required"

    def add(self, pick: Pick, use: Use, *, stays: bool) -> int:
        """Enter a pick of one or several units. ``stays`` marks the ways in which a unit keeps sounding by itself at
        the house.
        """
        index = self.program.add(pick)
        self.uses[index] = use
        for key in pick.units:
            self.of_unit.setdefault(key, []).append(index)
            if stays:
                self.stays.setdefault(key, []).append(index)
        return index


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
    mix = _mix(options)
    for unit in options.units:
        _own(options, unit)
        _left_out(options, unit, mix)
        if not forced_mix:
            options.outside_mix += _to_mono(options, unit, room)
            options.outside_mix += _ears_only(options, unit, room)
    if not forced_mix:
        options.outside_mix += _shares(options)
        options.outside_mix += _submixes(options)
        options.outside_mix += _groups(options)
        options.outside_mix += _kit_pair(options)
        if room is not Room.SILENT:
            _percussion_one(options)
        _seconds(options)
    _mix_members(options, mix)
    for unit in options.units:
        options.program.exactly(dict.fromkeys(options.of_unit.get(unit.key, ()), 1), 1)
    _kit_one_way(options)
    _keep_locks(options, locks)
    _resources(options)
    return options


def _kit_one_way(options: RoutingOptions) -> None:
    """Microphones on one kit hear each other: where some come over a digital link and some do not, their delays differ
    and they comb.
    """
    program = options.program
    linked = [index for index, use in options.uses.items() if use.links]
    if not linked:
        return
    kit = {unit.key for unit in options.units if unit.role in KIT_ROLES}
    two_ways = program.add(Pick("kit-two-ways", "kit-two-ways", plugs=KIT_TWO_WAYS))
    late, early = program.add(Pick("kit-late", "kit-late")), program.add(Pick("kit-early", "kit-early"))
    for index, use in options.uses.items():
        if use.inputs + use.links and kit & set(program.picks[index].units):
            program.implies(index, late if use.links else early)
    program.at_most({late: 1, early: 1, two_ways: -1}, 1)


def _keep_locks(options: RoutingOptions, locks: Sequence[Lock]) -> None:
    """What both sides have agreed on: a line of its own, or left out. Locks on numbers are kept when numbering."""
    wanted = {"own-line": "own|", "leave-out": "out|"}
    for lock in locks:
        unit = next((unit for unit in options.units if any(leg.key == lock.source for leg in unit.legs)), None)
        if unit is None or lock.resource != "send" or lock.value not in wanted:
            continue
        kept = [i for i in options.of_unit[unit.key] if options.program.picks[i].mode.startswith(wanted[lock.value])]
        options.program.at_least(dict.fromkeys(kept, 1), 1, f"lock:{lock.value}:{unit.key}")


# --- how a leg travels


@dataclass(frozen=True)
class _Travel:
    mode: str
    use: Use
    gives: tuple[tuple[str, int], ...] = ()
    plugs: int = 0


def _travels(options: RoutingOptions, legs: tuple[Source, ...], *, house_only: bool) -> Iterable[_Travel]:
    """Every way in which these legs can travel side by side: through a splitter, on direct outs, or straight to the
    box.
    """
    count = len(legs)
    if house_only:
        yield _Travel("straight", Use(inputs=count))
        return
    if options.facts.value("house-split") == "yes":
        yield _Travel("house-split", Use(inputs=count), plugs=sum(1 for leg in legs if leg.splitter))
        yield from _outs(options, count)
        return
    splitters = {splitter.key: splitter for splitter in options.facts.rig.splitter}
    if any(not leg.splitter for leg in legs):
        for splitter in options.facts.rig.splitter:
            travel = _through(options, legs, splitters, splitter)
            if travel is not None:
                yield travel
    else:
        travel = _through(options, legs, splitters, None)
        if travel is not None:
            yield travel
    yield from _outs(options, count)


def _outs(options: RoutingOptions, count: int) -> Iterable[_Travel]:
    if options.facts.value("digital-link") == "yes" and not options.isolation_required:
        yield _Travel("digital-link", Use(links=count), (("digital-link", count),), count)
    if options.facts.rig.mixer.outs:
        isolating = count if options.isolation_required else 0
        yield _Travel(
            "direct-out", Use(count, count, unprocessed=count, transformers=isolating), (("direct-out", count),), count
        )
        yield _Travel(
            "processed-direct-out",
            Use(count, count, processed=count, transformers=isolating),
            (("processed-direct-out", count),),
            count,
        )


def _through(
    options: RoutingOptions, legs: tuple[Source, ...], splitters: dict[str, Splitter], spare: Splitter | None
) -> _Travel | None:
    used: list[str] = []
    new_ways: Counter[str] = Counter()
    transformers = 0
    for leg in legs:
        splitter = splitters.get(leg.splitter) if leg.splitter else spare
        if splitter is None:
            return None
        if own_way(leg, splitters) is None:
            new_ways[splitter.key] += 1
        output = output_for(leg, splitter, options.facts)
        if output is None:
            return None
        transformers += output.kind == "direct" and options.isolation_required
        used.append(splitter.key)
    ways = tuple(sorted(new_ways.items()))
    use = Use(len(legs), len(legs), splitters=tuple(sorted(set(used))), new_ways=ways, transformers=transformers)
    return _Travel("split:" + (spare.key if spare else "own-way"), use, plugs=sum(new_ways.values()))


# --- what one unit can do


def _own(options: RoutingOptions, unit: Unit) -> None:
    for travel in _travels(options, unit.legs, house_only=unit.house_only):
        # A digital link dies with the rack, so what must be heard is the last to travel over it.
        plugs = travel.plugs * (2 if travel.use.links and unit.must else 1)
        pick = Pick(f"{unit.key}|own|{travel.mode}", f"own|{travel.mode}", (unit.key,), gives=travel.gives, plugs=plugs)
        options.add(pick, travel.use, stays=True)


def _left_out(options: RoutingOptions, unit: Unit, mix: tuple[int, int]) -> None:
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


def _to_mono(options: RoutingOptions, unit: Unit, room: Room) -> list[int]:
    if unit.width == 1 or unit.inseparable or unit.keeps_own_line or unit.fail_over:
        return []
    gives = () if options.mono_pa else ((to_mono_step(unit, room), 1),)
    found = []
    for travel in _travels(options, unit.legs[:1], house_only=unit.house_only):
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
        found.append(options.add(pick, _bus(options, mono=1), stays=True))
    return found


def _ears_only(options: RoutingOptions, unit: Unit, room: Room) -> list[int]:
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


# --- lines that several units share


def _bus(options: RoutingOptions, *, mono: int = 0, stereo: int = 0) -> Use:
    lines = mono + 2 * stereo
    isolating = lines if options.isolation_required else 0
    return Use(lines, lines, bus_outs=lines, mono_busses=mono, stereo_busses=stereo, transformers=isolating)


def _shares(options: RoutingOptions) -> list[int]:
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
                )
                found.append(options.add(pick, travel.use, stays=True))
    return found


def _carriers(options: RoutingOptions, members: tuple[Unit, ...]) -> Iterable[tuple[str, _Travel]]:
    """Every way in which one of the members can carry the line for all of them; of two that come to the same, the one
    with the lower key.
    """
    offered: set[_Travel] = set()
    for unit in sorted(members, key=lambda unit: unit.key):
        for travel in _travels(options, unit.legs, house_only=False):
            if travel not in offered:
                offered.add(travel)
                yield unit.key, travel


def submix_legs(members: Sequence[Unit]) -> tuple[Source, ...]:
    """The legs of a submix, those first whose ways its output takes: wired ones by way, then the others by key."""
    legs = (leg for unit in members for leg in unit.legs)
    return tuple(sorted(legs, key=lambda leg: (not leg.splitter, leg.splitter, leg.way or 0, leg.key)))


def _submixes(options: RoutingOptions) -> list[int]:
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
            for travel in _travels(options, legs[:width], house_only=False):
                pick = Pick(
                    f"submix:{name}|{width}|{travel.mode}",
                    f"submix-{width}|{travel.mode}",
                    keys,
                    gives=given + extra + travel.gives,
                    plugs=travel.plugs,
                )
                found.append(options.add(pick, travel.use, stays=True))
    return found


def group_kinds(units: tuple[Unit, ...]) -> dict[str, tuple[str, tuple[Unit, ...]]]:
    """The groups that can exist: group key -> (step, units that may be members)."""
    able = tuple(unit for unit in units if unit.groupable)
    kinds = {
        "percussion": ("percussion-sum", tuple(unit for unit in able if is_percussion_microphone(unit))),
        "backing": ("backing-sum", tuple(unit for unit in able if unit.role is Role.BACKING)),
        "guitars": ("guitars-sum", tuple(unit for unit in able if unit.role is Role.GUITAR)),
        "keyboards-with-playback": (
            "keyboards-with-playback",
            tuple(unit for unit in able if unit.role in (Role.KEYBOARD, Role.PLAYBACK)),
        ),
    }
    for section in dict.fromkeys(unit.section for unit in able if unit.section):
        kinds[f"section:{section}"] = ("section-sum", tuple(unit for unit in able if unit.section == section))
    return {key: (step, members) for key, (step, members) in kinds.items() if len(members) > 1}


def _groups(options: RoutingOptions) -> list[int]:
    found = []
    program = options.program
    for key, (step, members) in group_kinds(options.units).items():
        group = program.add(Pick(f"group:{key}", "group", unit=key, gives=((step, -1),), plugs=1))
        options.uses[group] = _bus(options, mono=1)
        joined: dict[str, int] = {}
        for unit in members:
            pick = Pick(f"{unit.key}|in|{key}", f"in|{key}", (unit.key,), gives=((step, unit.width),))
            joined[unit.key] = options.add(pick, Use(), stays=False)
            program.implies(joined[unit.key], group)
        program.at_least({**dict.fromkeys(joined.values(), 1), group: -2}, 0)
        if key == "guitars":
            _one_guitar_a_player(program, members, joined)
        if key == "keyboards-with-playback":
            for role in (Role.KEYBOARD, Role.PLAYBACK):
                program.at_least({**{joined[unit.key]: 1 for unit in members if unit.role is role}, group: -1}, 0)
        found += [group, *joined.values()]
    return found


def _one_guitar_a_player(program: Program, members: tuple[Unit, ...], joined: dict[str, int]) -> None:
    for player in dict.fromkeys(unit.lead_leg.player for unit in members if unit.lead_leg.player):
        program.at_most({joined[unit.key]: 1 for unit in members if unit.lead_leg.player == player}, 1)


def _kit_pair(options: RoutingOptions) -> list[int]:
    program = options.program
    able = tuple(unit for unit in options.units if unit.groupable and unit.role in KIT_ROLES)
    if len(able) < 2:  # noqa: PLR2004 - a pair needs two members
        return []
    group = program.add(Pick("group:kit-pair", "kit-pair", plugs=1 if options.mono_pa else 2))
    options.uses[group] = _bus(options, mono=1) if options.mono_pa else _bus(options, stereo=1)
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


def _percussion_one(options: RoutingOptions) -> None:
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


def _seconds(options: RoutingOptions) -> None:
    for unit in options.units:
        out = [
            index
            for index in options.of_unit.get(unit.key, ())
            if options.program.picks[index].mode == "out|second-microphone"
        ]
        for index in out:
            options.program.at_most({index: 1, **dict.fromkeys(options.stays.get(unit.first, ()), -1)}, 0)


# --- the band's own mix


def _mix(options: RoutingOptions) -> tuple[int, int]:
    program = options.program
    pair = program.add(Pick("mix", PAIR_MIX, plugs=2))
    gives = () if options.mono_pa else (("mix-to-mono", 1),)
    mono = program.add(Pick("mix:mono", MONO_MIX, gives=gives, plugs=1))
    options.uses[pair] = _bus(options, stereo=1)
    options.uses[mono] = _bus(options, mono=1)
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


def _mix_members(options: RoutingOptions, mix: tuple[int, int]) -> None:
    program = options.program
    for index in options.outside_mix:
        program.at_most({index: 1, mix[0]: 1, mix[1]: 1}, 1)
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


# --- what there is only so much of


def with_inputs(options: RoutingOptions, inputs: int) -> RoutingOptions:
    """The same programme for another number of working inputs."""
    fewer = relaxed(options.program, frozenset({"inputs-free"}))
    _input_rows(options, fewer, inputs)
    return replace(options, program=fewer)


def _input_rows(options: RoutingOptions, program: Program, inputs: int) -> None:
    used = {index: use.inputs for index, use in options.uses.items()}
    program.at_most(used, inputs, "inputs-free")
    if options.second:
        program.at_most(used | {options.second.inputs: -1}, first_box_inputs(options.facts) or 0, "inputs-free")


def _second_box(options: RoutingOptions) -> SecondBox:
    """How many of the inputs and of the lines go to the second box, each a plug more: a second place to walk to."""
    program, most = options.program, second_box_inputs(options.facts)
    inputs = program.add(Pick("second-box", "second-box", plugs=1, most=most))
    lines = program.add(Pick("second-box-lines", "second-box-lines", most=most))
    program.implies(lines, inputs)
    program.at_most({lines: 1} | {index: -use.lines for index, use in options.uses.items()}, 0)
    # What goes there without a line through a loom or cable of the band is no more than there is of it.
    beside = {index: use.lines - use.inputs for index, use in options.uses.items()}
    program.at_most({inputs: 1, lines: -1} | beside, 0)
    return SecondBox(inputs, lines)


def _resources(options: RoutingOptions) -> None:
    facts, program = options.facts, options.program
    rig, mixer = facts.rig, facts.rig.mixer
    inputs = working_inputs(facts)
    if second_box_inputs(facts):
        options.second = _second_box(options)
    if inputs is not None:
        _input_rows(options, program, inputs)
    _splitter_rows(options)
    free = [out for out in mixer.outs if out.use == "free"]
    main = [out for out in mixer.outs if out.use == "main"]
    whole = {out.key for out in mixer.outs}
    for mix in rig.ears:
        if mix.width == "stereo" and len(mix.outs) > 1 and mix.outs[-1] in whole:
            whole -= set(mix.outs)  # no output is freed twice, whatever the rig says
            pick = Pick(f"fold:{'+'.join(sorted(mix.outs))}", "fold", unit=mix.player, gives=(("ear-mix-to-mono", 1),))
            options.fold_picks.append(program.add(pick))
    directs = {index: use.unprocessed + use.processed for index, use in options.uses.items()}
    program.at_most(
        {index: use.unprocessed for index, use in options.uses.items()},
        sum(out.unprocessed for out in free),
        "unprocessed-outs",
    )
    program.at_most(directs, len(free), "free-outs")
    all_outs = {index: directs[index] + use.bus_outs for index, use in options.uses.items()}
    program.at_most(all_outs | dict.fromkeys(options.fold_picks, -1), len(free) + len(main), "free-outs")
    program.at_most({index: use.stereo_busses for index, use in options.uses.items()}, mixer.stereo_busses, "busses")
    both = {index: use.stereo_busses + use.mono_busses for index, use in options.uses.items()}
    program.at_most(both, mixer.stereo_busses + mixer.mono_busses, "busses")
    links = sum(link.channels for link in mixer.links)
    program.at_most({index: use.links for index, use in options.uses.items()}, links, "link-channels")
    if facts.value("what-they-want") == "split-each-source":
        program.at_most({index: use.processed for index, use in options.uses.items()}, 0, "dry-only")
    if options.isolation_required:
        owned = rig.bits.get("isolating_transformer", 0)
        program.at_most({index: use.transformers for index, use in options.uses.items()}, owned, "isolation")
    if rig.loom:
        _loom_rows(options, FIRST)
        if options.second:
            _loom_rows(options, SECOND)
            _both_boxes(options)


def _splitter_rows(options: RoutingOptions) -> None:
    program = options.program
    for splitter in sorted(options.facts.rig.splitter, key=lambda splitter: splitter.key):
        taken = {own_way(source, {splitter.key: splitter}) for source in options.facts.rig.source} - {None}
        free = splitter.ways - len(taken)
        wanted = {index: dict(use.new_ways).get(splitter.key, 0) for index, use in options.uses.items()}
        program.at_most(wanted, max(0, free), f"splitter-ways:{splitter.key}")
        carried = options.splitter_picks.get(splitter.key)
        if carried is not None:
            for index, use in options.uses.items():
                if splitter.key in use.splitters:
                    program.implies(index, carried)


def _loom_rows(options: RoutingOptions, box: str) -> None:
    """Every line that does not go past the loom takes a way or a loose cable that reaches its box; ``Use.lines`` counts
    those of both boxes.
    """
    facts, program = options.facts, options.program
    there = f"|{SECOND}" if box == SECOND else ""
    supply: dict[int, int] = {}
    for loom in looms_reaching(facts, box):
        pick = Pick(f"loom|{loom.key}{there}", "carry-loom", unit=loom.key, carry=loom.ways)
        index = options.loom_picks[box, loom.key] = program.add(pick)
        supply[index] = -loom.ways
    cables = cables_reaching(facts, box)
    if cables:
        pick = Pick(f"loose-cables{there}", "loose-cables", carry=LOOSE_CABLE_CARRY, plugs=1, most=cables)
        options.loose_picks[box] = program.add(pick)
        supply[options.loose_picks[box]] = -1
    lines = {index: use.lines for index, use in options.uses.items()}
    if options.second:
        lines = {options.second.lines: 1} if box == SECOND else lines | {options.second.lines: -1}
    program.at_most(lines | supply, 0, "looms")


def _both_boxes(options: RoutingOptions) -> None:
    """A loom runs to one box only, and no loose cable runs to both."""
    program = options.program
    for loom in options.facts.rig.loom:
        picks = {options.loom_picks[box, loom.key]: 1 for box in DISTANCE if (box, loom.key) in options.loom_picks}
        program.at_most(picks, 1)
    program.at_most(
        dict.fromkeys(options.loose_picks.values(), 1), max(cables_reaching(options.facts, box) for box in DISTANCE)
    )
