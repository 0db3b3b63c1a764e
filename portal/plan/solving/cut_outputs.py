"""What a row of the cut list says of outputs of the band's mixer that go to the house: line level, where 48 V stays
off, and what lies between.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from portal.plan.input.facts import Facts
from portal.plan.model import Line
from portal.plan.packing.item_names import PAD, TRANSFORMER, cable_item, thing
from portal.plan.phrase import Listed, Phrase, Value, listed, metres
from portal.plan.result.lines import pad_db
from portal.plan.result.routing import Routing, Sent, phantom_of
from portal.plan.result.runs import BEHIND_THE_TRANSFORMER_M
from portal.plan.result.socket_banks import BANKS
from portal.plan.result.transformers import asks_for_transformer, bank_said
from portal.plan.result.unchecked_plan import box_input
from portal.plan.solving.cut_clauses import with_how
from portal.plan.solving.cut_places import NOWHERE, Places


@dataclass(frozen=True)
class CutOutputs:
    """For one row: what its lines need in all, which of it the band brings, and the banks whose 48 V has to be ``on``.
    ``pads``: the plan's own, which the band brings, owned or not; ``held``: outputs that are in a loom way already,
    with what lies in it; ``places``: where the plan has them; ``box_inputs``: where it has each source's own line;
    ``lent``: what of it comes from the house, which ``needed`` does not count. ``ends``: where each line ends once the
    row is plugged; ``told``: keys of the sources whose plug it moves, and so says where that goes.
    """

    facts: Facts
    needed: Counter[str]
    on: Listed
    pads: int = 0
    held: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    lent: frozenset[tuple[str, str]] = frozenset()
    places: Mapping[str, Phrase] = field(default_factory=dict)
    box_inputs: Mapping[str, Value] = field(default_factory=dict)
    ends: Places = NOWHERE
    told: frozenset[str] = frozenset()

    def packed(self, key: str) -> bool:
        """Whether the band brings as many as the row needs: it owns them, or brings so many pads for the plan."""
        return self.facts.rig.bits.get(key, 0) >= self.needed[key] or (key == PAD and self.pads >= self.needed[key])

    def _is_ours(self, key: str, lines: Sequence[Sent]) -> bool:
        """Whether the band brings what lies in the lines; what the house lent a row above stays where it is."""
        return self.packed(key) and not any(line.out and (line.out.key, key) in self.lent for line in lines)

    def is_plugged(self, line: Sent) -> bool:
        """Whether the output that a line leaves by is in a way of a loom already."""
        return line.out is not None and line.out.key in self.held

    def placed(self, line: Sent, out: Phrase) -> Phrase:
        """The output of a line as it is said, with where it is plugged already; alone where it is not, or not by the
        plan.
        """
        there = self.places.get(line.out.key) if line.out is not None and self.is_plugged(line) else None
        return Phrase("output-in-its-place", {"output": out, "place": there}) if there else out

    def with_its_place(self, line: Sent, out: Phrase) -> Phrase:
        """The same, and where the row plugs it where it does."""
        to = self._new_place(line)
        return Phrase("output-to-a-place", {"output": out, "place": to}) if to else self.placed(line, out)

    def to_its_place(self, *sides: Sent) -> tuple[Phrase, ...]:
        """Where the row plugs a line in at the house, or both sides of a pair; nothing where it is there."""
        to = listed(place for line in sides if (place := self._new_place(line)))
        return (Phrase("to-a-place", {"place": to}),) if to.listed else ()

    def _new_place(self, line: Sent) -> Phrase | None:
        place = self.ends.of(line)
        is_told = line.out is None and line.plug.key in self.told
        return place.said if place and self.ends.is_new(line) and not is_told else None

    def _is_complete(self, line: Sent) -> bool:
        there = self.held.get(line.out.key) if line.out is not None else None
        return there is not None and set(_things_of(line, self.facts)) <= set(there)

    def between(self, *lines: Sent) -> Phrase | None:
        """What outputs that leave the mixer alike need on their way to the box; ``None`` where they are there."""
        if all(map(self._is_complete, lines)):
            return None
        things = _things_of(lines[0], self.facts)
        several: dict[str, Value] = {"lines": len(lines)}
        parts = [Phrase("line-level")]
        if TRANSFORMER in things:
            lead = {**several, "length": metres(BEHIND_THE_TRANSFORMER_M)}
            ours = self._is_ours(TRANSFORMER, lines)
            parts.append(Phrase("transformer-at-the-box", lead) if ours else Phrase("transformer-lent", several))
        if PAD in things:
            ours = self._is_ours(PAD, lines)
            parts.append(Phrase("pad-last", several) if ours else Phrase("pad-of-the-house"))
        if self.on.listed:
            parts.append(Phrase("box-input-outside", {**several, "banks": self.on}))
        return with_how(*parts, Phrase("48-v-off-never-on"))


def cut_outputs(
    facts: Facts,
    routing: Routing,
    lines: Sequence[Line],
    ends: Places = NOWHERE,
    before: Routing | None = None,
    above: CutOutputs | None = None,
) -> CutOutputs:
    """The same of one routing; ``lines`` are the plan's, whose box inputs the sources keep, ``ends`` where each line
    ends, ``before`` what is plugged when the row comes, ``above`` the row above it.
    """
    there = before.lines if before else ()
    held = {line.out.key: _things_of(line, facts) for line in there if line.out is not None}
    lent = _with_its_partner(_lent(there, above) if above else frozenset(), routing.lines, facts)
    needed = Counter(key for place, key in _placed(routing.lines, facts) if (place, key) not in lent)
    pads = sum(line.pad_db > 0 for line in lines)
    places = {
        line.path.output: _place_of(line)
        for line in lines
        if line.path.unit == "mixer" and line.path.output and line.box_socket
    }
    own = {
        line.sources[0]: number
        for line in lines
        if len(line.sources) == 1 and line.box_socket and ends.is_free(number := box_input(line))
    }
    return CutOutputs(facts, needed, _banks_that_are_on(facts, routing, lines), pads, held, lent, places, own, ends)


def _place_of(line: Line) -> Phrase:
    """The loom way and the box input of a line."""
    there = Phrase("at-box-input", {"input": box_input(line)})
    return Phrase("loom-way-to", {"way": line.loom.way, "input": there}) if line.loom else there


def _placed(lines: Sequence[Sent], facts: Facts) -> list[tuple[str, str]]:
    """What lies in each line, with the output that it leaves the mixer by; no output for what leaves by none."""
    return [(line.out.key if line.out else "", key) for line in lines for key in _things_of(line, facts)]


def _lent(plugged: Sequence[Sent], above: CutOutputs) -> frozenset[tuple[str, str]]:
    """What the house lent up to a row, by output and thing."""
    return frozenset(
        (out, key)
        for out, key in _placed(plugged, above.facts)
        if (out, key) in above.lent or (out and key not in above.held.get(out, ()) and not above.packed(key))
    )


def _with_its_partner(
    lent: frozenset[tuple[str, str]], lines: Sequence[Sent], facts: Facts
) -> frozenset[tuple[str, str]]:
    """What the house lends for one side of a pair it lends for the other, too: a row says it of both at once."""
    pairs = {line.pair for line in lines if line.pair and line.out and any(out == line.out.key for out, _ in lent)}
    both = [line for line in lines if line.pair in pairs]
    kinds = {key for out, key in lent if any(line.out and line.out.key == out for line in both)}
    return lent | {(out, key) for out, key in _placed(both, facts) if out and key in kinds}


def more_than(plan: Sequence[Line], rows: Sequence[CutOutputs]) -> Counter[Phrase]:
    """What the rows need beyond the plan's own lines and the band owns: that much more is packed."""
    there = Counter({PAD: sum(line.pad_db > 0 for line in plan), TRANSFORMER: sum(line.transformer for line in plan)})
    most = Counter[str]()
    for row in rows:
        most |= Counter({key: count for key, count in row.needed.items() if row.packed(key)})
    more = most - there
    lead = cable_item("xlr", BEHIND_THE_TRANSFORMER_M)
    return +Counter({lead: more[TRANSFORMER], **{thing(key): more[key] for key in (TRANSFORMER, PAD)}})


def _things_of(line: Sent, facts: Facts) -> tuple[str, ...]:
    """What lies between a line and its box input, as the plan's own lines have it."""
    isolated = line.output is not None and line.output.kind == "isolated"
    wants = {TRANSFORMER: asks_for_transformer(line.kind, facts, isolated=isolated), PAD: pad_db(line, facts) > 0}
    return tuple(key for key, wanted in wants.items() if wanted)


def _banks_that_are_on(facts: Facts, routing: Routing, lines: Sequence[Line]) -> Listed:
    """The banks of box inputs in which the house feeds a microphone."""
    fed = {source.key for sent in routing.lines if phantom_of(sent) == "house" for source in sent.sources}
    if (switching := facts.value("phantom-switching")) not in BANKS:
        return listed(())
    banks = (bank_said(line, switching) for line in lines if fed & set(line.sources))
    return listed(bank for bank in banks if bank)
