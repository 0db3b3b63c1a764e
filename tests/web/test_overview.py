"""The list of gigs: whose turn, since when, days left, and the one next thing as a button."""

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from portal.exchange.example import example_rig
from portal.store import answers, gigs
from portal.store.rigs import BandRig
from portal.web.frame.running import Portal
from portal.web.gig.weeks import weeks
from tests.builders import NOW, ABand, a_gig, a_rig
from tests.planning import plan_now
from tests.web.conftest import Browser
from tests.web.planned import Planned, prepare, words_of


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    return prepare(portal, band, signed_in, enter)


def buttons(html: str) -> list[tuple[str, str]]:
    """What the list offers as the next thing of the reader's own, with its address."""
    main = html[html.index("<main") :]
    found = re.findall(r'<a class="button main" href="([^"]+)">(.*?)</a>', main)
    return [(words_of(words), href) for href, words in found if "/gigs/" in href]


def test_the_next_thing_is_a_button(planned: Planned, portal: Portal) -> None:
    """A plan to sign says whose turn it is, since when, in how many days, and leads to the sign-off."""
    with portal.store.writing() as db:
        answers.send(db, planned.gig.id, planned.link.id, NOW)
    html = planned.band.get("/").text
    words = words_of(html)
    assert f"{(planned.gig.on - NOW.date()).days} days left" in words
    assert re.search(r"Your turn, since \d+ [A-Z][a-z]{2}", words)
    assert buttons(html) == [("Sign for the band", f"{planned.gigs_base}/sign-off")]


def test_a_gig_of_the_list_has_its_button_too(planned: Planned, portal: Portal) -> None:
    """What stands below the next gig offers its next thing in the same way, with the gig's name for whoever hears
    it.
    """
    with portal.store.writing() as db:
        later = a_gig(db, planned.owner, name="Later", on=date(2026, 12, 20))
        plan_now(db, later, NOW)
    assert ("Make the house's link : Later", f"/gigs/{later.id}/links") in buttons(planned.band.get("/").text)


def test_the_weeks_ahead_are_one_line(planned: Planned, portal: Portal) -> None:
    """Gigs of the next eight weeks stand on one line at their days, by whose turn it is; a gig alone needs none, and
    one that is further away is not on it.
    """
    assert 'class="weeks"' not in planned.band.get("/").text
    with portal.store.writing() as db:
        for name, days in (("Later", 2), ("Far", 90)):
            plan_now(db, a_gig(db, planned.owner, name=name, on=planned.gig.on + timedelta(days=days)), NOW)
    html = planned.band.get("/").text
    marks = re.findall(r'class="(mine|theirs|nobody)"><path.*?<rect.*? y="(\d+)".*?<text.*?>(\d+)</text>', html)
    first = (planned.gig.on - NOW.date()).days
    assert marks == [("theirs", "33", str(first)), ("mine", "1", str(first + 2))]


def test_a_day_has_one_place_on_the_line() -> None:
    """From today at its left end to eight weeks from now; Mondays are named; of two gigs side by side the later one is
    above the line, of three the last one below again.
    """
    line = weeks(
        date(2026, 11, 25), [(-1, "mine"), (0, "mine"), (3, "theirs"), (5, "mine"), (56, "nobody"), (57, "mine")]
    )
    assert line is not None
    assert [(one.days, one.above) for one in line.marks] == [(0, False), (3, True), (5, False), (56, False)]
    assert (line.marks[0].at, line.marks[-1].at) == (4, 96)
    assert [one.words for one in line.ticks][:2] == ["30 Nov", "7 Dec"]
    assert len(line.ticks) == 8


def test_a_gig_without_a_house_is_signed_and_ready(planned: Planned) -> None:
    """At the band's own PA nobody is sent a link: the band signs, and then it is nobody's turn."""
    planned.take_rig(example_rig())
    planned.answer(pa="none", who_mixes="band-from-stage")
    html = planned.band.get("/").text
    assert buttons(html) == [("Sign for the band", f"{planned.gigs_base}/sign-off")]
    assert planned.sign("band").status_code == 303
    after = words_of(planned.band.get("/").text)
    assert "ready . The band is ready. Take the sheet along." in after
    assert "Nobody's turn" in after
    assert "link" not in after


def test_an_outdated_signature_leads_to_what_changed(planned: Planned) -> None:
    """Where the band signed an earlier plan, the list leads to what has changed since, and says that it is outdated."""
    assert planned.sign("band").status_code == 303
    planned.answer(inputs_free=2)
    html = planned.band.get("/").text
    assert "outdated" in words_of(html)
    assert buttons(html) == [("See what changed", f"{planned.gigs_base}/plan")]


def test_a_newer_rig_leads_to_what_it_would_change(planned: Planned, portal: Portal) -> None:
    """A revision that the gig does not use yet is named, and its page is one step away."""
    rig = a_rig()
    newer = replace(rig, source=(replace(rig.source[0], label="Another kick"), *rig.source[1:]))
    planned.take_rig(newer)
    with portal.store.writing() as db:
        gig = gigs.of_link(db, planned.gig.id)
        gig.rig_revision_id = planned.gig.rig_revision_id
        db.add(gig)
    html = planned.band.get("/").text
    assert f'href="{planned.gigs_base}/rig">See what revision 2 would change' in html


def test_what_is_past_is_folded_by_year(planned: Planned, portal: Portal) -> None:
    """Ten years of gigs make five folds: four years and all before them."""
    with portal.store.writing() as db:
        for year in range(2016, 2027):
            a_gig(db, planned.owner, name=f"Fair {year}", on=date(year, 3, 5))
    html = planned.band.get("/").text
    said = re.findall(r"<b>Past, (.*?)</b>: (\d+) gig", html)
    assert said == [("2026", "1"), ("2025", "1"), ("2024", "1"), ("2023", "1"), ("before 2023", "7")]
    assert "Fair 2016" in html
    assert html.count("<details") == 5


def test_a_long_list_comes_in_pages_and_loses_no_gig(
    portal: Portal, band: ABand, signed_in: Browser, club_rig: BandRig
) -> None:
    """Every gig to come and every past or cancelled one stands on exactly one page, in order; no page is without
    bounds, and one that is not there is not found.
    """
    count = 2 * gigs.A_PAGE + 7
    with portal.store.writing() as db:
        for number in range(count):
            for sign, name in ((1, "Ahead"), (-1, "Behind")):
                a_gig(
                    db,
                    band,
                    stored=club_rig,
                    name=f"{name} {number:03}",
                    on=NOW.date() + timedelta(sign * (9 + number)),
                )
        gone = a_gig(db, band, stored=club_rig, name="Behind off", on=NOW.date() + timedelta(9 + count))
        gigs.cancel(db, gone, gone.version, NOW, actor="user:x")
    for name, more in (("Ahead", "Later gigs"), ("Behind", "Earlier gigs")):
        seen: list[str] = []
        path = "/"
        while path:
            html = signed_in.get(path).text
            several = re.findall(rf'<a href="/gigs/[0-9a-f-]+">({name} \w+)</a>', html)
            assert 0 < len(several) <= gigs.A_PAGE
            seen += several
            onward = re.search(rf'<a href="([^"]+)">{more}</a>', html)
            path = onward[1] if onward else ""
        off = ["Behind off"] if name == "Behind" else []
        assert seen == [*off, *(f"{name} {number:03}" for number in range(count))]
    assert signed_in.get("/?later=40").status_code == 404
    assert signed_in.get("/?earlier=x").status_code == 404
