"""The names of one night are taken off the plans of a gig that is past its time: who played for whom, and who was a
guest.

They stand in what was hashed and signed. The signed hash stays, in the plan's row, under the signatures and in the
chain; the text that it was made of is told apart from the one that is left by an event with the new text's hash.
"""

import json
import re
from collections.abc import Callable, Iterator
from datetime import datetime

from sqlmodel import Session, col, select, update

from portal.plan.input.line_up import MARK, LineUp, nameless
from portal.plan.signed.serialization import Json, canonical
from portal.store import worked_out
from portal.store.database import scopes
from portal.store.day import line_ups, stages
from portal.store.day.stages import GigStage
from portal.store.gigs import Gig
from portal.store.plans import StoredPlan, document_hash
from portal.store.record import events

KIND = "names-erased"
"""The kind of the event that tells the hash of a plan's text without the names."""

WORDS = frozenset(
    {"label", "strip", "player", "note", "text", "sentence", "value", "feeds", "what", "why", "parameters"}
)
"""The fields of a plan that hold words of people; all others hold keys, numbers and the engine's own terms."""

KEYS = frozenset({"key", "of", "choice", "by", "question"})
"""Fields of what is said that hold a key, among the words of people."""


def named(db: Session, gig_ids: list[str]) -> set[str]:
    """The gigs (already allowed) of which a plan still names somebody of that night only."""
    mine = select(StoredPlan.gig_id, StoredPlan.line_up).where(
        col(StoredPlan.gig_id).in_(gig_ids), col(StoredPlan.line_up) != ""
    )
    return {gig_id for gig_id, text in db.exec(mine) if nameless(was := line_ups.read(text)) != was}


def take_off(db: Session, gig: Gig, line_up: LineUp, now: datetime) -> int:
    """Take the names off the plans of a gig (already allowed), and those of its own line-up too off its stage; how many
    texts there were.
    """
    scopes.need(db, scopes.gig(gig.id))
    count = 0
    said = [line_up]
    for plan in db.exec(
        select(StoredPlan).where(col(StoredPlan.gig_id) == gig.id, col(StoredPlan.line_up) != "")
    ).all():
        was = plan.read_line_up()
        said.append(was)
        if (bare := nameless(was)) != was:
            _off_plan(db, plan, was, bare, now)
            count += 1
    count += sum(_off_stage(db, gig.id, one) for one in said)
    if count:
        worked_out.forget_of_gig(db, gig.id)
    return count


def _off_plan(db: Session, plan: StoredPlan, was: LineUp, bare: LineUp, now: datetime) -> None:
    document = without_names(plan.document, was, bare)
    told = {"plan": str(plan.number), "document": document_hash(plan.heading, document)}
    events.append(db, gig_id=plan.gig_id, kind=KIND, party="", actor="", now=now, detail=told)
    mine = col(StoredPlan.id) == plan.id
    db.exec(update(StoredPlan).where(mine).values(document=document, line_up=line_ups.write(bare)))


def without_names(document: str, was: LineUp, bare: LineUp) -> str:
    """The JSON of a plan with what stays in place of each name of a night."""
    return canonical(_without(json.loads(document), _renamed(was, bare))).decode()


def _off_stage(db: Session, gig_id: str, was: LineUp) -> int:
    row = stages.get(db, gig_id)
    if row is None:
        return 0
    drawn = _without(json.loads(row.document), _renamed(was, nameless(was)), everywhere=True)
    document = json.dumps(drawn, ensure_ascii=False, separators=(",", ":"))
    mine = (col(GigStage.gig_id) == gig_id, col(GigStage.document) != document)
    return db.exec(update(GigStage).where(*mine).values(document=document)).rowcount


def _renamed(was: LineUp, bare: LineUp) -> Callable[[str], str]:
    """Puts what stays in place of each name in a text, wherever it stands as words of its own."""
    instead = {old: new for old, new in _pairs(was, bare) if old and old != new}
    if not instead:
        return lambda text: text
    longest_first = "|".join(re.escape(old) for old in sorted(instead, key=len, reverse=True))
    return lambda text: re.sub(rf"(?<!\w)(?:{longest_first})(?!\w)", lambda found: instead[found[0]], text)


def _pairs(was: LineUp, bare: LineUp) -> Iterator[tuple[str, str]]:
    yield from ((name, player) for player, name in was.deps)
    for old, new in zip(was.guests, bare.guests, strict=True):
        yield f"{MARK}: {old.note}", MARK
        yield from ((old.note, ""), (old.label, new.label), (old.strip, new.label), (old.player, new.player))
    for one, other in zip(was.ears, bare.ears, strict=True):
        yield one.player, other.player


def _without(value: Json, renamed: Callable[[str], str], *, everywhere: bool = False) -> Json:
    if isinstance(value, str):
        return renamed(value) if everywhere else value
    if isinstance(value, list):
        return [_without(one, renamed, everywhere=everywhere) for one in value]
    if isinstance(value, dict):
        return {
            name: one
            if isinstance(one, str) and name in KEYS
            else _without(one, renamed, everywhere=everywhere or name in WORDS)
            for name, one in value.items()
        }
    return value
