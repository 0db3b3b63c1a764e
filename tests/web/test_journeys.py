"""The whole job in a real browser: from the rig to a sheet that both sides signed, with script, without it, by
keyboard, and over a bad line.
"""

import re

import pypdfium2
import pytest
from playwright.sync_api import Page, Route

from portal.plan.model import Plan
from portal.store import answers, gigs, plans, signoffs
from portal.store.database.session import Store
from tests.web import journey
from tests.web.conftest import Open
from tests.web.persons import AtTheKeyboard, BadLine, Patient, Person

pytestmark = [pytest.mark.browser, pytest.mark.slow]

PHONE = {"width": 360, "height": 740}


def no_file(page: Page) -> None:
    def answer(route: Route) -> None:
        route.fulfill(status=404, body="")

    page.route(re.compile(r"/static/page.js"), answer)


def the_whole_job(band: Person, house: Person) -> tuple[str, tuple[list[str], str]]:
    """From nothing to two signatures; the gig's id, and what both saw of the plan."""
    journey.sign_up(band)
    journey.write_the_rig(band)
    gig_id = journey.make_the_gig(band)
    house.go(journey.make_the_link(band, gig_id))
    journey.answer_as_the_house(house)
    band_base, house_base = f"/gigs/{gig_id}", f"/house/{gig_id}"
    seen_by_band, seen_by_house = (
        journey.facts_of_the_plan(band, band_base),
        journey.facts_of_the_plan(house, house_base),
    )
    assert seen_by_band == seen_by_house
    journey.sign(house, house_base, "Noor", "house engineer", "house")
    journey.sign(band, band_base, "Ada", "band leader", "band")
    return gig_id, seen_by_band


def assert_kept(store: Store, gig_id: str, seen: tuple[list[str], str]) -> Plan:
    """The database holds one plan as both saw it, with everything that was typed, once."""
    with store.reading() as db:
        plan = plans.newest(db, gig_id)
        assert plan is not None
        outcome = plan.read()
        given = answers.current(db, gig_id)
        signed = {party: signoffs.standing(db, gig_id, party) for party in ("band", "house")}
        history = signoffs.history(db, gig_id)
        made = gigs.of_band(db, gigs.of_link(db, gig_id).band_id)
        times = gigs.of_link(db, gig_id).minutes
    assert isinstance(outcome, Plan)
    # A line that the mixer makes of several sources is drawn behind the last of them.
    sources = {one.source: one.label for one in outcome.ear_inputs}
    for shown, line in zip(seen[0], outcome.lines, strict=True):
        assert shown in {line.label, sources.get(line.sources[-1])}
    assert plan.content_hash.startswith(seen[1].replace(" ", ""))
    assert (given["inputs-free"].value, given["box-distance"].value, times["curfew"]) == (12, 1050, 1530)
    assert given["contact-name"].value == journey.FIRST_ANSWERS["contact-name"]
    assert {row.content_hash for row in signed.values() if row} == {plan.content_hash}
    assert (len(history), len(made)) == (2, 1)
    return outcome


SCRIPT, NO_SCRIPT, MISSING = "script", "no script", "script missing"


@pytest.mark.parametrize(
    ("of_band", "of_house"),
    [
        (SCRIPT, SCRIPT),
        (MISSING, NO_SCRIPT),
        pytest.param(NO_SCRIPT, MISSING, marks=pytest.mark.soak),
    ],
)
def test_the_whole_job_from_rig_to_signed_sheet(open_page: Open, store: Store, of_band: str, of_house: str) -> None:
    """Band and house, each in a browser of its own, get from nothing to one signed sheet; both sides and the database
    hold the same facts.
    """
    band = open_page("/sign-in", java_script_enabled=of_band != NO_SCRIPT)
    house = open_page("/sign-in", java_script_enabled=of_house != NO_SCRIPT, viewport=PHONE)
    for page, way in ((band, of_band), (house, of_house)):
        if way == MISSING:
            no_file(page)
    gig_id, seen = the_whole_job(Person(band), Person(house))
    outcome = assert_kept(store, gig_id, seen)
    with band.expect_download() as download:
        band.get_by_role("link", name="Download the patch sheet").first.click()
    sheet = pypdfium2.PdfDocument(download.value.path())
    paper = " ".join(page.get_textpage().get_text_range() for page in sheet)
    assert all(line.label.replace(" ", "") in paper.replace(" ", "") for line in outcome.lines)
    assert "Noor" in paper
    assert seen[1].split()[0] in paper
    band.goto("/")
    assert band.get_by_text("agreed").first.is_visible()


@pytest.mark.soak
def test_the_keyboard_is_enough(open_page: Open, store: Store) -> None:
    """Both sides do the whole job without a mouse; after each button the focus is somewhere on the page."""
    band, house = AtTheKeyboard(open_page("/sign-in")), AtTheKeyboard(open_page("/sign-in", viewport=PHONE))
    gig_id, seen = the_whole_job(band, house)
    assert_kept(store, gig_id, seen)
    for who, one in (("band", band), ("house", house)):
        print(f"\n{who}: steps={one.steps} keys={one.keys} swaps={one.swaps} focus_lost={one.lost}")  # noqa: T201 - shown with -s
    assert band.lost + house.lost == []
    assert band.swaps + house.swaps > 10


def test_the_shortest_way_to_a_plan(open_page: Open) -> None:
    """From an empty account to a first plan: so many pages, keys and seconds, and no more."""
    band = AtTheKeyboard(open_page("/sign-in"))
    journey.sign_up(band)
    band.steps = band.keys = 0
    journey.write_the_rig(band)
    band.follow("New gig with this rig")
    for selector, text in (("#name", "Club night"), ("#place", "The Tallow Room"), ("#on", "2026-12-05")):
        band.fill(selector, text)
    band.select("#zone", "Europe/London")
    band.press("Make the gig")
    journey.leave_open_who_mixes(band)
    assert band.page.get_by_text("lines to the house stage box").first.is_visible()
    print(f"\nempty account to first plan: steps={band.steps} keys={band.keys}")  # noqa: T201 - shown with -s
    assert band.steps <= 7
    assert band.keys <= 140


@pytest.mark.soak
@pytest.mark.parametrize("seed", range(3))
def test_a_bad_line_loses_nothing(open_page: Open, store: Store, seed: int) -> None:
    """At 400 kbit/s and 400 ms, with one request in ten lost, both sides finish; nothing typed is lost, and nothing is
    done twice.
    """
    line = BadLine()
    line.random.seed(seed)
    band, house = Patient(open_page("/sign-in")), Patient(open_page("/sign-in", viewport=PHONE))
    for person in (band, house):
        line.lay(person.page)
        person.page.set_default_timeout(60_000)
    gig_id, seen = the_whole_job(band, house)
    assert_kept(store, gig_id, seen)
    said = [f"told={one.told} reloads={one.reloads} typed_lost={one.typed_lost}" for one in (band, house)]
    print(f"\n{dict(line.counts)} band: {said[0]} house: {said[1]}")  # noqa: T201 - shown with -s
    assert band.typed_lost + house.typed_lost == []
    assert line.counts["lost requests"] + line.counts["lost answers"] > 2
