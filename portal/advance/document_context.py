"""What stands around a plan on paper, read from the database: heading, signatures, who to call, where the rack
stands.
"""

from datetime import date

from portal.advance.line_up_words import of_plan
from portal.advance.planning import rig_of
from portal.advance.times_told import moved_since_signing
from portal.documents.cover import Cover, Signature, SignedBefore, Status
from portal.plan.input.facts import Answers
from portal.plan.input.questions import QUESTIONS
from portal.plan.result.stage import Stage
from portal.plan.signed.serialization import short_hash
from portal.store import answers, plans, signoffs
from portal.store.accounts import bands
from portal.store.database.session import Session
from portal.store.day import stages
from portal.store.gigs import Gig
from portal.store.planning import behind
from portal.store.plans import StoredPlan
from portal.wording.times import TIME_WORDS, say_date, say_exactly, say_minutes


def unlinked_cover(db: Session, gig: Gig, stored: StoredPlan) -> Cover:
    """What stands around a plan on paper: heading, state of signing, who to call, where the rack stands. No code yet:
    where it leads, only the running portal knows.
    """
    heading = stored.read_heading()
    standing = signoffs.under(signoffs.history(db, gig.id), stored.content_hash)
    statuses: tuple[Status, ...] = ("draft", "signed", "agreed")
    return Cover(
        band=bands.name_of(db, gig.band_id),
        gig=heading.gig,
        date=say_date(date.fromisoformat(heading.date)),
        place=heading.place,
        revision=stored.number,
        content_hash=stored.content_hash,
        short_hash=short_hash(stored.content_hash),
        status=statuses[len(standing)],
        signatures=tuple(
            Signature(party, row.signer_name, row.signer_role, say_exactly(row.created, gig.time_zone), row.language)
            for party, row in sorted(standing.items())
        ),
        answers=answers_of(db, gig, stored),
        contact=gig.contact,
        times=tuple(
            f"{TIME_WORDS[key]} {say_minutes(minutes)}" for key, minutes in gig.minutes.items() if key in TIME_WORDS
        ),
        moved=moved_since_signing(db, gig, stored),
        signed_before=signed_before(db, gig, stored),
        tonight=of_plan(db, gig, stored),
        behind=behind(db, gig.id),
        cancelled=gig.cancelled_at is not None,
        rig=rig_of(db, stored),
        stage=stage_of(db, gig),
    )


def signed_before(db: Session, gig: Gig, stored: StoredPlan) -> SignedBefore | None:
    """The revision that was signed last before a plan of a gig (already allowed), with another content: what somebody
    may have patched by.
    """
    for row in reversed(signoffs.history(db, gig.id)):
        if row.kind == "signed" and row.content_hash != stored.content_hash:
            earlier = plans.get(db, gig.id, row.plan_id)
            if earlier is not None and earlier.number < stored.number and not earlier.erased:
                return SignedBefore(earlier.number, earlier.read)
    return None


def stage_of(db: Session, gig: Gig) -> Stage:
    """What the band drew of the gig's stage; nothing where it drew none."""
    drawn = stages.get(db, gig.id)
    return drawn.read() if drawn else Stage()


def answers_of(db: Session, gig: Gig, stored: StoredPlan) -> Answers:
    """What was answered when a plan of a gig (already allowed) was made; free words, which no plan records, as they are
    now.
    """
    free = {key: answer for key, answer in answers.current(db, gig.id).items() if QUESTIONS[key].free_words}
    return {**stored.read_answers(), **free}
