"""The house's way in: looking changes nothing, a button trades the link for a session."""

import re
from collections.abc import Callable, Iterator
from datetime import timedelta
from html import unescape

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from portal.advance.what_comes import what_comes
from portal.plan.input.facts import Facts
from portal.plan.input.rig import Owner, Rig, Source
from portal.plan.options.routing_policy import goes_of
from portal.store import answers, gigs, links, rigs
from portal.store.database.session import Store
from portal.store.database.tables import METADATA
from portal.store.gigs import Gig
from portal.web.frame.access import token_hash
from tests.builders import NOW, ABand, a_band, a_gig, a_link
from tests.web.conftest import ORIGIN, Browser, Clock

TOKEN = "t" * 43
WAY_IN = f"/in/{TOKEN}"


@pytest.fixture
def link(store: Store, band: ABand, gig: Gig) -> links.Link:
    with store.writing() as db:
        return a_link(db, gig, band, token_hash=token_hash(TOKEN))


@pytest.fixture
def second(app: FastAPI) -> Iterator[Browser]:
    """Another browser."""
    with TestClient(app, base_url=ORIGIN, follow_redirects=False) as client:
        yield Browser(client)


def everything(store: Store) -> list[tuple[str, list[object]]]:
    """Every row of every table."""
    with store.reading() as db:
        return [(table.name, list(db.connection().execute(table.select()))) for table in METADATA.sorted_tables]


@pytest.mark.usefixtures("link")
def test_looking_at_a_link_changes_nothing(browser: Browser, store: Store) -> None:
    """A hundred looks by programs that open every link leave no trace, no cookie and no use."""
    before = everything(store)
    for _ in range(50):
        assert browser.get(WAY_IN).status_code == 200
        assert browser.client.head(WAY_IN).status_code == 200
    assert everything(store) == before
    assert not browser.client.cookies


@pytest.mark.usefixtures("link")
def test_what_comes_is_seen_before_anything_is_asked(browser: Browser, store: Store, gig: Gig) -> None:
    """Each source that may go to the house stands on the first page with microphone or DI, stand and 48 V, and none
    that stays with the band; who plays it does not.
    """
    text = browser.get(WAY_IN).text
    rows = [
        [unescape(cell) for cell in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row)]
        for row in re.findall(r"<tr>.*?</tr>", text.partition('class="coming"')[2], re.DOTALL)
    ]
    with store.reading() as db:
        rig = rigs.revision_of_gig(db, gig.rig_revision_id).read()
    sent = [one for one in rig.source if goes_of(one) not in ("ears-only", "rehearsal-only")]
    assert rows[0] == ["Source", "Mic or DI", "Stand", "Needs 48 V"]
    assert [row[0] for row in rows[1:]] == [one.label for one in sent]
    assert all(row[1] and row[2] and row[3] in ("yes", "–", "never", "not known") for row in rows[1:])
    assert "never" not in text.partition('class="coming"')[2].partition("</table>")[0]


def test_what_stays_with_the_band_does_not_come() -> None:
    """A click is nobody's business but the band's, and what 48 V harms says so."""
    rig = Rig(
        source=(
            Source(key="k", label="Kick", what="drum.kick-drum"),
            Source(key="c", label="Click", goes="ears-only"),
            Source(key="r", label="Ribbon", capture="mic", harmed_by_phantom=True),
        )
    )
    assert [(one.source, one.phantom) for one in what_comes(Facts(rig, {}))] == [("Kick", "–"), ("Ribbon", "never")]


def test_what_the_house_brings_is_called_the_houses() -> None:
    """The rest is the band's, as the page says above."""
    rig = Rig(source=(Source(key="v", label="Vox", capture="mic", stand="tall", owner=Owner(mic="house")),))
    (one,) = what_comes(Facts(rig, {}))
    assert (one.mic_or_di, one.stand) == ("mic, the house's", "tall")


@pytest.mark.usefixtures("link")
def test_the_landing_page_says_what_it_is_about(browser: Browser) -> None:
    """Who asks, which gig, where, when, how long it takes, what to have at hand, who sees it, what the link can do,
    what happens next.
    """
    text = browser.get(WAY_IN).text
    for words in (
        "The Paper Lanterns", "Ada Example", "Harbour night", "The Old Net Loft", "Sat 5 Dec 2026", "minutes",
        "Have at hand", "Who sees it",
        "see the plan and download the documents, answer the questions and sign for the house, until Fri 25 Dec 2026",
        "What happens next",
    ):  # fmt: skip
        assert words in text
    assert text.count('<button class="main"') == 1


@pytest.mark.usefixtures("link")
def test_the_button_trades_the_link_for_a_session(browser: Browser, gig: Gig) -> None:
    """Afterwards no address and no page holds the token, and the cookie is the browser's own."""
    came = browser.send(WAY_IN, page=WAY_IN)
    assert came.status_code == 303
    assert came.headers["location"] == f"/house/{gig.id}/questions/next"
    cookie = came.headers["set-cookie"]
    assert f"__Host-gig-{gig.id}=" in cookie
    for flag in ("Secure", "HttpOnly", "Path=/", "SameSite=lax"):
        assert flag in cookie
    assert TOKEN not in cookie
    first = browser.get(came.headers["location"])
    page = browser.get(first.headers["location"])
    assert page.status_code == 200
    assert TOKEN not in page.text + browser.get(f"/house/{gig.id}").text


@pytest.mark.usefixtures("link")
def test_a_link_may_be_used_again_and_elsewhere(browser: Browser, second: Browser, gig: Gig) -> None:
    """The same message opened twice, or on another phone, lets its reader in each time."""
    for house in (browser, browser, second):
        assert house.send(WAY_IN, page=WAY_IN).status_code == 303
        assert house.get(f"/house/{gig.id}").status_code == 200


def test_a_foreign_page_cannot_press_the_button(browser: Browser, link: links.Link, store: Store) -> None:
    """A form on another site does not start a session."""
    assert browser.send(WAY_IN, page=WAY_IN, origin="https://elsewhere.example").status_code == 403
    with store.reading() as db:
        assert links.by_id(db, link.id).last_used is None


def test_dead_links_look_like_no_links(browser: Browser, band: ABand, gig: Gig, store: Store, clock: Clock) -> None:
    """Unknown, expired and revoked: one status, one body, for looking and for pressing; only what is looked at offers
    other languages.
    """
    with store.writing() as db:
        revoked = a_link(db, gig, band, token_hash=token_hash("r" * 43))
        links.revoke(db, revoked, NOW, actor="")
        a_link(db, gig, band, token_hash=token_hash("e" * 43), expires=NOW + timedelta(seconds=1))
    assert browser.get(f"/in/{'e' * 43}").status_code == 200
    clock.now = NOW + timedelta(seconds=1)
    looked = [browser.get(f"/in/{token}") for token in ("r" * 43, "e" * 43, "u" * 43, "short")]
    pressed = [browser.send(f"/in/{token}") for token in ("r" * 43, "e" * 43, "u" * 43)]
    assert {answer.status_code for answer in looked + pressed} == {404}
    assert len({answer.text for answer in looked}) == 1
    assert {re.sub(r'  <nav class="languages".*?</nav>\n', "", looked[0].text, flags=re.DOTALL)} == {
        answer.text for answer in pressed
    }
    assert not browser.client.cookies


@pytest.mark.usefixtures("link")
def test_guessing_is_braked_and_holders_are_not(browser: Browser) -> None:
    """After too many wrong tokens the answer is to wait, while a right one from the same address still opens."""
    statuses = [browser.get(f"/in/guess-{number}").status_code for number in range(60)]
    assert set(statuses) == {404, 429}
    braked = browser.get("/in/guess")
    assert int(braked.headers["retry-after"]) > 0
    assert browser.get(WAY_IN).status_code == 200


def test_a_link_ends_with_its_time(enter: Callable[..., Browser], link: links.Link, gig: Gig, clock: Clock) -> None:
    """Whoever is in by a link is out when it expires."""
    house = enter(link)
    assert house.get(f"/house/{gig.id}").status_code == 200
    clock.now = link.expires
    assert house.get(f"/house/{gig.id}").status_code == 404


def test_a_link_opens_its_own_gig_only(
    enter: Callable[..., Browser], link: links.Link, band: ABand, store: Store
) -> None:
    """Another gig of the same band is as absent as one that never was, and so is the band's side of one's own."""
    with store.writing() as db:
        other = a_gig(db, band)
    house = enter(link)
    assert house.get(f"/house/{other.id}").status_code == 404
    assert house.get(f"/gigs/{link.gig_id}").status_code == 303
    assert house.send(f"/gigs/{link.gig_id}/links", {"label": "x"}).status_code == 401


@pytest.mark.parametrize("powers", [("view",), ("view", "answer"), links.POWERS])
def test_a_link_does_what_it_carries(
    enter: Callable[..., Browser], gig: Gig, band: ABand, store: Store, powers: tuple[str, ...]
) -> None:
    """Pages offer what the link may do, and refuse the rest however it is asked for."""
    may_answer, may_sign = "answer" in powers, "sign" in powers
    with store.writing() as db:
        given = a_link(db, gig, band, powers=powers)
    house = enter(given)
    base = f"/house/{gig.id}"
    text = house.get(base).text
    assert ("/questions" in text) == may_answer
    assert ("/sign-off" in text) == may_sign
    allowed = 200 if may_answer else 403
    assert house.get(f"{base}/questions").status_code == allowed
    assert house.get(f"{base}/questions/inputs").status_code == allowed
    form = {"inputs-free": "12", "form_version": "0", "form_key": "k" * 20}
    assert house.send(f"{base}/questions/inputs", form).status_code == (303 if may_answer else 403)
    with store.reading() as db:
        assert ("inputs-free" in answers.current(db, gig.id)) == may_answer


def test_a_code_from_paper_only_shows(enter: Callable[..., Browser], link: links.Link, gig: Gig) -> None:
    """A session that came by a code on paper may look, whatever its link may do."""
    house = enter(link, only_view=True)
    assert house.get(f"/house/{gig.id}").headers["location"] == f"/house/{gig.id}/day"
    for closed in ("questions", "sign-off", "history", "talk", "what-if"):
        assert house.get(f"/house/{gig.id}/{closed}").status_code == 403


@pytest.mark.usefixtures("link")
def test_a_cancelled_gig_is_told_on_the_landing_page(browser: Browser, gig: Gig, store: Store) -> None:
    """Whoever opens the link of a cancelled gig reads that there is nothing to do."""
    with store.writing() as db:
        gigs.cancel(db, gig, gig.version, NOW, actor="")
    text = browser.get(WAY_IN).text
    assert "This gig is cancelled" in text
    assert "Answer the questions" not in re.sub(r"<dl.*", "", text, flags=re.DOTALL)


def test_a_view_link_shows_the_plan_first(browser: Browser, band: ABand, gig: Gig, store: Store) -> None:
    """A link that only shows asks nothing on its landing page."""
    with store.writing() as db:
        a_link(db, gig, band, token_hash=token_hash(TOKEN), powers=("view",))
    text = browser.get(WAY_IN).text
    assert "show you the plan for" in text
    assert "How long" not in text
    assert browser.send(WAY_IN, page=WAY_IN).headers["location"] == f"/house/{gig.id}"


def test_a_name_with_markup_stays_words(browser: Browser, store: Store) -> None:
    """What a band typed is shown as typed, never as part of the page."""
    with store.writing() as db:
        band = a_band(db, name="<b>Loud</b>")
        a_link(db, a_gig(db, band, name="<script>alert(1)</script>"), band, token_hash=token_hash(TOKEN))
    text = browser.get(WAY_IN).text
    assert "<script>alert" not in text
    assert "&lt;b&gt;Loud" in text
