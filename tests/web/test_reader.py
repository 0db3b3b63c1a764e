"""Which language a page is in."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.web.conftest import Browser
from tests.wording.texts import saying

DUTCH = """
msgid ""
msgstr "Content-Type: text/plain; charset=utf-8\\n"
msgid "Skip to the content"
msgstr "Naar de inhoud"
"""


@pytest.fixture(autouse=True)
def dutch(tmp_path: Path) -> Iterator[None]:
    """A portal with a Dutch catalogue that says one thing."""
    with saying(tmp_path, "nl", DUTCH):
        yield


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


def test_a_browser_keeps_what_an_address_chose(browser: Browser) -> None:
    """The next page is in the same language, until another is chosen."""
    browser.get("/sign-in?language=nl")
    assert browser.get("/sign-in").headers["content-language"] == "nl"
    browser.get("/sign-in?language=en", **{"Accept-Language": "nl"})
    assert browser.get("/sign-in", **{"Accept-Language": "nl"}).headers["content-language"] == "en"


def test_a_language_that_is_not_there_is_not_kept(browser: Browser) -> None:
    """What is sent in the address comes back in no header."""
    assert "set-cookie" not in browser.get("/sign-in?language=xx%0d%0aX:1").headers
