"""Sessions of browsers: of a person with an account, or of the holder of a link. Only hashes of their tokens are
kept.
"""

from datetime import datetime, timedelta

from sqlalchemy import CheckConstraint, bindparam
from sqlmodel import Field, Session, col, delete, select, update

from portal.store.database import scopes
from portal.store.database.once import row_of
from portal.store.database.rows import Row
from portal.store.links import Link


class WebSession(Row, table=True):
    """One signed-in browser. ``id`` is the SHA-256 of the cookie's token, in hex. ``only_view``: came by a code on
    paper. ``proven_at``: the password was given.
    """

    __tablename__ = "web_session"
    __table_args__ = (
        CheckConstraint(
            "(kind = 'user' AND user_id IS NOT NULL AND link_id IS NULL) OR (kind = 'link' AND link_id IS NOT NULL AND"
            " user_id IS NULL)",
            name="kind",
        ),
    )
    id: str = Field(primary_key=True)
    kind: str
    user_id: str | None = Field(default=None, foreign_key="user.id", index=True)
    link_id: str | None = Field(default=None, foreign_key="link.id", index=True)
    only_view: bool = False
    created: datetime
    last_seen: datetime
    proven_at: datetime | None = None
    expires: datetime


def start_for_user(db: Session, token_hash: str, user_id: str, *, now: datetime, expires: datetime) -> None:
    """A session of somebody with an account."""
    scopes.need(db, scopes.account(user_id))
    db.add(
        WebSession(
            id=token_hash, kind="user", user_id=user_id, created=now, last_seen=now, proven_at=now, expires=expires
        )
    )
    db.flush()


def start_for_link(
    db: Session, token_hash: str, link_id: str, *, only_view: bool, now: datetime, expires: datetime
) -> None:
    """A session of somebody who came by a link, or by a code on paper that stands for the link's power to view."""
    _need_gig_of(db, link_id)
    db.add(
        WebSession(
            id=token_hash,
            kind="link",
            link_id=link_id,
            only_view=only_view,
            created=now,
            last_seen=now,
            expires=expires,
        )
    )
    db.flush()


# Built once, as all statements that nearly every page asks: to build one takes longer than to ask it.
_FIND = select(WebSession).where(
    col(WebSession.id) == bindparam("token_hash"),
    col(WebSession.kind) == bindparam("kind"),
    col(WebSession.expires) > bindparam("now"),
    col(WebSession.last_seen) > bindparam("seen_after"),
)


def find(db: Session, token_hash: str, kind: str, *, now: datetime, idle: timedelta) -> WebSession | None:
    """The live session of a token: of that kind, not expired and not idle for too long."""
    return row_of(db, _FIND, token_hash=token_hash, kind=kind, now=now, seen_after=now - idle)


def update_last_seen(db: Session, token_hash: str, now: datetime) -> None:
    """Note that the session was used."""
    scopes.need(db, scopes.browser(token_hash))
    db.exec(update(WebSession).where(col(WebSession.id) == token_hash).values(last_seen=now))


def prove(db: Session, token_hash: str, now: datetime) -> None:
    """Note that the password was given again."""
    scopes.need(db, scopes.browser(token_hash))
    db.exec(update(WebSession).where(col(WebSession.id) == token_hash).values(proven_at=now))


def end(db: Session, token_hash: str) -> None:
    """End one session."""
    scopes.need(db, scopes.browser(token_hash))
    db.exec(delete(WebSession).where(col(WebSession.id) == token_hash))


def end_of_user(db: Session, user_id: str, *, but: str = "") -> None:
    """End every session of a person, ``but`` one."""
    scopes.need(db, scopes.account(user_id))
    db.exec(delete(WebSession).where(col(WebSession.user_id) == user_id, col(WebSession.id) != but))


def end_of_link(db: Session, link_id: str) -> None:
    """End every session that came by a link."""
    _need_gig_of(db, link_id)
    db.exec(delete(WebSession).where(col(WebSession.link_id) == link_id))


def forget_ended(db: Session, now: datetime) -> None:
    """Clear away the sessions that ended by time."""
    scopes.need(db, scopes.EVERYTHING)
    db.exec(delete(WebSession).where(col(WebSession.expires) <= now))


def _need_gig_of(db: Session, link_id: str) -> None:
    scopes.need(db, scopes.gig(db.exec(select(Link.gig_id).where(col(Link.id) == link_id)).one()))
