"""Proposals: tried before they are sent, decided by the other side, and kept by every later plan until both sides give
them up. What the band leaves out before the house has signed is decided by the band alone.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import ClassVar

from fastapi import Request
from fastapi.responses import RedirectResponse, Response
from starlette.datastructures import FormData, UploadFile

from portal.advance.comparing import compare
from portal.advance.planning import ground, want
from portal.advance.solver.process import NotSolved
from portal.advance.solver.wishes import Change
from portal.advance.status.gig_status import signed_for
from portal.plan.model import Line, Plan
from portal.plan.result.agreed_channels import torn_pair
from portal.store import discussions, plans
from portal.store.database.session import Session, end_reading
from portal.store.discussions import RELEASE, Proposal
from portal.web.discussion.discussion import (
    may_leave_out,
    must_be_there,
    offered,
    other_side,
    state_of,
    talk_page,
    version_of,
)
from portal.web.discussion.discussion_view import first_plans, ifs_of, proposal_shown, words_of
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.errors import NotThere, PortalError
from portal.web.frame.forms import Check, Posted, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.web.frame.rate_limiter import take_place
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import look_up, mark

router = Screens()

HIGHEST_CHANNEL = 128
LONGEST_REASON = 200
LEAVE_OUT = "leave-out"
FIELDS = ("kind", "channel")
NO_REASON = mark("Say why in a few words, for example: both guitars share one pedal board.")


@dataclass(frozen=True)
class Wish:
    """What somebody wants of one source, in the words of a lock."""

    source: str
    resource: str
    value: str

    def row(self, gig: AllowedGig, now: datetime) -> Proposal:
        """The proposal as it would be, not stored."""
        return Proposal(
            gig_id=gig.gig.id,
            source=self.source,
            resource=self.resource,
            value=self.value,
            proposed_by=gig.party,
            proposed_at=now,
        )


@dataclass(frozen=True, kw_only=True)
class TrialPage(FormPage):
    """A proposal before it is sent: what it would change, or ``change`` is empty and ``again`` leads to where that is
    worked out. ``alone``: it needs nobody's consent. ``signed``: whose signatures a changed plan leaves behind.
    """

    template: ClassVar[str] = "discussion/trial.html"
    back: str
    other: str
    alone: bool
    signed: str
    stale: bool = False
    change: Change | None = None
    again: str
    send: str


@dataclass(frozen=True, kw_only=True)
class ProposalPage(FormPage):
    """One proposal with what it would change, or ``again``: where that is worked out. ``decisions``: value, words and
    look of each button; empty where there is nothing to do for the reader.
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


@router.get("{base}/talk/try")
def try_proposal(
    request: Request, gig: TheGig, db: Db, portal: Here, now: Now, about: str = "", unsent: str = ""
) -> Response:
    """What a proposal would make of the plan. Everything stands in the address; nothing is saved. ``unsent``: it came
    without a reason.
    """
    gig.need("answer")
    _not_cancelled(gig)
    must_be_there(db, gig, about)
    asked: list[tuple[str, str | UploadFile]] = [*request.query_params.multi_items()]
    check = Check(Posted(FormData(asked)))
    wish = _wish(check, db, gig, about)
    if wish is None:
        return render(request, talk_page(db, gig, about, check.draft(version_of(db, gig))), status=422)
    with portal.what_if_turns.one(gig.actor), portal.waiting_turns.one("what if"):
        take_place((portal.what_if_limiter, gig.actor))
        row = wish.row(gig, now)
        if unsent:
            check.fault("reason", look_up(NO_REASON))
        page, ifs = _trial(db, gig, row, check.draft(version_of(db, gig))), ifs_of(db, gig, row)
        end_reading(db)
        status = 422 if unsent else 200
        try:
            return render(request, replace(page, change=compare(portal.solvers, *ifs) if ifs else None), status=status)
        except NotSolved:
            return render(request, page, status=status)


@router.post("{base}/talk/proposals")
def propose(request: Request, gig: TheGig, sent: Sent, db: Db, portal: Here, now: Now, about: str = "") -> Response:
    """Propose a change of one source's line; the other side decides, unless it is the band's own word."""
    gig.need("answer")
    _not_cancelled(gig)
    must_be_there(db, gig, about)
    version = sent.version()
    # The same form again is no second proposal: its key is looked at before what it holds is held against itself.
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    check = Check(sent)
    wish = _wish(check, db, gig, about)
    newest = version_of(db, gig)
    if wish is None:
        return render(request, talk_page(db, gig, about, check.draft(newest)), status=422)
    alone = wish.value == LEAVE_OUT and may_leave_out(db, gig)
    if not alone and not sent.text("reason"):
        # What it would change is worked out where no transaction is open: on the page that the form came from.
        return RedirectResponse(
            path_to("try_proposal", gig.base, about=about, **{name: sent.text(name) for name in FIELDS}, unsent=1), 303
        )
    reason = check.text("reason", longest=LONGEST_REASON)
    page = _trial(db, gig, wish.row(gig, now), check.draft(newest))
    if not check.well:
        return render(request, page, status=422)
    if version != newest:
        return render(request, replace(page, stale=True), status=409)
    made = discussions.propose(
        db,
        gig_id=gig.gig.id,
        source=wish.source,
        resource=wish.resource,
        value=wish.value,
        party=gig.party,
        author=gig.name,
        actor=gig.actor,
        reason=reason,
        now=now,
    )
    if alone:
        _accept(db, gig, made, now)
        return once.done(path_to("show_plan", gig.base))
    return once.done(path_to("show_proposal", gig.base, proposal_id=made.id))


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
    _not_cancelled(gig)
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
        _accept(db, gig, row, now)
    else:
        discussions.settle(db, row.id, decision, gig.party, now, author=gig.name, actor=gig.actor, reason=reason)
    return once.done(path_to("show_plan", gig.base))


@router.post("{base}/talk/proposals/{proposal_id}/release")
def ask_release(
    request: Request, gig: TheGig, sent: Sent, db: Db, portal: Here, now: Now, proposal_id: str
) -> Response:
    """Ask the other side to give up what was agreed; until it does, the plan keeps it. What one side decided alone it
    may give up alone as long as it could decide it.
    """
    gig.need("answer")
    _not_cancelled(gig)
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
        _accept(db, gig, made, now)
        return once.done(path_to("show_plan", gig.base))
    return once.done(path_to("show_proposal", gig.base, proposal_id=made.id))


def _accept(db: Session, gig: AllowedGig, row: Proposal, now: datetime) -> None:
    """Let a proposal hold, settle what it overtakes, and have the gig planned again."""
    overtaken = discussions.overtaken_by(db, row)
    for proposal_id, outcome in ((row.id, "accepted"), *((other, "overtaken") for other in overtaken)):
        discussions.settle(db, proposal_id, outcome, gig.party, now, author=gig.name, actor=gig.actor)
    if row.resource == RELEASE:
        discussions.release(db, row.value, now)
    db.expire_all()
    want(db, gig.gig, now)


def _wish(check: Check, db: Session, gig: AllowedGig, about: str) -> Wish | None:
    """What a form proposes; ``None``, with a sentence at its field, where that cannot be proposed."""
    kinds = offered(db, gig, ground(db, gig.gig).rig, about)
    kind = check.choice("kind", tuple(value for value, _words in kinds), _("Choose what you propose."))
    value = "" if kind == "desk-channel" else kind
    if kind == "desk-channel":
        channel = check.number("channel", _("Desk channel"), lo=1, hi=HIGHEST_CHANNEL)
        if channel is None:
            check.fault("channel", _("Enter the desk channel that you propose."))
        elif sentence := torn_pair(_lines(db, gig), about, channel):
            check.fault("channel", sentence)
        value = str(channel or "")
    wish = Wish(about, "desk-channel" if kind == "desk-channel" else "send", value)
    if check.well and (sentence := _known_already(db, gig, wish)):
        check.fault("kind", sentence)
    return wish if check.well else None


def _lines(db: Session, gig: AllowedGig) -> Sequence[Line]:
    newest = plans.newest(db, gig.gig.id)
    outcome = newest.read() if newest else None
    return outcome.lines if isinstance(outcome, Plan) else ()


def _known_already(db: Session, gig: AllowedGig, wish: Wish) -> str:
    """Why something is not proposed again, in a sentence; empty where it is new."""
    rows = discussions.proposals(db, gig.gig.id)
    same = [row for row in rows if (row.source, row.resource, row.value) == (wish.source, wish.resource, wish.value)]
    if any(row.outcome is None for row in same):
        return _("This is proposed already. It waits for an answer.")
    if any(row.holds for row in same):
        return _("Both sides agreed on this already.")
    most = discussions.MOST_PROPOSALS
    if len(rows) < most:
        return ""
    if other_side(gig) == "band":
        return _("There are %(most)s proposals already, which is the most. Talk to the band instead.", most=most)
    return _("There are %(most)s proposals already, which is the most. Talk to the house instead.", most=most)


def _trial(db: Session, gig: AllowedGig, row: Proposal, draft: Draft) -> TrialPage:
    """The page without what the proposal would change: that is worked out when no transaction is open."""
    return TrialPage(
        title=words_of(ground(db, gig.gig).rig, row, ()),
        form=draft,
        back=path_to("show_discussion", gig.base, about=row.source),
        other=other_side(gig),
        alone=row.value == LEAVE_OUT and may_leave_out(db, gig),
        signed=signed_for(db, gig.gig.id),
        again=path_to("try_proposal", gig.base, about=row.source, **{name: draft.value(name) for name in FIELDS}),
        send=path_to("propose", gig.base, about=row.source),
    )


def _not_cancelled(gig: AllowedGig) -> None:
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
        release_words=_("Give this up")
        if _own_word(db, gig, row)
        else (_("Ask the band to give this up") if other == "band" else _("Ask the house to give this up")),
    )
