"""The worked cases: what an experienced engineer expects, and the exact words in which the engine says it."""

from __future__ import annotations

import pytest

from portal.plan import NoPlan, Plan, reconcile
from tests.plan.case_files import Case, cases, says

CASES = cases()
NAMES = [case.name for case in CASES]


@pytest.mark.parametrize("case", CASES, ids=NAMES)
def test_the_lines_are_those_that_a_person_expects(case: Case) -> None:
    """Route, lines in desk order and what stays out are as written by hand from the trade's rulings."""
    outcome = reconcile(case.rig, case.answers)
    expect = dict(case.expect)
    assert outcome.status == expect.pop("status")
    if isinstance(outcome, NoPlan):
        core = sorted(fact.key.partition(":")[0] for fact in outcome.conflicts[0].facts)
        assert core == sorted(expect.pop("conflict"))
        shown = {remedy.key for remedy in outcome.remedies}
        assert set(expect.pop("remedies")) <= shown
        assert not shown & set(expect.pop("not_shown", ()))
    else:
        assert [line.label for line in outcome.lines] == expect.pop("lines")
        assert [source.label for source in outcome.not_sent] == expect.pop("not_sent")
        assert outcome.route == expect.pop("route", outcome.route)
        ways = {line.label: line.path.way for line in outcome.lines}
        assert {label: ways[label] for label in expect.pop("ways", {})} == case.expect.get("ways", {})
        channels = {line.label: line.desk_channel for line in outcome.lines}
        assert {label: channels[label] for label in expect.pop("channels", {})} == case.expect.get("channels", {})
        sockets = {line.label: line.socket for line in outcome.lines}
        assert {label: sockets[label] for label in expect.pop("sockets", {})} == case.expect.get("sockets", {})
        looms = {line.label: line.loom.key for line in outcome.lines if line.loom}
        assert {label: looms[label] for label in expect.pop("looms", {})} == case.expect.get("looms", {})
        directs = sum(line.path.kind == "direct-out" for line in outcome.lines)
        assert directs == expect.pop("direct_outs", directs)
        assert set(expect.pop("asks", ())) <= {one.key for one in outcome.asks}
        assert set(expect.pop("assumed", ())) <= {one.question for one in outcome.assumed}
    assert expect == {}, "every expectation of the file was used"


@pytest.mark.parametrize("case", CASES, ids=NAMES)
def test_the_words_are_exactly_those_of_the_case_file(case: Case) -> None:
    """Every sentence of a case is asserted word for word, so that none changes unread."""
    assert says(reconcile(case.rig, case.answers)) == case.says


@pytest.mark.parametrize("case", CASES, ids=NAMES)
def test_every_source_is_accounted_for_once(case: Case) -> None:
    """A source is on a line or among those that stay out, never both, and own PA sends nothing."""
    outcome = reconcile(case.rig, case.answers)
    if not isinstance(outcome, Plan) or outcome.route == "own-pa":
        return
    sent = {key for line in outcome.lines for key in line.sources}
    kept = {source.source for source in outcome.not_sent}
    assert not sent & kept
    assert sent | kept == {source.key for source in case.rig.source}
