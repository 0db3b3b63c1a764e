"""The times of the day are said by either side, and both read who moved what; the band's number stands wherever the
house's does.
"""

from collections.abc import Callable

import pytest

from portal.store import gigs
from portal.store.record import erasing
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand, a_link
from tests.web.conftest import Browser
from tests.web.planned import Planned, prepare, words_of


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    gig = prepare(portal, band, signed_in, enter)
    portal.papers.close()
    return gig


def details(planned: Planned, **changes: str) -> object:
    """The band saves the gig's details."""
    page = f"{planned.gigs_base}/details"
    stored = now(planned)
    entries = {
        "name": stored.name,
        "place": stored.place,
        "on": stored.on.isoformat(),
        "zone": stored.time_zone,
        "rig": f"{stored.rig_id}|",
        "time-load-in": "16:00",
        "time-doors": "19:00",
    }
    return planned.band.send(page, {**entries, **changes}, page=page)


def now(planned: Planned) -> gigs.Gig:
    with planned.portal.store.reading() as db:
        return gigs.of_link(db, planned.gig.id)


def correct(planned: Planned, **times: str) -> object:
    page = f"{planned.house_base}/times"
    return planned.house.send(page, {f"time-{key.replace('_', '-')}": value for key, value in times.items()}, page=page)


def test_the_house_corrects_the_times_and_both_read_who_moved_them(planned: Planned) -> None:
    """Each time names its side, the moment and what it was, on both sides' pages; what nobody moved stands alone. After
    a signature the plan's page says that they moved.
    """
    details(planned, **{"time-doors": "19:30", "time-set": "21:00"})
    planned.sign("band")
    assert correct(planned, load_in="17:30", doors="19:30", changeover="20:10", set="21:00").status_code == 303
    assert dict(now(planned).minutes) == {"load-in": 1050, "doors": 1170, "changeover": 1210, "set": 1260}
    moved = "Load-in 17:30 (the house, Wed 25 Nov 2026, 13:00, was 16:00)"
    for browser, base in ((planned.band, planned.gigs_base), (planned.house, planned.house_base)):
        words = words_of(browser.get(base).text)
        assert moved in words
        assert "Changeover 20:10 (the house, Wed 25 Nov 2026, 13:00)" in words
        assert "Doors 19:30 (the band, Wed 25 Nov 2026, 13:00, was 19:00)" in words
        assert "Set 21:00 (" not in words
    said = "Times changed after signing: Load-in was 16:00, now 17:30; Changeover was not set, now 20:10."
    assert said in words_of(planned.band.get(f"{planned.gigs_base}/plan").text)
    assert "Load-in: was 16:00, now 17:30" in words_of(planned.band.get(f"{planned.gigs_base}/history").text)
    assert planned.newest().number == 1


def test_a_time_that_cannot_be_is_told_at_its_field(planned: Planned) -> None:
    """Doors before load-in, or no time at all: nothing is saved and what was typed is kept."""
    for times, sentence in (
        ({"load_in": "18:00", "doors": "17:00"}, "Doors at 17:00 is before load-in at 18:00."),
        ({"load_in": "soon"}, "Load-in: enter a time such as 19:00"),
    ):
        answer = correct(planned, **times)
        assert answer.status_code == 422
        assert sentence in answer.text
        assert f'value="{times["load_in"]}"' in answer.text
    assert now(planned).minutes["load-in"] == 960
    assert now(planned).version == 1


def test_what_the_band_saved_meanwhile_is_shown_first(planned: Planned) -> None:
    """A form that was drawn before the band's change saves nothing, and shows both."""
    page = f"{planned.house_base}/times"
    form = {**planned.house.hidden(page), "time-load-in": "15:00"}
    details(planned, **{"time-load-in": "16:30"})
    answer = planned.house.send(page, form)
    assert answer.status_code == 409
    assert "16:30" in answer.text
    assert 'value="15:00"' in answer.text
    assert now(planned).minutes["load-in"] == 990


def test_whoever_may_only_look_moves_no_time(planned: Planned, band: ABand, enter: Callable[..., Browser]) -> None:
    """A link without the power to answer has no form, and a cancelled gig takes no times."""
    form = {**planned.house.hidden(f"{planned.house_base}/times"), "time-doors": "18:00"}
    with planned.portal.store.writing() as db:
        link = a_link(db, planned.gig, band, powers=("view",))
        gig = gigs.of_link(db, planned.gig.id)
        gigs.cancel(db, gig, gig.version, NOW, actor="")
    assert planned.house.send(f"{planned.house_base}/times", form).status_code == 409
    crew = enter(link)
    assert crew.get(f"{planned.house_base}/times").status_code == 403
    assert "/times" not in crew.get(planned.house_base).text


def test_the_bands_number_stands_beside_the_houses(planned: Planned) -> None:
    """Typed into the gig's details it is read by the house, on the day, at the head of the sheet and on its receipt;
    the band's receipt has the house's. The history does not hold it, and it is erased with the gig's other contacts.
    """
    planned.answer(contact_name="Jo", contact_phone="0123 456")
    assert details(planned, contact="Ada, 0987 654").status_code == 303
    pages = ("", "/day", f"/day/{planned.newest().content_hash}", f"/papers/{planned.newest().number}/patch-sheet")
    for page in pages:
        words = words_of(planned.house.get(planned.house_base + page).text)
        assert "Ada, 0987 654" in words, page
        assert "Jo, 0123 456" in words or not page, page
    for side, browser, base, other in (
        ("house", planned.house, planned.house_base, "The band's contact: Ada, 0987 654"),
        ("band", planned.band, planned.gigs_base, "At the house: Jo, 0123 456"),
    ):
        planned.sign(side)
        assert other in words_of(browser.get(f"{base}/sign-off/{planned.newest().number}").text), side
    assert "0987" not in planned.house.get(f"{planned.house_base}/history").text
    with planned.portal.store.writing() as db:
        erasing.by_time(db, planned.gig.id, NOW)
    assert not now(planned).contact
    assert "0987" not in planned.house.get(f"{planned.house_base}/day").text
