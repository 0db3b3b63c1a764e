"""Plans as they were computed, and the papers made of them. Neither is ever changed, deleted or made again."""

import json
from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from typing import NamedTuple

from pydantic import TypeAdapter
from sqlalchemy import CheckConstraint, Text, UniqueConstraint, bindparam
from sqlmodel import Field, Session, col, func, select

from portal.plan.input.facts import Answer, Lock
from portal.plan.input.line_up import AS_THE_RIG, LineUp
from portal.plan.model import NoPlan, Plan
from portal.plan.signed.serialization import Heading, renamed
from portal.store.database import scopes
from portal.store.database.once import once, row_of, rows_of
from portal.store.database.readings import read_once
from portal.store.database.rows import Row, new_id
from portal.store.day import line_ups
from portal.store.record import events

_RESULT = TypeAdapter[Plan | NoPlan](Plan | NoPlan)
_ANSWERS = TypeAdapter(dict[str, Answer])
_LOCKS = TypeAdapter(tuple[Lock, ...])
_HEADING = TypeAdapter(Heading)

_read_answers = read_once(_ANSWERS.validate_json)
_read_locks = read_once(_LOCKS.validate_json)
_read_heading = read_once(_HEADING.validate_json)


class StoredPlan(Row, table=True):
    """A plan with all that it was computed from. ``number`` counts from 1 in each gig, for show."""

    __tablename__ = "plan"
    __table_args__ = (UniqueConstraint("gig_id", "number"), CheckConstraint("number >= 1", name="number"))
    id: str = Field(default_factory=new_id, primary_key=True)
    gig_id: str = Field(foreign_key="gig.id")
    number: int
    rig_revision_id: str = Field(foreign_key="rig_revision.id")
    answers: str = Field(sa_type=Text)
    locks: str = Field(sa_type=Text)
    line_up: str = Field(default="", sa_type=Text, sa_column_kwargs={"server_default": ""})
    engine: str
    heading: str = Field(sa_type=Text)
    document: str = Field(sa_type=Text)
    content_hash: str = Field(index=True)
    created: datetime

    @property
    def erased(self) -> bool:
        """True where only the hashes are left, because the band was erased."""
        return not self.document and not self.heading

    def document_hash(self) -> str:
        """SHA-256 of the plan's own bytes, with the heading above them."""
        return document_hash(self.heading, self.document)

    def read(self) -> Plan | NoPlan:
        """The result in the core's words."""
        return read_outcome(self.document)

    def read_heading(self) -> Heading:
        """The gig's name, date and place as they stood above the plan; ``content_hash`` covers them too."""
        return _read_heading(self.heading)

    def read_answers(self) -> dict[str, Answer]:
        """The answers that it was computed from."""
        return _read_answers(self.answers)

    def read_locks(self) -> tuple[Lock, ...]:
        """The locks that it was computed from."""
        return _read_locks(self.locks)

    def read_line_up(self) -> LineUp:
        """In what the gig differed from its rig."""
        return line_ups.read(self.line_up)


class Paper(Row, table=True):
    """A finished document as bytes, for one plan and one paper size. ``content`` is empty once it was erased with the
    names on it.
    """

    __table_args__ = (UniqueConstraint("plan_id", "document", "paper_size"),)
    id: str = Field(default_factory=new_id, primary_key=True)
    plan_id: str = Field(foreign_key="plan.id")
    document: str
    paper_size: str
    content: bytes
    sha256: str = Field(index=True)
    created: datetime


@dataclass(frozen=True)
class Basis:
    """What a plan is computed from."""

    rig_revision_id: str
    answers: dict[str, Answer]
    locks: tuple[Lock, ...]
    line_up: LineUp = AS_THE_RIG


@read_once
def read_outcome(document: str) -> Plan | NoPlan:
    """An outcome from its JSON, of whatever schema."""
    return _RESULT.validate_python(renamed(json.loads(document)))


def document_hash(heading: str, document: str) -> str:
    """SHA-256 of a plan's bytes, with the heading above them."""
    return sha256(f"{heading}\n{document}".encode()).hexdigest()


def texts_of(basis: Basis) -> tuple[str, str]:
    """Answers and locks as a plan records them."""
    return _ANSWERS.dump_json(basis.answers).decode(), _LOCKS.dump_json(basis.locks).decode()


def keep(  # noqa: PLR0913 - one keyword per column
    db: Session,
    *,
    gig_id: str,
    basis: Basis,
    engine: str,
    heading: Heading,
    document: str,
    content_hash: str,
    now: datetime,
) -> StoredPlan:
    """Store a computed plan of a gig (already allowed).

    ``document`` is its canonical JSON; ``content_hash`` covers its material part and the heading.
    """
    scopes.need(db, scopes.gig(gig_id))
    last = db.exec(select(func.max(StoredPlan.number)).where(col(StoredPlan.gig_id) == gig_id)).one()
    given, locks = texts_of(basis)
    plan = StoredPlan(
        gig_id=gig_id,
        number=(last or 0) + 1,
        rig_revision_id=basis.rig_revision_id,
        answers=given,
        locks=locks,
        line_up=line_ups.write(basis.line_up),
        engine=engine,
        heading=_HEADING.dump_json(heading).decode(),
        document=document,
        content_hash=content_hash,
        created=now,
    )
    db.add(plan)
    db.flush()
    told = {"plan": str(plan.number), "content_hash": content_hash, "document": plan.document_hash()}
    events.append(db, gig_id=gig_id, kind="planned", party="", actor="", now=now, detail=told)
    return plan


_OF_GIG = select(StoredPlan).where(col(StoredPlan.gig_id) == bindparam("gig_id"))
_NEWEST = _OF_GIG.order_by(col(StoredPlan.number).desc()).limit(1)
_NEWEST_OF = _NEWEST.where(col(StoredPlan.content_hash).in_(bindparam("contents", expanding=True)))
_BY_NUMBER = _OF_GIG.where(col(StoredPlan.number) == bindparam("number"))
_BY_ID = _OF_GIG.where(col(StoredPlan.id) == bindparam("plan_id"))
_NUMBER_OF = select(StoredPlan.number).where(col(StoredPlan.id) == bindparam("plan_id"))
_PAPER = select(Paper).where(
    col(Paper.plan_id) == bindparam("plan_id"),
    col(Paper.document) == bindparam("document"),
    col(Paper.paper_size) == bindparam("paper_size"),
)


@once
def newest(db: Session, gig_id: str) -> StoredPlan | None:
    """The newest plan of a gig (already allowed)."""
    return row_of(db, _NEWEST, gig_id=gig_id)


def newest_of(db: Session, gig_id: str, contents: Collection[str]) -> StoredPlan | None:
    """The newest plan of a gig (already allowed) that holds one of some contents, by their hashes."""
    return row_of(db, _NEWEST_OF, gig_id=gig_id, contents=list(contents)) if contents else None


@once
def by_number(db: Session, gig_id: str, number: int) -> StoredPlan | None:
    """A plan of a gig (already allowed) by its number."""
    return row_of(db, _BY_NUMBER, gig_id=gig_id, number=number)


@once
def get(db: Session, gig_id: str, plan_id: str) -> StoredPlan | None:
    """A plan of a gig (already allowed)."""
    return row_of(db, _BY_ID, gig_id=gig_id, plan_id=plan_id)


@once
def number_of(db: Session, plan_id: str) -> int:
    """The number of a plan (already allowed)."""
    return rows_of(db, _NUMBER_OF, plan_id=plan_id)[0]


class Revision(NamedTuple):
    """A stored plan without its document."""

    id: str
    number: int
    content_hash: str
    created: datetime


A_PAGE = 50
"""Revisions on one page."""

MOST = 2**31 - 1
"""No plan has a higher number."""

_REVISIONS = (
    select(StoredPlan.id, StoredPlan.number, StoredPlan.content_hash, StoredPlan.created)
    .where(col(StoredPlan.gig_id) == bindparam("gig_id"), col(StoredPlan.number) <= bindparam("last"))
    .order_by(col(StoredPlan.number).desc())
    .limit(A_PAGE + 1)
)
_PAPERS = (
    select(Paper).where(col(Paper.plan_id) == bindparam("plan_id")).order_by(col(Paper.created), col(Paper.document))
)


def revisions(db: Session, gig_id: str, last: int = MOST) -> list[Revision]:
    """The plans of a gig (already allowed) up to a number, the newest first: a page of them, and one more where there
    are more.
    """
    return [Revision(*row) for row in rows_of(db, _REVISIONS, gig_id=gig_id, last=last)]


def keep_paper(db: Session, *, plan_id: str, document: str, paper_size: str, content: bytes, now: datetime) -> Paper:
    """Store a finished document of a plan (already allowed)."""
    gig_id = db.exec(select(StoredPlan.gig_id).where(col(StoredPlan.id) == plan_id)).one()
    scopes.need(db, scopes.gig(gig_id))
    paper = Paper(
        plan_id=plan_id,
        document=document,
        paper_size=paper_size,
        content=content,
        sha256=sha256(content).hexdigest(),
        created=now,
    )
    db.add(paper)
    db.flush()
    told = {"paper": paper.id, "document": document, "sha256": paper.sha256}
    events.append(db, gig_id=gig_id, kind="paper-kept", party="", actor="", now=now, detail=told)
    return paper


@once
def paper(db: Session, plan_id: str, document: str, paper_size: str) -> Paper | None:
    """The stored document of a plan (already allowed), if it was made."""
    return row_of(db, _PAPER, plan_id=plan_id, document=document, paper_size=paper_size)


def kept_paper(db: Session, gig_id: str, paper_id: str) -> tuple[StoredPlan, Paper] | None:
    """A stored document of a gig (already allowed) with its plan."""
    found = select(StoredPlan, Paper).join(Paper, col(Paper.plan_id) == col(StoredPlan.id))
    row = db.exec(found.where(col(StoredPlan.gig_id) == gig_id, col(Paper.id) == paper_id)).one_or_none()
    return (row[0], row[1]) if row else None


@once
def papers_of(db: Session, plan_id: str) -> list[Paper]:
    """Every stored document of a plan (already allowed), the oldest first."""
    return rows_of(db, _PAPERS, plan_id=plan_id)


def with_hash(db: Session, start: str) -> list[StoredPlan]:
    """Every plan of every gig whose content hash begins with these hexadecimal digits, the newest of each gig first.
    The caller decides who may learn what of them.
    """
    # Letters after "f" end the range: the index is used, which a LIKE would not.
    return list(
        db.exec(
            select(StoredPlan)
            .where(
                col(StoredPlan.content_hash) >= start,
                col(StoredPlan.content_hash) < start + "g",
                col(StoredPlan.document) != "",
            )
            .order_by(col(StoredPlan.gig_id), col(StoredPlan.number).desc())
        )
    )


def of_content(db: Session, gig_id: str, content_hash: str) -> StoredPlan | None:
    """The newest plan of a gig (already allowed) that holds this content."""
    return db.exec(
        select(StoredPlan)
        .where(col(StoredPlan.gig_id) == gig_id, col(StoredPlan.content_hash) == content_hash)
        .order_by(col(StoredPlan.number).desc())
        .limit(1)
    ).one_or_none()


def with_bytes(db: Session, sha256_hex: str) -> list[tuple[StoredPlan, str]]:
    """Every plan whose kept paper has these bytes, with what the paper is kept as. The caller decides who may learn
    what of them.
    """
    return list(
        db.exec(
            select(StoredPlan, Paper.document)
            .join(Paper, col(Paper.plan_id) == col(StoredPlan.id))
            .where(col(Paper.sha256) == sha256_hex)
        )
    )
