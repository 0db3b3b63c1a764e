"""Places, power, and what people have to be told."""

from __future__ import annotations

from collections.abc import Iterable

from portal.plan.input.facts import Lock, agreed_in, lock_fact
from portal.plan.model import Fact, Level, Line, Route
from portal.plan.phrase import Phrase, Value, listed, these
from portal.plan.registry import Finding, check
from portal.plan.result.unchecked_plan import UncheckedPlan


@check(
    "nothing-to-send",
    Level.BLOCKS,
    "nothing goes to the house",
)
def nothing_to_send(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """A plan without a line is for a band on its own PA. Anywhere else the rig is still empty, or everything in it is for the in-ears or stays at home.
    Example: a rig of which only the click is written down.
    """
    if not unchecked.lines and unchecked.route is not Route.OWN_PA:
        yield Finding(
            {}, (Fact("sources", Phrase("none-for-the-house", {"sources": len(unchecked.sources())}), "rig"),)
        )


@check(
    "rack-power",
    Level.BLOCKS,
    "power for the band's rack",
)
def rack_power(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """The rack feeds the in-ears and most of the 48 V; without an outlet that stays on through the changeover there is no show. Another outlet, a longer loom,
    or another place for the rack settles it. Mains is for a competent, licensed electrician; stage supplies need RCD/GFCI protection.
    """
    if unchecked.facts.value("rack-power") == "no":
        yield Finding({}, (unchecked.facts.fact("rack-power"),))


@check(
    "power-limiter",
    Level.NOTES,
    "a limiter that cuts stage power",
)
def power_limiter(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Put the rack on an outlet that escapes the limiter, if the house allows it, and keep the level under the limit."""
    value = unchecked.facts.value("power-limiter")
    if value in ("yes", "some"):
        yield Finding({}, (unchecked.facts.fact("power-limiter"),), "to-be-escaped" if value == "some" else "")


@check(
    "house-microphones-outside",
    Level.ASKS,
    "house microphones that are not in the in-ears",
)
def house_microphones_outside(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Normally they run into the band's splitter and come back on its tails. Where the house says no, the players who need them should know before the gig."""
    if unchecked.facts.value("house-microphones-through-our-splitter") != "no":
        return
    lost = [source for source in unchecked.sources() if source.owner.mic == "house" and source.goes in ("", "both")]
    if lost:
        players = listed(source.player or source.label for source in lost)
        yield Finding(
            {"labels": listed(source.label for source in lost), "players": players},
            (unchecked.facts.fact("house-microphones-through-our-splitter"),),
        )


@check(
    "line-check-only",
    Level.NOTES,
    "no sound check",
)
def line_check_only(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Without a sound check the first loud thing in an ear is a fault. Band: keep in-ears out until line check is done.
    Both sides: mute, and switch 48 V off, before plugging.
    """
    if unchecked.facts.value("sound-check") in ("line-check", "none"):
        yield Finding({"what": unchecked.facts.answered("sound-check")}, (unchecked.facts.fact("sound-check"),))


@check(
    "lock-not-kept",
    Level.BLOCKS,
    "something agreed that the plan cannot keep",
)
def lock_not_kept(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """What both sides accepted binds the plan until both release it. Where inputs, sockets or the rig have changed since, the plan says so instead of
    moving the line quietly. Release it, or change back what made it impossible.
    """
    labels = {source.key: source.label for source in unchecked.sources()}
    for lock in unchecked.locks:
        line = next((line for line in unchecked.lines if lock.source in line.sources), None)
        if _kept(lock, line):
            continue
        parameters: dict[str, Value] = {
            "agreed": agreed_in(lock),
            "label": labels.get(lock.source, Phrase("source-not-in-the-rig")),
        }
        if line is not None and lock.resource != "send":
            parameters["channel"] = line.desk_channel
        variant = "no-line" if line is None else "shared" if lock.resource == "send" else ""
        yield Finding(parameters, (lock_fact(lock, "both"),), variant)


def _kept(lock: Lock, line: Line | None) -> bool:
    if lock.resource == "desk-channel":
        return line is not None and str(line.desk_channel) == lock.value
    if lock.value == "leave-out":
        return line is None
    return line is not None and line.sources == (lock.source,)


@check(
    "no-talkback",
    Level.NOTES,
    "no talkback into the in-ears",
)
def no_talkback(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """With in-ears a shout across the room is not heard. A hand sign for "next", "again" and "too loud" gets a line check done in minutes. Example: one finger
    for again, a flat hand for down.
    """
    if unchecked.facts.value("talkback") == "no" and unchecked.lines:
        yield Finding({}, (unchecked.facts.fact("talkback"),))


@check(
    "talkback-output-unknown",
    Level.NOTES,
    "the output that talkback comes out of",
)
def talkback_output_unknown(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """The return is plugged into that output. A box that has none leaves a cable of the house's own from the desk to the rack."""
    facts = unchecked.facts
    if facts.value("talkback") == "yes" and facts.value("talkback-output") is None and unchecked.lines:
        yield Finding({}, (facts.fact("talkback"),))


@check(
    "wedges-wanted",
    Level.ASKS,
    "mixes on the house's wedges",
)
def wedges_wanted(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """A player without in-ears hears what the house mixes. That takes a wedge, a send and somebody who sets it, and a level that starts low."""
    players = [ears.player for ears in unchecked.facts.rig.ears if ears.carried_by == "wedge"]
    mixes = unchecked.facts.value("wedge-mixes")
    if not players or (isinstance(mixes, int) and mixes >= len(players)):
        return
    cited = (unchecked.facts.fact("wedge-mixes"), Fact("ears", these(players), "rig"))
    parameters: dict[str, Value] = {"players": listed(players), "wanted": len(players)}
    if isinstance(mixes, int):
        yield Finding({**parameters, "mixes": mixes or Phrase("none-of-them")}, cited)
    else:
        yield Finding(parameters, cited, "house-has-not-said")


@check(
    "radio-rules",
    Level.NOTES,
    "radio",
)
def radio_rules(unchecked: UncheckedPlan) -> Iterable[Finding]:
    """Frequencies that are clear by calculation are not yet measured; whoever shares the room shares the spectrum. The
    national regulator's rules hold.
    """
    radio = [ears for ears in unchecked.facts.rig.ears if ears.carried_by == "radio"]
    if radio:
        yield Finding({"count": len(radio)}, (Fact("ears", these(ears.player for ears in radio), "rig"),))
