"""What to bring and what to leave at home, lines back to the band, and which lines survive when the rack dies."""

from __future__ import annotations

from collections import Counter

from portal.plan.explain import count_of
from portal.plan.input.facts import Facts
from portal.plan.input.rig import Loom, Rig, Source
from portal.plan.model import (
    EarInput,
    Item,
    Line,
    LoomWay,
    Output,
    RackDies,
    Return,
    Route,
    Spare,
)
from portal.plan.options.boxes import FIRST, SECOND, usable_looms
from portal.plan.options.routing_policy import capture_of, goes_of
from portal.plan.own_mixer.mixed_tonight import NO_DESK
from portal.plan.packing.along import always_along, cables_for, loose_to_the_box, parts_of_the_pa, stands_for
from portal.plan.packing.item_names import ADAPTERS, CAPTURED_BY, OWNED_AS, PAD, TRANSFORMER, TURN_ROUND
from portal.plan.packing.source_cables import stands_in_the_rack
from portal.plan.phrase import Numbers, Phrase, sentences
from portal.plan.result.not_sent import not_plugged
from portal.plan.result.one_feeder import reached_by_the_house
from portal.plan.result.spelling import leg_of
from portal.plan.result.unchecked_plan import UncheckedPlan, named

TURN_ROUNDS_PER_RETURN = 2
"""One at each end: the loom's connectors point the wrong way for a line that runs backwards."""


_FOR_EACH = "one for each source that needs it"
_WHY = {
    "di-active": _FOR_EACH,
    "di-passive": _FOR_EACH,
    "di": _FOR_EACH,
    "mic": "the band's own, the in-ears' included",
    "wireless": _FOR_EACH,
}
"""What of these the band packs, in this order, and why."""


def bring_and_leave(
    unchecked: UncheckedPlan,
    asked: Rig,
    returns: tuple[Return, ...],
    ear_inputs: tuple[EarInput, ...],
    outputs: tuple[Output, ...],
) -> tuple[tuple[Item, ...], tuple[Item, ...]]:
    """The band's pack list for this gig, each item with why. ``asked``: the band's rig, guests and all."""
    rig, routing = unchecked.facts.rig, unchecked.routing
    bring: list[Item] = [
        Item(
            "in-ear rack",
            1,
            f"it feeds the in-ears{' and the audience' if unchecked.band_mixes else ''}; in it: {_in_the_rack(rig)}",
        )
    ]
    if unchecked.route is Route.OWN_PA and rig.mix.own_pa and not parts_of_the_pa(rig):
        bring.append(Item("the band's PA", 1, "the house has none; what it consists of is not in the rig"))
    leave: list[Item] = []
    for splitter in (one for one in rig.splitter if not one.built_in):
        name = splitter.name or splitter.key
        if splitter in routing.splitters:
            bring.append(Item(name, 1, "sources run through it to the house"))
        else:
            leave.append(Item(name, 1, _unused_splitter(unchecked)))
    for loom in rig.loom:
        name = f"{loom.name or loom.key}" + (f", {loom.length_m:g} m" if loom.length_m is not None else "")
        if any(one.key == loom.key for one in routing.looms):
            carried = sum(1 for line in unchecked.lines if line.loom and line.loom.key == loom.key)
            bring.append(Item(name, 1, f"{count_of(carried, 'line')} to {_where_to(unchecked, loom)}"))
        else:
            leave.append(Item(name, 1, _unused_loom(unchecked)))
    stay = not_plugged(routing)
    plugged = {row.source for row in ear_inputs} | {key for line in unchecked.lines for key in line.sources}
    sources = tuple(source for source in rig.source if source.key in plugged and source.key not in stay)
    bring += _small_things(unchecked, sources, returns)
    bring += stands_for(sources)
    bring += cables_for(unchecked, sources, outputs)
    bring += always_along(unchecked)
    leave += [
        Item(f"{CAPTURED_BY[capture_of(source)]} of {source.label}", 1, stay[source.key])
        for source in rig.source
        if source.key in stay and source.owner.mic == "band" and capture_of(source) in CAPTURED_BY
    ]
    leave += [
        Item(source.label, 1, "for rehearsals only") for source in rig.source if goes_of(source) == "rehearsal-only"
    ]
    if unchecked.route is not Route.OWN_PA:
        leave += [Item(source.label, 1, "for guests at the band's own PA") for source in asked.source if source.guest]
        leave += [Item(one.name, one.count, "the house has a PA") for one in parts_of_the_pa(rig)]
    return counted(bring), tuple(leave)


def _in_the_rack(rig: Rig) -> str:
    """What is bolted into the rack and comes with it."""
    radio = any(ears.carried_by == "radio" for ears in rig.ears)
    splitters = sorted(splitter.name or splitter.key for splitter in rig.splitter if splitter.built_in)
    return named(["the mixer", *splitters, *["in-ear transmitters"] * radio])


def _where_to(unchecked: UncheckedPlan, loom: Loom) -> str:
    if unchecked.route in NO_DESK:
        return "the PA's inputs"
    if unchecked.routing.inputs_at_second:
        return f"box {SECOND if loom.key in unchecked.routing.to_second else FIRST}"
    return "the stage box"


def counted(items: list[Item]) -> tuple[Item, ...]:
    """The items with those of one name in one row, their reasons side by side."""
    found: dict[str, Item] = {}
    for item in items:
        before = found.get(item.what)
        whys = dict.fromkeys([*(before.why.split("; ") if before else []), *item.why.split("; ")])
        count = item.count + (before.count if before else 0)
        found[item.what] = Item(item.what, count, "; ".join(why for why in whys if why))
    return tuple(found.values())


def _unused_loom(unchecked: UncheckedPlan) -> str:
    if not unchecked.lines:
        return "no line goes to the house"
    if unchecked.route is Route.HOUSE_SPLIT:
        return "the microphones go into the house's own splitter"
    return "the mix goes to the house without it" if unchecked.band_mixes else "the lines fit without it"


def _unused_splitter(unchecked: UncheckedPlan) -> str:
    if unchecked.route is Route.HOUSE_SPLIT:
        return "the house's own splitter takes the microphones"
    return "nothing runs through it tonight; its sources plug straight into the mixer"


def _small_things(unchecked: UncheckedPlan, sources: tuple[Source, ...], returns: tuple[Return, ...]) -> list[Item]:
    mine = [source for source in sources if source.owner.mic == "band"]
    counts = Counter(map(capture_of, mine))
    items = [Item(CAPTURED_BY[capture], counts[capture], why) for capture, why in _WHY.items() if counts[capture]]
    pads = sum(1 for line in unchecked.lines if line.pad_db)
    if pads:
        both = any(line.pad_db and line.transformer for line in unchecked.lines)
        why = "line level into microphone inputs" + ", behind the transformer, last before the input" * both
        items.append(Item(PAD, pads, why + _lacking(unchecked, PAD, pads)))
    transformers = sum(line.transformer for line in unchecked.lines)
    if transformers:
        why = "between the band's rack and the house's system" + _lacking(unchecked, TRANSFORMER, transformers)
        items.append(Item(TRANSFORMER, transformers, why))
    adapter = ADAPTERS.get(str(unchecked.facts.value("pa-input-connector")))
    if adapter and unchecked.lines and unchecked.route in NO_DESK:
        items.append(Item(adapter, len(unchecked.lines), "the last plug of the mix, at the PA's inputs"))
    items += loose_to_the_box(unchecked, WHY_LOOSE[why_loose(unchecked)], returns)
    switches = sum(one.sent.step == "share-a-line" for one in unchecked.numbered)
    if switches:
        items.append(Item("A/B switch", switches, "sources that take turns share one plug"))
    turn_rounds = sum(one.turn_rounds for one in returns)
    if turn_rounds:
        why = "a return runs against the loom's connectors, at both ends" + _lacking(unchecked, TURN_ROUND, turn_rounds)
        items.append(Item(TURN_ROUND, turn_rounds, why))
    return items


WHY_LOOSE = {
    "looms-full": "the looms that come along are full",
    "no-loom": "the band has no loom",
    "no-loom-reaches": "no loom reaches",
    "less-to-carry": "they are less to carry than another loom",
    "other-box": "the looms run to the other box",
}


def why_loose(unchecked: UncheckedPlan) -> str:
    """Why lines run on loose cables: a key of ``WHY_LOOSE``."""
    carried = {loom.key for loom in unchecked.routing.looms}
    if carried and sum(loom.ways for loom in unchecked.routing.looms) == sum(
        line.loom is not None for line in unchecked.lines
    ):
        return "looms-full"
    usable = {loom.key for loom in usable_looms(unchecked.facts)}
    if not unchecked.facts.rig.loom:
        return "no-loom"
    if not usable:
        return "no-loom-reaches"
    return "less-to-carry" if usable - carried else "other-box"


def _lacking(unchecked: UncheckedPlan, what: str, needed: int) -> str:
    owned = unchecked.facts.rig.bits.get(OWNED_AS[what], 0)
    return "" if owned >= needed else f"; the band owns {owned or 'none'}, get {needed - owned} before the gig"


def returns_of(facts: Facts, spare: tuple[Spare, ...]) -> tuple[tuple[Return, ...], tuple[Spare, ...]]:
    """The house's talkback into the in-ear mixer, on a spare way; and the ways that stay spare."""
    if facts.value("talkback") != "yes":
        return (), spare
    taken = {source.mixer_input for source in facts.rig.source}
    inputs = facts.rig.mixer.inputs
    free = next((number for number in range(1, (inputs or 0) + 1) if number not in taken), None)
    way = spare[0] if spare else None
    parts = [] if way else ["a cable of its own, for no loom way is spare"]
    parts += [] if free else ["no mixer input is known to be free"]
    note = "; ".join(
        [*parts, "48 V off on the input that receives it", "muted and limited in the in-ears until checked"]
    )
    loom = LoomWay(way.loom, way.name, way.way, "") if way else None
    output = facts.value("talkback-output")
    talkback = Return(
        "Talkback from the house",
        loom,
        free,
        TURN_ROUNDS_PER_RETURN if way else 0,
        note[0].upper() + note[1:],
        output if isinstance(output, int) else None,
    )
    return (talkback,), spare[1:] if way else spare


def rack_dies(lines: tuple[Line, ...], facts: Facts) -> RackDies:
    """Which lines stay alive on the passive split, which lose 48 V, which go silent with the band's rack. Where
    a rig does not say where its wireless receivers take their power, the band's own are assumed to stand in the rack.
    """
    in_rack = {source.key for source in facts.rig.source if stands_in_the_rack(source)}
    assumed = {source.key for source in facts.rig.source if source.in_rack is None} & in_rack
    passive = [
        line
        for line in lines
        if not (line.path.unit == "mixer" or (line.path.way is not None and line.gain_owner == "band"))
    ]
    received = {line.line for line in passive if in_rack & set(line.sources)}
    silent = tuple(line.line for line in lines if line not in passive or line.line in received)
    lose = tuple(
        line.line
        for line in lines
        if line.line not in silent
        and (line.phantom == "splitter" or (line.phantom == "band" and not reached_by_the_house(line, lines, facts)))
    )
    alive = tuple(line.line for line in lines if line.line not in silent and line.line not in lose)
    channel = {line.line: line.desk_channel for line in lines}
    fates = ((alive, "rack-alive"), (lose, "rack-loses-48-v"), (silent, "rack-silent"))
    direct = tuple(line.line for line in passive if line.line in lose and leg_of(line.path) == "direct")
    taken = tuple(line.line for line in passive if assumed & set(line.sources))
    said = [
        Phrase(key, {"channels": Numbers(tuple(sorted({channel[number] for number in numbers})))})
        for numbers, key in (*fates, (direct, "rack-may-come-back"), (taken, "rack-holds-receivers"))
        if numbers
    ]
    return RackDies(alive, lose, silent, sentences(*said) if said else Phrase("nothing-goes-to-the-house"))
