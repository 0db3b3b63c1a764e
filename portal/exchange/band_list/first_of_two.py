"""Which of microphone and DI of one instrument is the first, where only the order of words said it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from typing import Literal

from portal.plan.input.kinds import Role
from portal.plan.input.rig import Source
from portal.plan.options.routing_policy import capture_of, is_loud, role_of

Why = Literal["upright", "loud", "quiet"]

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
        if first is None or not {first.key, second.key} <= set(new):
            continue
        said = by_the_stage(first, second, sources)
        if said is not None and picked_up(first) != said[0]:
            other |= {first.key: second.key, second.key: ""}
    return [_named(source, other) for source in sources]


def by_the_stage(first: Source, second: Source, sources: Iterable[Source]) -> tuple[str, Why] | None:
    """Which of two pick-ups of one instrument is the first, ``di`` or ``mic``, and why; ``None`` where that stays as
    written.
    """
    if is_loud(first) or is_loud(second) or {picked_up(first), picked_up(second)} != {"di", "mic"}:
        return None
    if second.what == UPRIGHT_BASS:
        return "di", "upright"
    return ("di", "loud") if any(map(_is_kit_or_amplifier, sources)) else ("mic", "quiet")


def _named(source: Source, other: dict[str, str]) -> Source:
    if source.key in other:
        return replace(source, second_of=other[source.key])
    return replace(source, second_of=other.get(source.second_of) or source.second_of)


def picked_up(source: Source) -> str:
    """How a source is picked up, any DI as ``di``."""
    capture = capture_of(source)
    return "di" if capture.startswith("di") else capture


def _is_kit_or_amplifier(source: Source) -> bool:
    """Whether it is a microphone on a kit, or before a guitar's or an electric bass's amplifier."""
    if source.what == "pluck.bass.electric":
        return picked_up(source) == "mic"
    return is_loud(source) and role_of(source) is not Role.SECTION
