"""A digital link carries what finds no input, and nothing else; worked by hand, since the second opinion has no
links.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from portal.plan import Plan, reconcile
from portal.plan.input.facts import Answer, Answers
from portal.plan.input.rig import Mixer, MixerLink, Rig, Source, Splitter, SplitterOutput
from portal.plan.options.routing_policy import STEP_ORDER
from portal.plan.reconcile import price

SPLITTER = Splitter(key="box", ways=16, built_in=True, outputs=(SplitterOutput(key="H", kind="isolated"),))


def voices(count: int) -> tuple[Source, ...]:
    return tuple(
        Source(
            key=f"v{n}",
            label=f"Voice {n}",
            what="voice.vocals",
            player=f"P{n}",
            lead=n == 1,
            splitter="box",
            way=n,
            mixer_input=n,
        )
        for n in range(1, count + 1)
    )


def band(sources: tuple[Source, ...], channels: int = 8) -> Rig:
    return Rig(
        name="Link", mixer=Mixer(inputs=16, links=(MixerLink("AES50", channels),)), source=sources, splitter=(SPLITTER,)
    )


def known(**values: str | int) -> Answers:
    said = {"digital-link": "yes", "room-capacity": 500} | {
        key.replace("_", "-"): value for key, value in values.items()
    }
    return {key: Answer("answered", value, "house") for key, value in said.items()}


def given_up(rig: Rig, answers: Answers) -> dict[str, int] | None:
    vector = price(rig, answers)
    if vector is None:
        return None
    return {step: count for step, count in zip(reversed(STEP_ORDER), vector, strict=False) if count}


@pytest.mark.parametrize(
    ("sources", "channels", "answers", "expected"),
    [
        (5, 8, {"inputs_free": 5}, {}),
        (5, 8, {"inputs_free": 3}, {"digital-link": 2}),
        (5, 1, {"inputs_free": 3}, {"left-out": 1, "digital-link": 1}),
        (5, 8, {"inputs_free": 0}, {"digital-link": 5}),
        (5, 8, {"inputs_free": 3, "isolation": "required"}, {"left-out": 2}),
        (5, 8, {"inputs_free": 3, "digital_link": "no"}, {"left-out": 2}),
    ],
)
def test_only_what_finds_no_input_travels_over_the_link(
    sources: int, channels: int, answers: dict[str, str | int], expected: dict[str, int]
) -> None:
    """Inputs first, then the link as far as it goes, then nothing; a link is no isolated line, and none is used unless
    the house takes it.
    """
    assert given_up(band(voices(sources), channels), known(**answers)) == expected


def test_what_must_be_heard_stays_off_the_link() -> None:
    """The link dies with the rack, so the lead keeps the last input."""
    plan = reconcile(band(voices(4)), known(inputs_free=1))

    assert isinstance(plan, Plan)
    assert {line.label: line.path.kind for line in plan.lines}["Voice 1"] == "split"
    assert plan.rack_dies.silent == tuple(line.line for line in plan.lines if line.path.kind == "digital-link")


def test_the_kit_travels_one_way() -> None:
    """Where a kit would be torn apart or kept together at the same price, it is kept together, so that its microphones
    do not comb.
    """
    kit = (
        Source(key="k", label="Kick", what="drum.kick-drum", player="Dru"),
        Source(key="s", label="Snare", what="drum.snare-drum", player="Dru"),
    )
    numbered = tuple(
        replace(one, splitter="box", way=way, mixer_input=way) for way, one in enumerate((*kit, *voices(3)), start=1)
    )
    plan = reconcile(band(numbered), known(inputs_free=3))

    assert isinstance(plan, Plan)
    assert {line.path.kind for line in plan.lines if line.label in ("Kick", "Snare")} == {"split"}


@pytest.mark.parametrize(("inputs", "channels"), [(1, [3, 4]), (2, [3, 4]), (3, [5, 6]), (4, [5, 6])])
def test_the_bank_of_the_link_begins_odd(inputs: int, channels: list[int]) -> None:
    """Behind an odd number of inputs one channel stays empty, so that a pair over the link has a stereo strip of the
    desk.
    """
    left, right = (
        Source(
            key=f"k{side}",
            label=f"Keys {side}",
            what="synth.generic",
            player="Kay",
            position=place,
            pair_with=f"k{other}",
        )
        for side, place, other in (("l", "left", "r"), ("r", "right", "l"))
    )
    heard = tuple(replace(voice, must=True) for voice in voices(inputs))
    plan = reconcile(band((*heard, left, right)), known(inputs_free=inputs))

    assert isinstance(plan, Plan)
    linked = [line for line in plan.lines if line.path.kind == "digital-link"]
    assert [(line.label, line.desk_channel) for line in linked] == [("Keys l", channels[0]), ("Keys r", channels[1])]
    assert [line.stereo_partner for line in linked] == [linked[1].line, linked[0].line]


def test_channels_of_the_link_stand_behind_the_box() -> None:
    """A line over the link has no socket and no loom way, and its channel lies behind the box's."""
    plan = reconcile(band(voices(4)), known(inputs_free=2))

    assert isinstance(plan, Plan)
    linked = [line for line in plan.lines if line.path.kind == "digital-link"]
    assert [(line.box_socket, line.loom, line.desk_channel) for line in linked] == [(None, None, 3), (None, None, 4)]
    assert all(line.gain_owner == "band" and line.phantom == "none" for line in linked)
