"""What the crew found at line check: one row each time somebody said something of a line. Nothing is overwritten, so
that two phones that were both offline lose nothing.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from pydantic import TypeAdapter
from sqlalchemy import CheckConstraint, Identity, Text, bindparam
from sqlmodel import Field, Session, col, func, select

from portal.store.database import scopes
from portal.store.database.once import rows_of
from portal.store.database.rows import POSITION, Row, new_id
from portal.store.record import events

MOST = 5_000
"""Rows of one gig: 128 lines found out about some forty times. A link that ended up in wrong hands fills no more than
that.
"""

_SOURCES = TypeAdapter(tuple[str, ...])


class LineCheck(Row, table=True):
    """One finding. ``sources`` are the keys that the line carries, so that it stays with the line when numbers move;
    ``channel`` is the desk channel at that time. ``said_at`` is when it was said by the phone's clock, ``created`` when
    it arrived.
    """

    __tablename__ = "line_check"
    __table_args__ = (
        CheckConstraint("state IN ('checked', 'problem')", name="state"),
        CheckConstraint("party IN ('house', 'band')", name="party"),
        CheckConstraint("link_id IS NOT NULL OR user_id IS NOT NULL", name="author"),
    )
    position: int | None = Field(default=None, primary_key=True, sa_type=POSITION, sa_column_args=(Identity(),))
    id: str = Field(default_factory=new_id, unique=True)
    gig_id: str = Field(foreign_key="gig.id", index=True)
    plan_id: str = Field(foreign_key="plan.id")
    sources: str = Field(sa_type=Text)
    channel: int
    state: str
    gain: str
    note: str = Field(sa_type=Text)
    party: str
    who: str
    link_id: str | None = Field(default=None, foreign_key="link.id")
    user_id: str | None = Field(default=None, foreign_key="user.id")
    said_at: datetime
    created: datetime


@dataclass(frozen=True)
class Finding:
    """What somebody found on one line."""

    sources: tuple[str, ...]
    channel: int
    state: str
    gain: str
    note: str
    said_at: datetime


@dataclass(frozen=True)
class Finder:
    """Who found it: for which side, under which name, by which link or account."""

    party: str
    who: str
    link_id: str | None = None
    user_id: str | None = None


def write_sources(sources: tuple[str, ...]) -> str:
    """The keys of a line's sources as they are stored and compared."""
    return _SOURCES.dump_json(sources).decode()


def add(db: Session, *, gig_id: str, plan_id: str, finding: Finding, finder: Finder, now: datetime) -> LineCheck | None:
    """Keep a finding for a gig (already allowed); ``None`` where the gig holds as many as it may."""
    scopes.need(db, scopes.gig(gig_id))
    if db.exec(select(func.count()).select_from(LineCheck).where(col(LineCheck.gig_id) == gig_id)).one() >= MOST:
        return None
    row = LineCheck(
        gig_id=gig_id,
        plan_id=plan_id,
        sources=write_sources(finding.sources),
        channel=finding.channel,
        state=finding.state,
        gain=finding.gain,
        note=finding.note,
        party=finder.party,
        who=finder.who,
        link_id=finder.link_id,
        user_id=finder.user_id,
        # A phone whose clock is ahead has not seen the future.
        said_at=min(finding.said_at, now),
        created=now,
    )
    db.add(row)
    db.flush()
    return row


_OF_GIG = (
    select(LineCheck)
    .where(col(LineCheck.gig_id) == bindparam("gig_id"))
    .order_by(col(LineCheck.said_at), col(LineCheck.position))
)
_MORE = (col(LineCheck.state) == "problem") | (col(LineCheck.gain) != "") | (col(LineCheck.note) != "")
_TOLD = (
    select(LineCheck.gig_id).where(col(LineCheck.gig_id).in_(bindparam("gig_ids", expanding=True)), _MORE).distinct()
)


def of_gig(db: Session, gig_id: str) -> list[LineCheck]:
    """Every finding of a gig (already allowed), in the order in which they were said, then in which they arrived."""
    return rows_of(db, _OF_GIG, gig_id=gig_id)


def told_something(db: Session, gig_ids: Iterable[str]) -> frozenset[str]:
    """Those of some gigs (already allowed) in which a line check found more than that a line is there."""
    return frozenset(rows_of(db, _TOLD, gig_ids=list(gig_ids)))


def by_line(rows: Iterable[LineCheck]) -> Mapping[str, tuple[LineCheck, ...]]:
    """Findings by what ``write_sources`` made of their line."""
    found: dict[str, list[LineCheck]] = {}
    for row in rows:
        found.setdefault(row.sources, []).append(row)
    return {key: tuple(each) for key, each in found.items()}


def standing(rows: Iterable[LineCheck]) -> tuple[LineCheck, ...]:
    """What stands of one line: the last word of each person, the newest last. Two people who found different things are
    both shown.
    """
    last: dict[tuple[str, str], LineCheck] = {}
    for row in rows:
        last.pop((row.party, row.who), None)
        last[row.party, row.who] = row
    return tuple(last.values())


def read_sources(text: str) -> tuple[str, ...]:
    """The keys that ``write_sources`` wrote."""
    return _SOURCES.validate_json(text)


SETTLED = ("finding-taken", "finding-dismissed")
"""Kinds of the events by which the band settles afterwards what was found on a line: into the rig, or not."""


def settle(db: Session, *, gig_id: str, sources: str, seen: int, taken: str, actor: str, now: datetime) -> None:
    """The band has decided about what was found on a line (already allowed). ``seen`` is the position of the last
    finding that it saw, 0 for none; ``taken`` the id of the rig's revision that has it since, empty where it was
    dismissed.
    """
    scopes.need(db, scopes.gig(gig_id))
    kind = SETTLED[0] if taken else SETTLED[1]
    detail = {"sources": sources, "seen": str(seen), **({"rig_revision": taken} if taken else {})}
    events.append(db, gig_id=gig_id, kind=kind, party="band", actor=actor, now=now, detail=detail)


def settled(db: Session, gig_id: str) -> Mapping[str, int]:
    """Lines of a gig (already allowed) that the band has decided about, with the position of the last finding that it
    saw.
    """
    details = [told.event.read() for told in events.of_gig(db, gig_id) if told.event.kind in SETTLED]
    return {detail["sources"]: int(detail["seen"]) for detail in details}
