"""The plan of a gig: the same facts for both sides, as it is now and as it was at any revision."""

from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.document_context import answers_of
from portal.advance.line_up_words import of_plan
from portal.advance.planning import ground, want
from portal.advance.revision_words import about_words, changes, gig_words
from portal.advance.sensitivity import looks
from portal.advance.status.since_last import Since, since_last
from portal.documents.registry import DOCUMENTS
from portal.plan.input.facts import Facts
from portal.plan.model import ENGINE, Plan
from portal.plan.signed.signers import asked_to_sign, is_agreed
from portal.store import planning, plans, signoffs
from portal.store.database.session import Session
from portal.store.plans import StoredPlan
from portal.store.signoffs import Signature
from portal.web.discussion.discussion_view import TalkView, talk_of
from portal.web.documents.downloads import PATCH_SHEET, numbered_plan
from portal.web.frame.deps import AllowedGig, Db, Here, Now, Number, Sent, TheGig
from portal.web.frame.forms import begin
from portal.web.frame.kept import following
from portal.web.frame.links import Screens, path_to
from portal.web.frame.live import gig_live
from portal.web.frame.pages import Draft, Page, render
from portal.web.plan.open_view import OpenView, open_view
from portal.web.plan.plan_view import HouseAnswer, NoPlanView, PlanView, Reader
from portal.web.plan.revision_list import RevisionShown, revisions_shown
from portal.wording.catalogue import Words, look_up, mark
from portal.wording.catalogue import gettext as _
from portal.wording.formats import join_and
from portal.wording.kinds import SIDES
from portal.wording.times import say_clock, say_date, say_exactly

router = Screens()


@dataclass(frozen=True)
class SideShown:
    """One side and its signature, in words; ``state`` is agreed, outdated or empty."""

    party: str
    state: str
    words: str
    receipt: str


@dataclass(frozen=True)
class PaperShown:
    """One paper: its file, and what it is."""

    href: str
    words: str


@dataclass(frozen=True)
class Newer:
    """The newest plan, for whoever reads an earlier one, and what has changed since."""

    number: int
    href: str
    changes: tuple[str, ...]


@dataclass(frozen=True)
class Making:
    """A plan in the making: how it stands in one sentence, and where to look again; empty once it was given up."""

    words: str
    look_again: str


GIVEN_UP = Words(
    {
        planning.TOO_LONG: mark(
            "it takes too long. Fewer open questions, fewer loose ends in the rig, or another variant help."
        ),
        planning.CRASHED: mark("the planner stopped over it each time. Whoever runs the portal finds why in its log."),
    }
)
"""Why a plan was given up, and what helps."""


def making_of(db: Session, gig: AllowedGig, newest: StoredPlan | None) -> Making | None:
    """How the plan of a gig is being worked out; ``None`` where it is of what the gig says."""
    row = planning.of_gig(db, gig.gig.id)
    if row is None or not row.behind:
        return None
    shown = _("this is revision %(number)s", number=newest.number) if newest else _("there is none yet")
    if row.fault:
        return Making(
            _(
                "The plan could not be worked out again; %(shown)s. Why: %(fault)s",
                shown=shown,
                fault=GIVEN_UP[row.fault],
            ),
            "",
        )
    since = say_clock(row.asked_at, gig.gig.time_zone)
    return Making(
        _("The plan is being worked out again since %(since)s; %(shown)s.", since=since, shown=shown)
        if newest
        else _("The plan is being worked out since %(since)s; %(shown)s.", since=since, shown=shown),
        path_to("show_plan", gig.base),
    )


@dataclass(frozen=True, kw_only=True)
class PlanPage(Page):
    """A stored plan. Exactly one of ``plan`` and ``stuck`` is there, and neither before the first planning."""

    template: ClassVar[str] = "plan/plan.html"
    where: str
    place: str
    tonight: str
    plan: PlanView | None
    stuck: NoPlanView | None
    house_answers: tuple[HouseAnswer, ...]
    about: str
    content_hash: str
    sides: tuple[SideShown, ...]
    since: Since
    newer: Newer | None
    sign_href: str
    sign_words: str
    sheet_href: str
    sheet_file: str
    again: str
    again_words: str
    form: Draft
    revisions: tuple[RevisionShown, ...]
    earlier: str
    papers_href: str
    papers: tuple[PaperShown, ...]
    gig_href: str
    choosing_href: str
    talk: TalkView | None
    may_talk: bool
    talk_href: str
    open: OpenView | None
    making: Making | None
    live: str


def side_of(db: Session, party: str, rows: list[Signature], stored: StoredPlan, gig: AllowedGig) -> SideShown:
    """Whether one side signed what the plan holds."""
    row = signoffs.under(rows, stored.content_hash).get(party)
    if row is not None:
        words = (
            _(
                "Signed for the band by %(signer_name)s, %(time_zone)s",
                signer_name=row.signer_name,
                time_zone=say_exactly(row.created, gig.gig.time_zone),
            )
            if party == "band"
            else _(
                "Signed for the house by %(signer_name)s, %(time_zone)s",
                signer_name=row.signer_name,
                time_zone=say_exactly(row.created, gig.gig.time_zone),
            )
        )
        return SideShown(
            party,
            "agreed",
            words,
            _receipt(gig, party, stored.number),
        )
    stands = [one for one in rows if one.party == party and signoffs.under(rows, one.content_hash).get(party) is one]
    if stands:
        number = plans.number_of(db, stands[-1].plan_id)
        words = (
            _("Signed for the band at revision %(number)s; this revision differs", number=number)
            if party == "band"
            else _("Signed for the house at revision %(number)s; this revision differs", number=number)
        )
        return SideShown(party, "outdated", words, _receipt(gig, party, number))
    return SideShown(
        party, "", (_("Not signed for the band") if party == "band" else _("Not signed for the house")), ""
    )


def _receipt(gig: AllowedGig, party: str, number: int) -> str:
    """Where a side reads what it signed; empty for the other side, and for whoever has the sheet."""
    return path_to("show_receipt", gig.base, number=number) if party == gig.party and "follow" in gig.powers else ""


def _sign(gig: AllowedGig, plan: Plan | None, sides: tuple[SideShown, ...], number: int) -> tuple[str, str]:
    """Address and words of the way to the sign-off; empty where this reader has nothing to sign."""
    if plan is None or plan.blocks or "sign" not in gig.powers or gig.gig.cancelled_at is not None:
        return "", ""
    mine = next(side for side in sides if side.party == gig.party)
    if mine.state == "agreed":
        return path_to("show_receipt", gig.base, number=number), _("Look at your signature")
    return path_to("show_sign_off", gig.base), (
        _("Go to the sign-off for the band") if gig.party == "band" else _("Go to the sign-off for the house")
    )


def _shown(db: Session, gig: AllowedGig, stored: StoredPlan, newest: StoredPlan) -> PlanPage:
    outcome = stored.read()
    plan = outcome if isinstance(outcome, Plan) else None
    follows = "follow" in gig.powers
    talk = talk_of(db, gig, ground(db, gig.gig).rig) if follows and stored.number == newest.number else None
    rig_id = gig.gig.rig_id if "edit" in gig.powers else ""
    # An earlier revision stands in the middle of those that are listed beside it.
    revisions = plans.revisions(db, gig.gig.id, stored.number + plans.A_PAGE // 2)
    rows = signoffs.history(db, gig.gig.id)
    sides = tuple(side_of(db, party, rows, stored, gig) for party in ("band", "house")) if plan else ()
    agreed = plan is not None and is_agreed(plan, [one.party for one in sides if one.state == "agreed"])
    reader = Reader(gig.base, gig.party, stored.number, talk, rig_id, follows=follows, agreed=agreed)
    is_newest = stored.number == newest.number
    making = making_of(db, gig, newest) if is_newest else None
    sign_href, sign_words = _sign(gig, plan, sides, stored.number) if is_newest and not making else ("", "")
    zone = gig.gig.time_zone
    old_rules = stored.engine != ENGINE and is_newest and not (making and making.look_again)
    given_up = making is not None and not making.look_again
    return PlanPage(
        title=_("Plan") if is_newest else _("Plan, revision %(number)s", number=stored.number),
        where=gig_words(stored),
        place=stored.read_heading().place,
        tonight=of_plan(db, gig.gig, stored),
        plan=following(plan, (gig.base, "lines"), reader, lambda: reader.plan(plan)) if plan else None,
        stuck=None if isinstance(outcome, Plan) else reader.no_plan(outcome),
        house_answers=reader.house_answers(answers_of(db, gig.gig, stored), may_answer="answer" in gig.powers),
        about=(
            about_words(stored, zone, proven=plan.proven)
            if plan
            else _(
                "Revision %(number)s · computed %(zone)s", number=stored.number, zone=say_exactly(stored.created, zone)
            )
        ),
        content_hash=stored.content_hash if plan else "",
        sides=tuple(one for one in sides if one.state or (plan and one.party in asked_to_sign(plan))),
        since=since_last(db, gig.gig, gig.party, stored) if is_newest and plan else Since(),
        newer=None if is_newest else Newer(newest.number, path_to("show_plan", gig.base), changes(stored, newest)),
        sign_href=sign_href,
        sign_words=sign_words,
        sheet_href=path_to("show_document", gig.base, number=stored.number, document=PATCH_SHEET) if plan else "",
        sheet_file=path_to("document_pdf", gig.base, number=stored.number, document=PATCH_SHEET) if plan else "",
        again=path_to("plan_again", gig.base) if (old_rules or given_up) and "edit" in gig.powers else "",
        again_words=_again_words(sides) if old_rules else "",
        form=Draft(version=stored.number),
        revisions=tuple(revisions_shown(revisions, rows, gig, shown=stored.number, newest=newest.number)),
        earlier=(
            path_to("show_plan_revision", gig.base, number=revisions[-1].number)
            if len(revisions) > plans.A_PAGE
            else ""
        ),
        papers_href=(
            (
                path_to("show_documents", gig.base)
                if is_newest
                else path_to("show_older_documents", gig.base, number=stored.number)
            )
            if plan
            else ""
        ),
        gig_href=gig.base,
        papers=tuple(
            PaperShown(
                path_to("kept_document", gig.base, paper_id=one.id),
                _(
                    "%(title)s, kept %(zone)s, SHA-256 %(sha256)s…",
                    title=look_up(DOCUMENTS[one.document.partition(" ")[0]].title),
                    zone=say_exactly(one.created, zone),
                    sha256=one.sha256[:16],
                ),
            )
            for one in plans.papers_of(db, stored.id)
        ),
        choosing_href=path_to("show_policy_of_gig", gig.base) if plan else path_to("show_routing_policy"),
        talk=talk,
        may_talk="answer" in gig.powers,
        talk_href=path_to("show_discussion", gig.base),
        live=gig_live(db, gig) if is_newest else "",
        open=(
            open_view(gig, looks(db, gig.gig, stored).found, Facts(ground(db, gig.gig).rig, stored.read_answers()))
            if follows and is_newest and plan and not making and gig.gig.cancelled_at is None
            else None
        ),
        making=making,
    )


def _again_words(sides: tuple[SideShown, ...]) -> str:
    """That a plan was made, and perhaps signed, under older rules."""
    signed = [SIDES[side.party] for side in sides if side.state == "agreed"]
    if not signed:
        return _("This plan was made with earlier rules. It stays as it is; a new one may differ.")
    return _(
        "This plan was made with earlier rules and was signed for %(sides)s under them. It stays as it is; a new one"
        " may differ. Signatures then stand under the earlier revision only, where the new plan differs.",
        sides=join_and(signed),
    )


def _empty(db: Session, gig: AllowedGig) -> PlanPage:
    making = making_of(db, gig, None)
    return PlanPage(
        title=_("Plan"),
        where=f"{gig.gig.name} · {say_date(gig.gig.on)}",
        place=gig.gig.place,
        tonight="",
        plan=None,
        stuck=None,
        house_answers=(),
        about="",
        content_hash="",
        sides=(),
        since=Since(),
        newer=None,
        sign_href="",
        sign_words="",
        sheet_href="",
        sheet_file="",
        again=path_to("plan_again", gig.base) if "edit" in gig.powers and not making else "",
        again_words="",
        form=Draft(),
        revisions=(),
        earlier="",
        papers_href="",
        papers=(),
        gig_href=gig.base,
        choosing_href=path_to("show_routing_policy"),
        talk=None,
        may_talk=False,
        talk_href=path_to("show_discussion", gig.base),
        open=None,
        making=making,
        live=gig_live(db, gig),
    )


@router.get("{base}/plan")
def show_plan(request: Request, gig: TheGig, db: Db) -> Response:
    """The newest plan."""
    newest = plans.newest(db, gig.gig.id)
    return render(request, _empty(db, gig) if newest is None else _shown(db, gig, newest, newest))


@router.get("{base}/plan/{number}")
def show_plan_revision(number: Number, request: Request, gig: TheGig, db: Db) -> Response:
    """A plan as it was stored; nothing of it is computed again."""
    stored = numbered_plan(db, gig.gig, number)
    return render(request, _shown(db, gig, stored, plans.newest(db, gig.gig.id) or stored))


@router.post("/gigs/{gig_id}/plan/again")
def plan_again(request: Request, gig: TheGig, sent: Sent, db: Db, portal: Here, now: Now) -> Response:
    """Ask for the plan by the rules of today; the stored ones stay as they are."""
    gig.need("edit")
    once = begin(request, db, sent, actor=gig.actor, key=portal.key, now=now)
    want(db, gig.gig, now, again=True)
    return once.done(path_to("show_plan", gig.base))
