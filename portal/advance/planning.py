"""From what the database holds of a gig to its plan. Computed when something changes, never when somebody looks."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256

from portal.advance.metrics import PLAN_SECONDS, PLANS
from portal.plan import reconcile
from portal.plan.input.facts import Answer, Facts
from portal.plan.input.questions import QUESTIONS
from portal.plan.input.rig import Rig
from portal.plan.model import ENGINE, NoPlan, Plan
from portal.plan.signed.serialization import Heading, canonical, content_hash, to_json
from portal.store import answers, discussions, plans, rigs
from portal.store.database.session import Session
from portal.store.gigs import Gig
from portal.store.plans import Basis, StoredPlan


@dataclass(frozen=True)
class Ground:
    """What a gig's plan stands on: the rig as this gig uses it, every answer, and what the plan records of where it
    came from.
    """

    rig: Rig
    given: Mapping[str, Answer]
    basis: Basis

    @property
    def facts(self) -> Facts:
        """Rig and answers together."""
        return Facts(self.rig, self.given)


def ground(db: Session, gig: Gig) -> Ground:
    """What a gig (already allowed) is planned from now."""
    rig = rigs.revision_of_gig(db, gig.rig_revision_id).read().configured(gig.configuration)
    given = answers.current(db, gig.id)
    # Free words turn no plan and may name people, who may want them erased: what is signed does without them.
    recorded = {key: answer for key, answer in given.items() if not QUESTIONS[key].free_words}
    return Ground(rig, given, Basis(gig.rig_revision_id, recorded, discussions.locks(db, gig.id)))


def plan_now(db: Session, gig: Gig, now: datetime, *, afresh: bool = False) -> StoredPlan:
    """The plan of a gig (already allowed) as things stand; computed and stored where the stored one stands on something
    else.

    A change of the configuration leaves no trace in what a plan records: whoever saves a gig asks for the plan
    ``afresh``. Call it where something was written: on a page that only reads, what it stores is lost again.
    """
    newest = plans.newest(db, gig.id)
    found = ground(db, gig)
    heading = Heading(gig.name, gig.on.isoformat(), gig.place)
    same = newest is not None and (_basis(newest), newest.engine, newest.read_heading()) == (
        found.basis,
        ENGINE,
        heading,
    )
    if newest is not None and same and not afresh:
        return newest
    with PLAN_SECONDS.time():
        outcome = reconcile(found.rig, found.basis.answers, found.basis.locks)
    PLANS.labels(_how_it_ended(outcome)).inc()
    document = canonical(to_json(outcome)).decode()
    if newest is not None and same and newest.document == document:
        return newest
    return plans.keep(
        db,
        gig_id=gig.id,
        basis=found.basis,
        engine=ENGINE,
        heading=heading,
        document=document,
        content_hash=hash_of(outcome, heading),
        now=now,
    )


def _how_it_ended(outcome: Plan | NoPlan) -> str:
    limit_reached = not outcome.proven if isinstance(outcome, Plan) else outcome.limit_reached
    return "limit" if limit_reached else "fits" if isinstance(outcome, Plan) else "nothing fits"


def hash_of(outcome: Plan | NoPlan, heading: Heading) -> str:
    """The hash that both sides sign. That nothing fits is never signed; its hash only differs from every plan's."""
    if isinstance(outcome, Plan):
        return content_hash(outcome, heading)
    return sha256(b"portal-no-plan-1\n" + canonical(to_json(outcome))).hexdigest()


def _basis(plan: StoredPlan) -> Basis:
    return Basis(plan.rig_revision_id, plan.read_answers(), plan.read_locks())
