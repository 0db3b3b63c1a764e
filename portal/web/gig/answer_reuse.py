"""What was answered at the same place before is offered to the band for the next gig there, as an assumption until the
house confirms it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from fastapi import Request
from fastapi.responses import RedirectResponse, Response

from portal.advance.planning import ground, want
from portal.plan.input.facts import Answer, Facts
from portal.plan.input.questions import QUESTIONS, Question
from portal.store import answers, gigs
from portal.store.answers import Before
from portal.store.database.session import Session
from portal.store.gigs import Gig
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.forms import begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.wording.answers import words_of
from portal.wording.catalogue import gettext, look_up
from portal.wording.times import say_date

router = Screens()

TAKE = "take"
"""How the fields are called that hold what is taken over; a number follows."""

OF_ONE_NIGHT = "house-sheet"
"""The question under which a house writes anything else, mostly about that night."""

LOOKED_BACK = 20
"""So many of the latest gigs at a place are asked for what was said there; what is older is hardly still right (common
practice, no source).
"""


@dataclass(frozen=True)
class Known:
    """One answer of an earlier gig: who gave it, when, and at which gig."""

    question: Question
    answer: Answer
    gig: Gig


@dataclass(frozen=True, kw_only=True)
class LastTime(FormPage):
    """What can be taken over, each group with its field, who said it when, and its answers; those that name people come
    last.
    """

    template: ClassVar[str] = "gig/answer_reuse.html"
    action: str
    place: str
    groups: tuple[tuple[str, str, tuple[tuple[str, str], ...]], ...]
    gig_href: str


@router.get("/gigs/{gig_id}/last-time")
def show_answer_reuse(request: Request, gig: TheGig, db: Db) -> Response:
    """What was answered there before, everything ticked but what names people or is of one night."""
    gig.need("edit")
    known = known_from_before(db, gig.gig)
    if not known:
        return RedirectResponse(gig.base, 303)
    ticked = {
        field: tuple(key for key, _ in options if _holds_on(known[key].question))
        for field, _, options in _groups(known)
    }
    return render(request, _page(gig, known, Draft(ticked)))


def _holds_on(question: Question) -> bool:
    return not question.contact and question.key != OF_ONE_NIGHT


@router.post("/gigs/{gig_id}/last-time")
def reuse_answers(request: Request, gig: TheGig, sent: Sent, db: Db, portal: Here, now: Now) -> Response:
    """Store what was ticked as assumed, with the day on which it was said, and plan with it."""
    gig.need("edit")
    sent.version()
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    known = known_from_before(db, gig.gig)
    for key in dict.fromkeys(key for field in sent.names() if field.startswith(TAKE) for key in sent.texts(field)):
        one = known.get(key)
        if one is not None:
            answers.give(
                db,
                gig_id=gig.gig.id,
                question=key,
                state="answered",
                value=one.answer.value,
                party="assumed",
                user_id=gig.user_id,
                before=Before(one.answer.by, one.answer.on),
                now=now,
            )
    want(db, gig.gig, now)
    return once.done(path_to("show_gig", gig.base, saved="last-time"))


def known_from_before(db: Session, gig: Gig) -> Mapping[str, Known]:
    """What somebody said at the band's earlier gigs in the same place and nobody has said for this one, by question;
    the newest word counts.
    """
    said_here = {row.question for row in answers.newest(db, gig.id)}
    found: dict[str, Known] = {}
    there = gigs.at_place(db, gig, LOOKED_BACK)
    given = answers.current_of(db, [other.id for other in there])
    for other in there:
        for key, answer in given.get(other.id, {}).items():
            told = answer.state == "answered" and answer.by != "assumed"
            if told and key not in said_here and (key not in found or answer.on > found[key].answer.on):
                found[key] = Known(QUESTIONS[key], answer, other)
    # One answer can be what makes another one matter: what is asked is looked up with all of them in place.
    stands = ground(db, gig)
    facts = Facts(stands.rig, {**stands.given, **{key: one.answer for key, one in found.items()}})
    return {key: found[key] for key in QUESTIONS if key in found and facts.asked(key)}


def _page(gig: AllowedGig, known: Mapping[str, Known], draft: Draft) -> LastTime:
    return LastTime(
        title=gettext("%(place)s: what was answered there before", place=gig.gig.place),
        form=draft,
        action=path_to("show_answer_reuse", gig.base),
        place=gig.gig.place,
        groups=_groups(known),
        gig_href=gig.base,
    )


def _groups(known: Mapping[str, Known]) -> tuple[tuple[str, str, tuple[tuple[str, str], ...]], ...]:
    found: dict[tuple[bool, str], list[tuple[str, str]]] = {}
    for key, one in known.items():
        found.setdefault((one.question.contact, _origin(one)), []).append(
            (key, f"{look_up(one.question.band)} {words_of(one.question, one.answer)}")
        )
    ordered = sorted(found.items(), key=lambda entry: entry[0][0])
    return tuple(
        (
            f"{TAKE}-{number}",
            gettext("People, only where they are still there: %(origin)s", origin=origin) if contact else origin,
            tuple(options),
        )
        for number, ((contact, origin), options) in enumerate(ordered, start=1)
    )


def _origin(one: Known) -> str:
    who = "you" if one.answer.by == "band" else gettext("the house")
    return gettext(
        "%(who)s said on %(on)s, for %(name)s",
        who=who,
        on=say_date(date.fromisoformat(one.answer.on)),
        name=one.gig.name,
    )
