"""What to bring and what to leave at home, and lines back to the band."""

from __future__ import annotations

from collections import Counter

from portal.plan.input.facts import Facts
from portal.plan.input.rig import Loom, Rig, Source
from portal.plan.model import (
    EarInput,
    Item,
    LoomWay,
    Output,
    Return,
    Route,
    Spare,
)
from portal.plan.options.boxes import FIRST, SECOND, usable_looms
from portal.plan.options.routing_policy import capture_of, goes_of
from portal.plan.own_mixer.mixed_tonight import NO_DESK
from portal.plan.packing.along import always_along, cables_for, loom_item, loose_to_the_box, parts_of_the_pa, stands_for
from portal.plan.packing.item_names import ADAPTERS, CAPTURED_BY, PAD, TRANSFORMER, TURN_ROUND, thing
from portal.plan.phrase import (
    SEMICOLONS,
    Choice,
    Listed,
    Phrase,
    Said,
    Value,
    listed,
    parts_of,
    side_by_side,
)
from portal.plan.result.not_sent import not_plugged
from portal.plan.result.unchecked_plan import UncheckedPlan

TURN_ROUNDS_PER_RETURN = 2
"""One at each end: the loom's connectors point the wrong way for a line that runs backwards."""


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
            thing("in-ear-rack"),
            1,
            side_by_side(
                [
                    Phrase("why.feeds-ears-and-audience" if unchecked.band_mixes else "why.feeds-the-ears"),
                    Phrase("why.in-it", {"things": _in_the_rack(rig)}),
                ]
            ),
        )
    ]
    if unchecked.route is Route.OWN_PA and rig.mix.own_pa and not parts_of_the_pa(rig):
        bring.append(Item(thing("bands-pa"), 1, Phrase("why.the-house-has-no-pa")))
    leave: list[Item] = []
    for splitter in (one for one in rig.splitter if not one.built_in):
        name = splitter.name or splitter.key
        if splitter in routing.splitters:
            bring.append(Item(name, 1, Phrase("why.sources-run-through-it")))
        else:
            leave.append(Item(name, 1, _unused_splitter(unchecked)))
    for loom in rig.loom:
        if any(one.key == loom.key for one in routing.looms):
            carried = sum(1 for line in unchecked.lines if line.loom and line.loom.key == loom.key)
            lines: dict[str, Value] = {"lines": carried, "there": _where_to(unchecked, loom)}
            bring.append(Item(loom_item(loom), 1, Phrase("why.lines-to", lines)))
        else:
            leave.append(Item(loom_item(loom), 1, _unused_loom(unchecked)))
    stay = not_plugged(routing)
    plugged = {row.source for row in ear_inputs} | {key for line in unchecked.lines for key in line.sources}
    sources = tuple(source for source in rig.source if source.key in plugged and source.key not in stay)
    bring += _small_things(unchecked, sources, returns)
    bring += stands_for(sources)
    bring += cables_for(unchecked, sources, outputs)
    bring += always_along(unchecked)
    leave += [
        Item(
            Phrase("thing-of-a-source", {"thing": Choice("thing", capture_of(source)), "label": source.label}),
            1,
            stay[source.key],
        )
        for source in rig.source
        if source.key in stay and source.owner.mic == "band" and capture_of(source) in CAPTURED_BY
    ]
    leave += [
        Item(source.label, 1, Phrase("why.for-rehearsals-only"))
        for source in rig.source
        if goes_of(source) == "rehearsal-only"
    ]
    if unchecked.route is not Route.OWN_PA:
        leave += [Item(source.label, 1, Phrase("why.for-guests")) for source in asked.source if source.guest]
        leave += [Item(one.name, one.count, Phrase("why.the-house-has-a-pa")) for one in parts_of_the_pa(rig)]
    return counted(bring), tuple(leave)


def _in_the_rack(rig: Rig) -> Listed:
    """What is bolted into the rack and comes with it."""
    radio = any(ears.carried_by == "radio" for ears in rig.ears)
    splitters = sorted(splitter.name or splitter.key for splitter in rig.splitter if splitter.built_in)
    return listed([thing("mixer"), *splitters, *[thing("transmitters")] * radio])


def _where_to(unchecked: UncheckedPlan, loom: Loom) -> Phrase:
    if unchecked.route in NO_DESK:
        return Phrase("pa-inputs")
    if unchecked.routing.inputs_at_second:
        return Phrase("to-a-box", {"box": SECOND if loom.key in unchecked.routing.to_second else FIRST})
    return Phrase("the-stage-box")


def counted(items: list[Item]) -> tuple[Item, ...]:
    """The items with those of one name in one row, their reasons side by side."""
    found: dict[Said, list[Item]] = {}
    for item in items:
        found.setdefault(item.what, []).append(item)
    return tuple(
        Item(
            what,
            sum(one.count for one in rows),
            side_by_side(why for one in rows for why in parts_of(one.why) if isinstance(why, Phrase | str)),
        )
        for what, rows in found.items()
    )


def _unused_loom(unchecked: UncheckedPlan) -> Phrase:
    if not unchecked.lines:
        return Phrase("why.no-line-goes-to-the-house")
    if unchecked.route is Route.HOUSE_SPLIT:
        return Phrase("why.into-the-houses-splitter")
    return Phrase("why.the-mix-goes-without-it" if unchecked.band_mixes else "why.the-lines-fit-without-it")


def _unused_splitter(unchecked: UncheckedPlan) -> Phrase:
    if unchecked.route is Route.HOUSE_SPLIT:
        return Phrase("why.the-houses-splitter-takes-them")
    return Phrase("why.nothing-runs-through-it")


def _small_things(unchecked: UncheckedPlan, sources: tuple[Source, ...], returns: tuple[Return, ...]) -> list[Item]:
    mine = [source for source in sources if source.owner.mic == "band"]
    counts = Counter(map(capture_of, mine))
    items = [Item(thing(how), counts[how], _why_captured(how)) for how in CAPTURED_BY if counts[how]]
    pads = sum(1 for line in unchecked.lines if line.pad_db)
    if pads:
        both = any(line.pad_db and line.transformer for line in unchecked.lines)
        why = Phrase(
            "why.line-level-into-microphone-inputs.behind-a-transformer"
            if both
            else "why.line-level-into-microphone-inputs"
        )
        items.append(_owned(unchecked, PAD, pads, why))
    transformers = sum(line.transformer for line in unchecked.lines)
    if transformers:
        items.append(_owned(unchecked, TRANSFORMER, transformers, Phrase("why.between-rack-and-house")))
    adapter = ADAPTERS.get(str(unchecked.facts.value("pa-input-connector")))
    if adapter and unchecked.lines and unchecked.route in NO_DESK:
        items.append(Item(thing(adapter), len(unchecked.lines), Phrase("why.the-last-plug-of-the-mix")))
    items += loose_to_the_box(
        unchecked, Phrase("why.loose", {"named": Choice("why-loose", why_loose(unchecked))}), returns
    )
    switches = sum(one.sent.step == "share-a-line" for one in unchecked.numbered)
    if switches:
        items.append(Item(thing("a-b-switch"), switches, Phrase("why.sources-take-turns")))
    turn_rounds = sum(one.turn_rounds for one in returns)
    if turn_rounds:
        items.append(_owned(unchecked, TURN_ROUND, turn_rounds, Phrase("why.return-runs-backwards")))
    return items


def _why_captured(how: str) -> Phrase:
    return Phrase("why.the-bands-own" if how == "mic" else "why.one-for-each-source")


def _owned(unchecked: UncheckedPlan, what: str, needed: int, why: Phrase) -> Item:
    """Small things, with how many the band lacks."""
    owned = unchecked.facts.rig.bits.get(what, 0)
    lack: dict[str, Value] = {"owned": owned or Phrase("none-of-them"), "more": needed - owned}
    return Item(thing(what), needed, side_by_side([why, *([Phrase("why.get-more", lack)] if owned < needed else [])]))


def why_loose(unchecked: UncheckedPlan) -> str:
    """Why lines run on loose cables: a key of the choices ``why-loose``."""
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


def returns_of(facts: Facts, spare: tuple[Spare, ...]) -> tuple[tuple[Return, ...], tuple[Spare, ...]]:
    """The house's talkback into the in-ear mixer, on a spare way; and the ways that stay spare."""
    if facts.value("talkback") != "yes":
        return (), spare
    taken = {source.mixer_input for source in facts.rig.source}
    inputs = facts.rig.mixer.inputs
    free = next((number for number in range(1, (inputs or 0) + 1) if number not in taken), None)
    way = spare[0] if spare else None
    parts = [] if way else [Phrase("return.by-a-cable-of-its-own")]
    parts += [] if free else [Phrase("return.no-mixer-input-is-free")]
    notes = (*parts, Phrase("return.48-v-off"), Phrase("return.muted-until-checked"))
    note = Phrase("return-notes", {"notes": Listed(notes, SEMICOLONS)})
    loom = LoomWay(way.loom, way.name, way.way, "") if way else None
    output = facts.value("talkback-output")
    talkback = Return(
        Phrase("talkback-from-the-house"),
        loom,
        free,
        TURN_ROUNDS_PER_RETURN if way else 0,
        note,
        output if isinstance(output, int) else None,
    )
    return (talkback,), spare[1:] if way else spare
