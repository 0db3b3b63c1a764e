"""What is to be told becomes emails, and emails are sent. Each is queued once; it is sent at least once, always under
the same Message-ID, and while the mail server has it nobody holds a transaction.
"""

import logging
from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta
from email.message import EmailMessage
from functools import partial

from starlette.concurrency import run_in_threadpool

from portal.jobs.loop import Job
from portal.store import gigs, progress
from portal.store.database import scopes
from portal.store.database.session import Session
from portal.store.emails import addresses, outbox
from portal.store.emails.outbox import Email, Outbox
from portal.store.gigs import Gig
from portal.store.record import events
from portal.web.frame.running import Portal
from portal.web.mail import smtp
from portal.web.mail.letters import compose
from portal.web.mail.readers import address_of, given_by, of_side
from portal.web.mail.smtp import AGAIN, Outcome
from portal.web.mail.telling import ALONE, ANSWERS_DUE, AT_ONCE, SIGN_DUE, concerns, sides_of

log = logging.getLogger("portal")

GATHERED = timedelta(minutes=10)
"""How long several things are gathered for one email."""

QUIET = timedelta(days=1)
"""How often somebody is told at most of what does not press, of one gig."""

WAITS = tuple(timedelta(minutes=minutes) for minutes in (1, 5, 30, 120, 360, 720))
"""How long after each try the next one comes; the last wait is kept."""

GIVEN_UP = timedelta(hours=48)
"""After this an email that no server took is given up."""

SIGN_DAYS = 3
"""Days before a gig on which each side is reminded to sign (common practice, no source)."""

MOST_DAYS = 30
"""The earliest that a reminder comes before its gig, in days."""

LOOK_S, REMIND_S = 60.0, 3600.0

GATHER = "gather"
"""The one piece of work that is no email."""


def due(db: Session, now: datetime) -> Sequence[str]:
    """The emails that may be sent now, after what has to be gathered."""
    if not addresses.on(db):
        return ()
    gathering = outbox.ripe(db, now - GATHERED, at_once=ALONE)
    return (*([GATHER] if gathering else ()), *outbox.due(db, now))


async def send(portal: Portal, one: str) -> float:
    """Gather, or try to send one email."""
    if one == GATHER:
        await portal.store.write(partial(_gather, portal), scopes.MAIL)
        return LOOK_S
    message = await run_in_threadpool(_compose, portal, one)
    outcome = None
    if message is not None and portal.settings.smtp is not None:
        outcome = await run_in_threadpool(smtp.send, portal.settings.smtp, message)
    to = str(message["To"]) if message is not None else ""
    await portal.store.write(partial(_note, portal, one, outcome, to), scopes.MAIL)
    return 0.0


def _compose(portal: Portal, email_id: str) -> EmailMessage | None:
    with portal.store.reading() as db:
        row = outbox.get(db, email_id)
        return compose(db, portal, row, portal.clock()) if row else None


def _note(portal: Portal, email_id: str, outcome: Outcome | None, to: str, db: Session) -> None:
    """What came of one try: sent, never to be sent, or when it is tried again. ``to``: the address that was tried."""
    now = portal.clock()
    row = outbox.get(db, email_id)
    if row is None:
        return
    state, again = _state(row, outcome, now)
    outbox.tried(db, row.id, state=state, why=outcome or "", due=again, now=now)
    if outcome is Outcome.REFUSED:
        _refuse(db, portal, row, to, now)
    if state != "queued":
        # Whoever has another address by now was told nothing by this email.
        to = to or address_of(db, portal.key, row.who)
        addresses = [(one, address_of(db, portal.key, one.who)) for one in outbox.content(db, row.id)]
        outbox.put_back(db, [one for one, address in addresses if address and address.lower() != to.lower()])
    log.info("email %s id=%s tries=%d why=%s", state, email_id, row.tries + 1, outcome or "untrue")


def _state(row: Email, outcome: Outcome | None, now: datetime) -> tuple[str, datetime]:
    if outcome is None:
        return "dropped", now
    if outcome is Outcome.SENT:
        return "sent", now
    if outcome in AGAIN and now < row.created + GIVEN_UP:
        return "queued", now + WAITS[min(row.tries, len(WAITS) - 1)]
    return "failed", now


def _refuse(db: Session, portal: Portal, row: Email, to: str, now: datetime) -> None:
    """Send nothing more to an address that the server refused, whoever of the email's readers still has it."""
    for who in dict.fromkeys([row.who, *(one.who for one in outbox.content(db, row.id))]):
        if (address := address_of(db, portal.key, who)) and address.lower() == to.lower():
            scopes.take(db, scopes.reader(who))
            addresses.refuse(db, who, address, given_by(db, who), now)
    logging.getLogger("portal.security").warning("email address refused who=%s", row.who)


def _gather(portal: Portal, db: Session) -> None:
    """Find out who reads what is to be told, and put what is ready into emails."""
    now = portal.clock()
    for row in outbox.unread(db):
        outbox.spread(db, row, _readers(db, portal, row, now))
    by_address: dict[str, list[Outbox]] = {}
    for row in outbox.waiting(db):
        address = address_of(db, portal.key, row.who)
        if address:
            by_address.setdefault(address.lower(), []).append(row)
        else:
            outbox.drop(db, [row])
    for rows in by_address.values():
        _gather_for(db, rows, now)
    outbox.forget_told(db, now)


def _readers(db: Session, portal: Portal, row: Outbox, now: datetime) -> Iterable[str]:
    """Everybody who has to be told of an event."""
    gig = db.get(Gig, row.gig_id)
    told = events.at(db, int(row.about))
    if gig is None or told is None or not concerns(told):
        return ()
    return [who for side in sides_of(db, gig, told, now) for who in of_side(db, portal.key, gig, side, now)]


def _gather_for(db: Session, rows: Sequence[Outbox], now: datetime) -> None:
    """One email for one address; a link and a way in go alone and at once."""
    for row in rows:
        if row.kind in ALONE:
            outbox.gather(db, row.who, [row], now)
    rest = [row for row in rows if row.kind not in ALONE]
    readers = {row.who for row in rest}
    ready = []
    for gig_id, told in outbox.by_gig(rest).items():
        last = outbox.last_of_gig(db, readers, gig_id)
        if last is None or last <= now - QUIET or any(row.kind in AT_ONCE for row in told):
            ready += told
    if ready and min(row.created for row in ready) <= now - GATHERED:
        outbox.gather(db, ready[0].who, ready, now)


async def remind(portal: Portal, _what: str) -> float:
    """Note the reminders that are due: to answer, as many days before as the band wants, and to sign."""
    await portal.store.write(partial(_remind, portal), scopes.EVERYTHING)
    return REMIND_S


def _remind(portal: Portal, db: Session) -> None:
    now = portal.clock()
    today = now.date()
    coming = gigs.between(db, today + timedelta(days=1), today + timedelta(days=MOST_DAYS))
    happened = progress.of_gigs(db, coming, now)
    for gig in coming:
        for kind, side in _reminders(db, gig, happened[gig.id], today):
            for who in of_side(db, portal.key, gig, side, now):
                outbox.note(db, kind=kind, gig_id=gig.id, once=f"{kind} {gig.id}", who=who, now=now)


def _reminders(db: Session, gig: Gig, happened: progress.Progress, today: date) -> Iterable[tuple[str, str]]:
    """What is to be reminded of in a gig now, and which side."""
    days = (gig.on - today).days
    if happened.own_pa:
        return
    if happened.link_live and not happened.house_answered and days <= addresses.reminder_days(db, gig.band_id):
        yield ANSWERS_DUE, "house"
    if happened.house_answered and not happened.no_plan and days <= SIGN_DAYS:
        for side, signed in (("band", happened.band_signed), ("house", happened.house_signed)):
            if happened.plan_hash not in signed:
                yield SIGN_DUE, side


EMAILS: Job[Portal] = Job("emails", due, send)
REMINDERS: Job[Portal] = Job(
    "reminders", lambda db, _now: ("by time",) if addresses.on(db) else (), remind, every_s=REMIND_S
)
