"""The first question of a new gig: who mixes for the audience, on what. One screen for the band, pre-set from its last
gig; it decides what the house is asked at all.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.planning import ground, want
from portal.plan.input.facts import Answer
from portal.plan.input.rig import Rig
from portal.store import answers, gigs
from portal.store.database.session import Session
from portal.store.gigs import Gig
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.web.gig.answer_reuse import known_from_before
from portal.web.rig.rig_fields import Options
from portal.wording.catalogue import Words, mark
from portal.wording.catalogue import gettext as _

router = Screens()

OWN_PA, HOUSE_PA, HOUSE_DESK, OUR_MIXER, OUR_ENGINEER, OPEN = (
    "own-pa",
    "house-pa",
    "house-engineer",
    "bands-mixer",
    "bands-engineer",
    "open",
)

CHOICES = Words(
    {
        OWN_PA: mark("The band, on the band's PA"),
        HOUSE_PA: mark("The band, on the house's PA"),
        HOUSE_DESK: mark("The house's engineer, on the house desk"),
        OUR_MIXER: mark("An engineer of the house or of the band, on the band's mixer"),
        OUR_ENGINEER: mark("The band's engineer, on the house desk"),
        OPEN: mark("Not known yet"),
    }
)

QUESTIONS = ("who-mixes", "pa", "what-they-want")
"""What the choice answers for the band, each as the house may say it again."""

OURS = "mix-on-your-mixer"


@dataclass(frozen=True, kw_only=True)
class MixingChoice(FormPage):
    """Six choices and a button. ``before``: the gig whose choice is shown, by name."""

    template: ClassVar[str] = "gig/mixing_choice.html"
    action: str
    choices: Options
    before: str
    gig_href: str


@router.get("/gigs/{gig_id}/who-mixes")
def show_mixing_choice(request: Request, gig: TheGig, db: Db, copy: str = "") -> Response:
    """What was chosen, else what the gig had that this one is a ``copy`` of, else what the band's last gig had."""
    gig.need("edit")
    chosen = chosen_in(answers.current(db, gig.gig.id))
    before = None if chosen else _before(db, gig.gig, copy)
    had = chosen_in(answers.current(db, before.id)) if before else ""
    return render(request, _page(gig, Draft.of({"choice": chosen or had}), before.name if before and had else ""))


@router.post("/gigs/{gig_id}/who-mixes")
def choose_mixing(request: Request, gig: TheGig, sent: Sent, db: Db, portal: Here, now: Now) -> Response:
    """Answer for the band what follows from the choice, and plan with it."""
    gig.need("edit")
    sent.version()
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    check = Check(sent)
    choice = check.text("choice", _("Choose who mixes, or that it is not known yet."), longest=40)
    if check.well and choice not in CHOICES:
        check.fault("choice", _("Choose one of the list."))
    if not check.well:
        return render(request, _page(gig, check.draft(), ""), status=422)
    said = answers.current(db, gig.gig.id)
    for question, value in answers_for(choice, said, ground(db, gig.gig).rig).items():
        answers.give(
            db,
            gig_id=gig.gig.id,
            question=question,
            state="answered" if value else "unknown",
            value=value or None,
            party="band",
            user_id=gig.user_id,
            now=now,
        )
    want(db, gig.gig, now)
    known = known_from_before(db, gig.gig)
    return once.done(path_to("show_answer_reuse", gig.base) if known else path_to("show_gig", gig.base, saved="mixes"))


def _page(gig: AllowedGig, form: Draft, before: str) -> MixingChoice:
    return MixingChoice(
        title=_("Who mixes for the audience?"),
        form=form,
        action=path_to("show_mixing_choice", gig.base),
        choices=tuple(CHOICES.items()),
        before=before,
        gig_href=path_to("show_gig", gig.base),
    )


def _before(db: Session, gig: Gig, copied: str) -> Gig | None:
    """The gig that another one is copied from, else the one that its band made last before it."""
    found = gigs.get(db, gig.band_id, copied) if copied else None
    return found or gigs.made_last(db, gig.band_id, gig.id)


def chosen_in(said: Mapping[str, Answer]) -> str:
    """The choice that stands behind some answers; empty where nobody said who mixes."""
    value = {key: said[key].value for key in QUESTIONS if key in said and said[key].state == "answered"}
    who = value.get("who-mixes")
    if value.get("pa") == "none":
        return OWN_PA
    if who == "bands-engineer-our-mixer" or value.get("what-they-want") == OURS:
        return OUR_MIXER
    known = {"band-from-stage": HOUSE_PA, "house-engineer": HOUSE_DESK, "bands-engineer-your-desk": OUR_ENGINEER}
    if who is None:
        return OPEN if "who-mixes" in said else ""
    return known.get(str(who), OPEN)


def answers_for(choice: str, said: Mapping[str, Answer], rig: Rig) -> dict[str, str]:
    """Question -> the band's answer, empty for not known yet. What this choice does not say is undone."""
    own_engineer = rig.mix.engineer != "none"
    who = {
        OWN_PA: "band-from-stage",
        HOUSE_PA: "band-from-stage",
        HOUSE_DESK: "house-engineer",
        OUR_MIXER: "bands-engineer-our-mixer" if own_engineer else "house-engineer",
        OUR_ENGINEER: "bands-engineer-your-desk",
    }.get(choice, "")
    found = {"who-mixes": who} if who or "who-mixes" in said else {}
    if choice == OWN_PA:
        found["pa"] = "none"
    elif _is(said, "pa", "none"):
        found["pa"] = ""
    if choice == OUR_MIXER and not own_engineer:
        found["what-they-want"] = OURS
    elif _is(said, "what-they-want", OURS):
        found["what-they-want"] = ""
    return found


def _is(said: Mapping[str, Answer], question: str, value: str) -> bool:
    return question in said and said[question].value == value
