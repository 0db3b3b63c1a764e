"""The outbox: what is to be told to whom by email, and the emails made of it.

What is to be told is noted in the transaction in which it happens. No address, no words of an email and no token stand
in the outbox: all are made when it is sent, so erasing reaches what waits. The band's own words lie in rows of their
own.
"""

from collections.abc import Collection, Iterable, Sequence
from datetime import datetime, timedelta

from sqlalchemy import CheckConstraint, Text, UniqueConstraint
from sqlmodel import Field, Session, col, delete, or_, select, update

from portal.store.database import scopes
from portal.store.database.rows import Row, new_id
from portal.store.emails.addresses import EmailChoice, forget_address, forget_of_links, on

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


class OwnWords(Row, table=True):
    """What a band wrote above the link that it sent by email."""

    __tablename__ = "own_words"
    outbox_id: str = Field(primary_key=True, foreign_key="outbox.id")
    words: str = Field(sa_type=Text)


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
    return count + forget_of_links(db, gig_id, link_ids)


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
