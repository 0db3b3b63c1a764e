"""Fifty people at once on a portal as it is served: nobody meets a fault, and nobody is told that the database is
busy.
"""

import random
import re
import secrets
import threading
import time
import urllib.request
from collections import Counter
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from html import unescape
from http.client import HTTPConnection
from pathlib import Path
from urllib.parse import urlencode

import pytest
from prometheus_client.parser import text_string_to_metric_families

from portal.exchange.example import example_rig
from portal.settings import Settings
from portal.store.accounts import sessions
from portal.store.database.server_key import open_key
from portal.store.database.session import Store, open_store
from portal.web.frame import deps
from portal.web.frame.access import USER_LONGEST, new_token, token_hash
from tests.builders import a_band, a_gig, a_link, an_answer
from tests.planning import plan_now
from tests.web.test_start import start

PEOPLE = 50
SECONDS = 60
REST_S = (0.5, 3.5)
"""Between two deeds of one person, who reads what is there."""

ANSWERED = {
    "who-mixes": "house-engineer",
    "pa": "stereo",
    "inputs-free": 12,
    "box-place": "stage-left",
    "box-distance": 1000,
}


@dataclass(frozen=True)
class Person:
    """Somebody on one side of a gig, let in."""

    base: str
    cookie: str


def people(store: Store, settings: Settings) -> list[Person]:
    """Both sides of as many gigs as it takes; each gig is planned."""
    now = datetime.now(UTC)
    found = []
    with store.writing() as db:
        for _ in range(PEOPLE // 2):
            band = a_band(db)
            gig = a_gig(db, band, rig=example_rig(), on=(now + timedelta(days=10)).date())
            link = a_link(db, gig, band, expires=now + timedelta(days=20))
            for question, value in ANSWERED.items():
                an_answer(db, gig.id, question, value, link_id=link.id, now=now)
            plan_now(db, gig, now)
            ours, theirs = new_token(), new_token()
            sessions.start_for_user(db, token_hash(ours), band.user_id, now=now, expires=now + USER_LONGEST)
            sessions.start_for_link(db, token_hash(theirs), link.id, only_view=False, now=now, expires=link.expires)
            found.append(Person(f"/gigs/{gig.id}", f"{deps.cookie_name(settings)}={ours}"))
            found.append(Person(f"/house/{gig.id}", f"{deps.cookie_name(settings, gig.id)}={theirs}"))
    return found


@dataclass
class Heard:
    """Every answer: its time in seconds by what was done, and how many of each status."""

    lock: threading.Lock = field(default_factory=threading.Lock)
    times_s: dict[str, list[float]] = field(default_factory=dict)
    statuses: Counter[str] = field(default_factory=Counter)
    errors: list[str] = field(default_factory=list)

    def note(self, deed: str, status: int, took_s: float) -> None:
        with self.lock:
            self.times_s.setdefault(deed, []).append(took_s)
            self.statuses[f"{deed} {status}"] += 1
            # 409: the other side changed the plan meanwhile, and the page says so.
            if status not in {200, 303, 409}:
                self.errors.append(f"{deed} {status}")


@dataclass
class Visit:
    """One person's way through the portal."""

    address: str
    person: Person
    heard: Heard
    chance: random.Random

    def ask(self, deed: str, path: str, form: dict[str, object] | None = None) -> str:
        headers = {"Cookie": self.person.cookie, "Origin": self.address}
        body = None
        if form is not None:
            body, headers["Content-Type"] = urlencode(form, doseq=True), "application/x-www-form-urlencoded"
        started = time.perf_counter()
        with closing(HTTPConnection(self.address.removeprefix("http://"), timeout=60)) as connection:
            connection.request("GET" if body is None else "POST", self.person.base + path, body, headers)
            answer = connection.getresponse()
            text = answer.read().decode()
        self.heard.note(deed, answer.status, time.perf_counter() - started)
        return text

    def read(self) -> None:
        self.ask("read", self.chance.choice(("", "/plan", "/plan", "/plan", "/papers", "/history", "/talk", "/day")))

    def answer(self) -> None:
        page = "/questions/inputs"
        html = self.ask("read", page)
        # The band says besides how sure it is.
        sure = re.findall(r'name="(sure)"[^>]* value="([\w-]+)"', html)
        self.ask("answer", page, {**hidden(html), **dict(sure), "inputs-free": str(self.chance.randint(6, 14))})

    def say(self) -> None:
        self.ask(
            "say", "/talk", {**hidden(self.ask("read", "/talk")), "words": f"Mind the step {secrets.token_hex(4)}."}
        )

    def sign(self) -> None:
        html = self.ask("read", "/sign-off")
        asks = [unescape(text) for text in re.findall(r'type="checkbox" name="ask" id="[^"]*" value="([^"]*)"', html)]
        if 'name="role"' in html:
            self.ask("sign", "/sign-off", {**hidden(html), "ask": asks, "name": "Ada Example", "role": "leader"})

    def go_on(self, until: float) -> None:
        """Mostly read, sometimes answer, sign or say something, until the time is over."""
        deeds: list[Callable[[], None]] = [self.read] * 14 + [self.answer] * 3 + [self.sign] * 2 + [self.say]
        time.sleep(self.chance.uniform(0, REST_S[1]))
        while time.monotonic() < until:
            try:
                self.chance.choice(deeds)()
            except OSError as error:
                self.heard.errors.append(repr(error))
            time.sleep(self.chance.uniform(*REST_S))


def hidden(html: str) -> dict[str, object]:
    """The hidden fields of a page's first form that has them."""
    return dict(reversed(re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', html)))


def figures(address: str) -> dict[str, float]:
    """What the portal counted, by series."""
    with urllib.request.urlopen(address, timeout=60) as answer:  # noqa: S310 - the address that it printed
        families = text_string_to_metric_families(answer.read().decode())
    return {
        sample.name + "".join(sorted(sample.labels.values())): sample.value
        for family in families
        for sample in family.samples
    }


def percentile(times_s: list[float], share: float) -> float:
    return sorted(times_s)[min(len(times_s) - 1, int(len(times_s) * share))] * 1000


@pytest.mark.soak
def test_fifty_people_for_a_minute(tmp_path: Path, migrated: Path) -> None:
    """Both sides of 25 gigs read, answer, talk and sign for a minute: no error, no busy database, and the process does
    not grow without end.
    """
    data = tmp_path / "data"
    data.mkdir()
    settings = Settings(data, "127.0.0.1", 0, "http://127.0.0.1:0")
    settings.database.write_bytes(migrated.read_bytes())
    store = open_store(settings.database)
    open_key(store, settings.key_file)
    everybody = people(store, settings)
    store.close()
    running = start(data, PORTAL_PORT="0", PORTAL_METRICS_PORT="0")
    try:
        assert running.stdout is not None
        words = (word for line in running.stdout for word in line.split() if word.startswith("http://127.0.0.1:"))
        counted, address = next(words), next(words)
        heard = Heard()
        reader = threading.Thread(target=running.stdout.read)
        reader.start()
        for person in everybody:  # everything is loaded and read once before memory is looked at
            Visit(address, person, Heard(), random.Random(0)).ask("read", "/plan")  # noqa: S311 - deeds, not secrets
        before = figures(counted)
        until = time.monotonic() + SECONDS
        visits = [Visit(address, person, heard, random.Random(seed)) for seed, person in enumerate(everybody)]  # noqa: S311 - the same
        threads = [threading.Thread(target=visit.go_on, args=(until,)) for visit in visits]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        after = figures(counted)
    finally:
        running.kill()
        running.wait(timeout=60)
        reader.join()
        running.stdout.close()
    times_s = [took_s for one in heard.times_s.values() for took_s in one]
    by_deed = " ".join(f"{deed}_p95_ms={percentile(one, 0.95):.0f}" for deed, one in sorted(heard.times_s.items()))
    busy = after["portal_database_refusals_totalbusy"]
    memory = [one["process_resident_memory_bytes"] / 2**20 for one in (before, after)]
    print(  # noqa: T201 - shown with -s
        f"\nclients={PEOPLE} seconds={SECONDS} requests={len(times_s)} per_s={len(times_s) / SECONDS:.0f}"
        f" errors={len(heard.errors)} busy_errors={busy:.0f} p50_ms={percentile(times_s, 0.5):.0f}"
        f" p95_ms={percentile(times_s, 0.95):.0f} p99_ms={percentile(times_s, 0.99):.0f} {by_deed}"
        f" memory_mb={memory[0]:.0f}->{memory[1]:.0f} plans={after['portal_plan_seconds_count']:.0f}"
        f" statuses={dict(sorted(heard.statuses.items()))}"
    )
    assert (heard.errors, busy) == ([], 0)
    assert min(heard.statuses[f"{deed} 303"] for deed in ("answer", "say", "sign")) > 10
    assert memory[1] < memory[0] + 100
