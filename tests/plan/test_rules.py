"""The rules: each check speaks where it should and nowhere else, each sentence is whole, each long answer says
enough.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from dataclasses import replace

import pytest

from portal.plan import RULES, NoPlan, Plan, reconcile
from portal.plan.explain import ReasonWithoutFacts, reason, statement
from portal.plan.input.answer_kinds import Choice
from portal.plan.input.facts import Lock
from portal.plan.input.questions import QUESTIONS, TOPICS
from portal.plan.input.rig import Mix
from portal.plan.model import Level, Reason
from portal.plan.options.program import Program
from portal.plan.options.routing_policy import STEPS
from portal.plan.phrase import phrases_in
from portal.plan.registry import CHECKS, Finding, Rule, check, enter
from portal.plan.solving.solve import Failure, Solution, solve
from portal.wording.plan.entry import Plural
from portal.wording.plan.saying import SENTENCE_OF, say
from tests.plan.case_files import cases
from tests.plan.gigs import gig, medium
from tests.plan.hand_cases import CASES, FREE_OUTS, KEYS, LEAD, OVERHEADS, WORKED, band, one, said
from tests.plan.hand_cases import pair as both_halves
from tests.plan.outcomes import outcome_of, outcome_of_case
from tests.plan.rule_pairs import BASE, PAIRS, Pair, Side, text_of

LONG_ENOUGH = 80

SHOWN_ON_THE_LADDER_ONLY = {"mix-to-mono", "ear-mix-to-mono"}
"""Steps whose long answer is read from the ladder; what is said of them on a sheet are the words of the mix and a
check.
"""


# --- each check


@pytest.mark.parametrize("pair", PAIRS, ids=[pair.key for pair in PAIRS])
def test_a_check_speaks_where_it_should_and_is_silent_beside_it(pair: Pair) -> None:
    """The check says exactly these words about one gig, and nothing about a gig that differs in what it looks at."""
    assert text_of(pair.key, pair.speaks) == pair.text
    assert text_of(pair.key, pair.silent) is None


@pytest.mark.parametrize(("value", "lines"), [("leave-out", 0), ("own-line", 1)])
def test_what_both_sides_agreed_and_the_plan_keeps_is_not_called_broken(value: str, lines: int) -> None:
    """A source that both sides leave out and that is on no line, or that has the line of its own, blocks nothing."""
    side = Side(BASE, locks=(Lock("Bass", "send", value, "house", "band"),))
    plan = reconcile(side.rig, side.answers, side.locks)

    assert isinstance(plan, Plan)
    assert sum(line.sources == ("Bass",) for line in plan.lines) == lines
    assert text_of("lock-not-kept", side) is None


def test_a_plan_that_is_not_proven_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the search stopped at its limit, signing has to tick that; where it did not, nothing is said."""

    def stopped(program: Program, **how: object) -> Solution | Failure:
        found = solve(program, **how)
        return replace(found, proven=False)

    assert text_of("not-proven-best", Side()) is None
    monkeypatch.setattr(sys.modules["portal.plan.reconcile"], "solve", stopped)  # the door has the name of its module
    assert (
        text_of("not-proven-best", Side())
        == "This is the best routing found; the search stopped before it was proven that none is better."
    )


def test_no_check_goes_without_its_two_gigs() -> None:
    """A new check brings a gig in which it speaks and one in which it does not."""
    shown = [pair.key for pair in PAIRS] + ["not-proven-best"]
    assert sorted(shown) == sorted(CHECKS)


# --- the registry


def test_keys_are_permanent_names() -> None:
    """A rule's key is kebab-case and entered once; a second rule of that key, or one without its words, is refused."""
    assert all(re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", key) and rule.key == key for key, rule in RULES.items())
    taken = next(iter(RULES.values()))
    for refused in (
        taken,
        replace(taken, key="Not Kebab"),
        replace(taken, key="no-title", title=""),
        replace(taken, key="no-why", why=""),
    ):
        with pytest.raises(ValueError, match=re.escape(refused.key)):
            enter(refused)
    assert len(RULES) == len(set(RULES))


def test_a_check_without_its_long_answer_is_refused() -> None:
    """A check's docstring is its long answer; without one it is not registered."""
    with pytest.raises(ValueError, match="lacks"):
        check("no-docstring", Level.NOTES, "a title")(lambda _draft: ())
    assert "no-docstring" not in RULES
    assert "no-docstring" not in CHECKS


@pytest.mark.parametrize("rule", RULES.values(), ids=RULES)
def test_every_rule_answers_why_at_length(rule: Rule) -> None:
    """The long answer has an example or is long enough to be one, and it is whole sentences."""
    assert "Example: " in rule.why or len(rule.why) >= LONG_ENOUGH
    assert rule.why[0].isupper()
    assert rule.why.endswith(".")


@pytest.mark.parametrize("rule", RULES.values(), ids=RULES)
def test_what_a_rule_says_suits_its_phase(rule: Rule) -> None:
    """A check has a level and a function; a rule that explains a line has neither."""
    assert rule.phase in ("column", "resource", "check")
    assert (rule.phase == "check") == (rule.level is not None) == (rule.key in CHECKS)
    assert rule.title[0].islower() or rule.title[:4] == "48 V"


def test_what_both_sides_read_names_the_sides() -> None:
    """No rule, step, option or explanation of a question says we, us, our, you or your: it would mean the other side to
    whoever reads it there.
    """
    texts = [text for rule in RULES.values() for text in (rule.title, rule.why)]
    for entry in SENTENCE_OF.values():
        texts += [entry.one, entry.many, entry.none] if isinstance(entry, Plural) else [entry]
    texts += [text for step in STEPS.values() for text in (step.words, step.how)] + [topic.title for topic in TOPICS]
    for question in QUESTIONS.values():
        texts += [question.band, question.why, question.help, question.assumed_words, question.not_here]
        texts += [question.seen.label, *question.seen.words.values()]
        texts += [option.words for option in question.kind.options] if isinstance(question.kind, Choice) else []
    assert len(texts) > 300
    assert not [text for text in texts if re.search(r"\b(we|us|ours?|yours?|you|I|my|mine)\b", text)]


def test_a_reason_without_facts_is_refused() -> None:
    """Neither a line nor a check can say anything that rests on nothing."""
    with pytest.raises(ReasonWithoutFacts):
        reason("rehearsal-only", {"label": "Tom"}, ())
    with pytest.raises(ReasonWithoutFacts):
        statement("rack-power", Finding({}, ()))


# --- the sentences


def gigs_of_all_sorts() -> Iterator[Plan | NoPlan]:
    yield from (outcome_of_case(case.name) for case in cases())
    yield from (reconcile(case.rig, case.answers) for case in CASES)
    yield from (
        reconcile(band(*sources, outs=FREE_OUTS, mono=4, stereo=2), answers) for _, sources, answers, _ in WORKED
    )
    yield from (reconcile(pair.speaks.rig, pair.speaks.answers, pair.speaks.locks) for pair in PAIRS)
    drums, tracks = both_halves("drums", "x-electronic-kit"), both_halves("tracks", "x-playback")
    yield reconcile(band(drums, tracks, LEAD, outs=FREE_OUTS, mono=4, stereo=2), said(inputs_free=3))
    yield reconcile(replace(band(OVERHEADS, LEAD), kit="light"), said(inputs_free=2))
    spare = band(one("Spare", "voice.vocals", fail_over=True), outs=FREE_OUTS, mix=Mix(own_pa=True))
    yield reconcile(spare, said(pa="none"))
    yield reconcile(band(KEYS, LEAD), said(), (Lock("keys L", "send", "leave-out", "house", "band"),))
    yield from (outcome_of(gig, seed) for seed in range(250))
    yield from (outcome_of(medium, seed) for seed in range(20))


def reasons_of(outcome: Plan | NoPlan) -> Iterator[Reason]:
    if isinstance(outcome, Plan):
        for one in (*outcome.lines, *outcome.not_sent):
            yield from one.because


@pytest.mark.slow
def test_every_sentence_about_a_line_is_said_somewhere_with_every_gap_filled() -> None:
    """Each rule that explains a line is the reason of some line, in its own words; no rule is there that is never
    said.
    """
    silent = {key for key, rule in RULES.items() if rule.phase == "column"} - SHOWN_ON_THE_LADDER_ONLY
    for outcome in gigs_of_all_sorts():
        for said_here in reasons_of(outcome):
            assert said_here.key in {phrase.key for phrase in phrases_in(said_here.said)}
            assert say(said_here.said)
            silent.discard(said_here.key)
    assert not silent
