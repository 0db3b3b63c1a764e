"""What stands on the stage and in the house, as anybody there can see: instruments, players, gear, sockets. No plan is
in it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

OWN_PA, HOUSE_PA, TABLET, HOUSE_DESK = "own PA", "house PA", "tablet", "house desk"
"""Who mixes on what: the band on its own PA; the band into the house's; the house's engineer on the band's mixer; an
engineer on the house desk.
"""


@dataclass(frozen=True)
class Source:
    """One instrument's or voice's pick-up, with what it does to whoever plugs it.

    ``pickup``: mic, di, di-passive, di-active, line or wireless. ``needs_48v`` is ``None`` where only the house knows.
    ``to_mono``: what makes one of its two legs: jack, switch, bus, cannot, or empty for what nobody said. ``in_rack``:
    it falls silent with the rack's power. ``sings_with``: the singer with whom it may share a microphone. ``guest``: it
    is no source of the band's. ``loom``: the sub-loom that carries it to the rack.
    """

    name: str
    player: str
    pickup: str
    needs_48v: bool | None
    harmed: bool
    level: str
    stand: str
    goes: str
    partner: str = ""
    to_mono: str = ""
    first: str = ""
    never_with: tuple[str, ...] = ()
    sings_with: str = ""
    submix: str = ""
    mic_from: str = "band"
    stand_from: str = "band"
    cable_from: str = "band"
    fail_over: bool = False
    guest: bool = False
    in_rack: bool = False
    loom: str = ""

    @property
    def plugged(self) -> bool:
        """Whether it is played at a gig at all."""
        return self.goes != "rehearsal-only"


@dataclass(frozen=True)
class Splitter:
    """A splitter: ``outputs`` maps what stands at each output of a way to isolated or direct. ``fixed`` ones are part
    of the rack.
    """

    name: str
    ways: int
    fixed: bool
    active: bool
    mixer_leg: str
    outputs: dict[str, str]


@dataclass(frozen=True)
class Loom:
    """A multi-way cable: connectors as they are in the hand. ``length`` in metres, ``None`` where nobody measured
    it.
    """

    name: str
    ways: int
    length: float | None
    band_end: str
    house_end: str


@dataclass(frozen=True)
class Output:
    """An output of the band's mixer. ``clean``: tapped before everything; ``use`` is free, main or ears."""

    name: str
    use: str
    clean: bool


@dataclass(frozen=True)
class EarMix:
    """One in-ear mix: who hears it, on which outputs, carried by radio, cable or a wedge."""

    player: str
    width: str
    outs: tuple[str, ...]
    carried_by: str


@dataclass(frozen=True)
class House:
    """What the house has. ``None`` is not known. ``banks``: how many sockets share a 48 V switch, 1 for each its own, 0
    for one for all.
    """

    mixes: str
    sockets: tuple[int, ...] | None
    second_sockets: int
    distance: float | None
    second_distance: float | None
    banks: int
    line_inputs: bool | None
    isolation_required: bool
    one_to_one: bool
    own_splitter: bool
    own_mics_apart: bool
    talkback: bool


@dataclass(frozen=True)
class Stage:
    """One gig before anything is plugged. ``mixer_banks``: inputs of the band's mixer that share a 48 V switch, 1 for
    each its own, 0 for one for all. ``sub_looms`` run from sources to the rack.
    """

    sources: tuple[Source, ...]
    splitters: tuple[Splitter, ...]
    looms: tuple[Loom, ...]
    outputs: tuple[Output, ...]
    ears: tuple[EarMix, ...]
    mixer_inputs: int | None
    house: House
    mixer_banks: int = 1
    sub_looms: tuple[Loom, ...] = ()

    def source(self, name: str) -> Source | None:
        """The source of that name."""
        return next((one for one in self.sources if one.name == name), None)

    @property
    def names(self) -> list[str]:
        """Every source's name."""
        return [one.name for one in self.sources]


def named(things: Iterable[Splitter] | Iterable[Loom], name: str) -> Splitter | Loom | None:
    """The thing of that name."""
    return next((one for one in things if one.name == name), None)
