"""What changes with fewer working inputs than the plan uses, row on row, each as an instruction to carry out."""

from __future__ import annotations

from dataclasses import dataclass

from portal.plan.input.facts import Facts
from portal.plan.input.rig import Source
from portal.plan.model import Cut
from portal.plan.options.boxes import working_inputs
from portal.plan.options.capacities import with_inputs
from portal.plan.options.routing_options import RoutingOptions
from portal.plan.options.routing_policy import STEPS
from portal.plan.options.units import Unit
from portal.plan.result.lines import how_mono, pad_db, stays_in_its_case
from portal.plan.result.routing import Routing, Sent, read_back
from portal.plan.result.unchecked_plan import named
from portal.plan.solving.solve import RARE, Failure, Solution, solve, untouched_by

CUTS = 4
TYPICAL_INPUTS = (16, 12, 8)
"""Shown while nobody knows how many inputs there are."""


@dataclass(frozen=True)
class Phrase:
    """One thing that is given up, and how it is done. Two phrases with the same ``what`` are one thing."""

    what: str
    how: str = ""

    @property
    def text(self) -> str:
        """Both as one clause."""
        return f"{self.what}{self.how}"


def cut_list(options: RoutingOptions, solution: Solution, sent: int) -> tuple[Cut, ...]:
    """What else is given up with the next few inputs gone; the usual sizes as long as nobody knows."""
    counts = [sent - step for step in range(1, CUTS + 1)]
    if working_inputs(options.facts) is None:
        counts = [count for count in TYPICAL_INPUTS if count < sent] or counts
    routing = read_back(options, solution)
    before = {one.what: one for one in given_up(options, routing)}
    away = _not_in_the_ears(routing)
    cuts: list[Cut] = []
    for count in counts:
        if count < 1:
            break
        fewer = with_inputs(options, count)
        outcome = solve(fewer.program, untouched=min(RARE, untouched_by(solution)))
        if isinstance(outcome, Failure):
            if outcome.proven:
                cuts.append(Cut(count, "no plan: something that must be heard cannot be sent"))
            break
        after = read_back(fewer, outcome)
        given = {one.what: one for one in given_up(fewer, after, away)}
        more = [one.text for what, one in given.items() if what not in before]
        # A sum that grew says so by itself; only what really comes back is named.
        back = [
            what
            for what in sorted(before)
            if what not in given and not any(word in what for word in (" on one ", "digital link"))
        ]
        text = "; ".join(more) or _plugged_elsewhere(routing, after)
        undone = f" (and no longer: {'; '.join(back)})" if back and "the band's own" not in text else ""
        cuts.append(Cut(count, text + undone))
        solution = outcome
        before, routing, away = given, after, _not_in_the_ears(after)
    return tuple(cuts)


def _not_in_the_ears(routing: Routing) -> frozenset[str]:
    return frozenset(line.sources[0].key for line in routing.lines if line.step == "out-of-the-ears")


def given_up(options: RoutingOptions, routing: Routing, away: frozenset[str] = frozenset()) -> list[Phrase]:
    """What a routing gives up, cheapest step first. ``away``: sources that were out of the ears before."""
    facts = options.facts
    phrases: list[tuple[int, Phrase]] = []
    rank = {step: position for position, step in enumerate(STEPS)}
    for line in routing.lines:
        if line.kind == "left-right-mix":
            if line.side != "R":
                return [_mix(routing)]
        elif line.side != "R" and (phrase := _shared(line, facts)):
            phrases.append((rank.get(line.step, 0), phrase))
        elif line.kind == "digital-link":
            phrases.append((rank[line.kind], Phrase(f"{line.label} over the digital link")))
        elif line.kind.endswith("direct-out") and line.out and len(line.sources) == 1:
            phrases.append((rank[line.kind], Phrase(f"{line.label} on direct out {_bare(line.out.key)}")))
    steps = {line.without.key: line.step for line in routing.lines if line.without}
    carried = {source.key for line in routing.lines for source in line.sources}
    for unit in options.units:
        for leg in unit.legs:
            if leg.key not in carried:
                step = steps.get(leg.key) or routing.modes[unit.key].removeprefix("out|")
                phrases.append((rank[step], Phrase(f"{leg.label} {_where(unit, step)}", _back(leg, away, unit, step))))
    return [phrase for _, phrase in sorted(phrases, key=lambda pair: pair[0])]


def _where(unit: Unit, step: str) -> str:
    silent = unit.fail_over or unit.house_only or stays_in_its_case(unit, step)
    return "not plugged" if silent else "ears only"


def _back(source: Source, away: frozenset[str], unit: Unit, step: str) -> str:
    if source.key not in away or _where(unit, step) == "not plugged" or source.mixer_input is None:
        return ""
    return f", back into mixer input {source.mixer_input}"


def _shared(line: Sent, facts: Facts) -> Phrase | None:
    """Several sources on one line or pair, and what makes them one; ``None`` for one source."""
    if len(line.sources) == 1:
        return None
    labels = named(source.label for source in line.sources)
    if line.made_mono in ("jack", "switch"):
        return Phrase(f"{labels} to mono", f": {how_mono(line)}")
    if line.made_mono == "bus":
        return Phrase(f"{labels} to mono", f" on a bus,{_from(line, facts)}")
    where = f"{labels} on one {'pair' if line.side else 'line'}"
    if line.step == "share-a-line":
        return Phrase(where, ", by an A/B switch")
    if line.step == "own-submix":
        return Phrase(where, ", from the player's own submixer")
    return Phrase(where, f",{_from(line, facts)}")


def _from(line: Sent, facts: Facts) -> str:
    """Out of the mixer, and where to: the way that the first of the sources leaves free."""
    if line.out is None:
        return ""
    pads = pad_db(line, "line", facts) and facts.rig.bits.get("pad_20_db", 0)
    way = f", by a cable into the loom way that {line.sources[0].label} leaves" if facts.rig.loom else ""
    return f" from output {_bare(line.out.key)}{way}{', with a pad of 20 dB' if pads else ''}"


def _bare(key: str) -> str:
    return key.removeprefix("out-")


def _mix(routing: Routing) -> Phrase:
    mix = [line for line in routing.lines if line.kind == "left-right-mix"]
    apart = named(line.label for line in routing.lines if line.kind != "left-right-mix")
    outputs = " and ".join(f"output {_bare(line.out.key)}" for line in mix if line.out)
    width = "left/right" if len(mix) > 1 else "mono"
    what = f"the band's own {width} mix from {outputs}"
    return Phrase(f"{what}, with {apart} apart" if apart else f"{what}, nothing apart")


def _plugged_elsewhere(before: Routing, after: Routing) -> str:
    """The same sources, and which of them are plugged in another way."""
    there = {line.sources: _plug(line) for line in before.lines}
    moved = [f"{line.label} {_plug(line)}" for line in after.lines if there.get(line.sources) != _plug(line)]
    return "the same lines, plugged in another way" + (f": {', '.join(moved)}" if moved else "")


def _plug(line: Sent) -> str:
    if line.out is not None:
        return f"from output {_bare(line.out.key)}"
    if line.splitter is not None:
        return f"through way {line.way}"
    return "straight into the box" if line.kind == "straight" else "over the digital link"
