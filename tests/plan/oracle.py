"""A second opinion on small gigs: every assignment of the ladder model is tried, nothing is modelled.

It shares no code with the engine beyond the definition of the input (rig, kinds, facts). What each source may do is
written again here, from the model's wording. Costs are whole numbers in which every step has its own digits, so
comparing two numbers compares two plans step by step from the dearest down; Python's integers never overflow.

Three nested enumerations:

1. which shared lines exist: groups, the kit pair, shared lines, submixes, the left/right mix (every subset of them);
2. what each unit does, one after the other, cut off only where the cost already reached or a lower bound that looks at
   the inputs alone says that nothing better can follow;
3. how the lines travel: for every line each splitter and each kind of direct out, and every subset of the looms.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

from portal.plan.input.facts import Answers, Facts
from portal.plan.input.kinds import Role, kind_of
from portal.plan.input.rig import Rig, Source
from tests.plan.oracle_travel import NEVER, Travel, subsets
from tests.plan.oracle_units import (
    FINER,
    STEPS,
    Unit,
    capture,
    loud,
    role_of,
    section_of,
    units_of,
    wants_no_phantom,
    wants_phantom,
)

KIT_TWO_WAYS = 100
"""Plugs that a kit counts for whose lines arrive at two times."""

KIT_ROLES = frozenset(
    {
        Role.KICK,
        Role.SNARE,
        Role.HAT,
        Role.RIDE,
        Role.RACK_TOM,
        Role.FLOOR_TOM,
        Role.OVERHEAD,
        Role.KIT,
        Role.ELECTRONIC_KIT,
    }
)
GROUP_STEPS = {
    "percussion": "percussion-sum",
    "backing": "backing-sum",
    "guitars": "guitars-sum",
    "acoustics": "guitars-sum",
    "keyboards-with-playback": "keyboards-with-playback",
}
DIGIT = 12  # bits for one step's count, for carrying 2 * DIGIT, for plugs 2 * DIGIT
BELOW_STEPS = 4 + len(FINER)  # digits


@dataclass(frozen=True)
class Outcome:
    """The best plan of one gig: what was given up, what is carried, how much is plugged, and what every unit does."""

    counts: dict[str, int]
    finer: tuple[int, ...]
    carry: int
    plugs: int
    states: tuple[tuple[str, str], ...]

    def vector(self) -> tuple[int, ...]:
        """Counts from the dearest step to the cheapest, then what decides below them, then carry, then plugs."""
        return (*(self.counts[step] for step in reversed(STEPS)), *self.finer, self.carry, self.plugs)

    def given_up(self) -> dict[str, int]:
        """The steps with a count, dearest first."""
        return {step: self.counts[step] for step in reversed(STEPS) if self.counts[step]}


@dataclass(frozen=True)
class Shared:
    """A line or pair of lines that several units may use: what it takes once, whoever is on it."""

    kind: str  # group, kit-pair, share, duet, submix, mix
    name: str
    members: frozenset[int]
    cost: int  # once; a group starts one below nothing, because its count is the legs less one
    inputs: int
    mono: int = 0
    stereo: int = 0
    links: int = 0
    whole: bool = False  # all members or none
    travel: tuple[Source, ...] = ()  # legs that carry it through a splitter or direct outs; empty for a bus
    side: str = "ways"  # past the band's mixer, through it ("mixed"), or any way
    leaves: tuple[tuple[str, int], ...] = ()

    @property
    def mixed(self) -> bool:
        """Whether it comes through the band's mixer."""
        return not self.travel or self.side == "mixed"

    @property
    def label(self) -> str:
        return self.name if self.kind == "group" else self.kind


@dataclass(frozen=True)
class Move:
    """What one unit does by itself or on a shared line."""

    kind: str  # own, mono, mono-bus, out, second-out, percussion-one, on, left-out
    name: str
    cost: int
    inputs: int = 0
    travel: tuple[Source, ...] = ()
    straight: int = 0
    links: int = 0
    side: str = "ways"
    lines: int = 0  # legs by their own cables into the loom
    leaves: tuple[tuple[str, int], ...] = ()


class Gig:
    """One rig with one set of answers, and the search over it."""

    def __init__(self, rig: Rig, answers: Answers, order: tuple[str, ...]) -> None:
        facts = Facts(rig, answers)
        self.mixer = rig.mixer
        self.order = order
        self.weight = {step: 1 << (DIGIT * (place + BELOW_STEPS)) for place, step in enumerate(order)}
        self.weight |= {name: 1 << (DIGIT * (BELOW_STEPS - 1 - place)) for place, name in enumerate(FINER)}
        self.boxes = Travel(facts, self.weight, carrying=1 << (DIGIT * 2))
        self.mono_pa = facts.value("pa") == "mono"
        linked = facts.value("digital-link") == "yes" and facts.value("isolation") != "required"
        self.links = sum(link.channels for link in rig.mixer.links) if linked else 0
        self.a_link = self.weight["digital-link"] + 1  # a leg over it, and a plug
        through = facts.value("house-microphones-through-our-splitter") != "no"
        sendable = [s for s in rig.source if (s.goes or kind_of(s.what).goes) in {"both", "house-only"}]
        both = [s for s in sendable if (s.goes or kind_of(s.what).goes) == "both"]
        light = rig.kit == "light" and any(role_of(s) is Role.OVERHEAD for s in both)
        self.units = units_of(sendable, house_mics_through=through, light=light)
        capacity = facts.value("room-capacity")
        indoors = facts.value("indoors") != "no"
        self.silent = not any(loud(source) for source in sendable) or facts.value("what-they-want") == "groups"
        self.small = not self.silent and isinstance(capacity, int) and capacity <= 200 and indoors and not light
        here = {role_of(s) for s in both}
        self.early_overhead = (
            indoors and not light and isinstance(capacity, int) and capacity <= 500 and {Role.KICK, Role.SNARE} <= here
        )
        everything_sent = {role_of(s) for s in sendable}
        machines = {Role.PLAYBACK, Role.KEYBOARD, Role.ELECTRONIC_KIT, Role.BACKING, Role.LEAD}
        self.machines_only = everything_sent <= machines
        self.switching = facts.value("phantom-switching")
        self.loomed = bool(rig.loom)
        free = facts.value("inputs-free")
        # A left/right mix may take one input more than the sources that are in it.
        everything = sum(len(unit.legs) for unit in self.units) + 2
        self.inputs = (
            everything if free is None else min(int(free) + int(facts.value("second-box-inputs") or 0), everything)
        )
        self.best_cost = NEVER
        self.best_states: tuple[tuple[str, str], ...] = ()

    # --- what a unit may do by itself
    # -----------------------------------------------------------------------------------

    def to_mono(self, unit: Unit) -> int:
        if self.mono_pa:
            return 0
        if unit.role is Role.OVERHEAD and unit.light:
            return self.weight["light-kit-overheads"]
        if unit.role is Role.OVERHEAD:
            return self.weight["small-room-overheads" if self.small else "overheads-to-one"]
        playback = "only-playback-to-mono" if self.machines_only else "playback-to-mono"
        by_role = {Role.KEYBOARD: "keyboards-to-mono", Role.PLAYBACK: playback}
        return self.weight[by_role.get(unit.role, "stereo-to-mono")]

    def outs(self, unit: Unit) -> Iterator[Move]:
        """Ears only tonight: the first that applies, and for percussion one microphone for all."""
        if unit.must or unit.inseparable or unit.fail_over or unit.high:
            return
        first, legs = unit.legs[0], len(unit.legs)
        if first.optional or first.priority == "low":
            yield Move("out", "optional-source", self.weight["optional-source"] * legs)
        elif unit.second_of:
            yield Move("second-out", "second-microphone", self.weight["second-microphone"] * legs)
        elif not self.silent:
            yield from self.outs_by_role(unit, legs)
        if unit.role is Role.PERCUSSION and not self.silent:
            yield Move("percussion-one", "percussion-one", self.weight["percussion-one"] * legs)

    def outs_by_role(self, unit: Unit, legs: int) -> Iterator[Move]:
        step = {Role.HAT: "hat-and-ride", Role.RIDE: "hat-and-ride"}.get(unit.role, "")
        if unit.role is Role.RACK_TOM:
            step = "small-room-rack-toms" if self.small else "rack-toms"
        if unit.role is Role.FLOOR_TOM:
            step = "small-room-floor-tom" if self.small else "floor-tom"
        if unit.role is Role.OVERHEAD and self.small:
            step = "small-room-overheads"
        if unit.light and unit.role in {Role.KICK, Role.SNARE}:
            step = "light-kit-kick" if unit.role is Role.KICK else "light-kit-snare"
        cabinet = unit.role is Role.GUITAR and unit.loud and capture(unit.legs[0]) == "mic" and not unit.lead
        if self.small and cabinet:
            step = "small-room-cabinets"
        if step:
            yield Move("out", step, self.weight[step] * legs)
        elif unit.role is Role.OVERHEAD:
            first_of_two = self.weight["overheads-to-one"] if legs == 2 and not self.mono_pa else 0
            last = "overhead-before-sums" if self.early_overhead else "last-overhead"
            yield Move("out", last, first_of_two + self.weight[last])

    def moves(self, unit: Unit) -> Iterator[Move]:
        """What a unit can do by itself while there is no left/right mix."""
        yield from self.own(unit)
        if len(unit.legs) == 2 and not (unit.high or unit.fail_over):
            asked = any(leg.to_mono in {"jack", "switch"} for leg in unit.legs)
            if not unit.inseparable or asked:
                yield from self.in_mono(unit)
        yield from self.outs(unit)
        yield from self.left_out(unit)

    def in_mono(self, unit: Unit) -> Iterator[Move]:
        cost, leg = self.to_mono(unit), unit.legs[:1]
        dry = unit.mono not in {"bus", "cannot"}
        if dry and unit.house_only:
            yield Move("mono", "straight", cost, inputs=1, straight=1)
        elif dry:
            for side in self.sides(leg, unit):
                yield Move("mono", f"one leg {side}", cost, inputs=1, travel=leg, side=side)
        if unit.mono != "microphone" and not unit.house_only:
            yield Move("mono-bus", "sum", cost + self.weight["mono-by-bus"] + 1, inputs=1)
        if dry and self.links and not unit.house_only:
            yield Move("mono", "link", cost + self.a_link, links=1, leaves=self.boxes.leaving(unit.legs[:1]))

    def sides(self, legs: tuple[Source, ...], *units: Unit) -> list[str]:
        """Past the band's mixer and through it, as far as there is a way; one choice where no partner asks which."""
        if not any(self.leans(unit) or self.is_first(unit) for unit in units):
            return ["ways"] if self.boxes.ways(legs) else []
        return [side for side, ways in (("past", self.boxes.past), ("mixed", self.boxes.mixed)) if ways(legs)]

    def own(self, unit: Unit) -> Iterator[Move]:
        legs = len(unit.legs)
        if unit.house_only:
            yield Move("own", "straight", 0, inputs=legs, straight=legs)
        else:
            for side in self.sides(unit.legs, unit):
                yield Move("own", f"line {side}", 0, inputs=legs, travel=unit.legs, side=side)
            if self.may_leave_the_ears(unit):
                cost = (self.weight["out-of-the-ears"] + 1) * legs
                by_loom, past = (legs, 0) if self.loomed else (0, legs)
                left = self.boxes.leaving(unit.legs)
                yield Move("own", "past the ears", cost, legs, straight=past, lines=by_loom, leaves=left)
        if self.links and not unit.house_only:
            left = self.boxes.leaving(unit.legs)
            yield Move("own", "link", (self.a_link + unit.must) * legs, links=legs, leaves=left)

    def leans(self, unit: Unit) -> bool:
        """Whether it is a second microphone of something that can be sent."""
        return any(leg.key == unit.second_of for other in self.units if other is not unit for leg in other.legs)

    def is_first(self, unit: Unit) -> bool:
        """Whether something is a second microphone of it."""
        keys = {leg.key for leg in unit.legs}
        return any(other.second_of in keys for other in self.units if other is not unit)

    def may_leave_the_ears(self, unit: Unit) -> bool:
        """A second microphone, the hat or the ride, where the house's own 48 V does no harm."""
        if not (self.leans(unit) or unit.role in {Role.HAT, Role.RIDE}) or unit.inseparable or unit.fail_over:
            return False
        if self.boxes.house_split or any(leg.in_ears_anyway for leg in unit.legs):
            return False
        if any(leg.harmed_by_phantom for leg in unit.legs):
            return self.switching == "per-channel"
        return self.switching != "all" or all(wants_no_phantom(leg) for leg in unit.legs)

    def left_out(self, unit: Unit) -> Iterator[Move]:
        if not unit.must:
            step = "fail-over-out" if unit.fail_over else "left-out"
            yield Move("left-out", step, self.weight[step] * len(unit.legs))

    def moves_beside_the_mix(self, unit: Unit) -> Iterator[Move]:
        yield from self.own(unit)
        # A second microphone may stay in its case beside a mix, where its first keeps a line of its own.
        yield from (move for move in self.outs(unit) if move.kind == "second-out")
        if unit.house_only or unit.fail_over:
            yield from self.left_out(unit)

    def mix_step(self, unit: Unit) -> str:
        if unit.lead:
            return "whole-mix"
        apart = {
            Role.KICK: "kick-in-music-mix",
            Role.BASS: "bass-in-music-mix",
            Role.SNARE: "snare-in-music-mix",
        }
        return "music-mix" if unit.second_of else apart.get(unit.role, "music-mix")

    def kit_step(self, unit: Unit) -> str:
        apart = {Role.KICK: "kick-in-kit-pair", Role.SNARE: "snare-in-kit-pair"}
        return apart.get(unit.role, "kit-pair")

    def on(self, shared: Shared, unit: Unit) -> Move:
        """The move of one unit onto a shared line, with its own share of the count."""
        step = ""
        if shared.kind == "group":
            step = GROUP_STEPS.get(shared.name.partition(" ")[0], "section-sum")
        elif shared.kind == "kit-pair":
            step = self.kit_step(unit)
        elif shared.kind == "mix":
            step = self.mix_step(unit)
        return Move("on", shared.label, self.weight[step] * len(unit.legs) if step else 0)

    # --- shared lines
    # -----------------------------------------------------------------------------------------------------

    def shared_lines(self) -> list[Shared]:
        """Every shared line that could exist, the left/right mix aside."""
        return [*self.groups(), *self.kit_pairs(), *self.shares(), *self.duets(), *self.submixes()]

    def may_join(self, unit: Unit) -> bool:
        apart = unit.lead or unit.second_of or unit.house_only or unit.inseparable or unit.fail_over
        return not (apart or unit.high)

    def groups(self) -> Iterator[Shared]:
        joiners = [(index, unit) for index, unit in enumerate(self.units) if self.may_join(unit)]
        by_group: dict[str, set[int]] = {}
        for index, unit in joiners:
            bed = () if unit.acoustic else ("keyboards-with-playback",)
            names = {
                Role.PERCUSSION: ("percussion",),
                Role.BACKING: (f"backing {unit.legs[0].family}".strip(),),
                Role.GUITAR: ("acoustics" if unit.acoustic else "guitars",),
                Role.KEYBOARD: bed,
                Role.PLAYBACK: bed,
            }.get(unit.role, ())
            section = section_of(unit.legs[0])
            for name in (*names, *((f"section:{section}",) if section else ())):
                by_group.setdefault(name, set()).add(index)
        for name, members in sorted(by_group.items()):
            if len(members) >= 2:
                once = 1 - self.weight[GROUP_STEPS.get(name.partition(" ")[0], "section-sum")]
                yield Shared("group", name, frozenset(members), once, inputs=1, mono=1)

    def kit_pairs(self) -> Iterator[Shared]:
        units = enumerate(self.units)
        members = frozenset(i for i, unit in units if unit.role in KIT_ROLES and self.may_join(unit))
        if len(members) >= 2 and self.mono_pa:
            yield Shared("kit-pair", "kit", members, 1, inputs=1, mono=1)
        elif len(members) >= 2:
            yield Shared("kit-pair", "kit", members, 2, inputs=2, stereo=1)

    def shares(self) -> Iterator[Shared]:
        def mutual(one: Source, other: Source) -> bool:
            return other.key in one.never_with and one.key in other.never_with

        single = tuple(
            index
            for index, unit in enumerate(self.units)
            if len(unit.legs) == 1
            and unit.role is not Role.LEAD
            and not (unit.fail_over or unit.house_only or unit.second_of)
        )
        for members in subsets(single, 2, 4):
            sources = [self.units[index].legs[0] for index in members]
            if not all(mutual(a, b) for a, b in combinations(sources, 2)):
                continue
            # Any member's way may carry the line; two members with the same ways are one choice. It is switched
            # before the mixer, whose outputs carry one input each.
            fed = any(map(wants_phantom, sources))
            plugs = [replace(source, capture="mic", phantom="yes") if fed else source for source in sources]
            carriers = {self.boxes.past((source,)): source for source in plugs}
            for ways, carrier in carriers.items():
                if ways:
                    cost = self.weight["share-a-line"] * (len(members) - 1)
                    name = "+".join(source.key for source in sources)
                    on = frozenset(members)
                    yield Shared("share", name, on, cost, inputs=1, whole=True, travel=(carrier,), side="past")

    def duets(self) -> Iterator[Shared]:
        """Two voices of one part at the microphone of either, where a row of theirs says so; of leads both rows do."""
        for one, other in combinations(range(len(self.units)), 2):
            pair = (self.units[one], self.units[other])
            sources = tuple(unit.legs[0] for unit in pair)
            words = [a.one_microphone_with == b.key for a, b in (sources, sources[::-1])]
            agreed = all(words) if any(unit.lead for unit in pair) else any(words)
            alike = sources[0].lead == sources[1].lead and sources[0].family == sources[1].family
            if not (agreed and alike and all(map(self.may_sing_for_two, pair))):
                continue
            for host, guest in (sources, sources[::-1]):
                once = {"whole": True, "leaves": self.boxes.leaving((guest,))}
                cost, name, on = (
                    self.weight["two-at-one-microphone"],
                    f"{host.key}+{guest.key}",
                    frozenset({one, other}),
                )
                if self.boxes.ways((host,)):
                    yield Shared("duet", name, on, cost, inputs=1, travel=(host,), **once)
                if self.links:
                    over = self.a_link + any(unit.must for unit in pair)
                    left = self.boxes.leaving((host, guest))
                    yield Shared("duet", name, on, cost + over, inputs=0, links=1, whole=True, leaves=left)

    def may_sing_for_two(self, unit: Unit) -> bool:
        first = unit.legs[0]
        stands = first.what == "voice.vocals" and first.capture in {"", "mic"} and first.stand not in {"none", "clip"}
        apart = unit.second_of or self.is_first(unit) or unit.house_only or unit.fail_over or unit.high
        return stands and len(unit.legs) == 1 and not apart

    def submixes(self) -> Iterator[Shared]:
        names = dict.fromkeys(unit.legs[0].submix for unit in self.units if unit.legs[0].submix)
        for name in names:
            members = frozenset(i for i, unit in enumerate(self.units) if unit.legs[0].submix == name)
            units = [self.units[index] for index in sorted(members)]
            legs = tuple(leg for unit in units for leg in unit.legs)
            if len(legs) < 3 or any(unit.house_only for unit in units):
                continue
            cost = self.weight["own-submix"] * (len(legs) - 2)
            for side in self.sides(legs[:2], *units):
                yield Shared("submix", name, members, cost, inputs=2, whole=True, travel=legs[:2], side=side)
            mono = cost + (0 if self.mono_pa else self.weight["keyboards-to-mono"])
            if self.links:
                yield Shared("submix", name, members, cost + 2 * self.a_link, inputs=0, links=2, whole=True)
                yield Shared("submix", name, members, mono + self.a_link, inputs=0, links=1, whole=True)
            for side in self.sides(legs[:1], *units):
                yield Shared("submix", name, members, mono, inputs=1, whole=True, travel=legs[:1], side=side)

    def mixes(self) -> Iterator[Shared]:
        units = enumerate(self.units)
        members = frozenset(i for i, unit in units if not (unit.house_only or unit.fail_over))
        yield Shared("mix", "stereo", members, 2, inputs=2, stereo=1)
        mono = 0 if self.mono_pa else self.weight["mix-to-mono"]
        yield Shared("mix", "mono", members, mono + 1, inputs=1, mono=1)

    # --- the search
    # ---------------------------------------------------------------------------------------------------------

    def search(self) -> Outcome | None:
        for mix in self.mixes():
            self.try_lines((mix,), mixed=True)
        lines = self.shared_lines()
        for chosen in subsets(tuple(range(len(lines))), 0, len(lines)):
            shared = tuple(lines[index] for index in chosen)
            whole = [member for line in shared if line.whole for member in line.members]
            if len(whole) == len(set(whole)):  # nobody sits on two lines that take all of their members
                self.try_lines(shared, mixed=False)
        return None if self.best_cost >= NEVER else self.outcome()

    def try_lines(self, shared: tuple[Shared, ...], *, mixed: bool) -> None:
        """Every assignment in which exactly these shared lines exist."""
        inputs = self.inputs - sum(line.inputs for line in shared)
        if inputs < 0:
            return
        options: list[list[Move]] = []
        for index, unit in enumerate(self.units):
            bound = [line for line in shared if line.whole and index in line.members]
            if bound:
                options.append([self.on(bound[0], unit)])
                continue
            alone = self.moves_beside_the_mix(unit) if mixed else self.moves(unit)
            joined = [self.on(line, unit) for line in shared if not line.whole and index in line.members]
            options.append(sorted([*alone, *joined], key=lambda move: move.cost))
        least = self.least_cost(options, inputs)

        def place(picks: tuple[Move, ...], cost: int, left: int) -> None:
            index = len(picks)
            if cost + least[index][left] >= self.best_cost:
                return
            if index == len(options):
                if self.coherent(shared, picks):
                    self.finish(shared, picks, cost)
                return
            for move in options[index]:
                if move.inputs <= left:
                    place((*picks, move), cost + move.cost, left - move.inputs)

        place((), sum(line.cost for line in shared), inputs)

    def least_cost(self, options: list[list[Move]], inputs: int) -> list[list[int]]:
        """``[unit][inputs left]``: what this unit and all after it cost at least, if inputs were the only limit."""
        least = [[0] * (inputs + 1)]
        for moves in reversed(options):
            after = least[0]
            row = [
                min((m.cost + after[left - m.inputs] for m in moves if m.inputs <= left), default=NEVER)
                for left in range(inputs + 1)
            ]
            least.insert(0, row)
        return least

    def coherent(self, shared: tuple[Shared, ...], picks: tuple[Move, ...]) -> bool:
        """The rules that look at several units at once."""
        for line in shared:
            members = [u for u, p in zip(self.units, picks, strict=True) if p.kind == "on" and p.name == line.label]
            if line.kind == "group" and not self.group_stands(line.name, members):
                return False
            if line.kind == "kit-pair" and not self.kit_pair_stands(members):
                return False
        return (
            self.seconds_stay_with_firsts(picks)
            and self.one_percussion_stays(picks)
            and self.partners_arrive_together(shared, picks)
        )

    def partners_arrive_together(self, shared: tuple[Shared, ...], picks: tuple[Move, ...]) -> bool:
        """First and second of one sound both past the band's mixer or both through it, as far as they are sent."""

        def mixed(index: int, pick: Move) -> bool | None:
            if pick.kind in {"out", "second-out", "percussion-one", "left-out"}:
                return None
            if pick.kind == "on":
                line = next(one for one in shared if one.label == pick.name and index in one.members)
                return line.mixed
            return pick.kind == "mono-bus" or pick.side == "mixed" or bool(pick.links)

        ways = [mixed(index, pick) for index, pick in enumerate(picks)]
        for index, unit in enumerate(self.units):
            for other, first in enumerate(self.units):
                of_it = any(leg.key == unit.second_of for leg in first.legs) and other != index
                if of_it and None not in (ways[index], ways[other]) and ways[index] != ways[other]:
                    return False
        return True

    def group_stands(self, name: str, members: list[Unit]) -> bool:
        if len(members) < 2:
            return False
        if name in {"guitars", "acoustics"}:
            named = [unit.legs[0].player for unit in members if unit.legs[0].player]
            return len(named) == len(set(named))
        if name == "keyboards-with-playback":
            return {unit.role for unit in members} == {Role.KEYBOARD, Role.PLAYBACK}
        return True

    def kit_pair_stands(self, members: list[Unit]) -> bool:
        if len(members) < 2:
            return False
        if any(unit.role is Role.KICK for unit in members):
            snares = [unit for unit in self.units if unit.role is Role.SNARE and not unit.second_of]
            return all(unit in members for unit in snares)
        return True

    def seconds_stay_with_firsts(self, picks: tuple[Move, ...]) -> bool:
        """A second microphone goes ears only while its first is sent, and not inside a group (the kit pair is none)."""
        for unit, pick in zip(self.units, picks, strict=True):
            if pick.kind != "second-out":
                continue
            firsts = [
                other_pick
                for other, other_pick in zip(self.units, picks, strict=True)
                if any(leg.key == unit.second_of for leg in other.legs)
            ]
            gone = {"out", "second-out", "percussion-one", "left-out"}
            if not firsts or firsts[0].kind in gone:
                return False
            if firsts[0].kind == "on" and firsts[0].name not in {"kit-pair", "share", "duet", "submix"}:
                return False
        return True

    def one_percussion_stays(self, picks: tuple[Move, ...]) -> bool:
        if all(pick.kind != "percussion-one" for pick in picks):
            return True
        for unit, pick in zip(self.units, picks, strict=True):
            if unit.role is Role.PERCUSSION and pick.kind in {"own", "mono", "mono-bus"}:
                return True
        return any(pick.kind == "on" and pick.name == "percussion" for pick in picks)

    def finish(self, shared: tuple[Shared, ...], picks: tuple[Move, ...], cost: int) -> None:
        """Busses, outputs, splitters, looms; keeps the plan when it is the best so far."""
        mono_sums = sum(pick.kind == "mono-bus" for pick in picks)
        mono = sum(line.mono for line in shared) + mono_sums
        stereo = sum(line.stereo for line in shared)
        mixer = self.mixer
        if stereo > mixer.stereo_busses or mono + stereo > mixer.mono_busses + mixer.stereo_busses:
            return
        bus_lines = mono + 2 * stereo
        if sum(line.links for line in shared) + sum(pick.links for pick in picks) > self.links:
            return
        travelled = [*(line for line in shared if line.travel), *(pick for pick in picks if pick.travel)]
        legs = [(one.side, one.travel) for one in travelled]
        ways = sorted((getattr(self.boxes, side)(line) for side, line in legs), key=repr)
        travelling = sum(len(line) for _, line in legs) + sum(pick.lines for pick in picks)
        straight = sum(pick.straight for pick in picks)
        cost += KIT_TWO_WAYS * self.kit_comes_two_ways(shared, picks)
        total = cost + self.boxes.least(
            tuple(ways), bus_lines, bus_lines, travelling, straight, self.left(shared, picks)
        )
        if total < self.best_cost:
            self.best_cost = total
            labels = ("+".join(leg.label or leg.key for leg in unit.legs) for unit in self.units)
            doing = (f"{pick.kind} {pick.name}" for pick in picks)
            self.best_states = tuple(zip(labels, doing, strict=True))

    def left(self, shared: tuple[Shared, ...], picks: tuple[Move, ...]) -> tuple[tuple[str, int], ...]:
        """The ways at splitters' fronts that those leave to others who need none, by splitter."""
        total: Counter[str] = Counter()
        for unit, pick in zip(self.units, picks, strict=True):
            out = pick.kind in {"out", "second-out", "percussion-one", "left-out"}
            # What the house alone gets is wired to no way, whatever a rig says.
            total.update(dict(self.boxes.leaving(unit.legs) if out or unit.house_only else pick.leaves))
        for line in shared:
            legs = tuple(leg for index in sorted(line.members) for leg in self.units[index].legs)
            total.update(dict(line.leaves or self.boxes.leaving(legs[: line.links])))
        return tuple(sorted(total.items()))

    def kit_comes_two_ways(self, shared: tuple[Shared, ...], picks: tuple[Move, ...]) -> bool:
        """Some of the kit's own lines go over the link and some do not; groups and mixes are apart from that."""
        kit = {index for index, unit in enumerate(self.units) if unit.role in KIT_ROLES}
        lines = [line for line in shared if line.kind in {"share", "submix"} and line.members & kit]
        moves = [pick for index, pick in enumerate(picks) if index in kit and pick.inputs + pick.links]
        return len({bool(one.links) for one in (*lines, *moves)}) > 1

    def outcome(self) -> Outcome:
        digits = (1 << DIGIT) - 1
        counts = {
            step: self.best_cost >> (DIGIT * (place + BELOW_STEPS)) & digits for place, step in enumerate(self.order)
        }
        finer = tuple(self.best_cost >> (DIGIT * (BELOW_STEPS - 1 - place)) & digits for place in range(len(FINER)))
        carry = self.best_cost >> (DIGIT * 2) & (1 << DIGIT * 2) - 1
        plugs = self.best_cost & (1 << DIGIT * 2) - 1
        return Outcome(counts, finer, carry, plugs, self.best_states)


def best(rig: Rig, answers: Answers, order: tuple[str, ...] = STEPS) -> Outcome | None:
    """The best plan of a small gig by trying everything; ``None`` where no plan sends what has to be sent.

    ``order``: the steps, cheapest first; another order is another ladder.
    """
    return Gig(rig, answers, order).search()
