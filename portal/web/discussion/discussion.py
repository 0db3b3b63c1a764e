"""Both sides comment on the plan and propose changes; what the other side accepts binds every later plan until both
give it up.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.comparing import compare
from portal.advance.planning import ground, want
from portal.advance.solver.process import NotSolved
from portal.advance.solver.wishes import Change
from portal.plan.input.rig import Rig
from portal.plan.model import Plan
from portal.store import discussions, plans
from portal.store.database.session import Session, end_reading
from portal.store.discussions import RELEASE, Proposal
from portal.web.discussion.discussion_view import (
    CommentShown,
    ProposalShown,
    comment_shown,
    ifs_of,
    label_of,
    proposal_shown,
    talk_of,
)
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.errors import NotThere, PortalError
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render

router = Screens()

LONGEST = 2000
A_PAGE = 50
"""Comments on one page."""
FULL = (
    f"There are {discussions.MOST_COMMENTS} comments already, which is the most. Call each other instead; nothing was"
    " saved."
)
HIGHEST_CHANNEL = 128
KINDS = {
    "desk-channel": "Put it on another desk channel",
    "own-line": "Give it a line of its own",
    "leave-out": "Leave it out",
}

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
    other: str


@dataclass(frozen=True, kw_only=True)
class ProposalPage(FormPage):
    """One proposal with what it would change, or ``again``: where that is worked out. ``decisions``: value, words and
    look of each button; empty where there is nothing to do for the reader.
    """

    template: ClassVar[str] = "discussion/proposal.html"
    plan_href: str
    who: str
    state: str
    stale: bool = False
    change: Change | None = None
    again: str = ""
    action: str
    decisions: tuple[tuple[str, str, str], ...]
    release: str
    release_words: str


@router.get("{base}/talk")
def show_discussion(request: Request, gig: TheGig, db: Db, about: str = "", before: str = "") -> Response:
    """What was said, or what was said about one source: the newest comments, or those before one of them."""
    return render(request, _page(db, gig, about, None, int(before) if re.fullmatch("[0-9]{1,15}", before) else 0))


@router.post("{base}/talk")
def comment(request: Request, gig: TheGig, sent: Sent, db: Db, portal: Here, now: Now, about: str = "") -> Response:
    """Say something. What was said stays."""
    gig.need("answer")
    _must_be_there(db, gig, about)
    sent.version()
    check = Check(sent)
    words = check.text("words", "Write what you want to say.", longest=LONGEST, lines=True)
    if not check.well:
        return render(request, _page(db, gig, about, check.draft(_version(db, gig))), status=422)
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    if discussions.full(db, gig.gig.id):
        check.fault("words", FULL)
        return render(request, _page(db, gig, about, check.draft(_version(db, gig))), status=409)
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


@router.post("{base}/talk/proposals")
def propose(request: Request, gig: TheGig, sent: Sent, db: Db, portal: Here, now: Now, about: str = "") -> Response:
    """Propose a change of one source's line; the other side decides."""
    gig.need("answer")
    _not_cancelled(gig)
    _must_be_there(db, gig, about)
    sent.version()
    stands = ground(db, gig.gig)
    offered = _offered(db, gig, stands.rig, about)
    check = Check(sent)
    kind = check.choice("kind", tuple(value for value, _ in offered), "Choose what you propose.")
    value = "" if kind == "desk-channel" else kind
    if kind == "desk-channel":
        channel = check.number("channel", "Desk channel", lo=1, hi=HIGHEST_CHANNEL)
        if channel is None:
            check.fault("channel", "Enter the desk channel that you propose.")
        elif sentence := _tears_a_pair(db, gig, about, channel):
            check.fault("channel", sentence)
        value = str(channel or "")
    resource = "desk-channel" if kind == "desk-channel" else "send"
    # The same form again is no second proposal: its key is looked at before what it holds is held against itself.
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    if check.well:
        same = [
            row
            for row in discussions.proposals(db, gig.gig.id)
            if (row.source, row.resource, row.value) == (about, resource, value)
        ]
        if any(row.outcome is None for row in same):
            check.fault("kind", "This is proposed already. It waits for an answer.")
        elif any(row.holds for row in same):
            check.fault("kind", "Both sides agreed on this already.")
        elif len(discussions.proposals(db, gig.gig.id)) >= discussions.MOST_PROPOSALS:
            check.fault(
                "kind",
                f"There are {discussions.MOST_PROPOSALS} proposals already, which is the most. Talk to the"
                f" {_other(gig)} instead.",
            )
    if not check.well:
        return render(request, _page(db, gig, about, check.draft(_version(db, gig))), status=422)
    made = discussions.propose(
        db,
        gig_id=gig.gig.id,
        source=about,
        resource=resource,
        value=value,
        party=gig.party,
        author=gig.name,
        actor=gig.actor,
        now=now,
    )
    return once.done(path_to("show_proposal", gig.base, proposal_id=made.id))


@router.get("{base}/talk/proposals/{proposal_id}")
def show_proposal(request: Request, gig: TheGig, db: Db, portal: Here, proposal_id: str) -> Response:
    """What one proposal would change, and what the reader can do about it."""
    row = _proposal(db, gig, proposal_id)
    page, ifs = _proposal_page(db, gig, row), ifs_of(db, gig, row)
    end_reading(db)
    try:
        return render(request, replace(page, change=compare(portal.solvers, *ifs) if ifs else None))
    except NotSolved:
        return render(request, replace(page, again=page.action))


@router.post("{base}/talk/proposals/{proposal_id}")
def settle_proposal(
    request: Request, gig: TheGig, sent: Sent, db: Db, portal: Here, now: Now, proposal_id: str
) -> Response:
    """Accept, decline or take back a proposal, and plan again where that changes what was agreed."""
    gig.need("answer")
    _not_cancelled(gig)
    row = _proposal(db, gig, proposal_id)
    version = sent.version()
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    decision = sent.text("deed")
    if decision not in {value for value, _, _ in _decisions(gig, row)}:
        raise PortalError(
            409, "This is settled already", "Nothing was changed. The plan's page says what became of the proposal."
        )
    if decision == "accepted" and version != _version(db, gig):
        page = _proposal_page(db, gig, row)
        return render(request, replace(page, stale=True, again=page.action, decisions=()), status=409)
    discussions.settle(db, row.id, decision, gig.party, now, author=gig.name, actor=gig.actor)
    if decision == "accepted":
        if row.resource == RELEASE:
            discussions.release(db, row.value, now)
        db.expire_all()
        want(db, gig.gig, now)
    return once.done(path_to("show_plan", gig.base))


@router.post("{base}/talk/proposals/{proposal_id}/release")
def ask_release(
    request: Request, gig: TheGig, sent: Sent, db: Db, portal: Here, now: Now, proposal_id: str
) -> Response:
    """Ask the other side to give up what was agreed; until it does, the plan keeps it."""
    gig.need("answer")
    _not_cancelled(gig)
    row = _proposal(db, gig, proposal_id)
    sent.version()
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    asked = _release_of(discussions.proposals(db, gig.gig.id), row)
    if not row.holds or asked is not None:
        raise PortalError(
            409,
            "Nothing to ask for",
            "Both sides gave this up already, or one of them has asked for it. The plan's page says which.",
        )
    made = discussions.propose(
        db,
        gig_id=gig.gig.id,
        source=row.source,
        resource=RELEASE,
        value=row.id,
        party=gig.party,
        author=gig.name,
        actor=gig.actor,
        now=now,
    )
    return once.done(path_to("show_proposal", gig.base, proposal_id=made.id))


def _tears_a_pair(db: Session, gig: AllowedGig, about: str, channel: int) -> str:
    """Why a line of a stereo pair cannot go to a channel, in a sentence; empty where it can."""
    newest = plans.newest(db, gig.gig.id)
    outcome = newest.read() if newest else None
    lines = outcome.lines if isinstance(outcome, Plan) else ()
    line = next((line for line in lines if about in line.sources), None)
    other = next((one for one in lines if line and one.line == line.stereo_partner), None)
    if line is None or other is None:
        return ""
    first = line.desk_channel < other.desk_channel
    if channel % 2 == first:
        return ""
    near = " or ".join(str(one) for one in (channel - 1, channel + 1) if one > 0)
    return (
        f"{line.label} and {other.label} are a pair; a pair starts on an odd channel and takes the next one too. For"
        f" {line.label} enter {near}."
    )


def _not_cancelled(gig: AllowedGig) -> None:
    if gig.gig.cancelled_at is not None:
        raise PortalError(
            409, "This gig is cancelled", "There is nothing left to propose. You can still write a comment."
        )


def _version(db: Session, gig: AllowedGig) -> int:
    """Number of the newest plan, from which the forms are drawn; 0 before the first."""
    newest = plans.newest(db, gig.gig.id)
    return newest.number if newest else 0


def _must_be_there(db: Session, gig: AllowedGig, about: str) -> None:
    if about and all(source.key != about for source in ground(db, gig.gig).rig.source):
        raise NotThere


def _proposal(db: Session, gig: AllowedGig, proposal_id: str) -> Proposal:
    row = discussions.get_proposal(db, gig.gig.id, proposal_id)
    if row is None:
        raise NotThere
    return row


def _other(gig: AllowedGig) -> str:
    return "house" if gig.party == "band" else "band"


def _page(db: Session, gig: AllowedGig, about: str, draft: Draft | None, before: int = 0) -> TalkPage:
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
        title=f"About {label_of(rig, about)}" if about else "Comments and proposals",
        form=draft or Draft(version=_version(db, gig)),
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
        kinds=_offered(db, gig, rig, about) if about and may_talk and gig.gig.cancelled_at is None else (),
        propose=path_to("propose", gig.base, about=about) if about else "",
        other=_other(gig),
    )


def _offered(db: Session, gig: AllowedGig, rig: Rig, about: str) -> Options:
    """What can be proposed for a source as the plan stands; nothing for one that never leaves the ears."""
    newest = plans.newest(db, gig.gig.id)
    outcome = newest.read() if newest else None
    offered = set(KINDS)
    if isinstance(outcome, Plan):
        line = next((line for line in outcome.lines if about in line.sources), None)
        where = next((one.where for one in outcome.not_sent if one.source == about), "")
        if line is not None:
            offered = {"desk-channel", "leave-out", *(["own-line"] if len(line.sources) > 1 else [])}
        else:
            offered = {"own-line"} if where != "ears-only" else set()
    elif all(source.key != about for source in rig.source):
        offered = set()
    return tuple((key, words) for key, words in KINDS.items() if key in offered)


def _release_of(rows: Sequence[Proposal], lock: Proposal) -> Proposal | None:
    """The open question whether to give a lock up, if one side has asked."""
    return next((row for row in rows if row.resource == RELEASE and row.value == lock.id and row.outcome is None), None)


def _decisions(gig: AllowedGig, row: Proposal) -> tuple[tuple[str, str, str], ...]:
    if row.outcome is not None or "answer" not in gig.powers or gig.gig.cancelled_at is not None:
        return ()
    if row.proposed_by == gig.party:
        return (("taken-back", "Take it back", "second"),)
    return (("accepted", f"Accept for the {gig.party}", "main"), ("declined", "Decline", "second"))


def _proposal_page(db: Session, gig: AllowedGig, row: Proposal) -> ProposalPage:
    """The page without what the proposal would change: that is worked out when no transaction is open."""
    stands = ground(db, gig.gig)
    rows = discussions.proposals(db, gig.gig.id)
    shown = proposal_shown(gig, stands.rig, row, rows)
    asked = _release_of(rows, row)
    may_ask = row.holds and asked is None and "answer" in gig.powers and gig.gig.cancelled_at is None
    return ProposalPage(
        title=shown.words,
        form=Draft(version=_version(db, gig)),
        plan_href=path_to("show_plan", gig.base),
        who=shown.who,
        state=_state(gig, row, asked),
        action=path_to("show_proposal", gig.base, proposal_id=row.id),
        decisions=_decisions(gig, row),
        release=path_to("ask_release", gig.base, proposal_id=row.id) if may_ask else "",
        release_words=f"Ask the {_other(gig)} to give this up",
    )


def _state(gig: AllowedGig, row: Proposal, asked: Proposal | None) -> str:
    if row.outcome is None:
        return (
            f"The {_other(gig)} decides."
            if row.proposed_by == gig.party
            else f"The {row.proposed_by} asks you. Nothing changes until you accept."
        )
    if row.holds:
        wish = f" The {asked.proposed_by} asks to give it up." if asked else ""
        return f"Both sides agreed. Every plan keeps it until both give it up.{wish}"
    if row.outcome == "accepted":
        return "Both sides gave it up." if row.resource != RELEASE else "Both sides gave up what was agreed."
    return "It was declined. The plan stays as it is." if row.outcome == "declined" else "It was taken back."
