"""The cut list says every plug that moves on the band's side, and plugs nothing where something is."""

from __future__ import annotations

from dataclasses import replace

from portal.plan import Plan, reconcile
from portal.plan.input.rig import Rig
from portal.wording.plan.saying import say
from tests.plan.gigs import gig
from tests.plan.hand_cases import BACKING_1, BACKING_2, DRY_OUT, HAT, KICK, LEAD, RACK, band, one
from tests.plan.test_cut_list import cuts, planned

ORGAN = one("organ", "keyboard.organ")
FOUR_WAYS = replace(RACK, ways=4, to_mixer="direct", kind="passive")


def numbered(rig: Rig) -> Rig:
    """The same rig, its rows at inputs 1, 2, 3 of the mixer."""
    return replace(rig, source=tuple(replace(one, mixer_input=at) for at, one in enumerate(rig.source, start=1)))


def test_who_leaves_an_output_to_a_sum_says_where_its_plug_goes() -> None:
    """The voices take the only output; the row said where they go, and not where the organ goes that had it."""
    rig = numbered(
        band(KICK, BACKING_1, BACKING_2, LEAD, ORGAN, outs=(DRY_OUT,), mono=1, splitter=(replace(FOUR_WAYS, plugs=""),))
    )
    plan = planned(rig, inputs_free=5)
    (out,) = (line for line in plan.lines if line.path.kind == "direct-out")
    assert out.sources == ("organ",)
    assert cuts(rig, inputs_free=5)[0] == (
        "4: organ now through way 2 of rack into mixer input 5; backing 1 now straight into mixer input 2;"
        " backing 1 and backing 2 on one line, from output dry, where it is plugged"
    )


def test_sources_exchange_their_sockets_for_a_row() -> None:
    """At a splitter plugged at its front a way's tail stays in its input, whose 48 V goes with the microphone."""
    wired = [replace(source, splitter="rack", way=number) for number, (source,) in enumerate((KICK, ORGAN, LEAD), 1)]
    voices = [replace(source, phantom="yes") for (source,) in (BACKING_1, BACKING_2)]
    rig = band(tuple(wired), tuple(voices), outs=(DRY_OUT,), mono=1, splitter=(replace(FOUR_WAYS, plugs="front"),))
    plan = planned(numbered(rig), inputs_free=5)
    assert [(move.label, move.tonight) for move in plan.moves] == [("organ", 5), ("backing 2", 2)]
    assert cuts(numbered(rig), inputs_free=5)[0].startswith(
        "4: organ now through way 2 of rack into mixer input 2, the band switches 48 V off at mixer input 2;"
        " backing 2 now straight into mixer input 5, the band switches 48 V on at mixer input 5;"
    )


def test_what_comes_back_finds_its_input_free() -> None:
    """Another source took the hat's way, and with it its input: the hat goes where that one was."""
    wired = [replace(source, splitter="rack", way=number) for number, (source,) in enumerate((KICK, HAT, LEAD), 1)]
    djembe = one("djembe", "drum.djembe", must=True)
    rig = numbered(band(tuple(wired), djembe, splitter=(replace(FOUR_WAYS, ways=3, plugs="front"),)))
    plan = planned(rig, inputs_free=4)
    assert [(move.label, move.tonight) for move in plan.moves] == [("djembe", 2)]
    assert cuts(rig, inputs_free=4)[0] == (
        "3: hat in-ears only, back into mixer input 4, where the band switches 48 V on"
    )


def test_the_house_lends_both_transformers_of_a_pair_or_none() -> None:
    """One side of the mix had the house's transformer already; the band's only one was packed, and no row named it."""
    plan = reconcile(*gig(156003))
    assert isinstance(plan, Plan)
    named = [text for cut in plan.cut_list if "transformer" in (text := say(cut.said))]
    assert len(named) == 2
    assert all("isolating transformers from the house" in text for text in named)
    assert "isolating transformer" not in {say(item.what) for item in plan.bring}
