"""Papers: drafts say so, signed ones are made once and stay the same bytes, and the code on them lets people look
only.
"""

import hashlib
import re
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from threading import Event
from time import sleep

import pytest

from portal.documents.rendering.pdf import APT_LINE, PaperError, RendererMissing
from portal.documents.rendering.worker import RenderBusy, RenderTimeout
from portal.plan.signed.serialization import Heading
from portal.store import plans
from portal.web.documents import downloads
from portal.web.documents.downloads import file_name
from portal.web.documents.qr_access import cover_of
from portal.web.frame.access import ViewToken, write_view_token
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand
from tests.documents.reading import pages
from tests.web.conftest import Browser, Clock
from tests.web.planned import Planned, prepare, words_of


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    return prepare(portal, band, signed_in, enter)


def kept(planned: Planned) -> list[plans.Paper]:
    with planned.portal.store.reading() as db:
        return [paper for plan in plans.revisions(db, planned.gig.id) for paper in plans.papers_of(db, plan.id)]


def break_renderer(monkeypatch: pytest.MonkeyPatch, planned: Planned, error: PaperError) -> None:
    def render(*_wish: object) -> bytes:
        raise error

    monkeypatch.setattr(planned.portal.papers, "render", render)


def test_a_draft_says_so_and_is_not_kept(planned: Planned) -> None:
    """Before anybody signed, the file is marked as a draft by name and on its face, and nothing of it is stored."""
    answer = planned.house.get(f"{planned.house_base}/papers/patch-sheet.pdf")
    assert answer.headers["content-type"] == "application/pdf"
    assert (
        answer.headers["content-disposition"]
        == 'attachment; filename="harbour-night-2026-12-05-patch-sheet-revision-1-draft.pdf"'
    )
    assert "Draft,notsigned" in pages(answer.content)[0]
    assert kept(planned) == []


def test_a_signed_sheet_is_the_same_bytes_ever_after(planned: Planned, monkeypatch: pytest.MonkeyPatch) -> None:
    """What both signed was made when they signed; each download, on either side and after the plan moved on, is those
    bytes, with the SHA-256 that was stored, and no renderer is asked again.
    """
    planned.sign("house")
    planned.sign("band")
    break_renderer(monkeypatch, planned, RenderTimeout())
    agreed = kept(planned)[-1]
    first = planned.house.get(f"{planned.house_base}/papers/patch-sheet.pdf")
    planned.answer(inputs_free=2, contact_name="Somebody else")
    second = planned.band.get(f"{planned.gigs_base}/papers/1/patch-sheet.pdf")
    third = planned.band.get(f"{planned.gigs_base}/papers/kept/{agreed.id}.pdf")
    assert first.content == second.content == third.content == agreed.content
    assert hashlib.sha256(first.content).hexdigest() == agreed.sha256
    assert first.headers["content-disposition"].endswith('patch-sheet-revision-1.pdf"')
    text = "".join(pages(first.content))
    assert "Agreed:bothsidessignedthis" in text
    assert "JamieExample" in text
    assert "AdaExample" in text


def test_a_cancelled_gig_hands_out_no_sheet_that_says_agreed(planned: Planned) -> None:
    """The sheet that both signed and the list of documents say that nobody plays; what was kept stays as it was."""
    planned.sign("house")
    planned.sign("band")
    before = [paper.sha256 for paper in kept(planned)]
    with planned.portal.store.writing() as db:
        db.merge(planned.gig.model_copy(update={"cancelled_at": NOW}))
    sheet = "".join(pages(planned.house.get(f"{planned.house_base}/papers/patch-sheet.pdf").content))
    assert "Thegigiscancelled" in sheet
    assert "Agreed" not in sheet
    assert "The gig is cancelled: the documents say so." in planned.band.get(f"{planned.gigs_base}/papers").text
    assert [paper.sha256 for paper in kept(planned)] == before


def test_each_set_of_signatures_has_its_own_sheet(planned: Planned) -> None:
    """Signed by one side, then by both, then withdrawn and signed anew: no sheet shows a signature that does not stand,
    and none is lost.
    """
    planned.sign("house")
    assert len(kept(planned)) == 1
    one = planned.house.get(f"{planned.house_base}/papers/patch-sheet.pdf")
    assert "Signedforthehouseonly" in pages(one.content)[0]
    planned.sign("band")
    both = planned.house.get(f"{planned.house_base}/papers/patch-sheet.pdf")
    receipt = f"{planned.house_base}/sign-off/1"
    planned.house.send(f"{receipt}/withdraw", {"name": "Jamie Example"}, page=receipt)
    left = planned.house.get(f"{planned.house_base}/papers/patch-sheet.pdf")
    assert "Signedforthebandonly" in pages(left.content)[0]
    planned.sign("house", name="Robin Example")
    again = planned.house.get(f"{planned.house_base}/papers/patch-sheet.pdf")
    assert "RobinExample" in "".join(pages(again.content))
    assert [paper.content for paper in kept(planned)] == [one.content, both.content, left.content, again.content]
    page = planned.band.get(f"{planned.gigs_base}/plan/1").text
    assert len(re.findall(r"/papers/kept/[0-9a-f-]+\.pdf", page)) == 4


def test_a_sheet_that_failed_at_signing_is_made_at_the_first_download(planned: Planned) -> None:
    """A renderer that is missing when somebody signs does not stop the signature; the sheet is made and kept later."""
    with pytest.MonkeyPatch.context() as patch:
        break_renderer(patch, planned, RenderBusy())
        assert planned.sign("house").status_code == 303
    assert kept(planned) == []
    first = planned.house.get(f"{planned.house_base}/papers/patch-sheet.pdf")
    assert [paper.content for paper in kept(planned)] == [first.content]


def test_without_a_renderer_the_page_says_what_to_do(planned: Planned, monkeypatch: pytest.MonkeyPatch) -> None:
    """The answer names the line that an administrator runs, and leads to the print page, which works without."""
    break_renderer(monkeypatch, planned, RendererMissing())
    answer = planned.house.get(f"{planned.house_base}/papers/patch-sheet.pdf")
    assert answer.status_code == 503
    assert APT_LINE in answer.text
    print_page = f"{planned.house_base}/papers/1/patch-sheet"
    assert f'href="{print_page}"' in answer.text
    assert "Kick" in planned.house.get(print_page).text


@pytest.mark.parametrize("error", [RenderTimeout(), RenderBusy()], ids=["timeout", "busy"])
def test_a_renderer_that_takes_too_long_is_said(
    planned: Planned, monkeypatch: pytest.MonkeyPatch, error: PaperError
) -> None:
    """A time-out, or too many papers at once, is a page with status 503 and a time to come back."""
    break_renderer(monkeypatch, planned, error)
    answer = planned.band.get(f"{planned.gigs_base}/papers/patch-sheet.pdf")
    assert (answer.status_code, answer.headers["retry-after"]) == (503, "60")
    assert str(error) in words_of(answer.text)


def test_thirty_who_ask_for_one_sheet_get_it_and_hold_up_nobody(
    planned: Planned, monkeypatch: pytest.MonkeyPatch
) -> None:
    """However many ask for the same page at once, it is made once, nobody is turned away, and other pages are answered
    meanwhile; whoever asks later gets the one that is held.
    """
    begun, go_on, made, asking = Event(), Event(), [], []
    real = downloads.make_pdf

    def make(*wish: object) -> object:
        asking.append(wish)
        return real(*wish)

    def render(html: str, _attached: object) -> bytes:
        made.append(html)
        begun.set()
        assert go_on.wait(timeout=60)
        return b"%PDF-1.7"

    monkeypatch.setattr(planned.portal.papers, "render", render)
    monkeypatch.setattr(downloads, "make_pdf", make)
    page = f"{planned.gigs_base}/papers/patch-sheet.pdf"
    with ThreadPoolExecutor(30) as people:
        asked = [people.submit(planned.band.client.get, page) for _ in range(30)]
        assert begun.wait(timeout=60)
        assert planned.band.client.get("/alive").status_code == 200
        assert planned.band.client.get(f"{planned.gigs_base}/plan").status_code == 200
        while len(asking) < 30:
            sleep(0.01)
        go_on.set()
        assert {one.result(timeout=60).content for one in asked} == {b"%PDF-1.7"}
    assert len(made) == 1
    assert planned.portal.papers_making == {}
    assert planned.band.client.get(page).content == b"%PDF-1.7"
    assert len(made) == 1


def test_a_renderer_that_fails_fails_for_all_who_wait(planned: Planned, monkeypatch: pytest.MonkeyPatch) -> None:
    """What went wrong is said to each, nothing stays behind, and the next one who asks has it tried again."""
    break_renderer(monkeypatch, planned, RenderTimeout())
    page = f"{planned.gigs_base}/papers/patch-sheet.pdf"
    with ThreadPoolExecutor(5) as people:
        assert {one.status_code for one in people.map(planned.band.client.get, [page] * 5)} == {503}
    assert planned.portal.papers_making == {}
    monkeypatch.setattr(planned.portal.papers, "render", lambda *_wish: b"%PDF-1.7")
    assert planned.band.client.get(page).status_code == 200


def test_a_paper_in_the_making_holds_up_no_writer(planned: Planned, monkeypatch: pytest.MonkeyPatch) -> None:
    """While the renderer works for a reader, somebody else can save."""

    def render(*_wish: object) -> bytes:
        planned.answer(inputs_free=3)
        return b"%PDF-1.7"

    monkeypatch.setattr(planned.portal.papers, "render", render)
    assert planned.band.get(f"{planned.gigs_base}/papers/patch-sheet.pdf").content == b"%PDF-1.7"
    assert planned.newest().number == 2


def test_where_the_rack_stands_is_said_without_its_question(planned: Planned) -> None:
    """A paper says where the rack stands and what its outlet is, never a bare yes or no; what is not known is said."""
    for given, place, power in (
        ({}, "not known yet", "not known yet"),
        (
            {"box_place": "stage-left", "rack_power": "yes"},
            "Near the stage box, stage left",
            "Mains socket by the rack, on through the changeover",
        ),
        (
            {"box_place": "no-box", "rack_power": "no"},
            "No box: the desk stands at the stage",
            "No space or no mains socket there",
        ),
    ):
        planned.answer(**given)
        page = words_of(planned.house.get(f"{planned.house_base}/papers/{planned.newest().number}/patch-sheet").text)
        assert f"Rack stands {place}" in page
        assert f"Rack power {power}" in page


def test_there_is_no_other_paper(planned: Planned) -> None:
    """A document that nobody registered is not there, as a page or as a file."""
    for tail in (
        "papers/nothing",
        "papers/nothing.pdf",
        "papers/1/nothing.pdf",
        "papers/9/patch-sheet.pdf",
        "papers/kept/nothing.pdf",
    ):
        assert planned.band.get(f"{planned.gigs_base}/{tail}").status_code == 404, tail


@pytest.mark.parametrize(
    ("gig", "start"),
    [
        ('../../etc/"x"\r\nSet-Cookie: a=b', "etc-x-set-cookie-a-b-"),
        ("Fête à l'Île", "fete-a-l-ile-"),
        ("夜", "gig-"),
        ("a" * 200, "a" * 40 + "-"),
    ],
)
def test_a_file_name_is_safe_everywhere(planned: Planned, gig: str, start: str) -> None:
    """Whatever a gig is called, the file's name is short and made of small letters, digits and hyphens."""
    stored = planned.newest()
    with planned.portal.store.writing() as db:
        stored = plans.keep(
            db,
            gig_id=stored.gig_id,
            basis=plans.Basis(stored.rig_revision_id, {}, ()),
            engine="1",
            heading=Heading(gig, "2026-12-05", "x"),
            document=stored.document,
            content_hash="0" * 64,
            now=NOW,
        )
    name = file_name(stored, "patch-sheet", "")
    assert name.startswith(start)
    assert re.fullmatch(r"[a-z0-9-]{1,100}\.pdf", name)


def code_of(planned: Planned) -> str:
    """The path behind the code on the sheet."""
    with planned.portal.store.reading() as db:
        address = cover_of(db, planned.portal, planned.gig, planned.newest()).link
    return address.removeprefix("https://portal.test")


def test_a_draft_carries_the_code_as_a_signed_sheet_does(planned: Planned) -> None:
    """Whoever holds an old draft finds by its code what holds now; the address is not the link's own."""
    assert code_of(planned).startswith("/day/")
    planned.portal.papers.close()
    planned.sign("house")
    assert code_of(planned).startswith("/day/")
    assert "Day sheet now" in planned.band.get(f"{planned.gigs_base}/papers/1/patch-sheet").text


def test_without_a_link_to_the_house_the_code_leads_the_band_to_its_day(planned: Planned, browser: Browser) -> None:
    """Where the house has no link, as at the band's own PA, the code is the band's own page of the day: its members
    sign in, nobody else gets in.
    """
    with planned.portal.store.writing() as db:
        db.merge(planned.link.model_copy(update={"revoked_at": NOW}))
    code = code_of(planned)
    assert code == f"{planned.gigs_base}/day"
    assert "Day sheet, for the band" in planned.band.get(f"{planned.gigs_base}/papers/1/patch-sheet").text
    assert planned.band.get(code).status_code == 200
    browser.client.cookies.clear()
    refused = browser.get(code)
    assert (refused.status_code, refused.headers["location"].partition("?")[0]) == (303, "/sign-in")


def test_the_code_lets_people_look_and_nothing_else(planned: Planned, browser: Browser) -> None:
    """Looking at the address changes nothing; its button opens the plan and the sheet; answering, signing and
    withdrawing are refused.
    """
    planned.portal.papers.close()
    form_page = f"{planned.house_base}/sign-off"
    planned.sign("house")
    code = code_of(planned)
    browser.client.cookies.clear()
    landing = browser.get(code)
    assert "Harbour night" in landing.text
    assert "set-cookie" not in landing.headers
    assert browser.get(f"{planned.house_base}/plan").status_code == 404
    entered = browser.send(code, page=code)
    assert (entered.status_code, entered.headers["location"]) == (303, f"{planned.house_base}/day")
    plan = browser.get(f"{planned.house_base}/plan")
    assert plan.status_code == 200
    assert "Go to the sign-off" not in plan.text
    assert browser.get(f"{planned.house_base}/papers/patch-sheet").status_code == 200
    assert browser.get(form_page).status_code == 403
    assert (
        browser.send(form_page, {"form_key": "k" * 20, "content_hash": planned.newest().content_hash}).status_code
        == 403
    )
    assert browser.send(f"{form_page}/1/withdraw", {"form_key": "k" * 20, "name": "x"}).status_code == 403
    assert browser.send(f"{planned.house_base}/questions/mixing", {"form_key": "k" * 20}).status_code in {403, 404, 405}
    assert len(planned.signatures()) == 1


def test_the_code_takes_nothing_from_whoever_came_by_the_link(planned: Planned) -> None:
    """The engineer who scans the sheet may still sign afterwards."""
    planned.portal.papers.close()
    planned.sign("band")
    code = code_of(planned)
    planned.house.send(code, page=code)
    assert planned.sign("house").status_code == 303


def test_a_code_ends_with_its_time_its_link_and_its_key(planned: Planned, clock: Clock, browser: Browser) -> None:
    """A code of another key, of a revoked link or after its time leads to a page that says so."""
    planned.portal.papers.close()
    planned.sign("house")
    code = code_of(planned)
    token = ViewToken(planned.gig.id, planned.link.id, NOW + timedelta(days=1))
    assert browser.get(f"/day/{write_view_token(b'another key', token)}").status_code == 404
    assert browser.get("/day/nothing").status_code == 404
    clock.now = NOW + timedelta(days=40)
    assert browser.get(code).status_code == 404
    clock.now = NOW
    assert browser.get(code).status_code == 200
    with planned.portal.store.writing() as db:
        db.merge(planned.link.model_copy(update={"revoked_at": NOW}))
    assert browser.get(code).status_code == 404
    assert browser.send(code, {"form_key": "k" * 20}).status_code == 404


def test_a_code_that_holds_is_opened_whatever_its_neighbours_guess(planned: Planned, browser: Browser) -> None:
    """Wrong codes from a line are braked; the right one from the same line opens."""
    planned.portal.papers.close()
    planned.sign("house")
    code = code_of(planned)
    assert {browser.get(f"/day/guess-{number}").status_code for number in range(60)} == {404, 429}
    assert browser.get(code).status_code == 200
    assert browser.send(code).status_code == 303
