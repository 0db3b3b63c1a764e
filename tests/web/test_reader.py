"""Which language a page is in."""

import re
from collections.abc import Iterator
from html import unescape
from pathlib import Path

import pytest
from httpx2 import QueryParams

from portal.store.gigs import Gig
from tests.web.conftest import Browser
from tests.wording.texts import saying

DUTCH = """
msgid ""
msgstr "Content-Type: text/plain; charset=utf-8\\n"
msgid "Skip to the content"
msgstr "Naar de inhoud"
msgid "The form came from somewhere else"
msgstr "Het formulier kwam van elders"
"""


@pytest.fixture
def dutch(tmp_path: Path) -> Iterator[None]:
    """A portal with a Dutch catalogue that says one thing."""
    with saying(tmp_path, "nl", DUTCH):
        yield


@pytest.fixture
def house_s_dutch(tmp_path: Path) -> Iterator[None]:
    """A portal whose Dutch catalogue is for the house alone."""
    with saying(tmp_path, "nl", DUTCH, for_everybody=False):
        yield


both_sides = pytest.mark.usefixtures("dutch")
of_the_house = pytest.mark.usefixtures("house_s_dutch")


@both_sides
@pytest.mark.parametrize(
    ("path", "accepted", "language"),
    [
        ("/sign-in", "nl-BE,nl;q=0.9", "nl"),
        ("/sign-in", "de", "en"),
        ("/sign-in?language=nl", "en", "nl"),
        ("/sign-in?language=xx", "nl", "nl"),
        ("/no-such-page", "nl", "nl"),
    ],
)
def test_a_page_is_in_the_reader_s_language(browser: Browser, path: str, accepted: str, language: str) -> None:
    """Address, then browser; the page and its header say which language it is, an error's page too."""
    page = browser.get(path, **{"Accept-Language": accepted})
    assert page.headers["content-language"] == language
    assert f'<html lang="{language}">' in page.text
    assert ("Naar de inhoud" in page.text) == (language == "nl")


@both_sides
@pytest.mark.parametrize(
    ("asked", "cookie", "accepted"),
    [
        ("", "", "nl" * 5000),
        ("", "", "de;q=" + "9" * 9000),
        ("", "", ";;,=q" * 2000),
        ("", "", "nl;q=nan"),
        ("", "", "*"),
        ("", "xx", ""),
        ("", "nl" * 500, ""),
        ("", "../../nl", "de"),
        ("", '"; Path=/', ""),
        ("xx", "", ""),
        ("nl" * 5000, "", ""),
        ("nl%00", "nl%00", "nl%00"),
    ],
)
def test_a_wish_that_makes_no_sense_is_answered_in_english(
    browser: Browser, asked: str, cookie: str, accepted: str
) -> None:
    """Whatever address, cookie and browser ask for, the page is there, and the browser is told to keep nothing."""
    headers = {"Accept-Language": accepted, "Cookie": f"language={cookie}"}
    page = browser.client.get(f"/sign-in?language={asked}", headers=headers)
    assert (page.status_code, page.headers["content-language"]) == (200, "en")
    assert "set-cookie" not in page.headers


@both_sides
def test_a_browser_keeps_what_an_address_chose(browser: Browser) -> None:
    """The next page is in the same language, until another is chosen."""
    browser.get("/sign-in?language=nl")
    assert browser.get("/sign-in").headers["content-language"] == "nl"
    browser.get("/sign-in?language=en", **{"Accept-Language": "nl"})
    assert browser.get("/sign-in", **{"Accept-Language": "nl"}).headers["content-language"] == "en"


@both_sides
def test_an_error_from_a_table_is_in_the_reader_s_language(browser: Browser) -> None:
    """What is made when a module is loaded is looked up when its page is made."""
    page = browser.client.request("PUT", "/sign-in", headers={"Accept-Language": "nl"})
    assert page.status_code == 403
    assert "<h1>Het formulier kwam van elders</h1>" in page.text


@of_the_house
@pytest.mark.parametrize(
    ("path", "who", "language"),
    [
        ("/", "nobody", "en"),
        ("/sign-in?language=nl", "nobody", "en"),
        ("/no-such-page", "nobody", "en"),
        ("/in/nothing", "nobody", "nl"),
        ("/house/nothing", "the band", "nl"),
        ("/check", "nobody", "nl"),
        ("/ask/nothing", "nobody", "nl"),
        ("/ask/nothing", "the band", "en"),
        ("/check?language=nl", "the band", "en"),
        ("/account", "the band", "en"),
    ],
)
def test_the_band_reads_no_page_that_is_half_english(
    browser: Browser, signed_in: Browser, path: str, who: str, language: str
) -> None:
    """A language that says the house's side alone is for the house and whoever holds a document; elsewhere an account
    reads English, whatever its browser or the address asks for.
    """
    if who == "nobody":
        browser.client.cookies.clear()
    page = signed_in.get(path, **{"Accept-Language": "nl"})
    assert page.headers["content-language"] == language
    assert ('<nav class="languages"' in page.text) == (language == "nl")
    assert "set-cookie" not in page.headers


@of_the_house
def test_every_page_of_the_house_offers_its_languages(house: Browser, gig: Gig, browser: Browser) -> None:
    """Each stands there by its own name and leads to the same page, whose other wishes stay. A form's answer has none:
    what was typed would be lost.
    """
    for path in (f"/house/{gig.id}", f"/house/{gig.id}/questions?topic=sound&n=1", "/check", "/in/nothing"):
        page = house.get(path)
        assert '<b lang="en" aria-current="true">English</b>' in page.text
        (address,) = re.findall(r'<a href="([^"]+)" lang="nl" hreflang="nl" rel="nofollow">Nederlands</a>', page.text)
        dutch = house.get(unescape(path.partition("?")[0] + address))
        assert dutch.url.params == QueryParams(path.partition("?")[2]).set("language", "nl")
        assert dutch.status_code == page.status_code
        assert '<html lang="nl">' in dutch.text
        house.client.cookies.delete("language")
    refused = browser.send("/check", {"hash": "?"}, page="/check")
    assert refused.status_code == 422
    assert 'class="languages"' not in refused.text


@both_sides
def test_a_language_that_is_not_there_is_not_kept(browser: Browser) -> None:
    """What is sent in the address comes back in no header."""
    assert "set-cookie" not in browser.get("/sign-in?language=xx%0d%0aX:1").headers
