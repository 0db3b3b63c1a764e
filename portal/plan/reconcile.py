"""The door of the engine: ``reconcile(rig, answers, locks) -> Plan | NoPlan``.

Facts in, one integer programme, one routing out; then numbers, lines with reasons, checks, and what would change with
fewer inputs.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

import portal.plan.rules as _rules  # noqa: F401 - importing enters every rule
from portal.plan.explain import statement
from portal.plan.input.facts import Answers, Facts, Lock, agreed_in, wished_route
from portal.plan.input.rig import Rig
from portal.plan.model import ENGINE, PA, Item, Level, Line, NoPlan, Plan, Remedy, Route, Statement
from portal.plan.options.gig_program import write_program
from portal.plan.options.routing_options import RoutingOptions
from portal.plan.options.routing_policy import goes_of
from portal.plan.own_mixer.mixed_cuts import all_silent, mixed_cuts
from portal.plan.own_mixer.mixed_tonight import MIXED_BY_THE_BAND, NO_DESK, mixed_tonight
from portal.plan.own_mixer.mixer_patch import ear_inputs_of, ears_of, main_outs, outputs_of
from portal.plan.packing.bring_and_leave import bring_and_leave, counted, returns_of
from portal.plan.packing.dead_rack import rack_dies
from portal.plan.packing.item_names import thing
from portal.plan.phrase import SEMICOLONS, Choice, Listed, Phrase, Value, listed, sentences
from portal.plan.registry import CHECKS
from portal.plan.result.lines import lines_of
from portal.plan.result.not_sent import kept_back_of, left_out_of, moves_of, not_sent_of
from portal.plan.result.numbering import number
from portal.plan.result.one_feeder import with_one_feeder
from portal.plan.result.read_back import read_back
from portal.plan.result.routing import Routing, splitters_in_path
from portal.plan.result.runs import Runs, runs_of
from portal.plan.result.spelling import TO_RESOLVE_KEY
from portal.plan.result.transformers import with_transformers
from portal.plan.result.unchecked_plan import UncheckedPlan
from portal.plan.solving.binding_limits import BindingLimits, binding_limits_of
from portal.plan.solving.conflicts import conflicts_of
from portal.plan.solving.cut_list import cut_list
from portal.plan.solving.input_scale import Rung, input_scale
from portal.plan.solving.remedies import remedies_for, remedies_together
from portal.plan.solving.solve import Failure, feasible, solve
from portal.plan.solving.variants import Variants
from portal.plan.solving.would_help import would_help

SCHEMA = 2
FOR_THE_CUTS = Phrase("why.for-the-cut-list")
MIX_ROUTES = (Route.BAND_MIXES, Route.LEFT_RIGHT, Route.ON_OUR_MIXER)


def reconcile(rig: Rig, answers: Answers, locks: Sequence[Lock] = ()) -> Plan | NoPlan:
    """The best routing that both sides' constraints allow, or why there is none.

    ``answers`` holds the newest answer to each question; a missing one is an open question and takes its assumption.
    Never raises for what people typed: inputs are checked where they are read. Same input, same plan. What is sent and
    how does not follow the order of rows; numbers among sources of one kind do.
    """
    outcome = _plan(rig, answers, locks)
    if isinstance(outcome, NoPlan) or not outcome.blocks:
        return outcome
    return replace(
        outcome, blocks=tuple(_with_remedies(block, outcome, rig, answers, locks) for block in outcome.blocks)
    )


def _with_remedies(block: Statement, plan: Plan, rig: Rig, answers: Answers, locks: Sequence[Lock]) -> Statement:
    """The block with the changes that make it go away and bring no other; each was solved again."""
    blocking = {one.key for one in plan.blocks}

    def helps(rig: Rig, answers: Answers) -> bool:
        changed = outline(rig, answers, locks)
        return (
            isinstance(changed, Plan)
            and {one.key for one in changed.blocks} < blocking
            and block.key not in {one.key for one in changed.blocks}
        )

    def settles(others: Sequence[Lock]) -> bool:
        changed = outline(rig, answers, others)
        return (
            isinstance(changed, Plan)
            and {one.key for one in changed.blocks} <= blocking
            and block.said not in {one.said for one in changed.blocks}
        )

    releases = _releases(rig, locks, settles) if block.key == "lock-not-kept" else ()
    return replace(block, remedies=remedies_for([block.key], rig, answers, helps) + releases)


def outline(
    rig: Rig, answers: Answers, locks: Sequence[Lock] = (), *, variants: Variants | None = None
) -> Plan | NoPlan:
    """As ``reconcile``, but without what takes further solves: which limits bind, the cut list, remedies. For comparing
    many variants of one gig: most answers leave the programme as it was, and ``variants`` remembers what it came to.
    """
    return _plan(rig, answers, locks, variants or Variants())


def without_advice(rig: Rig, answers: Answers, locks: Sequence[Lock] = ()) -> Plan | NoPlan:
    """As ``reconcile``, but without what to do about it, which takes most of the solves: the cut list and what is
    packed for it, what would help, remedies. For rigs that are compared over a year.
    """
    return _plan(rig, answers, locks, advice=False)


def _plan(
    rig: Rig, answers: Answers, locks: Sequence[Lock], variants: Variants | None = None, *, advice: bool = True
) -> Plan | NoPlan:
    """The whole result; with ``variants`` its outline."""
    quick = variants is not None
    asked = Facts(rig, answers)
    route = wished_route(asked)
    facts = mixed_tonight(asked, route)
    if route is Route.OWN_PA:
        nothing = Routing((), {}, (), frozenset(), (), 0, splitters_in_path(facts, ()))
        return _finish(asked, facts, route, nothing, BindingLimits(), locks, proven=True)
    forced_mix = route in MIX_ROUTES
    if variants is not None:
        options, outcome = variants.solve(facts, locks, forced_mix=forced_mix)
    else:
        options = write_program(facts, locks, forced_mix=forced_mix)
        outcome = solve(options.program, noting=True)
    if isinstance(outcome, Failure):
        return (
            NoPlan(SCHEMA, "no-plan", "", (), (), (), False, ENGINE)
            if quick
            else _no_plan(asked, options, locks, outcome)
        )
    routing = read_back(options, outcome)
    if quick or route in MIX_ROUTES:
        return _finish(asked, facts, route, routing, BindingLimits(), locks, proven=outcome.proven)
    binding = binding_limits_of(options, outcome)
    plan = _finish(asked, facts, route, routing, binding, locks, proven=outcome.proven)
    if not advice:
        return plan
    helps = would_help(options, outcome, [fact.key for fact in binding.facts], locks)
    fewer = cut_list(options, outcome, plan.lines)
    more = [Item(what, count, FOR_THE_CUTS) for what, count in fewer.more.items()]
    if fewer.linked and not any(line.path.kind == "digital-link" for line in plan.lines):
        more.append(Item(thing("link-cable"), 1, FOR_THE_CUTS))
    return replace(plan, cut_list=fewer.cuts, would_help=helps, bring=counted([*plan.bring, *more]))


OF_THE_INPUTS = ("inputs-free", "sockets-free")
"""The questions that say how many inputs there are."""


def scale_of_inputs(rig: Rig, answers: Answers, locks: Sequence[Lock] = ()) -> tuple[Rung, ...]:
    """What the house's count of working inputs would mean, whatever was answered to it; empty where the plan does not
    hang on it.
    """
    asked = Facts(rig, {key: answer for key, answer in answers.items() if key not in OF_THE_INPUTS})
    route = wished_route(asked)
    if route is Route.OWN_PA or route in MIX_ROUTES:
        return ()
    return input_scale(write_program(mixed_tonight(asked, route), locks))


def price(rig: Rig, answers: Answers) -> tuple[int, ...] | None:
    """What the best plan gives up: counts by step from the dearest to the cheapest, then by ``FINER``, then carry and
    plugs; ``None`` where there is no plan.
    """
    outcome = solve(write_program(Facts(rig, answers)).program, canonical=False)
    return None if isinstance(outcome, Failure) else outcome.cost[:-1]


def _route_of(wished: Route, lines: tuple[Line, ...]) -> Route:
    if wished is not Route.DRY_SPLIT:
        return wished
    kinds = [line.path.kind for line in lines]
    if "left-right-mix" in kinds:
        return Route.MIXTURE
    half = len(kinds) / 2
    for route, members in (
        (Route.HOUSE_SPLIT, ("house-split",)),
        (Route.DRY_SPLIT, ("split", "straight")),
        (Route.DIRECT_OUTS, ("direct-out", "processed-direct-out", "digital-link")),
        (Route.GROUPS, ("group",)),
    ):
        if sum(kind in members for kind in kinds) > half:
            return route
    return Route.MIXTURE


def _with_runs(routing: Routing, runs: Runs, mix: int) -> Routing:
    """The routing with the loom that the mix runs through, to the box at which its inputs are."""
    looms = (runs.loom,) if runs.loom else ()
    second = routing.lines_at_second >= mix
    to_second = frozenset(loom.key for loom in looms) if second else frozenset()
    return replace(routing, looms=looms, loose=0, to_second=to_second)


def _run_mix(lines: tuple[Line, ...], runs: Runs | None, route: Route) -> tuple[Line, ...]:
    """The lines with the cables of the band's own mix; where no desk takes part, at the inputs of the PA. Notes on the
    sources of such a mix stand at the inputs of the band's mixer.
    """
    if runs is None:
        return lines
    sides = {line.line: side for side, line in enumerate(line for line in lines if line.path.kind == "left-right-mix")}
    found = [
        replace(line, run=runs.said(sides[line.line], transformer=True), note="") if line.line in sides else line
        for line in lines
    ]
    if route not in NO_DESK:
        return tuple(found)
    return tuple(
        replace(line, box=PA, box_socket=place, desk_channel=place) for place, line in enumerate(found, start=1)
    )


def _finish(
    asked: Facts,
    facts: Facts,
    wished: Route,
    routing: Routing,
    binding: BindingLimits,
    locks: Sequence[Lock],
    *,
    proven: bool,
) -> Plan:
    mix = sum(sent.kind == "left-right-mix" for sent in routing.lines)
    apart = 0 < routing.lines_at_second < mix
    runs = runs_of(facts, mix, apart=apart) if mix and wished in MIXED_BY_THE_BAND else None
    if runs is not None:
        routing = _with_runs(routing, runs, mix)
    routing = replace(routing, left_out=left_out_of(routing, locks))
    numbered, spare = number(routing, facts, locks)
    run = _run_mix(lines_of(numbered, facts, routing, binding), runs, wished)
    lines = with_one_feeder(with_transformers(run, facts), facts)
    route = _route_of(wished, lines)
    unchecked = UncheckedPlan(facts, route, routing, numbered, lines, proven, tuple(locks), runs)
    returns, still_spare = returns_of(facts, spare)
    not_sent = kept_back_of(asked.rig) if wished in NO_DESK else not_sent_of(facts, routing, binding)
    ear_inputs = ear_inputs_of(facts, asked.rig, lines, routing, route, not_sent)
    outputs = outputs_of(facts, lines, route)
    bring, leave = bring_and_leave(unchecked, asked.rig, returns, ear_inputs, outputs)
    said = _statements(unchecked)
    by_level = {level: tuple(one for one in said if one.level == level) for level in Level}
    return Plan(
        schema=SCHEMA,
        status="plan",
        route=str(route),
        sentence=_sentence(unchecked, by_level[Level.BLOCKS] + by_level[Level.ASKS]),
        lines=lines,
        not_sent=not_sent,
        ear_inputs=ear_inputs,
        ears=ears_of(facts, routing),
        returns=returns,
        bring=bring,
        leave=leave,
        assumed=asked.assumptions(),
        blocks=by_level[Level.BLOCKS],
        asks=by_level[Level.ASKS],
        notes=by_level[Level.NOTES],
        cut_list=mixed_cuts(facts, ear_inputs, lines, route),
        rack_dies=all_silent(facts, lines, route) if route in NO_DESK else rack_dies(lines, facts),
        spare=still_spare,
        proven=proven,
        engine=ENGINE,
        outputs=outputs,
        moves=moves_of(routing),
    )


def _statements(unchecked: UncheckedPlan) -> list[Statement]:
    return [statement(key, finding) for key, check in CHECKS.items() for finding in check(unchecked)]


def _sentence(unchecked: UncheckedPlan, open_things: tuple[Statement, ...]) -> Phrase:
    head = _mixed_by_the_band(unchecked) if unchecked.route in NO_DESK else _sent_to_a_desk(unchecked)
    titles = listed(Choice("rule", one.key) for one in open_things)
    resolve = Phrase(TO_RESOLVE_KEY, {"titles": titles}) if open_things else None
    return sentences(_nothing_entered(unchecked.facts), head, resolve)


def _mixed_by_the_band(unchecked: UncheckedPlan) -> Phrase:
    wanted = sum(goes_of(source) == "both" and not source.fail_over for source in unchecked.sources())
    parameters: dict[str, Value] = {"route": Choice("route-title", unchecked.route.value), "sources": wanted}
    return Phrase("plan-in-the-audiences-mix", {**parameters, "fed": _fed_by(unchecked)})


def _sent_to_a_desk(unchecked: UncheckedPlan) -> Phrase:
    lines = unchecked.lines
    wanted = sum(unit.width for unit in unchecked.routing.units)
    linked = sum(line.box_socket is None for line in lines)
    house = Phrase("two-stage-boxes" if unchecked.routing.inputs_at_second else "house-stage-box")
    sent: dict[str, Value] = {"lines": len(lines) - linked, "house": house}
    there = Phrase("lines-there.and-linked", {**sent, "linked": linked}) if linked else Phrase("lines-there", sent)
    parameters: dict[str, Value] = {"route": Choice("route-title", unchecked.route.value), "lines": there}
    if all(len(line.sources) == 1 for line in lines) and len(lines) == wanted:
        return Phrase("plan-all-separate", parameters)
    return Phrase("plan-of-lines", {**parameters, "sources": Phrase("sources", {"sources": wanted})})


def _nothing_entered(facts: Facts) -> Phrase | None:
    """What to say first of a rig of which only the rows are known; ``None`` where more is."""
    rig = facts.rig
    known = rig.splitter or rig.loom or rig.mixer.outs or rig.mixer.inputs is not None
    return None if known else Phrase("nothing-entered")


def _fed_by(unchecked: UncheckedPlan) -> Phrase:
    """What carries the audience's mix."""
    own = unchecked.route is Route.OWN_PA
    outs = (
        [out.key for out in main_outs(unchecked.facts.rig.mixer)]
        if own
        else [line.path.output for line in unchecked.lines]
    )
    return Phrase("fed-from-outputs", {"outputs": listed(outs)}) if outs else Phrase("fed-by-nothing")


# --- no plan


def _releases(rig: Rig, locks: Sequence[Lock], settles: Callable[[Sequence[Lock]], bool]) -> tuple[Remedy, ...]:
    """Agreed locks whose release alone settles it; all of them together where no single one does."""
    labels = {source.key: source.label for source in rig.source}

    def agreed(lock: Lock) -> Phrase:
        label = labels.get(lock.source, Phrase("source-not-in-the-rig"))
        return Phrase("agreed-for", {"label": label, "agreed": agreed_in(lock)})

    found = [
        Remedy(f"release-{lock.source}-{lock.value}", "both", Phrase("release-lock", {"agreed": agreed(lock)}))
        for lock in locks
        if settles([other for other in locks if other is not lock])
    ]
    if not found and len(locks) > 1 and settles(()):
        every = Listed(tuple(map(agreed, locks)), SEMICOLONS)
        found.append(Remedy("release-all", "both", Phrase("release-lock", {"agreed": every})))
    return tuple(found)


def _no_plan(facts: Facts, options: RoutingOptions, locks: Sequence[Lock], failure: Failure) -> NoPlan:
    if not failure.proven:
        return NoPlan(
            SCHEMA,
            "no-plan",
            Phrase("search-stopped"),
            (),
            (),
            facts.assumptions(),
            True,
            ENGINE,
        )
    conflicts = conflicts_of(options)
    tags = sorted(
        dict.fromkeys(fact.key for conflict in conflicts for fact in conflict.facts),
        key=lambda tag: tag.startswith("must:"),
    )

    def helps(rig: Rig, answers: Answers) -> bool:
        changed = Facts(rig, answers)
        route = wished_route(changed)
        if route is Route.OWN_PA:
            return True
        program = write_program(mixed_tonight(changed, route), locks, forced_mix=route in MIX_ROUTES).program
        return feasible(program) is True

    def settles(tag: str) -> Callable[[Rig, Answers], bool]:
        def settled(rig: Rig, answers: Answers) -> bool:
            route = wished_route(Facts(rig, answers))
            options = write_program(mixed_tonight(Facts(rig, answers), route), locks, forced_mix=route in MIX_ROUTES)
            return all(tag not in {fact.key for fact in conflict.facts} for conflict in conflicts_of(options))

        return settled

    first = _nothing_entered(facts)
    remedies = () if first else remedies_for(tags, facts.rig, facts.answers, helps)
    remedies += _releases(
        facts.rig,
        locks,
        lambda others: feasible(write_program(options.facts, others, forced_mix=options.forced_mix).program) is True,
    )
    if not remedies and not first and len(conflicts) > 1:
        causes = [[fact.key for fact in conflict.facts if not fact.key.startswith("must:")] for conflict in conflicts]
        remedies = remedies_together(causes, facts.rig, facts.answers, helps, settles)
    sentence = sentences(first, Phrase("no-routing"), *(one.said for one in conflicts if isinstance(one.said, Phrase)))
    return NoPlan(SCHEMA, "no-plan", sentence, conflicts, remedies, facts.assumptions(), False, ENGINE)
