"""The cut list says where each line ends at the house, and moves no more plugs than it has to."""

from __future__ import annotations

from dataclasses import replace

import pytest

from portal.plan import Plan, reconcile
from portal.plan.input.facts import Facts
from portal.plan.input.rig import Loom
from portal.plan.phrase import Phrase
from portal.plan.result.routing import Routing, Sent
from portal.plan.solving.cut_places import Place, Places
from portal.wording.plan.saying import say
from tests.plan.gigs import gig, medium
from tests.plan.hand_cases import BACKING_1, BACKING_2, KICK, LEAD, MAINS, RACK, band, said
from tests.plan.outcomes import plan_of_case
from tests.plan.test_cut_list import GUITARS, cuts


def rows(made, number: int) -> list[str]:
    """The rows of an invented gig."""
    plan = reconcile(*made(number))
    assert isinstance(plan, Plan)
    return [say(cut.said) for cut in plan.cut_list]


def test_each_line_that_comes_back_names_its_way_and_its_box_input() -> None:
    """Five sources stood "on lines of their own again", and no way and no input of any."""
    assert rows(medium, 176189)[1].endswith(
        "; on lines of their own again: Floor tom by way 12 to box input 3, Conga by way 1 to box input 4,"
        " Guitar 1 by way 10 to box input 9, Keys L by way 2 to box input 7, Trumpet 1 by way 17 to box input 12"
    )


def test_a_line_that_comes_back_beside_another_splitter_names_its_own() -> None:
    """Both splitters have a way 1."""
    assert "on its own line again: Accordion by way 1 of box-b to box input 5" in rows(gig, 176011)[2]


def test_an_output_that_a_row_plugs_in_names_loom_way_and_box_input() -> None:
    """A sum takes the place of the first of its sources."""
    loom = Loom(key="long", name="Long loom", ways=8, length_m=30)
    rig = band(KICK, *GUITARS, LEAD, outs=MAINS, stereo=1, loom=(loom,))
    assert cuts(rig, inputs_free=6)[0].startswith(
        "5: guitar b and guitar d on one line, from output main-l (to Long loom way 3, box input 3): line level"
    )


def test_who_leaves_a_submixer_says_where_its_plug_goes_and_the_others_stay() -> None:
    """The organ stayed in the in-ears alone, and was at no input of the mixer; piano and keys keep their plug."""
    assert rows(gig, 180154)[2] == (
        "Organ now straight into mixer input 3; Organ in-ears only; Keys L, Keys R, Piano L, Piano R, Tracks L and"
        " Tracks R on one line, from output 0, where it is plugged"
    )


def test_a_submixer_that_leaves_the_house_as_a_whole_moves_no_plug() -> None:
    """All five go on by one plug into the in-ears."""
    assert rows(gig, 172032)[1] == (
        "Keys L in-ears only; Keys R in-ears only; Organ in-ears only; Piano L in-ears only; Piano R in-ears only"
    )


def test_what_makes_room_in_the_houses_splitter_goes_straight_into_the_mixer() -> None:
    """The mixer's output takes the input of the house's splitter whose tail fed the tracks to the in-ears."""
    assert rows(gig, 176242)[0].startswith(
        "Tracks L now straight into mixer input 1; Tracks L and Tracks R to mono on a bus, from output 1 (to box input"
        " 5): line level"
    )


def test_where_a_plug_that_moves_ends_is_said_once() -> None:
    """Both clauses named the input, and the second read as that of the other side."""
    assert rows(gig, 184122)[1].startswith(
        "Keys R now through way 4 of rack-a into mixer input 2, from there to box input 5; Keys L, Keys R and Organ on"
        " one pair, from the player's own submixer on the plugs of Keys L and Keys R; Tracks L in-ears only"
    )


def test_a_box_input_that_another_plug_takes_is_not_called_free() -> None:
    """The guitar takes the way of the jack that is emptied, and with it the box input."""
    assert rows(medium, 182479)[0] == (
        "Guitar 1 L now through way 8 of rack-a into mixer input 12; Bass mic not plugged; Keys L and Keys R to mono:"
        " Kay plugs only the left/mono jack of the keyboard"
    )


@pytest.mark.parametrize(("number", "row", "first"), [(176819, 1, "8 plugs move"), (176270, 0, "")])
def test_of_many_plugs_the_row_says_when_to_decide(number: int, row: int, first: str) -> None:
    """Nobody begins with eight plugs in a changeover; four are done."""
    text = rows(medium if first else gig, number)[row]
    assert text.startswith(f"{first}: decide before load-in, not in the changeover; ") == bool(first)
    assert ("plugs move" in text) == bool(first)


def test_plugs_that_go_straight_into_the_mixer_are_said_together() -> None:
    """In the order of the inputs; one whose 48 V changes says so by itself."""
    assert "; Guitar 2 and Guitar 3 now straight into mixer inputs 5–6, in this order; " in rows(gig, 176270)[
        0
    ].replace("-", "–")


def test_a_place_is_kept_freed_and_taken_by_its_own_sources_first() -> None:
    """Kick stays; the sum takes the place of its first source, though another was free before."""
    (kick,), (one,), (two,), (lead,) = KICK, BACKING_1, BACKING_2, LEAD
    through = [Sent((source,), source.label, "split", (0, 0, 0), splitter=RACK, way=way)
               for way, source in enumerate((kick, lead, one, two), 1)]  # fmt: skip
    before = Places(
        {("way", "rack", str(way)): Place(way, Phrase("at-box-input", {"input": way})) for way in (1, 2, 3, 4)},
        (),
        {("way", "rack", str(way)): frozenset({source.key}) for way, source in enumerate((kick, lead, one, two), 1)},
    )
    summed = replace(through[2], sources=(one, two), splitter=None, way=None, out=MAINS[0])
    after = before.after(Routing((through[0], summed), {}, (), frozenset(), (), 0, ()), Facts(band(KICK), said()))
    assert [after.of(line).input for line in (through[0], summed)] == [1, 3]
    assert [after.is_new(line) for line in (through[0], summed)] == [False, True]
    assert [after.is_free(number) for number in (1, 2, 3, 4)] == [False, True, False, True]


def test_what_48_v_can_harm_comes_back_under_no_switch_that_is_on() -> None:
    """The house feeds the snare under one switch for inputs 1 to 8: the ribbon's place there is not said to be its."""
    plan = plan_of_case("ribbon-and-two-48-v-banks")
    row = next(text for cut in plan.cut_list if (text := say(cut.said)).startswith("the band's own left/right mix"))
    assert "output 6 (to 16-way loom way 9, box input 10)" in row
    assert row.endswith(
        "; on its own line again: Ribbon by way 5 to a box input whose 48 V switch is off, 48 V off, never on"
    )
