"""Why a line is as it is: the way it travels, and what was given up for it."""

from __future__ import annotations

from portal.plan.explain import reason
from portal.plan.input.facts import Facts
from portal.plan.input.kinds import Role
from portal.plan.input.rig import MixerLink, Out, Source
from portal.plan.model import Fact, Reason
from portal.plan.options.routing_policy import role_of
from portal.plan.options.units import is_cut_off, output_for
from portal.plan.phrase import Choice, Phrase, Value, listed, these
from portal.plan.result.routing import Sent, phantom_of
from portal.plan.solving.binding_limits import BindingLimits

TURNED_BY_ROLE = frozenset({Role.KEYBOARD, Role.ELECTRONIC_KIT, Role.PLAYBACK, Role.GUITAR, Role.BASS})
TURNED_BY_KIND = frozenset({"x-looper", "x-bass-synth", "keyboard.piano.electric"})
"""What a player turns or plugs, by the part that a source plays, and by its kind where that is more than its part."""


def made_mono(sent: Sent) -> Phrase:
    """What the player does so that both halves are on one line."""
    first = sent.sources[0]
    player = first.player or Phrase("the-player")
    turned = (
        first.what if first.what in TURNED_BY_KIND else role_of(first).value if role_of(first) in TURNED_BY_ROLE else ""
    )
    if sent.made_mono == "jack":
        jack = Phrase("plugs-the-mono-jack", {"player": player})
        return Phrase("plugs-its-mono-jack", {**jack.parameters, "of": Choice("turned", turned)}) if turned else jack
    return Phrase("sets-to-mono", {"player": player, "what": Choice("turned", turned or Role.PLAYBACK.value)})


def because_of(sent: Sent, facts: Facts, binding: BindingLimits) -> tuple[Reason, ...]:
    """The way it travels, and what was given up for it where something was."""
    reasons = [_path_reason(sent, facts, binding)]
    gave_up = (
        sent.step
        and not sent.step.endswith(("direct-out", "digital-link", "out-of-the-ears"))
        and (sent.kind != "left-right-mix" or binding.said)
    )
    if gave_up and reasons[0].key != sent.step:
        reasons.append(step_reason(sent, facts, binding))
    return tuple(reasons)


def _path_reason(sent: Sent, facts: Facts, binding: BindingLimits) -> Reason:
    first = sent.sources[0]
    if sent.splitter is not None and sent.output is not None:
        splitter = sent.splitter
        leg = "isolated" if sent.output.kind == "isolated" else "direct"
        name = splitter.name or splitter.key
        kind: dict[str, Value] = {"splitter": name, "ways": splitter.ways, "leg": Choice("splitter-leg", leg)}
        stated = Fact("splitter", Phrase("splitter-with-outputs", kind), "rig")
        parameters: dict[str, Value] = {
            "label": sent.label,
            "splitter": name,
            "way": sent.way or 0,
            "output": Choice("splitter-output", leg),
        }
        return reason("own-line-through-the-splitter", parameters, (stated, facts.fact("who-mixes")))
    if sent.kind in ("direct-out", "processed-direct-out") and sent.out is not None:
        known = sent.out.tap_known
        tap = tap_of(sent.out)
        parameters = {
            "label": first.label,
            "out": sent.out.key,
            "cause": _no_split(first, facts),
            "kind": Phrase("with-processing" if known else "counted-as-processed"),
            "tap": Phrase("processing-changes-it") if known else tap,
        }
        free = Fact("output", Phrase("output-is-free", {"out": sent.out.key, "tap": tap}), "rig")
        return reason(sent.kind, parameters, (free, splitters_of(facts)))
    if sent.kind == "left-right-mix" and sent.out is not None:
        cited = binding.facts or (facts.fact(_who_decided(facts)),)
        cause = _mix_cause(facts, binding)
        parameters = {
            "label": sent.label,
            "members": listed(source.label for source in sent.sources),
            "out": sent.out.key,
            "cause": cause,
        }
        return reason("in-the-bands-mix", parameters, cited)
    if sent.out is not None:
        return step_reason(sent, facts, binding)
    return _beside_reason(sent, facts, binding)


def tap_of(out: Out) -> Phrase:
    """Where an output is tapped."""
    if out.tap in TAPS:
        return Phrase(f"tapped-{out.tap}")
    if out.tap_before:
        return Phrase("tapped-before", {"parts": listed(Choice("processing", one) for one in out.tap_before)})
    return Phrase("tap-not-stated")


TAPS = frozenset({"after-preamp", "pre-eq", "post-eq", "post-fader"})
"""The taps that a rig names."""


def _no_split(source: Source, facts: Facts) -> Phrase:
    """Why a source has no line through a splitter."""
    if not facts.rig.splitter:
        return Phrase("band-carries-no-splitter")
    splitters = (one for one in facts.rig.splitter if not is_cut_off(source, one, facts))
    fit = any(output_for(source, splitter, facts) for splitter in splitters)
    return Phrase("no-splitter-way-is-left" if fit else "no-splitter-output-is-fit")


def _beside_reason(sent: Sent, facts: Facts, binding: BindingLimits) -> Reason:
    """Why a line runs beside the loom: over a digital link, into the house's splitter, or straight to the box."""
    first = sent.sources[0]
    if sent.kind == "digital-link":
        links = facts.rig.mixer.links
        stated = Fact("links", these(map(_link_said, links)), "rig")
        cause = binding.limits or Phrase("nothing-cheaper-is-left")
        standard: Value = listed(Choice("link", link.standard) for link in links) if links else Phrase("digital")
        return reason(
            "digital-link",
            {"label": first.label, "standard": standard, "cause": cause},
            (stated, facts.fact("digital-link")),
        )
    if sent.kind == "house-split":
        return reason("house-split", {"label": sent.label}, (facts.fact("house-split"),))
    if sent.step == "out-of-the-ears":
        because = (splitters_of(facts), *binding.facts)
        said: dict[str, Value] = {"label": sent.label, "heard": _still_heard(first, facts)}
        fed = Phrase("house-feeds-its-48-v") if phantom_of(sent) == "house" else None
        return reason("out-of-the-ears", said, because, then=fed)
    house_mic = first.owner.mic == "house"
    ears = Phrase("microphone-of-the-house-stays-outside" if house_mic else "band-does-not-monitor-it")
    only = Fact("goes", Phrase("house-only.goes"), "rig")
    cited = facts.fact("house-microphones-through-our-splitter") if house_mic else only
    return reason("straight-to-the-box", {"label": first.label, "ears": ears}, (cited,))


def _still_heard(source: Source, facts: Facts) -> Phrase:
    first = next((one.label for one in facts.rig.source if one.key == source.second_of), "")
    return Phrase("first-stays-there", {"first": first}) if first else Phrase("overheads-stay-there")


def _who_decided(facts: Facts) -> str:
    """The question whose answer made it the band's own mix for everything."""
    return (
        "who-mixes" if facts.value("who-mixes") in ("band-from-stage", "bands-engineer-our-mixer") else "what-they-want"
    )


def _mix_cause(facts: Facts, binding: BindingLimits) -> Value:
    if binding.limits:
        return binding.limits
    if facts.value("who-mixes") == "band-from-stage":
        return Phrase("nobody-from-the-house-mixes")
    wanted = facts.value("what-they-want") == "left-right-mix"
    return Phrase("engineer-wants-a-left-right-mix" if wanted else "mixed-on-the-bands-mixer")


def _link_said(link: MixerLink) -> Phrase:
    return Phrase("link-of-channels", {"link": Choice("link", link.standard), "channels": link.channels})


def splitters_of(facts: Facts) -> Fact:
    """What the band has to split with, as a citable fact."""
    found = facts.rig.splitter
    ways = (Phrase("splitter-of-ways", {"splitter": one.name or one.key, "ways": one.ways}) for one in found)
    return Fact("splitters", these(ways) if found else Phrase("no-splitter"), "rig")


def step_reason(sent: Sent, facts: Facts, binding: BindingLimits) -> Reason:
    """What was given up for a line, and what binds."""
    cited = binding.facts or (facts.fact("pa"),)
    parameters: dict[str, Value] = {"label": sent.label, "members": listed(source.label for source in sent.sources)}
    rule = sent.step
    if sent.guest:
        parameters |= {"label": sent.sources[0].label, "guest": sent.guest.label}
    if sent.without:
        overhead = role_of(sent.sources[0]) is Role.OVERHEAD
        light = sent.step == "light-kit-overheads"
        rule = sent.step if light else "overheads-to-one" if overhead else "one-microphone"
        parameters["other"] = sent.without.label
    elif sent.made_mono in ("jack", "switch"):
        rule = "mono-at-the-source"
        parameters["how"] = made_mono(sent)
    return reason(rule, parameters, cited, then=binding.said)
