"""Ways in that work once: into a band for somebody new, or back into an account whose password is lost. Only hashes are
kept.
"""

from datetime import datetime

from sqlalchemy import CheckConstraint
from sqlmodel import Field, Session, col, delete, select, update

from portal.store.database import scopes
from portal.store.database.rows import Row, new_id


class Invitation(Row, table=True):
    """A way in that the owner handed out. ``user_id``: whose password it sets; without it, it makes a member with
    ``role``.
    """

    __table_args__ = (
        CheckConstraint("role IN ('editor', 'member', '')", name="role"),
        CheckConstraint("(role = '') = (user_id IS NOT NULL)", name="purpose"),
    )
    id: str = Field(default_factory=new_id, primary_key=True)
    band_id: str = Field(foreign_key="band.id", index=True)
    role: str
    user_id: str | None = Field(default=None, foreign_key="user.id")
    token_hash: str = Field(unique=True)
    expires: datetime
    ended_at: datetime | None = None
    created_by: str = Field(foreign_key="user.id")
    created: datetime

    def live(self, now: datetime) -> bool:
        """True until it is used, taken back or too old."""
        return self.ended_at is None and now < self.expires


class RecoveryCode(Row, table=True):
    """One code of somebody's list, until it is used."""

    __tablename__ = "recovery_code"
    user_id: str = Field(foreign_key="user.id", primary_key=True)
    code_hash: str = Field(primary_key=True)
    created: datetime


def invite(
    db: Session, *, band_id: str, role: str, token_hash: str, expires: datetime, created_by: str, now: datetime
) -> Invitation:
    """A way into the band for one new member."""
    scopes.need(db, scopes.band(band_id))
    return _add(
        db,
        Invitation(
            band_id=band_id, role=role, token_hash=token_hash, expires=expires, created_by=created_by, created=now
        ),
    )


def way_back(
    db: Session, *, band_id: str, user_id: str, token_hash: str, expires: datetime, created_by: str, now: datetime
) -> Invitation:
    """A way to a new password for a member of the band; earlier ones end."""
    scopes.need(db, scopes.band(band_id))
    db.exec(
        update(Invitation)
        .where(col(Invitation.user_id) == user_id, col(Invitation.ended_at).is_(None))
        .values(ended_at=now)
    )
    made = Invitation(
        band_id=band_id,
        role="",
        user_id=user_id,
        token_hash=token_hash,
        expires=expires,
        created_by=created_by,
        created=now,
    )
    return _add(db, made)


def _add(db: Session, made: Invitation) -> Invitation:
    db.add(made)
    db.flush()
    return made


def get(db: Session, invitation_id: str) -> Invitation | None:
    """An invitation, live or not."""
    return db.get(Invitation, invitation_id)


def by_token_hash(db: Session, token_hash: str) -> Invitation | None:
    """The invitation of a token, live or not."""
    return db.exec(select(Invitation).where(col(Invitation.token_hash) == token_hash)).one_or_none()


def of_band(db: Session, band_id: str, now: datetime) -> list[Invitation]:
    """What the band has handed out and nobody has used yet, the newest first."""
    found = db.exec(
        select(Invitation)
        .where(col(Invitation.band_id) == band_id)
        .order_by(col(Invitation.created).desc(), col(Invitation.id))
    )
    return [one for one in found if one.live(now)]


def end(db: Session, band_id: str, invitation_id: str, now: datetime) -> bool:
    """Use an invitation up, or take it back; false where it is absent, another band's, or ended before."""
    scopes.need(db, scopes.band(band_id))
    mine = (col(Invitation.band_id) == band_id, col(Invitation.id) == invitation_id, col(Invitation.ended_at).is_(None))
    return db.exec(update(Invitation).where(*mine).values(ended_at=now)).rowcount == 1


def renew_codes(db: Session, user_id: str, hashes: tuple[str, ...], now: datetime) -> None:
    """Replace somebody's list of recovery codes."""
    scopes.need(db, scopes.account(user_id))
    db.exec(delete(RecoveryCode).where(col(RecoveryCode.user_id) == user_id))
    db.add_all([RecoveryCode(user_id=user_id, code_hash=one, created=now) for one in hashes])
    db.flush()


def has_code(db: Session, user_id: str, code_hash: str) -> bool:
    """True where a recovery code is one of the person's that was not used before."""
    return db.get(RecoveryCode, (user_id, code_hash)) is not None


def use_code(db: Session, user_id: str, code_hash: str) -> bool:
    """Use a recovery code up; false where it is none of the person's, or was used before."""
    scopes.need(db, scopes.account(user_id))
    mine = (col(RecoveryCode.user_id) == user_id, col(RecoveryCode.code_hash) == code_hash)
    return db.exec(delete(RecoveryCode).where(*mine)).rowcount == 1


def codes_left(db: Session, user_id: str) -> int:
    """How many codes somebody still has."""
    return len(db.exec(select(RecoveryCode.code_hash).where(col(RecoveryCode.user_id) == user_id)).all())
