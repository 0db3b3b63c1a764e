"""One-time keys of forms: a form sent twice has one effect, and the second sending leads to the first one's result."""

from datetime import datetime, timedelta

from sqlmodel import Field, Session, col, delete

from portal.store.database import scopes
from portal.store.database.rows import Row

KEPT = timedelta(days=30)
"""How long a repeat is recognised: longer than anybody leaves a page open, common practice, no source."""


class FormKey(Row, table=True):
    """A form that was carried out. ``fingerprint`` is a keyed hash of everything that was sent."""

    __tablename__ = "form_key"
    key: str = Field(primary_key=True)
    actor: str = Field(primary_key=True)
    route: str = Field(primary_key=True)
    fingerprint: str
    location: str
    created: datetime = Field(index=True)


def find(db: Session, key: str, actor: str, route: str) -> FormKey | None:
    """The earlier sending of a form, if there was one."""
    return db.get(FormKey, (key, actor, route))


def keep(db: Session, form_key: FormKey) -> None:
    """Remember a form that was carried out."""
    scopes.need(db, scopes.form(form_key.key, form_key.actor, form_key.route))
    db.add(form_key)
    db.flush()


def forget_old(db: Session, now: datetime) -> None:
    """Forget the forms that nobody sends again."""
    scopes.need(db, scopes.EVERYTHING)
    db.exec(delete(FormKey).where(col(FormKey.created) < now - KEPT))
