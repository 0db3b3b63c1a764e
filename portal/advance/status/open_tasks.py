"""What is still open in a gig, and whose it is, as a short list for both sides."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from portal.advance.gig_access import GigAccess
from portal.advance.planning import ground
from portal.advance.sensitivity import decisive, looks, sentence_for
from portal.advance.status.email_status import no_email_reaches
from portal.advance.status.gig_status import BEING_WORKED_OUT, PAST, outdated_for, standing
from portal.documents.heading import who_mixes
from portal.plan.model import NoPlan, Plan
from portal.store import discussions, plans, progress
from portal.store import links as stored_links
from portal.store.database.session import Session
from portal.store.emails import unreached
from portal.store.house import inquiries
from portal.store.plans import StoredPlan
from portal.store.progress import Progress
from portal.wording.catalogue import gettext as _
from portal.wording.catalogue import look_up, mark, ngettext
from portal.wording.plan.saying import say
from portal.wording.times import say_moment

DONE, TO_DO, WAITS, LEFT = mark("Done"), mark("To do"), mark("Waits"), mark("Left")
"""How far a task is; of a gig that is over or cancelled, what was not done is left."""

TO_READ = ("answers", "plan")
"""Places that are still looked at when a gig is over or cancelled."""


@dataclass(frozen=True)
class Task:
    """One thing: how far it is, who acts next (empty when done), how it stands, and where it is done."""

    what: str
    status: str
    who: str
    stands: str
    href: str
    link_words: str

    @property
    def status_words(self) -> str:
        """How far it is, in the reader's language."""
        return look_up(self.status)

    @property
    def quiet(self) -> bool:
        """True where nobody has to do anything."""
        return self.status in (DONE, LEFT)


@dataclass(frozen=True)
class _Gig:
    db: Session
    gig: GigAccess
    hrefs: Mapping[str, str]
    now: datetime
    events: Progress
    stored: StoredPlan | None

    def who(self, *parties: str) -> str:
        """Who acts, as the reader's side says it."""
        if len(parties) > 1:
            return _("both sides")
        if parties[0] == self.gig.party:
            return _("you")
        return _("the house") if parties[0] == "house" else _("the band")


def tasks_of(db: Session, gig: GigAccess, hrefs: Mapping[str, str], now: datetime) -> tuple[Task, ...]:
    """The tasks of a gig (already allowed) in the order in which they are done. ``hrefs``: where each is done, by
    the name of the place: links, emails, answers, what_if, discussion, plan, sign_off. Of a gig that is over or
    cancelled nothing is anybody's any more.
    """
    tasks = _tasks(db, gig, hrefs, now)
    if standing(db, gig.gig, now).state not in PAST:
        return tasks
    read = [hrefs[place] for place in TO_READ if place in hrefs]
    return tuple(
        replace(task, status=task.status if task.quiet else LEFT, who="", href=task.href if task.href in read else "")
        for task in tasks
    )


def _tasks(db: Session, gig: GigAccess, hrefs: Mapping[str, str], now: datetime) -> tuple[Task, ...]:
    one = _Gig(db, gig, hrefs, now, progress.of_gig(db, gig.gig, now), plans.newest(db, gig.gig.id))
    outcome = one.stored.read() if one.stored else None
    if one.events.own_pa:
        # Nothing goes to the house: its link and its signature are nobody's task.
        return (_who_mixes(one), *_proposals(one), _settled(one, outcome), _signature(one, outcome, "band"))
    return (
        _who_mixes(one),
        *_link(one),
        *_unreached(one),
        _questions(one),
        *_hanging(one, outcome),
        *_proposals(one),
        _settled(one, outcome),
        _signature(one, outcome, "band"),
        _signature(one, outcome, "house"),
    )


def _who_mixes(one: _Gig) -> Task:
    """Who mixes, on what: the first thing to know."""
    facts = ground(one.db, one.gig.gig).facts
    href = one.hrefs["who_mixes"] if "edit" in one.gig.powers else ""
    known = facts.known("who-mixes") or facts.value("pa") == "none"
    on_what = who_mixes(facts.answers) if known else ""
    own = facts.value("pa") == "none"
    words = _("The band, on the band's PA") if own else on_what or say(facts.fact("who-mixes").value)
    stands = words if known else _("Not known yet; assumed: %(words)s", words=words)
    return Task(
        _("Who mixes"), DONE if known else TO_DO, "" if known else one.who("band", "house"), stands, href, _("Change")
    )


def _link(one: _Gig) -> Iterator[Task]:
    if one.gig.party == "house":
        return
    asked = inquiries.of_gig(one.db, one.gig.gig.id)
    if asked is not None and asked[0].outcome is None:
        stands = _(
            "Asked: %(house)s, %(stage)s. The house has not accepted yet", house=asked[1].name, stage=asked[2].name
        )
        yield Task(_("The house's link"), WAITS, one.who("house"), stands, "", "")
        return
    live = [link for link in stored_links.of_gig(one.db, one.gig.gig.id) if link.live(one.now)]
    used = [link.last_used for link in live if link.last_used]
    words = _("One works") if len(live) == 1 else _("%(count)s links work", count=len(live))
    if used:
        moment = say_moment(max(used), one.gig.gig.time_zone)
        words_since = _("%(links)s, last used %(moment)s", links=words, moment=moment)
    else:
        words_since = _("%(links)s, not used yet", links=words)
    href = one.hrefs["links"] if "share" in one.gig.powers else ""
    if one.events.link_live:
        yield Task(_("The house's link"), DONE, "", words_since, href, _("Links"))
    else:
        stands = (
            _("%(words)s, but none of them lets the house answer", words=words)
            if live
            else _("No link works. The house needs one to answer the questions")
        )
        if asked is not None and asked[0].outcome == "declined":
            stands = _("%(name)s declined the gig. Ask another house, or make a link", name=asked[1].name)
        yield Task(_("The house's link"), TO_DO, one.who("band"), stands, href, _("Make it"))


def _unreached(one: _Gig) -> Iterator[Task]:
    found = unreached.of_gigs(one.db, [one.gig.gig.id], one.now)
    if stands := no_email_reaches(one.gig.party, found):
        href = one.hrefs["emails"] if "given" in one.gig.powers else ""
        yield Task(_("Emails to the house"), TO_DO, one.who(one.gig.party), stands, href, _("Addresses"))


def _questions(one: _Gig) -> Task:
    stands = _answer_words(one)
    href = one.hrefs["answers"] if "answer" in one.gig.powers else ""
    if one.events.house_answered:
        return Task(_("The house's answers"), DONE, "", stands, href, _("Answers"))
    if not one.events.link_live and one.gig.party == "band":
        return Task(
            _("The house's answers"),
            WAITS,
            one.who("band"),
            _("%(stands)s. The house's link comes first", stands=stands),
            href,
            _("Answers"),
        )
    return Task(_("The house's answers"), TO_DO, one.who("house"), stands, href, _("Answers"))


def _answer_words(one: _Gig) -> str:
    facts, own = ground(one.db, one.gig.gig).facts, one.gig.party
    counts = Counter(
        "unknown" if answer.state == "unknown" else answer.by if answer.by in ("house", "band") else "assumed"
        for key, answer in facts.answers.items()
        if facts.asked(key)
    )
    words = {
        "house": _("%(count)s answered by the house", count=counts["house"]),
        "band": _("%(count)s answered by the band", count=counts["band"]),
        "assumed": _("%(count)s assumed", count=counts["assumed"]),
        "unknown": _("%(count)s not known yet", count=counts["unknown"]),
    }
    if own in words:
        words[own] = _("%(count)s answered by you", count=counts[own])
    order = ("band", "house") if own == "house" else ("house", "band")
    return ", ".join(words[by] for by in (*order, "assumed", "unknown") if counts[by]) or _("Nothing answered yet")


def _hanging(one: _Gig, outcome: Plan | NoPlan | None) -> Iterator[Task]:
    """Once the house has sent and until both have signed: the questions that could still turn the plan."""
    if one.events.plan_hash in one.events.band_signed & one.events.house_signed:
        return
    if one.stored is None or not isinstance(outcome, Plan) or not one.events.house_answered or one.events.behind:
        return
    found = looks(one.db, one.gig.gig, one.stored).found
    if decisive(found):
        stands = sentence_for(one.gig.party, found)
        yield Task(_("Open questions"), TO_DO, one.who("house"), stands, one.hrefs["what_if"], _("Look at them"))


def _proposals(one: _Gig) -> Iterator[Task]:
    waiting = [row.proposed_by for row in discussions.proposals(one.db, one.gig.gig.id) if row.outcome is None]
    for party, other in (("band", "house"), ("house", "band")):
        count = waiting.count(other)
        if count:
            yield Task(
                _("Proposals"),
                TO_DO,
                one.who(party),
                ngettext("%(num)s proposal to decide", "%(num)s proposals to decide", count),
                one.hrefs["discussion"],
                _("Look at them"),
            )


def _settled(one: _Gig, outcome: Plan | NoPlan | None) -> Task:
    href = one.hrefs["plan"]
    if one.stored is None and one.events.behind:
        return Task(_("The plan"), WAITS, "", _("Being worked out"), href, _("Plan"))
    if one.stored is None or outcome is None:
        return Task(_("The plan"), TO_DO, one.who("band"), _("None yet"), href, _("Plan"))
    revision = _("Revision %(number)s", number=one.stored.number)
    if one.events.behind:
        return Task(_("The plan"), WAITS, "", f"{revision}; {look_up(BEING_WORKED_OUT)}", href, _("Plan"))
    if isinstance(outcome, NoPlan):
        return Task(
            _("The plan"),
            TO_DO,
            one.who("band", "house"),
            _("%(revision)s: nothing fits yet", revision=revision),
            href,
            _("Plan"),
        )
    if outcome.blocks:
        actors = {remedy.actor for block in outcome.blocks for remedy in block.remedies}
        parties = tuple(actors) if len(actors) == 1 and "both" not in actors else ("band", "house")
        return Task(
            _("The plan"),
            TO_DO,
            one.who(*parties),
            _("%(revision)s, %(count)s to resolve before signing", revision=revision, count=len(outcome.blocks)),
            href,
            _("Plan"),
        )
    return Task(_("The plan"), DONE, "", revision, href, _("Plan"))


def _signature(one: _Gig, outcome: Plan | NoPlan | None, party: str) -> Task:
    signed = one.events.band_signed if party == "band" else one.events.house_signed
    what = _("Signed for the band") if party == "band" else _("Signed for the house")
    mine = party == one.gig.party and "sign" in one.gig.powers
    href = one.hrefs["sign_off"] if mine and isinstance(outcome, Plan) and not outcome.blocks else ""
    if one.events.behind:
        return Task(what, WAITS, one.who(party), _("First the plan has to be worked out"), "", _("Sign-off"))
    if one.events.plan_hash in signed:
        return Task(what, DONE, "", _("Signed"), href, _("Receipt"))
    before = _("An earlier plan was signed; this one differs") if outdated_for(party, one.events) else _("Not yet")
    if not isinstance(outcome, Plan) or outcome.blocks:
        return Task(
            what,
            WAITS,
            one.who(party),
            _("%(before)s. First the plan has to be resolved", before=before),
            href,
            _("Sign-off"),
        )
    return Task(what, TO_DO, one.who(party), before, href, _("Sign-off"))
