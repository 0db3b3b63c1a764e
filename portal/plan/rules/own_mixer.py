"""The band's own mixer: its 48 V, and how its mix reaches loudspeakers."""

from __future__ import annotations

from collections.abc import Iterable

from portal.plan.model import Fact, Level, Route
from portal.plan.options.routing_policy import needs_phantom, never_phantom
from portal.plan.own_mixer.mixed_tonight import NO_DESK, plugged_in
from portal.plan.own_mixer.mixer_patch import main_outs
from portal.plan.own_mixer.mixer_switches import switch_of
from portal.plan.phrase import Phrase, Value, listed, metres
from portal.plan.registry import Finding, check
from portal.plan.result.runs import MOST_PIECES
from portal.plan.result.unchecked_plan import UncheckedPlan


@check(
    "own-48-v-bank-clash",
    Level.BLOCKS,
    "48 V of the band's mixer on what it can damage",
)
def own_48_v_bank_clash(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """A ribbon microphone, a wireless receiver or a line output in a bank with 48 V can be damaged. Band: plug it into
    an input of another bank, or put an isolating transformer before it. Example: eight inputs on one switch, overheads
    on 6 and 7, the receiver on 8.
    """
    mixer = unchecked.facts.rig.mixer
    into = [
        (source, switch)
        for source in unchecked.sources()
        if source.mixer_input and plugged_in(source)
        for switch in [switch_of(source.mixer_input, mixer)]
        if switch is not None
    ]
    fed = [(source, switch) for source, switch in into if needs_phantom(source) == "yes"]
    live = {switch for _, switch in fed}
    harmed = [(source, switch) for source, switch in into if never_phantom(source) and switch in live]
    if harmed:
        hit = {switch for _, switch in harmed}
        how = Phrase("in-banks-of", {"size": mixer.phantom_banks}) if mixer.phantom_banks else Phrase("all-at-once")
        parameters: dict[str, Value] = {
            "how": how,
            "fed": listed(source.label for source, switch in fed if switch in hit),
            "harmed": listed(source.label for source, _ in harmed),
        }
        yield Finding(parameters, (Fact("phantom-banks", how, "rig"),))


@check(
    "own-48-v-switching",
    Level.NOTES,
    "how the band's mixer switches 48 V",
)
def own_48_v_switching(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Asked once, in the rig: for each input, in banks, or for all at once. It matters where some inputs need 48 V and others can be damaged by it."""
    if unchecked.facts.rig.mixer.phantom_banks is not None or not unchecked.band_mixes:
        return
    into = [source for source in unchecked.sources() if plugged_in(source)]
    harmed = [source for source in into if never_phantom(source)]
    if harmed and any(needs_phantom(source) == "yes" for source in into):
        labels = listed(source.label for source in harmed)
        yield Finding({"harmed": labels}, (Fact("phantom-banks", Phrase("not-known"), "rig"),))


@check(
    "nothing-feeds-the-pa",
    Level.BLOCKS,
    "no output for the audience's mix",
)
def nothing_feeds_the_pa(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Every output carries an in-ear mix or something else. Free two for left and right, or one in mono. Example: eight outputs, four stereo in-ear mixes."""
    if unchecked.route is Route.OWN_PA and not main_outs(unchecked.facts.rig.mixer):
        yield Finding({}, (Fact("outputs", Phrase("none-is-main-or-free"), "rig"),))


@check(
    "mix-does-not-reach",
    Level.BLOCKS,
    "a way for the band's mix",
)
def mix_does_not_reach(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """XLR cables and looms join end to end without a coupler, so two short ones make a long one. Longer or more cables, or a shorter way, settle it."""
    if unchecked.runs is not None and not unchecked.runs.reaches:
        reach: dict[str, Value] = {"needed": metres(unchecked.runs.needed_m or 0), "most": MOST_PIECES}
        yield Finding(reach, (_distance(unchecked),))


def _distance(unchecked: UncheckedPlan) -> Fact:
    """How far the mix has to go: to the PA's inputs where they stand for the box, as somebody was asked."""
    at_the_pa = unchecked.route in NO_DESK and unchecked.facts.known("pa-input-distance")
    return unchecked.facts.fact("pa-input-distance" if at_the_pa else "box-distance")


@check(
    "cables-joined",
    Level.NOTES,
    "cables joined end to end",
)
def cables_joined(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Each join is a place to look at when a side is dead; tape it, and keep it off the floor where it is wet."""
    runs = unchecked.runs
    if runs is not None and runs.reaches and any(len(one) + (runs.loom is not None) > 1 for one in runs.pieces):
        pieces = listed(runs.joined(side) for side in range(len(runs.pieces)))
        asked = _distance(unchecked)
        yield Finding({"pieces": pieces, "distance": unchecked.facts.answered(asked.key)}, (asked,))


@check(
    "pa-input-connector",
    Level.ASKS,
    "the connectors of the PA's inputs",
)
def pa_input_connector(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """The band's mixer gives XLR, so the band brings what fits. An adapter that nobody brought is found out when everything else is ready."""
    if unchecked.route in NO_DESK and unchecked.lines and unchecked.facts.value("pa-input-connector") != "xlr":
        fact = unchecked.facts.fact("pa-input-connector")
        variant = "" if unchecked.facts.value("pa-input-connector") == "jack" else "other"
        yield Finding({"count": len(unchecked.lines)}, (fact,), variant)


@check(
    "amplifiers-last",
    Level.NOTES,
    "amplifiers last",
)
def amplifiers_last(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """A mixer that is switched or plugged while the amplifiers are on thumps through every loudspeaker."""
    if unchecked.route in (Route.BAND_MIXES, Route.OWN_PA):
        yield Finding({}, (unchecked.facts.fact("pa"),))


@check(
    "one-preamp-for-all",
    Level.NOTES,
    "one preamp for audience and in-ears",
)
def one_preamp_for_all(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """A gain that is moved for the audience moves in everybody's in-ears at once. Example: the lead's gain up by 6 dB in the first song."""
    if unchecked.route in (Route.OWN_PA, Route.BAND_MIXES):
        yield Finding({}, (Fact("mixer", Phrase("one-mixer-for-both"), "rig"),))
