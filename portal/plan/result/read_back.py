"""From what the solver chose to lines: ways and outputs that were only counted are named."""

from __future__ import annotations

import re
from dataclasses import replace

from portal.plan.input.kinds import Role
from portal.plan.input.rig import Out, Source, Splitter
from portal.plan.model import BESIDE_THE_LOOM
from portal.plan.options.boxes import SECOND
from portal.plan.options.capacities import leaving_their_ways
from portal.plan.options.routing_options import MONO_MIX, PAIR_MIX, RoutingOptions
from portal.plan.options.routing_policy import mono_way, never_phantom
from portal.plan.options.shared_lines import plug_of, submix_legs
from portal.plan.options.units import Unit, output_for, own_way
from portal.plan.result.routing import Exchange, Routing, Sent, ranks, splitters_in_path
from portal.plan.solving.solve import Solution

GROUP_ORDER = {"percussion": 200, "guitars": 400, "acoustics": 410, "keyboards-with-playback": 500, "backing": 800}
GROUP_STEPS = {
    "percussion": "percussion-sum",
    "backing": "backing-sum",
    "guitars": "guitars-sum",
    "acoustics": "guitars-sum",
    "section": "section-sum",
}
SECTION_ORDER = 700
KIT_PAIR_ORDER = 90
MIX_ORDER = 0
SUBMIX_ORDER = 505


def read_back(options: RoutingOptions, solution: Solution) -> Routing:
    """Turn the chosen picks into lines; ways and outputs that were only counted are now named, lowest number first in
    the rig's order.
    """
    reader = _Reader(options, solution)
    return reader.routing()


def mono_label(label: str) -> str:
    """The label of a pair summed to mono: "Keys L" becomes "Keys (mono)"."""
    return re.sub(r"[\s/_-]*\(?\b(?:L|R|Left|Right|left|right)\)?$", "", label).strip() + " (mono)"


class _Reader:
    def __init__(self, options: RoutingOptions, solution: Solution) -> None:
        self.options = options
        self.rig = options.facts.rig
        self.by_key = {unit.key: unit for unit in options.units}
        self.unit_of = {leg.key: unit for unit in options.units for leg in unit.legs}
        self.chosen = [options.program.picks[index] for index in sorted(solution.chosen)]
        self.counts = solution.chosen
        self.modes = {key: pick.mode for pick in self.chosen for key in pick.units}
        self.guests = {key for pick in self.chosen if pick.mode.startswith("duet|") for key in pick.units[1:]}
        self.rank = ranks(options.units)
        self.splitters = {splitter.key: splitter for splitter in self.rig.splitter}
        self.spare_ways = {splitter.key: self._spare(splitter) for splitter in self.rig.splitter}
        self.left_ways = {key: self._left(key) for key in options.exchange_picks}
        self.exchanges: list[Exchange] = []
        self.folded = frozenset(pick.name.removeprefix("fold:") for pick in self.chosen if pick.mode == "fold")
        self.outs = self._outs()

    def _spare(self, splitter: Splitter) -> list[int]:
        taken = {own_way(source, self.splitters) for source in self.rig.source if source.splitter == splitter.key}
        return [way for way in range(1, splitter.ways + 1) if way not in taken]

    def _left(self, key: str) -> list[tuple[int, Source]]:
        """The ways whose own source leaves them to others tonight, and that source; first of who is not in the ears."""
        found = [
            (self._in_the_ears(self.unit_of[leg.key]), own_way(leg, self.splitters) or 0, leg)
            for pick in self.chosen
            for leg in leaving_their_ways(pick.mode, [self.by_key[unit] for unit in pick.units])
            if leg.splitter == key and own_way(leg, self.splitters) and not never_phantom(leg)
        ]
        return [(way, leg) for _, way, leg in sorted(found, key=lambda one: one[:2])]

    def _in_the_ears(self, unit: Unit) -> bool:
        what, _, how = self.modes[unit.key].partition("|")
        if what == "duet" and unit.key in self.guests:
            return False
        cased = what == "out" and unit.stays_in_its_case(how)
        return not (cased or how == "past-the-ears" or unit.house_only)

    def _way_for(self, leg: Source, splitter: Splitter) -> int:
        """A way for a source that has none: one that nobody is wired to, else one whose source leaves it and takes this
        one's socket.
        """
        key = splitter.key
        if self.spare_ways[key] or not self.left_ways.get(key):
            return self.spare_ways[key].pop(0)
        way, leaver = self.left_ways[key].pop(0)
        there, here = leaver.mixer_input or 0, leg.mixer_input or 0
        self.exchanges.append(Exchange(leg, here, there, splitter, way))
        if self._in_the_ears(self.unit_of[leaver.key]):
            self.exchanges.append(Exchange(leaver, there, here, None, None))
        return way

    def _outs(self) -> list[Out]:
        """Free outputs, plain ones first so that busses leave the unprocessed taps to direct outs; an in-ear mix gone
        mono frees its second output.
        """
        mixer = self.rig.mixer
        main = [out for out in mixer.outs if out.use == "main"]
        free = sorted((out for out in mixer.outs if out.use == "free"), key=lambda out: out.unprocessed)
        freed_keys = {ears.outs[-1] for ears in self.rig.ears if ears.fold in self.folded}
        return [*main, *free, *(out for out in mixer.outs if out.key in freed_keys)]

    def routing(self) -> Routing:
        lines: list[Sent] = []
        ordered = sorted(
            self.chosen,
            key=lambda pick: min((self._turn(key) for key in pick.units), default=(False, 0, 0)),
        )
        directs = [pick for pick in ordered if pick.mode.endswith("direct-out") and pick.units]
        for pick in sorted(directs, key=lambda pick: "processed" in pick.mode):
            lines += self._unit_lines(pick.mode, pick.units)
        for pick in ordered:
            if pick.units and pick not in directs:
                lines += self._unit_lines(pick.mode, pick.units)
        for pick in ordered:
            lines += self._shared_lines(pick.mode, pick.unit)
        options = self.options
        carried = {key: box for (box, key), index in options.loom_picks.items() if index in self.counts}
        ordered_lines = tuple(sorted(lines, key=lambda line: line.order))
        return Routing(
            ordered_lines,
            self.modes,
            self.options.units,
            self.folded,
            tuple(
                sorted((loom for loom in self.rig.loom if loom.key in carried), key=lambda loom: (-loom.ways, loom.key))
            ),
            sum(self.counts.get(index, 0) for index in options.loose_picks.values()),
            splitters_in_path(options.facts, ordered_lines),
            frozenset(key for key, box in carried.items() if box == SECOND),
            self.counts.get(options.second.inputs, 0) if options.second else 0,
            self.counts.get(options.second.lines, 0) if options.second else 0,
            tuple(sorted(self.exchanges, key=lambda one: one.rig_input)),
        )

    def _turn(self, key: str) -> tuple[bool, int, int]:
        """When a unit takes its output or way: what 48 V can harm comes first, to ways that nobody is wired to; else as
        in an input list.
        """
        unit = self.by_key[key]
        return (not any(map(never_phantom, unit.legs)), unit.order, self.rank[key])

    def _unit_lines(self, mode: str, keys: tuple[str, ...]) -> list[Sent]:
        what, _, how = mode.partition("|")
        units = [self.by_key[key] for key in keys]
        unit = units[0]
        order = (unit.order, self.rank[unit.key])
        if what == "own":
            return [self._leg(unit, leg, how, side, order) for side, leg in _sides(unit)]
        if what == "mono":
            return [self._mono_line(unit, how, order)]
        if what == "share":
            members = sorted(units, key=lambda one: self.rank[one.key])
            order = (members[0].order, self.rank[members[0].key])
            sources = tuple(one.lead_leg for one in units)
            line = self._leg(unit, plug_of(unit.lead_leg, sources), how, "", order)
            label = " / ".join(one.lead_leg.label for one in members)
            return [replace(line, sources=sources, label=label, step="share-a-line")]
        if what == "duet":
            members = sorted(units, key=lambda one: self.rank[one.key])
            order = (members[0].order, self.rank[members[0].key])
            line = self._leg(unit, unit.lead_leg, how, "", order)
            label = " + ".join(one.lead_leg.label for one in members)
            sources = tuple(one.lead_leg for one in units)
            return [replace(line, sources=sources, label=label, step="two-at-one-microphone")]
        if what.startswith("submix-"):
            return self._submix_lines(what, how, units)
        return []

    def _mono_line(self, unit: Unit, how: str, order: tuple[int, int]) -> Sent:
        """The one line of a pair: a sum on a bus, what the player makes mono, or one of two microphones."""
        step, label = _mono_step_of(self, unit), mono_label(unit.lead_leg.label)
        if how == "bus":
            out = self._take(unprocessed=False)
            place = (*order, 0)
            return Sent(unit.legs, label, "group", place, out=out, step=step, group="to-mono", made_mono="bus")
        line = replace(self._leg(unit, unit.lead_leg, how, "", order), step=step)
        made = mono_way(unit.legs)
        if made == "microphone":
            return replace(line, without=unit.legs[1])
        return replace(line, sources=unit.legs, label=label, made_mono=made)

    def _submix_lines(self, what: str, how: str, units: list[Unit]) -> list[Sent]:
        legs = submix_legs(units)
        name = units[0].lead_leg.submix
        order = (SUBMIX_ORDER, self.rank[units[0].key])
        if what == "submix-1":
            line = self._leg(units[0], legs[0], how, "", order)
            return [replace(line, sources=legs, label=f"{name} (mono)", pair="", side="", step="own-submix")]
        return [
            replace(
                self._leg(units[0], leg, how, side, order),
                sources=legs,
                label=f"{name} {side}",
                pair=f"submix:{name}",
                step="own-submix",
            )
            for side, leg in zip("LR", legs, strict=False)
        ]

    def _leg(self, unit: Unit, leg: Source, how: str, side: str, order: tuple[int, int]) -> Sent:
        pair = unit.key if side else ""
        base = Sent(
            (leg,),
            leg.label,
            "straight",
            (*order, "LR".find(side)),
            side,
            pair,
            vocal=unit.role in (Role.BACKING, Role.LEAD),
        )
        if how == "past-the-ears":
            return replace(base, step="out-of-the-ears", by_loom=bool(self.rig.loom))
        if how in BESIDE_THE_LOOM:
            return replace(base, kind=how, step=how if how == "digital-link" else "")
        if how.endswith("direct-out"):
            out = self._take(unprocessed=how == "direct-out")
            return replace(base, kind=how, out=out, step=how)
        key = leg.splitter or how.removeprefix("split:")
        splitter = self.splitters[key]
        wired = own_way(leg, self.splitters)
        way = self._way_for(leg, splitter) if wired is None else wired
        return replace(
            base, kind="split", splitter=splitter, way=way, output=output_for(leg, splitter, self.options.facts)
        )

    def _take(self, *, unprocessed: bool) -> Out:
        index = (
            next((number for number, out in enumerate(self.outs) if out.unprocessed and out.use == "free"), 0)
            if unprocessed
            else 0
        )
        if not unprocessed and self.outs and self.outs[0].use == "main":
            index = next((number for number, out in enumerate(self.outs) if out.use != "main"), 0)
        return self.outs.pop(index)

    def _shared_lines(self, mode: str, name: str) -> list[Sent]:
        if mode == "group":
            members = self._members(name)
            kind, _, part = name.partition(":")
            order = (
                GROUP_ORDER.get(kind, SECTION_ORDER),
                min(self.rank[unit.key] for unit in members),
                0,
            )
            step = GROUP_STEPS.get(kind, name)
            sources = tuple(leg for unit in members for leg in unit.legs)
            out = self._take(unprocessed=False)
            return [
                Sent(
                    sources,
                    _group_label(kind, part),
                    "group",
                    order,
                    out=out,
                    step=step,
                    group=name,
                    vocal=kind == "backing",
                )
            ]
        if mode == "kit-pair":
            sources = tuple(leg for unit in self._members("kit-pair") for leg in unit.legs)
            sides = ("",) if self.options.mono_pa else ("L", "R")
            return [
                Sent(
                    sources,
                    f"Kit {side}".strip() + " (sum)",
                    "group",
                    (KIT_PAIR_ORDER, 0, "LR".find(side)),
                    side,
                    "kit-pair" if side else "",
                    out=self._take(unprocessed=False),
                    step="kit-pair",
                    group="kit-pair",
                )
                for side in sides
            ]
        if mode in (PAIR_MIX, MONO_MIX):
            return self._mix_lines(mode)
        return []

    def _mix_lines(self, mode: str) -> list[Sent]:
        members = self._members("mix")
        sources = tuple(leg for unit in members for leg in unit.legs)
        step = "whole-mix" if any(unit.lead for unit in members) else "music-mix"
        name = "Mix" if step == "whole-mix" else "Music"
        sides = ("L", "R") if mode == PAIR_MIX else ("",)
        return [
            Sent(
                sources,
                f"{name} {side}" if side else f"{name} (mono)",
                "left-right-mix",
                (MIX_ORDER, 0, "LR".find(side)),
                side,
                "mix" if side else "",
                out=self.outs.pop(0),
                step=step,
                group="mix",
            )
            for side in sides
        ]

    def _members(self, name: str) -> list[Unit]:
        return [unit for unit in self.options.units if self.modes.get(unit.key) == f"in|{name}"]


def _sides(unit: Unit) -> list[tuple[str, Source]]:
    if unit.width == 1:
        return [("", unit.lead_leg)]
    left, right = unit.legs
    return [("L", left), ("R", right)]


def _mono_step_of(reader: _Reader, unit: Unit) -> str:
    pick = next(pick for pick in reader.chosen if unit.key in pick.units)
    return next((step for step, _ in pick.gives if not step.endswith(("direct-out", "digital-link"))), "stereo-to-mono")


def _group_label(kind: str, part: str) -> str:
    words = {
        "percussion": "Percussion",
        "backing": "BVs",
        "guitars": "Guitars",
        "acoustics": "Acoustics",
        "keyboards-with-playback": "Keys and tracks",
    }
    name = f"{words[kind]} {part}".strip() if kind in words else part.capitalize()
    return f"{name} (sum)"
