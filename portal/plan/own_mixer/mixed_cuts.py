"""What changes when something of the band's own mix fails: an input of its mixer, or an input of the PA. And what lives
when the rack dies: nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from portal.plan.input.facts import Facts
from portal.plan.input.kinds import Role
from portal.plan.input.rig import Source
from portal.plan.model import Cut, EarInput, Line, RackDies, Route
from portal.plan.options.routing_policy import capture_of, role_of
from portal.plan.own_mixer.mixed_tonight import MIXED_BY_THE_BAND
from portal.plan.own_mixer.mixer_switches import switch_of
from portal.plan.phrase import Phrase, sentences

DEAD_INPUTS = 3
"""So many dead inputs are planned for; more than that is another mixer."""

KIT_ORDER = (Role.HAT, Role.RIDE)


def mixed_cuts(facts: Facts, inputs: tuple[EarInput, ...], lines: tuple[Line, ...], route: Route) -> tuple[Cut, ...]:
    """Own PA: one row for each dead input of the mixer, each on top of those above. Else one for each missing input of
    the house.
    """
    if route is Route.OWN_PA:
        texts = _dead_inputs(facts, inputs)
        return tuple(Cut(number, text) for number, text in zip(range(1, DEAD_INPUTS + 1), texts, strict=False))
    if route not in MIXED_BY_THE_BAND:
        return ()
    mix = [line for line in lines if line.path.kind == "left-right-mix"]
    apart = len(lines) - len(mix)
    cuts = []
    if len(mix) > 1:
        text = (
            f"the band's own mono mix on output {mix[0].path.output}, the cables of the right side unplugged and coiled"
        )
        cuts.append(Cut(len(lines) - 1, text))
    if mix:
        helps = "the band brings its own PA, or " if facts.rig.mix.own_pa else ""
        cuts.append(Cut(apart, f"no plan: the mix has no way to the PA; would help: {helps}the house finds an input"))
    return tuple(cuts)


def _dead_inputs(facts: Facts, inputs: tuple[EarInput, ...]) -> Iterator[str]:
    """What gives way and who does what, cheapest first: a free input, a second microphone, the hat, a guest's second
    leg.
    """
    taken = {row.mixer_input for row in inputs}
    for number in range(1, (facts.rig.mixer.inputs or 0) + 1):
        if number not in taken:
            yield (
                "Band: 48 V off at the dead input. Its plug moves to mixer input"
                f" {number}, its channel is patched to that input. {_switched_there(number, facts, inputs)}"
            )
    by_key = {source.key: source for source in facts.rig.source}
    rows = {row.source: row for row in inputs if row.mixer_input}
    there = [by_key[key] for key in rows]
    for source in sorted((one for one in there if _gives_way(one)), key=_by_rank):
        number = rows[source.key].mixer_input or 0
        others = tuple(row for row in inputs if row.source != source.key)
        yield (
            f"{source.label} gives up mixer input {number} and stays unplugged. Band: 48 V off there, then the dead"
            f" input's plug goes in. {_switched_there(number, facts, others)}"
        )
    for source in there:
        other = rows.get(source.pair_with)
        if source.guest and source.position == "left" and other is not None and capture_of(source) != "mic":
            yield (
                f"{source.label} and {other.label} in mono on mixer input {rows[source.key].mixer_input}, from their"
                f" own mono output; mixer input {other.mixer_input} is free for the dead input's plug."
                f" {_switched_there(other.mixer_input or 0, facts, tuple(row for row in inputs if row is not other))}"
            )


def _switched_there(number: int, facts: Facts, others: tuple[EarInput, ...]) -> str:
    """What is done about 48 V at the input that a plug moves to; where a switch feeds several inputs, ``others`` on it
    decide.
    """
    mixer = facts.rig.mixer
    switch = switch_of(number, mixer)
    on_its_switch = [
        row
        for row in others
        if switch is not None and row.mixer_input is not None and switch_of(row.mixer_input, mixer) == switch
    ]
    if any(row.phantom == "band" for row in on_its_switch):
        return f"48 V stays on at mixer input {number}: never for a receiver, a ribbon or a line output"
    if any(row.phantom == "never" for row in on_its_switch):
        return f"48 V stays off at mixer input {number}: only for a source whose row does not say “ON, band”"
    return f"48 V on at mixer input {number} only if the source's row says “ON, band”"


def _gives_way(source: Source) -> bool:
    return bool(source.second_of) or role_of(source) in KIT_ORDER


def _by_rank(source: Source) -> tuple[bool, int, str]:
    role = role_of(source)
    return (not source.second_of, KIT_ORDER.index(role) if role in KIT_ORDER else 0, source.key)


def all_silent(facts: Facts, lines: tuple[Line, ...], route: Route) -> RackDies:
    """The audience's mix and the in-ears come from the rack; a way out is named where the band brings the PA."""
    way_out = None
    if route is Route.OWN_PA:
        spare = next((source for source in facts.rig.source if source.guest and capture_of(source) == "wireless"), None)
        small = next((one.name for one in facts.rig.standing if "mixer" in one.name.casefold()), None)
        if spare:
            way_out = Phrase("way-out-by-a-receiver", {"label": spare.label})
        elif small:
            way_out = Phrase("way-out-by-a-mixer", {"mixer": small})
        else:
            way_out = Phrase("way-out-by-a-loudspeaker")
    silent = Phrase("everything-is-silent")
    return RackDies((), (), tuple(line.line for line in lines), sentences(silent, way_out))
