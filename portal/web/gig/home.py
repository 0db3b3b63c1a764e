"""The first page: the band's gigs, or what this is and the way in."""

from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request
from fastapi.responses import Response

from portal.advance.gig_status import GigState, Standing, standings
from portal.advance.time_format import say_date
from portal.store import gigs, rigs
from portal.store.gigs import Gig
from portal.web.frame.deps import Db, MaybeUser, Now
from portal.web.frame.links import Screens, band_base
from portal.web.frame.live import home_live
from portal.web.frame.pages import Page, render

router = Screens()

PAST = (GigState.PLAYED, GigState.CANCELLED)


@dataclass(frozen=True, kw_only=True)
class Landing(Page):
    """What the portal does, and the way in."""

    template: ClassVar[str] = "frame/landing.html"


@dataclass(frozen=True)
class GigLine:
    """One gig of the list."""

    name: str
    place: str
    when: str
    href: str
    standing: Standing


@dataclass(frozen=True, kw_only=True)
class Home(Page):
    """The band's gigs, the ones to come from the nearest on, the past ones backwards."""

    template: ClassVar[str] = "gig/home.html"
    coming: tuple[GigLine, ...]
    past: tuple[GigLine, ...]
    has_rig: bool
    live: str


@router.get("/")
def home(request: Request, user: MaybeUser, db: Db, now: Now) -> Response:
    """The list of gigs for whoever is signed in, else the landing page."""
    if user is None:
        return render(request, Landing(title="One plan that both sides sign"))
    backwards = gigs.of_band(db, user.band_id)
    stand = standings(db, backwards, now)

    def line(gig: Gig) -> GigLine:
        return GigLine(gig.name, gig.place, say_date(gig.on), band_base(gig.id), stand[gig.id])

    return render(
        request,
        Home(
            title="Gigs",
            coming=tuple(line(gig) for gig in reversed(backwards) if stand[gig.id].state not in PAST),
            past=tuple(line(gig) for gig in backwards if stand[gig.id].state in PAST),
            has_rig=bool(rigs.of_band(db, user.band_id)),
            live=home_live(db, backwards),
        ),
    )
