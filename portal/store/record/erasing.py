"""Erasing what people gave. Names and words go; the rows, their hashes and the chain stay, so that what was signed can
still be verified.

What the triggers let through is exactly this: a row that is otherwise never changed may lose its words for good.
"""

from collections.abc import Collection
from datetime import date, datetime, timedelta

from sqlalchemy import ColumnElement
from sqlmodel import Session, col, delete, or_, select, update
from sqlmodel.sql.expression import SelectOfScalar

from portal.plan.input.line_up import nameless
from portal.plan.input.questions import QUESTIONS
from portal.store import comparisons, looks, signoffs, worked_out
from portal.store.accounts.bands import Band, Member, User
from portal.store.accounts.invitations import Invitation, RecoveryCode
from portal.store.accounts.sessions import WebSession
from portal.store.answers import ERASED, FREE, StoredAnswer
from portal.store.database import scopes
from portal.store.database.once import once
from portal.store.day import line_ups
from portal.store.day.calendar import CalendarEntry
from portal.store.day.calendar_feeds import CalendarFeed
from portal.store.day.line_checks import LineCheck
from portal.store.day.stages import GigStage
from portal.store.discussions import Comment, Proposal
from portal.store.emails import addresses, outbox
from portal.store.emails.addresses import LOST, EmailAddress
from portal.store.gigs import Gig
from portal.store.house import house_gigs, house_specs, houses, inquiries
from portal.store.house.house_specs import GigSpec
from portal.store.house.houses import HouseStage
from portal.store.links import Link
from portal.store.planning import Planning
from portal.store.plans import Paper, StoredPlan
from portal.store.record import events, names_off_plans
from portal.store.record.data_export import Whose, acted_in
from portal.store.record.events import Event, EventWords
from portal.store.rigs import BandRig, RigRevision
from portal.store.signoffs import Signature, TickedWords

NAME, ROLE, WORDS = "name erased", "role erased", "erased"
"""What stands in place of a name, a role and words."""

TIME = "time"
"""Why something was erased that nobody asked for."""

STAGE_UNUSED = timedelta(days=730)
"""How long a stage is kept that answers no gig: two seasons."""

CONTACT = tuple(question.key for question in QUESTIONS.values() if question.contact)
"""The questions whose answers lead to somebody; they are taken over from gig to gig."""


class StillNeeded(Exception):  # noqa: N818 - reads as what it says
    """The account owns a band to which others belong: somebody else has to own it first."""


def of_link(db: Session, link: Link, now: datetime, *, actor: str) -> int:
    """Erase what came by a link (already allowed), and the contact of its gig, whoever wrote it down; how many things
    there were.
    """
    scopes.need(db, scopes.EVERYTHING)
    gig = db.exec(select(Gig).where(col(Gig.id) == link.gig_id)).one()
    count = _copies_of_contacts(db, gig, now) if link.may("answer") else 0
    free = _free(gig.id) & or_(
        col(StoredAnswer.link_id) == link.id, col(StoredAnswer.question).in_(CONTACT if link.may("answer") else ())
    )
    return count + _erase(db, gig, Whose(link_id=link.id), free, now, actor, why="asked", signatures=True)


def of_house(db: Session, gig: Gig, now: datetime, *, actor: str) -> int:
    """Erase what the house gave for a gig (already allowed), by whatever link, and every free answer about it; how many
    things there were.
    """
    scopes.need(db, scopes.EVERYTHING)
    count = _copies_of_contacts(db, gig, now)
    return count + _erase(db, gig, Whose(party="house"), _free(gig.id), now, actor, why="asked", signatures=True)


def past(db: Session, last_day: date) -> list[str]:
    """The gigs up to a day of which something is left that time erases."""
    over = col(Gig.on) <= last_day
    differ = db.exec(select(Gig).where(over, col(Gig.line_up) != "")).all()
    named = {gig.id for gig in differ if nameless(gig.read_line_up()) != gig.read_line_up()}
    named |= names_off_plans.named(db, list(db.exec(select(Gig.id).where(over))))
    return sorted(named.union(db.exec(select(Gig.id).where(over, _holds_words()))))


def by_time(db: Session, gig_id: str, now: datetime) -> int:
    """Erase the free words of a gig: contacts, house sheets, comments, notes, the labels of links, what was ticked when
    signing, who was a guest or played for somebody, off its plans too. Names under signatures stay until somebody asks,
    the hashes of what was signed for ever. How many things there were.
    """
    scopes.need(db, scopes.gig(gig_id))
    gig = db.exec(select(Gig).where(col(Gig.id) == gig_id)).one()
    return _erase(db, gig, Whose(), _free(gig.id), now, "", why=TIME, signatures=False)


@once
def past_its_time(db: Session, gig_id: str) -> bool:
    """True where time erased something of a gig (already allowed)."""
    return any(told.event.read().get("why") == TIME for told in events.of_gig(db, gig_id, "erased"))


def _holds_words() -> ColumnElement[bool]:
    """The gigs of which something is left that time erases."""
    left = (
        select(StoredAnswer.gig_id).where(_still_said()),
        select(GigSpec.gig_id),
        select(Gig.id).where(col(Gig.contact) != ""),
        select(Event.gig_id).where(col(Event.position).in_(_told_line_ups())),
        select(Comment.gig_id).where(col(Comment.words) != WORDS),
        select(LineCheck.gig_id).where(col(LineCheck.who) != NAME),
        select(Link.gig_id).where(col(Link.label) != NAME),
        select(Signature.gig_id).where(col(Signature.id).in_(select(TickedWords.signature_id))),
        select(Link.gig_id).where(("link:" + col(Link.id)).in_(select(EmailAddress.who))),
        select(Proposal.gig_id).where(
            col(Proposal.proposer).not_in(("", NAME))
            | col(Proposal.settler).not_in(("", NAME))
            | col(Proposal.reason).not_in(("", WORDS))
            | col(Proposal.settled_reason).not_in(("", WORDS))
        ),
    )
    return or_(*(col(Gig.id).in_(gig_ids) for gig_ids in left))


def _told_line_ups() -> SelectOfScalar[int]:
    """The positions of the events whose words say who played."""
    return select(EventWords.position).where(col(EventWords.changes).contains('["line_up",', autoescape=True))


def _line_up(db: Session, gig: Gig, now: datetime) -> int:
    """Take the names of tonight off the line-up of a gig, its plans, and what events say of it; how many things there
    were.
    """
    bare = line_ups.write(nameless(gig.read_line_up()))
    count = names_off_plans.take_off(db, gig, gig.read_line_up(), now)
    count += db.exec(update(Gig).where(col(Gig.id) == gig.id, col(Gig.line_up) != bare).values(line_up=bare)).rowcount
    here = select(Event.position).where(col(Event.gig_id) == gig.id)
    told = col(EventWords.position).in_(here) & col(EventWords.position).in_(_told_line_ups())
    return count + db.exec(delete(EventWords).where(told)).rowcount


def of_stage(db: Session, stage: HouseStage, now: datetime, *, but: Collection[str] = ()) -> int:
    """Erase a stage (already allowed) with its sheet, and the house's free words that were kept from its gigs or told
    to them, ``but`` some gigs; how many gigs were touched.
    """
    scopes.need(db, scopes.EVERYTHING)
    told = {(fact.topic, fact.value) for fact in houses.facts_of(db, stage.id)}
    touched = 0
    for gig_id in house_gigs.gig_ids(db, [stage.id]):
        if gig_id not in but:
            touched += _copies_of_stage(db, gig_id, told, stage.spec, now)
    house_gigs.untie(db, stage_id=stage.id)
    inquiries.forget(db, stage_id=stage.id)
    houses.erase_stage(db, stage)
    if houses.by_id(db, stage.house_id) is None:
        outbox.erase_reader(db, f"house:{stage.house_id}")
    return touched


def unused_stages(db: Session, now: datetime) -> int:
    """Erase the stages that no house has used for two years; how many there were."""
    scopes.need(db, scopes.EVERYTHING)
    found = houses.unused(db, now - STAGE_UNUSED)
    for stage in found:
        of_stage(db, stage, now)
    return len(found)


def _copies_of_stage(db: Session, gig_id: str, told: Collection[object], spec: str, now: datetime) -> bool:
    by_house = db.exec(select(StoredAnswer).where(_free(gig_id), col(StoredAnswer.party) == "house")).all()
    copies = [
        row.id for row in by_house if row.before or ((answer := row.read()) and (row.question, answer.value) in told)
    ]
    kept = house_specs.get(db, gig_id)
    specs = house_specs.erase(db, gig_id) if kept is not None and kept.text == spec else 0
    if copies:
        db.exec(update(StoredAnswer).where(col(StoredAnswer.id).in_(copies)).values(given=ERASED))
        _papers(db, gig_id, now)
    if copies or specs:
        detail = {"why": "asked", "of": "house"}
        events.append(db, gig_id=gig_id, kind="erased", party="house", actor="", now=now, detail=detail)
    return bool(copies or specs)


def of_user(db: Session, user_id: str, now: datetime) -> int:
    """Erase an account: who it is, its ways in, and its words in every gig. With the last member goes what the band
    keeps here. Raises ``StillNeeded`` for the owner of a band with other members.
    """
    scopes.need(db, scopes.EVERYTHING)
    alone = [band_id for band_id in _owned(db, user_id) if _alone(db, band_id)]
    actor = events.actor_of(user_id, None)
    count = 0
    for gig in _gigs_of_user(db, user_id):
        mine = _free(gig.id) & (col(StoredAnswer.user_id) == user_id)
        count += _erase(db, gig, Whose(user_id=user_id), mine, now, actor, why="asked", signatures=True)
    for band_id in alone:
        _band(db, band_id, now, actor)
    for rows in (
        delete(WebSession).where(col(WebSession.user_id) == user_id),
        delete(RecoveryCode).where(col(RecoveryCode.user_id) == user_id),
        delete(CalendarFeed).where(col(CalendarFeed.user_id) == user_id),
    ):
        db.exec(rows)
    _invitations(db, or_(col(Invitation.user_id) == user_id, col(Invitation.created_by) == user_id))
    for who in (f"user:{user_id}", LOST + user_id):
        outbox.erase_reader(db, who)
    looks.forget(db, who=f"user:{user_id}")
    db.exec(delete(Member).where(col(Member.user_id) == user_id))
    db.exec(update(User).where(col(User.id) == user_id).values(name=NAME, email=f"erased {user_id}", password_hash=""))
    return count + 1


def _gigs_of_user(db: Session, user_id: str) -> list[Gig]:
    """The gigs in which somebody did anything, and those of the bands to which the account belongs."""
    bands = select(Member.band_id).where(col(Member.user_id) == user_id)
    return list(db.exec(select(Gig).where(or_(acted_in(user_id), col(Gig.band_id).in_(bands)))).all())


def _owned(db: Session, user_id: str) -> list[str]:
    return list(db.exec(select(Member.band_id).where(col(Member.user_id) == user_id, col(Member.role) == "owner")))


def _alone(db: Session, band_id: str) -> bool:
    if len(db.exec(select(Member.user_id).where(col(Member.band_id) == band_id)).all()) > 1:
        raise StillNeeded
    return True


def _band(db: Session, band_id: str, now: datetime, actor: str) -> None:
    """Erase what a band keeps here. Of its plans the hashes stay."""
    gigs = db.exec(select(Gig).where(col(Gig.band_id) == band_id)).all()
    for gig in gigs:
        _erase(db, gig, Whose(), _free(gig.id), now, actor, why="asked", signatures=True)
        _papers(db, gig.id, now)
        db.exec(update(Link).where(col(Link.gig_id) == gig.id, col(Link.revoked_at).is_(None)).values(revoked_at=now))
        db.exec(update(StoredPlan).where(col(StoredPlan.gig_id) == gig.id).values(heading="", document="", line_up=""))
        db.exec(delete(Planning).where(col(Planning.gig_id) == gig.id))
        db.exec(delete(GigStage).where(col(GigStage.gig_id) == gig.id))
        house_gigs.untie(db, gig_id=gig.id)
        inquiries.forget(db, gig_id=gig.id)
        db.exec(delete(CalendarEntry).where(col(CalendarEntry.gig_id) == gig.id))
        db.exec(
            delete(EventWords).where(
                col(EventWords.position).in_(select(Event.position).where(col(Event.gig_id) == gig.id))
            )
        )
        db.exec(
            delete(WebSession).where(col(WebSession.link_id).in_(select(Link.id).where(col(Link.gig_id) == gig.id)))
        )
        events.append(db, gig_id=gig.id, kind="band-erased", party="band", actor=actor, now=now)
    db.exec(
        update(Gig)
        .where(col(Gig.band_id) == band_id)
        .values(name=WORDS, place=WORDS, place_key="", configuration="", line_up="")
    )
    outbox.erase_band(db, band_id, [gig.id for gig in gigs])
    looks.forget(db, gig_ids=[gig.id for gig in gigs])
    comparisons.erase_of_band(db, band_id)
    rigs = select(BandRig.id).where(col(BandRig.band_id) == band_id)
    db.exec(update(RigRevision).where(col(RigRevision.rig_id).in_(rigs)).values(document=""))
    db.exec(update(BandRig).where(col(BandRig.band_id) == band_id).values(name=WORDS))
    db.exec(update(Band).where(col(Band.id) == band_id).values(name=WORDS))
    _invitations(db, col(Invitation.band_id) == band_id)
    # Sentences name sources, and nothing in them tells whose: all of it can be worked out again.
    worked_out.forget(db)


def _invitations(db: Session, which: ColumnElement[bool]) -> None:
    """Erase invitations, and where they were sent."""
    for invitation_id in db.exec(select(Invitation.id).where(which)).all():
        outbox.erase_reader(db, addresses.of_invitation(invitation_id))
    db.exec(delete(Invitation).where(which))


def _still_said() -> ColumnElement[bool]:
    """The answers that still hold free words."""
    return col(StoredAnswer.question).in_(FREE) & col(StoredAnswer.given).startswith(
        '{"state":"answered"', autoescape=True
    )


def _free(gig_id: str) -> ColumnElement[bool]:
    """The answers of a gig that still hold free words."""
    return (col(StoredAnswer.gig_id) == gig_id) & _still_said()


def _erase(  # noqa: PLR0913 - whose, of which gig, who asked and why
    db: Session,
    gig: Gig,
    whose: Whose,
    free: ColumnElement[bool],
    now: datetime,
    actor: str,
    *,
    why: str,
    signatures: bool,
) -> int:
    """Erase words of one gig and note it in the chain where there were any. Kept papers show the contact and whoever
    signed: they go too.
    """
    here = gig.id
    answers = db.exec(update(StoredAnswer).where(free).values(given=ERASED)).rowcount
    said = (col(Comment.gig_id) == here) & whose.of(Comment) & (col(Comment.words) != WORDS)
    found = (col(LineCheck.gig_id) == here) & whose.of(LineCheck) & (col(LineCheck.who) != NAME)
    others = db.exec(update(Comment).where(said).values(author=NAME, words=WORDS)).rowcount
    others += db.exec(update(LineCheck).where(found).values(who=NAME, gain="", note=WORDS)).rowcount
    others += _proposals(db, gig, whose)
    others += signoffs.erase_ticked(db, here, whose.of(Signature))
    if not whose.user_id:
        others += house_specs.erase(db, here, whose.link_id)
        mine = col(Link.id) == whose.link_id if whose.link_id else col(Link.gig_id) == here
        others += outbox.erase_gig(db, here, db.exec(select(Link.id).where(mine)).all())
        others += db.exec(update(Link).where(mine, col(Link.label) != NAME).values(label=NAME)).rowcount
    called = 0
    if not whose.link_id and whose.party != "house":
        # Who of the band is called stands on papers too, and may be whoever asks.
        called = db.exec(update(Gig).where(col(Gig.id) == here, col(Gig.contact) != "").values(contact="")).rowcount
    played = _line_up(db, gig, now) if why == TIME else 0
    signed = 0
    if signatures:
        mine = (col(Signature.gig_id) == here) & whose.of(Signature) & (col(Signature.signer_name) != NAME)
        signed = db.exec(update(Signature).where(mine).values(signer_name=NAME, signer_role=ROLE)).rowcount
    if answers or signed or called or played:
        _papers(db, here, now)
    count = answers + others + signed + called + played
    if count:
        party = "" if not actor else "house" if actor.startswith("link:") else "band"
        detail = {"why": why, "of": "house" if whose.link_id or whose.party else "band" if whose.user_id else "both"}
        events.append(db, gig_id=here, kind="erased", party=party, actor=actor, now=now, detail=detail)
    return count


def _proposals(db: Session, gig: Gig, whose: Whose) -> int:
    """Take names and reasons off proposals. The chain knows who made and settled one; where it does not, the label of
    the link or the name does.
    """
    told = db.exec(select(Event).where(col(Event.gig_id) == gig.id, col(Event.kind).startswith("propos"))).all()
    actors = {(event.read().get("proposal", ""), event.kind == "proposed"): event.actor for event in told}
    wanted = events.actor_of(whose.user_id or None, whose.link_id or None)
    label = _label(db, whose)

    def theirs(row: Proposal, name: str, party: str | None, *, made: bool) -> bool:
        if not wanted:
            return whose.party in {"", party}
        known = actors.get((row.id, made), "")
        return known == wanted if known else name == label

    count = 0
    for row in db.exec(select(Proposal).where(col(Proposal.gig_id) == gig.id)).all():
        given: dict[str, str] = {}
        if theirs(row, row.proposer, row.proposed_by, made=True):
            given |= {"proposer": NAME, "reason": WORDS}
        if theirs(row, row.settler, row.settled_by, made=False):
            given |= {"settler": NAME, "settled_reason": WORDS}
        changed = {column: erased for column, erased in given.items() if getattr(row, column) not in ("", erased)}
        if changed:
            db.exec(update(Proposal).where(col(Proposal.id) == row.id).values(**changed))
        count += len(changed)
    return count


def _label(db: Session, whose: Whose) -> str:
    if whose.link_id:
        return db.exec(select(Link.label).where(col(Link.id) == whose.link_id)).one()
    return db.exec(select(User.name).where(col(User.id) == whose.user_id)).one() if whose.user_id else ""


def _papers(db: Session, gig_id: str, now: datetime) -> None:
    """Empty the kept papers of a gig. Their hashes stay, so that a sheet in somebody's hand can still be told from
    another.
    """
    plans = select(StoredPlan.id).where(col(StoredPlan.gig_id) == gig_id)
    for paper_id in db.exec(select(Paper.id).where(col(Paper.plan_id).in_(plans), col(Paper.content) != b"")).all():
        db.exec(update(Paper).where(col(Paper.id) == paper_id).values(content=b""))
        events.append(db, gig_id=gig_id, kind="paper-erased", party="", actor="", now=now, detail={"paper": paper_id})


def _copies_of_contacts(db: Session, gig: Gig, now: datetime) -> int:
    """Erase the contacts of a gig where they were taken over to the band's other gigs."""
    contacts = db.exec(select(StoredAnswer).where(_free(gig.id), col(StoredAnswer.question).in_(CONTACT))).all()
    said = {(row.question, answer.value) for row in contacts if (answer := row.read())}
    count = 0
    for other in db.exec(select(Gig).where(col(Gig.band_id) == gig.band_id, col(Gig.id) != gig.id)).all():
        found = db.exec(select(StoredAnswer).where(_free(other.id), col(StoredAnswer.question).in_(CONTACT))).all()
        copies = [
            row.id for row in found if row.before and (answer := row.read()) and (row.question, answer.value) in said
        ]
        if copies:
            count += db.exec(update(StoredAnswer).where(col(StoredAnswer.id).in_(copies)).values(given=ERASED)).rowcount
            _papers(db, other.id, now)
            events.append(
                db, gig_id=other.id, kind="erased", party="", actor="", now=now, detail={"why": "asked", "of": "house"}
            )
    return count
