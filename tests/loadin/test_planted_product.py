"""Faults planted in the product, one at a time: plan, print and plug again, and each has to show as the kind of fault
that it is.
"""

from __future__ import annotations

import importlib
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from portal.plan import Plan
from portal.plan.input.rig import SplitterOutput
from portal.plan.model import Cut, Item, Path, RackDies
from portal.plan.phrase import Phrase
from portal.plan.solving.cut_list import CutList
from portal.plan.solving.cut_places import Places
from portal.wording.plan.saying import say
from tests.loadin.faults import Fault
from tests.loadin.files import compare_files
from tests.loadin.gigs import Gig, answered, data_of, in_a_room, numbered, planned, worked
from tests.loadin.packing import read_csv, read_paper
from tests.loadin.page import read_page

WEDDING, LANE, BLUE, CHAIRS = (
    f"{name}, twelve-inputs" for name in ("harbour-wedding", "gravel-lane", "blue-room-four", "three-chairs")
)
LEFT_RIGHT, OWN_PA, FAR = "gravel-lane, left-right-only", "gravel-lane, own-pa", "too far for its loom"
ONE_SWITCH, IN_TWOS = "direct-legs-under-a-house-switch", "eight-voices-in-twos"
BANKS = "ribbon-and-two-48-v-banks"
COMES_BACK, SUBMIXER, SPARE, HOUSE_SPLIT = "gig 176189", "gig 180154", "gig 180508", "gig 176242"


@cache
def gig(name: str) -> Gig:
    """One of the project's own gigs, as it was planned before anything was planted."""
    if name.startswith("gig "):
        return numbered(int(name.removeprefix("gig ")))
    if name in (ONE_SWITCH, IN_TWOS, BANKS):
        return next(one for one in worked() if one.name == name)
    if name != FAR:
        return in_a_room(*name.split(", "))
    wedding = gig(WEDDING)
    rig = replace(wedding.rig, bits={**wedding.rig.bits, "xlr_30m": 20})
    far = planned(FAR, rig, {**wedding.answers, **answered({"box-distance": 2400})})
    assert far is not None
    return far


@cache
def before(name: str) -> frozenset[Fault]:
    """What is wrong with it by itself."""
    return frozenset(gig(name).load_in().faults)


@pytest.fixture(autouse=True)
def _judged_before():
    """Nothing is judged for the first time while something is planted."""
    for name in {base for _, _, base, _, _ in PLANTS}:
        before(name)


Make = Callable[[Any], Any]


def always(answer: object) -> Make:
    """Put a function in its place that always says the same."""
    return lambda _: lambda *_given, **_named: answer


def after(change: Callable[[Any], Any]) -> Make:
    """Change what the function gives back."""
    return lambda made: lambda *given, **named: change(made(*given, **named))


def splitters_stay(items: tuple[tuple[Item, ...], tuple[Item, ...]]) -> tuple[tuple[Item, ...], tuple[Item, ...]]:
    bring, leave = items
    home = tuple(item for item in bring if "splitter" in say(item.what))
    return tuple(item for item in bring if item not in home), (*leave, *home)


def alive(plan_lines: tuple[Any, ...], *_: object) -> RackDies:
    return RackDies((), (), (), f"Alive: desk channels 1-{len(plan_lines)}.")


def one_loom_way(numbered: tuple[tuple[Any, ...], tuple[Any, ...]]) -> tuple[tuple[Any, ...], tuple[Any, ...]]:
    lines, spare = numbered
    return tuple(replace(one, loom=replace(one.loom, way=1)) if one.loom else one for one in lines), spare


def higher_sockets(numbered: tuple[tuple[Any, ...], tuple[Any, ...]]) -> tuple[tuple[Any, ...], tuple[Any, ...]]:
    lines, spare = numbered
    return tuple(replace(one, box_socket=one.box_socket + 4) for one in lines), spare


def band_for_house(plan: Plan) -> Plan:
    """Past the plan's own checks: they know of the ribbon that shares a switch with these lines."""
    fed = {"phantom": "house", "desk_phantom": "ON"}
    return replace(plan, lines=tuple(replace(one, **fed) if one.phantom == "band" else one for one in plan.lines))


def overhead_through_the_mixer(made: Any) -> Any:
    out = Path("direct-out", "mixer", "direct out", None, "out-11")
    return lambda sent: out if sent.sources[0].label == "OH R" else made(sent)


def hot_cut(_made: Any) -> Any:
    return lambda *_given: CutList((Cut(11, "Hat in-ears only"),), linked=False, more=Counter())


def each(**changes: object) -> Callable[[tuple[Any, ...]], tuple[Any, ...]]:
    """Every one with other fields."""
    return lambda rows: tuple(replace(row, **changes) for row in rows)


def next_way(phrase: Phrase) -> Phrase:
    return replace(phrase, parameters={**phrase.parameters, "way": phrase.parameters["way"] + 1})


def one_place(places: Places) -> Places:
    first = next(iter(places.taken.values()))
    return replace(places, taken={plug: first if plug in places.new else at for plug, at in places.taken.items()})


PLANTS: tuple[tuple[str, str, str, str, Make], ...] = (
    # what, the kind that has to be reported, whose gig, what is replaced, by what
    ("carried splitters stay at home", "stays-home-but-named", BLUE, "portal.plan.reconcile.bring_and_leave",
    after(splitters_stay)),
    ("no stand is packed", "not-packed", LANE, "portal.plan.packing.bring_and_leave.stands_for", always(())),
    ("no cable is packed", "not-packed", LANE, "portal.documents.pack_list._cables", always(())),
    ("a DI is counted as a microphone", "not-packed", LANE, "portal.plan.packing.bring_and_leave.capture_of",
     always("mic")),
    ("the rack feeds nobody", "phantom-from-nobody", LANE, "portal.plan.own_mixer.mixer_patch.needs_of",
    always("no")),
    ("the house feeds what the band feeds", "phantom-from-both", LANE, "portal.plan.reconcile._plan",
    after(band_for_house)),
    ("both sides feed what a switch of the house reaches", "phantom-from-both", ONE_SWITCH,
     "portal.plan.reconcile.ear_inputs_of", after(each(phantom="band"))),
    ("a cut leaves a microphone without 48 V", "cut-fails", ONE_SWITCH, "portal.plan.solving.cut_list._band_feeds",
     always(())),
    ("who comes back comes by the next way", "cut-fails", COMES_BACK, "portal.plan.solving.cut_moves._by_its_way",
     after(next_way)),
    ("a plug that moves names no box input", "says-no-cut", COMES_BACK,
     "portal.plan.solving.cut_places.Places.is_new", always(False)),
    ("what a row plugs in goes into one box input", "two-on-one", COMES_BACK,
     "portal.plan.solving.cut_places.Places.after", after(one_place)),
    ("a ribbon comes back under a switch that is on", "phantom-harms", BANKS,
     "portal.plan.solving.cut_places._is_barred", always(False)),
    ("who leaves a submixer stays in it", "cut-fails", SUBMIXER, "portal.plan.solving.cut_sockets._still_together",
     lambda _: lambda sockets, *_given: dict(sockets.by)),
    ("the house's splitter is taken twice", "two-on-one", HOUSE_SPLIT,
     "portal.plan.solving.cut_places.Places.after", after(lambda places: replace(places, driven_out=frozenset()))),
    ("a line beside the mix has no cable", "says-no-length", SPARE, "portal.plan.own_mixer.mixer_patch._to_the_box",
     always("")),
    ("the in-ears hear a spare", "untrue-reason", SPARE, "portal.plan.own_mixer.mixer_patch._who_hears",
     always("both")),
    ("nobody says what becomes of 48 V at a dead input", "cut-fails", OWN_PA,
     "portal.plan.own_mixer.mixed_cuts._switched_there", always("")),
    ("what is not plugged stays in the ears", "two-answers", LANE, "portal.plan.reconcile.not_sent_of",
     after(each(where="not-plugged"))),
    ("the other singer's microphone is plugged all the same", "two-answers", IN_TWOS,
     "portal.plan.own_mixer.mixer_patch.not_plugged", always({})),
    ("the other singer's microphone is packed all the same", "packed-in-vain", IN_TWOS,
     "portal.plan.packing.bring_and_leave.not_plugged", always({})),
    ("nobody says at whose microphone two sing", "sum-not-made", IN_TWOS, "portal.plan.result.lines.told_on",
     always(())),
    ("the band feeds a ribbon too", "phantom-harms", LANE, "portal.plan.reconcile.ear_inputs_of",
    after(each(phantom="band"))),
    ("the house turns every gain", "wrong-gain", LANE, "portal.plan.result.lines._gain_owner", always("house")),
    ("no pad before a microphone input", "wrong-level", LEFT_RIGHT, "portal.plan.result.lines.pad_db", always(0)),
    ("every source on way 1", "two-on-one", WEDDING, "portal.plan.result.read_back.own_way", always(1)),
    ("every line on way 1 of the loom", "two-on-one", WEDDING, "portal.plan.reconcile.number", after(one_loom_way)),
    ("every source at input 1 of the mixer", "two-on-one", WEDDING, "portal.plan.reconcile.ear_inputs_of",
    after(each(mixer_input=1))),
    ("sockets that are not the band's", "no-such-place", WEDDING, "portal.plan.reconcile.number",
    after(higher_sockets)),
    ("an output that no splitter has", "no-such-place", LANE, "portal.plan.result.read_back.output_for",
    always(SplitterOutput("Z", "direct"))),
    ("everything lives without the rack", "rack-untrue", LANE, "portal.plan.reconcile.rack_dies", lambda _: alive),
    ("a cut of what is not sent", "cut-fails", LANE, "portal.plan.reconcile.cut_list", hot_cut),
    ("every ear mix on one output", "two-answers", LANE, "portal.plan.reconcile.ears_of", after(each(outs=("out-1",)))),
    ("an input of the mixer is not printed", "ears-miss", LANE, "portal.documents.patch.patch_sheet.ear_rows",
    after(lambda rows: tuple(rows)[1:])),
    ("one leg of a pair through the mixer", "latency-apart", LANE, "portal.plan.result.lines._path",
    overhead_through_the_mixer),
    (
        "a loom is taken to reach everywhere", "too-short", FAR, "portal.plan.options.capacities.looms_reaching",
        lambda _: lambda facts, _box: facts.rig.loom,
    ),
    ("transformers are forgotten", "not-packed", LEFT_RIGHT, "portal.plan.reconcile.with_transformers",
     lambda _: lambda lines, _facts: lines),
    ("sums do not say what they carry", "not-readable", LEFT_RIGHT, "portal.documents.patch.patch_rows.line_notes",
    always(())),
    ("a box in a room that has none", "speaks-of-nothing", OWN_PA, "portal.documents.patch.patch_sheet.plug_in_order",
    always(("Box socket 1.",))),
    ("a microphone's stand at every place", "wrong-pick-up", LANE, "portal.plan.result.lines.stand_of", always("tall")),
)  # fmt: skip


@pytest.mark.parametrize(("what", "kind", "base", "place", "make"), PLANTS, ids=[one[0] for one in PLANTS])
def test_a_fault_in_the_product_is_found(monkeypatch, what, kind, base, place, make):
    """The fault is reported as what it is; the same gig without it does not have it."""
    module, _, name = place.rpartition(".")
    # A name of the package may hide the module of that name, so it is looked up among the modules.
    owner = owner_of(module)
    monkeypatch.setattr(owner, name, make(getattr(owner, name)))
    found = set(again(base).load_in().faults) - before(base)
    assert kind in {fault.kind for fault in found}, f"{what}: found {sorted(found)}"


def owner_of(place: str) -> Any:
    """The module, or the class in one."""
    try:
        return importlib.import_module(place)
    except ModuleNotFoundError:
        module, _, name = place.rpartition(".")
        return getattr(importlib.import_module(module), name)


def again(base: str) -> Gig:
    """The gig planned anew."""
    anew = planned(base, gig(base).rig, gig(base).answers)
    assert anew is not None
    assert isinstance(anew.plan, Plan)
    return anew


def test_a_file_that_words_a_path_otherwise_is_found(monkeypatch):
    """The downloaded input list and the sheet call a path by one name."""
    monkeypatch.setattr("portal.documents.input_list.path_words", lambda _: "somehow")
    one = gig(LANE)
    printed = read_paper(read_page(one.html("pack-list")))
    found = compare_files(one.sheet(), read_csv(one.table("pack-list")), printed, one.table("input-list"), data_of(one))
    assert found.kinds() == {"files-differ"}


def test_enough_is_planted():
    """Fifteen faults and more, in different places of the product."""
    assert len({(place, kind) for _, kind, _, place, _ in PLANTS}) >= 15
