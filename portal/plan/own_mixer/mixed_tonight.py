"""A gig whose audience hears a mix made on the band's mixer: the rig and the answers as such a night needs them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from portal.plan.input.facts import Answers, Facts
from portal.plan.input.rig import Rig, Source
from portal.plan.model import Route
from portal.plan.options.routing_policy import goes_of
from portal.plan.options.units import own_way

NO_DESK = frozenset({Route.OWN_PA, Route.BAND_MIXES, Route.ON_OUR_MIXER})
"""Routes on which no desk and no stage box of the house takes part."""

MIXED_BY_THE_BAND = NO_DESK | {Route.LEFT_RIGHT}
"""Routes on which the audience hears nothing but the mix of the band's mixer."""

AT_THE_PA = {"pa-inputs": "inputs-free", "pa-input-distance": "box-distance"}
"""What is asked of a PA's inputs -> what the same thing is called at a stage box."""

OF_A_DESK = frozenset(
    {
        "sockets-free",
        "house-split",
        "house-microphones-through-our-splitter",
        "second-box-inputs",
        "talkback",
        "talkback-output",
    }
)
"""What was said of a desk or its box says nothing here."""


def mixed_tonight(facts: Facts, route: Route) -> Facts:
    """The facts of a night. Guests come along where the band brings the PA. Where the band's mixer makes the mix, every
    source that is played has an input of it, and the PA's inputs stand where a stage box would.
    """
    rig = facts.rig
    if route is not Route.OWN_PA:
        rig = replace(rig, source=tuple(source for source in rig.source if not source.guest))
    if route not in MIXED_BY_THE_BAND:
        return Facts(rig, facts.answers)
    if route in NO_DESK:
        # A spare by-passes the rack, and without a desk there is nothing that it could go to.
        played = (source for source in rig.source if not source.fail_over)
        rig = replace(rig, source=tuple(map(_into_the_mixer, played)))
    answers = _at_the_pa(facts) if route in NO_DESK else facts.answers
    return Facts(with_inputs(rig), answers)


def _into_the_mixer(source: Source) -> Source:
    """What only the house was to get goes into the band's mix like all else."""
    return replace(source, goes="both") if goes_of(source) == "house-only" else source


def _at_the_pa(facts: Facts) -> Answers:
    found = {key: answer for key, answer in facts.answers.items() if key not in OF_A_DESK}
    found |= {box: facts.answers[pa] for pa, box in AT_THE_PA.items() if facts.known(pa)}
    if facts.known("pa-input-level"):
        takes_line = facts.value("pa-input-level") == "line"
        found["line-inputs"] = replace(facts.answers["pa-input-level"], value="yes" if takes_line else "no")
    return found


def plugged_in(source: Source) -> bool:
    """Whether a source takes an input of the band's mixer."""
    return goes_of(source) not in ("house-only", "rehearsal-only") and not source.fail_over


def with_inputs(rig: Rig) -> Rig:
    """The rig with an input of the mixer for every source that takes one: its own, else that of its way, else the
    lowest free one.
    """
    taken = {source.mixer_input for source in rig.source if source.mixer_input is not None and plugged_in(source)}
    splitters = {splitter.key: splitter for splitter in rig.splitter if splitter.built_in}
    found: Mapping[str, int] = {}
    free = _free(rig, taken)
    for source in rig.source:
        if source.mixer_input is None and plugged_in(source):
            way = own_way(source, splitters)
            number = way if way is not None and way not in taken else next(free, None)
            if number is not None:
                found = {**found, source.key: number}
                taken.add(number)
    return replace(
        rig,
        source=tuple(
            replace(source, mixer_input=found[source.key]) if source.key in found else source for source in rig.source
        ),
    )


def _free(rig: Rig, taken: set[int]) -> Iterator[int]:
    """Inputs that nothing takes, looked at when they are asked for."""
    for number in range(1, (rig.mixer.inputs or len(rig.source)) + 1):
        if number not in taken:
            yield number
