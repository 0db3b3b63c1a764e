"""What every table shares: names of constraints, ids, and the one class that tables derive from."""

from typing import ClassVar
from uuid import uuid4

from sqlalchemy import BigInteger, Integer, MetaData
from sqlmodel import SQLModel

# Named constraints can be changed later; an unnamed one on SQLite cannot.
NAMING = {
    "pk": "pk_%(table_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
}

POSITION = BigInteger().with_variant(Integer(), "sqlite")
"""The type of a place in an order that grows for ever."""


class Row(SQLModel):
    """Base of every table. Rows do not check their values: forms and core words do, and CHECKs where it matters."""

    metadata: ClassVar[MetaData] = MetaData(naming_convention=NAMING)


def new_id() -> str:
    """A random UUID (version 4) as text, the id of every row."""
    return str(uuid4())
