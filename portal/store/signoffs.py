"""Signatures of both parties under the exact content of a plan. A withdrawal is a row of its own.

The points that were ticked may name people: their words lie in ``ticked_words``, from which they can be erased, bound
by a salted digest.
"""

import json
import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256

from pydantic import TypeAdapter
from sqlalchemy import CheckConstraint, ColumnElement, Identity, Text, UniqueConstraint, bindparam
from sqlmodel import Field, Session, col, delete, select

from portal.store.database import scopes
from portal.store.database.once import once, rows_of
from portal.store.database.rows import POSITION, Row, new_id
from portal.store.gigs import Gig
from portal.store.plans import StoredPlan
from portal.store.record import events

ENGLISH = "en"
"""The language of a signature that names none."""

_TICKED = TypeAdapter(tuple[str, ...])


class Signature(Row, table=True):
    """One signature, or its withdrawal. ``turn`` counts the withdrawals before it, so that signing twice is one row."""

    __table_args__ = (
        UniqueConstraint("gig_id", "party", "content_hash", "kind", "turn"),
        CheckConstraint("party IN ('house', 'band')", name="party"),
        CheckConstraint("kind IN ('signed', 'withdrawn')", name="kind"),
        CheckConstraint("link_id IS NOT NULL OR user_id IS NOT NULL", name="author"),
        CheckConstraint("turn >= 0", name="turn"),
    )
    position: int | None = Field(default=None, primary_key=True, sa_type=POSITION, sa_column_args=(Identity(),))
    id: str = Field(default_factory=new_id, unique=True)
    gig_id: str = Field(foreign_key="gig.id", index=True)
    plan_id: str = Field(foreign_key="plan.id")
    content_hash: str
    party: str
    kind: str
    turn: int
    signer_name: str
    signer_role: str
    statement_version: str
    """Which words were signed: the statement's version, and behind a blank the language, unless it was English."""
    ticked: str = Field(sa_type=Text)
    """The digest of what was ticked; nothing, and the words of older rows, as a list in JSON."""
    link_id: str | None = Field(default=None, foreign_key="link.id")
    user_id: str | None = Field(default=None, foreign_key="user.id")
    created: datetime

    def digest(self) -> str:
        """SHA-256 of what was signed and how. The signer's name is not in it, so that it can be erased."""
        when = self.created.astimezone(UTC).isoformat()
        parts = [
            self.id,
            self.plan_id,
            self.content_hash,
            self.party,
            self.kind,
            self.turn,
            self.statement_version,
            self.ticked,
            when,
        ]
        return sha256(b"portal-signature-1\n" + json.dumps(parts).encode()).hexdigest()

    @property
    def version(self) -> str:
        """The version of the statement that was signed."""
        return self.statement_version.partition(" ")[0]

    @property
    def language(self) -> str:
        """The language in which the statement and the plan were read that were signed."""
        return self.statement_version.partition(" ")[2] or ENGLISH


class TickedWords(Row, table=True):
    """The texts of the asks that were ticked for one signature, which may be erased."""

    __tablename__ = "ticked_words"
    signature_id: str = Field(primary_key=True, foreign_key="signature.id")
    salt: str
    words: str = Field(sa_type=Text)

    def digest(self) -> str:
        """What the signature holds of these words. Without the salt it tells nothing of them."""
        return events.salted_digest(self.salt, self.words)


@dataclass(frozen=True)
class Signer:
    """Who signs: as whom, by which account or link, and in which language it was read."""

    party: str
    name: str
    role: str
    link_id: str | None = None
    user_id: str | None = None
    language: str = ENGLISH


_HISTORY = select(Signature).where(col(Signature.gig_id) == bindparam("gig_id")).order_by(col(Signature.position))


@once
def history(db: Session, gig_id: str) -> list[Signature]:
    """Every signature and withdrawal of a gig (already allowed), the oldest first."""
    return rows_of(db, _HISTORY, gig_id=gig_id)


def read_ticked(db: Session, row: Signature) -> tuple[str, ...] | None:
    """The texts of the asks that were ticked for a signature (already allowed); ``None`` where they were erased."""
    if row.ticked.startswith("["):
        return _TICKED.validate_json(row.ticked)
    kept = db.get(TickedWords, row.id)
    return _TICKED.validate_json(kept.words) if kept else None


def erase_ticked(db: Session, gig_id: str, whose: ColumnElement[bool]) -> int:
    """Erase what was ticked for some signatures of a gig (already allowed); for how many there was anything."""
    scopes.need(db, scopes.gig(gig_id))
    mine = select(Signature.id).where(col(Signature.gig_id) == gig_id, whose)
    return db.exec(delete(TickedWords).where(col(TickedWords.signature_id).in_(mine))).rowcount


def signed_since(db: Session, since: datetime) -> list[str]:
    """The gigs in which somebody signed or withdrew since a moment, not cancelled, by id."""
    return list(
        db.exec(
            select(Signature.gig_id)
            .join(Gig, col(Gig.id) == col(Signature.gig_id))
            .where(col(Signature.created) >= since, col(Gig.cancelled_at).is_(None))
            .distinct()
            .order_by(col(Signature.gig_id))
        )
    )


def standing(db: Session, gig_id: str, party: str) -> Signature | None:
    """The newest signature of a party that was not withdrawn."""
    withdrawn: set[tuple[str, int]] = set()
    for row in reversed(history(db, gig_id)):
        if row.party != party:
            continue
        if row.kind == "withdrawn":
            withdrawn.add((row.content_hash, row.turn))
        elif (row.content_hash, row.turn) not in withdrawn:
            return row
    return None


def under(rows: Iterable[Signature], content_hash: str) -> dict[str, Signature]:
    """The signatures that stand under one content, by party; ``rows`` is the history of its gig."""
    last = {row.party: row for row in rows if row.content_hash == content_hash}
    return {party: row for party, row in last.items() if row.kind == "signed"}


def sign(
    db: Session, plan: StoredPlan, signer: Signer, *, statement_version: str, ticked: tuple[str, ...], now: datetime
) -> Signature:
    """Sign a plan (already allowed). Signing the same content again returns the first signature."""
    scopes.need(db, scopes.gig(plan.gig_id))
    rows = [
        row for row in history(db, plan.gig_id) if row.party == signer.party and row.content_hash == plan.content_hash
    ]
    if rows and rows[-1].kind == "signed":
        return rows[-1]
    signed = statement_version if signer.language == ENGLISH else f"{statement_version} {signer.language}"
    return _add(db, plan, signer, "signed", len(rows) // 2, signed, ticked, now)


def withdraw(db: Session, plan: StoredPlan, signer: Signer, *, now: datetime) -> Signature | None:
    """Withdraw the party's signature under a plan (already allowed); ``None`` where none stands."""
    scopes.need(db, scopes.gig(plan.gig_id))
    rows = [
        row for row in history(db, plan.gig_id) if row.party == signer.party and row.content_hash == plan.content_hash
    ]
    if not rows or rows[-1].kind == "withdrawn":
        return None
    return _add(db, plan, signer, "withdrawn", rows[-1].turn, rows[-1].statement_version, (), now)


def _add(  # noqa: PLR0913, PLR0917 - the columns of one row
    db: Session,
    plan: StoredPlan,
    signer: Signer,
    kind: str,
    turn: int,
    statement_version: str,
    ticked: tuple[str, ...],
    now: datetime,
) -> Signature:
    said = _TICKED.dump_json(ticked).decode()
    words = TickedWords(signature_id=new_id(), salt=secrets.token_hex(16), words=said) if ticked else None
    row = Signature(
        id=words.signature_id if words else new_id(),
        gig_id=plan.gig_id,
        plan_id=plan.id,
        content_hash=plan.content_hash,
        party=signer.party,
        kind=kind,
        turn=turn,
        signer_name=signer.name,
        signer_role=signer.role,
        statement_version=statement_version,
        ticked=words.digest() if words else said,
        link_id=signer.link_id,
        user_id=signer.user_id,
        created=now,
    )
    db.add(row)
    db.flush()
    if words:
        db.add(words)
    events.append(
        db,
        gig_id=plan.gig_id,
        kind=kind,
        party=signer.party,
        actor=events.actor_of(signer.user_id, signer.link_id),
        now=now,
        detail={
            "plan": str(plan.number),
            "content_hash": plan.content_hash,
            "signature": row.id,
            "digest": row.digest(),
        },
    )
    return row
