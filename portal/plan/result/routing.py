"""What the solver chose, read back as lines and resources: still without numbers at the house."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from portal.plan.input.facts import Facts, Lock
from portal.plan.input.rig import Loom, Out, Source, Splitter, SplitterOutput
from portal.plan.model import BESIDE_THE_LOOM
from portal.plan.options.routing_policy import needs_phantom, never_phantom
from portal.plan.options.units import Unit


@dataclass(frozen=True)
class Sent:
    """One line before it is numbered. ``side`` is L, R or empty; two lines with the same ``pair`` are stereo partners.
    ``without`` is the other half of a pair of which this line carries one half alone; ``made_mono`` says how a line
    with both halves became one: jack, switch or bus; ``by_loom`` that a source past the in-ears takes a way of a loom.
    """

    sources: tuple[Source, ...]
    label: str
    kind: str
    order: tuple[int, int, int]
    side: str = ""
    pair: str = ""
    splitter: Splitter | None = None
    way: int | None = None
    output: SplitterOutput | None = None
    out: Out | None = None
    step: str = ""
    group: str = ""
    vocal: bool = False
    without: Source | None = None
    made_mono: str = ""
    by_loom: bool = False

    @property
    def plug(self) -> Source:
        """The source whose own plug carries it: the first, or the second on the right side of a submixer."""
        return self.sources[1] if self.step == "own-submix" and self.side == "R" else self.sources[0]

    @property
    def at_the_plug(self) -> tuple[Source, ...]:
        """The sources whose 48 V goes through its plug: all that take turns on it; what goes into a submixer gets its
        own there.
        """
        return self.sources if self.step == "share-a-line" else (self.plug,)

    @property
    def guest(self) -> Source | None:
        """Who sings at the microphone of the first source; the guest's own is not plugged."""
        return self.sources[1] if self.step == "two-at-one-microphone" else None

    @property
    def heard(self) -> tuple[Source, ...]:
        """The sources whose own microphone, DI or output is heard on it."""
        return self.sources if self.guest is None else self.sources[:1]

    @property
    def beside_the_loom(self) -> bool:
        """Whether it takes no way of the band's looms, nor one of its loose cables."""
        return self.kind in BESIDE_THE_LOOM and not self.by_loom


@dataclass(frozen=True)
class Exchange:
    """A source that is plugged into another's socket tonight; ``way``: of the splitter there, if there is one."""

    source: Source
    rig_input: int
    tonight: int
    splitter: Splitter | None
    way: int | None


@dataclass(frozen=True)
class Routing:
    """Lines, what became of each unit (by key: the pick's mode), and the things that are carried or changed for it.

    ``splitters``: those in the path tonight, as ``splitters_in_path`` says. ``to_second``: keys of the looms that run
    to the second box. ``inputs_at_second`` of the lines go there, ``lines_at_second`` of those by loom or cable.
    ``left_out``: what leaves a unit out by somebody's word, by its key.
    """

    lines: tuple[Sent, ...]
    modes: dict[str, str]
    units: tuple[Unit, ...]
    folded: frozenset[str]
    looms: tuple[Loom, ...]
    loose: int
    splitters: tuple[Splitter, ...]
    to_second: frozenset[str] = frozenset()
    inputs_at_second: int = 0
    lines_at_second: int = 0
    exchanges: tuple[Exchange, ...] = ()
    left_out: Mapping[str, Lock] = field(default_factory=dict)

    def mixer_input(self, source: Source) -> int | None:
        """The input of the band's mixer that a source arrives at tonight."""
        return next((one.tonight for one in self.exchanges if one.source.key == source.key), source.mixer_input)


def splitters_in_path(facts: Facts, lines: tuple[Sent, ...]) -> tuple[Splitter, ...]:
    """The splitters that sources are plugged through tonight: what is bolted into the rack, and carried ones that a
    line runs through. The house's own by-passes all.
    """
    used = {line.splitter.key for line in lines if line.splitter is not None}
    by_passed = facts.value("house-split") == "yes"
    return tuple(
        splitter for splitter in facts.rig.splitter if splitter.key in used or (splitter.built_in and not by_passed)
    )


def needs_of(sources: tuple[Source, ...]) -> str:
    """Whether 48 V is needed at a plug that all of them use: yes where one needs it, then unknown, then no."""
    needs = {needs_phantom(source) for source in sources}
    return next(one for one in ("yes", "unknown", "no") if one in needs)


def phantom_of(sent: Sent) -> str:
    """Who feeds 48 V to what stands on a line's tail: band, house, splitter, none or unknown. An output of the band's
    mixer must get none, whatever its sources need.
    """
    if sent.out is not None or sent.kind == "digital-link":
        return "none"
    needs = needs_of(sent.at_the_plug)
    if needs != "yes":
        return "none" if needs == "no" else needs
    if sent.splitter is None:
        return "house"
    if sent.splitter.kind == "active":
        return "splitter"
    return "band" if sent.splitter.to_mixer == "direct" else "house"


def starves(source: Source, splitter: Splitter) -> bool:
    """Whether 48 V of the band's mixer would not get through the splitter to what needs it."""
    return needs_phantom(source) == "yes" and splitter.kind == "passive" and splitter.to_mixer == "isolated"


def desk_phantom_of(sent: Sent) -> str:
    """What the house does with its own 48 V switch on a line. Behind a transformer it has no effect; so OFF, and no
    more.
    """
    fed = phantom_of(sent)
    if sent.out is not None or any(map(never_phantom, sent.heard)):
        return "never"
    return fed


def harmed_at_the_desk(sent: Sent) -> bool:
    """Whether 48 V of the house would reach something that it can harm: an output of the band's mixer, or a source
    without a transformer between.
    """
    if sent.out is not None:
        return True
    return any(map(never_phantom, sent.heard)) and (sent.output is None or sent.output.kind == "direct")


def ranks(units: tuple[Unit, ...]) -> dict[str, int]:
    """The order among sources of one place in an input list: by player, in the order in which the rows name them, then
    by row.
    """
    rows = list(dict.fromkeys(leg.player for unit in units for leg in unit.legs if leg.player))
    player = {name: number for number, name in enumerate(rows)}
    by_player = sorted(enumerate(units), key=lambda one: (player.get(one[1].lead_leg.player, len(player)), one[0]))
    return {unit.key: number for number, (_, unit) in enumerate(by_player)}
