"""Bands, the people with an account, and who belongs to which band."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import CheckConstraint, Index, bindparam, text
from sqlmodel import Field, Session, col, delete, select, update

from portal.store.database import scopes
from portal.store.database.once import once, row_of, rows_of
from portal.store.database.rows import Row, new_id

ROLES = ("owner", "editor", "member")
"""What somebody may be in a band: the owner does everything, an editor changes rigs and gigs, a member reads."""


class User(Row, table=True):
    """Somebody with an account. The e-mail address is kept in small letters."""

    id: str = Field(default_factory=new_id, primary_key=True)
    email: str = Field(unique=True)
    name: str
    password_hash: str
    created: datetime


class Band(Row, table=True):
    """A band: the owner of rigs and gigs."""

    id: str = Field(default_factory=new_id, primary_key=True)
    name: str
    created: datetime


class Member(Row, table=True):
    """A person's place in a band."""

    __table_args__ = (
        CheckConstraint("role IN ('owner', 'editor', 'member')", name="role"),
        Index(
            "ix_member_one_owner",
            "band_id",
            unique=True,
            sqlite_where=text("role = 'owner'"),
            postgresql_where=text("role = 'owner'"),
        ),
    )
    user_id: str = Field(foreign_key="user.id", primary_key=True)
    band_id: str = Field(foreign_key="band.id", primary_key=True, index=True)
    role: str
    created: datetime


@dataclass(frozen=True)
class Membership:
    """One band that a person belongs to, with what the pages show of it."""

    user_id: str
    user_name: str
    email: str
    band_id: str
    band_name: str
    role: str


def add_user(db: Session, *, email: str, name: str, password_hash: str, now: datetime) -> User:
    """A new account. The caller has checked that the address is free."""
    scopes.need(db, scopes.address(email))
    user = User(email=email.lower(), name=name, password_hash=password_hash, created=now)
    db.add(user)
    db.flush()
    scopes.own(db, scopes.account(user.id))
    return user


def add_band(db: Session, *, name: str, owner_id: str, now: datetime) -> Band:
    """A new band with its owner."""
    scopes.need(db, scopes.account(owner_id))
    band = Band(name=name, created=now)
    db.add(band)
    db.flush()
    scopes.own(db, scopes.band(band.id))
    db.add(Member(user_id=owner_id, band_id=band.id, role="owner", created=now))
    db.flush()
    return band


def user_by_email(db: Session, email: str) -> User | None:
    """The account of an address, whatever its capitals."""
    return db.exec(select(User).where(col(User.email) == email.lower())).one_or_none()


_MEMBERSHIPS = (
    select(User, Band, Member)
    .where(col(Member.user_id) == bindparam("user_id"), col(Member.user_id) == col(User.id))
    .where(col(Member.band_id) == col(Band.id))
    .order_by(col(Member.created), col(Band.id))
)
_NAME = select(Band.name).where(col(Band.id) == bindparam("band_id"))
_NAMES = select(User.id, User.name).where(col(User.id).in_(bindparam("user_ids", expanding=True)))
_USER = select(User).where(col(User.id) == bindparam("user_id"))


@once
def name_of(db: Session, band_id: str) -> str:
    """The name of the band that a gig (already allowed) belongs to."""
    return rows_of(db, _NAME, band_id=band_id)[0]


def names_of(db: Session, user_ids: Collection[str]) -> dict[str, str]:
    """The name of each of some accounts, by its id."""
    return dict(rows_of(db, _NAMES, user_ids=list(user_ids))) if user_ids else {}


@once
def user(db: Session, user_id: str) -> User | None:
    """The account of an id."""
    return row_of(db, _USER, user_id=user_id)


@once
def memberships(db: Session, user_id: str) -> list[Membership]:
    """The bands of a person, the oldest membership first."""
    return [
        Membership(person.id, person.name, person.email, band.id, band.name, member.role)
        for person, band, member in rows_of(db, _MEMBERSHIPS, user_id=user_id)
    ]


def members(db: Session, band_id: str) -> list[Membership]:
    """Everybody in a band (already allowed), the owner first, then the oldest membership."""
    found = db.exec(
        select(User, Band, Member)
        .where(col(Member.band_id) == band_id, col(Member.user_id) == col(User.id))
        .where(col(Member.band_id) == col(Band.id))
        .order_by(col(Member.role) != "owner", col(Member.created), col(User.id))
    )
    return [
        Membership(person.id, person.name, person.email, band.id, band.name, member.role)
        for person, band, member in found
    ]


def add_member(db: Session, band_id: str, user_id: str, role: str, now: datetime) -> None:
    """Take somebody into a band."""
    scopes.need(db, scopes.band(band_id))
    db.add(Member(user_id=user_id, band_id=band_id, role=role, created=now))
    db.flush()


def set_role(db: Session, band_id: str, user_id: str, role: str) -> bool:
    """Give a member of the band another role; the owner's stays. False where there is no such member."""
    scopes.need(db, scopes.band(band_id))
    mine = (col(Member.band_id) == band_id, col(Member.user_id) == user_id, col(Member.role) != "owner")
    return db.exec(update(Member).where(*mine).values(role=role)).rowcount == 1


def hand_over(db: Session, band_id: str, owner_id: str, user_id: str) -> None:
    """Make a member (already looked up) the owner of the band; who owned it stays as an editor."""
    scopes.need(db, scopes.band(band_id))
    for one, role in ((owner_id, "editor"), (user_id, "owner")):
        db.exec(update(Member).where(col(Member.band_id) == band_id, col(Member.user_id) == one).values(role=role))


def remove(db: Session, band_id: str, user_id: str) -> bool:
    """Take a member out of the band; the owner stays. False where there is no such member. The caller also ends the
    member's sessions.
    """
    scopes.need(db, scopes.band(band_id))
    mine = (col(Member.band_id) == band_id, col(Member.user_id) == user_id, col(Member.role) != "owner")
    return db.exec(delete(Member).where(*mine)).rowcount == 1


def set_password(db: Session, user_id: str, password_hash: str) -> None:
    """Replace a password."""
    scopes.need(db, scopes.account(user_id))
    db.exec(update(User).where(col(User.id) == user_id).values(password_hash=password_hash))


def set_email(db: Session, user_id: str, email: str) -> bool:
    """Replace the address that somebody signs in with; false where another account has it."""
    scopes.need(db, scopes.account(user_id))
    scopes.need(db, scopes.address(email))
    known = user_by_email(db, email)
    if known is None:
        db.exec(update(User).where(col(User.id) == user_id).values(email=email.lower()))
    return known is None or known.id == user_id


def set_name(db: Session, user_id: str, name: str) -> None:
    """Replace the name that pages and sign-offs show."""
    scopes.need(db, scopes.account(user_id))
    db.exec(update(User).where(col(User.id) == user_id).values(name=name))
