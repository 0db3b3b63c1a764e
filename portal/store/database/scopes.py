"""What a transaction may write to. It names its scopes first; each function that writes demands the one that it writes
to.

Whoever writes to the same scope takes turns: that is what "nothing has changed since it was read" rests on, and not
that a SQLite file has one writer. On a server each scope is a lock.
"""

from dataclasses import dataclass

from sqlmodel import Session


class NoScope(Exception):  # noqa: N818 - reads as what it says
    """A write to a scope that its transaction has not taken: a fault of the program."""


@dataclass(frozen=True)
class Scope:
    """Something that is written to by one transaction at a time, and which one."""

    kind: str
    one: str


MAIL = Scope("mail", "")
"""What waits to be told by email: who reads it, and what became of it."""

EVERYTHING = Scope("everything", "")
"""Holds every other: for what reaches further than it can name, as erasing does."""


def account(user_id: str) -> Scope:
    """An account: name, password, ways back, sessions."""
    return Scope("account", user_id)


def address(email: str) -> Scope:
    """An e-mail address, which one account may have."""
    return Scope("address", email.lower())


def band(band_id: str) -> Scope:
    """A band: its members, what it handed out, its rigs, and that a gig is made."""
    return Scope("band", band_id)


def gig(gig_id: str) -> Scope:
    """A gig with all that both sides put to it."""
    return Scope("gig", gig_id)


def house(house_id: str) -> Scope:
    """A house with its key and its stages."""
    return Scope("house", house_id)


def browser(token_hash: str) -> Scope:
    """One session of one browser."""
    return Scope("browser", token_hash)


def reader(who: str) -> Scope:
    """Where somebody is reached by email, and whether they want that; by who it is, or by the address's digest."""
    return Scope("reader", who)


def form(key: str, actor: str, route: str) -> Scope:
    """One form that somebody may send twice."""
    return Scope("form", f"{actor} {route} {key}")


def result(key: str) -> Scope:
    """What was worked out of some texts."""
    return Scope("result", key)


def take(db: Session, *scopes: Scope) -> None:
    """Take scopes for the rest of a transaction; read anew what rests on them. Raises ``NoScope`` where it only
    reads.
    """
    if not db.info["writes"]:
        raise NoScope("a transaction that only reads takes no scope")
    missing = set(scopes) - _held(db)
    _held(db).update(missing)
    # What is named before the transaction begins is waited for where it begins.
    if missing and db.info["lock"] and db.in_transaction():
        db.info["lock"](db.connection(), missing)


def own(db: Session, made: Scope) -> None:
    """Take the scope of what this transaction has made: nobody else knows of it. Raises ``NoScope`` for one that has
    taken none.
    """
    if not _held(db):
        raise NoScope(f"nothing was taken before {made.kind} {made.one} was made")
    take(db, made)


def need(db: Session, scope: Scope) -> None:
    """Raise ``NoScope`` unless the transaction has taken a scope."""
    if _held(db).isdisjoint((scope, EVERYTHING)):
        raise NoScope(f"{scope.kind} {scope.one} was not taken")


def _held(db: Session) -> set[Scope]:
    held: set[Scope] = db.info["scopes"]
    return held
