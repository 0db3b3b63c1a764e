"""What stands around a plan on paper, read from the database: heading, signatures, who to call, where the rack stands, the code."""

from collections.abc import Mapping
from datetime import date, timedelta
from types import MappingProxyType

from portal.documents.cover import Cover, Signature, Status
from portal.plan.canonical import short_hash
from portal.plan.facts import Answer
from portal.plan.questions import QUESTIONS
from portal.plan.rig import Rig
from portal.plan.stage import Stage
from portal.store import answers, bands, rigs, signoffs, stages
from portal.store import links as link_store
from portal.store.gigs import Gig
from portal.store.plans import StoredPlan
from portal.store.session import Session
from portal.web import links
from portal.web.access import ViewToken, write_view_token
from portal.web.deps import Portal
from portal.web.states import ends
from portal.web.times import TIME_WORDS, say_date, say_exactly, say_minutes

CODE_LASTS = timedelta(days=7)
"""How long after its gig the code on a paper lets people look (common practice, no source)."""
RACK_POWER = MappingProxyType({"yes": "Outlet by the rack, on through the changeover", "no": "No space or no outlet there through the changeover"})
"""What the answers to the question for the rack's power mean on a paper."""


def cover_of(db: Session, portal: Portal, gig: Gig, stored: StoredPlan) -> Cover:
    """What stands around a plan on paper: heading, state of signing, who to call, where the rack stands."""
    heading = stored.read_heading()
    standing = signoffs.under(signoffs.history(db, gig.id), stored.content_hash)
    statuses: tuple[Status, ...] = ("draft", "signed", "agreed")
    current = answers.current(db, gig.id)
    planned = stored.read_answers()
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
            Signature(party, row.signer_name, row.signer_role, say_exactly(row.created, gig.time_zone)) for party, row in sorted(standing.items())
        ),
        contact_name=_said(current, "contact-name"),
        contact_phone=_said(current, "contact-phone"),
        who_mixes=_said(planned, "who-mixes"),
        rack_place=_rack_place(planned),
        rack_power=_said(planned, "rack-power", RACK_POWER),
        link=_code_address(db, portal, gig) if standing else "",
        times=tuple(f"{TIME_WORDS[key]} {say_minutes(minutes)}" for key, minutes in gig.minutes.items() if key in TIME_WORDS),
        rig=_rig_of(db, stored),
        stage=stage_of(db, gig),
        box_place=box_place_of(planned),
    )


def stage_of(db: Session, gig: Gig) -> Stage:
    """What the band drew of the gig's stage; nothing where it drew none."""
    drawn = stages.get(db, gig.id)
    return drawn.read() if drawn else Stage()


def box_place_of(given: Mapping[str, Answer]) -> str:
    """The key of the answer to where the stage box is, empty where there is none."""
    answer = given.get("box-place")
    return str(answer.value) if answer is not None and answer.state == "answered" else ""


def _rig_of(db: Session, stored: StoredPlan) -> Rig:
    """The rig as the plan was made from it, every configuration of it."""
    revision = rigs.revision_of_gig(db, stored.rig_revision_id)
    return revision.read()


def _rack_place(given: Mapping[str, Answer]) -> str:
    """The rack stands near the stage box; the house says where that is."""
    said = _said(given, "box-place")
    return f"Near the stage box, {said[0].lower()}{said[1:]}" if said and box_place_of(given) != "no-box" else said


def _said(given: Mapping[str, Answer], question: str, instead: Mapping[str, str] = MappingProxyType({})) -> str:
    """An answer in words; ``instead`` has words for those that say nothing without their question."""
    answer = given.get(question)
    if answer is None or answer.state != "answered" or answer.value is None:
        return ""
    words = instead.get(str(answer.value)) or QUESTIONS[question].kind.say(answer.value)
    return f"{words} (assumed)" if answer.by == "assumed" else words


def _code_address(db: Session, portal: Portal, gig: Gig) -> str:
    """Where the code leads: as far as the house's newest live link, and to look only. Empty where there is no such link."""
    now = portal.clock()
    link = next((one for one in link_store.of_gig(db, gig.id) if one.party == "house" and one.live(now)), None)
    if link is None:
        return ""
    token = ViewToken(gig.id, link.id, min(link.expires, ends(gig) + CODE_LASTS))
    if token.expires <= now:
        return ""
    return portal.settings.base_url + links.day(write_view_token(portal.key, token))
