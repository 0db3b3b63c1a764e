"""The whole job in a real browser: from the rig to a sheet that both sides signed, with script, without it, and with its file missing."""

import re
from collections.abc import Callable
from datetime import timedelta

import pypdfium2
import pytest
from playwright.sync_api import Page, Route

from portal.plan.words import Plan
from portal.store import answers, gigs, plans, signoffs
from portal.store.session import Store
from tests.builders import NOW, PASSWORD
from tests.web.conftest import Open

pytestmark = [pytest.mark.browser, pytest.mark.slow]

PHONE = {"width": 360, "height": 740}
FIRST_ANSWERS = {
    "who-mixes": "house-engineer",
    "what-they-want": "as-much-split-as-fits",
    "inputs-free": "12 ch",
    "box-place": "stage-left",
    "box-distance": "10,5 m",
    "rack-power": "yes",
    "pa": "stereo",
    "room-capacity": "350",
    "wedge-mixes": "0",
    "contact-name": "Noor, house sound",
    "contact-phone": "0123 456",
}


def no_file(page: Page) -> None:
    def answer(route: Route) -> None:
        route.fulfill(status=404, body="")

    page.route(re.compile(r"/static/page.js"), answer)


def press(page: Page, button: str) -> None:
    # A new main part comes either way: with a whole page, or alone.
    page.evaluate("document.querySelector('main').dataset.old = ''")
    page.get_by_role("button", name=button).click()
    page.locator("main:not([data-old])").wait_for()


def sign_up_and_write_the_rig(page: Page) -> None:
    page.fill("#name", "Ada")
    page.fill("#band", "The Paper Lanterns")
    page.fill("#email", "ada@band.example")
    page.fill("#password", PASSWORD)
    press(page, "Make the account")
    page.goto("/rigs/new")
    page.fill("#example_name", "Electric rig")
    press(page, "Begin with the example")
    assert page.get_by_text("Kick In").first.is_visible()


def make_the_gig(page: Page) -> str:
    page.goto("/gigs/new")
    page.fill("#name", "Club night")
    page.fill("#place", "The Tallow Room")
    page.fill("#on", (NOW + timedelta(days=12)).date().isoformat())
    page.select_option("#zone", "Europe/London")
    page.fill("#time-curfew", "25:30")
    press(page, "Make the gig")
    return re.search(r"/gigs/([0-9a-f-]{36})", page.url)[1]


def make_the_link(page: Page, gig_id: str) -> str:
    page.goto(f"/gigs/{gig_id}/links")
    press(page, "Make the link")
    return page.locator(".address").inner_text()


def answer_as_the_house(page: Page) -> None:
    """The first pages on a phone; one answer is "not yet", one is mistyped first."""
    press(page, "Answer the questions")
    mistyped = False
    for _ in range(12):
        if page.get_by_role("link", name="Two more minutes").count():
            page.get_by_role("link", name="Check and send").click()
            break
        for key, value in FIRST_ANSWERS.items():
            radio = page.locator(f'input[type=radio][name="{key}"][value="{value}"]')
            field = page.locator(f'input[type=text][name="{key}"]')
            if radio.count():
                radio.check()
            elif field.count():
                field.fill("lots" if key == "inputs-free" and not mistyped else value)
        press(page, "Save and go on")
        if page.title().startswith("Error: "):
            mistyped = True
            assert page.locator('input[name="inputs-free"]').input_value() == "lots"
            page.fill('input[name="inputs-free"]', "12 ch")
            press(page, "Save and go on")
    assert mistyped
    page.fill("#comment", "The box says 24; twelve work.")
    press(page, "Send answers to The Paper Lanterns")
    assert page.get_by_text("12 lines to the house stage box for 20 sources").is_visible()


def facts_of_the_plan(page: Page, base: str) -> tuple[list[str], str]:
    """What the plan page shows: label and desk channel of each line, and the short hash."""
    page.goto(f"{base}/plan")
    text = page.locator("main").inner_text()
    labels = page.locator("table.lines tbody th[scope=row]").evaluate_all("cells => cells.map(cell => cell.firstChild.textContent.trim())")
    return labels, re.search(r"hash ([0-9a-f]{4} [0-9a-f]{4})", text)[1]


def sign(page: Page, base: str, name: str, role: str, party: str) -> None:
    page.goto(f"{base}/sign-off")
    for box in page.locator("main input[type=checkbox]").all():
        box.check()
    page.fill("#name", name)
    page.fill("#role", role)
    page.get_by_role("button", name=re.compile(rf"Sign revision \d+ for the {party}")).click()
    page.get_by_role("heading", name="The record").wait_for()


@pytest.mark.parametrize("way", ["script", "no script", "script missing"])
def test_the_whole_job_from_rig_to_signed_sheet(open_page: Open, store: Store, way: str) -> None:
    """Band and house, each in a browser of its own, get from nothing to one signed sheet; both sides and the database hold the same facts."""
    options: dict[str, object] = {"java_script_enabled": way != "no script"}
    prepare: Callable[[Page], None] = no_file if way == "script missing" else (lambda _page: None)
    band = open_page("/sign-in", **options)
    prepare(band)
    band.goto("/sign-up")
    sign_up_and_write_the_rig(band)
    gig_id = make_the_gig(band)
    address = make_the_link(band, gig_id)

    house = open_page("/sign-in", viewport=PHONE, **options)
    prepare(house)
    house.goto(address)
    answer_as_the_house(house)
    band_base, house_base = f"/gigs/{gig_id}", f"/house/{gig_id}"
    seen_by_band, seen_by_house = facts_of_the_plan(band, band_base), facts_of_the_plan(house, house_base)
    sign(house, house_base, "Noor", "house engineer", "house")
    sign(band, band_base, "Ada", "band leader", "band")
    with band.expect_download() as download:
        band.get_by_role("link", name="Download the patch sheet").first.click()
    sheet = pypdfium2.PdfDocument(download.value.path())
    paper = " ".join(page.get_textpage().get_text_range() for page in sheet)

    with store.reading() as db:
        plan = plans.newest(db, gig_id)
        assert plan is not None
        outcome = plan.read()
        given = answers.current(db, gig_id)
        signed = {party: signoffs.standing(db, gig_id, party) for party in ("band", "house")}
        times = gigs.of_link(db, gig_id).minutes
    assert isinstance(outcome, Plan)
    assert seen_by_band == seen_by_house
    assert seen_by_band[0] == [line.label for line in outcome.lines]
    assert plan.content_hash.startswith(seen_by_band[1].replace(" ", ""))
    assert (given["inputs-free"].value, given["box-distance"].value, times["curfew"]) == (12, 1050, 1530)
    assert {row.content_hash for row in signed.values() if row} == {plan.content_hash}
    assert all(signed.values())
    assert all(line.label.replace(" ", "") in paper.replace(" ", "") for line in outcome.lines)
    assert "Noor" in paper
    assert plan.content_hash[:4] in paper
    band.goto("/")
    assert band.get_by_text("agreed").first.is_visible()
