"""Which houses a browser remembers: a signed cookie for each, which ends with the house's key.

The cookie opens the house's own pages. A gig it opens only as far as the link does by which the gig was tied.
"""

import hmac
import logging
import re
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Annotated

from fastapi import Depends, Request
from fastapi.responses import Response

from portal.store.database.server_key import keyed_hash
from portal.store.database.session import Session
from portal.store.house import houses
from portal.store.house.houses import House, HouseStage
from portal.web.frame import cookies
from portal.web.frame.access import BROWSER_KNOWN, token_hash
from portal.web.frame.deps import Db, Here, Now, note_language
from portal.web.frame.errors import NotThere, PortalError
from portal.web.frame.links import path_to
from portal.web.frame.pages import Viewer
from portal.web.frame.rate_limiter import address_of, take_place
from portal.web.frame.running import Portal
from portal.wording.catalogue import gettext

log = logging.getLogger("portal.security")

MOST_REMEMBERED = 8
"""Houses that one browser remembers; an engineer who works for more opens the others by their keys."""


@dataclass(frozen=True)
class AllowedHouse:
    """A house whose key this browser has, and the name under which one-time keys are kept."""

    house: House
    actor: str


def cookie_name(portal: Portal, house_id: str = "") -> str:
    """Name of the cookie of a house; without one, how all of them begin."""
    return cookies.cookie_name(portal.settings).replace("account", f"at-{house_id}")


def cookie_value(portal: Portal, house: House, until: datetime) -> str:
    """What a browser holds that remembers a house (already allowed): until when, and what only this server can write
    for that end and this key.
    """
    end = int(until.timestamp())
    return f"{end}.{_mac(portal, house, end)}"


def remember(portal: Portal, response: Response, house: House, now: datetime) -> None:
    """Let a browser remember a house (already allowed)."""
    value = cookie_value(portal, house, now + BROWSER_KNOWN)
    cookies.set_cookie(portal.settings, response, cookie_name(portal, house.id), value, lasts=BROWSER_KNOWN)


def forget(portal: Portal, response: Response, house_id: str) -> None:
    """Let a browser forget a house."""
    cookies.clear_cookie(portal.settings, response, cookie_name(portal, house_id))


def remembered(request: Request, db: Session, portal: Portal, now: datetime) -> list[House]:
    """The houses whose keys this browser has, by name."""
    prefix = cookie_name(portal)
    ids = [name.removeprefix(prefix) for name in request.cookies if name.startswith(prefix)]
    found = (_house(request, db, portal, now, house_id) for house_id in ids[:MOST_REMEMBERED])
    return sorted((house for house in found if house), key=lambda house: (house.name, house.id))


def remembered_stages(request: Request, db: Session, portal: Portal, now: datetime) -> list[tuple[House, HouseStage]]:
    """The stages of those houses."""
    known = remembered(request, db, portal, now)
    return [(house, stage) for house in known for stage in houses.stages_of(db, house.id)]


def the_house(house_id: str, request: Request, db: Db, portal: Here, now: Now) -> AllowedHouse:
    """The house of the address; 404 for one that is absent or whose key this browser does not have."""
    house = _house(request, db, portal, now, house_id)
    if house is None:
        raise NotThere
    request.state.viewer = Viewer(house.name, "house", "", path_to("show_house", house_id=house.id))
    note_language(request, db, f"house:{house.id}")
    return AllowedHouse(house, f"house:{house.id}")


TheHouse = Annotated[AllowedHouse, Depends(the_house)]


def house_of_key(db: Session, request: Request, portal: Portal, key: str) -> House:
    """The house that a key opens. Wrong ones get one and the same page, and too many of those a limiter."""
    house = houses.by_key_hash(db, token_hash(key))
    if house is None:
        take_place((portal.link_limiter, address_of(request)))
        log.warning("house key refused")
        raise PortalError(
            404,
            gettext("This house key does not work"),
            gettext(
                "It may be cut short or replaced. Copy all of it. A lost key cannot be shown again: answer the next"
                " gig without it, and keep the answers anew."
            ),
        )
    return house


def _house(request: Request, db: Session, portal: Portal, now: datetime, house_id: str) -> House | None:
    value = request.cookies.get(cookie_name(portal, house_id), "")
    until, _, mac = value.partition(".")
    if not re.fullmatch(r"[0-9]{1,11}", until) or now >= datetime.fromtimestamp(int(until), UTC):
        return None
    house = houses.by_id(db, house_id)
    if house is None or not hmac.compare_digest(mac.encode(), _mac(portal, house, int(until)).encode()):
        return None
    return house


def _mac(portal: Portal, house: House, until: int) -> str:
    return keyed_hash(portal.key, "house", f"{house.id} {house.key_hash} {until}".encode())
