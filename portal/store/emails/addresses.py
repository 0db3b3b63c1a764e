"""Where people are reached by email, who wants none, and how long before a gig a house is reminded.

A reader is user:ID, link:ID, house:ID, invitation:ID, or lost:ID for an account.
"""

from collections.abc import Collection
from datetime import datetime

from sqlalchemy import CheckConstraint
from sqlmodel import Field, Session, col, delete, select, update

from portal.store.accounts.invitations import Invitation
from portal.store.database import scopes
from portal.store.database.once import once
from portal.store.database.rows import Row
from portal.store.database.server_key import keyed_hash

LOST = "lost:"
"""Begins the reader, by account, who lost the password: emails reach them that they asked for, stopped or not."""

REMINDER_DAYS = 7
"""Days before a gig on which the house is reminded, unless the band says otherwise (common practice, no source)."""


class EmailAddress(Row, table=True):
    """Where a link or a house is reached, which side gave the address, and the language that is read there, empty where
    nobody said and nobody has read; for an account only that its address was refused.
    """

    __tablename__ = "email_address"
    __table_args__ = (CheckConstraint("given_by IN ('house', 'band')", name="given_by"),)
    who: str = Field(primary_key=True)
    address: str
    given_by: str
    refused_at: datetime | None = None
    created: datetime
    language: str = Field(default="", sa_column_kwargs={"server_default": ""})


class EmailStop(Row, table=True):
    """An address that wants no emails, as a keyed hash."""

    __tablename__ = "email_stop"
    digest: str = Field(primary_key=True)
    created: datetime


class EmailChoice(Row, table=True):
    """How many days before a gig a band has the house reminded; 0: never."""

    __tablename__ = "email_choice"
    band_id: str = Field(primary_key=True, foreign_key="band.id")
    reminder_days: int


def on(db: Session) -> bool:
    """True where the portal sends emails."""
    return bool(db.info.get("emails"))


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


def give_address(db: Session, who: str, address: str, given_by: str, now: datetime, language: str = "") -> None:
    """Keep where a link or a house (already allowed) is reached, and in which language where it is said; forget it
    where it is empty.
    """
    scopes.need(db, scopes.reader(who))
    before = address_of(db, who)
    if before is not None and (before.address, before.given_by) == (address, given_by):
        return
    language = language or (before.language if before else "")
    forget_address(db, who)
    if address:
        db.add(EmailAddress(who=who, address=address, given_by=given_by, language=language, created=now))
        db.flush()


def reads_other(db: Session, who: str, language: str) -> bool:
    """True where emails to somebody (already allowed) are written in another language than this one."""
    given = address_of(db, who) if on(db) else None
    return given is not None and given.language != language


def keep_language(db: Session, who: str, language: str) -> None:
    """Write emails to somebody (already allowed) in a language from now on, where they have an address."""
    scopes.need(db, scopes.reader(who))
    db.exec(update(EmailAddress).where(col(EmailAddress.who) == who).values(language=language))


def language_of(db: Session, who: str) -> str:
    """The language in which emails to somebody are written; empty where nobody said."""
    given = address_of(db, who)
    return given.language if given else ""


def forget_address(db: Session, who: str) -> None:
    """Erase where somebody is reached."""
    scopes.need(db, scopes.reader(who))
    db.exec(delete(EmailAddress).where(col(EmailAddress.who) == who))


def forget_of_links(db: Session, gig_id: str, link_ids: Collection[str]) -> int:
    """Erase where some links of a gig (already allowed) are reached; how many addresses there were."""
    scopes.need(db, scopes.gig(gig_id))
    mine = [f"link:{link_id}" for link_id in link_ids]
    return db.exec(delete(EmailAddress).where(col(EmailAddress.who).in_(mine))).rowcount


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
