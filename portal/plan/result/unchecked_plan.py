"""A plan before anything is said about it: what the checks look at."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from portal.plan.input.facts import Facts, Lock
from portal.plan.input.rig import Source
from portal.plan.model import PA, Line, Route
from portal.plan.own_mixer.mixed_tonight import MIXED_BY_THE_BAND
from portal.plan.phrase import Box, Inputs, Listed, Numbers, Phrase, Value, listed
from portal.plan.result.numbering import Numbered
from portal.plan.result.routing import Routing, Sent
from portal.plan.result.runs import Runs


@dataclass(frozen=True)
class UncheckedPlan:
    """Facts, route, routing and finished lines. ``numbered[i]`` is what ``lines[i]`` was made from; ``proven`` as the
    solver reported. ``runs``: the cables of the band's own mix, where it goes to the house.
    """

    facts: Facts
    route: Route
    routing: Routing
    numbered: tuple[Numbered, ...]
    lines: tuple[Line, ...]
    proven: bool
    locks: tuple[Lock, ...] = ()
    runs: Runs | None = None

    def pairs(self) -> Iterable[tuple[Line, Sent]]:
        """Each finished line beside what it was made from."""
        return ((line, one.sent) for line, one in zip(self.lines, self.numbered, strict=True))

    def sources(self) -> tuple[Source, ...]:
        """Every source of the rig in this configuration."""
        return self.facts.rig.source

    @property
    def band_mixes(self) -> bool:
        """The audience hears a mix made on the band's mixer."""
        return self.route in MIXED_BY_THE_BAND


def at_the_mixer(numbers: Iterable[int | None]) -> Phrase:
    """Inputs of the band's mixer; the mixer itself where none has a number."""
    found = tuple(sorted({number for number in numbers if number}))
    return Phrase("mixer-inputs", {"inputs": Numbers(found)}) if found else Phrase("the-bands-mixer")


def labels_of(lines: Iterable[Line | Sent | Source]) -> Listed:
    """Whom lines carry, or sources by their labels."""
    return listed(line.label for line in lines)


def inputs(lines: Iterable[Line]) -> Value:
    """Where lines arrive at the house: inputs of its stage boxes, or of a PA without a desk."""
    lines = tuple(lines)
    if any(line.box == PA for line in lines):
        return Phrase("pa-inputs")
    found = {(line.box, line.box_socket) for line in lines if line.box_socket is not None}
    return Inputs(
        tuple(
            Box(box, tuple(sorted(socket for name, socket in found if name == box)))
            for box in sorted({box for box, _ in found})
        )
    )


def box_input(line: Line) -> Value:
    """The number of a line's box input, with its box where there are two."""
    if line.box_socket is None:
        return Phrase("over-the-link")
    return Phrase("of-a-box", {"box": line.box, "input": line.box_socket}) if line.box else line.box_socket


def places(lines: Iterable[Line]) -> Listed:
    """Where lines arrive: at inputs of a stage box, over the digital link, or both."""
    every = tuple(lines)
    boxed = [line for line in every if line.box_socket is not None]
    linked = [line for line in every if line.box_socket is None]
    over_the_link = [Phrase("over-the-digital-link", {"labels": labels_of(linked)})] if linked else []
    return listed([*([inputs(boxed)] if boxed else []), *over_the_link])


def named(labels: Iterable[str]) -> str:
    """Labels in a sentence: "A", "A and B", "A, B and C"."""
    names = list(dict.fromkeys(labels))
    if len(names) < 2:  # noqa: PLR2004 - one name needs no joining
        return "".join(names)
    return ", ".join(names[:-1]) + " and " + names[-1]
