"""Ways in that are sent by email: into a band for somebody new, and back into an account whose password is lost.
Nothing of such a token is stored; it ends with what it was made for.
"""

from dataclasses import dataclass
from datetime import datetime

from portal.settings import Settings
from portal.store.accounts import bands, invitations
from portal.store.accounts.bands import User
from portal.store.accounts.invitations import Invitation
from portal.store.database import scopes
from portal.store.database.rows import new_id
from portal.store.database.session import Session, wake
from portal.store.emails import addresses, outbox
from portal.store.emails.addresses import LOST
from portal.store.emails.outbox import Email, Outbox
from portal.web.frame.access import RESET_LINK_LASTS, id_in_token, id_token_fits, write_id_token
from portal.web.frame.deps import ROLE_WORDS
from portal.web.frame.links import path_to
from portal.web.mail.telling import INVITATION, NEW_PASSWORD, one_line
from portal.wording.catalogue import gettext
from portal.wording.times import say_exactly

UTC = "UTC"


@dataclass(frozen=True)
class WayIn:
    """A way in as an email tells it: subject, sentences, its button's words and address, why it is sent."""

    subject: str
    sentences: tuple[str, ...]
    button: str
    opens: str
    because: str


def send_invitation(db: Session, made: Invitation, address: str, now: datetime) -> None:
    """Have an invitation (already allowed) sent by email."""
    who = addresses.of_invitation(made.id)
    scopes.take(db, scopes.reader(who))
    addresses.give_address(db, who, address, "band", now)
    outbox.note(db, kind=INVITATION, gig_id=None, once=who, who=who, about=made.id, now=now)
    wake(db, "emails", made.id)


def send_new_password(db: Session, user: User | None, now: datetime) -> None:
    """Have a way to a new password sent to an account; where there is none, as much is noted, for nobody."""
    asked = new_id()
    who = LOST + (user.id if user else asked)
    scopes.take(db, scopes.reader(who))
    outbox.note(db, kind=NEW_PASSWORD, gig_id=None, once=f"{NEW_PASSWORD} {asked}", who=who, now=now)
    wake(db, "emails", asked)


def invited_by(db: Session, key: bytes, token: str) -> Invitation | None:
    """The invitation that an email brought, live or not."""
    found = invitations.get(db, id_in_token(token))
    return found if found and id_token_fits(key, token, INVITATION, found.id, found.token_hash) else None


def account_of(db: Session, key: bytes, token: str, now: datetime) -> User | None:
    """The account for which an email brought a way to a new password: once, and not for long."""
    row = outbox.get(db, id_in_token(token))
    user = _lost(db, row, now)
    return user if row and user and id_token_fits(key, token, NEW_PASSWORD, row.id, _ends_with(user)) else None


def way_in(db: Session, key: bytes, settings: Settings, row: Email, told: Outbox, now: datetime) -> WayIn | None:
    """What an email says that brings a way in; ``None`` where it leads nowhere any more."""
    return (
        _invitation(db, key, settings, told, now) if told.kind == INVITATION else _password(db, key, settings, row, now)
    )


def _invitation(db: Session, key: bytes, settings: Settings, told: Outbox, now: datetime) -> WayIn | None:
    made = invitations.get(db, told.about)
    sender = bands.user(db, made.created_by) if made else None
    if made is None or sender is None or not made.live(now):
        return None
    band = one_line(bands.name_of(db, made.band_id))
    token = write_id_token(key, INVITATION, made.id, made.token_hash)
    return WayIn(
        gettext("Join %(band)s", band=band),
        (
            gettext("%(name)s invites you to %(band)s on this portal.", name=one_line(sender.name), band=band),
            gettext("Here a band agrees with each house how its signals reach the desk."),
            f"{ROLE_WORDS[made.role]}.",
            gettext("The link works once, until %(moment)s.", moment=say_exactly(made.expires, UTC)),
        ),
        gettext("Join %(band)s", band=band),
        settings.base_url + path_to("show_join", join_token=token),
        gettext("%(band)s gave this address to invite you.", band=band),
    )


def _password(db: Session, key: bytes, settings: Settings, row: Email, now: datetime) -> WayIn | None:
    user = _lost(db, row, now)
    if user is None:
        return None
    token = write_id_token(key, NEW_PASSWORD, row.id, _ends_with(user))
    return WayIn(
        gettext("A new password"),
        (
            gettext("Somebody asked for a new password for the account of this address."),
            gettext("The link works once, until %(moment)s.", moment=say_exactly(row.created + RESET_LINK_LASTS, UTC)),
            gettext("A new password signs out every other browser."),
            gettext("Was it somebody else? Then do nothing: the password stays as it is."),
        ),
        gettext("Set a new password"),
        settings.base_url + path_to("show_new_password", password_token=token),
        gettext("This address belongs to an account."),
    )


def _lost(db: Session, row: Email | None, now: datetime) -> User | None:
    """Whose password an email is about, while its link works."""
    if row is None or not row.who.startswith(LOST) or now >= row.created + RESET_LINK_LASTS:
        return None
    return bands.user(db, row.who.removeprefix(LOST))


def _ends_with(user: User) -> str:
    """What a way to a new password is bound to: it ends when either changes."""
    return f"{user.email} {user.password_hash}"
