"""Why a line is as it is: the way it travels, and what was given up for it."""

from __future__ import annotations

from portal.plan.explain import reason
from portal.plan.input.facts import Facts
from portal.plan.input.kinds import Role
from portal.plan.input.rig import Out, Source
from portal.plan.model import Fact, Reason
from portal.plan.options.routing_policy import role_of
from portal.plan.options.units import output_for
from portal.plan.result.routing import Sent, phantom_of
from portal.plan.result.unchecked_plan import named
from portal.plan.solving.binding_limits import BindingLimits

OF_ROLE = {
    Role.KEYBOARD: "the keyboard",
    Role.ELECTRONIC_KIT: "the drum module",
    Role.PLAYBACK: "the machine",
    Role.GUITAR: "the guitar processor",
    Role.BASS: "the bass processor",
}
OF_KIND = {"x-looper": "the looper", "x-bass-synth": "the keyboard", "keyboard.piano.electric": "the electric piano"}
"""What a player turns or plugs, by the part that a source plays, and by its kind where that is more than its part."""


def how_mono(sent: Sent) -> str:
    """What the player does so that both halves are on one line."""
    first = sent.sources[0]
    player = first.player or "the player"
    where = OF_KIND.get(first.what) or OF_ROLE.get(role_of(first), "")
    if sent.made_mono == "jack":
        return f"{player} plugs only the left/mono jack" + (f" of {where}" if where else "")
    return f"{player} sets {where or 'the machine'} to mono"


def because_of(sent: Sent, facts: Facts, binding: BindingLimits) -> tuple[Reason, ...]:
    """The way it travels, and what was given up for it where something was."""
    reasons = [_path_reason(sent, facts, binding)]
    gave_up = (
        sent.step
        and not sent.step.endswith(("direct-out", "digital-link", "out-of-the-ears"))
        and (sent.kind != "left-right-mix" or binding.words)
    )
    if gave_up and reasons[0].key != sent.step:
        reasons.append(step_reason(sent, facts, binding))
    return tuple(reasons)


def _path_reason(sent: Sent, facts: Facts, binding: BindingLimits) -> Reason:
    first = sent.sources[0]
    if sent.splitter is not None and sent.output is not None:
        splitter = sent.splitter
        output = "isolated output" if sent.output.kind == "isolated" else "direct output"
        label = sent.label
        stated = Fact(
            "splitter", f"{splitter.name or splitter.key}: {splitter.ways} ways, {output}s to the house", "rig"
        )
        parameters = {"label": label, "splitter": splitter.name or splitter.key, "way": str(sent.way), "output": output}
        return reason("own-line-through-the-splitter", parameters, (stated, facts.fact("who-mixes")))
    if sent.kind in ("direct-out", "processed-direct-out") and sent.out is not None:
        known = sent.out.tap_known
        tap = tap_words(sent.out)
        parameters = {
            "label": first.label,
            "out": sent.out.key,
            "cause": _no_split(first, facts),
            "kind": "with the band's processing on it" if known else "counted as processed",
            "tap": "the band's mute, EQ and fader cut or change what the house hears" if known else tap,
        }
        return reason(
            sent.kind, parameters, (Fact("output", f"{sent.out.key} is free, {tap}", "rig"), _splitters(facts))
        )
    if sent.kind == "left-right-mix" and sent.out is not None:
        cited = binding.facts or (facts.fact(_who_decided(facts)),)
        cause = _mix_cause(facts, binding)
        parameters = {
            "label": sent.label,
            "members": named(source.label for source in sent.sources),
            "out": sent.out.key,
            "cause": cause,
        }
        return reason("in-the-bands-mix", parameters, cited)
    if sent.out is not None:
        return step_reason(sent, facts, binding)
    return _beside_reason(sent, facts, binding)


TAPS = {
    "after-preamp": "tapped after the preamp, before all else",
    "pre-eq": "tapped before the EQ; high-pass or gate may lie before it",
    "post-eq": "tapped after the EQ, before the fader",
    "post-fader": "tapped after the fader",
}


def tap_words(out: Out) -> str:
    """Where an output is tapped, in words."""
    return TAPS.get(out.tap) or (
        f"tapped before {named(out.tap_before)}" if out.tap_before else "where it is tapped is not stated"
    )


def _no_split(source: Source, facts: Facts) -> str:
    """Why a source has no line through a splitter."""
    if not facts.rig.splitter:
        return "the band carries no splitter"
    fit = any(output_for(source, splitter, facts) for splitter in facts.rig.splitter)
    return "no splitter way is left" if fit else "no splitter output is fit for it"


def _beside_reason(sent: Sent, facts: Facts, binding: BindingLimits) -> Reason:
    """Why a line runs beside the loom: over a digital link, into the house's splitter, or straight to the box."""
    first = sent.sources[0]
    if sent.kind == "digital-link":
        stated = Fact(
            "links", named(f"{link.standard}, {link.channels} channels" for link in facts.rig.mixer.links), "rig"
        )
        cause = binding.words.rstrip(".").partition("; ")[2] or "nothing cheaper is left"
        standard = named(link.standard for link in facts.rig.mixer.links) or "digital"
        return reason(
            "digital-link",
            {"label": first.label, "standard": standard, "cause": cause},
            (stated, facts.fact("digital-link")),
        )
    if sent.kind == "house-split":
        return reason("house-split", {"label": sent.label}, (facts.fact("house-split"),))
    if sent.step == "out-of-the-ears":
        because = (_splitters(facts), *binding.facts)
        feeds = ". The house feeds its 48 V" if phantom_of(sent) == "house" else ""
        said = {"label": sent.label, "heard": _still_heard(first, facts), "feeds": feeds}
        return reason("out-of-the-ears", said, because)
    house_mic = first.owner.mic == "house"
    ears = "the house's microphone may not run through it" if house_mic else "the band does not monitor it"
    cited = (
        (facts.fact("house-microphones-through-our-splitter"),) if house_mic else (Fact("goes", "house only", "rig"),)
    )
    return reason("straight-to-the-box", {"label": first.label, "ears": ears}, cited)


def _still_heard(source: Source, facts: Facts) -> str:
    first = next((one.label for one in facts.rig.source if one.key == source.second_of), "")
    return f"{first} stays there" if first else "the overheads stay there"


def _who_decided(facts: Facts) -> str:
    """The question whose answer made it the band's own mix for everything."""
    return (
        "who-mixes" if facts.value("who-mixes") in ("band-from-stage", "bands-engineer-our-mixer") else "what-they-want"
    )


def _mix_cause(facts: Facts, binding: BindingLimits) -> str:
    if binding.words:
        return binding.words.rstrip(".").partition("; ")[2] or "nothing else is left"
    if facts.value("who-mixes") == "band-from-stage":
        return "nobody from the house mixes"
    return {"left-right-mix": "the engineer wants a left/right mix"}.get(
        str(facts.value("what-they-want")), "the mixing is done on the band's mixer"
    )


def _splitters(facts: Facts) -> Fact:
    return Fact(
        "splitters",
        named(f"{one.name or one.key}, {one.ways} ways" for one in facts.rig.splitter) or "no splitter",
        "rig",
    )


def step_reason(sent: Sent, facts: Facts, binding: BindingLimits) -> Reason:
    members = named(source.label for source in sent.sources)
    cited = binding.facts or (facts.fact("pa"),)
    parameters = {"label": sent.label, "members": members, "binding": binding.words}
    if sent.without:
        overhead = role_of(sent.sources[0]) is Role.OVERHEAD
        light = sent.step == "light-kit-overheads"
        rule = sent.step if light else "overheads-to-one" if overhead else "one-microphone"
        return reason(rule, parameters | {"other": sent.without.label}, cited)
    if sent.made_mono in ("jack", "switch"):
        return reason("mono-at-the-source", parameters | {"how": how_mono(sent)}, cited)
    return reason(sent.step, parameters, cited)
