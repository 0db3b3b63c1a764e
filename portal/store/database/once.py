"""What a request asks of the database more than once is asked once: a session that only reads sees one moment."""

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar, cast

from sqlmodel import Session

P = ParamSpec("P")
T = TypeVar("T")


def once(read: Callable[Concatenate[Session, P], T]) -> Callable[Concatenate[Session, P], T]:
    """A reader of stored things that a session which only reads calls once for the same things; whoever asks again gets
    what was found, and must not change it. A session that writes reads anew each time.
    """

    @wraps(read)
    def found(db: Session, *args: P.args, **kwargs: P.kwargs) -> T:
        if db.info.get("writes", True):
            return read(db, *args, **kwargs)
        known: dict[object, T] = db.info.setdefault("known", {})
        key = (read, *map(_name, args), *((name, _name(value)) for name, value in sorted(kwargs.items())))
        if key not in known:
            known[key] = read(db, *args, **kwargs)
        return known[key]

    return cast("Callable[Concatenate[Session, P], T]", found)


def _name(value: object) -> object:
    """What tells a stored thing from others: a row is the one of its id."""
    return getattr(value, "id", value)
