"""Which lines survive when the band's rack dies, and what the house may do about those that lost their 48 V."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from portal.plan.input.facts import Facts
from portal.plan.model import Line, RackDies
from portal.plan.packing.source_cables import stands_in_the_rack
from portal.plan.phrase import Numbers, Phrase, Value, sentences
from portal.plan.result.one_feeder import reached_by_the_house
from portal.plan.result.spelling import desk_switch, leg_of
from portal.plan.result.transformers import bank_of, bank_said, behind_a_transformer, on_one_switch
from portal.plan.result.unchecked_plan import inputs, labels_of


def rack_dies(lines: tuple[Line, ...], facts: Facts) -> RackDies:
    """Which lines stay alive on the passive split, which lose 48 V, which go silent with the band's rack. Where
    a rig does not say where its wireless receivers take their power, the band's own are assumed to stand in the rack.
    """
    in_rack = {source.key for source in facts.rig.source if stands_in_the_rack(source)}
    assumed = {source.key for source in facts.rig.source if source.in_rack is None} & in_rack
    passive = [
        line
        for line in lines
        if not (line.path.unit == "mixer" or (line.path.way is not None and line.gain_owner == "band"))
    ]
    received = {line.line for line in passive if in_rack & set(line.sources)}
    silent = tuple(line.line for line in lines if line not in passive or line.line in received)
    lose = tuple(
        line.line
        for line in lines
        if line.line not in silent
        and (line.phantom == "splitter" or (line.phantom == "band" and not reached_by_the_house(line, lines, facts)))
    )
    alive = tuple(line.line for line in lines if line.line not in silent and line.line not in lose)
    direct = [line for line in passive if line.line in lose and leg_of(line.path) == "direct"]
    taken = [line for line in passive if assumed & set(line.sources)]
    by_number = {line.line: line for line in lines}
    said = [
        Phrase(key, _channels(by_number[number] for number in numbers))
        for numbers, key in ((alive, "rack-alive"), (lose, "rack-loses-48-v"), (silent, "rack-silent"))
        if numbers
    ]
    said += _may_come_back(direct, frozenset(silent), lines, facts)
    if taken:
        said.append(Phrase("rack-holds-receivers", _channels(taken)))
    return RackDies(alive, lose, silent, sentences(*said) if said else Phrase("nothing-goes-to-the-house"))


def _channels(lines: Iterator[Line] | Sequence[Line]) -> dict[str, Value]:
    return {"channels": Numbers(tuple(sorted({line.desk_channel for line in lines})))}


def _may_come_back(
    direct: Sequence[Line], silent: frozenset[int], lines: tuple[Line, ...], facts: Facts
) -> Iterator[Phrase]:
    """What may come back on the house's own 48 V, switch by switch: what its switch would harm is unplugged first, or
    still works, and then the switch stays off.
    """
    switching = facts.value("phantom-switching")
    there: dict[tuple[str, int] | None, list[Line]] = {}
    for line in direct:
        there.setdefault(bank_of(line, switching) if bank_said(line, switching) else None, []).append(line)
    if None in there:
        yield Phrase("rack-may-come-back", _channels(there.pop(None)))
    coming: list[Line] = []
    told: list[Phrase] = []
    for back in there.values():
        bank = bank_said(back[0], switching) or ""
        harmed = [line for line in on_one_switch(back[0], lines, facts) if _is_harmed(line, facts)]
        at: dict[str, Value] = {"bank": bank, "inputs": inputs(harmed)}
        if any(line.line not in silent for line in harmed):
            yield Phrase("rack-must-not-come-back", {**_channels(back), **at, "labels": labels_of(harmed)})
        else:
            coming += back
            told.append(Phrase("unplugged-before-48-v", at) if harmed else Phrase("muted-before-48-v", {"bank": bank}))
    if coming:
        yield Phrase("rack-may-come-back.in-a-bank", _channels(coming))
        yield from told


def _is_harmed(line: Line, facts: Facts) -> bool:
    """Whether the house's 48 V on a line's input would reach what it can damage."""
    return desk_switch(line) == "never" and not behind_a_transformer(line, facts)
