"""What a gig's programme is written into: its picks, what each of them uses up, and which are of which sort."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from portal.plan.input.facts import Facts
from portal.plan.options.program import Pick, Program
from portal.plan.options.units import Unit

PAIR_MIX = "mix"

MONO_MIX = "mix-mono"


NO_48_V = "isolation:48-v"
"""Tag of the limit that no line ends where no side's 48 V gets through."""


@dataclass(frozen=True)
class Use:
    """What one pick takes of the shared things. ``new_ways``: legs that are not wired need a way of the named splitter;
    ``never_ways``: those of them that 48 V can harm; ``cut_off``: legs that no side's 48 V would reach.
    """

    inputs: int = 0
    lines: int = 0
    splitters: tuple[str, ...] = ()
    new_ways: tuple[tuple[str, int], ...] = ()
    never_ways: tuple[tuple[str, int], ...] = ()
    unprocessed: int = 0
    processed: int = 0
    bus_outs: int = 0
    mono_busses: int = 0
    stereo_busses: int = 0
    transformers: int = 0
    cut_off: int = 0
    links: int = 0


@dataclass(frozen=True)
class SecondBox:
    """The picks that count the inputs, and of these the lines through the band's own looms and cables, that go to a
    second stage box.
    """

    inputs: int
    lines: int


@dataclass
class RoutingOptions:
    """The programme while it is written, with what each pick uses and which picks are of which sort."""

    facts: Facts
    units: tuple[Unit, ...]
    forced_mix: bool
    program: Program = field(default_factory=Program)
    uses: dict[int, Use] = field(default_factory=dict)
    of_unit: dict[str, list[int]] = field(default_factory=dict)
    stays: dict[str, list[int]] = field(default_factory=dict)
    outside_mix: list[int] = field(default_factory=list)
    splitter_picks: dict[str, int] = field(default_factory=dict)
    loom_picks: dict[tuple[str, str], int] = field(default_factory=dict)
    loose_picks: dict[str, int] = field(default_factory=dict)
    second: SecondBox | None = None
    fold_picks: list[int] = field(default_factory=list)
    exchange_picks: dict[str, int] = field(default_factory=dict)

    @property
    def mono_pa(self) -> bool:
        """Wide pairs are no use in this room."""
        return self.facts.value("pa") == "mono"

    @property
    def isolation_required(self) -> bool:
        """Every line has to come through a transformer."""
        return self.facts.value("isolation") == "required"

    def passes_the_mixer(self, index: int) -> bool:
        """Whether what a pick sends never runs through the band's mixer, and so arrives at once."""
        mode, use = self.program.picks[index].mode, self.uses[index]
        return not (use.unprocessed or use.processed or use.bus_outs or use.links or mode.startswith("in|"))

    def by_unit(self, indexes: Iterable[int]) -> Iterator[dict[int, int]]:
        """Picks as terms, those of one unit together: it has one pick, so that one row serves them all, and the solver
        sees more of it than in a row for each.
        """
        found: dict[str | int, dict[int, int]] = {}
        for index in indexes:
            units = self.program.picks[index].units
            found.setdefault(units[0] if units else index, {})[index] = 1
        yield from found.values()

    def add(self, pick: Pick, use: Use, *, stays: bool) -> int:
        """Enter a pick of one or several units. ``stays`` marks the ways in which a unit keeps sounding by itself at
        the house.
        """
        index = self.program.add(pick)
        self.uses[index] = use
        for key in pick.units:
            self.of_unit.setdefault(key, []).append(index)
            if stays:
                self.stays.setdefault(key, []).append(index)
        return index


def bus(options: RoutingOptions, *, mono: int = 0, stereo: int = 0) -> Use:
    """What a sum on outputs of the band's mixer uses, so many in mono and so many in stereo."""
    lines = mono + 2 * stereo
    isolating = lines if options.isolation_required else 0
    return Use(lines, lines, bus_outs=lines, mono_busses=mono, stereo_busses=stereo, transformers=isolating)
