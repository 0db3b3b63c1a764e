"""What was said about a gig, as its pages show it: comments, open proposals, what both sides agreed, and what became of
the rest.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from portal.advance.comparing import Ifs
from portal.advance.planning import ground
from portal.plan.input.facts import Lock
from portal.plan.input.rig import Rig, Source
from portal.store import discussions
from portal.store.database.session import Session
from portal.store.discussions import RELEASE, Comment, Proposal
from portal.store.record import events
from portal.web.frame.deps import AllowedGig
from portal.web.frame.links import path_to
from portal.wording.catalogue import Words, look_up, mark, ngettext
from portal.wording.catalogue import gettext as _
from portal.wording.formats import join_and, join_clauses
from portal.wording.kinds import SIDES
from portal.wording.times import say_moment

NEWEST = 5
"""Comments that stand beside the plan, on everything and on each source; the page of comments has them all."""

GONE = mark("a source that is off tonight, or not in the rig any more")


@dataclass(frozen=True)
class CommentShown:
    """One comment; ``about`` is the label of its source, empty for one on the plan as a whole. ``position`` grows with
    each.
    """

    position: int
    words: str
    who: str
    source: str
    about: str
    href: str


@dataclass(frozen=True)
class ProposalShown:
    """One proposal. ``asks``: it waits for the reader's side. ``who`` tells every step that it took, ``why`` each
    reason that was given. ``outcome``: what became of it, and ``fate`` the same in a word; ``told``: the reader's side
    made it and somebody else settled it. ``instead``: where something else is proposed for the same source.
    """

    words: str
    source: str
    who: str
    why: tuple[str, ...]
    href: str
    asks: bool
    outcome: str
    fate: str
    told: bool
    instead: str


@dataclass(frozen=True)
class AboutSource:
    """The way to what is said about one source."""

    source: str
    label: str
    href: str


@dataclass(frozen=True)
class LineTalk:
    """What was said about the sources of one line: the newest comments of ``count``. ``sources`` leads to where all of
    it stands.
    """

    comments: tuple[CommentShown, ...] = ()
    count: int = 0
    proposals: tuple[ProposalShown, ...] = ()
    agreed: tuple[ProposalShown, ...] = ()
    sources: tuple[AboutSource, ...] = ()

    @property
    def mark(self) -> str:
        """What there is, in a few words for the closed row."""
        parts = [_("agreed")] if self.agreed else []
        if self.count:
            parts.append(_comments(self.count))
        if self.proposals:
            parts.append(ngettext("%(num)s proposal", "%(num)s proposals", len(self.proposals)))
        return ", ".join(parts)


@dataclass(frozen=True)
class TalkView:
    """What was said about a gig: the newest comments, those on each source, how many there are by source, and every
    proposal.
    """

    comments: tuple[CommentShown, ...]
    of_sources: tuple[CommentShown, ...]
    counts: Mapping[str, int]
    proposals: tuple[ProposalShown, ...]
    agreed: tuple[ProposalShown, ...]
    past: tuple[ProposalShown, ...]
    about: tuple[AboutSource, ...]

    def of(self, sources: Iterable[str]) -> LineTalk:
        """What was said about some sources."""
        keys = set(sources)
        return LineTalk(
            tuple(one for one in self.of_sources if one.source in keys),
            sum(self.counts.get(key, 0) for key in keys),
            tuple(one for one in self.proposals if one.source in keys),
            tuple(one for one in self.agreed if one.source in keys),
            tuple(one for one in self.about if one.source in keys),
        )

    @property
    def fates(self) -> tuple[ProposalShown, ...]:
        """What became of the proposals that the reader's side made and that came to nothing."""
        return tuple(one for one in self.past if one.told)

    @property
    def count(self) -> int:
        """How many comments there are."""
        return sum(self.counts.values())

    @property
    def summary(self) -> str:
        """What there is, in a few words."""
        parts = [_comments(self.count)] if self.count else []
        if self.proposals:
            parts.append(ngettext("%(num)s open proposal", "%(num)s open proposals", len(self.proposals)))
        if self.agreed:
            parts.append(ngettext("%(num)s agreement", "%(num)s agreements", len(self.agreed)))
        return ", ".join(parts) or _("no comments yet")


def _comments(count: int) -> str:
    return ngettext("%(num)s comment", "%(num)s comments", count)


def talk_of(db: Session, gig: AllowedGig, rig: Rig) -> TalkView:
    """What was said about a gig (already allowed), for one of its sides."""
    rows = discussions.proposals(db, gig.gig.id)
    since = first_plans(db, gig) if any(row.holds for row in rows) else {}
    shown = {row.id: proposal_shown(gig, rig, row, rows, since.get(row.id, 0)) for row in rows}
    return TalkView(
        comments=tuple(comment_shown(gig, rig, row) for row in discussions.comments(db, gig.gig.id, most=NEWEST)),
        of_sources=tuple(comment_shown(gig, rig, row) for row in discussions.newest_of_each(db, gig.gig.id, NEWEST)),
        counts=discussions.counts(db, gig.gig.id),
        proposals=tuple(shown[row.id] for row in rows if row.outcome is None),
        agreed=tuple(shown[row.id] for row in rows if row.holds),
        past=tuple(shown[row.id] for row in rows if row.outcome is not None and not row.holds),
        about=tuple(
            AboutSource(source.key, source.label, path_to("show_discussion", gig.base, about=source.key))
            for source in rig.source
        ),
    )


def label_of(rig: Rig, key: str) -> str:
    """A source's label."""
    return next((source.label for source in rig.source if source.key == key), look_up(GONE))


def words_of(rig: Rig, proposal: Proposal, rows: Sequence[Proposal]) -> str:
    """What is proposed, in a few words."""
    if proposal.resource == RELEASE:
        lock = next((row for row in rows if row.id == proposal.value), None)
        return (
            _("Give up what was agreed: %(rows)s", rows=words_of(rig, lock, rows))
            if lock
            else _("Give up what was agreed")
        )
    legs = legs_of(rig, proposal.source)
    if proposal.resource == "desk-channel":
        source, other = label_of(rig, proposal.source), next((leg for leg in legs if leg.key != proposal.source), None)
        if other is None:
            return _("%(source)s on desk channel %(channel)s", source=source, channel=proposal.value)
        return _(
            "%(source)s (and %(other)s with it) on desk channel %(channel)s",
            source=source,
            other=other.label,
            channel=proposal.value,
        )
    labels = join_and(source.label for source in legs) or look_up(GONE)
    if proposal.value == "leave-out":
        return _("Leave out %(labels)s", labels=labels)
    if len(legs) > 1:
        return _("Lines of their own for %(labels)s", labels=labels)
    return _("A line of its own for %(labels)s", labels=labels)


def legs_of(rig: Rig, key: str) -> tuple[Source, ...]:
    """A source, and the other side of its pair: how they are sent is decided for both."""
    return tuple(source for source in rig.source if key in (source.key, source.pair_with))


MARKS = Words(
    {
        "": mark("proposed"),
        "accepted": mark("agreed"),
        "declined": mark("declined"),
        "taken-back": mark("taken back"),
        "overtaken": mark("overtaken"),
    }
)
"""What became of a proposal, in a word."""

SETTLED_BY = Words(
    {
        "accepted": mark("accepted by %(who)s"),
        "declined": mark("declined by %(who)s"),
        "taken-back": mark("taken back by %(who)s"),
        "overtaken": mark("overtaken by what was accepted by %(who)s"),
    }
)


def proposal_shown(gig: AllowedGig, rig: Rig, row: Proposal, rows: Sequence[Proposal], since: int = 0) -> ProposalShown:
    """One proposal for the reader's side. ``since``: the number of the first plan that keeps it."""
    alone = row.by_one_side
    proposer = _who(row.proposer, row.proposed_by, row.proposed_at, gig)
    steps = [_("Decided by %(who)s", who=proposer) if alone else _("Proposed by %(who)s", who=proposer)]
    if row.settled_at is not None and not alone:
        settler = _who(row.settler, row.settled_by or "", row.settled_at, gig)
        steps.append(SETTLED_BY[row.outcome or ""] % {"who": settler})
    if since:
        steps.append(_("in the plan since revision %(since)s", since=since))
    if row.released_at is not None:
        asked = next((one for one in rows if one.resource == RELEASE and one.value == row.id and one.outcome), None)
        by = SIDES[asked.proposed_by] if asked and asked.by_one_side else _("both sides")
        steps.append(
            _("given up by %(by)s, %(time_zone)s", by=by, time_zone=say_moment(row.released_at, gig.gig.time_zone))
        )
    reasons = ((row.reason, row.proposed_by), (row.settled_reason, row.settled_by))
    return ProposalShown(
        words=words_of(rig, row, rows),
        source=row.source,
        who=join_clauses(steps),
        why=tuple(
            (_("The band: %(reason)s", reason=reason) if party == "band" else _("The house: %(reason)s", reason=reason))
            for reason, party in reasons
            if reason
        ),
        href=path_to("show_proposal", gig.base, proposal_id=row.id),
        asks=row.outcome is None and row.proposed_by != gig.party,
        outcome="decided" if alone else row.outcome or "",
        fate=_("decided") if alone else MARKS[row.outcome or ""],
        told=row.outcome is not None and gig.party == row.proposed_by != row.settled_by,
        instead=instead_of(gig, row),
    )


def instead_of(gig: AllowedGig, row: Proposal) -> str:
    """Where something else is proposed for the source of what was declined; empty where the reader cannot."""
    if row.outcome != "declined" or row.resource == RELEASE:
        return ""
    if "answer" not in gig.powers or gig.gig.cancelled_at is not None:
        return ""
    return path_to("show_discussion", gig.base, about=row.source, anchor="propose")


def first_plans(db: Session, gig: AllowedGig) -> dict[str, int]:
    """The number of the first plan that was made after each proposal was accepted, by the proposal's id."""
    found: dict[str, int] = {}
    waiting: list[str] = []
    for one in events.of_gig(db, gig.gig.id, "planned", "proposal-accepted"):
        detail = one.event.read()
        if one.event.kind == "planned":
            found |= dict.fromkeys(waiting, int(detail["plan"]))
            waiting = []
        else:
            waiting.append(detail["proposal"])
    return found


def comment_shown(gig: AllowedGig, rig: Rig, row: Comment) -> CommentShown:
    """One comment for the reader's side."""
    source = row.source or ""
    return CommentShown(
        position=row.position or 0,
        words=row.words,
        who=_who(row.author, row.party, row.created, gig),
        source=source,
        about=label_of(rig, source) if source else "",
        href=path_to("show_discussion", gig.base, about=source),
    )


def _who(name: str, party: str, when: datetime, gig: AllowedGig) -> str:
    who = (
        (_("%(name)s for the band", name=name) if party == "band" else _("%(name)s for the house", name=name))
        if name
        else SIDES[party]
    )
    return f"{who}, {say_moment(when, gig.gig.time_zone)}"


def ifs_of(db: Session, gig: AllowedGig, row: Proposal) -> tuple[Ifs, Ifs] | None:
    """The gig as it is and with the proposal accepted, whether it was made yet or not; ``None`` where that is
    decided.
    """
    if row.outcome is not None:
        return None
    stands, rows = ground(db, gig.gig), discussions.proposals(db, gig.gig.id)
    if row.resource == RELEASE:
        then: tuple[Lock, ...] = tuple(one.read() for one in rows if one.holds and one.id != row.value)
    else:
        then = (*stands.basis.locks, row.read())
    now = Ifs(stands.rig, stands.basis.answers, stands.basis.locks)
    return now, replace(now, locks=then)
