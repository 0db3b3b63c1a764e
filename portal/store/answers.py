"""Answers to the questions, and the moments when the house sent its check page. Both only ever grow."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime

from pydantic import TypeAdapter
from sqlalchemy import BindParameter, CheckConstraint, Identity, Index, Text, bindparam
from sqlmodel import Field, Session, col, func, select
from sqlmodel.sql.expression import SelectOfScalar

from portal.plan.input.answer_kinds import NotAnAnswer, Value
from portal.plan.input.facts import Answer
from portal.plan.input.questions import QUESTIONS
from portal.store.database import scopes
from portal.store.database.once import once, rows_of
from portal.store.database.rows import POSITION, Row, new_id
from portal.store.record import events

PARTIES = ("house", "band", "assumed")


@dataclass(frozen=True)
class Before:
    """Who said it at an earlier gig in the same place, and on which day (ISO)."""

    by: str
    on: str


@dataclass(frozen=True)
class _Given:
    state: str
    value: int | str | None = None
    before: Before | None = None


_GIVEN = TypeAdapter(_Given)


ERASED = '{"state":"erased"}'
"""What stands in place of an answer that was erased."""
FREE = tuple(question.key for question in QUESTIONS.values() if question.free_words)
"""The questions that are answered in free words, which may name people."""


class StoredAnswer(Row, table=True):
    """One answer as it was given. The newest of a side counts; ``position`` is the order in which they came."""

    __tablename__ = "answer"
    __table_args__ = (
        CheckConstraint("party IN ('house', 'band', 'assumed')", name="party"),
        CheckConstraint("link_id IS NOT NULL OR user_id IS NOT NULL", name="author"),
        Index("ix_answer_gig_id_question", "gig_id", "question"),
    )
    position: int | None = Field(default=None, primary_key=True, sa_type=POSITION, sa_column_args=(Identity(),))
    id: str = Field(default_factory=new_id, unique=True)
    gig_id: str = Field(foreign_key="gig.id")
    question: str
    given: str = Field(sa_type=Text)
    party: str
    link_id: str | None = Field(default=None, foreign_key="link.id")
    user_id: str | None = Field(default=None, foreign_key="user.id")
    created: datetime

    def read(self) -> Answer | None:
        """The answer in the core's words; ``None`` where it was erased, or the question or the value is not one that
        this version knows.
        """
        given = _GIVEN.validate_json(self.given)
        question = QUESTIONS.get(self.question)
        if question is None or given.state == "erased":
            return None
        on = self.created.astimezone(UTC).date().isoformat()
        if given.state != "answered":
            return Answer(given.state, None, self.party, on)
        try:
            return Answer(given.state, question.kind.check(given.value), self.party, on)
        except NotAnAnswer:
            return None

    @property
    def erased(self) -> bool:
        """True where nothing is left of what was said."""
        return self.given == ERASED

    @property
    def before(self) -> Before | None:
        """Where it was taken over from, if it was said at an earlier gig."""
        return _GIVEN.validate_json(self.given).before


class HouseSent(Row, table=True):
    """The house pressed "send" on its check page."""

    __tablename__ = "house_sent"
    id: str = Field(default_factory=new_id, primary_key=True)
    gig_id: str = Field(foreign_key="gig.id", index=True)
    link_id: str = Field(foreign_key="link.id")
    created: datetime


def give(  # noqa: PLR0913 - one keyword per column
    db: Session,
    *,
    gig_id: str,
    question: str,
    state: str,
    value: Value | None,
    party: str,
    link_id: str | None = None,
    user_id: str | None = None,
    before: Before | None = None,
    now: datetime,
) -> StoredAnswer:
    """Add an answer to a gig (already allowed). Raises ``NotAnAnswer`` when the question's own kind refuses the
    value.
    """
    scopes.need(db, scopes.gig(gig_id))
    checked = QUESTIONS[question].kind.check(value) if state == "answered" else None
    answer = StoredAnswer(
        gig_id=gig_id,
        question=question,
        given=_GIVEN.dump_json(_Given(state, checked, before)).decode(),
        party=party,
        link_id=link_id,
        user_id=user_id,
        created=now,
    )
    db.add(answer)
    db.flush()
    side = "house" if party == "house" else "band"
    actor = events.actor_of(user_id, link_id)
    events.append(
        db,
        gig_id=gig_id,
        kind="answered",
        party=side,
        actor=actor,
        now=now,
        detail={"question": question, "answer": answer.id},
    )
    return answer


Gigs = Collection[str] | SelectOfScalar[str]
"""Some gigs by their ids: a few, or any number as what selects them."""


_BY_HOUSE = col(StoredAnswer.party) == "house"


def _newest_in(gig_ids: BindParameter[str] | SelectOfScalar[str]) -> SelectOfScalar[StoredAnswer]:
    last = (
        select(func.max(StoredAnswer.position))
        .where(col(StoredAnswer.gig_id).in_(gig_ids))
        .group_by(col(StoredAnswer.gig_id), col(StoredAnswer.question), _BY_HOUSE)
    )
    found = select(StoredAnswer).where(col(StoredAnswer.position).in_(last))
    return found.order_by(col(StoredAnswer.question), _BY_HOUSE.desc())


_NEWEST = _newest_in(bindparam("gig_ids", expanding=True))
_HISTORY = (
    select(StoredAnswer).where(col(StoredAnswer.gig_id) == bindparam("gig_id")).order_by(col(StoredAnswer.position))
)
_SENT = select(HouseSent).where(col(HouseSent.gig_id) == bindparam("gig_id")).order_by(col(HouseSent.created))


@once
def newest(db: Session, gig_id: str) -> list[StoredAnswer]:
    """The newest answer of each side to each question of a gig (already allowed), by question; the house's before the
    band's.
    """
    return rows_of(db, _NEWEST, gig_ids=[gig_id])


@once
def current(db: Session, gig_id: str) -> Mapping[str, Answer]:
    """The answers of a gig (already allowed) that count, as the core reads them.

    What the house said counts before what the band said or assumed. An answer that says something counts before "not
    known yet".
    """
    return _counting(newest(db, gig_id))


def current_of(db: Session, gig_ids: Gigs) -> dict[str, Mapping[str, Answer]]:
    """The same for each of some gigs (already allowed) that has any, by the gig's id; asked for in one go."""
    found = (
        db.exec(_newest_in(gig_ids))
        if isinstance(gig_ids, SelectOfScalar)
        else rows_of(db, _NEWEST, gig_ids=list(gig_ids))
    )
    rows: dict[str, list[StoredAnswer]] = {}
    for row in found:
        rows.setdefault(row.gig_id, []).append(row)
    return {gig_id: _counting(each) for gig_id, each in rows.items()}


def _counting(rows: Iterable[StoredAnswer]) -> dict[str, Answer]:
    counting: dict[str, Answer] = {}
    for row in rows:
        answer = row.read()
        if answer is not None and (
            row.question not in counting or (counting[row.question].state == "unknown" and answer.state != "unknown")
        ):
            counting[row.question] = answer
    return counting


@once
def history(db: Session, gig_id: str) -> list[StoredAnswer]:
    """Every answer of a gig (already allowed), the oldest first."""
    return rows_of(db, _HISTORY, gig_id=gig_id)


def send(db: Session, gig_id: str, link_id: str, now: datetime) -> None:
    """Note that the house sent its check page."""
    scopes.need(db, scopes.gig(gig_id))
    db.add(HouseSent(gig_id=gig_id, link_id=link_id, created=now))
    db.flush()
    events.append(db, gig_id=gig_id, kind="answers-sent", party="house", actor=events.actor_of(None, link_id), now=now)


@once
def sent(db: Session, gig_id: str) -> list[HouseSent]:
    """When the house sent its check page for a gig (already allowed), the oldest first."""
    return rows_of(db, _SENT, gig_id=gig_id)
