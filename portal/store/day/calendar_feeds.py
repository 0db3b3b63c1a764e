"""Secret addresses of calendars: one for each member of a band. Only the hash of an address's token is kept."""

from datetime import datetime

from sqlmodel import Field, Session, col, delete, select

from portal.store.accounts.bands import Member
from portal.store.database import scopes
from portal.store.database.rows import Row


class CalendarFeed(Row, table=True):
    """The address by which one member's calendar reads the band's gigs."""

    __tablename__ = "calendar_feed"
    user_id: str = Field(primary_key=True, foreign_key="user.id")
    band_id: str = Field(foreign_key="band.id")
    token_hash: str = Field(unique=True)
    created: datetime


def of_user(db: Session, user_id: str) -> CalendarFeed | None:
    """The address of a member (already allowed), if there is one."""
    return db.exec(select(CalendarFeed).where(col(CalendarFeed.user_id) == user_id)).one_or_none()


def make(db: Session, *, user_id: str, band_id: str, token_hash: str, now: datetime) -> None:
    """Another address for a member (already allowed); the one before works no more."""
    scopes.need(db, scopes.account(user_id))
    end(db, user_id)
    db.add(CalendarFeed(user_id=user_id, band_id=band_id, token_hash=token_hash, created=now))
    db.flush()


def end(db: Session, user_id: str) -> None:
    """Let a member's address work no more."""
    scopes.need(db, scopes.account(user_id))
    db.exec(delete(CalendarFeed).where(col(CalendarFeed.user_id) == user_id))


def by_token_hash(db: Session, token_hash: str) -> CalendarFeed | None:
    """The address of a token, as long as whoever made it belongs to the band."""
    belongs = (col(Member.user_id) == col(CalendarFeed.user_id)) & (col(Member.band_id) == col(CalendarFeed.band_id))
    return db.exec(
        select(CalendarFeed).join(Member, belongs).where(col(CalendarFeed.token_hash) == token_hash)
    ).one_or_none()
