"""Which of microphone and DI of one instrument is the first, where only the order of words said it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from portal.plan.input.kinds import Role
from portal.plan.input.rig import Source
from portal.plan.options.routing_policy import capture_of, is_loud, role_of

UPRIGHT_BASS = "pluck.bass.acoustic"


def first_by_the_stage(sources: Sequence[Source], new: Collection[str]) -> list[Source]:
    """The rows, of which those with a key in ``new`` were read just now: the DI is first beside a kit or amplifiers,
    the microphone on a quiet stage, but for an upright bass. A guitar's amplifier stays as written. What other rows of
    the sound name as their first follows.
    """
    by_key = {source.key: source for source in sources}
    other: dict[str, str] = {}
    for second in sources:
        first = by_key.get(second.second_of)
        if first is None or not {first.key, second.key} <= set(new) or is_loud(first) or is_loud(second):
            continue
        kinds = [_picked_up(first), _picked_up(second)]
        wanted = "di" if second.what == UPRIGHT_BASS or any(map(_is_kit_or_amplifier, sources)) else "mic"
        if sorted(kinds) == ["di", "mic"] and kinds[0] != wanted:
            other |= {first.key: second.key, second.key: ""}
    return [_named(source, other) for source in sources]


def _named(source: Source, other: dict[str, str]) -> Source:
    if source.key in other:
        return replace(source, second_of=other[source.key])
    return replace(source, second_of=other.get(source.second_of) or source.second_of)


def _picked_up(source: Source) -> str:
    capture = capture_of(source)
    return "di" if capture.startswith("di") else capture


def _is_kit_or_amplifier(source: Source) -> bool:
    """Whether it is a microphone on a kit, or before a guitar's or an electric bass's amplifier."""
    if source.what == "pluck.bass.electric":
        return _picked_up(source) == "mic"
    return is_loud(source) and role_of(source) is not Role.SECTION
