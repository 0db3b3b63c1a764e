"""New rows and rows of another kind: what follows from the kind, and where a new one is plugged."""

from collections.abc import Iterable
from dataclasses import replace

from portal.plan.input.kinds import kind_of
from portal.plan.input.rig import Rig, Source
from portal.plan.options.routing_policy import capture_of, usual_phantom
from portal.web.rig.rig_fields import changed


def blank_like(source: Source | None, key: str) -> Source:
    """A new row under a key, or a copy of another one: what it is plugged into and paired with is not copied."""
    if source is None:
        return Source(key=key)
    return replace(
        source,
        key=key,
        pair_with="",
        pair_kind="",
        inseparable=False,
        second_of="",
        one_microphone_with="",
        never_with=(),
        way=None,
        mixer_input=None,
    )


def _usual(source: Source) -> dict[str, object]:
    """What follows from a row's kind, and for 48 V from how it is picked up; a DI that may be active or passive says
    nothing of it.
    """
    kind = kind_of(source.what)
    phantom = "" if capture_of(replace(source, phantom="")) == "di" else usual_phantom(source)
    return {
        "capture": kind.capture,
        "level": kind.level,
        "phantom": phantom if phantom in ("yes", "no") else "",
        "stand": kind.stand,
        "loud_on_stage": kind.loud,
        "goes": kind.goes,
    }


def with_defaults(source: Source) -> Source:
    """A new row with what follows from its kind, where nothing else was said; its kind names it where it has no
    label.
    """
    unsaid = {name: value for name, value in _usual(source).items() if getattr(source, name) in ("", None)}
    named = source if source.label else replace(source, label=kind_of(source.what).words)
    return changed(named, unsaid)


def retaken(source: Source, before: Source) -> Source:
    """A row whose kind or pick-up changed: what it had from the old one follows the new one, what somebody chose stays.
    A DI that becomes active is fed, unless the same change says otherwise.
    """
    if source.what == before.what and source.capture == before.capture:
        return source
    old = _usual(before)
    followed = {name for name in old if getattr(source, name) == getattr(before, name) == old[name]}
    if source.what != before.what:
        source = changed(
            source, {name: value for name, value in _usual(source).items() if name in followed - {"phantom"}}
        )
    active = source.capture == "di-active" != before.capture and source.phantom == before.phantom
    return changed(source, {"phantom": _usual(source)["phantom"]}) if active or "phantom" in followed else source


def plugged(source: Source, others: Iterable[Source], rig: Rig) -> Source:
    """A new row with the next free mixer input, and, where it goes to the house, the next free way of the first
    splitter.
    """
    taken = [other for other in others if other.key != source.key]
    if source.mixer_input is None:
        used = {other.mixer_input for other in taken}
        most = rig.mixer.inputs if rig.mixer.inputs is not None else len(used) + 1
        source = replace(
            source, mixer_input=next((number for number in range(1, most + 1) if number not in used), None)
        )
    if source.way is not None or source.goes in ("ears-only", "rehearsal-only"):
        return source
    for splitter in rig.splitter:
        if source.splitter not in ("", splitter.key):
            continue
        ways = {other.way for other in taken if other.splitter == splitter.key}
        free = next((way for way in range(1, splitter.ways + 1) if way not in ways), None)
        if free is not None:
            return replace(source, splitter=splitter.key, way=free)
    return source


def beyond_the_mixer(rig: Rig) -> str:
    """How many rows are plugged nowhere because every input of the mixer is taken, in a sentence; else empty."""
    used = {source.mixer_input for source in rig.source} - {None}
    left = sum(source.mixer_input is None and source.way is None for source in rig.source)
    if not left or rig.mixer.inputs is None or len(used) < rig.mixer.inputs:
        return ""
    return f"{left} {'row has' if left == 1 else 'rows have'} no input of the mixer: it has {rig.mixer.inputs}."
