"""Who reads what is told: the band's people by their accounts, the house by the addresses that were given for its links
or for the house itself.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from portal.settings import is_address
from portal.store import links
from portal.store.accounts import bands
from portal.store.database.session import Session
from portal.store.emails import addresses
from portal.store.emails.addresses import LOST
from portal.store.gigs import Gig
from portal.store.house import house_gigs, inquiries
from portal.web.frame.access import WAY_IN, write_id_token
from portal.web.frame.links import band_base, path_to
from portal.wording.catalogue import Words, gettext, mark

BAND_READS = frozenset({"owner", "editor"})
"""Who of a band is told: whoever may change the gig."""


_BECAUSE = Words(
    {
        "house": mark("The house gave this address to be told about the gig."),
        "band": mark("The band gave this address to be told about the gig."),
    }
)
"""Why somebody of the house is written to, by the side that gave the address."""


@dataclass(frozen=True)
class Reader:
    """One reader of one gig: from which side, why they are written to, where their page of the gig is opened, and how
    many powers they have there.
    """

    who: str
    party: str
    because: str
    opens: str
    powers: int = 0


def address_of(db: Session, key: bytes, who: str) -> str:
    """Where somebody is reached now; empty where nothing was given, the address was refused, or it wants no emails.
    Whoever lost a password is always tried: they asked for it.
    """
    if who.startswith(LOST):
        return known_address(db, who)
    given = addresses.address_of(db, who)
    if given is not None and given.refused_at is not None:
        return ""
    address = known_address(db, who)
    return address if address and not addresses.stopped(db, addresses.stop_digest(key, address)) else ""


def known_address(db: Session, who: str) -> str:
    """The address of an account, or the one that was given for a link or a house; empty where there is none."""
    kind, _, row_id = who.partition(":")
    if f"{kind}:" in ("user:", LOST):
        user = bands.user(db, row_id)
        return user.email if user and is_address(user.email) else ""
    return addresses.given_address(db, who)


def of_side(db: Session, key: bytes, gig: Gig, party: str, now: datetime) -> list[str]:
    """Everybody of one side of a gig who is reached by email."""
    readers = _band(db, gig) if party == "band" else _house(db, gig, now)
    return [who for who in readers if address_of(db, key, who)]


def _band(db: Session, gig: Gig) -> Iterator[str]:
    for one in bands.members(db, gig.band_id):
        if one.role in BAND_READS:
            yield f"user:{one.user_id}"


def _house(db: Session, gig: Gig, now: datetime) -> Iterator[str]:
    for link in links.of_gig(db, gig.id):
        if link.live(now) and link.party == "house":
            yield f"link:{link.id}"
    asked = inquiries.of_gig(db, gig.id)
    stage = house_gigs.stage_of(db, gig.id) or (asked[2] if asked else None)
    if stage is not None:
        yield f"house:{stage.house_id}"


def reader(db: Session, key: bytes, base_url: str, who: str, gig: Gig, now: datetime) -> Reader | None:
    """Somebody as a reader of a gig; ``None`` where they have no part in it any more."""
    kind, _, row_id = who.partition(":")
    if kind == "user":
        if who not in set(_band(db, gig)):
            return None
        name = bands.name_of(db, gig.band_id)
        because = gettext("This address belongs to an account of %(band)s.", band=name)
        return Reader(who, "band", because, base_url + band_base(gig.id))
    given = addresses.address_of(db, who)
    link = links.get(db, gig.id, row_id) if kind == "link" else _tied(db, row_id, gig.id)
    if given is not None and kind == "house" and inquiries.waiting(db, row_id, gig.id):
        # The gig is not the house's yet: its list has it, for whoever has the house key.
        return Reader(
            who, "house", _BECAUSE["house"], base_url + path_to("show_house", house_id=row_id, language=given.language)
        )
    if given is None or link is None or not link.live(now):
        return None
    opens = base_url + path_to("show_link", token=way_in(key, link), language=given.language)
    return Reader(who, "house", _BECAUSE[given.given_by], opens, len(link.powers.split()))


def way_in(key: bytes, link: links.Link) -> str:
    """The token by which an email leads in by a link: it ends with the link, and nothing of it is stored."""
    return write_id_token(key, WAY_IN, link.id, link.token_hash)


def _tied(db: Session, house_id: str, gig_id: str) -> links.Link | None:
    tied = house_gigs.of_gig(db, house_id, gig_id)
    return tied.link if tied else None


def given_by(db: Session, who: str) -> str:
    """The side that gave somebody's address."""
    given = addresses.address_of(db, who)
    return given.given_by if given else "band" if who.startswith("user:") else "house"
