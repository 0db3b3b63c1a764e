"""Emails: what is to be told to whom (the outbox), where people are reached, and who wants none.

What is to be told is noted in the transaction in which it happens. No address, no words of an email and no token stand
in the outbox: all are made when it is sent, so erasing reaches what waits. The band's own words lie in rows of their
own.
"""

from collections.abc import Collection, Iterable, Sequence
from datetime import datetime, timedelta

from sqlalchemy import CheckConstraint, Text, UniqueConstraint
from sqlmodel import Field, Session, col, delete, or_, select, update

from portal.store.accounts.invitations import Invitation
from portal.store.database import scopes
from portal.store.database.once import once
from portal.store.database.rows import Row, new_id
from portal.store.database.server_key import keyed_hash

TOLD = frozenset(
    {
        "answers-sent",
        "answered",
        "signed",
        "withdrawn",
        "planned",
        "proposed",
        "proposal-accepted",
        "proposal-declined",
        "commented",
        "gig-changed",
        "gig-cancelled",
        "gig-asked",
        "gig-accepted",
        "gig-declined",
    }
)
"""The kinds of events that somebody may be told of by email."""

KEPT = timedelta(days=60)
"""How long it is remembered that something was told: longer than the earliest reminder comes before its gig."""

LOST = "lost:"
"""Begins the reader, by account, who lost the password: emails reach them that they asked for, stopped or not."""

REMINDER_DAYS = 7
"""Days before a gig on which the house is reminded, unless the band says otherwise (common practice, no source)."""


class Outbox(Row, table=True):
    """One thing to tell. ``who`` is empty until it is known who reads it, then user:ID, link:ID, house:ID,
    invitation:ID, or lost:ID for an account. ``once`` and ``who`` together come only once; ``about``: the event's
    position, or what else is told. ``gig_id``: none where it is about no gig.
    """

    __tablename__ = "outbox"
    __table_args__ = (UniqueConstraint("once", "who"),)
    id: str = Field(default_factory=new_id, primary_key=True)
    once: str
    who: str = ""
    kind: str
    gig_id: str | None = Field(default=None, foreign_key="gig.id", index=True)
    about: str = ""
    email_id: str | None = Field(default=None, foreign_key="email.id", index=True)
    created: datetime


class Email(Row, table=True):
    """One email to one reader. Its id makes its Message-ID, so that a second copy is known as the same. ``why``: what
    the mail server did last.
    """

    __tablename__ = "email"
    __table_args__ = (CheckConstraint("state IN ('queued', 'sent', 'failed', 'dropped')", name="state"),)
    id: str = Field(default_factory=new_id, primary_key=True)
    who: str = Field(index=True)
    state: str = "queued"
    tries: int = 0
    due: datetime
    why: str = ""
    created: datetime
    sent_at: datetime | None = None


class EmailAddress(Row, table=True):
    """Where a link or a house is reached, and which side gave the address; for an account only that its address was
    refused.
    """

    __tablename__ = "email_address"
    __table_args__ = (CheckConstraint("given_by IN ('house', 'band')", name="given_by"),)
    who: str = Field(primary_key=True)
    address: str
    given_by: str
    refused_at: datetime | None = None
    created: datetime


class EmailStop(Row, table=True):
    """An address that wants no emails, as a keyed hash."""

    __tablename__ = "email_stop"
    digest: str = Field(primary_key=True)
    created: datetime


class OwnWords(Row, table=True):
    """What a band wrote above the link that it sent by email."""

    __tablename__ = "own_words"
    outbox_id: str = Field(primary_key=True, foreign_key="outbox.id")
    words: str = Field(sa_type=Text)


class EmailChoice(Row, table=True):
    """How many days before a gig a band has the house reminded; 0: never."""

    __tablename__ = "email_choice"
    band_id: str = Field(primary_key=True, foreign_key="band.id")
    reminder_days: int


def on(db: Session) -> bool:
    """True where the portal sends emails."""
    return bool(db.info.get("emails"))


def note(  # noqa: PLR0913 - one keyword per column
    db: Session,
    *,
    kind: str,
    gig_id: str | None,
    once: str,
    now: datetime,
    about: str = "",
    who: str = "",
    words: str = "",
) -> None:
    """Note that something is to be told, in the transaction in which it happens; the first time counts. Nothing where
    the portal sends no emails.
    """
    scopes.need(db, scopes.gig(gig_id) if gig_id else scopes.reader(who))
    known = (col(Outbox.once) == once, col(Outbox.who) == who)
    if not on(db) or db.exec(select(Outbox.id).where(*known)).first():
        return
    row = Outbox(once=once, who=who, kind=kind, gig_id=gig_id, about=about, created=now)
    db.add(row)
    db.flush()
    if words:
        db.add(OwnWords(outbox_id=row.id, words=words))
        db.flush()


def note_event(db: Session, kind: str, gig_id: str, position: int, now: datetime) -> None:
    """Note an event that somebody may be told of."""
    scopes.need(db, scopes.gig(gig_id))
    if on(db) and kind in TOLD:
        # A position comes only once: nothing has to be looked up.
        db.add(Outbox(once=f"event {position}", kind=kind, gig_id=gig_id, about=str(position), created=now))


def unread(db: Session) -> list[Outbox]:
    """What is to be told and not yet to whom, the oldest first."""
    return list(db.exec(select(Outbox).where(col(Outbox.who) == "").order_by(col(Outbox.created), col(Outbox.id))))


def waiting(db: Session) -> list[Outbox]:
    """What is to be told to somebody and stands in no email yet, the oldest first."""
    mine = (col(Outbox.who) != "", col(Outbox.email_id).is_(None))
    return list(db.exec(select(Outbox).where(*mine).order_by(col(Outbox.created), col(Outbox.id))))


def ripe(db: Session, before: datetime, *, at_once: Collection[str]) -> bool:
    """True where something stands in no email yet that was noted before a moment, or of a kind that goes at once."""
    mine = (col(Outbox.email_id).is_(None), or_(col(Outbox.created) <= before, col(Outbox.kind).in_(at_once)))
    return db.exec(select(Outbox.id).where(*mine).limit(1)).first() is not None


def by_gig(rows: Iterable[Outbox]) -> dict[str, list[Outbox]]:
    """What is to be told, by the gig that it is about; what is about none left out."""
    found: dict[str, list[Outbox]] = {}
    for row in rows:
        if row.gig_id:
            found.setdefault(row.gig_id, []).append(row)
    return found


def spread(db: Session, row: Outbox, readers: Iterable[str]) -> None:
    """Tell one thing to each of some readers."""
    scopes.need(db, scopes.MAIL)
    _forget(db, [row.id])
    for who in readers:
        made = Outbox(once=row.once, who=who, kind=row.kind, gig_id=row.gig_id, about=row.about, created=row.created)
        db.add(made)
    db.flush()


def gather(db: Session, who: str, rows: Sequence[Outbox], now: datetime) -> Email:
    """Put things to tell into one email."""
    scopes.need(db, scopes.MAIL)
    email = Email(who=who, due=now, created=now)
    db.add(email)
    db.flush()
    db.exec(update(Outbox).where(col(Outbox.id).in_([row.id for row in rows])).values(email_id=email.id))
    return email


def put_back(db: Session, rows: Sequence[Outbox]) -> None:
    """Take things out of their email: somebody still has to be told."""
    scopes.need(db, scopes.MAIL)
    db.exec(update(Outbox).where(col(Outbox.id).in_([row.id for row in rows])).values(email_id=None))


def drop(db: Session, rows: Sequence[Outbox]) -> None:
    """Forget things that nobody has to be told any more."""
    scopes.need(db, scopes.MAIL)
    _forget(db, [row.id for row in rows])


def due(db: Session, now: datetime) -> list[str]:
    """The emails that may be sent now, the oldest first, by id."""
    ready = (col(Email.state) == "queued", col(Email.due) <= now)
    return list(db.exec(select(Email.id).where(*ready).order_by(col(Email.due), col(Email.id))))


def get(db: Session, email_id: str) -> Email | None:
    """An email."""
    return db.get(Email, email_id)


def content(db: Session, email_id: str) -> list[Outbox]:
    """What an email tells, the oldest first."""
    mine = select(Outbox).where(col(Outbox.email_id) == email_id)
    return list(db.exec(mine.order_by(col(Outbox.created), col(Outbox.id))))


def words_of(db: Session, outbox_id: str) -> str:
    """The band's own words to one thing."""
    found = db.get(OwnWords, outbox_id)
    return found.words if found else ""


def tried(db: Session, email_id: str, *, state: str, why: str, due: datetime, now: datetime) -> None:
    """Note what came of trying to send an email."""
    scopes.need(db, scopes.MAIL)
    db.exec(
        update(Email)
        .where(col(Email.id) == email_id)
        .values(
            state=state,
            why=why,
            due=due,
            tries=col(Email.tries) + 1,
            sent_at=now if state == "sent" else None,
        )
    )


def last_of_gig(db: Session, readers: Collection[str], gig_id: str) -> datetime | None:
    """When some readers (one and the same address) were last told something of a gig, the link itself aside."""
    found = db.exec(
        select(Email.created)
        .join(Outbox, col(Outbox.email_id) == col(Email.id))
        .where(col(Outbox.gig_id) == gig_id, col(Outbox.who).in_(readers), col(Outbox.kind) != "link")
        .order_by(col(Email.created).desc())
        .limit(1)
    )
    return found.first()


def newest_of(db: Session, who: str) -> Email | None:
    """The newest email to a reader."""
    mine = select(Email).where(col(Email.who) == who, col(Email.state) != "dropped")
    return db.exec(mine.order_by(col(Email.created).desc()).limit(1)).first()


def sent_to(db: Session, who: str) -> list[datetime]:
    """When emails were sent to somebody, the oldest first."""
    mine = (col(Email.who) == who, col(Email.sent_at).is_not(None))
    return [moment for moment in db.exec(select(Email.sent_at).where(*mine).order_by(col(Email.sent_at))) if moment]


def of_invitation(invitation_id: str) -> str:
    """Whoever is invited, as a reader."""
    return f"invitation:{invitation_id}"


@once
def address_of(db: Session, who: str) -> EmailAddress | None:
    """Where a link, a house or whoever is invited is reached, or that an account's address was refused."""
    return db.get(EmailAddress, who)


def given_address(db: Session, who: str) -> str:
    """The address that was given for a link or a house; empty where none was."""
    given = address_of(db, who)
    return given.address if given else ""


def give_address(db: Session, who: str, address: str, given_by: str, now: datetime) -> None:
    """Keep where a link or a house (already allowed) is reached, or forget it where it is empty."""
    scopes.need(db, scopes.reader(who))
    before = address_of(db, who)
    if before is not None and (before.address, before.given_by) == (address, given_by):
        return
    forget_address(db, who)
    if address:
        db.add(EmailAddress(who=who, address=address, given_by=given_by, created=now))
        db.flush()


def forget_address(db: Session, who: str) -> None:
    """Erase where somebody is reached."""
    scopes.need(db, scopes.reader(who))
    _forget_addresses(db, [who])


def _forget_addresses(db: Session, readers: Collection[str]) -> int:
    return db.exec(delete(EmailAddress).where(col(EmailAddress.who).in_(readers))).rowcount


def refuse(db: Session, who: str, address: str, given_by: str, now: datetime) -> None:
    """Note that a mail server refused somebody's address for good."""
    scopes.need(db, scopes.reader(who))
    db.merge(EmailAddress(who=who, address=address, given_by=given_by, refused_at=now, created=now))
    db.flush()


def refused(db: Session, who: str) -> bool:
    """True where a mail server refused somebody's address for good, and emails are sent at all."""
    given = address_of(db, who) if on(db) else None
    return given is not None and given.refused_at is not None


def stop_digest(key: bytes, address: str) -> str:
    """What is kept of an address that wants no emails."""
    return keyed_hash(key, "email stop", address.lower().encode())


@once
def stopped(db: Session, digest: str) -> bool:
    """True where an address wants no emails."""
    return db.get(EmailStop, digest) is not None


def stop(db: Session, digest: str, now: datetime) -> None:
    """Note that an address wants no emails."""
    scopes.need(db, scopes.reader(digest))
    db.merge(EmailStop(digest=digest, created=now))
    db.flush()


def start_again(db: Session, digest: str) -> None:
    """Let an address have emails again."""
    scopes.need(db, scopes.reader(digest))
    db.exec(delete(EmailStop).where(col(EmailStop.digest) == digest))


def reminder_days(db: Session, band_id: str) -> int:
    """How many days before a gig a band (already allowed) has the house reminded."""
    chosen = db.get(EmailChoice, band_id)
    return chosen.reminder_days if chosen else REMINDER_DAYS


def choose_reminder(db: Session, band_id: str, days: int) -> None:
    """Keep how many days before a gig a band (already allowed) has the house reminded."""
    scopes.need(db, scopes.band(band_id))
    db.merge(EmailChoice(band_id=band_id, reminder_days=days))
    db.flush()


def invited_by(db: Session, user_id: str) -> tuple[str, ...]:
    """The addresses to which an account sent invitations that wait."""
    mine = db.exec(select(Invitation.id).where(col(Invitation.created_by) == user_id))
    addresses = select(EmailAddress.address).where(col(EmailAddress.who).in_(map(of_invitation, mine)))
    return tuple(db.exec(addresses.order_by(col(EmailAddress.address))))


def forget_invited(db: Session, now: datetime) -> None:
    """Erase where invitations were sent that ended or are too old."""
    scopes.need(db, scopes.EVERYTHING)
    live = select(Invitation.id).where(col(Invitation.ended_at).is_(None), col(Invitation.expires) > now)
    known = list(map(of_invitation, db.exec(live)))
    over = (col(EmailAddress.who).startswith(of_invitation("")), col(EmailAddress.who).not_in(known))
    db.exec(delete(EmailAddress).where(*over))


def forget_told(db: Session, now: datetime) -> None:
    """Forget what was told long ago, and the emails with it."""
    scopes.need(db, scopes.MAIL)
    old = db.exec(select(Email.id).where(col(Email.created) < now - KEPT, col(Email.state) != "queued")).all()
    _forget(db, db.exec(select(Outbox.id).where(col(Outbox.email_id).in_(old))).all())
    db.exec(delete(Email).where(col(Email.id).in_(old)))


def erase_gig(db: Session, gig_id: str, link_ids: Collection[str]) -> int:
    """Erase where some links of a gig (already allowed) are reached, and the words that the band sent along; how many
    things there were.
    """
    scopes.need(db, scopes.gig(gig_id))
    mine = [f"link:{link_id}" for link_id in link_ids]
    told = select(Outbox.id).where(col(Outbox.gig_id) == gig_id, col(Outbox.who).in_(mine))
    count = db.exec(delete(OwnWords).where(col(OwnWords.outbox_id).in_(told))).rowcount
    return count + _forget_addresses(db, mine)


def erase_band(db: Session, band_id: str, gig_ids: Collection[str]) -> None:
    """Forget what was to be told of a band's gigs, and what it chose."""
    scopes.need(db, scopes.EVERYTHING)
    _forget(db, db.exec(select(Outbox.id).where(col(Outbox.gig_id).in_(gig_ids))).all())
    db.exec(delete(EmailChoice).where(col(EmailChoice.band_id) == band_id))


def erase_reader(db: Session, who: str) -> None:
    """Forget what somebody was told or was to be told, and where they are reached."""
    scopes.need(db, scopes.EVERYTHING)
    ids = db.exec(select(Email.id).where(col(Email.who) == who)).all()
    mine = or_(col(Outbox.who) == who, col(Outbox.email_id).in_(ids))
    _forget(db, db.exec(select(Outbox.id).where(mine)).all())
    db.exec(delete(Email).where(col(Email.id).in_(ids)))
    forget_address(db, who)


def _forget(db: Session, ids: Collection[str]) -> None:
    db.exec(delete(OwnWords).where(col(OwnWords.outbox_id).in_(ids)))
    db.exec(delete(Outbox).where(col(Outbox.id).in_(ids)))
