"""One email as it leaves: short, plain text first, the same in simple HTML; no picture, and nothing that tells who read
it.
"""

import email.policy
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from email.header import Header
from email.headerregistry import BaseHeader, HeaderRegistry, UnstructuredHeader
from email.message import EmailMessage
from email.policy import EmailPolicy
from email.utils import format_datetime, formataddr
from typing import ClassVar
from urllib.parse import urlsplit

from portal.store import links
from portal.store.accounts import bands
from portal.store.database.session import Session
from portal.store.emails import addresses, outbox
from portal.store.emails.outbox import Email, Outbox
from portal.store.gigs import Gig
from portal.web.frame.access import write_id_token
from portal.web.frame.links import path_to
from portal.web.frame.pages import Page, environment
from portal.web.frame.running import Portal
from portal.web.mail.readers import Reader, address_of, reader
from portal.web.mail.telling import LINK, NEW_PASSWORD, WAYS_IN, AboutGig, about, one_line
from portal.web.mail.ways_in import WayIn, way_in
from portal.wording.catalogue import gettext, ngettext, read_in
from portal.wording.formats import headed

STOP = "stop emails"
"""What the token is made for by which emails are stopped."""

SENDER = "Gig advance portal"
"""Who writes, as a mail program names it."""


class _OneLine(UnstructuredHeader, BaseHeader):
    """A header that is sent as it is: the library would break up a long address."""

    def fold(self, *, policy: email.policy.Policy) -> str:
        return f"{self.name}: {self}{policy.linesep}"


class _Subject(UnstructuredHeader, BaseHeader):
    """A subject, broken up by the older of the library's two ways: the newer one may begin it with an empty line."""

    def fold(self, *, policy: email.policy.Policy) -> str:
        words = Header(str(self), None if self.isascii() else "utf-8", header_name=self.name)
        return f"{self.name}: {words.encode(linesep=policy.linesep)}{policy.linesep}"


_HEADERS = HeaderRegistry()
_HEADERS.map_to_type("subject", _Subject)
_HEADERS.map_to_type("list-unsubscribe", _OneLine)
_POLICY = EmailPolicy(linesep="\r\n", header_factory=_HEADERS)


@dataclass(frozen=True, kw_only=True)
class Letter(Page):
    """The words of an email; ``title`` is its subject. ``stop`` is empty where the reader asked for it."""

    template: ClassVar[str] = "mail/letter.html"
    greeting: tuple[str, ...]
    gigs: tuple[AboutGig, ...] = ()
    way_in: WayIn | None = None
    foot: tuple[str, ...]
    stop: str

    def text(self) -> str:
        """The email as plain text."""
        blocks = ["\n\n".join(self.greeting)] if self.greeting else []
        for gig in self.gigs:
            lines = [gig.title, gig.act, "", *(f"- {words}" for words in gig.sentences), "", gig.next_step]
            blocks += ["\n".join(lines).strip(), gettext("Open the gig: %(address)s", address=gig.opens)]
        if self.way_in:
            blocks += [*self.way_in.sentences, headed(self.way_in.button, self.way_in.opens)]
        stop = [gettext("Stop these emails: %(address)s", address=self.stop)] if self.stop else []
        return "\n\n".join([*blocks, "-- \n" + "\n".join([*self.foot, *stop])]) + "\n"


def stop_token(key: bytes, email_id: str, address: str) -> str:
    """The token by which the reader of an email stops all of them. It works for no address but the email's own."""
    return write_id_token(key, STOP, email_id, addresses.stop_digest(key, address))


def compose(db: Session, portal: Portal, row: Email, now: datetime) -> EmailMessage | None:
    """The email, in the language that its reader reads, with all that is still true of what it tells; ``None`` where
    that is nothing, or nobody may be told.
    """
    with read_in(addresses.language_of(db, row.who)):
        return _message(db, portal, row, now)


def _message(db: Session, portal: Portal, row: Email, now: datetime) -> EmailMessage | None:
    address = address_of(db, portal.key, row.who)
    # Whoever gave another address since it was gathered reads nothing of the others, whose ways in it may hold.
    told = [one for one in outbox.content(db, row.id) if address_of(db, portal.key, one.who).lower() == address.lower()]
    letter = _letter(db, portal, row, address, told, now) if address and portal.settings.smtp else None
    if letter is None or portal.settings.smtp is None:
        return None
    message = EmailMessage(policy=_POLICY)
    message["From"] = formataddr((SENDER, portal.settings.smtp.sender))
    message["To"] = address
    message["Subject"] = letter.title
    message["Date"] = format_datetime(row.created)
    message["Message-ID"] = f"<{row.id}@{urlsplit(portal.settings.base_url).hostname}>"
    message["Auto-Submitted"] = "auto-generated"
    if letter.stop:
        message["List-Unsubscribe"] = f"<{letter.stop}>"
        message["List-Unsubscribe-Post"] = "List-Unsubscribe=One-Click"
    message.set_content(letter.text(), cte="quoted-printable")
    html = environment().get_template(letter.template).render(page=letter)
    message.add_alternative(html, subtype="html", cte="quoted-printable")
    return message


def _letter(
    db: Session, portal: Portal, row: Email, address: str, told: Sequence[Outbox], now: datetime
) -> Letter | None:
    stop = portal.settings.base_url + path_to("show_stop_emails", stop_token=stop_token(portal.key, row.id, address))
    if told and told[0].kind in WAYS_IN:
        return _way_in(db, portal, row, told[0], stop, now)
    parts = [part for gig_id, rows in outbox.by_gig(told).items() for part in _parts(db, portal, gig_id, rows, now)]
    if not parts:
        return None
    first = parts[0]
    # A list of emails on a phone shows some forty letters: what it is about comes first.
    subject = headed(first.headline, first.title)
    if len(parts) > 1:
        subject = ngettext("News of %(num)s gig", "News of %(num)s gigs", len(parts))
    return Letter(
        title=subject,
        greeting=_greeting(db, told),
        gigs=tuple(parts),
        foot=(
            *dict.fromkeys(part.because for part in parts),
            gettext("The portal wrote this. Nobody reads replies to this address: write on the gig's page."),
        ),
        stop=stop,
    )


def _way_in(db: Session, portal: Portal, row: Email, told: Outbox, stop: str, now: datetime) -> Letter | None:
    """The email of a way in, which goes alone. Whoever asked for it stops it by not asking."""
    found = way_in(db, portal.key, portal.settings, row, told, now)
    if found is None:
        return None
    return Letter(
        title=found.subject,
        greeting=(),
        way_in=found,
        foot=(found.because, gettext("The portal wrote this. Nobody reads replies to this address.")),
        stop="" if told.kind == NEW_PASSWORD else stop,
    )


def _parts(db: Session, portal: Portal, gig_id: str, rows: Sequence[Outbox], now: datetime) -> Iterator[AboutGig]:
    """What is told of one gig: once to each side, however many of its links lead to this one address."""
    gig = db.get(Gig, gig_id)
    sides: dict[str, list[Reader]] = {}
    if gig is None:
        return
    for who in dict.fromkeys(row.who for row in rows):
        if known := reader(db, portal.key, portal.settings.base_url, who, gig, now):
            sides.setdefault(known.party, []).append(known)
    for readers in sides.values():
        whos = {one.who for one in readers}
        mine = {row.once: row for row in rows if row.who in whos}
        if part := about(db, gig, max(readers, key=lambda one: one.powers), [*mine.values()], now):
            yield part


def _greeting(db: Session, told: Sequence[Outbox]) -> tuple[str, ...]:
    """Who sends a link, and what they wrote above it."""
    found: list[str] = []
    for row in told:
        link = links.by_id(db, row.about) if row.kind == LINK else None
        sender = bands.user(db, link.created_by) if link else None
        words = outbox.words_of(db, row.id)
        if sender is not None and words:
            found += [
                gettext("%(name)s writes:", name=one_line(sender.name)),
                *filter(None, map(str.strip, words.split("\n"))),
            ]
    return tuple(found)
