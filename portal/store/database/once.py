"""Statements are built once, and what a request asks of the database more than once is asked once: a session that only
reads sees one moment.
"""

from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache, wraps
from operator import itemgetter
from typing import Any, Concatenate, ParamSpec, TypeVar, TypeVarTuple, cast, overload

from sqlalchemy import inspect
from sqlalchemy.exc import MultipleResultsFound
from sqlalchemy.orm import Mapper
from sqlmodel import Session, SQLModel
from sqlmodel.sql.expression import Select, SelectOfScalar

P = ParamSpec("P")
T = TypeVar("T")
Ts = TypeVarTuple("Ts")

_Read = Callable[[Sequence[Any]], Any]


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


@overload
def rows_of(db: Session, statement: SelectOfScalar[T], **places: object) -> list[T]: ...


@overload
def rows_of(db: Session, statement: Select[*Ts], **places: object) -> list[tuple[*Ts]]: ...


def rows_of(db: Session, statement: Any, **places: object) -> list[Any]:
    """What a statement finds with values in its places. Of a session that only reads, rows of tables are copies that no
    session knows; a session that writes gives its own.
    """
    if db.info.get("writes", True):
        return list(db.exec(statement, params=places))
    return list(map(_reading(statement), db.connection().execute(statement, places).all()))


def row_of(db: Session, statement: SelectOfScalar[T], **places: object) -> T | None:
    """The one row that a statement finds, if it finds any. Raises ``MultipleResultsFound``."""
    found = rows_of(db, statement, **places)
    if len(found) > 1:
        raise MultipleResultsFound("more than one row was found where one was asked for")
    return found[0] if found else None


@lru_cache(maxsize=512)
def _reading(statement: Select[Any] | SelectOfScalar[Any]) -> _Read:
    """What makes of the columns that a statement gives what it names."""
    parts = list(_parts(statement))
    if isinstance(statement, SelectOfScalar):
        return parts[0]
    return lambda row: tuple(part(row) for part in parts)


def _parts(statement: Select[Any] | SelectOfScalar[Any]) -> Iterator[_Read]:
    at = 0
    for one in statement.column_descriptions:
        named = one["expr"]
        if not isinstance(named, type):
            yield itemgetter(at)
            at += 1
        else:
            mapper: Mapper[SQLModel] = inspect(named)
            names = [mapper.get_property_by_column(column).key for column in mapper.columns]
            key = names.index(mapper.get_property_by_column(mapper.primary_key[0]).key)
            yield _row(mapper.class_manager.new_instance, names, slice(at, at + len(names)), key)
            at += len(names)


def _row(new: Callable[[], SQLModel], names: list[str], place: slice, key: int) -> _Read:
    def read(row: Sequence[Any]) -> SQLModel | None:
        values = row[place]
        # An outer join that found nothing has no key.
        if values[key] is None:
            return None
        made = new()
        made.__dict__.update(zip(names, values, strict=True))
        return made

    return read
