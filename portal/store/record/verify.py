"""Everything that was planned, signed and printed, hashed again and held against the chain of events."""

from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import sha256

from sqlmodel import Session, col, select

from portal.plan.model import ENGINE, Plan
from portal.plan.signed.serialization import content_hash
from portal.store.plans import Paper, StoredPlan
from portal.store.record import events as chain_of
from portal.store.record import names_off_plans
from portal.store.record.events import Event
from portal.store.signoffs import Signature, TickedWords


@dataclass(frozen=True)
class Verdict:
    """What was looked at, and a sentence for each thing that does not hold. ``head`` is the newest event's hash: noted
    down elsewhere, it also proves that nothing was cut off at the end. ``erased``: plans and papers of which the chain
    says that only the hash was to stay.
    """

    events: int
    plans: int
    papers: int
    signatures: int
    erased: int
    head: str
    faults: tuple[str, ...]


@dataclass(frozen=True)
class _Told:
    """What the chain says of plans, papers and signatures."""

    documents: dict[tuple[str, str], str]
    contents: dict[tuple[str, str], str]
    papers: dict[str, str]
    signatures: dict[str, str]
    erased_papers: set[str]
    erased_gigs: set[str]
    nameless: set[tuple[str, str]]


def verify(db: Session) -> Verdict:
    """Walk the chain, and hash every plan, paper and signature again."""
    chain = list(chain_of.everything(db))
    events = [event for event, _words in chain]
    told = _told(events)
    faults = [f"Event {position} is not what the chain says." for position in chain_of.broken(chain)]
    plans = db.exec(select(StoredPlan)).all()
    papers = db.exec(select(Paper.id, Paper.sha256, Paper.content)).all()
    signatures = db.exec(select(Signature).order_by(col(Signature.position))).all()
    if chain_of.head(db) != ((events[-1].position, events[-1].hash) if events else (0, chain_of.START)):
        faults.append("The chain does not end where its head says.")
    for plan in plans:
        faults += _plan_faults(plan, told)
    erased = sum(plan.erased and plan.gig_id in told.erased_gigs for plan in plans)
    for paper_id, stored, content in papers:
        emptied = not content and paper_id in told.erased_papers
        erased += emptied
        if stored != told.papers.pop(paper_id, "") or (not emptied and sha256(content).hexdigest() != stored):
            faults.append(f"Paper {paper_id} has other bytes than were kept.")
    hashes = {plan.id: plan.content_hash for plan in plans}
    ticked = {words.signature_id: words.digest() for words in db.exec(select(TickedWords))}
    for row in signatures:
        whole = row.digest() == told.signatures.pop(row.id, "") and row.content_hash == hashes.get(row.plan_id)
        if not whole or ticked.get(row.id, row.ticked) != row.ticked:
            faults.append(f"Signature {row.id} is not what was signed.")
    gone = (("Plan", told.documents), ("Paper", told.papers), ("Signature", told.signatures))
    faults += [
        f"{what} {key if isinstance(key, str) else ' '.join(key)} is gone." for what, left in gone for key in left
    ]
    head = events[-1].hash if events else chain_of.START
    return Verdict(len(events), len(plans), len(papers), len(signatures), erased, head, tuple(faults))


def _told(events: list[Event]) -> _Told:
    told = _Told({}, {}, {}, {}, set(), set(), set())
    for event in events:
        try:
            detail = event.read()
        except ValueError:
            # What cannot be read is told by the walk along the chain.
            continue
        if event.kind == "planned":
            told.documents[event.gig_id, detail.get("plan", "")] = detail.get("document", "")
            told.contents[event.gig_id, detail.get("plan", "")] = detail.get("content_hash", "")
        elif event.kind == names_off_plans.KIND:
            told.documents[event.gig_id, detail.get("plan", "")] = detail.get("document", "")
            told.nameless.add((event.gig_id, detail.get("plan", "")))
        elif event.kind == "paper-kept":
            told.papers[detail.get("paper", "")] = detail.get("sha256", "")
        elif event.kind == "paper-erased":
            told.erased_papers.add(detail.get("paper", ""))
        elif event.kind == "band-erased":
            told.erased_gigs.add(event.gig_id)
        elif event.kind in {"signed", "withdrawn"}:
            told.signatures[detail.get("signature", "")] = detail.get("digest", "")
    return told


def _plan_faults(plan: StoredPlan, told: _Told) -> Iterator[str]:
    key = (plan.gig_id, str(plan.number))
    gone = plan.erased and plan.gig_id in told.erased_gigs
    document = told.documents.pop(key, "")
    whole = (gone or plan.document_hash() == document) and plan.content_hash == told.contents.get(key)
    # Only today's rules know which fields the hash of today's plans covers; of older ones the bytes speak, and of those
    # without the names of their night the bytes that the chain tells.
    if whole and not gone and key not in told.nameless and plan.engine == ENGINE:
        outcome = plan.read()
        whole = not isinstance(outcome, Plan) or content_hash(outcome, plan.read_heading()) == plan.content_hash
    if not whole:
        yield f"Plan {plan.number} of gig {plan.gig_id} is not what was stored."
