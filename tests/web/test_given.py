"""What people gave: they see how much it is, take it along, and have it erased from every file of the data folder."""

import json
import re
import sqlite3
import time
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import timedelta

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from portal import admin_commands
from portal.settings import Settings
from portal.store import gigs, links, plans
from portal.store.accounts import bands, sessions
from portal.store.database import scopes
from portal.store.emails import addresses
from portal.store.house import houses
from portal.store.record import events, house_data
from portal.store.record.verify import verify
from portal.web.frame import deps
from portal.web.frame.access import USER_LONGEST, new_token, token_hash
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand
from tests.store.test_erasing import hits
from tests.web.conftest import ORIGIN, Browser, Clock
from tests.web.planned import Planned, prepare
from tests.web.test_start import printed_address, start

SAID = {
    "contact-name": "Canary Jamie at the desk",
    "contact-phone": "0171 canary 5550",
    "house-sheet": "canary sheet: ring the bell at 7 Canary Lane",
}
TYPED = {
    "signer": "Canary Signer",
    "role": "canary engineer",
    "comment": "canary: mind the step",
    "finder": "Canary Finder",
    "note": "canary crackles",
}
HOUSE = SAID | TYPED


@pytest.fixture
def planned(portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser]) -> Planned:
    """A gig that both sides signed; the house gave all that it can give, by its forms."""
    gig = prepare(portal, band, signed_in, enter)
    portal.papers.close()
    answered = {"contact": ("contact-name", "contact-phone"), "house-sheet": ("house-sheet",)}
    for topic, keys in answered.items():
        page = f"{gig.house_base}/questions/{topic}"
        assert gig.house.send(page, {key: SAID[key] for key in keys}, page=page).status_code == 303
    talk = f"{gig.house_base}/talk"
    assert gig.house.send(talk, {"words": TYPED["comment"]}, page=talk).status_code == 303
    finding = {"state": "problem", "who": TYPED["finder"], "gain": "+24", "note": TYPED["note"], "line": "1"}
    found = gig.house.send(
        f"{gig.house_base}/day/lines", {**gig.house.hidden(f"{gig.house_base}/day"), **finding, "form_version": "1"}
    )
    assert found.status_code == 303
    gig.sign("house", name=TYPED["signer"], role=TYPED["role"])
    gig.sign("band")
    with portal.store.writing() as db:
        content = f"%PDF-1.7 {SAID['contact-name']} {SAID['contact-phone']} {TYPED['signer']}".encode()
        positions = " ".join(str(row.position) for row in gig.signatures())
        plans.keep_paper(
            db, plan_id=gig.newest().id, document=f"patch-sheet {positions}", paper_size="A4", content=content, now=NOW
        )
    return gig


def faults(portal: Portal) -> tuple[str, ...]:
    with portal.store.reading() as db:
        return verify(db).faults


def over(clock: Clock, gig: gigs.Gig, days: int = 2) -> None:
    clock.now = NOW + timedelta(days=(gig.on - NOW.date()).days + days)


def test_the_language_of_emails_comes_with_their_address(planned: Planned, portal: Portal) -> None:
    """A link's and a house's data hold it beside the address; an address that the house gave is not for the band."""
    house = planned.house.get(f"{planned.house_base}/given.json")
    assert [one["email_language"] for one in house.json()["links"]] == [""]
    with portal.store.writing() as db:
        (link,) = links.of_gig(db, planned.gig.id)
        made = houses.make(db, "Kiln Yard Hall", token_hash("a key"), NOW)
        for who in (f"link:{link.id}", f"house:{made.id}"):
            scopes.take(db, scopes.reader(who))
            addresses.give_address(db, who, "desk@house.example", "house", NOW, "nl")
        kept = house_data.of(db, made)
    told = planned.house.get(f"{planned.house_base}/given.json").json()["links"][0]
    unseen = planned.band.get(f"{planned.gigs_base}/given.json").json()["links"][0]
    assert (told["email"], told["email_language"]) == ("desk@house.example", "nl")
    assert (unseen["email"], unseen["email_language"]) == ("", "")
    assert (kept.email, kept.email_language) == ("desk@house.example", "nl")


def test_whoever_gave_it_takes_it_along(planned: Planned) -> None:
    """By the same link everything comes out again, field by field, and nothing of the band's; the band's owner gets the
    same.
    """
    mine = planned.house.get(f"{planned.house_base}/given.json")
    theirs = planned.band.get(f"{planned.gigs_base}/given.json")
    found = [word for word in HOUSE.values() if json.dumps(word)[1:-1] in mine.text]
    print(f"\nexport fields={len(found)}/{len(HOUSE)} type={mine.headers['content-type']}")  # noqa: T201 - shown with -s
    assert found == list(HOUSE.values())
    assert "Ada Example" not in mine.text
    assert json.loads(mine.text)["signatures"] == json.loads(theirs.text)["signatures"]
    assert "attachment" in mine.headers["content-disposition"]
    page = planned.house.get(f"{planned.house_base}/given").text
    assert "Fri 5 Mar 2027" in page
    assert "90 days after the gig" in page


def test_a_code_on_paper_gets_nothing_of_it(planned: Planned, enter: Callable[..., Browser]) -> None:
    """Whoever scans a paper can look at the plan, and neither take nor erase what the holder of the link gave."""
    by_code = enter(planned.link, only_view=True)
    assert by_code.get(f"{planned.house_base}/plan").status_code == 200
    for path in ("given", "given.json"):
        assert by_code.get(f"{planned.house_base}/{path}").status_code == 403
    assert (
        by_code.send(
            f"{planned.house_base}/given/erase", {"sure": "yes", "form_key": "a" * 22, "form_version": "0"}
        ).status_code
        == 403
    )


def test_a_signature_stands_until_the_gig_is_over(planned: Planned, portal: Portal, settings: Settings) -> None:
    """While both sides rely on a signature under a gig to come, nothing is erased and the page says what to do."""
    answer = planned.house.send(f"{planned.house_base}/given/erase", {"sure": "yes"}, page=f"{planned.house_base}/plan")
    assert answer.status_code == 409
    assert "Nothing was erased" in answer.text
    assert "Withdraw it first, or come back after the gig." in planned.house.get(f"{planned.house_base}/given").text
    assert hits(settings.data, HOUSE).keys() == HOUSE.keys()
    receipt = f"{planned.house_base}/sign-off/1"
    assert planned.house.send(f"{receipt}/withdraw", {"name": TYPED["signer"]}, page=receipt).status_code == 303
    assert "Erase what I gave" in planned.house.get(f"{planned.house_base}/given").text
    assert faults(portal) == ()


@pytest.mark.parametrize("side", ["house", "band"])
def test_what_the_house_gave_is_erased_from_every_file(
    planned: Planned, portal: Portal, settings: Settings, clock: Clock, side: str
) -> None:
    """After the gig the holder of the link, or the band's owner, erases it: no file of the folder holds a word of it,
    and all verifies.
    """
    browser, base = (planned.house, planned.house_base) if side == "house" else (planned.band, planned.gigs_base)
    assert hits(settings.data, HOUSE).keys() == HOUSE.keys()
    over(clock, planned.gig)
    if side == "band":
        with portal.store.writing() as db:
            sessions.prove(db, token_hash(browser.client.cookies[deps.cookie_name(settings)]), clock())
    unsure = browser.send(f"{base}/given/erase", {}, page=f"{base}/given")
    assert (unsure.status_code, "Tick this, if you want it erased." in unsure.text) == (422, True)
    assert hits(settings.data, HOUSE).keys() == HOUSE.keys()
    done = browser.send(f"{base}/given/erase", {"sure": "yes"}, page=f"{base}/given")
    assert done.headers["location"] == f"{base}/given?done=yes"
    left = hits(settings.data, HOUSE)
    said = f"files={sum(path.is_file() for path in settings.data.rglob('*'))} chain_faults={len(faults(portal))}"
    print(f"\nerased by={side} canaries={len(HOUSE)} canary_hits={sum(left.values())} {said}")  # noqa: T201 - shown with -s
    assert left == {}
    assert faults(portal) == ()
    for path in ("history", "plan", "talk", "sign-off/1", "day", "papers/patch-sheet", "given"):
        page = planned.band.get(f"{planned.gigs_base}/{path}")
        assert page.status_code == 200, path
        assert "canary" not in page.text.lower(), path
    assert "Erased names and words that the house gave" in planned.band.get(f"{planned.gigs_base}/history").text
    assert "name erased, role erased" in planned.band.get(f"{planned.gigs_base}/papers/patch-sheet").text.replace(
        "\n", " "
    )


def test_an_emptied_paper_is_made_anew_and_not_called_the_kept_one(
    planned: Planned, portal: Portal, clock: Clock
) -> None:
    """The kept file is gone for good and says so; its hash is still known, and a download makes a sheet without names
    each time.
    """
    with portal.store.reading() as db:
        paper = plans.papers_of(db, planned.newest().id)[0]
    over(clock, planned.gig)
    planned.house.send(f"{planned.house_base}/given/erase", {"sure": "yes"}, page=f"{planned.house_base}/given")
    gone = planned.band.get(f"{planned.gigs_base}/papers/kept/{paper.id}.pdf")
    assert (gone.status_code, "This file was erased" in gone.text) == (410, True)
    with portal.store.reading() as db:
        assert plans.with_bytes(db, paper.sha256)
    portal.papers.close()
    made = planned.band.get(f"{planned.gigs_base}/papers/patch-sheet.pdf")
    assert made.status_code in {200, 503}
    with portal.store.reading() as db:
        assert [row.content for row in plans.papers_of(db, planned.newest().id)] == [b""]


def test_an_account_is_erased_with_what_its_band_keeps(
    planned: Planned, portal: Portal, settings: Settings, clock: Clock, band: ABand, app: FastAPI
) -> None:
    """The only member of a band erases the account: name, address and everything of the band are in no file, links end,
    all verifies.
    """
    words = {
        "email": band.email,
        "name": "Ada Example",
        "band": "The Paper Lanterns",
        "gig": "Harbour night",
        "place": "The Old Net Loft",
    }
    assert hits(settings.data, words).keys() == words.keys()
    refused = planned.band.send("/account/erase", {"sure": "yes"}, page="/account")
    assert (refused.status_code, "Harbour night, Sat 5 Dec 2026" in refused.text) == (409, True)
    over(clock, planned.gig)
    with portal.store.writing() as db:
        sessions.prove(db, token_hash(planned.band.client.cookies[deps.cookie_name(settings)]), clock())
    assert planned.band.send("/account/erase", {}, page="/account/erase").status_code == 422
    done = planned.band.send("/account/erase", {"sure": "yes"}, page="/account/erase")
    assert (done.status_code, done.headers["location"]) == (303, "/")
    left = hits(settings.data, words | HOUSE)
    print(  # noqa: T201 - shown with -s
        f"\nerased by=last member canaries={len(words | HOUSE)} canary_hits={sum(left.values())}"
        f" chain_faults={len(faults(portal))}"
    )
    assert left == {}
    assert faults(portal) == ()
    assert planned.band.get("/account").status_code == 303
    assert planned.house.get(f"{planned.house_base}/plan").status_code == 404
    short = planned.newest().content_hash[:8]
    with TestClient(app, base_url=ORIGIN, follow_redirects=False) as client:
        assert "Harbour" not in Browser(client).send("/check", {"hash": short}, page="/check").text
        signed_in = Browser(client).send(
            "/sign-in", {"email": f"erased {band.user_id}", "password": "erased"}, page="/sign-in"
        )
        assert signed_in.status_code == 422


def test_the_band_is_handed_over_first(portal: Portal, band: ABand, signed_in: Browser, settings: Settings) -> None:
    """An owner with other members hands the band to one of them, becomes an editor, and may go then."""
    with portal.store.writing() as db:
        other = bands.add_user(db, email="bo@band.example", name="Bo Example", password_hash="x", now=NOW)
        bands.add_member(db, band.band_id, other.id, "member", NOW)
    page = signed_in.get("/account/erase").text
    assert "Hand it to one of them first" in page
    assert signed_in.send("/account/erase", {"sure": "yes"}, page="/account").status_code == 409
    assert f"/members?of={other.id}" in signed_in.get("/members").text
    assert "Hand the band to Bo Example" in signed_in.get(f"/members?of={other.id}").text
    assert signed_in.send(f"/members/{other.id}/owner", page="/members").headers["location"] == "/members?done=handed"
    with portal.store.reading() as db:
        assert {one.user_id: one.role for one in bands.members(db, band.band_id)} == {
            band.user_id: "editor",
            other.id: "owner",
        }
    assert signed_in.send("/account/erase", {"sure": "yes"}, page="/account/erase").status_code == 303
    assert hits(settings.data, {"email": band.email, "name": "Ada Example"}) == {}
    with portal.store.reading() as db:
        assert [one.user_id for one in bands.members(db, band.band_id)] == [other.id]


def test_what_is_sensitive_asks_for_the_password(
    portal: Portal, band: ABand, browser: Browser, settings: Settings
) -> None:
    """Erasing an account and handing a band over need the password given shortly before."""
    token = new_token()
    with portal.store.writing() as db:
        other = bands.add_user(db, email="bo@band.example", name="Bo Example", password_hash="x", now=NOW)
        bands.add_member(db, band.band_id, other.id, "member", NOW)
        for user_id, one in ((band.user_id, token), (other.id, new_token())):
            sessions.start_for_user(
                db, token_hash(one), user_id, now=NOW - timedelta(hours=1), expires=NOW + USER_LONGEST
            )
    browser.client.cookies.set(deps.cookie_name(settings), token, domain="portal.test")
    asked = browser.send(f"/members/{other.id}/owner", page="/members")
    assert asked.headers["location"].startswith("/account/confirm")
    with portal.store.writing() as db:
        bands.hand_over(db, band.band_id, band.user_id, other.id)
    asked = browser.send("/account/erase", {"sure": "yes"}, page="/account/erase")
    assert asked.headers["location"].startswith("/account/confirm")
    assert hits(settings.data, {"email": band.email}) != {}


def test_one_s_own_account_comes_as_a_file(planned: Planned, band: ABand) -> None:
    """An account's download holds who it is, what it saved and what it signed; no hash of a password, and nothing of
    the house.
    """
    found = planned.band.get("/account/given.json")
    known = json.loads(found.text)
    assert (known["email"], known["name"], known["bands"]) == (
        band.email,
        "Ada Example",
        [["The Paper Lanterns", "owner"]],
    )
    assert [one["name"] for one in known["gigs"][0]["signatures"]] == ["Ada Example"]
    assert known["rigs"][0]["document"]["source"][0]["key"] == "kick"
    assert not re.search("argon2|password_hash|canary", found.text, re.IGNORECASE)


def test_time_erases_by_itself(planned: Planned, portal: Portal, settings: Settings, clock: Clock) -> None:
    """From the day on that the page names, a round of the portal erases contacts and words; the day before it does
    not.
    """
    words = SAID | {key: TYPED[key] for key in ("comment", "finder", "note")}
    over(clock, planned.gig, settings.keep_days - 1)
    assert admin_commands.forget(portal.store, settings.keep_days, clock()) == 0
    assert hits(settings.data, words).keys() == words.keys()
    over(clock, planned.gig, settings.keep_days)
    count = admin_commands.forget(portal.store, settings.keep_days, clock())
    left = hits(settings.data, words)
    print(  # noqa: T201 - shown with -s
        f"\nkeep_days={settings.keep_days} erased={count} canary_hits={sum(left.values())}"
        f" chain_faults={len(faults(portal))}"
    )
    assert left == {}
    assert faults(portal) == ()
    assert admin_commands.forget(portal.store, settings.keep_days, clock()) == 0
    with portal.store.reading() as db:
        last = [told.event for told in events.of_gig(db, planned.gig.id) if told.event.kind == "erased"]
    assert [(event.party, event.actor, event.read()) for event in last] == [("", "", {"why": "time", "of": "both"})]


@pytest.mark.soak
def test_the_portal_erases_at_its_start_and_every_day(
    planned: Planned, settings: Settings, portal: Portal, app: FastAPI, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A portal that runs erases without anybody's doing: once a day, and when it comes up again after having been off
    for months.
    """
    with portal.store.writing() as db:
        gig = gigs.of_link(db, planned.gig.id)
        gig.on -= timedelta(days=400)
        db.add(gig)
    before = settings.database.read_bytes()
    monkeypatch.setattr("portal.app.DAY_S", 0.05)
    over(clock, planned.gig)
    with TestClient(app, base_url=ORIGIN):
        for _ in range(200):
            if not hits(settings.data, SAID):
                break
            time.sleep(0.05)
    assert hits(settings.data, SAID) == {}
    settings.database.write_bytes(before)
    assert hits(settings.data, SAID).keys() == SAID.keys()
    running = start(settings.data, PORTAL_PORT="0")
    try:
        assert printed_address(running)
        assert hits(settings.data, SAID) == {}
    finally:
        running.kill()
        running.communicate(timeout=60)


def test_the_command_erases(
    planned: Planned, settings: Settings, band: ABand, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whoever runs the portal erases what is past its time, or an account that asks by other ways; wrong addresses
    erase nothing.
    """
    assert admin_commands.run_forget(settings) == 0
    assert ": 0 things" in capsys.readouterr().out
    assert admin_commands.run_forget(settings, "nobody@band.example") == 1
    assert hits(settings.data, {"email": band.email}) != {}
    assert admin_commands.run_forget(settings, band.email) == 0
    assert hits(settings.data, {"email": band.email} | HOUSE) == {}
    assert admin_commands.run_verify(settings) == 0
    assert admin_commands.run_forget(replace(settings, data=settings.data / "none")) == 1
    assert planned.newest().erased


def test_a_contact_that_changes_makes_no_new_plan(planned: Planned) -> None:
    """Who is there on the day turns no line: the plan that both sides signed stays the newest."""
    page = f"{planned.house_base}/questions/contact"
    assert planned.house.send(page, {"contact-name": "Robin", "contact-phone": "5551"}, page=page).status_code == 303
    assert planned.newest().number == 1
    with closing(sqlite3.connect(planned.portal.settings.database)) as raw:
        assert raw.execute(
            "SELECT count(*) FROM plan WHERE answers LIKE '%canary%' OR answers LIKE '%Robin%'"
        ).fetchone() == (0,)
