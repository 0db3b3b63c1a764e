"""Secret links: for one gig and one party, with a set of powers. Only the hash of a link's token is kept."""

from datetime import datetime

from sqlalchemy import CheckConstraint, bindparam
from sqlmodel import Field, Session, col, select, update

from portal.store.database import scopes
from portal.store.database.once import once, row_of, rows_of
from portal.store.database.rows import Row, new_id
from portal.store.record import events

POWERS = ("view", "answer", "sign")
"""What the holder of a link may do."""


class Link(Row, table=True):
    """A link that the band handed out. ``powers`` are words with blanks between, in the order of ``POWERS``."""

    __table_args__ = (
        CheckConstraint("party IN ('house', 'band')", name="party"),
        CheckConstraint("powers <> ''", name="powers"),
    )
    id: str = Field(default_factory=new_id, primary_key=True)
    gig_id: str = Field(foreign_key="gig.id", index=True)
    party: str
    label: str
    powers: str
    token_hash: str = Field(unique=True)
    expires: datetime
    revoked_at: datetime | None = None
    last_used: datetime | None = None
    created_by: str = Field(foreign_key="user.id")
    created: datetime

    def may(self, power: str) -> bool:
        """True where the link carries that power."""
        return power in self.powers.split()

    def live(self, now: datetime) -> bool:
        """True until the link expires or is revoked."""
        return self.revoked_at is None and now < self.expires


def make(  # noqa: PLR0913 - one keyword per column
    db: Session,
    *,
    gig_id: str,
    party: str,
    label: str,
    powers: frozenset[str],
    token_hash: str,
    expires: datetime,
    created_by: str,
    now: datetime,
) -> Link:
    """A new link for a gig (already allowed)."""
    scopes.need(db, scopes.gig(gig_id))
    link = Link(
        gig_id=gig_id,
        party=party,
        label=label,
        powers=" ".join(power for power in POWERS if power in powers),
        token_hash=token_hash,
        expires=expires,
        created_by=created_by,
        created=now,
    )
    db.add(link)
    db.flush()
    _note(db, link, "link-made", f"user:{created_by}", now)
    return link


def _note(db: Session, link: Link, kind: str, actor: str, now: datetime, **more: str) -> None:
    party = "band" if actor.startswith("user:") else link.party
    events.append(
        db,
        gig_id=link.gig_id,
        kind=kind,
        party=party,
        actor=actor,
        now=now,
        detail={"link": link.id, "powers": link.powers, **more},
    )


def by_token_hash(db: Session, token_hash: str) -> Link | None:
    """The link of a token, live or not."""
    return db.exec(select(Link).where(col(Link.token_hash) == token_hash)).one_or_none()


_BY_ID = select(Link).where(col(Link.id) == bindparam("link_id"))
_OF_GIG = select(Link).where(col(Link.gig_id) == bindparam("gig_id")).order_by(col(Link.created).desc(), col(Link.id))


@once
def by_id(db: Session, link_id: str) -> Link | None:
    """The link that a session or a view token names."""
    return row_of(db, _BY_ID, link_id=link_id)


@once
def of_gig(db: Session, gig_id: str) -> list[Link]:
    """Every link of a gig (already allowed), the newest first."""
    return rows_of(db, _OF_GIG, gig_id=gig_id)


def get(db: Session, gig_id: str, link_id: str) -> Link | None:
    """A link of a gig (already allowed)."""
    return db.exec(select(Link).where(col(Link.gig_id) == gig_id, col(Link.id) == link_id)).one_or_none()


def revoke(db: Session, link: Link, now: datetime, *, actor: str) -> None:
    """Revoke a link (already allowed); the first time counts. The caller also ends its sessions."""
    scopes.need(db, scopes.gig(link.gig_id))
    changed = db.exec(
        update(Link).where(col(Link.id) == link.id, col(Link.revoked_at).is_(None)).values(revoked_at=now)
    )
    if changed.rowcount:
        _note(db, link, "link-revoked", actor, now)


def used(db: Session, link: Link, now: datetime, *, by_sheet: bool = False) -> None:
    """Note that somebody came by the link; ``by_sheet``: by a code on a document that stands for it, and nobody knows
    who.
    """
    scopes.need(db, scopes.gig(link.gig_id))
    if by_sheet:
        _note(db, link, "link-used", "", now, by="sheet")
        return
    db.exec(update(Link).where(col(Link.id) == link.id).values(last_used=now))
    _note(db, link, "link-used", f"link:{link.id}", now)
