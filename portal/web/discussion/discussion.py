"""Both sides comment on the plan, and choose what to propose for one source."""

import re
from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.planning import ground
from portal.plan.input.rig import Rig
from portal.plan.model import Plan
from portal.store import discussions, plans, signoffs
from portal.store.database.session import Session
from portal.store.discussions import RELEASE, Proposal
from portal.web.discussion.discussion_view import (
    CommentShown,
    ProposalShown,
    comment_shown,
    label_of,
    talk_of,
)
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.errors import NotThere
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.wording.catalogue import Words, mark
from portal.wording.catalogue import gettext as _

router = Screens()

LONGEST = 2000
A_PAGE = 50
"""Comments on one page."""
KINDS = Words(
    {
        "desk-channel": mark("Put it on another desk channel"),
        "own-line": mark("Give it a line of its own"),
        "leave-out": mark("Leave it out"),
    }
)

Options = tuple[tuple[str, str], ...]


@dataclass(frozen=True, kw_only=True)
class TalkPage(FormPage):
    """What was said about the plan as a whole and about everything, or about one source (``about``), with the forms to
    say more.
    """

    template: ClassVar[str] = "discussion/discussion.html"
    plan_href: str
    about: str
    comments: tuple[CommentShown, ...]
    earlier: str
    proposals: tuple[ProposalShown, ...]
    agreed: tuple[ProposalShown, ...]
    past: tuple[ProposalShown, ...]
    may_talk: bool
    action: str
    kinds: Options
    propose: str
    alone: bool


@router.get("{base}/talk")
def show_discussion(request: Request, gig: TheGig, db: Db, about: str = "", before: str = "") -> Response:
    """What was said, or what was said about one source: the newest comments, or those before one of them."""
    gig.need("follow")
    return render(request, talk_page(db, gig, about, None, int(before) if re.fullmatch("[0-9]{1,15}", before) else 0))


@router.post("{base}/talk")
def comment(request: Request, gig: TheGig, sent: Sent, db: Db, portal: Here, now: Now, about: str = "") -> Response:
    """Say something. What was said stays."""
    gig.need("answer")
    must_be_there(db, gig, about)
    sent.version()
    check = Check(sent)
    words = check.text("words", _("Write what you want to say."), longest=LONGEST, lines=True)
    if not check.well:
        return render(request, talk_page(db, gig, about, check.draft(version_of(db, gig))), status=422)
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    if discussions.full(db, gig.gig.id):
        check.fault(
            "words",
            _(
                "There are %(most)s comments already, which is the most. Call each other instead; nothing was saved.",
                most=discussions.MOST_COMMENTS,
            ),
        )
        return render(request, talk_page(db, gig, about, check.draft(version_of(db, gig))), status=409)
    discussions.say(
        db,
        gig_id=gig.gig.id,
        party=gig.party,
        author=gig.name,
        words=words,
        source=about or None,
        link_id=gig.link_id,
        user_id=gig.user_id,
        now=now,
    )
    return once.done(path_to("show_discussion", gig.base, about=about))


def version_of(db: Session, gig: AllowedGig) -> int:
    """Number of the newest plan, from which the forms are drawn; 0 before the first."""
    newest = plans.newest(db, gig.gig.id)
    return newest.number if newest else 0


def must_be_there(db: Session, gig: AllowedGig, about: str) -> None:
    """Raise ``NotThere`` for a source that the gig's rig does not have."""
    if about and all(source.key != about for source in ground(db, gig.gig).rig.source):
        raise NotThere


def other_side(gig: AllowedGig) -> str:
    """The side that the reader is not."""
    return "house" if gig.party == "band" else "band"


def may_leave_out(db: Session, gig: AllowedGig) -> bool:
    """True for the band until somebody has signed for the house: what it leaves out until then is its own word."""
    return gig.party == "band" and signoffs.standing(db, gig.gig.id, "house") is None


def talk_page(db: Session, gig: AllowedGig, about: str, draft: Draft | None, before: int = 0) -> TalkPage:
    """The page, its forms as ``draft`` holds them."""
    rig = ground(db, gig.gig).rig
    said = talk_of(db, gig, rig)
    of_source = said.of([about])
    known = any(source.key == about for source in rig.source)
    if about and not known and not of_source.count and not of_source.proposals:
        raise NotThere
    may_talk = "answer" in gig.powers and (known or not about)
    rows = discussions.comments(db, gig.gig.id, most=A_PAGE + 1, about=about, before=before)
    comments = tuple(comment_shown(gig, rig, row) for row in rows[-A_PAGE:])
    return TalkPage(
        title=_("About %(about)s", about=label_of(rig, about)) if about else _("Comments and proposals"),
        form=draft or Draft(version=version_of(db, gig)),
        plan_href=path_to("show_plan", gig.base),
        about=about,
        comments=comments,
        earlier=path_to("show_discussion", gig.base, about=about, before=comments[0].position)
        if len(rows) > A_PAGE
        else "",
        proposals=of_source.proposals if about else said.proposals,
        agreed=of_source.agreed if about else said.agreed,
        past=tuple(one for one in said.past if about in ("", one.source)),
        may_talk=may_talk,
        action=path_to("show_discussion", gig.base, about=about),
        kinds=offered(db, gig, rig, about) if about and may_talk and gig.gig.cancelled_at is None else (),
        propose=path_to("try_proposal", gig.base),
        alone=may_leave_out(db, gig),
    )


def offered(db: Session, gig: AllowedGig, rig: Rig, about: str) -> Options:
    """What can be proposed for a source as the plan stands; nothing for one that never leaves the ears."""
    newest = plans.newest(db, gig.gig.id)
    outcome = newest.read() if newest else None
    found = set(KINDS)
    if isinstance(outcome, Plan):
        line = next((line for line in outcome.lines if about in line.sources), None)
        where = next((one.where for one in outcome.not_sent if one.source == about), "")
        if line is not None:
            found = {"desk-channel", "leave-out", *(["own-line"] if len(line.sources) > 1 else [])}
        else:
            found = {"own-line"} if where != "ears-only" else set()
    elif all(source.key != about for source in rig.source):
        found = set()
    return tuple((key, words) for key, words in KINDS.items() if key in found)


SETTLED = Words(
    {
        "declined": mark("It was declined. The plan stays as it is."),
        "taken-back": mark("It was taken back."),
        "overtaken": mark("It was overtaken: both sides accepted something else for this source."),
    }
)
"""What became of a proposal that never held."""


def state_of(gig: AllowedGig, row: Proposal, asked: Proposal | None) -> str:
    """How a proposal stands, to its reader; ``asked``: the open wish to give up what it agreed."""
    if row.outcome is None:
        return (
            (_("The band decides.") if other_side(gig) == "band" else _("The house decides."))
            if row.proposed_by == gig.party
            else (
                _("The band asks you. Nothing changes until you accept.")
                if row.proposed_by == "band"
                else _("The house asks you. Nothing changes until you accept.")
            )
        )
    if row.holds:
        wish = (
            ""
            if asked is None
            else _(" The house asks to give it up.")
            if asked.proposed_by == "house"
            else _(" The band asks to give it up.")
        )
        if row.by_one_side:
            return (
                _("The band decided this before the house had signed. Every plan keeps it.%(wish)s", wish=wish)
                if row.proposed_by == "band"
                else _("The house decided this before the house had signed. Every plan keeps it.%(wish)s", wish=wish)
            )
        return _("Both sides agreed. Every plan keeps it until both give it up.%(wish)s", wish=wish)
    if row.outcome == "accepted":
        return _("It was given up.") if row.resource != RELEASE else _("What was agreed is given up.")
    return SETTLED[row.outcome]
