"""How emails to somebody stand, in a sentence for the side that gave the address."""

from collections.abc import Sequence

from portal.store.database.session import Session
from portal.store.emails import addresses, outbox
from portal.store.emails.outbox import Email
from portal.store.emails.unreached import Unreached
from portal.wording.catalogue import Words, look_up, mark
from portal.wording.catalogue import gettext as _
from portal.wording.formats import join_and
from portal.wording.times import say_exactly

UTC = "UTC"

_WHY = Words(
    {
        "deferred": mark("The mail server did not take the last email yet."),
        "cut": mark("The line ended before the mail server answered, so the last email may have arrived."),
        "slow": mark("The mail server did not answer in time."),
        "down": mark("The portal did not reach the mail server."),
    }
)
"""Why an email waits, by what came of the last try."""

STOPPED = mark("Whoever reads this address stopped these emails. Send the link another way.")


def email_status(db: Session, key: bytes, who: str, address: str, zone: str = UTC) -> str:
    """How emails to somebody stand; empty where no address is known."""
    if not address:
        return ""
    given = addresses.address_of(db, who)
    if given is not None and given.refused_at is not None:
        when = say_exactly(given.refused_at, zone)
        return _(
            "The mail server refused this address: %(when)s. No email goes there. Enter another address.", when=when
        )
    if addresses.stopped(db, addresses.stop_digest(key, address)):
        return look_up(STOPPED)
    newest = outbox.newest_of(db, who)
    return _of_email(newest, zone) if newest else _("No email was sent yet.")


def no_email_reaches(party: str, found: Sequence[Unreached]) -> str:
    """Whom of the house no email reaches, and what to do, for one side; empty where all are reached."""
    mine = [one.name for one in found if one.given_by == party]
    if party == "house":
        return (
            _("No email about this gig arrives: the mail server refused the address. Enter another one") if mine else ""
        )
    theirs = [one.name for one in found if one.given_by != party]
    told = (
        [_("No email reaches %(mine)s: the mail server refused the address. Enter another one", mine=join_and(mine))]
        if mine
        else []
    )
    if theirs:
        told.append(
            _(
                "No email reaches %(theirs)s: the mail server refused the address that the house gave. Say so on the"
                " phone, or send the link another way",
                theirs=join_and(theirs),
            )
        )
    return ". ".join(told)


def _of_email(row: Email, zone: str) -> str:
    if row.state == "sent":
        return _("The last email was sent: %(zone)s.", zone=say_exactly(row.sent_at or row.created, zone))
    if row.state == "failed":
        return (
            _("The mail server refused the last email. What it told stands on the gig's page.")
            if row.why == "rejected"
            else _("The last email was given up after two days. What it told stands on the gig's page.")
        )
    if row.why in _WHY:
        return _(
            "%(why)s The portal sends the same email again: %(zone)s.",
            why=_WHY[row.why],
            zone=say_exactly(row.due, zone),
        )
    return _("An email is on its way.")
