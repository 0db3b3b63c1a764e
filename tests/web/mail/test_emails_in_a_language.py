"""Emails to the house are written in the language that it reads; those to the band in English."""

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from portal.store.emails import addresses
from portal.store.house import house_gigs, houses
from portal.web.frame.access import token_hash
from portal.web.frame.running import Portal
from tests.builders import NOW
from tests.web.conftest import Browser
from tests.web.mail.email_scene import HOUSE, Scene
from tests.web.mail.mail_server import MailServer
from tests.wording.texts import only, write_catalogue


@pytest.fixture(autouse=True)
def dutch(tmp_path: Path) -> Iterator[None]:
    """A portal that the house reads in Dutch too."""
    write_catalogue(tmp_path / "locale", "nl", {"Emails to the house": "E-mails aan het huis"})
    with only(tmp_path / "locale", for_everybody=False):
        yield


def languages_of(server: MailServer) -> list[tuple[str, str]]:
    """To whom each email went, and the language that it names."""
    bodies = [(one["To"], one.get_body(("html",)).get_content()) for one in server.arrived]
    return [(to, re.search(r'<html lang="(\w+)"', html)[1]) for to, html in bodies]


def kept(scene: Scene) -> str:
    with scene.portal.store.reading() as db:
        return addresses.language_of(db, f"link:{scene.link.id}")


def test_an_email_is_in_the_language_that_was_read_last(
    scene: Scene, server: MailServer, enter: Callable[..., Browser]
) -> None:
    """English until the house has read something; then what it read last, dates and way in with it."""
    scene.comment("band")
    scene.gathered()
    house = enter(scene.link)
    house.get(f"/house/{scene.gig.id}", **{"Accept-Language": "nl"})
    scene.sign("band")
    scene.gathered()
    assert "za 5 dec 2026" in server.arrived[-1]["Subject"]
    assert re.search(r"/in/[\w-]{43}\?language=nl\n", server.text())
    house.get(f"/house/{scene.gig.id}/plan?language=en")
    assert kept(scene) == "en"
    scene.load_in(1000)
    scene.gathered()
    assert languages_of(server) == [(HOUSE, "en"), (HOUSE, "nl"), (HOUSE, "en")]


def test_whoever_only_looks_by_a_document_s_code_changes_no_language(
    scene: Scene, enter: Callable[..., Browser]
) -> None:
    """The code goes from hand to hand; the address is the engineer's."""
    looking = enter(scene.link, only_view=True)
    assert looking.get(f"/house/{scene.gig.id}/day", **{"Accept-Language": "nl"}).headers["content-language"] == "nl"
    assert kept(scene) == ""


def test_emails_to_the_band_are_in_english(scene: Scene, server: MailServer, signed_in: Browser) -> None:
    """Whatever its browser asks for: its pages are English too."""
    signed_in.get(f"/gigs/{scene.gig.id}", **{"Accept-Language": "nl"})
    scene.house_sends()
    scene.gathered()
    assert languages_of(server) == [(scene.band.email, "en")]


def test_the_band_says_in_which_language_a_link_is_read(scene: Scene, server: MailServer, signed_in: Browser) -> None:
    """The address, its email and the way in by it are in that language; one that is not there is told at its field."""
    page = f"/gigs/{scene.gig.id}/links"
    given = {"label": "Jo", "until": "2026-12-19", "email": "jo@house.example", "language": "nl"}
    assert '<option value="nl">Nederlands</option>' in signed_in.get(page).text
    refused = signed_in.send(page, {**given, "language": "xx"}, page=page)
    assert refused.status_code == 422
    assert "Choose a language of the list." in refused.text
    made = signed_in.send(page, given, page=page)
    assert re.search(r"/in/[\w-]{43}\?language=nl<", made.text)
    scene.work()
    scene.work()
    assert languages_of(server) == [("jo@house.example", "nl")]
    assert re.search(r"/in/[\w-]{43}\?language=nl\n", server.text())


def test_a_link_that_is_replaced_is_read_in_the_same_language(scene: Scene, signed_in: Browser) -> None:
    """Whoever gets the new address need not choose again."""
    page = f"/gigs/{scene.gig.id}/links"
    given = {"label": "Jo", "until": "2026-12-19", "email": "jo@house.example", "language": "nl"}
    signed_in.send(page, given, page=page)
    (jo,) = set(re.findall(r"/links/([\w-]+)/replace", signed_in.get(page).text)) - {scene.link.id}
    shown = signed_in.send(f"{page}/{jo}/replace", page=page)
    assert re.search(r"/in/[\w-]{43}\?language=nl<", shown.text)


def test_a_house_s_own_address_is_written_to_as_the_house_reads(
    scene: Scene, server: MailServer, portal: Portal, browser: Browser
) -> None:
    """The language of its own pages counts for all its gigs."""
    with portal.store.writing() as db:
        house = houses.make(db, "Kiln Yard Hall", token_hash("k" * 43), NOW)
        house_gigs.tie(db, scene.gig.id, houses.add_stage(db, house.id, "big stage", NOW).id, scene.link.id, NOW)
        addresses.give_address(db, f"link:{scene.link.id}", "", "band", NOW)
    browser.send(f"/house-key/{'k' * 43}", page=f"/house-key/{'k' * 43}")
    page = f"/houses/{house.id}/emails"
    browser.client.headers["Accept-Language"] = "nl"
    assert "E-mails aan het huis" in browser.get(page).text
    browser.send(page, {"email": "hall@house.example"}, page=page)
    browser.get(page)
    scene.sign("band")
    scene.gathered()
    assert languages_of(server) == [("hall@house.example", "nl")]
