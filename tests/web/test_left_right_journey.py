"""A house that takes a left/right mix, walked by both sides in a browser and plugged from the paper alone."""

import re

import pytest
from playwright.sync_api import expect

from portal.exchange.files import answers_to_document, rig_to_document
from portal.plan.input.rig import Rig
from portal.store import answers, plans, rigs, signoffs
from portal.store.accounts import bands
from portal.store.database.session import Store
from tests.builders import NOW
from tests.loadin.judge import load_in
from tests.loadin.packing import read_csv
from tests.loadin.printed import read_pdf
from tests.loadin.sheet import read_sheet
from tests.loadin.truth import stage_of
from tests.plan.case_files import cases
from tests.web import journey
from tests.web.conftest import Open
from tests.web.persons import Person

pytestmark = [pytest.mark.browser, pytest.mark.slow]

PHONE = {"width": 360, "height": 740}

ANSWERS = {
    **journey.FIRST_ANSWERS,
    "what-they-want": "left-right-mix",
    "inputs-free": "2",
    "box-distance": "25 m",
    "line-inputs": "yes",
}


def rig_of_the_case() -> Rig:
    return next(one.rig for one in cases() if one.name == "left-right-at-25-m")


def answer_every_page(house: Person) -> None:
    """What is asked, on a phone, until it is checked and sent."""
    house.press("Answer the questions")
    for _ in range(30):
        if house.page.get_by_role("button", name=re.compile("Send answers to")).count():
            break
        if house.page.get_by_role("link", name="Two more minutes").count():
            house.follow("Check and send")
            break
        journey.fill_page(house, ANSWERS)
        house.press("Save and go on")
    house.press(re.compile("Send answers to"))


def download(person: Person, address: str) -> bytes:
    answer = person.page.request.get(address)
    assert answer.ok, address
    return answer.body()


def test_a_left_right_mix_from_the_link_to_the_plugged_sheet(open_page: Open, store: Store) -> None:
    """Link, answers, plan and both signatures; then the signed sheet and the packing list alone are loaded in: two
    lines from the mixer's outputs to the box, nothing guessed.
    """
    band, house = Person(open_page("/sign-in")), Person(open_page("/sign-in", viewport=PHONE))
    journey.sign_up(band)
    rig = rig_of_the_case()
    with store.writing() as db:
        user = bands.user_by_email(db, "ada@band.example")
        (member,) = bands.memberships(db, user.id)
        rigs.add(db, band_id=member.band_id, name="Salt Harrow", rig=rig, author_id=user.id, now=NOW)
    band.go("/")
    gig_id = journey.make_the_gig(band)
    address = journey.make_the_link(band, gig_id)
    band.page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    band.page.get_by_role("button", name="Copy the address").click()
    expect(band.page.locator("#live")).to_contain_text("The address is copied.")
    assert band.page.evaluate("navigator.clipboard.readText()") == address
    house.go(address)
    answer_every_page(house)
    bases = (f"/gigs/{gig_id}", f"/house/{gig_id}")
    seen = [journey.facts_of_the_plan(person, base) for person, base in zip((band, house), bases, strict=True)]
    assert seen[0] == seen[1]
    assert seen[0][0] == ["Mix L", "Mix R"]
    journey.sign(house, bases[1], "Noor", "house engineer", "house")
    journey.sign(band, bases[0], "Ada", "band leader", "band")
    with store.reading() as db:
        given = answers.current(db, gig_id)
        newest = plans.newest(db, gig_id)
        signed = signoffs.under(signoffs.history(db, gig_id), newest.content_hash)
    assert set(signed) == {"band", "house"}
    paper = read_pdf(download(house, f"{bases[1]}/papers/patch-sheet.pdf"))
    packing = read_csv(download(band, f"{bases[0]}/papers/{newest.number}/pack-list.csv"))
    lines = read_sheet(paper).lines
    assert [(row["socket"], row["channel"], row["source"]) for row in lines] == [
        ("1", "1", "Mix L"),
        ("2", "2", "Mix R"),
    ]
    house.go(f"{bases[1]}/day")
    assert house.page.get_by_text("into box input 2, pad 20 dB, desk channel 2: 48 V OFF, never").count() == 1
    report = load_in(paper, packing, stage_of(rig_to_document(rig), answers_to_document(given)))
    assert not report.blocked
    assert report.faults == []
