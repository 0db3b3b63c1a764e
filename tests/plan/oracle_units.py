"""What the second opinion knows of sources: the steps, the roles, and which sources stay together.

Written again from the model's wording; only the definition of the input is shared with the engine.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from portal.plan.input.kinds import Role, kind_of
from portal.plan.input.rig import Source

STEPS: tuple[str, ...] = (
    "share-a-line",
    "direct-out",
    "digital-link",
    "optional-source",
    "second-microphone",
    "hat-and-ride",
    "small-room-overheads",
    "small-room-rack-toms",
    "small-room-floor-tom",
    "small-room-cabinets",
    "processed-direct-out",
    "own-submix",
    "keyboards-to-mono",
    "playback-to-mono",
    "ear-mix-to-mono",
    "percussion-sum",
    "percussion-one",
    "overheads-to-one",
    "rack-toms",
    "floor-tom",
    "stereo-to-mono",
    "section-sum",
    "backing-sum",
    "guitars-sum",
    "last-overhead",
    "keyboards-with-playback",
    "kit-pair",
    "snare-in-kit-pair",
    "kick-in-kit-pair",
    "music-mix",
    "snare-in-music-mix",
    "bass-in-music-mix",
    "kick-in-music-mix",
    "fail-over-out",
    "whole-mix",
    "mix-to-mono",
    "left-out",
)
"""Cheapest first."""


@dataclass(frozen=True)
class Unit:
    """One source, or a pair that stays together. ``legs`` in the rig's order; properties are those of the first leg."""

    legs: tuple[Source, ...]
    house_only: bool

    @cached_property
    def role(self) -> Role:
        return role_of(self.legs[0])

    @cached_property
    def must(self) -> bool:
        return any(has_to_be_sent(leg) for leg in self.legs)

    @cached_property
    def loud(self) -> bool:
        return any(loud(leg) for leg in self.legs)

    @property
    def lead(self) -> bool:
        return self.legs[0].lead or self.role is Role.LEAD

    @property
    def second_of(self) -> str:
        return self.legs[0].second_of

    @property
    def fail_over(self) -> bool:
        return self.legs[0].fail_over

    @property
    def inseparable(self) -> bool:
        return self.legs[0].inseparable

    @property
    def high(self) -> bool:
        return self.legs[0].priority == "high"


def role_of(source: Source) -> Role:
    kind = kind_of(source.what)
    if kind.role is Role.RACK_TOM and source.position == "floor":
        return Role.FLOOR_TOM
    if kind.role is Role.OVERHEAD and source.position in {"in", "front", "under"}:
        return Role.KIT
    if source.what == "voice.vocals" and source.lead:
        return Role.LEAD
    return kind.role


def capture(source: Source) -> str:
    return source.capture or kind_of(source.what).capture


def loud(source: Source) -> bool:
    if source.loud_on_stage is None:
        return kind_of(source.what).loud and capture(source) in {"mic", "wireless"}
    return source.loud_on_stage


def wants_phantom(source: Source) -> bool:
    if source.phantom:
        return source.phantom == "yes"
    if capture(source) == "di-active":
        return True
    return capture(source) in {"", "mic"} and source.owner.mic != "house" and kind_of(source.what).phantom == "yes"


def has_to_be_sent(source: Source) -> bool:
    if source.must is not None:
        return source.must
    if source.optional or source.fail_over:
        return False
    if source.inseparable or role_of(source) is Role.LEAD:
        return True
    return role_of(source) in {Role.KICK, Role.SNARE} and not source.second_of


def section_of(source: Source) -> str:
    if role_of(source) is not Role.SECTION or source.lead:
        return ""
    instrument = source.what.partition(".")[0]
    by_kind = {"brass": "horns", "wind": "horns", "strings": "strings", "voice": "choir"}
    return source.family or by_kind.get(instrument, "")


def units_of(sendable: list[Source], *, house_mics_through: bool) -> list[Unit]:
    by_key = {source.key: source for source in sendable}
    units = []
    done: set[str] = set()
    for source in sendable:
        if source.key in done:
            continue
        other = by_key.get(source.pair_with)
        mutual = other is not None and other.key != source.key and other.pair_with == source.key
        legs = (source, other) if other is not None and mutual else (source,)
        done.update(leg.key for leg in legs)
        goes = source.goes or kind_of(source.what).goes
        outside = goes == "house-only" or (source.owner.mic == "house" and not house_mics_through)
        units.append(Unit(legs, outside))
    return units
