"""Links: shown once, limited in power and time, ended at once."""

import logging
import re
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from urllib.parse import quote

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from portal.store import links
from portal.store.database.session import Store
from portal.store.database.tables import METADATA
from portal.store.gigs import Gig
from portal.web.frame.access import token_hash
from portal.web.gig.share import FIRST_WORDS
from tests.builders import ABand, a_band, a_gig, a_link
from tests.web.conftest import ORIGIN, Browser, Clock
from tests.wording.texts import only, write_catalogue

MAKE = {"label": "House engineer", "powers": ["answer", "sign"], "until": "2026-12-19"}


@pytest.fixture
def page(gig: Gig) -> str:
    return f"/gigs/{gig.id}/links"


def address_in(text: str) -> str:
    """The path of the secret address that a page shows."""
    return re.search(rf"{ORIGIN}(/in/[\w-]{{43}})", text).group(1)


def test_a_link_is_shown_once_and_only_its_hash_is_kept(signed_in: Browser, page: str, gig: Gig, store: Store) -> None:
    """The answer to making a link holds the address and its code; no page afterwards and no table does."""
    data = {**MAKE, **signed_in.hidden(page)}
    made = signed_in.send(page, data)
    assert made.status_code == 200
    token = address_in(made.text).removeprefix("/in/")
    assert "<svg" in made.text
    assert "answer the questions and sign for the house, until Sat 19 Dec 2026" in made.text
    assert token not in signed_in.get(page).text
    again = signed_in.send(page, data)
    assert (again.status_code, again.headers["location"]) == (303, page)
    with store.reading() as db:
        (link,) = links.of_gig(db, gig.id)
        assert link.token_hash == token_hash(token)
        for table in METADATA.sorted_tables:
            assert all(token not in str(row) for row in db.connection().execute(table.select()))
    assert link.expires.isoformat() == "2026-12-19T23:00:00+00:00"


def test_the_form_proposes_two_weeks_after_the_gig(signed_in: Browser, page: str) -> None:
    """Unless told otherwise a link answers, signs, and works until fourteen days after the gig."""
    text = signed_in.get(page).text
    assert 'value="2026-12-19"' in text
    assert text.count(" checked") == 2


def test_the_list_says_what_a_link_can_do_until_when_and_when_it_was_used(
    signed_in: Browser, page: str, clock: Clock, app: FastAPI
) -> None:
    """Before it is used a link says so; afterwards the list tells when, in the gig's own time."""
    path = address_in(signed_in.send(page, MAKE, page=page).text)
    assert "not used yet" in signed_in.get(page).text
    clock.now += timedelta(hours=1)
    with TestClient(app, base_url=ORIGIN, follow_redirects=False) as house:
        assert Browser(house).send(path, page=path).status_code == 303
    text = signed_in.get(page).text
    assert "see the plan and download the documents, answer the questions and sign for the house" in text
    assert "Wed 25 Nov 2026, 14:00" in text
    assert "Sat 19 Dec 2026" in text


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("label", "", "Say who gets the link"),
        ("until", "", "Enter the last day"),
        ("until", "2026-11-24", "Enter a day from today to"),
        ("until", "2029-01-01", "Enter a day from today to"),
    ],
)
def test_a_faulty_form_makes_no_link(
    signed_in: Browser, page: str, gig: Gig, store: Store, field: str, typed: str, sentence: str
) -> None:
    """A fault is told at its field, and no link comes of it."""
    answer = signed_in.send(page, {**MAKE, field: typed}, page=page)
    assert answer.status_code == 422
    assert answer.text.count(sentence) == 2
    with store.reading() as db:
        assert links.of_gig(db, gig.id) == []


def test_powers_cannot_be_invented(signed_in: Browser, page: str, gig: Gig, store: Store) -> None:
    """A power that the portal does not know is left out; the power to look is always there."""
    signed_in.send(page, {**MAKE, "powers": ["own-the-band"]}, page=page)
    with store.reading() as db:
        assert [link.powers for link in links.of_gig(db, gig.id)] == ["view"]


def test_a_revoked_link_ends_its_sessions_at_once(
    signed_in: Browser, page: str, gig: Gig, band: ABand, store: Store, enter: Callable[..., Browser]
) -> None:
    """Whoever is in by a link is out with the next click after it is revoked; other links stay."""
    with store.writing() as db:
        one, two = a_link(db, gig, band), a_link(db, gig, band, token_hash="two")
    house = enter(one)
    assert house.get(f"/house/{gig.id}").status_code == 200
    done = signed_in.send(f"{page}/{one.id}/revoke", page=page)
    assert done.status_code == 303
    assert "The link is revoked" in signed_in.get(done.headers["location"]).text
    assert house.get(f"/house/{gig.id}").status_code == 404
    assert (
        house.send(
            f"/house/{gig.id}/questions/inputs", {"inputs-free": "1", "form_version": "0", "form_key": "k" * 20}
        ).status_code
        == 404
    )
    with store.reading() as db:
        assert db.connection().exec_driver_sql("SELECT count(*) FROM web_session WHERE kind = 'link'").scalar() == 0
    assert enter(two).get(f"/house/{gig.id}").status_code == 200


def test_a_replaced_link_gets_a_new_address(
    signed_in: Browser, page: str, gig: Gig, store: Store, browser: Browser
) -> None:
    """Replacing ends the old address and shows a new one with the same holder, powers and end."""
    old = address_in(signed_in.send(page, MAKE, page=page).text)
    with store.reading() as db:
        (first,) = links.of_gig(db, gig.id)
    shown = signed_in.send(f"{page}/{first.id}/replace", page=page)
    new = address_in(shown.text)
    assert new != old
    assert (browser.get(old).status_code, browser.get(new).status_code) == (404, 200)
    with store.reading() as db:
        both = {link.id: link for link in links.of_gig(db, gig.id)}
    replaced, other = both.pop(first.id), next(iter(both.values()))
    assert replaced.revoked_at is not None
    assert (other.label, other.powers, other.expires) == (first.label, first.powers, first.expires)


def test_a_link_of_another_gig_is_not_reached_through_ones_own(signed_in: Browser, page: str, store: Store) -> None:
    """The address of one's own gig does not open a foreign link."""
    with store.writing() as db:
        other = a_band(db, name="Somebody Else")
        foreign = a_link(db, a_gig(db, other), other)
    for deed in ("revoke", "replace"):
        assert signed_in.send(f"{page}/{foreign.id}/{deed}", page=page).status_code == 404
    with store.reading() as db:
        assert links.by_id(db, foreign.id).revoked_at is None


def test_no_log_line_holds_a_token(signed_in: Browser, page: str, caplog: pytest.LogCaptureFixture) -> None:
    """Making, looking at and using a link is logged without what makes it secret."""
    caplog.set_level(logging.DEBUG)
    path = address_in(signed_in.send(page, MAKE, page=page).text)
    signed_in.get(path)
    signed_in.send(path, page=path)
    token = path.removeprefix("/in/")
    # The test client logs the addresses that it asks for; a portal does not run inside one.
    ours = [record.getMessage() for record in caplog.records if not record.name.startswith("http")]
    assert any("link made" in line for line in ours)
    assert any("link used" in line for line in ours)
    assert not any(token in line or token_hash(token) in line for line in ours)


def test_the_email_that_brings_a_link_is_in_the_link_s_language(signed_in: Browser, page: str, tmp_path: Path) -> None:
    """The email that the band's own program begins is in the language that the band chose, else in the band's."""
    write_catalogue(tmp_path, "de", {FIRST_WORDS: "Der Plan für den Auftritt: %(address)s"})
    with only(tmp_path, for_everybody=False):
        plain = signed_in.send(page, {**MAKE, **signed_in.hidden(page)}).text
        german = signed_in.send(page, {**MAKE, "language": "de", **signed_in.hidden(page)}).text
    assert f"body={quote('The plan for our gig')}" in plain
    assert f"body={quote('Der Plan für den Auftritt')}" in german
