"""Times of the day are no part of what is signed: what moved after signing is said on the day's pages, on paper, and to
whoever checks.
"""

from collections.abc import Callable, Iterator

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from portal.store import gigs
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand
from tests.web.conftest import ORIGIN, Browser
from tests.web.planned import Planned, prepare, words_of

MOVED = (
    "Times changed after signing: Load-in was 16:00, now 17:30; Sound check was not set, now 18:00; Doors was 19:00,"
    " now not set."
)


@pytest.fixture
def planned(
    portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser], monkeypatch: pytest.MonkeyPatch
) -> Planned:
    """A planned gig; its papers are the pages that the renderer would be given."""
    monkeypatch.setattr(portal.papers, "render", lambda html, _attached=None: b"%PDF " + html.encode())
    return prepare(portal, band, signed_in, enter)


@pytest.fixture
def stranger(app: FastAPI) -> Iterator[Browser]:
    with TestClient(app, base_url=ORIGIN, follow_redirects=False) as client:
        yield Browser(client)


def move(planned: Planned, *, by: str = "band", **times: int | None) -> None:
    """One side changes times of the gig; ``None`` takes one away."""
    with planned.portal.store.writing() as db:
        gig = gigs.of_link(db, planned.gig.id)
        wanted = {**gig.minutes, **{key.replace("_", "-"): minutes for key, minutes in times.items()}}
        words = gigs.GigWords(
            gig.name,
            gig.place,
            gig.on,
            gig.time_zone,
            {key: minutes for key, minutes in wanted.items() if minutes is not None},
            gig.set_minutes,
            gig.configuration,
            gig.rig_id,
            gig.rig_revision_id,
        )
        actor = f"user:{planned.owner.user_id}" if by == "band" else f"link:{planned.link.id}"
        assert gigs.save(db, gig, gig.version, words, NOW, actor=actor, party=by)


def paper(planned: Planned) -> str:
    return words_of(planned.house.get(f"{planned.house_base}/papers/patch-sheet.pdf").text)


def places(planned: Planned) -> dict[str, str]:
    """Everything that shows the times to somebody who holds what was signed."""
    base, content_hash = planned.house_base, planned.newest().content_hash
    pages = (
        "day",
        f"day/{content_hash}",
        f"day/{content_hash}.html",
        "papers/patch-sheet",
        "papers/patch-sheet.pdf",
        "sign-off/1",
    )
    return {page: words_of(planned.house.get(f"{base}/{page}").text) for page in pages}


def test_what_moved_after_signing_is_said_wherever_times_stand(planned: Planned) -> None:
    """Before it moves nothing is said; a draft says nothing; then every page and paper names what was signed beside
    what holds now.
    """
    move(planned, curfew=1500)
    assert "Times changed" not in paper(planned)
    planned.sign("house")
    planned.sign("band")
    assert [page for page, words in places(planned).items() if "Times changed" in words] == []
    move(planned, load_in=1000)
    move(planned, load_in=1050, sound_check=1080, doors=None)
    assert [page for page, words in places(planned).items() if MOVED not in words] == []
    assert "Agreed" in places(planned)["papers/patch-sheet"]


@pytest.mark.parametrize("by", ["band", "house"])
def test_a_curfew_moved_after_both_signed_is_said_first_to_either_side(planned: Planned, by: str) -> None:
    """The hash stays, for it covers no time; the gig, its plan and its history say on either side what changed since
    it was signed, until it is moved back.
    """

    def wanting(words: str) -> list[str]:
        seen = [
            (browser, f"{base}{page}")
            for browser, base in ((planned.band, planned.gigs_base), (planned.house, planned.house_base))
            for page in ("", "/plan")
        ]
        return [page for browser, page in seen if words not in words_of(browser.get(page).text)]

    move(planned, curfew=1410)
    planned.sign("house")
    planned.sign("band")
    signed = planned.newest().content_hash
    assert len(wanting("Times changed")) == 4
    move(planned, by=by, curfew=1380)
    said = "Times changed after signing: Curfew was 23:30, now 23:00."
    assert wanting(said) == []
    for page in (planned.band.get(planned.gigs_base), planned.house.get(planned.house_base)):
        assert "changed since signed" in words_of(page.text).partition("Curfew")[0]
    assert planned.newest().content_hash == signed
    assert "Curfew: was 23:30, now 23:00" in words_of(planned.house.get(f"{planned.house_base}/history").text)
    move(planned, by=by, curfew=1410)
    assert len(wanting("Times changed")) == 4


def test_the_kept_paper_never_shows_old_times(planned: Planned) -> None:
    """Each state of the times has its own kept file; moved back, the first one holds again, byte for byte."""
    planned.sign("house")
    planned.sign("band")
    first = paper(planned)
    assert "Load-in 16:00" in first
    move(planned, load_in=1050)
    second = paper(planned)
    assert "Load-in 17:30" in second
    move(planned, load_in=1080)
    assert "Load-in 18:00" in paper(planned)
    move(planned, load_in=1050)
    assert "Load-in 17:30" in paper(planned)
    move(planned, load_in=960)
    assert paper(planned) == first


def test_the_first_signature_counts(planned: Planned) -> None:
    """Who signed first signed with the times of then, whoever signs afterwards; a signature that was withdrawn counts
    no more.
    """
    planned.sign("house")
    move(planned, load_in=1050)
    planned.sign("band")
    assert "Load-in was 16:00, now 17:30." in paper(planned)
    house = planned.house
    assert (
        house.send(
            f"{planned.house_base}/sign-off/1/withdraw", {"name": "Jamie"}, page=f"{planned.house_base}/sign-off/1"
        ).status_code
        == 303
    )
    assert "Times changed" not in paper(planned)


@pytest.mark.parametrize("by", ["hash", "file"])
def test_whoever_checks_a_sheet_is_told(planned: Planned, stranger: Browser, by: str) -> None:
    """The sheet is still current, and its times are not: the house is told which, a stranger only that there are
    some.
    """
    planned.sign("house")
    planned.sign("band")
    content = planned.house.get(f"{planned.house_base}/papers/patch-sheet.pdf").content

    def check(browser: Browser) -> str:
        if by == "hash":
            return words_of(browser.send("/check", {"hash": planned.newest().content_hash}, page="/check").text)
        hidden = browser.hidden("/check")
        files = {"file": ("sheet.pdf", content, "application/pdf")}
        return words_of(browser.client.post("/check", data=hidden, files=files, headers={"Origin": ORIGIN}).text)

    assert "changed after" not in check(planned.house) + check(stranger)
    move(planned, load_in=1050)
    assert "This is the current sheet." in check(planned.house)
    assert "Times changed after signing: Load-in was 16:00, now 17:30." in check(planned.house)
    told = check(stranger)
    assert (
        "This is the current sheet. But times of the day changed after it was signed. Ask the band or the house for"
        " them." in told
    )
    assert "17:30" not in told


def test_other_changes_move_no_time(planned: Planned) -> None:
    """A gig that got another set length has its times still."""
    planned.sign("house")
    with planned.portal.store.writing() as db:
        gig = gigs.of_link(db, planned.gig.id)
        words = gigs.GigWords(
            gig.name,
            gig.place,
            gig.on,
            gig.time_zone,
            gig.minutes,
            40,
            gig.configuration,
            gig.rig_id,
            gig.rig_revision_id,
        )
        assert gigs.save(db, gig, gig.version, words, NOW, actor=f"user:{planned.owner.user_id}")
    assert "Times changed" not in paper(planned)
