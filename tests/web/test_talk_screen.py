"""Comments, proposals and trials in a real browser: without script, on a phone, in both schemes."""

import pytest
from playwright.sync_api import Page

from portal.store import answers, discussions, gigs
from portal.store.database.session import Store
from portal.web.frame.access import new_token, token_hash
from portal.web.frame.links import path_to
from tests.builders import NOW, ABand, a_gig, a_link, an_answer
from tests.planning import plan_now
from tests.web.conftest import Open, sign_in

pytestmark = pytest.mark.browser


def a_talked_of_gig(store: Store, band: ABand) -> tuple[gigs.Gig, str, str]:
    """A planned gig with a comment and an open proposal; with the house's secret and the proposal's id."""
    token = new_token()
    with store.writing() as db:
        gig = a_gig(db, band)
        link = a_link(db, gig, band, token_hash=token_hash(token))
        an_answer(db, gig.id, "inputs-free", 3, link_id=link.id)
        answers.send(db, gig.id, link.id, NOW)
        discussions.say(
            db,
            gig_id=gig.id,
            party="band",
            author="Ada",
            words="Ours is new.",
            source="kick",
            user_id=band.user_id,
            now=NOW,
        )
        proposal = discussions.propose(
            db, gig_id=gig.id, source="kick", resource="desk-channel", value="3", party="band", author="Ada", now=NOW
        )
        plan_now(db, gig, NOW)
    return gig, token, proposal.id


def as_band(open_page: Open, band: ABand, **options: object) -> Page:
    page = open_page("/sign-in", **options)
    sign_in(page, band)
    page.get_by_role("heading", name="Gigs").wait_for()
    return page


@pytest.mark.parametrize("script", [True, False])
def test_two_people_agree_on_the_page(open_page: Open, store: Store, band: ABand, *, script: bool) -> None:
    """From the plan to a proposal, to the other side's answer, to a plan that keeps it: the same steps with script and
    without.
    """
    gig, token, _ = a_talked_of_gig(store, band)
    house = open_page(path_to("show_link", token=token), java_script_enabled=script)
    house.get_by_role("button", name="See where it stands").click()
    house.get_by_role("link", name="Plan", exact=True).click()
    house.get_by_role("link", name="Look at it and decide").first.click()
    house.get_by_text("The band asks you. Nothing changes until you accept.").wait_for()
    house.get_by_role("button", name="Accept for the house").click()
    house.get_by_role("heading", name="Plan", exact=True).wait_for()
    assert house.locator("#line-3 th > a").inner_text() == "Kick"
    house.locator("#line-3 th > a").click()
    house.get_by_role("link", name="Comment on Kick, or propose a change").click()
    house.fill("#words", "Thank you.")
    house.get_by_role("button", name="Add the comment").click()
    band_page = as_band(open_page, band, java_script_enabled=script)
    band_page.goto(f"/gigs/{gig.id}/talk")
    band_page.get_by_text("Thank you.").wait_for()
    assert band_page.get_by_text("accepted by House engineer for the house").is_visible()
