"""What becomes of a proposal: the other side decides, who made it takes it back, and both sides give up what holds."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.comparing import compare
from portal.advance.planning import ground, want
from portal.advance.solver.process import NotSolved
from portal.advance.solver.wishes import Change
from portal.advance.status.gig_status import signed_for
from portal.store import discussions
from portal.store.database.session import Session, end_reading
from portal.store.discussions import RELEASE, Proposal
from portal.web.discussion.discussion import may_leave_out, other_side, state_of, version_of
from portal.web.discussion.discussion_view import first_plans, ifs_of, instead_of, proposal_shown
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.errors import NotThere, PortalError
from portal.web.frame.forms import Check, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.wording.catalogue import gettext as _

router = Screens()

LONGEST_REASON = 200


@dataclass(frozen=True, kw_only=True)
class ProposalPage(FormPage):
    """One proposal with what it would change, or ``again``: where that is worked out. ``decisions``: value, words and
    look of each button; empty where there is nothing to do for the reader. ``instead``: where something else is
    proposed for the same source.
    """

    template: ClassVar[str] = "discussion/proposal.html"
    plan_href: str
    who: str
    why: tuple[str, ...]
    state: str
    signed: str
    stale: bool = False
    change: Change | None = None
    again: str = ""
    action: str
    decisions: tuple[tuple[str, str, str], ...]
    other: str
    release: str
    release_words: str
    instead: str


@router.get("{base}/talk/proposals/{proposal_id}")
def show_proposal(request: Request, gig: TheGig, db: Db, portal: Here, proposal_id: str) -> Response:
    """What one proposal would change, and what the reader can do about it."""
    gig.need("follow")
    row = _proposal(db, gig, proposal_id)
    page, ifs = _proposal_page(db, gig, row), ifs_of(db, gig, row)
    end_reading(db)
    if ifs is None:
        return render(request, page)
    try:
        with portal.what_if_turns.one(gig.actor), portal.waiting_turns.one("what if"):
            change = compare(portal.solvers, *ifs)
    except NotSolved:
        # Nothing is accepted before it was seen what it does.
        rest = tuple(one for one in page.decisions if one[0] != "accepted")
        return render(request, replace(page, again=page.action, decisions=rest))
    return render(request, replace(page, change=change, decisions=_warned(page, change)))


@router.post("{base}/talk/proposals/{proposal_id}")
def settle_proposal(
    request: Request, gig: TheGig, sent: Sent, db: Db, portal: Here, now: Now, proposal_id: str
) -> Response:
    """Accept, decline or take back a proposal, and plan again where that changes what was agreed."""
    gig.need("answer")
    not_cancelled(gig)
    row = _proposal(db, gig, proposal_id)
    version = sent.version()
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    decision = sent.text("deed")
    if decision not in {value for value, *_rest in _decisions(gig, row)}:
        raise PortalError(
            409,
            _("This is decided already"),
            _("Nothing was changed. The plan's page says what became of the proposal."),
        )
    check = Check(sent)
    reason = check.text("why", longest=LONGEST_REASON) if decision == "declined" else ""
    if not check.well or (decision == "accepted" and version != version_of(db, gig)):
        page = replace(_proposal_page(db, gig, row), form=check.draft(version_of(db, gig)))
        if not check.well:
            return render(request, replace(page, again=page.action), status=422)
        return render(request, replace(page, stale=True, again=page.action, decisions=()), status=409)
    if decision == "accepted":
        accept(db, gig, row, now)
    else:
        discussions.settle(db, row.id, decision, gig.party, now, author=gig.name, actor=gig.actor, reason=reason)
    if decision == "declined":
        # Whoever declines may have something better: its page leads there.
        return once.done(path_to("show_proposal", gig.base, proposal_id=row.id))
    return once.done(path_to("show_plan", gig.base))


@router.post("{base}/talk/proposals/{proposal_id}/release")
def ask_release(
    request: Request, gig: TheGig, sent: Sent, db: Db, portal: Here, now: Now, proposal_id: str
) -> Response:
    """Ask the other side to give up what was agreed; until it does, the plan keeps it. What one side decided alone it
    may give up alone as long as it could decide it.
    """
    gig.need("answer")
    not_cancelled(gig)
    row = _proposal(db, gig, proposal_id)
    sent.version()
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    asked = _release_of(discussions.proposals(db, gig.gig.id), row)
    if not row.holds or asked is not None:
        raise PortalError(
            409,
            _("Nothing to ask for"),
            _("Both sides gave this up already, or one of them has asked for it. The plan's page says which."),
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
    if _own_word(db, gig, row):
        accept(db, gig, made, now)
        return once.done(path_to("show_plan", gig.base))
    return once.done(path_to("show_proposal", gig.base, proposal_id=made.id))


def accept(db: Session, gig: AllowedGig, row: Proposal, now: datetime) -> None:
    """Let a proposal hold, settle what it overtakes, and have the gig planned again."""
    overtaken = discussions.overtaken_by(db, row)
    for proposal_id, outcome in ((row.id, "accepted"), *((other, "overtaken") for other in overtaken)):
        discussions.settle(db, proposal_id, outcome, gig.party, now, author=gig.name, actor=gig.actor)
    if row.resource == RELEASE:
        discussions.release(db, row.value, now)
    db.expire_all()
    want(db, gig.gig, now)


def not_cancelled(gig: AllowedGig) -> None:
    if gig.gig.cancelled_at is not None:
        raise PortalError(
            409, _("This gig is cancelled"), _("There is nothing left to propose. You can still write a comment.")
        )


def _proposal(db: Session, gig: AllowedGig, proposal_id: str) -> Proposal:
    row = discussions.get_proposal(db, gig.gig.id, proposal_id)
    if row is None:
        raise NotThere
    return row


def _release_of(rows: Sequence[Proposal], lock: Proposal) -> Proposal | None:
    """The open question whether to give a lock up, if one side has asked."""
    return next((row for row in rows if row.resource == RELEASE and row.value == lock.id and row.outcome is None), None)


def _own_word(db: Session, gig: AllowedGig, row: Proposal) -> bool:
    """True where the reader's side decided something alone and may still do so."""
    return row.holds and row.by_one_side and row.proposed_by == gig.party and may_leave_out(db, gig)


def _decisions(gig: AllowedGig, row: Proposal) -> tuple[tuple[str, str, str], ...]:
    if row.outcome is not None or "answer" not in gig.powers or gig.gig.cancelled_at is not None:
        return ()
    if row.proposed_by == gig.party:
        return (("taken-back", _("Take it back"), "second"),)
    return (
        ("accepted", (_("Accept for the band") if gig.party == "band" else _("Accept for the house")), "main"),
        ("declined", _("Decline"), "second"),
    )


def _warned(page: ProposalPage, change: Change) -> tuple[tuple[str, str, str], ...]:
    """The buttons once the change is known: to accept says whether signatures fall, and is no longer the main one where
    nobody could sign the plan.
    """
    stuck = bool(change.stuck or change.blocks)
    falls = bool(page.signed and change.changes)

    def warned(words: str) -> str:
        if stuck:
            return _("%(button)s, though nobody can sign then", button=words)
        return _("%(button)s, to be signed again", button=words) if falls else words

    return tuple(
        (value, warned(words) if value == "accepted" else words, "second" if stuck else look)
        for value, words, look in page.decisions
    )


def _proposal_page(db: Session, gig: AllowedGig, row: Proposal) -> ProposalPage:
    """The page without what the proposal would change: that is worked out when no transaction is open."""
    stands, other = ground(db, gig.gig), other_side(gig)
    rows = discussions.proposals(db, gig.gig.id)
    shown = proposal_shown(gig, stands.rig, row, rows, first_plans(db, gig).get(row.id, 0) if row.holds else 0)
    asked = _release_of(rows, row)
    may_ask = row.holds and asked is None and "answer" in gig.powers and gig.gig.cancelled_at is None
    return ProposalPage(
        title=shown.words,
        form=Draft(version=version_of(db, gig)),
        plan_href=path_to("show_plan", gig.base),
        who=shown.who,
        why=shown.why,
        state=state_of(gig, row, asked),
        signed=signed_for(db, gig.gig.id) if row.outcome is None else "",
        action=path_to("show_proposal", gig.base, proposal_id=row.id),
        decisions=_decisions(gig, row),
        other=other,
        release=path_to("ask_release", gig.base, proposal_id=row.id) if may_ask else "",
        instead=instead_of(gig, row),
        release_words=_("Give this up")
        if _own_word(db, gig, row)
        else (_("Ask the band to give this up") if other == "band" else _("Ask the house to give this up")),
    )
