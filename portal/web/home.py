"""The first page: the band's gigs, or what this is and the way in."""

from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from fastapi import APIRouter, Request
from fastapi.responses import Response

from portal.store import gigs
from portal.web import links
from portal.web.deps import Db, MaybeUser
from portal.web.pages import Page, render

router = APIRouter()


@dataclass(frozen=True, kw_only=True)
class Landing(Page):
    """What the portal does, and the way in."""

    template: ClassVar[str] = "landing.html"


@dataclass(frozen=True)
class GigLine:
    """One gig of the list."""

    name: str
    place: str
    on: date
    href: str
    cancelled: bool


@dataclass(frozen=True, kw_only=True)
class Home(Page):
    """The band's gigs."""

    template: ClassVar[str] = "home.html"
    gigs: tuple[GigLine, ...]


@router.get("/")
def home(request: Request, user: MaybeUser, db: Db) -> Response:
    """The list of gigs for whoever is signed in, else the landing page."""
    if user is None:
        return render(request, Landing(title="One plan that both sides sign"))
    lines = tuple(GigLine(gig.name, gig.place, gig.on, links.gig(gig.id), gig.cancelled_at is not None) for gig in gigs.of_band(db, user.band_id))
    return render(request, Home(title="Gigs", gigs=lines))
