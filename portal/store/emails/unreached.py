"""Whom of the house no email reaches, because the mail server refused the address for good."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import aliased
from sqlmodel import Session, col, func, select

from portal.store.emails.addresses import EmailAddress, on
from portal.store.house.house_gigs import StageGig
from portal.store.house.houses import House, HouseStage
from portal.store.links import Link

_Other = aliased(StageGig)


@dataclass(frozen=True)
class Unreached:
    """Somebody of the house of one gig: the label of a link, or the house's name; and which side gave the address."""

    gig_id: str
    name: str
    given_by: str


def of_gigs(db: Session, gig_ids: Collection[str], now: datetime) -> list[Unreached]:
    """Whom no email about some gigs (already allowed) reaches. Nobody where the portal sends none."""
    if not on(db):
        return []
    refused = col(EmailAddress.refused_at).is_not(None)
    by_link = (
        select(Link.gig_id, Link.label, EmailAddress.given_by)
        .join(EmailAddress, col(EmailAddress.who) == "link:" + col(Link.id))
        .where(col(Link.gig_id).in_(gig_ids), refused, col(Link.revoked_at).is_(None), col(Link.expires) > now)
        .order_by(col(Link.created))
    )
    newest = select(func.max(_Other.created)).where(col(_Other.gig_id) == col(StageGig.gig_id)).scalar_subquery()
    by_house = (
        select(StageGig.gig_id, House.name, EmailAddress.given_by)
        .join(HouseStage, col(HouseStage.id) == col(StageGig.stage_id))
        .join(House, col(House.id) == col(HouseStage.house_id))
        .join(EmailAddress, col(EmailAddress.who) == "house:" + col(House.id))
        .where(col(StageGig.gig_id).in_(gig_ids), refused, col(StageGig.created) == newest)
    )
    return [Unreached(*row) for row in (*db.exec(by_link), *db.exec(by_house))]
