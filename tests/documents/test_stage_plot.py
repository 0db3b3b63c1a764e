"""The drawing of a stage: words cover neither signs nor each other, whatever the crowd."""

import re
from dataclasses import replace
from itertools import combinations, pairwise

import pytest

from portal.documents.labels.label_text import width_em
from portal.documents.rendering.page import environment, page
from portal.documents.rendering.pdf import STYLESHEET
from portal.documents.rendering.printed import Printed
from portal.documents.rendering.sizes import SIZES
from portal.documents.stage.drawing import HALF_M, UNITS, Plot
from portal.documents.stage.plot_words import FALL, RISE, Area, Room
from portal.documents.stage.stage_plot import draw, stage_plot
from portal.documents.stage.stage_rows import line_words, person_row
from portal.exchange.example import example_rig
from portal.plan import Plan, reconcile
from portal.plan.input.facts import Answer
from portal.plan.input.rig import Ears, Rig, Source, Standing
from portal.plan.result.stage import Stage, placed
from portal.wording.catalogue import read_in
from tests.documents.plans import SIGNED, a_cover, plan_of, said
from tests.documents.reading import one_bit, pages
from tests.plan.seven_players import EIGHT_INPUTS, planned, seven_players

RIG = example_rig()
ANSWERS = {"who-mixes": "house-engineer", "inputs-free": 32}


def the_plan() -> Plan:
    outcome = reconcile(RIG, {key: Answer("answered", value, "house", "") for key, value in ANSWERS.items()})
    assert isinstance(outcome, Plan)
    return outcome


def crowd(players: int, apart_m: float) -> Rig:
    """So many players close together, each with in-ears and four sources around them."""
    sources = [
        Source(
            key=f"s-{player}-{number}",
            label=f"Source {number}",
            player=f"Player {player}",
            at_m=(player % 6 * apart_m - 2 + across, player // 6 * apart_m + 1 + deep),
        )
        for player in range(players)
        for number, (across, deep) in enumerate(((0, 0), (0.6, 0), (-0.6, 0), (0, 0.6)))
    ]
    return Rig(source=tuple(sources), ears=tuple(Ears(player=f"Player {player}") for player in range(players)))


def words_of(plot: Plot) -> list[Area]:
    """What each line of words takes, a little less than its type: neighbours may touch."""
    found = []
    for thing in plot.things:
        for word in thing.words.lines:
            wide = width_em(word.text) * plot.text * 0.95
            left = thing.x + word.x - {"start": 0, "middle": wide / 2, "end": wide}[word.anchor]
            found.append(
                Area(
                    left,
                    thing.y + word.y - plot.text * RISE * 0.9,
                    left + wide,
                    thing.y + word.y + plot.text * FALL * 0.6,
                )
            )
    return found


def clashes(plot: Plot) -> int:
    """Pairs of words that cover each other, and words beyond the drawing."""
    words = words_of(plot)
    whole = Area(0, 0, plot.wide, plot.high)
    return sum(one.meets(other) for one, other in combinations(words, 2)) + sum(not whole.holds(one) for one in words)


@pytest.mark.parametrize("for_screen", [False, True], ids=["paper", "screen"])
@pytest.mark.parametrize(("players", "apart_m"), [(5, 1.5), (12, 0.7), (32, 0.3)])
def test_words_cover_nothing(players, apart_m, for_screen):
    """However close people stand, no two words lie on each other and none leaves the drawing; most names find room."""
    rig = crowd(players, apart_m)
    plot = draw(placed(Stage(), rig), plan_of(4), rig, Printed(), for_screen=for_screen).plot
    assert clashes(plot) == 0
    named = [thing for thing in plot.things if thing.name.startswith("person") and thing.words.lines]
    assert len(named) >= min(players, 12)


def test_planted_clashes_are_found(monkeypatch):
    """Were any place free, words of a crowd would lie on each other, and the count above would say so."""
    monkeypatch.setattr(Area, "meets", lambda *_: False)
    rig = crowd(16, 0.5)
    plot = draw(placed(Stage(), rig), None, rig, Printed()).plot
    monkeypatch.undo()
    assert clashes(plot) > 10


def test_a_name_without_room_at_its_sign_has_a_line_to_it():
    """A name that stands off its sign is led to."""
    rig = crowd(12, 0.7)
    plot = draw(placed(Stage(), rig), None, rig, Printed()).plot
    assert any(thing.words.lead for thing in plot.things)
    assert all(thing.words.lines for thing in plot.things if thing.words.lead)


def test_words_stand_off_their_sign_before_they_cross_a_line():
    """Where each place at the sign lies on a line, they go to the nearest that does not, with a line to it."""
    room, sign = Room(Area(0, 0, 400, 400), 10), Area(190, 190, 210, 210)
    room.draw(Area(0, 195, 400, 205), Area(195, 0, 205, 400))
    words = room.put(200, 200, sign, ["Box"], ("right", "left", "below", "above"), away=True)
    assert words.lead is not None
    at = (200 + words.lines[0].x, 200 + words.lines[0].y)
    assert not 195 <= at[0] <= 205
    assert not 195 <= at[1] <= 205


def test_places_that_nobody_stated_are_said_once():
    """Where everybody's place is assumed no row says so, and one sentence does; where one is known, each row does."""
    plan, cover = planned(EIGHT_INPUTS), a_cover(rig=seven_players())
    drawn = stage_plot(plan, cover).drawn
    assert not [row.place for row in drawn.people if "assumed" in row.place]
    assert drawn.assumed.endswith("where everybody stands")
    first = drawn.people[0].player
    some = stage_plot(plan, replace(cover, stage=Stage(people=((first, (1.0, 2.0)),)))).drawn
    assert {row.player for row in some.people if "assumed" not in row.place} == {first}
    assert "where everybody stands" not in some.assumed


def test_every_line_of_a_quiet_stage_is_in_the_drawing():
    """On the example's stage every line number stands beside a sign."""
    plot = draw(placed(Stage(), RIG, "stage-left"), the_plan(), RIG, Printed()).plot
    said = " ".join(word.text for thing in plot.things for word in thing.words.lines)
    assert [thing.said for thing in plot.things if len(thing.words.lines) < len(thing.said)] == []
    assert "lines 17, 20" in said


@pytest.mark.parametrize("place", ["stage-left", "stage-right", "upstage", "downstage", "off-stage", "no-box", ""])
def test_no_sign_stands_on_another(place):
    """Wherever the box is, rack and outlet stand beside it, each at a place of its own."""
    stage = placed(Stage(), RIG, place)
    assert len({stage.box, stage.rack, stage.power}) == 3


def test_one_line_is_said_as_one():
    """One number takes the singular."""
    assert [line_words(numbers) for numbers in ("7", "7, 9", "7–8", "")] == ["line 7", "lines 7, 9", "lines 7–8", ""]


def test_ways_run_along_the_axes():
    """Looms and mains run from corner to corner, never across."""
    for way in draw(placed(Stage(), RIG, "upstage"), the_plan(), RIG, Printed()).plot.ways:
        corners = [tuple(map(int, corner.split(","))) for corner in way.points.split()]
        assert len(corners) > 1
        assert all(here[0] == there[0] or here[1] == there[1] for here, there in pairwise(corners))


def test_a_signed_plan_does_not_sign_its_stage():
    """What was signed is the plan; the paper says that where people stand is no part of it."""
    cover = a_cover(rig=RIG)
    assert stage_plot(the_plan(), cover).unsigned == ""
    signed = stage_plot(the_plan(), replace(cover, status="agreed", signatures=SIGNED))
    assert "both sides signed" not in signed.heading.state + signed.foot
    assert (
        "no part of what was signed"
        in stage_plot(the_plan(), replace(cover, status="agreed", signatures=SIGNED)).unsigned
    )


def test_a_loom_needs_what_the_house_said():
    """The length on the plot is never less than the distance that the house stated, and a loom that reaches the drawn
    place only is too short.
    """
    drawn = stage_plot(the_plan(), a_cover(rig=RIG, answers=said(box_distance=1200))).drawn
    assert {row.needed for row in drawn.looms} == {"12"}
    assert all(row.verdict == "Reaches; the house says 12 m" for row in drawn.looms)
    assert "loom 12 m" in next(one for one in drawn.plot.things if one.kind == "box").said
    far = stage_plot(the_plan(), a_cover(rig=RIG, answers=said(box_distance=2000))).drawn
    assert all(row.short for row in far.looms)


def test_what_stands_there_is_an_outline_to_scale():
    """Kit, amplifier, microphone and DI have shapes of their own; microphones of a kit are part of it."""
    things = stage_plot(the_plan(), a_cover(rig=RIG)).drawn.plot.things
    assert {"kit", "amp", "microphone", "di"} <= {one.shape for one in things}
    drummer = next(one for one in things if one.shape == "kit")
    assert drummer.kind in ("person", "listener")
    across, deep = (side * UNITS for side in HALF_M["kit"])
    others = [one for one in things if one.kind in ("source", "source-left")]
    assert others
    assert not any(abs(one.x - drummer.x) < across and abs(one.y - drummer.y) < deep for one in others)


def test_a_way_along_the_edge_is_seen_and_signs_hide_what_runs_below_them(worker):
    """Where the mains way lies on the back edge its dashes are told from the edge; the loom is not drawn through the
    box.
    """
    stage = Stage(width_m=10.0, depth_m=6.0, box=(4.0, 6.0), rack=(0.0, 6.0), power=(-4.5, 6.0))
    plot = draw(placed(stage, RIG), the_plan(), RIG, Printed()).plot
    picture = environment().get_template("print/_plot.html").module.drawing(plot)
    style = f"@page {{ size: {plot.wide}px {plot.high}px; margin: 0 }} svg {{ width: 100%; height: auto }}"
    seen = one_bit(worker.render(f"<style>{style}</style>{picture}"), 0)
    scale = seen.width / plot.wide
    places = {thing.name: thing.x for thing in plot.things}

    def dots(first: float, last: float) -> list[int]:
        row = round(plot.top * scale)
        return [seen.getpixel((x, row)) for x in range(round(first * scale), round(last * scale))]

    between = dots(places["rack"] + plot.sign * 1.5, places["power"] - plot.sign * 1.5)
    assert between.count(255) > len(between) / 4
    assert between.count(0) > len(between) / 4
    assert set(dots(places["box"] - plot.sign / 2, places["box"] + plot.sign / 2)) == {255}


@pytest.mark.parametrize(
    ("answers", "boxes"),
    [
        ({"pa": "none", "who-mixes": "band-from-stage"}, 0),
        ({"pa": "stereo", "who-mixes": "band-from-stage", "pa-inputs": 2}, 0),
        ({"pa": "stereo", "who-mixes": "house-engineer", "inputs-free": 16}, 1),
    ],
)
def test_a_stage_box_is_drawn_where_something_ends_there(answers, boxes):
    """With the band's own PA, or a PA that the band's mixer feeds, there is no stage box, no loom to one, and no word
    of its place.
    """
    plan = reconcile(example_rig(), {key: Answer("answered", value, "house") for key, value in answers.items()})
    drawn = draw(placed(Stage(), example_rig()), plan, example_rig(), Printed())
    assert sum(thing.kind == "box" for thing in drawn.plot.things) == boxes
    assert ("stage box" in drawn.plot.words) == bool(boxes)
    assert ("the box's place" in drawn.assumed) == bool(boxes)
    assert bool(drawn.looms) == bool(boxes)
    assert ("loom" in {way.kind for way in drawn.plot.ways}) == bool(boxes)


def test_where_the_bands_mixer_makes_the_mix_its_inputs_stand_on_the_plot():
    """Every source is in both lines of the mix, so what a stage hand looks for is the input."""
    answers = {"pa": "stereo", "who-mixes": "band-from-stage", "pa-inputs": 2}
    plan = reconcile(RIG, {key: Answer("answered", value, "house") for key, value in answers.items()})
    drawn = draw(placed(Stage(), RIG), plan, RIG, Printed())
    said_of = [word for thing in drawn.plot.things for word in thing.said]
    assert any(word.startswith("input") for word in said_of)
    assert not any(word.startswith("line") for word in said_of)
    eli = next(row for row in drawn.people if row.player == "Eli")
    numbers = {one.label: one.mixer_input for one in plan.ear_inputs}
    assert (numbers["Bass DI"], numbers["Voice Eli"]) == (10, 19)
    assert eli.sources == "Bass DI, Voice Eli (lines 1–2, mixer inputs 10, 19)"


def test_power_drops_are_drawn_and_counted():
    """The rack and every player whose things take mains: so many outlets at each place, in the drawing and the table;
    who plays what sounds by itself needs none.
    """
    sources = (
        Source(key="g", label="Guitar", player="Gil", what="pluck.guitar.electric"),
        Source(key="k", label="Keys", player="Kit", what="synth.generic"),
        Source(key="t", label="Tracks", player="Kit", what="x-playback"),
        Source(key="a", label="Acoustic", player="Ada", what="pluck.guitar.acoustic"),
        Source(key="b", label="Upright", player="Bea", what="pluck.bass.acoustic"),
    )
    rig = Rig(source=sources, standing=(Standing("Drum riser, 2 x 2 m", 1),))
    drawn = draw(placed(Stage(), rig), None, rig, Printed())
    assert [(row.place, row.count, row.what) for row in drawn.drops] == [
        ("Rack", "1", "in-ear rack"),
        ("Gil", "1", "amplifier or processor"),
        ("Kit", "2", "keyboards, playback"),
    ]
    drops = [thing for thing in drawn.plot.things if thing.kind == "drop"]
    assert [thing.said for thing in drops] == [("1",), ("2",)]
    assert drawn.risers == "1 Drum riser, 2 x 2 m"
    assert not [
        one
        for one in draw(placed(Stage(), rig), None, rig, Printed(), for_screen=True).plot.things
        if one.kind == "drop"
    ]


@pytest.mark.parametrize(
    ("bits", "words"),
    [
        ({"xlr_20m": 1}, ", a 20 m cable reaches"),
        ({"xlr_5m": 4, "xlr_10m": 2}, ", join two cables or bring a longer one"),
        ({"xlr_5m": 2}, ", no cable of the band reaches"),
        ({}, ""),
    ],
)
def test_a_place_beyond_each_cable_says_to_join_two(bits, words):
    """The length stood there alone, where the packing list brings cables that are shorter."""
    source = replace(RIG.source[0], player="Yara", at_m=(3.5, 1.8))
    rig = replace(RIG, source=(source,), bits=bits)
    stage = placed(Stage(), rig, "stage-left")
    person = next(one for one in stage.people if one.name == "Yara")
    row = person_row(person, None, rig, stage, Printed())
    assert re.fullmatch(rf"1[0-9](?:\.\d)? m{words}", row.to_rack), row.to_rack


@pytest.mark.parametrize("language", ["en", "fr"])
@pytest.mark.parametrize("size", SIZES)
def test_one_page_holds_the_drawing_and_its_tables(worker, size, language):
    """The drawing takes what the tables leave of the page, and its words stay as large as those below it."""
    with read_in(language):
        cover = a_cover(rig=seven_players(), language=language)
        plan = planned(EIGHT_INPUTS)
        plot = stage_plot(plan, cover).drawn.plot
        content = worker.render(page("stage-plot", plan, cover, STYLESHEET, SIZES[size]))
    assert plot.text * plot.wide_mm / plot.wide > 9 * 25.4 / 72
    assert len(pages(content)) == 1
