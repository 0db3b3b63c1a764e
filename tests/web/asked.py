"""What is asked of the database while something is done, and a database in which much has happened."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from typing import Any

from sqlalchemy import event, insert
from sqlmodel import Session, SQLModel, select

from portal.plan.model import Plan
from portal.store import plans
from portal.store.answers import StoredAnswer
from portal.store.database.rows import new_id
from portal.store.database.session import Store
from portal.store.day.line_checks import LineCheck
from portal.store.discussions import Comment
from portal.store.gigs import Gig
from portal.store.house.house_gigs import StageGig
from portal.store.links import Link
from portal.store.plans import StoredPlan
from portal.store.record.events import ChainHead, Event
from portal.store.rigs import BandRig, RigRevision
from tests.builders import NOW

Asked = list[tuple[str, Any]]


def of_row(row: SQLModel, **changes: Any) -> dict[str, Any]:
    """The columns of a row, some of them changed."""
    return {column.name: getattr(row, column.key) for column in row.__table__.columns} | changes


class Growing:
    """Puts rows beside those of the world, as if much had happened. Nothing verifies the chain of events here."""

    def __init__(self, db: Session, links: dict[str, str]) -> None:
        self.db, self.links = db, links
        self.head = db.exec(select(ChainHead)).one()
        self.gig = db.exec(select(Gig).where(Gig.name == "Planned")).one()
        self.position = self.head.position

    def add(self, table: type[SQLModel], rows: list[dict[str, Any]]) -> None:
        self.db.execute(insert(table), rows)

    def grow(self, count: int) -> None:
        """So many gigs at one place and on one stage, revisions of the rig and of a plan, comments, answers, events."""
        self.gigs(count)
        self.revisions(count)
        self.plans(count)
        for gig_id in self.db.exec(select(Gig.id).where(Gig.id.in_(self.links))).all():
            self.said(gig_id, count)
        self.head.position = self.position
        self.db.add(self.head)

    def gigs(self, count: int) -> None:
        """Gigs at the place and on the stage of one, half of them past."""
        gig = self.gig
        ids = [new_id() for _ in range(count)]
        days = [NOW.date() + timedelta(days=number - count // 2) for number in range(count)]
        self.add(Gig, [of_row(gig, id=one, on=day, name="Another") for one, day in zip(ids, days, strict=True)])
        link = self.db.get(Link, self.links[gig.id])
        links = [of_row(link, id=new_id(), gig_id=one, token_hash=new_id()) for one in ids]
        self.add(Link, links)
        tie = self.db.exec(select(StageGig).where(StageGig.gig_id == gig.id)).one()
        self.add(StageGig, [of_row(tie, gig_id=one["gig_id"], link_id=one["id"]) for one in links])
        plan = plans.newest(self.db, gig.id)
        self.add(StoredPlan, [of_row(plan, id=new_id(), gig_id=one, number=1) for one in ids[:: max(1, count // 10)]])
        check = self.db.exec(select(LineCheck)).first()
        played = self.db.exec(select(StoredPlan.id, StoredPlan.gig_id)).all()
        self.add(
            LineCheck,
            [of_row(check, position=None, id=new_id(), gig_id=of, plan_id=one) for one, of in played if of in ids],
        )

    def revisions(self, count: int) -> None:
        for rig in self.db.exec(select(BandRig)).all():
            newest = self.db.exec(
                select(RigRevision).where(RigRevision.rig_id == rig.id).order_by(RigRevision.number.desc()).limit(1)
            ).one()
            numbers = range(newest.number + 1, newest.number + 1 + count)
            self.add(RigRevision, [of_row(newest, id=new_id(), number=number) for number in numbers])

    def plans(self, count: int) -> None:
        plan = plans.newest(self.db, self.gig.id)
        assert isinstance(plan.read(), Plan)
        numbers = range(plan.number + 1, plan.number + 1 + count)
        self.add(StoredPlan, [of_row(plan, id=new_id(), number=number) for number in numbers])

    def said(self, gig_id: str, count: int) -> None:
        comment = self.db.exec(select(Comment)).first()
        by = {"position": None, "gig_id": gig_id, "link_id": None}
        self.add(Comment, [of_row(comment, **by, id=new_id(), source=None) for _ in range(count)])
        self.add(Comment, [of_row(comment, **by, id=new_id()) for _ in range(count)])
        answer = self.db.exec(select(StoredAnswer).where(StoredAnswer.gig_id == gig_id)).first()
        if answer is not None:
            self.add(StoredAnswer, [of_row(answer, position=None, id=new_id()) for _ in range(count)])
        told = self.db.exec(select(Event).where(Event.kind == "commented")).first()
        places = range(self.position + 1, self.position + 1 + count)
        self.add(Event, [of_row(told, position=place, gig_id=gig_id, hash=new_id()) for place in places])
        self.position += count


@contextmanager
def statements(store: Store) -> Iterator[Asked]:
    """What is asked while it lasts, each with its values; where a transaction begins is not counted."""
    asked: Asked = []

    def note(_connection: Any, _cursor: Any, statement: str, values: Any, *_rest: Any) -> None:
        if not statement.startswith("BEGIN"):
            asked.append((statement, values))

    event.listen(store.engine, "before_cursor_execute", note)
    try:
        yield asked
    finally:
        event.remove(store.engine, "before_cursor_execute", note)
