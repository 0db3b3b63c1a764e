"""Every column of the second formulation: some units, how they are sent, and what that takes.

Written from the model's wording for the route where somebody else mixes. A column is a bag of amounts: what it gives
up, what it takes of each limit, what it makes people carry and plug. Units whose own columns are equal, who may join
the same lines in the same way and whom nobody names are interchangeable: exchanging two of them in a plan gives a plan
with the same amounts. So they are counted as one class, and a group column says how many of each class it takes instead
of which.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations, product

from portal.plan.input.facts import Answers, Facts
from portal.plan.input.kinds import Role, kind_of
from portal.plan.input.rig import Rig, Source, Splitter

Amounts = tuple[tuple[str, int], ...]

PIECES = {Role.KICK: "kick-in-kit-pair", Role.SNARE: "snare-in-kit-pair"} | dict.fromkeys(
    (Role.HAT, Role.RIDE, Role.RACK_TOM, Role.FLOOR_TOM, Role.OVERHEAD, Role.KIT, Role.ELECTRONIC_KIT), "kit-pair"
)
IN_THE_MIX = {Role.KICK: "kick-in-music-mix", Role.BASS: "bass-in-music-mix", Role.SNARE: "snare-in-music-mix"}
SUMS = {
    Role.PERCUSSION: ("percussion", "percussion-sum"),
    Role.BACKING: ("backing", "backing-sum"),
    Role.GUITAR: ("guitars", "guitars-sum"),
    Role.KEYBOARD: ("keyboards-with-playback", "keyboards-with-playback"),
    Role.PLAYBACK: ("keyboards-with-playback", "keyboards-with-playback"),
}
STANDS = frozenset({"own", "mono", "mono-bus", "kit-pair", "share", "submix"})
"""Modes in which a first microphone is sent so that its second may stay in the ears."""


def amounts(**given: int) -> Amounts:
    """Amounts by name, dashes for underscores, without those that are nothing."""
    return tidy({key.replace("_", "-"): value for key, value in given.items()})


def tidy(given: dict[str, int]) -> Amounts:
    return tuple(sorted((key, value) for key, value in given.items() if value))


def together(*parts: Amounts) -> Amounts:
    total: Counter[str] = Counter()
    for part in parts:
        for key, value in part:
            total[key] += value
    return tidy(total)


@dataclass(frozen=True)
class Column:
    """``covers``: how many of each class (by its number), or of each unit while there are no classes yet."""

    mode: str
    covers: Amounts
    takes: Amounts


@dataclass(frozen=True)
class Joining:
    """How a unit would sit on a line with others: the line's name, the step that counts it, and what decides who else
    may sit there.
    """

    line: str
    step: str
    apart: str = ""


@dataclass(frozen=True)
class Unit:
    """One source or a pair. The first leg speaks for both; any leg makes it a must."""

    legs: tuple[Source, ...]
    house_only: bool

    @cached_property
    def first(self) -> Source:
        return self.legs[0]

    @cached_property
    def role(self) -> Role:
        return part_of(self.first)

    @cached_property
    def lead(self) -> bool:
        return self.first.lead or self.role is Role.LEAD

    @cached_property
    def must(self) -> bool:
        return any(leg_is_must(leg) for leg in self.legs)

    @cached_property
    def stays_whole(self) -> bool:
        """Nothing is summed, halved or taken out of it."""
        return self.first.inseparable or self.first.fail_over or self.first.priority == "high"

    @cached_property
    def blends(self) -> bool:
        return not (self.stays_whole or self.lead or self.first.second_of or self.house_only)


def part_of(source: Source) -> Role:
    role = kind_of(source.what).role
    if role is Role.RACK_TOM:
        return Role.FLOOR_TOM if source.position == "floor" else role
    if role is Role.OVERHEAD:
        return Role.KIT if source.position in {"in", "front", "under"} else role
    return Role.LEAD if source.what == "voice.vocals" and source.lead else role


def leg_is_must(source: Source) -> bool:
    if source.must is not None:
        return source.must
    by_nature = (
        source.inseparable
        or part_of(source) is Role.LEAD
        or (part_of(source) in {Role.KICK, Role.SNARE} and not source.second_of)
    )
    return by_nature and not source.optional and not source.fail_over


def picked_up(source: Source) -> str:
    return source.capture or kind_of(source.what).capture


def is_loud(source: Source) -> bool:
    by_kind = kind_of(source.what).loud and picked_up(source) in {"mic", "wireless"}
    return by_kind if source.loud_on_stage is None else source.loud_on_stage


def needs_48_volts(source: Source) -> bool:
    if source.phantom:
        return source.phantom == "yes"
    microphone = picked_up(source) in {"", "mic"} and source.owner.mic != "house"
    return picked_up(source) == "di-active" or (microphone and kind_of(source.what).phantom == "yes")


def section(source: Source) -> str:
    if part_of(source) is not Role.SECTION or source.lead:
        return ""
    families = {"brass": "horns", "wind": "horns", "strings": "strings", "voice": "choir"}
    return source.family or families.get(source.what.split(".", maxsplit=1)[0], "")


class Sheet:
    """The units of one gig and everything that each may do; ``columns`` is the whole set for one regime."""

    def __init__(self, rig: Rig, answers: Answers) -> None:
        facts = Facts(rig, answers)
        self.rig = rig
        self.mono_pa = facts.value("pa") == "mono"
        self.isolation = facts.value("isolation") == "required"
        self.dry = facts.value("what-they-want") == "split-each-source"
        self.switched_singly = facts.value("phantom-switching") == "per-channel"
        self.house_microphones_outside = facts.value("house-microphones-through-our-splitter") == "no"
        self.splitters = {splitter.key: splitter for splitter in rig.splitter}
        sent = [source for source in rig.source if (source.goes or kind_of(source.what).goes) in {"both", "house-only"}]
        capacity = facts.value("room-capacity")
        self.silent = not any(map(is_loud, sent))
        self.small = isinstance(capacity, int) and capacity <= 200 and not self.silent
        self.units = list(self.pair_up(sent))
        self.named = {source.second_of for source in sent} | {key for source in sent for key in source.never_with}

    def pair_up(self, sent: Sequence[Source]) -> Iterator[Unit]:
        by_key = {source.key: source for source in sent}
        for place, source in enumerate(sent):
            mate = by_key.get(source.pair_with)
            if mate is None or mate.pair_with != source.key or mate is source:
                mate = None
            if mate is not None and mate in sent[:place]:
                continue
            outside = (source.goes or kind_of(source.what).goes) == "house-only" or (
                source.owner.mic == "house" and self.house_microphones_outside
            )
            yield Unit((source,) if mate is None else (source, mate), outside)

    # --- one unit alone
    # -------------------------------------------------------------------------------------------------------

    def travels(self, legs: Sequence[Source]) -> set[Amounts]:
        """Every way for these legs to go together through a splitter or on direct outs."""
        count = len(legs)
        boxed = {"transformers": count} if self.isolation else {}
        ways = {
            tidy(
                {
                    "direct-out": count,
                    "directs": count,
                    "unprocessed": count,
                    "outs": count,
                    "plugs": count,
                    "lines": count,
                }
                | boxed
            )
        }
        if not self.dry:
            ways.add(
                tidy(
                    {"processed-direct-out": count, "directs": count, "outs": count, "plugs": count, "lines": count}
                    | boxed
                )
            )
        for splitter in self.splitters.values():
            parts = [self.through(leg, self.splitters.get(leg.splitter) if leg.splitter else splitter) for leg in legs]
            if all(parts):
                ways.add(together(*(part for part in parts if part)))
        return ways

    def through(self, leg: Source, splitter: Splitter | None) -> Amounts | None:
        kinds = {output.kind for output in splitter.outputs} if splitter else set()
        if splitter is None or not kinds:
            return None
        if leg.harmed_by_phantom and "isolated" not in kinds and not self.switched_singly:
            return None
        fed_straight = splitter.kind == "passive" and splitter.to_mixer == "isolated" and needs_48_volts(leg)
        if fed_straight and "direct" not in kinds:
            return None
        bare = fed_straight or "isolated" not in kinds
        own_way = bool(leg.splitter)
        return tidy(
            {
                "lines": 1,
                "transformers": int(self.isolation and bare),
                f"through {splitter.key}": 1,
                f"ways {splitter.key}": int(not own_way),
                "plugs": int(not own_way),
            }
        )

    def alone(self, unit: Unit) -> set[tuple[str, Amounts]]:
        """What a unit may do by itself where there is no left/right mix."""
        found = self.own(unit) | self.left_out(unit) | self.ears_only(unit)
        if len(unit.legs) == 2 and not unit.stays_whole:
            step = self.halved(unit)
            ways = {()} if unit.house_only else self.travels(unit.legs[:1])
            found |= {("mono", together(step, amounts(inputs=1), way)) for way in ways}
            if not unit.house_only and unit.role is not Role.OVERHEAD:
                found.add(("mono-bus", together(step, self.bus(1))))
        return found

    def own(self, unit: Unit) -> set[tuple[str, Amounts]]:
        ways = {()} if unit.house_only else self.travels(unit.legs)
        return {("own", together(amounts(inputs=len(unit.legs)), way)) for way in ways}

    def left_out(self, unit: Unit) -> set[tuple[str, Amounts]]:
        step = "fail-over-out" if unit.first.fail_over else "left-out"
        return set() if unit.must else {("left-out", ((step, len(unit.legs)),))}

    def bus(self, lines: int) -> Amounts:
        """A sum on the band's mixer that leaves as one line, or a pair of lines on a stereo bus."""
        shared = {"inputs": lines, "busses": 1, "stereo": lines - 1, "outs": lines, "lines": lines, "plugs": lines}
        return tidy(shared | {"transformers": lines * self.isolation})

    def halved(self, unit: Unit) -> Amounts:
        if self.mono_pa:
            return ()
        if unit.role is Role.OVERHEAD:
            return (("small-room-overheads" if self.small else "overheads-to-one", 1),)
        steps = {Role.KEYBOARD: "keyboards-to-mono", Role.PLAYBACK: "playback-to-mono"}
        return ((steps.get(unit.role, "stereo-to-mono"), 1),)

    def ears_only(self, unit: Unit) -> set[tuple[str, Amounts]]:
        if unit.must or unit.stays_whole:
            return set()
        count = len(unit.legs)
        found = set()
        if unit.role is Role.PERCUSSION and not self.silent:
            found.add(("percussion-one", (("percussion-one", count),)))
        if unit.first.optional or unit.first.priority == "low":
            found.add(("out", (("optional-source", count),)))
        elif unit.first.second_of:
            found.add(("second-out", (("second-microphone", count),)))
        elif not self.silent and (step := self.out_step(unit)):
            found.add(("out", ((step, count),)))
        elif not self.silent and unit.role is Role.OVERHEAD:
            found.add(("out", tidy({"overheads-to-one": int(count == 2 and not self.mono_pa), "last-overhead": 1})))
        return found

    def out_step(self, unit: Unit) -> str:
        steps = {
            Role.HAT: "hat-and-ride",
            Role.RIDE: "hat-and-ride",
            Role.RACK_TOM: "rack-toms",
            Role.FLOOR_TOM: "floor-tom",
        }
        if self.small:
            steps |= {
                Role.RACK_TOM: "small-room-rack-toms",
                Role.FLOOR_TOM: "small-room-floor-tom",
                Role.OVERHEAD: "small-room-overheads",
            }
            if picked_up(unit.first) == "mic" and any(map(is_loud, unit.legs)) and not unit.lead:
                steps[Role.GUITAR] = "small-room-cabinets"
        return steps.get(unit.role, "")

    def beside_the_mix(self, unit: Unit) -> set[tuple[str, Amounts]]:
        if unit.house_only or unit.first.fail_over:
            return self.own(unit) | self.left_out(unit)
        step = "whole-mix" if unit.lead else "music-mix"
        if not unit.lead and not unit.first.second_of:
            step = IN_THE_MIX.get(unit.role, step)
        return self.own(unit) | {("mix", ((step, len(unit.legs)),))}

    # --- units together
    # -------------------------------------------------------------------------------------------------------

    def joinings(self, unit: Unit) -> Iterator[Joining]:
        if not unit.blends:
            return
        if unit.role in SUMS:
            line, step = SUMS[unit.role]
            # Two guitars of one player are never summed; keyboards and playback both have to be there.
            apart = {"guitars": unit.first.player, "keyboards-with-playback": unit.role}.get(line, "")
            yield Joining(line, step, apart)
        if name := section(unit.first):
            yield Joining(f"section {name}", "section-sum")
        if unit.role in PIECES:
            yield Joining("kit-pair", PIECES[unit.role])

    def fixed_company(self) -> Iterator[tuple[str, tuple[int, ...], Amounts]]:
        """Shared lines and submixes, by the numbers of their units: all members or none."""
        yield from self.shares()
        names = dict.fromkeys(unit.first.submix for unit in self.units if unit.first.submix)
        for name in names:
            members = tuple(number for number, unit in enumerate(self.units) if unit.first.submix == name)
            legs = [leg for number in members for leg in self.units[number].legs]
            if len(legs) < 3 or any(self.units[number].house_only for number in members):
                continue
            step = (("own-submix", len(legs) - 2),)
            to_mono = () if self.mono_pa else (("keyboards-to-mono", 1),)
            for way in self.travels(legs[:2]):
                yield "submix", members, together(step, amounts(inputs=2), way)
            for way in self.travels(legs[:1]):
                yield "submix", members, together(step, to_mono, amounts(inputs=1), way)

    def shares(self) -> Iterator[tuple[str, tuple[int, ...], Amounts]]:
        def never_at_once(one: int, other: int) -> bool:
            first, second = self.units[one].first, self.units[other].first
            return first.key in second.never_with and second.key in first.never_with

        def may_share(unit: Unit) -> bool:
            apart = unit.house_only or unit.first.fail_over or unit.first.second_of or unit.role is Role.LEAD
            return len(unit.legs) == 1 and bool(unit.first.never_with) and not apart

        candidates = [number for number, unit in enumerate(self.units) if may_share(unit)]
        for size in (2, 3, 4):
            for members in combinations(candidates, size):
                if all(never_at_once(*couple) for couple in combinations(members, 2)):
                    step = amounts(share_a_line=size - 1, inputs=1)
                    ways = {way for number in members for way in self.travels(self.units[number].legs)}
                    yield from (("share", members, together(step, way)) for way in ways)

    # --- classes and columns
    # --------------------------------------------------------------------------------------------------

    def columns(self, *, mixed: bool) -> tuple[list[Column], dict[str, int]]:
        """Every column, and how many units each class has. ``mixed``: beside a left/right mix."""
        sizes: Counter[str] = Counter()
        of_class: dict[str, tuple[set[tuple[str, Amounts]], tuple[Joining, ...], Unit]] = {}
        classes: dict[tuple[object, ...], str] = {}
        class_of: list[str] = []
        for number, unit in enumerate(self.units):
            doing = self.beside_the_mix(unit) if mixed else self.alone(unit)
            joins = () if mixed else tuple(self.joinings(unit))
            apart = number if self.is_somebody(unit) else None
            alike = (frozenset(doing), joins, len(unit.legs), unit.role is Role.PERCUSSION, apart)
            name = classes.setdefault(alike, f"class {len(classes)}")
            class_of.append(name)
            sizes[name] += 1
            of_class[name] = (doing, joins, unit)
        found = [
            Column(mode, ((name, 1),), takes)
            for name, (doing, _, _) in of_class.items()
            for mode, takes in sorted(doing)
        ]
        if not mixed:
            joiners = {name: (joins, unit) for name, (_, joins, unit) in of_class.items() if joins}
            found += self.sums(joiners, sizes, class_of)
            found += [
                Column(mode, tuple((class_of[number], 1) for number in members), takes)
                for mode, members, takes in self.fixed_company()
            ]
            found = self.with_company(found, class_of)
        return found, dict(sizes)

    def is_somebody(self, unit: Unit) -> bool:
        """True where another unit's columns ask about this very one, or this one's about another."""
        return bool(unit.first.second_of or unit.first.submix or unit.first.never_with) or any(
            leg.key in self.named for leg in unit.legs
        )

    def sums(
        self, joiners: dict[str, tuple[tuple[Joining, ...], Unit]], sizes: Counter[str], class_of: list[str]
    ) -> Iterator[Column]:
        lines = sorted({joining.line for joins, _ in joiners.values() for joining in joins})
        for line in lines:
            members = [
                (name, joining, len(unit.legs))
                for name, (joins, unit) in joiners.items()
                for joining in joins
                if joining.line == line
            ]
            snares = {
                class_of[number]
                for number, unit in enumerate(self.units)
                if unit.role is Role.SNARE and not unit.first.second_of
            }
            for counts in product(*(range(sizes[name] + 1) for name, _, _ in members)):
                taken = [(member, count) for member, count in zip(members, counts, strict=True) if count]
                if sum(counts) >= 2 and self.may_sit_together(line, taken, {name: sizes[name] for name in snares}):
                    yield self.sum_of(line, taken)

    def may_sit_together(
        self, line: str, taken: Iterable[tuple[tuple[str, Joining, int], int]], snares: dict[str, int]
    ) -> bool:
        if line == "guitars":
            named = [joining.apart for (_, joining, _), count in taken for _ in range(count) if joining.apart]
            return len(named) == len(set(named))
        if line == "keyboards-with-playback":
            return len({joining.apart for (_, joining, _), _ in taken}) == 2
        if any(joining.step == "kick-in-kit-pair" for (_, joining, _), _ in taken):
            here = {name: count for (name, _, _), count in taken}
            return all(here.get(name) == count for name, count in snares.items())
        return True

    def sum_of(self, line: str, taken: Iterable[tuple[tuple[str, Joining, int], int]]) -> Column:
        counted: Counter[str] = Counter()
        for (_, joining, legs), count in taken:
            counted[joining.step] += legs * count
        covers = tuple((name, count) for (name, _, _), count in taken)
        if line == "kit-pair":
            return Column(
                line, covers, together(tidy(counted), self.bus(1 if self.mono_pa else 2), ((f"once {line}", 1),))
            )
        step = next(iter(counted))
        return Column("group", covers, together(tidy(counted), ((step, -1), (f"once {line}", 1)), self.bus(1)))

    def with_company(self, columns: list[Column], class_of: list[str]) -> list[Column]:
        """Ears only because somebody else is sent: a second microphone, and percussion beside percussion."""
        follows: dict[str, set[str]] = {}
        for number, unit in enumerate(self.units):
            if unit.first.second_of:
                named = (
                    place
                    for place, other in enumerate(self.units)
                    if any(leg.key == unit.first.second_of for leg in other.legs)
                )
                follows[class_of[number]] = {class_of[place] for place in named}
        percussion = {name for unit, name in zip(self.units, class_of, strict=True) if unit.role is Role.PERCUSSION}
        found = []
        for column in columns:
            leans: dict[str, int] = {}
            covered = {name for name, _ in column.covers}
            for second, firsts in follows.items():
                if column.mode == "second-out" and second in covered:
                    leans[f"first of {second}"] = 1
                elif column.mode in STANDS and covered & firsts:
                    leans[f"first of {second}"] = -1
            kept = column.mode in {"own", "mono", "mono-bus"} and covered & percussion
            if column.mode == "percussion-one":
                leans["percussion that stays"] = 1
            elif kept or ("once percussion", 1) in column.takes:
                leans["percussion that stays"] = -len(self.units)
            found.append(replace(column, takes=together(column.takes, tidy(leans))))
        return found
