"""What happened to a gig: both sides read the same, in order, with what it was before."""

import re
from collections.abc import Callable

import pytest

from portal.admin_commands import run_verify
from portal.settings import Settings
from portal.web.frame.running import Portal
from tests.builders import ABand, an_answer
from tests.web.conftest import Browser
from tests.web.planned import Planned, prepare, words_of


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    gig = prepare(portal, band, signed_in, enter)
    portal.papers.close()
    return gig


def told(browser: Browser, base: str) -> str:
    return words_of(browser.get(f"{base}/history").text)


def shared(page: str) -> str:
    return page[page.index("Both sides read") : page.index("Made the gig")]


def test_both_sides_read_the_same(planned: Planned) -> None:
    """Who did what, and when, stands on both pages in the same words, the newest first."""
    planned.answer(inputs_free=12)
    details = f"{planned.gigs_base}/details"
    rig = re.search(r'<option value="([^"]+\|)"', planned.band.get(details).text)[1]
    typed = {
        "name": "Harbour nights",
        "place": "The Old Net Loft",
        "on": "2026-12-06",
        "zone": "Europe/Berlin",
        "rig": rig,
        "time-doors": "19:30",
    }
    assert planned.band.send(details, typed, page=details).status_code == 303
    planned.sign("house")
    receipt = f"{planned.house_base}/sign-off/{planned.newest().number}"
    planned.house.send(f"{receipt}/withdraw", {"name": "Jamie Example"}, page=receipt)
    band, house = told(planned.band, planned.gigs_base), told(planned.house, planned.house_base)
    assert shared(band) == shared(house)
    for words in (
        "Made the gig",
        (
            "Made a link for House engineer: see the plan and download the documents, answer the questions and"
            " sign for the house"
        ),
        "Was 8 working inputs, now 12 working inputs",
        "Name: was Harbour night, now Harbour nights",
        "Date: was 2026-12-05, now 2026-12-06",
        "Doors: was 19:00, now 19:30",
        "Load-in: was 16:00, now not set",
        "House engineer, the house Withdrew the signature under revision",
        "Wed 25 Nov 2026, 13:00 (UTC+01:00)",
    ):
        assert words in band
    assert band.index("Withdrew") < band.index("Signed revision") < band.index("Name: was") < band.index("Made the gig")


def test_who_to_call_is_not_in_the_history(planned: Planned) -> None:
    """That a name or a number was given stands there, the name and the number do not."""
    planned.answer(contact_name="Noor Canary", contact_phone="+49 30 1234567")
    history = told(planned.house, planned.house_base)
    assert "Answered: Who" in history
    assert "Canary" not in history
    assert "1234567" not in history


def test_the_command_says_whether_everything_holds(
    planned: Planned, settings: Settings, capsys: pytest.CaptureFixture[str]
) -> None:
    """After a whole life of a gig nothing is at fault; one changed byte and the command names it and fails."""
    planned.sign("house")
    planned.sign("band")
    assert run_verify(settings) == 0
    out = capsys.readouterr().out
    print(out)  # noqa: T201 - shown with -s
    assert re.fullmatch(r"events=\d+ plans=\d+ signatures=2 papers=\d+ erased=0 faults=0 head=[0-9a-f]{64}\n", out)
    with planned.portal.store.writing() as db:
        raw = db.connection()
        raw.exec_driver_sql("DROP TRIGGER no_update_signature")
        raw.exec_driver_sql(
            "UPDATE signature SET content_hash = 'f' || substr(content_hash, 2) || 'f' WHERE position = 1"
        )
    assert run_verify(settings) == 1
    assert "is not what was signed" in capsys.readouterr().out


def test_an_assumption_says_that_it_is_one(planned: Planned) -> None:
    """What the band assumed is told as assumed."""
    with planned.portal.store.writing() as db:
        an_answer(db, planned.gig.id, "room-capacity", 200, party="assumed", user_id=planned.owner.user_id)
    assert "200 people (assumed)" in told(planned.band, planned.gigs_base)
