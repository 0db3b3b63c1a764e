"""What stands around every request."""

import asyncio
import logging
import socket
import threading
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from itertools import product

import pytest
from fastapi import APIRouter, FastAPI
from fastapi.testclient import TestClient
from starlette.datastructures import Headers

from portal.store import links
from portal.store.database import scopes
from portal.web.frame import deps, middleware
from portal.web.frame.access import ViewToken, read_view_token, token_hash, write_view_token
from portal.web.frame.deps import Db
from portal.web.frame.forms import many_fields
from portal.web.frame.middleware import HEADERS, comes_from_us
from portal.web.frame.running import Portal
from tests.builders import NOW, ABand, a_band, a_gig, a_link
from tests.web.conftest import ORIGIN, Browser

SITES = (None, "same-origin", "same-site", "cross-site", "none")
ORIGINS = (None, ORIGIN, "https://elsewhere.example", "null")


def test_who_may_change_something() -> None:
    """Of the twenty ways in which a browser can say where a form stood, five are ours: "same-origin", or no word of it
    but our Origin.
    """
    allowed = set()
    for site, origin in product(SITES, ORIGINS):
        sent = {"sec-fetch-site": site, "origin": origin}
        if comes_from_us("POST", Headers({name: value for name, value in sent.items() if value}), ORIGIN):
            allowed.add((site, origin))
    assert allowed == {("same-origin", origin) for origin in ORIGINS} | {(None, ORIGIN)}


def test_reading_is_free() -> None:
    """A link from a mail opens: nothing is asked of a GET."""
    assert comes_from_us("GET", Headers({"sec-fetch-site": "cross-site"}), ORIGIN)


def routes_of(app: FastAPI) -> list[tuple[str, str]]:
    found = []
    for route in app.routes:
        for inner in getattr(getattr(route, "original_router", None), "routes", [route]):
            found += [(inner.path, method) for method in getattr(inner, "methods", None) or ()]
    return found


def test_every_form_is_guarded(app: FastAPI, browser: Browser) -> None:
    """A form on another site reaches no route that changes something, signing in and out included; but the one that
    mail programs use, where the address itself is the power.
    """
    unsafe = [(path, method) for path, method in routes_of(app) if method not in deps.SAFE_METHODS]
    assert ("/sign-in", "POST") in unsafe
    unsafe.remove(("/emails/stop/{stop_token}", "POST"))
    for path, method in unsafe:
        for headers in ({}, {"Sec-Fetch-Site": "cross-site"}, {"Origin": "https://elsewhere.example"}):
            answer = browser.client.request(method, path.replace("{gig_id}", "x"), headers=headers)
            assert (path, answer.status_code) == (path, 403)


@pytest.mark.parametrize("path", ["/", "/sign-up", "/nothing-here", "/account", "/static/portal.css", "/static/no"])
def test_every_answer_carries_the_headers(browser: Browser, path: str) -> None:
    """Pages, redirects, errors and files all carry them; only files that are there may be kept."""
    answer = browser.get(path)
    for name, value in HEADERS.items():
        assert answer.headers[name] == value
    assert answer.headers["Strict-Transport-Security"] == "max-age=31536000"
    kept = "public, max-age=31536000, immutable"
    assert answer.headers["Cache-Control"] == (kept if path == "/static/portal.css" else "no-store")


def test_the_machine_room_is_closed(browser: Browser) -> None:
    """No description of the routes is served."""
    for path in ("/docs", "/redoc", "/openapi.json"):
        assert browser.get(path).status_code == 404


def test_a_fault_of_the_program_is_a_page_with_a_number(
    app: FastAPI, browser: Browser, caplog: pytest.LogCaptureFixture
) -> None:
    """The page holds a number and nothing of the fault; the log holds both; what the request wrote is undone."""
    router = APIRouter()

    @router.post("/breaks")
    def breaks(db: Db) -> None:
        a_band(db)
        raise RuntimeError("the secret inside")

    app.include_router(router)
    answer = browser.send("/breaks")
    assert answer.status_code == 500
    assert "secret inside" not in answer.text
    assert answer.headers["Content-Security-Policy"] == HEADERS["Content-Security-Policy"]
    number = answer.text.split("<b>")[1].split("</b>")[0]
    assert any(record.message == f"fault {number}" for record in caplog.records)
    with app.state.portal.store.reading() as db:
        assert db.connection().exec_driver_sql("SELECT count(*) FROM band").scalar() == 0


def test_a_commit_that_fails_is_not_a_success(app: FastAPI, browser: Browser, monkeypatch: pytest.MonkeyPatch) -> None:
    """The transaction ends before the answer leaves: when it cannot be kept, nobody reads that it was."""
    router = APIRouter()

    @router.post("/keeps")
    def keeps(db: Db) -> str:
        def fail() -> None:
            raise OSError("disk full")

        monkeypatch.setattr(db, "commit", fail)
        return "saved"

    app.include_router(router)
    assert browser.send("/keeps").status_code == 500


def test_many_at_once_all_come_through(app: FastAPI, portal: Portal) -> None:
    """Sixty forms at the same time are all carried out, one after the other, while others read."""
    router = APIRouter()

    @router.post("/adds")
    def adds(db: Db) -> str:
        scopes.take(db, scopes.EVERYTHING)
        a_band(db)
        return "saved"

    app.include_router(router)
    statuses: list[int] = []
    with TestClient(app, base_url=ORIGIN) as client:

        def visit(number: int) -> None:
            if number % 3:
                statuses.append(client.post("/adds", headers={"Origin": ORIGIN}).status_code)
            else:
                statuses.append(client.get("/").status_code)

        threads = [threading.Thread(target=visit, args=(number,)) for number in range(90)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        with portal.store.reading() as db:
            assert db.connection().exec_driver_sql("SELECT count(*) FROM band").scalar() == 60
    assert statuses == [200] * 90


def test_a_large_form_arrives_whole(app: FastAPI, browser: Browser) -> None:
    """128 sources with thirty fields each are one form; more than the limit is answered with a page."""
    router = APIRouter()

    @router.post("/counts")
    @many_fields
    def counts(sent: deps.Sent) -> str:
        return str(len(sent.names()))

    app.include_router(router)
    fields = {f"source-{row}-{field}": "x" for row in range(128) for field in range(30)}
    assert browser.send("/counts", fields).text == '"3840"'
    assert browser.send("/counts", {f"f{number}": "" for number in range(4_001)}).status_code == 413
    too_much = browser.send("/counts", {"text": "x" * 5_000_000})
    assert too_much.status_code == 413
    assert "Nothing was saved." in too_much.text


def test_the_log_holds_no_secrets(app: FastAPI, browser: Browser, caplog: pytest.LogCaptureFixture) -> None:
    """A request is logged by its route as the program writes it, never by the address that was asked for."""
    router = APIRouter()

    @router.get("/probe/{token}")
    def way_in(token: str) -> str:
        return token

    app.include_router(router)
    with caplog.at_level(logging.INFO):
        browser.get("/probe/a-canary-token")
        browser.get("/sign-in?then=/in/a-canary-token")
        browser.get("/nothing/a-canary-token")
        browser.send("/sign-in", {"email": "canary@band.example", "password": "a-canary-token"})
    ours = [record.message for record in caplog.records if record.name.startswith("portal")]
    assert any(message.startswith("GET /probe/{token} 200") for message in ours)
    assert len([message for message in ours if message.startswith("GET")]) == 3
    assert not any("canary" in message for message in ours)


def test_a_gig_is_found_by_its_band_and_by_its_links_only(
    app: FastAPI, portal: Portal, signed_in: Browser, band: ABand, enter
) -> None:
    """Somebody else's gig and an absent one give the same page, for accounts and for links."""
    router = APIRouter()

    @router.get("/gigs/{gig_id}/look")
    @router.get("/house/{gig_id}/look")
    def look(gig: deps.TheGig) -> list[str]:
        return [gig.party, *sorted(gig.powers), gig.base]

    app.include_router(router)
    with portal.store.writing() as db:
        ours = a_gig(db, band)
        other = a_gig(db, a_band(db))
        link = a_link(db, ours, band, powers=("view", "answer"))
        dead = a_link(db, other, band, expires=NOW)
        revoked = a_link(db, other, band)
        links.revoke(db, revoked, NOW, actor="")
    assert signed_in.get(f"/gigs/{ours.id}/look").json() == [
        "band",
        "answer",
        "edit",
        "follow",
        "given",
        "share",
        "sign",
        "view",
        f"/gigs/{ours.id}",
    ]
    foreign, absent = signed_in.get(f"/gigs/{other.id}/look"), signed_in.get("/gigs/nothing/look")
    assert (foreign.status_code, foreign.text) == (absent.status_code, absent.text) == (404, foreign.text)
    assert signed_in.get(f"/house/{ours.id}/look").status_code == 404
    house = enter(link)
    assert house.get(f"/house/{ours.id}/look").json() == [
        "house",
        "answer",
        "follow",
        "given",
        "view",
        f"/house/{ours.id}",
    ]
    assert house.get(f"/gigs/{ours.id}/look").status_code == 303
    assert house.get(f"/house/{other.id}/look").status_code == 404
    for gone in (dead, revoked):
        assert enter(gone).get(f"/house/{other.id}/look").status_code == 404
    paper = enter(link, only_view=True)
    assert paper.get(f"/house/{ours.id}/look").json() == ["house", "view", f"/house/{ours.id}"]


def test_a_cookie_of_one_gig_opens_no_other(app: FastAPI, portal: Portal, band: ABand, enter) -> None:
    """The session of a link counts for the link's own gig, whatever the cookie is called."""
    router = APIRouter()

    @router.get("/house/{gig_id}/look")
    def look(gig: deps.TheGig) -> str:
        return gig.base

    app.include_router(router)
    with portal.store.writing() as db:
        one, two = a_gig(db, band), a_gig(db, band)
        link = a_link(db, one, band)
    browser = enter(link)
    token = browser.client.cookies[f"__Host-gig-{one.id}"]
    answer = browser.client.get(f"/house/{two.id}/look", headers={"Cookie": f"__Host-gig-{two.id}={token}"})
    assert answer.status_code == 404


def test_a_view_token_holds_until_its_time_and_for_its_key() -> None:
    """A token reads back what was written; a changed letter, another key or a later time makes it nothing."""
    gig_id, link_id = "5f0f2f0e-7a54-4f8e-9d7c-0a1b2c3d4e5f", "6a0f2f0e-7a54-4f8e-9d7c-0a1b2c3d4e5f"
    token = ViewToken(gig_id, link_id, NOW + timedelta(days=1))
    text = write_view_token(b"k" * 32, token)
    assert read_view_token(b"k" * 32, text, NOW) == token
    assert read_view_token(b"j" * 32, text, NOW) is None
    assert read_view_token(b"k" * 32, text, token.expires) is None
    assert read_view_token(b"k" * 32, "", NOW) is None
    assert read_view_token(b"k" * 32, "nonsense!", NOW) is None
    for place in range(0, len(text) - 1, 7):
        changed = text[:place] + ("A" if text[place] != "A" else "B") + text[place + 1 :]
        assert read_view_token(b"k" * 32, changed, NOW) is None


def test_a_token_is_stored_as_its_hash() -> None:
    """The stored form is the SHA-256 of the token."""
    assert token_hash("a") == "ca978112ca1bbdcafac231b39a23dc4da786eff8147c4e72b9807785afee48bb"


@pytest.mark.parametrize("sent", [b"", b"email=a", b"email=a&password="])
def test_a_form_that_never_ends_is_closed(address: str, monkeypatch: pytest.MonkeyPatch, sent: bytes) -> None:
    """Half a form is waited for a while; then its sender is told, and the connection is closed."""
    monkeypatch.setattr(middleware, "BODY_S", 0.2)
    host, _, port = address.removeprefix("http://").partition(":")
    with socket.create_connection((host, int(port)), timeout=60) as line:
        head = f"POST /sign-in HTTP/1.1\r\nHost: {host}\r\nOrigin: {address}\r\nContent-Length: 90\r\n"
        line.sendall(head.encode() + b"Content-Type: application/x-www-form-urlencoded\r\n\r\n" + sent)
        said = b"".join(iter(lambda: line.recv(65536), b""))
    assert said.startswith(b"HTTP/1.1 408")
    assert b"The form did not arrive" in said


def test_what_follows_a_form_is_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """Once a body has ended, a page that listens may wait without end for what comes then."""
    monkeypatch.setattr(middleware, "BODY_S", 0.01)
    waiting = iter([({"type": "http.request", "more_body": False}, 0.0), ({"type": "http.disconnect"}, 0.1)])

    async def receive() -> dict[str, object]:
        message, after_s = next(waiting)
        await asyncio.sleep(after_s)
        return message

    async def both() -> list[str]:
        in_time = middleware._in_time(receive)
        return [(await in_time())["type"], (await in_time())["type"]]

    # A thread of its own: a browser of an earlier test may have a loop in this one.
    with ThreadPoolExecutor(1) as other:
        assert other.submit(lambda: asyncio.run(both())).result() == ["http.request", "http.disconnect"]
