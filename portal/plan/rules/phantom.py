"""Who feeds 48 V, who must not, and what happens when the rack goes off."""

from __future__ import annotations

from collections.abc import Iterable

from portal.plan.input.rig import Source
from portal.plan.model import MIXER_OUTPUTS, Fact, Level, Line
from portal.plan.options.routing_policy import capture_of, needs_phantom
from portal.plan.own_mixer.mixed_tonight import NO_DESK
from portal.plan.phrase import Choice, Phrase, Value, listed, these, thousandths
from portal.plan.registry import Finding, check
from portal.plan.result.one_feeder import reached_by_the_house
from portal.plan.result.routing import harmed_at_the_desk, phantom_of
from portal.plan.result.spelling import desk_switch
from portal.plan.result.transformers import (
    bank_said,
    behind_a_transformer,
    has_transformer,
    on_a_live_switch,
    on_one_switch,
)
from portal.plan.result.unchecked_plan import UncheckedPlan, at_the_mixer, inputs, labels_of

EARLIER = frozenset({"phantom-stopped-by-a-transformer"})
"""What stored plans state and no check finds any more; the wording still says it."""


def _fed_by_band(unchecked: UncheckedPlan, *, isolated: bool) -> list[Line]:
    """The lines that the band's rack feeds, those behind a transformer (the splitter's or a loose one) or the others."""
    fed = [line for line in unchecked.lines if line.phantom == "band" and line.path.kind == "split"]
    return [line for line in fed if behind_a_transformer(line, unchecked.facts) is isolated]


def _labelled(lines: list[Line]) -> dict[str, Value]:
    """Whom lines carry, and where they arrive."""
    return {"labels": labels_of(lines), "inputs": inputs(lines)}


def _rig_phantom(lines: Iterable[Line]) -> Fact:
    return Fact("phantom", Phrase("48-v-needed-by", {"labels": labels_of(lines)}), "rig")


@check(
    "house-phantom-off",
    Level.NOTES,
    "house 48 V off where the band's rack supplies it",
)
def house_phantom_off(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """The in-ear mixer sits on the direct leg and feeds 48 V. A transformer passes none, so a second feed does nothing
    useful on an isolated leg. On a direct leg it ties two supplies together. One side feeds, the other stays off, and
    nobody switches during the show.
    """
    lines = _fed_by_band(unchecked, isolated=True)
    if lines:
        yield Finding(_labelled(lines), (_rig_phantom(lines),))


@check(
    "two-phantom-feeders",
    Level.ASKS,
    "who supplies 48 V on the direct legs",
)
def two_phantom_feeders(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Two supplies on one microphone work until somebody switches one of them. The voltage then moves. Whether the
    other desk's off switch opens its feed or ties it to its rail is not known. So exactly one side feeds, and both
    sides say which.
    """
    lines = _fed_by_band(unchecked, isolated=False)
    if lines:
        yield Finding(
            _labelled(lines),
            (_rig_phantom(lines), Fact("splitter-output", Phrase("direct-without-a-transformer"), "rig")),
        )


@check(
    "house-feeds-phantom",
    Level.ASKS,
    "48 V from the house",
)
def house_feeds_phantom(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Some sources never pass the band's rack, or their rack leg sits behind a transformer. They get 48 V from the
    house or from nobody.
    """
    lines = [line for line in unchecked.lines if line.phantom == "house"]
    if lines:
        yield Finding(_labelled(lines), (_rig_phantom(lines),))


@check(
    "house-feeds-direct-legs",
    Level.ASKS,
    "48 V from the house on direct legs",
)
def house_feeds_direct_legs(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """One switch of the house feeds several inputs, and it has to be on for a microphone that only the house can feed. On a direct leg it reaches the others
    too; two supplies would be tied together, so the band's mixer leaves its own off there. Example: a hat straight to the house, and an overhead in its bank.
    """
    lines, facts = unchecked.lines, unchecked.facts
    pairs = [line for line, sent in unchecked.pairs() if line.phantom == "house" and phantom_of(sent) == "band"]
    if pairs:
        there = {other.line for line in pairs for other in on_one_switch(line, lines, facts)}
        others = [line for line in lines if line.line in there and line.phantom == "house" and line not in pairs]
        mixer = at_the_mixer(line.mixer_input for line in pairs)
        parameters = _labelled(pairs) | {"others": labels_of(others), "mixer": mixer}
        yield Finding(parameters, (facts.fact("phantom-switching"), _rig_phantom(pairs)))


@check(
    "phantom-from-both",
    Level.ASKS,
    "48 V from both sides",
)
def phantom_from_both(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Two supplies on one microphone work until somebody switches one of them. Where the switches of both sides feed others as well, neither can be off; a
    transformer in the line parts them. An active splitter's output meets the house's 48 V too: its maker says whether it bears that.
    """
    lines, facts = unchecked.lines, unchecked.facts
    both = [line for line in lines if reached_by_the_house(line, lines, facts)]
    for feeder in ("band", "splitter"):
        reached = [line for line in both if line.phantom == feeder]
        if reached:
            yield Finding(_labelled(reached), (facts.fact("phantom-switching"), _rig_phantom(reached)), feeder)


@check(
    "house-microphone-phantom-unknown",
    Level.ASKS,
    "which of the house's microphones need 48 V",
)
def house_microphone_phantom_unknown(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Only the house knows which microphone will stand there. If it runs through the band's splitter, the band's rack has to feed it."""
    lines = [line for line in unchecked.lines if line.phantom == "unknown"]
    if lines:
        yield Finding(
            {"labels": labels_of(lines)},
            (Fact("microphone", Phrase("brought-by-the-house"), "rig"),),
        )


@check(
    "phantom-bank-under-our-outputs",
    Level.ASKS,
    "48 V off where outputs of the band's mixer arrive",
)
def phantom_bank_under_our_outputs(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """A line output is not built to take 48 V on its pins; some are damaged by it. Some houses switch 48 V in banks or
    for all. There the outputs of the band's mixer sit in a bank that stays off, or behind isolating transformers.
    """
    lines, facts = unchecked.lines, unchecked.facts
    at_line_level = unchecked.route in NO_DESK and facts.value("pa-input-level") == "line"
    if at_line_level or facts.value("phantom-switching") in ("per-channel", None):
        return
    outputs = [line for line in lines if line.path.kind in MIXER_OUTPUTS]
    quiet = [line for line in outputs if not on_a_live_switch(line, lines, facts)]
    if quiet:
        switching = Choice("phantom-switching", str(facts.value("phantom-switching")))
        yield Finding({"inputs": inputs(quiet), "switching": switching}, (facts.fact("phantom-switching"),))


@check(
    "phantom-bank-clash",
    Level.BLOCKS,
    "48 V bank under what it can damage",
)
def phantom_bank_clash(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """The bank cannot be on for one microphone and off for a line output or a ribbon beside it. Isolating transformers on the outputs, another bank, or
    48 V per channel settle it. Example: a receiver on input 5, and the cello on input 2 is fed by the same switch.
    """
    facts = unchecked.facts
    hit = [line for line in _exposed(unchecked) if on_a_live_switch(line, unchecked.lines, facts)]
    if hit:
        outputs = Phrase("outputs-of-the-bands-mixer")
        what = listed(outputs if line.path.kind in MIXER_OUTPUTS else line.label for line in hit)
        together = {other.line for line in hit for other in on_one_switch(line, unchecked.lines, facts)}
        fed = [line for line in unchecked.lines if line.phantom == "house" and line.line in together]
        because = (facts.fact("phantom-switching"), _rig_phantom(fed))
        parameters: dict[str, Value] = {"what": what, "inputs": inputs(hit), "labels": labels_of(fed)}
        yield Finding(parameters, because)


@check(
    "phantom-bank-on",
    Level.NOTES,
    "a bank of 48 V that has to be on",
)
def phantom_bank_on(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """One microphone that the house feeds switches its whole bank on. A balanced dynamic microphone or a DI with a
    transformer takes it. A line output, a receiver or a ribbon does not, so none of them sits there without a
    transformer. Example: banks of 8, and a room microphone on input 3.
    """
    facts = unchecked.facts
    for bank, lines in _banks(unchecked).items():
        fed = [line for line in lines if line.phantom == "house"]
        others = [line for line in lines if _takes_it(line, unchecked)]
        if fed and others:
            parameters: dict[str, Value] = {
                "bank": bank,
                "labels": labels_of(fed),
                "others": labels_of(others),
                "inputs": inputs(others),
            }
            yield Finding(parameters, (facts.fact("phantom-switching"), _rig_phantom(fed)))


def _takes_it(line: Line, unchecked: UncheckedPlan) -> bool:
    """Whether the house's 48 V reaches what stands on a line without being wanted there, and does no harm."""
    harmless = line.phantom == "none" and desk_switch(line) != "never"
    return harmless and not behind_a_transformer(line, unchecked.facts)


@check(
    "phantom-bank-off",
    Level.ASKS,
    "a bank of 48 V that stays off",
)
def phantom_bank_off(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Only the number of its box input keeps what 48 V can damage out of a bank that has to be on. Whoever moves the
    plug on the day undoes that, so both sides sign it. Example: the ribbon on input 9, because the bank 1-8 feeds a
    room microphone.
    """
    facts, harmed = unchecked.facts, {line.line for line in _harmed_or_receivers(unchecked)}
    banks = _banks(unchecked)
    on = [bank for bank, lines in banks.items() if any(line.phantom == "house" for line in lines)]
    for bank, lines in banks.items():
        kept = [line for line in lines if line.line in harmed]
        if kept and on and bank not in on:
            harmed_there = Fact("harmed-by-phantom", these(line.label for line in kept), "rig")
            parameters = _labelled(kept) | {"bank": bank, "on": listed(on)}
            yield Finding(parameters, (facts.fact("phantom-switching"), harmed_there))


def _harmed_or_receivers(unchecked: UncheckedPlan) -> list[Line]:
    """The lines of sources that the house's 48 V reaches and can damage; outputs of the band's mixer apart."""
    pairs = unchecked.pairs()
    return [
        line
        for line, sent in pairs
        if sent.out is None and harmed_at_the_desk(sent) and not has_transformer(line, unchecked.facts)
    ]


def _banks(unchecked: UncheckedPlan) -> dict[Phrase, list[Line]]:
    """The lines that share a 48 V switch of the house, by the bank; empty where it switches singly."""
    switching = unchecked.facts.value("phantom-switching")
    found: dict[Phrase, list[Line]] = {}
    for line in unchecked.lines:
        if bank := bank_said(line, switching):
            found.setdefault(bank, []).append(line)
    return found


def _exposed(unchecked: UncheckedPlan) -> list[Line]:
    """The lines on which the house's 48 V reaches what it can harm, with no transformer between that the band owns."""
    packed = sum(line.transformer for line in unchecked.lines)
    owned = unchecked.facts.rig.bits.get("isolating_transformer", 0) >= packed
    return [line for line, sent in unchecked.pairs() if harmed_at_the_desk(sent) and not (line.transformer and owned)]


def _harmed(unchecked: UncheckedPlan, *kinds: str) -> list[Line]:
    """The lines of these kinds on which the house's 48 V can damage a source."""
    return [
        line
        for line, sent in unchecked.pairs()
        if line.path.kind in kinds and any(source.harmed_by_phantom for source in sent.heard)
    ]


@check(
    "harmed-by-phantom",
    Level.ASKS,
    "48 V off on a microphone that it can harm",
)
def harmed_by_phantom(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """A ribbon sees equal voltage on both pins and survives; a miswired or shorted cable, or hot patching, sends
    current through it. So 48 V stays off there, or the microphone sits on an isolated leg. Both sides: mute, and switch
    48 V off, before plugging.
    """
    lines = _harmed(unchecked, "split", "straight", "house-split")
    if lines:
        cited = (Fact("harmed-by-phantom", these(line.label for line in lines), "rig"),)
        said: dict[str, Value] = {"labels": labels_of(lines)}
        in_the_mixer = [line for line in lines if line.path.kind != "straight"]
        numbers = [line.mixer_input for line in in_the_mixer]
        at = {} if None in numbers else {"mixer": at_the_mixer(numbers)}
        if not (open_lines := _harmed_at_the_desk(unchecked)):
            yield Finding({**said, **at}, cited, "behind-a-transformer-at" if at else "behind-a-transformer")
            return
        said["inputs"] = inputs(open_lines)
        if in_the_mixer:
            yield Finding({**said, **at}, cited, "on-both-sides" if at else "")
        else:
            yield Finding(said, cited, "at-the-house")


def _harmed_at_the_desk(unchecked: UncheckedPlan) -> list[Line]:
    """The lines of sources that the house's 48 V can damage, with no transformer between."""
    return [
        line
        for line in _harmed(unchecked, "split", "straight", "house-split")
        if not behind_a_transformer(line, unchecked.facts)
    ]


@check("phantom-mark", Level.ASKS, "a 48 V mark that does not fit its source")
def phantom_mark(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Where a source and its 48 V mark do not fit, one of the two is wrong. 48 V stays off a receiver, a line output and
    a passive DI, whatever the mark; else the plan follows the mark. Example: a bass on an active DI that was entered as
    needing no 48 V.
    """
    plugged = [source for source in unchecked.sources() if source.goes != "rehearsal-only"]
    own = [source for source in plugged if source.owner.mic == "band"]
    for mark, sources in (
        (
            "active-di",
            [source for source in own if capture_of(source) == "di-active" and source.phantom == "no"],
        ),
        *_marked_in_vain(plugged),
        (
            "needed-and-damaging",
            [source for source in own if source.harmed_by_phantom and needs_phantom(source) == "yes"],
        ),
    ):
        if sources:
            cited = Fact("phantom", these(source.label for source in sources), "rig")
            yield Finding({"labels": listed(source.label for source in sources)}, (cited,), mark)


TAKES_NONE = ("wireless", "line", "di-passive")
"""What takes no 48 V, by its pick-up."""


def _marked_in_vain(plugged: list[Source]) -> Iterable[tuple[str, list[Source]]]:
    """Sources marked as needing 48 V that get none, by how they are picked up."""
    for capture in TAKES_NONE:
        yield capture, [one for one in plugged if capture_of(one) == capture and one.phantom == "yes"]


@check(
    "phantom-budget",
    Level.BLOCKS,
    "more 48 V current than the rack can give",
)
def phantom_budget(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """The supply of a mixer has a total. Past it the voltage falls for every microphone at once. Each input owes at most 10 mA (P48)."""
    budget = unchecked.facts.rig.mixer.phantom_budget_ma
    fed = [
        source
        for source in unchecked.sources()
        if source.goes not in ("house-only", "rehearsal-only") and needs_phantom(source) == "yes"
    ]
    drawn = sum(source.phantom_ma or 0.0 for source in fed)
    if budget is not None and drawn > budget:
        yield Finding(
            {"budget": thousandths(budget), "drawn": thousandths(drawn)},
            (Fact("phantom-budget", Phrase("milliamperes", {"current": thousandths(budget)}), "rig"),),
        )


@check(
    "rack-stays-on",
    Level.NOTES,
    "the rack stays on from line check to the end",
)
def rack_stays_on(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """The rack is the phantom supply of the house's channels as well. House: mute those channels before the rack is
    switched.
    """
    lines = [line for line in unchecked.lines if line.phantom == "band" and line.path.kind == "split"]
    if lines:
        yield Finding(_labelled(lines), (_rig_phantom(lines),))
