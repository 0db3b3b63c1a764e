"""The stage plot: places to scale from metres, the audience below, and how long each loom has to be on this stage.

Left and right are the performer's, so the performer's right is on the left of the paper, where an engineer who faces
the stage sees it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from portal.documents.cover import Cover
from portal.documents.heading import TitleBlock, foot_of, heading_of
from portal.documents.patch.ears_side import in_halves
from portal.documents.patch.patch_rows import source_labels
from portal.documents.registry import document
from portal.documents.rendering.printed import Printed
from portal.documents.stage.drawing import Plot, plot_of
from portal.documents.stage.page_room import WIDTH_MM, room_mm
from portal.documents.stage.stage_rows import (
    DropRow,
    LoomRow,
    PersonRow,
    assumed_words,
    drop_rows,
    loom_rows,
    person_row,
)
from portal.plan.input.rig import MAX_LABEL, Rig
from portal.plan.model import PA, Plan, Route
from portal.plan.result.stage import Placed, box_place_of, placed, stated_distance
from portal.wording.catalogue import gettext, look_up, mark
from portal.wording.formats import lengths_in

SIGNS_WORDS = mark(
    "Circle: a player; with a ring inside: in-ears. Kit, amplifiers, keyboards, microphones and DIs are outlines to"
    " scale, each with its lines, or with its inputs where the band's mixer makes the mix. Places are to scale."
    " Left and right are the performer's, who faces the audience. What found no room beside its sign stands in the"
    " table of people."
)

LENGTHS_WORDS = mark(
    "A loom's length is its way along sides and back, up and down at both ends, and slack: a tenth, at least 2 m "
    "(common practice, no source). Where the house stated the distance, a loom needs at least that."
)

UNSIGNED_MARK = mark("Drawn beside a signed plan")

UNSIGNED_WORDS = mark("Who stands where is no part of what was signed.")

DROPS_WORDS = mark(
    "Triangle: mains outlets, with how many. They follow from what each player plays, one for each machine; a PA's"
    " amplifiers are not counted (common practice, no source)."
)

POWER_WORDS = mark("Mains ways are drawn for planning only. A licensed electrician and the local code decide.")

NOTES = (SIGNS_WORDS, LENGTHS_WORDS, DROPS_WORDS, POWER_WORDS)


@dataclass(frozen=True)
class Drawn:
    """A stage as a drawing and as tables; ``assumed`` names what nobody stated. ``notes`` are of the signs, the looms'
    lengths, the power drops, and mains.
    """

    plot: Plot
    people: tuple[PersonRow, ...]
    looms: tuple[LoomRow, ...]
    drops: tuple[DropRow, ...]
    risers: str
    assumed: str
    notes: tuple[str, ...]


@dataclass(frozen=True)
class StagePlot:
    """All that the template sees. ``drops`` are those of the drawing in two halves; ``unsigned`` says on a signed plan
    that its stage is not.
    """

    language: str
    title: str
    foot: str
    heading: TitleBlock
    drawn: Drawn
    drops: tuple[tuple[DropRow, DropRow], ...]
    unsigned: str
    shortened: str


@document(
    "stage-plot",
    title=mark("Stage plot"),
    purpose=mark("Who stands where, to scale, and how long the looms have to be."),
    template="stage_plot.html",
)
def stage_plot(plan: Plan, cover: Cover) -> StagePlot:
    """The plot of one plan on the gig's stage."""
    printed = Printed()
    heading = heading_of(cover, printed, "stage-plot")
    rig = _tonight(cover.rig, plan)
    # What was signed is the plan; the stage is drawn beside it, so this paper bears no mark of signing.
    heading = replace(heading, state=look_up(UNSIGNED_MARK)) if cover.signatures else heading
    stated_m = stated_distance(cover.answers)
    stage = placed(cover.stage, rig, box_place_of(cover.answers), stated_m)
    drawn = draw(stage, plan, rig, printed, stated_m=stated_m)
    return StagePlot(
        language=cover.language,
        title=gettext("Stage plot, %(gig)s, %(date)s", gig=heading.gig, date=heading.date),
        foot=foot_of(heading),
        heading=heading,
        drawn=drawn,
        drops=in_halves(drawn.drops, DropRow("", "", "")),
        unsigned=look_up(UNSIGNED_WORDS) if cover.signatures else "",
        shortened=", ".join(printed.shortened),
    )


def draw(
    stage: Placed,
    plan: Plan | None,
    rig: Rig,
    printed: Printed,
    *,
    for_screen: bool = False,
    stated_m: float | None = None,
) -> Drawn:
    """A stage with the lines of a plan; without one, with no lines and no looms. The stage box is left out where
    no line of the plan goes to one. A drawing for the screen has fewer and
    larger words.
    """
    with_box = plan is None or _meets_a_box(plan)
    # Where nobody's place is known, that is said once and not in each row.
    told = not all(one.assumed for one in stage.people)
    if not with_box:
        stage = replace(stage, assumed=stage.assumed - {"box"})
    looms = tuple(loom_rows(plan, rig, stage, printed, stated_m)) if plan else ()
    people = tuple(
        person_row(one if told else replace(one, assumed=False), plan, rig, stage, printed) for one in stage.people
    )
    drops, notes = tuple(drop_rows(stage, printed)), tuple(lengths_in(look_up(one)) for one in NOTES)
    assumed = assumed_words(stage, printed)
    # Signs are explained by themselves, all else runs on.
    texts = (notes[0], " ".join(notes[1:]), assumed)
    room = None if for_screen else (WIDTH_MM, room_mm(looms, people, drops, texts))
    return Drawn(
        plot=plot_of(stage, plan, rig, looms, printed, with_box=with_box, room_mm=room),
        people=people,
        looms=looms,
        drops=drops,
        risers=_risers(rig, printed),
        assumed=assumed,
        notes=notes,
    )


def _risers(rig: Rig, printed: Printed) -> str:
    """The risers that the band lists among what comes along."""
    found = [one for one in rig.standing if "riser" in one.name.casefold()]
    what = gettext("a riser")
    return ", ".join(f"{one.count} {printed(one.name, MAX_LABEL, what)}" for one in found)


def _meets_a_box(plan: Plan) -> bool:
    """Whether a line goes to a stage box or comes from one, or might once there are lines."""
    if plan.route == Route.OWN_PA:
        return False
    return bool(plan.returns) or not plan.lines or any(line.box != PA for line in plan.lines)


def _tonight(rig: Rig, plan: Plan) -> Rig:
    """The rig without the sources that the gig's variant leaves at home: the plan does not know them."""
    known = {key for line in plan.lines for key in line.sources} | source_labels(plan).keys()
    return replace(rig, source=tuple(source for source in rig.source if source.key in known))
