"""What was typed into a rig and not saved: kept in the browser, offered again, gone after a save."""

from dataclasses import replace

import pytest
from playwright.sync_api import Page, expect

from portal.plan.input.rig import Rig
from portal.store import rigs
from portal.store.accounts import bands
from portal.store.database.session import Store
from tests.builders import NOW, ABand, a_stored_rig
from tests.web.conftest import Browser, Open
from tests.web.rig_forms import form_of, in_a_browser, rows_of, send

pytestmark = pytest.mark.browser

OFFER = "#typed-before"
LEAVES = "() => !dispatchEvent(new Event('beforeunload', { cancelable: true }))"
"""True where the browser would ask before it leaves the page."""


def away_and_back(page: Page, rig: rigs.BandRig) -> None:
    page.goto("/rigs")
    page.goto(rows_of(rig))


def newest(store: Store, rig: rigs.BandRig) -> Rig:
    with store.reading() as db:
        return rigs.newest(db, rig.id).read()


def test_what_was_typed_is_offered_again_until_it_is_saved(
    open_page: Open, band: ABand, club_rig: rigs.BandRig, store: Store
) -> None:
    """Rows, more rows than the page shows at first, and a part from a fold come back as they were typed, and nothing
    is saved by it; after a save nothing is offered.
    """
    page = in_a_browser(open_page, band, club_rig)
    expect(page.locator(OFFER)).to_be_hidden()
    page.get_by_role("button", name="Splitters and looms").click()
    page.locator("#loom1-name").fill("Long one")
    page.get_by_role("button", name="Add ten rows").click()
    page.locator("#row14-label").wait_for()
    page.locator("#row1-label").fill("Boom")
    page.locator("#row14-label").fill("Egg")
    away_and_back(page, club_rig)
    expect(page.locator(OFFER)).to_contain_text("was not saved")
    expect(page.locator("#row1-label")).to_have_value("Kick")
    page.get_by_role("button", name="Put it back").click()
    expect(page.locator("#main")).to_contain_text("What was typed here before is in the form again. Not saved yet.")
    expect(page.locator(OFFER)).to_be_hidden()
    expect(page.locator("#row1-label")).to_have_value("Boom")
    expect(page.locator("#row5-label")).to_have_value("Egg")
    expect(page.locator("#loom1-name")).to_have_value("Long one")
    assert newest(store, club_rig).source[0].label == "Kick"
    away_and_back(page, club_rig)
    expect(page.locator(OFFER)).to_be_visible()
    page.get_by_role("button", name="Put it back").click()
    expect(page.locator("#row1-label")).to_have_value("Boom")
    page.get_by_role("button", name="Save rig").first.click()
    expect(page.locator("#main")).to_contain_text("Saved as revision 2.")
    assert [one.label for one in newest(store, club_rig).source][::4] == ["Boom", "Egg"]
    away_and_back(page, club_rig)
    expect(page.locator(OFFER)).to_be_hidden()


@pytest.mark.parametrize("where", ["here", "elsewhere"])
def test_a_later_save_drops_what_was_typed_before(
    open_page: Open, band: ABand, club_rig: rigs.BandRig, signed_in: Browser, where: str
) -> None:
    """Wrong entries and a reload, then a save, here or at another screen: the older entries are offered no more."""
    page = in_a_browser(open_page, band, club_rig)
    page.fill("#row1-way", "999")
    page.get_by_role("button", name="Save rig").first.click()
    expect(page.locator("#faults")).to_be_visible()
    page.goto(rows_of(club_rig))
    expect(page.locator(OFFER)).to_be_visible()
    if where == "here":
        page.fill("#row1-label", "Boom")
        page.get_by_role("button", name="Save rig").first.click()
        expect(page.locator("#main")).to_contain_text("Saved as revision 2.")
    else:
        fields = form_of(signed_in.get(rows_of(club_rig)), rows_of(club_rig))
        assert send(signed_in, rows_of(club_rig), fields, row1__label="Boom").status_code == 303
    away_and_back(page, club_rig)
    expect(page.locator("#row1-label")).to_have_value("Boom")
    expect(page.locator(OFFER)).to_be_hidden()
    assert page.evaluate("localStorage.length") == 0


def test_what_a_deed_did_is_kept_as_well(open_page: Open, band: ABand, club_rig: rigs.BandRig) -> None:
    """A row that was copied and nothing typed since is offered again; opening a fold alone leaves nothing behind."""
    page = in_a_browser(open_page, band, club_rig)
    page.get_by_role("button", name="Splitters and looms").click()
    page.locator("#loom1-name").wait_for()
    away_and_back(page, club_rig)
    expect(page.locator(OFFER)).to_be_hidden()
    page.fill("#at", "1")
    page.get_by_role("button", name="Copy", exact=True).click()
    expect(page.locator("#row2-label")).to_have_value("Kick 2")
    page.wait_for_function("Object.values(localStorage).some((kept) => kept.includes('Kick 2'))")
    away_and_back(page, club_rig)
    expect(page.locator(OFFER)).to_be_visible()


@pytest.mark.parametrize("how", ["drop", "sign out"])
def test_what_is_not_wanted_goes(open_page: Open, band: ABand, club_rig: rigs.BandRig, how: str) -> None:
    """Dropped by its button, or with the session, it is gone from the browser."""
    page = in_a_browser(open_page, band, club_rig)
    page.fill("#row1-label", "Boom")
    away_and_back(page, club_rig)
    expect(page.locator(OFFER)).to_be_visible()
    page.get_by_role("button", name="Drop it" if how == "drop" else "Sign out").click()
    expect(page.locator(OFFER)).to_be_hidden()
    assert page.evaluate("localStorage.length") == 0


def test_an_older_one_is_not_typed_over(open_page: Open, band: ABand, club_rig: rigs.BandRig) -> None:
    """While nobody has taken or dropped it, it stays; what is typed beside it is not kept, and the browser asks before
    it leaves the page.
    """
    page = in_a_browser(open_page, band, club_rig)
    page.fill("#row1-label", "Boom")
    assert not page.evaluate(LEAVES)
    away_and_back(page, club_rig)
    page.fill("#row2-label", "Low")
    page.wait_for_function(LEAVES)
    page.get_by_role("button", name="Add ten rows").click()
    page.locator("#row14-label").wait_for()
    expect(page.locator(OFFER)).to_be_visible()
    page.get_by_role("button", name="Put it back").click()
    expect(page.locator("#row1-label")).to_have_value("Boom")
    expect(page.locator("#row2-label")).to_have_value("Bass")
    assert not page.evaluate(LEAVES)


def test_a_browser_that_keeps_nothing_asks_before_it_leaves(
    open_page: Open, band: ABand, club_rig: rigs.BandRig
) -> None:
    """Where the browser refuses to store, it asks; after a save it does not."""
    page = in_a_browser(open_page, band, club_rig)
    page.evaluate("() => { Storage.prototype.setItem = () => { throw new Error(); }; }")
    assert not page.evaluate(LEAVES)
    page.fill("#row1-label", "Boom")
    page.wait_for_function(LEAVES)
    page.get_by_role("button", name="Save rig").first.click()
    expect(page.locator("#main")).to_contain_text("Saved as revision 2.")
    assert not page.evaluate(LEAVES)


def test_what_was_typed_on_an_older_revision_is_held_against_the_newest(
    open_page: Open, band: ABand, club_rig: rigs.BandRig, store: Store
) -> None:
    """Somebody else saved meanwhile: the save of what was put back says what differs, and nothing of theirs is lost."""
    page = in_a_browser(open_page, band, club_rig)
    page.fill("#row1-label", "Boom")
    page.goto("/rigs")
    before = newest(store, club_rig)
    rig = replace(before, source=(before.source[0], replace(before.source[1], label="Low"), *before.source[2:]))
    with store.writing() as db:
        other = bands.add_user(db, email="bo@band.example", name="Bo", password_hash="x", now=NOW)
        rigs.save(db, club_rig, version=1, name=club_rig.name, rig=rig, author_id=other.id, now=NOW)
    page.goto(rows_of(club_rig))
    page.get_by_role("button", name="Put it back").click()
    expect(page.locator("#row1-label")).to_have_value("Boom")
    page.get_by_role("button", name="Save rig").first.click()
    expect(page.locator("#faults")).to_contain_text("Somebody else saved this meanwhile")
    assert [one.label for one in newest(store, club_rig).source][:2] == ["Kick", "Low"]


def test_without_script_the_sheet_is_as_it_was(open_page: Open, band: ABand, club_rig: rigs.BandRig) -> None:
    """Nothing is offered and nothing stands in the way."""
    page = in_a_browser(open_page, band, club_rig, java_script_enabled=False)
    expect(page.locator(OFFER)).to_be_hidden()
    page.fill("#row1-label", "Boom")
    page.get_by_role("button", name="Save rig").first.click()
    page.get_by_text("Saved as revision 2.").wait_for()


def test_an_entry_of_long_ago_goes_by_itself(
    open_page: Open, band: ABand, club_rig: rigs.BandRig, store: Store
) -> None:
    """What nobody came back for in two weeks is neither offered nor kept."""
    with store.writing() as db:
        other = a_stored_rig(db, band, Rig(name="Other"))
    page = in_a_browser(open_page, band, club_rig)
    page.fill("#row1-label", "Boom")
    page.goto("/rigs")
    page.evaluate("""() => { for (const key of Object.keys(localStorage)) {
        const kept = JSON.parse(localStorage[key]);
        localStorage[key] = JSON.stringify({ ...kept, at: kept.at - 15 * 24 * 3600 * 1000 }); } }""")
    page.goto(rows_of(other))
    assert page.evaluate("localStorage.length") == 0
