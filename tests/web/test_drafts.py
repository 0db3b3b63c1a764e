"""Papers that no signature keeps: made once while nothing on them changes, and never handed out past an erasure."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from portal.documents.rendering.drafts import Drafts
from portal.plan.result.stage import Stage
from portal.store import gigs, planning
from portal.store.accounts.bands import Band
from portal.store.database.session import Session
from portal.store.day import stages
from portal.store.planning import Wish
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand, an_answer
from tests.web.conftest import Browser
from tests.web.planned import Planned, prepare


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    return prepare(portal, band, signed_in, enter)


@pytest.fixture
def made(planned: Planned, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The pages that were given to the renderer; a paper is its page in bytes."""
    pages: list[str] = []

    def render(html: str, _attached: object) -> bytes:
        pages.append(html)
        return b"%PDF-1.7" + html.encode()

    monkeypatch.setattr(planned.portal.papers, "render", render)
    return pages


PAPERS = ("patch-sheet", "input-list", "stage-plot", "labels", "pack-list")


def taken(planned: Planned, paper: str) -> bytes:
    answer = planned.house.get(f"{planned.house_base}/papers/1/{paper}.pdf")
    assert answer.status_code == 200
    return answer.content


def test_the_second_who_asks_gets_what_the_first_one_got(planned: Planned, made: list[str]) -> None:
    """Each paper of each size is rendered once, whichever side asks."""
    for paper in PAPERS:
        first = taken(planned, paper)
        assert planned.band.get(f"{planned.gigs_base}/papers/1/{paper}.pdf").content == first
        assert len(made) == 1
        planned.band.get(f"{planned.gigs_base}/papers/1/{paper}.pdf?paper=Letter")
        assert len(made) == 2
        made.clear()


def moved(planned: Planned, db: Session) -> None:
    gig = gigs.of_link(db, planned.gig.id)
    words = replace(gigs.words_of(gig), times={**gig.minutes, "doors": 1150})
    assert gigs.save(db, gig, gig.version, words, NOW, actor="user:x")


def called(planned: Planned, db: Session) -> None:
    gig = gigs.of_link(db, planned.gig.id)
    assert gigs.save(db, gig, gig.version, replace(gigs.words_of(gig), contact="Bo, 555"), NOW, actor="user:x")


def told(planned: Planned, db: Session) -> None:
    an_answer(db, planned.gig.id, "contact-name", "Robin Example", link_id=planned.link.id)


def drew(planned: Planned, db: Session) -> None:
    assert stages.save(db, planned.gig.id, 0, Stage(width_m=8.0), NOW)


def renamed(planned: Planned, db: Session) -> None:
    band = db.get(Band, planned.owner.band_id)
    band.name = "The Lanterns"
    db.add(band)


def behind(planned: Planned, db: Session) -> None:
    planning.want(db, planned.gig.id, Wish("another", "1"), NOW)


@pytest.mark.usefixtures("made")
@pytest.mark.parametrize("deed", [moved, called, told, drew, renamed, behind], ids=lambda one: one.__name__)
def test_whatever_stands_on_a_paper_makes_another_of_it(
    planned: Planned, deed: Callable[[Planned, Session], None]
) -> None:
    """After a deed no paper is handed out that differs from one made anew."""
    before = {paper: taken(planned, paper) for paper in PAPERS}
    with planned.portal.store.writing() as db:
        deed(planned, db)
    after = {paper: taken(planned, paper) for paper in PAPERS}
    assert after != before
    planned.portal.drafts.forget()
    assert {paper: taken(planned, paper) for paper in PAPERS} == after


@pytest.mark.usefixtures("made")
def test_no_code_is_held_past_its_link(planned: Planned) -> None:
    """A draft whose code led as far as a link that is revoked is made anew."""
    paper = f"{planned.gigs_base}/papers/1/patch-sheet.pdf"
    assert b"Day sheet now" in planned.band.get(paper).content
    with planned.portal.store.writing() as db:
        db.merge(planned.link.model_copy(update={"revoked_at": NOW}))
    assert b"Day sheet, for the band" in planned.band.get(paper).content


@pytest.mark.usefixtures("made")
def test_no_paper_is_held_past_an_erasure(planned: Planned) -> None:
    """Once names are erased nothing of the papers that bore them is left, not even of one that was being made."""
    planned.answer(contact_name="Robin Example")
    number = planned.newest().number
    paper = f"{planned.house_base}/papers/{number}/patch-sheet.pdf"
    assert b"Robin Example" in planned.house.get(paper).content
    turn = planned.portal.drafts.turn
    page = f"{planned.house_base}/given"
    assert planned.house.send(f"{page}/erase", {"sure": "yes"}, page=page).status_code == 303
    assert planned.portal.drafts._held == {}
    planned.portal.drafts.hold("begun before", b"Robin Example", turn)
    assert planned.portal.drafts.get("begun before") is None
    assert b"Robin Example" not in planned.house.get(paper).content


def test_what_nobody_asked_for_longest_goes_first() -> None:
    """No more bytes are held than may be."""
    drafts = Drafts(most_bytes=10)
    drafts.hold("a", b"12345", 0)
    drafts.hold("b", b"12345", 0)
    assert drafts.get("a") == b"12345"
    drafts.hold("c", b"12345", 0)
    assert [drafts.get(one) for one in "abc"] == [b"12345", None, b"12345"]
