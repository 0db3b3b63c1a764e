"""From numbered signals to the lines of the sheet, each with its reasons, and what became of every other source."""

from __future__ import annotations

from portal.plan.explain import reason
from portal.plan.input.facts import Facts
from portal.plan.input.kinds import Role, kind_of
from portal.plan.input.rig import Rig, Source
from portal.plan.model import BESIDE_THE_LOOM, Fact, Line, NotSent, Path, Reason
from portal.plan.options.routing_policy import STEPS, capture_of, goes_of, level_of, needs_phantom, role_of, stand_of
from portal.plan.options.units import Unit, output_for
from portal.plan.result.numbering import Numbered
from portal.plan.result.routing import Routing, Sent
from portal.plan.result.unchecked_plan import named
from portal.plan.solving.binding_limits import BindingLimits

OUT_LEVEL_DBU = 18.0
"""Assumed highest level of a mixer output where the rig says nothing (common practice, no source)."""

MIC_INPUT_DBU = 10.0
"""Assumed highest level of a house microphone input (common practice, no source)."""

MARGIN_DB = 3.0

CAPTURE_WORDS = {
    "mic": "mic",
    "di": "DI",
    "di-passive": "DI, passive",
    "di-active": "DI, active",
    "line": "line",
    "wireless": "wireless receiver",
}


STRIP_LETTERS = 12
"""What a scribble strip holds; the same as a rig's own strip names."""

SIDES = {"LEFT": "L", "RIGHT": "R"}

VOWELS = str.maketrans("", "", "AEIOU")


def lines_of(numbered: tuple[Numbered, ...], facts: Facts, binding: BindingLimits) -> tuple[Line, ...]:
    """Every line in desk order, complete but for what the checks say about it."""
    partners = {(one.sent.pair, one.sent.side): one.line for one in numbered if one.sent.pair}
    return tuple(_line(one, partners, facts, binding) for one in numbered)


def _line(one: Numbered, partners: dict[tuple[str, str], int], facts: Facts, binding: BindingLimits) -> Line:
    sent = one.sent
    first = sent.sources[0]
    alone = len(sent.sources) == 1
    other = {"L": "R", "R": "L"}.get(sent.side, "")
    from_mixer = sent.out is not None
    over_link = sent.kind == "digital-link"
    mixed = sent.kind in ("group", "left-right-mix")
    return Line(
        line=one.line,
        direction="send",
        sources=tuple(source.key for source in sent.sources),
        label=sent.label,
        strip=(first.strip if alone else "") or strip_name(sent.label),
        player=named(source.player for source in sent.sources if source.player),
        mic_or_di="mixer output" if from_mixer else CAPTURE_WORDS[capture_of(first)],
        owner="band" if from_mixer else first.owner.mic,
        stand="" if mixed else stand_of(first),
        stereo_partner=partners.get((sent.pair, other)) if sent.pair else None,
        path=_path(sent),
        mixer_input=first.mixer_input,
        loom=one.loom,
        box=one.box,
        box_socket=one.box_socket,
        desk_channel=one.desk_channel,
        level=(level := "line" if from_mixer else "digital" if over_link else level_of(first)),
        gain_owner=_gain_owner(sent),
        phantom=_phantom(sent),
        pad_db=_pad(sent, level, facts),
        lift="if it hums" if sent.output is not None and sent.output.lift and sent.output.kind == "isolated" else "",
        polarity="flip" if role_of(first) is Role.SNARE and first.position == "bottom" and alone else "normal",
        dry=sent.kind in ("split", "direct-out") or sent.kind in BESIDE_THE_LOOM,
        note="; ".join(
            dict.fromkeys(note for note in (_one_half(sent), *(source.note for source in sent.sources)) if note)
        ),
        because=_because(sent, facts, binding),
    )


def strip_name(label: str) -> str:
    """What the strip says where the band wrote nothing: its label in capitals. Where that is too long, the vowels
    inside the longest words go first; short words at the end (a number, a side) stay, or two lines would read alike.
    """
    words = label.partition(" (")[0].upper().split()
    if len(" ".join(words)) <= STRIP_LETTERS:
        return " ".join(words)
    words[-1] = SIDES.get(words[-1], words[-1])
    for index in sorted(range(len(words)), key=lambda one: len(words[one]), reverse=True):
        if len(" ".join(words)) > STRIP_LETTERS:
            words[index] = words[index][0] + words[index][1:].translate(VOWELS)
    kept = ""
    while len(words) > 1 and len(f" {words[-1]}{kept}") <= STRIP_LETTERS // 2:
        kept = f" {words.pop()}{kept}"
    return " ".join(words)[: STRIP_LETTERS - len(kept)].rstrip() + kept


def _path(sent: Sent) -> Path:
    if sent.splitter is not None:
        output = f"{sent.output.kind} output {sent.output.key}".strip() if sent.output else ""
        return Path(sent.kind, sent.splitter.key, sent.splitter.name or sent.splitter.key, sent.way, output)
    if sent.out is not None:
        name = {
            "direct-out": "direct out",
            "processed-direct-out": "direct out, processed",
            "left-right-mix": "left/right mix",
        }.get(sent.kind, "group")
        return Path(sent.kind, "mixer", "to mono" if sent.group == "to-mono" else name, None, sent.out.key)
    if sent.kind == "digital-link":
        return Path(sent.kind, "mixer", "digital link", None, "")
    if sent.kind == "house-split":
        return Path(sent.kind, "house", "the house's splitter", None, "")
    return Path(sent.kind, "", "straight to the box", None, "")


def _gain_owner(sent: Sent) -> str:
    if (
        sent.out is not None
        or sent.kind == "digital-link"
        or (sent.splitter is not None and sent.splitter.kind == "active")
    ):
        return "band"
    return "house" if sent.kind == "straight" else "each"


def _phantom(sent: Sent) -> str:
    """Who feeds 48 V to what stands on this line's tail. An output of the band's mixer must get none, whatever its
    sources need.
    """
    if sent.out is not None or sent.kind == "digital-link":
        return "none"
    needs = {needs_phantom(source) for source in sent.sources}
    if "yes" not in needs:
        return "unknown" if "unknown" in needs else "none"
    if sent.splitter is None:
        return "house"
    if sent.splitter.kind == "active":
        return "splitter"
    return "band" if sent.splitter.to_mixer == "direct" else "house"


def _pad(sent: Sent, level: str, facts: Facts) -> int:
    if level != "line" or facts.value("line-inputs") == "yes":
        return 0
    highest = sent.out.max_dbu if sent.out is not None else sent.sources[0].max_dbu
    wanted = (OUT_LEVEL_DBU if highest is None else highest) + MARGIN_DB - MIC_INPUT_DBU
    return 20 if wanted > 0 else 0


def _one_half(sent: Sent) -> str:
    """What to write on a line that carries one half of an electrical pair; a microphone of two stands for itself."""
    return (
        f"one leg alone: {sent.without.label} is not on this line"
        if sent.without and _alone_rule(sent) == "one-leg-alone"
        else ""
    )


def _alone_rule(sent: Sent) -> str:
    """The rule that says why a line carries one half of a pair alone."""
    first = sent.sources[0]
    if role_of(first) is Role.OVERHEAD:
        return "overheads-to-one"
    return "one-microphone" if capture_of(first) in ("mic", "wireless") else "one-leg-alone"


# --- reasons


def _because(sent: Sent, facts: Facts, binding: BindingLimits) -> tuple[Reason, ...]:
    """The way it travels, and what was given up for it where something was."""
    reasons = [_path_reason(sent, facts, binding)]
    gave_up = (
        sent.step
        and not sent.step.endswith(("direct-out", "digital-link"))
        and (sent.kind != "left-right-mix" or binding.words)
    )
    if gave_up and reasons[0].key != sent.step:
        reasons.append(_step_reason(sent, facts, binding))
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
        known = bool(sent.out.tap_before)
        tap = f"tapped before {named(sent.out.tap_before)}" if known else "where it is tapped is not stated"
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
        return _step_reason(sent, facts, binding)
    return _beside_reason(sent, facts, binding)


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
    house_mic = first.owner.mic == "house"
    ears = "the house's microphone may not run through it" if house_mic else "the band does not monitor it"
    cited = (
        (facts.fact("house-microphones-through-our-splitter"),) if house_mic else (Fact("goes", "house only", "rig"),)
    )
    return reason("straight-to-the-box", {"label": first.label, "ears": ears}, cited)


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


def _step_reason(sent: Sent, facts: Facts, binding: BindingLimits) -> Reason:
    members = named(source.label for source in sent.sources)
    cited = binding.facts or (facts.fact("pa"),)
    parameters = {"label": sent.label, "members": members, "binding": binding.words}
    if sent.without:
        return reason(_alone_rule(sent), parameters | {"other": sent.without.label}, cited)
    return reason(sent.step, parameters, cited)


# --- what is not sent


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


def kept_back_of(rig: Rig) -> tuple[NotSent, ...]:
    """Every source that is not in a mix for which no desk of the house takes part, in rig order."""
    found = []
    for source in rig.source:
        if source.fail_over and goes_of(source) in ("both", "house-only"):
            said = Fact("fail-over", "a spare that by-passes the rig", "rig")
            because = reason("spare-not-plugged", {"label": source.label}, (said,))
            found.append(NotSent(source.key, source.label, "not-plugged", "", (because,)))
        elif goes_of(source) in ("ears-only", "rehearsal-only"):
            found.append(_kept_in_ears(source))
    return tuple(found)


def _kept_in_ears(source: Source) -> NotSent:
    if goes_of(source) == "rehearsal-only":
        said = reason("rehearsal-only", {"label": source.label}, (Fact("goes", "rehearsal only", "rig"),))
        return NotSent(source.key, source.label, "not-plugged", "", (said,))
    by_kind = kind_of(source.what).role is Role.NEVER_OUT
    key = "never-to-front-of-house" if by_kind else "ears-only-by-the-band"
    cited = Fact("kind", kind_of(source.what).words, "rig") if by_kind else Fact("goes", "ears only", "rig")
    return NotSent(source.key, source.label, "ears-only", "", (reason(key, {"label": source.label}, (cited,)),))


def _given_up(source: Source, unit: Unit, facts: Facts, routing: Routing, binding: BindingLimits) -> NotSent:
    alone = next((sent for sent in routing.lines if sent.without and sent.without.key == source.key), None)
    if alone:
        return NotSent(
            source.key, source.label, "ears-only-tonight", alone.step, (_step_reason(alone, facts, binding),)
        )
    step = routing.modes.get(unit.key, "").removeprefix("out|")
    where = "not-plugged" if step == "fail-over-out" or unit.house_only else "ears-only-tonight"
    first = next((other for other in routing.units if other.key == unit.first), None)
    parameters = {
        "label": source.label,
        "members": source.label,
        "first": first.lead_leg.label if first else "the first",
        "binding": binding.words,
        "heard": _heard(routing),
    }
    cited = binding.facts or (facts.fact("pa"),)
    if unit.first:
        cited = (*cited, Fact("second-of", f"{source.label} is a second microphone on {parameters['first']}", "rig"))
    return NotSent(source.key, source.label, where, step if step in STEPS else "", (reason(step, parameters, cited),))


def _heard(routing: Routing) -> str:
    """Where a part of the kit is still heard at the house."""
    overheads = sum(
        role_of(source) is Role.OVERHEAD
        for line in routing.lines
        if line.kind != "left-right-mix"
        for source in line.sources
    )
    if overheads == 0:
        return "the room hears it from the stage"
    return "the overhead hears it" if overheads == 1 else "the overheads hear it"
