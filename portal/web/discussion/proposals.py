"""Proposals: tried before they are sent, and kept by every later plan until both sides give them up. What the band
leaves out before the house has signed is decided by the band alone.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import ClassVar

from fastapi import Request
from fastapi.responses import RedirectResponse, Response
from starlette.datastructures import FormData, UploadFile

from portal.advance.comparing import compare
from portal.advance.planning import ground
from portal.advance.solver.process import NotSolved
from portal.advance.solver.wishes import Change
from portal.advance.status.gig_status import signed_for
from portal.plan.model import Line, Plan
from portal.plan.result.agreed_channels import torn_pair
from portal.store import discussions, plans
from portal.store.database.session import Session, end_reading
from portal.store.discussions import Proposal
from portal.web.discussion.decisions import LONGEST_REASON, accept, not_cancelled
from portal.web.discussion.discussion import may_leave_out, must_be_there, offered, other_side, talk_page, version_of
from portal.web.discussion.discussion_view import ifs_of, words_of
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Sent, TheGig
from portal.web.frame.forms import Check, Posted, begin
from portal.web.frame.links import Screens, path_to
from portal.web.frame.pages import Draft, FormPage, render
from portal.web.frame.rate_limiter import take_place
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import look_up, mark

router = Screens()

HIGHEST_CHANNEL = 128
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


@router.get("{base}/talk/try")
def try_proposal(
    request: Request, gig: TheGig, db: Db, portal: Here, now: Now, about: str = "", unsent: str = ""
) -> Response:
    """What a proposal would make of the plan. Everything stands in the address; nothing is saved. ``unsent``: it came
    without a reason.
    """
    gig.need("answer")
    not_cancelled(gig)
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
    not_cancelled(gig)
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
        accept(db, gig, made, now)
        return once.done(path_to("show_plan", gig.base))
    return once.done(path_to("show_proposal", gig.base, proposal_id=made.id))


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
