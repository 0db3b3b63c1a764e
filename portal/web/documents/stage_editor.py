"""The stage of a gig: its size and who stands where, by fields or by moving things in the drawing. It changes no plan
and no signature.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.document_context import stage_of
from portal.documents.rendering.printed import Printed
from portal.documents.stage.stage_plot import Drawn, draw
from portal.documents.stage.stage_rows import place_words
from portal.plan.input.line_up import tonight
from portal.plan.input.rig import Rig
from portal.plan.model import Plan
from portal.plan.result.stage import MOST_M, Placed, Point, Stage, box_place_of, placed, stated_distance
from portal.store import answers, plans, rigs
from portal.store.database.session import Session
from portal.store.day import stages
from portal.store.gigs import Gig
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.forms import Check, Difference, begin, differences, many_fields
from portal.web.frame.kept import following
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.wording.catalogue import Words, gettext, mark
from portal.wording.formats import (
    FEET,
    METRES,
    length_unit,
    limit_figures,
    plain_number,
    read_length,
    say_number,
    write_length,
)

router = Screens()

LEAST_M = 1.0
BESIDE_M = 1.0
"""How far beside the stage a thing may stand."""

THINGS = Words({"box": mark("Stage box"), "rack": mark("Rack"), "power": mark("Mains socket for the rack")})
SIZES = {
    METRES: Words(
        {
            "width": mark("Width in metres"),
            "depth": mark("Depth in metres"),
            "up-and-down": mark("Up and down at both ends of a loom, in metres"),
        }
    ),
    FEET: Words(
        {
            "width": mark("Width in feet"),
            "depth": mark("Depth in feet"),
            "up-and-down": mark("Up and down at both ends of a loom, in feet"),
        }
    ),
}
"""Fields of the stage itself, by the unit that they are typed in."""

SIDES = {
    METRES: Words({"right": mark("metres right of the middle"), "front": mark("metres from the front")}),
    FEET: Words({"right": mark("feet right of the middle"), "front": mark("feet from the front")}),
}
HEADED = {
    METRES: Words({"right": mark("Metres right of the middle"), "front": mark("Metres from the front")}),
    FEET: Words({"right": mark("Feet right of the middle"), "front": mark("Feet from the front")}),
}
"""The two fields of a place, by the unit: inside a sentence, and as they are headed."""

LENGTH_WRONG = Words(
    {
        METRES: mark("%(field)s: enter metres from %(least)s to %(most)s, for example %(example)s."),
        FEET: mark("%(field)s: enter feet from %(least)s to %(most)s, for example %(example)s."),
    }
)


@dataclass(frozen=True)
class PlaceFields:
    """Two fields for one place: what their names begin with, the thing, where it stands now, and for a person the field
    with the name.
    """

    key: str
    what: str
    now: str
    player: str


@dataclass(frozen=True, kw_only=True)
class StagePage(FormPage):
    """The stage with its form; ``action`` is empty for whoever may only look."""

    template: ClassVar[str] = "documents/stage_editor.html"
    gig_href: str
    where: str
    drawn: Drawn
    sizes: tuple[tuple[str, str], ...]
    sides: tuple[str, str]
    places: tuple[PlaceFields, ...]
    action: str
    saved: bool
    paper: str
    conflict: tuple[Difference, ...]


@router.get("{base}/stage")
def show_stage(request: Request, gig: TheGig, db: Db) -> Response:
    """The stage as it is drawn."""
    drawn = stages.get(db, gig.gig.id)
    now = placed_now(db, gig.gig)
    form = Draft.of(_entries(stage_of(db, gig.gig), now), drawn.version if drawn else 0)
    return render(request, _page(db, gig, now, form, saved="saved" in request.query_params))


def _rig(db: Session, gig: Gig) -> Rig:
    return tonight(_whole(db, gig), gig.read_line_up()).configured(gig.configuration)


def _whole(db: Session, gig: Gig) -> Rig:
    return rigs.revision_of_gig(db, gig.rig_revision_id).read()


def placed_now(db: Session, gig: Gig) -> Placed:
    """Where everything stands at a gig (already allowed), as far as anybody said."""
    said = answers.current(db, gig.id)
    stage, box, metres = stage_of(db, gig), box_place_of(said), stated_distance(said)
    given = (gig.read_line_up(), gig.configuration, stage, box, metres)
    return following(
        _whole(db, gig), "where everything stands", given, lambda: placed(stage, _rig(db, gig), box, metres)
    )


def drawn_now(db: Session, gig: Gig, now: Placed) -> Drawn:
    """The stage with the newest plan's lines, for a screen."""
    plan, whole = _newest(db, gig), _whole(db, gig)
    given = (now, whole, gig.read_line_up(), gig.configuration)
    return following(
        plan or whole, "the stage", given, lambda: draw(now, plan, _rig(db, gig), Printed(), for_screen=True)
    )


def _newest(db: Session, gig: Gig) -> Plan | None:
    newest = plans.newest(db, gig.id)
    outcome = newest.read() if newest else None
    return outcome if isinstance(outcome, Plan) else None


def _page(
    db: Session,
    gig: AllowedGig,
    now: Placed,
    form: Draft,
    *,
    saved: bool = False,
    conflict: tuple[Difference, ...] = (),
) -> StagePage:
    drawn = drawn_now(db, gig.gig, now)
    plan = _newest(db, gig.gig)
    places = [
        PlaceFields(key, what, _where(at, assumed=key in now.assumed), "")
        for (key, what), at in zip(THINGS.items(), (now.box, now.rack, now.power), strict=True)
    ]
    places += [
        PlaceFields(
            f"person-{index}",
            one.name or gettext("Players without a name"),
            _where(one.at, assumed=one.assumed),
            one.name,
        )
        for index, one in enumerate(now.people, start=1)
    ]
    return StagePage(
        title=gettext("Stage"),
        form=form,
        gig_href=gig.base,
        where=f"{gig.gig.name}, {gig.gig.place}",
        drawn=drawn,
        sizes=tuple(SIZES[length_unit()].items()),
        sides=(HEADED[length_unit()]["right"], HEADED[length_unit()]["front"]),
        places=tuple(places),
        action=path_to("show_stage", gig.base) if "edit" in gig.powers else "",
        saved=saved,
        paper=(
            path_to("show_newest_document", gig.base, document="stage-plot") if plan is not None and plan.lines else ""
        ),
        conflict=conflict,
    )


def _where(at: Point, *, assumed: bool) -> str:
    return gettext("%(said)s (assumed)", said=place_words(at)) if assumed else place_words(at)


def _entries(stage: Stage, now: Placed) -> Mapping[str, str]:
    """What the form holds of a stage; a field of which nobody said anything is empty."""
    moved = dict(stage.people)
    points: dict[str, Point | None] = {"box": stage.box, "rack": stage.rack, "power": stage.power}
    points |= {f"person-{index}": moved.get(one.name) for index, one in enumerate(now.people, start=1)}
    entries = {
        "width": write_length(stage.width_m),
        "depth": write_length(stage.depth_m),
        "up-and-down": write_length(stage.up_and_down_m),
    }
    for key, at in points.items():
        entries |= {
            f"{key}-right": write_length(at[0] if at else None),
            f"{key}-front": write_length(at[1] if at else None),
        }
    return entries


@router.post("/gigs/{gig_id}/stage")
@many_fields
def save_stage(request: Request, sent: Sent, gig: TheGig, portal: Here, now: Now, db: Db) -> Response:
    """Keep the stage as it was drawn."""
    gig.need("edit")
    version = sent.version()
    stood = placed_now(db, gig.gig)
    check = Check(sent)
    stage = _read(check, stage_of(db, gig.gig))
    if not check.well:
        return render(request, _page(db, gig, stood, check.draft(version)), status=422)
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    if not stages.save(db, gig.gig.id, version, stage, now):
        stored = stages.get(db, gig.gig.id)
        draft = check.draft(stored.version if stored else 0)
        labels = {name: _label(name, stood) for name in _entries(stage, stood)}
        theirs = differences(labels, _entries(stage_of(db, gig.gig), stood), draft)
        return render(request, _page(db, gig, stood, draft, conflict=theirs), status=409)
    return once.done(path_to("show_stage", gig.base, saved="yes"))


def _label(name: str, now: Placed) -> str:
    sizes = SIZES[length_unit()]
    if name in sizes:
        return sizes[name]
    key, _, side = name.rpartition("-")
    what = THINGS.get(key) or now.people[int(key.removeprefix("person-")) - 1].name or gettext("Players without a name")
    return f"{what}, {SIDES[length_unit()][side]}"


def _read(check: Check, before: Stage) -> Stage:
    """The stage that a form holds. People who are not in the form, because the rig of tonight has them not, stay where
    they were.
    """
    width = _length(check, "width", gettext("Width"), (LEAST_M, MOST_M), before.width_m)
    depth = _length(check, "depth", gettext("Depth"), (LEAST_M, MOST_M), before.depth_m)
    rise = _length(check, "up-and-down", gettext("Up and down"), (0.0, 30.0), before.up_and_down_m)
    stood = {"box": before.box, "rack": before.rack, "power": before.power}
    points = {key: _place(check, key, what, stood[key]) for key, what in THINGS.items()}
    people = dict(before.people)
    for name in check.sent.names():
        match = re.fullmatch(r"(person-[0-9]{1,3})-name", name)
        if match:
            player = check.text(name)
            at = _place(check, match[1], player or gettext("Players without a name"), people.get(player))
            people.pop(player, None)
            if at is not None:
                people[player] = at
    return Stage(width, depth, rise, points["box"], points["rack"], points["power"], tuple(people.items()))


def _place(check: Check, key: str, what: str, before: Point | None) -> Point | None:
    half, sides = MOST_M / 2 + BESIDE_M, SIDES[length_unit()]
    was = before or (None, None)
    right = _length(check, f"{key}-right", f"{what}, {sides['right']}", (-half, half), was[0])
    front = _length(check, f"{key}-front", f"{what}, {sides['front']}", (0.0, MOST_M), was[1])
    if (right is None) != (front is None):
        missing = "right" if right is None else "front"
        check.fault(f"{key}-{missing}", gettext("%(what)s: enter both numbers, or leave both empty.", what=what))
    return None if right is None or front is None else (right, front)


def _length(check: Check, name: str, words: str, limits: tuple[float, float], before: float | None) -> float | None:
    """A length in metres, with at most two places after the point, or after the comma; ``None`` when empty."""
    text = plain_number(check.sent.text(name))
    if not text:
        return None
    lo, hi = limits
    try:
        length = read_length(text, before)
        if lo <= length <= hi and length in (before, round(length, 2)):
            return length
    except ValueError:
        pass
    least, most = limit_figures(lo, hi)
    check.fault(
        name,
        LENGTH_WRONG[length_unit()] % {"field": words, "least": least, "most": most, "example": say_number(2.5)},
    )
    return None
