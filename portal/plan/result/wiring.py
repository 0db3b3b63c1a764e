"""What stands around a line electrically: its source, the legs to both desks, and what lies in the leg to the house.

What nobody stated is taken at both ends of what is usual, so every number that follows from it is a range.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from math import inf, log10

from portal.plan.input.facts import Facts
from portal.plan.input.rig import Source
from portal.plan.model import Line
from portal.plan.phrase import Phrase, Value, thousandths
from portal.plan.result.signal import (
    WINDING_OHM,
    isolated_leg_ohm,
    isolated_split_db,
    loading_loss_db,
    parallel_ohm,
    reflected_ohm,
    u_pad_ohm,
)
from portal.plan.result.spelling import leg_of
from portal.plan.result.transformers import has_transformer

MICROPHONE_OHM = (150.0, 200.0)
"""Output impedance of microphones and DIs where the rig says nothing (Self, Small Signal Audio Design, Microphone
Preamplifiers).
"""

OUTPUT_OHM = (50.0, 600.0)
"""Output impedance of line outputs (common practice, no source)."""

DESK_OHM = (1500.0, 3000.0)
"""Input impedance of microphone inputs; never asked of a house (secondary source)."""

LINE_INPUT_OHM = (10_000.0, 20_000.0)
"""Input impedance of line inputs (common practice, no source)."""

PAD_SOURCE_OHM = 100.0
"""Source that a line-to-microphone pad is built for (assumption; its output is then 150 ohm)."""

STEREO = 2
"""More sources than a stereo pair on one line come from a submixer, whose own impedance nobody stated."""

FURTHER_DESKS = {"monitor-desk": 1, "recording-or-stream": 1, "both": 2}
"""Further inputs that hang on the house's side of a line, by the answer to what else is fed from the box."""


def spread(numbers: tuple[float, ...]) -> Value:
    """One number, or the least and the greatest of several."""
    low, high = thousandths(min(numbers)), thousandths(max(numbers))
    return low if low == high else Phrase("from-to", {"low": low, "high": high})


@dataclass(frozen=True)
class Ohms:
    """One impedance that is stated, or both ends of what is usual."""

    values: tuple[float, ...]
    stated: bool

    @property
    def said(self) -> Phrase:
        """As an engineer reads it."""
        return Phrase("ohms.stated" if self.stated else "ohms.usual", {"ohms": spread(self.values)})


@dataclass(frozen=True)
class Ends:
    """The impedances of a line. ``band`` is ``None`` where the band's mixer does not hang on it; ``further`` counts
    desks beside the house's own.
    """

    source: Ohms
    band: Ohms | None
    house: Ohms
    further: int


@dataclass(frozen=True)
class Wiring:
    """One possible set of values. ``house_ohm`` is all that the house has in parallel; ``transformer`` lies loose in
    the leg to the house.
    """

    source_ohm: float
    band_ohm: float | None
    band_isolated: bool
    house_ohm: float
    house_isolated: bool
    transformer: bool
    pad_db: int

    @property
    def box_ohm(self) -> float:
        """What the loom sees at the stage box: the house's inputs, or the pad before them."""
        if not self.pad_db:
            return self.house_ohm
        leg, shunt = u_pad_ohm(self.pad_db, PAD_SOURCE_OHM)
        return 2 * leg + parallel_ohm([shunt, self.house_ohm])

    @property
    def direct_ohm(self) -> tuple[float, ...]:
        """Loads that hang on the source without a splitter's transformer."""
        band = () if self.band_ohm is None or self.band_isolated else (self.band_ohm,)
        return band if self.house_isolated else (*band, self._leg_ohm)

    @property
    def isolated_ohm(self) -> tuple[float, ...]:
        """Loads behind the splitter's transformer: the house's first."""
        house = (self._leg_ohm,) if self.house_isolated else ()
        return (*house, self.band_ohm) if self.band_isolated and self.band_ohm is not None else house

    @property
    def load_ohm(self) -> float:
        """What the source sees of everything."""
        return parallel_ohm([*self.direct_ohm, *([reflected_ohm(self.isolated_ohm)] if self.isolated_ohm else [])])

    @property
    def band_db(self) -> float:
        """Level at the band's mixer, in dB re the source without load."""
        return self._levels[1 if self.house_isolated else 0] if self.band_isolated else self._direct_db

    @property
    def box_db(self) -> float:
        """Level at the stage box, before any pad, in dB re the source without load."""
        leg = self._levels[0] if self.house_isolated else self._direct_db
        return leg + (loading_loss_db(2 * WINDING_OHM, [self.box_ohm]) if self.transformer else 0.0)

    @property
    def input_db(self) -> float:
        """Level at the house's inputs, behind the pad where there is one, in dB re the source without load."""
        if not self.pad_db:
            return self.box_db
        _, shunt = u_pad_ohm(self.pad_db, PAD_SOURCE_OHM)
        return self.box_db + 20 * log10(parallel_ohm([shunt, self.house_ohm]) / self.box_ohm)

    @property
    def behind_box_ohm(self) -> float:
        """Resistance that the cable at the stage box works against, the load there included."""
        own = list(self.direct_ohm[: len(self.direct_ohm) - (not self.house_isolated)])
        if self.house_isolated:
            leg = isolated_leg_ohm(self.source_ohm, own, self.isolated_ohm[1:])
        else:
            leg = parallel_ohm(
                [self.source_ohm, *own, *([reflected_ohm(self.isolated_ohm)] if self.isolated_ohm else [])]
            )
        return parallel_ohm([leg + (2 * WINDING_OHM if self.transformer else 0.0), self.box_ohm])

    @property
    def _leg_ohm(self) -> float:
        return reflected_ohm([self.box_ohm]) if self.transformer else self.box_ohm

    @property
    def _direct_db(self) -> float:
        return loading_loss_db(self.source_ohm, [self.load_ohm])

    @property
    def _levels(self) -> tuple[float, ...]:
        direct = parallel_ohm(self.direct_ohm) if self.direct_ohm else inf
        return isolated_split_db(self.source_ohm, direct, self.isolated_ohm)[1]


def from_our_mixer(line: Line) -> bool:
    """Whether the line is an output of the band's mixer."""
    return line.path.unit == "mixer"


def splits_passively(line: Line, facts: Facts) -> bool:
    """Whether both desks load the source: a passive splitter, or the house's own, whose kind nobody asked about."""
    splitter = next((one for one in facts.rig.splitter if one.key == line.path.unit), None)
    return line.path.kind == "house-split" or (splitter is not None and splitter.kind == "passive")


def ends_of(line: Line, source: Source, facts: Facts) -> Ends:
    """The impedances around a line, stated or usual."""
    stated = source.impedance_ohm if len(line.sources) <= STEREO and not from_our_mixer(line) else None
    usual = OUTPUT_OHM if line.level == "line" else MICROPHONE_OHM
    own = facts.rig.mixer.input_impedance_ohm
    at_house = LINE_INPUT_OHM if line.level == "line" and facts.value("line-inputs") == "yes" else DESK_OHM
    return Ends(
        Ohms((float(stated),), stated=True) if stated else Ohms(usual, stated=False),
        (
            (Ohms((float(own),), stated=True) if own else Ohms(DESK_OHM, stated=False))
            if splits_passively(line, facts)
            else None
        ),
        Ohms(at_house, stated=False),
        FURTHER_DESKS.get(str(facts.value("other-feeds")), 0),
    )


def wirings_of(line: Line, source: Source, facts: Facts) -> tuple[Wiring, ...]:
    """Every combination of the ends. Empty behind an active splitter: the source sees nothing but the splitter's own
    input.
    """
    splitter = next((one for one in facts.rig.splitter if one.key == line.path.unit), None)
    if splitter is not None and splitter.kind == "active":
        return ()
    ends = ends_of(line, source, facts)
    band_isolated = [splitter is not None and splitter.to_mixer == "isolated"]
    if line.path.kind == "house-split":
        band_isolated = [False, True]
    return tuple(
        Wiring(
            source_ohm,
            band_ohm,
            isolated,
            parallel_ohm([house_ohm] * (1 + ends.further)),
            leg_of(line.path) == "isolated",
            has_transformer(line, facts),
            line.pad_db,
        )
        for source_ohm, band_ohm, house_ohm, isolated in product(
            ends.source.values, ends.band.values if ends.band else (None,), ends.house.values, band_isolated
        )
    )
