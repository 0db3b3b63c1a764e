"""The engine's short ways to a plan come to what the long ways come to: every pick in the programme, no priority taken
for untouched, every search left to the solver, every limit asked about by itself, every answer solved anew.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

import pytest

from portal.plan import Plan, reconcile
from portal.plan.input.answer_kinds import Choice, Sockets, Value
from portal.plan.input.facts import Answer, Answers, Facts
from portal.plan.input.questions import QUESTIONS
from portal.plan.input.rig import Rig
from portal.plan.options.boxes import usable_looms
from portal.plan.options.capacities import with_inputs
from portal.plan.options.gig_program import write_program
from portal.plan.options.program import Program, relaxed
from portal.plan.options.routing_options import RoutingOptions
from portal.plan.reconcile import outline
from portal.plan.solving import loaded_program, variants
from portal.plan.solving import solve as solver
from portal.plan.solving.binding_limits import _binding, _may_bind, binding_limits_of
from portal.plan.solving.open_questions import open_questions
from portal.plan.solving.solve import RARE, Failure, Solution, gives_up_less, solve, untouched_by
from portal.plan.solving.variants import Variants
from portal.wording.plan.saying import say
from tests.bench.line_ups import SHAPES, line_up
from tests.plan.gigs import gig, medium

GIGS = [(gig, seed) for seed in range(120)] + [(medium, seed) for seed in range(6)]
MANY = [(gig, seed) for seed in range(10_000, 12_000)] + [(medium, seed) for seed in range(10_000, 11_000)]
FEWER = range(5)


def whole(program: Program) -> Program:
    """The programme with the picks that others better."""
    return replace(program, bettered=frozenset())


def the_long_way(program: Program) -> Solution | Failure:
    """The best solution by the solver's own search, with every pick and no priority taken for untouched."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(loaded_program, "MOST_BRANCHES", 0)
        return solve(whole(program), untouched=0)


def same(short: Solution | Failure, long: Solution | Failure) -> bool:
    """The same picks at the same price, or nothing both times."""
    if isinstance(short, Failure) or isinstance(long, Failure):
        return short == long
    return (short.chosen, short.cost) == (long.chosen, long.cost)


def differences(options: RoutingOptions, fewer: Iterable[int]) -> Iterable[str]:
    """What the short way and the long way disagree on: the gig as it is, and with fewer inputs than it uses."""
    found = solve(options.program)
    if not same(found, the_long_way(options.program)):
        yield "the plan"
    if isinstance(found, Failure):
        return
    used = sum(options.uses[index].inputs * count for index, count in found.chosen.items() if index in options.uses)
    for inputs in (used - less for less in fewer if used > less):
        program = with_inputs(options, inputs).program
        short = solve(program, untouched=min(RARE, untouched_by(found)))
        if not same(short, the_long_way(program)):
            yield f"{inputs} inputs"


@pytest.mark.parametrize(("make", "seed"), GIGS, ids=lambda what: getattr(what, "__name__", what))
def test_the_short_way_finds_the_long_ways_plan(make: Any, seed: int) -> None:
    """The same picks, for the inputs that there are and for a few fewer."""
    assert not list(differences(write_program(Facts(*make(seed))), FEWER[::2]))


@pytest.mark.soak
def test_the_short_way_finds_the_long_ways_plan_at_3000_gigs() -> None:
    """The same, at five numbers of inputs each."""
    wrong = [
        f"{make.__name__}({seed}): {what}"
        for make, seed in MANY
        for what in differences(write_program(Facts(*make(seed))), FEWER)
    ]
    assert not wrong


def test_picks_that_others_better_are_left_out() -> None:
    """A line through a way of the source's own betters an output of the band's mixer, and staying out for a reason
    betters staying out for none; a pick that some limit can make the best stays.
    """
    left = Counter[str]()
    for make, seed in GIGS:
        program = write_program(Facts(*make(seed))).program
        left.update(program.picks[index].mode for index in program.bettered)
    assert {"own|direct-out", "own|processed-direct-out", "out|left-out"} <= set(left)
    assert not {mode for mode in left if mode.startswith(("group", "mix", "own|split:own-way", "in|mix"))}


def test_limits_asked_about_together_bind_as_by_themselves() -> None:
    """Halving a list of limits names those that asking one by one names, in the same order."""
    seen = Counter[int]()
    for make, seed in GIGS:
        program = write_program(Facts(*make(seed))).program
        found = solve(program)
        if isinstance(found, Failure) or not any(found.given_up):
            continue
        tags = [tag for tag in dict.fromkeys(_may_bind(program)) if tag]
        alone = [tag for tag in tags if gives_up_less(relaxed(program, frozenset({tag})), found)]
        assert _binding(program, tags, found) == alone, f"{make.__name__}({seed})"
        seen[len(alone)] += 1
    assert len(seen) > 2


def test_without_rows_that_a_plan_does_not_rest_on_no_less_is_given_up() -> None:
    """What the proof of a plan has no use for need not be asked about, neither alone nor all together."""
    left = 0
    for make, seed in GIGS:
        program = write_program(Facts(*make(seed))).program
        found = solve(program, noting=True)
        if isinstance(found, Failure) or not any(found.given_up):
            continue
        assert found.rests_on is not None
        others = {row.tag for row in program.rows if row.tag} - found.rests_on
        assert not gives_up_less(relaxed(program, frozenset(others)), found), f"{make.__name__}({seed})"
        left += len(others)
    assert left > 100


def test_limits_that_bind_only_together_are_sought_among_all() -> None:
    """One proof that no less is given up may use other rows than the limits that bind together: here the looms."""
    options = write_program(Facts(*line_up(next(shape for shape in SHAPES if shape.name == "32/16"), 4)))
    found = solve(options.program, noting=True)
    assert isinstance(found, Solution)
    assert found.rests_on is not None
    named = [fact.key for fact in binding_limits_of(options, found).facts]
    assert [fact.key for fact in binding_limits_of(options, replace(found, rests_on=None)).facts] == named
    assert named == ["inputs-free", "splitter-ways:s1", "looms"]
    assert not any(gives_up_less(relaxed(options.program, frozenset({tag})), found) for tag in named)
    assert "looms" not in found.rests_on


def test_programmes_with_the_same_picks_share_a_solver() -> None:
    """One after another in any order, each comes to what it comes to by itself."""
    rig, answers = medium(3)
    options = write_program(Facts(rig, answers))
    programs = [options.program, relaxed(options.program, frozenset({"looms", "free-outs"}))]
    programs += [with_inputs(options, inputs).program for inputs in (9, 5, 12)]
    alone = [solve(replace(program)) for program in programs]
    assert len({str(one) for one in alone}) > 2
    for place in (0, 3, 1, 4, 2, 0, 4):
        assert same(solve(programs[place]), alone[place])


def test_a_look_at_the_open_questions_solves_no_programme_twice(monkeypatch: pytest.MonkeyPatch) -> None:
    """Most answers leave the programme as it is; only what is new is solved."""
    solved: list[object] = []
    really = solver.solve

    def counted(program: Program, **how: Any) -> Solution | Failure:
        solved.append((tuple(program.picks), tuple(program.rows)))
        return really(program, **how)

    monkeypatch.setattr(solver, "solve", counted)
    tried = 0
    for make, seed in GIGS[:12]:
        solved.clear()
        rig: Rig = make(seed)[0]
        nothing: Answers = {}
        tried += open_questions(rig, nothing).solves
        assert len(solved) == len(set(solved))
        assert solved
        tried -= len(solved)
    assert tried > 100


def answers_to(key: str) -> list[Answer]:
    """A few answers to a question, from its smallest to its largest."""
    kind = QUESTIONS[key].kind
    values: list[Value] = [option.key for option in kind.options] if isinstance(kind, Choice) else [1, 9, 700]
    if isinstance(kind, Sockets):
        values = ["1-6", "3-12, 15"]
    return [Answer("answered", value, "assumed") for value in values]


def test_variants_of_a_gig_share_their_programmes_and_nothing_else(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever is answered to any question, the outline of a variant is the one that it has by itself; where nothing
    that a programme was written from is otherwise, none is written.
    """
    written: list[object] = []
    really = variants.write_program

    def counted(facts: Facts, locks: Any, **how: Any) -> RoutingOptions:
        written.append(facts)
        return really(facts, locks, **how)

    monkeypatch.setattr(variants, "write_program", counted)
    tried = 0
    for make, seed in (*GIGS[:6], GIGS[-1]):
        rig, answers = make(seed)
        shared = Variants()
        for key, question in QUESTIONS.items():
            if question.retired or question.free_words:
                continue
            for answer in answers_to(key):
                other = {**answers, key: answer}
                alone = outline(rig, other)
                written.clear()
                assert outline(rig, other, variants=shared) == alone, f"{make.__name__}({seed}) {key} {answer.value}"
                tried += 1 - len(written)
    assert tried > 300


def test_a_sub_loom_has_the_ways_that_the_plan_with_it_takes() -> None:
    """What would help names no number that another plan of the same price would change."""
    rig, answers = gig(1846)
    plan = reconcile(rig, answers)
    assert isinstance(plan, Plan)
    text = next(say(one.said) for one in plan.would_help if one.key == "lend-a-sub-loom")
    options = write_program(Facts(rig, answers))
    without = solve(relaxed(options.program, frozenset({"looms"})))
    assert isinstance(without, Solution)
    lines = sum(options.uses[index].lines for index in without.chosen if index in options.uses)
    ways = lines - sum(loom.ways for loom in usable_looms(options.facts))
    assert text.startswith(f"The house lends a sub-loom of {ways} ways")
