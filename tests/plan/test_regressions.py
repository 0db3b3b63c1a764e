"""One test per defect that was found; the docstring says what went wrong."""

from __future__ import annotations

from dataclasses import replace

import pytest

from portal.plan import NoPlan, Plan, reconcile
from portal.plan.input.facts import Answers, Facts
from portal.plan.input.rig import Ears, Loom, Mixer, MixerLink, Out, Rig, Source, Splitter, SplitterOutput
from portal.plan.options.gig_program import write_program
from portal.plan.reconcile import price
from portal.plan.solving.solve import Solution, feasible, solve
from portal.wording.plan.saying import say
from tests.plan.case_files import cases
from tests.plan.gigs import gig
from tests.plan.hand_cases import SUBMIXED, band, one, pair, said
from tests.plan.oracle import best

ISOLATED = SplitterOutput(key="b", kind="isolated")


def test_a_small_gig_is_not_called_impossible_by_the_solvers_presolve() -> None:
    """With its presolve on, HiGHS 1.16.0 called this gig infeasible, although the kick fits on a direct out and the
    rest in a mono mix.
    """
    rig, answers = gig(6002)
    program = write_program(Facts(rig, answers)).program
    outcome = best(rig, answers)

    assert feasible(program) is True
    assert isinstance(solve(program), Solution)
    assert outcome is not None
    assert price(rig, answers) == outcome.vector()


def turned_round(rig: Rig) -> Rig:
    return replace(rig, source=tuple(reversed(rig.source)))


def planned(rig: Rig, **answers: str | int) -> Plan:
    outcome = reconcile(rig, said(**answers))
    assert isinstance(outcome, Plan)
    return outcome


def test_any_member_may_carry_a_shared_line() -> None:
    """A shared line could only take the way of the member whose row came first; with that one
    unwired and every way taken, the whole mix was given up.
    """
    never_at_once = one("mandolin", "pluck.mandolin", never_with=("accordion",)) + one(
        "accordion", "keyboard.accordion", never_with=("mandolin",), splitter="rack", way=1
    )
    lead = one("lead", "voice.vocals", lead=True, splitter="rack", way=2)
    rig = band(never_at_once, lead, splitter=(Splitter(key="rack", ways=2, built_in=True, outputs=(ISOLATED,)),))
    for rows in (rig, turned_round(rig)):
        carried = {line.path.way: set(line.sources) for line in planned(rows, inputs_free=2).lines}
        assert carried == {1: {"mandolin", "accordion"}, 2: {"lead"}}


def test_the_left_leg_speaks_for_a_pair_whichever_row_comes_first() -> None:
    """With the right half's row first, the right half went out alone where one leg was left, and the pair got another
    key, so that other lines moved.
    """
    rig = band(pair("overhead", "drum.group.set"), one("lead", "voice.vocals", lead=True))
    for rows in (rig, turned_round(rig)):
        assert {key for line in planned(rows, inputs_free=2).lines for key in line.sources} == {"overhead L", "lead"}


def test_a_conflict_names_the_same_sources_whatever_the_order_of_rows() -> None:
    """Of two leads that no input was left for, the conflict named the one whose row came last."""
    rig = band(one("lead 1", "voice.vocals", lead=True), one("lead 2", "voice.vocals", lead=True))
    outcomes = [reconcile(rows, said(inputs_free=0)) for rows in (rig, turned_round(rig))]
    texts = [say(outcome.conflicts[0].said) for outcome in outcomes if isinstance(outcome, NoPlan)]
    assert texts == ["Lead 2 must reach the house; no working input."] * 2


def test_a_submix_leaves_by_the_same_ways_whatever_the_order_of_rows() -> None:
    """A player's submix took the ways of the first two rows; another order of rows plugged it elsewhere."""
    parts = tuple(
        Source(key=key, label=key, what="synth.generic", player="kay", submix="keys", splitter="rack", way=way)
        for key, way in (("organ", 3), ("synth", 1), ("piano", 2))
    )
    rig = Rig(source=parts, splitter=(Splitter(key="rack", ways=3, built_in=True, outputs=(ISOLATED,)),))
    for rows in (rig, turned_round(rig)):
        assert [line.path.way for line in planned(rows, inputs_free=2).lines] == [1, 2]


def test_an_ear_mix_on_outputs_that_do_not_exist_frees_none() -> None:
    """An ear mix that named outputs missing from the mixer was planned to free one of them, and reading the plan back
    then failed.
    """
    case = next(case for case in cases() if case.name == "no-splitter-outs-all-taken")
    rig = replace(case.rig, mixer=replace(case.rig.mixer, outs=()))

    assert isinstance(reconcile(rig, case.answers), NoPlan)


def test_the_spare_line_stands_in_a_socket_that_is_free_for_the_band() -> None:
    """With the sockets named, the spare line was put in socket 1 all the same; and on the loom way that the talkback
    had taken.
    """
    rig = band(one("lead", "voice.vocals", lead=True), loom=(Loom(key="loom", name="Loom", ways=8),))
    notes = {one.key: say(one.said) for one in planned(rig, sockets_free="17-32", talkback="yes").notes}
    assert notes["spare-line"].startswith("Leave a spare line on Loom way 3 in stage box input 18, ")


MAIN = (Out("m1", "main"), Out("m2", "main"))


def test_more_sources_on_a_splitter_than_it_has_ways() -> None:
    """Sources that named a splitter without a way were let through it uncounted, and there was no way left to name."""
    voices = tuple(Source(key, key.upper(), what="voice.vocals", splitter="s") for key in "ab")
    plan = reconcile(Rig(source=voices, splitter=(Splitter("s", ways=1, outputs=(ISOLATED,)),)), {})

    assert isinstance(plan, Plan)
    assert [line.path.way for line in plan.lines] == [1]
    assert len(plan.not_sent) == 1


@pytest.mark.parametrize("answers", [said(what_they_want="left-right-mix"), said(who_mixes="band-from-stage")])
def test_a_mix_of_nothing_is_no_line(answers: Answers) -> None:
    """With nothing to mix, a left/right mix was planned all the same, as a line without a source."""
    plan = reconcile(Rig(mixer=Mixer(outs=MAIN, stereo_busses=1)), answers)

    assert isinstance(plan, Plan)
    assert plan.lines == ()
    assert [block.key for block in plan.blocks] == ["nothing-to-send"]


def test_a_submix_over_a_link_has_no_socket() -> None:
    """A player's submix over a digital link was numbered as if it came to a socket of the box, and no socket was
    left.
    """
    keys = tuple(Source(f"k{n}", f"Keys {n}", what="synth.generic", player="Kay", submix="keys") for n in range(3))
    plan = reconcile(
        Rig(mixer=Mixer(outs=MAIN, links=(MixerLink("AES50", 1),)), source=keys),
        said(inputs_free=0, digital_link="yes"),
    )

    assert isinstance(plan, Plan)
    assert {line.box_socket for line in plan.lines} == {None}


def test_many_sources_that_never_sound_together_stay_quick_to_plan() -> None:
    """Seventeen such sources made over three thousand ways to share a line; larger sets are no longer looked at
    there.
    """
    names = [f"g{n}" for n in range(17)]
    rows = tuple(
        Source(n, n, what="pluck.guitar.acoustic", player="P", never_with=tuple(m for m in names if m != n))
        for n in names
    )

    assert len(write_program(Facts(Rig(source=rows), {})).program.picks) < 1000


def test_outputs_that_two_ear_mixes_name_are_freed_once() -> None:
    """Two ear mixes on the same outputs were both taken to mono, and an output was promised that is not there."""
    ears = (Ears(player="A", outs=("e1", "e2")), Ears(player="B", outs=("e1", "e2")))
    outs = (Out("e1", "ears:A"), Out("e2", "ears:A"))
    rig = Rig(
        mixer=Mixer(outs=outs, stereo_busses=1, mono_busses=1),
        ears=ears,
        source=(Source("v", "Voice", what="voice.vocals", lead=True),),
    )

    outcome = reconcile(rig, {})

    assert isinstance(outcome, Plan)
    assert [line.label for line in outcome.lines] == ["Mix (mono)"]


def test_a_key_that_stands_twice_counts_once() -> None:
    """A doubled key with one row wired to a splitter that is not in the rig was routed by the one row and read back by
    the other.
    """
    rows = (
        Source("v", "Voice", what="voice.vocals"),
        Source("v", "Voice", what="voice.vocals", splitter="elsewhere", way=1),
    )
    rig = Rig(source=rows, splitter=(Splitter("s", ways=4, outputs=(ISOLATED,)),))

    outcome = reconcile(rig, {})

    assert isinstance(outcome, Plan)
    assert len(outcome.lines) == 1


def test_each_side_of_a_submixer_has_its_own_tail_of_the_houses_splitter() -> None:
    """Both sides were sent to the left one's tail and to its channel."""
    rig = band(SUBMIXED, one("lead", "voice.vocals", lead=True))

    plan = planned(rig, inputs_free=3, house_split="yes")

    fed = {row.source: (say(row.fed_by), row.line) for row in plan.ear_inputs}
    assert [line.label for line in plan.lines] == ["kay's mixer L", "kay's mixer R", "lead"]
    assert fed["keys L"] == ("tail 1 of the house's splitter", 1)
    assert fed["keys R"] == ("tail 2 of the house's splitter", 2)


DIRECT_TO_THE_BAND = Splitter("rack", ways=8, built_in=True, to_mixer="direct", outputs=(ISOLATED,))


def test_what_takes_turns_on_a_plug_is_fed_at_its_input() -> None:
    """The line said that the band feeds 48 V, the input of the plug itself said OFF: its own source needs none."""
    turn = one("accordion", "keyboard.accordion", phantom="no", never_with=("banjo",)) + one(
        "banjo", "pluck.banjo", phantom="yes", never_with=("accordion",)
    )
    lead = one("lead", "voice.vocals", lead=True)
    plan = planned(band(turn, lead, splitter=(DIRECT_TO_THE_BAND,)), inputs_free=2)

    assert plan.lines[0].phantom == "band"
    assert {row.source: row.phantom for row in plan.ear_inputs if row.phantom == "band"} == {"accordion": "band"}


def test_48_v_for_what_goes_into_a_submixer_comes_from_the_submixer() -> None:
    """The line of a submixer asked the band for 48 V because of a microphone behind the submixer, where none gets."""
    sources = tuple(replace(source, phantom="yes") if source.key == "organ" else source for source in SUBMIXED)
    lead = one("lead", "voice.vocals", lead=True)
    plan = planned(band(sources, lead, splitter=(DIRECT_TO_THE_BAND,)), inputs_free=3)

    assert {line.phantom for line in plan.lines} == {"none"}
    fed = {row.source: say(row.fed_by) for row in plan.ear_inputs}
    assert fed["organ"] == "input stays free: it goes into the player's own submixer, which feeds its 48 V"


def test_a_voice_takes_the_way_that_a_submix_on_an_output_leaves() -> None:
    """An open voice went over an output of the band's mixer beside a submix on the splitter: no way was counted as left
    by a submix. What is at line level goes over outputs first, voices last.
    """
    rig, answers = gig(45849)
    plan = reconcile(rig, answers)

    assert isinstance(plan, Plan)
    assert {line.label: (line.path.kind, line.path.way) for line in plan.lines} == {
        "Acoustic / Mandolin": ("split", 4),
        "keys (mono)": ("direct-out", None),
        "Lead 1": ("split", 1),
    }
    assert {move.label: move.tonight for move in plan.moves} == {"Lead 1": 1, "Keys L": 4}
