"""What happened to gigs, in the order in which it happened: a chain in which each event holds the hash of the one
before.

The chain holds ids, numbers and hashes, nothing of a person: names and words lie in other tables, from which they can
be erased without breaking it. Words that only an event has (what a gig was called before) lie in ``event_words``, bound
by a salted digest.
"""

import json
import secrets
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256

from pydantic import TypeAdapter
from sqlalchemy import CheckConstraint, Text, bindparam
from sqlalchemy.event import listens_for
from sqlmodel import Field, Session, col, select, true

from portal.store.database import scopes
from portal.store.database.once import once, rows_of
from portal.store.database.rows import POSITION, Row
from portal.store.emails import outbox

_DETAIL = TypeAdapter(dict[str, str])
_CHANGES = TypeAdapter(tuple[tuple[str, str, str], ...])

START = "0" * 64
"""What the first event holds in place of the hash before it."""


class Event(Row, table=True):
    """One event. ``party``: band, house, or empty for what the portal did by itself. ``actor``: user:ID or link:ID,
    empty where not known.
    """

    __table_args__ = (CheckConstraint("party IN ('house', 'band', '')", name="party"),)
    position: int = Field(primary_key=True, sa_type=POSITION, sa_column_kwargs={"autoincrement": False})
    gig_id: str = Field(foreign_key="gig.id", index=True)
    kind: str
    party: str
    actor: str
    detail: str = Field(sa_type=Text)
    words_digest: str
    created: datetime
    before: str
    hash: str

    def read(self) -> Mapping[str, str]:
        """The ids and numbers of the event."""
        return _DETAIL.validate_json(self.detail)

    def expected_hash(self) -> str:
        """The hash that follows from the other columns."""
        when = self.created.astimezone(UTC).isoformat()
        parts = [
            self.position,
            self.gig_id,
            self.kind,
            self.party,
            self.actor,
            self.detail,
            self.words_digest,
            when,
            self.before,
        ]
        return sha256(b"portal-event-1\n" + json.dumps(parts, ensure_ascii=True).encode()).hexdigest()


def salted_digest(salt: str, words: str) -> str:
    """What a row that stays holds of words that may be erased."""
    return sha256(f"{salt}\n{words}".encode()).hexdigest()


class EventWords(Row, table=True):
    """Words of one event, which may be erased: what changed, as (field, was, now)."""

    __tablename__ = "event_words"
    position: int = Field(primary_key=True, foreign_key="event.position", sa_type=POSITION)
    salt: str
    changes: str = Field(sa_type=Text)

    def digest(self) -> str:
        """What the event holds of these words. Without the salt it tells nothing of them."""
        return salted_digest(self.salt, self.changes)

    def read(self) -> tuple[tuple[str, str, str], ...]:
        """The changes."""
        return _CHANGES.validate_json(self.changes)


class ChainHead(Row, table=True):
    """Where the chain ends: the position and hash of its last event. One row, which each transaction that notes
    something changes last.
    """

    __tablename__ = "chain_head"
    __table_args__ = (CheckConstraint("one = 1", name="one"),)
    one: int = Field(default=1, primary_key=True)
    position: int = Field(sa_type=POSITION)
    hash: str


def append(  # noqa: PLR0913 - who, what, when
    db: Session,
    *,
    gig_id: str,
    kind: str,
    party: str,
    actor: str,
    now: datetime,
    detail: Mapping[str, str] | None = None,
    changes: tuple[tuple[str, str, str], ...] = (),
) -> None:
    """Note an event for the end of the chain, where the transaction ends, and for what may be told by email."""
    scopes.need(db, scopes.gig(gig_id))
    # Its place, and what follows from it, is known at the end.
    words = (
        EventWords(position=0, salt=secrets.token_hex(16), changes=_CHANGES.dump_json(changes).decode())
        if changes
        else None
    )
    event = Event(
        position=0,
        gig_id=gig_id,
        kind=kind,
        party=party,
        actor=actor,
        detail=_DETAIL.dump_json(dict(detail or {})).decode(),
        words_digest=words.digest() if words else "",
        created=now,
        before="",
        hash="",
    )
    db.info.setdefault("events", []).append((event, words))


@listens_for(Session, "before_commit")
def _write(db: Session) -> None:
    """Write what was noted to the end of the chain: last, so that nobody holds its head for longer than that."""
    noted: list[tuple[Event, EventWords | None]] = db.info.pop("events", [])
    if not noted:
        return
    head = db.exec(select(ChainHead).with_for_update()).one()
    for event, words in noted:
        event.position, event.before = head.position + 1, head.hash
        event.hash = event.expected_hash()
        head.position, head.hash = event.position, event.hash
        db.add(event)
        if words:
            words.position = event.position
            db.add(words)
        outbox.note_event(db, event.kind, event.gig_id, event.position, event.created)
    db.flush()


@listens_for(Session, "after_rollback")
def _forget(db: Session) -> None:
    """What was undone did not happen."""
    db.info.pop("events", None)


def actor_of(user_id: str | None, link_id: str | None) -> str:
    """The name under which the chain knows somebody."""
    return f"user:{user_id}" if user_id else f"link:{link_id}" if link_id else ""


@dataclass(frozen=True)
class Told:
    """An event with its words, where they were not erased."""

    event: Event
    changes: tuple[tuple[str, str, str], ...]


_WITH_WORDS = select(Event, EventWords).outerjoin(EventWords, col(EventWords.position) == col(Event.position))


_OF_GIG = _WITH_WORDS.where(
    col(Event.gig_id) == bindparam("gig_id"), col(Event.position) > bindparam("after")
).order_by(col(Event.position))
_OF_KINDS = _OF_GIG.where(col(Event.kind).in_(bindparam("kinds", expanding=True)))


def _told(found: Iterable[tuple[Event, EventWords | None]]) -> list[Told]:
    return [Told(event, words.read() if words else ()) for event, words in found]


@once
def of_gig(db: Session, gig_id: str, *kinds: str, after: int = 0) -> list[Told]:
    """The events of a gig (already allowed) after a position, or those of some kinds, the oldest first."""
    return _told(
        rows_of(db, _OF_KINDS, gig_id=gig_id, after=after, kinds=list(kinds))
        if kinds
        else rows_of(db, _OF_GIG, gig_id=gig_id, after=after)
    )


def before(db: Session, gig_id: str, position: int, most: int) -> list[Told]:
    """The last events of a gig (already allowed) before a position, or of all where it is 0, the oldest first."""
    wanted = (col(Event.gig_id) == gig_id) & (col(Event.position) < position if position else true())
    return _told(db.exec(_WITH_WORDS.where(wanted).order_by(col(Event.position).desc()).limit(most)))[::-1]


def at(db: Session, position: int) -> Told | None:
    """One event with its words."""
    event, words = db.get(Event, position), db.get(EventWords, position)
    return Told(event, words.read() if words else ()) if event else None


def everything(db: Session) -> Iterator[tuple[Event, EventWords | None]]:
    """The whole chain from its start."""
    words = {row.position: row for row in db.exec(select(EventWords))}
    for event in db.exec(select(Event).order_by(col(Event.position))):
        yield event, words.get(event.position)


def head(db: Session) -> tuple[int, str]:
    """The position and hash at which the chain is said to end."""
    row = db.exec(select(ChainHead)).one()
    return row.position, row.hash


def broken(chain: Iterable[tuple[Event, EventWords | None]]) -> list[int]:
    """Positions at which the chain does not hold: a changed event, a missing one, or words that are not the event's."""
    faults = []
    expected, before = 1, START
    for event, words in chain:
        whole = (event.position, event.before, event.hash) == (expected, before, event.expected_hash())
        if not whole or (words is not None and words.digest() != event.words_digest):
            faults.append(event.position)
        # From a broken place on, the chain is held to what stands there: one fault is told once.
        expected, before = event.position + 1, event.hash
    return faults
