"""Looms, levels, isolation: what has to fit between the rack and the stage box."""

from __future__ import annotations

from collections.abc import Iterable

from portal.plan.input.rig import Loom
from portal.plan.model import BESIDE_THE_LOOM, Fact, Level
from portal.plan.options.boxes import (
    DISTANCE,
    FIRST,
    SECOND,
    free_sockets,
    second_box_inputs,
    usable_looms,
    working_inputs,
)
from portal.plan.packing.bring_and_leave import why_loose
from portal.plan.phrase import SEMICOLONS, Box, Choice, Inputs, Listed, Numbers, Phrase, Value, listed, metres, these
from portal.plan.registry import Finding, check
from portal.plan.result.runs import SLACK_M
from portal.plan.result.spelling import leg_of
from portal.plan.result.transformers import has_transformer
from portal.plan.result.unchecked_plan import UncheckedPlan, inputs

SPARE_FROM_INPUTS = 16
"""A spare line is planned from so many free inputs on (common practice, no source)."""


@check(
    "loom-too-short",
    Level.NOTES,
    "a loom that does not reach",
)
def loom_too_short(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """A loom that is a metre short is of no use. Lengths are from plug to plug, along the floor and up at both ends."""
    usable = {loom.key for loom in usable_looms(unchecked.facts)}
    short = [loom for loom in unchecked.facts.rig.loom if loom.key not in usable]
    if short and unchecked.lines and unchecked.runs is None:
        looms = listed(
            Phrase("loom-of-length", {"loom": loom.name or loom.key, "length": metres(loom.length_m or 0)})
            for loom in short
        )
        owned = Fact("loom-length", Phrase("these", {"things": looms}), "rig")
        distance = unchecked.facts.answered("box-distance")
        yield Finding({"looms": looms, "distance": distance}, (unchecked.facts.fact("box-distance"), owned))


@check("loom-just-reaches", Level.NOTES, "a loom with little to spare")
def loom_just_reaches(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """A loom needs the length of its way; loose cables need 2 m more, because nobody lays them as straight. A loom with
    less than 2 m left falls short where the rack stands a little farther away. Example: a loom of 8 m for 7.6 m.
    """
    facts, routing = unchecked.facts, unchecked.routing
    tight: list[Value] = []
    for loom in routing.looms:
        question = DISTANCE[SECOND if loom.key in routing.to_second else FIRST]
        distance = facts.value(question)
        if loom.length_m is None or not isinstance(distance, int):
            continue
        spare = loom.length_m - distance / 100
        if 0 <= spare < SLACK_M:
            lengths: dict[str, Value] = {
                "length": metres(loom.length_m),
                "distance": facts.answered(question),
                "spare": metres(spare),
            }
            tight.append(Phrase("loom-to-spare", {"loom": loom.name or loom.key, **lengths}))
    if tight:
        looms = Listed(tuple(tight), SEMICOLONS)
        cited = (facts.fact("box-distance"), Fact("loom-length", Phrase("these", {"things": looms}), "rig"))
        if longer := _longer_loom(unchecked):
            yield Finding({"looms": looms, "longer": longer.name or longer.key}, cited)
        else:
            yield Finding({"looms": looms}, cited, "alone")


def _longer_loom(unchecked: UncheckedPlan) -> Loom | None:
    """A loom that stays at home, with as many ways as any that comes along, and longer."""
    there = unchecked.routing.looms
    ways, longest = max(one.ways for one in there), max(one.length_m or 0 for one in there)
    longer = (one for one in unchecked.facts.rig.loom if one.ways >= ways and (one.length_m or 0) > longest)
    return next(longer, None)


@check("two-boxes", Level.NOTES, "two stage boxes")
def two_boxes(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """A loom's tails end at one box, so each box has looms of its own. Box A takes the first lines, in desk order, as
    far as its looms and inputs go. Its desk channels come first, those of box B follow. Example: a 12-way loom to box A
    at stage left, an 8-way loom to box B at stage right.
    """
    if not unchecked.routing.inputs_at_second:
        return
    looms = [
        (loom.name or loom.key, SECOND if loom.key in unchecked.routing.to_second else FIRST)
        for loom in unchecked.routing.looms
    ]
    found: list[Value] = [
        _taken(unchecked, FIRST, "box-place"),
        _taken(unchecked, SECOND, "second-box-place"),
        *(Phrase("loom-to-a-box", {"loom": name, "box": box}) for name, box in sorted(looms, key=lambda one: one[1])),
    ]
    cited = (unchecked.facts.fact("inputs-free"), unchecked.facts.fact("second-box-inputs"))
    yield Finding({"boxes": Listed(tuple(found), SEMICOLONS)}, cited)


def _taken(unchecked: UncheckedPlan, box: str, question: str) -> Phrase:
    place = unchecked.facts.value(question)
    lines = Numbers(tuple(line.line for line in unchecked.lines if line.box == box))
    if not lines.numbers:
        return Phrase("box-takes-nothing", {"box": box})
    if place is None:
        return Phrase("box-takes", {"box": box, "lines": lines})
    return Phrase("box-takes.at-a-place", {"box": box, "lines": lines, "place": Choice("box-place", str(place))})


@check("loose-cables", Level.NOTES, "loose cables")
def loose_cables(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Loose cables are slower to run than a loom, and a fault takes longer to find. For a line or two they are less to
    carry. Label both ends with the line's number, and bring one cable to spare. Example: a 12-way loom and three loose
    cables for fifteen lines.
    """
    if unchecked.routing.loose:
        yield Finding(
            {"count": unchecked.routing.loose, "why": Choice("why-loose", why_loose(unchecked))},
            (unchecked.facts.fact("box-distance"),),
        )


@check(
    "pads-short",
    Level.ASKS,
    "pads for line level",
)
def pads_short(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """An output at +18 dBu or more overloads a microphone input that takes about +10 dBu (both assumed until somebody
    says). The usual pad is 20 dB. Line inputs at the stage box, or the input's own pad, settle it.
    """
    lines = [line for line in unchecked.lines if line.pad_db]
    owned = unchecked.facts.rig.bits.get("pad_20_db", 0)
    if len(lines) > owned:
        facts = (unchecked.facts.fact("line-inputs"), Fact("pads", these([owned]), "rig"))
        needed: dict[str, Value] = {"needed": len(lines), "owned": owned, "more": len(lines) - owned}
        yield Finding({"inputs": inputs(lines), **needed}, facts, "get-more")


@check(
    "isolation-not-met",
    Level.ASKS,
    "lines without a transformer",
)
def isolation_not_met(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Hum starts where rack and desk are on different supplies; a transformer in every line ends it. Other ground paths
    count too: common screens, a shielded network cable. A lift opens an audio shield only: never defeat the protective
    earth of mains equipment.
    """
    if unchecked.facts.value("isolation") == "wanted":
        bare = [
            line
            for line in unchecked.lines
            if line.path.kind not in BESIDE_THE_LOOM and leg_of(line.path) != "isolated"
        ]
        packed = [line for line in bare if has_transformer(line, unchecked.facts)]
        owned = unchecked.facts.rig.bits.get("isolating_transformer", 0)
        lines = [line for line in bare if line not in packed]
        cited = (unchecked.facts.fact("isolation"), Fact("outputs", Phrase("direct-or-from-the-mixer"), "rig"))
        short: dict[str, Value] = {"packed": inputs(packed), "owned": owned or Phrase("none-of-them")}
        if owned < len(packed):
            bare_too: dict[str, Value] = {"bare": inputs(lines)} if lines else {}
            yield Finding(bare_too | short, cited, "both" if lines else "to-be-found")
        elif lines:
            yield Finding({"bare": inputs(lines)}, cited)


@check(
    "further-split",
    Level.NOTES,
    "a third load on the microphones",
)
def further_split(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Three preamps on one 200 ohm microphone load it with about 500 ohm, 2.9 dB below open circuit. The tone of
    microphones whose impedance varies can change. An active or buffered split at the house ends it. Example: two 1.5
    kohm desks and a recorder.
    """
    if unchecked.facts.value("other-feeds") != "nothing" and any(line.path.kind == "split" for line in unchecked.lines):
        yield Finding({"feeds": unchecked.facts.answered("other-feeds")}, (unchecked.facts.fact("other-feeds"),))


@check(
    "lift-only-if-it-hums",
    Level.NOTES,
    "ground lift",
)
def lift_only_if_it_hums(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Lifts are tried at line check, on the isolated leg, never on the leg that feeds 48 V. Never defeat the protective earth of mains equipment to stop hum. A tingle between microphone
    and strings, or rack and box, is a mains fault: hands off, stop, fetch the electrician. No audio lift or isolator cures it.
    """
    lines = [line for line in unchecked.lines if line.lift]
    if lines:
        yield Finding({}, (Fact("ground-lift", these(line.path.unit_name for line in lines), "rig"),))


@check(
    "different-supplies",
    Level.NOTES,
    "two supplies",
)
def different_supplies(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Where rack and desk are on two supplies, the audio shield carries the difference between them. The portal only
    calculates: a licensed electrician and the local code decide.
    """
    if unchecked.facts.value("one-distribution") == "no":
        yield Finding({}, (unchecked.facts.fact("one-distribution"),))


@check(
    "spare-line",
    Level.NOTES,
    "a spare line and a spare vocal microphone",
)
def spare_line(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Where 16 or more inputs are free, one line waits in reserve for a line that fails. It needs a loom way and a free
    input of its stage box, and it takes neither from what the band wants sent. It is the first thing to go when inputs
    are short.
    """
    free = working_inputs(unchecked.facts)
    if not unchecked.lines or free is None or free < SPARE_FROM_INPUTS or _gave_up(unchecked):
        return
    ways = {(line.loom.key, line.loom.way) for line in unchecked.lines if line.loom is not None}
    spare = [
        (loom, way)
        for loom in unchecked.routing.looms
        for way in range(1, loom.ways + 1)
        if (loom.key, way) not in ways
    ]
    spare = spare[unchecked.facts.value("talkback") == "yes" :]  # a return takes the first spare way
    used = {line.socket for line in unchecked.lines}
    second = second_box_inputs(unchecked.facts)
    for loom, way in spare:
        there = loom.key in unchecked.routing.to_second
        box = SECOND if there else FIRST if second else ""
        numbers = range(1, second + 1) if there else free_sockets(unchecked.facts)
        socket = next((number for number in numbers if f"{box} {number}".strip() not in used), None)
        if socket is not None:
            stated = unchecked.facts.fact("sockets-free" if unchecked.facts.known("sockets-free") else "inputs-free")
            at = Inputs((Box(box, (socket,)),))
            yield Finding({"loom": loom.name or loom.key, "way": way, "input": at}, (stated,))
            return


def _gave_up(unchecked: UncheckedPlan) -> bool:
    """Whether anything stays out or is sent in a lesser way; a dry direct out is not lesser, nor a mix that was asked for."""
    out = any(mode.startswith("out|") for mode in unchecked.routing.modes.values())
    return out or (
        not unchecked.band_mixes and any(sent.step not in ("", "direct-out") for sent in unchecked.routing.lines)
    )


@check(
    "ear-mix-lacks-a-side",
    Level.ASKS,
    "a stereo in-ear mix on one output",
)
def ear_mix_lacks_a_side(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """The portal refuses a rig with such a mix; a rig that was saved earlier may still have one. Example: a guest's
    stereo pack on output 9 alone.
    """
    players = [ears.player for ears in unchecked.facts.rig.ears if ears.lacks_a_side]
    if players:
        yield Finding({"players": listed(players)}, (Fact("ear-mixes", these(players), "rig"),))


@check(
    "ear-mix-gone-mono",
    Level.ASKS,
    "an in-ear mix to mono",
)
def ear_mix_gone_mono(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """The band tells the player before load-in and makes the mix in mono at rehearsal."""
    players = [ears.player for ears in unchecked.facts.rig.ears if ears.fold in unchecked.routing.folded]
    if players:
        yield Finding({"players": listed(players)}, (Fact("ear-mixes", these(players), "rig"),))
