"""What the log tells whoever runs the portal about visitors who try things, and what a fault tells the visitor."""

import io
import logging
import re
from collections import Counter
from collections.abc import Callable, Iterator

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from portal.log_lines import LogLines
from portal.store.database.session import Store
from portal.web.frame.running import Portal
from tests.builders import PASSWORD, ABand
from tests.web.access_rules import RULES
from tests.web.conftest import ORIGIN, Browser
from tests.web.planned import Planned, prepare
from tests.web.test_every_answer import answer_of, waited_for
from tests.web.test_guard import routes_of

LINE = re.compile(
    r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z portal\.security (?P<event>[a-z -]+?)(?P<facts>( [a-z]+=[^ =]+)*)"
)
"""What every line of the security log looks like."""


@pytest.fixture
def security_log() -> Iterator[Callable[[], list[str]]]:
    """The lines so far, as a running portal writes them."""
    written = io.StringIO()
    handler = logging.StreamHandler(written)
    handler.setFormatter(LogLines("%(asctime)s %(name)s %(message)s"))
    log = logging.getLogger("portal.security")
    log.addHandler(handler)
    log.setLevel(logging.INFO)
    yield lambda: written.getvalue().splitlines()
    log.removeHandler(handler)


@pytest.fixture
def planned(
    portal: Portal, band: ABand, signed_in: Browser, enter: Callable[..., Browser], monkeypatch: pytest.MonkeyPatch
) -> Planned:
    monkeypatch.setattr(portal.papers, "render", lambda *_: b"%PDF")
    return prepare(portal, band, signed_in, enter)


FORGED = "2026-11-27T00:00:00.000Z portal.security signed-in user=1"


def attack(planned: Planned, guest: Browser) -> Counter[str]:
    """Things that go wrong and things that matter, one after the other; which events they ought to leave."""
    band, house = planned.band, planned.house
    for _ in range(12):  # ten are heard, two are braked
        guest.send("/sign-in", {"email": f"{planned.owner.email}", "password": f"wrong\r\n{FORGED}"}, page="/sign-in")
    guest.get(f"/in/wrong%0A{FORGED}")
    guest.get("/day/wrong")
    guest.get("/calendar/wrong.ics")
    guest.client.post(
        "/sign-in",
        data={"email": FORGED},
        headers={"Sec-Fetch-Site": "cross-site", "Origin": "https://elsewhere.example"},
    )
    house.send(f"{planned.house_base}/talk", {"words": f"x\n{FORGED}"}, page=f"{planned.house_base}/talk")
    page = f"{planned.gigs_base}/links"
    for label, status in ((f"Hand\n{FORGED}", 422), (f"Hand {FORGED}", 200)):
        assert band.send(page, {"label": label, "powers": [], "until": "2026-12-19"}, page=page).status_code == status
    made = band.send(page, {"label": "Hand", "powers": [], "until": "2026-12-19"}, page=page)
    way_in = re.search(rf"{ORIGIN}(/in/[\w-]+)", made.text)[1]
    guest.send(way_in)
    base = planned.house_base
    assert guest.send(f"{base}/sign-off", {"name": "Mallory"}).status_code == 403
    assert planned.sign("house").status_code == 303
    assert (
        house.send(f"{base}/sign-off/1/withdraw", {"name": "Jamie Example"}, page=f"{base}/sign-off/1").status_code
        == 303
    )
    revoke = re.search(rf'action="({page}/[\w-]+/revoke)"', band.get(page).text)[1]
    assert band.send(revoke, page=page).status_code == 303
    return Counter(
        {
            "sign-in failed": 10,
            "braked": 2,
            "link refused": 1,
            "code refused": 1,
            "calendar address refused": 1,
            "form from elsewhere refused": 1,
            "link made": 2,
            "link used": 1,
            "refused": 1,
            "signed": 1,
            "signature withdrawn": 1,
            "link revoked": 1,
        }
    )


def test_who_tries_what_is_told(
    planned: Planned, app: FastAPI, security_log: Callable[[], list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each attempt and each act that matters leaves its line in one form, with ids and without a word that a visitor
    typed.
    """
    monkeypatch.setattr("portal.web.accounts.guess_limits.password_fits", lambda _hash, password: password == PASSWORD)
    with TestClient(app, base_url=ORIGIN, follow_redirects=False) as client:
        expected = attack(planned, Browser(client))
    lines = security_log()
    read = [LINE.fullmatch(line) for line in lines]
    logged = Counter(one["event"] for one in read if one)
    secrets = [
        word
        for word in (planned.owner.email, "wrong", "Mallory", "Jamie", FORGED[:24], PASSWORD)
        for line in lines
        if word in line
    ]
    print(  # noqa: T201 - shown with -s
        f"\nsecurity_log events_expected={expected.total()} logged={logged.total()} not_in_form={read.count(None)} "
        f"secrets_in_log={len(secrets)} forged_lines={sum(line.startswith(FORGED) for line in lines)}"
    )
    assert None not in read
    assert logged == expected
    assert secrets == []


def test_a_fault_on_any_route_tells_nothing(
    app: FastAPI, store: Store, caplog: pytest.LogCaptureFixture, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the program itself fails, on whichever route, the page holds a number by which the log has the trace, and
    nothing of the fault.
    """

    def fail(*, to_write: bool) -> None:
        raise RuntimeError(f"a canary in a fault, to_write={to_write}")

    monkeypatch.setattr(type(store), "open", lambda _store, *, to_write: fail(to_write=to_write))
    asked = broken = 0
    numbers: list[str] = []
    told: list[str] = []
    for path, method in sorted(routes_of(app)):
        if path.startswith("/static") or f"{method} {path}" == "GET /ready":
            continue
        status, _, body = waited_for(
            answer_of(app, method, re.sub(r"\{\w+\}", "1", path), {"sec-fetch-site": "same-origin"})
        )
        asked += 1
        if status == 500:
            broken += 1
            text = body.decode()
            numbers += re.findall(r"<b>([0-9a-f]{8})</b>", text) if method != "HEAD" else []
            told += [
                f"{method} {path}" for word in ("Traceback", "canary", "RuntimeError", ".py", "sqlite") if word in text
            ]
    logged = {
        record.getMessage().removeprefix("fault ")
        for record in caplog.records
        if record.getMessage().startswith("fault ")
    }
    found = len(set(numbers) & logged)
    print(f"\nfaults routes={asked} broken={broken} told={len(told)} numbers_in_log={found}/{len(numbers)}")  # noqa: T201 - shown with -s
    assert broken > 0.9 * len(RULES)
    assert told == []
    assert found == len(numbers) >= broken - 1


@pytest.mark.soak
def test_guessing_leads_nowhere_and_stops_nobody_else(planned: Planned, app: FastAPI) -> None:
    """Thousands of made-up links from one address: not one opens, most are not even looked up, and whoever is in, or
    has a link, goes on.
    """
    statuses: Counter[int] = Counter()
    for number in range(10_000):
        statuses[waited_for(answer_of(app, "GET", f"/in/{number:043}", {}))[0]] += 1
    page = f"{planned.gigs_base}/links"
    made = planned.band.send(page, {"label": "Hand", "powers": [], "until": "2026-12-19"}, page=page)
    way_in = re.search(rf"{ORIGIN}(/in/[\w-]+)", made.text)[1]
    legit = [planned.house.get(planned.house_base).status_code, waited_for(answer_of(app, "GET", way_in, {}))[0]]
    print(  # noqa: T201 - shown with -s
        f"\nguesses=10000 opened={statuses[200]} heard={statuses[404]} braked={statuses[429]}"
        f" holders_stopped={2 - legit.count(200)}"
    )
    assert (statuses[200], statuses[404], statuses[429]) == (0, 50, 9_950)
    assert legit == [200, 200]
