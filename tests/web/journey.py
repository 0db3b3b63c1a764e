"""The steps of the whole job, one function a screen, done by a person of ``persons.py``."""

import re
from collections.abc import Mapping
from datetime import timedelta

from playwright.sync_api import Page

from tests.builders import NOW, PASSWORD
from tests.web.persons import Person

FIRST_ANSWERS = {
    "who-mixes": "house-engineer",
    "what-they-want": "as-much-split-as-fits",
    "inputs-free": "12 ch",
    "box-place": "stage-left",
    "box-distance": "10,5 m",
    "rack-power": "yes",
    "pa": "stereo",
    "room-capacity": "350",
    "indoors": "yes",
    "wedge-mixes": "0",
    "contact-name": "Noor, house sound",
    "contact-phone": "0123 456",
}


def sign_up(band: Person) -> None:
    band.go("/sign-up")
    band.fill("#name", "Ada")
    band.fill("#band", "The Paper Lanterns")
    band.fill("#email", "ada@band.example")
    band.fill("#password", PASSWORD)
    band.press("Make the account")


def write_the_rig(band: Person) -> None:
    """From the empty home page to a rig that began as the example."""
    band.follow("Write down the rig")
    band.follow("New rig")
    band.fill("#example_name", "Electric rig")
    band.press("Begin with the example")
    band.page.get_by_text("Kick In").first.wait_for()


def make_the_gig(band: Person) -> str:
    """From any page to a gig with a first plan; its id."""
    band.follow("Gigs", exact=True)
    band.follow("New gig")
    band.fill("#name", "Club night")
    band.fill("#place", "The Tallow Room")
    band.fill("#on", (NOW + timedelta(days=12)).date().isoformat())
    band.select("#zone", "Europe/London")
    band.fill("#time-curfew", "25:30")
    band.press("Make the gig")
    leave_open_who_mixes(band)
    return re.search(r"/gigs/([0-9a-f-]{36})", band.page.url)[1]


def leave_open_who_mixes(band: Person) -> None:
    """The first question of a new gig, which the house will answer."""
    band.check(band.page.locator('input[type=radio][value="open"]'))
    band.press("Save")


def make_the_link(band: Person, gig_id: str) -> str:
    band.go(f"/gigs/{gig_id}/links")
    band.press("Make the link")
    return band.page.locator(".address").inner_text()


def fill_page(house: Person, answers: Mapping[str, str]) -> None:
    """Choose or type what is asked on the page."""
    for key, value in answers.items():
        radio = house.page.locator(f'input[type=radio][name="{key}"][value="{value}"]')
        if radio.count():
            house.check(radio)
        elif house.page.locator(f'input[type=text][name="{key}"]').count():
            house.fill(f'input[name="{key}"]', value)


def answer_as_the_house(house: Person) -> None:
    """The first pages on a phone; one answer is "not yet", one is mistyped first."""
    page = house.page
    house.press("Answer the questions")
    mistyped = False
    for _ in range(12):
        if page.get_by_role("link", name="Two more minutes").count():
            house.follow("Check and send")
            break
        fill_page(house, FIRST_ANSWERS if mistyped else {**FIRST_ANSWERS, "inputs-free": "lots"})
        house.press("Save and go on")
        if page.title().startswith("Error: "):
            mistyped = True
            assert page.locator('input[name="inputs-free"]').input_value() == "lots"
            house.fill('input[name="inputs-free"]', "12 ch")
            house.press("Save and go on")
    assert mistyped
    house.fill("#comment", "The box says 24; twelve work.")
    house.press("Send answers to The Paper Lanterns")
    assert page.get_by_text("12 lines to the house stage box for 20 sources").is_visible()


def facts_of_the_plan(person: Person, base: str) -> tuple[list[str], str]:
    """What the plan page shows: label and desk channel of each line, and the short hash."""
    person.go(f"{base}/plan")
    return _facts(person.page)


def _facts(page: Page) -> tuple[list[str], str]:
    text = page.locator("main").text_content() or ""
    labels = page.locator("table.cables tr[id] > th > a").all_inner_texts()
    return labels, re.search(r"check code ([0-9a-f]{4} [0-9a-f]{4})", text)[1]


def sign(person: Person, base: str, name: str, role: str, party: str) -> None:
    person.go(f"{base}/sign-off")
    for box in person.page.locator("main input[type=checkbox]").all():
        person.check(box)
    person.fill("#name", name)
    person.fill("#role", role)
    person.press(re.compile(rf"Sign revision \d+ for the {party}"))
    person.page.get_by_role("heading", name="The record").wait_for()
