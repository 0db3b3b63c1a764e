"""The worked cases: what an experienced engineer expects, and the exact words in which the engine says it."""

from __future__ import annotations

import pytest

from portal.plan import NoPlan, Plan
from portal.plan.model import Line
from portal.plan.own_mixer.mixed_tonight import MIXED_BY_THE_BAND
from portal.wording.plan.saying import say
from tests.plan.case_files import Case, cases, says
from tests.plan.outcomes import outcome_of_case

CASES = cases()
NAMES = [case.name for case in CASES]


@pytest.mark.parametrize("case", CASES, ids=NAMES)
def test_the_lines_are_those_that_a_person_expects(case: Case) -> None:
    """Route, lines in desk order and what stays out are as written by hand from the trade's rulings."""
    outcome = outcome_of_case(case.name)
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
        runs = {line.label: say(line.run) for line in outcome.lines}
        assert {label: runs[label] for label in expect.pop("runs", {})} == case.expect.get("runs", {})
        if outcome.route in MIXED_BY_THE_BAND:
            assert_mixer(outcome, expect)
        directs = sum(line.path.kind == "direct-out" for line in outcome.lines)
        assert directs == expect.pop("direct_outs", directs)
        assert set(expect.pop("asks", ())) <= {one.key for one in outcome.asks}
        assert set(expect.pop("assumed", ())) <= {one.question for one in outcome.assumed}
        assert not expect.pop("no_blocks", False) or not outcome.blocks
        as_worked_out(outcome, expect)
    assert expect == {}, "every expectation of the file was used"


def as_worked_out(plan: Plan, expect: dict[str, object]) -> None:
    """The tables of a gig that was worked out by hand, as far as its file has them: paths, 48 V, ears, cuts, the dead
    rack, what is packed and moved.
    """
    lines = {line.label: line for line in plan.lines}
    for label, path in expect.pop("paths", {}).items():
        assert path_words(lines[label]) == path, label
    for label, words in expect.pop("desk_phantom", {}).items():
        assert lines[label].at_the_desk == words, label
    for label, words in expect.pop("notes", {}).items():
        assert words in say(lines[label].note), label
    for key, where in (("ears_only", ("ears-only", "ears-only-tonight")), ("not_plugged", ("not-plugged",))):
        found = [one.label for one in plan.not_sent if one.where in where]
        assert found == expect.pop(key, found)
    heard = {one.label for one in plan.ear_inputs}
    assert not heard & set(expect.pop("not_in_ears", ()))
    fed = [one.label for one in plan.ear_inputs if one.phantom == "band"]
    assert fed == expect.pop("band_phantom", fed)
    assert [[one.label, str(one.rig_input), str(one.tonight)] for one in plan.moves] == expect.pop(
        "moves", [[one.label, str(one.rig_input), str(one.tonight)] for one in plan.moves]
    )
    cuts = [f"{cut.inputs}: {say(cut.said)}" for cut in plan.cut_list]
    assert cuts[: len(expect.get("cuts", ()))] == expect.pop("cuts", [])
    first_cuts = expect.pop("first_cuts", ())
    said = [say(cut.said).partition(",")[0] for cut in plan.cut_list[: len(first_cuts)]]
    assert sorted(said[:3]) == sorted(first_cuts[:3])
    assert said[3:] == list(first_cuts[3:])
    dies = [list(plan.rack_dies.alive), list(plan.rack_dies.lose_phantom), list(plan.rack_dies.silent)]
    assert dies == expect.pop("rack_dies", dies)
    brought = {say(item.what): item.count for item in plan.bring}
    for what, count in expect.pop("packed", {}).items():
        assert brought.get(what) == count, what
    helps = {remedy.key: say(remedy.said) for remedy in plan.would_help}
    assert set(expect.pop("helps", ())) <= set(helps)
    assert all(any(words in text for text in helps.values()) for words in expect.pop("help_says", ()))


def path_words(line: Line) -> str:
    """A path as the worked gigs write it: split 3, split 3 direct, straight, direct out 13."""
    if line.path.kind == "split":
        return f"split {line.path.way}" + (" direct" if line.path.output.startswith("direct") else "")
    return "straight" if line.path.kind == "straight" else f"{say(line.path.unit_name)} {line.path.output}"


SWITCH = {"band": "on", "none": "off", "never": "never"}


def assert_mixer(plan: Plan, expect: dict) -> None:
    """The band's own mixer, what is packed and what gives way, where the file says it."""
    rows = [
        f"{row.mixer_input} {row.label}: {say(row.mic_or_di)}, {row.stand}, {SWITCH[row.phantom]},"
        f" {say(row.cable) if say(row.fed_by) == 'straight in' else say(row.fed_by)}"
        + (f", {row.channel or '–'}" if plan.route == "engineer-on-the-bands-mixer" else "")
        for row in plan.ear_inputs
        if "mixer" in expect
    ]
    assert rows == expect.pop("mixer", [])
    outputs = [f"{one.out}: {say(one.feeds)}, {say(one.cable)}" for one in plan.outputs]
    assert expect.pop("outputs", outputs) == outputs
    mixes = [one.player for one in plan.ears]
    assert expect.pop("mixes", mixes) == mixes
    packed = {say(item.what): item.count for item in plan.bring}
    wanted = expect.pop("packed", {})
    assert {what: packed.get(what) for what in wanted} == wanted
    left = [say(item.what) for item in plan.leave]
    assert expect.pop("left", left) == left
    cuts = expect.pop("cuts", None)
    if cuts is not None:
        assert len(cuts) == len(plan.cut_list)
        assert all(word in say(cut.said) for word, cut in zip(cuts, plan.cut_list, strict=True))
    silent = expect.pop("silent", None)
    dies = say(plan.rack_dies.said)
    assert silent is None or (dies.startswith("Everything is silent") and silent in dies)


@pytest.mark.parametrize("case", CASES, ids=NAMES)
def test_the_words_are_exactly_those_of_the_case_file(case: Case) -> None:
    """Every sentence of a case is asserted word for word, so that none changes unread."""
    assert says(outcome_of_case(case.name)) == case.says


@pytest.mark.parametrize("case", CASES, ids=NAMES)
def test_every_source_is_accounted_for_once(case: Case) -> None:
    """A source is on a line or among those that stay out, never both, and own PA sends nothing."""
    outcome = outcome_of_case(case.name)
    if not isinstance(outcome, Plan) or outcome.route == "own-pa":
        return
    sent = {key for line in outcome.lines for key in line.sources}
    kept = {source.source for source in outcome.not_sent}
    assert not sent & kept
    assert sent | kept == {source.key for source in case.rig.source}
