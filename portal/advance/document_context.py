"""What stands around a plan on paper, read from the database: heading, signatures, who to call, where the rack stands,
the code.
"""

from datetime import date, timedelta

from portal.advance.gig_status import ends
from portal.advance.time_format import TIME_WORDS, moved_words, say_date, say_exactly, say_minutes
from portal.documents.cover import Cover, Signature, Status
from portal.plan.input.facts import Answers
from portal.plan.input.questions import QUESTIONS
from portal.plan.input.rig import Rig
from portal.plan.result.stage import Stage
from portal.plan.signed.serialization import short_hash
from portal.store import answers, rigs, signoffs, stages
from portal.store import links as link_store
from portal.store.accounts import bands
from portal.store.database.session import Session
from portal.store.gigs import Gig
from portal.store.moved_times import moved_since
from portal.store.plans import StoredPlan
from portal.web.frame.access import ViewToken, write_view_token
from portal.web.frame.deps import Portal
from portal.web.frame.links import path_to

CODE_LASTS = timedelta(days=7)
"""How long after its gig the code on a paper lets people look (common practice, no source)."""


def cover_of(db: Session, portal: Portal, gig: Gig, stored: StoredPlan) -> Cover:
    """What stands around a plan on paper: heading, state of signing, who to call, where the rack stands."""
    heading = stored.read_heading()
    standing = signoffs.under(signoffs.history(db, gig.id), stored.content_hash)
    statuses: tuple[Status, ...] = ("draft", "signed", "agreed")
    moved = moved_since(db, gig, standing.values())
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
            Signature(party, row.signer_name, row.signer_role, say_exactly(row.created, gig.time_zone))
            for party, row in sorted(standing.items())
        ),
        answers=answers_of(db, gig, stored),
        link=_code_address(db, portal, gig) if standing else "",
        times=tuple(
            f"{TIME_WORDS[key]} {say_minutes(minutes)}" for key, minutes in gig.minutes.items() if key in TIME_WORDS
        ),
        moved=moved_words(moved.was, gig.minutes) if moved else "",
        rig=_rig_of(db, stored),
        stage=stage_of(db, gig),
    )


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


def _rig_of(db: Session, stored: StoredPlan) -> Rig:
    """The rig as the plan was made from it, every configuration of it."""
    revision = rigs.revision_of_gig(db, stored.rig_revision_id)
    return revision.read()


def _code_address(db: Session, portal: Portal, gig: Gig) -> str:
    """Where the code leads: as far as the house's newest live link, and to look only. Empty where there is no such
    link.
    """
    now = portal.clock()
    link = next((one for one in link_store.of_gig(db, gig.id) if one.party == "house" and one.live(now)), None)
    if link is None:
        return ""
    token = ViewToken(gig.id, link.id, min(link.expires, ends(gig) + CODE_LASTS))
    if token.expires <= now:
        return ""
    return portal.settings.base_url + path_to("show_code", view_token=write_view_token(portal.key, token))
