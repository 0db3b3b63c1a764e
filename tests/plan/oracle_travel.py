"""How lines reach the box in the second opinion: every splitter, every kind of direct out, every subset of the
looms.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import chain, combinations, product

from portal.plan.input.facts import Facts
from portal.plan.input.kinds import Role, kind_of
from portal.plan.input.rig import Source, Splitter
from tests.plan.oracle_units import capture, never_48_volts, role_of, wants_phantom

NEVER = 1 << 4096


@dataclass(frozen=True)
class Way:
    """One way for the legs of one line or pair to travel."""

    cost: int
    free_ways: tuple[tuple[str, int], ...] = ()  # unwired legs by splitter
    through: frozenset[str] = frozenset()  # splitters used at all
    unprocessed: int = 0
    processed: int = 0
    transformers: int = 0
    straight: int = 0  # legs into the house's own splitter, past the looms
    never_ways: tuple[tuple[str, int], ...] = ()  # of the unwired legs those that 48 V harms
    leaves: tuple[tuple[str, int], ...] = ()  # wired legs that need their way no more, by splitter

    @property
    def through_the_mixer(self) -> bool:
        return bool(self.unprocessed or self.processed)


def subsets(of: range | tuple[int, ...], least: int, most: int) -> Iterator[tuple[int, ...]]:
    return chain.from_iterable(combinations(of, size) for size in range(least, most + 1))


class Travel:
    """The splitters, outputs, transformers, looms and cables of one rig, for one set of answers."""

    def __init__(self, facts: Facts, weight: dict[str, int], carrying: int) -> None:
        self.rig = rig = facts.rig
        self.weight = weight
        self.carrying = carrying
        self.dry_only = facts.value("what-they-want") == "split-each-source"
        self.isolated_only = facts.value("isolation") == "required"
        self.house_split = facts.value("house-split") == "yes"
        fed = any(wants_phantom(one) and (one.goes or kind_of(one.what).goes) == "house-only" for one in rig.source)
        self.one_switch_on = facts.value("phantom-switching") == "all" and fed
        heard = [one.mixer_input for one in rig.source if (one.goes or kind_of(one.what).goes) in {"both", "ears-only"}]
        numbered = None not in heard and len(heard) == len(set(heard))
        self.fronts = {one.key for one in rig.splitter if one.plugs == "front" and numbered and not self.house_split}
        told = [facts.value(key) if facts.known(key) else None for key in ("box-distance", "second-box-distance")]
        self.distances_m = [None if distance is None else int(distance) / 100 for distance in told]
        first = facts.value("inputs-free")
        self.first_inputs = None if first is None else int(first)
        self.second_inputs = 0 if first is None else int(facts.value("second-box-inputs") or 0)
        self.splitters = {splitter.key: splitter for splitter in rig.splitter}
        wired = Counter(source.splitter for source in rig.source if source.splitter)
        self.free_ways = {key: splitter.ways - wired[key] for key, splitter in self.splitters.items()}
        self.free_outs = sum(out.use == "free" for out in rig.mixer.outs)
        self.unprocessed_outs = sum(out.use == "free" and out.unprocessed for out in rig.mixer.outs)
        self.main_outs = sum(out.use == "main" for out in rig.mixer.outs)
        self.folds = sum(mix.width == "stereo" and len(mix.outs) == 2 for mix in rig.ears)
        self.transformers = rig.bits.get("isolating_transformer", 0) if self.isolated_only else 0
        self.ways = cache(self.ways_of)
        self.past = cache(lambda legs: tuple(way for way in self.ways_of(legs) if not way.through_the_mixer))
        self.mixed = cache(lambda legs: tuple(way for way in self.ways_of(legs) if way.through_the_mixer))
        self.carried = cache(self.looms)
        self.least = cache(self.least_cost)

    def ways_of(self, legs: tuple[Source, ...]) -> tuple[Way, ...]:
        """Every way in which these legs can go together: one kind of direct out for all, or a splitter way each."""
        count = len(legs)
        if self.house_split:
            found = [Way(sum(bool(leg.splitter) for leg in legs), straight=count)]
        else:
            found = [way for splitters in self.splitter_choices(legs) if (way := self.split(legs, splitters))]
        beside = self.unsuited(legs) + count
        leaves, isolating = self.leaving(legs), count * self.isolated_only
        if self.unprocessed_outs >= count:
            cost = self.weight["direct-out"] * count + beside
            found.append(Way(cost, unprocessed=count, transformers=isolating, leaves=leaves))
        if self.free_outs >= count and not self.dry_only:
            cost = self.weight["processed-direct-out"] * count + beside
            found.append(Way(cost, processed=count, transformers=isolating, leaves=leaves))
        return tuple(found)

    def unsuited(self, legs: tuple[Source, ...]) -> int:
        """What it counts that these come over outputs of the band's mixer."""
        if role_of(legs[0]) in {Role.BACKING, Role.LEAD}:
            return self.weight["voices-on-outs"] * len(legs)
        if capture(legs[0]) == "mic":
            return self.weight["microphones-on-outs"] * len(legs)
        return self.weight["singles-on-outs"] if len(legs) == 1 else 0

    def leaving(self, legs: tuple[Source, ...]) -> tuple[tuple[str, int], ...]:
        """The ways at fronts that these legs leave to others, by splitter."""
        left = Counter(leg.splitter for leg in legs if leg.splitter in self.fronts and not never_48_volts(leg))
        return tuple(sorted(left.items()))

    def splitter_choices(self, legs: tuple[Source, ...]) -> Iterator[tuple[Splitter, ...]]:
        """A wired leg keeps its splitter; the unwired legs all take the same one."""
        anywhere = list(self.splitters.values()) if any(not leg.splitter for leg in legs) else [None]
        for chosen in anywhere:
            splitters = [self.splitters.get(leg.splitter) if leg.splitter else chosen for leg in legs]
            known = tuple(splitter for splitter in splitters if splitter is not None)
            if len(known) == len(legs):
                yield known

    def split(self, legs: tuple[Source, ...], splitters: tuple[Splitter, ...]) -> Way | None:
        taken: Counter[str] = Counter()
        never: Counter[str] = Counter()
        transformers = 0
        for leg, splitter in zip(legs, splitters, strict=True):
            output = self.output_used(leg, splitter)
            if not output:
                return None
            transformers += self.isolated_only and output == "direct"
            if not leg.splitter:
                taken[splitter.key] += 1
                never[splitter.key] += never_48_volts(leg)
        through = frozenset(splitter.key for splitter in splitters)
        ways, harmed = tuple(sorted(taken.items())), tuple(sorted(never.items()))
        return Way(taken.total(), ways, through, transformers=transformers, never_ways=harmed)

    def output_used(self, leg: Source, splitter: Splitter) -> str:
        """Isolated or direct; empty where the leg may not go through this splitter."""
        kinds = {output.kind for output in splitter.outputs}
        if leg.harmed_by_phantom and "isolated" not in kinds and self.one_switch_on:
            return ""
        if splitter.kind == "passive" and splitter.to_mixer == "isolated" and wants_phantom(leg):
            return "direct" if "direct" in kinds and not self.isolated_only else ""
        return "isolated" if "isolated" in kinds else "direct" if kinds else ""

    def looms(self, lines: int, straight: int) -> int:
        """The least carrying and plugging for so many lines, and what goes straight to a box; ``NEVER`` where they do
        not fit.
        """
        inputs = lines + straight
        first = inputs if self.first_inputs is None else self.first_inputs
        return min(
            (
                self.looms_to_both(lines - beyond, beyond) + at_second
                for at_second in range(max(0, inputs - first), min(self.second_inputs, inputs) + 1)
                for beyond in range(max(0, at_second - straight), min(at_second, lines) + 1)
            ),
            default=NEVER,
        )

    def looms_to_both(self, lines: int, beyond: int) -> int:
        """The least carrying and plugging for lines to the first box and to the second; each loom goes to one of them,
        or stays at home.
        """
        if not self.rig.loom or lines + beyond == 0:
            return 0
        best = NEVER
        for goes in product((None, 0, 1), repeat=len(self.rig.loom)):
            if any(
                box is not None and not self.reaches(loom.length_m, box)
                for loom, box in zip(self.rig.loom, goes, strict=True)
            ):
                continue
            ways = [
                sum(loom.ways for loom, box in zip(self.rig.loom, goes, strict=True) if box == which)
                for which in (0, 1)
            ]
            cables = [max(0, lines - ways[0]), max(0, beyond - ways[1])]
            if (
                cables[0] <= self.loose(0)
                and cables[1] <= self.loose(1)
                and sum(cables) <= max(self.loose(0), self.loose(1))
            ):
                best = min(best, (sum(ways) + 3 * sum(cables)) * self.carrying + sum(cables))
        return best

    def reaches(self, length: float | None, box: int) -> bool:
        distance = self.distances_m[box]
        return length is None or distance is None or length >= distance

    def loose(self, box: int) -> int:
        distance = self.distances_m[box]
        cables = ((key, count) for key, count in self.rig.bits.items() if key.startswith("xlr_"))
        return 0 if distance is None else sum(count for key, count in cables if int(key[4:-1]) >= distance)

    def least_cost(
        self,
        lines: tuple[tuple[Way, ...], ...],
        bus_outs: int,
        bus_lines: int,
        travelling: int,
        straight: int,
        left: tuple[tuple[str, int], ...],
    ) -> int:
        """The least cost of bringing these lines to the box, beside so many bus outputs; ``NEVER`` where it cannot be
        done.
        """
        bus_transformers = bus_lines * self.isolated_only
        if bus_transformers > self.transformers:
            return NEVER
        best = NEVER

        def place(index: int, earlier: int, chosen: tuple[Way, ...], cost: int) -> None:
            nonlocal best
            if cost >= best or not self.fits(chosen, bus_transformers):
                return
            moved = 0
            if index == len(lines):
                moved = self.exchanged(chosen, left)
                if moved is None:
                    return
            if index < len(lines):
                # Lines with the same ways are interchangeable: only one order of their choices is tried.
                start = earlier if index and lines[index] == lines[index - 1] else 0
                for number, way in enumerate(lines[index][start:], start):
                    place(index + 1, number, (*chosen, way), cost + way.cost)
                return
            directs = sum(way.unprocessed + way.processed for way in chosen)
            folds = max(0, directs + bus_outs - self.free_outs - self.main_outs)
            if folds > self.folds:
                return
            used = {key for way in chosen for key in way.through}
            boxes = sum(2 * self.splitters[key].ways for key in used if not self.splitters[key].built_in)
            past = sum(way.straight for way in chosen)
            carried = self.carried(travelling + bus_lines - past, straight + past)
            if carried < NEVER:
                total = cost + self.weight["ear-mix-to-mono"] * folds + boxes * self.carrying + carried
                best = min(best, total + 2 * moved)

        place(0, 0, (), 0)
        return best

    def fits(self, chosen: tuple[Way, ...], bus_transformers: int) -> bool:
        unprocessed = sum(way.unprocessed for way in chosen)
        if unprocessed > self.unprocessed_outs:
            return False
        if unprocessed + sum(way.processed for way in chosen) > self.free_outs:
            return False
        if self.isolated_only and bus_transformers + sum(way.transformers for way in chosen) > self.transformers:
            return False
        taken: Counter[str] = Counter()
        for way in chosen:
            taken.update(dict(way.free_ways))
        return all(count <= self.free_ways[key] for key, count in taken.items() if key not in self.fronts)

    def exchanged(self, chosen: tuple[Way, ...], left: tuple[tuple[str, int], ...]) -> int | None:
        """How many ways change hands at the fronts; ``None`` where too few are left to others, or 48 V could harm."""
        taken: Counter[str] = Counter()
        never: Counter[str] = Counter()
        leaves: Counter[str] = Counter(dict(left))
        for way in chosen:
            taken.update(dict(way.free_ways))
            never.update(dict(way.never_ways))
            leaves.update(dict(way.leaves))
        moved = 0
        for key in self.fronts:
            free = max(0, self.free_ways[key])
            more = max(0, taken[key] - free)
            if more > leaves[key] or never[key] > free:
                return None
            moved += more
        return moved
