"""What the plan packs beside the signal's own boxes: stands, cables by length, what carries the in-ear mixes, what an
engineer on the band's mixer works with, and what always comes along.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from portal.plan.input.rig import Rig, Source, Standing
from portal.plan.model import BESIDE_THE_LOOM, Item, Output, Return, Route
from portal.plan.options.boxes import DISTANCE, FIRST
from portal.plan.options.routing_policy import stand_of
from portal.plan.own_mixer.mixer_patch import main_outs, output_cable
from portal.plan.packing.item_names import cable_name
from portal.plan.packing.source_cables import SourceCable, cable, source_cables, to_the_ears
from portal.plan.result.runs import BEHIND_THE_TRANSFORMER_M
from portal.plan.result.unchecked_plan import UncheckedPlan

LOOSE_M = 20
"""A loose cable to a box whose distance nobody stated (assumption)."""

BACK = "the talkback comes back from the house on it"

WIRED_PACK = "wired in-ear pack"

LINK_CABLE = "cable for the digital link"

CARRIED = {"cable": ("to a wired in-ear pack", "pack cable"), "radio": ("radio; batteries with it", "in-ear pack")}
"""What carries an in-ear mix -> why it is packed, and the noun that the band's own list would have for it."""

TRIPS = frozenset({"yes", "some"})
"""Answers that say a sound limiter cuts outlets on the stage."""


def stand_item(stand: str) -> str:
    """A stand as a thing to pack."""
    return "clip" if stand == "clip" else f"stand, {stand}"


def stands_for(sources: tuple[Source, ...]) -> Iterator[Item]:
    """The band's stands for what is plugged."""
    kinds = Counter(
        stand for source in sources if source.owner.stand == "band" and (stand := stand_of(source)) != "none"
    )
    for kind, count in sorted(kinds.items()):
        yield Item(stand_item(kind), count, "one for each source that needs it")


def cables_for(unchecked: UncheckedPlan, sources: tuple[Source, ...], outputs: tuple[Output, ...]) -> Iterator[Item]:
    """Sub-looms and every cable by its length: to the rack, from the mixer's outputs, of the mix to the house."""
    rig = unchecked.facts.rig
    through = {source.sub_loom for source in sources}
    for loom in rig.sub_loom:
        if loom.key in through:
            length = f", {loom.length_m:g} m" if loom.length_m is not None else ""
            yield Item(f"{loom.name or loom.key}{length}", 1, "it carries sources to the rack")
    to_the_rack, ends = source_cables(rig), _where_sources_end(unchecked)
    for source in sources:
        if to_the_rack[source.key].item:
            yield _packed(to_the_rack[source.key], f"source to {ends[source.key]}")
    for out in _fed(unchecked, outputs):
        yield _packed(out, "from an output of the mixer")
    yield from _behind_transformers(unchecked)
    if unchecked.runs is not None:
        for pieces in unchecked.runs.pieces:
            for metres in pieces:
                yield _packed(cable(metres, assumed=unchecked.runs.needed_m is None), "the mix to the house")
            yield _packed(cable(BEHIND_THE_TRANSFORMER_M), "the mix to the house")


def _behind_transformers(unchecked: UncheckedPlan) -> Iterator[Item]:
    """The short lead of each transformer at the box; those of the band's own mix are in its runs."""
    for line in unchecked.lines:
        if line.transformer and not line.run:
            yield _packed(cable(BEHIND_THE_TRANSFORMER_M), "from a transformer into the box")


def _where_sources_end(unchecked: UncheckedPlan) -> dict[str, str]:
    """What each source's own cable is plugged into, by the source's key: the rack where nothing else is said."""
    ends = {source.key: "rack" for source in unchecked.sources()}
    for line in unchecked.lines:
        if line.path.kind == "house-split":
            ends |= dict.fromkeys(line.sources, "the house's splitter")
        elif line.path.kind == "straight":
            ends |= dict.fromkeys(line.sources, "the loom" if line.loom else "the stage box")
    return ends


def loose_to_the_box(unchecked: UncheckedPlan, why: str, returns: tuple[Return, ...]) -> Iterator[Item]:
    """The loose cables of lines and returns that no loom carries, each the shortest that the band owns and that
    reaches.
    """
    facts = unchecked.facts
    left = facts.rig.loose_cables
    counts: Counter[tuple[str, str]] = Counter()
    loose = [
        (line.box or FIRST, why)
        for line in unchecked.lines
        if not (line.loom is not None or line.run or line.path.kind in BESIDE_THE_LOOM)
    ]
    for box, what_for in (*loose, *((FIRST, BACK) for one in returns if one.loom is None)):
        distance = facts.value(DISTANCE[box])
        metres = -(-distance // 100) if isinstance(distance, int) else None
        owned = next((one for one in sorted(left) if left[one] and metres is not None and one >= metres), None)
        if owned is not None:
            left[owned] -= 1
        length = int(owned) if owned is not None else metres if metres is not None else LOOSE_M
        counts[cable_name("to-the-box", length), what_for] += 1
    assumed = any(counts) and facts.value(DISTANCE[FIRST]) is None
    for (what, what_for), count in counts.items():
        yield Item(what, count, what_for + "; the distance is not known, 20 m assumed" * assumed)


def _packed(one: SourceCable, why: str) -> Item:
    return Item(one.item, 1, why + ("; some of these lengths are assumed: enter them in the rig" * one.assumed))


def _fed(unchecked: UncheckedPlan, outputs: tuple[Output, ...]) -> Iterator[SourceCable]:
    """The cables of the outputs that feed something of the band's."""
    rig = unchecked.facts.rig
    busy = {one.out for one in outputs if one.cable} - {line.path.output for line in unchecked.lines}
    busy |= {out.key for out in main_outs(rig.mixer)} if unchecked.route is Route.OWN_PA else set()
    yield from (output_cable(out) for out in rig.mixer.outs if out.key in busy)


def parts_of_the_pa(rig: Rig) -> tuple[Standing, ...]:
    """What the band's own PA consists of."""
    return tuple(one for one in rig.standing if one.when == "own-pa")


def always_along(unchecked: UncheckedPlan) -> Iterator[Item]:
    """What carries the in-ear mixes, what the route needs, and what the band lists by itself."""
    rig, route = unchecked.facts.rig, unchecked.route
    here = {"": True, "own-pa": route is Route.OWN_PA, "band-mixes": unchecked.band_mixes and route is not Route.OWN_PA}
    listed = [one for one in rig.standing if here[one.when]]
    if route is Route.OWN_PA and unchecked.facts.value("power-limiter") in TRIPS:
        yield Item("UPS for rack and mixer", 1, "a limiter cuts the stage power")
    for item, noun in (*_to_the_ears(rig), *_for_the_engineer(unchecked)):
        # What the band lists in its own words is not packed a second time.
        if not any(noun in one.name.casefold() for one in listed):
            yield item
    if any(line.path.kind == "digital-link" for line in unchecked.lines):
        yield Item(LINK_CABLE, 1, "from the band's mixer to the desk")
    for one in listed:
        yield Item(one.name, one.count, "part of the band's PA" if one.when == "own-pa" else "it always comes along")


def _to_the_ears(rig: Rig) -> Iterator[tuple[Item, str]]:
    """What carries each in-ear mix from the rack, each with the noun that the band's own list would have for it."""
    for ears in rig.ears:
        why, noun = CARRIED.get(ears.carried_by, ("to a wedge", "wedge cable"))
        # A pack is one listener's; several may stand before one wedge.
        many = 1 if ears.carried_by == "wedge" else max(1, len(ears.listeners))
        if ears.carried_by == "cable":
            yield Item(WIRED_PACK, many, "its mix comes by cable; batteries with it, if it takes any"), "in-ear pack"
        yield Item(to_the_ears(ears).item, many, why), noun


def _for_the_engineer(unchecked: UncheckedPlan) -> Iterator[tuple[Item, str]]:
    if unchecked.route is not Route.ON_OUR_MIXER:
        return
    tablet = "tablet for the engineer, charged, with its power lead"
    if unchecked.facts.rig.mixer.remote_surfaces:
        yield Item(tablet, 1, "the band brings it; the mixer's program runs on it"), "tablet"
    why = "the engineer works on the band's own network, never on another"
    yield Item("network router with its power lead", 1, why), "router"
    yield Item(cable_name("network", 30), 1, "to the engineer's place where it can be laid"), "network cable"
    if unchecked.facts.rig.mixer.remote_surfaces != 1:
        yield Item("second surface with its power lead", 1, "on stage, for who takes over"), "surface"
        yield Item(cable_name("network", 3), 1, "the surface on stage is cabled"), "network cable"
