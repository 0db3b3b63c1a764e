"""Guesses at passwords are few, however many come at once; and no stranger's guesses keep anybody out of their own
account.
"""

import threading
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from portal.store.accounts import invitations, sessions
from portal.web.accounts import guess_limits
from portal.web.frame import deps
from portal.web.frame.access import USER_LONGEST, new_browser_mark, new_token, recovery_hash, token_hash
from portal.web.frame.cookies import browser_cookie
from portal.web.frame.rate_limiter import RateLimiter, address_of
from portal.web.frame.running import Portal
from tests.builders import NOW, PASSWORD, ABand
from tests.web.conftest import ORIGIN, Browser

CODE = "abcd-efgh-ijkl-mnop"
NEW_PASSWORD = "four dry towels folding"

Line = Callable[[str], Browser]


@pytest.fixture
def line(app: FastAPI) -> Iterator[Line]:
    """A way to get a fresh browser that comes by an address."""
    opened: list[TestClient] = []

    def by(address: str) -> Browser:
        opened.append(TestClient(app, base_url=ORIGIN, follow_redirects=False, client=(address, 50_000)))
        return Browser(opened[-1])

    yield by
    for client in opened:
        client.close()


@pytest.fixture(autouse=True)
def checked(monkeypatch: pytest.MonkeyPatch) -> Counter[str]:
    """How often each password was held against an account; the slow check of its hash is left out."""
    seen: Counter[str] = Counter()
    lock = threading.Lock()

    def fits(password_hash: str | None, password: str) -> bool:
        with lock:
            seen[password] += 1
        return password_hash is not None and password == PASSWORD

    monkeypatch.setattr(guess_limits, "password_fits", fits)
    monkeypatch.setattr(guess_limits, "hash_password", lambda password: f"hash of {len(password)}")
    return seen


def sign_in(browser: Browser, band: ABand, password: str) -> int:
    return browser.send("/sign-in", {"email": band.email, "password": password}).status_code


def attack(line: Line, band: ABand, lines: int = 12) -> Counter[int]:
    """Ten wrong passwords from each of some addresses."""
    return Counter(
        sign_in(browser, band, "wrong")
        for number in range(lines)
        for browser in [line(f"192.0.2.{number}")]
        for _ in range(10)
    )


def test_sixty_guesses_at_once_are_no_more_than_ten(app: FastAPI, band: ABand, checked: Counter[str]) -> None:
    """A guess takes its place before it is heard, so that many at once are no more than many in a row."""
    started = threading.Barrier(60)
    with TestClient(app, base_url=ORIGIN, follow_redirects=False) as client:

        def guess(_number: int) -> int:
            started.wait()
            return sign_in(Browser(client), band, "wrong")

        with ThreadPoolExecutor(60) as many:
            statuses = Counter(many.map(guess, range(60)))
    assert checked["wrong"] == 10
    assert statuses == {422: 10, 429: 50}


def test_strangers_lock_nobody_out(line: Line, band: ABand, portal: Portal, checked: Counter[str]) -> None:
    """While strangers use up all guesses at an account, its owner signs in from a browser that is known, changes the
    password, and a code works.
    """
    known = line("198.51.100.1")
    assert sign_in(known, band, PASSWORD) == 303
    known.send("/sign-out")
    with portal.store.writing() as db:
        invitations.renew_codes(db, band.user_id, (recovery_hash(CODE),), NOW)

    assert attack(line, band) == {422: 100, 429: 20}
    assert checked["wrong"] == 100
    assert sign_in(line("198.51.100.2"), band, PASSWORD) == 429

    assert sign_in(known, band, PASSWORD) == 303
    assert known.send("/account/confirm", {"password": PASSWORD}).status_code == 303
    changed = known.send("/account/password", {"password": PASSWORD, "password_new": NEW_PASSWORD}, page="/account")
    assert changed.headers.get("location") == "/account?saved=password"
    typed = {"email": band.email, "code": CODE, "password_new": NEW_PASSWORD}
    assert line("192.0.2.1").send("/recover", typed).status_code == 303


def test_a_stranger_on_one_line_holds_up_that_line_alone(line: Line, band: ABand) -> None:
    """Ten failures from one address leave the account open to every other, and other accounts to this one."""
    assert attack(line, band, lines=1) == {422: 10}
    assert sign_in(line("192.0.2.0"), band, PASSWORD) == 429
    assert sign_in(line("198.51.100.1"), band, PASSWORD) == 303


def test_one_line_is_heard_a_hundred_times(line: Line, checked: Counter[str]) -> None:
    """Whoever tries many accounts from one address is stopped by the address."""
    browser = line("192.0.2.1")
    statuses = Counter(
        browser.send("/sign-in", {"email": f"n{number}@band.example", "password": "wrong"}).status_code
        for number in range(110)
    )
    assert statuses == {422: 100, 429: 10}
    assert checked["wrong"] == 100


def test_a_known_browser_guesses_no_more_than_others(
    line: Line, band: ABand, portal: Portal, checked: Counter[str]
) -> None:
    """The mark of a browser is worth ten guesses, at its own account; a mark of another account, or a forged one, is
    worth none.
    """
    marks = {
        "own": new_browser_mark(portal.key, band.user_id),
        "other": new_browser_mark(portal.key, "somebody else"),
        "forged": new_browser_mark(b"another key", band.user_id),
    }
    attack(line, band)
    heard = {}
    for whose, mark in marks.items():
        browser = line("198.51.100.1")
        browser.client.cookies.set(browser_cookie(portal.settings), mark, domain="portal.test")
        heard[whose] = Counter(sign_in(browser, band, whose) for _ in range(12))
    assert heard == {"own": {422: 10, 429: 2}, "other": {429: 12}, "forged": {429: 12}}
    assert checked["own"] == 10


def test_guesses_of_a_session_are_its_own(line: Line, band: ABand, portal: Portal, checked: Counter[str]) -> None:
    """Whoever found an open browser has ten guesses at its password; the owner's other browser is not held up."""
    browsers = []
    for _ in range(2):
        token = new_token()
        with portal.store.writing() as db:
            sessions.start_for_user(db, token_hash(token), band.user_id, now=NOW, expires=NOW + USER_LONGEST)
        browsers.append(line("192.0.2.1"))
        browsers[-1].client.cookies.set(deps.cookie_name(portal.settings), token, domain="portal.test")
    statuses = Counter(
        browsers[0].send("/account/password", {"password": "wrong", "password_new": NEW_PASSWORD}).status_code
        for _ in range(12)
    )
    assert statuses == {422: 10, 429: 2}
    assert checked["wrong"] == 10
    assert browsers[1].send("/account/confirm", {"password": PASSWORD}).status_code == 303


def test_new_accounts_are_braked_and_faults_wait_for_nobody(app: FastAPI, portal: Portal) -> None:
    """One line makes twenty accounts in a while; a form with a fault is no account, and is answered while somebody else
    writes.
    """
    with TestClient(app, base_url=ORIGIN, follow_redirects=False) as client, ThreadPoolExecutor(1) as other:
        browser = Browser(client)
        assert client.portal is not None
        with client.portal.wrap_async_context_manager(portal.store.turn()):
            for _ in range(25):
                faulty = other.submit(browser.send, "/sign-up", {"name": "Ada", "email": "a", "password": "short"})
                assert faulty.result(timeout=60).status_code == 422
        statuses = []
        for number in range(21):
            typed = {
                "name": "Ada",
                "band": "Paper Lanterns",
                "email": f"n{number}@band.example",
                "password": NEW_PASSWORD,
            }
            client.cookies.clear()
            statuses.append(browser.send("/sign-up", typed, page="/sign-up").status_code)
    assert statuses == [303] * 20 + [429]


def test_a_dead_way_in_hashes_nothing(line: Line, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever has neither a code nor a live link makes the portal hash no password."""
    monkeypatch.setattr(guess_limits, "hash_password", lambda _password: pytest.fail("hashed"))
    browser = line("192.0.2.1")
    typed = {"name": "Ada", "email": "a@band.example", "code": CODE, "password_new": NEW_PASSWORD}
    assert browser.send("/recover", typed).status_code == 422
    assert browser.send("/join/no-such-token", typed).status_code == 404
    assert browser.send("/new-password/no-such-token", typed).status_code == 404


def test_a_name_of_any_length_is_kept_short() -> None:
    """What a limiter keeps of a name does not grow with it."""
    limiter = RateLimiter(most=2, window_s=900)
    long = "a" * 2_000_000
    assert [limiter.take(long), limiter.take(long)] == [0, 0]
    assert limiter.take(long) > 0
    limiter.give_back(long)
    assert limiter.take(long) == 0
    assert sum(len(name) for name in limiter._tries) <= 16


@pytest.mark.parametrize(
    ("host", "name"),
    [
        ("192.0.2.7", "192.0.2.7"),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64"),
        ("2001:db8:1:2:ffff::1", "2001:db8:1:2::/64"),
        ("::ffff:192.0.2.7", "192.0.2.7"),
        ("testclient", "testclient"),
    ],
)
def test_a_line_is_known_by_its_network(host: str, name: str) -> None:
    """In IPv6 one line has a network of addresses, and is one line."""
    assert address_of(_request_from(host)) == name


def _request_from(host: str) -> "deps.Request":
    return deps.Request({"type": "http", "headers": [], "client": (host, 1)})
