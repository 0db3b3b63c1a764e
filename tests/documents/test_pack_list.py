"""The pack list: what the plan says, counted, with spares, and what the rig says of each player's things."""

from collections import Counter
from dataclasses import replace

import pytest

from portal.documents.pack_list import SMALL_THINGS, pack_list, spares
from portal.documents.stage.stage_plot import stage_plot
from portal.exchange.example import example_rig
from portal.plan import reconcile
from portal.plan.input.facts import Answer
from portal.plan.input.rig import Ears, SubLoom
from portal.plan.model import Item
from portal.plan.options.routing_policy import stand_of
from portal.plan.packing.item_names import CAPTURED_BY, cable_of, thing, thing_of
from portal.plan.result.stage import Stage
from portal.wording.plan.saying import say
from tests.documents.plans import a_cover, a_line, a_plan, plan_of
from tests.plan.case_files import cases, planned_cases
from tests.plan.outcomes import plan_of_case

RIG = example_rig()
SPLIT = {
    key: Answer("answered", value, "house", "")
    for key, value in {"who-mixes": "house-engineer", "talkback": "yes", "inputs-free": 18}.items()
}
PLAN = reconcile(RIG, SPLIT)

FAR = ("join two cables or bring a longer one", "no cable of the band reaches")


@pytest.mark.parametrize(("count", "spare"), [(0, 0), (1, 1), (9, 1), (10, 1), (19, 1), (20, 2), (128, 12)])
def test_one_spare_for_each_ten_at_least_one(count, spare):
    """The rule that the sheet states is the rule that it follows."""
    assert spares(count) == spare


def test_what_the_plan_brings_and_leaves_is_on_the_list_with_its_reason():
    """No item is lost and no count changed."""
    sheet = pack_list(PLAN, a_cover(rig=RIG))
    shown = {(row.what, row.count): row.why for row in sheet.bring}
    shown |= {(f"{row.what}, {row.length} m", row.count): row.why for row in sheet.cables}
    assert all(shown[say(item.what), str(item.count)].endswith(say(item.why)) for item in PLAN.bring)
    assert [(row.what, row.count, row.why) for row in sheet.leave] == [
        (say(item.what), str(item.count), say(item.why)) for item in PLAN.leave
    ]


def test_everything_that_comes_by_the_piece_has_its_spare():
    """What the engine counts in any worked case is either one of the small things or comes once; nobody owns a wireless
    set more than they use.
    """
    outcomes = [plan_of_case(case.name) for case in planned_cases()]
    many = {say(item.what): item for plan in outcomes for item in plan.bring if item.count > 1}
    cables = {what for what, item in many.items() if cable_of(item)}
    assert many.keys() - cables
    once = {"wireless microphone", "in-ear pack", "wired in-ear pack", "stand, short", "stand, tall", "clip"}
    listed = {one.name for case in cases() for one in case.rig.standing}
    rest = many.keys() - cables - once - listed
    assert {thing_of(many[what]) for what in rest} <= SMALL_THINGS


def test_stands_and_cables_are_the_bands_own_for_sources_that_are_plugged():
    """A stand that the house brings, and a source that stays at home, are not counted."""
    sheet = pack_list(PLAN, a_cover(rig=RIG))
    plugged = {key for line in PLAN.lines for key in line.sources} | {one.source for one in PLAN.ear_inputs}
    mine = [
        source
        for source in RIG.source
        if source.key in plugged and source.owner.stand == "band" and stand_of(source) == "tall"
    ]
    assert [row.count for row in sheet.bring if row.what == "stand, tall"] == [str(len(mine))]
    assert not [row for row in pack_list(plan_of(2), a_cover(rig=RIG)).people if row.source == "Kick In"]


def test_a_cable_that_does_not_reach_is_said():
    """Where a player stands farther from the rack than the band's longest loose cable, the list and the plot say so;
    where all are long enough, or nobody said what is owned, neither does.
    """
    said = []
    for bits in ({"xlr_3m": 30}, {"xlr_30m": 30}, {}):
        rig = replace(RIG, bits=bits)
        cover = a_cover(rig=rig, stage=Stage(width_m=10, depth_m=8))
        plan = reconcile(rig, cover.answers)
        drawn = stage_plot(plan, cover).drawn
        far = [row for row in drawn.people if row.to_rack.endswith(FAR)]
        said.append((pack_list(plan, cover).far.count(" m"), len(far)))
    assert said[0][0] == said[0][1] > 0
    assert said[1:] == [(0, 0), (0, 0)]


def test_looms_are_listed_by_connectors_length_and_ways():
    """Each loom that carries something says its ends, its length and its ways; a return's way counts."""
    sheet = pack_list(PLAN, a_cover(rig=RIG))
    looms = {line.loom.key for line in PLAN.lines if line.loom}
    rows = [row for row in sheet.cables if row.what.endswith("(listed above)")]
    assert len(rows) == len(looms)
    loom = next(one for one in RIG.loom if one.key in looms)
    assert (rows[0].ends, rows[0].length) == (f"{loom.band_end} to {loom.house_end}", f"{loom.length_m:g}")


def test_each_player_finds_what_stands_at_the_own_place():
    """Players come in the rig's order, each with every source of theirs that takes a thing of the band's."""
    sheet = pack_list(PLAN, a_cover(rig=RIG))
    people = list(dict.fromkeys(row.person for row in sheet.people))
    assert people == [player for player in dict.fromkeys(source.player for source in RIG.source) if player in people]
    assert "microphone; stand, tall; cable" in [row.things for row in sheet.people if row.source == "Voice Ada"]


def test_a_plan_without_its_rig_still_says_what_the_plan_says():
    """An item of the plan does not hang on the rig."""
    plan = a_plan(
        (a_line(1),), bring=(Item("XLR turnaround", 2, "a return"),), leave=(Item("Loom 2", 1, "fits without it"),)
    )
    sheet = pack_list(plan, a_cover())
    assert [(row.what, row.count, row.spare) for row in sheet.bring] == [("XLR turnaround", "2", "–")]
    assert [row.what for row in sheet.leave] == ["Loom 2"]


@pytest.mark.parametrize("case", planned_cases(), ids=lambda case: case.name)
def test_what_is_counted_is_what_the_players_are_told_to_bring(case):
    """Microphones, DIs and stands: the number above is the number of those below, whether the band stated them or they
    follow from the kind.
    """
    sheet = pack_list(plan_of_case(case.name), a_cover(rig=case.rig))
    counted = {
        row.what: int(row.count)
        for row in sheet.bring
        if row.what in {"microphone", *(say(thing(how)) for how in CAPTURED_BY)}
        or row.what.startswith(("stand", "clip"))
    }
    told = Counter(thing for row in sheet.people for thing in row.things.split("; ") if thing != "cable")
    assert counted == told


@pytest.mark.parametrize(("owned", "spare"), [(None, "1"), (2, "–"), (3, "1")])
def test_no_spare_is_packed_that_the_band_does_not_own(owned: int | None, spare: str):
    """Two cables of 20 m are used; a third is a spare where there is one, or where nobody counted them."""
    plan = a_plan((a_line(1),), bring=(Item("XLR cable, 20 m", 2, "the mix to the house"),))
    bits = {} if owned is None else {"xlr_20m": owned}
    (row,) = pack_list(plan, a_cover(rig=replace(RIG, bits=bits, loom=()))).cables
    assert (row.count, row.spare) == ("2", spare)


def test_a_stand_that_nobody_stated_is_the_one_of_the_patch_sheet():
    """Where the band left it open, both papers say what the kind needs."""
    rig = replace(RIG, source=tuple(replace(source, stand="", capture="") for source in RIG.source))
    plan = reconcile(rig, SPLIT)
    told = {row.source: row.things for row in pack_list(plan, a_cover(rig=rig)).people}
    stands = [
        (line.label, line.stand) for line in plan.lines if line.stand not in ("", "none", "clip") and line.label in told
    ]
    assert stands
    assert all(f"stand, {stand}" in told[label] for label, stand in stands)


def test_cables_that_the_band_does_not_own_are_said_at_their_row():
    """Whoever ticks a row reads there how many have to be got, and which longer ones of the band's stand in; where all
    are owned, or none is entered, the row says why alone.
    """
    wanted = (Item("XLR cable, 5 m", 3, "source to rack"), Item("loose cable to the box, 20 m", 2, "no loom"))
    plan = a_plan((a_line(1),), bring=wanted)

    def why(bits: dict[str, int]) -> list[str]:
        return [row.why for row in pack_list(plan, a_cover(rig=replace(RIG, bits=bits))).cables[:2]]

    assert why({"xlr_5m": 1, "xlr_10m": 1, "xlr_20m": 1}) == [
        "get 1 more before the gig; 1 of 10 m stands in; source to rack",
        "get 1 more before the gig; no loom",
    ]
    assert why({"xlr_5m": 3, "xlr_20m": 2}) == why({}) == ["source to rack", "no loom"]


def test_a_cable_that_ends_before_its_place_on_the_plot_is_said():
    """Pack cables, jack cables and sub-looms too: who, what is packed, and the way that the stage plot draws."""
    player = next(source.player for source in RIG.source if source.player)
    mine = next(source for source in RIG.source if source.player == player)
    mix = Ears(player=player, width="mono", outs=("out-1",), carried_by="cable", cable_m=0.5)
    looms = (SubLoom(key="kit", name="Kit loom", ways=8, length_m=0.6),)
    sources = tuple(replace(one, sub_loom="kit") if one is mine else one for one in RIG.source)
    short = replace(RIG, ears=(mix,), sub_loom=looms, source=sources)
    said = pack_list(PLAN, a_cover(rig=short)).short
    assert said.startswith("Shorter than the way on the stage plot: ")
    assert f"{player}: pack cable, 0.5 m, " in said
    assert f"{player}: Kit loom, 0.6 m, " in said
    long = replace(short, ears=(replace(mix, cable_m=40),), sub_loom=(replace(looms[0], length_m=40),))
    assert "jack to XLR cable, 3 m" in said
    said = pack_list(PLAN, a_cover(rig=long)).short
    assert "pack cable" not in said
    assert "Kit loom" not in said
