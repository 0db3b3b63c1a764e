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
    "out-of-the-ears",
    "direct-out",
    "digital-link",
    "optional-source",
    "second-microphone",
    "hat-and-ride",
    "light-kit-snare",
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
    "light-kit-kick",
    "light-kit-overheads",
    "stereo-to-mono",
    "overhead-before-sums",
    "two-at-one-microphone",
    "section-sum",
    "backing-sum",
    "guitars-sum",
    "last-overhead",
    "only-playback-to-mono",
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

FINER: tuple[str, ...] = ("voices-on-outs", "microphones-on-outs", "singles-on-outs", "mono-by-bus")
"""Below every step, above what is carried; dearest first."""


@dataclass(frozen=True)
class Unit:
    """One source, or a pair that stays together. ``legs`` in the rig's order; properties are those of the first leg."""

    legs: tuple[Source, ...]
    house_only: bool
    light: bool = False
    unled: bool = False

    @cached_property
    def role(self) -> Role:
        return role_of(self.legs[0])

    @cached_property
    def must(self) -> bool:
        first = self.legs[0]
        if self.light and first.must is None and not first.second_of:
            if self.role is Role.OVERHEAD:
                return not (first.optional or first.priority == "low" or first.fail_over)
            if self.role in {Role.KICK, Role.SNARE}:
                return False
        return any(has_to_be_sent(leg) for leg in self.legs)

    @cached_property
    def loud(self) -> bool:
        return any(loud(leg) for leg in self.legs)

    @property
    def lead(self) -> bool:
        return self.legs[0].lead or self.role is Role.LEAD or (self.unled and self.role is Role.BACKING)

    @property
    def acoustic(self) -> bool:
        if self.role is Role.KEYBOARD:
            return capture(self.legs[0]) in {"mic", "wireless"}
        return self.legs[0].what.removeprefix("pluck.") in {
            "guitar.acoustic",
            "banjo",
            "mandolin",
            "bouzouki",
            "ukulele",
        }

    @property
    def mono(self) -> str:
        """What makes one line of two legs: jack, switch, bus, cannot, or nothing but one of two microphones."""
        if capture(self.legs[0]) in {"mic", "wireless"}:
            return "microphone"
        told = [leg.to_mono for leg in self.legs if leg.to_mono]
        return told[0] if told else "cannot" if self.role is Role.PLAYBACK else "jack"

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
    if capture(source) in {"di-passive", "line", "wireless"}:
        return False
    if source.phantom:
        return source.phantom == "yes"
    if capture(source) == "di-active":
        return True
    return capture(source) in {"", "mic"} and source.owner.mic != "house" and kind_of(source.what).phantom == "yes"


def wants_no_phantom(source: Source) -> bool:
    """Whether it is known to need none; what the house's own microphone needs nobody knows."""
    unknown = source.owner.mic == "house" and capture(source) in {"", "mic"} and not source.phantom
    return not wants_phantom(source) and not unknown


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


def never_48_volts(source: Source) -> bool:
    harmed = source.harmed_by_phantom or capture(source) in {"wireless", "line"}
    return harmed and not wants_phantom(source)


def units_of(sendable: list[Source], *, house_mics_through: bool, light: bool) -> list[Unit]:
    by_key = {source.key: source for source in sendable}
    units = []
    done: set[str] = set()
    unled = not any(source.lead or role_of(source) is Role.LEAD for source in sendable)
    for source in sendable:
        if source.key in done:
            continue
        other = by_key.get(source.pair_with)
        mutual = other is not None and other.key != source.key and other.pair_with == source.key
        legs = (source, other) if other is not None and mutual else (source,)
        done.update(leg.key for leg in legs)
        goes = source.goes or kind_of(source.what).goes
        outside = goes == "house-only" or (source.owner.mic == "house" and not house_mics_through)
        units.append(Unit(legs, outside, light, unled))
    return units
