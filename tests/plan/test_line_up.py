"""Tonight's line-up makes one rig of the band's rig and what differs from it."""

from dataclasses import replace

import pytest

from portal.exchange.example import example_rig
from portal.plan.coherence import faults
from portal.plan.input.line_up import AS_THE_RIG, MARK, OFF, LineUp, on_its_own, players_of, tonight
from portal.plan.input.rig import Ears, Rig, Source

RIG = example_rig()

TRUMPET = Source(
    key="aa01", label="Trumpet", player="Cleo", what="brass.trumpet", mixer_input=23, splitter="stage-split", way=21
)


def row(rig: Rig, key: str) -> Source:
    return next(one for one in rig.source if one.key == key)


def mix(rig: Rig, player: str) -> Ears:
    return next(one for one in rig.ears if one.player == player)


def uses(rig: Rig) -> dict[str, str]:
    return {out.key: out.use for out in rig.mixer.outs}


def test_nothing_said_is_the_rig() -> None:
    """A gig that differs in nothing is planned from the very rig."""
    assert tonight(RIG, AS_THE_RIG) is RIG


def test_a_row_that_is_off_is_named_by_no_other() -> None:
    """Where one half of a pair is off, the other is single; a second microphone becomes a first one."""
    rig = tonight(RIG, LineUp(off=("s-keys-r", "s-kick-in")))
    assert not {"s-keys-r", "s-kick-in"} & {one.key for one in rig.source}
    assert (row(rig, "s-keys-l").pair_with, row(rig, "s-kick-out").second_of) == ("", "")


def test_a_player_who_is_away_frees_rows_mix_and_outputs() -> None:
    """Bo's guitar and voice are off, and the outputs of Bo's mix are free."""
    rig = tonight(RIG, LineUp(away=("Bo",)))
    assert not [one.label for one in rig.source if one.player == "Bo"]
    assert not [one for one in rig.ears if one.player == "Bo"]
    assert (uses(rig)["out-3"], uses(rig)["out-4"]) == ("free", "free")


def test_a_dep_stands_wherever_the_player_stood() -> None:
    """Ana plays for Eli: rows, mix and outputs bear Ana's name."""
    rig = tonight(replace(RIG, mix=replace(RIG.mix, takes_over="Eli")), LineUp(deps=(("Eli", "Ana"),)))
    assert {row(rig, key).player for key in ("s-bass", "s-voice-eli")} == {"Ana"}
    assert mix(rig, "Ana").outs == ("out-9",)
    assert (uses(rig)["out-9"], rig.mix.takes_over) == ("ears:Ana", "Ana")


def test_somebody_who_doubles_keeps_one_mix() -> None:
    """Ada plays Eli's part as well: Ada hears Ada's mix, and Eli's output is free."""
    rig = tonight(RIG, LineUp(deps=(("Eli", "Ada"),)))
    assert [one.player for one in rig.ears].count("Ada") == 1
    assert uses(rig)["out-9"] == "free"


def test_a_guest_row_comes_last_and_is_marked() -> None:
    """Its note says that it is a guest's, before what else the note says."""
    plain, noted = TRUMPET, replace(TRUMPET, key="aa02", note="Own clip microphone")
    rig = tonight(RIG, LineUp(guests=(plain, noted)))
    assert [one.note for one in rig.source[-2:]] == [MARK, f"{MARK}: Own clip microphone"]
    assert not row(rig, "aa01").guest, "a row for speech or a DJ is another thing"


def test_mixes_are_carried_and_heard_as_tonight() -> None:
    """One is wired tonight, one is nobody's, one is there tonight only, on the output that became free."""
    more = Ears(player="Cleo", width="mono", outs=("out-9",))
    rig = tonight(RIG, LineUp(carried=(("Bo", "cable"), ("Eli", OFF)), ears=(more,)))
    assert (mix(rig, "Bo").carried_by, mix(rig, "Cleo")) == ("cable", more)
    assert uses(rig)["out-9"] == "ears:Cleo"


SHARED = replace(RIG, ears=(Ears(player="Bo, Cem and Eli", outs=("out-9",)), Ears(player="Ada", outs=("out-3",))))
"""Three hear one mix, one hears another."""


def test_a_mix_that_several_hear_stays_with_those_who_are_there() -> None:
    """One is away and Ana plays for another; with nobody left there is no mix. Whoever has another mix keeps that."""
    assert players_of(replace(SHARED, source=())) == ("Bo", "Cem", "Eli", "Ada")
    tonights = (
        LineUp(away=("Bo",), deps=(("Eli", "Ana"),)),
        LineUp(away=("Bo", "Cem", "Eli")),
        LineUp(deps=(("Cem", "Ada"), ("Bo", "Eli"))),
        LineUp(carried=(("Bo", "wedge"),)),
    )
    heard = [[(one.player, one.carried_by) for one in tonight(SHARED, line_up).ears] for line_up in tonights]
    assert heard == [
        [("Cem, Ana", "radio"), ("Ada", "radio")],
        [("Ada", "radio")],
        [("Eli", "radio"), ("Ada", "radio")],
        [("Bo, Cem and Eli", "wedge"), ("Ada", "radio")],
    ]


@pytest.mark.parametrize("configuration", ["", "acoustic"])
def test_what_is_played_holds_together(configuration: str) -> None:
    """Off, away, deps, guests and mixes together contradict nothing, in any configuration, also as a file of its
    own.
    """
    line_up = LineUp(
        ("s-keys-r",), ("Bo",), (("Eli", "Ana"),), (TRUMPET,), (("Cem", "cable"),), (Ears("Cleo", "mono", ("out-3",)),)
    )
    rig = tonight(RIG, line_up)
    assert faults(rig) == ()
    assert faults(on_its_own(rig.configured(configuration))) == ()


def test_what_the_rig_has_not_is_left_aside() -> None:
    """Rows and players of a line-up that another revision of the rig has not change nothing."""
    gone = LineUp(("s-gone",), ("Nobody",), (("No one", "Ana"),), (), (("Nobody", "cable"),))
    assert tonight(RIG, gone) == RIG
