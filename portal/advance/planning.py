"""From what the database holds of a gig to its plan. A change asks for it; a solver works it out while nobody holds a
transaction; it is kept where the gig still is what it was worked out from.
"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256

from portal.advance.solver.wishes import PlanMade, PlanWish, Texts, seconds
from portal.plan.input.facts import Answer, Facts
from portal.plan.input.line_up import AS_THE_RIG, LineUp, is_off, tonight
from portal.plan.input.questions import QUESTIONS
from portal.plan.input.rig import Rig
from portal.plan.model import ENGINE, Plan
from portal.plan.result.spelling import once_agreed
from portal.plan.signed.serialization import Heading
from portal.plan.signed.signers import is_agreed
from portal.store import answers, discussions, planning, plans, rigs, signoffs
from portal.store.database.once import once
from portal.store.database.session import Session, wake
from portal.store.day import line_ups
from portal.store.gigs import Gig
from portal.store.gigs import of_link as gig_of
from portal.store.planning import Wish
from portal.store.plans import Basis, StoredPlan
from portal.store.record import erasing
from portal.store.rigs import RigRevision
from portal.wording.answers import words_of
from portal.wording.catalogue import gettext as _
from portal.wording.plan.saying import say

BASIS = "portal-basis-1"
"""How a digest is written; its bytes never change."""

MOST_TRIES = 3
"""Solvers that may end over one gig before it is given up."""


@dataclass(frozen=True)
class Ground:
    """What a gig's plan stands on: the rig as this gig uses it, every answer, and what the plan records of where it
    came from.
    """

    rig: Rig
    given: Mapping[str, Answer]
    basis: Basis
    heading: Heading
    rig_document: str
    configuration: str

    @property
    def facts(self) -> Facts:
        """Rig and answers together."""
        return Facts(self.rig, self.given)

    @property
    def texts(self) -> Texts:
        """What a solver is given of it."""
        return Texts(self.rig_document, self.configuration, *plans.texts_of(self.basis))

    @property
    def wish(self) -> Wish:
        """What is wanted by the rules of this process."""
        return self.wish_of(ENGINE)

    def wish_of(self, engine: str) -> Wish:
        """Its digest: SHA-256 over every input of the engine, the engine itself and the heading."""
        given, locks = plans.texts_of(self.basis)
        parts: list[object] = [
            BASIS,
            engine,
            self.basis.rig_revision_id,
            self.configuration,
            json.loads(given),
            json.loads(locks),
            [self.heading.gig, self.heading.date, self.heading.place],
        ]
        if self.basis.line_up != AS_THE_RIG:
            parts.append(line_ups.write(self.basis.line_up))
        return Wish(sha256(json.dumps(parts, sort_keys=True).encode()).hexdigest(), engine)


def document_of(revision: RigRevision, line_up: LineUp) -> str:
    """A revision's document as a line-up uses it."""
    return revision.document if line_up == AS_THE_RIG else rigs.write(tonight(revision.read(), line_up))


def rig_of(db: Session, stored: StoredPlan) -> Rig:
    """The rig that a plan (already allowed) was made from, every configuration of it."""
    return tonight(rigs.revision_of_gig(db, stored.rig_revision_id).read(), stored.read_line_up())


@once
def ground(db: Session, gig: Gig) -> Ground:
    """What a gig (already allowed) is planned from now."""
    revision, line_up = rigs.revision_of_gig(db, gig.rig_revision_id), gig.read_line_up()
    whole = revision.read()
    # What both sides agreed of a row that is off rests until the row is back.
    off = {one.key for one in whole.source if is_off(one, line_up)}
    locks = tuple(lock for lock in discussions.locks(db, gig.id) if lock.source not in off)
    given = answers.current(db, gig.id)
    # Free words turn no plan and may name people, who may want them erased: what is signed does without them.
    recorded = {key: answer for key, answer in given.items() if not QUESTIONS[key].free_words}
    return Ground(
        tonight(whole, line_up).configured(gig.configuration),
        given,
        Basis(gig.rig_revision_id, recorded, locks, line_up),
        Heading(gig.name, gig.on.isoformat(), gig.place),
        document_of(revision, line_up),
        gig.configuration,
    )


def want(db: Session, gig: Gig, now: datetime, *, again: bool = False) -> None:
    """Ask for the plan of a gig (already allowed) as things stand, ``again`` where it was given up. Call it in the
    transaction of what was changed: the plan is worked out after its end. What another process asked by newer rules is
    not asked by older ones again.
    """
    found, row = ground(db, gig), planning.of_gig(db, gig.id)
    engine = row.engine if row is not None and planning.is_newer(row.engine, ENGINE) else ENGINE
    if planning.want(db, gig.id, found.wish_of(engine), now, again=again):
        wake(db, "planning", gig.id, seconds(PlanWish(found.texts, found.heading)))


def due(db: Session, now: datetime) -> list[str]:
    """The gigs whose plan this process has to work out, by id."""
    return planning.due_by(db, ENGINE, now)


@dataclass(frozen=True)
class Work:
    """A plan to work out, and the digest of what it will answer."""

    wish: PlanWish
    digest: str


def work_of(db: Session, gig_id: str) -> Work | None:
    """What has to be worked out for a gig; ``None`` where nothing has to."""
    row = planning.of_gig(db, gig_id)
    if row is None or not row.behind or row.fault:
        return None
    found = ground(db, gig_of(db, gig_id))
    return Work(PlanWish(found.texts, found.heading), found.wish.digest)


def keep(db: Session, gig_id: str, work: Work, made: PlanMade, now: datetime) -> bool:
    """Store what was worked out, where it differs from the newest plan; false, and nothing stored, where the gig has
    changed meanwhile.
    """
    found = ground(db, gig_of(db, gig_id))
    if found.wish.digest != work.digest:
        # A change that nobody asked the plan of: it is asked for here, so that the next round answers it.
        planning.want(db, gig_id, found.wish, now)
        return False
    newest = plans.newest(db, gig_id)
    if newest is None or newest.document != made.document or not made_from(newest, found):
        plans.keep(
            db,
            gig_id=gig_id,
            basis=found.basis,
            engine=ENGINE,
            heading=found.heading,
            document=made.document,
            content_hash=made.content_hash,
            now=now,
        )
    planning.settle(db, gig_id, found.wish, now)
    return True


def made_from(plan: StoredPlan, found: Ground) -> bool:
    """True where a stored plan records that it was made from this, by the engine of now. A configuration leaves no
    trace in it.
    """
    basis = Basis(plan.rig_revision_id, plan.read_answers(), plan.read_locks(), plan.read_line_up())
    return (basis, plan.engine, plan.read_heading()) == (found.basis, ENGINE, found.heading)


def stands(db: Session, gig: Gig) -> bool:
    """True where the newest plan of a gig (already allowed) is of what the gig says now, by the rules of now: only then
    it can be signed.
    """
    found, newest, row = ground(db, gig), plans.newest(db, gig.id), planning.of_gig(db, gig.id)
    if newest is None or not made_from(newest, found):
        return False
    # What was planned before this was noted has no row, and where time took the names of the night off the gig, they
    # are still in its digest: the plan alone tells.
    return row is None or (not row.behind and (row.done == found.wish.digest or erasing.past_its_time(db, gig.id)))


def sentence_of(db: Session, gig: Gig) -> str:
    """How the plan of a gig (already allowed) stands in one sentence, as the papers say it once it is signed; empty
    where nobody asked for one.
    """
    row, newest = planning.of_gig(db, gig.id), plans.newest(db, gig.id)
    if row is not None and row.behind:
        return (
            _("The plan could not be worked out; its page says why.")
            if row.fault
            else _("The plan is being worked out.")
        )
    if newest is None:
        return ""
    outcome = newest.read()
    signed = signoffs.under(signoffs.history(db, gig.id), newest.content_hash)
    agreed = isinstance(outcome, Plan) and is_agreed(outcome, signed)
    return say(once_agreed(outcome.sentence) if agreed else outcome.sentence)


def changed_since(db: Session, gig: Gig, plan: StoredPlan) -> tuple[str, ...]:
    """In what a gig (already allowed) differs from what a plan was made from, in sentences."""
    return tuple(_changes(plan, ground(db, gig)))


def _changes(plan: StoredPlan, found: Ground) -> Iterator[str]:
    was, now = plan.read_answers(), found.basis.answers
    for key, question in QUESTIONS.items():
        before, after = (words_of(question, one[key]) if key in one else _("not answered") for one in (was, now))
        if before != after:
            yield _("%(band)s Was: %(before)s. Now: %(after)s.", band=question.band, before=before, after=after)
    if plan.rig_revision_id != found.basis.rig_revision_id:
        yield _("Another revision of the rig.")
    if plan.read_line_up() != found.basis.line_up:
        yield _("Another line-up for the night.")
    if plan.read_locks() != found.basis.locks:
        yield _("Another agreement between both sides.")
    if plan.read_heading() != found.heading:
        yield _("Another name, date or place of the gig.")
    if plan.engine != ENGINE:
        yield _("The rules by which the portal plans.")
