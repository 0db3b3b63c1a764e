"""What stays at home is named nowhere but in the list of what stays; what is brought has a use."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest

from portal.plan import Plan, reconcile
from portal.plan.input.facts import Answer
from portal.plan.input.rig import Mix, Out, Rig, Splitter, SplitterOutput
from portal.plan.signed.serialization import Json, to_json
from portal.wording.plan.saying import say
from tests.plan.gigs import every_third, gig, medium
from tests.plan.hand_cases import band, one, said

ROUTES: tuple[dict[str, str], ...] = (
    {},
    {"who-mixes": "band-from-stage"},
    {"what-they-want": "left-right-mix"},
    {"what-they-want": "mix-on-your-mixer"},
    {"who-mixes": "bands-engineer-our-mixer"},
    {"pa": "none"},
    {"house-split": "yes"},
)
GIGS = [(gig, seed) for seed in range(200)] + [(medium, seed) for seed in range(8)]

OUTS = (
    Out("main-l", use="main"),
    Out("main-r", use="main"),
    *(Out(f"out-{number}", use="free") for number in range(4)),
)
SPLIT = Splitter(key="box", name="Blue box", ways=8, outputs=(SplitterOutput("b", "isolated"),))
VOICES = one("lead", "voice.vocals", lead=True, splitter="box", way=1, mixer_input=1) + one(
    "choir", "voice.choir", splitter="box", way=2, mixer_input=2
)


def words_in(value: Json) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for inner in value.values():
            yield from words_in(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from words_in(inner)


def stays(plan: Plan) -> set[str]:
    """The names of the things, not of the sources, that stay at home."""
    return {say(item.what).partition(",")[0] for item in plan.leave if say(item.why) != "for rehearsals only"}


@cache
def everywhere(part: int) -> tuple[tuple[str, Rig, Plan], ...]:
    """Generated gigs on every route, splitters and looms with names of their own."""
    found = []
    for make, seed in GIGS[::part]:
        rig, answers = make(seed)
        rig = replace(
            rig,
            splitter=tuple(replace(splitter, name=f"Splitter {splitter.key}") for splitter in rig.splitter),
            loom=tuple(replace(loom, name=f"Loom {loom.key}") for loom in rig.loom),
        )
        for route in ROUTES:
            plan = reconcile(
                rig, {**answers, **{key: Answer("answered", value, "house") for key, value in route.items()}}
            )
            if isinstance(plan, Plan):
                found.append((f"{make.__name__}({seed}) {route}", rig, plan))
    return tuple(found)


@every_third
@pytest.mark.slow
def test_what_stays_at_home_is_named_nowhere_else(part: int) -> None:
    """On every route no line, no input of the ears, no statement and no reason names a splitter or loom that stays, but
    to say that it stays.
    """
    seen, left = Counter[str](), 0
    for where, _, plan in everywhere(part):
        written = to_json(
            replace(plan, leave=(), notes=tuple(note for note in plan.notes if note.key != "loom-too-short"))
        )
        for name in stays(plan):
            assert not [text for text in words_in(written) if name in text], f"{where}: {name}"
            left += 1
        seen[plan.route] += 1
    assert left > 200 / part
    assert (
        min(
            seen[route]
            for route in (
                "own-pa",
                "house-pa-band-mixes",
                "left-right-to-the-house-desk",
                "engineer-on-the-bands-mixer",
            )
        )
        > 40 / part
    )
    assert min(seen[route] for route in ("dry-split", "house-split", "mixture")) > 40 / part


@every_third
@pytest.mark.slow
def test_a_carried_splitter_comes_along_exactly_where_a_line_runs_through_it(part: int) -> None:
    """Nothing is carried in vain: of the splitters that are not bolted in, those in some line's path are packed, the
    others stay.
    """
    packed = Counter[bool]()
    for where, rig, plan in everywhere(part):
        for splitter in rig.splitter:
            used = splitter.key in {line.path.unit for line in plan.lines}
            assert (splitter.name in {say(item.what) for item in plan.bring}) is (used and not splitter.built_in), where
            packed[used] += not splitter.built_in
    assert min(packed[True], packed[False]) > 20 / part


@pytest.mark.parametrize("answers", [route for route in ROUTES if route and route != {"house-split": "yes"}], ids=str)
@pytest.mark.parametrize("to_mixer", ["direct", "isolated"])
def test_with_its_splitter_at_home_a_source_goes_straight_into_the_mixer(
    answers: dict[str, str], to_mixer: str
) -> None:
    """Where the band's mixer makes the mix a carried splitter stays, and the mixer feeds 48 V itself; a built-in one
    stays in the path.
    """
    rig = band(VOICES, outs=OUTS, stereo=1, mix=Mix(own_pa=True))
    answered = said(**{key.replace("-", "_"): value for key, value in answers.items()})
    carried, built_in = (
        reconcile(replace(rig, splitter=(replace(SPLIT, built_in=built_in, to_mixer=to_mixer),)), answered)
        for built_in in (False, True)
    )
    assert isinstance(carried, Plan)
    assert isinstance(built_in, Plan)
    assert "Blue box" in stays(carried)
    assert [(row.label, say(row.fed_by), row.phantom) for row in carried.ear_inputs] == [
        ("lead", "straight in", "none"),
        ("choir", "straight in", "band"),
    ]
    assert stays(built_in) == set()
    # An isolated leg passes no 48 V: what needs it goes past the splitter.
    past = "straight in, past Blue box: first unplug the splitter's tail from this input"
    assert [(row.label, say(row.fed_by), row.phantom) for row in built_in.ear_inputs] == [
        ("lead", "Blue box, way 1", "none"),
        ("choir", "Blue box, way 2" if to_mixer == "direct" else past, "band"),
    ]


def test_48_v_has_one_feeder_on_the_line_and_on_the_ears_side() -> None:
    """Whoever feeds a source on its line is who feeds it at the in-ear mixer: a powered splitter or an isolated leg
    leaves the mixer's 48 V off.
    """
    for splitter, on_the_line, in_the_ears in (
        (replace(SPLIT, kind="active"), "splitter", "splitter"),
        (replace(SPLIT, to_mixer="isolated", outputs=(SplitterOutput("c", "direct"),)), "house", "none"),
        (SPLIT, "band", "band"),
    ):
        for way in (2, None):
            choir = tuple(
                replace(source, splitter="box" if way else "", way=way) for source in one("choir", "voice.choir")
            )
            plan = reconcile(band(choir, splitter=(splitter,)), said())
            assert isinstance(plan, Plan)
            assert [line.phantom for line in plan.lines] == [on_the_line]
            assert [(say(row.fed_by), row.phantom) for row in plan.ear_inputs] == [
                (f"Blue box, way {way or 1}", in_the_ears)
            ]
