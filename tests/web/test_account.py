"""Sign up, sign in, sign out, and one's own account."""

import re
from datetime import timedelta

import pytest
from argon2 import Type, extract_parameters
from sqlmodel import select

from portal.store.accounts import bands, sessions
from portal.web.frame import access
from portal.web.frame.access import LONGEST_PASSWORD, password_fault
from portal.web.frame.running import Portal
from tests.builders import PASSWORD, ABand
from tests.web.conftest import STRONG, Browser, Clock

NEW = {"name": "Ada", "band": "The Paper Lanterns", "email": "Ada@Band.Example", "password": PASSWORD}


def test_signing_up_makes_account_and_band_and_signs_in(browser: Browser, portal: Portal) -> None:
    """After the form is sent, the home page knows the person and the band."""
    answer = browser.send("/sign-up", NEW, page="/sign-up")
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    home = browser.get("/")
    assert "Ada, The Paper Lanterns" in home.text
    with portal.store.reading() as db:
        user = bands.user_by_email(db, "ada@band.example")
        assert user.password_hash.startswith("$argon2id$")
        assert [(band.band_name, band.role) for band in bands.memberships(db, user.id)] == [
            ("The Paper Lanterns", "owner")
        ]


def test_the_cookie_is_locked_down(browser: Browser) -> None:
    """The session, and the mark by which the browser is known again: for this host only, out of reach of scripts and of
    other sites' forms.
    """
    answer = browser.send("/sign-up", NEW, page="/sign-up")
    cookies = answer.headers.get_list("set-cookie")
    assert [cookie.partition("=")[0] for cookie in cookies] == ["__Host-account", "__Host-browser"]
    for cookie in cookies:
        flags = {flag.strip().lower() for flag in cookie.split(";")[1:]}
        assert {"httponly", "secure", "path=/", "samesite=lax"} <= flags
        assert not any(flag.startswith("domain") for flag in flags)


def test_no_token_is_in_the_database(browser: Browser, portal: Portal) -> None:
    """What the cookie holds stands nowhere in the database file."""
    browser.send("/sign-up", NEW, page="/sign-up")
    token = browser.client.cookies["__Host-account"]
    assert len(token) >= 43
    assert token.encode() not in portal.settings.database.read_bytes()


def test_signing_up_twice_makes_one_account(browser: Browser, portal: Portal) -> None:
    """A double tap, or a form sent again after a lost answer, leads to one account."""
    hidden = browser.hidden("/sign-up")
    answers = [browser.send("/sign-up", {**hidden, **NEW}) for _ in range(3)]
    assert [answer.status_code for answer in answers] == [303, 303, 303]
    with portal.store.reading() as db:
        assert db.connection().exec_driver_sql("SELECT count(*) FROM user").scalar() == 1


def test_the_same_key_with_other_content_is_refused(browser: Browser) -> None:
    """A key stands for one intent; other content under it is answered with 422 and changes nothing."""
    hidden = browser.hidden("/sign-up")
    browser.send("/sign-up", {**hidden, **NEW})
    answer = browser.send("/sign-up", {**hidden, **NEW, "email": "other@band.example"})
    assert answer.status_code == 422
    assert "sent before" in answer.text


def test_a_form_without_its_key_is_refused(browser: Browser) -> None:
    """A form that lost its one-time key is answered with 428."""
    assert browser.send("/sign-up", NEW).status_code == 428


@pytest.mark.parametrize(
    ("field", "value", "sentence"),
    [
        ("name", " ", "Enter your name."),
        ("band", "", "Enter the band&#39;s name."),
        ("email", "ada", "Enter an email address such as name@example.org."),
        ("email", "", "Enter your email address."),
        ("password", "short", "Use at least 15 characters."),
        ("password", "x" * 20, "This password is easy to guess."),
        ("name", "x" * 81, "This has 81 characters; 80 fit. Shorten it."),
    ],
)
def test_a_fault_is_shown_at_the_field_and_above(browser: Browser, field: str, value: str, sentence: str) -> None:
    """The page comes back with its entries, "Error: " in the title, and the sentence twice: linked above, and at the
    field.
    """
    answer = browser.send("/sign-up", {**NEW, field: value}, page="/sign-up")
    assert answer.status_code == 422
    assert "<title>Error: Make an account" in answer.text
    assert answer.text.count(sentence) == 2
    assert f'<a href="#{field}">' in answer.text
    assert f'id="{field}"' in answer.text
    assert re.search(rf'aria-describedby="[^"]*{field}-fault"', answer.text)
    assert PASSWORD not in answer.text
    if field != "band":
        assert 'value="The Paper Lanterns"' in answer.text


def test_a_taken_address_is_said(browser: Browser, band: ABand) -> None:
    """An address that has an account cannot make a second one."""
    answer = browser.send("/sign-up", {**NEW, "email": band.email.upper()}, page="/sign-up")
    assert answer.status_code == 422
    assert "There is an account with this address." in answer.text


def test_signing_in_goes_where_one_wanted_to_go(browser: Browser, band: ABand) -> None:
    """A page that needs an account leads to the sign-in page and then back to it."""
    way = browser.get("/account")
    assert (way.status_code, way.headers["location"]) == (303, "/sign-in?then=/account")
    answer = browser.send("/sign-in", {"email": band.email, "password": PASSWORD}, page=way.headers["location"])
    assert (answer.status_code, answer.headers["location"]) == (303, "/account")
    assert band.email in browser.get("/account").text


@pytest.mark.parametrize("then", ["https://elsewhere.example", "//elsewhere.example", "/\\elsewhere.example", "x"])
def test_signing_in_never_leads_elsewhere(browser: Browser, band: ABand, then: str) -> None:
    """Another site's address is not followed."""
    answer = browser.send("/sign-in", {"email": band.email, "password": PASSWORD, "then": then})
    assert (answer.status_code, answer.headers["location"]) == (303, "/")


def test_a_wrong_password_and_an_unknown_address_look_the_same(browser: Browser, band: ABand) -> None:
    """The answer does not tell who has an account."""
    wrong = browser.send("/sign-in", {"email": band.email, "password": "x" * 20})
    unknown = browser.send("/sign-in", {"email": "nobody@band.example", "password": "x" * 20})
    assert wrong.status_code == unknown.status_code == 422
    assert wrong.text.replace(band.email, "-") == unknown.text.replace("nobody@band.example", "-")


def test_an_unknown_address_costs_a_password_check(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without an account a hash is verified all the same, so that time does not tell either."""
    seen: list[str] = []
    real = access._HASHER

    class Counting:
        def verify(self, password_hash: str, password: str) -> bool:
            seen.append(password_hash)
            return real.verify(password_hash, password)

    monkeypatch.setattr(access, "_HASHER", Counting())
    assert not access.password_fits(None, PASSWORD)
    assert seen == [access._NOBODY]


def test_a_password_takes_long_to_try(monkeypatch: pytest.MonkeyPatch) -> None:
    """A hash, and the one that no password has, take what RFC 9106 asks for: Argon2id, 64 MiB, three passes, four
    lanes.
    """
    monkeypatch.setattr(access, "_HASHER", STRONG)
    for made in (access.hash_password(PASSWORD), access._hash_of_nothing()):
        costs = extract_parameters(made)
        assert (costs.type, costs.memory_cost, costs.time_cost, costs.parallelism) == (Type.ID, 65_536, 3, 4)


def test_guessing_is_braked(browser: Browser, band: ABand, monkeypatch: pytest.MonkeyPatch) -> None:
    """After ten failures an account is not asked again for a while; the answer says how long, and others are not held
    up.
    """
    monkeypatch.setattr("portal.web.accounts.guess_limits.password_fits", lambda *_: False)
    answers = [browser.send("/sign-in", {"email": band.email, "password": "x"}) for _ in range(11)]
    assert [answer.status_code for answer in answers] == [422] * 10 + [429]
    assert 0 < int(answers[-1].headers["retry-after"]) <= 901
    assert browser.send("/sign-in", {"email": "other@band.example", "password": "x"}).status_code == 422


def test_a_cookie_is_dead_after_signing_out(browser: Browser, band: ABand) -> None:
    """Signing out ends the session at the server, not only in the browser; signing in makes a new one."""
    credentials = {"email": band.email, "password": PASSWORD}
    browser.send("/sign-in", credentials)
    first = browser.client.cookies["__Host-account"]
    browser.send("/sign-in", credentials)
    second = browser.client.cookies["__Host-account"]
    assert browser.send("/sign-out").status_code == 303
    assert "__Host-account" not in browser.client.cookies
    assert first != second
    for token in (first, second):
        answer = browser.client.get("/account", headers={"Cookie": f"__Host-account={token}"})
        assert answer.status_code == 303


def test_a_session_ends_by_itself(signed_in: Browser, clock: Clock) -> None:
    """Reading keeps a session alive for its idle time; after sixty days it is over in any case."""
    start = clock.now
    for day in range(10, 60, 10):
        clock.now = start + timedelta(days=day)
        assert signed_in.get("/account").status_code == 200
    clock.now = start + timedelta(days=60)
    assert signed_in.get("/account").status_code == 303


def test_an_idle_session_ends(signed_in: Browser, clock: Clock) -> None:
    """Two weeks without a visit end a session."""
    clock.now += timedelta(days=14)
    assert signed_in.get("/account").status_code == 303


def test_a_name_is_changed(signed_in: Browser) -> None:
    """The new name shows at once, and the page says that it was saved."""
    answer = signed_in.send("/account/name", {"name": "Ada Lovelorn"}, page="/account")
    page = signed_in.get(answer.headers["location"])
    assert "Ada Lovelorn, The Paper Lanterns" in page.text
    assert "Your name is saved." in page.text


def test_a_password_change_needs_the_present_one_and_ends_other_sessions(
    browser: Browser, band: ABand, signed_in: Browser
) -> None:
    """Another browser is signed out by it, this one stays."""
    browser = signed_in
    here = browser.client.cookies["__Host-account"]
    browser.client.cookies.clear()
    browser.send("/sign-in", {"email": band.email, "password": PASSWORD})
    there = browser.client.cookies["__Host-account"]
    new = "four dry towels waiting"
    wrong = browser.send("/account/password", {"password": "x" * 20, "password_new": new}, page="/account")
    assert wrong.status_code == 422
    assert "not your present password" in wrong.text
    right = browser.send("/account/password", {"password": PASSWORD, "password_new": new}, page="/account")
    assert right.status_code == 303
    assert browser.get("/account").status_code == 200
    browser.client.cookies.clear()
    assert browser.client.get("/account", headers={"Cookie": f"__Host-account={here}"}).status_code == 303
    assert browser.client.get("/account", headers={"Cookie": f"__Host-account={there}"}).status_code == 200
    assert browser.send("/sign-in", {"email": band.email, "password": PASSWORD}).status_code == 422
    assert browser.send("/sign-in", {"email": band.email, "password": new}).status_code == 303


def test_a_form_sent_while_signed_out_says_so(browser: Browser) -> None:
    """Nothing is redirected away under a form: the page says what to do, and the entries are still in the browser."""
    answer = browser.send("/account/name", {"name": "Bo"})
    assert answer.status_code == 401
    assert "Nothing was saved." in answer.text


@pytest.mark.parametrize(
    ("password", "taken"),
    [
        ("x7 kettle moss ag", True),
        ("x" * 14, False),
        ("abababababababab", False),
        ("PasswordPassword", False),
        ("The Paper Lanterns", False),
        ("ada ada ada ada ada", False),
        ("kettle moss window " * 6, True),
        ("k m w " * 30, False),
        ("snow and öre and 雪山", True),
    ],
)
def test_which_passwords_are_taken(password: str, *, taken: bool) -> None:
    """Length decides; what is worn out, repeated or one's own name is refused; nothing is cut off."""
    assert (password_fault(password, about=("Ada", "The Paper Lanterns")) == "") is taken
    assert LONGEST_PASSWORD >= 64


@pytest.mark.parametrize(("later", "noted"), [(timedelta(hours=1), False), (timedelta(hours=1, seconds=1), True)])
def test_use_of_a_session_is_noted_once_an_hour(
    signed_in: Browser, portal: Portal, clock: Clock, later: timedelta, *, noted: bool
) -> None:
    """A page that is only read writes when a session was last used no sooner than an hour after the last time; then it
    does.
    """
    signed_in.get("/")
    before = clock.now
    clock.now += later
    signed_in.get("/")
    with portal.store.reading() as db:
        (seen,) = db.exec(select(sessions.WebSession.last_seen)).all()

    assert seen == (clock.now if noted else before)
