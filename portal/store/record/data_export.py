"""Everything that somebody gave, gathered to be taken along: of an account, of a link, or of the house's side of a
gig.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime

from pydantic import TypeAdapter
from sqlalchemy import ColumnElement
from sqlmodel import Session, col, func, or_, select
from sqlmodel.sql.expression import SelectOfScalar

from portal.plan.input.line_up import LineUp
from portal.plan.input.questions import QUESTIONS
from portal.plan.input.rig import Rig
from portal.store.accounts import bands, invitations
from portal.store.accounts.sessions import WebSession
from portal.store.answers import HouseSent, StoredAnswer
from portal.store.comparisons import Comparison
from portal.store.day.line_checks import LineCheck, read_sources
from portal.store.discussions import Comment, Proposal
from portal.store.emails import addresses, outbox
from portal.store.gigs import Gig
from portal.store.house import house_specs
from portal.store.links import Link
from portal.store.record import events
from portal.store.record.events import Event
from portal.store.rigs import BandRig, RigRevision
from portal.store.signoffs import Signature, read_ticked


@dataclass(frozen=True)
class Answered:
    """One answer as it was given; ``value`` is empty where nothing was known, or where it was erased."""

    question: str
    state: str
    value: int | str | None
    at: datetime


@dataclass(frozen=True)
class Commented:
    """One comment, under the name that it shows."""

    name: str
    words: str
    about_source: str | None
    at: datetime


@dataclass(frozen=True)
class Proposed:
    """One proposal that they made, or settled: ``deed`` says which."""

    deed: str
    name: str
    source: str
    resource: str
    value: str
    reason: str
    at: datetime


@dataclass(frozen=True)
class Checked:
    """One finding at line check."""

    name: str
    sources: tuple[str, ...]
    desk_channel: int
    state: str
    gain: str
    note: str
    at: datetime


@dataclass(frozen=True)
class Signed:
    """One signature, or its withdrawal, with the hash of what was signed."""

    kind: str
    name: str
    role: str
    content_hash: str
    ticked: tuple[str, ...]
    language: str
    at: datetime


@dataclass(frozen=True)
class LinkOf:
    """One link as the band wrote it down, when it was last used, and the email address that was given for it, with the
    language of its emails.
    """

    label: str
    powers: str
    expires: datetime
    last_used: datetime | None
    email: str = ""
    email_language: str = ""


@dataclass(frozen=True)
class AtGig:
    """What was given for one gig. ``moments``: what the history knows of them, by kind and time; ``own_spec``: the text
    that the house answered from. ``line_up``: in what the band's gig differs from its rig; the house gets none.
    """

    gig: str
    place: str
    contact: str
    date: str
    links: tuple[LinkOf, ...]
    answers: tuple[Answered, ...]
    answers_sent: tuple[datetime, ...]
    comments: tuple[Commented, ...]
    proposals: tuple[Proposed, ...]
    findings: tuple[Checked, ...]
    signatures: tuple[Signed, ...]
    moments: tuple[tuple[str, datetime], ...]
    own_spec: str = ""
    line_up: LineUp | None = None


@dataclass(frozen=True)
class RigSaved:
    """One revision of a rig that they saved."""

    rig: str
    number: int
    at: datetime
    document: Rig | None


@dataclass(frozen=True)
class ComparisonMade:
    """A comparison of rigs that somebody began: the year and the candidates, as they are kept."""

    year: str
    candidates: str
    created: datetime


@dataclass(frozen=True)
class OfAccount:
    """Everything of one account. The password is kept as a hash that leads back to nothing, and is left out."""

    email: str
    name: str
    account_since: datetime
    bands: tuple[tuple[str, str], ...]
    signed_in_since: tuple[datetime, ...]
    emails_sent: tuple[datetime, ...]
    invited: tuple[str, ...]
    recovery_codes_left: int
    rigs: tuple[RigSaved, ...]
    gigs: tuple[AtGig, ...]
    comparisons: tuple[ComparisonMade, ...]


@dataclass(frozen=True)
class Whose:
    """Who gave what is meant, of a gig: one link, one account, or a whole side (``party``); everybody where nothing is
    named.
    """

    link_id: str = ""
    user_id: str = ""
    party: str = ""

    def of(self, table: type[StoredAnswer | Comment | LineCheck | Signature]) -> ColumnElement[bool]:
        """The rows that they gave."""
        if self.link_id:
            return col(table.link_id) == self.link_id
        if self.user_id:
            return col(table.user_id) == self.user_id
        return col(table.party) == self.party if self.party else col(table.id).is_not(None)


_AT_GIG, _OF_ACCOUNT = TypeAdapter(AtGig), TypeAdapter(OfAccount)


def of_house(db: Session, gig: Gig, link_id: str = "") -> AtGig:
    """What the house gave for a gig (already allowed): by one link, or by all."""
    links = db.exec(
        select(Link).where(
            col(Link.gig_id) == gig.id, col(Link.id) == link_id if link_id else col(Link.party) == "house"
        )
    ).all()
    return _at_gig(db, gig, tuple(links), Whose(link_id=link_id, party="house"))


def of_account(db: Session, user_id: str) -> OfAccount:
    """Everything that an account (already allowed) gave."""
    user = bands.user(db, user_id)
    if user is None:
        raise LookupError(user_id)
    revisions = db.exec(
        select(RigRevision, BandRig.name)
        .where(col(RigRevision.author_id) == user_id, col(RigRevision.rig_id) == col(BandRig.id))
        .order_by(col(RigRevision.created))
    )
    gigs = select(Gig).where(acted_in(user_id)).order_by(col(Gig.on))
    sessions = db.exec(
        select(WebSession.created).where(col(WebSession.user_id) == user_id).order_by(col(WebSession.created))
    )
    return OfAccount(
        email=user.email,
        name=user.name,
        account_since=user.created,
        bands=tuple((one.band_name, one.role) for one in bands.memberships(db, user_id)),
        signed_in_since=tuple(sessions),
        emails_sent=tuple(outbox.sent_to(db, f"user:{user_id}")),
        invited=addresses.invited_by(db, user_id),
        recovery_codes_left=invitations.codes_left(db, user_id),
        rigs=tuple(
            RigSaved(name, row.number, row.created, row.read() if row.document else None) for row, name in revisions
        ),
        gigs=tuple(_at_gig(db, gig, (), Whose(user_id=user_id)) for gig in db.exec(gigs)),
        comparisons=tuple(
            ComparisonMade(row.basis, row.candidates, row.created)
            for row in db.exec(select(Comparison).where(col(Comparison.author_id) == user_id))
        ),
    )


def acted_in(user_id: str) -> ColumnElement[bool]:
    """The gigs in which an account did anything."""
    acted = select(Event.gig_id).where(col(Event.actor) == events.actor_of(user_id, None))
    found = select(LineCheck.gig_id).where(col(LineCheck.user_id) == user_id)
    return or_(col(Gig.id).in_(acted), col(Gig.id).in_(found))


def _at_gig(db: Session, gig: Gig, links: tuple[Link, ...], whose: Whose) -> AtGig:
    def theirs(table: type[StoredAnswer | Comment | LineCheck | Signature]) -> ColumnElement[bool]:
        return (col(table.gig_id) == gig.id) & whose.of(table)

    actors = {f"link:{link.id}" for link in links} or {events.actor_of(whose.user_id, None)}
    answers = db.exec(select(StoredAnswer).where(theirs(StoredAnswer)).order_by(col(StoredAnswer.position)))
    comments = db.exec(select(Comment).where(theirs(Comment)).order_by(col(Comment.position)))
    findings = db.exec(select(LineCheck).where(theirs(LineCheck)).order_by(col(LineCheck.position)))
    signatures = db.exec(select(Signature).where(theirs(Signature)).order_by(col(Signature.position)))
    told = db.exec(
        select(Event).where(col(Event.gig_id) == gig.id, col(Event.actor).in_(actors)).order_by(col(Event.position))
    ).all()
    sent = db.exec(
        select(HouseSent.created).where(
            col(HouseSent.gig_id) == gig.id, col(HouseSent.link_id).in_([link.id for link in links])
        )
    )
    spec = house_specs.get(db, gig.id)
    return AtGig(
        gig=gig.name,
        place=gig.place,
        contact=gig.contact if whose.user_id else "",
        date=gig.on.isoformat(),
        links=tuple(_link(db, link, whose) for link in links),
        answers=tuple(map(_answered, answers)),
        answers_sent=tuple(sent),
        comments=tuple(Commented(row.author, row.words, row.source, row.created) for row in comments),
        proposals=tuple(_proposed(db, told)),
        findings=tuple(
            Checked(row.who, read_sources(row.sources), row.channel, row.state, row.gain, row.note, row.said_at)
            for row in findings
        ),
        signatures=tuple(
            Signed(
                row.kind,
                row.signer_name,
                row.signer_role,
                row.content_hash,
                _ticked(db, row),
                row.language,
                row.created,
            )
            for row in signatures
        ),
        moments=tuple((event.kind, event.created) for event in told),
        own_spec=spec.text if spec and spec.link_id in {link.id for link in links} else "",
        line_up=gig.read_line_up() if whose.user_id and gig.line_up else None,
    )


def _link(db: Session, link: Link, whose: Whose) -> LinkOf:
    """A link with its email address: the house's own is not for the band."""
    given = addresses.address_of(db, f"link:{link.id}")
    told = ("", "")
    if given is not None and (whose.link_id or given.given_by == "band"):
        told = (given.address, given.language)
    return LinkOf(link.label, link.powers, link.expires, link.last_used, *told)


def _ticked(db: Session, row: Signature) -> tuple[str, ...]:
    told = read_ticked(db, row)
    return ("words erased",) if told is None else told


def _answered(row: StoredAnswer) -> Answered:
    question = QUESTIONS.get(row.question)
    answer = row.read()
    state = "erased" if row.erased else answer.state if answer else "of another version"
    value = question.kind.say(answer.value) if question and answer and answer.value is not None else None
    return Answered(question.band if question else row.question, state, value, row.created)


def _proposed(db: Session, told: Iterable[Event]) -> Iterable[Proposed]:
    for event in told:
        row = db.get(Proposal, event.read().get("proposal", ""))
        if row is not None:
            made = event.kind == "proposed"
            name, reason = (row.proposer, row.reason) if made else (row.settler, row.settled_reason)
            yield Proposed(event.kind, name, row.source, row.resource, row.value, reason, event.created)


def write(given: AtGig | OfAccount) -> bytes:
    """What was given as JSON that people can read."""
    if isinstance(given, OfAccount):
        # The empty mapping of a frozen rig is a read-only view, which pydantic copies only when told to.
        return _OF_ACCOUNT.dump_json(given, indent=2, warnings=False, fallback=dict)
    return _AT_GIG.dump_json(given, indent=2)


def signed_gigs(db: Session, gig_ids: Collection[str] | SelectOfScalar[str], whose: Whose) -> set[str]:
    """Those of some gigs (already allowed) in which a signature of theirs stands."""
    last = (
        select(func.max(Signature.position))
        .where(col(Signature.gig_id).in_(gig_ids))
        .group_by(col(Signature.gig_id), col(Signature.party), col(Signature.content_hash))
    )
    here = (col(Signature.position).in_(last), col(Signature.kind) == "signed")
    return set(db.exec(select(Signature.gig_id).where(*here, whose.of(Signature))))
