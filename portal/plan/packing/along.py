"""What the plan packs beside the signal's own boxes: stands, cables by length, what carries the in-ear mixes, what an
engineer on the band's mixer works with, and what always comes along.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from portal.plan.input.rig import Loom, Rig, Source, Standing, SubLoom
from portal.plan.model import Item, Output, Return, Route
from portal.plan.options.boxes import DISTANCE, FIRST
from portal.plan.options.routing_policy import stand_of
from portal.plan.own_mixer.mixer_patch import main_outs, output_cable
from portal.plan.packing.item_names import THING_OF_LENGTH, as_named, cable_item, thing
from portal.plan.packing.loose_cables import LOOSE_M, is_loose, lengths_to
from portal.plan.packing.source_cables import SourceCable, cable, source_cables, to_the_ears
from portal.plan.phrase import Choice, Phrase, Said, metres, side_by_side
from portal.plan.result.runs import BEHIND_THE_TRANSFORMER_M
from portal.plan.result.unchecked_plan import UncheckedPlan

BACK = Phrase("why.talkback-comes-back")

CARRIED = {"cable": "pack cable", "radio": "in-ear pack", "wedge": "wedge cable"}
"""What carries an in-ear mix -> the noun that the band's own list would have for what is packed for it."""

TRIPS = frozenset({"yes", "some"})
"""Answers that say a sound limiter cuts outlets on the stage."""


def stand_item(stand: str) -> Phrase:
    """A stand as a thing to pack."""
    return thing("clip") if stand == "clip" else Phrase("stand", {"stand": Choice("stand", stand)})


def stands_for(sources: tuple[Source, ...]) -> Iterator[Item]:
    """The band's stands for what is plugged."""
    kinds = Counter(
        stand for source in sources if source.owner.stand == "band" and (stand := stand_of(source)) != "none"
    )
    for kind, count in sorted(kinds.items()):
        yield Item(stand_item(kind), count, Phrase("why.one-for-each-source"))


def cables_for(unchecked: UncheckedPlan, sources: tuple[Source, ...], outputs: tuple[Output, ...]) -> Iterator[Item]:
    """Sub-looms and every cable by its length: to the rack, from the mixer's outputs, of the mix to the house."""
    rig = unchecked.facts.rig
    through = {source.sub_loom for source in sources}
    for loom in rig.sub_loom:
        if loom.key in through:
            yield Item(loom_item(loom), 1, Phrase("why.carries-sources-to-the-rack"))
    to_the_rack, ends = source_cables(rig), _where_sources_end(unchecked)
    for source in sources:
        yield from _packed(to_the_rack[source.key], ends[source.key])
    for out in _fed(unchecked, outputs):
        yield from _packed(out, Phrase("why.from-an-output"))
    yield from _behind_transformers(unchecked)
    to_the_house = Phrase("why.the-mix-to-the-house")
    if unchecked.runs is not None:
        for pieces in unchecked.runs.pieces:
            for long in pieces:
                yield from _packed(cable(long, assumed=unchecked.runs.needed_m is None), to_the_house)
            yield from _packed(cable(BEHIND_THE_TRANSFORMER_M), to_the_house)


def loom_item(loom: Loom | SubLoom) -> Said:
    """A loom as a thing to pack, with its length where that is known."""
    name = loom.name or loom.key
    return name if loom.length_m is None else Phrase(THING_OF_LENGTH, {"thing": name, "length": metres(loom.length_m)})


def _behind_transformers(unchecked: UncheckedPlan) -> Iterator[Item]:
    """The short lead of each transformer at the box; those of the band's own mix are in its runs."""
    for line in unchecked.lines:
        if line.transformer and not line.run:
            yield from _packed(cable(BEHIND_THE_TRANSFORMER_M), Phrase("why.from-a-transformer"))


def _where_sources_end(unchecked: UncheckedPlan) -> dict[str, Phrase]:
    """What each source's own cable leads to, by the source's key: the rack where nothing else is said."""
    ends = {source.key: Phrase("why.source-to-the-rack") for source in unchecked.sources()}
    for line in unchecked.lines:
        if line.path.kind == "house-split":
            ends |= dict.fromkeys(line.sources, Phrase("why.source-to-the-houses-splitter"))
        elif line.path.kind == "straight":
            ends |= dict.fromkeys(
                line.sources, Phrase("why.source-to-the-loom" if line.loom else "why.source-to-the-stage-box")
            )
    return ends


def loose_to_the_box(unchecked: UncheckedPlan, why: Phrase, returns: tuple[Return, ...]) -> Iterator[Item]:
    """The loose cables of lines and returns that no loom carries."""
    facts = unchecked.facts
    counts: Counter[tuple[Phrase, Phrase, bool]] = Counter()
    loose = [
        *((line.box or FIRST, why) for line in unchecked.lines if is_loose(line)),
        *((FIRST, BACK) for one in returns if one.loom is None),
    ]
    for length, (box, what_for) in zip(lengths_to((box for box, _ in loose), facts), loose, strict=True):
        counts[cable_item("to-the-box", length), what_for, facts.value(DISTANCE[box]) is None] += 1
    for (what, what_for, assumed), count in counts.items():
        guess = [Phrase("why.distance-not-known", {"length": metres(LOOSE_M)})] if assumed else []
        yield Item(what, count, side_by_side([what_for, *guess]))


def _packed(one: SourceCable, why: Phrase) -> Iterator[Item]:
    """A cable as a thing to pack; nothing where the band packs none for it."""
    if one.item is not None:
        guess = [Phrase("why.lengths-are-assumed")] if one.assumed else []
        yield Item(one.item, 1, side_by_side([why, *guess]))


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
        yield Item(thing("ups"), 1, Phrase("why.limiter-cuts-the-power"))
    engineers = tuple(_for_the_engineer(unchecked))
    for item, noun in (*_to_the_ears(rig), *engineers):
        # What the band lists in its own words is not packed a second time.
        if not any(noun in one.name.casefold() for one in listed):
            yield item
    if any(line.path.kind == "digital-link" for line in unchecked.lines):
        yield Item(thing("link-cable"), 1, Phrase("why.from-mixer-to-desk"))
    for one in listed:
        why = Phrase("why.part-of-the-pa" if one.when == "own-pa" else "why.always-comes-along")
        promised = [Phrase("why.for-the-engineer")] if _stands_for(one, thing("tablet"), engineers) else []
        yield Item(as_named(one.name), one.count, side_by_side([*promised, why]))


def _stands_for(listed: Standing, what: Said, needed: Sequence[tuple[Item, str]]) -> bool:
    """Whether a row of the band's own list is packed for a thing that the route needs."""
    return any(item.what == what and noun in listed.name.casefold() for item, noun in needed)


def _to_the_ears(rig: Rig) -> Iterator[tuple[Item, str]]:
    """What carries each in-ear mix from the rack, each with the noun that the band's own list would have for it."""
    for ears in rig.ears:
        noun, item = CARRIED[ears.carried_by], to_the_ears(ears).item
        # A pack is one listener's; several may stand before one wedge.
        many = 1 if ears.carried_by == "wedge" else max(1, len(ears.listeners))
        if ears.carried_by == "cable":
            yield Item(thing("wired-pack"), many, Phrase("why.its-mix-comes-by-cable")), CARRIED["radio"]
        if item is not None:
            yield Item(item, many, Phrase(f"why.ears-by-{ears.carried_by}")), noun


def _for_the_engineer(unchecked: UncheckedPlan) -> Iterator[tuple[Item, str]]:
    if unchecked.route is not Route.ON_OUR_MIXER:
        return
    if unchecked.facts.rig.mixer.remote_surfaces:
        yield Item(thing("tablet"), 1, Phrase("why.band-brings-the-tablet")), "tablet"
    yield Item(thing("router"), 1, Phrase("why.own-network")), "router"
    yield Item(cable_item("network", 30), 1, Phrase("why.to-the-engineers-place")), "network cable"
    if unchecked.facts.rig.mixer.remote_surfaces != 1:
        yield Item(thing("surface"), 1, Phrase("why.for-who-takes-over")), "surface"
        yield Item(cable_item("network", 3), 1, Phrase("why.surface-is-cabled")), "network cable"
