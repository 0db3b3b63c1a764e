"""From numbered signals to the lines of the sheet, each with its reasons, and what became of every other source."""

from __future__ import annotations

from portal.plan.explain import reason
from portal.plan.input.facts import Facts
from portal.plan.input.kinds import Role, kind_of
from portal.plan.input.rig import Out, Rig, Source
from portal.plan.model import BESIDE_THE_LOOM, Fact, Line, Move, NotSent, Path, Reason
from portal.plan.options.routing_policy import STEPS, capture_of, goes_of, level_of, role_of, stand_of
from portal.plan.options.shared_lines import submix_legs
from portal.plan.options.units import Unit, output_for
from portal.plan.result.numbering import Numbered
from portal.plan.result.routing import Routing, Sent, desk_phantom_of, phantom_of
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


def lines_of(
    numbered: tuple[Numbered, ...], facts: Facts, routing: Routing, binding: BindingLimits
) -> tuple[Line, ...]:
    """Every line in desk order, complete but for what the checks say about it."""
    partners = {(one.sent.pair, one.sent.side): one.line for one in numbered if one.sent.pair}
    return tuple(_line(one, partners, facts, routing, binding) for one in numbered)


def _line(
    one: Numbered, partners: dict[tuple[str, str], int], facts: Facts, routing: Routing, binding: BindingLimits
) -> Line:
    sent = one.sent
    first, plug = sent.sources[0], sent.plug
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
        mic_or_di="mixer output" if from_mixer else CAPTURE_WORDS[capture_of(plug)],
        owner="band" if from_mixer else plug.owner.mic,
        stand="" if mixed else stand_of(plug),
        stereo_partner=partners.get((sent.pair, other)) if sent.pair else None,
        path=_path(sent),
        mixer_input=routing.mixer_input(plug),
        loom=one.loom,
        box=one.box,
        box_socket=one.box_socket,
        desk_channel=one.desk_channel,
        level=(level := "line" if from_mixer else "digital" if over_link else level_of(first)),
        gain_owner=_gain_owner(sent),
        phantom=phantom_of(sent),
        desk_phantom=desk_phantom_of(sent),
        pad_db=pad_db(sent, level, facts),
        lift="if it hums" if sent.output is not None and sent.output.lift and sent.output.kind == "isolated" else "",
        polarity="flip" if role_of(first) is Role.SNARE and first.position == "bottom" and alone else "normal",
        dry=sent.kind in ("split", "direct-out") or sent.kind in BESIDE_THE_LOOM,
        note="; ".join(
            dict.fromkeys(note for note in (*told_on(sent, routing), *(source.note for source in sent.sources)) if note)
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


def pad_db(sent: Sent, level: str, facts: Facts) -> int:
    """The pad before the house's input, in dB; 0 for none."""
    if level != "line" or facts.value("line-inputs") == "yes":
        return 0
    highest = sent.out.max_dbu if sent.out is not None else sent.sources[0].max_dbu
    wanted = (OUT_LEVEL_DBU if highest is None else highest) + MARGIN_DB - MIC_INPUT_DBU
    return 20 if wanted > 0 else 0


def told_on(sent: Sent, routing: Routing) -> tuple[str, ...]:
    """What a line's row has to tell whoever plugs or plays it."""
    first = sent.sources[0]
    said = [how_mono(sent)] if sent.made_mono in ("jack", "switch") else []
    if sent.made_mono == "switch" and sent.kind in ("house-split", "straight"):
        said.append(f"{sent.sources[1].label}: its mixer input stays free")
    if sent.without:
        said.append(f"one microphone, no sum; {sent.without.label} is not on this line")
    if sent.step == "share-a-line":
        what = "one DI" if capture_of(first).startswith("di") else "one plug"
        said.append(f"A/B switch: {named(source.label for source in sent.sources)} take turns on {what}")
    if sent.step == "own-submix":
        said.append(f"from the own submixer of {named(s.player for s in sent.sources if s.player) or 'the player'}")
    if sent.step == "out-of-the-ears":
        said.append("not in the ears")
    moved = next((one for one in routing.exchanges if one.source.key == first.key), None)
    if moved:
        said.append(f"plugged into socket {moved.tonight} tonight, not {moved.rig_input}")
    return tuple(said)


def how_mono(sent: Sent) -> str:
    """What the player does so that both halves are on one line."""
    first = sent.sources[0]
    player = first.player or "the player"
    if sent.made_mono == "jack":
        return f"{player} plugs only the left/mono jack"
    return f"{player} sets the machine to mono"


# --- reasons


def _because(sent: Sent, facts: Facts, binding: BindingLimits) -> tuple[Reason, ...]:
    """The way it travels, and what was given up for it where something was."""
    reasons = [_path_reason(sent, facts, binding)]
    gave_up = (
        sent.step
        and not sent.step.endswith(("direct-out", "digital-link", "out-of-the-ears"))
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
        return _step_reason(sent, facts, binding)
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


def _step_reason(sent: Sent, facts: Facts, binding: BindingLimits) -> Reason:
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
    silent = step == "fail-over-out" or unit.house_only or stays_in_its_case(unit, step)
    where = "not-plugged" if silent else "ears-only-tonight"
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


def stays_in_its_case(unit: Unit, step: str) -> bool:
    """Whether a second microphone that is not sent is not plugged either: it adds nothing to the ears, unless the band
    wants it there.
    """
    return step == "second-microphone" and not unit.in_ears_anyway


def not_plugged(routing: Routing) -> dict[str, str]:
    """The sources that have no plug of their own tonight, by key, and why, in a few words."""
    found: dict[str, str] = {}
    for unit in routing.units:
        step = routing.modes.get(unit.key, "")
        if stays_in_its_case(unit, step.removeprefix("out|")):
            found |= {leg.key: "its first microphone carries the sound" for leg in unit.legs}
        elif step.startswith("out|") and (unit.fail_over or unit.house_only):
            found |= {leg.key: "no input of the house is left for it" for leg in unit.legs}
    for sent in routing.lines:
        carriers = {other.sources[0].key for other in routing.lines if other.pair and other.pair == sent.pair}
        if sent.step == "own-submix":
            legs = submix_legs([unit for unit in routing.units if unit.lead_leg.submix == sent.sources[0].submix])
            carriers = {leg.key for leg in legs[: 2 if sent.pair else 1]}
            found |= {leg.key: "it goes into the player's own submixer" for leg in legs if leg.key not in carriers}
        elif sent.step == "share-a-line":
            first = sent.sources[0].label
            found |= {source.key: f"it shares the plug of {first}, by an A/B switch" for source in sent.sources[1:]}
        elif sent.made_mono == "jack":
            found[sent.sources[1].key] = "its jack stays empty"
        elif sent.made_mono == "switch" and sent.kind in ("house-split", "straight"):
            found[sent.sources[1].key] = "the machine gives the sum on its other half"
    return found


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


def moves_of(routing: Routing) -> tuple[Move, ...]:
    """The sources that are plugged elsewhere than the rig says; gain and 48 V stay with the socket."""
    return tuple(
        Move(
            one.source.key,
            one.source.label,
            one.rig_input,
            one.tonight,
            f"takes way {one.way} of {one.splitter.name or one.splitter.key}" if one.splitter else "leaves its way",
        )
        for one in routing.exchanges
    )
