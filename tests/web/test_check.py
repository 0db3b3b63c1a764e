"""Is this sheet the current one? What is told to whom."""

import re
from collections.abc import Callable

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from portal.plan.signed.serialization import Heading
from portal.store import gigs, plans
from portal.store.database.session import Session
from portal.web.frame.rate_limiter import RateLimiter
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand, a_band, a_gig
from tests.web.conftest import ORIGIN, Browser
from tests.web.planned import Planned, prepare, words_of

GIVEN_AWAY = (
    "Harbour night",
    "The Old Net Loft",
    "Paper Lanterns",
    "5 Dec",
    "Revision",
    "revision",
    "Ada",
    "Jamie",
    "/gigs/",
    "/house/",
    "signed by",
)


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    return prepare(portal, band, signed_in, enter)


@pytest.fixture
def stranger(app: FastAPI) -> Browser:
    """Somebody who found a sheet; without a lifespan of its own, the portal lives on."""
    return Browser(TestClient(app, base_url=ORIGIN, follow_redirects=False))


def check(browser: Browser, text: str) -> str:
    return browser.send("/check", {"hash": text}, page="/check").text


def check_file(browser: Browser, content: bytes) -> str:
    hidden = browser.hidden("/check")
    return browser.client.post(
        "/check", data=hidden, files={"file": ("sheet.pdf", content)}, headers={"Origin": ORIGIN}
    ).text


def verdict(html: str) -> str:
    return next(
        words
        for words in (
            "current sheet.",
            "is outdated.",
            "not a sheet of ours",
            "More than one sheet",
            "Enter the eight digits",
        )
        if words in html
    )


def told_of_the_gig(html: str) -> list[str]:
    """What a page gives away; the question's own words are the same for everybody."""
    answer = re.search(r'role="status" data-announce.*?</div>', html, re.DOTALL).group()
    return [words for words in GIVEN_AWAY if words in answer]


def test_a_stranger_is_told_one_word(planned: Planned, stranger: Browser) -> None:
    """The short hash with or without its blank, the whole hash in any case: current; after a change outdated; and no
    other fact of the gig.
    """
    content_hash = planned.newest().content_hash
    for text in (content_hash[:8], f" {content_hash[:4]} {content_hash[4:8]} ", content_hash, content_hash.upper()):
        page = check(stranger, text)
        assert verdict(page) == "current sheet."
        assert told_of_the_gig(page) == []
    planned.answer(inputs_free=2)
    page = check(stranger, content_hash)
    assert verdict(page) == "is outdated."
    assert told_of_the_gig(page) == []


def test_whoever_sees_the_gig_is_told_what_differs(planned: Planned, enter: Callable[..., Browser]) -> None:
    """The band and the house, also by a code on paper, read which gig it is, what changed since, and where the newest
    plan stands.
    """
    old = planned.newest().content_hash
    planned.answer(inputs_free=2)
    for browser, base in (
        (planned.band, planned.gigs_base),
        (planned.house, planned.house_base),
        (enter(planned.link, only_view=True), planned.house_base),
    ):
        page = check(browser, old)
        assert verdict(page) == "is outdated."
        assert "Harbour night" in page
        assert f'href="{base}/plan"' in page
        assert "Revision 2 is the newest." in page
        assert "<li>" in page


def test_another_band_is_a_stranger(planned: Planned, stranger: Browser, portal: Portal) -> None:
    """An account of another band learns no more than anybody else."""
    with portal.store.writing() as db:
        other = a_band(db, name="The Wet Towels")
    planned.band.client.cookies.clear()
    page = check(stranger, planned.newest().content_hash)
    assert other.band_id
    assert told_of_the_gig(page) == []


def test_the_kept_file_is_known_by_its_bytes(planned: Planned, stranger: Browser) -> None:
    """The signed PDF is current; one bit of it changed, it is not ours; a draft is not kept, and the page says so."""
    draft = planned.house.get(f"{planned.house_base}/papers/patch-sheet.pdf").content
    assert "Only signed documents are kept" in check_file(stranger, draft)
    planned.sign("house")
    planned.sign("band")
    signed = planned.house.get(f"{planned.house_base}/papers/patch-sheet.pdf").content
    page = check_file(stranger, signed)
    assert verdict(page) == "current sheet."
    assert told_of_the_gig(page) == []
    altered = bytearray(signed)
    altered[len(signed) // 2] ^= 1
    assert verdict(check_file(stranger, bytes(altered))) == "not a sheet of ours"
    planned.answer(inputs_free=2)
    assert verdict(check_file(stranger, signed)) == "is outdated."


def test_a_file_whose_signature_was_withdrawn_is_outdated(planned: Planned, stranger: Browser) -> None:
    """The plan is still the same, but nobody should take the paper for agreed; the band reads why."""
    planned.sign("house")
    signed = planned.house.get(f"{planned.house_base}/papers/patch-sheet.pdf").content
    receipt = f"{planned.house_base}/sign-off/1"
    planned.house.send(f"{receipt}/withdraw", {"name": "Jamie Example"}, page=receipt)
    assert verdict(check_file(stranger, signed)) == "is outdated."
    assert "A signature on it was withdrawn." in check_file(planned.band, signed)
    assert verdict(check(stranger, planned.newest().content_hash)) == "current sheet."


def test_a_cancelled_gig_has_no_current_sheet(planned: Planned, stranger: Browser) -> None:
    """Nobody plugs from the sheet of a gig that does not take place."""
    with planned.portal.store.writing() as db:
        gigs.cancel(db, gigs.of_link(db, planned.gig.id), 1, NOW, actor="")
    assert verdict(check(stranger, planned.newest().content_hash)) == "is outdated."


def copy_of(db: Session, planned: Planned, band: ABand, content_hash: str, *, older: bool) -> None:
    """A plan of another band's gig under a hash of the test's choice, with a newer one where it is to be outdated."""
    gig = a_gig(db, band, name="Wet night")
    stored = planned.newest()
    for digest in (content_hash, *(["f" * 64] if older else [])):
        plans.keep(
            db, gig_id=gig.id, basis=plans.Basis(gig.rig_revision_id, {}, ()), engine="1", heading=Heading("Wet night",
            "2026-12-05", "Cellar"),
            document=stored.document, content_hash=digest, now=NOW,
        )  # fmt: skip


def test_two_sheets_with_the_same_eight_digits(planned: Planned, stranger: Browser, portal: Portal) -> None:
    """Where the digits fit a current and an outdated sheet, a stranger is asked for more digits; whoever sees one of
    them is told of that one only.
    """
    content_hash = planned.newest().content_hash
    twin = content_hash[:8] + "0" * 56
    with portal.store.writing() as db:
        copy_of(db, planned, a_band(db), twin, older=True)
    assert verdict(check(stranger, content_hash[:8])) == "More than one sheet"
    assert verdict(check(stranger, twin)) == "is outdated."
    page = check(planned.band, content_hash[:8])
    assert verdict(page) == "current sheet."
    assert "Wet night" not in page


@pytest.mark.parametrize("text", ["", "abc", "g" * 8, "1234567", "a" * 65, "' OR 1=1 --", "%" * 8, "\u0663" * 8])
def test_what_is_no_hash_is_asked_for_again(stranger: Browser, text: str) -> None:
    """Anything but 8 to 64 hexadecimal digits is answered with what to enter."""
    answer = stranger.send("/check", {"hash": text}, page="/check")
    assert answer.status_code == 422
    assert "Enter the eight digits" in words_of(answer.text)


def test_guessing_is_braked(planned: Planned, stranger: Browser, portal: Portal) -> None:
    """After so many sheets that are none, the next check waits, right or wrong; checks that succeed cost nothing."""
    object.__setattr__(portal, "check_limiter", RateLimiter(most=3, window_s=900))
    content_hash = planned.newest().content_hash
    for _ in range(9):
        assert verdict(check(stranger, content_hash)) == "current sheet."
    for digits in ("00000000", "11111111", "22222222"):
        assert verdict(check(stranger, digits)) == "not a sheet of ours"
    answer = stranger.send("/check", {"hash": content_hash}, page="/check")
    assert answer.status_code == 429
    assert "retry-after" in answer.headers
