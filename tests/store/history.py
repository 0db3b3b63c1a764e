"""Plays the chain of events through a small model and holds the database against it: what happened can have happened
so, each thing once, and each row has its event.
"""

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from sqlmodel import Session, select

from portal.store.answers import StoredAnswer
from portal.store.discussions import Comment, Proposal
from portal.store.gigs import Gig
from portal.store.links import Link
from portal.store.plans import Paper, StoredPlan
from portal.store.record import events as chain
from portal.store.record.events import Event
from portal.store.signoffs import Signature

ROWS: dict[str, tuple[type, str]] = {
    "answered": (StoredAnswer, "answer"),
    "commented": (Comment, "comment"),
    "proposed": (Proposal, "proposal"),
    "link-made": (Link, "link"),
    "signed": (Signature, "signature"),
    "withdrawn": (Signature, "signature"),
    "paper-kept": (Paper, "paper"),
}
"""Which row an event makes, and under which name it holds its id."""


@dataclass
class Story:
    """What the model knows of one gig so far."""

    links: dict[str, bool] = field(default_factory=dict)
    plans: list[str] = field(default_factory=list)
    proposals: dict[str, bool] = field(default_factory=dict)
    stands: dict[tuple[str, str], bool] = field(default_factory=dict)

    def made_link(self, told: dict[str, str], _party: str) -> bool:
        new = told["link"] not in self.links
        self.links[told["link"]] = True
        return new

    def used_link(self, told: dict[str, str], _party: str) -> bool:
        return self.links.get(told["link"], False)

    def revoked_link(self, told: dict[str, str], _party: str) -> bool:
        lived, self.links[told["link"]] = self.links.get(told["link"], False), False
        return lived

    def planned(self, told: dict[str, str], _party: str) -> bool:
        self.plans.append(told["content_hash"])
        return told["plan"] == str(len(self.plans))

    def signed(self, told: dict[str, str], party: str) -> bool:
        key = (party, told["content_hash"])
        before, self.stands[key] = self.stands.get(key, False), True
        known = int(told["plan"]) <= len(self.plans) and self.plans[int(told["plan"]) - 1] == told["content_hash"]
        return known and not before

    def withdrawn(self, told: dict[str, str], party: str) -> bool:
        key = (party, told["content_hash"])
        before, self.stands[key] = self.stands.get(key, False), False
        return before

    def proposed(self, told: dict[str, str], _party: str) -> bool:
        new = told["proposal"] not in self.proposals
        self.proposals[told["proposal"]] = False
        return new

    def settled(self, told: dict[str, str], _party: str) -> bool:
        open_one, self.proposals[told["proposal"]] = self.proposals.get(told["proposal"]) is False, True
        return open_one


STEPS: dict[str, Callable[[Story, dict[str, str], str], bool]] = {
    "link-made": Story.made_link,
    "link-used": Story.used_link,
    "link-revoked": Story.revoked_link,
    "planned": Story.planned,
    "signed": Story.signed,
    "withdrawn": Story.withdrawn,
    "proposed": Story.proposed,
    "proposal-accepted": Story.settled,
    "proposal-declined": Story.settled,
    "proposal-taken-back": Story.settled,
}


def faults(db: Session) -> list[str]:
    """What cannot have happened so, or happened and left no trace, or the other way round."""
    told = [event for event, _words in chain.everything(db)]
    found = [f"event {position} breaks the chain" for position in chain.broken(chain.everything(db))]
    if told and chain.head(db) != (told[-1].position, told[-1].hash):
        found.append("the head is not the last event")
    return [*found, *_played(told), *_rows(db, told)]


def _played(told: list[Event]) -> Iterator[str]:
    stories: dict[str, Story] = {}
    for event in told:
        if (event.kind == "gig-made") == (event.gig_id in stories):
            yield f"event {event.position}: {event.kind} out of order"
        story = stories.setdefault(event.gig_id, Story())
        step = STEPS.get(event.kind)
        if step is not None and not step(story, dict(event.read()), event.party):
            yield f"event {event.position}: {event.kind} cannot come here"


def _rows(db: Session, told: list[Event]) -> Iterator[str]:
    """Each row has one event, under its own gig; each event has its row."""
    gig_of_plan = dict(db.exec(select(StoredPlan.id, StoredPlan.gig_id)).all())
    for kind in {row for row, _ in ROWS.values()}:
        rows = {
            one.id: one.gig_id if hasattr(one, "gig_id") else gig_of_plan[one.plan_id] for one in db.exec(select(kind))
        }
        noted = Counter(
            (event.read()[name], event.gig_id)
            for event in told
            if event.kind in ROWS and ROWS[event.kind][0] is kind
            for name in [ROWS[event.kind][1]]
        )
        if noted != Counter(rows.items()):
            yield f"{kind.__name__}: rows and events differ"
    if Counter(event.gig_id for event in told if event.kind == "gig-made") != Counter(db.exec(select(Gig.id))):
        yield "gigs and events differ"
    plans = Counter(db.exec(select(StoredPlan.gig_id, StoredPlan.number)).all())
    if plans != Counter((e.gig_id, int(e.read()["plan"])) for e in told if e.kind == "planned"):
        yield "plans and events differ"
    if order := _out_of_order(db, told):
        yield f"answers in another order than told: {order}"


def _out_of_order(db: Session, told: list[Event]) -> list[str]:
    """The gigs whose answers lie in another order than the chain tells."""
    places = dict(db.exec(select(StoredAnswer.id, StoredAnswer.position)).all())
    by_gig: dict[str, list[int]] = {}
    for event in told:
        if event.kind == "answered":
            by_gig.setdefault(event.gig_id, []).append(places.get(event.read()["answer"], 0))
    return [gig_id for gig_id, found in by_gig.items() if found != sorted(found)]
