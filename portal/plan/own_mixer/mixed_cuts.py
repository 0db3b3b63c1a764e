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
from portal.plan.phrase import MixerOutput, Phrase, Value, sentences

DEAD_INPUTS = 3
"""So many dead inputs are planned for; more than that is another mixer."""

KIT_ORDER = (Role.HAT, Role.RIDE)


def mixed_cuts(facts: Facts, inputs: tuple[EarInput, ...], lines: tuple[Line, ...], route: Route) -> tuple[Cut, ...]:
    """Own PA: one row for each dead input of the mixer, each on top of those above. Else one for each missing input of
    the house.
    """
    if route is Route.OWN_PA:
        said = _dead_inputs(facts, inputs)
        return tuple(Cut(number, one) for number, one in zip(range(1, DEAD_INPUTS + 1), said, strict=False))
    if route not in MIXED_BY_THE_BAND:
        return ()
    mix = [line for line in lines if line.path.kind == "left-right-mix"]
    apart = len(lines) - len(mix)
    cuts = []
    if len(mix) > 1:
        mono = Phrase("bands-mix-turns-mono", {"output": MixerOutput(mix[0].path.output)})
        cuts.append(Cut(len(lines) - 1, mono))
    if mix:
        cuts.append(Cut(apart, Phrase("mix-has-no-way.but-a-pa" if facts.rig.mix.own_pa else "mix-has-no-way")))
    return tuple(cuts)


def _dead_inputs(facts: Facts, inputs: tuple[EarInput, ...]) -> Iterator[Phrase]:
    """What gives way and who does what, cheapest first: a free input, a second microphone, the hat, a guest's second
    leg.
    """
    taken = {row.mixer_input for row in inputs}
    for number in range(1, (facts.rig.mixer.inputs or 0) + 1):
        if number not in taken:
            yield _freed("dead-input-moves", {}, number, facts, inputs)
    by_key = {source.key: source for source in facts.rig.source}
    rows = {row.source: row for row in inputs if row.mixer_input}
    there = [by_key[key] for key in rows]
    for source in sorted((one for one in there if _gives_way(one)), key=_by_rank):
        number = rows[source.key].mixer_input or 0
        others = tuple(row for row in inputs if row.source != source.key)
        yield _freed("source-gives-way", {"label": source.label}, number, facts, others)
    for source in there:
        other = rows.get(source.pair_with)
        if source.guest and source.position == "left" and other is not None and capture_of(source) != "mic":
            kept = rows[source.key].mixer_input or 0
            pair: dict[str, Value] = {"label": source.label, "other": other.label, "kept": kept}
            others = tuple(row for row in inputs if row is not other)
            yield _freed("pair-gives-way", pair, other.mixer_input or 0, facts, others)


def _freed(key: str, parameters: dict[str, Value], number: int, facts: Facts, others: tuple[EarInput, ...]) -> Phrase:
    """What gives way, with the input of the mixer that is there then and what is done about its 48 V."""
    return Phrase(key, {**parameters, "input": number, "switched": _switched_there(number, facts, others)})


def _switched_there(number: int, facts: Facts, others: tuple[EarInput, ...]) -> Phrase:
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
    fed = {row.phantom for row in on_its_switch}
    key = "48-v-stays-on" if "band" in fed else "48-v-stays-off" if "never" in fed else "48-v-as-the-row-says"
    return Phrase(key, {"input": number})


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
        by_its_receiver = Phrase("way-out-by-a-receiver", {"label": spare.label}) if spare else None
        way_out = by_its_receiver or Phrase("way-out-by-a-loudspeaker")
    silent = Phrase("everything-is-silent")
    return RackDies((), (), tuple(line.line for line in lines), sentences(silent, way_out))
