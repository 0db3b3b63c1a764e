"""An answer that makes the plan impossible says so on the page where it is given, with what would help."""

import html
import re
from collections.abc import Callable

import pytest

from portal.advance.status.impossible import impossible
from portal.exchange.example import example_rig
from portal.store import answers, plans
from portal.store.database.session import Store
from portal.store.gigs import Gig
from tests.builders import NOW, ABand, a_gig, a_link, an_answer
from tests.planning import plan_now
from tests.web.conftest import Browser

FITS = {
    "who-mixes": "house-engineer",
    "inputs-free": 24,
    "pa": "stereo",
    "box-place": "stage-left",
    "box-distance": 800,
}
FAR = {"box-place": "stage-left", "box-distance": "90", "rack-power": "yes"}


@pytest.fixture
def gig(store: Store, band: ABand) -> Gig:
    with store.writing() as db:
        return a_gig(db, band, rig=example_rig())


@pytest.fixture
def house(enter: Callable[..., Browser], store: Store, band: ABand, gig: Gig) -> Browser:
    with store.writing() as db:
        link = a_link(db, gig, band)
        for key, value in FITS.items():
            an_answer(db, gig.id, key, value, link_id=link.id)
        plan_now(db, gig, NOW)
    return enter(link)


def test_an_impossible_answer_is_named_where_it_is_given(house: Browser, gig: Gig, store: Store) -> None:
    """A box farther away than any loom reaches: the page shows the words of the plan and what helps; it
    is saved, nothing is sent, and the way on is there.
    """
    page = f"/house/{gig.id}/questions/box"
    assert house.send(page, FAR, page=page).status_code == 303
    plan_again(store, gig)
    shown = html.unescape(house.get(page).text)
    with store.reading() as db:
        told = impossible(plans.newest(db, gig.id), {"box-distance"})
        assert not answers.sent(db, gig.id)
    assert told.sentences
    assert told.remedies
    assert all(words in shown for words in told.sentences)
    assert all(words in shown for words in told.remedies)
    assert "go on all the same" in shown
    assert "The plan does not work with these answers" in house.get(f"/house/{gig.id}/questions").text


@pytest.mark.parametrize("change", ["", "box-distance"])
def test_an_impossible_answer_leads_back_to_its_page(house: Browser, gig: Gig, change: str) -> None:
    """Saved, in turn or from the check page, the next page is its own with what clashes and what helps, planned by
    then or not; who goes on all the same is not led back.
    """
    page = f"/house/{gig.id}/questions/box"
    onward = house.send(page, {**FAR, "change": change}, page=page).headers["location"]
    assert onward.partition("?")[0] == page
    shown = html.unescape(house.get(onward).text)
    assert "The plan does not work with these answers" in shown
    assert "What would help:" in shown
    further = re.search(r'<a href="([^"]+)">go on all the same', shown)
    assert further is not None
    reached = house.get(further.group(1))
    assert page not in reached.headers.get("location", "")
    assert house.send(page, {**FAR, "box-distance": "8", "change": change}, page=page).status_code == 303


def plan_again(store: Store, gig: Gig) -> None:
    with store.writing() as db:
        plan_now(db, gig, NOW)


def test_the_notice_goes_with_the_answer(house: Browser, gig: Gig, store: Store) -> None:
    """Corrected, the page leads on, and neither it nor the check page says anything."""
    page = f"/house/{gig.id}/questions/box"
    house.send(page, FAR, page=page)
    plan_again(store, gig)
    assert house.send(page, {**FAR, "box-distance": "8"}, page=page).status_code == 303
    plan_again(store, gig)
    for path in (page, f"/house/{gig.id}/questions"):
        assert "The plan does not work" not in house.get(path).text


def test_other_pages_and_the_band_are_not_told_there(
    house: Browser, gig: Gig, signed_in: Browser, store: Store
) -> None:
    """The notice stands where the answer is given, not on pages of other questions. The band has the plan's page."""
    page = f"/house/{gig.id}/questions/box"
    house.send(page, FAR, page=page)
    plan_again(store, gig)
    assert "The plan does not work" not in house.get(f"/house/{gig.id}/questions/contact").text
    assert "The plan does not work" not in signed_in.get(f"/gigs/{gig.id}/questions/box").text
