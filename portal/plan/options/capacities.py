"""What there is only so much of: inputs, splitter ways, outputs, busses, transformers, looms and loose cables."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from portal.plan.input.rig import Source, Splitter
from portal.plan.options.boxes import (
    DISTANCE,
    FIRST,
    SECOND,
    cables_reaching,
    first_box_inputs,
    looms_reaching,
    second_box_inputs,
    working_inputs,
)
from portal.plan.options.program import Pick, Program, relaxed
from portal.plan.options.routing_options import NO_48_V, RoutingOptions, SecondBox
from portal.plan.options.routing_policy import never_phantom
from portal.plan.options.shared_lines import submix_legs
from portal.plan.options.units import Unit, exchanges_sockets, own_way

LOOSE_CABLE_CARRY = 3
"""A loose cable is a nuisance to carry: three ways' worth (our own scale; only the order of whole plans depends on
it).
"""

SUBMIXES = {"submix-1": 1, "submix-2": 2}
"""How a submix travels, and how many of its legs carry it."""

EXCHANGE_PLUGS = 2
"""Two sources exchange their sockets."""


def with_inputs(options: RoutingOptions, inputs: int) -> RoutingOptions:
    """The same programme for another number of working inputs."""
    fewer = relaxed(options.program, frozenset({"inputs-free"}))
    _input_rows(options, fewer, inputs)
    return replace(options, program=fewer)


def _input_rows(options: RoutingOptions, program: Program, inputs: int) -> None:
    used = {index: use.inputs for index, use in options.uses.items()}
    program.at_most(used, inputs, "inputs-free")
    if options.second:
        program.at_most(used | {options.second.inputs: -1}, first_box_inputs(options.facts) or 0, "inputs-free")


def _second_box(options: RoutingOptions) -> SecondBox:
    """How many of the inputs and of the lines go to the second box, each a plug more: a second place to walk to."""
    program, most = options.program, second_box_inputs(options.facts)
    inputs = program.add(Pick("second-box", "second-box", plugs=1, most=most))
    lines = program.add(Pick("second-box-lines", "second-box-lines", most=most))
    program.implies(lines, inputs)
    program.at_most({lines: 1} | {index: -use.lines for index, use in options.uses.items()}, 0)
    # What goes there without a line through a loom or cable of the band is no more than there is of it.
    beside = {index: use.lines - use.inputs for index, use in options.uses.items()}
    program.at_most({inputs: 1, lines: -1} | beside, 0)
    return SecondBox(inputs, lines)


def resources(options: RoutingOptions) -> None:
    """The rows of everything that there is only so much of."""
    facts, program = options.facts, options.program
    rig, mixer = facts.rig, facts.rig.mixer
    inputs = working_inputs(facts)
    if second_box_inputs(facts):
        options.second = _second_box(options)
    if inputs is not None:
        _input_rows(options, program, inputs)
    _splitter_rows(options)
    free = [out for out in mixer.outs if out.use == "free"]
    main = [out for out in mixer.outs if out.use == "main"]
    whole = {out.key for out in mixer.outs}
    for mix in rig.ears:
        if mix.width == "stereo" and len(mix.outs) > 1 and mix.outs[-1] in whole:
            whole -= set(mix.outs)  # no output is freed twice, whatever the rig says
            pick = Pick(f"fold:{mix.fold}", "fold", unit=mix.player, gives=(("ear-mix-to-mono", 1),))
            options.fold_picks.append(program.add(pick))
    directs = {index: use.unprocessed + use.processed for index, use in options.uses.items()}
    program.at_most(
        {index: use.unprocessed for index, use in options.uses.items()},
        sum(out.unprocessed for out in free),
        "unprocessed-outs",
    )
    program.at_most(directs, len(free), "free-outs")
    all_outs = {index: directs[index] + use.bus_outs for index, use in options.uses.items()}
    program.at_most(all_outs | dict.fromkeys(options.fold_picks, -1), len(free) + len(main), "free-outs")
    program.at_most({index: use.stereo_busses for index, use in options.uses.items()}, mixer.stereo_busses, "busses")
    both = {index: use.stereo_busses + use.mono_busses for index, use in options.uses.items()}
    program.at_most(both, mixer.stereo_busses + mixer.mono_busses, "busses")
    links = sum(link.channels for link in mixer.links)
    program.at_most({index: use.links for index, use in options.uses.items()}, links, "link-channels")
    if facts.value("what-they-want") == "split-each-source":
        program.at_most({index: use.processed for index, use in options.uses.items()}, 0, "dry-only")
    if options.isolation_required:
        owned = rig.bits.get("isolating_transformer", 0)
        program.at_most({index: use.transformers for index, use in options.uses.items()}, owned, "isolation")
        program.at_most({index: use.cut_off for index, use in options.uses.items()}, 0, NO_48_V)
    if rig.loom and not options.forced_mix:
        _loom_rows(options, FIRST)
        if options.second:
            _loom_rows(options, SECOND)
            _both_boxes(options)


def _splitter_rows(options: RoutingOptions) -> None:
    program = options.program
    for splitter in sorted(options.facts.rig.splitter, key=lambda splitter: splitter.key):
        taken = {own_way(source, {splitter.key: splitter}) for source in options.facts.rig.source} - {None}
        free = splitter.ways - len(taken)
        wanted = {index: dict(use.new_ways).get(splitter.key, 0) for index, use in options.uses.items()}
        tag = f"splitter-ways:{splitter.key}"
        if exchanges_sockets(options.facts, splitter) and any(wanted.values()):
            wanted[_exchanged(options, splitter)] = -1
            never = {index: dict(use.never_ways).get(splitter.key, 0) for index, use in options.uses.items()}
            program.at_most(never, max(0, free), tag)
        program.at_most(wanted, max(0, free), tag)
        carried = options.splitter_picks.get(splitter.key)
        if carried is not None:
            through = [index for index, use in options.uses.items() if splitter.key in use.splitters]
            for terms in options.by_unit(through):
                program.at_most(terms | {carried: -1}, 0)


def _exchanged(options: RoutingOptions, splitter: Splitter) -> int:
    """The pick that counts ways whose wired source leaves them to another: it travels without them, and 48 V can do it
    no harm on the other's socket.
    """
    program, splitters = options.program, {splitter.key: splitter}
    pick = Pick(f"exchange|{splitter.key}", "exchange", unit=splitter.key, plugs=EXCHANGE_PLUGS, most=splitter.ways)
    index = options.exchange_picks[splitter.key] = program.add(pick)
    by_key = {unit.key: unit for unit in options.units}
    leaving: dict[int, int] = {}
    for other in options.uses:
        picked = program.picks[other]
        legs = leaving_their_ways(picked.mode, [by_key[key] for key in picked.units])
        if count := sum(own_way(leg, splitters) is not None and not never_phantom(leg) for leg in legs):
            leaving[other] = -count
    program.at_most({index: 1} | leaving, 0)
    return index


def leaving_their_ways(mode: str, units: Sequence[Unit]) -> tuple[Source, ...]:
    """The legs that need no way of a splitter where their units travel like this, so that others may take theirs."""
    what, _, how = mode.partition("|")
    legs = tuple(leg for unit in units for leg in unit.legs)
    if what == "out":
        return legs
    if what == "duet":
        return legs[1:] if how.startswith("split:") else legs
    if how.startswith("split:") or how == "bus":
        return ()
    if what in SUBMIXES:
        return submix_legs(units)[: SUBMIXES[what]]
    return {"own": legs, "mono": legs[:1]}.get(what, ())


def _loom_rows(options: RoutingOptions, box: str) -> None:
    """Every line that does not go past the loom takes a way or a loose cable that reaches its box; ``Use.lines`` counts
    those of both boxes.
    """
    facts, program = options.facts, options.program
    there = f"|{SECOND}" if box == SECOND else ""
    supply: dict[int, int] = {}
    for loom in looms_reaching(facts, box):
        pick = Pick(f"loom|{loom.key}{there}", "carry-loom", unit=loom.key, carry=loom.ways)
        index = options.loom_picks[box, loom.key] = program.add(pick)
        supply[index] = -loom.ways
    cables = cables_reaching(facts, box)
    if cables:
        pick = Pick(f"loose-cables{there}", "loose-cables", carry=LOOSE_CABLE_CARRY, plugs=1, most=cables)
        options.loose_picks[box] = program.add(pick)
        supply[options.loose_picks[box]] = -1
    lines = {index: use.lines for index, use in options.uses.items()}
    if options.second:
        lines = {options.second.lines: 1} if box == SECOND else lines | {options.second.lines: -1}
    program.at_most(lines | supply, 0, "looms")


def _both_boxes(options: RoutingOptions) -> None:
    """A loom runs to one box only, and no loose cable runs to both."""
    program = options.program
    for loom in options.facts.rig.loom:
        picks = {options.loom_picks[box, loom.key]: 1 for box in DISTANCE if (box, loom.key) in options.loom_picks}
        program.at_most(picks, 1)
    program.at_most(
        dict.fromkeys(options.loose_picks.values(), 1), max(cables_reaching(options.facts, box) for box in DISTANCE)
    )
