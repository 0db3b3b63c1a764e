"""Sources grouped into units: what the plan routes as one thing, with everything the ladder needs to know of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from portal.plan.input.facts import Facts
from portal.plan.input.kinds import Role, kind_of
from portal.plan.input.rig import Source, Splitter, SplitterOutput
from portal.plan.options.routing_policy import (
    TO_THE_HOUSE,
    capture_of,
    goes_of,
    has_light_kit,
    is_loud,
    is_must,
    needs_phantom,
    nobody_leads,
    role_of,
    section_of,
)


@dataclass(frozen=True)
class Unit:
    """One mono source or one stereo pair (an atom: both legs travel the same way), the left or middle leg first
    whatever the order of rows.
    """

    legs: tuple[Source, ...]
    house_only: bool
    first: str
    """Key of the unit whose second microphone this is; empty where it is none."""
    light: bool = False
    """Part of a light kit, whose overheads are the kit."""
    may_lead: bool = False
    """A voice of a band that has not said who sings lead."""

    @cached_property
    def key(self) -> str:
        """The stable key: that of its first leg."""
        return self.legs[0].key

    @cached_property
    def lead_leg(self) -> Source:
        """The leg that speaks for the unit."""
        return self.legs[0]

    @property
    def width(self) -> int:
        """1 or 2."""
        return len(self.legs)

    @cached_property
    def role(self) -> Role:
        """Its part on the ladder."""
        return role_of(self.lead_leg)

    @cached_property
    def order(self) -> int:
        """Its place in an input list."""
        source = self.lead_leg
        order = kind_of(source.what).order
        if self.role is Role.FLOOR_TOM:
            order += 5
        if self.role is Role.LEAD:
            order += 20
        return order

    @cached_property
    def must(self) -> bool:
        """Has to reach the house. Of a light kit the overheads do, kick and snare need not."""
        if self.light and self.lead_leg.must is None and not self.first:
            if self.role in (Role.KICK, Role.SNARE):
                return False
            if self.role is Role.OVERHEAD:
                return not (self.optional or self.fail_over)
        return any(is_must(leg) for leg in self.legs)

    @cached_property
    def loud(self) -> bool:
        """Heard in the room without the PA."""
        return any(is_loud(leg) for leg in self.legs)

    @cached_property
    def lead(self) -> bool:
        """A lead vocal or the lead instrument, or a voice that may be one."""
        return self.may_lead or self.role is Role.LEAD or any(leg.lead for leg in self.legs)

    @property
    def inseparable(self) -> bool:
        """A finished stereo pair."""
        return any(leg.inseparable for leg in self.legs)

    @property
    def fail_over(self) -> bool:
        """A spare that by-passes the rig."""
        return any(leg.fail_over for leg in self.legs)

    @property
    def optional(self) -> bool:
        """The band can do without it."""
        return self.lead_leg.optional or self.lead_leg.priority == "low"

    @property
    def keeps_own_line(self) -> bool:
        """Marked by the band to keep a line of its own as long as possible."""
        return any(leg.priority == "high" for leg in self.legs)

    @property
    def in_ears_anyway(self) -> bool:
        """A second microphone that the band wants to hear in any case."""
        return any(leg.in_ears_anyway for leg in self.legs)

    def stays_in_its_case(self, step: str) -> bool:
        """Whether a second microphone that is not sent is not plugged either: it adds nothing to the in-ears, unless
        the band wants it there.
        """
        return step == "second-microphone" and not self.in_ears_anyway

    @property
    def section(self) -> str:
        """Its section, empty where it is in none."""
        return section_of(self.lead_leg)

    @property
    def groupable(self) -> bool:
        """May share a line with others before the band's whole mix does."""
        return not (
            self.lead or self.first or self.house_only or self.inseparable or self.fail_over or self.keeps_own_line
        )


def units_of(facts: Facts) -> tuple[Unit, ...]:
    """Every sendable source of the rig as units, in rig order."""
    # A rig that contradicts itself may name a key twice; the first row with it stands.
    by_key = {source.key: source for source in reversed(facts.rig.source) if goes_of(source) in TO_THE_HOUSE}
    sendable = [source for source in facts.rig.source if by_key.get(source.key) is source]
    home: dict[str, str] = {}
    pairs: list[tuple[Source, ...]] = []
    for source in sendable:
        if source.key in home:
            continue
        other = by_key.get(source.pair_with)
        both = (
            (source, other)
            if other is not None and other.pair_with == source.key and other is not source
            else (source,)
        )
        legs = tuple(sorted(both, key=lambda leg: leg.position in ("right", "side")))
        home.update((leg.key, legs[0].key) for leg in legs)
        pairs.append(legs)
    through = facts.value("house-microphones-through-our-splitter") != "no"
    light, unled = has_light_kit(facts), nobody_leads(facts)
    return tuple(
        Unit(
            legs,
            house_only=goes_of(legs[0]) == "house-only" or (legs[0].owner.mic == "house" and not through),
            first=home.get(legs[0].second_of, "") if home.get(legs[0].second_of) != legs[0].key else "",
            light=light,
            may_lead=unled and role_of(legs[0]) is Role.BACKING,
        )
        for legs in pairs
    )


def output_for(source: Source, splitter: Splitter, facts: Facts) -> SplitterOutput | None:
    """The output of a splitter's way that the house gets from a source, or ``None`` where none is fit for it.

    A transformer passes no 48 V: where the in-ear mixer hangs on the isolated leg, a source that needs phantom reaches
    the house on a direct output. A source that 48 V can harm never shares copper with a desk whose one 48 V switch
    has to be on; where it switches in banks, the sockets are chosen by bank.
    """
    isolated = next((output for output in splitter.outputs if output.kind == "isolated"), None)
    direct = next((output for output in splitter.outputs if output.kind == "direct"), None)
    if splitter.kind == "passive" and splitter.to_mixer == "isolated" and needs_phantom(source) == "yes":
        return direct
    if isolated is not None:
        return isolated
    if direct is not None and source.harmed_by_phantom and one_switch_is_on(facts):
        return None
    return direct


def is_cut_off(source: Source, splitter: Splitter, facts: Facts) -> bool:
    """Whether no side's 48 V would reach a source that needs it: the splitter's transformer parts it from the band's
    mixer, and the house requires one on its own leg.
    """
    parted = splitter.kind == "passive" and splitter.to_mixer == "isolated" and needs_phantom(source) == "yes"
    return parted and facts.value("isolation") == "required"


def one_switch_is_on(facts: Facts) -> bool:
    """Whether the house has one 48 V switch for all and a microphone that only the house can feed."""
    return facts.value("phantom-switching") == "all" and any(
        needs_phantom(source) == "yes" and goes_of(source) == "house-only" for source in facts.rig.source
    )


def straight_is_safe(unit: Unit, facts: Facts) -> bool:
    """Whether a microphone may leave the splitter for the house's own 48 V: nothing that it harms hangs on that
    switch.
    """
    if any(leg.harmed_by_phantom for leg in unit.legs):
        return facts.value("phantom-switching") == "per-channel"
    return facts.value("phantom-switching") != "all" or all(needs_phantom(leg) == "no" for leg in unit.legs)


def own_way(source: Source, splitters: Mapping[str, Splitter]) -> int | None:
    """The way that a source is wired to; ``None`` where it has none, or one that its splitter does not have."""
    splitter = splitters.get(source.splitter)
    if splitter is None or source.way is None or not 1 <= source.way <= splitter.ways:
        return None
    return source.way


def exchanges_sockets(facts: Facts, splitter: Splitter) -> bool:
    """Whether sources may exchange sockets at a splitter: they plug in at its front, and each socket's input of the
    band's mixer is known.
    """
    heard = [source for source in facts.rig.source if goes_of(source) in ("both", "ears-only")]
    numbers = [source.mixer_input for source in heard]
    known = None not in numbers and len(set(numbers)) == len(numbers)
    return splitter.plugs == "front" and facts.value("house-split") != "yes" and known


ACOUSTIC = ("pluck.guitar.acoustic", "pluck.banjo", "pluck.mandolin", "pluck.bouzouki", "pluck.ukulele")


def is_acoustic(unit: Unit) -> bool:
    """An instrument that sounds by itself: it is never summed with an electric one."""
    source = unit.lead_leg
    keys = unit.role is Role.KEYBOARD and capture_of(source) in ("mic", "wireless")
    return keys or source.what in ACOUSTIC


def is_percussion_microphone(unit: Unit) -> bool:
    """A percussion spot."""
    return unit.role is Role.PERCUSSION


def is_loud_cabinet(unit: Unit) -> bool:
    """A guitar cabinet that the room hears anyway."""
    return unit.role is Role.GUITAR and unit.loud and not unit.lead and capture_of(unit.lead_leg) == "mic"


KIT_ROLES = frozenset(
    {
        Role.KICK,
        Role.SNARE,
        Role.HAT,
        Role.RIDE,
        Role.RACK_TOM,
        Role.FLOOR_TOM,
        Role.OVERHEAD,
        Role.KIT,
        Role.ELECTRONIC_KIT,
    }
)
