"""In which language something was signed: the record says it, and a document in another one says that it is a
translation.
"""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from portal.store import plans
from portal.web.frame.running import Portal
from tests.builders import ABand
from tests.web.conftest import Browser
from tests.web.planned import Planned, asking_rig, prepare, words_of
from tests.wording.texts import only, write_catalogue

TRANSLATED = {"Translation: signed in %(languages)s": "Vertaald, ondertekend in het %(languages)s"}


@pytest.fixture(autouse=True)
def languages(tmp_path: Path) -> Iterator[None]:
    """A portal that the house reads in Dutch and French too."""
    for name in ("nl", "fr"):
        write_catalogue(tmp_path, name, TRANSLATED)
    with only(tmp_path, for_everybody=False):
        yield


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    return prepare(portal, band, signed_in, enter, asking_rig())


def sign_in_dutch(planned: Planned) -> None:
    planned.house.client.headers["Accept-Language"] = "nl"
    assert planned.sign("house").status_code == 303


def test_the_record_names_the_language_of_each_side(planned: Planned) -> None:
    """Both receipts and the page that checks a sheet say in which language each side signed; a withdrawal keeps it."""
    sign_in_dutch(planned)
    planned.sign("band")
    said = "The band signed in English. The house signed in Dutch."
    assert said in words_of(planned.band.get(f"{planned.gigs_base}/sign-off/1").text)
    checked = planned.band.send("/check", {"hash": planned.newest().content_hash}, page="/check")
    assert said in words_of(checked.text)
    planned.house.client.headers["Accept-Language"] = "en"
    assert "The house signed in Dutch." in words_of(planned.house.get(f"{planned.house_base}/sign-off/1").text)
    withdraw = f"{planned.house_base}/sign-off/1/withdraw"
    planned.house.send(withdraw, {"name": "Jamie Example"}, page=f"{planned.house_base}/sign-off/1")
    assert [(row.kind, row.version, row.language) for row in planned.signatures()] == [
        ("signed", "2", "nl"),
        ("signed", "2", "en"),
        ("withdrawn", "2", "nl"),
    ]


@pytest.mark.parametrize("document", ["patch-sheet", "input-list", "pack-list"])
def test_a_document_in_a_language_that_nobody_signed_is_a_translation(planned: Planned, document: str) -> None:
    """Its heading says so, in its own language; a draft, and a document in a language that a side signed, do not."""
    pages = {}
    for language in ("nl", "fr", "en"):
        planned.house.client.headers["Accept-Language"] = language
        pages[language] = planned.house.get(f"{planned.house_base}/papers/{document}").text
    assert not any("ondertekend" in page or "Translation" in page for page in pages.values())
    sign_in_dutch(planned)
    for language, mark in (
        ("nl", ""),
        ("fr", "Vertaald, ondertekend in het néerlandais"),
        ("en", "Translation: signed in Dutch"),
    ):
        planned.house.client.headers["Accept-Language"] = language
        page = planned.house.get(f"{planned.house_base}/papers/{document}").text
        assert f'<html lang="{language}">' in page
        assert mark in page if mark else "ondertekend" not in page


def test_a_signed_document_is_kept_in_each_language(planned: Planned) -> None:
    """Each is made once, under a name of its own; what one side reads is not handed to the other."""
    sign_in_dutch(planned)
    sheet = "papers/1/patch-sheet.pdf"
    dutch = planned.house.get(f"{planned.house_base}/{sheet}")
    english = planned.band.get(f"{planned.gigs_base}/{sheet}")
    assert dutch.headers["content-disposition"].endswith('-nl.pdf"')
    assert not english.headers["content-disposition"].endswith('-nl.pdf"')
    assert dutch.content != english.content
    assert planned.house.get(f"{planned.house_base}/{sheet}").content == dutch.content
    with planned.portal.store.reading() as db:
        kept = {paper.document: paper.content for paper in plans.papers_of(db, planned.newest().id)}
    assert kept == {"patch-sheet 1": english.content, "patch-sheet 1 nl": dutch.content}
