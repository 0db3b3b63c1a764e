"""How the portal chooses: what is given up first and last, in every gig and in one."""

from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.planning import rig_of
from portal.advance.revision_words import where_words
from portal.plan.input.facts import Facts
from portal.plan.model import Plan
from portal.plan.options.routing_policy import ROOM_WORDS, STEPS, Room, room_of
from portal.plan.registry import RULES
from portal.web.documents.downloads import newest_plan
from portal.web.frame.deps import Db, TheGig
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Page, render
from portal.web.plan.plan_view import steps_used
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import look_up
from portal.wording.formats import join_and

router = Screens()


@dataclass(frozen=True)
class StepShown:
    """One rung: what is given up, how, and what this gig gives up there."""

    number: str
    words: str
    how: str
    used: str
    href: str


@dataclass(frozen=True)
class RoomShown:
    """One of the three orders; ``assumed`` where it is this gig's only because nobody has said how many the room
    holds.
    """

    words: str
    here: bool
    assumed: bool


@dataclass(frozen=True, kw_only=True)
class Choosing(Page):
    """The ladder, cheapest step first. ``where`` and ``plan_href`` are empty where no gig is meant."""

    template: ClassVar[str] = "plan/routing_policy.html"
    where: str
    plan_href: str
    rooms: tuple[RoomShown, ...]
    steps: tuple[StepShown, ...]
    gives_up: bool


def _at_the_start(words: str) -> str:
    """The engine's words in the reader's language, with a capital."""
    said = look_up(words)
    return said[0].upper() + said[1:]


def _rooms(facts: Facts | None) -> tuple[RoomShown, ...]:
    here = room_of(facts) if facts else None
    guessed = facts is not None and here is not Room.SILENT and not facts.known("room-capacity")
    return tuple(
        RoomShown(_at_the_start(words), room is here, room is here and guessed) for room, words in ROOM_WORDS.items()
    )


def _steps(used: dict[str, tuple[str, ...]]) -> tuple[StepShown, ...]:
    return tuple(
        StepShown(
            step.number,
            _at_the_start(step.words),
            look_up(step.how),
            join_and(used.get(step.key, ())),
            path_to("show_why", key=step.key) if step.key in RULES else "",
        )
        for step in STEPS.values()
    )


@router.get("/how-the-portal-chooses")
def show_routing_policy(request: Request) -> Response:
    """The ladder for every gig."""
    page = Choosing(
        title=_("How the portal chooses"), where="", plan_href="", rooms=_rooms(None), steps=_steps({}), gives_up=False
    )
    return render(request, page)


@router.get("{base}/choosing")
def show_policy_of_gig(request: Request, gig: TheGig, db: Db) -> Response:
    """The ladder with this gig's room, and the steps that its plan takes."""
    stored = newest_plan(db, gig.gig)
    rig = rig_of(db, stored)
    # A plan does not say which configuration it was made for; an earlier rig may not have the gig's present one.
    rig = rig.configured(gig.gig.configuration if gig.gig.configuration in rig.configurations else "")
    outcome = stored.read()
    used = dict(steps_used(outcome)) if isinstance(outcome, Plan) else {}
    page = Choosing(
        title=_("How the portal chooses"),
        where=where_words(stored),
        plan_href=path_to("show_plan", gig.base),
        rooms=_rooms(Facts(rig, stored.read_answers())),
        steps=_steps(used),
        gives_up=bool(used),
    )
    return render(request, page)
