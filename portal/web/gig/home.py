"""The first page: the band's gigs, or what this is and the way in."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from itertools import groupby
from typing import ClassVar
from zoneinfo import ZoneInfo

from fastapi import Request
from fastapi.responses import Response

from portal.advance.status.email_status import no_email_reaches
from portal.advance.status.gig_status import PAST, GigState, Standing, standings
from portal.store import gigs, looks, rigs
from portal.store.database.session import Session
from portal.store.day import line_checks
from portal.store.emails import addresses, unreached
from portal.store.emails.unreached import Unreached
from portal.store.gigs import Gig
from portal.web.frame.deps import BAND_POWERS, BandUser, Db, MaybeUser, Now
from portal.web.frame.links import Screens, band_base, path_to
from portal.web.frame.live import home_live
from portal.web.frame.pages import Page, render
from portal.web.frame.paging import PageNumber, both_ways
from portal.web.gig.post_gig_review import findings_of
from portal.web.gig.weeks import Weeks, weeks
from portal.wording.catalogue import gettext
from portal.wording.times import TIME_WORDS, say_date, say_minutes

router = Screens()


YEARS_APART = 4
"""Years of past gigs that are folded each by itself."""

LOOKED_BACK = 3
"""So many of the latest gigs with a line check are asked what they left over; each costs a reading of its plan."""


@dataclass(frozen=True, kw_only=True)
class Landing(Page):
    """What the portal does, and the way in."""

    template: ClassVar[str] = "frame/landing.html"


@dataclass(frozen=True)
class Deed:
    """The one next thing: its words, and where it is done."""

    words: str
    href: str


@dataclass(frozen=True)
class GigLine:
    """One gig of the list. ``turn``: mine, theirs or nobody; ``newer_rig``: the number of a revision of the rig that it
    does not use yet, 0 where there is none; ``rig_href``: where to look at it. ``unreached``: whom of the house no
    email reaches.
    """

    name: str
    place: str
    when: str
    times: str
    days: int
    href: str
    standing: Standing
    turn: str
    since: str
    deed: Deed | None
    newer_rig: int
    changed: int
    rig_href: str
    unreached: str
    emails_href: str


@dataclass(frozen=True)
class LeftOver:
    """A gig that is over and left something to decide."""

    name: str
    when: str
    lines: int
    href: str


@dataclass(frozen=True, kw_only=True)
class Home(Page):
    """The band's gigs: the next one first, those to come, what the past ones left over, and the past by year.
    ``whole``: there are no other pages of the past; ``first_page``, ``later`` and ``earlier`` lead to what is not on
    this page.
    """

    template: ClassVar[str] = "gig/home.html"
    next: GigLine | None
    coming: tuple[GigLine, ...]
    left_over: tuple[LeftOver, ...]
    past: tuple[tuple[str, tuple[GigLine, ...]], ...]
    whole: bool
    first_page: str
    later: str
    earlier: str
    weeks: Weeks | None
    has_rig: bool
    live: str
    not_reached: bool


@router.get("/")
def home(
    request: Request, user: MaybeUser, db: Db, now: Now, later: PageNumber = 0, earlier: PageNumber = 0
) -> Response:
    """The list of gigs for whoever is signed in, else the landing page. One page of those to come and one of the past;
    a further page of either is shown alone.
    """
    if user is None:
        return render(request, Landing(title=gettext("One plan that both sides sign")))
    page = both_ways(
        lambda number: gigs.coming(db, user.band_id, now, number),
        lambda number: gigs.gone(db, user.band_id, now, number),
        later,
        earlier,
        partial(path_to, "home"),
    )
    forwards, backwards, first = page.forwards, page.backwards, not page.first_page
    shown = {gig.id: gig for gig in (*forwards, *backwards)}
    stand = standings(db, list(shown.values()), now)
    numbers = rigs.newest_numbers(db, user.band_id)
    refused: dict[str, list[Unreached]] = {}
    for one in unreached.of_gigs(db, [gig.id for gig in forwards if stand[gig.id].state not in PAST], now):
        refused.setdefault(one.gig_id, []).append(one)
    changed = looks.news_of(db, "band", looks.seen(db, [user.actor], list(shown)))

    def lines(several: Sequence[Gig]) -> Iterator[tuple[Gig, GigLine]]:
        for gig in several:
            line = _line(gig, stand[gig.id], user, numbers, now, changed=changed.get(gig.id, 0))
            yield gig, replace(line, unreached=no_email_reaches("band", refused.get(gig.id, ())))

    coming = tuple(line for _, line in lines([one for one in forwards if stand[one.id].state not in PAST]))
    past = lines([one for one in backwards if stand[one.id].state in PAST])
    return render(
        request,
        Home(
            title=gettext("Gigs"),
            next=coming[0] if first and coming else None,
            coming=coming[1:] if first else coming,
            left_over=tuple(_left_over(db, user, backwards, stand, now)) if first else (),
            past=tuple(_by_year(past, now)),
            whole=first and not page.earlier,
            first_page=page.first_page,
            later=page.later,
            earlier=page.earlier,
            weeks=weeks(now.date(), ((line.days, line.turn) for line in coming)) if first else None,
            has_rig=bool(numbers),
            not_reached=addresses.refused(db, user.actor),
            live=home_live(db, forwards) if first else "",
        ),
    )


def _by_year(past: Iterator[tuple[Gig, GigLine]], now: datetime) -> Iterator[tuple[str, tuple[GigLine, ...]]]:
    """The past gigs of this year and the years before it, those that are long past together."""
    oldest = now.year - YEARS_APART + 1

    def year(one: tuple[Gig, GigLine]) -> str:
        at = one[0].on.year
        return str(at) if at >= oldest else gettext("before %(year)s", year=oldest)

    return ((words, tuple(line for _, line in of)) for words, of in groupby(past, year))


def _line(
    gig: Gig, standing: Standing, user: BandUser, numbers: Mapping[str, tuple[str, int]], now: datetime, *, changed: int
) -> GigLine:
    base = band_base(gig.id)
    mine = standing.actor in ("band", "both") and "edit" in BAND_POWERS[user.role]
    revision_id, number = numbers.get(gig.rig_id, ("", 0))
    local = ZoneInfo(gig.time_zone)
    return GigLine(
        name=gig.name,
        place=gig.place,
        when=say_date(gig.on),
        times=", ".join(
            f"{words} {say_minutes(gig.minutes[key])}" for key, words in TIME_WORDS.items() if key in gig.minutes
        ),
        days=(gig.on - now.astimezone(local).date()).days,
        href=base,
        standing=standing,
        turn="nobody" if standing.actor == "nobody" else "mine" if mine else "theirs",
        since=_day(standing.since.astimezone(local)) if standing.since else "",
        deed=_deed(base, standing, mine=mine),
        changed=changed,
        rig_href=path_to("show_newer_rig", base) if "edit" in BAND_POWERS[user.role] else base,
        unreached="",
        emails_href=path_to("show_emails", base) if "given" in BAND_POWERS[user.role] else "",
        newer_rig=number if revision_id != gig.rig_revision_id and standing.state not in PAST else 0,
    )


def _day(moment: datetime) -> str:
    return f"{moment.day} {moment:%b}"


def _deed(base: str, standing: Standing, *, mine: bool) -> Deed | None:
    """What the band does next, or where it looks while the house acts."""
    rules = (
        (standing.actor == "nobody", gettext("Day sheet"), "show_day"),
        (not mine, gettext("Plan"), "show_plan"),
        (standing.state is GigState.PREPARING and not standing.own_pa, gettext("Make the house's link"), "show_links"),
        (standing.no_plan, gettext("See what clashes"), "show_plan"),
        (standing.state is GigState.OUTDATED, gettext("See what changed"), "show_plan"),
        (True, gettext("Sign for the band"), "show_sign_off"),
    )
    if standing.state in PAST:
        return None
    words, screen = next((words, screen) for fits, words, screen in rules if fits)
    return Deed(words, path_to(screen, base))


def _left_over(
    db: Session, user: BandUser, backwards: Sequence[Gig], stand: Mapping[str, Standing], now: datetime
) -> Iterator[LeftOver]:
    """What the latest gigs left to decide, for whoever may decide it."""
    if "edit" not in BAND_POWERS[user.role]:
        return
    played = [gig for gig in backwards if stand[gig.id].state is GigState.PLAYED]
    told = line_checks.told_something(db, [gig.id for gig in played])
    for gig in [gig for gig in played if gig.id in told][:LOOKED_BACK]:
        findings = findings_of(db, gig, now)
        if findings:
            yield LeftOver(gig.name, say_date(gig.on), len(findings), path_to("show_review", band_base(gig.id)))
