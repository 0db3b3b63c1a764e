"""What became of every source that no line carries, what has no plug of its own, and what is plugged elsewhere."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from portal.plan.explain import reason
from portal.plan.input.facts import Facts, Lock, lock_fact
from portal.plan.input.kinds import Role, kind_of
from portal.plan.input.rig import Rig, Source
from portal.plan.model import Fact, Move, NotSent, Reason
from portal.plan.options.routing_policy import STEPS, TO_THE_HOUSE, goes_of, needs_phantom, role_of
from portal.plan.options.shared_lines import submix_legs
from portal.plan.options.units import Unit
from portal.plan.phrase import Choice, Phrase, Value
from portal.plan.result.line_reasons import step_reason
from portal.plan.result.routing import Exchange, Routing, Sent
from portal.plan.solving.binding_limits import BindingLimits


def not_sent_of(facts: Facts, routing: Routing, binding: BindingLimits) -> tuple[NotSent, ...]:
    """Every source that no line carries, in rig order, with the reason."""
    carried = {source.key for line in routing.lines for source in line.sources}
    by_leg = {leg.key: unit for unit in routing.units for leg in unit.legs}
    found = []
    for source in facts.rig.source:
        if source.key in carried:
            continue
        unit = by_leg.get(source.key)
        found.append(_kept_in_ears(source) if unit is None else _given_up(source, unit, facts, routing, binding))
    return tuple(found)


def left_out_of(routing: Routing, locks: Sequence[Lock]) -> Mapping[str, Lock]:
    """The units that are left out because somebody said so, not because nothing can carry them, by key."""
    said = {lock.source: lock for lock in locks if (lock.resource, lock.value) == ("send", "leave-out")}
    return {
        unit.key: said[leg.key]
        for unit in routing.units
        if routing.modes.get(unit.key, "").startswith("out|")
        for leg in unit.legs
        if leg.key in said
    }


def _by_the_band_alone(lock: Lock) -> bool:
    return lock.proposed_by == lock.accepted_by == "band"


def _who_left_it_out(lock: Lock) -> Phrase:
    """Whose word it is: the band's alone where it accepted its own."""
    return Phrase("left-out-by-the-band" if _by_the_band_alone(lock) else "left-out-by-both")


def _left_out(label: str, stays: Phrase, lock: Lock) -> Reason:
    said = lock_fact(lock, "band" if _by_the_band_alone(lock) else "both")
    return reason("left-out-by-word", {"label": label, "stays": stays, "who": _who_left_it_out(lock)}, (said,))


def kept_back_of(rig: Rig) -> tuple[NotSent, ...]:
    """Every source that is not in a mix for which no desk of the house takes part, in rig order."""
    found = []
    for source in rig.source:
        if source.fail_over and goes_of(source) in TO_THE_HOUSE:
            said = Fact("fail-over", Phrase("spare-by-passes-the-rig"), "rig")
            because = reason("spare-not-plugged", {"label": source.label}, (said,))
            found.append(NotSent(source.key, source.label, "not-plugged", "", (because,)))
        elif goes_of(source) in ("ears-only", "rehearsal-only"):
            found.append(_kept_in_ears(source))
    return tuple(found)


def _kept_in_ears(source: Source) -> NotSent:
    if goes_of(source) == "rehearsal-only":
        said = reason("rehearsal-only", {"label": source.label}, (Fact("goes", Phrase("rehearsal-only.goes"), "rig"),))
        return NotSent(source.key, source.label, "not-plugged", "", (said,))
    kind = kind_of(source.what)
    if kind.role is Role.NEVER_OUT:
        key = "never-to-front-of-house"
        cited = Fact("kind", Phrase("of-kind", {"named": Choice("kind", kind.what)}), "rig")
    else:
        key, cited = "ears-only-by-the-band", Fact("goes", Phrase("in-ears-only.goes"), "rig")
    return NotSent(source.key, source.label, "ears-only", "", (reason(key, {"label": source.label}, (cited,)),))


def _given_up(source: Source, unit: Unit, facts: Facts, routing: Routing, binding: BindingLimits) -> NotSent:
    alone = next((sent for sent in routing.lines if sent.without and sent.without.key == source.key), None)
    if alone:
        return NotSent(source.key, source.label, "ears-only-tonight", alone.step, (step_reason(alone, facts, binding),))
    step = routing.modes.get(unit.key, "").removeprefix("out|")
    silent = step == "fail-over-out" or unit.house_only or unit.stays_in_its_case(step)
    where = "not-plugged" if silent else "ears-only-tonight"
    first = next((other for other in routing.units if other.key == unit.first), None)
    stays = Phrase("is-not-plugged-tonight" if silent else "stays-in-the-in-ears")
    parameters: dict[str, Value] = {
        "label": source.label,
        "members": source.label,
        "first": first.lead_leg.label if first else Phrase("the-first"),
        "heard": _heard(routing),
        "stays": stays,
    }
    if unit.key in routing.left_out:
        said = _left_out(source.label, stays, routing.left_out[unit.key])
        return NotSent(source.key, source.label, where, step if step in STEPS else "", (said,))
    cited = binding.facts or (facts.fact("pa"),)
    if unit.first:
        second = {name: parameters[name] for name in ("label", "first")}
        cited = (*cited, Fact("second-of", Phrase("is-a-second-microphone", second), "rig"))
    said = reason(step, parameters, cited, then=binding.said)
    return NotSent(source.key, source.label, where, step if step in STEPS else "", (said,))


def not_plugged(routing: Routing) -> dict[str, Phrase]:
    """The sources that have no plug of their own tonight, by key, and why, in a few words."""
    found: dict[str, Phrase] = {}
    for unit in routing.units:
        step = routing.modes.get(unit.key, "")
        if unit.key in routing.left_out and (unit.stays_in_its_case(step.removeprefix("out|")) or unit.house_only):
            found |= {leg.key: _who_left_it_out(routing.left_out[unit.key]) for leg in unit.legs}
        elif unit.stays_in_its_case(step.removeprefix("out|")):
            found |= {leg.key: Phrase("its-first-carries-the-sound") for leg in unit.legs}
        elif step.startswith("out|") and (unit.fail_over or unit.house_only):
            found |= {leg.key: Phrase("no-input-is-left-for-it") for leg in unit.legs}
    for sent in routing.lines:
        found |= _at_another_plug(sent, routing)
    return found


def _at_another_plug(sent: Sent, routing: Routing) -> dict[str, Phrase]:
    """The sources of a line that come by the plug of another one of it, and how."""
    if sent.step == "own-submix":
        legs = submix_legs([unit for unit in routing.units if unit.lead_leg.submix == sent.sources[0].submix])
        carriers = {leg.key for leg in legs[: 2 if sent.pair else 1]}
        return {leg.key: _in_the_submixer(leg) for leg in legs if leg.key not in carriers}
    if sent.step == "share-a-line":
        return dict.fromkeys(
            (source.key for source in sent.sources[1:]),
            Phrase("shares-the-plug-of", {"first": sent.sources[0].label}),
        )
    if sent.guest:
        return {sent.guest.key: Phrase("sings-at-another-microphone", {"label": sent.sources[0].label})}
    if sent.made_mono == "jack":
        return {sent.sources[1].key: Phrase("its-jack-stays-empty")}
    if sent.made_mono == "switch" and sent.kind in ("house-split", "straight"):
        return {sent.sources[1].key: Phrase("the-sum-is-on-its-other-half")}
    return {}


def _in_the_submixer(source: Source) -> Phrase:
    return Phrase("goes-into-the-submixer.and-fed" if needs_phantom(source) == "yes" else "goes-into-the-submixer")


def _heard(routing: Routing) -> Phrase:
    """Where a part of the kit is still heard at the house."""
    overheads = sum(
        role_of(source) is Role.OVERHEAD
        for line in routing.lines
        if line.kind != "left-right-mix"
        for source in line.sources
    )
    if overheads == 0:
        return Phrase("the-room-hears-it")
    return Phrase("overheads-hear-it", {"overheads": overheads})


def moves_of(routing: Routing) -> tuple[Move, ...]:
    """The sources that are plugged elsewhere than the rig says; gain and 48 V stay with the mixer's input."""
    return tuple(
        Move(one.source.key, one.source.label, one.rig_input, one.tonight, _where_its_plug_goes(one, routing))
        for one in routing.exchanges
    )


def _where_its_plug_goes(one: Exchange, routing: Routing) -> Phrase:
    if one.splitter is not None:
        return Phrase("plug-into-a-way", {"splitter": one.splitter.name or one.splitter.key, "way": one.way or 0})
    straight: dict[str, Value] = {"input": one.tonight}
    left = next(
        (other for other in routing.exchanges if other.splitter is not None and other.tonight == one.rig_input), None
    )
    if left is None or left.splitter is None:
        return Phrase("plug-straight-in", straight)
    there: dict[str, Value] = {"splitter": left.splitter.name or left.splitter.key, "way": left.way or 0}
    return Phrase("plug-straight-in.out-of-a-way", {**straight, **there})
